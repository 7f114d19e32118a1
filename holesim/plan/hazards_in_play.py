"""Carries to clear and run-outs not to reach: what a drive may meet on its way, and how far away."""

from dataclasses import dataclass
from math import atan, cos, hypot, pi, radians, sin
from typing import Final, Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import NAMES, Course, Ground
from holesim.course.holes import Tee
from holesim.units import YARD

Way = Literal["clear", "beside", "reach"]
Side = Literal["left", "right", "across"]

_HAZARDS: Final = (Ground.OUT, Ground.RED, Ground.YELLOW, Ground.BUNKER, Ground.TREES)
_SPREADS: Final = 1.645  # standard deviations to either side: nine drives in ten
_WIDEST: Final = radians(20)
_SHORTEST: Final = 0.6  # of the carry, nearer than which nobody counts a carry
_BEYOND: Final = 45 * YARD  # past the usual end, farther than which nobody runs
_SMALL: Final = 4.0  # m², of a hazard within the drives' way


@dataclass(frozen=True)
class Reach:
    """Something in a drive's way, from `near` to `far` of the tee [m].

    It is to be carried (`clear`), lies `beside` where the ball comes down, or is not to be run into
    (`reach`).
    """

    way: Way
    what: str
    side: Side
    near: float
    far: float


def reaches(
    course: Course, tee: Tee, heading: float, *, carry: float, total: float, carry_sd: float, side_sd: float
) -> tuple[Reach, ...]:
    """Return what lies in the way of a drive, the nearest first.

    Parameters
    ----------
    heading
        Where drives end, from north as seen from the tee [rad].
    carry, total, carry_sd, side_sd
        What the drives do on average, and their standard deviations [m].

    Notes
    -----
    A drive's way is what nine in ten finish in the direction of, from the tee on. A hazard is carried if its
    far side is a standard deviation nearer than the mean carry; it is not reached by the carry if its near
    side is one beyond that; else it lies beside.
    """
    half = min(atan(_SPREADS * side_sd / total), _WIDEST)
    shapely.prepare(way := _sector(tee, heading, half, total + _BEYOND))
    start, most = Point(tee.x, tee.y), total + _BEYOND
    line = LineString([(tee.x, tee.y), _at(tee, heading, most)])
    shapes: list[tuple[Ground, BaseGeometry]] = [
        (area.ground, area.outline)
        for area in course.areas
        if area.ground in _HAZARDS and way.intersects(area.outline)
    ]
    if course.boundary is not None:
        shapes.append((Ground.OUT, way.difference(course.boundary)))
    found = []
    for ground, shape in shapes:
        for part in shapely.get_parts(shape.intersection(way)):
            if part.area < _SMALL:
                continue
            near, far = float(part.distance(start)), _farthest(part, tee)
            if far < _SHORTEST * carry:
                continue
            how: Way = "beside"
            if far <= carry - carry_sd:
                how = "clear"
            elif near >= carry + carry_sd:
                how = "reach"
            if ground is Ground.TREES and how == "clear":  # they stand beside the flight, not under it
                continue
            found.append(Reach(how, NAMES[ground], _side(part, line, tee, heading), near, far))
    return tuple(sorted(found, key=lambda reach: (reach.near, reach.far, reach.what, reach.side)))


def _at(tee: Tee, bearing: float, distance: float) -> tuple[float, float]:
    return tee.x + distance * sin(bearing), tee.y + distance * cos(bearing)


def _sector(tee: Tee, heading: float, half: float, most: float) -> Polygon:
    rim = heading + half * np.linspace(-1, 1, 33)
    return Polygon([(tee.x, tee.y), *(_at(tee, bearing, most) for bearing in rim)])


def _farthest(part: BaseGeometry, tee: Tee) -> float:
    return max(hypot(x - tee.x, y - tee.y) for x, y in shapely.get_coordinates(part))


def _side(part: BaseGeometry, line: LineString, tee: Tee, heading: float) -> Side:
    if part.intersects(line):
        return "across"
    middle = part.representative_point()
    off = (tee.bearing(middle.x, middle.y) - heading + pi) % (2 * pi) - pi
    return "right" if off > 0 else "left"
