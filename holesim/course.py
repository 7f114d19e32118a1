"""The course: GeoJSON with OpenStreetMap's golf keys, read into holes and areas on a local plane."""

import hashlib
import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import IntEnum
from pathlib import Path
from typing import Any, Final, Literal, cast, get_args

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.errors import Guess, InputError, read_input, suggest
from holesim.geojson import Piece, Reading, enclosed, features_of, label_of, positions, shapes_of, tags_of
from holesim.units import FOOT, YARD

TREE_ROW_WIDTH: Final = 8.0  # m, crown to crown across a row
STREAM_WIDTH: Final = 3.0  # m, where a waterway states none
TREE_HEIGHT: Final = 15.0  # m, where trees state none (no source)
FAR_FROM_LINE: Final = 60.0  # m, beyond which a tee or green belongs to another hole
SHORTEST: Final = 30 * YARD  # m, below which a line is no hole
SAME_LINE: Final = 20.0  # m, within which two lines are the same hole drawn twice
LONGEST: Final = (250 * YARD, 470 * YARD, 690 * YARD)
"""Lengths [m] of the longest par 3, 4 and 5: the middles of what the Rules of Handicapping (appendix F, for
men, from memory) leave to either par."""

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
_OTHER_GOLF: Final = frozenset(
    {"hole", "pin", "cartpath", "clubhouse", "driving_range", "path", "cart_sign", "rough_area"}
)


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
    """A course on a local plane [m, x east, y north].

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
    areas = tuple(area for piece in pieces for area in _areas(file, piece))
    boundaries = [piece for piece in pieces if piece.tags.get("leisure") == "golf_course"]
    name = next((piece.tags["name"] for piece in boundaries if "name" in piece.tags), Path(file).stem)
    stated = [firmness for piece in boundaries if (firmness := _firmness(file, piece)) is not None]
    return Course(
        name=name,
        holes=_holes(reading, pieces),
        areas=areas,
        boundary=_boundary(file, boundaries),
        file=file,
        sha256=hashlib.sha256(raw).hexdigest(),
        guesses=tuple(reading.guesses),
        spots=tuple(_spots(file, pieces)),
        firmness=stated[0] if stated else "medium",
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
    geometry = feature.get("geometry")
    point = isinstance(geometry, dict) and geometry.get("type") == "Point"
    if point and not tags.keys() & {"golf", "natural", "leisure"}:
        # A weir or a waterfall is a point on a waterway, and no ground of its own.
        tags = {key: tags[key] for key in ("ele",) if key in tags}
    holds = golf in {"hole", "pin"} or tags.get("leisure") == "golf_course" or _ground(tags) is not None
    if not holds and not (point and "ele" in tags):
        return []
    if not isinstance(geometry, dict):
        raise InputError(file, label, "has no geometry", "draw it again or take it out")

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
        width = _metres(file, piece, "width", low=0.1, high=1000)
        return [piece.shape.buffer((STREAM_WIDTH if width is None else width) / 2)]
    raise InputError(file, piece.label, f"is a {piece.shape.geom_type}", "draw it as a Polygon")


def _metres(file: str, piece: Piece, key: str, *, low: float, high: float) -> float | None:
    """Return what a tag says in metres, or in feet where it says so; None if there is no such tag."""
    stated = piece.tags.get(key, "").strip()
    if not stated:
        return None
    number, unit = stated.removesuffix("ft"), FOOT if stated.endswith("ft") else 1.0
    try:
        metres = float(number.removesuffix("m")) * unit
    except ValueError:
        metres = math.nan
    if not low <= metres <= high:
        problem = f"{key}={stated:.30} is not a number of metres from {low:g} to {high:g}"
        raise InputError(file, piece.label, problem, f"correct {key}")
    return metres


def _firmness(file: str, piece: Piece) -> Firmness | None:
    stated = piece.tags.get("firmness")
    if stated is not None and stated not in get_args(Firmness):
        problem = f"firmness={stated:.30} is not known"
        raise InputError(file, piece.label, problem, f"give {', '.join(get_args(Firmness))}")
    return cast("Firmness | None", stated)


def _areas(file: str, piece: Piece) -> list[Area]:
    ground = _ground(piece.tags)
    if ground is None or _is_tee_node(piece):
        return []
    height = _metres(file, piece, "height", low=0, high=120) if ground is Ground.TREES else None
    firmness = _firmness(file, piece)
    return [Area(ground, outline, piece.label, height, firmness) for outline in _polygons(file, piece)]


def _spots(file: str, pieces: list[Piece]) -> Iterator[Spot]:
    for piece in pieces:
        elevation = _metres(file, piece, "ele", low=-450, high=6000)
        # Of a line or of the course as a whole it says nothing about a place.
        if elevation is not None and isinstance(piece.shape, Point | Polygon) and "leisure" not in piece.tags:
            middle = piece.shape.centroid
            yield Spot(middle.x, middle.y, elevation, piece.label)


def _ground(tags: dict[str, str]) -> Ground | None:
    if "golf" in tags:
        return GOLF.get(tags["golf"])
    if "natural" in tags:
        return NATURAL.get(tags["natural"])
    return Ground.RED if "waterway" in tags else None


# --- holes ----------------------------------------------------------------------------------------


def _holes(reading: Reading, pieces: list[Piece]) -> tuple[Hole, ...]:
    drawn = defaultdict(list)
    for piece in pieces:
        drawn[piece.tags.get("golf")].append(piece)
    lines = {
        number: _from_the_tee(reading, line, drawn["tee"], drawn["green"])
        for number, line in _numbered(reading, drawn["hole"]).items()
    }
    tees: dict[int, list[Piece]] = defaultdict(list)
    greens: dict[int, list[Piece]] = defaultdict(list)
    for piece in drawn["tee"]:
        owner = _nearest(piece, lines)
        if owner is not None:
            tees[owner].append(piece)
    for piece in drawn["green"]:
        for number, line in lines.items():
            if piece.shape.distance(Point(line.shape.coords[-1])) < FAR_FROM_LINE:
                greens[number].append(piece)
    pins = [piece.shape for piece in drawn["pin"]]
    return tuple(
        _hole(reading, number, lines[number], tees[number], greens[number], pins=pins)
        for number in sorted(lines)
    )


def _numbered(reading: Reading, drawn: list[Piece]) -> dict[int, Piece]:
    """Return the lines of holes by number."""
    lines: dict[int, Piece] = {}
    for piece in (piece for piece in drawn if _states(reading, piece, "ref")):
        number = _whole(reading, piece, "ref", 1, 99)
        if number not in lines:
            lines[number] = piece
        elif piece.shape.hausdorff_distance(lines[number].shape) < SAME_LINE:
            reading.guess(piece.label, f"is hole {number} a second time, and was left out", "take one out")
        else:
            problem = f"is hole {number} a second time"
            raise InputError(reading.file, piece.label, problem, "give each hole its own ref")
    for piece in (piece for piece in drawn if "ref" not in piece.tags):
        number = next(number for number in range(1, len(drawn) + 1) if number not in lines)
        reading.guess(piece.label, f"has no number, and was taken for hole {number}", "add its ref")
        lines[number] = piece
    return lines


def _from_the_tee(reading: Reading, line: Piece, tees: list[Piece], greens: list[Piece]) -> Piece:
    """Return a hole's line as it is played, whichever way it was drawn."""
    start, end = Point(line.shape.coords[0]), Point(line.shape.coords[-1])

    def off(tee: Point, pin: Point) -> float:
        return sum(
            min((piece.shape.distance(point) for piece in pieces), default=0.0)
            for point, pieces in ((tee, tees), (pin, greens))
        )

    if off(end, start) + FAR_FROM_LINE > off(start, end):
        return line
    reading.guess(line.label, "runs from green to tee, and was turned round", "draw it from tee to pin")
    return replace(line, shape=line.shape.reverse())


def _nearest(tee: Piece, lines: dict[int, Piece]) -> int | None:
    """Return the hole whose line starts or runs nearest to a tee; by its own ref where it has one."""
    own = tee.tags.get("ref", "")
    if own.isdecimal() and len(own) <= 2 and int(own) in lines:
        return int(own)
    distance, number = min((line.shape.distance(tee.shape), number) for number, line in lines.items())
    return number if distance < FAR_FROM_LINE else None


def _hole(
    reading: Reading,
    number: int,
    line: Piece,
    tees: list[Piece],
    greens: list[Piece],
    *,
    pins: list[BaseGeometry],
) -> Hole:
    file = reading.file
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
        name = _tee_name(tee) or f"tee {len(placed) + 1}"
        placed.append(Tee(name, middle.x, middle.y, line.shape.length - along))
    if placed[0].length < SHORTEST:
        raise InputError(file, line.label, "is shorter than 30 yd", "draw its line from tee to pin")
    return Hole(
        number=number,
        par=_par(reading, line, placed[0].length),
        stroke_index=_whole(reading, line, "handicap", 1, 18) if "handicap" in line.tags else None,
        line=cast("LineString", line.shape),  # as _plane saw
        tees=tuple(placed),
        green=green,
        pin=(pin.x, pin.y),
    )


def _tee_name(tee: Piece) -> str | None:
    """Return a tee's name: a colour or a word; its ref may also be the number of its hole."""
    ref = tee.tags.get("ref", "")
    return tee.tags.get("tee") or (None if ref.isdecimal() else ref) or tee.tags.get("name")


def _par(reading: Reading, line: Piece, length: float) -> int:
    if _states(reading, line, "par"):
        return _whole(reading, line, "par", 3, 7)
    par = 3 + sum(length > most for most in LONGEST)
    reading.guess(line.label, f"has no par, and was taken for a par {par} by its length", "add its par")
    return par


def _states(reading: Reading, piece: Piece, key: str) -> bool:
    """Return whether a feature has a tag."""
    if key in piece.tags:
        return True
    meant = suggest(key, [tag for tag in piece.tags if tag not in ("golf", "handicap", "name", "tee")])
    if meant:
        raise InputError(reading.file, piece.label, f"has no {key}", f"is {meant!r} meant to be {key!r}?")
    return False


def _whole(reading: Reading, piece: Piece, key: str, low: int, high: int) -> int:
    try:
        value = float(piece.tags[key])
    except ValueError:
        value = math.nan
    if not (low <= value <= high and value == int(value)):
        problem = f"{key}={piece.tags[key]:.30} is not a number from {low} to {high}"
        raise InputError(reading.file, piece.label, problem, f"correct {key}")
    return int(value)
