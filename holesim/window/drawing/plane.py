"""Positions of a course file on a plane in metres, and back, keeping the positions that did not move."""

import math
from collections.abc import Callable, Iterator
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim.course.geojson import make_projection

Geometry = dict[str, Any]
Position = list[float]

_DECIMALS: Final = 3  # of a metre on the plane
_DEGREES: Final = 7  # decimals of a degree: a centimetre
_KINDS: Final = {
    "Point": 0,
    "MultiPoint": 1,
    "LineString": 1,
    "MultiLineString": 2,
    "Polygon": 2,
    "MultiPolygon": 3,
}
"""Geometries, and how deep in their coordinates a position lies."""


class Plane:
    """A plane that touches the earth at a longitude and latitude [°]; x points east and y north [m]."""

    def __init__(self, origin: tuple[float, float]) -> None:
        self.origin = origin
        self._project = make_projection(*origin)

    def to_plane(self, geometry: Geometry) -> Geometry:
        """Return a geometry in longitude and latitude on the plane.

        Raises
        ------
        ValueError
            If it has positions that are none.
        """
        return _mapped(geometry, self.forward)

    def to_earth(self, drawn: Geometry, before: Geometry | None = None) -> Geometry:
        """Return a geometry of the plane in longitude and latitude.

        Parameters
        ----------
        before
            The geometry in longitude and latitude that was there; positions that did not move stay as in it.
        """
        kept: dict[tuple[float, ...], Position] = {}
        if before is not None:
            places = [*positions(before)]
            kept = {tuple(x): p for x, p in zip(self.forward(places), places, strict=True)}

        def back(places: list[Position]) -> list[Position]:
            new = self.inverse(places)
            rounded = [tuple(round(part, _DECIMALS) for part in place[:2]) for place in places]
            return [kept.get(key, place) for key, place in zip(rounded, new, strict=True)]

        return _mapped(drawn, back)

    def point_to_earth(self, x: float, y: float) -> tuple[float, float]:
        """Return the longitude and latitude of a point [°]."""
        ((longitude, latitude),) = self.inverse([[x, y]])
        return longitude, latitude

    def point_to_plane(self, longitude: float, latitude: float) -> tuple[float, float]:
        """Return the point at a longitude and latitude [m]."""
        ((x, y),) = self.forward([[longitude, latitude]])
        return x, y

    def moved(self, geometry: Geometry, goal: "Plane", turn: float) -> Geometry:
        """Return a geometry in longitude and latitude moved to another plane, and turned clockwise [°] there.

        Lengths and angles stay; the origin comes to lie at the other's origin.
        """
        angle = math.radians(turn)
        matrix = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
        return _mapped(
            geometry, lambda places: goal.inverse((_array(self.forward(places)) @ matrix).tolist())
        )

    def forward(self, places: list[Position]) -> list[Position]:
        """Return positions on the plane [m]; raise a `ValueError` if they are not on the earth."""
        points = _array(places)
        if (abs(points) > (360, 90)).any():
            raise ValueError("not degrees")
        flat = np.column_stack(self._project(points[:, 0], points[:, 1])).round(_DECIMALS)
        if not np.isfinite(flat).all():
            raise ValueError("not on this plane")
        found: list[Position] = (flat + 0.0).tolist()
        return found

    def inverse(self, places: list[Position]) -> list[Position]:
        """Return positions of the plane in longitude and latitude [°]."""
        points = _array(places)
        degrees = np.column_stack(self._project(points[:, 0], points[:, 1], inverse=True)).round(_DEGREES)
        if not np.isfinite(degrees).all():
            raise ValueError("not on the earth")
        found: list[Position] = (degrees + 0.0).tolist()
        return found


def _array(places: list[Position]) -> NDArray[np.float64]:
    points = np.array([place[:2] for place in places], dtype=np.float64).reshape(len(places), 2)
    if not np.isfinite(points).all():
        raise ValueError("not numbers")
    return points


def positions(geometry: Geometry) -> Iterator[Position]:
    """Yield every position of a geometry; raise a `ValueError` where there should be one and is none."""
    if geometry.get("type") == "GeometryCollection":
        parts = geometry.get("geometries")
        if not isinstance(parts, list) or not all(isinstance(part, dict) for part in parts):
            raise ValueError("no geometries")
        for part in parts:
            yield from positions(part)
        return
    depth = _KINDS.get(str(geometry.get("type")))
    if depth is None:
        raise ValueError("no geometry")
    yield from _leaves(geometry.get("coordinates"), depth)


def _leaves(inside: object, depth: int) -> Iterator[Position]:
    if not isinstance(inside, list):
        raise ValueError("no coordinates")  # noqa: TRY004 - of the file, not of the code
    if depth:
        for part in inside:
            yield from _leaves(part, depth - 1)
        return
    if len(inside) < 2 or not all(type(part) in (int, float) for part in inside[:2]):
        raise ValueError("no position")
    yield inside


def _mapped(geometry: Geometry, change: Callable[[list[Position]], list[Position]]) -> Geometry:
    """Return a geometry with other positions, all of which are changed at once."""
    places = [*positions(geometry)]
    new = iter(change(places) if places else ())

    def rebuilt(part: Geometry) -> Geometry:
        if part["type"] == "GeometryCollection":
            return {"type": part["type"], "geometries": [rebuilt(one) for one in part["geometries"]]}
        return {"type": part["type"], "coordinates": filled(part["coordinates"], _KINDS[part["type"]])}

    def filled(inside: list[Any], depth: int) -> list[Any]:
        return [filled(part, depth - 1) for part in inside] if depth else next(new)

    return rebuilt(geometry)
