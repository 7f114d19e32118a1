"""Goals: a par or a birdie may ask for another strike than the fewest strokes on average."""

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground
from holesim.plan.goal import GOALS, GoalName
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.reports.plan_text import plan_text
from holesim.units import YARD
from tests.conftest import straight_course


@pytest.fixture(scope="module")
def moated() -> Course:
    """Return a short par 4 whose green, with water on three sides, a long drive may reach."""
    pin = 285 * YARD
    moat = Polygon([(-34, -26), (-16, -26), (-16, 20), (16, 20), (16, -26), (34, -26), (34, 34), (-34, 34)])
    moat = translate(moat, 0, pin)
    return straight_course(285, areas=((Ground.RED, moat),))


def test_each_goal_is_likeliest_where_it_is_aimed_at(amateur: Player, moated: Course) -> None:
    plans = {name: make_plan(moated, amateur, RoundOptions(goal=name, draws=4096)).tees[0] for name in GOALS}
    wanted: dict[GoalName, int] = {"par": 4, "birdie": 3}
    for name, most in wanted.items():
        mine = plans[name].strikes[0].scored(1, most)
        assert mine == max(s.scored(1, most) for s in plans[name].strikes)
        for other in plans.values():
            # Aims are chosen by other draws than score.
            assert mine > max(s.scored(1, most) for s in other.strikes) - 0.005
    # Water costs a stroke, which a par may survive and a birdie does not.
    assert plans["par"].choice.trouble < plans["birdie"].choice.trouble
    least = min(s.strokes for plan in plans.values() for s in plan.strikes)
    assert plans["mean"].strikes[0].strokes == pytest.approx(least, abs=0.005)


@pytest.mark.parametrize("name", ["par", "birdie"])
def test_a_difference_is_in_the_goal(amateur: Player, moated: Course, name: GoalName) -> None:
    plan = make_plan(moated, amateur, RoundOptions(goal=name, draws=512))
    (tee,), (said,) = plan.tees, plan.to_dict()["tees"]
    first, second = (1 - s.scored(1, 4 + (GOALS[name].over or 0)) for s in tee.strikes[:2])
    assert said["difference"][f"no_{name}_chance"] == pytest.approx(first - second, abs=1e-9)
    assert plan.options["goal"] == name
    text = plan_text(plan)
    assert f"{100 * (1 - tee.choice.loss.mean()):.1f}" in text
    assert f"{1 - tee.choice.loss.mean():.1f} {name}s or better on this hole" in text


def test_a_loss_and_how_it_reads_by_hand() -> None:
    """On a par 4 with chances of 0.1, 0.4 and 0.8 of two, three and four strokes or fewer.

    A par is missed with 0.2 and a birdie with 0.6; 2 in 100 fewer misses are 2 in 100 more pars.
    """
    within, costs = np.array([[0.0, 0.1, 0.4, 0.8, 1.0]]), np.array([3.7])
    assert [
        float(GOALS[name].loss(4, costs, within)[0]) for name in ("mean", "par", "birdie")
    ] == pytest.approx([3.7, 0.2, 0.6])
    assert float(GOALS["par"].loss(3, costs, within)[0]) == pytest.approx(0.6)
    assert [GOALS["mean"].text(4.567), GOALS["par"].text(0.2), GOALS["birdie"].text(0.6)] == [
        "4.57",
        "80.0",
        "40.0",
    ]
    assert GOALS["mean"].over_text(-0.123, 0.045) == "-0.12 ±0.04"
    assert GOALS["mean"].over_text(0.123, 0.045, more=1) == "+0.123 ±0.045"
    assert GOALS["par"].over_text(-0.02, 0.01) == "+2.0 ±1.0"
    assert GOALS["birdie"].over_text(0.02, 0.01, more=1) == "-2.00 ±1.00"
