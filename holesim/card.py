"""Pictures: each hole with where the drives finish, and the course card on one page for the bag."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from math import atan2, cos, hypot, inf, sin, sqrt
from pathlib import Path
from threading import Lock
from typing import Any, Final, cast

import numpy as np
import shapely
from matplotlib import rc_context, rcdefaults, rcParams
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path as Outline
from matplotlib.patheffects import withStroke
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.transforms import Affine2D, Affine2DBase, ScaledTranslation, Transform
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from scipy.stats import t as student_t
from shapely.ops import substring

from holesim import __version__, advice
from holesim.course import Course, Ground
from holesim.plan import CONFIDENCE, Plan, StrikePlan, TeePlan
from holesim.units import MPH, YARD

Floats = NDArray[np.float64]

INK: Final = "#1a1a1a"
QUIET: Final = "#595959"
DOTS: Final = 400  # drives drawn as dots for each strike
SMALL: Final = 7.0  # pt, the smallest print

# Painted from first to last, so that a lower code of `Ground` covers a higher one: name, fill and edge.
_GROUND: Final = {
    Ground.ROUGH: ("rough", "#c3d4a6", "#b3c695"),
    Ground.HEAVY_ROUGH: ("heavy rough", "#abbb8c", "#abbb8c"),
    Ground.TREES: ("trees", "#8ba57f", "#7b966f"),
    Ground.FAIRWAY: ("fairway", "#dbe8c3", "#b3c890"),
    Ground.TEE: ("tee", "#eaf2d9", "#8fa577"),
    Ground.GREEN: ("green", "#f1f8e0", "#7f9a68"),
    Ground.BUNKER: ("sand", "#f8ecc6", "#bfa974"),
    Ground.YELLOW: ("yellow penalty area", "#cfdfe9", "#c29b2b"),
    Ground.RED: ("red penalty area", "#cfdfe9", "#b3605a"),
    Ground.OUT: ("out of bounds", "#e4e1dc", "#a8a29a"),
}
# Colours of Okabe and Ito; each series has a marker of its own besides.
_DRIVER: Final = {"up": ("#0072B2", "^"), "down": ("#D55E00", "v"), "level": ("#CC79A7", "s")}
_CLUBS: Final = (("#000000", "o"), ("#E69F00", "D"))
_SPOKEN: Final = {"up": "Up on the driver", "down": "Down on the driver", "level": "Level on the driver"}
_POLE = [(-0.04, 0), (-0.04, 1), (0.04, 1), (0.62, 0.8), (0.04, 0.6), (0.04, 0), (-0.04, 0)]
_MOST: Final = 3  # strikes in one picture
_SHARES: Final = (  # of the drives inside an outline, and how it is drawn
    (0.5, 1.7, "-", "half of the drives finish inside"),
    (0.9, 1.0, (0, (4, 2)), "nine in ten finish inside"),
)
_SETTINGS: Final = Lock()
_PICTURE: Final[dict[str, Any]] = {"figsize": (7.0, 9.5), "dpi": 150}  # in
_PLACE: Final = (0.035, 0.025, 0.58, 0.95)
_GUTTER, _WIDE = 13.0, 168.0  # pt, between the picture and the words, and across the words


def draw_hole(
    tee_plan: TeePlan,
    course: Course,
    *,
    ax: Axes | None = None,
    metric: bool = False,
    unmapped: str | None = None,
) -> Axes:
    """Draw a hole from tee (at the foot) to pin, where the drives finish, and what to do beside it.

    Parameters
    ----------
    ax
        Where to draw, in metres; the words stand to its right and take 2.5 in. A new figure by default.
    metric
        Metres instead of yards.
    unmapped
        What lies in no outline, "rough" or "heavy", where the plan overrules the course.
    """
    if ax is None:
        ax = Figure(**_PICTURE).add_axes(_PLACE)
    view = _View(ax, tee_plan)
    kinds = _draw_ground(view, course, unmapped)
    _draw_marks(view)
    for rank in range(len(view.shown)):
        _draw_strike(view, rank)
    _draw_distances(view, unit=1.0 if metric else YARD)
    _write_margin(view, course.name, kinds, metric=metric)
    return ax


def write_pictures(plan: Plan, folder: Path, *, metric: bool = False) -> list[Path]:
    """Write a PNG for every tee planned; return their paths."""
    paths: list[Path] = []
    for tee in plan.tees:
        paths.append(folder / _file_name(tee, {p.name for p in paths}))
        with _own_settings():
            figure = Figure(**_PICTURE)
            ax = figure.add_axes(_PLACE)
            draw_hole(tee, plan.course, ax=ax, metric=metric, unmapped=plan.options["unmapped"])
            figure.savefig(paths[-1], format="png", metadata={"Software": "holesim"})
    return paths


def write_card(plan: Plan, path: Path, *, metric: bool = False) -> None:
    """Write the plan as a PDF, a page for each set of tees; the same plan gives the same bytes."""
    metadata: dict[str, Any] = {"CreationDate": None, "Creator": "holesim", "Producer": None}
    with _own_settings(), PdfPages(path, metadata=metadata) as pages:
        for figure in _card_pages(plan, metric=metric):
            pages.savefig(figure)


@contextmanager
def _own_settings() -> Iterator[None]:
    """Set aside the user's style, which is global, so one thread at a time."""
    with _SETTINGS, rc_context():
        rcdefaults()
        rcParams["pdf.fonttype"] = 42  # whole glyphs, which can be searched and copied
        yield


# --- the hole -------------------------------------------------------------------------------------


class _View:
    """A hole on its axes [m], turned so that the pin is straight up from the tee, which is the origin."""

    def __init__(self, ax: Axes, plan: TeePlan) -> None:
        dx, dy = plan.hole.pin[0] - plan.tee.x, plan.hole.pin[1] - plan.tee.y
        self.ax, self.plan, self.shown = ax, plan, _shown(plan)
        self.taken: list[shapely.Polygon] = []
        self.bearing, self.length = atan2(dx, dy), hypot(dx, dy)
        self.finishes = [self.turn(np.column_stack([s.drives.x, s.drives.y])) for s in self.shown]
        extent, line = ax.get_window_extent(), plan.hole.line
        ahead = substring(line, max(line.length - plan.tee.length, 0), line.length)
        must = [self.turn(shapely.get_coordinates(shape)) for shape in (ahead, plan.hole.green)]
        must += [np.quantile(points, (0.01, 0.99), axis=0) for points in self.finishes]
        low, high = (f(np.concatenate([*must, [[0.0, 0.0]]]), axis=0) for f in (np.min, np.max))
        wide, tall = high - low + 30
        size = max(tall, wide * extent.height / extent.width)
        half = np.array([size * extent.width / extent.height, size]) / 2
        (self.left, self.bottom), (self.right, self.top) = (low + high) / 2 - half, (low + high) / 2 + half
        self.point = size / extent.height * ax.figure.dpi / 72  # m on the ground for a point on paper
        ax.set(
            xlim=(self.left, self.right), ylim=(self.bottom, self.top), xticks=[], yticks=[], aspect="equal"
        )

    def turn(self, points: Floats) -> Floats:
        dx, dy = points[:, 0] - self.plan.tee.x, points[:, 1] - self.plan.tee.y
        s, c = sin(self.bearing), cos(self.bearing)
        return np.column_stack([dx * c - dy * s, dx * s + dy * c])

    def label(
        self, places: Iterable[tuple[float, float]], text: str, *, size: float = SMALL, colour: str = INK
    ) -> None:
        """Write above the first of the places where nothing is written yet."""
        bold, gap = size > SMALL, 3 * self.point
        half = _width(text, size, bold=bold) / 2 * self.point
        for place, y in places:
            x = min(max(place, self.left + half + gap), self.right - half - gap)
            box = shapely.box(x - half, y, x + half, y + 1.2 * size * self.point)
            if not any(box.intersects(other) for other in self.taken):
                self.taken.append(box)
                halo, font = withStroke(linewidth=2.2, foreground="white", alpha=0.85), _font(size, bold=bold)
                how: dict[str, Any] = {
                    "path_effects": [halo],
                    "parse_math": False,
                    "clip_on": True,
                    "zorder": 7,
                }
                self.ax.text(x, y, text, ha="center", color=colour, fontproperties=font, **how)
                return


def _shown(plan: TeePlan) -> tuple[StrikePlan, ...]:
    """Return the choice, its rival and, but for a par 3, the driver's other strikes."""
    first = [s for s in (plan.choice, plan.rival) if s is not None]
    drivers = [s for s in plan.strikes if s.club == "driver" and plan.hole.par > 3]
    return (*first, *(s for s in drivers if not any(s is f for f in first)))[:_MOST]


def _styles(shown: Sequence[StrikePlan]) -> list[tuple[str, str]]:
    clubs = iter(_CLUBS)
    return [_DRIVER[s.label] if s.club == "driver" else next(clubs) for s in shown]


def _draw_ground(view: _View, course: Course, unmapped: str | None) -> list[Ground]:
    """Paint what is in view; return its kinds."""
    drawn = Ground.HEAVY_ROUGH if course.maps_rough else Ground.ROUGH
    bare = {"rough": Ground.ROUGH, "heavy": Ground.HEAVY_ROUGH}.get(unmapped or "", drawn)
    window = shapely.box(view.left, view.bottom, view.right, view.top)
    view.ax.set_facecolor(_GROUND[bare][1])
    for spine in view.ax.spines.values():
        spine.set(color="#8a8a8a", linewidth=0.6)
    kinds = {bare}
    for ground in _GROUND:
        shape = shapely.union_all([a.outline for a in course.areas if a.ground is ground])
        shape = shapely.transform(shape, view.turn)
        if ground is Ground.OUT and course.boundary is not None:
            inside = shapely.transform(course.boundary, view.turn)
            shape = shape.union(window.buffer(5).difference(inside))
        if shape.intersects(window):
            kinds.add(ground)
            # add_patch would walk every edge to find limits that are set already.
            view.ax.add_artist(PathPatch(_outline(shape), zorder=1, **_paint(ground)))
    return [ground for ground in _GROUND if ground in kinds]


def _paint(ground: Ground) -> dict[str, Any]:
    _, fill, edge = _GROUND[ground]
    width = 1.1 if ground in (Ground.RED, Ground.YELLOW) else 0.7
    return {"fc": fill, "ec": edge, "lw": width, "hatch": "////" if ground is Ground.OUT else ""}


def _outline(shape: shapely.Geometry) -> Outline:
    polygons = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"]
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return Outline.make_compound_path(*(Outline(shapely.get_coordinates(r), closed=True) for r in rings))


def _draw_distances(view: _View, *, unit: float) -> None:
    """Draw quiet arcs: every 50 from the tee, labelled at the left, and to the pin, at the right."""
    short = view.plan.hole.par == 3
    reach = max(float(np.quantile(points[:, 1], 0.95)) for points in view.finishes) + 15
    reach = min(reach, view.length - 8) / unit
    bend = np.linspace(-np.pi / 2, np.pi / 2, 181)
    arcs = [(n, 0.0, 1, f"{n}") for n in range(100 if short else 150, 501, 50) if n < reach]
    to_pin = (50,) if short else (100, 150, 200)
    arcs += [(n, view.length, -1, f"{n} to pin") for n in to_pin if view.length - n * unit > 45]
    for count, start, way, text in arcs:
        r, dashes = count * unit, "-" if way > 0 else (0, (1, 2.5))
        x, y = r * np.sin(bend), start + way * r * np.cos(bend)
        view.ax.plot(x, y, c=QUIET, lw=0.6, ls=dashes, alpha=0.55, zorder=2)
        ends = max(view.left + 12 * view.point, -0.8 * r), min(view.right - 24 * view.point, 0.8 * r)
        places = [(end, start + way * sqrt(r * r - end * end) + 2 * view.point) for end in ends[::way]]
        view.label(places, text, colour=QUIET)


def _draw_strike(view: _View, rank: int) -> None:
    """Draw a strike's aim, a fair sample of its drives, and where half and nine in ten of them finish."""
    ax, strike, points = view.ax, view.shown[rank], view.finishes[rank]
    colour, marker = _styles(view.shown)[rank]
    x, y = points[np.random.default_rng(0).permutation(len(points))[:DOTS]].T
    ax.scatter(x, y, s=8, c=colour, marker=marker, alpha=0.32, linewidths=0, zorder=3 - 0.1 * rank)
    x, y, density, levels = _densest(points, [share for share, *_ in _SHARES])
    for level, (_, width, dashes, _) in zip(levels, _SHARES, strict=True):
        halo = withStroke(linewidth=width + 1.2, foreground="white", alpha=0.6)
        drawn = ax.contour(
            x, y, density, levels=[level], colors=colour, linewidths=width, zorder=4 - 0.1 * rank
        )
        drawn.set(linestyle=[dashes], path_effects=[halo])
    end = strike.total * sin(strike.aim), strike.total * cos(strike.aim)
    ax.plot(
        [0, end[0]],
        [0, end[1]],
        c=colour,
        lw=1.1,
        ls="-" if rank == 0 else (0, (5, 3)),
        zorder=5 - 0.1 * rank,
    )
    ax.plot(*end, marker=marker, ms=8, c=colour, mec="white", mew=0.9, zorder=6 - 0.1 * rank)
    _label_strike(view, rank, colour)


def _densest(points: Floats, shares: Sequence[float]) -> tuple[Floats, Floats, Floats, list[float]]:
    """Return a smoothed density on a grid and the levels above which it holds each share of the points."""
    low, high = np.quantile(points, (0.25, 0.75), axis=0)
    smooth = np.maximum((high - low) / 1.349 * len(points) ** (-1 / 6), 1.0)  # Scott's rule, from quartiles
    low, high, step = points.min(axis=0) - 5 * smooth, points.max(axis=0) + 5 * smooth, smooth / 3
    across, along = (np.arange(a, b + c, c) for a, b, c in zip(low, high, step, strict=True))
    density = gaussian_filter(np.histogram2d(points[:, 0], points[:, 1], bins=[across, along])[0], 3.0)
    i, j = ((points - low) // step).astype(int).T
    levels = [float(np.quantile(density[i, j], 1 - share)) for share in shares]
    return across[:-1] + step[0] / 2, along[:-1] + step[1] / 2, density.T, levels


def _label_strike(view: _View, rank: int, colour: str) -> None:
    """Name a strike beside its drives: the choice at the right, then left, above and below."""
    text = _wrap(view.shown[rank].label, 110, 1, size=9, bold=True)[0]
    half, gap = _width(text, 9, bold=True) / 2 * view.point, 12 * view.point
    (left, bottom), (x, y), (right, top) = np.quantile(view.finishes[rank], (0.04, 0.5, 0.96), axis=0)
    places = [(right + half + gap, y), (left - half - gap, y), (x, top + gap), (x, bottom - gap)]
    view.label(places[rank:] + places[:rank], text, size=9, colour=colour)


def _draw_marks(view: _View) -> None:
    """Mark the tee, the pin and north."""
    ax, how = view.ax, dict[str, Any](c=INK, mec="white", zorder=6.5)
    ax.plot(0, 0, marker="s", ms=4.5, mew=0.8, **how)
    ax.plot(0, view.length, marker=Outline(_POLE), ms=34, mew=0.7, **how)
    ax.plot(0, view.length, marker="o", ms=3, mew=0, **how)
    dx, dy = -sin(view.bearing) * view.point, cos(view.bearing) * view.point
    x, y = view.right - 24 * view.point, view.bottom + 24 * view.point
    arrow = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    ax.annotate("", (x + 7 * dx, y + 7 * dy), (x - 13 * dx, y - 13 * dy), arrowprops=arrow, zorder=7)
    view.label([(x + 13 * dx, y + 13 * dy - 3.5 * view.point)], "N", size=8)


# --- the words beside it --------------------------------------------------------------------------


def _write_margin(view: _View, course: str, kinds: Sequence[Ground], *, metric: bool) -> None:
    plan, x = view.plan, _GUTTER
    choice, right = plan.choice, _GUTTER + _WIDE
    inches = Affine2D().scale(1 / 72, -1 / 72) + view.ax.figure.dpi_scale_trans
    sheet = _Sheet(view.ax.add_artist, inches + _corner(view.ax))
    y = sheet.write(x, 0, course, colour=QUIET, width=_WIDE, most=2)
    y = sheet.write(x, y + 2, f"Hole {plan.hole.number}", size=20, bold=True)
    place = f"par {plan.hole.par}, {_distance(plan.tee.length, metric=metric)}, {plan.tee.name} tee"
    y = sheet.rule(x, right, sheet.write(x, y + 1, place, size=9, width=_WIDE, most=2) + 7)
    y = sheet.write(
        x, y + 6, _SPOKEN.get(choice.label, choice.label), size=13, bold=True, width=_WIDE, most=2
    )
    y = sheet.write(x, y + 2, _sentence(_why(plan, metric=metric)), size=9, width=_WIDE)
    notes = [f"Would change under {'; or under '.join(plan.turns_on)}."] if plan.turns_on else []
    if plan.rival is not None:
        low, high = choice.interval_over(plan.rival)
        over = f"{choice.strokes - plan.rival.strokes:+.3f} (95% interval {low:+.3f} to {high:+.3f})"
        notes.append(f"Strokes over {plan.rival.label}: {_minus(over)}.")
    for note in notes:
        y = sheet.write(x, y + 3, note, colour=QUIET, width=_WIDE)
    for strike, style in zip(view.shown, _styles(view.shown), strict=True):
        y = _write_strike(sheet, y + 11, strike, style, metric=metric)
    y = sheet.rule(x, right, y + 8) + 6
    for _, width, dashes, text in _SHARES:
        sheet.line(x, x + 20, y + 5, lw=width, ls=dashes, c=INK)
        y = sheet.write(x + 26, y, text, size=7.5) + 1.5
    y = sheet.write(x, y, "± and intervals: 95%, of the sampling alone", size=SMALL, colour=QUIET)
    rows = (len(kinds) + 1) // 2
    y = max(y + 8, (view.top - view.bottom) / view.point - 11 * rows)
    for i, ground in enumerate(kinds):
        left, top = x + 76 * (i // rows), y + 11 * (i % rows)
        sheet.swatch(left, top + 1, **_paint(ground))
        sheet.write(left + 16, top, _GROUND[ground][0], size=SMALL)


def _write_strike(
    sheet: "_Sheet", y: float, strike: StrikePlan, style: tuple[str, str], *, metric: bool
) -> float:
    """Write what a strike does; return where the next may begin."""
    n, x, wide = len(strike.by_randomisation), _GUTTER + 15, _WIDE - 15
    half = float(student_t.ppf((1 + CONFIDENCE) / 2, n - 1)) * strike.strokes_se
    sheet.mark(x - 10, y + 7, style)
    y = sheet.write(x, y, strike.label, size=10.5, bold=True, colour=style[0], width=wide, most=1)
    y = sheet.write(x, y + 1, f"Aim {strike.mark.text(metric=metric)}", size=8.5, width=wide)
    for name, value in (
        ("strokes", f"{strike.strokes:.3f} ± {half:.3f}"),
        ("length in all", _distance(strike.total, metric=metric)),
        ("fairway or green", f"{_safe(strike):.0%}"),
        ("penalty or out", f"{_trouble(strike):.1%}"),
    ):
        sheet.write(x, y + 1, name, colour=QUIET)
        y = sheet.write(x + wide, y + 1, value, align="right")
    return y


# --- the card -------------------------------------------------------------------------------------

_PAGE: Final = (595.0, 842.0)  # pt, A4
_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 555.0, 38.0, 812.0
# Where the columns of the card stand [pt]: the left edges of words, the right edges of numbers.
_HIT, _AIM, _STROKES, _NEXT, _SAFE, _TROUBLE = 102.0, 172.0, 408.0, 488.0, 522.0, 555.0
_NOTE: Final = (
    "Too close to call: the usual strike where it is as good. Next best: what it costs more, with its 95% "
    "interval from the sampling alone. * Would change under another assumption, named on the hole's picture."
)


def _card_pages(plan: Plan, *, metric: bool) -> Iterator[Figure]:
    """Yield a page for each set of tees; more where the holes do not fit on one."""
    blank = _Sheet(lambda _: None, Affine2D())
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee.name == name]
        head = _card_head(blank, plan, tees, metric=metric)
        foot = _card_foot(blank, 0, plan, tees)
        heights = [_card_row(blank, 0, tee, metric=metric) for tee in tees]
        room = _BOTTOM - foot - head
        for first, last in _fitting([h + 5 for h in heights], room):
            figure = Figure(figsize=(_PAGE[0] / 72, _PAGE[1] / 72))
            flip = Affine2D().scale(1 / 72, -1 / 72).translate(0, _PAGE[1] / 72)
            sheet = _Sheet(figure.add_artist, flip + figure.dpi_scale_trans)
            y = _card_head(sheet, plan, tees, metric=metric)
            gap = min((room - sum(heights[first:last])) / (last - first), 11)
            for tee in tees[first:last]:
                y = _card_row(sheet, y + gap / 2, tee, metric=metric) + gap / 2
                sheet.rule(_LEFT, _RIGHT, y)
            _card_foot(sheet, _BOTTOM - foot, plan, tees)
            yield figure


def _fitting(heights: Sequence[float], room: float) -> Iterator[tuple[int, int]]:
    """Yield the spans of rows that fit one page each, a row at the least."""
    first, used = 0, 0.0
    for i, height in enumerate(heights):
        if i > first and used + height > room:
            yield first, i
            first, used = i, 0.0
        used += height
    yield first, len(heights)


def _card_head(sheet: "_Sheet", plan: Plan, tees: Sequence[TeePlan], *, metric: bool) -> float:
    """Write the title and the names of the columns; return where the rows begin."""
    wide = _RIGHT - _LEFT
    y = sheet.write(_LEFT, _TOP, plan.course.name, size=18, bold=True, width=wide, most=2)
    y = sheet.write(_LEFT, y + 1, f"For {plan.player.name}", size=11, width=wide)
    length = _distance(sum(t.tee.length for t in tees), metric=metric)
    place = f"{tees[0].tee.name} tees, {length}, par {sum(t.hole.par for t in tees)}"
    for text in (f"{place}; {_golfer(plan, metric=metric)}", _conditions(plan, metric=metric)):
        y = sheet.write(_LEFT, y + 1, _sentence(text), colour=QUIET, width=wide)
    y += 10
    sheet.write(_LEFT, y + 9, "hole", size=SMALL, colour=QUIET)
    sheet.write(_HIT, y + 9, "hit", size=SMALL, colour=QUIET)
    sheet.write(_AIM, y + 9, "aim, and why", size=SMALL, colour=QUIET)
    columns = (
        (_STROKES, "strokes"),
        (_NEXT, "next best"),
        (_SAFE, "fairway or green"),
        (_TROUBLE, "penalty or out"),
    )
    for x, title in columns:
        lines = 1 if x < _SAFE else 2
        sheet.write(
            x, y + 18 - 9 * lines, title, size=SMALL, colour=QUIET, width=wide / lines / 8, align="right"
        )
    sheet.rule(_LEFT, _RIGHT, y + 22)
    return y + 22


def _card_row(sheet: "_Sheet", y: float, plan: TeePlan, *, metric: bool) -> float:
    """Write what to do on a tee; return where the row ends."""
    choice = plan.choice
    sheet.write(_LEFT, y - 3, f"{plan.hole.number}", size=13, bold=True)
    sheet.write(_LEFT + 23, y, f"par {plan.hole.par}", size=SMALL, colour=QUIET)
    sheet.write(_LEFT + 23, y + 10, _distance(plan.tee.length, metric=metric), size=SMALL, colour=QUIET)
    sheet.mark(_HIT + 3, y + 5.5, _styles([choice])[0])
    hit = sheet.write(_HIT + 11, y, choice.label, size=9, bold=True, width=_AIM - _HIT - 14, most=3)
    if plan.close:
        hit = sheet.write(_HIT, hit, "too close to call", size=SMALL, width=_AIM - _HIT)
    sheet.write(_STROKES, y, f"{choice.strokes:.2f}", size=8.5, align="right")
    sheet.write(_SAFE, y, f"{_safe(choice):.0%}", size=8.5, align="right")
    sheet.write(_TROUBLE, y, f"{_trouble(choice):.1%}", size=8.5, align="right")
    if plan.rival is not None:
        low, high = plan.rival.interval_over(choice)
        over = _minus(f"{plan.rival.strokes - choice.strokes:+.3f}")
        sheet.write(_NEXT, y, f"{over} ± {(high - low) / 2:.3f}", align="right", size=8.5)
    y = sheet.write(_AIM, y, choice.mark.text(metric=metric), size=8.5, width=_STROKES - _AIM - 28)
    why = _why(plan, metric=metric).removeprefix("too close to call; ") + (" *" if plan.turns_on else "")
    y = sheet.write(_AIM, y, why, size=SMALL, colour=QUIET, width=_RIGHT - _AIM)
    return max(y, hit)


def _card_foot(sheet: "_Sheet", y: float, plan: Plan, tees: Sequence[TeePlan]) -> float:
    """Write what each policy costs, the notes and the cautions; return where they end."""
    totals = plan.totals[tees[0].tee.name]
    cheapest = min(totals.values())
    of = "the round" if len(tees) == len(plan.course.holes) else "the holes above"
    sheet.write(_LEFT, y + 10, f"Strokes for {of}", bold=True)
    if not plan.player.can_choose:
        used = sorted({t.choice.strike for t in tees if t.choice.club == "driver"})
        sheet.write(
            _LEFT, y + 21, f"one strike all day: {', '.join(used) or 'no driver'}", size=7.5, colour=QUIET
        )
    for i, (policy, strokes) in enumerate(totals.items()):
        x = _AIM + i * 100
        sheet.write(x, y + 10, policy, colour=QUIET)
        over = f"  +{strokes - cheapest:.2f}" if strokes - cheapest > 0.005 else ""
        sheet.write(x, y + 20, f"{strokes:.2f}{over}", size=10, bold=not over)
    y += 40
    sheet.rule(_LEFT, _RIGHT, y)
    y += 4
    for note in (_NOTE, *advice.CAUTIONS):
        y = sheet.write(_LEFT, y + 1, note, size=SMALL, colour=QUIET, width=_RIGHT - _LEFT)
    made = f"This is a printed plan, made before the round with holesim {__version__}."
    return sheet.write(_LEFT, y + 2, made, size=7.5, bold=True, width=_RIGHT - _LEFT)


def _golfer(plan: Plan, *, metric: bool) -> str:
    player = plan.player
    speed = f"{player.club_speed:.0f} m/s" if metric else f"{player.club_speed / MPH:.0f} mph"
    handicap = f"+{-player.handicap_index:g}" if player.handicap_index < 0 else f"{player.handicap_index:g}"
    assumed = f"; {len(player.assumed)} numbers of the swing assumed" if player.assumed else ""
    return f"club speed {speed}, handicap index {handicap}, usually hits {player.usual}{assumed}"


def _conditions(plan: Plan, *, metric: bool) -> str:
    options = plan.options
    speed = options["wind_mph"]
    told = f"{speed * MPH:.1f} m/s" if metric else f"{speed:g} mph"
    wind = f"wind {told} from {options['wind_from_deg']:g}°" if speed else "calm"
    air = f"air of {options['air_density_kg_m3']:.2f} kg/m³"
    out = "stroke and distance" if options["out_of_bounds"] == "distance" else "a drop for two strokes"
    drives = f"{plan.draws:,} drives a strike, seed {plan.seed}"
    return f"{wind}, {air}, {options['ground']} ground; out of bounds: {out}; {drives}"


# --- words and sheets -----------------------------------------------------------------------------


@dataclass(frozen=True)
class _Sheet:
    """A place to write, in points right of and below its top left corner."""

    add: Callable[[Artist], object]
    transform: Transform

    def write(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 8.0,
        bold: bool = False,
        colour: str = INK,
        width: float = inf,
        most: int = 9,
        align: str = "left",
    ) -> float:
        """Write below y in at most so many lines of `width`; return where the next line may begin."""
        for line in _wrap(text, width, most, size=size, bold=bold):
            self.add(
                Text(
                    x, y + size, line, ha=align, va="baseline", color=colour, transform=self.transform,
                    fontproperties=_font(size, bold=bold), parse_math=False, clip_on=False,
                )
            )  # fmt: skip
            y += 1.3 * size
        return y

    def line(self, left: float, right: float, y: float, **how: Any) -> None:  # noqa: ANN401
        self.add(Line2D([left, right], [y, y], transform=self.transform, clip_on=False, **how))

    def rule(self, left: float, right: float, y: float) -> float:
        self.line(left, right, y, lw=0.5, c="#b8b8b8")
        return y

    def mark(self, x: float, y: float, style: tuple[str, str]) -> None:
        self.line(x, x, y, c=style[0], marker=style[1], ms=7, mec="white", mew=0.6)

    def swatch(self, x: float, y: float, **how: Any) -> None:  # noqa: ANN401
        self.add(Rectangle((x, y), 12, 8, transform=self.transform, clip_on=False, **how))


@cache
def _font(size: float, *, bold: bool = False) -> FontProperties:
    return FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")


@cache
def _glyphs() -> frozenset[int]:
    return frozenset(FT2Font(findfont(_font(SMALL))).get_charmap())


def _plain(text: str) -> str:
    """Return text without control characters, and a question mark for what the font cannot draw."""
    text = "".join(
        " " if unicodedata.category(c)[0] in "CZ" else c for c in unicodedata.normalize("NFC", text)
    )
    return "".join(c if ord(c) in _glyphs() else "?" for c in " ".join(text.split()))


def _width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the printed width of text [pt]."""
    return float(text_to_path.get_text_width_height_descent(text, _font(size, bold=bold), False)[0])


def _wrap(text: str, width: float, most: int, *, size: float, bold: bool = False) -> list[str]:
    """Return text in at most so many lines of `width` [pt], the last cut with an ellipsis if need be."""

    def fits(line: str) -> bool:
        return _width(line, size, bold=bold) <= width

    lines = [""]
    for word in _plain(text).split(" "):
        if fits(f"{lines[-1]} {word}"):
            lines[-1] = f"{lines[-1]} {word}".strip()
            continue
        lines.append("")
        for letter in word:
            if not fits(lines[-1] + letter):
                lines.append("")
            lines[-1] += letter
    lines = [line for line in lines if line]
    if len(lines) > most:
        last = lines[most - 1]
        while not fits(f"{last}…"):
            last = last[:-1]
        lines[most - 1 :] = [f"{last}…"]
    return lines


def _why(plan: TeePlan, *, metric: bool) -> str:
    """Return the reason without the name of the choice, which stands beside it."""
    return plan.reason(metric=metric).replace(f"{plan.choice.label}: ", "", 1)


def _corner(ax: Axes) -> Affine2DBase:
    """Return the shift from the figure's origin to the top right corner of the axes."""
    return ScaledTranslation(1, 1, cast("Affine2DBase", ax.transAxes))


def _minus(text: str) -> str:
    return text.replace("-", "\N{MINUS SIGN}")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _distance(metres: float, *, metric: bool) -> str:
    return f"{metres:,.0f} m" if metric else f"{metres / YARD:,.0f} yd"


def _safe(strike: StrikePlan) -> float:
    return strike.shares["fairway"] + strike.shares["green"]


def _trouble(strike: StrikePlan) -> float:
    return strike.shares["penalty"] + strike.shares["out"]


def _file_name(plan: TeePlan, taken: set[str]) -> str:
    """Return a file name safe everywhere and not in `taken`."""
    name = unicodedata.normalize("NFKD", plan.tee.name).encode("ascii", "ignore").decode().lower()
    name = re.sub("[^a-z0-9]+", "-", name).strip("-")[:40].strip("-") or "tee"
    stem = f"hole-{plan.hole.number:02d}-{name}"
    names = (f"{stem}{f'-{i}' if i else ''}.png" for i in (0, *range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
