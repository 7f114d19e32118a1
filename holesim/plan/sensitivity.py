"""What would change a choice: a felt wind, or a table by lie and distance instead of the hole."""

from collections.abc import Sequence

import numpy as np

from holesim.plan.aim_search import costs
from holesim.plan.aiming import FINE_STEP
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import CLOSE
from holesim.plan.hole_wind import Flip, HoleWind
from holesim.plan.table_comparison import HoleComparison, compare_with_table
from holesim.plan.tee_on_hole import AimedStrike, HoleValues, TeeOnHole
from holesim.plan.tee_plan import TableComparison
from holesim.plan.wind_sensitivity import find_flips
from holesim.scoring.expected_strokes import strokes_by_distance
from holesim.shot.relief import Lie, blank_drop_cache

_NEAR = FINE_STEP * np.arange(-4.0, 5.0)


def flips_of(
    evaluator: Evaluator, compared: Sequence[AimedStrike], wind: HoleWind | None, at: TeeOnHole
) -> tuple[Flip, ...]:
    """Return the felt winds in which another strike beats the first by 0.02 strokes or more."""
    least = []
    for aim, _ in compared:
        drift = evaluator.fine(aim.strike).drift(aim.heading)
        least.append(evaluator.in_winds(aim.strike).least(aim.heading, drift, at.site))
    return find_flips([plan.label for _, plan in compared], least, wind)


def choice_by_table(
    evaluator: Evaluator, compared: Sequence[AimedStrike], at: TeeOnHole
) -> TableComparison | None:
    """Return which strike a table would choose instead of the first, and why; None if it would not."""
    if evaluator.conditions.by_table:
        return None
    table = strokes_by_distance(evaluator.table, at.hole, evaluator.ground)
    values = HoleValues(table, at.hole_values.scores, blank_drop_cache(evaluator.ground))
    site = evaluator.site(at.hole, at.tee, values)
    least = np.array(
        [costs(evaluator.fine(aim.strike), aim.heading + _NEAR, site).min() for aim, _ in compared]
    )
    ours, theirs = compared[0].plan, compared[1 + int(np.argmin(least[1:]))].plan
    if least[0] - least[1:].min() <= CLOSE or theirs.strokes <= ours.strokes:
        return None
    longest = float(evaluator.shots.longest[Lie.FAIRWAY])
    view = HoleComparison(evaluator.course, at.hole, at.tee, at.hole_values.expected, table, longest)
    return compare_with_table(ours, theirs, view)
