"""Hazards in play: what a drive has to carry, may land beside, or should stop short of."""

from dataclasses import dataclass
from math import atan, cos, pi, radians, sin
from typing import Final, Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import NAMES, Course, Ground
from holesim.course.holes import Hole, Tee
from holesim.course.line_distances import LineFromTee
from holesim.units import YARD

Way = Literal["clear", "beside", "reach"]
Side = Literal["left", "right", "across"]

_HAZARDS: Final = (Ground.OUT, Ground.RED, Ground.YELLOW, Ground.BUNKER, Ground.TREES)
_SPREADS: Final = 1.645  # standard deviations to either side: nine drives in ten
_WIDEST: Final = radians(20)
_SHORTEST: Final = 0.6  # of the carry; nobody counts a hazard nearer than this
_BEYOND: Final = 45 * YARD  # past the mean total; no drive runs farther
_SMALL: Final = 4.0  # m², below which a part of a hazard is left out


@dataclass(frozen=True)
class HazardInPlay:
    """A hazard in a drive's way, from `near` to `far` [m], straight from the tee to the middle of the hole.

    The drive has to carry it (`clear`), lands `beside` it, or should stop short of it (`reach`).
    """

    way: Way
    what: str
    side: Side
    near: float
    far: float


def find_hazards(
    course: Course,
    hole: Hole,
    tee: Tee,
    heading: float,
    *,
    carry: float,
    total: float,
    carry_sd: float,
    side_sd: float,
) -> tuple[HazardInPlay, ...]:
    """Return the hazards in the way of a drive, the nearest first.

    Parameters
    ----------
    heading
        Direction in which drives finish, from north as seen from the tee [rad].
    carry, total, carry_sd, side_sd
        Means and standard deviations of the drives [m].

    Notes
    -----
    The way is the sector from the tee in which nine in ten drives finish. A hazard has to be carried if its
    far side is at least a standard deviation short of the mean carry; a drive should stop short of it if its
    near side is at least one beyond the mean carry; else it lies beside. Its distances are those of
    `near_and_far`, of the part of it in the way: whatever the aim, they are those of a yardage book.
    """
    half = min(atan(_SPREADS * side_sd / total), _WIDEST)
    shapely.prepare(way := _sector(tee, heading, half, total + _BEYOND))
    most, played = total + _BEYOND, LineFromTee.of(hole.line, (tee.x, tee.y))
    line = LineString([(tee.x, tee.y), _at(tee, heading, most)])
    shapes: list[tuple[Ground, BaseGeometry]] = [
        (area.ground, area.outline)
        for area in course.areas
        if area.ground in _HAZARDS and way.intersects(area.outline)
    ]
    if course.boundary is not None:
        shapes.append((Ground.OUT, way.difference(course.boundary)))
    hazards = []
    for ground, shape in shapes:
        for part in shapely.get_parts(shape.intersection(way)):
            if part.area < _SMALL:
                continue
            near, far = played.near_and_far(part)
            if far < _SHORTEST * carry:
                continue
            how: Way = "beside"
            if far <= carry - carry_sd:
                how = "clear"
            elif near >= carry + carry_sd:
                how = "reach"
            if ground is Ground.TREES and how == "clear":  # they stand beside the flight, not under it
                continue
            hazards.append(HazardInPlay(how, NAMES[ground], _side(part, line, tee, heading), near, far))
    return tuple(sorted(hazards, key=lambda hazard: (hazard.near, hazard.far, hazard.what, hazard.side)))


def _at(tee: Tee, bearing: float, distance: float) -> tuple[float, float]:
    return tee.x + distance * sin(bearing), tee.y + distance * cos(bearing)


def _sector(tee: Tee, heading: float, half: float, most: float) -> Polygon:
    rim = heading + half * np.linspace(-1, 1, 33)
    return Polygon([(tee.x, tee.y), *(_at(tee, bearing, most) for bearing in rim)])


def _side(part: BaseGeometry, line: LineString, tee: Tee, heading: float) -> Side:
    if part.intersects(line):
        return "across"
    middle = part.representative_point()
    off = (tee.bearing(middle.x, middle.y) - heading + pi) % (2 * pi) - pi
    return "right" if off > 0 else "left"
