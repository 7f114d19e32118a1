"""The coach's sheet: the lesson, what lies behind it, then two holes to a page, each with two strikes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.hole_map import (
    draw_compass,
    draw_finishes,
    draw_strike_map,
)
from holesim.handouts.lesson import lesson_page
from holesim.handouts.lesson_head import LessonHead
from holesim.handouts.lesson_words import assumed_text, first_tee, policy_rows
from holesim.handouts.plan_words import (
    OUTLINES_NOTE,
    PLUS_MINUS_NOTE,
    compared_strikes,
    hole_text,
    plan_title,
    reason_text,
    round_notes,
    strike_rows,
    sureness_text,
    tee_notes,
)
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.paper import BOTTOM, LEFT, RIGHT, TOP, Paper
from holesim.pictures.structure import Tag
from holesim.pictures.typesetting import (
    QUIET,
    SMALL,
    Canvas,
    Page,
    printed_width,
    scratch_canvas,
    signed,
    write_pdf,
)
from holesim.plan import explain
from holesim.plan.hole_wind import flips_text
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile
from holesim.study.break_even_file import BreakEvenFile
from holesim.study.practice_file import PracticeFile

_BODY_TOP, _BODY_BOTTOM = TOP + 26, BOTTOM - 24
_DOWN: Final = 2
_TALL: Final = (_BODY_BOTTOM - _BODY_TOP) / _DOWN
_HEAD: Final = 76.0  # height of a hole's text above its maps
_MAP: Final = 128.0  # across one
_GAP: Final = 15.0
_PANEL: Final = (RIGHT - LEFT - _GAP) / 2
_SPREADS: Final = {
    "face_deg": ("face", "{:.1f}°"),
    "path_deg": ("path", "{:.1f}°"),
    "face_path_correlation": ("correlation of face and path", "{:.2f}"),
    "attack_deg": ("attack", "{:.1f}°"),
    "dynamic_loft_deg": ("dynamic loft", "{:.1f}°"),
    "speed_pct": ("club speed", "{:.1f}%"),
    "toe_mm": ("heel or toe", "{:.0f} mm"),
    "high_mm": ("up or down the face", "{:.0f} mm"),
    "miss_rate": ("bad misses", "{:.0%}"),
}


def write_coach(
    plans: Sequence[PlanFile],
    path: Path,
    *,
    break_evens: Sequence[BreakEvenFile] = (),
    practice: PracticeFile | None = None,
    head: LessonHead | None = None,
    metric: bool = False,
    paper: Paper = "a4",
) -> None:
    """Write the coach's sheet of each wind as a PDF; the same plans give the same bytes.

    Parameters
    ----------
    break_evens
        Where choices change, for the page behind the lesson.
    practice, head
        As for `write_lesson`.
    """
    pages = (
        page
        for plan in plans
        for page in coach_pages(plan, break_evens, practice=practice, head=head, metric=metric)
    )
    write_pdf(pages, path, plan_title("A coach's sheet", plans), paper=paper)


def coach_pages(
    plan: PlanFile,
    break_evens: Sequence[BreakEvenFile] = (),
    *,
    practice: PracticeFile | None = None,
    head: LessonHead | None = None,
    metric: bool,
) -> Iterator[Page]:
    """Yield the lesson, what lies behind it, then the holes of each set of tees."""
    yield lesson_page(plan, practice, head or LessonHead(), metric=metric)
    yield _draw_background(plan, break_evens, metric=metric)
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for first in range(0, len(tees), _DOWN):
            page = Page()
            canvas = page.canvas_at(0.0, 0.0)
            _write_head(canvas, plan, f"{name} tees; {plan.round_text(metric=metric)}")
            for place, tee in enumerate(tees[first : first + _DOWN]):
                _draw_hole(page, _BODY_TOP + place * _TALL, plan, tee, metric=metric)
            _write_foot(canvas)
            yield page


def _write_head(canvas: Canvas, plan: PlanFile, said: str) -> None:
    """Write at the head of a page whose plan it is."""
    canvas.write(LEFT, TOP, plan.course, size=9, bold=True, width=RIGHT - LEFT, max_lines=1, tag="H1")
    text = f"for {plan.player}; {said}"
    canvas.write(LEFT, TOP + 12, sentence(text), size=SMALL, colour=QUIET, width=RIGHT - LEFT, max_lines=1)


def _write_foot(canvas: Canvas) -> None:
    """Write at the foot of a page when and how it was made."""
    made = f"A printed plan, made before the round with holesim {__version__}. {explain.CAUTIONS[2]}"
    canvas.write(LEFT, _BODY_BOTTOM + 4, made, size=SMALL, colour=QUIET, width=RIGHT - LEFT, max_lines=2)


# --- a hole ---------------------------------------------------------------------------------------


def _draw_hole(page: Page, y: float, plan: PlanFile, tee: TeeFile, *, metric: bool) -> None:
    """Draw a hole's two strikes and what speaks for each, below y."""
    canvas = page.canvas_at(0.0, 0.0)
    canvas.draw_rule(LEFT, RIGHT, y)
    place = hole_text(plan, tee, metric=metric)
    wind = plan.wind_on(tee)
    blows = "" if wind is None else f"; wind {wind.text(metric=metric)}"
    with canvas.within("H2"):
        canvas.write(LEFT, y + 4, f"{tee.hole}", size=19, bold=True)
        canvas.write(LEFT + 34, y + 6, place + blows, size=9, width=RIGHT - LEFT - 34, max_lines=1)
    why = sentence(reason_text(tee, metric=metric))
    below = canvas.write(LEFT + 34, y + 18, why, size=9, width=RIGHT - LEFT - 34, max_lines=2)
    notes = tee_notes(tee, metric=metric)
    text = " ".join(map(sentence, notes))
    if text:
        canvas.write(LEFT, below + 3, text, size=7.5, colour=QUIET, width=RIGHT - LEFT, max_lines=3)
    shown = compared_strikes(tee)
    for number, strike in enumerate(shown):
        x, top = LEFT + number * (_PANEL + _GAP), y + _HEAD
        box = x, top, _MAP, _TALL - _HEAD - 10
        map_axes = draw_strike_map(page, box, plan, tee, strike, shown, metric=metric)
        draw_finishes(map_axes, strike)
        _write_strike(canvas, x + _MAP + 8, top, plan, tee, strike, metric=metric)
        if not number:
            draw_compass(canvas, x + _MAP + 8, y + _TALL - 22, plan, tee, map_axes, metric=metric)


def _write_strike(
    canvas: Canvas, x: float, y: float, plan: PlanFile, tee: TeeFile, strike: StrikeFile, *, metric: bool
) -> None:
    """Write the aim and the numbers of a strike beside its map."""
    wide, style = _PANEL - _MAP - 8, strike_style(strike)
    canvas.draw_marker(x + 5, y + 9, style)
    with canvas.within("H3"):
        y = canvas.write(
            x + 13, y, strike.label, size=13, bold=True, colour=style.colour, width=wide - 13, max_lines=1
        )
    what = "the choice" if strike is tee.chosen() else "instead"
    y = canvas.write(
        x, y, f"{what}, aimed {strike.sight.text(metric=metric)}", size=8, width=wide, max_lines=4
    )
    y += 3
    y = _write_rows(canvas, x, y, wide, strike_rows(strike, plan, metric=metric))
    y += 3
    for text in [reach.text(metric=metric) for reach in strike.in_the_way if reach.what != "trees"][:4]:
        y = canvas.write(x, y + 1, text, size=7.5, width=wide, max_lines=2)


def _write_rows(canvas: Canvas, x: float, y: float, wide: float, rows: Sequence[tuple[str, str]]) -> float:
    for name, value in rows:
        room = wide - printed_width(value, 7.5) - 5
        with canvas.within("TR"):
            lines = canvas.write(x, y + 1, name, size=7.5, colour=QUIET, width=room)
            canvas.write_right(x + wide, y + 1, value, size=7.5)
        y = lines
    return y


# --- what lies behind ------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Size:
    """How large a page is written [pt], how many texts a list has, and of how many lines each."""

    text: float
    texts: int
    lines: int


_SIZES: Final = (
    _Size(10.0, 30, 9), _Size(9.0, 30, 9), _Size(8.0, 30, 9), _Size(7.5, 20, 9), _Size(7.5, 12, 6),
    _Size(7.5, 8, 4), _Size(7.5, 4, 3),
)  # fmt: skip


def _draw_background(plan: PlanFile, break_evens: Sequence[BreakEvenFile], *, metric: bool) -> Page:
    """Draw the page behind the lesson, as large as it fits."""
    page = Page()
    canvas = page.canvas_at(0.0, 0.0)
    _write_head(canvas, plan, plan.round_text(metric=metric))
    for size in _SIZES:
        if _write_background(scratch_canvas(), plan, break_evens, size, metric=metric) <= _BODY_BOTTOM:
            break
    _write_background(canvas, plan, break_evens, size, metric=metric)
    _write_foot(canvas)
    return page


def _write_background(
    canvas: Canvas, plan: PlanFile, break_evens: Sequence[BreakEvenFile], size: _Size, *, metric: bool
) -> float:
    """Write how the golfer varies, every hole in a row, and what the plan rests on; return where it ends."""
    y = _BODY_TOP + 4
    left = _write_spreads(canvas, y, plan, size)
    right = _write_rounds(canvas, LEFT + _PANEL + _GAP, y, plan, size)
    y = _write_holes(canvas, max(left, right) + size.text, plan, size, metric=metric)
    winds = _wind_texts(plan, metric=metric)
    y = _write_list(canvas, y, "Wind felt on the tee that changes the choice", winds, size)
    points = [text for found in break_evens for text in found.texts()]
    y = _write_list(canvas, y, "Break-even points", points, size)
    y = _write_list(canvas, y, "Assumed, as it was not measured", [assumed_text(plan)], size)
    y = _write_list(canvas, y, "Guessed about the course", plan.guesses, size)
    y = _write_list(canvas, y, "How to read the numbers", [f"{PLUS_MINUS_NOTE} {OUTLINES_NOTE}"], size)
    return _write_list(canvas, y, "Care", [" ".join(explain.CAUTIONS)], size)


def _write_spreads(canvas: Canvas, y: float, plan: PlanFile, size: _Size) -> float:
    """Write how widely each number of a driver strike varies from swing to swing."""
    drivers = [strike for strike in plan.golfer.strikes if strike.club == "driver"]

    def write(y: float, words: str, values: Sequence[str], tag: Tag = "P") -> float:
        column, bold = 4.6 * size.text, tag == "TH"
        room = _PANEL - column * len(values) - 4
        with canvas.within("TR"):
            below = canvas.write(LEFT, y, words, size=size.text, bold=bold, colour=QUIET, width=room, tag=tag)
            for number, value in enumerate(values, 1 - len(values)):
                canvas.write_right(
                    LEFT + _PANEL + column * number, y, value, size=size.text, bold=bold, tag=tag
                )
        return below

    y = write(y, "From swing to swing", [strike.strike for strike in drivers], "TH")
    for key, (words, form) in _SPREADS.items():
        values = [signed(form.format(float(getattr(strike.spread, key)))) for strike in drivers]
        y = write(y, words, values)
    note = "Angles, speed and places are standard deviations: two swings in three are nearer to the average."
    return canvas.write(LEFT, y + 1, note, size=SMALL, colour=QUIET, width=_PANEL)


def _write_rounds(canvas: Canvas, x: float, y: float, plan: PlanFile, size: _Size) -> float:
    """Write the strokes of each way to play a round, from each set of tees."""
    for number, name in enumerate(plan.totals):
        if number >= size.texts:
            return canvas.write(x, y, f"and {len(plan.totals) - number} more sets of tees", size=size.text)
        head = f"The round from the {name} tees"
        with canvas.within("H2"):
            y = canvas.write(x, y, head, size=size.text, bold=True, colour=QUIET, width=_PANEL, max_lines=1)
        for row in policy_rows(plan, name):
            text = f"{row.strokes}{f' ({row.over})' if row.over else ''} {row.words}"
            y = canvas.write(x, y, text, size=size.text, width=_PANEL, max_lines=2)
        for note in round_notes(plan, name):
            y = canvas.write(x, y + 1, sentence(note), size=size.text, width=_PANEL, max_lines=size.lines)
    return y


def _write_holes(canvas: Canvas, y: float, plan: PlanFile, size: _Size, *, metric: bool) -> float:
    """Write a row for each hole: what to hit, where to aim it, and how sure that is."""
    at = (0.0, 26.0, 106.0, 196.0, 374.0, 430.0)
    heads = ("hole", "", "hit", "aim", "strokes", "how sure")
    name = first_tee(plan)
    tees = [tee for tee in plan.tees if tee.tee == name]
    head = f"Every hole from the {name} tees"
    y = canvas.write(LEFT, y, head, size=size.text, bold=True, width=RIGHT - LEFT, max_lines=1, tag="H2") + 1
    with canvas.within("TR"):
        for x, head in zip(at, heads, strict=True):
            canvas.write(LEFT + x, y, head, size=SMALL, colour=QUIET, tag="TH")
    y += 1.4 * SMALL
    for tee in tees[: 3 * size.texts]:
        choice, place = tee.chosen(), hole_text(plan, tee, metric=metric).partition(", index")[0]
        cells = (
            f"{tee.hole}", place, choice.label, choice.sight.text(metric=metric), f"{choice.strokes:.2f}",
            sureness_text(tee) or tee.verdict,
        )  # fmt: skip
        ends = (*at[1:], RIGHT - LEFT)
        small = min(size.text, 8.0)
        with canvas.within("TR"):
            for x, end, text in zip(at, ends, cells, strict=True):
                canvas.write(LEFT + x, y, text, size=small, width=end - x - 3, max_lines=1)
        y += 1.3 * small
    return y


def _write_list(canvas: Canvas, y: float, head: str, texts: Sequence[str], size: _Size) -> float:
    """Write some texts under their heading, as many as a page of that size has; nothing if there are none."""
    if not any(texts):
        return y
    y = canvas.write(LEFT, y + 0.8 * size.text, head, size=size.text, bold=True, tag="H2") + 1
    for text in texts[: size.texts]:
        wide, small = RIGHT - LEFT, min(size.text, 8.5)
        y = canvas.write(LEFT, y + 1, text, size=small, width=wide, max_lines=size.lines)
    if len(texts) > size.texts:
        more = f"and {len(texts) - size.texts} more"
        y = canvas.write(LEFT, y + 1, more, size=SMALL, colour=QUIET)
    return y


def _wind_texts(plan: PlanFile, *, metric: bool) -> list[str]:
    """Return for each hole whose choice depends on the wind which felt wind changes it."""
    return [
        f"hole {tee.hole}, {tee.tee} tee: {tee.chosen().label}, but {flips_text(tee.felt(), metric=metric)}"
        for tee in plan.tees
        if tee.flips
    ]
