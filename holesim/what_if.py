"""What if: assumptions and winds under which another strike would be better than the one chosen."""

from dataclasses import replace

import numpy as np

from holesim import outlook
from holesim.breezes import drift_of, flips, fly_in_breezes
from holesim.flight import LIFT_LAWS
from holesim.goal import CLOSE
from holesim.holes import Hole, Tee
from holesim.relief import Lie, blank_memory
from holesim.remains import Remains, by_distance
from holesim.sampler import SPEED_EXPONENT
from holesim.search import Site, costs
from holesim.wind import Flip, Turned
from holesim.workbench import FINE_STEP, Aimed, Conditions, Workbench

_NEAR = FINE_STEP * np.arange(-4.0, 5.0)


def _other_laws(ours: Conditions) -> dict[str, Conditions]:
    """Return what else might hold instead of the lift law in use and the usual exponents."""
    lifts = [law for law in LIFT_LAWS.values() if law is not ours.aerodynamics]
    return {
        **{f"the lift law of {law.authors}": replace(ours, aerodynamics=law) for law in lifts},
        "a spread that shrinks with spin (b = 0.5)": replace(ours, spin_exponent=0.5),
        "a spread that does not grow with speed (a = 0)": replace(ours, speed_exponent=0.0),
        "a spread that grows in proportion to speed (a = 1)": replace(ours, speed_exponent=1.0),
    }


class WhatIf:
    """The drives of a workbench as they would be under other assumptions, and in other winds."""

    def __init__(self, bench: Workbench) -> None:
        self.bench, conditions, strikes = bench, bench.conditions, bench.player.strikes
        one_speed = len({v for s in strikes for v in (s.club_speed, s.spread.at_speed)}) == 1
        self.others = {
            name: bench.prepared(bench.flown(bench.part, law))
            for name, law in _other_laws(conditions).items()
            if not one_speed or law.speed_exponent == SPEED_EXPONENT
        }
        air, law, firmness = conditions.air, conditions.aerodynamics, bench.ground.firmness
        self.breezes = [
            fly_in_breezes(struck, air, aerodynamics=law, firmness=firmness) for struck in bench.part_struck
        ]

    def turns_on(self, tried: list[Aimed], site: Site) -> tuple[str, ...]:
        """Return the assumptions under which another strike beats the first by 0.02 or more."""
        found = []
        for name, drives in self.others.items():
            least = [costs(drives[i], aim + _NEAR, site).min() for i, aim, _ in tried]
            if least[0] - min(least[1:]) > CLOSE:
                found.append(name)
        return tuple(found)

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
        view = outlook.View(bench.course, hole, tee, remains, table, float(bench.shots.longest[Lie.FAIRWAY]))
        return outlook.unseen(ours, theirs, view)
