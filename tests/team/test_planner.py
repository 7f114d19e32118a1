"""A captain's plan, all the way: pairs, who drives where, matches, the team file and the command."""

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate

from holesim.course.course import Area, Course
from holesim.course.course_file import load_course
from holesim.data.examples import find
from holesim.errors import InputError
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.reports.team_text import hand_outs, in_hundred, side_text, team_text, tees_text
from holesim.scoring.score_chances import solve_alternate_shots
from holesim.shot.relief import Lie
from holesim.team.planner import plan_team
from holesim.team.roster_scores import RosterScores, play_holes, tees_of
from holesim.team.shared_ball import STROKES, PairHole, in_pairs, later, partner
from holesim.team.strike_scores import DRAW_SETS, on_scores
from holesim.team.team_file import Team, load_team
from holesim.team.team_plan import Change, TeamPlan
from holesim.units import MPH
from tests.conftest import Run, straight_course

APART = 900.0  # m between holes
FEW = RoundOptions(draws=256)


def in_a_row(*holes: tuple[int, float], boundary: float = 50) -> Course:
    """Return a course of holes beside one another, by par and yards, each with its own boundary."""
    areas: list[Area] = []
    rows, edges = [], []
    for number, (par, yards) in enumerate(holes, 1):
        one = straight_course(yards, par=par, boundary=boundary)

        def moved(shape: Any, x: float = APART * number) -> Any:  # noqa: ANN401 - any geometry
            return translate(shape, x)

        hole, x = one.holes[0], APART * number
        (tee,) = hole.tees
        rows.append(
            replace(
                hole, number=number, stroke_index=number, line=moved(hole.line),
                tees=(replace(tee, x=tee.x + x),), green=moved(hole.green),
                pin=(hole.pin[0] + x, hole.pin[1]),
            )
        )  # fmt: skip
        areas += [replace(area, outline=moved(area.outline)) for area in one.areas]
        edges.append(moved(one.boundary))
    return Course("In a Row", tuple(rows), tuple(areas), shapely.MultiPolygon(edges), "row.geojson", "0" * 64)


def team_of(*players: Player, opponents: Sequence[Player] = (), order_known: bool = True) -> Team:
    return Team(
        name="Vantle Skerry", players=players, opponents=tuple(opponents), order_known=order_known,
        allowance=None, tees={}, ratings={}, file="team.toml", sha256="0" * 64,
    )  # fmt: skip


LONG = replace(typical_player("Bram Orrel", "man", 2.0, 114 * MPH), can_choose=True)
SHORT = replace(typical_player("Tobias Wren", "man", 4.0, 88 * MPH), can_choose=True)
OTHERS = [typical_player(f"Player {k}", "man", 3.0 * k, (112 - 4 * k) * MPH) for k in range(4)]


def planned(course: Course, team: Team, format_: str, **options: object) -> TeamPlan:
    return plan_team(course, team, format_, RoundOptions(draws=256), **options)  # type: ignore[arg-type]


# --- foursomes ----------------------------------------------------------------------------------------


def test_where_the_par_3s_fall_decides_who_drives_at_odd_holes() -> None:
    """An unequal pair: the longer one should drive where driving is most of the hole."""
    drivers = []
    for holes in (((3, 150), (4, 440)), ((4, 440), (3, 150))):
        plan = plan_team(
            in_a_row(*holes, *holes), team_of(LONG, SHORT), "foursomes", RoundOptions(draws=1024)
        )
        (side,) = plan.sides
        assert [hole.first for hole in side.holes] == [side.holes[0].first, side.holes[1].first] * 2
        drivers.append(side.holes[0].first)
        for line in tees_text(side):
            assert line.startswith(f"{side.holes['odd' not in line].first}, at ")
    assert drivers == ["Tobias Wren", "Bram Orrel"]


def test_two_alike_play_one_ball_as_either_plays_it_alone() -> None:
    course = in_a_row((4, 400), boundary=30)
    twins = [replace(LONG, name=name) for name in ("one", "other")]
    plan = planned(course, team_of(*twins), "foursomes")
    alone = planned(course, team_of(twins[0]), "stroke")
    assert plan.sides[0].strokes == pytest.approx(alone.sides[0].strokes, abs=0.01)
    # With two drives to choose from it is better.
    both = planned(course, team_of(*twins), "greensomes").sides[0]
    assert both.strokes < plan.sides[0].strokes - 0.05
    # Where another drive may still be chosen, a worse strike costs less than with the only ball.
    few = [
        replace(one, strikes=tuple(s for s in one.strikes if s.label in ("up", "7-iron"))) for one in twins
    ]
    wide = in_a_row((4, 400))
    foursomes, greensomes = (
        planned(wide, team_of(*few), format_).sides[0].holes[0].drives
        for format_ in ("foursomes", "greensomes")
    )
    for two, one in zip(greensomes, foursomes * 2, strict=True):
        assert two.strike == one.strike == "up"
        assert two.worth is not None
        assert one.worth is not None
        assert 0 < two.worth.value < one.worth.value


def unequal_pair() -> PairHole:
    """Return a pair, one of whom is wild, between boundaries, with one strike each."""
    course = in_a_row((4, 400), boundary=35)
    wild = typical_player("Dunstan Fell", "man", 12.0, 110 * MPH)
    holes = play_holes(course, [LONG, wild], lambda hole, _: hole.tees[0], partner, FEW)
    (pair,) = in_pairs(holes[0], (0, 1), [["up"], ["up"]])
    return pair


def test_the_better_of_two_drives_counts() -> None:
    """Against all pairs of drives, one after another: the one that costs less is played on."""
    pair, each = unequal_pair(), []
    for who in (0, 1):
        (driven,) = pair.strikes[who]
        drives, then = driven.strike.drives, driven.then[..., 1 - who, None]
        by_drive = [drives.chances(then, one)[0].sum(axis=0) for one in np.eye(len(drives.replayed))]
        per_world = len(by_drive) // DRAW_SETS
        each.append(per_world * np.stack(by_drive) + drives.replayed[:, None] * later(pair.again[1 - who]))
    mine, theirs = each
    np.testing.assert_allclose(mine.sum(axis=1), 1, atol=1e-6)
    mine_counts = (mine @ STROKES)[:, None] <= theirs @ STROKES
    played = [mine_counts.mean(axis=1)[:, None] * mine, (~mine_counts).mean(axis=0)[:, None] * theirs]
    total = np.sum([one.reshape(DRAW_SETS, per_world, -1).mean(axis=1) for one in played], axis=0)
    (option,) = pair.greensomes()
    expected = on_scores(total / total.sum(axis=1, keepdims=True))
    np.testing.assert_allclose(option.chances, expected, atol=1e-6)


def test_after_out_of_bounds_the_partner_plays_again() -> None:
    """E_A = (1 - p_A) m_A + p_A (2 + E_B), and likewise E_B (Rule 22.3), against their solution."""
    pair = unequal_pair()
    chances = pair.again
    (on_a, p_a), (on_b, p_b) = pair.parts[0][0], pair.parts[1][0]
    assert min(p_a, p_b) > 0.05
    m = [float(on @ STROKES) / (1 - p) for on, p in ((on_a, p_a), (on_b, p_b))]
    equations = np.array([[1, -p_a], [-p_b, 1]])
    E = np.linalg.solve(equations, [(1 - p_a) * m[0] + 2 * p_a, (1 - p_b) * m[1] + 2 * p_b])
    assert chances.sum(axis=1) == pytest.approx(1, abs=1e-6)
    # Strokes beyond the last that is told apart, one round in some hundreds here, count as so many.
    assert chances @ STROKES == pytest.approx(E, abs=0.01)
    assert E[1] > E[0]


def test_a_ball_played_in_turn_lies_between_what_either_would_make_of_it() -> None:
    course = in_a_row((5, 540))
    weak = typical_player("Hal Marrin", "man", 24.0, 84 * MPH)
    (hole,) = play_holes(course, [LONG, weak], lambda hole, _: hole.tees[0], partner, FEW)
    scores = [one.scores for one in hole]
    turns = solve_alternate_shots(scores, [one.shots for one in hole])
    x, y = np.full(5, APART), np.linspace(200, 400, 5)

    def mean(within: NDArray[np.float32]) -> NDArray[np.float64]:
        chances = replace(scores[0], cumulative=within).at(Lie.FAIRWAY, x, y)
        return np.asarray(1 + (1 - chances).sum(axis=1))

    # Who has themselves for a partner plays as alone, whose chances are kept to a 65,535th.
    np.testing.assert_allclose(turns.cumulative[0][..., 0], scores[0].cumulative, atol=1e-4)
    good, bad = mean(scores[0].cumulative), mean(scores[1].cumulative)
    for turn in (mean(turns.cumulative[1][..., 0]), mean(turns.cumulative[0][..., 1])):
        assert (good < turn).all()
        assert (turn < bad).all()


# --- own best -----------------------------------------------------------------------------------------


def test_a_captain_and_each_member_who_plans_alone_find_the_same_strikes() -> None:
    """But for strikes that differ by hardly anything: a captain's grid is coarser, the drives fewer."""
    holes, team = [4, 9, 15], load_team(find("teams/skerry.toml"))
    whole = load_course(find("demo.geojson"))
    course = replace(whole, holes=tuple(hole for hole in whole.holes if hole.number in holes))
    plan = plan_team(course, replace(team, opponents=()), "stroke", RoundOptions(draws=1024))
    tees = tees_of(course, team)
    for player in team.players:
        (side,) = (side for side in plan.sides if side.names == (player.name,))
        names = [tees(hole, player).name for hole in course.holes]
        alone = make_plan(course, player, RoundOptions(draws=4096), holes=holes, tees=names[:1]).tees
        for tee, found in zip(alone, side.holes, strict=True):
            hit = next(one for one in tee.strikes if one.label == found.drives[0].strike)
            assert abs(hit.loss.mean() - tee.choice.loss.mean()) < 0.02, (player.name, tee.hole.number)


# --- formats ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def two_holes() -> Course:
    return in_a_row((4, 410), (3, 160))


def test_pairs_need_no_more_than_handicap_order(two_holes: Course) -> None:
    plan = planned(two_holes, team_of(*OTHERS), "four-ball")
    assert sorted(name for side in plan.sides for name in side.names) == sorted(p.name for p in OTHERS)
    assert plan.total == pytest.approx(sum(side.strokes for side in plan.sides))
    alone = planned(two_holes, team_of(*OTHERS), "stroke")
    best = {side.names[0]: side.strokes for side in alone.sides}
    for side in plan.sides:
        assert side.strokes < min(best[name] for name in side.names)


def test_net_strokes_are_taken_off(two_holes: Course) -> None:
    gross, net = (planned(two_holes, team_of(*OTHERS), "stroke", net=net) for net in (False, True))
    strokes = [{side.names[0]: side for side in plan.sides} for plan in (gross, net)]
    for name, side in strokes[1].items():
        assert side.strokes == pytest.approx(strokes[0][name].strokes - side.received[0], abs=1e-6)
    assert any("slope of 113" in what for what in net.assumed)


def test_strokes_fall_on_the_holes_of_the_lowest_index(two_holes: Course) -> None:
    """With one ball too, whatever the order of the holes."""
    holes = tuple(
        replace(hole, stroke_index=index) for hole, index in zip(two_holes.holes, (9, 2), strict=True)
    )
    field = RosterScores(tuple(OTHERS), holes, (), (0.0,) * 4)
    assert [field.received(strokes) for strokes in (1, 3, -1)] == [[0, 1], [1, 2], [-1, 0]]
    course = replace(two_holes, holes=holes)
    pair, rivals = OTHERS[:2], [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[:2])]
    # One stroke on the par 3 wins that hole more often than one on the par 4 would the other.
    odds = []
    for chosen in (course, two_holes):
        team = replace(team_of(*pair, opponents=rivals), ratings={})
        team = replace(
            team, players=(replace(pair[0], handicap_index=9.0), replace(pair[1], handicap_index=9.0))
        )
        odds.append(planned(chosen, team, "foursomes", net=True).sides[0])
    assert odds[0].received == odds[1].received == (1,)
    assert odds[0].odds != odds[1].odds


def test_singles_against_oneself_are_even(two_holes: Course) -> None:
    plan = planned(two_holes, team_of(LONG, opponents=[replace(LONG, name="the same")]), "singles")
    assert plan.total == pytest.approx(0.5, abs=0.01)
    assert plan.sides[0].odds is not None
    assert sum(plan.sides[0].odds) == pytest.approx(1)


def test_the_order_matters_where_it_is_known_only(two_holes: Course) -> None:
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[:3])]
    known, unknown = (
        planned(two_holes, team_of(*OTHERS[:3], opponents=rivals, order_known=order), "singles")
        for order in (True, False)
    )
    assert [side.against for side in known.sides] == [(rival.name,) for rival in rivals]
    points = np.array(known.chances)
    order = [known.rows.index(side.names) for side in known.sides]
    assert points[order, range(3)].sum() == pytest.approx(known.total, abs=0.02)
    assert "the order does not matter" in unknown.notes[0]
    assert unknown.total == pytest.approx(points.mean() * 3, abs=0.02)


def test_strokes_that_hang_on_the_opponent_are_on_no_line(two_holes: Course) -> None:
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[::3])]  # scratch, and nine
    team = team_of(*OTHERS[2:], opponents=rivals, order_known=False)
    plan = planned(two_holes, team, "singles", net=True)
    assert [side.received for side in plan.sides] == [(), ()]
    assert "depend on whom one meets" in plan.notes[1]
    assert all("receives" not in strip.place for strip in hand_outs(plan))
    assert "depend on whom" in team_text(plan)


def test_chances_add_to_a_hundred() -> None:
    assert in_hundred((0.335, 0.335, 0.33)) == [34, 33, 33]
    assert in_hundred((0.005, 0.99, 0.005)) == [1, 99, 0]
    for chances in np.random.default_rng(1).dirichlet(np.ones(3), 200):
        found = in_hundred(chances.tolist())
        assert sum(found) == 100
        assert np.abs(np.array(found) - 100 * chances).max() < 1


def test_a_strip_says_where_strokes_fall(two_holes: Course) -> None:
    """A plus handicap gives strokes back in stroke play; in a match the lowest plays off nought."""
    plus = replace(OTHERS[0], handicap_index=-9.0)
    (side,) = planned(two_holes, team_of(plus), "stroke", net=True).sides
    assert side_text(side) == "Player 0 (gives 1)"
    other = replace(OTHERS[1], name="Rival", handicap_index=17.0)
    plan = planned(two_holes, team_of(plus, opponents=[other]), "singles", net=True)
    (strip,) = hand_outs(plan)
    assert strip.place == "against Rival; Rival receives 3, 1 at every hole and one more at 1"
    assert [tee.dots for tee in strip.tees] == ["", ""]
    (strip,) = hand_outs(planned(two_holes, team_of(other, opponents=[plus]), "singles", net=True))
    assert strip.place == "against Player 0; receives 3"
    assert [tee.dots for tee in strip.tees] == ["••", "•"]


def test_what_partners_wait_for_stands_on_their_own_strips(two_holes: Course) -> None:
    hole = replace(
        planned(two_holes, team_of(*OTHERS[:2]), "four-ball").sides[0].holes[0], first="Player 0",
        changes=(Change(who="Player 1", strike="down", when="once Player 0 is in trouble"),),
    )  # fmt: skip
    plan = planned(two_holes, team_of(*OTHERS[:2]), "four-ball")
    (side,) = plan.sides
    first, second = hand_outs(replace(plan, sides=(replace(side, holes=(hole, side.holes[1])),)))
    assert first.changes == ("hole 1: tee off first",)
    assert second.changes == ("hole 1: down once Player 0 is in trouble",)


def test_the_same_seed_gives_the_same_plan(two_holes: Course, monkeypatch: pytest.MonkeyPatch) -> None:
    found = []
    for threads in ("1", "3"):
        monkeypatch.setenv("HOLESIM_THREADS", threads)
        found.append(json.dumps(planned(two_holes, team_of(LONG, SHORT), "foursomes").to_dict()))
    assert found[0] == found[1]


def test_the_report_says_what_does_not_matter(two_holes: Course) -> None:
    twins = [replace(LONG, name=f"Twin {k}") for k in range(4)]
    said = team_text(planned(two_holes, team_of(*twins), "four-ball"))
    assert "these strikes over everyone's own best: it does not matter" in said
    assert "Rule 4.3a" in said


# --- the file and the command -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('players = ["{}"]', "team.toml: name: is missing; add it"),
        ('name = "A"\nplayers = ["no.toml"]', "no.toml: no such file or directory; check the path"),
        ('name = "A"\nplayers = ["{}", "{}"]', "players: has 2 called Corin Vale"),
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


@pytest.mark.parametrize(
    ("team", "format_", "options", "message"),
    [
        (team_of(*OTHERS[:3]), "four-ball", {}, "players: are 3, who do not make pairs"),
        (team_of(*OTHERS), "singles", {}, "opponents: are missing"),
        (team_of(*OTHERS, opponents=OTHERS[:2]), "singles", {}, "opponents: are 2 against 4"),
        (team_of(*OTHERS), "foursomes", {"count": 2}, "count: does not go with foursomes"),
        (team_of(*OTHERS), "stroke", {"count": 5}, "count: 5 is not from 1 to 4"),
        (replace(team_of(LONG), tees={"man": "red"}), "stroke", {}, "tees.man: red is no tee of hole 1"),
    ],
)
def test_a_team_that_does_not_fit(
    two_holes: Course, team: Team, format_: str, options: dict[str, int], message: str
) -> None:
    with pytest.raises(InputError) as caught:
        planned(two_holes, team, format_, **options)
    assert message in str(caught.value)


def test_who_hits_the_driver_one_way_by_their_file_and_of_whom_it_is_assumed(
    tmp_path: Path, two_holes: Course
) -> None:
    about = 'name = "{}"\nhand = "right"\nsex = "man"\nhandicap_index = 9.0\nclub_speed_mph = 95\n'
    for name, habit in (("A", ""), ("B", "can_choose = false\n"), ("C", "can_choose = true\n")):
        (tmp_path / f"{name}.toml").write_text(about.format(name) + habit, "utf-8")
    (tmp_path / "team.toml").write_text('name = "D"\nplayers = ["A.toml", "B.toml", "C.toml"]\n', "utf-8")
    plan = planned(two_holes, load_team(tmp_path / "team.toml"), "stroke")
    said, assumed = (note for note in plan.notes if note.startswith("one driver strike all day, "))
    assert re.fullmatch("one driver strike all day, as their files say: B (up|down)", said)
    assert re.fullmatch("one driver strike all day, assumed where a file does not say: A (up|down)", assumed)
    # Nobody drives at a par 3 for want of another club.
    for side in plan.sides:
        assert side.holes[1].drives[0].strike not in ("up", "level", "down")


def test_the_command(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "team.toml"
    players = [str(find(f"players/{name}.toml")) for name in ("good_amateur", "wild_man")]
    path.write_text(
        f'name = "Two"\nplayers = {json.dumps(players)}\norder_known = true\n'
        'opponents = [{ name = "A", handicap_index = 3, club_speed_mph = 104 },'
        " { handicap_index = 12.0, club_speed_mph = 95.0 }]\n"
    )
    words = ("team", str(find("template.geojson")), str(path), "--format", "foursomes", "--draws", "256")
    code, said, err = run(*words, "--out", str(tmp_path / "out"))
    assert code == 0, err
    assert "Corin Vale" in said
    assert max(map(len, said.splitlines())) <= 130
    content = json.loads((tmp_path / "out" / "team.json").read_text(encoding="utf-8"))
    assert content["sides"][0]["against"] == ["A", "opponent 2"]
    for player in content["players"]:
        (hole,) = player["holes"]
        for strike in hole["strikes"]:
            scores = np.array(strike["scores"])
            assert scores.sum() == pytest.approx(1, abs=1e-4)
            assert scores @ np.arange(1, len(scores) + 1) == pytest.approx(strike["strokes"], abs=1e-3)
    code, said, _ = run(*words, "--json")
    assert json.loads(said) == content
    code, said, err = run(*words[:4], "five-ball")
    assert (code, said) == (2, "")
