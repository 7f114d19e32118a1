"""Reading yardage-book notes: gaps are filled and listed, contradictions refused, and all turned into SI."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any, Final, Literal

from holesim.common.toml_tables import checked, read_toml
from holesim.course.course import STREAM_WIDTH, TREE_HEIGHT, Ground
from holesim.course.holes import LONGEST, SHORTEST
from holesim.course.notes_tables import HoleTable, NotesFile, OutTable, StripTable, TreesTable, WaterTable
from holesim.course.yardage_notes import (
    BEYOND,
    RIGHTWARD,
    Bend,
    Bunker,
    Fairway,
    Green,
    GreensideBunker,
    HoleNotes,
    Moat,
    Notes,
    Stream,
    Strip,
    Unit,
)
from holesim.errors import Guess, InputError, printable
from holesim.units import DEGREE, FOOT, YARD


def load_notes(path: str | Path) -> Notes:
    """Read yardage-book notes.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a note that makes no sense or contradicts another.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> notes = load_notes(find("notes/oxlip_warren.toml"))
    >>> notes.name, len(notes.holes)
    ('Oxlip Warren', 9)
    >>> print(notes.guesses[0])
    hole 9: no green.wide, taken as 26 yd; note it
    """
    content, _ = read_toml(path, NotesFile, "notes")
    file, unit = printable(Path(path).name), _UNITS[content.units]
    gaps: dict[str, list[int]] = {}
    height_unit = _UNITS[content.height_units or content.units]
    pages = (_page(file, unit, height_unit, place, raw, gaps) for place, raw in enumerate(content.holes, 1))
    holes = tuple(map(_hole, pages))
    _check_all_different(file, "number", [hole.number for hole in holes])
    if any(hole.heights for hole in holes):
        # Holes lie side by side only in the drawing: one without heights must not take its neighbours'.
        holes = tuple(
            hole if hole.heights else replace(hole, heights=((0.0, 0.0), (hole.length, 0.0)))
            for hole in holes
        )
    if len(holes) <= 18:
        indices = [hole.stroke_index for hole in holes if hole.stroke_index is not None]
        _check_all_different(file, "stroke_index", indices)
    guesses = _gathered(gaps)
    if content.at is None:
        guesses.insert(
            0, Guess("the course", "no at, drawn in the open ocean", "give at if its place matters")
        )
    latitude, longitude = content.at or _OCEAN
    if not (abs(latitude) <= 85 and abs(longitude) <= 180):
        problem = f"{latitude:g}, {longitude:g} is not a place for a course"
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


# --- defaults and checks --------------------------------------------------------------------------

_UNITS: Final = {"yards": Unit("yd", YARD), "metres": Unit("m", 1.0), "feet": Unit("ft", FOOT)}
_OCEAN: Final = (-44.0, -118.0)  # latitude and longitude in the South Pacific, where no course is

# Usual sizes and places [m]: common practice, no source. A green of this size has some 5,500 square feet.
_FAIRWAY_START: Final = 150 * YARD
_FAIRWAY_WIDTH: Final = 30 * YARD
_APPROACH: Final = 30 * YARD  # of fairway in front of a par 3's green
_GREEN: Final = (26 * YARD, 30 * YARD)
_BUNKER: Final = (3 * YARD, 10 * YARD)  # distance off the fairway, width
_GREENSIDE: Final = (3 * YARD, 14 * YARD, 8 * YARD)  # distance off the green, length, width
_ACROSS: Final = 100 * YARD
_MOAT: Final = (6 * YARD, 25 * YARD)  # distance off the green, width
_STRIPS: Final = {  # distance off the fairway, width
    "water": (8 * YARD, 40 * YARD),
    "trees": (10 * YARD, 30 * YARD),
    "scrub": (8 * YARD, 25 * YARD),
}
_FENCE: Final = 25 * YARD
_WATER: Final = {"red": Ground.RED, "yellow": Ground.YELLOW}
_SHORTEST_OF_PAR: Final = 0.6  # share of the longest hole of one stroke less
_LONGEST_OF_PAR: Final = 1.25  # share of the usual longest hole of that par


@dataclass(frozen=True)
class _Page:
    """The notes of one hole; `gaps` has the numbers of all holes with a gap, by what was taken for it."""

    file: str
    unit: Unit
    height_unit: Unit
    name: str
    table: HoleTable
    gaps: dict[str, list[int]]

    def add_gap(self, taken: str) -> None:
        """List a gap of this hole by what was taken for it."""
        holes = self.gaps.setdefault(taken, [])
        if self.table.number not in holes:
            holes.append(self.table.number)

    def given(self, key: str, value: float | None, default: float, unit: Unit | None = None) -> float:
        """Return a value in metres, or else the default [m], and list the gap."""
        unit = unit or self.unit
        if value is not None:
            return value * unit.size
        self.add_gap(f"no {key}, taken as {unit.shown(default)}")
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
        file, unit, height_unit, name, checked(raw, HoleTable, file=file, kind="notes", place=name), gaps
    )


def _hole(page: _Page) -> HoleNotes:
    table, tees = page.table, _tees(page)
    length = tees[0][1]
    _check_par(page, length)
    if table.bearing is None:
        page.add_gap("no bearing, taken as north, so the wind on it may be wrong")
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
    """Return the tees, the farthest first; if none has the hole's length, a back tee with it is added."""
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
            raise page.error(place, f"two are at {page.shown(after)}", "take one out")
        if before > after:
            problem = f"{page.shown(after)} comes after {page.shown(before)}"
            raise page.error(place, problem, "go from tee to green")


def _check_run(page: _Page, place: str, start: float, stop: float, end: float) -> None:
    """Check that something starts before it stops, and stops no later than `end`."""
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
        problem = f"has two widths at {page.shown(start)}, where it begins"
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
            raise page.error(label, "is in the middle, so it has no off", "take off out, or give a side")
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
    kinds: dict[str, Sequence[StripTable]]
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
            if isinstance(strip, WaterTable):
                ground = _WATER[strip.marked]
            if isinstance(strip, TreesTable):
                ground = Ground.TREES
                height = page.given(f"{kind}.height", strip.height, TREE_HEIGHT, page.height_unit)
            strips.append(Strip(label, ground, strip.side, start, stop, off, measured, wide, height))
    return strips


def _fences(page: _Page, length: float, front: float) -> list[Strip]:
    """Return the strips out of bounds; each extends without end away from the hole."""
    fences = []
    for index, noted in enumerate(page.table.out_of_bounds, 1):
        label = f"out_of_bounds {index}"
        start, stop = _extent(page, label, noted, length, front)
        off, measured = _off(page, label, "out_of_bounds", noted, _FENCE)
        fences.append(Strip(label, Ground.OUT, noted.side, start, stop, off, measured, math.inf))
    return fences


def _extent(
    page: _Page, label: str, noted: StripTable | OutTable, length: float, front: float
) -> tuple[float, float]:
    """Return where a strip starts and stops; one that runs to the green stops where the green begins."""
    start = noted.start * page.unit.size
    if noted.stop == "green":
        if start >= front:
            problem = f"begins at {page.shown(start)}, past the front of the green at {page.shown(front)}"
            raise page.error(label, problem, "give the distance where it ends instead of 'green'")
        return start, front
    stop = length + BEYOND if noted.stop is None else noted.stop * page.unit.size
    _check_run(page, label, start, stop, length + BEYOND)
    return start, stop


def _off(
    page: _Page, label: str, kind: str, noted: StripTable | OutTable, usual: float
) -> tuple[float, Literal["edge", "line"]]:
    """Return how far off a strip lies, and whether off the fairway's edge or the hole's line."""
    if noted.side == "across":
        if (noted.off, noted.off_line) != (None, None):
            raise page.error(label, "lies across the hole, so it has no off", "take off out, or give a side")
        return 0.0, "line"
    if noted.off_line is None:
        return page.given(f"{kind}.off", noted.off, usual), "edge"
    if noted.off is not None:
        problem = "has a distance off the fairway and one off the line"
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
            problem = f"{page.shown(at)} is past the end of the hole at {page.shown(length)}"
            raise page.error("heights", problem, "note the green's at = 'green'")
    if len(heights) == 1:
        raise page.error("heights", "has one height only", "note the tee's, at 0, and the green's")
    return tuple(heights)
