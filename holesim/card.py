"""Pictures: each hole with where the drives finish, and the course card on one page for the bag."""

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import atan2, cos, hypot, sin, sqrt
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely
from matplotlib import rc_context
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
from matplotlib.transforms import Affine2D, ScaledTranslation, Transform
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

# Painted from first to last, so that a lower code of `Ground` covers a higher one.
_GROUND: Final = {
    Ground.ROUGH: ("rough", "#c3d4a6", "#b3c695", ""),
    Ground.HEAVY_ROUGH: ("heavy rough", "#abbb8c", "#abbb8c", ""),
    Ground.TREES: ("trees", "#8ba57f", "#7b966f", ""),
    Ground.FAIRWAY: ("fairway", "#dbe8c3", "#b9cd9b", ""),
    Ground.TEE: ("tee", "#eaf2d9", "#8fa577", ""),
    Ground.GREEN: ("green", "#f1f8e0", "#7f9a68", ""),
    Ground.BUNKER: ("sand", "#f8ecc6", "#bfa974", ""),
    Ground.YELLOW: ("penalty area (yellow)", "#cfdfe9", "#c29b2b", ""),
    Ground.RED: ("penalty area (red)", "#cfdfe9", "#b3605a", ""),
    Ground.OUT: ("out of bounds", "#e4e1dc", "#a8a29a", "////"),
}
# Colours of Okabe and Ito; each series has a marker of its own besides.
_DRIVER: Final = {"up": ("#0072B2", "^"), "down": ("#D55E00", "v"), "level": ("#CC79A7", "s")}
_CLUBS: Final = (("#000000", "o"), ("#E69F00", "D"))
_SPOKEN: Final = {"up": "Up on the driver", "down": "Down on the driver", "level": "Level on the driver"}
_FLAG: Final = Outline([(-0.04, 0), (-0.04, 1), (0.04, 1), (0.62, 0.8), (0.04, 0.6), (0.04, 0), (-0.04, 0)])
_MOST: Final = 4  # strikes in one picture
_MARGIN_WIDTH: Final = 168.0  # pt
_HALO: Final = withStroke(linewidth=2.2, foreground="white", alpha=0.85)


def draw_hole(tee_plan: TeePlan, course: Course, *, ax: Axes | None = None, metric: bool = False) -> Axes:
    """Draw a hole from tee (at the foot) to pin, where the drives finish, and what to do beside it.

    Parameters
    ----------
    ax
        Where to draw, in metres; the words stand to its right and take 2.5 in. A new figure by default.
    metric
        Metres instead of yards.
    """
    if ax is None:
        figure = Figure(figsize=(7, 9.5), dpi=150)
        ax = figure.add_axes((0.035, 0.025, 0.58, 0.95))
    frame = _Frame.of(tee_plan)
    shown = _shown(tee_plan)
    window = _set_window(ax, tee_plan, frame, shown)
    kinds = _draw_ground(ax, course, frame, window)
    _draw_distances(ax, tee_plan, frame, window, unit=1.0 if metric else YARD, farthest=shown)
    styles = _styles(shown)
    for rank, strike in reversed(list(enumerate(shown))):
        _draw_strike(ax, strike, frame, styles[rank], rank, window)
    _draw_marks(ax, frame, window)
    _write_margin(ax, tee_plan, course, shown, kinds, metric=metric)
    return ax


def write_pictures(plan: Plan, folder: Path, *, metric: bool = False) -> list[Path]:
    """Write a PNG for every tee planned; return their paths."""
    paths: list[Path] = []
    for tee in plan.tees:
        path = folder / _file_name(tee, {p.name for p in paths})
        figure = draw_hole(tee, plan.course, metric=metric).get_figure()
        assert isinstance(figure, Figure)  # noqa: S101 - draw_hole made it
        figure.savefig(path, dpi=150, format="png", metadata={"Software": "holesim"})
        paths.append(path)
    return paths


def write_card(plan: Plan, path: Path, *, metric: bool = False) -> None:
    """Write the plan as a PDF, a page for each set of tees; the same plan gives the same bytes."""
    metadata: dict[str, Any] = {"CreationDate": None, "Creator": "holesim", "Producer": None}
    with rc_context({"pdf.fonttype": 42}), PdfPages(path, metadata=metadata) as pages:
        for figure in _card_pages(plan, metric=metric):
            pages.savefig(figure)


# --- the hole -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Frame:
    """The hole turned so that the pin is straight up from the tee, which is the origin [m]."""

    x: float
    y: float
    bearing: float
    length: float

    @classmethod
    def of(cls, plan: TeePlan) -> "_Frame":
        dx, dy = plan.hole.pin[0] - plan.tee.x, plan.hole.pin[1] - plan.tee.y
        return cls(plan.tee.x, plan.tee.y, atan2(dx, dy), hypot(dx, dy))

    def turn(self, points: Floats) -> Floats:
        dx, dy = points[:, 0] - self.x, points[:, 1] - self.y
        s, c = sin(self.bearing), cos(self.bearing)
        return np.column_stack([dx * c - dy * s, dx * s + dy * c])

    def finishes(self, strike: StrikePlan) -> Floats:
        return self.turn(np.column_stack([strike.drives.x, strike.drives.y]))


@dataclass(frozen=True)
class _Window:
    """What is in view [m], and how many metres a printed point covers."""

    left: float
    bottom: float
    right: float
    top: float
    per_point: float

    @property
    def box(self) -> shapely.Polygon:
        return shapely.box(self.left, self.bottom, self.right, self.top)


def _shown(plan: TeePlan) -> tuple[StrikePlan, ...]:
    """Return the choice, its rival and, but for a par 3, the driver's other strikes."""
    first = [s for s in (plan.choice, plan.rival) if s is not None]
    drivers = [s for s in plan.strikes if s.club == "driver" and plan.hole.par > 3]
    return (*first, *(s for s in drivers if s not in first))[:_MOST]


def _styles(shown: Sequence[StrikePlan]) -> list[tuple[str, str]]:
    clubs = iter(_CLUBS)
    return [_DRIVER[s.label] if s.label in _DRIVER else next(clubs) for s in shown]


def _set_window(ax: Axes, plan: TeePlan, frame: _Frame, shown: Sequence[StrikePlan]) -> _Window:
    """Show the hole's line, its green and nearly all drives, in the shape of the axes."""
    line = plan.hole.line
    ahead = shapely.get_coordinates(substring(line, max(line.length - plan.tee.length, 0), line.length))
    parts = [frame.turn(ahead), frame.turn(shapely.get_coordinates(plan.hole.green))]
    parts += [np.quantile(frame.finishes(strike), (0.01, 0.99), axis=0) for strike in shown]
    points = np.concatenate([*parts, [[0.0, 0.0]]])
    (left, bottom), (right, top) = points.min(axis=0) - (14, 16), points.max(axis=0) + (14, 18)
    extent = ax.get_window_extent()
    height = max(top - bottom, (right - left) * extent.height / extent.width)
    width = height * extent.width / extent.height
    x, y = (left + right) / 2, (bottom + top) / 2
    ax.set(xlim=(x - width / 2, x + width / 2), ylim=(y - height / 2, y + height / 2), xticks=[], yticks=[])
    ax.set_aspect("equal")
    per_point = height / (extent.height / ax.figure.dpi * 72)
    return _Window(x - width / 2, y - height / 2, x + width / 2, y + height / 2, per_point)


def _draw_ground(ax: Axes, course: Course, frame: _Frame, window: _Window) -> list[Ground]:
    """Paint what is in view; return its kinds."""
    bare = Ground.HEAVY_ROUGH if course.maps_rough else Ground.ROUGH
    view = window.box
    ax.set_facecolor(_GROUND[bare][1])
    for spine in ax.spines.values():
        spine.set(color="#8a8a8a", linewidth=0.6)
    kinds = [bare]
    for ground, (_, fill, edge, hatch) in _GROUND.items():
        shape = shapely.union_all([a.outline for a in course.areas if a.ground is ground])
        shape = shapely.transform(shape, frame.turn)
        if ground is Ground.OUT and course.boundary is not None:
            beyond = view.buffer(5).difference(shapely.transform(course.boundary, frame.turn))
            shape = shape.union(beyond)
        if not shape.intersects(view):
            continue
        kinds.append(ground)
        width = 1.1 if ground in (Ground.RED, Ground.YELLOW) else 0.7
        patch = PathPatch(
            _outline(shape), facecolor=fill, edgecolor=edge, linewidth=width, hatch=hatch, zorder=1
        )
        ax.add_artist(patch)  # add_patch would walk every curve for limits that are set
    return [ground for ground in _GROUND if ground in kinds]


def _outline(shape: shapely.Geometry) -> Outline:
    polygons = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"]
    rings = [ring for polygon in polygons for ring in (polygon.exterior, *polygon.interiors)]
    return Outline.make_compound_path(*(Outline(shapely.get_coordinates(r), closed=True) for r in rings))


def _draw_distances(
    ax: Axes, plan: TeePlan, frame: _Frame, window: _Window, *, unit: float, farthest: Sequence[StrikePlan]
) -> None:
    """Draw quiet arcs: every 50 from the tee, labelled at the left, and to the pin, at the right."""
    short = plan.hole.par == 3
    reach = max(float(np.quantile(frame.finishes(s)[:, 1], 0.95)) for s in farthest) + 15
    bend = np.linspace(-np.pi / 2, np.pi / 2, 181)
    arcs = [
        (r, 0.0, 1) for r in range(100 if short else 150, 500, 50) if r * unit < min(reach, frame.length - 8)
    ]
    to_pin = (50,) if short else (100, 150, 200)
    arcs += [(r, frame.length, -1) for r in to_pin if frame.length - r * unit > 45]
    for marked, start, way in arcs:
        r = marked * unit
        dashes = "-" if way > 0 else (0, (1, 2.5))
        ax.plot(
            r * np.sin(bend), start + way * r * np.cos(bend), c=QUIET, lw=0.6, ls=dashes, alpha=0.55, zorder=2
        )
        edge = max(window.left, -0.8 * r) if way > 0 else min(window.right, 0.8 * r)
        label = f"{marked}" if way > 0 else f"{marked} to pin"
        x, y = edge + way * 3 * window.per_point, start + way * sqrt(r * r - edge * edge)
        _label(ax, x, y + 2 * window.per_point, label, align="left" if way > 0 else "right", zorder=2.5)


def _draw_strike(
    ax: Axes, strike: StrikePlan, frame: _Frame, style: tuple[str, str], rank: int, window: _Window
) -> None:
    """Draw a strike's aim, a fair sample of its drives, and where half and nine in ten of them finish."""
    colour, marker = style
    points = frame.finishes(strike)
    chosen = np.random.default_rng(0).permutation(len(points))[:DOTS]
    ax.scatter(*points[chosen].T, s=8, c=colour, marker=marker, alpha=0.32, linewidths=0, zorder=3)
    x, y, density, levels = _densest(points, (0.9, 0.5))
    for level, width, dashes in zip(levels, (1.0, 1.7), ((0, (4, 2)), "-"), strict=True):
        drawn = ax.contour(x, y, density, levels=[level], colors=colour, linewidths=width, zorder=4)
        drawn.set(
            linestyle=[dashes],
            path_effects=[withStroke(linewidth=width + 1.2, foreground="white", alpha=0.6)],
        )
    end = strike.total * np.array([sin(strike.aim), cos(strike.aim)])
    ax.plot([0, end[0]], [0, end[1]], c=colour, lw=1.1, ls="-" if rank == 0 else (0, (5, 3)), zorder=5)
    ax.plot(*end, marker=marker, ms=8, c=colour, mec="white", mew=0.9, zorder=6 - 0.1 * rank)
    _label_strike(ax, strike.label, colour, points, rank, window)


def _densest(points: Floats, shares: Sequence[float]) -> tuple[Floats, Floats, Floats, list[float]]:
    """Return a smoothed density on a grid and the levels above which it holds each share of the points."""
    quartiles = np.quantile(points, (0.25, 0.75), axis=0)
    smooth = np.maximum((quartiles[1] - quartiles[0]) / 1.349 * len(points) ** (-1 / 6), 1.0)
    low, high = points.min(axis=0) - 5 * smooth, points.max(axis=0) + 5 * smooth
    edges = [np.arange(a, b + step, step) for a, b, step in zip(low, high, smooth / 3, strict=True)]
    counts, _, _ = np.histogram2d(points[:, 0], points[:, 1], bins=edges)
    density = gaussian_filter(counts, 3.0)
    i, j = ((points - low) // (smooth / 3)).astype(int).T
    levels = [float(np.quantile(density[i, j], 1 - share)) for share in shares]
    x, y = ((e[:-1] + e[1:]) / 2 for e in edges)
    return x, y, density.T, levels


def _label_strike(ax: Axes, text: str, colour: str, points: Floats, rank: int, window: _Window) -> None:
    """Name a strike beside its drives: the choice at the right, then left, above and below."""
    text = _plain(text)
    half = _width(text, 9, bold=True) / 2 * window.per_point
    (left, bottom), (x, y), (right, top) = np.quantile(points, (0.04, 0.5, 0.96), axis=0)
    gap = 12 * window.per_point
    places = [(right + half + gap, y), (left - half - gap, y), (x, top + gap), (x, bottom - gap)]
    x, y = places[rank % 4]
    x = min(max(x, window.left + half + gap / 3), window.right - half - gap / 3)
    _label(ax, x, y, text, align="center", zorder=7, size=9, bold=True, colour=colour)


def _label(
    ax: Axes,
    x: float,
    y: float,
    text: str,
    *,
    align: str,
    zorder: float,
    size: float = SMALL,
    bold: bool = False,
    colour: str = QUIET,
) -> None:
    ax.text(
        x, y, text, ha=align, va="bottom", color=colour, fontproperties=_font(size, bold=bold),
        path_effects=[_HALO], zorder=zorder, parse_math=False, clip_on=True,
    )  # fmt: skip


def _draw_marks(ax: Axes, frame: _Frame, window: _Window) -> None:
    """Mark the tee, the pin and north."""
    ax.plot(0, 0, marker="s", ms=4.5, c=INK, mec="white", mew=0.8, zorder=7)
    ax.plot(0, frame.length, marker=_FLAG, ms=34, c=INK, mec="white", mew=0.7, zorder=7)
    ax.plot(0, frame.length, marker="o", ms=2.5, c=INK, zorder=7)
    north = np.array([-sin(frame.bearing), cos(frame.bearing)]) * 13 * window.per_point
    middle = np.array([window.right, window.bottom]) + np.array([-24, 24]) * window.per_point
    arrow = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    ax.annotate("", middle + north * 0.55, middle - north, arrowprops=arrow, zorder=7)
    x, y = middle + north
    _label(ax, x, y - 3.5 * window.per_point, "N", align="center", zorder=7, size=8, bold=True, colour=INK)


# --- the words beside it --------------------------------------------------------------------------


def _write_margin(
    ax: Axes,
    plan: TeePlan,
    course: Course,
    shown: Sequence[StrikePlan],
    kinds: Sequence[Ground],
    *,
    metric: bool,
) -> None:
    inches = ax.figure.dpi_scale_trans
    corner = ScaledTranslation(1, 1, ax.transAxes)
    sheet = _Sheet(ax.add_artist, Affine2D().scale(1 / 72, -1 / 72) + inches + corner)
    x, wide = 13.0, _MARGIN_WIDTH
    say = lambda y, text, **how: sheet.write(x, y, text, width=wide, **how)  # noqa: E731
    y = say(0, course.name, size=8, colour=QUIET)
    y = say(y + 2, f"Hole {plan.hole.number}", size=20, bold=True)
    y = say(
        y + 1,
        f"par {plan.hole.par}, {plan.tee.name} tee, {_distance(plan.tee.length, metric=metric)}",
        size=9,
    )
    sheet.rule(x, x + wide, y + 7)
    y = say(y + 13, _SPOKEN.get(plan.choice.label, plan.choice.label), size=13, bold=True)
    y = say(y + 2, _sentence(_why(plan, metric=metric)), size=9)
    if plan.turns_on:
        y = say(y + 3, f"Would change under {'; or under '.join(plan.turns_on)}.", size=8, colour=QUIET)
    if plan.rival is not None:
        low, high = plan.choice.interval_over(plan.rival)
        over = _minus(
            f"{plan.choice.strokes - plan.rival.strokes:+.3f} (95% interval {low:+.3f} to {high:+.3f})"
        )
        y = say(y + 3, f"Strokes over {plan.rival.label}: {over}.", size=8, colour=QUIET)
    for strike, style in zip(shown, _styles(shown), strict=True):
        y = _write_strike(sheet, x, y + 11, strike, style, metric=metric)
    sheet.rule(x, x + wide, y + 8)
    y = _write_key(sheet, x, y + 14)
    height = ax.get_window_extent().height / ax.figure.dpi * 72
    _write_ground_key(sheet, x, max(y + 10, height - 11.5 * len(kinds)), kinds)


def _write_strike(
    sheet: "_Sheet", x: float, y: float, strike: StrikePlan, style: tuple[str, str], *, metric: bool
) -> float:
    """Write what a strike does; return where the next may begin."""
    n = len(strike.by_randomisation)
    half = float(student_t.ppf((1 + CONFIDENCE) / 2, n - 1)) * strike.strokes_se
    sheet.mark(x + 5, y + 7, *style)
    wide = _MARGIN_WIDTH - 15
    y = sheet.write(x + 15, y, strike.label, size=10.5, bold=True, width=wide, colour=style[0])
    y = sheet.write(x + 15, y + 1, f"Aim {strike.mark.text(metric=metric)}", size=8.5, width=wide)
    rows = (
        ("strokes", f"{strike.strokes:.3f} ± {half:.3f}"),
        ("length in all", _distance(strike.total, metric=metric)),
        ("fairway or green", f"{_safe(strike):.0%}"),
        ("penalty or out", f"{_trouble(strike):.1%}"),
    )
    for name, value in rows:
        sheet.write(x + 15, y + 1, name, colour=QUIET)
        y = sheet.write(x + _MARGIN_WIDTH, y + 1, value, align="right")
    return y


def _write_key(sheet: "_Sheet", x: float, y: float) -> float:
    wide = _MARGIN_WIDTH - 26
    for text, width, dashes in (
        ("half of the drives finish inside", 1.7, "-"),
        ("nine in ten finish inside", 1.0, (0, (4, 2))),
    ):
        sheet.line(x, x + 20, y + 5, width=width, dashes=dashes)
        y = sheet.write(x + 26, y, text, size=7.5, width=wide) + 1.5
    return sheet.write(x, y, "± and intervals: 95%, of the sampling alone", size=SMALL, colour=QUIET)


def _write_ground_key(sheet: "_Sheet", x: float, y: float, kinds: Sequence[Ground]) -> None:
    for ground in kinds:
        name, fill, edge, hatch = _GROUND[ground]
        sheet.swatch(x, y, fill, edge, hatch)
        y = sheet.write(x + 26, y, name, size=7.5) + 1.6


# --- the card -------------------------------------------------------------------------------------

_PAGE: Final = (595.0, 842.0)  # pt, A4
_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 555.0, 38.0, 812.0
# Where the columns of the card stand [pt]: the left edges of words, the right edges of numbers.
_HIT, _AIM, _STROKES, _NEXT, _SAFE, _TROUBLE = 102.0, 172.0, 408.0, 488.0, 522.0, 555.0
_NOTES: Final = (
    "Too close to call: the usual strike where it is as good. Next best: what it costs more, with its 95% "
    "interval from the sampling alone. * Would change under another assumption, named on the hole's picture.",
    *advice.CAUTIONS,
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
    y = sheet.write(_LEFT, _TOP, plan.course.name, size=18, bold=True, width=wide)
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
    sheet.write(_LEFT, y - 1, f"{plan.hole.number}", size=13, bold=True)
    sheet.write(_LEFT + 23, y, f"par {plan.hole.par}", size=SMALL, colour=QUIET)
    sheet.write(_LEFT + 23, y + 10, _distance(plan.tee.length, metric=metric), size=SMALL, colour=QUIET)
    sheet.mark(_HIT + 3, y + 5.5, *_styles([choice])[0])
    hit = sheet.write(_HIT + 11, y, choice.label, size=9, bold=True, width=_AIM - _HIT - 14)
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
        over = f"  +{strokes - cheapest:.2f}" if strokes > cheapest else ""
        sheet.write(x, y + 20, f"{strokes:.2f}{over}", size=10, bold=not over)
    y += 40
    sheet.rule(_LEFT, _RIGHT, y)
    y += 4
    for note in _NOTES:
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
    out = "stroke and distance" if options["out_of_bounds"] == "distance" else "a drop for two strokes"
    return (
        f"{wind}, air of {options['air_density_kg_m3']:.2f} kg/m³, {options['ground']} ground; out of bounds: {out}; "
        f"{plan.draws:,} drives a strike, seed {plan.seed}"
    )


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
        width: float | None = None,
        align: str = "left",
    ) -> float:
        """Write below y, wrapped to `width`; return where the next line may begin."""
        lines = [_plain(text)] if width is None else _wrap(text, width, size=size, bold=bold)
        for line in lines:
            self.add(
                Text(
                    x, y + size, line, ha=align, va="baseline", color=colour, transform=self.transform,
                    fontproperties=_font(size, bold=bold), parse_math=False, clip_on=False,
                )
            )  # fmt: skip
            y += 1.3 * size
        return y

    def line(
        self, left: float, right: float, y: float, *, width: float, dashes: Any, colour: str = INK
    ) -> None:  # noqa: ANN401
        how = {"color": colour, "linewidth": width, "linestyle": dashes, "clip_on": False}
        self.add(Line2D([left, right], [y, y], transform=self.transform, **how))

    def rule(self, left: float, right: float, y: float) -> None:
        self.line(left, right, y, width=0.5, dashes="-", colour="#a0a0a0")

    def mark(self, x: float, y: float, colour: str, marker: str) -> None:
        how: dict[str, Any] = {"ls": "", "marker": marker, "ms": 7, "c": colour, "mec": "white", "mew": 0.6}
        self.add(Line2D([x], [y], transform=self.transform, clip_on=False, **how))

    def swatch(self, x: float, y: float, fill: str, edge: str, hatch: str) -> None:
        how: dict[str, Any] = {"facecolor": fill, "edgecolor": edge, "linewidth": 0.7, "hatch": hatch}
        self.add(Rectangle((x, y + 1), 20, 8, transform=self.transform, clip_on=False, **how))


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


def _wrap(text: str, width: float, *, size: float, bold: bool = False) -> list[str]:
    """Return text in lines of at most `width` [pt], breaking words only where one is wider than a line."""
    lines = [""]
    for word in _plain(text).split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if _width(longer, size, bold=bold) <= width:
            lines[-1] = longer
            continue
        lines.append("")
        for letter in word:
            if _width(lines[-1] + letter, size, bold=bold) > width:
                lines.append("")
            lines[-1] += letter
    return [line for line in lines if line]


def _why(plan: TeePlan, *, metric: bool) -> str:
    """Return the reason without the name of the choice, which stands beside it."""
    return plan.reason(metric=metric).replace(f"{plan.choice.label}: ", "", 1)


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
    ascii_name = unicodedata.normalize("NFKD", plan.tee.name).encode("ascii", "ignore").decode().lower()
    stem = f"hole-{plan.hole.number:02d}-{re.sub('[^a-z0-9]+', '-', ascii_name).strip('-')[:40] or 'tee'}"
    names = (f"{stem}{f'-{i}' if i else ''}.png" for i in (0, *range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
