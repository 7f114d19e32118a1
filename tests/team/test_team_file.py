"""A captain's file: what is wrong with it is said in one line."""

from pathlib import Path

import pytest

from holesim.course.course_file import load_course
from holesim.data.examples import find
from holesim.errors import InputError
from holesim.team.team_file import load_team
from tests.conftest import Run


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('players = ["{}"]', "team.toml: name: is missing; add it"),
        ('name = "A"\nplayers = ["no.toml"]', "no.toml: no such file or directory; check the path"),
        ('name = "A"\nplayers = ["{}", "{}"]', "players: 2 are called Corin Vale"),
        (
            'name = "A"\nplayers = ["{}"]\nopponents = [{{ name = "B", club_speed_mph = 90 }}]',
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
        (
            'name = "A"\nplayers = ["{}", {{ handicap_index = 3, club_speed_mph = 99 }}]',
            "players 2.name: is missing; add it, or name a player file",
        ),
        (
            'name = "A"\nallowance = 0.5\nplayers = ["{}"]',
            "write [allowances] below the other keys, and a line for each format: foursomes = 0.5",
        ),
        ('name = "A"\nplayers = ["{}"]\n[allowances]\nfourballs = 0.9', "did you mean four-ball?"),
        ('name = "A"\nplayers = ["{}"]\n[allowances]\nfoursomes = 50', "foursomes: should be a share"),
        ('name = "A"\nplayers = ["{}"]\n[ratings.back]\nslope = 120', "ratings.back.course: is missing"),
        (
            'name = "A"\nplayers = ["{}"]\n[women]\nstroke_index = [1, 3, 3]',
            "team.toml: women.stroke_index: has stroke index 3 2 times; give each hole its own",
        ),
        ('name = "A"\nplayers = ["{}"]\n[women]\npar = [8]', "women.par"),
        (
            'name = "A"\nplayers = ["{}"]\n[women.ratings.back]\nslope = 120',
            "women.ratings.back.course: is missing",
        ),
    ],
)
def test_faults_of_a_team_file(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "team.toml"
    path.write_text(text.format(*[find("players/good_amateur.toml")] * text.count("{}")), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_team(path)
    assert message in str(caught.value)
    assert "\n" not in str(caught.value)


def test_allowances_as_the_committee_states_them(tmp_path: Path) -> None:
    path = tmp_path / "team.toml"
    path.write_text(
        'name = "A"\nplayers = [{ name = "B", handicap_index = 3, club_speed_mph = 99, sex = "woman" }]\n'
        "[allowances]\nfoursomes = 0.5\ngreensomes = [0.6, 0.4]\nfour-ball = 0.9\nsingles = 1\n"
        "stroke = 0.95\n"
    )
    team = load_team(path)
    assert team.allowances == {
        "foursomes": 0.5, "greensomes": (0.6, 0.4), "four-ball": 0.9, "singles": 1.0, "stroke": 0.95,
    }  # fmt: skip
    assert [(one.name, one.sex, one.handicap_index) for one in team.players] == [("B", "woman", 3.0)]


def test_all_faults_of_all_files_are_told_at_once(run: Run, tmp_path: Path) -> None:
    """Of the course, of the team's own file, of each player's, and the tees."""
    (tmp_path / "one.toml").write_text('name = "One"\nhand = "right"\nsex = "man"\nhandicap_index = "3"\n')
    (tmp_path / "two.toml").write_text(
        'name = "Two"\nhand = "left"\nsex = "man"\nhandicap_index = 3\nclub_speed_mph = 99\ntee = "gold"\n'
    )
    path, course = tmp_path / "team.toml", str(find("template.geojson"))
    people = 'players = ["one.toml", "two.toml", "none.toml"]\nopponents = [{ name = "B", sex = "man" }]\n'
    path.write_text(f'name = "A"\n{people}[tees]\nwoman = "red"\n')
    code, said, err = run("team", course, str(path), "--format", "stroke")
    assert (code, said) == (2, "")
    assert [line.split(": ")[1:3] for line in err.splitlines()] == [
        ["one.toml", "handicap_index"],
        [f"{tmp_path / 'none.toml'}", "no such file or directory; check the path"],
        ["team.toml", "opponents 1.handicap_index"],
        ["team.toml", "opponents 1.club_speed_mph"],
        ["team.toml", "tees.woman"],
        ["two.toml", "tee"],
    ]
    # A fault in the team's own file does not hide those of the players', nor of the course.
    path.write_text(f'name = "A"\norder_know = true\n{people}[allowances]\nfoursomes = 50.0\n')
    code, _, err = run("team", str(tmp_path / "no.geojson"), str(path), "--format", "stroke")
    places = [line.split(": ")[1] for line in err.splitlines()]
    assert code == 2
    assert places[0].endswith("no.geojson")
    assert places.count("team.toml") >= 2
    assert {"one.toml", str(tmp_path / "none.toml")} < set(places)


def test_a_rating_of_a_misspelt_tee_is_found(tmp_path: Path) -> None:
    path = tmp_path / "team.toml"
    player = find("players/good_amateur.toml")
    path.write_text(
        f'name = "A"\nplayers = ["{player}"]\n[ratings.bakc]\ncourse = 72.0\n[ratings.gold]\ncourse = 70\n'
    )
    course = load_course(find("demo.geojson"))
    with pytest.raises(
        InputError, match=r"ratings\.bakc: is not a tee of the course; did you mean back\?"
    ) as caught:
        load_team(path, course)
    assert len(caught.value.faults) == 1  # gold may be another course's
