"""The course: holes and areas of ground on a local plane."""

from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from typing import Final, Literal

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.holes import Hole
from holesim.errors import Guess

TREE_HEIGHT: Final = 15.0
"""Of trees that state none [m] (no source)."""
STREAM_WIDTH: Final = 3.0
"""Of a waterway that states none [m] (no source)."""

Firmness = Literal["soft", "medium", "firm"]
"""How firm turf is."""


class Ground(IntEnum):
    """What a ball can lie on, in order of precedence where outlines overlap."""

    OUT = 0
    RED = 1
    YELLOW = 2
    BUNKER = 3
    GREEN = 4
    TEE = 5
    FAIRWAY = 6
    TREES = 7
    HEAVY_ROUGH = 8
    ROUGH = 9


NAMES: Final = {
    Ground.OUT: "out of bounds",
    Ground.RED: "red penalty area",
    Ground.YELLOW: "yellow penalty area",
    Ground.BUNKER: "bunker",
    Ground.GREEN: "green",
    Ground.TEE: "tee",
    Ground.FAIRWAY: "fairway",
    Ground.TREES: "trees",
    Ground.HEAVY_ROUGH: "heavy rough",
    Ground.ROUGH: "rough",
}
"""What golfers call each ground."""


@dataclass(frozen=True)
class Area:
    """One outline on the ground [m, x east, y north]; `height` of trees [m] and `firmness` where stated."""

    ground: Ground
    outline: Polygon
    label: str
    height: float | None = None
    firmness: Firmness | None = None


@dataclass(frozen=True)
class Spot:
    """A place [m, x east, y north] whose elevation [m] is known."""

    x: float
    y: float
    elevation: float
    label: str = "spot"


@dataclass(frozen=True)
class Course:
    """A course on a local plane [m, x east, y north].

    Attributes
    ----------
    boundary
        Beyond it is out of bounds; None where the file draws none.
    sha256
        Of the file.
    guesses
        What the file left open, and what was taken for it.
    spots
        Where the elevation is known.
    firmness
        Of turf whose outline states none.
    origin
        Longitude and latitude of the plane's origin [°].
    """

    name: str
    holes: tuple[Hole, ...]
    areas: tuple[Area, ...]
    boundary: Polygon | MultiPolygon | None
    file: str
    sha256: str
    guesses: tuple[Guess, ...] = ()
    spots: tuple[Spot, ...] = ()
    firmness: Firmness = "medium"
    origin: tuple[float, float] = (0.0, 0.0)

    @property
    def maps_rough(self) -> bool:
        """Whether the mown rough is drawn; if so, ground in no outline is heavy rough."""
        return any(area.ground is Ground.ROUGH for area in self.areas)

    @cached_property
    def bunkers(self) -> shapely.STRtree:
        """Outlines of the bunkers."""
        return self._outlines(Ground.BUNKER)

    @cached_property
    def open_ground(self) -> shapely.STRtree:
        """Outlines of grass, bunkers and water that a hole is played over."""
        return self._outlines(
            Ground.GREEN, Ground.FAIRWAY, Ground.BUNKER, Ground.ROUGH, Ground.RED, Ground.YELLOW
        )

    def _outlines(self, *grounds: Ground) -> shapely.STRtree:
        return shapely.STRtree([area.outline for area in self.areas if area.ground in grounds])


def bare_ground(course: Course, unmapped: str | None) -> Ground:
    """Return the ground where no outline is drawn; `unmapped`, "rough" or "heavy", overrules the course."""
    drawn = Ground.HEAVY_ROUGH if course.maps_rough else Ground.ROUGH
    return {"rough": Ground.ROUGH, "heavy": Ground.HEAVY_ROUGH}.get(unmapped or "", drawn)


def out_of_bounds(course: Course, shape: BaseGeometry) -> BaseGeometry:
    """Return the part of a shape that is out of bounds.

    Examples
    --------
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import COURSE, find
    >>> course = load_course(find(COURSE))
    >>> float(out_of_bounds(course, course.holes[0].line).length)
    0.0
    """
    parts = [area.outline & shape for area in course.areas if area.ground is Ground.OUT]
    if course.boundary is not None:
        parts.append(shape - course.boundary)
    return shapely.union_all(parts)


def grounds(course: Course, window: BaseGeometry) -> dict[Ground, BaseGeometry]:
    """Return each kind of ground found in a window as one shape, also where another ground covers it."""
    seen = [area for area in course.areas if area.outline.intersects(window)]
    found: dict[Ground, BaseGeometry] = {}
    for ground in Ground:
        shape = shapely.union_all([area.outline for area in seen if area.ground is ground])
        if ground is Ground.OUT and course.boundary is not None:
            shape = shape.union(window.buffer(5).difference(course.boundary))
        if shape.intersects(window):
            found[ground] = shape
    return found
