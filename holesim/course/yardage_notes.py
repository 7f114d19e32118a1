"""Yardage-book notes: a TOML file in a player's words becomes holes in SI, gaps filled and listed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, Field, PlainValidator
from pydantic_core import PydanticCustomError

from holesim.common.toml_tables import Table, checked, read_toml
from holesim.course.course import STREAM_WIDTH, TREE_HEIGHT, Firmness, Ground
from holesim.course.holes import LONGEST, SHORTEST
from holesim.errors import Guess, InputError, printable
from holesim.units import DEGREE, FOOT, YARD

BEYOND: Final = 50 * YARD
"""How far past the middle of the green [m] a strip of trees or water may run."""

Side = Literal["left", "right", "across"]
RIGHTWARD: Final = {"left": -1.0, "right": 1.0}


@dataclass(frozen=True)
class Unit:
    """What the file's distances are in: its name, and its size [m]."""

    name: str
    size: float

    def shown(self, metres: float) -> str:
        """Return a distance [m] as the player would write it."""
        return f"{metres / self.size:.4g} {self.name}"


@dataclass(frozen=True)
class Bend:
    """A dogleg: how far along its middle is [m], and the turn [rad], right positive."""

    at: float
    turn: float


@dataclass(frozen=True)
class Fairway:
    """A fairway from `start` to `stop` [m along the hole]; `widths` are (how far along, how wide) [m]."""

    start: float
    stop: float
    widths: tuple[tuple[float, float], ...]
    firmness: Firmness | None


@dataclass(frozen=True)
class Green:
    """A green about the end of the hole's line: its extent [m] across the line of play and along it."""

    wide: float
    deep: float
    firmness: Firmness | None


@dataclass(frozen=True)
class Bunker:
    """A bunker from `start` to `stop` [m along the hole], `off` the fairway's edge and `wide` [m].

    One that is `across` stands in the middle of the hole, and has no `off`.
    """

    label: str
    side: Side
    start: float
    stop: float
    off: float
    wide: float


@dataclass(frozen=True)
class GreensideBunker:
    """A bunker `off` the green's edge [m], `long` beside it and `wide` away from it [m]."""

    label: str
    side: Literal["front", "left", "right", "back"]
    off: float
    long: float
    wide: float


@dataclass(frozen=True)
class Strip:
    """Ground of one kind from `start` to `stop` [m along the hole] and `wide` [m].

    It lies `off` [m] the edge of the fairway or, where so `measured`, the hole's line; one that is `across`
    lies half to either side of the line. Trees may have a `height` [m].
    """

    label: str
    ground: Ground
    side: Side
    start: float
    stop: float
    off: float
    measured: Literal["edge", "line"]
    wide: float
    height: float | None = None


@dataclass(frozen=True)
class Moat:
    """Water all around a green, `off` its edge and `wide` [m]."""

    label: str
    ground: Ground
    off: float
    wide: float


@dataclass(frozen=True)
class Stream:
    """A stream that crosses the hole's line `at` [m along], `wide` [m]."""

    label: str
    ground: Ground
    at: float
    wide: float


@dataclass(frozen=True, kw_only=True)
class HoleNotes:
    """One hole as noted: metres along its line from the back tee, radians, `bearing` from true north.

    `tees` are (name, length of the hole from there), the back tee first; `heights` are (how far along,
    height), the green's at the hole's length.
    """

    number: int
    par: int
    stroke_index: int | None
    length: float
    bearing: float
    tees: tuple[tuple[str, float], ...]
    bends: tuple[Bend, ...]
    fairway: Fairway
    green: Green
    bunkers: tuple[Bunker, ...]
    greenside: tuple[GreensideBunker, ...]
    strips: tuple[Strip, ...]
    streams: tuple[Stream, ...]
    moat: Moat | None
    heights: tuple[tuple[float, float], ...]

    @property
    def label(self) -> str:
        """What to call the hole."""
        return f"hole {self.number}"


@dataclass(frozen=True)
class Notes:
    """A course as noted; it lies about `latitude` and `longitude` [°], and `guesses` fill its gaps."""

    name: str
    latitude: float
    longitude: float
    firmness: Firmness | None
    holes: tuple[HoleNotes, ...]
    unit: Unit
    file: str
    guesses: tuple[Guess, ...]


def load_notes(path: str | Path) -> Notes:
    """Read yardage-book notes.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a note that makes no sense or contradicts another.
    """
    content, _ = read_toml(path, _NotesFile, "notes")
    file, unit = printable(Path(path).name), _UNITS[content.units]
    gaps: dict[str, list[int]] = {}
    height_unit = _UNITS[content.height_units or content.units]
    pages = (_page(file, unit, height_unit, place, raw, gaps) for place, raw in enumerate(content.holes, 1))
    holes = tuple(map(_hole, pages))
    _check_all_different(file, "number", [hole.number for hole in holes])
    if any(hole.heights for hole in holes):
        # Holes that lie side by side on paper alone must not lend one another their slopes.
        holes = tuple(
            hole if hole.heights else replace(hole, heights=((0.0, 0.0), (hole.length, 0.0)))
            for hole in holes
        )
    if len(holes) <= 18:
        indices = [hole.stroke_index for hole in holes if hole.stroke_index is not None]
        _check_all_different(file, "stroke_index", indices)
    guesses = _gathered(gaps)
    if content.at is None:
        guesses.insert(0, Guess("the course", "no at, laid out in the open ocean", "give at, if it matters"))
    latitude, longitude = content.at or _OCEAN
    if not (abs(latitude) <= 85 and abs(longitude) <= 180):
        problem = f"{latitude:g}, {longitude:g} is no place to play"
        raise InputError(file, "at", problem, "give latitude, then longitude")
    return Notes(
        name=content.name,
        latitude=latitude,
        longitude=longitude,
        firmness=content.firmness,
        holes=holes,
        unit=unit,
        file=file,
        guesses=tuple(guesses),
    )


# --- the file, as written -------------------------------------------------------------------------


def _distance_or_green(value: object) -> object:
    if value == "green" or (type(value) in (int, float) and 0 <= value <= 1000):  # type: ignore[operator]
        return value
    problem = "input should be a distance from 0 to 1000 or 'green'"
    raise PydanticCustomError("distance", problem, {"expected": "'green'"})


_Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(printable)]
_Along = Annotated[float, Field(ge=0, le=1000)]
_AlongOrGreen = Annotated[float | Literal["green"], PlainValidator(_distance_or_green)]
_Size = Annotated[float, Field(ge=1, le=200)]
_Off = Annotated[float, Field(ge=0, le=150)]
_Height = Annotated[float, Field(ge=-500, le=6000)]
_Marked = Literal["red", "yellow"]


class _BendTable(Table):
    at: _Along
    side: Literal["left", "right"]
    degrees: Annotated[float, Field(gt=0, le=120)]


class _WidthTable(Table):
    at: _Along
    wide: Annotated[float, Field(ge=5, le=200)]


class _FairwayTable(Table):
    SYNONYMS = {"width": "wide", "start": "from", "end": "to"}
    start: _Along | None = Field(None, alias="from")
    stop: _Along | None = Field(None, alias="to")
    wide: Annotated[float, Field(ge=5, le=200)] | None = None
    widths: list[_WidthTable] = []
    firmness: Firmness | None = None


class _GreenTable(Table):
    SYNONYMS = {"width": "wide", "depth": "deep"}
    wide: Annotated[float, Field(ge=5, le=100)] | None = None
    deep: Annotated[float, Field(ge=5, le=100)] | None = None
    firmness: Firmness | None = None


class _BunkerTable(Table):
    side: Literal["left", "right", "middle"]
    start: _Along = Field(alias="from")
    stop: _Along = Field(alias="to")
    off: Annotated[float, Field(ge=-100, le=100)] | None = None
    wide: _Size | None = None


class _GreensideTable(Table):
    side: Literal["front", "left", "right", "back"]
    off: Annotated[float, Field(ge=0, le=50)] | None = None
    long: _Size | None = None
    wide: _Size | None = None


class _StripTable(Table):
    side: Side
    start: _Along = Field(alias="from")
    stop: _AlongOrGreen = Field("green", alias="to")
    off: _Off | None = None
    off_line: _Off | None = None
    wide: _Size | None = None


class _WaterTable(_StripTable):
    marked: _Marked = "red"


class _TreesTable(_StripTable):
    side: Literal["left", "right"]
    height: Annotated[float, Field(ge=1, le=120)] | None = None


class _IslandTable(Table):
    off: Annotated[float, Field(ge=0, le=50)] | None = None
    wide: _Size | None = None
    marked: _Marked = "red"


class _OutTable(Table):
    side: Literal["left", "right"]
    start: _Along = Field(0.0, alias="from")
    stop: _AlongOrGreen | None = Field(None, alias="to")
    off: _Off | None = None
    off_line: _Off | None = None


class _StreamTable(Table):
    at: _Along
    wide: Annotated[float, Field(gt=0, le=200)] | None = None
    marked: _Marked = "red"


class _HeightTable(Table):
    at: _AlongOrGreen
    height: _Height


class _HoleTable(Table):
    SYNONYMS = {
        "dogleg": "bends", "doglegs": "bends", "handicap": "stroke_index", "hazards": "water",
        "ob": "out_of_bounds", "pond": "water", "sand": "bunkers", "woods": "trees", "yards": "length",
    }  # fmt: skip
    number: Annotated[int, Field(ge=1, le=99)]
    par: Annotated[int, Field(ge=3, le=7)]
    stroke_index: Annotated[int, Field(ge=1, le=18)] | None = None
    length: _Along | None = None
    tees: dict[_Name, _Along] = {}
    bearing: Annotated[float, Field(ge=0, le=360)] | None = None
    bends: list[_BendTable] = []
    fairway: _FairwayTable = _FairwayTable()
    green: _GreenTable = _GreenTable()
    bunkers: list[_BunkerTable] = []
    greenside: list[_GreensideTable] = []
    water: list[_WaterTable] = []
    island: _IslandTable | None = None
    streams: list[_StreamTable] = []
    out_of_bounds: list[_OutTable] = []
    trees: list[_TreesTable] = []
    scrub: list[_StripTable] = []
    heights: list[_HeightTable] = []


class _NotesFile(Table):
    name: _Name
    units: Literal["yards", "metres"] = "yards"
    height_units: Literal["yards", "metres", "feet"] | None = None
    at: Annotated[list[float], Field(min_length=2, max_length=2)] | None = None
    firmness: Firmness | None = None
    # Each is checked by itself, so that a complaint can name the hole by its own number.
    holes: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=36)]


# --- what the notes leave out, and what they contradict -------------------------------------------

_UNITS: Final = {"yards": Unit("yd", YARD), "metres": Unit("m", 1.0), "feet": Unit("ft", FOOT)}
_OCEAN: Final = (-44.0, -118.0)  # latitude and longitude in the South Pacific, where no course is

# All of it common practice, no source; a green so large has some 5,500 square feet.
_FAIRWAY_START: Final = 150 * YARD
_FAIRWAY_WIDTH: Final = 30 * YARD
_APPROACH: Final = 30 * YARD  # of fairway short of a par 3's green
_GREEN: Final = (26 * YARD, 30 * YARD)
_BUNKER: Final = (3 * YARD, 10 * YARD)  # off the fairway, and wide
_GREENSIDE: Final = (3 * YARD, 14 * YARD, 8 * YARD)  # off the green, long and wide
_ACROSS: Final = 100 * YARD
_MOAT: Final = (6 * YARD, 25 * YARD)  # off the green, and wide
_STRIPS: Final = {  # off the fairway, and wide
    "water": (8 * YARD, 40 * YARD),
    "trees": (10 * YARD, 30 * YARD),
    "scrub": (8 * YARD, 25 * YARD),
}
_FENCE: Final = 25 * YARD
_WATER: Final = {"red": Ground.RED, "yellow": Ground.YELLOW}
_SHORTEST_OF_PAR: Final = 0.6  # of the longest hole of a stroke less
_LONGEST_OF_PAR: Final = 1.25  # of the longest hole of that par


@dataclass(frozen=True)
class _Page:
    """One hole's notes, and the gaps of all holes so far by what was taken for them."""

    file: str
    unit: Unit
    height_unit: Unit
    name: str
    table: _HoleTable
    gaps: dict[str, list[int]]

    def take(self, taken: str) -> None:
        """Note a gap."""
        holes = self.gaps.setdefault(taken, [])
        if self.table.number not in holes:
            holes.append(self.table.number)

    def given(self, key: str, value: float | None, default: float, unit: Unit | None = None) -> float:
        """Return a value in metres, or the default [m] and note the gap."""
        unit = unit or self.unit
        if value is not None:
            return value * unit.size
        self.take(f"no {key}, taken as {unit.shown(default)}")
        return default

    def shown(self, metres: float) -> str:
        return self.unit.shown(metres)

    def error(self, key: str, problem: str, remedy: str) -> InputError:
        return InputError(self.file, f"{self.name}, {key}" if key else self.name, problem, remedy)


def _check_all_different(file: str, key: str, values: Sequence[int]) -> None:
    twice = next((value for value in values if values.count(value) > 1), None)
    if twice is not None:
        raise InputError(file, "holes", f"two have {key} {twice}", "correct one of them")


def _gathered(gaps: dict[str, list[int]]) -> list[Guess]:
    return [
        Guess(f"hole{'s' if len(holes) > 1 else ''} {', '.join(map(str, holes))}", taken, "note it")
        for taken, holes in gaps.items()
    ]


def _page(
    file: str, unit: Unit, height_unit: Unit, place: int, raw: dict[str, Any], gaps: dict[str, list[int]]
) -> _Page:
    number = raw.get("number")
    name = f"hole {number}" if type(number) is int and abs(number) < 1000 else f"holes {place}"
    return _Page(
        file, unit, height_unit, name, checked(raw, _HoleTable, file=file, kind="notes", place=name), gaps
    )


def _hole(page: _Page) -> HoleNotes:
    table, tees = page.table, _tees(page)
    length = tees[0][1]
    _check_par(page, length)
    if table.bearing is None:
        page.take("no bearing, taken as north, so that the wind cannot be turned to it")
    green = Green(
        page.given("green.wide", table.green.wide, _GREEN[0]),
        page.given("green.deep", table.green.deep, _GREEN[1]),
        table.green.firmness,
    )
    front = length - green.deep / 2
    return HoleNotes(
        number=table.number,
        par=table.par,
        stroke_index=table.stroke_index,
        length=length,
        bearing=(table.bearing or 0.0) * DEGREE,
        tees=tees,
        bends=_bends(page, front),
        fairway=_fairway(page, length, front),
        green=green,
        bunkers=tuple(_bunker(page, index, length) for index in range(len(table.bunkers))),
        greenside=tuple(_greenside(page, index) for index in range(len(table.greenside))),
        strips=(*_strips(page, length, front), *_fences(page, length, front)),
        streams=tuple(_stream(page, index, front) for index in range(len(table.streams))),
        moat=_moat(page),
        heights=_heights(page, length),
    )


def _tees(page: _Page) -> tuple[tuple[str, float], ...]:
    """Return the tees from the back; where none has the length noted, that is the back tee's."""
    tees = {tee: length * page.unit.size for tee, length in page.table.tees.items()}
    if page.table.length is None:
        if not tees:
            raise page.error("", "has neither length nor tees", "give its length from the back tee")
        length = max(tees.values())
    else:
        length = page.table.length * page.unit.size
        for tee, own in tees.items():
            if own > length:
                problem = f"{page.shown(own)} is more than the hole's {page.shown(length)}"
                raise page.error(f"tees.{tee}", problem, "length is from the back tee")
        if length not in tees.values():
            if "back" in tees:
                problem = f"{page.shown(tees['back'])} is not the length, {page.shown(length)}"
                raise page.error("tees.back", problem, "correct one of them")
            tees["back"] = length
    for tee, own in tees.items():
        if own < SHORTEST:
            problem = f"a hole of {page.shown(own)} from the {tee} tee is too short"
            raise page.error("", problem, f"give {page.shown(SHORTEST)} or more")
    return tuple(sorted(tees.items(), key=lambda item: -item[1]))


def _check_par(page: _Page, length: float) -> None:
    par = page.table.par
    longest = LONGEST[par - 3] * _LONGEST_OF_PAR if par - 3 < len(LONGEST) else math.inf
    shortest = LONGEST[par - 4] * _SHORTEST_OF_PAR if par > 3 else 0.0
    if not shortest <= length <= longest:
        raise page.error("", f"is a par {par} of {page.shown(length)}", "correct its par or length")


def _check_ascending(page: _Page, place: str, stations: Sequence[float]) -> None:
    for before, after in pairwise(stations):
        if before == after:
            raise page.error(place, f"two stand at {page.shown(after)}", "take one out")
        if before > after:
            problem = f"{page.shown(after)} comes after {page.shown(before)}"
            raise page.error(place, problem, "go from tee to green")


def _check_run(page: _Page, place: str, start: float, stop: float, end: float) -> None:
    """Check that something runs towards the green, and not past `end`."""
    if start >= stop:
        problem = f"runs from {page.shown(start)} to {page.shown(stop)}"
        raise page.error(place, problem, "give the distance nearer the back tee first")
    if stop > end:
        problem = f"ends at {page.shown(stop)}, past the end of the hole at {page.shown(end)}"
        raise page.error(place, problem, "give distances from the back tee")


def _bends(page: _Page, front: float) -> tuple[Bend, ...]:
    bends = tuple(
        Bend(bend.at * page.unit.size, RIGHTWARD[bend.side] * bend.degrees * DEGREE)
        for bend in page.table.bends
    )
    _check_ascending(page, "bends", [bend.at for bend in bends])
    for index, bend in enumerate(bends, 1):
        if not 0 < bend.at < front:
            problem = f"bends at {page.shown(bend.at)}, not between tee and green"
            remedy = f"the green begins at {page.shown(front)}"
            raise page.error(f"bends {index}", problem, remedy)
    return bends


def _fairway(page: _Page, length: float, front: float) -> Fairway:
    noted, place = page.table.fairway, "fairway"
    usual = front - _APPROACH if page.table.par == 3 else min(_FAIRWAY_START, 0.4 * length)
    start = page.given("fairway.from", noted.start, max(usual, 0.0))
    stop = length if noted.stop is None else noted.stop * page.unit.size
    _check_run(page, place, start, stop, length)
    widths = [(width.at * page.unit.size, width.wide * page.unit.size) for width in noted.widths]
    _check_ascending(page, f"{place}.widths", [at for at, _ in widths])
    for at, _ in widths:
        if not start <= at <= stop:
            problem = f"{page.shown(at)} is not on the fairway"
            remedy = f"it runs from {page.shown(start)} to {page.shown(stop)}"
            raise page.error(f"{place}.widths", problem, remedy)
    if noted.wide is not None and widths and widths[0][0] == start:
        problem = f"two widths stand at {page.shown(start)}, where it begins"
        raise page.error(place, problem, "take out wide or the first of widths")
    if noted.wide is not None or not widths:
        widths.insert(0, (start, page.given("fairway.wide", noted.wide, _FAIRWAY_WIDTH)))
    return Fairway(start, stop, tuple(widths), noted.firmness)


def _bunker(page: _Page, index: int, length: float) -> Bunker:
    noted, label = page.table.bunkers[index], f"bunkers {index + 1}"
    start, stop = noted.start * page.unit.size, noted.stop * page.unit.size
    _check_run(page, label, start, stop, length)
    wide = page.given("bunkers.wide", noted.wide, _BUNKER[1])
    if noted.side == "middle":
        if noted.off is not None:
            raise page.error(label, "is in the middle, so off no edge", "take off out, or give a side")
        return Bunker(label, "across", start, stop, 0.0, wide)
    off = page.given("bunkers.off", noted.off, _BUNKER[0])
    return Bunker(label, noted.side, start, stop, off, wide)


def _greenside(page: _Page, index: int) -> GreensideBunker:
    noted = page.table.greenside[index]
    off, long, wide = (
        page.given(f"greenside.{key}", getattr(noted, key), default)
        for key, default in zip(("off", "long", "wide"), _GREENSIDE, strict=True)
    )
    return GreensideBunker(f"greenside {index + 1}", noted.side, off, long, wide)


def _strips(page: _Page, length: float, front: float) -> list[Strip]:
    strips = []
    kinds: dict[str, Sequence[_StripTable]]
    kinds = {"water": page.table.water, "trees": page.table.trees, "scrub": page.table.scrub}
    for kind, noted in kinds.items():
        usual_off, usual_width = _STRIPS[kind]
        for index, strip in enumerate(noted, 1):
            label = f"{kind} {index}"
            start, stop = _extent(page, label, strip, length, front)
            off, measured = _off(page, label, kind, strip, usual_off)
            across = strip.side == "across"
            wide = page.given(f"{kind}.wide", strip.wide, _ACROSS if across else usual_width)
            ground, height = Ground.HEAVY_ROUGH, None
            if isinstance(strip, _WaterTable):
                ground = _WATER[strip.marked]
            if isinstance(strip, _TreesTable):
                ground = Ground.TREES
                height = page.given(f"{kind}.height", strip.height, TREE_HEIGHT, page.height_unit)
            strips.append(Strip(label, ground, strip.side, start, stop, off, measured, wide, height))
    return strips


def _fences(page: _Page, length: float, front: float) -> list[Strip]:
    """Return what is out of bounds, which has no other side."""
    fences = []
    for index, noted in enumerate(page.table.out_of_bounds, 1):
        label = f"out_of_bounds {index}"
        start, stop = _extent(page, label, noted, length, front)
        off, measured = _off(page, label, "out_of_bounds", noted, _FENCE)
        fences.append(Strip(label, Ground.OUT, noted.side, start, stop, off, measured, math.inf))
    return fences


def _extent(
    page: _Page, label: str, noted: _StripTable | _OutTable, length: float, front: float
) -> tuple[float, float]:
    """Return from where to where a strip runs; one that runs to the green ends where that begins."""
    start = noted.start * page.unit.size
    if noted.stop == "green":
        if start >= front:
            problem = f"begins at {page.shown(start)}, but the green at {page.shown(front)}"
            raise page.error(label, problem, "give the distance where it ends, not the green")
        return start, front
    stop = length + BEYOND if noted.stop is None else noted.stop * page.unit.size
    _check_run(page, label, start, stop, length + BEYOND)
    return start, stop


def _off(
    page: _Page, label: str, kind: str, noted: _StripTable | _OutTable, usual: float
) -> tuple[float, Literal["edge", "line"]]:
    """Return how far off a strip lies, and off what."""
    if noted.side == "across":
        if (noted.off, noted.off_line) != (None, None):
            raise page.error(label, "lies across the hole, so off nothing", "take off out, or give a side")
        return 0.0, "line"
    if noted.off_line is None:
        return page.given(f"{kind}.off", noted.off, usual), "edge"
    if noted.off is not None:
        problem = "is noted both off the fairway and off the line"
        raise page.error(label, problem, "take out off or off_line")
    return noted.off_line * page.unit.size, "line"


def _moat(page: _Page) -> Moat | None:
    noted = page.table.island
    if noted is None:
        return None
    off, wide = (
        page.given(f"island.{key}", getattr(noted, key), default)
        for key, default in zip(("off", "wide"), _MOAT, strict=True)
    )
    return Moat("island", _WATER[noted.marked], off, wide)


def _stream(page: _Page, index: int, front: float) -> Stream:
    noted, label = page.table.streams[index], f"streams {index + 1}"
    at = noted.at * page.unit.size
    if not 0 < at < front:
        problem = f"crosses at {page.shown(at)}, not between tee and green"
        raise page.error(label, problem, f"the green begins at {page.shown(front)}")
    wide = page.given("streams.wide", noted.wide, STREAM_WIDTH)
    return Stream(label, _WATER[noted.marked], at, wide)


def _heights(page: _Page, length: float) -> tuple[tuple[float, float], ...]:
    heights = [
        (length if noted.at == "green" else noted.at * page.unit.size, noted.height * page.height_unit.size)
        for noted in page.table.heights
    ]
    _check_ascending(page, "heights", [at for at, _ in heights])
    for at, _ in heights:
        if at > length:
            problem = f"{page.shown(at)} is past the hole's {page.shown(length)}"
            raise page.error("heights", problem, "give the green's at 'green'")
    if len(heights) == 1:
        raise page.error("heights", "one alone is above nothing", "note the tee's, at 0, and the green's")
    return tuple(heights)
