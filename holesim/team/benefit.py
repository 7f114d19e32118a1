"""Gains: what a choice is worth over a plainer one, and how sure that is."""

from dataclasses import dataclass, replace
from math import hypot
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from holesim.plan.estimate import estimate, sure_text, sureness
from holesim.plan.evaluator import REPLICATES
from holesim.plan.goal import MEAN
from holesim.team.strike_scores import WEIGHING

Floats = NDArray[np.float64]
Unit = Literal["strokes", "points"]

CLOSE: Final[dict[Unit, float]] = {"strokes": MEAN.close, "points": 0.005}
"""What a choice must gain to be worth making."""


@dataclass(frozen=True, kw_only=True)
class Benefit:
    """What a choice gains over a plainer one, with its 95 % interval, and the chance that it is a gain."""

    what: str
    value: float
    low: float
    high: float
    chance: float
    unit: Unit

    @property
    def matters(self) -> bool:
        """Whether the choice is worth making: how sure it is does not decide."""
        return self.value >= CLOSE[self.unit]

    @property
    def close(self) -> bool:
        """Whether it is a toss-up, or matters too little."""
        return not self.matters or sureness(self.chance) == "a toss-up"

    @property
    def sure(self) -> str:
        """How sure it is that the choice is the better one, in words and a number."""
        return sure_text(self.chance)


def gain(what: str, values: Floats, unit: Unit) -> Benefit:
    """Return what is gained, by its value in each world; its mean is of those that did not choose.

    Notes
    -----
    How it varies all worlds tell; a mean of one replicate has twice the variance of sampling of that of both.
    """
    both = estimate(-values.reshape(-1, REPLICATES))
    found = replace(both, mean=-float(values[WEIGHING].mean()), se=hypot(both.se, both.sampling))
    low, high = found.interval
    return Benefit(what=what, value=-found.mean, low=-high, high=-low, chance=found.chance_below, unit=unit)
