"""The pocket card: nine strips to a page that folds twice each way, a strip a hole, read in three seconds."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure
from matplotlib.transforms import Affine2D

from holesim._version import __version__
from holesim.common.text_format import distance, sentence
from holesim.handouts.hole_map import PAGE, blank_page, draw_compass, draw_strike_map, sheet_at
from holesim.handouts.plan_words import mark_of
from holesim.pictures.hole_picture import styles
from holesim.pictures.typesetting import QUIET, SMALL, Sheet, write_pdf
from holesim.plan import explain
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import flips_text
from holesim.plan.plan_file import PlanFile, StrikeFile, TeeFile
from holesim.units import YARD

_LEFT, _TOP, _BOTTOM = 22.0, 44.0, 50.0
_ACROSS, _DOWN = 3, 3
_WIDE: Final = (PAGE[0] - 2 * _LEFT) / _ACROSS
_TALL: Final = (PAGE[1] - _TOP - _BOTTOM) / _DOWN
_PAD: Final = 8.0
_HEAD: Final = 26.0  # above the map
_MAP: Final = 76.0  # across it
_COMPASS: Final = 24.0  # tall
_WORDS: Final = _PAD + _MAP + 8  # where they stand
_MOST: Final = {"clear": 2, "reach": 2, "beside": 2}
_COSTLY: Final = ("out of bounds", "red penalty area", "yellow penalty area", "bunker", "trees")


def write_pocket(plans: Sequence[PlanFile], path: Path, *, metric: bool = False) -> None:
    """Write the pocket card of each wind as a PDF; the same plans give the same bytes."""
    write_pdf((page for plan in plans for page in pocket_pages(plan, metric=metric)), path)


def pocket_pages(plan: PlanFile, *, metric: bool) -> Iterator[Figure]:
    """Yield the pages of the card: for each set of tees, nine holes to a page."""
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for some in (tees[i : i + _ACROSS * _DOWN] for i in range(0, len(tees), _ACROSS * _DOWN)):
            figure = blank_page()
            sheet = sheet_at(figure, 0.0, 0.0)
            _write_head(sheet, plan, some, metric=metric)
            _draw_folds(sheet)
            for place, tee in enumerate(some):
                row, column = divmod(place, _ACROSS)
                _draw_strip(figure, (_LEFT + column * _WIDE, _TOP + row * _TALL), plan, tee, metric=metric)
            _write_foot(sheet)
            yield figure


def _write_head(sheet: Sheet, plan: PlanFile, tees: Sequence[TeeFile], *, metric: bool) -> None:
    wide = PAGE[0] - 2 * _LEFT
    y = sheet.write(_LEFT, 12, plan.course, size=10, bold=True, width=wide, most=1)
    text = f"for {plan.player}; {tees[0].tee} tees; {plan.round_text(metric=metric)}"
    sheet.write(_LEFT, y, sentence(text), size=SMALL, colour=QUIET, width=wide, most=1)


def _write_foot(sheet: Sheet) -> None:
    made = f"A printed plan, made before the round with holesim {__version__}."
    legend = (
        "Inside the outlines half of the drives finish, and nine in ten (dashed). "
        "Likely 86: 86 in 100 that the choice is better than what stands below."
    )
    text = " ".join((made, legend, *explain.CAUTIONS))
    sheet.write(_LEFT, PAGE[1] - _BOTTOM + 5, text, size=SMALL, colour=QUIET, width=PAGE[0] - 2 * _LEFT)


def _draw_folds(sheet: Sheet) -> None:
    """Rule the strips apart, where the card is folded."""
    for row in range(_DOWN + 1):
        sheet.rule(_LEFT, PAGE[0] - _LEFT, _TOP + row * _TALL)
    for column in range(1, _ACROSS):
        x = _LEFT + column * _WIDE
        sheet.path([(x, _TOP), (x, _TOP + _DOWN * _TALL)], lw=0.5, c="#b8b8b8")


def _draw_strip(
    figure: Figure, corner: tuple[float, float], plan: PlanFile, tee: TeeFile, *, metric: bool
) -> None:
    """Draw a hole and what to do on it, its upper left corner so far from that of the page [pt]."""
    sheet, hole, choice = sheet_at(figure, *corner), plan.hole(tee.hole), tee.chosen()
    sheet.write(_PAD, 2, f"{tee.hole}", size=19, bold=True)
    place = f"par {tee.par}, {distance(tee.length_yd * YARD, metric=metric)}"
    index = "" if hole.stroke_index is None else f", index {hole.stroke_index}"
    sheet.write(_PAD + 33, 11, place + index, size=8, width=_WIDE - _PAD - 40, most=1)
    box = corner[0] + _PAD, corner[1] + _HEAD, _MAP, _TALL - _HEAD - _PAD
    view = draw_strike_map(figure, box, plan, tee, choice, [choice])

    x, wide = _WORDS, _WIDE - _WORDS - 4
    sheet.mark(x + 5, _HEAD + 10, styles([choice])[0])
    y = sheet.write(x + 13, _HEAD, choice.label, size=15, bold=True, width=wide - 13, most=2)
    y = sheet.write(x, y + 2, choice.sight.text(metric=metric), size=10, width=wide, most=4)
    ways, others = list(_ways(choice, metric=metric)), list(_else(plan, tee, metric=metric))
    blank = Sheet(lambda _: None, Affine2D())
    while ways and _write_words(blank, y, ways, others, wide) > _TALL - _PAD - _COMPASS:
        ways.pop()
    _write_words(sheet, y, ways, others, wide)
    draw_compass(sheet, _WORDS, _TALL - _PAD - 12, plan, tee, view, metric=metric)


def _write_words(sheet: Sheet, y: float, ways: Sequence[str], others: Sequence[str], wide: float) -> float:
    """Write what is in the way, and what else to know; return where the words end."""
    for text in ways:
        y = sheet.write(_WORDS, y + 4, text, size=9, width=wide, most=2)
    y += 3
    for text in others:
        y = sheet.write(_WORDS, y + 3, text, size=8.5, width=wide, colour=QUIET, most=3)
    return y


def _ways(choice: StrikeFile, *, metric: bool) -> Iterator[str]:
    """Yield what is to be carried, what not to be reached, and what lies beside, the costliest first."""
    for way, most in _MOST.items():
        some = [reach for reach in choice.in_the_way if reach.way == way]
        some.sort(key=lambda reach: (_COSTLY.index(reach.what), reach.near_yd))
        for reach in sorted(some[:most], key=lambda reach: reach.near_yd):
            yield reach.text(metric=metric)


def _else(plan: PlanFile, tee: TeeFile, *, metric: bool) -> Iterator[str]:
    """Yield how sure the choice is, what the other strike costs, and the wind in which it would be chosen."""
    if mark := mark_of(tee):
        yield mark
    rival = tee.held_against()
    if rival is not None and rival.over_choice is not None:
        goal = GOALS[plan.options.goal]
        yield f"{rival.label} {rival.over_choice.text(goal)} {goal.head}"
    if tee.warning:
        yield tee.warning
    if tee.flips:
        yield f"felt wind: {flips_text(tee.felt()[:1], metric=metric)}"
