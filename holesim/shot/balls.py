"""Balls: what published flights leave open of a golf ball's drag and lift, carried as one number.

The number is `drag_1`, the slope of drag on spin ratio: how much distance spin costs. Balls of another slope
fly as far only if drag without spin and lift are others too, so those are refitted, on four average shots by
radar (driver and 3-wood of the men's and the women's tour; widely reproduced, from memory): carry, apex and
landing angle of each. No ball flies them within their standard errors: chi2 is 38 at best, 30 of it the
3-wood of the women's tour, and 28 with every coefficient refitted. So the standard errors are enlarged until
the best has the chi2 of its degrees of freedom (Birge, "The calculation of errors by the method of least
squares", Physical Review 40, 1932).

Quintavalla's law itself is tuned on none of this, and the family passes through it; but how far the family
spreads, and how drag and lift go together in it, is. So those twelve numbers check the law, not the spread.
"""

from dataclasses import replace
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from holesim.data.tables import table
from holesim.shot.flight import QUINTAVALLA, Aerodynamics

Floats = NDArray[np.float64]

BALLS_FILE: Final = table("balls.csv")

REFITTED: Final = ("drag_0", "lift_0", "lift_1")
"""What trades off with the slope. The power of lift, where it levels off and the rest stay Quintavalla's."""

STANDARD_ERRORS: Final = (3.0, 2.0, 2.0)
"""Of an average carry [yd], apex [yd] and landing angle [deg]: our assumption."""

DEGREES_OF_FREEDOM: Final = 8
"""Twelve numbers less four that are fitted: the slope and `REFITTED`."""

PRIOR_SD: Final = 0.3
"""Of the slope about Quintavalla's before any flight is looked at, normal: our assumption. It is broad: Smits
and Smith's older ball, of 0.18, is one and a half of it away."""

_TABLE: Final = pd.read_csv(BALLS_FILE, comment="#")

SLOPES: Final[Floats] = _TABLE["drag_1"].to_numpy(dtype=float)
"""Slopes of drag on spin ratio that stand for all, rising; Quintavalla's is one of them. Beyond their ends
lies one in a hundred."""

CHI2: Final[Floats] = _TABLE["chi2"].to_numpy(dtype=float)
"""Of the twelve numbers, for each ball."""

ENLARGED: Final = float(np.sqrt(CHI2.min() / DEGREES_OF_FREEDOM))
"""How many times as large the standard errors are taken (Birge)."""


def _chances() -> Floats:
    chances = np.exp(-0.5 * (((SLOPES - QUINTAVALLA.drag_1) / PRIOR_SD) ** 2 + CHI2 / ENLARGED**2))
    return np.asarray(chances / chances.sum())


CHANCES: Final = _chances()
"""The chance of each slope: the prior times the likelihood by the enlarged standard errors."""

MEAN: Final = float(CHANCES @ SLOPES)
SD: Final = float(np.sqrt(CHANCES @ (SLOPES - MEAN) ** 2))

_FITTED: Final = CubicSpline(SLOPES, _TABLE[list(REFITTED)].to_numpy(dtype=float))


def ball(slope: float) -> Aerodynamics:
    """Return the ball whose drag rises by `slope` for each unit of spin ratio.

    Parameters
    ----------
    slope
        Within `SLOPES`; between two of them the refitted coefficients are interpolated.

    Returns
    -------
    Quintavalla's ball, each coefficient shifted by as much as the refit differs from that at his own slope,
    so that there it is his.

    Raises
    ------
    ValueError
        If no ball was fitted so far out.
    """
    if not SLOPES[0] <= slope <= SLOPES[-1]:
        raise ValueError(f"balls are known from slope {SLOPES[0]:g} to {SLOPES[-1]:g}, not at {slope:g}")
    shift = _FITTED(slope) - _FITTED(QUINTAVALLA.drag_1)
    return shifted(slope, dict(zip(REFITTED, shift.tolist(), strict=True)))


def shifted(slope: float, shift: dict[str, float]) -> Aerodynamics:
    """Return Quintavalla's ball with another slope, and other coefficients shifted by so much, by name."""
    moved = {name: getattr(QUINTAVALLA, name) + by for name, by in shift.items()}
    return replace(QUINTAVALLA, drag_1=slope, **moved)


def slopes_at(chances: Floats) -> Floats:
    """Return the first of `SLOPES` up to which there is each of `chances` (0 to 1); the same shape."""
    # The sum of all may round to less than 1.
    below = np.cumsum(CHANCES)[:-1]
    return np.asarray(SLOPES[np.searchsorted(below, chances)])
