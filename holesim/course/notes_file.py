"""Reading yardage-book notes: gaps are filled and listed, contradictions refused, and all turned into SI."""

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from holesim.common.toml_tables import checked, read_toml
from holesim.course.holes import LONGEST, SHORTEST
from holesim.course.note_shapes import Line, stations
from holesim.course.notes_hazards import (
    read_bunker,
    read_fences,
    read_greenside,
    read_moat,
    read_stream,
    read_strips,
)
from holesim.course.notes_page import SLACK, Page, check_ascending, check_run, in_own_words, in_tables
from holesim.course.notes_tables import HoleTable, NotesFile
from holesim.course.yardage_notes import (
    METRES,
    RIGHTWARD,
    YARDS,
    Bend,
    Fairway,
    Green,
    HoleNotes,
    Notes,
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
    height_unit = _UNITS[content.height_units or content.units]
    read = [
        read_hole(raw, file=file, unit=unit, height_unit=height_unit, place=f"holes {place}")
        for place, raw in enumerate(content.holes, 1)
    ]
    holes = tuple(hole for hole, _ in read)
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
    guesses = _gathered([guess for _, guessed in read for guess in guessed])
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


def read_hole(
    content: dict[str, Any],
    *,
    file: str,
    unit: Unit,
    height_unit: Unit | None = None,
    place: str = "the hole",
) -> tuple[HoleNotes, list[Guess]]:
    """Read the notes of one hole.

    Parameters
    ----------
    content
        A table of a hole, as in a file of notes.
    file
        What to call the notes in messages.
    unit, height_unit
        Of its distances and of its heights, by default the same.
    place
        What to call the hole in messages while it has no number.

    Returns
    -------
    The hole, and what was taken for what the notes leave out.

    Raises
    ------
    InputError
        If a note makes no sense or contradicts another.

    Examples
    --------
    >>> from holesim.course.yardage_notes import YARDS
    >>> content = {"number": 7, "par": 4, "length": 400, "creek": [{"at": 290}]}
    >>> hole, guessed = read_hole(content, file="notes", unit=YARDS)
    >>> [round(end / YARDS.size, 1) for end in (hole.streams[0].start, hole.streams[0].stop)]
    [288.4, 291.6]
    >>> print(guessed[-1])
    hole 7: no creek.wide, taken as 3.281 yd; note it
    """
    number = content.get("number")
    name = f"hole {number}" if type(number) is int and abs(number) < 1000 else place
    tables, words, judged = in_tables(content)
    try:
        table = checked(tables, HoleTable, file=file, kind="notes", place=name)
    except InputError as error:
        raise InputError(file, in_own_words(error.place, words), error.problem, error.remedy) from None
    page = Page(file, unit, height_unit or unit, name, table, words)
    for word, taken in judged.items():
        remedy = "note it as scrub where it is overgrown"
        page.guesses.append(Guess(name, f"{word} is taken as {taken}", remedy))
    return _hole(page), page.guesses


# --- defaults and checks --------------------------------------------------------------------------

_UNITS: Final = {"yards": YARDS, "metres": METRES, "feet": Unit("ft", FOOT)}
_OCEAN: Final = (-44.0, -118.0)  # latitude and longitude in the South Pacific, where no course is

# Usual sizes and places [m]: common practice, no source. A green of this size has some 5,500 square feet.
_FAIRWAY_START: Final = 150 * YARD
_FAIRWAY_WIDTH: Final = 30 * YARD
_APPROACH: Final = 30 * YARD  # of fairway in front of a par 3's green
_GREEN: Final = (26 * YARD, 30 * YARD)
_NARROWEST: Final = 4 * YARD  # from a hole's line to where another part of it is nearer
_SHORTEST_OF_PAR: Final = 0.6  # share of the longest hole of one stroke less
_LONGEST_OF_PAR: Final = 1.25  # share of the usual longest hole of that par


def _check_all_different(file: str, key: str, values: Sequence[int]) -> None:
    twice = next((value for value in values if values.count(value) > 1), None)
    if twice is not None:
        raise InputError(file, "holes", f"two have {key} {twice}", "correct one of them")


def _gathered(guesses: Sequence[Guess]) -> list[Guess]:
    """Return each guess once, with all holes that it was made on."""
    holes: dict[tuple[str, str], list[str]] = {}
    for guess in guesses:
        holes.setdefault((guess.taken, guess.remedy), []).append(guess.place.removeprefix("hole "))
    return [
        Guess(f"hole{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}", taken, remedy)
        for (taken, remedy), numbers in holes.items()
    ]


def _hole(page: Page) -> HoleNotes:
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
    bearing, bends = (table.bearing or 0.0) * DEGREE, _bends(page, front)
    line = _line(page, length, bearing, bends, front)
    return HoleNotes(
        number=table.number,
        par=table.par,
        stroke_index=table.stroke_index,
        length=length,
        bearing=bearing,
        tees=tees,
        bends=bends,
        fairway=_fairway(page, line, length, front),
        green=green,
        bunkers=tuple(read_bunker(page, index, line, length) for index in range(len(table.bunkers))),
        greenside=tuple(read_greenside(page, index) for index in range(len(table.greenside))),
        strips=(*read_strips(page, line, length, front), *read_fences(page, line, length, front)),
        streams=tuple(read_stream(page, index, line, front) for index in range(len(table.streams))),
        moat=read_moat(page),
        heights=_heights(page, line, length),
    )


def _tees(page: Page) -> tuple[tuple[str, float], ...]:
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


def _check_par(page: Page, length: float) -> None:
    par = page.table.par
    longest = LONGEST[par - 3] * _LONGEST_OF_PAR if par - 3 < len(LONGEST) else math.inf
    # No par 6 is too long, so a par 7 is only not to be shorter than the longest par 5.
    shortest = LONGEST[min(par - 4, len(LONGEST) - 1)] * _SHORTEST_OF_PAR if par > 3 else 0.0
    if not shortest <= length <= longest:
        raise page.error("", f"is a par {par} of {page.shown(length)}", "correct its par or length")


def _bends(page: Page, front: float) -> tuple[Bend, ...]:
    bends = tuple(
        Bend(bend.at * page.unit.size, RIGHTWARD[bend.side] * bend.degrees * DEGREE)
        for bend in page.table.bends
    )
    check_ascending(page, "bends", [bend.at for bend in bends])
    for index, bend in enumerate(bends, 1):
        if not 0 < bend.at < front:
            problem = f"bends at {page.shown(bend.at)}, not between tee and green"
            remedy = f"the green begins at {page.shown(front)}"
            raise page.error(f"bends {index}", problem, remedy)
    return bends


def _line(page: Page, length: float, bearing: float, bends: tuple[Bend, ...], front: float) -> Line:
    """Return a hole's line; one that comes back onto itself has no distances to speak of."""
    line = Line.bent(length, bearing, bends, front)
    along = stations(0.0, length)
    folded = line.room("across", along) < _NARROWEST
    if folded.any():
        problem = f"fold the hole onto itself at {page.shown(round(along[folded][0]))}"
        raise page.error("bends", problem, "turn less, or bend farther apart")
    return line


def _fairway(page: Page, line: Line, length: float, front: float) -> Fairway:
    noted, place = page.table.fairway, "fairway"
    usual = front - _APPROACH if page.table.par == 3 else min(_FAIRWAY_START, 0.4 * length)
    start = page.given("fairway.from", noted.start, max(usual, 0.0))
    end = line.farthest(length)
    stop = end if noted.stop is None else noted.stop * page.unit.size
    check_run(page, place, start, stop, end)
    widths = [(width.at * page.unit.size, width.wide * page.unit.size) for width in noted.widths]
    check_ascending(page, f"{place}.widths", [at for at, _ in widths])
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
    return Fairway(
        line.station(start),
        length if noted.stop is None else line.station(stop),
        tuple((line.station(at), wide) for at, wide in widths),
        noted.firmness,
    )


def _heights(page: Page, line: Line, length: float) -> tuple[tuple[float, float], ...]:
    end = line.farthest(length)
    heights = [
        (end if noted.at == "green" else noted.at * page.unit.size, noted.height * page.height_unit.size)
        for noted in page.table.heights
    ]
    check_ascending(page, "heights", [at for at, _ in heights])
    for at, _ in heights:
        if at > end + SLACK:
            problem = f"{page.shown(at)} is past the end of the hole at {page.shown(end)}"
            raise page.error("heights", problem, "note the green's at = 'green'")
    if len(heights) == 1:
        raise page.error("heights", "has one height only", "note the tee's, at 0, and the green's")
    return tuple((length if at == end else line.station(at), height) for at, height in heights)
