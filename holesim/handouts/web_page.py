"""The page for a browser: a whole plan in one file that fetches nothing, shown hole by hole."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from importlib.resources import files
from math import atan2, cos, degrees, radians, sin
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim._version import __version__
from holesim.common.text_format import minus, sentence
from holesim.handouts.lesson_words import (
    MEASURES,
    NUMBERS_NOTE,
    OFF,
    day_texts,
    number_row,
    row_name,
    three_sentences,
)
from holesim.handouts.plan_words import (
    OUTLINES_NOTE,
    PLUS_MINUS_NOTE,
    compared_strikes,
    hole_text,
    picture_text,
    reason_text,
    round_notes,
    round_rows,
    setup_texts,
    strike_rows,
    tee_notes,
)
from holesim.pictures.backdrop import GROUND_COLOURS
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.typesetting import INK, SeriesStyle
from holesim.plan import explain
from holesim.plan.hole_wind import HoleWind
from holesim.plan.plan_tables import HoleFile, PlanFile, StrikeFile, TeeFile
from holesim.study.break_even_file import BreakEvenFile
from holesim.units import YARD

Floats = NDArray[np.float64]

_MARGIN: Final = 12.0  # m around what is drawn
_ABOVE: Final = 24.0  # m above the pin, for its flag
_SIZE: Final = 7.0  # m, half of a marker
_MAX_STRIKES: Final = 3  # of a tee
_WITHOUT_SCRIPTS: Final = (
    "<noscript><style>article[hidden], .strike[hidden] { display: revert }</style></noscript>"
)
_SHAPES: Final = {
    "^": "M0,-1L1,.8L-1,.8Z",
    "v": "M0,1L1,-.8L-1,-.8Z",
    "s": "M-.8,-.8H.8V.8H-.8Z",
    "o": "M-.9,0A.9,.9 0 1 0 .9,0A.9,.9 0 1 0 -.9,0Z",
    "D": "M0,-1L1,0L0,1L-1,0Z",
}


def write_page(
    plans: Sequence[PlanFile], path: Path, *, break_evens: Sequence[BreakEvenFile] = (), metric: bool = False
) -> None:
    """Write plans, one for each wind, as a page; the same plans give the same bytes.

    Parameters
    ----------
    break_evens
        Where choices change, for the part about the player.
    """
    path.write_text(plan_page(plans, break_evens, metric=metric), encoding="utf-8")


def plan_page(plans: Sequence[PlanFile], break_evens: Sequence[BreakEvenFile], *, metric: bool) -> str:
    """Return the HTML of plans for one course and one golfer, one for each wind."""
    first = plans[0]
    winds = [plan.round_text(metric=metric).partition(";")[0] for plan in plans]
    tees = list(dict.fromkeys(tee.tee for tee in first.tees))
    holes = list(dict.fromkeys(tee.hole for tee in first.tees))
    title = escape(f"{first.course}, for {first.player}")
    conditions = sentence(first.round_text(metric=metric).partition("; ")[2])
    made = f"{OUTLINES_NOTE} {PLUS_MINUS_NOTE} Made before the round with holesim {__version__}."
    body = [
        f"<header><h1>{title}</h1>",
        f'<p class="quiet">{escape(conditions)}</p></header>',
        *_lesson_html(first, metric=metric),
        '<nav aria-label="Holes">',
        *(f'<button type="button" value="{hole}" aria-label="Hole {hole}">{hole}</button>' for hole in holes),
        "</nav>",
        *(_radio_buttons("Tees", 'name="tee" data-sets="tee"', tees, tees) if len(tees) > 1 else ()),
        *(
            _radio_buttons("Wind", 'name="wind" data-sets="wind"', [*map(str, range(len(plans)))], winds)
            if len(plans) > 1
            else ()
        ),
        f'<svg width="0" height="0" aria-hidden="true"><defs>{"".join(_ground_svg(first))}</defs></svg>',
        "<main>",
        *(
            text
            for wind, plan in enumerate(plans)
            for tee in plan.tees
            for text in _tee_html(plan, wind, tee, metric=metric)
        ),
        "</main>",
        *_player_html(plans, winds, break_evens, metric=metric),
        f'<footer class="quiet"><p>{escape(" ".join(explain.CAUTIONS))}</p>',
        f"<p>{made}</p></footer>",
    ]
    return html_document(title, body, head=f"\n{_WITHOUT_SCRIPTS}", script=read_asset("page.js"))


def html_document(title: str, body: Iterable[str], *, head: str = "", script: str = "") -> str:
    """Return a page that fetches nothing, from its title, parts of its body and more of its head, in HTML."""
    rules = "default-src 'none'; style-src 'unsafe-inline'"
    head = f"<title>{title}</title>\n<style>\n{read_asset('page.css')}</style>{head}"
    parts = [*body]
    if script:
        rules += "; script-src 'unsafe-inline'"
        parts.append(f"<script>\n{script}</script>")
    return "\n".join(
        [
            '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f'<meta http-equiv="Content-Security-Policy" content="{rules}">',
            f"{head}\n</head>\n<body>",
            *parts,
            "</body>\n</html>\n",
        ]
    )


def read_asset(name: str) -> str:
    """Return the text of a style sheet or a script of this package."""
    return (files("holesim.handouts") / name).read_text(encoding="utf-8")


def marker_svg(style: SeriesStyle) -> str:
    """Return the marker of a strike, for a line of text."""
    shape = f'<path d="{_SHAPES[style.marker]}" fill="{style.colour}"/>'
    return f'<svg class="mark" viewBox="-1.1 -1.1 2.2 2.2" aria-hidden="true">{shape}</svg>'


def _radio_buttons(
    legend: str, attributes: str, values: Sequence[str], texts: Sequence[str]
) -> Iterator[str]:
    """Yield a group of radio buttons with HTML attributes in common, the first of them chosen."""
    yield f"<fieldset><legend>{legend}</legend>"
    for i, (value, text) in enumerate(zip(values, texts, strict=True)):
        chosen = "" if i else " checked"
        yield (
            f'<label class="pick"><input type="radio" {attributes} '
            f'value="{escape(value)}"{chosen}>{escape(text)}</label>'
        )
    yield "</fieldset>"


# --- a hole ---------------------------------------------------------------------------------------


def _tee_html(plan: PlanFile, wind_number: int, tee: TeeFile, *, metric: bool) -> Iterator[str]:
    """Yield what to do on a tee, and its strikes, of which one is shown at a time."""
    key = f"{wind_number}-{plan.tees.index(tee)}"
    shown, wind = _strikes_shown(tee), plan.wind_on(tee)
    place = f"{hole_text(plan, tee, metric=metric)}, {tee.tee} tee"
    place += "" if wind is None else f"; wind {wind.text(metric=metric)}"
    yield (
        f'<article data-hole="{tee.hole}" data-tee="{escape(tee.tee)}" data-wind="{wind_number}" '
        f'aria-labelledby="title-{key}" hidden>'
    )
    yield f'<h2 id="title-{key}">Hole {tee.hole}: {escape(tee.chosen().label)}</h2>'
    yield f"<p>{escape(sentence(place))}</p><p>{escape(sentence(reason_text(tee, metric=metric)))}</p>"
    notes = " ".join(map(sentence, tee_notes(tee, metric=metric)))
    if notes:
        yield f'<p class="quiet">{escape(notes)}</p>'
    values = [*map(str, range(len(shown)))]
    attributes = f'name="strike-{key}" data-strike'
    yield from _radio_buttons("Strike", attributes, values, [strike.label for strike in shown])
    for strike in shown:
        yield from _strike_html(plan, tee, strike, shown, metric=metric)
    yield "</article>"


def _strikes_shown(tee: TeeFile) -> list[StrikeFile]:
    """Return the strikes of a tee that can be shown, the choice first."""
    pair = compared_strikes(tee)
    return (pair + [strike for strike in tee.strikes if strike not in pair])[:_MAX_STRIKES]


def _strike_html(
    plan: PlanFile, tee: TeeFile, strike: StrikeFile, shown: Sequence[StrikeFile], *, metric: bool
) -> Iterator[str]:
    """Yield the picture, the aim and the numbers of one of the strikes shown."""
    number, wind = shown.index(strike), plan.wind_on(tee)
    chosen, hidden = (" choice", "") if not number else ("", " hidden")
    yield f'<section class="strike{chosen}" data-strike="{number}"{hidden}>'
    aim = strike.sight.text(metric=metric)
    label = picture_text(tee, strike, metric=metric)
    yield from _hole_svg(plan.hole(tee.hole), tee, strike, shown, label, wind)
    head = f"{marker_svg(strike_style(strike))} {escape(strike.label)}"
    yield f"<div><h3>{head}</h3><p>Aim {escape(aim)}.</p><dl>"
    for name, value in strike_rows(strike, plan, metric=metric):
        yield f"<dt>{escape(name)}</dt><dd>{escape(value)}</dd>"
    yield "</dl><ul>"
    for reach in strike.in_the_way:
        yield f"<li>{escape(reach.text(metric=metric))}</li>"
    yield "</ul></div></section>"


def _hole_svg(
    hole: HoleFile,
    tee: TeeFile,
    strike: StrikeFile,
    shown: Sequence[StrikeFile],
    label: str,
    wind: HoleWind | None,
) -> Iterator[str]:
    """Yield a hole to scale, the pin straight up from the tee, with a strike's aim and finishes."""
    colour, marker = strike_style(strike)
    east, north = np.subtract(hole.pin, tee.middle)
    bearing = atan2(east, north)
    turn = np.array([[cos(bearing), -sin(bearing)], [-sin(bearing), -cos(bearing)]])

    def at(points: Sequence[Sequence[float]]) -> Floats:
        return np.asarray(np.subtract(points, tee.middle) @ turn)

    drives = [
        at(ring) for one in shown for outline in one.outlines for rings in outline.polygons for ring in rings
    ]
    corners = np.vstack([*drives, at([tee.middle, hole.pin])])
    (left, top), (right, bottom) = corners.min(axis=0) - (_MARGIN, _ABOVE), corners.max(axis=0) + _MARGIN
    side = max(0.0, 0.3 * (bottom - top) - (right - left)) / 2  # not so narrow that nothing stands beside
    box = f"{left - side:.0f} {top:.0f} {right - left + 2 * side:.0f} {bottom - top:.0f}"
    yield f'<svg viewBox="{box}" role="img" aria-label="{escape(label)}">'
    a, b = turn[0], turn[1]
    x, y = -np.asarray(tee.middle) @ turn
    matrix = f"matrix({a[0]:.6f} {a[1]:.6f} {b[0]:.6f} {b[1]:.6f} {x:.1f} {y:.1f})"
    yield f'<use href="#hole-{hole.hole}" transform="{matrix}"/>'
    dots = "".join(f"M{px:.1f},{py:.1f}h0" for px, py in at(strike.finishes))
    yield _line_svg(dots, colour, 2.4, ' stroke-linecap="round" opacity="0.45"')
    for outline in strike.outlines:
        path = "".join(_ring_path(at(ring)) for rings in outline.polygons for ring in rings)
        yield _line_svg(path, colour, 1.8, "" if outline.share <= 0.5 else ' stroke-dasharray="5 3"')
    heading, reach = radians(strike.heading_deg), strike.total_yd * YARD
    end = at([[tee.middle[0] + reach * sin(heading), tee.middle[1] + reach * cos(heading)]])[0]
    yield _line_svg(f"M0,0L{end[0]:.1f},{end[1]:.1f}", colour, 1.5)
    place = f"translate({end[0]:.1f} {end[1]:.1f}) scale({_SIZE})"
    edge = 'stroke="#fff" stroke-width="0.2"'
    yield f'<path d="{_SHAPES[marker]}" transform="{place}" fill="{colour}" {edge}/>'
    pin = at([hole.pin])[0]
    yield f'<path d="M{pin[0]:.1f},{pin[1]:.1f}v-16l9,4l-9,4" fill="{INK}" stroke="{INK}"/>'
    yield f'<path d="M-3,-3H3V3H-3Z" fill="{INK}"/>'
    x, y = right + side - 14, bottom - 16
    yield _arrow_svg(x, y, -degrees(bearing), "north") + f'<text x="{x - 4:.0f}" y="{y - 13:.0f}">N</text>'
    if wind is not None:
        yield _arrow_svg(left - side + 14, y, degrees(wind.bearing - bearing) + 180, "where the wind blows")
    yield "</svg>"


def _arrow_svg(x: float, y: float, turn: float, words: str) -> str:
    """Return an arrow centred on (x, y), turned clockwise from up the picture [°], and named."""
    place = f"translate({x:.0f} {y:.0f}) rotate({turn:.1f})"
    return f'<path d="M0,-10L4,4L0,1L-4,4Z" transform="{place}" fill="{INK}"><title>{words}</title></path>'


def _ground_svg(plan: PlanFile) -> Iterator[str]:
    """Yield the ground of every hole, in metres east and north; where it is used it is turned."""
    for hole in plan.holes:
        yield f'<g id="hole-{hole.hole}">'
        window, (_, bare, _) = _polygons_path([hole.window]), GROUND_COLOURS[hole.kind(hole.bare)]
        yield f'<path d="{window}" fill="{bare}"/>'
        ground = {hole.kind(name): rings for name, rings in hole.ground.items()}
        for kind, (_, fill, edge) in GROUND_COLOURS.items():
            path = _polygons_path(ground.get(kind, []))
            if path:
                line = f'stroke="{edge}" stroke-width="0.8"'
                yield f'<path d="{path}" fill="{fill}" fill-rule="evenodd" {line}/>'
        yield "</g>"


def _polygons_path(polygons: Sequence[Sequence[Sequence[Sequence[float]]]]) -> str:
    return "".join(_ring_path(np.array(ring)) for rings in polygons for ring in rings)


def _line_svg(path: str, stroke: str, width: float, more: str = "") -> str:
    """Return a line along a path."""
    return f'<path d="{path}" fill="none" stroke="{stroke}" stroke-width="{width}"{more}/>'


def _ring_path(points: Floats) -> str:
    return "M" + "L".join(f"{x:.1f},{y:.1f}" for x, y in points) + "Z"


# --- the lesson -----------------------------------------------------------------------------------


def _lesson_html(plan: PlanFile, *, metric: bool) -> Iterator[str]:
    """Yield the lesson, to be opened: three sentences, and each strike's numbers against what is wanted."""
    yield "<details><summary>Lesson</summary>"
    for text in three_sentences(plan, None, metric=metric):
        yield f"<p>{escape(text)}</p>"
    for text in day_texts(plan, metric=metric):
        yield f"<p>{escape(sentence(text))}</p>"
    for strike in plan.driving:
        heads = "".join(f'<th scope="col">{head}</th>' for head in ("", "yours", "9 in 10 between", "wanted"))
        yield f'<div class="wide"><table><caption>{strike.strike}</caption>'
        yield f"<thead><tr>{heads}</tr></thead><tbody>"
        for key in MEASURES:
            row = number_row(key, strike.numbers[key], metric=metric)
            mean = f"<b>{row.mean} {OFF}</b>" if row.off else row.mean
            name = row_name(key, metric=metric)
            cells = "".join(f"<td>{cell}</td>" for cell in (mean, row.interval, row.wanted))
            yield f'<tr><th scope="row">{name}</th>{cells}</tr>'
        yield "</tbody></table></div>"
    yield f'<p class="quiet">{NUMBERS_NOTE}</p></details>'


# --- the player -----------------------------------------------------------------------------------


def _player_html(
    plans: Sequence[PlanFile], winds: Sequence[str], break_evens: Sequence[BreakEvenFile], *, metric: bool
) -> Iterator[str]:
    """Yield how to set up, the strokes of the round, and what was assumed."""
    plan = plans[0]
    yield f"<section><h2>{escape(plan.player)}</h2>"
    for text in setup_texts(plan, metric=metric):
        yield f"<p>{escape(sentence(text))}</p>"
    caption = "Expected strokes over the holes planned, and how many more than this plan"
    yield f"<table><caption>{caption}</caption><tbody>"
    for one, wind in zip(plans, winds, strict=True):
        for name in one.totals:
            for policy, strokes, over in round_rows(one, name):
                head = escape(f"{name} tees, {wind}, {policy}")
                yield f'<tr><th scope="row">{head}</th><td>{strokes}</td><td>{over}</td></tr>'
    yield "</tbody></table>"
    rounds = [(one, wind, name) for one, wind in zip(plans, winds, strict=True) for name in one.totals]
    for one, wind, name in rounds:
        where = f"{name} tees, {wind}: " if len(rounds) > 1 else ""
        for text in round_notes(one, name):
            yield f"<p>{escape(sentence(where + text))}</p>"
    for text in (text for found in break_evens for text in found.texts()):
        yield f"<p>{escape(sentence(text))}</p>"
    for head, texts in (("Assumed", plan.assumed), ("Guessed about the course", plan.guesses)):
        if texts:
            yield f'<p class="quiet">{head}: {escape(minus("; ".join(texts)))}.</p>'
    yield "</section>"
