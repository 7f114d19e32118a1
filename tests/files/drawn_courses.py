"""A course drawn by hand for tests: positions in metres from a back tee, features, and a sound par 4."""

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

from holesim.course.course import Course

Json = dict[str, Any]
Damage = Callable[[Json], None]

GEOD = Geod(ellps="WGS84")
NAME = "links.geojson"
LATITUDE, LONGITUDE = -41.5, -127.3
CORNER, PIN = (0, 230), (120, 380)  # m east and north of the back tee


def at(east: float, north: float) -> list[float]:
    """Return a GeoJSON position so many metres from the back tee."""
    bearing = math.degrees(math.atan2(east, north))
    longitude, latitude, _ = GEOD.fwd(LONGITUDE, LATITUDE, bearing, math.hypot(east, north))
    return [longitude, latitude]


def length_of(line: list[list[float]]) -> float:
    """Return how long a line of positions is on the ellipsoid [m]."""
    return float(GEOD.line_length([spot[0] for spot in line], [spot[1] for spot in line]))


def ring(west: float, south: float, east: float, north: float) -> list[list[float]]:
    return [at(west, south), at(east, south), at(east, north), at(west, north), at(west, south)]


def feature(name: str, kind: str, coordinates: object, /, **tags: object) -> Json:
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "id": name, "properties": tags, "geometry": geometry}


def area(name: str, /, *rings: list[list[float]], **tags: object) -> Json:
    return feature(name, "Polygon", list(rings), **tags)


def sound() -> Json:
    """Return a par 4 that bends right after 230 m: two tees, a green and a fairway."""
    line = [at(0, 0), at(*CORNER), at(*PIN)]
    return {
        "type": "FeatureCollection",
        "features": [
            feature("h1", "LineString", line, golf="hole", ref="1", par="4", handicap="7"),
            area("t1", ring(-6, -6, 6, 6), golf="tee", tee="back"),
            area("t2", ring(-6, 44, 6, 56), golf="tee", tee="front"),
            area("g1", ring(108, 368, 132, 392), golf="green"),
            area("f1", ring(-20, 130, 20, 240), golf="fairway"),
        ],
    }


HOLE, BACK, FRONT, GREEN, FAIRWAY = range(5)


def put(index: int, *path: str | int, value: object) -> Damage:
    """Return a damage that puts a value somewhere in a feature."""

    def damage(course: Json) -> None:
        place = course["features"][index]
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value

    return damage


def tag(index: int, key: str, value: object) -> Damage:
    return put(index, "properties", key, value=value)


def drop(index: int) -> Damage:
    def damage(course: Json) -> None:
        del course["features"][index]

    return damage


def add(*features: Json) -> Damage:
    def damage(course: Json) -> None:
        course["features"] += features

    return damage


def moved_by(course: Json, east: float, north: float, **tags: object) -> list[Json]:
    """Return a course's features so far from where they are; `tags` are its hole's."""
    degrees = np.array(at(east, north)) - at(0, 0)

    def move(values: Any) -> Any:  # noqa: ANN401 - positions at any depth
        if isinstance(values[0], float):
            return (np.array(values) + degrees).tolist()
        return [move(value) for value in values]

    for moved in course["features"]:
        moved["id"] += "b"
        moved["geometry"]["coordinates"] = move(moved["geometry"]["coordinates"])
    course["features"][HOLE]["properties"] |= tags
    return list(course["features"])


def said(course: Course) -> list[str]:
    return [str(guess) for guess in course.guesses]


def plane(
    course: Course, spots: Sequence[tuple[float, float]]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return spots, so many metres from the back tee, on the course's plane."""
    x, y = (np.array(values, dtype=np.float64) for values in zip(*spots, strict=True))
    x0, y0 = course.holes[0].line.coords[0]
    return x + x0, y + y0
