"""What choices and drives were worth in strokes: the plan's own numbers, and luck that is none on average."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.plan.plan_tables import PlanFile
from holesim.study.review import Review, compare_round
from holesim.study.round_file import DriveResult, RoundFile
from holesim.study.round_strokes import find_differences, find_luck
from tests.study.simulated_rounds import played


def compared(plan: PlanFile, drives: list[DriveResult]) -> Review:
    return compare_round(RoundFile(tuple(drives)), plan, inputs={})


def strayed(plan: PlanFile, more: float) -> Review:
    """Return the review of a drive by a strike that costs so much more than the choice, by the plan."""
    tee = plan.tees[1]
    other = next(strike for strike in tee.strikes if strike is not tee.chosen())
    changed = other.model_copy(update={"strokes": tee.chosen().strokes + more})
    strikes = [changed if strike is other else strike for strike in tee.strikes]
    at = tee.model_copy(update={"strikes": strikes})
    return compared(plan, [DriveResult(2, at, changed, "fairway", np.nan, np.nan, np.nan)])


@pytest.mark.parametrize(("more", "lost"), [(0.019, 0.0), (0.021, 0.021), (-0.01, 0.0)])
def test_a_strike_that_costs_hardly_more_than_the_choice_loses_nothing(
    plan: PlanFile, more: float, lost: float
) -> None:
    """A plan keeps a usual strike within 0.02 strokes, so a golfer may as well."""
    cost = strayed(plan, more).differences[1]
    assert cost.name.startswith("other strikes than planned")
    assert cost.strokes == pytest.approx(lost, abs=1e-9)
    assert cost.holes == (lost > 0)


def test_what_choices_saved_is_as_sure_as_the_plan_has_it(plan: PlanFile) -> None:
    tee = plan.tees[1]
    rival = tee.choice_rival()
    assert rival is not None
    assert rival.over_choice is not None
    drives = [DriveResult(2, tee, tee.chosen(), "fairway", np.nan, np.nan, np.nan)] * 2
    saved = compared(plan, drives).differences[0]
    assert saved.strokes == pytest.approx(2 * rival.over_choice.loss, abs=1e-6)
    assert saved.high - saved.low == pytest.approx(2 * (rival.over_choice.high - rival.over_choice.low))


def test_a_round_as_planned_saves_what_the_plan_says_and_as_surely(plan: PlanFile) -> None:
    """The totals of the plan file come back; a sum over the same strikes hole by hole is no narrower."""
    drives = played(plan, 2, np.random.default_rng(8))
    found = {d.name: d for d in find_differences(drives, plan)[0]}
    (totals,) = plan.over_plan.values()
    policies = {policy for policy, over in totals.items() if policy.startswith("always") and over.strokes}
    assert policies
    for policy in policies:
        row = found[f"the plan was expected to save, compared with {policy},"]
        assert (row.low, row.strokes, row.high) == pytest.approx(
            [2 * x for x in (totals[policy].low, totals[policy].strokes, totals[policy].high)]
        )
        strikes = [next(s for s in tee.strikes if s.label == policy.split()[-1]) for tee in plan.tees]
        overs = [s.over_choice for s in strikes if s.over_choice is not None]
        assert sum(over.loss for over in overs) == pytest.approx(totals[policy].strokes, abs=1e-6)
        assert sum(over.high - over.low for over in overs) >= 0.9 * (totals[policy].high - totals[policy].low)
    assert not [name for name in _names(drives[:-1], plan) if "always" in name]


def _names(drives: list[DriveResult], plan: PlanFile) -> list[str]:
    return [difference.name for difference in find_differences(drives, plan)[0]]


def test_luck_is_none_on_average_and_19_rounds_in_20_are_within_it(plan: PlanFile) -> None:
    """In rounds drawn from the plan, whose drives are worth what the plan expects of them."""
    rng = np.random.default_rng(9)
    found = [luck for _ in range(80) if (luck := find_luck(played(plan, 6, rng), plan)) is not None]
    over = [luck.score - luck.planned for luck in found]
    assert np.mean(over) == pytest.approx(0, abs=3 * np.std(over) / np.sqrt(len(over)))
    gained = [luck.expected - luck.planned for luck in found]
    assert np.mean(gained) == pytest.approx(0, abs=3 * np.std(gained) / np.sqrt(len(gained)) + 0.1)
    inside = np.mean([luck.low <= luck.score - (luck.expected - luck.planned) <= luck.high for luck in found])
    assert inside >= 0.85


def test_a_drive_out_of_bounds_costs_two_and_one_in_the_rough_some_of_one(plan: PlanFile) -> None:
    tee = plan.tees[1]
    strike = tee.chosen()
    fairway = DriveResult(2, tee, strike, "fairway", strike.total_yd, 0.0, 5.0)

    def expected(drive: DriveResult) -> float:
        luck = find_luck([drive], plan)
        assert luck is not None
        return luck.expected

    rough, out = replace(fairway, lie="rough"), replace(fairway, lie="out", total=np.nan)
    penalty = replace(fairway, lie="penalty")
    assert 0.05 < expected(rough) - expected(fairway) < 0.6
    assert expected(penalty) - expected(rough) == pytest.approx(1)
    assert 1.5 < expected(out) - expected(fairway) < 2.8
    assert expected(replace(fairway, total=strike.total_yd - 60)) > expected(fairway) + 0.1
    assert find_luck([replace(fairway, score=np.nan), replace(fairway, lie="")], plan) is None
