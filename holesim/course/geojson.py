"""GeoJSON: the features of a file, with OpenStreetMap's tags, as shapes on a plane; and the way back."""

import json
import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Proj
from shapely.geometry import LinearRing, LineString, Point, Polygon, mapping
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from holesim.errors import Guess, InputError, printable

KINDS: Final = ("golf", "natural", "leisure", "waterway")  # keys that say what a feature is
LARGEST: Final = 25_000_000  # bytes; what is in them takes some 600 MB when read
SLIP: Final = 0.02  # of an area, by which an outline that crosses itself may leave open what it encloses
SLIVER: Final = 0.1  # m², below which an outline encloses nothing
SCRIBBLE: Final = 40.0  # times as long as it reaches across: no line on the ground winds so much
SHOWN: Final = 3  # features named where many have the same guess
_READ: Final = (
    *KINDS, "ref", "par", "handicap", "name", "tee", "colour", "width", "height", "ele", "firmness", "@id",
)  # fmt: skip
# The plane of longitude and latitude, as older files name it; newer ones may not name any (RFC 7946, 4).
_WGS84: Final = ("crs84", "epsg:4326", "epsg::4326", "epsg:4979", "epsg::4979")


@dataclass(frozen=True)
class Piece:
    """A feature on the plane."""

    label: str
    tags: dict[str, str]
    shape: BaseGeometry


@dataclass(frozen=True)
class Reading:
    """A file being read, and what had to be guessed so far."""

    file: str
    guesses: list[Guess] = field(default_factory=list)

    def guess(self, place: str, taken: str, remedy: str) -> None:
        """Note a guess."""
        self.guesses.append(Guess(place, taken, remedy))

    def gathered(self) -> tuple[Guess, ...]:
        """Return the guesses, those that are the same of many features as one."""
        places: dict[tuple[str, str], list[str]] = {}
        for guess in self.guesses:
            places.setdefault((guess.taken, guess.remedy), []).append(guess.place)
        return tuple(
            Guess(_listed(where), taken if len(where) == 1 else f"each {taken}", remedy)
            for (taken, remedy), where in places.items()
        )


class UnusableError(InputError):
    """A feature in order but of no use: a course can do without an area like that, not without a hole."""


Part = tuple[str, Any]
"""Point, LineString or Polygon, and its coordinates as the file gives them."""


class Feature(NamedTuple):
    """One feature of a course: its name, its shape on a plane [m, x east, y north] and its tags."""

    name: str
    shape: BaseGeometry
    tags: Mapping[str, object]


Plane = Callable[[str, object], NDArray[np.float64]]
"""From a place in the file and the positions there to the plane."""


def _listed(places: list[str]) -> str:
    if len(places) > SHOWN + 1:
        places = [*places[:SHOWN], f"{len(places) - SHOWN} more"]
    *first, last = places
    return f"{', '.join(first)} and {last}" if first else last


def features_of(file: str, raw: bytes) -> list[dict[str, Any]]:
    """Return the features of a GeoJSON FeatureCollection.

    Raises
    ------
    InputError
        If it is none.
    """
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
    _check_plane(file, content.get("crs"))
    features = content.get("features")
    if not isinstance(features, list) or not features:
        raise InputError(file, "features", "is not a list of features", "export the course's golf features")
    for index, feature in enumerate(features):
        _check_feature(file, f"feature {index + 1}", feature)
    return features


def _check_plane(file: str, crs: object) -> None:
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str) or not name.lower().endswith(_WGS84):
        problem = f"has positions in {name:.60}" if isinstance(name, str) else "names no known positions"
        raise InputError(file, "crs", problem, "export it in longitude and latitude (WGS 84)")


def _check_feature(file: str, place: str, feature: object) -> None:
    if not isinstance(feature, dict) or not isinstance(feature.get("properties") or {}, dict):
        raise InputError(file, place, "is not a GeoJSON Feature", "take it out or mend it")
    properties = _properties(feature)
    for key in _READ:
        if isinstance(properties.get(key), list | dict):
            raise InputError(file, place, f"holds more than one value for {key}", f"give {key} one value")


def _properties(feature: dict[str, Any]) -> dict[str, Any]:
    """Return what a feature says of itself; some query services keep its tags in a table of their own."""
    properties: dict[str, Any] = feature.get("properties") or {}
    tags = properties.get("tags")
    return properties | tags if isinstance(tags, dict) else properties


def label_of(feature: dict[str, Any], tags: dict[str, str]) -> str:
    """Return what to call a feature: what it is, and its own name or number."""
    kind = next((f"{key}={tags[key]:.30}" for key in KINDS if key in tags), "feature")
    own = feature.get("id")
    spoken = (tags.get(key) for key in ("@id", "id", "name", "ref"))
    name = own if isinstance(own, str | int) and own else next(filter(None, spoken), None)
    return f"{kind} {name!s:.60}" if name else kind


def tags_of(feature: dict[str, Any]) -> dict[str, str]:
    """Return a feature's tags as text."""
    # Exports carry lists and tables of their own beside the tags.
    return {
        key: printable(str(value))
        for key, value in _properties(feature).items()
        if isinstance(value, str | int | float)
    }


def positions(file: str, label: str, values: object) -> NDArray[np.float64]:
    """Return positions as an array of longitude and latitude.

    Raises
    ------
    InputError
        If they are no positions on the earth.
    """
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


def parts_of(file: str, label: str, geometry: object) -> list[Part]:
    """Return the points, lines and polygons of a geometry; none of a feature without a place.

    Raises
    ------
    InputError
        If it is no geometry.
    """
    parts: list[Part] = []
    left = [geometry]
    while left:
        one = left.pop()
        if one is None:
            continue
        if not isinstance(one, dict):
            raise InputError(file, label, "has no geometry", "draw it again or take it out")
        kind = one.get("type")
        inside = one.get("geometries" if kind == "GeometryCollection" else "coordinates")
        if inside == []:
            continue  # "interpreted as null objects" (RFC 7946, 3.1)
        if kind in ("Point", "LineString", "Polygon"):
            parts.append((kind, inside))
        elif kind not in ("MultiPoint", "MultiLineString", "MultiPolygon", "GeometryCollection"):
            problem = f"is a {kind:.30}" if isinstance(kind, str) else "has no geometry type"
            raise InputError(file, label, problem, "draw it as a Point, LineString, Polygon or MultiPolygon")
        elif not isinstance(inside, list):
            raise InputError(file, label, "has no positions", "draw it again or take it out")
        elif kind == "GeometryCollection":
            left += reversed(inside)
        else:
            parts += [(kind.removeprefix("Multi"), part) for part in inside]
    return parts


def rings_in(part: Part) -> int:
    """Return how many points, lines or rings there are to read in a part."""
    kind, inside = part
    return len(inside) if kind == "Polygon" and isinstance(inside, list) else 1


def shapes_of(reading: Reading, label: str, parts: list[Part], plane: Plane) -> list[BaseGeometry]:
    """Return the parts of a geometry as shapes on the plane; lines that meet end to end are one.

    Raises
    ------
    UnusableError
        If it has none, or encloses nothing.
    InputError
        If its positions are none, or its outline does not hold.
    """
    if not parts:
        raise UnusableError(reading.file, label, "has no place on the map", "draw it again or take it out")
    shapes: list[BaseGeometry] = []
    lines = []
    for kind, coordinates in parts:
        if kind == "Point":
            shapes.append(Point(plane(label, [coordinates])[0]))
        elif kind == "LineString":
            points = plane(label, coordinates)
            if len(points) < 2:
                raise InputError(reading.file, label, "is a line of one point", "draw at least two")
            lines.append(LineString(points))
        else:
            shapes += _polygon(reading, label, coordinates, plane)
    if len(lines) > 1:
        lines = [*shapely.get_parts(shapely.line_merge(shapely.multilinestrings(lines)))]
    if any(map(_is_scribble, lines)):
        raise InputError(reading.file, label, "crosses itself over and over", "draw it again or take it out")
    shapes += lines
    if not shapes:
        raise UnusableError(reading.file, label, "encloses nothing", "draw it again or take it out")
    return shapes


def _polygon(reading: Reading, label: str, rings: object, plane: Plane) -> list[Polygon]:
    if not isinstance(rings, list) or not rings:
        raise InputError(reading.file, label, "has no rings", "draw it again or take it out")
    closed = []
    for index, ring in enumerate(rings):
        place = f"{label}, ring {index + 1}"
        points = plane(place, ring)
        if (points[0] != points[-1]).any():
            reading.guess(place, "is open, and was closed", "end it on its first position")
            points = np.vstack([points, points[:1]])
        if len(points) >= 4:
            closed.append(points)
        elif index == 0:
            return []
    return _sound(reading, label, Polygon(closed[0], closed[1:]))


def filled(reading: Reading, label: str, shapes: list[BaseGeometry]) -> list[BaseGeometry]:
    """Return shapes with what closed lines enclose in their place, less what those within them enclose.

    Raises
    ------
    InputError
        If a line crosses itself by more than a slip.
    """
    kept: list[BaseGeometry] = []
    areas: list[BaseGeometry] = []
    for shape in shapes:
        if isinstance(shape, LineString) and shape.is_closed and len(shape.coords) > 3:
            areas += _sound(reading, label, Polygon(shape.coords))
        else:
            kept.append(shape)
    if len(areas) > 1:
        areas = [*polygons_in(shapely.build_area(shapely.geometrycollections(areas)))]
    return kept + areas


def _is_scribble(line: LineString) -> bool:
    """Return whether a line must cross itself so often that to work with it would take minutes.

    Lines laid at random in a square of diagonal d cross some 2·(length/d)²/π times (Crofton).
    """
    left, bottom, right, top = line.bounds
    return bool(line.length > SCRIBBLE * math.hypot(right - left, top - bottom))


def polygons_in(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons that a shape consists of, without what else is left of a cut."""
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > 0]


def _sound(reading: Reading, label: str, polygon: Polygon) -> list[Polygon]:
    """Return a polygon, each ring without the loops of a hand that slipped, less its inner rings.

    Nothing is returned of one that encloses nothing.
    """
    if polygon.is_valid and polygon.area > SLIVER:
        return [polygon]
    reason = shapely.is_valid_reason(polygon).split("[")[0].strip().lower()
    outer, *inner = (_mended(reading.file, label, ring) for ring in (polygon.exterior, *polygon.interiors))
    parts = polygons_in(shapely.difference(outer, shapely.union_all(inner)))
    if sum(part.area for part in parts) < SLIVER:
        return []
    reading.guess(label, f"had its outline mended ({reason})", "redraw where it crosses")
    return parts


def _mended(file: str, label: str, ring: LinearRing) -> BaseGeometry:
    drawn = Polygon(ring)
    if drawn.is_valid:
        return drawn
    reason = shapely.is_valid_reason(drawn).split("[")[0].strip().lower()
    fault = InputError(
        file, label, f"has an outline that does not hold ({reason})", "redraw where it crosses"
    )
    if _is_scribble(ring):
        raise fault
    mended = shapely.union_all(
        polygons_in(shapely.make_valid(drawn, method="structure", keep_collapsed=False))
    )
    # A loop that runs the other way counts against the area as drawn: if the two differ, which is meant?
    if abs(mended.area - drawn.area) > SLIP * mended.area:
        raise fault
    return mended


# --- and written --------------------------------------------------------------------------------------


def plane_about(longitude: float, latitude: float) -> Proj:
    """Return the projection to a plane that touches the earth at a place [°], true to scale there."""
    return Proj(f"+proj=aeqd +lon_0={longitude} +lat_0={latitude} +ellps=WGS84")


def to_geojson(features: Sequence[Feature], latitude: float, longitude: float) -> str:
    """Return features as GeoJSON about a place [°], one to a line, those that share a name numbered."""
    project = plane_about(longitude, latitude)

    def to_degrees(metres: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(project(metres[:, 0], metres[:, 1], inverse=True)).round(7)

    totals, seen = Counter(feature.name for feature in features), Counter[str]()
    lines = []
    for name, shape, tags in features:
        seen[name] += 1
        placed = shapely.transform(shape, to_degrees)
        record = {
            "type": "Feature",
            "id": f"{name} {seen[name]}" if totals[name] > 1 else name,
            "properties": tags,
            "geometry": mapping(orient(placed) if isinstance(placed, Polygon) else placed),
        }
        lines.append(json.dumps(record, separators=(",", ":")))
    return '{"type":"FeatureCollection","features":[\n' + ",\n".join(lines) + "\n]}\n"
