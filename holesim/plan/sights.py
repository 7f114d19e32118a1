"""An aim by something that can be seen from the tee."""

from dataclasses import dataclass
from functools import lru_cache
from math import hypot, pi, radians
from typing import Final, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from holesim.course.course import Course
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole, Tee
from holesim.plan import _sights_kernel as kernel
from holesim.units import YARD

Floats = NDArray[np.float64]
Angle = TypeVar("Angle", float, NDArray[np.float64])

_IN_VIEW: Final = radians(30)
_APART: Final = radians(0.05)  # bearings along which fairway is looked for
_BEHIND: Final = 20.0  # m behind the flag, to which bunkers are sights
_AS_FAR: Final = 15.0  # m; two bunkers whose distances differ by less are called left and right
_WORDS: Final = 30 * YARD  # beside a sight; farther off, degrees say more
_PLAIN: Final = ("the flag", "mid-fairway")
_NEAR: Final = 10 * YARD  # of these; within it no other sight is better
_STAND: Final = np.linspace(0.6, 1.15, 24)  # shares of a drive's total at which trees frame it


@dataclass(frozen=True)
class Sight:
    """Something a golfer can see from the tee: its true bearing [rad] and its distance [m]."""

    label: str
    bearing: float
    distance: float


@dataclass(frozen=True)
class Mark:
    """An aim by something that can be seen: `offset` [m] right of it, at its distance."""

    sight: Sight
    offset: float

    def text(self, *, metric: bool = False) -> str:
        """Return the aim in words."""
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        label = self.sight.label
        if "bunker" in label:
            label += f" at {self.sight.distance / scale:.0f} {unit}"
        if abs(self.offset) > _WORDS:
            degrees = round(abs(self.offset) / self.sight.distance * 180 / pi)
            aside = f"{degrees}° ({abs(self.offset) / scale:.0f} {unit})"
            return f"{aside} {'right' if self.offset > 0 else 'left'} of {label}"
        offset = round(self.offset / scale)
        return (
            f"{abs(offset)} {unit} {'right' if offset > 0 else 'left'} of {label}"
            if offset
            else f"at {label}"
        )


def find_sights(
    course: Course, hole: Hole, tee: Tee, ground: GroundMap, *, drive: float
) -> tuple[Sight, ...]:
    """Return what a golfer whose drive has a total of `drive` [m] can aim at from a tee."""
    pin = tee.bearing(*hole.pin)
    flag_distance = hypot(hole.pin[0] - tee.x, hole.pin[1] - tee.y)
    visible = [Sight("the flag", pin, flag_distance)]
    reach = min(drive, flag_distance)
    visible += _framed(tee, ground, line_bearing(hole, tee, reach), reach)
    farthest = min(1.4 * drive, flag_distance + _BEHIND)
    bunkers = _bunkers_in_view(course.bunkers, tee, hole.pin)
    visible += _edges(tuple(one for one in bunkers if one[2] < farthest))
    return tuple(visible)


def _framed(tee: Tee, ground: GroundMap, middle: float, reach: float) -> list[Sight]:
    """Return the middle of the fairway nearest a bearing, at `reach`, and the trees that frame it."""
    distances, found = reach * _STAND, []
    fairway, middle, left, left_at, right, right_at = kernel.look(
        tee.x, tee.y, middle, _APART, round(_IN_VIEW / _APART), reach, distances, ground.grid
    )
    if fairway:
        found.append(Sight("mid-fairway", middle, reach))
    for side, off, place in (("left", left, left_at), ("right", right, right_at)):
        if off:  # else no trees at all, or right in front
            edge = f"the edge of the trees on the {side}"
            found.append(Sight(edge, middle + off, float(distances[place])))
    return found


@lru_cache(maxsize=64)  # a tee for each sex on each hole of a round
def _bunkers_in_view(
    bunkers: shapely.STRtree, tee: Tee, pin: tuple[float, float]
) -> tuple[tuple[float, float, float], ...]:
    """Return the bearings of the left and right edge [rad] and the distance [m] of each bunker in view."""
    found, towards = [], tee.bearing(*pin)
    farthest = hypot(pin[0] - tee.x, pin[1] - tee.y) + _BEHIND
    around = shapely.box(tee.x - farthest, tee.y - farthest, tee.x + farthest, tee.y + farthest)
    for place in np.sort(bunkers.query(around)):
        points = shapely.get_coordinates(bunkers.geometries[place]) - (tee.x, tee.y)
        distance = float(np.hypot(*points.mean(axis=0)))
        bearings = towards + half_turn(np.arctan2(points[:, 0], points[:, 1]) - towards)
        if distance < farthest and abs(bearings - towards).max() < _IN_VIEW:
            found.append((float(bearings.min()), float(bearings.max()), distance))
    return tuple(found)


@lru_cache(maxsize=64)
def _edges(bunkers: tuple[tuple[float, float, float], ...]) -> tuple[Sight, ...]:
    """Return the left and the right edge of each bunker; `bunkers` are as in `_bunkers_in_view`."""
    found = []
    for left, right, distance in bunkers:
        others = [low for low, _, away in bunkers if abs(away - distance) < _AS_FAR and low != left]
        which = (
            "" if not others else "left " if left < min(others) else "right " if left > max(others) else ""
        )
        found.append(Sight(f"the left edge of the {which}bunker", left, distance))
        found.append(Sight(f"the right edge of the {which}bunker", right, distance))
    return tuple(found)


def mark_aim(heading: float, visible: tuple[Sight, ...]) -> Mark:
    """Return an aim by the sight that serves it best.

    That is the middle of the fairway or the flag within 10 yd of the aim; otherwise the nearest sight.
    """
    offsets = [half_turn(heading - sight.bearing) * sight.distance for sight in visible]
    every = range(len(visible))
    plain = [k for k in every if visible[k].label in _PLAIN and abs(offsets[k]) <= _NEAR]
    best = min(plain or every, key=lambda k: abs(offsets[k]))
    return Mark(visible[best], offsets[best])


def half_turn(angle: Angle) -> Angle:
    """Return an angle, or angles, brought within half a turn either way."""
    return (angle + pi) % (2 * pi) - pi


def line_bearing(hole: Hole, tee: Tee, reach: float) -> float:
    """Return the bearing of the hole's line where it leaves a circle of `reach` about the tee."""
    return float(line_bearings(hole, tee, np.array([reach]))[0])


def line_bearings(hole: Hole, tee: Tee, reaches: Floats) -> Floats:
    """Return the bearing of the hole's line where it leaves circles about the tee."""
    x, y = (hole.line_points - (tee.x, tee.y)).T
    inside = np.hypot(x, y) <= reaches[:, None]
    # From the end of the line; its end itself where it lies outside all along.
    last = len(x) - 1 - inside[:, ::-1].argmax(axis=1)
    return np.asarray(np.arctan2(x[last], y[last]))
