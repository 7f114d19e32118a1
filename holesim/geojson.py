"""GeoJSON: the features of a file, with OpenStreetMap's tags, as shapes on a plane."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.errors import Guess, InputError, printable

KINDS: Final = ("golf", "natural", "leisure", "waterway")  # keys that say what a feature is
SLIP: Final = 0.02  # of an area, by which an outline that crosses itself may leave open what it encloses
_READ: Final = (
    *KINDS, "ref", "par", "handicap", "name", "tee", "width", "height", "ele", "firmness", "@id",
)  # fmt: skip


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


Plane = Callable[[object], NDArray[np.float64]]
"""From positions as the file gives them to the plane."""


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


def label_of(feature: dict[str, Any], tags: dict[str, str]) -> str:
    """Return what to call a feature: what it is, and its own name or number."""
    kind = next((f"{key}={tags[key]}" for key in KINDS if key in tags), "feature")
    own = feature.get("id")
    name = (
        own if isinstance(own, str | int) and own else tags.get("@id") or tags.get("name") or tags.get("ref")
    )
    return f"{kind} {name!s:.60}" if name else kind


def tags_of(feature: dict[str, Any]) -> dict[str, str]:
    """Return a feature's tags as text."""
    # Exports carry lists and tables of their own beside the tags.
    return {
        key: printable(str(value))
        for key, value in (feature.get("properties") or {}).items()
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


def shapes_of(reading: Reading, label: str, geometry: dict[str, Any], plane: Plane) -> list[BaseGeometry]:
    """Return a geometry as shapes on the plane, the parts of what has several apart.

    Raises
    ------
    InputError
        If it is no Point, LineString, Polygon or MultiPolygon, or its outline does not hold.
    """
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    if kind == "Point":
        return [Point(plane([coordinates])[0])]
    if kind == "LineString":
        points = plane(coordinates)
        if len(points) < 2:
            raise InputError(reading.file, label, "is a line of one point", "draw at least two")
        return [LineString(points)]
    if kind == "Polygon":
        return [*_polygon(reading, label, coordinates, plane)]
    if kind == "MultiPolygon":
        if not isinstance(coordinates, list) or not coordinates:
            raise InputError(reading.file, label, "has no polygons", "draw it again or take it out")
        return [shape for part in coordinates for shape in _polygon(reading, label, part, plane)]
    problem = f"is a {kind:.30}" if isinstance(kind, str) else "has no geometry type"
    raise InputError(reading.file, label, problem, "draw it as a Point, LineString, Polygon or MultiPolygon")


def _polygon(reading: Reading, label: str, rings: object, plane: Plane) -> list[Polygon]:
    if not isinstance(rings, list) or not rings:
        raise InputError(reading.file, label, "has no rings", "draw it again or take it out")
    flat = []
    for index, ring in enumerate(rings):
        place = f"{label}, ring {index + 1}"
        points = positions(reading.file, place, ring)
        if len(points) < 4 or (points[0] != points[-1]).any():
            remedy = "end it on its first position, four or more in all"
            raise InputError(reading.file, place, "is not closed", remedy)
        flat.append(plane(ring))
    return _sound(reading, label, Polygon(flat[0], flat[1:]))


def enclosed(reading: Reading, label: str, line: LineString) -> list[Polygon]:
    """Return what a closed line encloses.

    Raises
    ------
    InputError
        If it crosses itself by more than a slip.
    """
    return _sound(reading, label, Polygon(line.coords))


def _sound(reading: Reading, label: str, polygon: Polygon) -> list[Polygon]:
    """Return a polygon, without the loops of a hand that slipped if it crosses itself."""
    if polygon.is_valid:
        return [polygon]
    reason = shapely.is_valid_reason(polygon).split("[")[0].strip().lower()
    mended = shapely.make_valid(polygon, method="structure", keep_collapsed=False)
    parts = [part for part in shapely.get_parts(mended) if isinstance(part, Polygon) and part.area > 0]
    # A loop that runs the other way counts against the area as drawn: if the two differ, which is meant?
    whole = sum(part.area for part in parts)
    if whole == 0 or abs(whole - polygon.area) > SLIP * whole:
        problem = f"has an outline that does not hold ({reason})"
        raise InputError(reading.file, label, problem, "redraw where it crosses")
    reading.guess(label, f"is read without the loops of its outline ({reason})", "redraw where it crosses")
    return parts
