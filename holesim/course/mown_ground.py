"""The mown ground of a noted hole, drawn along its line: fairway, green and mown rough."""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import PchipInterpolator
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.note_shapes import HOLE_MARGIN, POINTS, Line, between, egg, stations
from holesim.course.yardage_notes import HoleNotes
from holesim.units import YARD

Floats = NDArray[np.float64]

# By eye; common practice, no source.
_END: Final = 8 * YARD  # over which a fairway is rounded
_MOWN: Final = 25 * YARD  # width of mown rough around fairway, green and the line to them


@dataclass(frozen=True)
class MownGround:
    """The mown ground of a hole, and how far from its line it extends."""

    hole: HoleNotes
    line: Line

    @cached_property
    def _widths(self) -> PchipInterpolator:
        """The fairway's width: smooth through the widths noted, between them in value, constant beyond."""
        along, wide = np.array(self.hole.fairway.widths).T
        return PchipInterpolator(
            np.concatenate([[along[0] - HOLE_MARGIN], along, [along[-1] + HOLE_MARGIN]]),
            np.pad(wide, 1, "edge"),
        )

    def width(self, along: ArrayLike) -> Floats:
        """Return how wide the fairway is at places along the line [m], before and after it as at its ends."""
        widths: Floats = self._widths(np.clip(along, self._widths.x[0], self._widths.x[-1]))
        return widths

    @cached_property
    def half_green(self) -> Floats:
        """The right half of the green from front to back: along from its middle, and across."""
        green = self.hole.green
        right = egg(0.12)[: POINTS // 2 + 1]
        return right * (green.deep / 2, green.wide / 2)

    def green_edge(self, along: ArrayLike) -> Floats:
        """Return how far from the line the green extends [m], 0 beside it."""
        from_middle = np.subtract(np.atleast_1d(along), self.hole.length)
        depth, width = self.half_green.T
        edge: Floats = np.interp(from_middle, depth, width, left=0, right=0)
        return edge

    @cached_property
    def green(self) -> Polygon:
        """The green."""
        along, across = self.half_green.T
        along = self.hole.length + np.concatenate([along, along[-2:0:-1]])
        return self.line.area(along, np.concatenate([across, -across[-2:0:-1]]))

    def edge(self, along: ArrayLike) -> Floats:
        """Return how far from the line the edge lies from which distances off the fairway are measured.

        It is the green's edge where that is wider, and before and after the fairway goes on as wide as there.
        """
        return np.maximum(self.width(along) / 2, self.green_edge(along))

    def mown_edge(self, along: Floats) -> Floats:
        """Return how far from the line fairway and green extend."""
        fairway = self.hole.fairway
        on = (along >= fairway.start) & (along <= fairway.stop)
        return np.maximum(np.where(on, self.width(along) / 2, 0), self.green_edge(along))

    @cached_property
    def fairway(self) -> Polygon:
        """The fairway."""
        fairway = self.hole.fairway
        along = stations(fairway.start, fairway.stop)
        within = [at for at, _ in fairway.widths if fairway.start < at < fairway.stop]
        half = self.width(along) / 2
        for end, away in ((fairway.start, along - fairway.start), (fairway.stop, fairway.stop - along)):
            noted = min((abs(at - end) for at in within), default=math.inf)
            depth = min(_END, noted, (fairway.stop - fairway.start) / 2)
            half = half * np.sqrt(1 - (1 - np.clip(away / depth, 0, 1)) ** 2)
        return self.line.area(*between(along, -half, half))

    @property
    def rough(self) -> BaseGeometry:
        """The mown rough."""
        return shapely.union_all([self.line.played, self.fairway, self.green]).buffer(_MOWN)
