"""Where a drive finished on a hole of a plan: its place on the map, its distance and side, and its lie."""

from math import cos, hypot, sin, sqrt
from typing import Final

import shapely
from shapely.geometry import Polygon

from holesim.errors import InputError
from holesim.plan.plan_tables import HoleFile, StrikeFile, TeeFile
from holesim.units import DEGREE, YARD

_LIES: Final = {
    "out": "out",
    "red": "penalty",
    "yellow": "penalty",
    "bunker": "sand",
    "green": "green",
    "tee": "fairway",
    "fairway": "fairway",
    "trees": "trees",
    "heavy_rough": "heavy_rough",
    "rough": "rough",
}
"""What a drive that finished on each kind of ground counts as; mown ground of a tee plays as fairway."""


def measure_place(tee: TeeFile, strike: StrikeFile, x: float, y: float) -> tuple[float, float]:
    """Return how far a drive went and how far right of its aim it finished [yd].

    Parameters
    ----------
    tee, strike
        The tee, and the strike that was hit, whose aim the side counts from.
    x, y
        Where the drive finished [m, east and north].

    Examples
    --------
    Aimed due north from the origin, 40 yards right of the aim and 250 yards away in a straight line.

    >>> from types import SimpleNamespace
    >>> tee, strike = SimpleNamespace(middle=[0.0, 0.0]), SimpleNamespace(heading_deg=0.0)
    >>> total, side = measure_place(tee, strike, 40 * 0.9144, (250**2 - 40**2) ** 0.5 * 0.9144)
    >>> round(total, 6), round(side, 6)
    (250.0, 40.0)
    """
    east, north, aim = x - tee.middle[0], y - tee.middle[1], strike.heading_deg * DEGREE
    return hypot(east, north) / YARD, (east * cos(aim) - north * sin(aim)) / YARD


def find_place(tee: TeeFile, strike: StrikeFile, total: float, side: float) -> tuple[float, float]:
    """Return where a drive finished [m, east and north] that went so far, so far right of its aim [yd].

    Raises
    ------
    InputError
        If the drive finished farther to the side than it went.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> tee, strike = SimpleNamespace(middle=[100.0, 0.0]), SimpleNamespace(heading_deg=90.0)
    >>> x, y = find_place(tee, strike, 250, 40)
    >>> round(x, 1), round(y, 1)  # aimed east, so right is south
    (325.7, -36.6)
    """
    if abs(side) > total:
        problem = f"{side:g} yards to the side are more than the {total:g} yards that the drive went"
        raise InputError("finish", "", problem, "correct one of them")
    along, right, aim = sqrt(total**2 - side**2) * YARD, side * YARD, strike.heading_deg * DEGREE
    x, y = tee.middle
    return x + along * sin(aim) + right * cos(aim), y + along * cos(aim) - right * sin(aim)


def find_lie(hole: HoleFile, x: float, y: float) -> str | None:
    """Return what a ball finishes in at a place, one of `FINISHES`; None beyond the hole's map.

    The map is that of the plan, true to half a metre.
    """
    place = shapely.Point(x, y)
    if not _polygon(hole.window).covers(place):
        return None
    for kind, polygons in hole.ground.items():  # the first kind is on top
        if any(_polygon(rings).covers(place) for rings in polygons):
            return _LIES[kind]
    return _LIES[hole.bare]


def _polygon(rings: list[list[list[float]]]) -> Polygon:
    return Polygon(rings[0], rings[1:])
