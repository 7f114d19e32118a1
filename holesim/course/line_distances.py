"""Distances on a hole as golfers give them: straight from a tee to the middle of the hole there."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]

_STEP: Final = 1.0  # m between the places at which the line is looked at
_PAST_PIN: Final = 1_000.0  # m of straight line beyond the pin: hazards lie there too


@dataclass(frozen=True)
class LineFromTee:
    """A hole's line as seen from a tee: where it is at each straight distance from there.

    Attributes
    ----------
    distances
        Straight distances from the tee [m], increasing.
    places
        The first place of the line at each of them, from the tee on [m], shape (distances, 2).
    tee
        [m, x east, y north].
    """

    distances: Floats
    places: Floats
    tee: tuple[float, float]

    @classmethod
    def of(cls, line: LineString, tee: tuple[float, float]) -> "LineFromTee":
        """Look along a line from a tee on it or beside it, and straight on past its end."""
        start, length = line.project(Point(tee)), line.length
        ends = shapely.get_coordinates(shapely.remove_repeated_points(line))
        legs = np.diff(ends, axis=0)
        marks = np.concatenate([[0.0], np.cumsum(np.hypot(*legs.T))])
        steps = np.linspace(start, length, math.ceil((length - start) / _STEP) + 1)
        along = np.union1d(steps, marks[marks > start])
        places = np.column_stack([np.interp(along, marks, ends[:, axis]) for axis in (0, 1)])
        on = np.arange(_STEP, _PAST_PIN, _STEP)[:, None]
        places = np.concatenate([places, places[-1] + on * legs[-1] / math.hypot(*legs[-1])])
        distances = np.hypot(*(places - tee).T)
        # Where a line comes back towards the tee, the first place at a distance counts.
        farther = np.diff(np.maximum.accumulate(distances), prepend=-1.0) > 0
        return cls(distances[farther], places[farther], tee)

    def _ways(self, distances: Floats) -> Floats:
        """Return the directions to the middle of the hole at straight distances [m], shape (distances, 2)."""
        x, y = (np.interp(distances, self.distances, column) for column in self.places.T)
        aims = np.column_stack([x - self.tee[0], y - self.tee[1]])
        away = np.hypot(*aims.T)[:, None]
        first = self.places[min(1, len(self.places) - 1)] - self.places[0]
        ways: Floats = np.where(away > 1e-6, aims / np.maximum(away, 1e-6), first / math.hypot(*first))
        return ways

    def near_and_far(self, shape: BaseGeometry) -> tuple[float, float]:
        """Return how far a shape begins and ends; see the function of that name."""
        corners = shapely.get_coordinates(shape.convex_hull) - self.tee
        nearest, farthest = shape.distance(Point(self.tee)), float(np.hypot(*corners.T).max())
        tries = np.linspace(0.0, farthest, math.ceil(farthest / _STEP) + 2)
        onto = corners @ self._ways(tries).T
        near = _last_below(tries, onto.min(axis=0), nearest)
        return near, max(_last_below(tries, onto.max(axis=0), farthest), near)


def _last_below(tries: Floats, measured: Floats, most: float) -> float:
    """Return the greatest distance, up to `most`, that measures as much as it is; 0 if there is none.

    Seen along the way to a distance `tries`, a shape begins or ends at `measured`.
    """
    over = measured - tries
    reached = np.flatnonzero((over >= 0) & (tries <= most + _STEP))
    if not len(reached):
        return 0.0
    at = int(reached[-1])
    if at + 1 == len(tries) or over[at] <= 0:
        return float(tries[at])
    share = over[at] / (over[at] - over[at + 1])
    return float(tries[at] + share * (tries[at + 1] - tries[at]))


def near_and_far(line: LineString, tee: tuple[float, float], shape: BaseGeometry) -> tuple[float, float]:
    """Return how far a shape begins and ends from a tee [m].

    Parameters
    ----------
    line
        Of the hole, from its back tee to the pin [m].
    tee
        Any of the hole's tees [m, x east, y north].

    Returns
    -------
    The two distances. They are measured as those in a yardage book: straight from the tee to the middle of
    the hole, at the place that lies level with the shape's near or far end as seen from the tee.

    Notes
    -----
    A shape begins at the distance d if its nearest point along the way from the tee to the middle of the hole
    at d is d away. So a hazard with square ends has the same numbers wherever beside the line it lies.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> straight = LineString([(0, 0), (0, 360)])
    >>> near_and_far(straight, (0, 0), box(30, 200, 60, 220))
    (200.0, 220.0)
    >>> near_and_far(straight, (0, 40), box(30, 200, 60, 220))
    (160.0, 180.0)
    """
    return LineFromTee.of(line, tee).near_and_far(shape)
