"""Goals: what a strike is chosen for, the mean of strokes or the chance of a par or a birdie."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
GoalName = Literal["mean", "par", "birdie"]

CLOSE: Final = 0.02  # strokes


@dataclass(frozen=True, kw_only=True)
class Goal:
    """What a strike is chosen for: the least loss, in strokes or in the chance to miss a score.

    `over` is the score to par, or better, that should be likeliest; None for the mean. Strikes whose losses
    differ by less than `close` are as good as one another. The other fields say how a loss is written:
    golfers read `base` + `scale` · loss under the heading `head`, files have the loss as `measure`.
    """

    over: int | None
    close: float
    head: str
    measure: str
    base: float
    scale: float
    digits: int
    under: str
    saving: str
    count: str = ""

    def loss(self, par: int, costs: Floats, within: Floats) -> Floats:
        """Return the loss of each drive.

        Parameters
        ----------
        costs
            Strokes on the hole, shape (drives,).
        within
            Chance of 1, 2, … strokes or fewer, shape (drives, strokes).
        """
        return costs if self.over is None else np.asarray(1 - within[:, par + self.over - 1])

    def text(self, loss: float) -> str:
        """Return a loss as a golfer reads it."""
        return f"{self.base + self.scale * loss:.{self.digits}f}"

    def over_text(self, over: float, half: float, *, more: int = 0) -> str:
        """Return a difference in loss and its half-width, to `more` digits more than a loss."""
        digits = self.digits + more
        return f"{self.scale * over:+.{digits}f} ±{abs(self.scale) * half:.{digits}f}"


MEAN: Final = Goal(
    over=None, close=CLOSE, head="strokes", measure="strokes", base=0, scale=1, digits=2,
    under="0.02 strokes", saving="would save {:.2f}",
)  # fmt: skip
PAR: Final = Goal(
    over=0, close=0.01, head="par %", measure="no_par_chance", base=100, scale=-100, digits=1,
    under="1 in 100", saving="would make {:.0f} more pars in 100", count="pars or better",
)  # fmt: skip
BIRDIE: Final = Goal(
    over=-1, close=0.01, head="birdie%", measure="no_birdie_chance", base=100, scale=-100, digits=1,
    under="1 in 100", saving="would make {:.0f} more birdies in 100", count="birdies or better",
)  # fmt: skip
GOALS: Final[dict[GoalName, Goal]] = {"mean": MEAN, "par": PAR, "birdie": BIRDIE}
