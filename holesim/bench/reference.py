"""Reference: the same job in plain general-purpose code, with which the compiled kernels are compared.

One drive at a time uses scipy's `solve_ivp`, shapely's outlines and `numpy.interp`. Many drives at once use a
Runge-Kutta integration in numpy. The reference shares records, coefficients and tables with the kernels, but
no formula.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, cos, exp, hypot, inf, log, log1p, pi, sin, sqrt, tan
from typing import Any, Final, Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.interpolate import interpn
from scipy.spatial.transform import Rotation
from shapely.geometry import MultiPolygon, Polygon

from holesim.course.course import Course, Ground
from holesim.course.ground_map import treetop
from holesim.scoring.expected_strokes import ExpectedStrokes
from holesim.scoring.shot_dispersion import LENGTHS, ClubDispersion
from holesim.scoring.strokes_table import DISTANCES, LOST_IN_HEAVY_ROUGH, LOST_IN_TREES
from holesim.shot.air import ROUGHNESS, Air
from holesim.shot.flight import GRAVITY, QUINTAVALLA, Aerodynamics
from holesim.shot.impact import BALL_MASS, BALL_RADIUS, Launches
from holesim.shot.relief import CLUB_LENGTH, RECOVERY_LAUNCH, Finish, Lie, OutOfBounds
from holesim.units import DEGREE

Floats = NDArray[np.float64]
Reals = NDArray[np.floating[Any]]
Place = tuple[float, float]


class _Wind(NamedTuple):
    """The wind's components along the aim and to its left [m/s], for each unit of ln(height/roughness)."""

    along: float
    left: float


def _wind(air: Air, heading: float) -> _Wind:
    away = air.wind_from + pi - heading
    scale = air.wind_speed / log(air.wind_height / ROUGHNESS) if air.wind_speed else 0.0
    return _Wind(scale * cos(away), -scale * sin(away))


# The shot frame is left-handed: x along the aim, y right, z up. Cross products want a right-handed one, so a
# ball flies here with y to the left.
_MIRROR: Final = np.array([1.0, -1.0, 1.0])


def _leave(launches: Launches, drives: slice) -> tuple[Floats, Floats]:
    """Return velocities and spin axes as some drives leave the ground, shape (drives, 3), y to the left.

    The axis of pure backspin is level and points right; a positive tilt turns it about the launch, right side
    down. Lift points along the cross product of axis and airspeed.
    """
    turn = Rotation.from_euler("ZY", -np.column_stack([launches.direction, launches.angle])[drives])
    lean = Rotation.from_euler("X", launches.tilt[drives, None])
    return launches.speed[drives, None] * turn.apply([1, 0, 0]), (turn * lean).apply([0, -1, 0])


def _drag_scale(air: Air) -> float:
    """Return the deceleration over drag coefficient and speed squared [1/m]."""
    return 0.5 * air.density * pi * BALL_RADIUS**2 / BALL_MASS


def _crisis_scale(air: Air, law: Aerodynamics) -> float:
    """Return the Reynolds number over that of the drag crisis, at 1 m/s [s/m]."""
    return 2 * BALL_RADIUS * air.density / air.viscosity / law.crisis


# --- the flight of one drive ----------------------------------------------------------------------

_LONGEST: Final = 60.0  # s, more than any ball stays up


def fly_one(
    launches: Launches,
    i: int,
    air: Air,
    *,
    heading: float = 0.0,
    aerodynamics: Aerodynamics = QUINTAVALLA,
    rise: float = 0.0,
    rtol: float = 1e-6,
    atol: float = 1e-9,
) -> tuple[Floats, Floats]:
    """Fly drive `i` of `launches` to the ground by scipy's `solve_ivp`.

    Parameters
    ----------
    heading
        True direction of the aim [rad], clockwise from north; it matters only in wind.
    aerodynamics
        The ball.
    rise
        Slope of the ground along the aim.
    rtol, atol
        Relative and absolute tolerance of each step.

    Returns
    -------
    landing
        x, y, vx, vy, vz, spin and time at the landing, shape (7,), in the shot frame [m, m/s, rad/s, s].
    path
        x, y and height [m] at the start and after each of the solver's steps, shape (points, 3).

    Notes
    -----
    Of scipy's methods, its default, Dormand & Prince's pair of orders 5 and 4 (J. Comp. Appl. Math. 6,
    1980), is the fastest here.
    """
    [velocity], [axis] = _leave(launches, slice(i, i + 1))
    start = [0.0, 0.0, 0.0, *velocity, float(launches.spin[i])]
    rates = _rates(axis, air, _wind(air, heading), aerodynamics)
    flown = solve_ivp(rates, (0, _LONGEST), start, events=_landing_on(rise), rtol=rtol, atol=atol)
    path, velocity = flown.y[:3].T * _MIRROR, flown.y[3:6, -1] * _MIRROR
    return np.array([*path[-1, :2], *velocity, flown.y[6, -1], flown.t[-1]]), path


def _landing_on(rise: float) -> Callable[[float, Floats], float]:
    """Return the event at which `solve_ivp` stops: the height above the ground falls through 0."""

    def height(_: float, state: Floats) -> float:
        return float(state[2] - rise * state[0])

    height.terminal, height.direction = True, -1  # type: ignore[attr-defined]
    return height


def _rates(axis: Floats, air: Air, wind: _Wind, law: Aerodynamics) -> Callable[[float, Floats], list[float]]:
    """Return the equations of motion: from time and state to the state's rates of change, y to the left.

    The `axis` of the spin keeps its direction.
    """
    drag_scale, crisis_scale = _drag_scale(air), _crisis_scale(air, law)
    ex, ey, ez = axis.tolist()
    knee, room = law.level_from, law.level_to - law.level_from

    def rates(_: float, state: Floats) -> list[float]:
        # Python's floats are several times faster than an array's elements.
        _, _, z, vx, vy, vz, spin = state.tolist()
        gust = log(z / ROUGHNESS) if z > ROUGHNESS else 0.0
        ax, ay = vx - wind.along * gust, vy - wind.left * gust
        speed = sqrt(ax * ax + ay * ay + vz * vz)
        ratio = spin * BALL_RADIUS / speed
        if ratio > knee:
            ratio = knee + room * (1 - exp((knee - ratio) / room))
        fade = min(ratio / law.onset, 1)
        late = 1 - 1 / (1 + (crisis_scale * speed) ** 10)
        drag = law.smooth_drag + (law.drag_0 + law.drag_1 * ratio - law.smooth_drag) * late
        lift = (law.lift_0 * fade * (2 - fade) + law.lift_1 * ratio**law.lift_power) * late
        force = drag_scale * speed
        return [
            vx,
            vy,
            vz,
            force * (lift * (ey * vz - ez * ay) - drag * ax),
            force * (lift * (ez * ax - ex * vz) - drag * ay),
            force * (lift * (ex * ay - ey * ax) - drag * vz) - GRAVITY,
            -law.spin_decay * speed / BALL_RADIUS * spin,
        ]

    return rates


# --- the flight of many drives together -----------------------------------------------------------

BLOCK: Final = 2**17
"""Bytes of each array of drives that fly together, 16,384 drives in double precision: few enough to stay in a
processor's cache, and enough to pay for the calls. Half or twice as many take 4 to 20 % longer (measured)."""

_STEPS: Final = (
    0.005,
    0.015,
    0.04,
    0.1,
    0.25,
    0.5,
)  # s; the first three for the wind's gradient at the ground
_SHARE: Final = 0.6  # of the time to the ground, the most that a step takes
_LAST: Final = 0.12  # s to the ground, from which a ball lands in one step
_MOST_STEPS: Final = 400


def fly_together(
    launches: Launches,
    air: Air,
    *,
    heading: float = 0.0,
    aerodynamics: Aerodynamics = QUINTAVALLA,
    dtype: type[np.float32 | np.float64] = np.float64,
) -> Reals:
    """Fly all of `launches` to level ground by a vectorised Runge-Kutta integration of fourth order.

    Parameters
    ----------
    heading, aerodynamics
        As for `fly_one`.
    dtype
        The precision to work in.

    Returns
    -------
    Array of shape (7, drives): x, y, vx, vy, vz, spin and time at the landing, as `fly_one` gives them.
    """
    start = _start(launches, dtype)
    drives = start.shape[1]
    size = min(BLOCK // start.itemsize, drives)
    flight = _Flight(size, air, _wind(air, heading), aerodynamics, dtype)
    landed = np.empty((7, drives), dtype=dtype)
    for first in range(0, drives, size):
        block = slice(first, first + size)
        landed[:, block] = flight.land(start[:, block])
    landed[[1, 3]] *= -1
    return landed


# Rows of what is known of a drive on its way: place, motion, time, and the axis of spin; y to the left.
_Z, _VZ, _RIM, _TIME = 2, 5, 6, 7
_PLACE, _VELOCITY, _MOTION, _AXIS = slice(0, 3), slice(3, 6), slice(3, 7), slice(8, 11)
_LANDING: Final = (0, 1, 3, 4, 5, 6)


def _start(launches: Launches, dtype: type[np.float32 | np.float64]) -> Reals:
    """Return all drives as they leave the ground: shape (11, drives), the spin as the speed of the rim."""
    velocities, axes = _leave(launches, slice(None))
    nought = np.zeros_like(launches.spin)
    rows = [nought, nought, nought, *velocities.T, launches.spin * BALL_RADIUS, nought, *axes.T]
    return np.stack(rows).astype(dtype)


class _Flight:
    """The flight of up to `size` drives at a time, in working memory that is allocated once."""

    def __init__(
        self, size: int, air: Air, wind: _Wind, law: Aerodynamics, dtype: type[np.float32 | np.float64]
    ) -> None:
        self.law, self.wind, self.windy = law, wind, air.wind_speed != 0
        self.drag_scale, self.crisis_scale = _drag_scale(air), _crisis_scale(air, law)
        self.steps = _STEPS if self.windy else _STEPS[3:]
        self.stages = np.empty((4, 4, size), dtype=dtype)
        self.scratch = np.empty((9, size), dtype=dtype)
        self.floor = np.full(size, ROUGHNESS, dtype=dtype)  # numpy is faster with it as an array

    def land(self, drives: Reals) -> Reals:
        """Return `drives`, shape (11, drives), at their landing, shape (7, drives)."""
        low = np.empty_like(drives)
        index = np.arange(drives.shape[1])
        for count in range(_MOST_STEPS):
            fall = _time_to_fall(drives)
            down = (fall <= _LAST) & (drives[_VZ] <= 0)
            if down.any():
                low[:, index[down]] = drives[:, down]
                drives, index, fall = drives[:, ~down], index[~down], fall[~down]
                if not len(index):
                    break
            step = self.steps[min(count, len(self.steps) - 1)]
            self._step(drives, np.minimum(np.maximum(_SHARE * fall, _LAST), step))
        else:
            raise RuntimeError("a drive does not come down")
        self._step(low, _time_to_fall(low))
        # Newton's method takes off what height drag and lift have left.
        left = -low[_Z] / low[_VZ]
        rates = self.stages[0, :, : len(left)]
        self._rates(low[_Z], low[_MOTION], low[_AXIS], rates)
        low[_PLACE] += left * low[_VELOCITY]
        low[_MOTION] += left * rates
        low[_TIME] += left
        low[_RIM] /= BALL_RADIUS
        return low[[*_LANDING, _TIME]]

    def _step(self, drives: Reals, h: Reals) -> None:
        """Take each drive a time `h` further, in place."""
        n = len(h)
        k1, k2, k3, motion = self.stages[:, :, :n]
        z, half = self.scratch[7:, :n]
        z0, motion0, axis = drives[_Z], drives[_MOTION], drives[_AXIS]
        np.multiply(h, 0.5, out=half)
        self._rates(z0, motion0, axis, k1)
        _onward(z0, drives[_VZ], half, z)
        _onward(motion0, k1, half, motion)
        self._rates(z, motion, axis, k2)
        _onward(z0, motion[2], half, z)
        _onward(motion0, k2, half, motion)
        self._rates(z, motion, axis, k3)
        _onward(z0, motion[2], h, z)
        _onward(motion0, k3, h, motion)
        k2 += k3
        k1 += k2
        self._rates(z, motion, axis, k3)
        # h·v + h²/6·(k1 + k2 + k3) is what the four stages make of the place.
        sixth, moved = np.multiply(h, 1 / 6, out=half), motion[:3]
        _onward(drives[_VELOCITY], k1[:3], sixth, moved)
        moved *= h
        drives[_PLACE] += moved
        k1 += k2
        k1 += k3
        k1 *= sixth
        motion0 += k1
        drives[_TIME] += h

    def _rates(self, z: Reals, motion: Reals, axis: Reals, out: Reals) -> None:
        """Fill `out` with the rates of change of `motion` (vx, vy, vz, speed of the rim) at heights `z`."""
        law, n = self.law, len(z)
        vx, vy, vz, rim = motion
        ax, ay, speed, ratio, drag, lift, work = self.scratch[:7, :n]
        if self.windy:
            np.maximum(z, self.floor[:n], out=work)
            work *= 1 / ROUGHNESS
            np.log(work, out=work)
            _onward(vx, work, -self.wind.along, ax)
            _onward(vy, work, -self.wind.left, ay)
        else:
            ax, ay = vx, vy
        np.multiply(ax, ax, out=speed)
        for v in (ay, vz):
            np.multiply(v, v, out=work)
            speed += work
        np.sqrt(speed, out=speed)
        np.divide(rim, speed, out=ratio)
        np.multiply(speed, -law.spin_decay / BALL_RADIUS, out=out[3])
        out[3] *= rim
        _level_off(ratio, law)
        self._coefficients(speed, ratio, drag, lift, work)
        # From here on drag and lift are for each m/s of airspeed.
        speed *= self.drag_scale
        drag *= speed
        lift *= speed
        air = ax, ay, vz
        for k in range(3):
            i, j = (k + 1) % 3, (k + 2) % 3
            np.multiply(axis[i], air[j], out=out[k])
            np.multiply(axis[j], air[i], out=work)
            out[k] -= work
            out[k] *= lift
            np.multiply(drag, air[k], out=work)
            out[k] -= work
        out[2] -= GRAVITY

    def _coefficients(self, speed: Reals, ratio: Reals, drag: Reals, lift: Reals, work: Reals) -> None:
        """Fill `drag` and `lift` with the coefficients at airspeeds and levelled spin ratios."""
        law = self.law
        if law.lift_power == 1:
            np.multiply(ratio, law.lift_1, out=lift)
        else:
            np.power(ratio, law.lift_power, out=lift)
            lift *= law.lift_1
        if law.lift_0 and ratio.min() >= law.onset:
            lift += law.lift_0
        elif law.lift_0:
            np.minimum(ratio, law.onset, out=work)
            work *= 1 / law.onset
            np.subtract(2, work, out=drag)
            work *= drag
            work *= law.lift_0
            lift += work
        # The share of the way past the drag crisis, 1 - 1/(1 + q¹⁰).
        late = np.multiply(speed, self.crisis_scale, out=work)
        late *= late
        np.multiply(late, late, out=drag)
        drag *= drag
        late *= drag
        late += 1
        np.divide(-1, late, out=late)
        late += 1
        np.multiply(ratio, law.drag_1, out=drag)
        drag += law.drag_0 - law.smooth_drag
        drag *= late
        drag += law.smooth_drag
        lift *= late


def _onward(start: Reals, rate: Reals, time: Reals | float, out: Reals) -> None:
    np.multiply(rate, time, out=out)
    out += start


def _level_off(ratio: Reals, law: Aerodynamics) -> None:
    """Let spin ratios above `level_from` level off, in place."""
    knee, room = law.level_from, law.level_to - law.level_from
    # The exponential is dear, so it is taken of those alone.
    beyond = np.flatnonzero(ratio > knee)
    if len(beyond):
        ratio[beyond] = knee + room * (1 - np.exp((knee - ratio[beyond]) / room))


def _time_to_fall(drives: Reals) -> Reals:
    """Return the time to the ground without air [s]; lift makes it longer, so it is safe to step by."""
    vz = drives[_VZ]
    return np.asarray((vz + np.sqrt(np.maximum(vz * vz + 2 * GRAVITY * drives[_Z], 0))) / GRAVITY)


# --- the ground -----------------------------------------------------------------------------------

_STRIDE: Final = 1.0  # m


@dataclass(frozen=True)
class PlainGround:
    """The ground of a course as its outlines, in order of precedence, and the ground outside all of them."""

    outlines: NDArray[np.object_]
    codes: tuple[Ground, ...]
    heights: tuple[float, ...]
    boundary: Polygon | MultiPolygon | None
    bare: Ground

    @classmethod
    def of(cls, course: Course, *, unmapped: Literal["rough", "heavy"] | None = None) -> "PlainGround":
        """Return the ground of `course`; `unmapped` is as for `map_ground`."""
        areas = sorted(course.areas, key=lambda area: area.ground)
        outlines = np.array([area.outline for area in areas], dtype=np.object_)
        shapely.prepare(outlines)
        shapely.prepare(course.boundary)
        drawn = course.maps_rough if unmapped is None else unmapped == "heavy"
        bare = Ground.HEAVY_ROUGH if drawn else Ground.ROUGH
        codes, heights = tuple(area.ground for area in areas), tuple(map(treetop, areas))
        return cls(outlines, codes, heights, course.boundary, bare)

    def at(self, x: float, y: float) -> Ground:
        """Return the ground at a point [m, hole frame]."""
        return self._look(x, y)[0]

    def treetop(self, x: float, y: float) -> float:
        """Return the height of the trees at a point [m, hole frame], 0 where there are none."""
        return self._look(x, y)[1]

    def _look(self, x: float, y: float) -> tuple[Ground, float]:
        if self.boundary is not None and not shapely.contains_xy(self.boundary, x, y):
            return Ground.OUT, 0.0
        inside = shapely.contains_xy(self.outlines, x, y).nonzero()[0]
        return (self.codes[inside[0]], self.heights[inside[0]]) if len(inside) else (self.bare, 0.0)


def meet_trees(landing: Floats, path: Floats, ground: PlainGround) -> tuple[Floats, Floats]:
    """Let a ball drop after two strides in trees below their top, as `landing.land` says.

    Parameters
    ----------
    landing, path
        In the hole frame, as `turn_one` gives them.
    """
    tallest = max(ground.heights, default=0.0)
    for k, (a, b) in enumerate(pairwise(path)):
        hits, length = 0, hypot(b[0] - a[0], b[1] - a[1])
        for stride in range(1, int(length / _STRIDE) + 1) if min(a[2], b[2]) < tallest else ():
            x, y, z = a + stride * _STRIDE / length * (b - a)
            hits = hits + 1 if z < ground.treetop(x, y) else 0
            if hits == 2:
                down = np.array([x, y, 0.0, 0.0, -sqrt(2 * GRAVITY * z), 0.0, landing[6]])
                return down, np.vstack([path[: k + 1], [x, y, 0.0]])
    return landing, path


# --- bounce and run -------------------------------------------------------------------------------

_LEAN: Final = 15.4 / (
    18.6 * 44.4
)  # of the crater's wall: radians for each m/s and each radian from the vertical
_GRAZE: Final = 11 * DEGREE
_REBOUND: Final = 0.3  # of its speed of descent, the most that a grazing ball keeps
_HOP_DRAG: Final = 0.0046  # 1/m, without spin
_GRASS: Final = 7.0  # m/s
_LEAST_RISE: Final = 0.4  # m/s, below which a ball no longer clears the grass
_MOST_BOUNCES: Final = 30
_ROLL: Final = 0.1  # m
_STILL: Final = 0.05  # m/s


class _Surface(NamedTuple):
    """A row of `bounce.surfaces`."""

    restitution: float
    friction: float
    give: float
    rolling: float
    stops: float


def run_one(
    landing: Floats, tilt: float, ground: PlainGround, surfaces: Floats
) -> tuple[float, float, Ground]:
    """Let one ball bounce and roll on level ground until it stops, as `bounce.run` says.

    Parameters
    ----------
    landing
        As `fly_one` gives it, but in the hole frame: see `turn_one`.
    tilt
        Of the spin axis at the launch [rad].
    surfaces
        The table that `bounce.surfaces` makes.

    Returns
    -------
    Where it stops [m, hole frame], and on what.

    Notes
    -----
    On level ground nothing turns the ball from its line, since of its spin only that about the level axis
    square to its travel rubs the ground.
    """
    x, y, vx, vy, vz, spin, _ = landing.tolist()
    kinds = [_Surface(*row) for row in surfaces.tolist()]
    forward = hypot(vx, vy)
    east, north = (vx / forward, vy / forward) if forward else (0.0, 1.0)
    back = spin * cos(tilt)
    code = ground.at(x, y)
    for _ in range(_MOST_BOUNCES):
        if kinds[code].stops:
            return x, y, code
        forward, vz, back = _bounce(forward, vz, back, kinds[code])
        if forward < 0:
            # It comes back, and its backspin is topspin to that way.
            forward, back, east, north = -forward, -back, -east, -north
        if vz < _LEAST_RISE:
            break
        time = 2 * vz / GRAVITY
        slowing = _HOP_DRAG * forward * time
        reach = forward * time * (log1p(slowing) / slowing if slowing else 1.0)
        x, y = x + reach * east, y + reach * north
        forward, vz = forward / (1 + slowing), -vz
        code = ground.at(x, y)
    while forward > _STILL and not kinds[code].stops:
        loss = kinds[code].rolling * GRAVITY * (1 + (forward / _GRASS) ** 2)
        part = min(_ROLL, forward**2 / (2 * loss))
        x, y = x + part * east, y + part * north
        forward = sqrt(max(forward**2 - 2 * loss * part, 0.0))
        code = ground.at(x, y)
    return x, y, code


def _bounce(forward: float, vz: float, back: float, surface: _Surface) -> tuple[float, float, float]:
    """Return the speeds forward and up, and the backspin, after one bounce."""
    descent, speed = atan2(-vz, forward), hypot(forward, vz)
    lean = surface.give * _LEAN * speed * (pi / 2 - descent)
    # Smoothly at most what a shallow crater has room for, and never past meeting the ball square.
    lean /= (1 + (lean * _GRAZE**2 / descent**3) ** 4) ** 0.25
    lean = min(lean, pi / 2 - descent)
    into, along = speed * sin(descent + lean), speed * cos(descent + lean)
    lively = 0.120 if into >= 20 else 0.510 - 0.0375 * into + 0.000903 * into**2
    out = surface.restitution * lively * into
    # Enough friction to leave the ball rolling takes 2/7 of the slip; otherwise it slides.
    slip = along + BALL_RADIUS * back
    lost = min(2 / 7 * abs(slip), surface.friction * (into + out))
    lost = lost if slip > 0 else -lost
    along -= lost
    most = _REBOUND * (1 + (descent / _GRAZE) ** 2) * -vz
    return (
        along * cos(lean) - out * sin(lean),
        min(along * sin(lean) + out * cos(lean), most),
        back - 2.5 * lost / BALL_RADIUS,
    )


# --- relief and strokes ---------------------------------------------------------------------------

_PENALTY: Final = (Ground.RED, Ground.YELLOW)
_LIES: Final = {
    Ground.GREEN: Lie.GREEN,
    Ground.TEE: Lie.FAIRWAY,
    Ground.FAIRWAY: Lie.FAIRWAY,
    Ground.BUNKER: Lie.SAND,
    Ground.TREES: Lie.RECOVERY,
    Ground.HEAVY_ROUGH: Lie.HEAVY,
    Ground.ROUGH: Lie.ROUGH,
}
_FINISHES: Final = {
    Lie.GREEN: Finish.GREEN,
    Lie.FAIRWAY: Finish.FAIRWAY,
    Lie.ROUGH: Finish.ROUGH,
    Lie.HEAVY: Finish.HEAVY_ROUGH,
    Lie.SAND: Finish.SAND,
    Lie.RECOVERY: Finish.TREES,
}
_LOST: Final = {Ground.TREES: LOST_IN_TREES, Ground.HEAVY_ROUGH: LOST_IN_HEAVY_ROUGH}


@dataclass(frozen=True, kw_only=True)
class PlainHole:
    """What is the same for all drives from a tee: places [m, hole frame], surfaces and expected strokes.

    `surfaces` is what `bounce.surfaces` returns.
    """

    ground: PlainGround
    tee: Place
    pin: Place
    green: Polygon
    surfaces: Floats
    expected: ExpectedStrokes
    out_of_bounds: OutOfBounds = "distance"


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """Where one ball stopped, and what `relief.Lies` holds of it."""

    stopped: Place
    place: Place
    finish: Finish
    cost: float
    may_replay: bool = False
    lost: float = 0.0
    lost_cost: float = inf


def apply_rules(stopped: tuple[float, float, Ground], path: Floats, hole: PlainHole) -> Outcome:
    """Apply the Rules to one ball that has stopped, as `relief.take_relief` says.

    Parameters
    ----------
    rest
        As `run_one` gives it.
    path
        The way there, in the hole frame, from the tee to the landing, shape (points, 3) [m].
    """
    x, y, code = stopped
    where = place = x, y
    if code == Ground.GREEN and hole.green.distance(shapely.Point(place)) > 0.2:
        place = _off_green(place, hole)
        code = hole.ground.at(*place)
    if code == Ground.OUT:
        cost = inf
        if hole.out_of_bounds == "drop":
            place = _crossing(where, path, (Ground.OUT,), hole)
            cost = 3 + _strokes(Lie.FAIRWAY, place, hole)
        return Outcome(stopped=where, place=place, finish=Finish.OUT, cost=cost, may_replay=True)
    if code in _PENALTY:
        edge = _crossing(where, path, _PENALTY, hole)
        cost, place = _cheapest_drop(edge, hole, red=code == Ground.RED)
        return Outcome(stopped=where, place=place, finish=Finish.PENALTY, cost=2 + cost, may_replay=True)
    lie = _lie(place, code, hole)
    lost = _LOST.get(code, 0.0)
    local_rule = lost > 0 and hole.out_of_bounds == "drop"
    return Outcome(
        stopped=where,
        place=place,
        finish=_FINISHES[lie],
        cost=1 + _strokes(_LIES[code], place, hole),
        lost=lost,
        lost_cost=3 + _strokes(Lie.FAIRWAY, place, hole) if local_rule else inf,
    )


def _strokes(lie: Lie, place: Place, hole: PlainHole) -> float:
    """Return the expected strokes: putts by distance, else interpolated between four grid points."""
    grid = hole.expected.grid
    if lie == Lie.GREEN:
        return float(np.interp(_distance(place, hole.pin), DISTANCES, grid.putts))
    columns, rows = hole.expected.axes
    inside = np.clip(place[::-1], (rows[0], columns[0]), (rows[-1], columns[-1]))
    return float(interpn((rows, columns), grid.values[lie], inside)[0])


def _distance(a: Place, b: Place) -> float:
    return hypot(a[0] - b[0], a[1] - b[1])


def _between(a: Place, b: Place, share: float) -> Place:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _lie(place: Place, code: Ground, hole: PlainHole) -> Lie:
    lie = _LIES[code]
    return Lie.RECOVERY if lie != Lie.GREEN and _blocked(place, hole) else lie


def _blocked(place: Place, hole: PlainHole) -> bool:
    """Return whether two strides of trees too near to be cleared stand on the line to the pin."""
    away = _distance(place, hole.pin)
    climb = tan(RECOVERY_LAUNCH)
    strides = int(min(away, max(hole.ground.heights, default=0) / climb) / _STRIDE)
    line = ((k * _STRIDE, _between(place, hole.pin, k * _STRIDE / away)) for k in range(1, strides + 1))
    trees = (reach * climb < hole.ground.treetop(*point) for reach, point in line)
    return any(one and other for one, other in pairwise(trees))


def _crossing(stopped: Place, path: Floats, area: tuple[Ground, ...], hole: PlainHole) -> Place:
    """Return where a ball that stopped in `area` last entered it, going back along its run and flight."""
    inside = stopped
    for here, before in pairwise([stopped, *((x, y) for x, y, _ in reversed(path.tolist()))]):
        strides = ceil(_distance(here, before) / _STRIDE)
        for k in range(1, strides + 1):
            outside = _between(here, before, k / strides)
            if hole.ground.at(*outside) not in area:
                return _edge(inside, outside, area, hole)
            inside = outside
    return hole.tee


def _edge(inside: Place, outside: Place, area: tuple[Ground, ...], hole: PlainHole) -> Place:
    """Return a place just outside the edge of `area`, to a centimetre, by halving a stride."""
    for _ in range(7):
        middle = _between(inside, outside, 0.5)
        if hole.ground.at(*middle) in area:
            inside = middle
        else:
            outside = middle
    return outside


def _cheapest_drop(edge: Place, hole: PlainHole, *, red: bool) -> tuple[float, Place]:
    """Return the expected strokes and the place of the cheapest drop for a ball that crossed at `edge`."""
    best, where = inf, edge
    for place in _drops(edge, hole.pin, red=red):
        code = hole.ground.at(*place)
        if code != Ground.OUT and code not in _PENALTY:
            left = _strokes(_LIES[code], place, hole)
            if left < best:
                best, where = left, place
    return best, where


def _drops(edge: Place, pin: Place, *, red: bool) -> Iterator[Place]:
    """Yield places to drop at: back on the line from the hole (17.1d(2)), and beside the edge (17.1d(3))."""
    x, y = edge
    away = atan2(y - pin[1], x - pin[0])
    for back in (*np.arange(0.5, 20.5, 1).tolist(), *np.arange(20.5, 250, 5).tolist()):
        yield x + back * cos(away), y + back * sin(away)
    if red:
        for turn in np.linspace(-pi / 2, pi / 2, 17).tolist():
            for reach in (CLUB_LENGTH, 2 * CLUB_LENGTH):
                place = x + reach * cos(away + turn), y + reach * sin(away + turn)
                if _distance(place, pin) >= _distance(edge, pin):
                    yield place


def _off_green(place: Place, hole: PlainHole) -> Place:
    """Return the nearest place off another hole's green and no nearer this one (13.1f)."""
    x, y = place
    for radius in np.arange(CLUB_LENGTH, 60, 0.5).tolist():
        for angle in np.linspace(0, 2 * pi, 64, endpoint=False).tolist():
            other = x + radius * cos(angle), y + radius * sin(angle)
            nearer = _distance(other, hole.pin) < _distance(place, hole.pin)
            if not nearer and hole.ground.at(*other) > Ground.GREEN:
                return other
    return place


# --- the next shot --------------------------------------------------------------------------------


def best_shot(
    place: Place, lie: Lie, bag: ClubDispersion, misses: Floats, targets: Sequence[Place], hole: PlainHole
) -> float:
    """Return the expected strokes by the best of the shots at some targets, where no trees are in the way.

    Parameters
    ----------
    misses
        Misses of a shot, along and across in standard deviations, shape (2, misses).
    """
    best = inf
    for target in targets:
        length = _distance(place, target)
        east, north = (target[0] - place[0]) / length, (target[1] - place[1]) / length
        far, wide = (float(np.interp(length, LENGTHS, column)) for column in bag.shots[lie].T[:2])
        costs = []
        for along, aside in misses.T.tolist():
            go, drift = length + far * along, wide * aside
            x, y = place[0] + go * east + drift * north, place[1] + go * north - drift * east
            way = np.array([[*place, 0.0], [x, y, 0.0]])
            costs.append(apply_rules((x, y, hole.ground.at(x, y)), way, hole))
        kept = sum((1 - one.lost) * one.cost for one in costs if one.cost < inf)
        again = sum(one.lost if one.cost < inf else 1 for one in costs) / len(costs)
        if again < 1:
            best = min(best, (kept / len(costs) + 2 * again) / (1 - again))
    return best


# --- one drive, all the way -----------------------------------------------------------------------


def turn_one(landing: Floats, path: Floats, *, heading: float, tee: Place) -> tuple[Floats, Floats]:
    """Turn a landing and a path from the shot frame to the hole frame: from `tee` along `heading` [rad]."""
    east_north = np.array([[sin(heading), cos(heading)], [cos(heading), -sin(heading)]])
    landing, path = landing.copy(), path.copy()
    landing[:2] = east_north @ landing[:2] + tee
    landing[2:4] = east_north @ landing[2:4]
    path[:, :2] = path[:, :2] @ east_north.T + tee
    return landing, path


def cost_one(
    launches: Launches,
    i: int,
    hole: PlainHole,
    air: Air,
    *,
    heading: float,
    aerodynamics: Aerodynamics = QUINTAVALLA,
) -> Outcome:
    """Return where drive `i` of `launches`, aimed along `heading` [rad], finishes and what it costs."""
    flown = fly_one(launches, i, air, heading=heading, aerodynamics=aerodynamics)
    landing, path = meet_trees(*turn_one(*flown, heading=heading, tee=hole.tee), hole.ground)
    stopped = run_one(landing, float(launches.tilt[i]), hole.ground, hole.surfaces)
    return apply_rules(stopped, path, hole)
