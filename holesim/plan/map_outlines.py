"""Outlines of a hole and of a strike's finishes, in plain coordinates for a plan file."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from holesim.common.density import SHARES, outlines
from holesim.course.course import Course, bare_ground, grounds
from holesim.course.holes import Hole

Floats = NDArray[np.float64]

_ROUND: Final = 80.0  # m of the course to either side of a hole's line
_MARGIN: Final = 12.0  # m, about the drives
_COARSE: Final = 0.4  # m, within which an outline is true
_SHOWN: Final = 160  # drives of a strike


def hole_dict(course: Course, hole: Hole, drives: Iterable[Floats], unmapped: str | None) -> dict[str, Any]:
    """Return a hole as a plan file has it.

    Parameters
    ----------
    drives
        Where the drives of each strike finish [m], shape (drives, 2); the map shows these places.
    """
    reached = [shapely.box(*np.quantile(points, (0.02, 0.98), axis=0).ravel()) for points in drives]
    window = shapely.union_all([hole.line.buffer(_ROUND), *reached]).convex_hull.buffer(_MARGIN)
    return {
        "hole": hole.number,
        "par": hole.par,
        "stroke_index": hole.stroke_index,
        "pin": _rounded(np.array(hole.pin)),
        "line": _rounded(shapely.get_coordinates(hole.line.simplify(_COARSE))),
        "bare": bare_ground(course, unmapped).name.lower(),
        "window": polygon_rings(window)[0],
        "ground": {
            ground.name.lower(): polygon_rings(shape.intersection(window))
            for ground, shape in grounds(course, window).items()
        },
    }


def drives_dict(points: Floats) -> Mapping[str, Any]:
    """Return where a strike's drives finish, shape (drives, 2) [m], as a plan file has it."""
    some = points[np.linspace(0, len(points) - 1, min(_SHOWN, len(points))).astype(np.int64)]
    return {
        "finishes": _rounded(some),
        "outlines": outlines_list(points),
    }


def outlines_list(points: Floats) -> list[dict[str, Any]]:
    """Return the outlines within which each of `SHARES` of points lies, shape (points, 2) [m]."""
    return [
        {"share": share, "polygons": polygon_rings(shape)}
        for share, shape in zip(SHARES, outlines(points, SHARES), strict=True)
    ]


def polygon_rings(shape: BaseGeometry) -> list[list[list[list[float]]]]:
    """Return the rings of each polygon of a shape [m], the outer one first, to the decimetre."""
    parts = [part for part in shapely.get_parts(shape.simplify(_COARSE)) if part.geom_type == "Polygon"]
    rings = ((part.exterior, *part.interiors) for part in parts)
    return [[_rounded(shapely.get_coordinates(ring)) for ring in polygon] for polygon in rings]


def _rounded(points: Floats) -> Any:  # noqa: ANN401 - nested lists
    """Return coordinates to the decimetre."""
    return (np.round(points, 1) + 0.0).tolist()
