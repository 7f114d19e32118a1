"""Reading the hazards among a hole's notes, and the usual sizes of those that state none."""

import math
from typing import Final, Literal

from holesim.course.course import STREAM_WIDTH, TREE_HEIGHT, Ground
from holesim.course.note_shapes import Line
from holesim.course.notes_page import Page, check_run
from holesim.course.notes_tables import OutTable, StripTable, TreesTable, WaterTable
from holesim.course.yardage_notes import BEYOND, Bunker, GreensideBunker, Moat, Stream, Strip
from holesim.units import YARD

# Usual sizes and places [m]: common practice, no source.
_BUNKER: Final = (3 * YARD, 10 * YARD)  # distance off the fairway, width
_GREENSIDE: Final = (3 * YARD, 14 * YARD, 8 * YARD)  # distance off the green, length, width
_ACROSS: Final = 100 * YARD
_MOAT: Final = (6 * YARD, 25 * YARD)  # distance off the green, width
_STRIPS: Final = {  # distance off the fairway, width
    "water": (8 * YARD, 40 * YARD),
    "trees": (10 * YARD, 30 * YARD),
    "scrub": (8 * YARD, 25 * YARD),
    "rough": (0.0, 40 * YARD),
}
_FENCE: Final = 25 * YARD
_WATER: Final = {"red": Ground.RED, "yellow": Ground.YELLOW}


def read_bunker(page: Page, index: int, line: Line, length: float) -> Bunker:
    """Return a fairway bunker."""
    noted, label = page.table.bunkers[index], page.label("bunkers", index)
    start, stop = noted.start * page.unit.size, noted.stop * page.unit.size
    check_run(page, label, start, stop, line.farthest(length))
    start, stop = line.station(start), line.station(stop)
    word = page.word("bunkers", index)
    wide = page.given(f"{word}.wide", noted.wide, _BUNKER[1])
    if noted.side == "middle":
        if noted.off is not None:
            raise page.error(label, "is in the middle, so it has no off", "take off out, or give a side")
        return Bunker(label, "across", start, stop, 0.0, wide)
    off = page.given(f"{word}.off", noted.off, _BUNKER[0])
    return Bunker(label, noted.side, start, stop, off, wide)


def read_greenside(page: Page, index: int) -> GreensideBunker:
    """Return a bunker beside the green."""
    noted = page.table.greenside[index]
    off, long, wide = (
        page.given(f"greenside.{key}", getattr(noted, key), default)
        for key, default in zip(("off", "long", "wide"), _GREENSIDE, strict=True)
    )
    return GreensideBunker(f"greenside {index + 1}", noted.side, off, long, wide)


def read_strips(page: Page, line: Line, length: float, front: float) -> list[Strip]:
    """Return the strips of water, trees, scrub and rough."""
    strips = []
    table = page.table
    for kind, (usual_off, usual_width) in _STRIPS.items():
        noted: list[StripTable] = getattr(table, kind)
        for index, strip in enumerate(noted):
            label, word = page.label(kind, index), page.word(kind, index)
            start, stop = _extent(page, label, strip, line, length, front)
            off, measured = _off(page, label, word, strip, usual_off)
            across = strip.side == "across"
            wide = page.given(f"{word}.wide", strip.wide, _ACROSS if across else usual_width)
            ground, height = Ground.ROUGH if kind == "rough" else Ground.HEAVY_ROUGH, None
            if isinstance(strip, WaterTable):
                ground = _WATER[strip.marked]
            if isinstance(strip, TreesTable):
                ground = Ground.TREES
                height = page.given(f"{word}.height", strip.height, TREE_HEIGHT, page.height_unit)
            strips.append(Strip(label, ground, strip.side, start, stop, off, measured, wide, height))
    return strips


def read_fences(page: Page, line: Line, length: float, front: float) -> list[Strip]:
    """Return the strips out of bounds; each extends without end away from the hole."""
    fences = []
    for index, noted in enumerate(page.table.out_of_bounds):
        label, word = page.label("out_of_bounds", index), page.word("out_of_bounds", index)
        start, stop = _extent(page, label, noted, line, length, front)
        off, measured = _off(page, label, word, noted, _FENCE)
        fences.append(Strip(label, Ground.OUT, noted.side, start, stop, off, measured, math.inf))
    return fences


def _extent(
    page: Page, label: str, noted: StripTable | OutTable, line: Line, length: float, front: float
) -> tuple[float, float]:
    """Return where a strip starts and stops; one that runs to the green stops where the green begins."""
    start = noted.start * page.unit.size
    if noted.stop == "green":
        begins = line.straight(front)
        if start >= begins:
            problem = f"begins at {page.shown(start)}, past the front of the green at {page.shown(begins)}"
            raise page.error(label, problem, "give the distance where it ends instead of 'green'")
        return line.station(start), front
    end = line.farthest(length + BEYOND)
    stop = end if noted.stop is None else noted.stop * page.unit.size
    check_run(page, label, start, stop, end)
    return line.station(start), length + BEYOND if noted.stop is None else line.station(stop)


def _off(
    page: Page, label: str, kind: str, noted: StripTable | OutTable, usual: float
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


def read_moat(page: Page) -> Moat | None:
    """Return the water all around the green, if there is any."""
    noted = page.table.island
    if noted is None:
        return None
    off, wide = (
        page.given(f"island.{key}", getattr(noted, key), default)
        for key, default in zip(("off", "wide"), _MOAT, strict=True)
    )
    return Moat("island", _WATER[noted.marked], off, wide)


def read_stream(page: Page, index: int, line: Line, front: float) -> Stream:
    """Return a stream."""
    noted, label = page.table.streams[index], page.label("streams", index)
    at, begins = noted.at * page.unit.size, line.straight(front)
    if not 0 < at < begins:
        problem = f"crosses at {page.shown(at)}, not between tee and green"
        raise page.error(label, problem, f"the green begins at {page.shown(begins)}")
    wide = page.given(f"{page.word('streams', index)}.wide", noted.wide, STREAM_WIDTH)
    start, stop = max(at - wide / 2, 0.0), min(at + wide / 2, line.farthest(front))
    return Stream(label, _WATER[noted.marked], line.station(start), line.station(stop))
