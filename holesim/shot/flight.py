"""Flight: drag, lift and spin decay in air of any density and in a wind that grows with height."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from math import ceil, cos, inf, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import singles
from holesim.common.parallel import share_out
from holesim.shot import _flight_kernel as kernel
from holesim.shot.air import ROUGHNESS, Air
from holesim.shot.impact import BALL_MASS, BALL_RADIUS, Launches
from holesim.units import MPH

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Integers = NDArray[np.int64]

GRAVITY: Final = 9.80665  # m/s², standard acceleration of free fall (ISO 80000-3)


@dataclass(frozen=True, kw_only=True)
class Aerodynamics:
    """Drag and lift of a golf ball as functions of spin ratio S = ωr/v and Reynolds number Re.

    Beyond the drag crisis C_D = drag_0 + drag_1·S and C_L = lift_0·fade + lift_1·S^lift_power. In both, S
    levels off smoothly from `level_from` towards `level_to`. For S below `onset`, fade is q·(2 - q) with
    q = S/onset; above it, fade is 1. Below the crisis drag becomes `smooth_drag` and lift 0, with the weight
    1/(1 + (Re/crisis)^10). Spin decays at the rate `spin_decay`·v/r [1/s].
    """

    name: str
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

    def coefficients(self, ratio: Floats, reynolds: Floats) -> tuple[Floats, Floats]:
        """Return drag and lift coefficients at spin ratios and Reynolds numbers, arrays of equal length."""
        drag, lift = np.empty(len(ratio)), np.empty(len(ratio))
        kernel.coefficients_all(
            ratio.astype(np.float32), reynolds.astype(np.float32), singles(*_coefficients(self, self.crisis)),
            blank_room(), drag, lift,
        )  # fmt: skip
        return drag, lift


QUINTAVALLA: Final = Aerodynamics(
    name="modern", drag_0=0.171, drag_1=0.62,
    lift_0=0.083, lift_1=0.885, lift_power=1.0, level_from=0.20, level_to=0.30,
)  # fmt: skip
"""A ball of about 2000 and since: the affine form of Quintavalla (2002), its coefficients from memory.

Three additions are ours. A ball without spin has no lift, so the constant term fades below S = 0.03, where
no drive flies. The form was measured on drives; above S = 0.20 the coefficients level off, as Bearman and
Harvey's (1976) do, and the limit of 0.30 comes from the last row of US Patent 6,729,976 (2004, from memory).
The drag crisis of a dimpled ball lies near Re 4-6·10⁴ and its drag below the crisis near 0.5 (Bearman and
Harvey). No coefficient was tuned on a carry. The spin decay is Smits and Smith's (1994).

References
----------
Quintavalla, "A generally applicable model for the aerodynamic behavior of golf balls", Science and Golf IV,
2002.
Bearman and Harvey, "Golf ball aerodynamics", Aeronautical Quarterly 27, 1976.
Smits and Smith, "A new aerodynamic model of a golf ball in flight", Science and Golf II, 1994."""

SMITS_SMITH: Final = Aerodynamics(
    name="older", drag_0=0.24, drag_1=0.18,
    lift_0=0.0, lift_1=0.54, lift_power=0.4, level_from=10.0, level_to=11.0,
)  # fmt: skip
"""An older ball, which climbs higher: Smits and Smith (1994, from memory). The drag crisis is the same."""

BALL_FLIGHTS: Final = {law.name: law for law in (QUINTAVALLA, SMITS_SMITH)}
"""Published laws of lift and drag, by the name of the ball that each describes."""


@dataclass(frozen=True)
class Tracks:
    """Paths in the air: `points` (points, 3, drives) are x, y and height [m], the last at the landing."""

    points: Singles


@dataclass(frozen=True)
class Landings:
    """Where and how drives land; arrays of equal length, SI units and radians.

    In the shot frame x runs along the aim and y to the right of it. `to_hole_frame` turns them into the hole
    frame.
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


@dataclass(frozen=True)
class Flights:
    """One strike's drives, flown once and aimed anywhere.

    In still air a flight is the same along every aim. In wind, drives are flown with the wind at several
    angles to the aim, and the landing along an aim is interpolated from the five nearest angles.

    Attributes
    ----------
    landings
        Shape (angles, 8, drives): x, y, vx, vy, vz, spin, time and apex in the shot frame.
    points
        Shape (angles, 3, 3, drives): x, y and height at two points of the climb and one of the descent.
    tilt
        Tilt of the spin axis at the launch, one for each drive [rad].
    wind_from
        As in `Air`.
    """

    landings: Singles
    points: Singles
    tilt: Floats
    wind_from: float

    def weights(self, headings: Floats) -> tuple[NDArray[np.int64], Singles]:
        """Return from which angles, and with which weights, flights along `headings` [rad] are interpolated.

        Returns
        -------
        angles, weights
            Arrays of shape (headings, 5), or (headings, 1) in still air.

        Notes
        -----
        The weights are exact for a constant and two harmonics of the angle. To within millimetres a flight is
        the sum of these.
        """
        taps = len(self.to_weights)
        angles = np.empty((len(headings), taps), dtype=np.int64)
        weights = np.empty((len(headings), taps), dtype=np.float32)
        kernel.weigh_angles(headings, self.wind_from, self.to_weights, len(self.landings), angles, weights)
        return angles, weights

    @property
    def to_weights(self) -> Floats:
        """What turns the harmonics of a place between angles into the weights of those around it."""
        return _from_harmonics(len(self.landings))

    def landings_along(self, heading: float, origin: tuple[float, float]) -> Landings:
        """Return the landings in the hole frame, from a tee at `origin` [m] along `heading` [rad]."""
        angles, weights = self.weights(np.array([heading]))
        rows = np.tensordot(weights[0], self.landings[angles[0]], 1)
        return _landings_to_hole_frame(unpack_landings(rows, self.tilt), heading, origin)

    def subset(self, drives: NDArray[np.int64]) -> "Flights":
        """Return the flights of the drives with these numbers."""
        landings, points = (rows.take(drives, axis=-1) for rows in (self.landings, self.points))
        return Flights(landings, points, self.tilt[drives], self.wind_from)

    def without_drives(self) -> "Flights":
        """Return what weighs angles alone: the same without any drive."""
        return self.subset(np.empty(0, dtype=np.int64))

    def neighbour_order(self) -> NDArray[np.int64]:
        """Return the numbers of the drives in an order that puts those that land close together together."""
        along, right = self.landings[0, :2]
        strip = np.floor(right / _STRIP)
        return np.lexsort((np.where(strip % 2, -along, along), strip))


@cache
def _from_harmonics(angles: int) -> Floats:
    """Return `Flights.to_weights` where flights are flown at so many angles of the wind, or in still air."""
    if angles == 1:
        return np.ones((1, 1))
    steps = 2 * pi / angles * np.arange(-2.0, 3.0)  # from the nearest angle to those interpolated between
    harmonics = [np.ones_like(steps), *(f(k * steps) for k in (1, 2) for f in (np.cos, np.sin))]
    return np.asarray(np.linalg.inv(np.stack(harmonics)), dtype=float)


_ANGLES: Final = ((12 * MPH, 12), (17 * MPH, 16), (24 * MPH, 24))


def wind_angle_count(air: Air) -> int:
    """Return the number of angles between wind and aim at which drives are flown.

    It keeps the error of a landing interpolated between them below 1 cm, and below 2 cm in winds over 30 mph.
    """
    if not air.wind_speed:
        return 1
    wind = air.wind_at(10.0)
    return next((angles for most, angles in _ANGLES if wind <= most), 36)


def fly_around(launches: Launches, air: Air, *, aerodynamics: Aerodynamics = QUINTAVALLA) -> Flights:
    """Fly `launches` to level ground, with the wind at each of `wind_angle_count` angles to the aim."""
    return fly_balls_around(launches, [(aerodynamics, len(launches.speed))], air)


def fly_balls_around(launches: Launches, balls: Sequence[tuple[Aerodynamics, int]], air: Air) -> Flights:
    """Fly `launches` with several balls, as `fly_around` does with one.

    Parameters
    ----------
    balls
        Each ball and how many drives it flies, in the order of the drives.
    """
    still, turns = replace(air, wind_from=0.0), wind_angle_count(air)
    headings = [-2 * pi / turns * i for i in range(turns)]
    return _fly_under(launches, air, [pack_laws(balls, still, heading) for heading in headings])


def fly_in_relative_wind(
    launches: Launches, air: Air, *, aerodynamics: Aerodynamics = QUINTAVALLA
) -> Flights:
    """Fly `launches` to level ground in a wind whose `wind_from` is measured clockwise from the aim."""
    return fly_balls_in_relative_wind(launches, [(aerodynamics, len(launches.speed))], air)


def fly_balls_in_relative_wind(
    launches: Launches, balls: Sequence[tuple[Aerodynamics, int]], air: Air
) -> Flights:
    """Fly `launches` with several balls, as `fly_in_relative_wind` does with one."""
    return _fly_under(launches, air, [pack_laws(balls, air, 0.0)])


def _fly_under(launches: Launches, air: Air, laws: Sequence[tuple[Singles, Integers]]) -> Flights:
    """Fly `launches` to level ground by the laws of each angle of the wind, as `pack_laws` returns them."""
    n, angles = len(launches.speed), len(laws)
    landings = np.empty((angles, kernel.LANDING, n), dtype=np.float32)
    points = np.empty((angles, len(_KEPT), 3, n), dtype=np.float32)
    start, pieces = start_rows(launches), ceil(n / _PIECE)

    def piece(i: int) -> None:
        angle, part = divmod(i, pieces)
        low, high, track = part * _PIECE, min((part + 1) * _PIECE, n), blank_track(n)
        kernel.fly(start, *laws[angle], low, high, blank_room(), landings[angle], track)
        points[angle, ..., low:high] = track[_KEPT, :, low:high]

    share_out(piece, angles * pieces)
    return Flights(landings, points, launches.tilt, air.wind_from)


_STRIP: Final = 5.0  # m
_KEPT: Final = (0, 2, 11)  # points of a track: some 50 and 90 m from the tee, and 25 m from the landing
_PIECE: Final = 4096  # drives that one thread flies at a time


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
        True direction of the aim [rad], clockwise from north; it matters only in wind.
    aerodynamics
        The ball.

    Returns
    -------
    Landings, Tracks
        In the shot frame.

    Notes
    -----
    The ball is a point mass. Drag acts against the airspeed, lift square to the airspeed and to the spin
    axis. At the launch the axis is square to the path and leans by the tilt; it then keeps its direction,
    because nothing turns it. So a drive curves less as its path bends over, and a cross-wind does not turn
    the lift. Lift depends on the part of the airspeed that is square to the axis. This is our assumption: the
    coefficients were measured with all of the airspeed square to it. The wind follows the log law
    u(z) = u_ref·ln(z/z₀)/ln(z_ref/z₀).

    Arithmetic is in single precision. Landings lie within 1 cm of scipy's `solve_ivp` at rtol 1e-10 on the
    same equations, within 2 cm in winds over 30 mph, and within 1 m for a ball topped at under 1.5°.

    Examples
    --------
    >>> from holesim.shot.air import make_air
    >>> from holesim.shot.single_drive import from_ball
    >>> from holesim.units import YARD
    >>> landings, _ = fly(from_ball(speed_mph=167, angle_deg=10.9, spin_rpm=2686), make_air())
    >>> f"{landings.x[0] / YARD:.0f} yd of carry, {landings.apex[0] / YARD:.0f} yd high"
    '274 yd of carry, 34 yd high'
    """
    n = len(launches.speed)
    landing, track = blank_landing(n), blank_track(n)
    laws, ends = pack_laws([(aerodynamics, n)], air, heading)
    kernel.fly(start_rows(launches), laws, ends, 0, n, blank_room(), landing, track)
    return unpack_landings(landing, launches.tilt), Tracks(track)


def unpack_landings(rows: Singles, tilt: Floats) -> Landings:
    """Return landings from the kernel's rows, shape (8, drives), and the tilts at the launch [rad]."""
    x, y, vx, vy, vz, spin, time, apex = rows.astype(float)
    return Landings(x, y, vx, vy, vz, spin, tilt, time, apex)


def blank_room() -> Singles:
    """Return working memory for a block of flights."""
    return np.empty(kernel.ROOM, dtype=np.float32)


def blank_landing(drives: int) -> Singles:
    """Return an array for a kernel to fill with landings."""
    return np.empty((kernel.LANDING, drives), dtype=np.float32)


def blank_track(drives: int) -> Singles:
    """Return an array for a kernel to fill with the points of tracks."""
    return np.empty((kernel.POINTS, 3, drives), dtype=np.float32)


def start_rows(launches: Launches) -> Singles:
    """Return the state at the launch, its rows in the kernel's order."""
    rows = kernel.start_of.py_func(
        launches.speed, launches.angle, launches.direction, launches.spin, launches.tilt
    )
    return np.stack(rows, dtype=np.float32)


def pack_laws(
    balls: Sequence[tuple[Aerodynamics, int]], air: Air, heading: float
) -> tuple[Singles, Integers]:
    """Return the numbers of each ball and the air, a row for each, and how many drives fly up to its last."""
    # The kernel takes binary logarithms of the height over the roughness.
    away, gust = air.wind_from + pi - heading, air.wind_at(2 * ROUGHNESS)
    laws, ends = _pack_in_still_air(tuple(balls), air)
    laws = laws.copy()
    laws[:, kernel.WIND_X], laws[:, kernel.WIND_Y] = gust * cos(away), gust * sin(away)
    return laws, ends


@lru_cache(maxsize=64)  # a strike is flown along many aims
def _pack_in_still_air(balls: Sequence[tuple[Aerodynamics, int]], air: Air) -> tuple[Singles, Integers]:
    laws = np.array([_law(ball, air) for ball, _ in balls], dtype=np.float32)
    return laws, np.cumsum([count for _, count in balls])


@lru_cache(maxsize=256)  # a golfer's strikes fly the same balls
def _law(ball: Aerodynamics, air: Air) -> tuple[float, ...]:
    """Return the numbers of ball and air in the kernel's order, of still air."""
    crisis = ball.crisis * air.viscosity / (2 * BALL_RADIUS * air.density) if air.density else inf
    return (
        *_coefficients(ball, crisis), ball.spin_decay / BALL_RADIUS,
        0.5 * air.density * pi * BALL_RADIUS**2 / BALL_MASS, 0.0, 0.0, ROUGHNESS, GRAVITY, BALL_RADIUS,
    )  # fmt: skip


def _coefficients(ball: Aerodynamics, crisis: float) -> tuple[float, ...]:
    """Return the ball's numbers in the kernel's order; `crisis` is a speed or a Reynolds number."""
    return (
        ball.drag_0, ball.drag_1, ball.lift_0, ball.lift_1, ball.lift_power, ball.level_from,
        ball.level_to - ball.level_from, ball.onset, ball.smooth_drag, crisis,
    )  # fmt: skip


def to_hole_frame(
    landings: Landings, tracks: Tracks, *, heading: float, origin: tuple[float, float]
) -> tuple[Landings, Tracks]:
    """Turn flights from the shot frame to the hole frame: from `origin` [m], aimed along `heading` [rad]."""
    s, c = sin(heading), cos(heading)
    along, right, height = tracks.points.transpose(1, 0, 2)
    points = np.stack(
        [s * along + c * right + origin[0], c * along - s * right + origin[1], height],
        axis=1,
        dtype=np.float32,
    )
    return _landings_to_hole_frame(landings, heading, origin), Tracks(points)


def _landings_to_hole_frame(landings: Landings, heading: float, origin: tuple[float, float]) -> Landings:
    s, c = sin(heading), cos(heading)
    x, y = s * landings.x + c * landings.y, c * landings.x - s * landings.y
    vx, vy = s * landings.vx + c * landings.vy, c * landings.vx - s * landings.vy
    return replace(landings, x=x + origin[0], y=y + origin[1], vx=vx, vy=vy)
