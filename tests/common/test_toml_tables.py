"""A table's faults by their place, and a table as it is written, in small."""

import tomllib
from typing import Any

import pytest

from holesim.common.toml_tables import checked, to_toml
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions


@pytest.mark.parametrize(
    ("given", "place", "said"),
    [
        ({"draws": 100}, "", "f.toml: draws: 100 is not a power of two"),
        ({"draws": 100}, "round 2", "f.toml: round 2, draws: 100 is not a power of two"),
        ({"sed": 1}, "", "f.toml: sed: is not a key of a round's options file; did you mean seed?"),
        (
            {"seed": "1"},
            "",
            "f.toml: seed: should be a whole number, not '1'; write it as 12, without quotes",
        ),
    ],
)
def test_a_fault_has_the_place_of_its_table_and_its_own(given: dict[str, Any], place: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        checked(given, RoundOptions, file="f.toml", kind="round", place=place)
    assert str(caught.value).startswith(said)


def test_a_table_reads_as_it_was_written() -> None:
    content = {
        "name": 'Wenna "W"', "handicap_index": -1.5, "can_choose": True, "draws": [1.0, -0.5],
        "strikes": {"up": {"attack_deg": 3.5, "se": {"attack_deg": 0.5}}, "down": {}},
        "clubs": {"5.5-wood": {"club_speed_mph": 90}},
    }  # fmt: skip
    text = to_toml(content)
    assert tomllib.loads(text) == content
    assert text.startswith('name = "Wenna \\"W\\""\nhandicap_index = -1.5\ncan_choose = true\n')
    assert "\n\n[strikes.up]\nattack_deg = 3.5\n\n[strikes.up.se]\n" in text
    assert '\n\n[strikes.down]\n\n[clubs."5.5-wood"]\n' in text
    assert "[strikes]" not in text
