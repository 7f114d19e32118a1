"""Edits of TOML files by the line."""

import tomllib
from typing import Any

import pytest

from holesim.common.toml_edits import edit_toml

FILE = """\
# Ana's file, by her coach
name = "Ana #2"   # as she writes it
handicap_index = 9.0

# both strikes
[strikes.up]
attack_deg = 3.5  # measured
toe_mm = 2.0
[strikes.up.se]
attack_deg = 0.4

[likely]
"spread.face_deg" = [
  1.0, # first
  2.0,
]
"""


def changed(**values: Any) -> dict[str, Any]:  # noqa: ANN401
    return tomllib.loads(FILE) | values


@pytest.mark.parametrize(
    ("content", "there", "gone"),
    [
        (changed(), FILE.splitlines(), []),
        (changed(name="Bo"), ['name = "Bo" # as she writes it', "# both strikes"], ["Ana #2"]),
        (
            changed(strikes={"up": {"attack_deg": 4.0}}),
            ["attack_deg = 4.0 # measured", "# both strikes"],
            ["toe_mm", "strikes.up.se"],
        ),
        (changed(strikes={"up": {"attack_deg": 3.5}, "down": {}}), ["[strikes.down]"], ["[strikes.up.se]"]),
        (changed(clubs={"7 iron": {"carry_yd": 150}}), ['[clubs."7 iron"]', "carry_yd = 150"], []),
        (changed(usual="up", strikes={}), ['usual = "up"', "# both strikes"], ["[strikes.up]"]),
    ],
)
def test_what_is_alike_keeps_its_lines(content: dict[str, Any], there: list[str], gone: list[str]) -> None:
    text = edit_toml(FILE, content)
    assert tomllib.loads(text) == content
    lines = text.splitlines()
    assert "# Ana's file, by her coach" in lines
    assert set(there) <= set(lines)
    assert not [words for words in gone if words in text]


@pytest.mark.parametrize(
    "text",
    [
        "up = { attack_deg = 3.0, toe_mm = 1.0 }\n",
        "[[up]]\na = 1\n",
        'name = """\nA\n# no comment\n"""\n',
        "not toml",
    ],
)
def test_a_file_that_cannot_be_edited_by_the_line_is_written_anew(text: str) -> None:
    content = {"name": "B", "up": {"attack_deg": 4.0}}
    assert tomllib.loads(edit_toml(text, content)) == content
