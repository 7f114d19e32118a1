"""The tables of a file of yardage-book notes, as a player writes them: distances in the file's own units."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator
from pydantic_core import PydanticCustomError

from holesim.common.toml_tables import Table
from holesim.course.course import Firmness
from holesim.course.ground_words import find_side, find_stakes
from holesim.errors import printable


def _distance_or_green(value: object) -> object:
    if value == "green" or (type(value) in (int, float) and 0 <= value <= 1000):  # type: ignore[operator]
        return value
    problem = "input should be a distance from 0 to 1000 or 'green'"
    raise PydanticCustomError("distance", problem, {"expected": "'green'"})


def _side(value: object) -> object:
    """Return a side by the word that golfers use for it; what is not known is left to the table."""
    return (isinstance(value, str) and find_side(value)) or value


def _middle(value: object) -> object:
    """Return a bunker's side: one across the hole is in its middle."""
    side = _side(value)
    return "middle" if side == "across" else side


def _stakes(value: object) -> object:
    return (isinstance(value, str) and find_stakes(value)) or value


_Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(printable)]
_Along = Annotated[float, Field(ge=0, le=1000)]
_AlongOrGreen = Annotated[float | Literal["green"], PlainValidator(_distance_or_green)]
_Size = Annotated[float, Field(ge=1, le=200)]
_Off = Annotated[float, Field(ge=0, le=150)]
_Height = Annotated[float, Field(ge=-500, le=6000)]
_Marked = Annotated[Literal["red", "yellow"], BeforeValidator(_stakes)]
_OneSide = Annotated[Literal["left", "right"], BeforeValidator(_side)]


class BendTable(Table):
    """A dogleg."""

    at: _Along
    side: _OneSide
    degrees: Annotated[float, Field(gt=0, le=120)]


class WidthTable(Table):
    """How wide the fairway is at one place."""

    at: _Along
    wide: Annotated[float, Field(ge=5, le=200)]


class FairwayTable(Table):
    """The fairway; `wide` is its width where it begins, or all along it."""

    SYNONYMS = {"width": "wide", "start": "from", "end": "to"}
    start: _Along | None = Field(None, alias="from")
    stop: _Along | None = Field(None, alias="to")
    wide: Annotated[float, Field(ge=5, le=200)] | None = None
    widths: list[WidthTable] = []
    firmness: Firmness | None = None


class GreenTable(Table):
    """The green."""

    SYNONYMS = {"width": "wide", "depth": "deep"}
    wide: Annotated[float, Field(ge=5, le=100)] | None = None
    deep: Annotated[float, Field(ge=5, le=100)] | None = None
    firmness: Firmness | None = None


class BunkerTable(Table):
    """A fairway bunker."""

    side: Annotated[Literal["left", "right", "middle"], BeforeValidator(_middle)]
    start: _Along = Field(alias="from")
    stop: _Along = Field(alias="to")
    off: Annotated[float, Field(ge=-100, le=100)] | None = None
    wide: _Size | None = None


class GreensideTable(Table):
    """A bunker beside the green."""

    side: Annotated[Literal["front", "left", "right", "back"], BeforeValidator(_side)]
    off: Annotated[float, Field(ge=0, le=50)] | None = None
    long: _Size | None = None
    wide: _Size | None = None


class StripTable(Table):
    """Ground that runs along the hole or across it, such as scrub or rough."""

    side: Annotated[Literal["left", "right", "across"], BeforeValidator(_side)]
    start: _Along = Field(alias="from")
    stop: _AlongOrGreen = Field("green", alias="to")
    off: _Off | None = None
    off_line: _Off | None = None
    wide: _Size | None = None


class WaterTable(StripTable):
    """A pond, or water along the hole."""

    marked: _Marked = "red"


class TreesTable(StripTable):
    """Trees along the hole."""

    side: _OneSide
    height: Annotated[float, Field(ge=1, le=120)] | None = None


class IslandTable(Table):
    """Water all around the green."""

    off: Annotated[float, Field(ge=0, le=50)] | None = None
    wide: _Size | None = None
    marked: _Marked = "red"


class OutTable(Table):
    """Out of bounds along the hole."""

    side: _OneSide
    start: _Along = Field(0.0, alias="from")
    stop: _AlongOrGreen | None = Field(None, alias="to")
    off: _Off | None = None
    off_line: _Off | None = None


class StreamTable(Table):
    """A stream across the hole."""

    at: _Along
    wide: Annotated[float, Field(gt=0, le=200)] | None = None
    marked: _Marked = "red"


class HeightTable(Table):
    """How high the ground lies at one place."""

    at: _AlongOrGreen
    height: _Height


class HoleTable(Table):
    """The notes of one hole."""

    SYNONYMS = {
        "dogleg": "bends", "doglegs": "bends", "handicap": "stroke_index", "hazards": "water",
        "yards": "length",
    }  # fmt: skip
    number: Annotated[int, Field(ge=1, le=99)]
    par: Annotated[int, Field(ge=3, le=7)]
    stroke_index: Annotated[int, Field(ge=1, le=18)] | None = None
    length: _Along | None = None
    tees: dict[_Name, _Along] = {}
    bearing: Annotated[float, Field(ge=0, le=360)] | None = None
    bends: list[BendTable] = []
    fairway: FairwayTable = FairwayTable()
    green: GreenTable = GreenTable()
    bunkers: list[BunkerTable] = []
    greenside: list[GreensideTable] = []
    water: list[WaterTable] = []
    island: IslandTable | None = None
    streams: list[StreamTable] = []
    out_of_bounds: list[OutTable] = []
    trees: list[TreesTable] = []
    scrub: list[StripTable] = []
    rough: list[StripTable] = []
    heights: list[HeightTable] = []


class NotesFile(Table):
    """A whole file of notes."""

    name: _Name
    units: Literal["yards", "metres"] = "yards"
    height_units: Literal["yards", "metres", "feet"] | None = None
    at: Annotated[list[float], Field(min_length=2, max_length=2)] | None = None
    firmness: Firmness | None = None
    # Each is checked by itself, so that a complaint can name the hole by its own number.
    holes: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=36)]
