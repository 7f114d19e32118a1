"""The captain's sheet: who plays whom and what choices gain, then a strip for each player to cut off."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure

from holesim import __version__, advice
from holesim.captain import TeamPlan
from holesim.captain_report import (
    HandOut,
    conditions_text,
    driving_text,
    findings,
    format_text,
    hand_outs,
    side_text,
    total_text,
)
from holesim.hole_map import blank_page, sheet_at
from holesim.picture import CLUB, DRIVER
from holesim.sheet import QUIET, SMALL, Sheet, write_pdf
from holesim.words import sentence

_LEFT, _RIGHT, _TOP, _BOTTOM = 36.0, 559.0, 44.0, 800.0
_WIDE: Final = _RIGHT - _LEFT
_IN_A_ROW: Final = 9
_CELL: Final = _WIDE / _IN_A_ROW
_CELL_TALL: Final = 22.0
_CHANGES: Final = 4  # lines of them on a strip


def write_captain(plan: TeamPlan, path: Path) -> None:
    """Write the captain's sheet as a PDF; the same plan gives the same bytes."""
    write_pdf(captain_pages(plan), path)


def captain_pages(plan: TeamPlan) -> Iterator[Figure]:
    """Yield the captain's own page, and pages of strips."""
    yield from _overview(plan)
    figure, sheet = _page(plan, "a strip for each player")
    y = _TOP
    for strip in hand_outs(plan):
        tall = _tall(strip)
        if y > _TOP and y + tall > _BOTTOM:
            yield figure
            figure, sheet = _page(plan, "a strip for each player")
            y = _TOP
        y = _write_strip(sheet, y, strip)
    yield figure


def _page(plan: TeamPlan, what: str) -> tuple[Figure, Sheet]:
    """Return a page with its head, and at its foot that it is paper."""
    figure = blank_page()
    sheet = sheet_at(figure, 0.0, 0.0)
    sheet.write(_LEFT, 14, plan.course.name, size=9, bold=True, width=_WIDE, most=1)
    said = sentence(f"{plan.team.name}; {format_text(plan)}; {what}")
    sheet.write(_LEFT, 26, said, size=SMALL, colour=QUIET, width=_WIDE, most=1)
    made = f"A printed plan, made before the round with holesim {__version__}."
    text = " ".join((made, *advice.CAUTIONS))
    sheet.write(_LEFT, _BOTTOM + 8, text, size=SMALL, colour=QUIET, width=_WIDE, most=3)
    return figure, sheet


# --- the captain's own ------------------------------------------------------------------------------


def _overview(plan: TeamPlan) -> Iterator[Figure]:
    figure, sheet = _page(plan, conditions_text(plan))
    y = sheet.write(_LEFT, _TOP, plan.team.name, size=18, bold=True, width=_WIDE, most=2)
    y = sheet.write(_LEFT, y + 2, sentence(total_text(plan)), size=10, width=_WIDE, most=2) + 4
    for text in findings(plan):
        y = sheet.write(_LEFT, y + 1, sentence(text), size=9, width=_WIDE, most=2)
    y += 8
    for number, side in enumerate(plan.sides, 1):
        if y > _BOTTOM - 60:
            yield figure
            figure, sheet = _page(plan, conditions_text(plan))
            y = _TOP
        sheet.rule(_LEFT, _RIGHT, y)
        sheet.write(_LEFT, y + 4, f"{number}", size=12, bold=True)
        y = sheet.write(_LEFT + 24, y + 5, side_text(side, plan.unit), size=9, width=_WIDE - 24, most=3)
        if driving := driving_text(side):
            y = sheet.write(_LEFT + 24, y, driving, size=8, colour=QUIET, width=_WIDE - 24, most=2)
        y += 4
    y = sheet.rule(_LEFT, _RIGHT, y) + 8
    if plan.chances and y + 90 + 12 * len(plan.rows) < _BOTTOM:
        y = _write_chances(sheet, y, plan)
    assumed = "; ".join(plan.assumed)
    most = int((_BOTTOM - y - 14) / (1.3 * SMALL))
    if assumed and most > 0:
        head = f"Assumed ({len(plan.assumed)} things, all in team.json): {assumed}"
        sheet.write(_LEFT, y, head, size=SMALL, colour=QUIET, width=_WIDE, most=min(most, 8))
    yield figure


def _write_chances(sheet: Sheet, y: float, plan: TeamPlan) -> float:
    """Write the points that each side may expect against each opponent."""
    y = sheet.write(_LEFT, y, "Expected points against", size=9, bold=True, width=_WIDE) + 1
    numbered = (f"{number} {' and '.join(names)}" for number, names in enumerate(plan.opponents, 1))
    y = sheet.write(_LEFT, y, "; ".join(numbered), size=SMALL, colour=QUIET, width=_WIDE, most=6) + 3
    first, across = _LEFT + 190, (_WIDE - 190) / max(len(plan.opponents), 8)
    for column in range(len(plan.opponents)):
        sheet.write(first + (column + 1) * across, y, f"{column + 1}", size=8, colour=QUIET, align="right")
    for names, row in zip(plan.rows, plan.chances, strict=True):
        y += 12
        sheet.write(_LEFT, y, " and ".join(names), size=8, width=184, most=1)
        for column, points in enumerate(row):
            sheet.write(first + (column + 1) * across, y, f"{points:.2f}", size=8, align="right")
    return y + 20


# --- to hand out ------------------------------------------------------------------------------------


def _tall(strip: HandOut) -> float:
    rows = -(-len(strip.strikes) // _IN_A_ROW)
    return (34 if strip.place else 24) + rows * _CELL_TALL + 10 * min(len(strip.changes), _CHANGES) + 14


def _write_strip(sheet: Sheet, y: float, strip: HandOut) -> float:
    """Write what one player needs; return where the next strip begins."""
    end = y + _tall(strip)
    y = sheet.write(_LEFT, y, strip.name, size=11, bold=True, width=_WIDE, most=1)
    if strip.place:
        y = sheet.write(_LEFT, y, sentence(strip.place), size=8, width=_WIDE, most=1)
    for place, (hole, strike) in enumerate(strip.strikes):
        row, column = divmod(place, _IN_A_ROW)
        x, top = _LEFT + column * _CELL, y + 4 + row * _CELL_TALL
        sheet.write(x, top + 1, f"{hole}", size=8, bold=True, colour=QUIET)
        if strike:
            sheet.mark(x + 17, top + 6, DRIVER.get(strike, CLUB))
            sheet.write(x + 22, top + 2, strike, size=SMALL, width=_CELL - 24, most=1)
        else:
            sheet.write(x + 22, top + 2, "partner", size=SMALL, colour=QUIET)
    rows = -(-len(strip.strikes) // _IN_A_ROW)
    below = y + 4 + rows * _CELL_TALL
    shown = strip.changes if len(strip.changes) <= _CHANGES else strip.changes[: _CHANGES - 1]
    for change in shown:
        sheet.write(_LEFT, below, sentence(change), size=7.5, width=_WIDE, most=1)
        below += 10
    if len(shown) < len(strip.changes):
        more = f"and {len(strip.changes) - len(shown)} more, in team.json"
        sheet.write(_LEFT, below, more, size=7.5, colour=QUIET)
    sheet.line(_LEFT, _RIGHT, end - 5, lw=0.6, c=QUIET, ls=(0, (4, 3)))
    return end
