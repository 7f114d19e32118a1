"""The picture of the next shot: what it says, and that the shot is the one that was found."""

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.course.ground_map import map_ground
from holesim.pictures.next_shot_picture import draw_next_shot
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.shot.relief import Lie
from holesim.units import YARD
from tests.paper import check_picture, said


@pytest.mark.parametrize("metric", [False, True])
def test_the_picture_says_what_is_next(plan: Plan, *, metric: bool) -> None:
    tee = plan.tees[1]
    axes = draw_next_shot(tee, plan.course, map_ground(plan.course), metric=metric)
    text = said(axes.get_figure(root=True))
    assert tee.rival is not None
    for strike in (tee.choice, tee.rival):
        shot = strike.then
        assert shot is not None
        away, length = (np.hypot(x - shot.x, y - shot.y) for x, y in (tee.hole.pin, shot.target))
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        assert f"After {strike.label}" in text
        assert f"{away / scale:.0f} {unit} from the flag: {shot.strokes:.2f} strokes to hole out" in text
        assert f"Next: {length / scale:.0f} {unit}" in text
    assert all(f" {level} " in f" {text} " for level in ("3.0", "3.5", "4.0"))


def test_a_next_shot_is_the_one_that_was_found(plan: Plan) -> None:
    tee = plan.tees[1]
    assert tee.expected is not None
    for strike in tee.strikes:
        shot = strike.then
        assert shot is not None
        # It is played from where such a drive lies, and costs what is expected there.
        drives = strike.drives
        assert np.hypot(drives.x - shot.x, drives.y - shot.y).min() == 0
        place = np.array([shot.x]), np.array([shot.y])
        assert shot.strokes == pytest.approx(float(tee.expected.at(shot.lie, *place)[0]))
        # From a par 4's fairway, in reach, it is for the green.
        away = np.hypot(shot.x - tee.hole.pin[0], shot.y - tee.hole.pin[1])
        if shot.lie == Lie.FAIRWAY and away < 150:
            assert np.hypot(shot.target[0] - tee.hole.pin[0], shot.target[1] - tee.hole.pin[1]) < 15
    assert tee.expected.next_shot(Lie.FAIRWAY, 10_000.0, 0.0) is None


def test_a_plan_by_table_has_no_next_shots(demo_course: Course, amateur: Player) -> None:
    conditions = RoundOptions(table=True)
    by_table = make_plan(demo_course, amateur, conditions.changed(draws=256), holes=[4])
    with pytest.raises(ValueError, match="table of lies and distances"):
        draw_next_shot(by_table.tees[0], demo_course, map_ground(demo_course))


def test_words_stay_on_the_paper_and_apart(plan: Plan, hostile: Plan) -> None:
    for given in (plan, hostile):
        axes = draw_next_shot(given.tees[1], given.course, map_ground(given.course))
        figure = axes.get_figure(root=True)
        assert figure is not None
        check_picture(figure)
