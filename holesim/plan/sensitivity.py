"""What if: winds in which another strike would be better than the one chosen, and what a table would have."""

import numpy as np

from holesim.course.holes import Hole, Tee
from holesim.plan import table_comparison
from holesim.plan.aim_search import Site, costs
from holesim.plan.evaluator import FINE_STEP, Aimed, Workbench
from holesim.plan.goal import CLOSE
from holesim.plan.hole_wind import Flip, Turned
from holesim.plan.wind_sensitivity import drift_of, flips, fly_in_breezes
from holesim.scoring.expected_strokes import Remains, by_distance
from holesim.shot.relief import Lie, blank_memory

_NEAR = FINE_STEP * np.arange(-4.0, 5.0)


class WhatIf:
    """The drives of a workbench in other winds."""

    def __init__(self, bench: Workbench) -> None:
        self.bench = bench
        air, firmness = bench.conditions.air, bench.ground.firmness
        self.breezes = [fly_in_breezes(struck, air, firmness=firmness) for struck in bench.part_struck]

    def flips(self, tried: list[Aimed], wind: Turned | None, site: Site) -> tuple[Flip, ...]:
        """Return the felt winds in which another strike beats the first by 0.02 or more."""
        fine = self.bench.fine
        least = [self.breezes[i].least(aim, drift_of(fine[i].flights, aim), site) for i, aim, _ in tried]
        return flips([plan.label for *_, plan in tried], least, wind)

    def by_table(self, tried: list[Aimed], hole: Hole, tee: Tee, remains: Remains) -> str:
        """Return which strike the table would have instead of the first, and what it does not see, if any."""
        bench = self.bench
        if bench.conditions.by_table:
            return ""
        table = by_distance(bench.table, hole, bench.ground)
        site = bench.site(hole, tee, table, blank_memory(bench.ground))
        least = np.array([costs(bench.fine[i], aim + _NEAR, site).min() for i, aim, _ in tried])
        ours, theirs = tried[0].plan, tried[1 + int(np.argmin(least[1:]))].plan
        if least[0] - least[1:].min() <= CLOSE or theirs.strokes <= ours.strokes:
            return ""
        view = table_comparison.View(
            bench.course, hole, tee, remains, table, float(bench.shots.longest[Lie.FAIRWAY])
        )
        return table_comparison.unseen(ours, theirs, view)
