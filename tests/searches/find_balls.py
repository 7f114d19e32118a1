"""Find the balls that fly as the tours' average shots do, one for each slope of drag on spin ratio.

    python -m tests.searches.find_balls

Rewrites `holesim/data/balls.csv` (seconds).
"""

import sys
from dataclasses import replace
from functools import cache
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.optimize import least_squares

from holesim.shot import balls
from holesim.shot.air import make_air
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, fly
from holesim.shot.impact import Launches
from holesim.units import DEGREE, MPH, RPM, YARD
from tests.conftest import published

Floats = NDArray[np.float64]

SLOPES: Final = np.round(np.arange(0.12, 1.2, 0.1), 2)
MEASURED: Final = ["carry_yd", "apex_yd", "landing_angle_deg"]
LIFT_SD: Final = np.array([0.03, 0.15])
"""Standard deviations of lift_0 and lift_1 about Quintavalla's, our assumption. Either moves lift at S = 0.2
by 0.03, the most by which a measured ball may differ. The four flights hardly tell the two apart: without
it, lift_1 falls to 0.36 for the least slope."""


@cache
def flights() -> pd.DataFrame:
    """Return the four average shots: driver and 3-wood of the men's and the women's tour."""
    return published("tour_averages").query("club in ('driver', '3-wood')")


def errors(ball: Aerodynamics) -> Floats:
    """Return the errors of carry, apex and landing angle in standard errors, shape (flights, 3)."""
    shots, still = flights(), np.zeros(len(flights()))
    speed, angle, spin = shots[["ball_speed_mph", "launch_angle_deg", "spin_rpm"]].to_numpy(dtype=float).T
    launches = Launches(speed * MPH, angle * DEGREE, still, spin * RPM, still)
    found, _ = fly(launches, make_air(), aerodynamics=ball)
    steep = np.arctan2(-found.vz, found.vx) / DEGREE
    flown = np.stack([found.x / YARD, found.apex / YARD, steep], axis=1)
    return np.asarray((flown - shots[MEASURED].to_numpy(dtype=float)) / balls.STANDARD_ERRORS)


def chi2(ball: Aerodynamics) -> float:
    """Return the sum of the squared errors of the twelve numbers."""
    return float((errors(ball) ** 2).sum())


def law() -> Floats:
    """Return Quintavalla's own drag_0, lift_0 and lift_1."""
    return np.array([getattr(QUINTAVALLA, name) for name in balls.REFITTED])


def refit(slope: float) -> Floats:
    """Return the drag_0, lift_0 and lift_1 with which a ball of this slope fits the measured flights best."""
    usual = law()

    def off(numbers: Floats) -> Floats:
        ball = replace(QUINTAVALLA, drag_1=slope, **dict(zip(balls.REFITTED, numbers.tolist(), strict=True)))
        return np.concatenate([errors(ball).ravel(), (numbers[1:] - usual[1:]) / LIFT_SD])

    # Flights are in single precision, so steps are far larger than its rounding.
    scale = [0.02, *LIFT_SD]
    found = least_squares(off, usual, jac="3-point", x_scale=scale, diff_step=0.02, ftol=1e-12)
    return np.asarray(found.x)


def main() -> None:
    fits = [refit(slope).round(5) for slope in SLOPES]
    usual = fits[SLOPES.tolist().index(QUINTAVALLA.drag_1)]
    found = pd.DataFrame(fits, SLOPES, balls.REFITTED).rename_axis("drag_1")
    for column, nought in (("chi2", usual), ("chi2_of_refit", law())):
        moved = [dict(zip(balls.REFITTED, (fit - nought).tolist(), strict=True)) for fit in fits]
        of_all = [
            chi2(balls.shift_coefficients(*given)) for given in zip(SLOPES.tolist(), moved, strict=True)
        ]
        found[column] = np.round(of_all, 2)
    file = balls.BALLS_FILE
    header = "".join(line for line in file.read_text().splitlines(keepends=True) if line.startswith("#"))
    file.write_text(header + found.to_csv())
    sys.stdout.write(found.to_string() + "\n")


if __name__ == "__main__":
    main()
