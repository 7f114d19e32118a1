"""Pictures: each hole with where the drives finish, the aims, and what to do beside it."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from math import atan2, cos, hypot, sin, sqrt
from pathlib import Path
from typing import Any, Final, cast

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Affine2D, Affine2DBase, ScaledTranslation
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from scipy.stats import t as student_t
from shapely.ops import substring

from holesim.course import NAMES, Course, Ground
from holesim.plan import CONFIDENCE, Plan, StrikePlan, TeePlan
from holesim.sheet import (
    INK,
    QUIET,
    SMALL,
    Sheet,
    distance,
    font,
    minus,
    own_settings,
    printed_width,
    sentence,
    wrap,
)
from holesim.units import YARD

Floats = NDArray[np.float64]

DOTS: Final = 400  # drives drawn as dots for each strike

# Colours of Okabe and Ito; each series has a marker of its own besides.
_DRIVER: Final = {"up": ("#0072B2", "^"), "down": ("#D55E00", "v"), "level": ("#CC79A7", "s")}
_CLUBS: Final = (("#000000", "o"), ("#E69F00", "D"))

# Painted from first to last, so that a lower code of `Ground` covers a higher one: name, fill and edge.
_GROUND: Final = {
    Ground.ROUGH: (NAMES[Ground.ROUGH], "#c3d4a6", "#b3c695"),
    Ground.HEAVY_ROUGH: (NAMES[Ground.HEAVY_ROUGH], "#abbb8c", "#abbb8c"),
    Ground.TREES: (NAMES[Ground.TREES], "#8ba57f", "#7b966f"),
    Ground.FAIRWAY: (NAMES[Ground.FAIRWAY], "#dbe8c3", "#b3c890"),
    Ground.TEE: (NAMES[Ground.TEE], "#eaf2d9", "#8fa577"),
    Ground.GREEN: (NAMES[Ground.GREEN], "#f1f8e0", "#7f9a68"),
    Ground.BUNKER: ("sand", "#f8ecc6", "#bfa974"),
    Ground.YELLOW: (NAMES[Ground.YELLOW], "#cfdfe9", "#c29b2b"),
    Ground.RED: (NAMES[Ground.RED], "#cfdfe9", "#b3605a"),
    Ground.OUT: (NAMES[Ground.OUT], "#e4e1dc", "#a8a29a"),
}
_SPOKEN: Final = {"up": "Up on the driver", "down": "Down on the driver", "level": "Level on the driver"}
_POLE = [(-0.04, 0), (-0.04, 1), (0.04, 1), (0.62, 0.8), (0.04, 0.6), (0.04, 0), (-0.04, 0)]
_MOST: Final = 3  # strikes in one picture
_SHARES: Final = (  # of the drives inside an outline, and how it is drawn
    (0.5, 1.7, "-", "half of the drives finish inside"),
    (0.9, 1.0, (0, (4, 2)), "nine in ten finish inside"),
)
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
        with own_settings():
            figure = Figure(**_PICTURE)
            ax = figure.add_axes(_PLACE)
            draw_hole(tee, plan.course, ax=ax, metric=metric, unmapped=plan.options["unmapped"])
            figure.savefig(paths[-1], format="png", metadata={"Software": "holesim"})
    return paths


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
        half = printed_width(text, size, bold=bold) / 2 * self.point
        for place, y in places:
            x = min(max(place, self.left + half + gap), self.right - half - gap)
            box = shapely.box(x - half, y, x + half, y + 1.2 * size * self.point)
            if not any(box.intersects(other) for other in self.taken):
                self.taken.append(box)
                halo = withStroke(linewidth=2.2, foreground="white", alpha=0.85)
                how: dict[str, Any] = {
                    "path_effects": [halo],
                    "parse_math": False,
                    "clip_on": True,
                    "zorder": 7,
                }
                self.ax.text(
                    x, y, text, ha="center", color=colour, fontproperties=font(size, bold=bold), **how
                )
                return


def _shown(plan: TeePlan) -> tuple[StrikePlan, ...]:
    """Return the choice, its rival and, but for a par 3, the driver's other strikes."""
    first = [s for s in (plan.choice, plan.rival) if s is not None]
    drivers = [s for s in plan.strikes if s.club == "driver" and plan.hole.par > 3]
    return (*first, *(s for s in drivers if not any(s is f for f in first)))[:_MOST]


def styles(shown: Sequence[StrikePlan]) -> list[tuple[str, str]]:
    """Return the colour and the marker of each strike."""
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
    colour, marker = styles(view.shown)[rank]
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
    text = wrap(view.shown[rank].label, 110, 1, size=9, bold=True)[0]
    half, gap = printed_width(text, 9, bold=True) / 2 * view.point, 12 * view.point
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


def _write_margin(view: _View, course: str, kinds: Sequence[Ground], *, metric: bool) -> None:
    plan, x = view.plan, _GUTTER
    choice, right = plan.choice, _GUTTER + _WIDE
    inches = Affine2D().scale(1 / 72, -1 / 72) + view.ax.figure.dpi_scale_trans
    sheet = Sheet(view.ax.add_artist, inches + _corner(view.ax))
    y = sheet.write(x, 0, course, colour=QUIET, width=_WIDE, most=2)
    y = sheet.write(x, y + 2, f"Hole {plan.hole.number}", size=20, bold=True)
    place = f"par {plan.hole.par}, {distance(plan.tee.length, metric=metric)}, {plan.tee.name} tee"
    y = sheet.rule(x, right, sheet.write(x, y + 1, place, size=9, width=_WIDE, most=2) + 7)
    y = sheet.write(
        x, y + 6, _SPOKEN.get(choice.label, choice.label), size=13, bold=True, width=_WIDE, most=2
    )
    why = f"{'too close to call; ' if plan.close else ''}{plan.why(metric=metric)}"
    y = sheet.write(x, y + 2, sentence(why), size=9, width=_WIDE)
    notes = [f"Would change under {'; or under '.join(plan.turns_on)}."] if plan.turns_on else []
    if plan.rival is not None:
        low, high = choice.interval_over(plan.rival)
        over = f"{choice.strokes - plan.rival.strokes:+.3f} (95% interval {low:+.3f} to {high:+.3f})"
        notes.append(f"Strokes over {plan.rival.label}: {minus(over)}.")
    for note in notes:
        y = sheet.write(x, y + 3, note, colour=QUIET, width=_WIDE)
    for strike, style in zip(view.shown, styles(view.shown), strict=True):
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
    sheet: Sheet, y: float, strike: StrikePlan, style: tuple[str, str], *, metric: bool
) -> float:
    """Write what a strike does; return where the next may begin."""
    n, x, wide = len(strike.by_randomisation), _GUTTER + 15, _WIDE - 15
    half = float(student_t.ppf((1 + CONFIDENCE) / 2, n - 1)) * strike.strokes_se
    sheet.mark(x - 10, y + 7, style)
    y = sheet.write(x, y, strike.label, size=10.5, bold=True, colour=style[0], width=wide, most=1)
    y = sheet.write(x, y + 1, f"Aim {strike.mark.text(metric=metric)}", size=8.5, width=wide)
    for name, value in (
        ("strokes", f"{strike.strokes:.3f} ± {half:.3f}"),
        ("length in all", distance(strike.total, metric=metric)),
        ("fairway or green", f"{strike.safe:.0%}"),
        ("penalty or out", f"{strike.trouble:.1%}"),
    ):
        sheet.write(x, y + 1, name, colour=QUIET)
        y = sheet.write(x + wide, y + 1, value, align="right")
    return y


def _corner(ax: Axes) -> Affine2DBase:
    """Return the shift from the figure's origin to the top right corner of the axes."""
    return ScaledTranslation(1, 1, cast("Affine2DBase", ax.transAxes))


def _file_name(plan: TeePlan, taken: set[str]) -> str:
    """Return a file name safe everywhere and not in `taken`."""
    name = unicodedata.normalize("NFKD", plan.tee.name).encode("ascii", "ignore").decode().lower()
    name = re.sub("[^a-z0-9]+", "-", name).strip("-")[:40].strip("-") or "tee"
    stem = f"hole-{plan.hole.number:02d}-{name}"
    names = (f"{stem}{f'-{i}' if i else ''}.png" for i in (0, *range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
