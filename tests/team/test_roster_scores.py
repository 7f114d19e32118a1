"""Each player's own best strikes."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.course.course_file import load_course
from holesim.data.examples import find
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import StrikeName
from holesim.team.planner import plan_team
from holesim.team.roster_scores import RosterScores, choose_day_strike, rank_strikes
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import load_team
from holesim.team.tees_and_handicaps import find_tees
from tests.team.teams import OTHERS, chances, in_a_row, strike_scores

Floats = NDArray[np.float64]


def test_a_captain_and_each_member_who_plans_alone_find_the_same_strikes() -> None:
    """But for strikes that differ by hardly anything: a captain's grid is coarser, the drives fewer."""
    holes, team = [4, 15], load_team(find("teams/skerry.toml"))
    team = replace(team, players=team.players[::2])
    whole = load_course(find("demo.geojson"))
    course = replace(whole, holes=tuple(hole for hole in whole.holes if hole.number in holes))
    plan = plan_team(course, replace(team, opponents=(), cards={}), "stroke", RoundOptions(draws=1024))
    tees = find_tees(course, team, team.players)
    for player, own_tees in zip(team.players, tees, strict=True):
        (side,) = (side for side in plan.sides if side.names == (player.name,))
        alone = make_plan(course, player, RoundOptions(draws=4096), holes=holes, tees=[own_tees[0].name]).tees
        for tee, found in zip(alone, side.holes, strict=True):
            hit = next(one for one in tee.strikes if one.label == found.drives[0].strike)
            assert abs(hit.loss.mean() - tee.choice.loss.mean()) < 0.02, (player.name, tee.hole.number)


def test_on_a_course_of_par_3s_nobody_keeps_to_a_driver_strike() -> None:
    iron = replace(strike_scores("7-iron", chances(0, 0, 0, 0.5, 0.5)), club="7-iron")
    round_ = [(iron,)] * 9
    holes = in_a_row(*((3, 150.0),) * 9).holes
    assert choose_day_strike(round_, OTHERS[0], holes) is None
    assert rank_strikes(round_, replace(OTHERS[0], can_choose=False), holes) == tuple(round_)


def even(mean: float) -> Floats:
    """Return chances of four and of five strokes with such a mean."""
    return chances(0, 0, 0, 5 - mean, mean - 4)


def hit(label: str, mean: float) -> StrikeScores:
    club = "driver" if label in ("up", "down") else label
    return replace(strike_scores(label, even(mean)), club=club)


def round_of(down: float) -> list[tuple[StrikeScores, ...]]:
    """Return a par 4, a par 3 and a par 5, in which down costs so many strokes on the first."""
    return [
        (hit("up", 4.5), hit("down", down)),
        (hit("7-iron", 4.3), hit("down", 4.1)),
        (hit("up", 4.9), hit("down", 4.95), hit("3-wood", 4.87)),
    ]


@pytest.mark.parametrize(
    ("down", "usual", "chosen", "over"),
    [
        # Up costs 4.5 and, with the wood on the par 5, 4.87; down 4.6 and 4.87. The par 3 does not count.
        (4.6, None, "up", None),
        (4.6, "up", "up", None),
        (4.6, "down", "up", -0.1),
        (4.515, "down", "down", None),  # which costs hardly more
        (4.4, "up", "down", -0.1),
        (4.6, "level", "up", None),  # which nobody hits
    ],
)
def test_the_days_strike_of_a_member(
    down: float, usual: StrikeName | None, chosen: str, over: float | None
) -> None:
    holes = in_a_row((4, 400.0), (3, 150.0), (5, 500.0)).holes
    member = replace(OTHERS[0], can_choose=False, usual=usual)
    day = choose_day_strike(round_of(down), member, holes)
    assert day is not None
    assert day.label == chosen
    if over is None:
        assert day.over_usual is None
    else:
        assert day.over_usual is not None
        assert day.over_usual.mean == pytest.approx(over)


def test_strikes_are_ranked_own_best_first() -> None:
    """All day up: down is no option anywhere, and the wood is first on the par 5.

    Who chooses by the hole hits what costs least there, or the usual strike where that costs hardly more.
    """
    holes = in_a_row((4, 400.0), (3, 150.0), (5, 500.0)).holes

    def labels(can_choose: bool, usual: StrikeName | None = None) -> list[list[str]]:  # noqa: FBT001
        member = replace(OTHERS[0], can_choose=can_choose, usual=usual)
        return [[one.label for one in strikes] for strikes in rank_strikes(round_of(4.6), member, holes)]

    assert labels(can_choose=False) == [["up"], ["7-iron"], ["3-wood", "up"]]
    assert labels(can_choose=True) == [["up", "down"], ["down", "7-iron"], ["3-wood", "up", "down"]]
    assert labels(can_choose=True, usual="up") == labels(can_choose=True)  # 0.03 more than the wood


def test_a_strike_that_is_all_there_is_on_a_hole_is_hit_whatever_the_days() -> None:
    """Down is best over the round, but on the second hole only up was worth trying."""
    round_ = [(hit("up", 4.6), hit("down", 4.5)), (hit("up", 4.5),)]
    holes = in_a_row((4, 400.0), (4, 300.0)).holes
    found = rank_strikes(round_, replace(OTHERS[0], can_choose=False, usual=None), holes)
    assert [[one.label for one in strikes] for strikes in found] == [["down"], ["up"]]


def test_a_round_of_scores_as_it_is_written() -> None:
    iron = strike_scores("7-iron", 0.8 * chances(0, 0, 1), 0.2 * chances(0, 0, 0, 0, 1))
    holes = in_a_row((3, 150.0)).holes
    roster = RosterScores(tuple(OTHERS[:1]), holes, (), (((iron,),),), (0.0,))
    (told,) = roster.to_dict()
    assert told["player"] == OTHERS[0].name
    (strike,) = told["holes"][0]["strikes"]
    assert (told["holes"][0]["hole"], strike["strike"]) == (1, "7-iron")
    assert (strike["strokes"], strike["trouble"]) == pytest.approx((0.8 * 3 + 0.2 * 5, 0.2))
    assert strike["scores"][:6] == [0, 0, 0.8, 0, 0.2, 0]
