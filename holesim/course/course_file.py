"""The course file: GeoJSON with OpenStreetMap's golf keys, read as a `Course`."""

import hashlib
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final, NamedTuple, cast, get_args

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import KDTree
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from holesim.course.course import STREAM_WIDTH, Area, Course, Firmness, Ground, Spot, out_of_bounds
from holesim.course.geojson import (
    LARGEST,
    Part,
    Piece,
    Plane,
    Reading,
    UnusableError,
    count_rings,
    feature_labels,
    feature_tags,
    fill_closed_lines,
    make_projection,
    place_shapes,
    polygons_of,
    read_features,
    read_parts,
    read_positions,
)
from holesim.course.golf_tags import GOLF, NATURAL, NO_AREA, OTHER_GOLF, ground_of, in_plain_tags
from holesim.course.holes import read_holes
from holesim.course.layouts import Layout, choose_layout, find_layouts, name_layouts
from holesim.errors import InputError, printable, read_input, suggest
from holesim.units import FOOT

_MOST_SHAPES: Final = 10_000  # lines and outlines; a large site has some 2,000
_MOST_POINTS: Final = 150_000  # positions of outlines within reach; a carefully drawn course has some 20,000
_LONGEST_OUTLINES: Final = 500_000.0  # m within reach; a course has some 50,000
_MOST_HOLES: Final = 200
_MOST_POSITIONS: Final = 300  # of a hole's line; most have three
_FARTHEST: Final = 50_000.0  # m from the middle, up to which the plane is of use
_REACH: Final = 1_000.0  # m around the holes; no drive finishes beyond it
_LONGEST_NAME: Final = 80  # letters kept of a course's name
_TREE_ROW_WIDTH: Final = 8.0  # m, crown to crown across a row
_STEEPEST: Final = 0.7  # slope to the spots around it from which on an elevation is taken for a slip
_SAME_PLACE: Final = 30.0  # m; spots closer together may differ as much as at that distance
_NEIGHBOURS: Final = 5  # spots that an elevation is compared with


def load_course(path: str | Path, *, name: str | None = None) -> Course:
    """Read a course file.

    Parameters
    ----------
    path
        A GeoJSON file with OpenStreetMap's golf keys.
    name
        Which course to read, where the file holds several.

    Returns
    -------
    The course in metres on a plane, with what its file left open listed in `guesses`.

    Raises
    ------
    InputError
        If the file cannot be read, is not GeoJSON, a feature makes no sense, or it is not clear which course
        is meant.

    Examples
    --------
    >>> from holesim.data.examples import COURSE, find
    >>> course = load_course(find(COURSE))
    >>> course.name, len(course.holes)
    ('Vantle Skerry', 18)
    >>> hole = course.holes[3]
    >>> hole.par, [tee.name for tee in hole.tees], round(hole.tees[0].length)
    (4, ['back', 'middle', 'forward'], 389)
    """
    return parse_course(Path(path).name, _read_bytes(path), name=name)


def parse_course(file: str, raw: bytes, *, name: str | None = None) -> Course:
    """Return the course that the content of a file holds; see `load_course`."""
    read = _read_pieces(file, raw)
    return _course(read, choose_layout(read.reading.file, read.layouts, name))


def parse_courses(file: str, raw: bytes) -> dict[str, Course]:
    """Return the courses that the content of a file holds, by name; see `load_course`."""
    read = _read_pieces(file, raw)
    named = name_layouts(read.reading.file, read.layouts)
    return {name: _course(read, layout) for name, layout in named.items()}


class _Read(NamedTuple):
    """The pieces of a file, the courses that they make up, and where their plane touches the earth [°]."""

    reading: Reading
    sha256: str
    origin: tuple[float, float]
    pieces: list[Piece]
    layouts: list[Layout]


def _read_pieces(file: str, raw: bytes) -> _Read:
    reading = Reading(printable(file))
    origin, pieces = _pieces(reading, read_features(reading.file, raw))
    return _Read(reading, hashlib.sha256(raw).hexdigest(), origin, pieces, _layouts(reading, pieces))


def _course(read: _Read, layout: Layout) -> Course:
    reading = replace(read.reading, guesses=[*read.reading.guesses])
    file, pieces = reading.file, read.pieces
    holes = read_holes(reading, pieces, layout.lines)
    reach = _reach(hole.line for hole in holes)
    boundary = shapely.union_all([outline.shape for outline in layout.outlines]) & reach
    stated = [firmness for piece in layout.outlines if (firmness := _firmness(file, piece)) is not None]
    course = Course(
        name=layout.name[:_LONGEST_NAME],
        holes=holes,
        areas=tuple(_areas(reading, pieces, reach)),
        boundary=boundary if isinstance(boundary, Polygon | MultiPolygon) and boundary else None,
        file=file,
        sha256=read.sha256,
        spots=tuple(_spots(reading, pieces)),
        guesses=reading.gathered(),
        firmness=stated[0] if stated else "medium",
        origin=read.origin,
    )
    _check_outlines(course)
    _check_pins(course)
    return course


def _check_outlines(course: Course) -> None:
    """Check that painting the outlines takes neither all memory nor all day."""
    outlines: list[tuple[str, BaseGeometry]] = [(area.label, area.outline) for area in course.areas]
    if course.boundary is not None:
        outlines.append(("the boundary", course.boundary))
    for measure, most, what in (
        (shapely.get_num_coordinates, _MOST_POINTS, "{:,.0f} positions"),
        (shapely.length, _LONGEST_OUTLINES, "{:,.0f} m"),
    ):
        sizes = measure([outline for _, outline in outlines])
        if sizes.sum() > most:
            label, size = outlines[int(sizes.argmax())][0], what.format(sizes.max())
            problem = f"has {size}, and all outlines {what.format(sizes.sum())}: more than a course has"
            raise InputError(course.file, label, problem, "simplify its outline, or export the course alone")


def _check_pins(course: Course) -> None:
    """Check that no pin is out of bounds: every way to such a hole would cost hundreds of strokes."""
    for hole in course.holes:
        if out_of_bounds(course, Point(hole.pin)):
            remedy = "redraw the boundary or the out_of_bounds area there"
            raise InputError(course.file, f"hole {hole.number}", "has its pin out of bounds", remedy)


def list_courses(path: str | Path) -> list[str]:
    """Return the names of the courses in a file; `load_course` reads one of them.

    Raises
    ------
    InputError
        If the file cannot be read, is not GeoJSON, or a feature makes no sense.

    Examples
    --------
    >>> from holesim.data.examples import COURSE, find
    >>> list_courses(find(COURSE))
    ['Vantle Skerry']
    """
    return course_names(Path(path).name, _read_bytes(path))


def course_names(file: str, raw: bytes) -> list[str]:
    """Return the names of the courses that the content of a file holds; see `list_courses`."""
    read = _read_pieces(file, raw)
    return list(name_layouts(read.reading.file, read.layouts))


def _read_bytes(path: str | Path) -> bytes:
    if Path(path).suffix.lower() == ".toml":
        remedy = "give a GeoJSON course first; holesim draw makes one from notes"
        raise InputError(printable(Path(path).name), "", "is a TOML file, not a course", remedy)
    return read_input(path, largest=LARGEST)


def _layouts(reading: Reading, pieces: list[Piece]) -> list[Layout]:
    lines = [piece for piece in pieces if piece.tags.get("golf") == "hole"]
    outlines = [piece for piece in pieces if piece.tags.get("leisure") == "golf_course"]
    found = find_layouts(lines, outlines)
    if len(found) == 1 and not found[0].name and reading.names:
        return [replace(found[0], name=reading.names[0])]
    return found


# --- what features mean ---------------------------------------------------------------------------


def _pieces(reading: Reading, features: list[dict[str, Any]]) -> tuple[tuple[float, float], list[Piece]]:
    """Return the middle of the holes [°], and the features of use as pieces on a plane about it."""
    file = reading.file
    used = []
    for feature, label in zip(features, feature_labels(features), strict=True):
        tags = feature_tags(feature)
        tags = _plain_tags(reading, label, tags)
        if _is_of_use(file, label, tags):
            used.append((label, tags, read_parts(file, label, feature.get("geometry"))))
    size = sum(count_rings(part) for _, _, parts in used for part in parts)
    if size > _MOST_SHAPES:
        problem = f"holds {size:,} lines and outlines, more than a course has"
        raise InputError(file, "", problem, "export the course alone")
    origin = _middle(file, [(label, parts) for label, tags, parts in used if tags.get("golf") == "hole"])
    plane = _plane(file, origin)
    found = []
    for label, tags, parts in used:
        try:
            shapes = place_shapes(reading, label, parts, plane)
            found += [Piece(label, tags, shape) for shape in _drawn(reading, label, tags, shapes)]
        except UnusableError as error:
            if tags.get("leisure") == "golf_course" and not parts:
                reading.names.append(tags.get("name", ""))
                continue
            if tags.get("golf") == "hole":
                raise
            reading.guess(error.place, f"{error.problem}, and was left out", error.remedy)
    return origin, _without_repeats(reading, found)


def _plain_tags(reading: Reading, label: str, tags: dict[str, str]) -> dict[str, str]:
    """Return tags in which golfers' words stand as OpenStreetMap has them; each is listed as a guess."""
    plain, key, taken = in_plain_tags(tags)
    if taken:
        written = " ".join(f"{k}={v}" for k, v in plain.items() if tags.get(k) != v)
        reading.guess(label, f"{key}={tags[key]:.30} was taken for {taken}", f"write {written}")
    return plain


def _is_of_use(file: str, label: str, tags: dict[str, str]) -> bool:
    """Return whether a feature says something about the ground, a hole or an elevation."""
    golf = tags.get("golf")
    if golf is not None and golf not in GOLF and golf not in OTHER_GOLF:
        meant = suggest(golf, [*GOLF, *OTHER_GOLF])
        if meant:
            problem = f"golf={golf:.30} is not a known value"
            raise InputError(file, label, problem, f"did you mean golf={meant}?")
    known = golf in NO_AREA or tags.get("leisure") == "golf_course" or ground_of(tags) is not None
    return known or "ele" in tags


def _middle(file: str, lines: list[tuple[str, list[Part]]]) -> tuple[float, float]:
    """Return the longitude and latitude [°] of the middle of the holes."""
    if not lines:
        raise InputError(file, "", "has no holes", "draw a golf=hole line from tee to pin for each")
    if len(lines) > _MOST_HOLES:
        raise InputError(file, "", f"has {len(lines):,} holes", "export the course alone")
    points = []
    for label, parts in lines:
        drawn = [inside for kind, inside in parts if kind == "LineString"]
        if not drawn:
            raise InputError(file, label, "is not a LineString", "draw the hole as a line from tee to pin")
        points += [read_positions(file, label, coordinates) for coordinates in drawn]
        if len(points[-1]) > _MOST_POSITIONS:
            raise InputError(file, label, f"has {len(points[-1]):,} positions", "draw it with fewer")
    # The median: of one misplaced hole, a message then names that hole and not all the others.
    longitude, latitude = np.median(np.concatenate(points), axis=0).round(6).tolist()
    return longitude, latitude


def _plane(file: str, origin: tuple[float, float]) -> Plane:
    """Return the projection to a plane that touches the earth at `origin`, true to scale there."""
    project = make_projection(*origin)

    def plane(place: str, values: object) -> NDArray[np.float64]:
        points = read_positions(file, place, values)
        flat = np.column_stack(project(points[:, 0], points[:, 1]))
        if not np.isfinite(flat).all() or abs(flat).max() > _FARTHEST:
            raise UnusableError(
                file, place, "lies far from the holes", "take it out or correct its positions"
            )
        return flat

    return plane


def _drawn(
    reading: Reading, label: str, tags: dict[str, str], shapes: list[BaseGeometry]
) -> list[BaseGeometry]:
    """Return what the shapes of a feature stand for: the line of a hole, the point of a pin, or areas."""
    golf = tags.get("golf")
    if golf == "hole":
        lines = [shape for shape in shapes if isinstance(shape, LineString)]
        if len(lines) > 1:
            raise InputError(reading.file, label, "is in pieces that do not meet", "draw it as one line")
        return [*lines]
    if golf == "pin":
        return [shape.centroid for shape in shapes]
    if _means_area(tags):
        shapes = fill_closed_lines(reading, label, shapes)
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
    """Return whether a closed line with these tags stands for the area within it."""
    if tags.get("natural") == "tree_row":
        return False
    return "waterway" not in tags or tags["waterway"] in ("riverbank", "dock") or "natural" in tags


def _polygons(reading: Reading, label: str, tags: dict[str, str], shape: BaseGeometry) -> list[BaseGeometry]:
    if isinstance(shape, LineString) and tags.get("natural") == "tree_row":
        return [shape.buffer(_TREE_ROW_WIDTH / 2)]
    if isinstance(shape, LineString) and "waterway" in tags:
        width = _metres(reading, label, tags, "width", low=0.1, high=1000)
        return [shape.buffer((STREAM_WIDTH if width is None else width) / 2)]
    return [shape] if isinstance(shape, Polygon) else []


def _metres(
    reading: Reading, label: str, tags: dict[str, str], key: str, *, low: float, high: float
) -> float | None:
    """Return the number of metres in a tag, which may also be in feet; None if it has no number of use."""
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


# --- repeats, areas, elevations -------------------------------------------------------------------


def _without_repeats(reading: Reading, pieces: list[Piece]) -> list[Piece]:
    """Return pieces without those drawn twice: a relation's outer way may be a feature of its own too."""
    once: dict[object, Piece] = {}
    for index, piece in enumerate(pieces):
        key: object = index
        if isinstance(piece.shape, Polygon):
            kind = [piece.tags.get(key) for key in ("leisure", "golf", "natural", "tee", "colour", "ref")]
            outer = shapely.remove_repeated_points(Polygon(piece.shape.exterior))
            key = (*kind, outer.normalize().wkb)
        less, more = sorted((piece, once.get(key, piece)), key=lambda one: _cuts(one.shape))
        if _cuts(less.shape) < _cuts(more.shape):
            taken = f"repeats {more.label} without the parts cut out of it, and was left out"
            reading.guess(less.label, taken, "take one out")
        once[key] = more
    return [*once.values()]


def _cuts(shape: BaseGeometry) -> int:
    return len(shape.interiors) if isinstance(shape, Polygon) else 0


def _reach(lines: Iterable[BaseGeometry]) -> Polygon:
    """Return a rectangle around these holes beyond which no drive finishes."""
    left, bottom, right, top = shapely.total_bounds([*lines])
    return box(left - _REACH, bottom - _REACH, right + _REACH, top + _REACH)


def _areas(reading: Reading, pieces: list[Piece], reach: Polygon) -> Iterator[Area]:
    """Yield the areas within reach, so that a wide export or a misplaced feature does not widen the map."""
    lines = [piece.shape for piece in pieces if piece.tags.get("golf") == "hole"]
    known = _reach(lines)
    for piece in pieces:
        ground = ground_of(piece.tags)
        if ground is None or not isinstance(piece.shape, Polygon):
            continue
        if "golf" in piece.tags and not piece.shape.intersects(known):
            taken = "lies beyond the reach of any drive, and was left out"
            reading.guess(piece.label, taken, "take it out or correct its positions")
        trees = ground is Ground.TREES
        height = _metres(reading, piece.label, piece.tags, "height", low=0, high=120) if trees else None
        firmness = _firmness(reading.file, piece)
        whole = [piece.shape] if reach.covers(piece.shape) else polygons_of(piece.shape & reach)
        for outline in whole:
            yield Area(ground, outline, piece.label, height, firmness)


def _spots(reading: Reading, pieces: list[Piece]) -> Iterator[Spot]:
    """Yield the spots, but for those far above or below the spots around them."""
    spots = [*_stated_spots(reading, pieces)]
    if len(spots) < 2:
        yield from spots
        return
    places = KDTree([(spot.x, spot.y) for spot in spots])
    away, nearest = (found[:, 1:] for found in places.query(places.data, k=min(len(spots), 1 + _NEIGHBOURS)))
    elevations = np.array([spot.elevation for spot in spots])
    over = elevations - np.median(elevations[nearest], axis=1)
    for spot, height, distance in zip(spots, over, np.median(away, axis=1), strict=True):
        if abs(height) < _STEEPEST * max(distance, _SAME_PLACE):
            yield spot
            continue
        way = "above" if height > 0 else "below"
        taken = f"lies {abs(height):.0f} m {way} the ground around it, and its ele was left out"
        reading.guess(spot.label, taken, "correct ele, in metres")


def _stated_spots(reading: Reading, pieces: list[Piece]) -> Iterator[Spot]:
    for piece in pieces:
        elevation = _metres(reading, piece.label, piece.tags, "ele", low=-450, high=6000)
        # The elevation of a line or of the whole course says nothing about one place.
        if elevation is not None and isinstance(piece.shape, Point | Polygon) and "leisure" not in piece.tags:
            middle = piece.shape.centroid
            yield Spot(middle.x, middle.y, elevation, piece.label)
