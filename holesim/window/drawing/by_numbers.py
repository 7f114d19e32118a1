"""Holes and hazards drawn by their numbers, and drawn anew where their hole changes."""

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, Final, Literal

import shapely
from pydantic import Field
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, shape
from shapely.geometry.base import BaseGeometry

from holesim.common.toml_tables import Table
from holesim.course.course import Ground
from holesim.course.draw_from_notes import draw_hole
from holesim.course.ground_words import meaning
from holesim.course.holes import FAR_FROM_LINE, numbers_in
from holesim.course.noted_hazards import NotedHazard, draw_noted
from holesim.course.notes_file import read_hole
from holesim.course.yardage_notes import YARDS
from holesim.errors import InputError
from holesim.units import YARD
from holesim.window.drawing.drawing import Drawing, DrawnFeature, Texts
from holesim.window.drawing.plane import Geometry

USUAL: Final = "usual size"
"""Said of a fairway and a green whose size was not noted."""

_HAZARDS: Final = (Ground.BUNKER, Ground.RED, Ground.YELLOW, Ground.TREES, Ground.HEAVY_ROUGH, Ground.OUT)

# Usual sizes and places [yd]: common practice, no source.
_OFF: Final = {"bunker": 18.0, "out": 40.0}
_WIDE: Final = {"bunker": 10.0}
_OFF_LINE, _WIDTH, _ACROSS = 23.0, 40.0, 100.0

_Yards = Annotated[float, Field(ge=0, le=1000)]
_Place = Annotated[list[float], Field(min_length=2, max_length=2)]


class BendTable(Table):
    """A dogleg."""

    at_yd: _Yards
    side: Literal["left", "right"]
    degrees: Annotated[float, Field(gt=0, le=120)]


class HoleTable(Table):
    """A hole as the card and the book have it."""

    number: Annotated[int, Field(ge=1, le=99)]
    par: Annotated[int, Field(ge=3, le=7)]
    length_yd: _Yards
    stroke_index: Annotated[int, Field(ge=1, le=18)] | None = None
    bends: Annotated[list[BendTable], Field(max_length=6, default_factory=list)]


class NotedTable(Table):
    """The numbers of a hazard, straight from the back tee to the middle of the hole."""

    hole: int
    side: Literal["left", "right", "across"]
    from_yd: _Yards
    to_yd: _Yards
    off_yd: Annotated[float, Field(ge=0, le=300)] | None = None
    wide_yd: Annotated[float, Field(gt=0, le=500)] | None = None
    kind: str = ""
    word: Annotated[str, Field(max_length=60)] = ""


def new_hole(drawing: Drawing, asked: HoleTable, tee: Sequence[float], towards: Sequence[float]) -> list[str]:
    """Return the texts of a hole's line, back tee, fairway, green and pin.

    Parameters
    ----------
    tee
        The middle of the back tee [m].
    towards
        A point in the direction of the pin [m].

    Raises
    ------
    InputError
        If there is such a hole, or its numbers make no sense.
    """
    if line_of(drawing, asked.number) is not None:
        problem = f"hole {asked.number} is drawn already"
        raise InputError(drawing.name, "", problem, "give another number, or take that hole out first")
    if math.dist(tee, towards) < YARD:
        raise InputError(drawing.name, "", "tee and pin are one point", "click where the pin is")
    notes: dict[str, Any] = {
        "number": asked.number,
        "par": asked.par,
        "length": asked.length_yd,
        "tees": {"back": asked.length_yd},
        "bends": [{"at": bend.at_yd, "side": bend.side, "degrees": bend.degrees} for bend in asked.bends],
    }
    if asked.stroke_index is not None:
        notes["stroke_index"] = asked.stroke_index
    hole, _ = read_hole(notes, file=drawing.name, unit=YARDS)
    features = draw_hole(hole, file=drawing.name, unit=YARDS)
    x, y = features[0].shape.coords[-1]
    turn = math.atan2(x, y) - math.atan2(towards[0] - tee[0], towards[1] - tee[1])
    texts = []
    for feature in features:
        if feature.tags.get("golf") == "rough":  # what is not drawn is rough as it is
            continue
        turned = rotate(feature.shape, turn, origin=(0, 0), use_radians=True)
        tags: dict[str, Any] = dict(feature.tags)
        if tags.get("golf") in ("fairway", "green"):
            tags["guessed"] = USUAL
        texts.append(drawing.tagged_text(_geometry(translate(turned, *tee)), tags))
    return texts


def line_of(drawing: Drawing, hole: int) -> DrawnFeature | None:
    """Return the line of a hole, None if it has none."""
    return next((one for one in drawing.features if one.kind == "line" and one.hole == hole), None)


def line_from_tee(drawing: Drawing, hole: int) -> LineString:
    """Return a hole's line from the middle of its back tee [m]; raise an `InputError` if it has no line."""
    feature = line_of(drawing, hole)
    drawn = _shape(drawing, feature)
    if not isinstance(drawn, LineString) or drawn.length < YARD:
        raise InputError(drawing.name, f"hole {hole}", "has no line", "draw the hole first")
    tees = [*_tees(drawing, hole, drawn)]
    if not tees:
        return drawn
    back = min(tees, key=drawn.project)
    start = drawn.project(back)
    later = [point for point in drawn.coords if drawn.project(Point(point)) > start + YARD]
    return LineString([(back.x, back.y), *later])


def _tees(drawing: Drawing, hole: int, line: LineString) -> Iterator[Point]:
    """Yield the middles of a hole's tees: those that name it, or name none and lie near its line."""
    for feature in drawing.features:
        if feature.kind != "tee" or (drawn := _shape(drawing, feature)) is None:
            continue
        named = [number for number, _ in numbers_in(feature.tags.get("ref", "")) if number is not None]
        if hole in named or (not named and line.distance(drawn) < FAR_FROM_LINE):
            yield drawn.centroid


def _shape(drawing: Drawing, feature: DrawnFeature | None) -> BaseGeometry | None:
    geometry = None if feature is None else drawing.to_plane(feature)
    try:
        return None if geometry is None else shape(geometry)
    except ValueError:
        return None


def drawn_hazard(drawing: Drawing, asked: NotedTable, word: str) -> tuple[str, Geometry, dict[str, Any]]:
    """Return a hazard by its numbers: its kind, its geometry on the plane and its note.

    Raises
    ------
    InputError
        If the word is not known, the hole has no line, or the numbers make no sense on it.
    """
    ground = meaning(word).ground if word else Ground.__members__.get(asked.kind.upper())
    if ground is None or ground not in _HAZARDS:
        raise InputError("", word or asked.kind or "the hazard", "is no hazard", "draw its outline")
    kind, across = ground.name.lower(), asked.side == "across"
    off = 0.0 if across else _given(asked.off_yd, _OFF.get(kind, _OFF_LINE))
    wide = _given(asked.wide_yd, _ACROSS if across else _WIDE.get(kind, _WIDTH))
    noted = NotedHazard(ground, asked.side, asked.from_yd * YARD, asked.to_yd * YARD, wide * YARD, off * YARD)
    drawn = draw_noted(line_from_tee(drawing, asked.hole), noted)
    said = {"word": word or asked.word}
    note = asked.model_dump() | said | {"kind": kind, "off_yd": None if across else off, "wide_yd": wide}
    return kind, _geometry(drawn), note


def _geometry(drawn: BaseGeometry) -> Geometry:
    found: Geometry = json.loads(shapely.to_geojson(drawn))
    return found


def _given(value: float | None, usual: float) -> float:
    return usual if value is None else value


def redrawn(drawing: Drawing, before: Mapping[int, DrawnFeature]) -> Texts:
    """Return the texts of hazards whose hole's line or tees changed, drawn anew by their numbers.

    A hazard whose numbers make no sense any more stays as it is, without them.

    Parameters
    ----------
    before
        The features before the change, by their numbers.
    """
    moved = {
        one.hole
        for one in drawing.features
        if one.kind in ("line", "tee") and before.get(one.number) is not one
    }
    texts: dict[int, str | None] = {}
    for feature in drawing.features:
        noted = feature.noted
        if noted is None or before.get(feature.number) is not feature:
            continue
        if noted.get("hole") not in moved and None not in moved:
            continue
        try:
            _, geometry, note = drawn_hazard(drawing, NotedTable.model_validate(noted), "")
        except (InputError, ValueError):
            texts[feature.number] = feature.changed(properties={"noted": None})
            continue
        texts[feature.number] = feature.changed(
            geometry=drawing.plane.to_earth(geometry, feature.geometry), properties={"noted": note}
        )
    return texts
