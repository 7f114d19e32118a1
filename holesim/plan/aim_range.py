"""Where a golfer would aim from a tee: over the hole's own ground, and not far off its line."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import radians
from typing import Final

import numpy as np
import shapely

from holesim.course.course import Course, Ground
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import half_turn, line_bearing
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
_HAS: Final = (Ground.GREEN, Ground.FAIRWAY, Ground.BUNKER, Ground.ROUGH, Ground.RED, Ground.YELLOW)


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
    reaches = [share * total for total in totals for share in _REACHES]
    lines = [float(half_turn(line_bearing(hole, tee, reach) - pin)) for reach in reaches]
    low, high = min(lines) - _OFF_LINE, max(lines) + _OFF_LINE
    near = hole.line.buffer(_OF_THE_HOLE)
    shapes = [
        a.outline.intersection(near) for a in course.areas if a.ground in _HAS and a.outline.intersects(near)
    ]
    ground = shapely.union_all(shapes)
    if not course.maps_rough:
        ground = ground.buffer(_BESIDE)
    ring = shapely.Point(tee.x, tee.y).buffer(max(reaches)) - shapely.Point(tee.x, tee.y).buffer(min(reaches))
    places = shapely.get_coordinates(ground.intersection(ring)) - (tee.x, tee.y)
    if len(places):
        off = half_turn(np.arctan2(places[:, 0], places[:, 1]) - pin)
        low, high = max(low, float(off.min())), min(high, float(off.max()))
    return AimRange(low, high)
