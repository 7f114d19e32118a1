"""The pocket card: nine holes to a page that folds twice each way, each read in three seconds."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.hole_map import draw_compass, draw_strike_map
from holesim.handouts.plan_words import (
    OUTLINES_NOTE,
    hole_text,
    plan_title,
    sureness_text,
    tee_and_ball_texts,
)
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.paper import BOTTOM, LEFT, RIGHT, TOP, Paper
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, Page, scratch_canvas, write_pdf
from holesim.plan import explain
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import flips_text
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile

_TOP, _BOTTOM = TOP + 43, BOTTOM - 54  # of the strips
_ACROSS, _DOWN = 3, 3
_WIDE: Final = (RIGHT - LEFT) / _ACROSS
_TALL: Final = (_BOTTOM - _TOP) / _DOWN
_PAD: Final = 8.0
_HEAD: Final = 26.0  # above the map
_MAP: Final = 64.0  # across it
_COMPASS: Final = 22.0  # tall
_TEXT: Final = _PAD + _MAP + 8  # its left edge in a strip
_MAX_HAZARDS: Final = {"clear": 2, "reach": 2, "beside": 2}
_COSTLIEST_FIRST: Final = ("out of bounds", "red penalty area", "yellow penalty area", "bunker", "trees")


def write_pocket(plans: Sequence[PlanFile], path: Path, *, metric: bool = False, paper: Paper = "a4") -> None:
    """Write the pocket card of each wind as a PDF; the same plans give the same bytes."""
    pages = (page for plan in plans for page in pocket_pages(plan, metric=metric))
    write_pdf(pages, path, plan_title("A pocket card", plans), paper=paper)


def pocket_pages(plan: PlanFile, *, metric: bool) -> Iterator[Page]:
    """Yield the pages of the card, nine holes each, of each set of tees in turn."""
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for first in range(0, len(tees), _ACROSS * _DOWN):
            nine = tees[first : first + _ACROSS * _DOWN]
            page = Page()
            canvas = page.canvas_at(0.0, 0.0)
            _write_head(canvas, plan, name, metric=metric)
            _draw_folds(canvas)
            for place, tee in enumerate(nine):
                row, column = divmod(place, _ACROSS)
                _draw_strip(page, (LEFT + column * _WIDE, _TOP + row * _TALL), plan, tee, metric=metric)
            _write_foot(canvas)
            yield page


def _write_head(canvas: Canvas, plan: PlanFile, tee: str, *, metric: bool) -> None:
    wide = RIGHT - LEFT
    y = canvas.write(LEFT, TOP, plan.course, size=10, bold=True, width=wide, max_lines=1, tag="H1")
    text = f"for {plan.player}; {tee} tees; {plan.round_text(metric=metric)}"
    y = canvas.write(LEFT, y, sentence(text), size=SMALL, colour=QUIET, width=wide, max_lines=1)
    tees = "; ".join(tee_and_ball_texts(plan))
    canvas.write(LEFT, y, sentence(tees), size=SMALL, width=wide, max_lines=2)


def _write_foot(canvas: Canvas) -> None:
    made = f"A printed plan, made before the round with holesim {__version__}."
    legend = (
        "Likely 86: a chance of 86 in 100 that the choice is better than the strike named below it, whose "
        "numbers are the difference if you hit it. Felt wind: what to hit instead in that wind on the tee."
    )
    text = " ".join((made, OUTLINES_NOTE, legend, *explain.CAUTIONS))
    canvas.write(LEFT, _BOTTOM + 5, text, size=SMALL, colour=QUIET, width=RIGHT - LEFT)


def _draw_folds(canvas: Canvas) -> None:
    """Draw lines between the strips, where the card is folded."""
    for row in range(_DOWN + 1):
        canvas.draw_rule(LEFT, RIGHT, _TOP + row * _TALL)
    for column in range(1, _ACROSS):
        x = LEFT + column * _WIDE
        canvas.draw_path([(x, _TOP), (x, _TOP + _DOWN * _TALL)], lw=0.5, c="#b8b8b8")


def _draw_strip(
    page: Page, corner: tuple[float, float], plan: PlanFile, tee: TeeFile, *, metric: bool
) -> None:
    """Draw a hole and what to do on it, below and right of a corner on the page [pt]."""
    canvas, choice = page.canvas_at(*corner), tee.chosen()
    with canvas.within("H2"):
        canvas.write(_PAD, 2, f"{tee.hole}", size=19, bold=True)
        place = hole_text(plan, tee, metric=metric)
        canvas.write(_PAD + 33, 11, place, size=8, width=_WIDE - _PAD - 40, max_lines=1)
    box = corner[0] + _PAD, corner[1] + _HEAD, _MAP, _TALL - _HEAD - _PAD
    map_axes = draw_strike_map(page, box, plan, tee, choice, [choice], metric=metric)

    x, wide = _TEXT, _WIDE - _TEXT - 4
    canvas.draw_marker(x + 5, _HEAD + 10, strike_style(choice))
    y = canvas.write(x + 13, _HEAD, choice.label, size=15, bold=True, width=wide - 13, max_lines=2)
    y = canvas.write(x, y + 2, choice.sight.text(metric=metric), size=10, width=wide, max_lines=4)
    hazards, others = list(_hazard_texts(choice, metric=metric)), list(_other_texts(plan, tee, metric=metric))
    while hazards and _write_texts(scratch_canvas(), y, hazards, others, wide) > _TALL - _PAD - _COMPASS:
        hazards.pop()
    _write_texts(canvas, y, hazards, others, wide)
    draw_compass(canvas, _TEXT, _TALL - _PAD - 12, plan, tee, map_axes, metric=metric)


def _write_texts(
    canvas: Canvas, y: float, hazards: Sequence[str], others: Sequence[str], wide: float
) -> float:
    """Write which hazards are in play, and what else to know; return the next y."""
    for text in hazards:
        y = canvas.write(_TEXT, y + 2, text, size=8.5, width=wide, max_lines=2)
    y += 3
    for text in others:
        y = canvas.write(_TEXT, y + 2, text, size=8, width=wide, colour=QUIET, max_lines=3)
    return y


def _hazard_texts(choice: StrikeFile, *, metric: bool) -> Iterator[str]:
    """Yield what to carry, what not to reach and what lies beside: the costliest of each, by distance."""
    for way, count in _MAX_HAZARDS.items():
        hazards = [reach for reach in choice.in_the_way if reach.way == way]
        hazards.sort(key=lambda reach: (_COSTLIEST_FIRST.index(reach.what), reach.near_yd))
        for reach in sorted(hazards[:count], key=lambda reach: reach.near_yd):
            yield reach.text(metric=metric)


def _other_texts(plan: PlanFile, tee: TeeFile, *, metric: bool) -> Iterator[str]:
    """Yield how sure the choice is, what its rival costs more, and which felt wind changes the choice."""
    if sureness := sureness_text(tee):
        yield sureness
    rival = tee.choice_rival()
    if rival is not None and rival.over_choice is not None:
        goal = GOALS[plan.options.goal]
        yield f"{rival.label} {rival.over_choice.text(goal)} {goal.head}"
    if tee.warning:
        yield tee.warning
    if tee.flips:
        yield f"felt wind: {flips_text(tee.felt()[:1], metric=metric)}"
