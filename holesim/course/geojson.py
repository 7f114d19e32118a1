"""GeoJSON: reading features and their OpenStreetMap tags as shapes on a plane, and writing them."""

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
LARGEST: Final = 25_000_000  # bytes; such a file takes some 600 MB of memory when read
_MOST_UNSURE: Final = 0.02  # share of an area that an outline crossing itself may leave in doubt
_SMALLEST: Final = 0.1  # m²; an outline of less encloses nothing
_LONGEST_FOR_SIZE: Final = 40.0  # length over extent; no line on the ground winds more
_PLACES_SHOWN: Final = 3  # features named in a message that holds for many
_READ: Final = (
    *KINDS, "ref", "par", "handicap", "name", "tee", "colour", "width", "height", "ele", "firmness", "@id",
    "par:men", "par:women", "handicap:men", "handicap:women",
)  # fmt: skip
# How older files name longitude and latitude; newer ones may not name any system (RFC 7946, 4).
_WGS84: Final = ("crs84", "epsg:4326", "epsg::4326", "epsg:4979", "epsg::4979")


@dataclass(frozen=True)
class Piece:
    """One shape of a feature, on the plane; a feature of several parts has several pieces."""

    label: str
    tags: dict[str, str]
    shape: BaseGeometry


@dataclass(frozen=True)
class Reading:
    """The file being read, the guesses so far, and the names of courses whose outline is not drawn yet."""

    file: str
    guesses: list[Guess] = field(default_factory=list)
    names: list[str] = field(default_factory=list)

    def guess(self, place: str, taken: str, remedy: str) -> None:
        """Add a guess: where, what was taken, and what to do about it."""
        self.guesses.append(Guess(place, taken, remedy))

    def gathered(self) -> tuple[Guess, ...]:
        """Return the guesses; one that holds for several features is returned once."""
        places: dict[tuple[str, str], list[str]] = {}
        for guess in self.guesses:
            places.setdefault((guess.taken, guess.remedy), []).append(guess.place)
        return tuple(
            Guess(_join_places(where), taken if len(where) == 1 else f"each {taken}", remedy, tuple(where))
            for (taken, remedy), where in places.items()
        )


class UnusableError(InputError):
    """A feature that is sound GeoJSON but of no use: an area like this is left out, a hole is an error."""


Part = tuple[str, Any]
"""The type of a geometry (Point, LineString or Polygon) and its coordinates as the file has them."""


class Feature(NamedTuple):
    """One feature of a course: its name, its shape on a plane [m, x east, y north] and its tags."""

    name: str
    shape: BaseGeometry
    tags: Mapping[str, object]


Plane = Callable[[str, object], NDArray[np.float64]]
"""A function of a place in the file and positions; it returns them on the plane, (points, 2) [m]."""


def _join_places(places: list[str]) -> str:
    if len(places) > _PLACES_SHOWN + 1:
        places = [*places[:_PLACES_SHOWN], f"{len(places) - _PLACES_SHOWN} more"]
    *first, last = places
    return f"{', '.join(first)} and {last}" if first else last


def read_features(file: str, raw: bytes) -> list[dict[str, Any]]:
    """Return the features of a GeoJSON FeatureCollection.

    Raises
    ------
    InputError
        If `raw` is not a FeatureCollection.

    Examples
    --------
    >>> read_features("empty.geojson", b"{}")
    Traceback (most recent call last):
        ...
    holesim.errors.InputError: empty.geojson: is not a GeoJSON FeatureCollection; export the course as GeoJSON
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
        raise InputError(file, place, problem, "correct it or export it again") from None
    except RecursionError:
        raise InputError(file, "", "is nested too deeply to be a course", "export it again") from None
    except ValueError:
        raise InputError(file, "", "has a number of too many digits", "export it again") from None
    if not isinstance(content, dict) or content.get("type") != "FeatureCollection":
        raise InputError(file, "", "is not a GeoJSON FeatureCollection", "export the course as GeoJSON")
    _check_crs(file, content.get("crs"))
    features = content.get("features")
    if not isinstance(features, list) or not features:
        raise InputError(file, "features", "is not a list of features", "export the course's golf features")
    for index, feature in enumerate(features):
        _check_feature(file, f"feature {index + 1}", feature)
    return features


def _check_crs(file: str, crs: object) -> None:
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str) or not name.lower().endswith(_WGS84):
        problem = f"has positions in {name:.60}" if isinstance(name, str) else "names no known positions"
        raise InputError(file, "crs", problem, "export it in longitude and latitude (WGS 84)")


def _check_feature(file: str, place: str, feature: object) -> None:
    if not isinstance(feature, dict) or not isinstance(feature.get("properties") or {}, dict):
        raise InputError(file, place, "is not a GeoJSON Feature", "take it out or correct it")
    properties = _properties(feature)
    for key in _READ:
        if isinstance(properties.get(key), list | dict):
            raise InputError(file, place, f"holds more than one value for {key}", f"give {key} one value")


def _properties(feature: dict[str, Any]) -> dict[str, Any]:
    """Return the properties of a feature; some query services keep its tags in a table among them."""
    properties: dict[str, Any] = feature.get("properties") or {}
    tags = properties.get("tags")
    return properties | tags if isinstance(tags, dict) else properties


def feature_labels(features: Sequence[dict[str, Any]]) -> list[str]:
    """Return what messages call each feature: its kind and name, and its place where another shares it.

    Examples
    --------
    >>> feature_labels([{"properties": {"golf": kind}} for kind in ("green", "bunker", "bunker")])
    ['golf=green', 'golf=bunker (feature 2)', 'golf=bunker (feature 3)']
    """
    labels = [_label(feature, feature_tags(feature)) for feature in features]
    shared = Counter(labels)
    return [
        f"{label} (feature {place})" if shared[label] > 1 else label for place, label in enumerate(labels, 1)
    ]


def _label(feature: dict[str, Any], tags: dict[str, str]) -> str:
    kind = next((f"{key}={tags[key]:.30}" for key in KINDS if key in tags), "feature")
    own = feature.get("id")
    spoken = (tags.get(key) for key in ("@id", "id", "name", "ref"))
    name = own if isinstance(own, str | int) and own else next(filter(None, spoken), None)
    return f"{kind} {name!s:.60}" if name else kind


def feature_tags(feature: dict[str, Any]) -> dict[str, str]:
    """Return a feature's tags as text."""
    # Exports have lists and tables beside the tags, which are passed over.
    return {
        key: printable(str(value))
        for key, value in _properties(feature).items()
        if isinstance(value, str | int | float)
    }


def read_positions(file: str, label: str, values: object) -> NDArray[np.float64]:
    """Return positions as an array of longitude and latitude [°], shape (positions, 2).

    Raises
    ------
    InputError
        If they are not positions on the earth.
    """
    if not isinstance(values, list) or not values:
        raise InputError(file, label, "has no positions", "draw it again or take it out")
    # numpy would accept strings and booleans as numbers.
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


def read_parts(file: str, label: str, geometry: object) -> list[Part]:
    """Return the points, lines and polygons of a geometry; an empty list if it is null or empty.

    Raises
    ------
    InputError
        If it is not a geometry.
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


def count_rings(part: Part) -> int:
    """Return the number of points, lines or rings in a part."""
    kind, inside = part
    return len(inside) if kind == "Polygon" and isinstance(inside, list) else 1


def place_shapes(reading: Reading, label: str, parts: list[Part], plane: Plane) -> list[BaseGeometry]:
    """Return the parts of a geometry as shapes on the plane; lines that meet end to end become one.

    Raises
    ------
    UnusableError
        If there are no parts, or they enclose nothing.
    InputError
        If they are not positions, or an outline crosses itself in more than small loops.
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
    if any(map(_is_tangled, lines)):
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
    return _repaired(reading, label, Polygon(closed[0], closed[1:]))


def fill_closed_lines(reading: Reading, label: str, shapes: list[BaseGeometry]) -> list[BaseGeometry]:
    """Return shapes in which closed lines have become areas; a line inside another cuts its area out.

    Raises
    ------
    InputError
        If a line crosses itself in more than small loops.
    """
    kept: list[BaseGeometry] = []
    areas: list[BaseGeometry] = []
    for shape in shapes:
        if isinstance(shape, LineString) and shape.is_closed and len(shape.coords) > 3:
            areas += _repaired(reading, label, Polygon(shape.coords))
        else:
            kept.append(shape)
    if len(areas) > 1:
        areas = [*polygons_of(shapely.build_area(shapely.geometrycollections(areas)))]
    return kept + areas


def _is_tangled(line: LineString) -> bool:
    """Return whether a line is bound to cross itself so often that handling it would take minutes.

    Lines laid at random in a square of diagonal d cross some 2·(length/d)²/π times (Crofton's formula).
    """
    left, bottom, right, top = line.bounds
    return bool(line.length > _LONGEST_FOR_SIZE * math.hypot(right - left, top - bottom))


def polygons_of(shape: BaseGeometry) -> list[Polygon]:
    """Return the polygons of a shape, without the points and lines that a cut may leave."""
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > 0]


def _repaired(reading: Reading, label: str, polygon: Polygon) -> list[Polygon]:
    """Return a polygon without the small loops in which its rings cross themselves.

    The list is empty if the polygon encloses nothing, and has several parts if inner rings divide it.
    """
    if polygon.is_valid and polygon.area > _SMALLEST:
        return [polygon]
    reason = shapely.is_valid_reason(polygon).split("[")[0].strip().lower()
    outer, *inner = (
        _repaired_ring(reading.file, label, ring) for ring in (polygon.exterior, *polygon.interiors)
    )
    parts = polygons_of(shapely.difference(outer, shapely.union_all(inner)))
    if sum(part.area for part in parts) < _SMALLEST:
        return []
    reading.guess(label, f"had its outline repaired ({reason})", "redraw where it crosses")
    return parts


def _repaired_ring(file: str, label: str, ring: LinearRing) -> BaseGeometry:
    drawn = Polygon(ring)
    if drawn.is_valid:
        return drawn
    reason = shapely.is_valid_reason(drawn).split("[")[0].strip().lower()
    fault = InputError(file, label, f"has an outline that is not valid ({reason})", "redraw where it crosses")
    if _is_tangled(ring):
        raise fault
    repaired = shapely.union_all(
        polygons_of(shapely.make_valid(drawn, method="structure", keep_collapsed=False))
    )
    # A loop that runs the other way counts against the area as drawn. If the two areas differ, it is not
    # clear which is meant.
    if abs(repaired.area - drawn.area) > _MOST_UNSURE * repaired.area:
        raise fault
    return repaired


# --- writing ------------------------------------------------------------------------------------------


def make_projection(longitude: float, latitude: float) -> Proj:
    """Return a projection to a plane that touches the earth at a place [°], true to scale there."""
    return Proj(f"+proj=aeqd +lon_0={longitude} +lat_0={latitude} +ellps=WGS84")


def to_geojson(features: Sequence[Feature], latitude: float, longitude: float) -> str:
    """Return features as GeoJSON text, one a line; features that share a name are numbered.

    Parameters
    ----------
    latitude, longitude
        Of the origin of the features' plane [°].

    Examples
    --------
    >>> pin = Feature("pin", Point(0.0, 100.0), {"golf": "pin"})
    >>> print(to_geojson([pin], 51.0, -20.0).splitlines()[1][:50])
    {"type":"Feature","id":"pin","properties":{"golf":
    """
    project = make_projection(longitude, latitude)

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
