"""The course: GeoJSON with OpenStreetMap's golf keys, read into holes and areas on a local plane."""

import hashlib
import json
import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path
from typing import Any, Final, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.errors import InputError, printable, read_input, suggest
from holesim.units import YARD

TREE_ROW_WIDTH: Final = 8.0  # m, crown to crown across a row
STREAM_WIDTH: Final = 3.0  # m, where a waterway states none
FAR_FROM_LINE: Final = 60.0  # m, beyond which a tee or green belongs to another hole
SHORTEST: Final = 30 * YARD  # m, below which a line is no hole


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


_GOLF: Final = {
    "bunker": Ground.BUNKER,
    "fairway": Ground.FAIRWAY,
    "green": Ground.GREEN,
    "lateral_water_hazard": Ground.RED,
    "out_of_bounds": Ground.OUT,
    "rough": Ground.ROUGH,
    "tee": Ground.TEE,
    "water_hazard": Ground.YELLOW,
}
_NATURAL: Final = {
    "heath": Ground.HEAVY_ROUGH,
    "scrub": Ground.HEAVY_ROUGH,
    "tree_row": Ground.TREES,
    "water": Ground.RED,
    "wood": Ground.TREES,
}
# Values that OpenStreetMap documents for the golf key but that hold no ground of their own.
_OTHER_GOLF: Final = frozenset(
    {"hole", "pin", "cartpath", "clubhouse", "driving_range", "path", "cart_sign", "rough_area"}
)
_KINDS: Final = ("golf", "natural", "leisure", "waterway")  # keys that say what a feature is
_READ: Final = (*_KINDS, "ref", "par", "handicap", "name", "tee", "width", "@id")


@dataclass(frozen=True)
class Area:
    """One outline on the ground [m, x east, y north]."""

    ground: Ground
    outline: Polygon
    label: str


@dataclass(frozen=True)
class Tee:
    """A teeing area: its name, its middle [m] and the hole's length from it [m] along the hole's line."""

    name: str
    x: float
    y: float
    length: float


@dataclass(frozen=True)
class Hole:
    """A hole: its line from the back tee to the pin [m, x east, y north], its tees and its green."""

    number: int
    par: int
    stroke_index: int | None
    line: LineString
    tees: tuple[Tee, ...]
    green: Polygon
    pin: tuple[float, float]


@dataclass(frozen=True)
class Course:
    """A course on a local plane [m, x east, y north]."""

    name: str
    holes: tuple[Hole, ...]
    areas: tuple[Area, ...]
    boundary: Polygon | MultiPolygon | None
    file: str
    sha256: str

    @property
    def maps_rough(self) -> bool:
        """Whether the mown rough is drawn, so that what is in no outline is heavy."""
        return any(area.ground is Ground.ROUGH for area in self.areas)


def load_course(path: str | Path) -> Course:
    """Read a course file.

    Raises
    ------
    InputError
        If the file cannot be read, is not GeoJSON, or a feature makes no sense.
    """
    file = Path(path).name
    raw = read_input(path)
    features = _features(file, raw)
    project = _plane(file, features)
    pieces = [piece for feature in features for piece in _pieces(file, feature, project)]
    areas = tuple(
        Area(ground, outline, piece.label)
        for piece in pieces
        if (ground := _ground(piece.tags)) is not None
        for outline in _polygons(file, piece)
    )
    boundaries = [piece for piece in pieces if piece.tags.get("leisure") == "golf_course"]
    name = next((piece.tags["name"] for piece in boundaries if "name" in piece.tags), Path(file).stem)
    return Course(
        name=name,
        holes=_holes(file, pieces),
        areas=areas,
        boundary=_boundary(file, boundaries),
        file=file,
        sha256=hashlib.sha256(raw).hexdigest(),
    )


# --- GeoJSON --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Piece:
    """A feature on the plane."""

    label: str
    tags: dict[str, str]
    shape: BaseGeometry


_Plane = Callable[[object], NDArray[np.float64]]
"""From positions as the file gives them to the plane."""


def _features(file: str, raw: bytes) -> list[dict[str, Any]]:
    if not raw.strip():
        raise InputError(file, "", "is empty", "give a GeoJSON FeatureCollection")
    try:
        content = json.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputError(file, "", "is not UTF-8 text", "save it as UTF-8") from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        problem = f"is not JSON ({error.msg.lower()})"
        raise InputError(file, place, problem, "mend it or export it again") from None
    except RecursionError:
        raise InputError(file, "", "is nested too deeply to be a course", "export it again") from None
    except ValueError:
        raise InputError(file, "", "has a number of too many digits", "export it again") from None
    if not isinstance(content, dict) or content.get("type") != "FeatureCollection":
        raise InputError(file, "", "is not a GeoJSON FeatureCollection", "export the course as GeoJSON")
    features = content.get("features")
    if not isinstance(features, list) or not features:
        raise InputError(file, "features", "is not a list of features", "export the course's golf features")
    for index, feature in enumerate(features):
        _check_feature(file, f"feature {index + 1}", feature)
    return features


def _check_feature(file: str, place: str, feature: object) -> None:
    properties = feature.get("properties") or {} if isinstance(feature, dict) else None
    if not isinstance(properties, dict):
        raise InputError(file, place, "is not a GeoJSON Feature", "take it out or mend it")
    for key in _READ:
        if isinstance(properties.get(key), list | dict):
            raise InputError(file, place, f"holds more than one value for {key}", f"give {key} one value")


def _label(feature: dict[str, Any], tags: dict[str, str]) -> str:
    kind = next((f"{key}={tags[key]}" for key in _KINDS if key in tags), "feature")
    own = feature.get("id")
    name = (
        own if isinstance(own, str | int) and own else tags.get("@id") or tags.get("name") or tags.get("ref")
    )
    return f"{kind} {name!s:.60}" if name else kind


def _tags(feature: dict[str, Any]) -> dict[str, str]:
    # Exports carry lists and tables of their own beside the tags.
    return {
        key: printable(str(value))
        for key, value in (feature.get("properties") or {}).items()
        if isinstance(value, str | int | float)
    }


def _positions(file: str, label: str, values: object) -> NDArray[np.float64]:
    if not isinstance(values, list) or not values:
        raise InputError(file, label, "has no positions", "draw it again or take it out")
    # numpy would read strings and booleans as numbers too.
    if not all(_is_position(point) for point in values):
        raise InputError(file, label, "has a position that is not two numbers", "give longitude, latitude")
    try:
        points = np.array([point[:2] for point in values], dtype=np.float64)
    except OverflowError:
        raise InputError(file, label, "has a number too large to be degrees", "give degrees") from None
    if not np.isfinite(points).all():
        raise InputError(file, label, "has a position that is not a number", "give longitude, latitude")
    if (abs(points[:, 1]) > 90).any():
        worst = points[np.argmax(abs(points[:, 1])), 1]
        raise InputError(
            file, label, f"has a latitude of {worst:g}, beyond 90", "write longitude first, then latitude"
        )
    if (abs(points[:, 0]) > 180).any():
        worst = points[np.argmax(abs(points[:, 0])), 0]
        raise InputError(file, label, f"has a longitude of {worst:g}, beyond 180", "give degrees")
    return points


def _is_position(point: object) -> bool:
    return (
        isinstance(point, list) and len(point) >= 2 and all(type(part) in (int, float) for part in point[:2])
    )


def _plane(file: str, features: list[dict[str, Any]]) -> Transformer:
    """Return the projection to a plane that touches the earth amid the holes, true to scale there."""
    lines = [f for f in features if _tags(f).get("golf") == "hole"]
    if not lines:
        raise InputError(file, "", "has no holes", "draw a golf=hole line from tee to pin for each")
    points = []
    for feature in lines:
        label = _label(feature, _tags(feature))
        geometry = feature.get("geometry")
        if not isinstance(geometry, dict) or geometry.get("type") != "LineString":
            raise InputError(file, label, "is not a LineString", "draw the hole as a line from tee to pin")
        points.append(_positions(file, label, geometry.get("coordinates")))
    # The median, so that one hole gone astray is itself named as far, and not all the others.
    middle = np.median(np.concatenate(points), axis=0)
    return Transformer.from_crs(
        "EPSG:4326", f"+proj=aeqd +lon_0={middle[0]:.6f} +lat_0={middle[1]:.6f} +ellps=WGS84", always_xy=True
    )


def _pieces(file: str, feature: dict[str, Any], project: Transformer) -> list[_Piece]:
    tags = _tags(feature)
    label = _label(feature, tags)
    golf = tags.get("golf")
    if golf is not None and golf not in _GOLF and golf not in _OTHER_GOLF:
        meant = suggest(golf, [*_GOLF, *_OTHER_GOLF])
        if meant:
            raise InputError(file, label, f"golf={golf} is not a known value", f"did you mean golf={meant}?")
    if golf not in {"hole", "pin"} and tags.get("leisure") != "golf_course" and _ground(tags) is None:
        return []
    geometry = feature.get("geometry")
    if not isinstance(geometry, dict):
        raise InputError(file, label, "has no geometry", "draw it again or take it out")
    if geometry.get("type") == "Point" and not tags.keys() & {"golf", "natural", "leisure"}:
        return []  # a weir or a waterfall is a point on a waterway, and no ground of its own

    def plane(values: object) -> NDArray[np.float64]:
        points = _positions(file, label, values)
        flat = np.column_stack(project.transform(points[:, 0], points[:, 1]))
        if not np.isfinite(flat).all() or abs(flat).max() > 50_000:
            raise InputError(file, label, "lies far from the holes", "take it out or mend its positions")
        return flat

    return [_Piece(label, tags, shape) for shape in _shapes(file, label, geometry, plane)]


def _shapes(file: str, label: str, geometry: dict[str, Any], plane: _Plane) -> list[BaseGeometry]:
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    if kind == "Point":
        return [Point(plane([coordinates])[0])]
    if kind == "LineString":
        points = plane(coordinates)
        if len(points) < 2:
            raise InputError(file, label, "is a line of one point", "draw at least two")
        return [LineString(points)]
    if kind == "Polygon":
        return [_polygon(file, label, coordinates, plane)]
    if kind == "MultiPolygon":
        if not isinstance(coordinates, list) or not coordinates:
            raise InputError(file, label, "has no polygons", "draw it again or take it out")
        return [_polygon(file, label, part, plane) for part in coordinates]
    problem = f"is a {kind:.30}" if isinstance(kind, str) else "has no geometry type"
    raise InputError(file, label, problem, "draw it as a Point, LineString, Polygon or MultiPolygon")


def _polygon(file: str, label: str, rings: object, plane: _Plane) -> Polygon:
    if not isinstance(rings, list) or not rings:
        raise InputError(file, label, "has no rings", "draw it again or take it out")
    flat = []
    for index, ring in enumerate(rings):
        place = f"{label}, ring {index + 1}"
        points = _positions(file, place, ring)
        if len(points) < 4 or (points[0] != points[-1]).any():
            remedy = "end it on its first position, four or more in all"
            raise InputError(file, place, "is not closed", remedy)
        flat.append(plane(ring))
    polygon = Polygon(flat[0], flat[1:])
    if not polygon.is_valid:
        reason = shapely.is_valid_reason(polygon).split("[")[0].strip().lower()
        problem = f"has an outline that does not hold ({reason})"
        raise InputError(file, label, problem, "redraw where it crosses")
    return polygon


def _boundary(file: str, pieces: list[_Piece]) -> Polygon | MultiPolygon | None:
    whole = shapely.union_all([outline for piece in pieces for outline in _polygons(file, piece)])
    return whole if isinstance(whole, Polygon | MultiPolygon) else None


def _polygons(file: str, piece: _Piece) -> list[Polygon]:
    if isinstance(piece.shape, Polygon):
        return [piece.shape]
    if isinstance(piece.shape, LineString) and piece.tags.get("natural") == "tree_row":
        return [piece.shape.buffer(TREE_ROW_WIDTH / 2)]
    if isinstance(piece.shape, LineString) and "waterway" in piece.tags:
        return [piece.shape.buffer(_width(file, piece) / 2)]
    raise InputError(file, piece.label, f"is a {piece.shape.geom_type}", "draw it as a Polygon")


def _width(file: str, piece: _Piece) -> float:
    stated = piece.tags.get("width", "").removesuffix("m").strip()
    if not stated:
        return STREAM_WIDTH
    try:
        width = float(stated)
    except ValueError:
        width = math.nan
    if not 0 < width <= 1000:
        raise InputError(
            file, piece.label, f"width={piece.tags['width']:.30} is not a width in metres", "correct width"
        )
    return width


def _ground(tags: dict[str, str]) -> Ground | None:
    if "golf" in tags:
        return _GOLF.get(tags["golf"])
    if "natural" in tags:
        return _NATURAL.get(tags["natural"])
    return Ground.RED if "waterway" in tags else None


# --- holes ----------------------------------------------------------------------------------------


def _holes(file: str, pieces: list[_Piece]) -> tuple[Hole, ...]:
    lines: dict[int, _Piece] = {}
    for piece in pieces:
        if piece.tags.get("golf") == "hole":
            number = _whole(file, piece, "ref", 1, 99)
            if number in lines:
                problem = f"is hole {number} a second time"
                raise InputError(file, piece.label, problem, "give each hole its own ref")
            lines[number] = piece
    tees: dict[int, list[_Piece]] = defaultdict(list)
    greens: dict[int, list[_Piece]] = defaultdict(list)
    for piece in pieces:
        kind = piece.tags.get("golf")
        if kind == "tee":
            owner = _nearest(piece, lines)
            if owner is not None:
                tees[owner].append(piece)
        elif kind == "green":
            for number, line in lines.items():
                if piece.shape.distance(Point(line.shape.coords[-1])) < FAR_FROM_LINE:
                    greens[number].append(piece)
    pins = [piece.shape for piece in pieces if piece.tags.get("golf") == "pin"]
    return tuple(
        _hole(file, number, lines[number], tees[number], greens[number], pins=pins)
        for number in sorted(lines)
    )


def _nearest(tee: _Piece, lines: dict[int, _Piece]) -> int | None:
    """Return the hole whose line starts or runs nearest to a tee; by its own ref where it has one."""
    own = tee.tags.get("ref", "")
    if own.isdecimal() and len(own) <= 2 and int(own) in lines:
        return int(own)
    distance, number = min((line.shape.distance(tee.shape), number) for number, line in lines.items())
    return number if distance < FAR_FROM_LINE else None


def _hole(
    file: str,
    number: int,
    line: _Piece,
    tees: list[_Piece],
    greens: list[_Piece],
    *,
    pins: list[BaseGeometry],
) -> Hole:
    if line.shape.length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    if not tees:
        raise InputError(file, line.label, "has no tee", "draw a golf=tee area at the start of its line")
    if not greens:
        raise InputError(file, line.label, "has no green", "draw a golf=green area at the end of its line")
    end = Point(line.shape.coords[-1])
    green = min(greens, key=lambda piece: piece.shape.distance(end)).shape
    if not isinstance(green, Polygon):
        raise InputError(file, line.label, "has a green that is not an area", "draw it as a Polygon")
    pin = next((p for p in pins if isinstance(p, Point) and green.covers(p)), end)
    if not green.covers(pin):
        pin = green.representative_point()
    # Numbered from the back where they have no name, whatever their order in the file.
    ordered = sorted(tees, key=lambda tee: line.shape.project(tee.shape.centroid))
    placed: list[Tee] = []
    for tee in ordered:
        middle = tee.shape.centroid
        along = line.shape.project(middle)
        name = tee.tags.get("tee") or tee.tags.get("name") or f"tee {len(placed) + 1}"
        placed.append(Tee(name, middle.x, middle.y, line.shape.length - along))
    if placed[0].length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    return Hole(
        number=number,
        par=_whole(file, line, "par", 3, 7),
        stroke_index=_whole(file, line, "handicap", 1, 18) if "handicap" in line.tags else None,
        line=cast("LineString", line.shape),  # as _plane saw
        tees=tuple(placed),
        green=green,
        pin=(pin.x, pin.y),
    )


def _whole(file: str, piece: _Piece, key: str, low: int, high: int) -> int:
    if key not in piece.tags:
        meant = suggest(key, [tag for tag in piece.tags if tag not in ("golf", "handicap")])
        remedy = f"is {meant!r} meant to be {key!r}?" if meant else f"add {key}"
        raise InputError(file, piece.label, f"has no {key}", remedy)
    try:
        value = float(piece.tags[key])
    except ValueError:
        value = math.nan
    if not (low <= value <= high and value == int(value)):
        problem = f"{key}={piece.tags[key]:.30} is not a number from {low} to {high}"
        raise InputError(file, piece.label, problem, f"correct {key}")
    return int(value)
