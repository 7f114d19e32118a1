"""The course: GeoJSON with OpenStreetMap's golf keys, read into holes and areas on a local plane."""

import hashlib
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from pathlib import Path
from typing import Any, Final, Literal, cast, get_args

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import KDTree
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from holesim.course.geojson import (
    LARGEST,
    Part,
    Piece,
    Plane,
    Reading,
    UnusableError,
    features_of,
    filled,
    label_of,
    parts_of,
    plane_about,
    polygons_in,
    positions,
    rings_in,
    shapes_of,
    tags_of,
)
from holesim.course.holes import Hole, holes_of
from holesim.course.layouts import choose, layouts_of
from holesim.errors import Guess, InputError, printable, read_input, suggest
from holesim.units import FOOT

MOST: Final = 10_000  # lines and outlines; a large site has some 2,000
MOST_HOLES: Final = 200
MOST_SPOTS: Final = 300  # positions of a hole's line; most have three
FARTHEST: Final = 50_000.0  # m from the middle, to which the plane is of use
REACH: Final = 1_000.0  # m beyond the holes, where no drive ends
LONGEST_NAME: Final = 80  # letters kept of a course's name
TREE_ROW_WIDTH: Final = 8.0  # m, crown to crown across a row
STREAM_WIDTH: Final = 3.0  # m, where a waterway states none
CLIFF: Final = 0.7  # rise a metre to the spots around, from which an elevation is a slip
SAME_PLACE: Final = 30.0  # m, within which spots may differ as much as at that distance
_AROUND: Final = 5  # spots
TREE_HEIGHT: Final = 15.0  # m, where trees state none (no source)

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
"""What people call each ground."""

GOLF: Final = {
    "bunker": Ground.BUNKER,
    "fairway": Ground.FAIRWAY,
    "green": Ground.GREEN,
    "lateral_water_hazard": Ground.RED,
    "out_of_bounds": Ground.OUT,
    "rough": Ground.ROUGH,
    "tee": Ground.TEE,
    "water_hazard": Ground.YELLOW,
}
"""What OpenStreetMap's golf key says of the ground, by its value."""

NATURAL: Final = {
    "heath": Ground.HEAVY_ROUGH,
    "scrub": Ground.HEAVY_ROUGH,
    "tree_row": Ground.TREES,
    "water": Ground.RED,
    "wood": Ground.TREES,
}
"""What its natural key says."""

# Values that OpenStreetMap documents for the golf key but that hold no ground of their own.
_NO_AREA: Final = frozenset({"hole", "pin", "driving_range"})
_OTHER_GOLF: Final = _NO_AREA | {"cartpath", "clubhouse", "path", "cart_sign", "rough_area"}


@dataclass(frozen=True)
class Area:
    """One outline on the ground [m, x east, y north].

    `height` is that of trees [m] and `firmness` that of turf, where they are stated.
    """

    ground: Ground
    outline: Polygon
    label: str
    height: float | None = None
    firmness: Firmness | None = None


@dataclass(frozen=True)
class Spot:
    """A place [m, x east, y north] that states its elevation [m]."""

    x: float
    y: float
    elevation: float
    label: str = "spot"


@dataclass(frozen=True)
class Course:
    """A course on a local plane [m, x east, y north] about `origin`, its longitude and latitude [°].

    `spots` are what is known of its elevation, `guesses` what its file left open.
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
        """Whether the mown rough is drawn, so that what is in no outline is heavy."""
        return any(area.ground is Ground.ROUGH for area in self.areas)

    @cached_property
    def bunkers(self) -> shapely.STRtree:
        """Outlines of the bunkers."""
        return shapely.STRtree([area.outline for area in self.areas if area.ground is Ground.BUNKER])


def load_course(path: str | Path, *, name: str | None = None) -> Course:
    """Read a course file.

    Parameters
    ----------
    name
        Which course to read, where the file holds several.

    Raises
    ------
    InputError
        If the file cannot be read, is not GeoJSON, a feature makes no sense, or it is not clear which course
        is meant.
    """
    reading = Reading(printable(Path(path).name))
    if Path(path).suffix.lower() == ".toml":
        remedy = "give a GeoJSON course first; holesim draw makes one of notes"
        raise InputError(reading.file, "", "is a TOML file, and no course", remedy)
    file, raw = reading.file, read_input(path, largest=LARGEST)
    origin, pieces = _pieces(reading, features_of(file, raw))
    lines = [piece for piece in pieces if piece.tags.get("golf") == "hole"]
    outlines = [piece for piece in pieces if piece.tags.get("leisure") == "golf_course"]
    layout = choose(file, layouts_of(lines, outlines), name)
    holes = holes_of(reading, pieces, layout.lines)
    reach = _reach(hole.line for hole in holes)
    boundary = shapely.union_all([outline.shape for outline in layout.outlines]) & reach
    stated = [firmness for piece in layout.outlines if (firmness := _firmness(file, piece)) is not None]
    return Course(
        name=layout.name[:LONGEST_NAME],
        holes=holes,
        areas=tuple(_areas(reading, pieces, reach)),
        boundary=boundary if isinstance(boundary, Polygon | MultiPolygon) and boundary else None,
        file=file,
        sha256=hashlib.sha256(raw).hexdigest(),
        spots=tuple(_spots(reading, pieces)),
        guesses=reading.gathered(),
        firmness=stated[0] if stated else "medium",
        origin=origin,
    )


# --- what features mean ---------------------------------------------------------------------------


def _pieces(reading: Reading, features: list[dict[str, Any]]) -> tuple[tuple[float, float], list[Piece]]:
    """Return what is of use among the features on a plane amid the holes, and where that is [°]."""
    file = reading.file
    used = []
    for feature in features:
        tags = tags_of(feature)
        label = label_of(feature, tags)
        if _counts(file, label, tags):
            used.append((label, tags, parts_of(file, label, feature.get("geometry"))))
    size = sum(rings_in(part) for _, _, parts in used for part in parts)
    if size > MOST:
        problem = f"holds {size:,} lines and outlines, more than a course has"
        raise InputError(file, "", problem, "export the course alone")
    origin = _middle(file, [(label, parts) for label, tags, parts in used if tags.get("golf") == "hole"])
    plane = _plane(file, origin)
    found = []
    for label, tags, parts in used:
        try:
            shapes = shapes_of(reading, label, parts, plane)
            found += [Piece(label, tags, shape) for shape in _drawn(reading, label, tags, shapes)]
        except UnusableError as error:
            if tags.get("golf") == "hole":
                raise
            reading.guess(error.place, f"{error.problem}, and was left out", error.remedy)
    return origin, _once(reading, found)


def _counts(file: str, label: str, tags: dict[str, str]) -> bool:
    """Return whether a feature is of use."""
    golf = tags.get("golf")
    if golf is not None and golf not in GOLF and golf not in _OTHER_GOLF:
        meant = suggest(golf, [*GOLF, *_OTHER_GOLF])
        if meant:
            problem = f"golf={golf:.30} is not a known value"
            raise InputError(file, label, problem, f"did you mean golf={meant}?")
    known = golf in _NO_AREA or tags.get("leisure") == "golf_course" or _ground(tags) is not None
    return known or "ele" in tags


def _middle(file: str, lines: list[tuple[str, list[Part]]]) -> tuple[float, float]:
    """Return the longitude and latitude [°] amid the holes."""
    if not lines:
        raise InputError(file, "", "has no holes", "draw a golf=hole line from tee to pin for each")
    if len(lines) > MOST_HOLES:
        raise InputError(file, "", f"has {len(lines):,} holes", "export the course alone")
    points = []
    for label, parts in lines:
        drawn = [inside for kind, inside in parts if kind == "LineString"]
        if not drawn:
            raise InputError(file, label, "is not a LineString", "draw the hole as a line from tee to pin")
        points += [positions(file, label, coordinates) for coordinates in drawn]
        if len(points[-1]) > MOST_SPOTS:
            raise InputError(file, label, f"has {len(points[-1]):,} positions", "draw it with fewer")
    # The median, so that one hole gone astray is itself named as far, and not all the others.
    longitude, latitude = np.median(np.concatenate(points), axis=0).round(6).tolist()
    return longitude, latitude


def _plane(file: str, origin: tuple[float, float]) -> Plane:
    """Return the projection to a plane that touches the earth at `origin`, true to scale there."""
    project = plane_about(*origin)

    def plane(place: str, values: object) -> NDArray[np.float64]:
        points = positions(file, place, values)
        flat = np.column_stack(project(points[:, 0], points[:, 1]))
        if not np.isfinite(flat).all() or abs(flat).max() > FARTHEST:
            raise UnusableError(file, place, "lies far from the holes", "take it out or mend its positions")
        return flat

    return plane


def _drawn(
    reading: Reading, label: str, tags: dict[str, str], shapes: list[BaseGeometry]
) -> list[BaseGeometry]:
    """Return what the shapes of a feature stand for: the line of a hole, the spot of a pin, areas."""
    golf = tags.get("golf")
    if golf == "hole":
        lines = [shape for shape in shapes if isinstance(shape, LineString)]
        if len(lines) > 1:
            raise InputError(reading.file, label, "is in pieces that do not meet", "draw it as one line")
        return [*lines]
    if golf == "pin":
        return [shape.centroid for shape in shapes]
    if _means_area(tags):
        shapes = filled(reading, label, shapes)
    areas = [part for shape in shapes for part in _polygons(reading, label, tags, shape)]
    points = [shape for shape in shapes if isinstance(shape, Point)]
    if not areas and golf == "tee":
        return [*points]
    if not areas and golf not in GOLF and tags.get("natural") not in NATURAL and "leisure" not in tags:
        # A weir or a waterfall is a point on a waterway, and no ground of its own.
        return [*points] if "ele" in tags else []
    if not areas:
        problem = f"is a {shapes[0].geom_type}" if shapes else "encloses nothing"
        raise UnusableError(reading.file, label, problem, "draw it as a Polygon")
    return [shapely.union_all(areas)] if "leisure" in tags else areas


def _means_area(tags: dict[str, str]) -> bool:
    """Return whether a closed line with these tags stands for what it encloses."""
    if tags.get("natural") == "tree_row":
        return False
    return "waterway" not in tags or tags["waterway"] in ("riverbank", "dock") or "natural" in tags


def _polygons(reading: Reading, label: str, tags: dict[str, str], shape: BaseGeometry) -> list[BaseGeometry]:
    if isinstance(shape, LineString) and tags.get("natural") == "tree_row":
        return [shape.buffer(TREE_ROW_WIDTH / 2)]
    if isinstance(shape, LineString) and "waterway" in tags:
        width = _metres(reading, label, tags, "width", low=0.1, high=1000)
        return [shape.buffer((STREAM_WIDTH if width is None else width) / 2)]
    return [shape] if isinstance(shape, Polygon) else []


def _metres(
    reading: Reading, label: str, tags: dict[str, str], key: str, *, low: float, high: float
) -> float | None:
    """Return what a tag says in metres, or in feet where it says so; None if it says nothing of use."""
    stated = tags.get(key, "").strip()
    if not stated:
        return None
    number = re.fullmatch(r"([-+]?[\d.]+)\s*(m|metres|ft|feet|')?", stated)
    try:
        metres = (
            float(number[1]) * (FOOT if number[2] in ("ft", "feet", "'") else 1.0) if number else math.nan
        )
    except ValueError:
        metres = math.nan
    if low <= metres <= high:
        return metres
    taken = f"{key}={stated:.30} is not a number of metres from {low:g} to {high:g}, and was left out"
    reading.guess(label, taken, f"write {key}=12 for metres, {key}=40 ft for feet")
    return None


def _firmness(file: str, piece: Piece) -> Firmness | None:
    stated = piece.tags.get("firmness")
    if stated is not None and stated not in get_args(Firmness):
        problem = f"firmness={stated:.30} is not known"
        raise InputError(file, piece.label, problem, f"give {', '.join(get_args(Firmness))}")
    return cast("Firmness | None", stated)


def _ground(tags: dict[str, str]) -> Ground | None:
    if "golf" in tags:
        return GOLF.get(tags["golf"])
    if "natural" in tags:
        return NATURAL.get(tags["natural"])
    return Ground.RED if "waterway" in tags else None


# --- what is left of them -------------------------------------------------------------------------


def _once(reading: Reading, pieces: list[Piece]) -> list[Piece]:
    """Return pieces without those drawn again, as a relation's outer way may be by itself."""
    once: dict[object, Piece] = {}
    for index, piece in enumerate(pieces):
        key: object = index
        if isinstance(piece.shape, Polygon):
            kind = [piece.tags.get(key) for key in ("leisure", "golf", "natural", "tee", "colour", "ref")]
            outer = shapely.remove_repeated_points(Polygon(piece.shape.exterior))
            key = (*kind, outer.normalize().wkb)
        less, more = sorted((piece, once.get(key, piece)), key=lambda one: _cuts(one.shape))
        if _cuts(less.shape) < _cuts(more.shape):
            taken = f"is {more.label} again, without what is cut out of it, and was left out"
            reading.guess(less.label, taken, "take one out")
        once[key] = more
    return [*once.values()]


def _cuts(shape: BaseGeometry) -> int:
    return len(shape.interiors) if isinstance(shape, Polygon) else 0


def _reach(lines: Iterable[BaseGeometry]) -> Polygon:
    """Return the ground that a drive on these holes may reach."""
    left, bottom, right, top = shapely.total_bounds([*lines])
    return box(left - REACH, bottom - REACH, right + REACH, top + REACH)


def _areas(reading: Reading, pieces: list[Piece], reach: Polygon) -> Iterator[Area]:
    """Yield the areas within reach, so that a wide export or a feature gone astray makes no wide map."""
    lines = [piece.shape for piece in pieces if piece.tags.get("golf") == "hole"]
    known = _reach(lines)
    for piece in pieces:
        ground = _ground(piece.tags)
        if ground is None or not isinstance(piece.shape, Polygon):
            continue
        if "golf" in piece.tags and not piece.shape.intersects(known):
            taken = "lies beyond the reach of any drive, and was left out"
            reading.guess(piece.label, taken, "take it out or mend its positions")
        trees = ground is Ground.TREES
        height = _metres(reading, piece.label, piece.tags, "height", low=0, high=120) if trees else None
        firmness = _firmness(reading.file, piece)
        whole = [piece.shape] if reach.covers(piece.shape) else polygons_in(piece.shape & reach)
        for outline in whole:
            yield Area(ground, outline, piece.label, height, firmness)


def _spots(reading: Reading, pieces: list[Piece]) -> Iterator[Spot]:
    """Yield the spots that are not far above or below all that lies around them."""
    spots = [*_stated(reading, pieces)]
    if len(spots) < 2:
        yield from spots
        return
    places = KDTree([(spot.x, spot.y) for spot in spots])
    away, nearest = (found[:, 1:] for found in places.query(places.data, k=min(len(spots), 1 + _AROUND)))
    elevations = np.array([spot.elevation for spot in spots])
    over = elevations - np.median(elevations[nearest], axis=1)
    for spot, height, distance in zip(spots, over, np.median(away, axis=1), strict=True):
        if abs(height) < CLIFF * max(distance, SAME_PLACE):
            yield spot
            continue
        way = "above" if height > 0 else "below"
        taken = f"lies {abs(height):.0f} m {way} what is around it, and its ele was left out"
        reading.guess(spot.label, taken, "correct it; it is in metres")


def _stated(reading: Reading, pieces: list[Piece]) -> Iterator[Spot]:
    for piece in pieces:
        elevation = _metres(reading, piece.label, piece.tags, "ele", low=-450, high=6000)
        # Of a line or of the course as a whole it says nothing about a place.
        if elevation is not None and isinstance(piece.shape, Point | Polygon) and "leisure" not in piece.tags:
            middle = piece.shape.centroid
            yield Spot(middle.x, middle.y, elevation, piece.label)


def bare_ground(course: Course, unmapped: str | None) -> Ground:
    """Return what lies in no outline; `unmapped`, "rough" or "heavy", overrules the course."""
    drawn = Ground.HEAVY_ROUGH if course.maps_rough else Ground.ROUGH
    return {"rough": Ground.ROUGH, "heavy": Ground.HEAVY_ROUGH}.get(unmapped or "", drawn)


def grounds(course: Course, window: BaseGeometry) -> dict[Ground, BaseGeometry]:
    """Return each kind of ground that is in a window, all of it together, whatever covers it."""
    seen = [area for area in course.areas if area.outline.intersects(window)]
    found: dict[Ground, BaseGeometry] = {}
    for ground in Ground:
        shape = shapely.union_all([area.outline for area in seen if area.ground is ground])
        if ground is Ground.OUT and course.boundary is not None:
            shape = shape.union(window.buffer(5).difference(course.boundary))
        if shape.intersects(window):
            found[ground] = shape
    return found
