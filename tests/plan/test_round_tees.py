"""The tees of a round: those asked for, else the player's own, else the longest."""

from dataclasses import replace
from pathlib import Path

import pytest

from holesim.course.course import Course
from holesim.data.examples import COURSE, PLAYER, find
from holesim.errors import InputError
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.plan.round_tees import find_own_tees, tees_meant_for
from holesim.player.player import Player
from holesim.study.practice import find_practice_worth
from holesim.team.team_file import load_team
from holesim.team.tees_and_handicaps import find_tees as find_team_tees
from tests.conftest import Run

FEW = RoundOptions(draws=256)


def renamed(course: Course, *names: str) -> Course:
    """Return the course with other names for its tees, the longest first."""
    holes = tuple(
        replace(hole, tees=tuple(replace(t, name=n) for t, n in zip(hole.tees, names, strict=True)))
        for hole in course.holes
    )
    return replace(course, holes=holes)


def test_whoever_names_no_tees_plays_the_longest(demo_course: Course, amateur: Player) -> None:
    places = find_own_tees(demo_course, amateur, None, None)
    assert [tee for _, tee in places] == [hole.tees[0] for hole in demo_course.holes]


def test_own_tees_are_played_unless_others_are_asked_for(demo_course: Course, amateur: Player) -> None:
    own = replace(amateur, tee="middle")
    assert {tee.name for _, tee in find_own_tees(demo_course, own, None, None)} == {"middle"}
    assert {tee.name for _, tee in find_own_tees(demo_course, own, [3], ["forward"])} == {"forward"}
    plan = make_plan(demo_course, own, FEW, holes=[4])
    assert plan.to_json() == make_plan(demo_course, amateur, FEW, holes=[4], tees=["middle"]).to_json()
    shorter = find_practice_worth(demo_course, own, FEW, holes=[4]).strokes
    assert shorter < find_practice_worth(demo_course, amateur, FEW, holes=[4]).strokes


@pytest.mark.parametrize("command", [["plan"], ["practice"], ["tipping", "--over", "face", "--hole", "4"]])
def test_tees_that_are_not_there_are_one_line(run: Run, tmp_path: Path, command: list[str]) -> None:
    player = tmp_path / "vale.toml"
    player.write_text('tee = "chalk"\n' + find(PLAYER).read_text(encoding="utf-8"), encoding="utf-8")
    code, said, err = run(command[0], str(find(COURSE)), str(player), *command[1:], "--draws", "256")
    assert (code, said) == (2, "")
    number = 4 if "--hole" in command else 1
    fault = (
        f"vale.toml: tee: hole {number} of demo.geojson has no chalk tee; its tees are back, middle, forward"
    )
    assert err.splitlines()[-1] == f"holesim: {fault}"
    assert "tees: chalk" in run("check", str(player))[1]


def test_check_says_that_no_tees_are_named(run: Run) -> None:
    assert "tees: the longest, as the file names none" in run("check", str(find(PLAYER)))[1]


def test_a_team_plays_its_files_tees_else_each_players_own(demo_course: Course) -> None:
    team = load_team(find("teams/skerry.toml"))
    man, woman = team.players[0], next(p for p in team.players if p.sex == "woman")
    players = [replace(man, tee="forward"), replace(woman, tee="forward"), woman]
    by_sex = find_team_tees(demo_course, replace(team, tees={"man": "back"}), players)
    assert [tees[0].name for tees in by_sex] == ["back", "forward", "back"]
    with pytest.raises(InputError, match=r"hole 1 of demo\.geojson has no chalk tee; its tees are back"):
        find_team_tees(demo_course, replace(team, tees={}), [replace(man, tee="chalk")])


@pytest.mark.parametrize(
    ("names", "woman", "man"),
    [
        (("white", "yellow", "red"), None, None),  # a colour does not say for whom
        (("men", "women", "juniors"), "women", "men"),
        (("Gents' back", "Gents", "Ladies"), "Ladies", "Gents' back"),
        (("championship", "men's", "Lady tees"), "Lady tees", "men's"),
    ],
)
def test_names_of_tees_may_say_for_whom_they_are(
    demo_course: Course, names: tuple[str, ...], woman: str | None, man: str | None
) -> None:
    course = renamed(demo_course, *names)
    assert tees_meant_for(course, "woman") == woman
    assert tees_meant_for(course, "man") == man


def test_tees_meant_for_someone_are_on_every_hole(demo_course: Course) -> None:
    course = renamed(demo_course, "men", "women", "juniors")
    first = replace(course.holes[0], tees=course.holes[0].tees[:1])
    assert tees_meant_for(replace(course, holes=(first, *course.holes[1:])), "woman") is None
