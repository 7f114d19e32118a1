"""The coach's sheet: two holes to a page, two strikes side by side on each, and a page for the player."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure

from holesim._version import __version__
from holesim.common.text_format import distance, minus, sentence
from holesim.handouts.hole_map import blank_page, draw_compass, draw_finishes, draw_strike_map, sheet_at
from holesim.handouts.plan_words import notes_on, notes_on_round, reason, rounds_of, rows_of, side_by_side
from holesim.pictures.hole_picture import styles
from holesim.pictures.typesetting import QUIET, SMALL, Sheet, write_pdf
from holesim.plan import sights
from holesim.plan.hole_wind import flips_text, told
from holesim.plan.plan_file import GolferStrikeFile, PlanFile, StrikeFile, TeeFile
from holesim.study.break_even_file import BreakEvenFile
from holesim.units import MPH, YARD

_LEFT, _RIGHT, _TOP, _BOTTOM = 36.0, 559.0, 40.0, 806.0
_DOWN: Final = 2
_TALL: Final = (_BOTTOM - _TOP) / _DOWN
_HEAD: Final = 76.0  # of a hole, above its maps
_MAP: Final = 128.0  # across one
_GAP: Final = 15.0
_PANEL: Final = (_RIGHT - _LEFT - _GAP) / 2
_MEANS: Final = {
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
    "face_path_correlation": ("how far the path goes with the face", "{:.2f}"),
    "attack_deg": ("attack", "{:.1f}°"),
    "dynamic_loft_deg": ("dynamic loft", "{:.1f}°"),
    "speed_pct": ("club speed", "{:.1f} %"),
    "toe_mm": ("heel or toe", "{:.0f} mm"),
    "high_mm": ("up or down the face", "{:.0f} mm"),
    "miss_rate": ("bad misses", "{:.0%}"),
}


def write_coach(
    plans: Sequence[PlanFile], path: Path, *, found: Sequence[BreakEvenFile] = (), metric: bool = False
) -> None:
    """Write the coach's sheet of each wind as a PDF; the same plans give the same bytes.

    Parameters
    ----------
    found
        Where choices flip, to be said on the player's page.
    """
    write_pdf((page for plan in plans for page in coach_pages(plan, found, metric=metric)), path)


def coach_pages(plan: PlanFile, found: Sequence[BreakEvenFile] = (), *, metric: bool) -> Iterator[Figure]:
    """Yield the player's page, then the holes of each set of tees."""
    yield _player_page(plan, found, metric=metric)
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for first in range(0, len(tees), _DOWN):
            figure = blank_page()
            _write_edges(sheet_at(figure, 0.0, 0.0), plan, f"{name} tees; {plan.round_text(metric=metric)}")
            for place, tee in enumerate(tees[first : first + _DOWN]):
                _draw_hole(figure, _TOP + place * _TALL, plan, tee, metric=metric)
            yield figure


def _write_edges(sheet: Sheet, plan: PlanFile, said: str) -> None:
    """Write at the head of a page what plan it is of, and at its foot that it is paper."""
    sheet.write(_LEFT, 14, plan.course, size=9, bold=True, width=_RIGHT - _LEFT, most=1)
    text = f"for {plan.player}; {said}"
    sheet.write(_LEFT, 26, sentence(text), size=SMALL, colour=QUIET, width=_RIGHT - _LEFT, most=1)
    made = f"A printed plan, made before the round with holesim {__version__}. {sights.CAUTIONS[2]}"
    sheet.write(_LEFT, _BOTTOM + 8, made, size=SMALL, colour=QUIET, width=_RIGHT - _LEFT, most=2)


# --- a hole ---------------------------------------------------------------------------------------


def _draw_hole(figure: Figure, y: float, plan: PlanFile, tee: TeeFile, *, metric: bool) -> None:
    """Draw a hole's two strikes and what tells them apart, below y."""
    sheet, hole = sheet_at(figure, 0.0, 0.0), plan.hole(tee.hole)
    sheet.rule(_LEFT, _RIGHT, y)
    sheet.write(_LEFT, y + 4, f"{tee.hole}", size=19, bold=True)
    index = "" if hole.stroke_index is None else f", index {hole.stroke_index}"
    place = f"par {tee.par}, {distance(tee.length_yd * YARD, metric=metric)}{index}"
    wind = plan.wind_on(tee)
    blows = "" if wind is None else f"; wind {wind.text(metric=metric)}"
    sheet.write(_LEFT + 34, y + 6, place + blows, size=9, width=_RIGHT - _LEFT - 34, most=1)
    why = sentence(reason(tee, metric=metric))
    below = sheet.write(_LEFT + 34, y + 18, why, size=9, width=_RIGHT - _LEFT - 34, most=2)
    notes = notes_on(tee, metric=metric)
    text = " ".join(map(sentence, notes))
    if text:
        sheet.write(_LEFT, below + 3, text, size=7.5, colour=QUIET, width=_RIGHT - _LEFT, most=3)
    shown = side_by_side(tee)
    for number, strike in enumerate(shown):
        x, top = _LEFT + number * (_PANEL + _GAP), y + _HEAD
        view = draw_strike_map(figure, (x, top, _MAP, _TALL - _HEAD - 10), plan, tee, strike, shown)
        draw_finishes(view, strike)
        _write_strike(sheet, x + _MAP + 8, top, plan, tee, strike, metric=metric)
        if not number:
            draw_compass(sheet, x + _MAP + 8, y + _TALL - 22, plan, tee, view, metric=metric)


def _write_strike(
    sheet: Sheet, x: float, y: float, plan: PlanFile, tee: TeeFile, strike: StrikeFile, *, metric: bool
) -> None:
    """Write what a strike does beside its map."""
    wide = _PANEL - _MAP - 8
    colour = styles([strike])[0][0]
    sheet.mark(x + 5, y + 9, styles([strike])[0])
    y = sheet.write(x + 13, y, strike.label, size=13, bold=True, colour=colour, width=wide - 13, most=1)
    what = "the choice" if strike is tee.chosen() else "instead"
    y = sheet.write(x, y, f"{what}, aimed {strike.sight.text(metric=metric)}", size=8, width=wide, most=4)
    y += 3
    y = _write_rows(sheet, x, y, wide, rows_of(strike, plan, metric=metric))
    y += 3
    for text in [reach.text(metric=metric) for reach in strike.in_the_way if reach.what != "trees"][:4]:
        y = sheet.write(x, y + 1, text, size=7.5, width=wide, most=2)


def _write_rows(sheet: Sheet, x: float, y: float, wide: float, rows: Sequence[tuple[str, str]]) -> float:
    for name, value in rows:
        lines = sheet.write(x, y + 1, name, size=7.5, colour=QUIET, width=wide - 50)
        sheet.write(x + wide, y + 1, value, size=7.5, align="right")
        y = lines
    return y


# --- the player -----------------------------------------------------------------------------------


def _player_page(plan: PlanFile, found: Sequence[BreakEvenFile], *, metric: bool) -> Figure:
    figure = blank_page()
    sheet, golfer, wide = sheet_at(figure, 0.0, 0.0), plan.golfer, _RIGHT - _LEFT
    _write_edges(sheet, plan, plan.round_text(metric=metric))
    y = sheet.write(_LEFT, _TOP + 6, plan.player, size=18, bold=True, width=wide, most=2)
    handicap = golfer.handicap_index
    index = f"+{-handicap:g}" if handicap < 0 else f"{handicap:g}"
    known = f"known by {golfer.measured} measured drives" if golfer.measured else "not measured"
    chooses = "chooses by the hole" if golfer.can_choose else "keeps to one strike all day"
    speed = told(golfer.club_speed_mph * MPH, metric=metric)
    usual = f", usually hits {golfer.usual}" if golfer.usual else ""
    who = f"{golfer.hand}-handed, handicap index {index}, club speed {speed}{usual}, {chooses}; {known}"
    y = sheet.write(_LEFT, y + 2, sentence(who), size=9, width=wide) + 8

    drivers = [strike for strike in golfer.strikes if strike.club == "driver"]
    heads = [("on average", _MEANS), ("spread: standard deviation", _SPREADS)]
    tops = []
    for number, (head, keys) in enumerate(heads):
        x, top = _LEFT + number * (_PANEL + _GAP), y
        top = _write_columns(sheet, x, top, head, [strike.strike for strike in drivers], heading=True)
        for key, (words, form) in keys.items():
            values = [_told(form, _number(strike, key, spread=bool(number))) for strike in drivers]
            top = _write_columns(sheet, x, top, words, values)
        tops.append(top)
    y = max(tops) + 10
    y = sheet.write(_LEFT, y, "Setting up", size=10, bold=True) + 1
    for up in plan.set_up:
        degrees, way = round(abs(up.alignment_deg), 1), "right" if up.alignment_deg > 0 else "left"
        line = f"line up {degrees:g}° {way} of the aim" if degrees else "line up on the aim"
        text = f"{up.strike}: tee it {up.tee_height_mm:.0f} mm high, ball {up.ball}, {line}, face on the aim"
        y = sheet.write(_LEFT, y + 1, text, width=wide)
    y = sheet.write(_LEFT, y + 10, "The round", size=10, bold=True) + 1
    for name in plan.totals:
        texts = [f"{policy} {s}{f' ({over})' if over else ''}" for policy, s, over in rounds_of(plan, name)]
        text = f"{name} tees, strokes (and over this plan): {', '.join(texts)}"
        for said in (text, *notes_on_round(plan, name)):
            y = sheet.write(_LEFT, y + 1, sentence(said), width=wide)
    y = _write_list(
        sheet,
        y + 10,
        "Where the choice turns: winds as felt on the tee",
        _tipping(plan, metric=metric),
        14,
    )
    points = [text for tipping in found for text in tipping.texts()]
    y = _write_list(sheet, y + 10, "Tipping points", points, 12)
    y = _write_list(sheet, y + 10, "Assumed, not in the player file", [minus("; ".join(plan.assumed))], 8)
    y = _write_list(sheet, y + 10, "Guessed of the course", plan.guesses, 4)
    y = sheet.write(_LEFT, y + 10, "Care", size=10, bold=True) + 1
    sheet.write(_LEFT, y + 1, " ".join(sights.CAUTIONS), width=wide)
    return figure


def _number(strike: GolferStrikeFile, key: str, *, spread: bool) -> float:
    return float(getattr(strike.spread if spread else strike, key))


def _told(form: str, value: float) -> str:
    """Return a number as it is shown; one that rounds to nought has no sign."""
    return minus(re.sub(r"^[+-](?=0(\.0+)?(?![.\d]))", "", form.format(value)))


def _write_columns(
    sheet: Sheet, x: float, y: float, words: str, values: Sequence[str], *, heading: bool = False
) -> float:
    """Write a row of a table: words, and a number for each strike."""
    for number, value in enumerate(reversed(values)):
        sheet.write(x + _PANEL - 45 * number, y, value, bold=heading, align="right")
    return sheet.write(x, y, words, bold=heading, colour=QUIET, width=_PANEL - 45 * len(values) - 4)


def _write_list(sheet: Sheet, y: float, head: str, texts: Sequence[str], most: int) -> float:
    """Write a list under its head, as many lines of it as there is room for; nothing if it is empty."""
    if not any(texts):
        return y - 10
    y = sheet.write(_LEFT, y, head, size=10, bold=True) + 1
    for text in texts[:most]:
        y = sheet.write(_LEFT, y + 1, text, size=7.5, width=_RIGHT - _LEFT, most=most)
    if len(texts) > most:
        y = sheet.write(_LEFT, y + 1, f"and {len(texts) - most} more", size=7.5, colour=QUIET)
    return y


def _tipping(plan: PlanFile, *, metric: bool) -> list[str]:
    """Return the holes whose choice a felt wind turns, and which."""
    found = []
    for tee in plan.tees:
        turns = [flips_text(tee.felt(), metric=metric)] if tee.flips else []
        if turns:
            found.append(f"hole {tee.hole}, {tee.tee} tee: {tee.chosen().label}, but {'; '.join(turns)}")
    return found
