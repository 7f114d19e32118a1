"""Geometry for drawing holes from notes: a hole's line, along which all else lies, and simple outlines."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import LineString, Polygon

from holesim.course.yardage_notes import BEYOND, RIGHTWARD, HoleNotes, Side
from holesim.units import YARD

Floats = NDArray[np.float64]

HOLE_MARGIN: Final = 160 * YARD
"""Ground this close to a hole's line [m] belongs to that hole alone; out of bounds reaches so far."""

POINTS: Final = 72
"""Number of points on the outline of a green or a bunker."""

_BEND_RADIUS: Final = 75 * YARD  # or less where bends are close; by eye, no source
_STEP: Final = 2.0  # m, at most, between points of a line
_SPACING: Final = 1.5  # m between points along an outline


@dataclass(frozen=True)
class Line:
    """A hole's line on the plane; its back tee is at the origin, and it goes on straight past both ends.

    Attributes
    ----------
    stations
        Distance of each point along the line from the back tee [m].
    points
        Shape (points, 2) [m].
    headings
        Direction of the line at each point [rad from north].
    reach
        How far to the left and to the right of each point no other part of the line is nearer [m], at most
        `HOLE_MARGIN`.
    played
        The line from the back tee to the pin.
    """

    stations: Floats
    points: Floats
    headings: Floats
    reach: dict[str, Floats]
    played: LineString

    @classmethod
    def of(cls, hole: HoleNotes) -> "Line":
        """Return the line of a hole: bends are arcs centred on the places noted, lengths run along them."""
        tee_to_pin = math.ceil(hole.length / _STEP)
        step = hole.length / tee_to_pin
        before, after = math.ceil(HOLE_MARGIN / 10 / step), math.ceil((BEYOND + HOLE_MARGIN / 2) / step)
        stations = np.arange(-before, tee_to_pin + after + 1, dtype=np.float64) * step
        headings = _headings(hole, stations)
        chords = step * _ahead(_headings(hole, stations[:-1] + step / 2))
        points = np.vstack([(0.0, 0.0), np.cumsum(chords, axis=0)])
        points -= points[before]
        played = LineString(points[before : before + tee_to_pin + 1])
        return cls(stations, points, headings, _reach(points, headings), played)

    def at(self, along: ArrayLike, across: ArrayLike) -> Floats:
        """Return the points `along` the line and `across` to its right [m], shape (points, 2)."""
        along, across = np.broadcast_arrays(np.atleast_1d(along), across)
        base = np.column_stack([np.interp(along, self.stations, column) for column in self.points.T])
        headings = np.interp(along, self.stations, self.headings)
        points: Floats = base + _rightward(headings) * across[:, None]
        return points

    def area(self, along: ArrayLike, across: ArrayLike) -> Polygon:
        """Return the area within an outline given as for `at`."""
        return Polygon(self.at(along, across))

    def room(self, side: Side, along: ArrayLike) -> Floats:
        """Return the `reach` to a side of the line at each place [m]; across, the smaller of both sides."""
        if side == "across":
            return np.minimum(self.room("left", along), self.room("right", along))
        room: Floats = np.interp(np.atleast_1d(along), self.stations, self.reach[side])
        return room


def _headings(hole: HoleNotes, stations: Floats) -> Floats:
    """Return the direction of a hole's line [rad]; bends are arcs of one radius, as wide as fits."""
    marks = np.array([0.0, *(bend.at for bend in hole.bends), hole.length - hole.green.deep / 2])
    halves = np.array([0.0, *(abs(bend.turn) / 2 for bend in hole.bends), 0.0])
    room = np.diff(marks) / np.maximum(halves[:-1] + halves[1:], 1e-9)
    radius = min(_BEND_RADIUS, 0.95 * room.min())
    headings = np.full(len(stations), hole.bearing)
    for bend in hole.bends:
        share = (stations - bend.at) / (radius * abs(bend.turn)) + 0.5
        headings += bend.turn * np.clip(share, 0, 1)
    return headings


def _ahead(headings: Floats) -> Floats:
    return np.column_stack([np.sin(headings), np.cos(headings)])


def _rightward(headings: Floats) -> Floats:
    return np.column_stack([np.cos(headings), -np.sin(headings)])


def _reach(points: Floats, headings: Floats) -> dict[str, Floats]:
    """Return how far square to each point of a line no other part of it is nearer, by side [m].

    It is the radius of the smallest circle that touches the line there and passes through another of its
    points: |d|² / 2 (n · d) for a point at distance vector d, with n the unit vector to the side (geometry).
    """
    away = points - points[:, None]
    squares = (away**2).sum(axis=2)
    reach: dict[str, Floats] = {}
    for side, sign in RIGHTWARD.items():
        towards = sign * np.einsum("ijk,ik->ij", away, _rightward(headings))
        radii = np.where(towards > 1e-9, squares / np.maximum(2 * towards, 1e-9), HOLE_MARGIN)
        reach[side] = np.minimum(radii.min(axis=1), HOLE_MARGIN)
    return reach


def egg(fullness: float) -> Floats:
    """Return an egg, the same on both sides, from its front round by the right: along and across, to ±1."""
    angle = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    return _to_unity(-np.cos(angle), np.sin(angle) * (1 - fullness * np.cos(angle)))


def bean(bow: float, lean: float) -> Floats:
    """Return a bean, bowed across and leaning along: along and across, to ±1."""
    angle = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    return _to_unity(np.cos(angle) + lean * np.sin(angle), np.sin(angle) - bow * np.cos(2 * angle))


def _to_unity(*columns: Floats) -> Floats:
    return np.column_stack([2 * (c - c.min()) / np.ptp(c) - 1 for c in columns])


def beside(
    outline: Floats, edge: Callable[[Floats], Floats], off: float, wide: float, start: float, stop: float
) -> tuple[Floats, Floats]:
    """Return an outline from `start` to `stop` and `wide` across, its nearest point `off` an edge [m]."""
    along = start + (stop - start) * (outline[:, 0] + 1) / 2
    out = wide * (outline[:, 1] + 1) / 2
    return along, out + off + (edge(along) - out).max()


def stations(start: float, stop: float) -> Floats:
    """Return places from start to stop [m], close enough for an outline."""
    return np.linspace(start, stop, max(math.ceil((stop - start) / _SPACING), 8) + 1)


def between(along: Floats, near: Floats, far: Floats) -> tuple[Floats, Floats]:
    """Return the outline of the area between two sides: along and across."""
    return np.concatenate([along, along[::-1]]), np.concatenate([near, far[::-1]])


def rounded(along: Floats, near: Floats, far: Floats, radius: float) -> tuple[Floats, Floats, Floats]:
    """Return two sides drawn together at both ends in quarter ellipses."""
    depth = min(radius, (along[-1] - along[0]) / 2)
    # Denser towards the ends, where the sides turn.
    turn = np.linspace(0, np.pi / 2, 12)[:-1]
    ends = depth * (1 - np.cos(turn))
    finer = np.unique(np.concatenate([along[0] + ends, along, along[-1] - ends]))
    near, far = np.interp(finer, along, near), np.interp(finer, along, far)
    inwards = 1 - np.clip(np.minimum(finer - along[0], along[-1] - finer) / depth, 0, 1)
    taken = (1 - np.sqrt(1 - inwards**2)) * np.minimum(radius, (far - near) / 2)
    return finer, near + taken, far - taken
