"""Gains: what a choice is worth over a plainer one, and how sure that is."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from holesim.decision import NOBODY, interval
from holesim.prospects import OTHERS, WEIGHING

Floats = NDArray[np.float64]
Unit = Literal["strokes", "points"]

CLOSE: Final[dict[Unit, float]] = {"strokes": 0.02, "points": 0.005}
"""What a choice must gain to be worth making."""


@dataclass(frozen=True, kw_only=True)
class Gain:
    """What a choice gains over a plainer one, with its 95 % interval."""

    what: str
    value: float
    low: float
    high: float
    unit: Unit

    @property
    def matters(self) -> bool:
        """Whether it is surely a gain, and one worth having."""
        return self.low > 0 and self.value >= CLOSE[self.unit]


def gain(what: str, values: Floats, unit: Unit) -> Gain:
    """Return what is gained, by its value in each world; only those that did not choose weigh it."""
    weighing, others = values[WEIGHING], values[OTHERS]
    low, high = interval(weighing, others if np.ptp(others) > 0 else NOBODY)
    return Gain(what=what, value=float(weighing.mean()), low=low, high=high, unit=unit)
