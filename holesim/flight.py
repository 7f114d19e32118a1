"""Flight: drag, lift and spin decay through air of any density and a wind that grows with height."""

from dataclasses import dataclass
from math import cos, log, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim import _flight_kernel as kernel
from holesim.air import ROUGHNESS, Air
from holesim.impact import BALL_MASS, BALL_RADIUS, Launches

Floats = NDArray[np.float64]

GRAVITY: Final = 9.80665  # m/s², standard acceleration of free fall (ISO 80000-3)
TRACK_POINTS: Final = 48


@dataclass(frozen=True, kw_only=True)
class Aerodynamics:
    """Drag and lift of a golf ball as functions of spin ratio S = ωr/v and Reynolds number Re.

    Beyond the drag crisis C_D = drag_0 + drag_1·S and C_L = lift_0·fade + lift_1·S^lift_power. There S
    levels off smoothly from `level_from` towards `level_to`, and fade rises as q·(2 - q), q = S/onset, to 1.
    Below the crisis drag passes to `smooth_drag` and lift to nought, by the share 1/(1 + (Re/crisis)^10).
    Spin decays at `spin_decay`·v/r a second.
    """

    name: str
    authors: str
    drag_0: float
    drag_1: float
    lift_0: float
    lift_1: float
    lift_power: float
    level_from: float
    level_to: float
    spin_decay: float = 2e-5
    onset: float = 0.03
    smooth_drag: float = 0.5
    crisis: float = 5e4

    def vector(self) -> Floats:
        """Return the coefficients in the kernel's order."""
        return np.array(
            [
                self.drag_0, self.drag_1, self.lift_0, self.lift_1, self.lift_power, self.level_from,
                self.level_to, self.onset, self.smooth_drag, self.crisis, self.spin_decay,
            ]
        )  # fmt: skip

    def coefficients(self, ratio: Floats, reynolds: Floats) -> tuple[Floats, Floats]:
        """Return drag and lift coefficients at spin ratios and Reynolds numbers, arrays of equal length."""
        drag, lift = np.empty(len(ratio)), np.empty(len(ratio))
        kernel.coefficients_all(ratio, reynolds, self.vector(), drag, lift)
        return drag, lift


QUINTAVALLA: Final = Aerodynamics(
    name="quintavalla", authors="Quintavalla", drag_0=0.171, drag_1=0.62,
    lift_0=0.083, lift_1=0.885, lift_power=1.0, level_from=0.20, level_to=0.30,
)  # fmt: skip
"""A ball of the turn of the century and since: the affine form of Quintavalla, "A generally applicable model
for the aerodynamic behavior of golf balls", Science and Golf IV, 2002, its coefficients from memory.

Three additions are ours. A ball without spin has no lift, so the constant term fades below S = 0.03, where
no drive flies. The form was measured on drives: above S = 0.20 the coefficients level off, as those of
Bearman & Harvey, Aeronautical Quarterly 27, 1976, do; the limit of 0.30 is that of the last row of US Patent
6,729,976 (2004, from memory), a ball of that time. And the drag crisis of a dimpled ball lies near
Re 4-6·10⁴, the drag before it near 0.5 (Bearman & Harvey). No coefficient was tuned on a carry. The spin
decay is Smits & Smith's (1994)."""

SMITS_SMITH: Final = Aerodynamics(
    name="smits-smith", authors="Smits and Smith", drag_0=0.24, drag_1=0.18,
    lift_0=0.0, lift_1=0.54, lift_power=0.4, level_from=10.0, level_to=11.0,
)  # fmt: skip
"""Smits & Smith, "A new aerodynamic model of a golf ball in flight", Science and Golf II, 1994 (from memory):
an older ball, that climbs higher. The drag crisis is the same."""

LIFT_LAWS: Final = {law.name: law for law in (QUINTAVALLA, SMITS_SMITH)}
"""The published laws, by the name they are chosen by."""


@dataclass(frozen=True)
class Tracks:
    """The way to the ground: `points` (drives, points, 3) of x, y and height [m], the last at the landing."""

    points: Floats


@dataclass(frozen=True)
class Landings:
    """Where and how drives land; arrays of equal length, SI units and radians.

    In the shot frame x runs along the aim, y right of it; `turned` gives the same in the hole frame.
    """

    x: Floats
    y: Floats
    vx: Floats
    vy: Floats
    vz: Floats
    spin: Floats
    tilt: Floats
    time: Floats
    apex: Floats


def fly(
    launches: Launches,
    air: Air,
    *,
    heading: float = 0.0,
    aerodynamics: Aerodynamics = QUINTAVALLA,
) -> tuple[Landings, Tracks]:
    """Fly `launches` to level ground.

    Parameters
    ----------
    heading
        True direction of the aim [rad], clockwise from north; only the wind needs it.
    aerodynamics
        The ball.

    Notes
    -----
    The equations of motion are those of a point mass with drag along the airspeed and lift square to it,
    turned by the tilt of the spin axis. Nothing turns the axis itself, so as the path bends over less of the
    tilt is square to it, and a drive curves less on its way down. The wind follows the log law
    u(z) = u_ref·ln(z/z₀)/ln(z_ref/z₀). In still air the landing is within 1 cm of scipy's `solve_ivp` at
    rtol 1e-10 on the same equations.
    """
    drives = len(launches.speed)
    landing, track = np.empty((drives, 9)), np.empty((drives, TRACK_POINTS, 3))
    kernel.fly(
        launches.speed, launches.angle, launches.direction, launches.spin, launches.tilt,
        aerodynamics.vector(), air_vector(air, heading), landing, track,
    )  # fmt: skip
    x, y, vx, vy, vz, spin, time, apex, tilt = landing.T
    return Landings(x, y, vx, vy, vz, spin, tilt, time, apex), Tracks(track)


def air_vector(air: Air, heading: float) -> Floats:
    """Return what the kernel needs to know of the air, in its order."""
    away = air.wind_from + pi - heading
    return np.array(
        [
            0.5 * air.density * pi * BALL_RADIUS**2 / BALL_MASS,
            air.wind_speed * cos(away),
            air.wind_speed * sin(away),
            1 / log(air.wind_height / ROUGHNESS) if air.wind_speed else 0.0,
            ROUGHNESS,
            GRAVITY,
            BALL_RADIUS,
            2 * BALL_RADIUS * air.density / air.viscosity,
        ]
    )


def turned(
    landings: Landings, tracks: Tracks, *, heading: float, origin: tuple[float, float]
) -> tuple[Landings, Tracks]:
    """Return the same flights in the hole frame: from a tee at `origin` [m], aimed along `heading` [rad]."""
    s, c = sin(heading), cos(heading)

    def east_north(along: Floats, right: Floats) -> tuple[Floats, Floats]:
        return s * along + c * right, c * along - s * right

    x, y = east_north(landings.x, landings.y)
    vx, vy = east_north(landings.vx, landings.vy)
    tx, ty = east_north(tracks.points[:, :, 0], tracks.points[:, :, 1])
    points = np.stack([tx + origin[0], ty + origin[1], tracks.points[:, :, 2]], axis=2)
    placed = Landings(
        x + origin[0], y + origin[1], vx, vy,
        landings.vz, landings.spin, landings.tilt, landings.time, landings.apex,
    )  # fmt: skip
    return placed, Tracks(points)
