"""The benefit of a choice compared with a plainer one, and how sure it is."""

from dataclasses import dataclass, replace
from math import hypot
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from holesim.plan.estimate import estimate, sure_text, sureness
from holesim.plan.evaluator import REPLICATES
from holesim.plan.goal import MEAN
from holesim.team.strike_scores import HOLDOUT_SETS

Floats = NDArray[np.float64]
Unit = Literal["strokes", "points"]
Choice = Literal[
    "players", "pairs", "drivers", "strikes", "order", "points", "match strikes", "strike", "draw"
]
"""What is chosen: who plays, the pairs, who drives the odd holes, all strikes, the order against the
opponents, pairs by points, strikes for the match and its state, one strike on one hole, or a whole draw
by the captain.

It is compared with handicap order (players, pairs, drivers, order), pairs of fewest strokes (points),
everyone's own best strikes (strikes, match strikes), the next best strike (strike), or the draw found
(draw)."""

CLOSE: Final[dict[Unit, float]] = {"strokes": MEAN.close, "points": 0.005}
"""The least gain for which a choice is worth making."""


@dataclass(frozen=True, kw_only=True)
class Benefit:
    """What a choice gains, with its 95 % interval, and the chance that it is a gain.

    In strokes a gain is strokes saved.
    """

    choice: Choice
    value: float
    low: float
    high: float
    chance: float
    unit: Unit

    @property
    def matters(self) -> bool:
        """Whether the choice is worth making: its mean decides, however unsure."""
        return self.value >= CLOSE[self.unit]

    @property
    def close(self) -> bool:
        """Whether the choice is a toss-up, or gains too little to matter."""
        return not self.matters or sureness(self.chance) == "a toss-up"

    @property
    def sure(self) -> str:
        """How sure it is that the choice is the better one, in words and a number."""
        return sure_text(self.chance)


def estimate_benefit(choice: Choice, values: Floats, unit: Unit) -> Benefit:
    """Return the benefit of a choice by its gain in each draw set, shape (`DRAW_SETS`,).

    Notes
    -----
    The mean is that of the holdout sets; all sets tell how gains vary. The mean of one replicate has twice
    the sampling variance of the mean of both.
    """
    both = estimate(-values.reshape(-1, REPLICATES))
    found = replace(both, mean=-float(values[HOLDOUT_SETS].mean()), se=hypot(both.se, both.sampling))
    low, high = found.interval
    return Benefit(
        choice=choice, value=-found.mean, low=-high, high=-low, chance=found.chance_below, unit=unit
    )
