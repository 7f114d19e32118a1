"""Each player's own best strikes."""

from dataclasses import replace

from holesim.course.course_file import load_course
from holesim.data.examples import find
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.team.planner import plan_team
from holesim.team.roster_scores import choose_day_strike, rank_strikes
from holesim.team.team_file import load_team
from holesim.team.tees_and_handicaps import find_tees
from tests.team.teams import OTHERS, chances, in_a_row, strike_scores


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
