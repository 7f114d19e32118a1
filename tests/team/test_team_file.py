"""A captain's file: what is wrong with it is said in one line."""

from pathlib import Path

import pytest

from holesim.data.examples import find
from holesim.errors import InputError
from holesim.team.team_file import load_team


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('players = ["{}"]', "team.toml: name: is missing; add it"),
        ('name = "A"\nplayers = ["no.toml"]', "no.toml: no such file or directory; check the path"),
        ('name = "A"\nplayers = ["{}", "{}"]', "players: 2 are called Corin Vale"),
        (
            'name = "A"\nplayers = ["{}"]\nopponents = [{{ name = "B" }}]',
            "opponents 1.handicap_index: is missing",
        ),
        (
            'name = "A"\nplayers = ["{}"]\nopponents = [{{ hcp = 3 }}]',
            "opponents 1.hcp: is not a key of a team",
        ),
        ('name = "A"\nplayers = ["{}"]\nplayrs = []', "did you mean players?"),
        ('name = "A"\nplayers = []', "players: has 0 of at least 1 entries; correct the list"),
        (
            'name = "A"\nplayers = ["team.toml"]',
            "team.toml: is a team file, not a player file; give a player file",
        ),
        (
            'name = "A"\nclub_speed_mph = 90\nhandicap_index = 4.0',
            "team.toml: is a player file, not a team file; give a team file",
        ),
        ('name = "A"\nplayers = ["{}"]\n[ratings.back]\nslope = 120', "ratings.back.course: is missing"),
    ],
)
def test_faults_of_a_team_file(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "team.toml"
    path.write_text(text.format(*[find("players/good_amateur.toml")] * text.count("{}")), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_team(path)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)
