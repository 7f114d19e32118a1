"""The captain's sheet: who plays whom and what choices gain, then a strip for each player to cut off."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.hole_map import blank_page, canvas_at
from holesim.pictures.hole_picture import CLUB_STYLE, DRIVER_STYLES
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, wrap, write_pdf
from holesim.plan import explain
from holesim.reports.team_text import (
    LEGEND,
    PlayerStrip,
    TeeLine,
    assumed_text,
    conditions_text,
    expected_text,
    format_text,
    player_strips,
    side_text,
    strip_legend,
    tees_text,
    total_text,
    worth_text,
)
from holesim.reports.team_words import findings
from holesim.team.team_plan import TeamPlan

_LEFT, _RIGHT, _TOP, _BOTTOM = 36.0, 559.0, 44.0, 800.0
_WIDE: Final = _RIGHT - _LEFT
_COLUMN: Final = _WIDE / 2 + 6
_PAR, _YARDS, _HIT, _WORTH, _AIM = 37.0, 57.0, 71.0, 137.0, 143.0  # from a column's left
_AIM_WIDE: Final = _COLUMN - 12 - _AIM
_STRIKE_WIDE: Final = _WORTH - _HIT - 24
_LINE: Final = 1.3 * SMALL
_NAMES_WIDE: Final = 184.0  # of the table of opponents
_MOST_LINES: Final = 4


def write_captain_sheet(plan: TeamPlan, path: Path) -> None:
    """Write the captain's sheet as a PDF; the same plan gives the same bytes."""
    write_pdf(captain_pages(plan), path)


def captain_pages(plan: TeamPlan) -> Iterator[Figure]:
    """Yield the captain's own page, and pages of strips."""
    yield from _overview(plan)
    strips = player_strips(plan)
    legend = strip_legend(strips)
    figure, sheet, top = _strips(plan, legend)
    y = top
    for strip in strips:
        tall = _strip_height(strip)
        if y > top and y + tall > _BOTTOM:
            yield figure
            figure, sheet, y = _strips(plan, legend)
        y = _write_strip(sheet, y, strip)
    yield figure


def _strips(plan: TeamPlan, legend: str) -> tuple[Figure, Canvas, float]:
    """Return a page for strips under their legend, and where they begin."""
    figure, sheet = _page(plan, "a strip for each player")
    y = sheet.write(_LEFT, _TOP, legend, size=SMALL, colour=QUIET, width=_WIDE, max_lines=3)
    return figure, sheet, y + 6


def _page(plan: TeamPlan, what: str) -> tuple[Figure, Canvas]:
    """Return a page with its head, and a foot that says it is paper."""
    figure = blank_page()
    sheet = canvas_at(figure, 0.0, 0.0)
    sheet.write(_LEFT, 14, plan.course.name, size=9, bold=True, width=_WIDE, max_lines=1)
    said = sentence(f"{plan.team.name}; {format_text(plan)}; {what}")
    sheet.write(_LEFT, 26, said, size=SMALL, colour=QUIET, width=_WIDE, max_lines=1)
    made = f"A printed plan, made before the round with holesim {__version__}."
    text = " ".join((made, *explain.CAUTIONS))
    sheet.write(_LEFT, _BOTTOM + 8, text, size=SMALL, colour=QUIET, width=_WIDE, max_lines=3)
    return figure, sheet


# --- the captain's own ------------------------------------------------------------------------------


def _overview(plan: TeamPlan) -> Iterator[Figure]:
    figure, sheet = _page(plan, conditions_text(plan))
    y = sheet.write(_LEFT, _TOP, plan.team.name, size=18, bold=True, width=_WIDE, max_lines=2)
    y = sheet.write(_LEFT, y + 2, sentence(total_text(plan)), size=10, width=_WIDE, max_lines=2) + 4
    for text in findings(plan):
        y = sheet.write(_LEFT, y + 1, sentence(text), size=9, width=_WIDE, max_lines=2)
    y += 8
    for number, side in enumerate(plan.sides, 1):
        wide, tees = _WIDE - 24, [sentence(text) for text in tees_text(side)]
        tall = 46 + sum(_text_height(text, wide, 8) for text in tees)
        if y + tall > _BOTTOM:
            yield figure
            figure, sheet = _page(plan, conditions_text(plan))
            y = _TOP
        sheet.draw_rule(_LEFT, _RIGHT, y)
        sheet.write(_LEFT, y + 4, f"{number}", size=12, bold=True)
        y = sheet.write(_LEFT + 24, y + 5, side_text(side), size=9, bold=True, width=wide, max_lines=2)
        y = sheet.write(
            _LEFT + 24, y, sentence(expected_text(side, plan.unit)), size=9, width=wide, max_lines=1
        )
        for text in tees:
            y = sheet.write(_LEFT + 24, y, text, size=8, colour=QUIET, width=wide, max_lines=_MOST_LINES)
        y += 4
    y = sheet.draw_rule(_LEFT, _RIGHT, y) + 8
    below = [text for text in (LEGEND, assumed_text(plan)) if text]
    rows = sum(2 + _text_height(" and ".join(names), _NAMES_WIDE, 8) for names in plan.rows)
    chances = 90 + rows if plan.points else 0
    if y + chances + 6 * _LINE > _BOTTOM:
        yield figure
        figure, sheet = _page(plan, conditions_text(plan))
        y = _TOP
    if plan.points:
        y = _write_points(sheet, y, plan)
    for text in below:
        y = sheet.write(_LEFT, y, text, size=SMALL, colour=QUIET, width=_WIDE, max_lines=3)
    yield figure


def _write_points(sheet: Canvas, y: float, plan: TeamPlan) -> float:
    """Write the points that each side may expect against each opponent."""
    y = sheet.write(_LEFT, y, "Expected points against", size=9, bold=True, width=_WIDE) + 1
    numbered = (f"{number} {' and '.join(names)}" for number, names in enumerate(plan.opponents, 1))
    y = sheet.write(_LEFT, y, "; ".join(numbered), size=SMALL, colour=QUIET, width=_WIDE, max_lines=6) + 3
    first, across = _LEFT + 190, (_WIDE - 190) / max(len(plan.opponents), 8)
    for column in range(len(plan.opponents)):
        sheet.write_right(first + (column + 1) * across, y, f"{column + 1}", size=8, colour=QUIET)
    below = y + 1.3 * 8
    for names, row in zip(plan.rows, plan.points, strict=True):
        y = below + 2
        below = sheet.write(_LEFT, y, " and ".join(names), size=8, width=_NAMES_WIDE, max_lines=_MOST_LINES)
        for column, points in enumerate(row):
            sheet.write_right(first + (column + 1) * across, y, f"{points:.2f}", size=8)
    return below + 10


# --- to hand out ------------------------------------------------------------------------------------


def _strip_height(strip: PlayerStrip) -> float:
    """Return the height of a strip."""
    columns = max(sum(map(_row_height, column)) for column in _columns(strip))
    place = _text_height(sentence(strip.company), _WIDE, 8) if strip.company else 0
    changes = sum(_text_height(text, _WIDE, 7.5) for text in map(sentence, strip.changes))
    return 16 + place + _LINE + columns + changes + 20


def _text_height(text: str, width: float, size: float) -> float:
    return 1.3 * size * len(wrap(text, width, _MOST_LINES, size=size))


def _columns(strip: PlayerStrip) -> tuple[tuple[TeeLine, ...], tuple[TeeLine, ...]]:
    half = -(-len(strip.tees) // 2)
    return strip.tees[:half], strip.tees[half:]


def _row_height(tee: TeeLine) -> float:
    if tee.drive is None:
        return 2 + _LINE
    aim, strike = (tee.drive.mark.text(), _AIM_WIDE), (tee.drive.strike, _STRIKE_WIDE)
    return 2 + max(_text_height(text, width, SMALL) for text, width in (aim, strike))


def _write_strip(sheet: Canvas, y: float, strip: PlayerStrip) -> float:
    """Write what one player needs; return where the next strip begins."""
    end = y + _strip_height(strip)
    y = sheet.write(_LEFT, y, strip.name, size=11, bold=True, width=_WIDE, max_lines=1)
    if strip.company:
        y = sheet.write(_LEFT, y, sentence(strip.company), size=8, width=_WIDE, max_lines=_MOST_LINES)
    top = below = y + 2
    for left, column in zip((_LEFT, _LEFT + _COLUMN), _columns(strip), strict=True):
        y = top
        if column:
            for x, head in ((0, "hole"), (_HIT - 1, "hit"), (_AIM, "aim")):
                sheet.write(left + x, y, head, size=SMALL, colour=QUIET)
            for x, head in ((_PAR, "par"), (_YARDS, "yd"), (_WORTH, "next best")):
                sheet.write_right(left + x, y, head, size=SMALL, colour=QUIET)
            y += _LINE
        for tee in column:
            _write_tee(sheet, left, y, tee)
            y += _row_height(tee)
        below = max(below, y)
    for change in strip.changes:
        below = sheet.write(_LEFT, below, sentence(change), size=7.5, width=_WIDE, max_lines=_MOST_LINES)
    sheet.draw_line(_LEFT, _RIGHT, end - 5, lw=0.6, c=QUIET, ls=(0, (4, 3)))
    return end


def _write_tee(sheet: Canvas, left: float, y: float, tee: TeeLine) -> None:
    """Write a hole, the strokes received there, the strike, what the next best costs more, and the aim."""
    sheet.write(left, y, f"{tee.hole.number}", size=SMALL, bold=True)
    sheet.write(left + 11, y, tee.dots, size=SMALL)
    sheet.write_right(left + _PAR, y, f"{tee.par}", size=SMALL)
    sheet.write_right(left + _YARDS, y, tee.yards, size=SMALL)
    if tee.drive is None:
        sheet.write(left + _HIT - 1, y, "partner drives", size=SMALL, colour=QUIET)
        return
    strike = tee.drive.strike
    sheet.draw_marker(left + _HIT - 6, y + 5, DRIVER_STYLES.get(strike, CLUB_STYLE))
    sheet.write(left + _HIT, y, strike, size=SMALL, width=_STRIKE_WIDE, max_lines=2)
    sheet.write_right(left + _WORTH, y, worth_text(tee.drive), size=SMALL)
    aim = tee.drive.mark.text()
    sheet.write(left + _AIM, y, aim, size=SMALL, colour=QUIET, width=_AIM_WIDE, max_lines=_MOST_LINES)
