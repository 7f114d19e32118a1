"""The pocket card: nine strips to a page that folds twice each way, a strip a hole, read in three seconds."""

import re
from collections.abc import Iterator, Sequence
from math import cos, radians, sin
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.patches import Polygon as Patch
from matplotlib.transforms import Affine2D
from shapely.geometry import MultiPolygon, Polygon

from holesim import __version__, advice
from holesim.backdrop import View, draw_tee_and_pin, paint
from holesim.goal import GOALS
from holesim.picture import styles
from holesim.plan_file import PlanFile, ReachFile, StrikeFile, TeeFile
from holesim.sheet import INK, QUIET, SMALL, Sheet, distance, minus, own_settings, sentence
from holesim.units import MPH, YARD
from holesim.wind import flips_text, told

_PAGE: Final = (595.0, 842.0)  # pt, A4
_LEFT, _TOP, _BOTTOM = 22.0, 44.0, 50.0
_ACROSS, _DOWN = 3, 3
_WIDE: Final = (_PAGE[0] - 2 * _LEFT) / _ACROSS
_TALL: Final = (_PAGE[1] - _TOP - _BOTTOM) / _DOWN
_PAD: Final = 8.0
_HEAD: Final = 26.0  # above the map
_MAP: Final = 76.0  # across it
_FLAG: Final = 17.0
_COMPASS: Final = 24.0  # tall
_WORDS: Final = _PAD + _MAP + 8  # where they stand
_MOST: Final = {"clear": 2, "reach": 2, "beside": 2}
_COSTLY: Final = ("out of bounds", "red penalty area", "yellow penalty area", "bunker", "trees")
_SHORT: Final = {"red penalty area": "penalty area", "yellow penalty area": "penalty area"}
_DASHES: Final = {0.5: "-", 0.9: (0, (3, 1.6))}


def write_pocket(plans: Sequence[PlanFile], path: Path, *, metric: bool = False) -> None:
    """Write the pocket card of each wind as a PDF; the same plans give the same bytes."""
    metadata: dict[str, Any] = {"CreationDate": None, "Creator": "holesim", "Producer": None}
    with own_settings(), PdfPages(path, metadata=metadata) as pages:
        for plan in plans:
            for figure in pocket_pages(plan, metric=metric):
                pages.savefig(figure)


def pocket_pages(plan: PlanFile, *, metric: bool) -> Iterator[Figure]:
    """Yield the pages of the card: for each set of tees, nine holes to a page."""
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee == name]
        for some in (tees[i : i + _ACROSS * _DOWN] for i in range(0, len(tees), _ACROSS * _DOWN)):
            figure = Figure(figsize=(_PAGE[0] / 72, _PAGE[1] / 72))
            sheet = _sheet(figure, 0.0, 0.0)
            _write_head(sheet, plan, some, metric=metric)
            _draw_folds(sheet)
            for place, tee in enumerate(some):
                row, column = divmod(place, _ACROSS)
                _draw_strip(figure, (_LEFT + column * _WIDE, _TOP + row * _TALL), plan, tee, metric=metric)
            _write_foot(sheet)
            yield figure


def _sheet(figure: Figure, x: float, y: float) -> Sheet:
    """Return a place to write with its corner so far right of and below that of the page [pt]."""
    flip = Affine2D().scale(1 / 72, -1 / 72).translate(x / 72, (_PAGE[1] - y) / 72)
    return Sheet(figure.add_artist, flip + figure.dpi_scale_trans)


def _write_head(sheet: Sheet, plan: PlanFile, tees: Sequence[TeeFile], *, metric: bool) -> None:
    wide = _PAGE[0] - 2 * _LEFT
    y = sheet.write(_LEFT, 12, f"{plan.course}, for {plan.player}", size=10, bold=True, width=wide, most=1)
    options = plan.options
    wind = tees[0].wind and f"wind {_speed(options.wind_mph, metric=metric)} from {options.wind_from_deg:g}°"
    drives = f"{plan.draws:,} drives a strike, seed {plan.seed}"
    text = f"{tees[0].tee} tees; {wind or 'calm'}; {options.ground} ground; {drives}"
    sheet.write(_LEFT, y, sentence(text), size=SMALL, colour=QUIET, width=wide, most=1)


def _write_foot(sheet: Sheet) -> None:
    made = f"A printed plan, made before the round with holesim {__version__}."
    legend = "Inside the outlines half of the drives finish, and nine in ten (dashed)."
    text = " ".join((made, legend, *advice.CAUTIONS))
    sheet.write(_LEFT, _PAGE[1] - _BOTTOM + 5, text, size=SMALL, colour=QUIET, width=_PAGE[0] - 2 * _LEFT)


def _draw_folds(sheet: Sheet) -> None:
    """Rule the strips apart, where the card is folded."""
    for row in range(_DOWN + 1):
        sheet.rule(_LEFT, _PAGE[0] - _LEFT, _TOP + row * _TALL)
    for column in range(1, _ACROSS):
        x = _LEFT + column * _WIDE
        sheet.path([(x, _TOP), (x, _TOP + _DOWN * _TALL)], lw=0.5, c="#b8b8b8")


def _draw_strip(
    figure: Figure, corner: tuple[float, float], plan: PlanFile, tee: TeeFile, *, metric: bool
) -> None:
    """Draw a hole and what to do on it, its upper left corner so far from that of the page [pt]."""
    sheet, hole, choice = _sheet(figure, *corner), plan.hole(tee.hole), tee.chosen()
    sheet.write(_PAD, 2, f"{tee.hole}", size=19, bold=True)
    place = f"par {tee.par}, {distance(tee.length_yd * YARD, metric=metric)}"
    index = "" if hole.stroke_index is None else f", index {hole.stroke_index}"
    sheet.write(_PAD + 33, 11, place + index, size=8, width=_WIDE - _PAD - 40, most=1)
    left, top = corner[0] + _PAD, _PAGE[1] - corner[1] - _HEAD
    tall = _TALL - _HEAD - _PAD
    box = left / _PAGE[0], (top - tall) / _PAGE[1], _MAP / _PAGE[0], tall / _PAGE[1]
    view = _draw_map(figure, box, plan, tee)

    x, wide = _WORDS, _WIDE - _WORDS - 4
    sheet.mark(x + 5, _HEAD + 10, styles([choice])[0])
    y = sheet.write(x + 13, _HEAD, choice.label, size=15, bold=True, width=wide - 13, most=2)
    y = sheet.write(x, y + 2, choice.sight.text(metric=metric), size=10, width=wide, most=4)
    ways, others = list(_ways(choice, metric=metric)), list(_else(plan, tee, metric=metric))
    blank = Sheet(lambda _: None, Affine2D())
    while ways and _write_words(blank, y, ways, others, wide) > _TALL - _PAD - _COMPASS:
        ways.pop()
    _write_words(sheet, y, ways, others, wide)
    _draw_compass(sheet, plan, tee, view, metric=metric)


def _write_words(sheet: Sheet, y: float, ways: Sequence[str], others: Sequence[str], wide: float) -> float:
    """Write what is in the way, and what else to know; return where the words end."""
    for text in ways:
        y = sheet.write(_WORDS, y + 4, text, size=9, width=wide, most=2)
    y += 3
    for text in others:
        y = sheet.write(_WORDS, y + 3, text, size=8.5, width=wide, colour=QUIET, most=3)
    return y


def _draw_map(figure: Figure, box: tuple[float, float, float, float], plan: PlanFile, tee: TeeFile) -> View:
    """Draw a hole true to scale, with its aim and where the drives finish."""
    hole, choice = plan.hole(tee.hole), tee.chosen()
    middle = np.array(tee.middle)
    view = View(figure.add_axes(box), (tee.middle[0], tee.middle[1]), (hole.pin[0], hole.pin[1]))
    outlines = [(outline.share, _shape(outline.polygons)) for outline in choice.outlines]
    green = _shape(hole.ground.get("green", []))
    near = shapely.intersection(green, shapely.Point(hole.pin).buffer(30))
    shown = [shapely.get_coordinates(shape) for shape in (near, *(shape for _, shape in outlines))]
    line = np.array(hole.line)
    ahead = line[np.hypot(*(line - hole.pin).T) <= np.hypot(*(middle - hole.pin)) + 1]
    points = view.turn(np.vstack([middle[None], np.array([hole.pin]), ahead, *shown]))
    flag = np.array([[0.0, view.length * (1 + _FLAG / (_TALL - _HEAD - _PAD))]])
    view.frame(np.vstack([points, flag]))
    paint(view, hole.kind(hole.bare), {hole.kind(name): _shape(rings) for name, rings in hole.ground.items()})
    colour = styles([choice])[0][0]
    for share, shape in outlines:
        for part in shapely.get_parts(shape):
            ring = view.turn(shapely.get_coordinates(part.exterior))
            view.ax.plot(*ring.T, c=colour, lw=1.2 if share <= 0.5 else 0.9, ls=_DASHES.get(share, "-"))
    heading, reach = radians(choice.heading_deg), choice.total_yd * YARD
    end = view.turn(middle + reach * np.array([[sin(heading), cos(heading)]]))[0]
    view.ax.plot([0, end[0]], [0, end[1]], c=colour, lw=1.0)
    view.ax.plot(*end, marker=styles([choice])[0][1], ms=6, c=colour, mec="white", mew=0.7)
    draw_tee_and_pin(view, _FLAG)
    return view


def _shape(polygons: Sequence[Sequence[Sequence[Sequence[float]]]]) -> MultiPolygon:
    return MultiPolygon([Polygon(outer, inner) for outer, *inner in polygons])


def _ways(choice: StrikeFile, *, metric: bool) -> Iterator[str]:
    """Yield what is to be carried, what not to be reached, and what lies beside, the costliest first."""
    for way, most in _MOST.items():
        some = [reach for reach in choice.in_the_way if reach.way == way]
        some.sort(key=lambda reach: (_COSTLY.index(reach.what), reach.near_yd))
        for reach in sorted(some[:most], key=lambda reach: reach.near_yd):
            yield _way(reach, metric=metric)


def _way(reach: ReachFile, *, metric: bool) -> str:
    scale = YARD if metric else 1.0
    near, far = (round(value * scale) for value in (reach.near_yd, reach.far_yd))
    what = _SHORT.get(reach.what, reach.what) + ("" if reach.side == "across" else f" {reach.side}")
    if reach.way == "clear":
        return f"carry {far}: {what}"
    if reach.way == "reach":
        return f"short of {near}: {what}"
    return f"{what} {near}\N{EN DASH}{far}"


def _else(plan: PlanFile, tee: TeeFile, *, metric: bool) -> Iterator[str]:
    """Yield what the other strike costs, and the wind in which it would be the choice."""
    rival = tee.rival()
    if rival is not None and rival.over_choice is not None:
        goal, over = GOALS[plan.options.goal], rival.over_choice
        within = (over.high - over.low) / 2
        text = minus(goal.over_text(over.loss, within)).removesuffix(f" ±{0:.{goal.digits}f}")
        yield f"{rival.label} {_unsigned(text)} {goal.head}"
    if tee.choice.close:
        yield "too close to call"
    if tee.flips:
        yield f"felt wind: {flips_text(tee.felt()[:1], metric=metric)}"


def _unsigned(text: str) -> str:
    """Return a number without its sign if it is nought."""
    return re.sub(r"^[+\u2212](?=0\.0+\b)", "", text)


def _draw_compass(sheet: Sheet, plan: PlanFile, tee: TeeFile, view: View, *, metric: bool) -> None:
    """Point north, and where the wind blows, at the foot of the words."""
    y = _TALL - _PAD - 12
    _draw_arrow(sheet, _WORDS + 10, y, -view.bearing, filled=False)
    sheet.write(_WORDS + 22, y - 5, "N", size=SMALL, bold=True)
    wind = plan.wind_on(tee)
    if wind is not None:
        _draw_arrow(sheet, _WORDS + 46, y, wind.bearing - view.bearing + np.pi, filled=True)
        sheet.write(_WORDS + 58, y - 5, _speed(plan.options.wind_mph, metric=metric), size=SMALL)


def _draw_arrow(sheet: Sheet, x: float, y: float, angle: float, *, filled: bool) -> None:
    """Draw an arrow of 18 pt about a place, turned right of up the page by an angle [rad]."""
    shape = np.array([(0, -9), (4, 3), (1.2, 2), (1.2, 9), (-1.2, 9), (-1.2, 2), (-4, 3)])
    turn = np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    how: dict[str, Any] = {"fc": INK if filled else "white", "ec": INK, "lw": 0.7}
    sheet.add(Patch(shape @ turn + (x, y), transform=sheet.transform, clip_on=False, **how))


def _speed(mph: float, *, metric: bool) -> str:
    return told(mph * MPH, metric=metric)
