"""What the package's own checker says of a drawing, by feature, and where its holes lie."""

import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Final

import shapely
from shapely.geometry import shape
from shapely.geometry.base import BaseGeometry

from holesim.course.course import STREAM_WIDTH, Course
from holesim.course.course_file import parse_courses
from holesim.course.holes import Hole
from holesim.course.line_distances import LineFromTee
from holesim.errors import Guess, InputError
from holesim.reports.check_text import find_gaps
from holesim.units import YARD
from holesim.window.drawing.drawing import Drawing
from holesim.window.drawing.plane import Geometry, Plane

_SAME: Final = 0.75  # m, within which a tee or pin of a hole is the one that is drawn
_CROSSING: Final = re.compile(r"\[(-?[\d.e+-]+) (-?[\d.e+-]+)\]")
_HAZARDS: Final = ("bunker", "red", "yellow", "trees", "out")
_PAST_PIN: Final = 30 * YARD
_BESIDE: Final = 45 * YARD  # from a hole's line, within which a hazard is measured on it
_HOLES: Final = re.compile(r"\bholes? ([\d, ]*\d)")


@dataclass(frozen=True)
class Snapshot:
    """A drawing at one revision, to be checked while it goes on.

    Attributes
    ----------
    labels
        What messages call each feature, by its number.
    shapes
        The kind of each that has a place, and its geometry on the plane.
    lines
        The features that are holes' lines, by the number of the hole.
    """

    name: str
    revision: int
    raw: bytes
    plane: Plane
    labels: Mapping[int, str]
    shapes: Mapping[int, tuple[str, Geometry]]
    lines: Mapping[int, int]

    @classmethod
    def of(cls, drawing: Drawing) -> "Snapshot":
        """Return a drawing as it is now."""
        drawn = ((one, drawing.to_plane(one)) for one in drawing.features)
        return cls(
            drawing.name,
            drawing.revision,
            drawing.text().encode("utf-8"),
            drawing.plane,
            drawing.labels(),
            {one.number: (one.kind, geometry) for one, geometry in drawn if geometry is not None},
            {one.hole: one.number for one in drawing.features if one.kind == "line" and one.hole is not None},
        )


@dataclass(frozen=True)
class Checked:
    """What was found of a drawing: the courses by name, or no course, and what the page is told."""

    snapshot: Snapshot
    courses: Mapping[str, Course]
    answer: Mapping[str, Any]

    @classmethod
    def failed(cls, snapshot: Snapshot, text: str) -> "Checked":
        """Return that a drawing could not be checked."""
        fault = _said(snapshot, "fault", text, [])
        return cls(
            snapshot, {}, {"checked": snapshot.revision, "usable": False, "says": [fault], "holes": []}
        )


def check_drawing(snapshot: Snapshot) -> Checked:
    """Return what the checker says of a drawing."""
    file = snapshot.name.rpartition("/")[2]
    says: list[dict[str, Any]] = []
    courses: dict[str, Course] = {}
    try:
        courses = parse_courses(file, snapshot.raw)
    except InputError as error:
        text = f"{error.place}: {error.problem}" if error.place else error.problem
        says.append(_said(snapshot, "fault", f"{text}; {error.remedy}", [error.place]))
    for course in courses.values():
        for kind, guesses in (("guess", course.guesses), ("gap", find_gaps(course))):
            says += [_said_of_guess(snapshot, kind, guess) for guess in guesses]
    usable = bool(courses) and not any(one["kind"] == "fault" for one in says)
    placed = [
        (kind, shape(geometry).centroid)
        for kind, geometry in snapshot.shapes.values()
        if kind in ("tee", "pin")
    ]
    hazards = _hazards(snapshot)
    holes = [
        _hole_dict(snapshot, Plane(course.origin), hole, placed, hazards)
        for course in courses.values()
        for hole in course.holes
    ]
    answer = {"checked": snapshot.revision, "usable": usable, "says": says, "holes": holes}
    return Checked(snapshot, courses if usable else {}, answer)


def _said_of_guess(snapshot: Snapshot, kind: str, guess: Guess) -> dict[str, Any]:
    return _said(snapshot, kind, str(guess), guess.places or (guess.place,))


def _said(snapshot: Snapshot, kind: str, text: str, places: Iterable[str]) -> dict[str, Any]:
    """Return a line of the checker with the features that it speaks of."""
    places = [*places]
    ids = sorted({number for place in places for number in _named(snapshot, place)})
    hole = next((int(found[1].split(",")[0]) for place in places if (found := _HOLES.search(place))), None)
    at = next(filter(None, (_crossing(snapshot, number) for number in ids)), None)
    return {"ids": ids, "hole": hole, "kind": kind, "text": text, "at": at}


def _named(snapshot: Snapshot, place: str) -> list[int]:
    """Return the features that a place of a message names: the one whose label is the longest in it."""
    found = [number for number, label in snapshot.labels.items() if label == place]
    if found:
        return found
    inside = [
        (len(label), number)
        for number, label in snapshot.labels.items()
        if place.startswith(f"{label}, ") or f"({label})" in place
    ]
    longest = max(inside, default=(0, 0))[0]
    return [number for length, number in inside if length == longest]


def _crossing(snapshot: Snapshot, number: int) -> list[float] | None:
    """Return where an outline crosses itself."""
    kind_geometry = snapshot.shapes.get(number)
    if kind_geometry is None:
        return None
    try:
        drawn = shape(kind_geometry[1])
    except (ValueError, shapely.errors.ShapelyError):
        return None
    found = _CROSSING.search(shapely.is_valid_reason(drawn))
    return [round(float(found[1]), 2), round(float(found[2]), 2)] if found else None


def _hazards(snapshot: Snapshot) -> list[tuple[int, str, BaseGeometry]]:
    """Return the areas that a drive had better not finish in, each with its number and kind."""
    found = []
    for number, (kind, geometry) in snapshot.shapes.items():
        if kind not in _HAZARDS:
            continue
        with suppress(ValueError, shapely.errors.ShapelyError):
            drawn = shape(geometry)
            if drawn.geom_type.endswith("LineString"):
                drawn = drawn.buffer(STREAM_WIDTH / 2)
            if drawn.is_valid and drawn.area:
                found.append((number, kind, drawn))
    return found


def _numbers(
    hazards: Sequence[tuple[int, str, BaseGeometry]],
    hole: Hole,
    tee: list[float],
    place: Callable[[float, float], list[float]],
) -> Iterator[dict[str, Any]]:
    """Yield how far the hazards near a hole begin and end from its back tee [yd]."""
    line = shapely.LineString([tee, *(place(x, y) for x, y in hole.line.coords[1:])])
    measure, end = LineFromTee.of(line, (tee[0], tee[1])), math.dist(tee, line.coords[-1])
    for number, kind, drawn in hazards:
        if not drawn.dwithin(line, _BESIDE):
            continue
        near, far = measure.near_and_far(drawn)
        if far <= 0 or near > end + _PAST_PIN:  # behind the tee, or past the hole
            continue
        side = "across" if drawn.intersects(line) else _side(line, drawn.representative_point())
        yield {"id": number, "kind": kind, "from_yd": near / YARD, "to_yd": far / YARD, "side": side}


def _side(line: shapely.LineString, point: shapely.Point) -> str:
    """Return the side of a line on which a point lies, as seen along it."""
    at = line.project(point)
    (x, y), (u, v) = (line.interpolate(max(min(at + step, line.length), 0)).coords[0] for step in (-1.0, 1.0))
    return "left" if (u - x) * (point.y - y) - (v - y) * (point.x - x) > 0 else "right"


def _hole_dict(
    snapshot: Snapshot,
    own: Plane,
    hole: Hole,
    placed: Sequence[tuple[str, shapely.Point]],
    hazards: Sequence[tuple[int, str, BaseGeometry]],
) -> dict[str, Any]:
    """Return a hole; `own` is its course's plane, and `placed` has the tees and pins that are drawn."""

    def place(x: float, y: float) -> list[float]:
        return list(snapshot.plane.point_to_plane(*own.point_to_earth(x, y)))

    def guessed(kind: str, at: list[float]) -> bool:
        return not any(kind == one and middle.distance(shapely.Point(at)) < _SAME for one, middle in placed)

    tees = [(tee, place(tee.x, tee.y)) for tee in hole.tees]
    pin = place(*hole.pin)
    return {
        "hole": hole.number,
        "par": hole.par,
        "line": snapshot.lines.get(hole.number),
        "tees": [
            {"name": tee.name, "at": at, "length_yd": tee.length / YARD, "guessed": guessed("tee", at)}
            for tee, at in tees
        ],
        "pin": pin,
        "pin_guessed": guessed("pin", pin),
        "numbers": [*_numbers(hazards, hole, tees[0][1], place)],
    }
