"""Balls: a family of golf balls that published flights allow, each known by one number.

The number is `drag_1`, the slope of drag on spin ratio: how much distance spin costs. A ball of another slope
flies as far only if its drag without spin and its lift differ too. So those are refitted to the carry, apex
and landing angle of four average shots by radar: driver and 3-wood of the men's and the women's tour (widely
reproduced, from memory). No ball meets all twelve numbers within their standard errors: the best chi2 is 38,
of which the 3-wood of the women's tour gives 30; with every coefficient refitted it is 28. So the standard
errors are enlarged until the best ball has the chi2 of its degrees of freedom (Birge 1932).

Quintavalla's law was tuned on none of these numbers, and the family passes through it. How wide the family is
and how its drag and lift go together was fitted to them. So the twelve numbers check the law, not the width
of the family.

References
----------
Birge, "The calculation of errors by the method of least squares", Physical Review 40, 1932.
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
"""Coefficients that change with the slope. All others stay Quintavalla's."""

STANDARD_ERRORS: Final = (3.0, 2.0, 2.0)
"""Standard errors of an average carry [yd], apex [yd] and landing angle [deg]: our assumption."""

DEGREES_OF_FREEDOM: Final = 8
"""Twelve numbers less the four that are fitted: the slope and `REFITTED`."""

PRIOR_SD: Final = 0.3
"""Standard deviation of the slope's normal prior, whose mean is Quintavalla's slope: our assumption. It is
broad: Smits and Smith's older ball, of slope 0.18, lies one and a half of it away."""

_TABLE: Final = pd.read_csv(BALLS_FILE, comment="#")

SLOPES: Final[Floats] = _TABLE["drag_1"].to_numpy(dtype=float)
"""Grid of slopes of drag on spin ratio, rising; Quintavalla's is one of them. One ball in a hundred lies
beyond its ends."""

CHI2: Final[Floats] = _TABLE["chi2"].to_numpy(dtype=float)
"""chi2 of the twelve numbers, one value a slope."""

ERROR_SCALE: Final = float(np.sqrt(CHI2.min() / DEGREES_OF_FREEDOM))
"""Factor by which the standard errors are enlarged (Birge 1932)."""


def _chances() -> Floats:
    chances = np.exp(-0.5 * (((SLOPES - QUINTAVALLA.drag_1) / PRIOR_SD) ** 2 + CHI2 / ERROR_SCALE**2))
    return np.asarray(chances / chances.sum())


CHANCES: Final = _chances()
"""Posterior chance of each slope: the prior times the likelihood with the enlarged standard errors."""

MEAN: Final = float(CHANCES @ SLOPES)
SD: Final = float(np.sqrt(CHANCES @ (SLOPES - MEAN) ** 2))

_FITTED: Final = CubicSpline(SLOPES, _TABLE[list(REFITTED)].to_numpy(dtype=float))


def make_ball(slope: float) -> Aerodynamics:
    """Make the ball whose drag rises by `slope` for each unit of spin ratio.

    Parameters
    ----------
    slope
        Within the range of `SLOPES`; between two of them the refitted coefficients are interpolated.

    Returns
    -------
    Aerodynamics
        Quintavalla's ball, each coefficient shifted by the difference between the refit at `slope` and the
        refit at his own slope, so that at his slope it is his ball.

    Raises
    ------
    ValueError
        If `slope` is outside `SLOPES`.

    Examples
    --------
    >>> make_ball(QUINTAVALLA.drag_1) == QUINTAVALLA
    True
    """
    if not SLOPES[0] <= slope <= SLOPES[-1]:
        raise ValueError(f"balls are known from slope {SLOPES[0]:g} to {SLOPES[-1]:g}, not at {slope:g}")
    shift = _FITTED(slope) - _FITTED(QUINTAVALLA.drag_1)
    return shift_coefficients(slope, dict(zip(REFITTED, shift.tolist(), strict=True)))


def shift_coefficients(slope: float, shift: dict[str, float]) -> Aerodynamics:
    """Return Quintavalla's ball with another slope and with the named coefficients shifted."""
    moved = {name: getattr(QUINTAVALLA, name) + by for name, by in shift.items()}
    return replace(QUINTAVALLA, drag_1=slope, **moved)


def slopes_at(chances: Floats) -> Floats:
    """Return the quantiles of the slope at `chances` (0 to 1), each one of `SLOPES`; the same shape."""
    # The sum of all may round to less than 1.
    below = np.cumsum(CHANCES)[:-1]
    return np.asarray(SLOPES[np.searchsorted(below, chances)])
