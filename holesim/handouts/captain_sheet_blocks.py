"""Parts of the captain's sheet: matches hole by hole, strips to cut, and how they share pages."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.common.text_format import sentence
from holesim.handouts.captain_parts import MatchHole, MatchSheet
from holesim.pictures.hole_picture import CLUB_STYLE, DRIVER_STYLES
from holesim.pictures.paper import BOTTOM, LEFT, RIGHT, TOP
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, printed_width, wrap
from holesim.reports.team_text import PlayerStrip, TeeLine, worth_text

BODY_TOP: Final = TOP + 38
BODY_BOTTOM: Final = BOTTOM - 34
WIDE: Final = RIGHT - LEFT
MOST_LINES: Final = 4

_LINE: Final = 1.3 * SMALL
_COLUMN: Final = WIDE / 2 + 6
_PAR, _YARDS, _HIT = 37.0, 57.0, 71.0  # of a strip, from a column's left
_WORTH: Final = _COLUMN - 12  # likewise
_STRIKE_WIDE: Final = 66.0
_AIM_END: Final = _WORTH - 20
_GAP: Final = 14.0  # between matches beside one another
_FIRST: Final = 46.0  # of a match, from its left to the first of its players
_MARKER: Final = 11.0


@dataclass(frozen=True)
class Block:
    """What is not to be torn apart by the end of a page.

    Attributes
    ----------
    title
        What it is, for the head of its page.
    height
        How far down the page it reaches [pt].
    write
        Writes it on a canvas, below a height [pt].
    """

    title: str
    height: float
    write: Callable[[Canvas, float], None]


def pack(heights: Sequence[float], first: float, room: float) -> list[list[int]]:
    """Return which blocks stand on each page: the tallest first, each on the first page with room for it.

    Parameters
    ----------
    heights
        Of the blocks.
    first, room
        Height free on the first page, and on every other.

    Examples
    --------
    >>> pack([30.0, 40.0, 70.0], first=50.0, room=100.0)
    [[1], [0, 2]]
    """
    pages: list[list[int]] = [[]]
    free = [first]
    for block in sorted(range(len(heights)), key=lambda block: -heights[block]):
        height = heights[block]
        page = next((page for page, left in enumerate(free) if height <= left), len(pages))
        if page == len(pages):
            pages.append([])
            free.append(room)
        pages[page].append(block)
        free[page] -= height
    return [sorted(page) for page in pages]


def text_height(text: str, width: float, size: float, max_lines: int = MOST_LINES) -> float:
    """Return the height of text in lines of at most a width [pt]."""
    return 1.3 * size * len(wrap(text, width, max_lines, size=size))


# --- matches ----------------------------------------------------------------------------------------


def match_blocks(sheets: Sequence[MatchSheet]) -> list[Block]:
    """Return rows of matches: two pairs' or three players' beside one another."""
    across = 3 if all(len(sheet.ours) == 1 for sheet in sheets) else 2
    numbered = list(enumerate(sheets, 1))
    return [_match_row(numbered[k : k + across], across) for k in range(0, len(numbered), across)]


def _match_row(row: Sequence[tuple[int, MatchSheet]], across: int) -> Block:
    wide = (WIDE - (across - 1) * _GAP) / across

    def write(sheet: Canvas, y: float) -> None:
        for place, (number, match) in enumerate(row):
            _write_match(sheet, LEFT + place * (wide + _GAP), y, wide, number, match)

    numbers = " and ".join(f"{number}" for number, _ in row)
    title = f"match{'es' * (len(row) > 1)} {numbers}"
    return Block(title, max(_match_height(match, number, wide) for number, match in row), write)


def _match_title(match: MatchSheet, number: int) -> str:
    return f"{number}  {match.sides}"


def _match_columns(match: MatchSheet, wide: float) -> list[tuple[float, float, str]]:
    """Return the left, the width and the head of each player's column."""
    unit = (wide - _FIRST) / (2 * len(match.ours) + len(match.receivers))
    columns, x = [], _FIRST
    for name, share in [(name, 2) for name in match.ours] + [(name, 1) for name in match.receivers]:
        columns.append((x, share * unit - 4, name))
        x += share * unit
    return columns


def _match_cells(match: MatchSheet, hole: MatchHole) -> list[str]:
    """Return what stands in each player's column; dots of a pair with one ball stand by the hole."""
    ours = [
        "" if tee.drive is None else f"{tee.drive.strike} {'' if match.shared else tee.dots}".strip()
        for tee in hole.ours
    ]
    return [*ours, *hole.their_dots]


def _cell_wide(match: MatchSheet, column: int, wide: float) -> float:
    return wide - _MARKER if column < len(match.ours) else wide


def _match_row_height(
    match: MatchSheet, hole: MatchHole, columns: Sequence[tuple[float, float, str]]
) -> float:
    cells = enumerate(zip(_match_cells(match, hole), columns, strict=True))
    return max(
        _LINE + 1,
        *(text_height(cell, _cell_wide(match, k, wide), SMALL) + 1 for k, (cell, (_, wide, _)) in cells),
    )


def _match_height(match: MatchSheet, number: int, wide: float) -> float:
    columns = _match_columns(match, wide)
    heads = max(text_height(name, width, SMALL) for _, width, name in columns)
    rows = sum(_match_row_height(match, hole, columns) for hole in match.holes)
    title = 1.3 * 9 * len(wrap(_match_title(match, number), wide, MOST_LINES, size=9, bold=True))
    expected = text_height(sentence(match.expected), wide, 8, 2)
    changes = sum(text_height(sentence(text), wide, 7.5) for text in (*match.meetings, *match.changes))
    return title + expected + 2 + heads + rows + changes + 12


def _write_match(sheet: Canvas, left: float, y: float, wide: float, number: int, match: MatchSheet) -> None:
    """Write a match: both sides, and on each hole our strikes and the strokes that each side receives."""
    title = _match_title(match, number)
    y = sheet.write(left, y, title, size=9, bold=True, width=wide, max_lines=MOST_LINES, tag="H2")
    y = sheet.write(left, y, sentence(match.expected), size=8, width=wide, max_lines=2) + 2
    for text in match.meetings:
        y = sheet.write(left, y, sentence(text), size=7.5, width=wide, max_lines=MOST_LINES)
    columns = _match_columns(match, wide)
    below = y + max(text_height(name, width, SMALL) for _, width, name in columns)
    with sheet.within("TR"):
        sheet.write(left, below - _LINE, "hole", size=SMALL, colour=QUIET, tag="TH")
        sheet.write_right(left + _FIRST - 8, below - _LINE, "par", size=SMALL, colour=QUIET, tag="TH")
        for x, width, name in columns:
            with sheet.within("TH"):
                sheet.write(left + x, y, name, size=SMALL, colour=QUIET, width=width, max_lines=MOST_LINES)
    for hole in match.holes:
        sheet.draw_rule(left, left + wide, below + 0.5)
        y, below = below, below + _match_row_height(match, hole, columns)
        with sheet.within("TR"):
            _write_match_row(sheet, left, y, match, hole, columns)
    for change in match.changes:
        below = sheet.write(left, below, sentence(change), size=7.5, width=wide, max_lines=MOST_LINES)


def _write_match_row(
    sheet: Canvas,
    left: float,
    y: float,
    match: MatchSheet,
    hole: MatchHole,
    columns: Sequence[tuple[float, float, str]],
) -> None:
    with sheet.within("TD"):
        sheet.write(left, y, f"{hole.hole.number}", size=SMALL, bold=True)
        if match.shared:
            sheet.write(left + 11, y, hole.ours[0].dots, size=SMALL)
    sheet.write_right(left + _FIRST - 8, y, hole.par, size=SMALL)
    for k, (cell, (x, width, _)) in enumerate(zip(_match_cells(match, hole), columns, strict=True)):
        drive = hole.ours[k].drive if k < len(hole.ours) else None
        if drive is not None:
            sheet.draw_marker(left + x + 3, y + 5, DRIVER_STYLES.get(drive.strike, CLUB_STYLE))
        at, room = left + x + _MARKER * (drive is not None), _cell_wide(match, k, width)
        sheet.write(at, y, cell, size=SMALL, width=room, max_lines=MOST_LINES)


# --- strips -----------------------------------------------------------------------------------------


def strip_blocks(strips: Iterable[PlayerStrip]) -> Iterator[Block]:
    """Yield a strip to cut for each player."""
    for strip in strips:
        yield Block(strip.name, _strip_height(strip), _strip_writer(strip))


def _strip_writer(strip: PlayerStrip) -> Callable[[Canvas, float], None]:
    return lambda sheet, y: _write_strip(sheet, y, strip)


def _strip_height(strip: PlayerStrip) -> float:
    columns = max(sum(map(_row_height, column)) for column in _columns(strip))
    place = text_height(sentence(strip.company), WIDE, 8) if strip.company else 0
    texts = map(sentence, (*strip.meetings, *strip.changes))
    changes = sum(text_height(text, WIDE, 7.5) for text in texts)
    return 16 + place + _LINE + columns + changes + 14


def _columns(strip: PlayerStrip) -> tuple[tuple[TeeLine, ...], tuple[TeeLine, ...]]:
    half = -(-len(strip.tees) // 2)
    return strip.tees[:half], strip.tees[half:]


def _row_height(tee: TeeLine) -> float:
    if tee.drive is None:
        return 1 + _LINE
    aim = text_height(tee.drive.mark.text(), _AIM_END - _aim_left(tee.drive.strike), SMALL)
    return 1 + max(aim, text_height(tee.drive.strike, _STRIKE_WIDE, SMALL))


def _aim_left(strike: str) -> float:
    """Return where the aim of a strike begins, from a column's left."""
    return (
        _HIT
        + max(printed_width(line, SMALL) for line in wrap(strike, _STRIKE_WIDE, MOST_LINES, size=SMALL))
        + 5
    )


def _write_strip(sheet: Canvas, y: float, strip: PlayerStrip) -> None:
    """Write what one player needs, between two lines to cut along."""
    end = y + _strip_height(strip)
    for line in (y - 5, end - 5):
        sheet.draw_line(LEFT, RIGHT, line, lw=0.6, c=QUIET, ls=(0, (4, 3)))
    y = sheet.write(LEFT, y, strip.name, size=11, bold=True, width=WIDE, max_lines=1, tag="H2")
    if strip.company:
        y = sheet.write(LEFT, y, sentence(strip.company), size=8, width=WIDE, max_lines=MOST_LINES)
    for text in strip.meetings:
        y = sheet.write(LEFT, y, sentence(text), size=7.5, width=WIDE, max_lines=MOST_LINES)
    top = below = y + 2
    for left, column in zip((LEFT, LEFT + _COLUMN), _columns(strip), strict=True):
        y = top
        if column:
            with sheet.within("TR"):
                sheet.write(left, y, "hole", size=SMALL, colour=QUIET, tag="TH")
                for x, head in ((_PAR, "par"), (_YARDS, "yd")):
                    sheet.write_right(left + x, y, head, size=SMALL, colour=QUIET, tag="TH")
                sheet.write(left + _HIT - 1, y, "hit, and aim", size=SMALL, colour=QUIET, tag="TH")
                sheet.write_right(left + _WORTH, y, "next best", size=SMALL, colour=QUIET, tag="TH")
            y += _LINE
        for tee in column:
            with sheet.within("TR"):
                _write_tee(sheet, left, y, tee)
            y += _row_height(tee)
        below = max(below, y)
    for change in strip.changes:
        below = sheet.write(LEFT, below, sentence(change), size=7.5, width=WIDE, max_lines=MOST_LINES)


def _write_tee(sheet: Canvas, left: float, y: float, tee: TeeLine) -> None:
    """Write a hole, the strokes received there, the strike, the aim, and what the next best costs more."""
    with sheet.within("TD"):
        sheet.write(left, y, f"{tee.hole.number}", size=SMALL, bold=True)
        sheet.write(left + 11, y, tee.dots, size=SMALL)
    sheet.write_right(left + _PAR, y, f"{tee.par}", size=SMALL)
    sheet.write_right(left + _YARDS, y, tee.yards, size=SMALL)
    if tee.drive is None:
        sheet.write(left + _HIT - 1, y, "partner drives", size=SMALL, colour=QUIET)
        sheet.write_right(left + _WORTH, y, "")
        return
    strike = tee.drive.strike
    sheet.draw_marker(left + _HIT - 6, y + 5, DRIVER_STYLES.get(strike, CLUB_STYLE))
    with sheet.within("TD"):
        sheet.write(left + _HIT, y, strike, size=SMALL, width=_STRIKE_WIDE, max_lines=MOST_LINES)
        x, aim = _aim_left(strike), tee.drive.mark.text()
        sheet.write(left + x, y, aim, size=SMALL, colour=QUIET, width=_AIM_END - x, max_lines=MOST_LINES)
    sheet.write_right(left + _WORTH, y, worth_text(tee.drive), size=SMALL)
