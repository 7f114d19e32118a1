"""Geometry for drawing holes from notes: a hole's line, along which all else lies, and simple outlines."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import LineString, Polygon

from holesim.course.yardage_notes import BEYOND, RIGHTWARD, Bend, HoleNotes, Side
from holesim.units import YARD

Floats = NDArray[np.float64]

HOLE_MARGIN: Final = 160 * YARD
"""Ground this close to a hole's line [m] belongs to that hole alone; out of bounds reaches so far."""

POINTS: Final = 72
"""Number of points on the outline of a green or a bunker."""

_BEND_RADIUS: Final = 75 * YARD  # or less where bends are close; by eye, no source
_STEP: Final = 2.0  # m, at most, between points of a line
_SPACING: Final = 1.5  # m between points along an outline
_FAN: Final = 9  # headings within a sharp corner
_BEFORE: Final = HOLE_MARGIN / 10  # m of line before the back tee
_AFTER: Final = BEYOND + HOLE_MARGIN / 2  # m of line past the pin
_MOST_LEAN: Final = math.radians(75)  # between the line and the way to it from the tee, for what is drawn
_WIDE: Final = 3_000.0  # m, more than any hole


@dataclass(frozen=True)
class Line:
    """A hole's line on the plane; it goes on straight past both ends.

    Attributes
    ----------
    stations
        Distance of each point along the line from the back tee [m].
    points
        Shape (points, 2) [m].
    headings
        Direction of the line at each point [rad from north]. At a sharp corner several points have one place,
        and their headings turn from the one leg's to the other's.
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
    def bent(cls, length: float, bearing: float, bends: Sequence[Bend], front: float) -> "Line":
        """Return the line of a noted hole, its back tee at the origin.

        Bends are arcs centred on the places noted, and lengths run along them; `front` is where the green
        begins [m along the line].
        """
        tee_to_pin = math.ceil(length / _STEP)
        step = length / tee_to_pin
        before, after = math.ceil(_BEFORE / step), math.ceil(_AFTER / step)
        stations = np.arange(-before, tee_to_pin + after + 1, dtype=np.float64) * step
        headings = _headings(stations, bearing, bends, front)
        chords = step * ahead(_headings(stations[:-1] + step / 2, bearing, bends, front))
        points = np.vstack([(0.0, 0.0), np.cumsum(chords, axis=0)])
        points -= points[before]
        played = LineString(points[before : before + tee_to_pin + 1])
        return cls(stations, points, headings, _reach(points, headings), played)

    @classmethod
    def of(cls, hole: HoleNotes) -> "Line":
        """Return the line of a noted hole, its back tee at the origin."""
        return cls.bent(hole.length, hole.bearing, hole.bends, hole.front)

    @classmethod
    def along(cls, played: LineString) -> "Line":
        """Return the line of a hole as it is drawn from the back tee to the pin, its corners as they are."""
        ends = shapely.get_coordinates(shapely.remove_repeated_points(played))
        legs = np.diff(ends, axis=0)
        lengths, bearings = np.hypot(*legs.T), np.unwrap(np.arctan2(*legs.T))
        marks = np.concatenate([[0.0], np.cumsum(lengths)])
        marks[0], marks[-1] = -_BEFORE, marks[-1] + _AFTER
        stations, headings = [], []
        for index, bearing in enumerate(bearings):
            start, stop = marks[index : index + 2]
            steps = np.linspace(start, stop, math.ceil((stop - start) / _STEP) + 1)
            stations.append(steps)
            headings.append(np.full(len(steps), bearing))
            if index + 1 < len(bearings):
                fan = np.linspace(bearing, bearings[index + 1], _FAN + 2)[1:-1]
                stations.append(np.full(_FAN, stop))
                headings.append(fan)
        along, turned = np.concatenate(stations), np.concatenate(headings)
        ends[0] -= _BEFORE * legs[0] / lengths[0]
        ends[-1] += _AFTER * legs[-1] / lengths[-1]
        points = np.column_stack([np.interp(along, marks, column) for column in ends.T])
        # Places on a line are found by their stations, which have to differ, if by next to nothing.
        along = along + 1e-7 * np.arange(len(along))
        return cls(along, points, turned, _reach(points, turned), LineString(played))

    @property
    def tee(self) -> tuple[float, float]:
        """The back tee [m]."""
        x, y = self.played.coords[0][:2]
        return x, y

    def at(self, along: ArrayLike, across: ArrayLike) -> Floats:
        """Return the points `along` the line and `across` to its right [m], shape (points, 2)."""
        along, across = np.broadcast_arrays(np.atleast_1d(along), across)
        base = np.column_stack([np.interp(along, self.stations, column) for column in self.points.T])
        headings = np.interp(along, self.stations, self.headings)
        points: Floats = base + rightward(headings) * across[:, None]
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

    def places(self, start: float, stop: float) -> Floats:
        """Return places from start to stop [m along], close enough for an outline, corners among them."""
        inside = (self.stations > start) & (self.stations < stop)
        return np.union1d(stations(start, stop), self.stations[inside & self._in_corner])

    @property
    def _in_corner(self) -> NDArray[np.bool_]:
        """Which points share their place with a neighbour."""
        same = np.diff(self.stations) < 1e-6
        corner: NDArray[np.bool_] = np.concatenate([[False], same]) | np.concatenate([same, [False]])
        return corner

    # --- straight from the tee ---

    def straight(self, along: float) -> float:
        """Return how far a place along the line lies straight from the back tee [m]."""
        return float(math.dist(self.tee, self.at(along, 0.0)[0]))

    def farthest(self, end: float) -> float:
        """Return the greatest straight distance from the back tee up to a place along the line [m]."""
        passed = self._straight[(self.stations >= 0) & (self.stations <= end)]
        return max(float(passed.max(initial=0.0)), self.straight(end))

    def station(self, distance: float) -> float:
        """Return the first place along the line at a straight distance from the back tee [m].

        The distance must be less than some place's; see `farthest`.
        """
        ahead_of_tee = self.stations >= 0
        along = np.concatenate([[0.0], self.stations[ahead_of_tee]])
        away = np.concatenate([[0.0], self._straight[ahead_of_tee]])
        first = int(np.argmax(away >= distance))
        if first == 0:
            return 0.0
        share = (distance - away[first - 1]) / (away[first] - away[first - 1])
        return float(along[first - 1] + share * (along[first] - along[first - 1]))

    @cached_property
    def _straight(self) -> Floats:
        away: Floats = np.hypot(*(self.points - self.tee).T)
        return away

    def way(self, along: float) -> float:
        """Return the direction from the back tee to a place along the line [rad from north]."""
        x, y = self.at(along, 0.0)[0] - self.tee
        return math.atan2(x, y) if math.hypot(x, y) > 1e-6 else float(self._heading(along))

    def lean(self, along: float, across: ArrayLike) -> Floats:
        """Return how much farther along a square end lies to a side of the line than on it [m].

        The end goes through a place `along` the line, square to the way there from the back tee, while the
        line may lead another way. It is looked at so far `across` to the right [m].
        """
        off = math.remainder(self._heading(along) - self.way(along), 2 * math.pi)
        lean: Floats = np.asarray(across) * math.tan(max(-_MOST_LEAN, min(off, _MOST_LEAN)))
        return lean

    def _heading(self, along: float) -> float:
        return float(np.interp(along, self.stations, self.headings))

    def ahead_of(self, along: float) -> Polygon:
        """Return the ground beyond a place on the line, measured on the way there from the back tee."""
        way = np.array([self.way(along)])
        on, beside = _WIDE * ahead(way)[0], _WIDE * rightward(way)[0]
        place = self.at(along, 0.0)[0]
        return Polygon([place - beside, place - beside + on, place + beside + on, place + beside])


def _headings(stations: Floats, bearing: float, bends: Sequence[Bend], front: float) -> Floats:
    """Return the direction of a hole's line [rad]; bends are arcs of one radius, as wide as fits."""
    marks = np.array([0.0, *(bend.at for bend in bends), front])
    halves = np.array([0.0, *(abs(bend.turn) / 2 for bend in bends), 0.0])
    room = np.diff(marks) / np.maximum(halves[:-1] + halves[1:], 1e-9)
    radius = min(_BEND_RADIUS, 0.95 * room.min())
    headings = np.full(len(stations), float(bearing))
    for bend in bends:
        share = (stations - bend.at) / (radius * abs(bend.turn)) + 0.5
        headings += bend.turn * np.clip(share, 0, 1)
    return headings


def ahead(headings: Floats) -> Floats:
    """Return unit vectors along directions [rad from north], shape (directions, 2)."""
    return np.column_stack([np.sin(headings), np.cos(headings)])


def rightward(headings: Floats) -> Floats:
    """Return unit vectors to the right of directions [rad from north], shape (directions, 2)."""
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
        towards = sign * np.einsum("ijk,ik->ij", away, rightward(headings))
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
