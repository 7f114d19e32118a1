"""What holes are drawn with: their lines, along which everything is placed, and shapes of no place yet."""

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

LOT: Final = 160 * YARD
"""What lies within this of a hole's line [m] is that hole's alone; out of bounds reaches so far."""

POINTS: Final = 72
"""How many positions go around a green or a bunker."""

_BEND_RADIUS: Final = 75 * YARD  # where the notes leave room for it; to the eye, no source
_STEP: Final = 2.0  # m, at most, between points of a line
_PIECE: Final = 1.5  # m between positions along an outline


@dataclass(frozen=True)
class Line:
    """A hole's line on the plane, its back tee at the origin, running on straight past both ends.

    `stations` are how far along its `points` lie [m], `headings` where it leads there [rad from north], and
    `reach` how far to the left and to the right of each the ground is nearest to that one [m], at most `LOT`.
    """

    stations: Floats
    points: Floats
    headings: Floats
    reach: dict[str, Floats]
    played: LineString

    @classmethod
    def of(cls, hole: HoleNotes) -> "Line":
        """Lay out a line whose bends are arcs about the places noted, as long as noted along the arcs."""
        tee_to_pin = math.ceil(hole.length / _STEP)
        step = hole.length / tee_to_pin
        before, after = math.ceil(LOT / 10 / step), math.ceil((BEYOND + LOT / 2) / step)
        stations = np.arange(-before, tee_to_pin + after + 1, dtype=np.float64) * step
        headings = _headings(hole, stations)
        chords = step * _ahead(_headings(hole, stations[:-1] + step / 2))
        points = np.vstack([(0.0, 0.0), np.cumsum(chords, axis=0)])
        points -= points[before]
        played = LineString(points[before : before + tee_to_pin + 1])
        return cls(stations, points, headings, _reach(points, headings), played)

    def at(self, along: ArrayLike, across: ArrayLike) -> Floats:
        """Return the points so far along the line and to the right of it."""
        along, across = np.broadcast_arrays(np.atleast_1d(along), across)
        base = np.column_stack([np.interp(along, self.stations, column) for column in self.points.T])
        headings = np.interp(along, self.stations, self.headings)
        points: Floats = base + _rightward(headings) * across[:, None]
        return points

    def area(self, along: ArrayLike, across: ArrayLike) -> Polygon:
        """Return the area within an outline."""
        return Polygon(self.at(along, across))

    def room(self, side: Side, along: ArrayLike) -> Floats:
        """Return how far to a side of the line the ground is the line's own there [m]."""
        if side == "across":
            return np.minimum(self.room("left", along), self.room("right", along))
        room: Floats = np.interp(np.atleast_1d(along), self.stations, self.reach[side])
        return room


def _headings(hole: HoleNotes, stations: Floats) -> Floats:
    """Return where a hole's line leads: through arcs of one radius, as wide as the notes leave room for."""
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
    """Return how far square to a line, on either side, no other part of it is nearer.

    That is the radius of the smallest circle that touches the line there and passes through another of its
    points: |d|² / 2 (n · d) for the point d away, n the unit vector to the side (from geometry).
    """
    away = points - points[:, None]
    squares = (away**2).sum(axis=2)
    reach: dict[str, Floats] = {}
    for side, sign in RIGHTWARD.items():
        towards = sign * np.einsum("ijk,ik->ij", away, _rightward(headings))
        radii = np.where(towards > 1e-9, squares / np.maximum(2 * towards, 1e-9), LOT)
        reach[side] = np.minimum(radii.min(axis=1), LOT)
    return reach


def egg(fullness: float) -> Floats:
    """Return an egg alike on both sides from its front round by the right: along and across, each to ±1."""
    angle = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    return _to_unity(-np.cos(angle), np.sin(angle) * (1 - fullness * np.cos(angle)))


def bean(bow: float, lean: float) -> Floats:
    """Return a bean: along, alike at both ends but for its lean, and out, bowed; each to ±1."""
    angle = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    return _to_unity(np.cos(angle) + lean * np.sin(angle), np.sin(angle) - bow * np.cos(2 * angle))


def _to_unity(*columns: Floats) -> Floats:
    return np.column_stack([2 * (c - c.min()) / np.ptp(c) - 1 for c in columns])


def beside(
    outline: Floats, edge: Callable[[Floats], Floats], off: float, wide: float, start: float, stop: float
) -> tuple[Floats, Floats]:
    """Return an outline from start to stop along an edge and so wide, at its nearest just so far off it."""
    along = start + (stop - start) * (outline[:, 0] + 1) / 2
    out = wide * (outline[:, 1] + 1) / 2
    return along, out + off + (edge(along) - out).max()


def stations(start: float, stop: float) -> Floats:
    """Return places from start to stop, close enough to draw by."""
    return np.linspace(start, stop, max(math.ceil((stop - start) / _PIECE), 8) + 1)


def between(along: Floats, near: Floats, far: Floats) -> tuple[Floats, Floats]:
    """Return the outline of what lies between two sides."""
    return np.concatenate([along, along[::-1]]), np.concatenate([near, far[::-1]])


def rounded(along: Floats, near: Floats, far: Floats, radius: float) -> tuple[Floats, Floats, Floats]:
    """Return two sides that come together at both ends, about quarter ellipses."""
    depth = min(radius, (along[-1] - along[0]) / 2)
    # Denser towards the ends, where the sides turn.
    turn = np.linspace(0, np.pi / 2, 12)[:-1]
    ends = depth * (1 - np.cos(turn))
    finer = np.unique(np.concatenate([along[0] + ends, along, along[-1] - ends]))
    near, far = np.interp(finer, along, near), np.interp(finer, along, far)
    inwards = 1 - np.clip(np.minimum(finer - along[0], along[-1] - finer) / depth, 0, 1)
    taken = (1 - np.sqrt(1 - inwards**2)) * np.minimum(radius, (far - near) / 2)
    return finer, near + taken, far - taken
