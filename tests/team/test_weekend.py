"""A weekend: its file, who plays when, what is planned anew at lunch, and the chance of the points needed."""

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations, product
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
from tests.paper import check_paper

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
NAMES = ["Ada Thorne", "Bram Orrel", "Corin Vale", "Dunstan Fell", "Elow Pike"]
HEAD = 'name = "Weekend"\nteam = "team.toml"\ncourse = "course.geojson"\noptions = { draws = 256 }\n'
PAIRS = '[[sessions]]\nname = "pairs"\nformat = "four-ball"\n'
SINGLES = '[[sessions]]\nname = "singles"\nformat = "singles"\n'

STROKES = PAIRS.replace("four-ball", "stroke").replace("pairs", "strokes")
TWO_MORE = SINGLES.replace('"singles"\nformat', '"again"\nformat')

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
    weekend = make(HEAD + "least_sessions = 1\n" + PAIRS + SINGLES + TWO_MORE)
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
    weekend = make(HEAD + "most_sessions = 1\n" + SINGLES + TWO_MORE)
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
    more = [PAIRS.replace("pairs", f"pairs {k}") for k in range(3)]
    text = HEAD + "least_sessions = 1\n" + "".join(more)
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
    assert "0.5 of 1 point won so far" in said
    assert "2 points are needed, 1.5 more: " in said
    (found,) = [one for one in plan.plans if one]
    rng = np.random.default_rng(1)
    chances = [side.result for side in found.sides if side.result]
    drawn = np.sum([rng.choice([1.0, 0.5, 0.0], 200_000, p=one) for one in chances], axis=0)
    assert plan.enough == pytest.approx((drawn >= 1.5).mean(), abs=0.005)
    done = plan_weekend(make(before.replace("points_needed = 2", "points_needed = 1") + PAIRS + results))
    assert (done.selection, done.total, done.enough) == (None, 0.0, 0.0)
    assert "0.5 points short of the 1 needed" in weekend_text(done)


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
        (HEAD + SINGLES + "places = 3\n", "sessions 1.opponents: 2 do not go with 3 players"),
        (
            HEAD + SINGLES + 'results = [{ players = ["Bram Orrel"], points = 1 }]\n',
            "gives 1 result of 2; give all, or none until the session is over",
        ),
        (HEAD + PAIRS + 'results = [{ players = ["Bram Orrel"], points = 1 }]\n', "has 1 of 2 players"),
        (
            HEAD + PAIRS + 'results = [{ players = ["Bram Orrel", "Elow Pike"], points = 0.3 }]\n',
            "0.3 is not the result of a match; give 1, 0.5 or 0",
        ),
        (
            HEAD + PAIRS + 'results = [{ players = ["Bram Orrel", "Elow Pike"], strokes = 70 }]\n',
            "has strokes, and this session counts points; give players and points",
        ),
        (HEAD + "points_needed = 2\n" + STROKES, "sessions 1: is stroke play, not points"),
        (HEAD + PAIRS + STROKES, "sessions 2: is stroke play, and others count points"),
        (
            HEAD + SINGLES + PAIRS + "places = 4\nopponents = []\n",
            "sessions 2: has no opponents, so it counts strokes",
        ),
        (HEAD + "least_sessions = 2\nmost_sessions = 1\n" + PAIRS, "2 is more than 1"),
        (HEAD + "least_sessions = 1\n" + PAIRS, "5 players in 1 sessions each are 5 places, and there are 2"),
        (HEAD + "most_sessions = 1\n" + PAIRS + SINGLES + TWO_MORE, "fill 5 of 6 places; raise it"),
        (HEAD + "points_needed = 2\n" + PAIRS, "2 is more than the 1 points that there are"),
        (HEAD + PAIRS + SINGLES + PAIRS, "two are called pairs; rename one of them"),
        (HEAD + PAIRS + "wind_mph = 12\n", "sessions 1.wind_from_deg: is missing"),
        (HEAD.replace("draws = 256", "draws = 300") + PAIRS, "options.draws: 300 is not a power of two"),
        (HEAD.replace("draws = 256", "drows = 256") + PAIRS, "options.drows: is not a key"),
        (HEAD.replace("team.t", "teem.t") + PAIRS, "team: names the file teem.toml, which is not there"),
        (HEAD.replace("team.t", "t" * 300 + ".t") + PAIRS, "team: names the file tttttttttttt"),
        (HEAD.replace("course.g", "cuorse.g") + PAIRS, ": course: names the file cuorse.geojson, which"),
        (HEAD + PAIRS + 'course = "x.geojson"\n', "sessions 1.course: names the file x.geojson, which"),
        (
            HEAD.replace("name", "draws = 512\nname", 1) + PAIRS,
            "draws: is not a key of a weekend file; put it",
        ),
        (
            HEAD + PAIRS + "together = []\n",
            "sessions 1.together: is not a key of a weekend file; it belongs in",
        ),
        (TEAM, "is a team file, not a weekend file"),
    ],
)
def test_what_makes_no_sense_is_told(make: Make, text: str, said: str) -> None:
    with pytest.raises(InputError, match=r"weekend\.toml") as told:
        make(text)
    assert said in str(told.value)


def test_places_that_cannot_be_filled_are_told(make: Make, tmp_path: Path) -> None:
    apart = [[one, other] for one, other in combinations(NAMES, 2)]
    (tmp_path / "team.toml").write_text(TEAM.replace("\nplayers", f"\napart = {json.dumps(apart)}\nplayers"))
    with pytest.raises(InputError, match="too few players may play"):
        plan_weekend(make(HEAD + PAIRS))


@pytest.mark.parametrize(
    ("pairs", "said"),
    [
        (
            'together = [["Bram Orrel", "Corin Vale"], ["Corin Vale", "Elow Pike"]]',
            "Corin Vale is in two pairs",
        ),
        (
            'together = [["Bram Orrel", "Corin Vale"]]\napart = [["Corin Vale", "Bram Orrel"]]',
            "Bram Orrel and Corin Vale are in apart, too",
        ),
        ('apart = [["Bram Orel", "Corin Vale"]]', "did you mean Bram Orrel?"),
        ('apart = [["Bram Orrel", "Bram Orrel"]]', "names one player twice"),
    ],
)
def test_pairs_that_contradict_one_another(make: Make, tmp_path: Path, pairs: str, said: str) -> None:
    (tmp_path / "team.toml").write_text(TEAM.replace("\nplayers", f"\n{pairs}\nplayers"))
    with pytest.raises(InputError, match=r"team\.toml: ") as told:
        make(HEAD + PAIRS)
    assert said in str(told.value)


def test_in_stroke_play_the_totals_that_count_are_added(make: Make) -> None:
    totals = ", ".join(f'{{ players = ["{name}"], strokes = {70 + k} }}' for k, name in enumerate(NAMES))
    weekend = make(HEAD + STROKES + f"count = 2\nresults = [{totals}]\n")
    assert weekend.won == 141
    assert "141 strokes played so far" in weekend_text(plan_weekend(weekend))


def test_who_has_played_too_often_is_told_and_who_would_come_in(make: Make) -> None:
    results = 'results = [{ players = ["Bram Orrel", "Elow Pike"], points = 0.5 }]\n'
    again = PAIRS.replace("pairs", "more pairs")
    text = HEAD + "most_sessions = 1\n" + PAIRS + results + again + results
    assert "Bram Orrel has played 2 sessions, and may play 1" in weekend_text(plan_weekend(make(text)))
    plan = plan_weekend(make(HEAD + PAIRS + SINGLES + TWO_MORE))
    assert plan.selection is not None
    assert len(plan.selection.substitutes) == len({name for names in playing(plan) for name in names})


def test_the_command_writes_each_session_s_files(make: Make, tmp_path: Path, run: Run) -> None:
    make(HEAD + "most_sessions = 1\npoints_needed = 1\n" + PAIRS + SINGLES)
    out = tmp_path / "out"
    code, said, _ = run("weekend", str(tmp_path / "weekend.toml"), "--out", str(out))
    assert code == 0
    assert "1 point is needed: " in said
    assert "Rule 4.3a" in said
    assert {path.name for path in out.iterdir()} == {"weekend.json", "session-1", "session-2"}
    strips = {path.name for path in (out / "session-2").glob("strip-*.html")}
    (out / "session-2" / "strip-somebody-else.html").write_text("of an earlier plan")
    assert run("weekend", str(tmp_path / "weekend.toml"), "--out", str(out), "--paper", "letter")[0] == 0
    assert {path.name for path in (out / "session-2").glob("strip-*.html")} == strips
    assert "Singles; Template; singles" in (out / "session-2" / "captain.html").read_text()
    check_paper(out / "session-2" / "captain.pdf", "letter")
    content = json.loads((out / "weekend.json").read_text())
    assert content["sessions"][1]["plan"] == json.loads((out / "session-2" / "team.json").read_text())
    assert len(content["sessions"][0]["sits_out"]) == 3
