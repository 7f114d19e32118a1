"""What drives tell of the golfer: a shift moves the bias, a wider swing the spread, and each no more."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.plan.plan import make_plan
from holesim.plan.plan_tables import PlanFile
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.study.lesson import Lesson, find_lesson
from holesim.study.round_file import DriveResult
from tests.study.simulated_rounds import Pool, move


@pytest.fixture(scope="module")
def pool(demo_course: Course, amateur: Player, plan: PlanFile) -> Pool:
    made = make_plan(demo_course, amateur, RoundOptions(draws=1024, seed=7), holes=[1, 4, 9])
    return Pool(made, plan)


def told(drives: list[DriveResult], plan: PlanFile) -> Lesson:
    lesson = find_lesson(drives, "side", plan.probabilities)
    assert lesson is not None
    return lesson


@pytest.mark.parametrize(("right", "wider"), [(0.0, 1.0), (15.0, 1.0), (0.0, 1.5), (15.0, 1.5)])
def test_intervals_hold_the_truth_19_times_in_20(
    pool: Pool, plan: PlanFile, right: float, wider: float
) -> None:
    """Of a hundred rounds of 14 drives; a right interval fails this once in two hundred times."""
    rng = np.random.default_rng(11)
    found = [told(move(pool.draw(14, rng), right=right, wider=wider), plan) for _ in range(100)]
    assert sum(right in lesson.bias for lesson in found) >= 89
    assert sum(wider in lesson.spread for lesson in found) >= 89
    assert np.mean([lesson.bias.value for lesson in found]) == pytest.approx(right, abs=2.0 * wider)
    assert np.median([lesson.spread.value for lesson in found]) == pytest.approx(wider, rel=0.07)


def test_a_shift_moves_the_bias_by_as_much_and_leaves_the_spread(pool: Pool, plan: PlanFile) -> None:
    drives = pool.draw(14, np.random.default_rng(12))
    before, after = told(drives, plan), told(move(drives, right=15), plan)
    assert after.bias.value - before.bias.value == pytest.approx(15, abs=0.01)
    assert after.bias.high - before.bias.high == pytest.approx(15, abs=0.01)
    assert after.spread.value == pytest.approx(before.spread.value, rel=1e-4)


def test_what_does_not_count_is_left_out(pool: Pool, plan: PlanFile) -> None:
    """Balls that are out, sides not recorded, other clubs; and fewer than five drives tell nothing."""
    drives = pool.draw(7, np.random.default_rng(13))
    wood = drives[0].strike.model_copy(update={"club": "3-wood"})
    more = [
        replace(drives[0], side=90.0, lie="out"),
        replace(drives[0], side=np.nan),
        replace(drives[0], side=90.0, strike=wood),
    ]
    assert told([*drives, *more], plan).bias == told(drives, plan).bias
    assert find_lesson(drives[:4], "side", plan.probabilities) is None


def test_planned_misses_are_those_of_the_strikes_hit(pool: Pool, plan: PlanFile) -> None:
    """Of drives of one strike they are its quantiles about the middle."""
    drives = [d for d in pool.draw(21, np.random.default_rng(14)) if d.tee is plan.tees[0]]
    lesson, quantiles = told(drives, plan), drives[0].strike.side_quantiles_yd
    assert quantiles is not None
    assert lesson.planned == pytest.approx(np.array(quantiles) - quantiles[len(quantiles) // 2])
    assert lesson.drives == len(drives)


@pytest.mark.parametrize("sides", [[0.0] * 6, [12.0] * 6, [-200.0, 200.0] * 3, [-200.0] * 6])
def test_impossible_golfers_are_told_apart_all_the_same(plan: PlanFile, sides: list[float]) -> None:
    """Who never errs by the plan, and who hits each drive to the same place or from one edge to the other."""
    tee = plan.tees[0]
    strike = tee.chosen()
    planned = strike.side_quantiles_yd
    assert planned is not None
    for quantiles in (planned, [0.0] * len(planned)):
        hit = strike.model_copy(update={"side_quantiles_yd": quantiles})
        lesson = told([DriveResult(2, tee, hit, "rough", 200.0, side, np.nan) for side in sides], plan)
        middle = quantiles[len(quantiles) // 2]
        assert lesson.bias.value == pytest.approx(np.mean(sides) - middle, abs=6)
        assert 0 < lesson.spread.low < lesson.spread.value < lesson.spread.high
        assert (lesson.spread.value > 1) == (np.std(sides) > 0)
