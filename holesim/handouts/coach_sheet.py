"""The coach's sheet: a page about the player, then two holes to a page, each with two strikes."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure

from holesim._version import __version__
from holesim.common.text_format import minus, sentence
from holesim.handouts.hole_map import (
    blank_page,
    canvas_at,
    draw_compass,
    draw_finishes,
    draw_strike_map,
)
from holesim.handouts.plan_words import (
    OUTLINES_NOTE,
    PLUS_MINUS_NOTE,
    compared_strikes,
    hole_text,
    reason_text,
    round_notes,
    round_rows,
    setup_texts,
    strike_rows,
    tee_notes,
)
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, signed, write_pdf
from holesim.plan import explain
from holesim.plan.hole_wind import flips_text, speed_text
from holesim.plan.plan_tables import GolferStrikeFile, PlanFile, StrikeFile, TeeFile
from holesim.study.break_even_file import BreakEvenFile
from holesim.units import MPH

_LEFT, _RIGHT, _TOP, _BOTTOM = 36.0, 559.0, 40.0, 806.0
_DOWN: Final = 2
_TALL: Final = (_BOTTOM - _TOP) / _DOWN
_HEAD: Final = 76.0  # height of a hole's text above its maps
_MAP: Final = 128.0  # across one
_GAP: Final = 15.0
_PANEL: Final = (_RIGHT - _LEFT - _GAP) / 2
_AVERAGES: Final = {
    "club_speed_mph": ("club speed, mph", "{:.0f}"),
    "attack_deg": ("attack", "{:+.1f}°"),
    "dynamic_loft_deg": ("dynamic loft", "{:.1f}°"),
    "face_deg": ("face, right of the aim", "{:+.1f}°"),
    "swing_line_deg": ("swing line, right of the aim", "{:+.1f}°"),
    "toe_mm": ("strike towards the toe", "{:+.0f} mm"),
    "high_mm": ("strike above the middle", "{:+.0f} mm"),
    "tee_height_mm": ("tee", "{:.0f} mm"),
}
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
    plans: Sequence[PlanFile], path: Path, *, break_evens: Sequence[BreakEvenFile] = (), metric: bool = False
) -> None:
    """Write the coach's sheet of each wind as a PDF; the same plans give the same bytes.

    Parameters
    ----------
    break_evens
        Where choices change, for the player's page.
    """
    write_pdf((page for plan in plans for page in coach_pages(plan, break_evens, metric=metric)), path)


def coach_pages(
    plan: PlanFile, break_evens: Sequence[BreakEvenFile] = (), *, metric: bool
) -> Iterator[Figure]:
    """Yield the player's page, then the holes of each set of tees."""
    yield _draw_player_page(plan, break_evens, metric=metric)
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for first in range(0, len(tees), _DOWN):
            figure = blank_page()
            _write_edges(canvas_at(figure, 0.0, 0.0), plan, f"{name} tees; {plan.round_text(metric=metric)}")
            for place, tee in enumerate(tees[first : first + _DOWN]):
                _draw_hole(figure, _TOP + place * _TALL, plan, tee, metric=metric)
            yield figure


def _write_edges(canvas: Canvas, plan: PlanFile, said: str) -> None:
    """Write at the head of a page whose plan it is, and at its foot when and how it was made."""
    canvas.write(_LEFT, 14, plan.course, size=9, bold=True, width=_RIGHT - _LEFT, max_lines=1)
    text = f"for {plan.player}; {said}"
    canvas.write(_LEFT, 26, sentence(text), size=SMALL, colour=QUIET, width=_RIGHT - _LEFT, max_lines=1)
    made = f"A printed plan, made before the round with holesim {__version__}. {explain.CAUTIONS[2]}"
    canvas.write(_LEFT, _BOTTOM + 8, made, size=SMALL, colour=QUIET, width=_RIGHT - _LEFT, max_lines=2)


# --- a hole ---------------------------------------------------------------------------------------


def _draw_hole(figure: Figure, y: float, plan: PlanFile, tee: TeeFile, *, metric: bool) -> None:
    """Draw a hole's two strikes and what speaks for each, below y."""
    canvas = canvas_at(figure, 0.0, 0.0)
    canvas.draw_rule(_LEFT, _RIGHT, y)
    canvas.write(_LEFT, y + 4, f"{tee.hole}", size=19, bold=True)
    place = hole_text(plan, tee, metric=metric)
    wind = plan.wind_on(tee)
    blows = "" if wind is None else f"; wind {wind.text(metric=metric)}"
    canvas.write(_LEFT + 34, y + 6, place + blows, size=9, width=_RIGHT - _LEFT - 34, max_lines=1)
    why = sentence(reason_text(tee, metric=metric))
    below = canvas.write(_LEFT + 34, y + 18, why, size=9, width=_RIGHT - _LEFT - 34, max_lines=2)
    notes = tee_notes(tee, metric=metric)
    text = " ".join(map(sentence, notes))
    if text:
        canvas.write(_LEFT, below + 3, text, size=7.5, colour=QUIET, width=_RIGHT - _LEFT, max_lines=3)
    shown = compared_strikes(tee)
    for number, strike in enumerate(shown):
        x, top = _LEFT + number * (_PANEL + _GAP), y + _HEAD
        map_axes = draw_strike_map(figure, (x, top, _MAP, _TALL - _HEAD - 10), plan, tee, strike, shown)
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
        lines = canvas.write(x, y + 1, name, size=7.5, colour=QUIET, width=wide - 50)
        canvas.write_right(x + wide, y + 1, value, size=7.5)
        y = lines
    return y


# --- the player -----------------------------------------------------------------------------------


def _draw_player_page(plan: PlanFile, break_evens: Sequence[BreakEvenFile], *, metric: bool) -> Figure:
    figure = blank_page()
    canvas, golfer, wide = canvas_at(figure, 0.0, 0.0), plan.golfer, _RIGHT - _LEFT
    _write_edges(canvas, plan, plan.round_text(metric=metric))
    y = canvas.write(_LEFT, _TOP + 6, plan.player, size=18, bold=True, width=wide, max_lines=2)
    handicap = golfer.handicap_index
    index = f"+{-handicap:g}" if handicap < 0 else f"{handicap:g}"
    known = f"known by {golfer.measured} measured drives" if golfer.measured else "not measured"
    chooses = "chooses by the hole" if golfer.can_choose else "keeps to one strike all day"
    speed = speed_text(golfer.club_speed_mph * MPH, metric=metric)
    usual = f", usually hits {golfer.usual}" if golfer.usual else ""
    who = f"{golfer.hand}-handed, handicap index {index}, club speed {speed}{usual}, {chooses}; {known}"
    y = canvas.write(_LEFT, y + 2, sentence(who), size=9, width=wide) + 8

    drivers = [strike for strike in golfer.strikes if strike.club == "driver"]
    heads = [("on average", _AVERAGES), ("standard deviation", _SPREADS)]
    tops = []
    for number, (head, keys) in enumerate(heads):
        x, top = _LEFT + number * (_PANEL + _GAP), y
        top = _write_columns(canvas, x, top, head, [strike.strike for strike in drivers], heading=True)
        for key, (words, form) in keys.items():
            values = [signed(form.format(_number(strike, key, spread=bool(number)))) for strike in drivers]
            top = _write_columns(canvas, x, top, words, values)
        tops.append(top)
    y = max(tops) + 10
    y = canvas.write(_LEFT, y, "Setting up", size=10, bold=True) + 1
    for text in setup_texts(plan, metric=metric):
        y = canvas.write(_LEFT, y + 1, text, width=wide)
    y = canvas.write(_LEFT, y + 10, "The round", size=10, bold=True) + 1
    for name in plan.totals:
        texts = [f"{policy} {s}{f' ({over})' if over else ''}" for policy, s, over in round_rows(plan, name)]
        text = f"{name} tees, expected strokes (and how many more than this plan): {', '.join(texts)}"
        for said in (text, *round_notes(plan, name)):
            y = canvas.write(_LEFT, y + 1, sentence(said), width=wide)
    y = _write_list(
        canvas,
        y + 10,
        "Wind felt on the tee that changes the choice",
        _wind_texts(plan, metric=metric),
        14,
    )
    points = [text for found in break_evens for text in found.texts()]
    y = _write_list(canvas, y + 10, "Break-even points", points, 12)
    y = _write_list(canvas, y + 10, "Assumed, not in the player file", [minus("; ".join(plan.assumed))], 8)
    y = _write_list(canvas, y + 10, "Guessed about the course", plan.guesses, 4)
    y = canvas.write(_LEFT, y + 10, "How to read the numbers", size=10, bold=True) + 1
    y = canvas.write(_LEFT, y + 1, f"{PLUS_MINUS_NOTE} {OUTLINES_NOTE}", width=wide)
    y = canvas.write(_LEFT, y + 10, "Care", size=10, bold=True) + 1
    canvas.write(_LEFT, y + 1, " ".join(explain.CAUTIONS), width=wide)
    return figure


def _number(strike: GolferStrikeFile, key: str, *, spread: bool) -> float:
    return float(getattr(strike.spread if spread else strike, key))


def _write_columns(
    canvas: Canvas, x: float, y: float, words: str, values: Sequence[str], *, heading: bool = False
) -> float:
    """Write a row of a table: the name of a quantity, and its value for each strike."""
    for number, value in enumerate(reversed(values)):
        canvas.write_right(x + _PANEL - 45 * number, y, value, bold=heading)
    return canvas.write(x, y, words, bold=heading, colour=QUIET, width=_PANEL - 45 * len(values) - 4)


def _write_list(canvas: Canvas, y: float, head: str, texts: Sequence[str], count: int) -> float:
    """Write at most `count` texts, each of as many lines, under their heading; nothing if there are none."""
    if not any(texts):
        return y - 10
    y = canvas.write(_LEFT, y, head, size=10, bold=True) + 1
    for text in texts[:count]:
        y = canvas.write(_LEFT, y + 1, text, size=7.5, width=_RIGHT - _LEFT, max_lines=count)
    if len(texts) > count:
        y = canvas.write(_LEFT, y + 1, f"and {len(texts) - count} more", size=7.5, colour=QUIET)
    return y


def _wind_texts(plan: PlanFile, *, metric: bool) -> list[str]:
    """Return for each hole whose choice depends on the wind which felt wind changes it."""
    return [
        f"hole {tee.hole}, {tee.tee} tee: {tee.chosen().label}, but {flips_text(tee.felt(), metric=metric)}"
        for tee in plan.tees
        if tee.flips
    ]
