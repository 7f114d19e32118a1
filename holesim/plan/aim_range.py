"""Where a golfer would aim from a tee: over the hole's own ground, and not far off its line."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from math import radians
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import half_turn, line_bearings
from holesim.units import YARD

_OFF_LINE: Final = radians(20.0)
"""Nobody aims farther than this off the line to the target: our assumption."""
_OF_THE_HOLE: Final = 60.0  # m from its line, within which ground belongs to the hole
_BESIDE: Final = 20 * YARD  # taken as rough beside what is drawn, where a course draws no rough
_REACHES: Final = (
    0.75,
    1.0,
    1.1,
)  # shares of a strike's total at which the hole's line and edges are looked at


@dataclass(frozen=True)
class AimRange:
    """The aims between which a golfer would choose: right of the line from tee to pin [rad]."""

    low: float
    high: float


def find_aim_range(course: Course, hole: Hole, tee: Tee, totals: Iterable[float]) -> AimRange:
    """Return where a golfer would aim whose strikes have these `totals` [m].

    The range spans the ground of the hole at those distances: grass, bunkers and water within 60 m of its
    line, and 20 yd beside them where no rough is drawn. It goes no more than 20° off the line to the target.
    """
    pin = tee.bearing(*hole.pin)
    reaches = np.outer(list(totals), _REACHES).ravel()
    lines = half_turn(line_bearings(hole, tee, reaches) - pin)
    low, high = float(lines.min()) - _OFF_LINE, float(lines.max()) + _OFF_LINE
    here = shapely.Point(tee.x, tee.y)
    ring = here.buffer(float(reaches.max())) - here.buffer(float(reaches.min()))
    ground = _own_ground(course.open_ground, hole.line, 0.0 if course.maps_rough else _BESIDE)
    places = shapely.get_coordinates(ground.intersection(ring)) - (tee.x, tee.y)
    if len(places):
        off = half_turn(np.arctan2(places[:, 0], places[:, 1]) - pin)
        low, high = max(low, float(off.min())), min(high, float(off.max()))
    return AimRange(low, high)


@lru_cache(maxsize=32)  # the holes of a round
def _own_ground(outlines: shapely.STRtree, line: shapely.LineString, beside: float) -> BaseGeometry:
    """Return the ground around a hole's line, and that within `beside` [m] of it."""
    near = line.buffer(_OF_THE_HOLE)
    places = np.sort(outlines.query(near, predicate="intersects"))
    ground = shapely.union_all(shapely.intersection(outlines.geometries[places], near))
    return ground.buffer(beside) if beside else ground
