"""What a plan sees and a table by lie and distance does not: doglegs, ponds, and trees before the green."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Polygon

from holesim.course.course import Area, Course, Ground
from holesim.course.ground_map import map_ground
from holesim.course.holes import Hole, Tee
from holesim.plan import table_comparison
from holesim.plan.aiming import find_aims
from holesim.plan.conditions import Conditions
from holesim.plan.evaluator import Evaluator
from holesim.plan.explain import table_text
from holesim.plan.goal import MEAN
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.plan.tee_plan import TeePlan
from holesim.player.make_player import standard_player
from holesim.player.player import Player
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import STEP, ExpectedStrokes, strokes_by_distance
from holesim.shot.air import make_air
from holesim.shot.club_speeds import load_player
from holesim.shot.relief import Finish
from holesim.units import DEGREE, MPH, YARD
from tests.conftest import straight_course

WOOD = Polygon([(25, 60), (25, 190), (100, 265), (140, 265), (140, 60)])


def dogleg(*, wooded: bool) -> Course:
    """Return a hole that bends right at 230 yd, with or without tall trees inside the bend."""
    line, pin = LineString([(0, 0), (0, 210), (130, 330)]), (130.0, 330.0)
    green = shapely.Point(pin).buffer(12)
    hole = Hole(
        number=1, par=4, stroke_index=1, line=line, tees=(Tee("back", 0.0, 0.0, line.length),), green=green,
        pin=pin,
    )  # fmt: skip
    areas = [
        Area(Ground.ROUGH, shapely.box(-300, -50, 400, 500), "beyond"),
        Area(Ground.FAIRWAY, LineString([(0, 120), *line.coords[1:]]).buffer(14), "fairway"),
        Area(Ground.GREEN, green, "green"),
    ]
    if wooded:
        areas.append(Area(Ground.TREES, WOOD, "wood", height=25.0))
    return replace(straight_course(), holes=(hole,), areas=tuple(areas))


def planned(course: Course, player: Player, *, by_table: bool = False, draws: int = 1024) -> TeePlan:
    conditions = RoundOptions(table=by_table)
    return make_plan(course, player, conditions.changed(draws=draws)).tees[0]


def test_a_dogleg_with_trees_inside_does_not_pay_to_cut() -> None:
    player = standard_player(5, 105 * MPH, "man")  # whose drives do not clear 25 m of trees on the way down
    bare, wooded = (planned(dogleg(wooded=trees), player).choice for trees in (False, True))
    by_table = planned(dogleg(wooded=True), player, by_table=True).choice
    assert bare.aim - wooded.aim > 5 * DEGREE
    # The table takes what lies nearer, behind the trees.
    assert by_table.aim - wooded.aim > 0.5 * DEGREE
    assert by_table.shares["trees"] - wooded.shares["trees"] > 0.02


def test_on_a_refined_grid_strikes_gain_as_much_over_one_another(
    demo_course: Course, amateur: Player
) -> None:
    """To less than a hundredth, which is what a plan shows, on the two demo tees that change most."""
    evaluator = Evaluator(demo_course, amateur, Conditions(air=make_air()), MEAN, 1024, seed=1)
    levels, gains = [], []
    for hole in demo_course.holes:
        if hole.number not in (4, 15):
            continue
        tee, costs, aims = hole.tees[0], [], None
        for step in (STEP, STEP / 2):
            at = evaluator.on_tee(hole, tee, evaluator.value_hole(hole, step=step))
            aims = aims or find_aims(evaluator, at)
            scored = {aim.strike: plan.strokes for aim, plan in evaluator.score(aims, at)}
            costs.append(np.array([scored[aim.strike] for aim in aims]))
        change = costs[1] - costs[0]
        levels.append(change)
        gains.append(change - change[np.argmin(costs[0])])
    level, gain = np.concatenate(levels), np.concatenate(gains)
    assert (level != 0).all()
    assert np.abs(level).max() < 0.01
    assert np.abs(gain).max() < 0.01


def test_the_plan_says_where_the_table_would_have_another(amateur: Player) -> None:
    # The table keeps short of the narrows, from where the pond is harder to carry.
    pin = 450 * YARD
    pond, left = shapely.box(-40, pin - 60, 40, pin - 16), shapely.box(-58, 180, -22, 260)
    right = shapely.transform(left, lambda xy: xy * (-1, 1))
    course = straight_course(450, areas=tuple((Ground.RED, water) for water in (pond, left, right)))
    ours, theirs = planned(course, amateur, draws=512), planned(course, amateur, by_table=True, draws=512)
    assert ours.choice.label != theirs.choice.label
    said = table_text(ours.by_table)
    assert said.startswith(f"a table by lie and distance would choose {theirs.choice.label}: it leaves")
    assert "but a penalty area lies before the green (+0." in said
    assert theirs.by_table is None
    plain = planned(straight_course(420), amateur, draws=512)
    assert plain.by_table is None


@pytest.mark.parametrize(("side", "words"), [(-1, "from the left"), (1, "from the right")])
def test_it_says_from_where_trees_stand_before_the_green(amateur: Player, side: int, words: str) -> None:
    pin, bare = 300 * YARD, straight_course(300)
    oaks = shapely.box(min(0, 60 * side), pin - 60, max(0, 60 * side), pin - 30)
    course = replace(bare, areas=(*bare.areas, Area(Ground.TREES, oaks, "oaks")))
    drivers = tuple(s for s in amateur.strikes if s.club == "driver")
    up, down = planned(bare, replace(amateur, strikes=drivers), draws=512).strikes
    table = strokes_by_distance(
        strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0)), bare.holes[0], map_ground(bare)
    )
    # It is 0.3 strokes harder from behind them.
    behind = np.sign(np.round(table.axes[0])) == side
    expected = ExpectedStrokes(table.grid._replace(values=table.grid.values + np.float32(0.3) * behind))
    view = table_comparison.HoleComparison(
        course, course.holes[0], course.holes[0].tees[0], expected, table, 200.0
    )
    # As if every drive of one strike lay short of them, some behind them and some not.
    x = np.linspace(-12, 12, len(up.drives.x))
    short = replace(up.drives, x=x, y=np.full_like(x, pin - 150), finish=0 * up.drives.finish)
    said = table_text(table_comparison.compare_with_table(down, replace(up, drives=short), view))
    assert f"it leaves 164 yd, but {words} trees stand before the green (+0.1" in said
    ours = down.drives
    played = ~np.isin(ours.finish, (Finish.GREEN, Finish.PENALTY, Finish.OUT))
    share = np.clip(side * ours.x[played] / STEP, 0, 1).mean()  # between grid points it rises evenly
    shown = float(said.rpartition(f"; after {down.label} ")[2].removesuffix(")"))
    assert shown == pytest.approx(0.3 * share, abs=0.006)


def test_the_longest_club_of_a_player_sets_what_is_in_reach(player_file: Callable[..., Path]) -> None:
    course = straight_course(560, par=5)

    def strokes_with(clubs: str) -> float:
        player = load_player(player_file(f"[strikes.up]\nattack_deg = 4\n{clubs}"))
        tee = make_plan(course, player, RoundOptions(draws=512)).tees[0]
        return next(s.strokes for s in tee.strikes if s.club == "driver")

    usual, listed, longer, iron, no_wood = map(
        strokes_with,
        (
            "",
            '[clubs."3-wood"]',
            '[clubs."3-wood"]\nclub_speed_mph = 104',
            '[clubs."7-iron"]',
            '[clubs."5-hybrid"]',
        ),
    )
    assert listed == pytest.approx(usual, abs=1e-6)
    assert iron == pytest.approx(usual, abs=1e-6)  # an iron leaves the usual wood in the bag
    assert no_wood == pytest.approx(usual, abs=1e-6)  # the other clubs are the usual ones
    assert longer < usual
