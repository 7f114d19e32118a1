"""Rounds of a golfer who is known: drawn from what a plan says, or from drives of another plan."""

from collections.abc import Sequence
from dataclasses import replace
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from holesim.plan.plan import Plan
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile
from holesim.shot.relief import Finish
from holesim.study.round_file import FINISHES, DriveResult
from holesim.units import YARD

Floats = NDArray[np.float64]


def played(plan: PlanFile, rounds: int, rng: np.random.Generator) -> list[DriveResult]:
    """Return rounds drawn from what the plan itself says."""
    return [_drawn(plan, tee, rng) for _ in range(rounds) for tee in plan.tees]


def _drawn(plan: PlanFile, tee: TeeFile, rng: np.random.Generator) -> DriveResult:
    strike, p = tee.chosen(), np.array(plan.probabilities)
    shares = np.array([getattr(strike, name) for name in FINISHES])
    at = []
    for quantiles in (strike.total_quantiles_yd, strike.side_quantiles_yd):
        assert quantiles is not None
        x = np.array(quantiles)
        below = x[0] - (x[1] - x[0]) * p[0] / (p[1] - p[0])
        above = x[-1] + (x[-1] - x[-2]) * (1 - p[-1]) / (p[-1] - p[-2])
        at.append(float(np.interp(rng.random(), [0, *p, 1], [below, *x, above])))
    scores = np.array(strike.scores)
    score = 1 + rng.choice(len(scores), p=scores / scores.sum())
    lie = FINISHES[rng.choice(len(FINISHES), p=shares / shares.sum())]
    return DriveResult(2, tee, strike, lie, at[0], at[1], float(score))


class Pool:
    """Drives of a plan that was made with other draws: how far each goes and finishes to the side [yd]."""

    def __init__(self, made: Plan, plan: PlanFile) -> None:
        self.plan = plan
        self.drives = [self._of(made, tee) for tee in plan.tees]

    def _of(self, made: Plan, tee: TeeFile) -> Floats:
        other = next(t for t in made.tees if t.hole.number == tee.hole)
        strike = next(s for s in other.strikes if s.label == tee.chosen().label)
        aim = other.tee.bearing(*other.hole.pin) + strike.aim
        played = strike.drives.finish != Finish.OUT
        east, north = strike.drives.x[played] - other.tee.x, strike.drives.y[played] - other.tee.y
        return np.column_stack([np.hypot(east, north), east * cos(aim) - north * sin(aim)]) / YARD

    def draw(self, drives: int, rng: np.random.Generator) -> list[DriveResult]:
        """Return so many drives, from one tee after another."""
        drawn = []
        for k in range(drives):
            place = k % len(self.plan.tees)
            tee = self.plan.tees[place]
            total, side = rng.choice(self.drives[place]).tolist()
            drawn.append(DriveResult(2, tee, tee.chosen(), "rough", total, side, np.nan))
        return drawn


def move(drives: Sequence[DriveResult], *, right: float = 0.0, wider: float = 1.0) -> list[DriveResult]:
    """Return drives that finish farther right by a constant [yd], and scatter wider about the middle."""
    return [
        replace(drive, side=(m := _middle(drive.strike)) + wider * (drive.side - m) + right)
        for drive in drives
    ]


def _middle(strike: StrikeFile) -> float:
    quantiles = strike.side_quantiles_yd
    assert quantiles is not None
    return quantiles[len(quantiles) // 2]
