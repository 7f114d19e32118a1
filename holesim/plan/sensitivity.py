"""What if: winds in which another strike would be better than the one chosen, and what a table would have."""

import numpy as np

from holesim.course.holes import Hole, Tee
from holesim.plan import table_comparison
from holesim.plan.aim_search import Site, costs
from holesim.plan.evaluator import FINE_STEP, AimedStrike, Evaluator
from holesim.plan.goal import CLOSE
from holesim.plan.hole_wind import Flip, HoleWind
from holesim.plan.wind_sensitivity import drift_of, flips, fly_in_winds
from holesim.scoring.expected_strokes import ExpectedStrokes, strokes_by_distance
from holesim.shot.relief import Lie, blank_drop_cache

_NEAR = FINE_STEP * np.arange(-4.0, 5.0)


class Sensitivity:
    """The drives of a workbench in other winds."""

    def __init__(self, evaluator: Evaluator) -> None:
        self.evaluator = evaluator
        air, firmness = evaluator.conditions.air, evaluator.ground.firmness
        self.breezes = [fly_in_winds(struck, air, firmness=firmness) for struck in evaluator.part_struck]

    def flips(self, tried: list[AimedStrike], wind: HoleWind | None, site: Site) -> tuple[Flip, ...]:
        """Return the felt winds in which another strike beats the first by 0.02 or more."""
        fine = self.evaluator.fine
        least = [self.breezes[i].least(aim, drift_of(fine[i].flights, aim), site) for i, aim, _ in tried]
        return flips([plan.label for *_, plan in tried], least, wind)

    def by_table(self, tried: list[AimedStrike], hole: Hole, tee: Tee, expected: ExpectedStrokes) -> str:
        """Return which strike the table would have instead of the first, and what it does not see, if any."""
        evaluator = self.evaluator
        if evaluator.conditions.by_table:
            return ""
        table = strokes_by_distance(evaluator.table, hole, evaluator.ground)
        site = evaluator.site(hole, tee, table, blank_drop_cache(evaluator.ground))
        least = np.array([costs(evaluator.fine[i], aim + _NEAR, site).min() for i, aim, _ in tried])
        ours, theirs = tried[0].plan, tried[1 + int(np.argmin(least[1:]))].plan
        if least[0] - least[1:].min() <= CLOSE or theirs.strokes <= ours.strokes:
            return ""
        view = table_comparison.HoleComparison(
            evaluator.course, hole, tee, expected, table, float(evaluator.shots.longest[Lie.FAIRWAY])
        )
        return table_comparison.unseen(ours, theirs, view)
