"""The course: GeoJSON with OpenStreetMap's golf keys, read into holes and areas on a local plane."""

import hashlib
import math
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.errors import Guess, InputError, read_input, suggest
from holesim.geojson import Piece, Reading, enclosed, features_of, label_of, positions, shapes_of, tags_of
from holesim.holes import Hole, holes_of

TREE_ROW_WIDTH: Final = 8.0  # m, crown to crown across a row
STREAM_WIDTH: Final = 3.0  # m, where a waterway states none


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
_OTHER_GOLF: Final = frozenset(
    {"hole", "pin", "cartpath", "clubhouse", "driving_range", "path", "cart_sign", "rough_area"}
)


@dataclass(frozen=True)
class Area:
    """One outline on the ground [m, x east, y north]."""

    ground: Ground
    outline: Polygon
    label: str


@dataclass(frozen=True)
class Course:
    """A course on a local plane [m, x east, y north]; `guesses` are what its file left open."""

    name: str
    holes: tuple[Hole, ...]
    areas: tuple[Area, ...]
    boundary: Polygon | MultiPolygon | None
    file: str
    sha256: str
    guesses: tuple[Guess, ...] = ()

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
    reading = Reading(Path(path).name)
    file, raw = reading.file, read_input(path)
    features = features_of(file, raw)
    project = _plane(file, features)
    pieces = [piece for feature in features for piece in _pieces(reading, feature, project)]
    areas = tuple(
        Area(ground, outline, piece.label)
        for piece in pieces
        if (ground := _ground(piece.tags)) is not None and not _is_tee_node(piece)
        for outline in _polygons(file, piece)
    )
    boundaries = [piece for piece in pieces if piece.tags.get("leisure") == "golf_course"]
    name = next((piece.tags["name"] for piece in boundaries if "name" in piece.tags), Path(file).stem)
    return Course(
        name=name,
        holes=holes_of(reading, pieces),
        areas=areas,
        boundary=_boundary(file, boundaries),
        file=file,
        sha256=hashlib.sha256(raw).hexdigest(),
        guesses=tuple(reading.guesses),
    )


# --- what features mean ---------------------------------------------------------------------------


def _plane(file: str, features: list[dict[str, Any]]) -> Transformer:
    """Return the projection to a plane that touches the earth amid the holes, true to scale there."""
    lines = [f for f in features if tags_of(f).get("golf") == "hole"]
    if not lines:
        raise InputError(file, "", "has no holes", "draw a golf=hole line from tee to pin for each")
    points = []
    for feature in lines:
        label = label_of(feature, tags_of(feature))
        geometry = feature.get("geometry")
        if not isinstance(geometry, dict) or geometry.get("type") != "LineString":
            raise InputError(file, label, "is not a LineString", "draw the hole as a line from tee to pin")
        points.append(positions(file, label, geometry.get("coordinates")))
    # The median, so that one hole gone astray is itself named as far, and not all the others.
    middle = np.median(np.concatenate(points), axis=0)
    return Transformer.from_crs(
        "EPSG:4326", f"+proj=aeqd +lon_0={middle[0]:.6f} +lat_0={middle[1]:.6f} +ellps=WGS84", always_xy=True
    )


def _pieces(reading: Reading, feature: dict[str, Any], project: Transformer) -> list[Piece]:
    file, tags = reading.file, tags_of(feature)
    label = label_of(feature, tags)
    golf = tags.get("golf")
    if golf is not None and golf not in GOLF and golf not in _OTHER_GOLF:
        meant = suggest(golf, [*GOLF, *_OTHER_GOLF])
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
        points = positions(file, label, values)
        flat = np.column_stack(project.transform(points[:, 0], points[:, 1]))
        if not np.isfinite(flat).all() or abs(flat).max() > 50_000:
            raise InputError(file, label, "lies far from the holes", "take it out or mend its positions")
        return flat

    shapes = shapes_of(reading, label, geometry, plane)
    if _means_area(tags):
        shapes = [part for shape in shapes for part in _filled(reading, label, shape)]
    return [Piece(label, tags, shape) for shape in shapes]


def _is_tee_node(piece: Piece) -> bool:
    """Return whether a tee is a point: enough to play from, and no ground of its own."""
    return isinstance(piece.shape, Point) and piece.tags.get("golf") == "tee"


def _means_area(tags: dict[str, str]) -> bool:
    """Return whether a closed line with these tags stands for what it encloses."""
    if tags.get("golf") == "hole" or tags.get("natural") == "tree_row":
        return False
    return "waterway" not in tags or tags["waterway"] in ("riverbank", "dock") or "natural" in tags


def _filled(reading: Reading, label: str, shape: BaseGeometry) -> list[BaseGeometry]:
    if isinstance(shape, LineString) and shape.is_closed and len(shape.coords) > 3:
        return [*enclosed(reading, label, shape)]
    return [shape]


def _boundary(file: str, pieces: list[Piece]) -> Polygon | MultiPolygon | None:
    whole = shapely.union_all([outline for piece in pieces for outline in _polygons(file, piece)])
    return whole if isinstance(whole, Polygon | MultiPolygon) else None


def _polygons(file: str, piece: Piece) -> list[Polygon]:
    if isinstance(piece.shape, Polygon):
        return [piece.shape]
    if isinstance(piece.shape, LineString) and piece.tags.get("natural") == "tree_row":
        return [piece.shape.buffer(TREE_ROW_WIDTH / 2)]
    if isinstance(piece.shape, LineString) and "waterway" in piece.tags:
        return [piece.shape.buffer(_width(file, piece) / 2)]
    raise InputError(file, piece.label, f"is a {piece.shape.geom_type}", "draw it as a Polygon")


def _width(file: str, piece: Piece) -> float:
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
        return GOLF.get(tags["golf"])
    if "natural" in tags:
        return NATURAL.get(tags["natural"])
    return Ground.RED if "waterway" in tags else None
