"""A weekend: its file, who plays when, what is planned anew at lunch, and the chance of the points needed."""

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from holesim.data.examples import find
from holesim.errors import InputError
from holesim.reports.weekend_text import weekend_text
from holesim.team.planner import plan_team
from holesim.team.weekend import WeekendPlan, plan_weekend, points_chances
from holesim.team.weekend_file import Weekend, load_weekend
from tests.conftest import Run

TEAM = """
name = "Squad of five"
order_known = false
players = [
    { name = "Ada Thorne", handicap_index = 4.0, club_speed_mph = 96, sex = "woman" },
    { name = "Bram Orrel", handicap_index = 1.0, club_speed_mph = 110 },
    { name = "Corin Vale", handicap_index = 9.0, club_speed_mph = 101 },
    { name = "Dunstan Fell", handicap_index = 15.0, club_speed_mph = 93 },
    { name = "Elow Pike", handicap_index = 6.0, club_speed_mph = 104 },
]
opponents = [
    { name = "Perrin Ash", handicap_index = 2.0, club_speed_mph = 108 },
    { name = "Silas Brome", handicap_index = 12.0, club_speed_mph = 97 },
]
"""
HEAD = 'name = "Weekend"\nteam = "team.toml"\ncourse = "course.geojson"\noptions = { draws = 256 }\n'
PAIRS = '[[sessions]]\nname = "pairs"\nformat = "four-ball"\n'
SINGLES = '[[sessions]]\nname = "singles"\nformat = "singles"\n'

Make = Callable[[str], Weekend]


@pytest.fixture
def make(tmp_path: Path) -> Make:
    """Return a function that reads a weekend on the course of one hole, written with a team of five."""
    (tmp_path / "course.geojson").write_bytes(find("template.geojson").read_bytes())
    (tmp_path / "team.toml").write_text(TEAM)

    def read(text: str) -> Weekend:
        path = tmp_path / "weekend.toml"
        path.write_text(text)
        return load_weekend(path)

    return read


def playing(plan: WeekendPlan) -> list[set[str]]:
    return [{player.name for player in found.team.players} for found in plan.plans if found]


def test_nobody_plays_more_or_less_often_than_they_may(make: Make) -> None:
    weekend = make(HEAD + "most_sessions = 1\n" + PAIRS + SINGLES)
    found = playing(plan_weekend(weekend))
    assert [len(names) for names in found] == [2, 2]
    assert not found[0] & found[1]
    weekend = make(HEAD + "least_sessions = 1\n" + PAIRS + SINGLES + SINGLES)
    counts = Counter(name for names in playing(plan_weekend(weekend)) for name in names)
    assert len(counts) == 5


def test_a_session_is_the_plan_of_those_who_play(make: Make) -> None:
    """The same question has the same answer: a team of the chosen two, planned alone."""
    weekend = make(HEAD + SINGLES)
    plan = plan_weekend(weekend)
    session = weekend.sessions[0].session
    alone = plan_team(session.course, session.team, "singles", session.options)
    (found,) = plan.plans
    assert found is not None
    assert [side.names for side in found.sides] == [side.names for side in alone.sides]
    assert found.total == alone.total
    assert alone.selection == plan.selection


def test_two_sessions_against_every_choice(make: Make) -> None:
    """Of a squad of five two play, then two others may: all choices, by the points of each alone."""
    weekend = make(HEAD + "most_sessions = 1\n" + SINGLES + SINGLES.replace("singles", "again", 1))
    plan = plan_weekend(weekend)
    names = [player.name for player in weekend.team.players]
    session = weekend.sessions[0].session

    def points(name: str) -> float:
        """Return a player's points against the mean opponent, planned with one other player."""
        pair = [name, next(other for other in names if other != name)]
        players = tuple(player for player in session.team.players if player.name in pair)
        found = plan_team(session.course, replace(session.team, players=players), "singles", session.options)
        return next(side.points for side in found.sides if side.names == (name,))

    worth = {name: points(name) for name in names}
    chosen = {name for found in playing(plan) for name in found}
    left_out = set(names) - chosen
    assert len(chosen) == 4
    (out,) = left_out
    # A choice by half of the draw sets may miss one that is better by hardly anything.
    assert worth[out] <= min(worth.values()) + 0.02


def test_together_and_apart_are_kept(make: Make, tmp_path: Path) -> None:
    (tmp_path / "team.toml").write_text(
        TEAM.replace("\nplayers", '\napart = [["Bram Orrel", "Elow Pike"]]\nplayers')
    )
    first = playing(plan_weekend(make(HEAD + PAIRS)))[0]
    assert first != {"Bram Orrel", "Elow Pike"}
    together = '\ntogether = [["Corin Vale", "Dunstan Fell"]]\nplayers'
    (tmp_path / "team.toml").write_text(TEAM.replace("\nplayers", together))
    text = HEAD + "least_sessions = 1\n" + PAIRS + PAIRS + PAIRS
    assert {"Corin Vale", "Dunstan Fell"} in playing(plan_weekend(make(text)))


def test_at_lunch_the_rest_is_planned_anew(make: Make) -> None:
    results = 'results = [{ players = ["Bram Orrel", "Elow Pike"], points = 0.5 }]\n'
    before = HEAD + "points_needed = 2\nmost_sessions = 1\n"
    weekend = make(before + PAIRS + results + SINGLES)
    plan = plan_weekend(weekend)
    assert plan.plans[0] is None
    assert weekend.won == 0.5
    (left,) = playing(plan)
    assert not left & {"Bram Orrel", "Elow Pike"}
    said = weekend_text(plan)
    assert "0.5 of 1 points won so far" in said
    assert "2 points are needed, 1.5 more: " in said
    (found,) = [one for one in plan.plans if one]
    rng = np.random.default_rng(1)
    chances = [side.result for side in found.sides if side.result]
    drawn = np.sum([rng.choice([1.0, 0.5, 0.0], 200_000, p=one) for one in chances], axis=0)
    assert plan.enough == pytest.approx((drawn >= 1.5).mean(), abs=0.005)
    done = plan_weekend(make(before + PAIRS + results))
    assert (done.selection, done.total, done.enough) == (None, 0.0, 0.0)
    assert "0.5 of 1 points won so far" in weekend_text(done)


def test_points_chances_by_enumeration() -> None:
    results = [(0.5, 0.2, 0.3), (0.1, 0.6, 0.3), (0.4, 0.0, 0.6)]
    found = points_chances(results)
    expected = np.zeros(7)
    for outcome in product(range(3), repeat=3):
        chance = np.prod([one[k] for one, k in zip(results, outcome, strict=True)])
        expected[sum(2 - k for k in outcome)] += chance
    assert found == pytest.approx(expected)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD + PAIRS.replace("four-ball", "four"), "sessions 1.format"),
        (HEAD.replace('course = "course.geojson"\n', "") + PAIRS, "sessions 1.course: is missing"),
        (HEAD + PAIRS + 'opponents = ["Perrin Ash", "Silas Broom"]\n', "did you mean Silas Brome?"),
        (HEAD + SINGLES + 'opponents = ["Perrin Ash", "Perrin Ash"]\n', "names Perrin Ash twice"),
        (HEAD + SINGLES + "places = 3\n", "sessions 1.opponents: 2 do not match 3 who play"),
        (HEAD + SINGLES + 'results = [{ players = ["Bram Orrel"], points = 1 }]\n', "are 1 of 2"),
        (HEAD + PAIRS + 'results = [{ players = ["Bram Orrel"], points = 1 }]\n', "has 1 of 2 players"),
        (
            HEAD + PAIRS + 'results = [{ players = ["Bram Orrel", "Elow Pike"], points = 0.3 }]\n',
            "0.3 is none; give 1, 0.5 or 0",
        ),
        (
            HEAD + PAIRS + 'results = [{ players = ["Bram Orrel", "Elow Pike"], strokes = 70 }]\n',
            "has no points; give players and points",
        ),
        (HEAD + "points_needed = 2\n" + PAIRS.replace("four-ball", "stroke"), "does not go with stroke play"),
        (HEAD + PAIRS + PAIRS.replace("four-ball", "stroke"), "count points in some and strokes in others"),
        (HEAD + "least_sessions = 2\nmost_sessions = 1\n" + PAIRS, "2 is more than 1"),
    ],
)
def test_what_makes_no_sense_is_told(make: Make, text: str, said: str) -> None:
    with pytest.raises(InputError, match=r"weekend\.toml") as told:
        make(text)
    assert said in str(told.value)


def test_places_that_cannot_be_filled_are_told(make: Make) -> None:
    with pytest.raises(InputError, match="too few players may play"):
        plan_weekend(make(HEAD + "most_sessions = 1\n" + SINGLES * 3))


def test_the_command_writes_each_session_s_files(make: Make, tmp_path: Path, run: Run) -> None:
    make(HEAD + "most_sessions = 1\npoints_needed = 1\n" + PAIRS + SINGLES)
    out = tmp_path / "out"
    code, said, _ = run("weekend", str(tmp_path / "weekend.toml"), "--out", str(out))
    assert code == 0
    assert "1 point is needed: " in said
    assert "Rule 4.3a" in said
    assert {path.name for path in out.iterdir()} == {"weekend.json", "session-1", "session-2"}
    assert (out / "session-2" / "captain.pdf").exists()
    content = json.loads((out / "weekend.json").read_text())
    assert content["sessions"][1]["plan"] == json.loads((out / "session-2" / "team.json").read_text())
    assert len(content["sessions"][0]["sits_out"]) == 3
