"""Pictures: each hole with where the drives finish, the aims, and what to do beside it."""

from collections.abc import Sequence
from math import cos, sin
from typing import Final, Protocol

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from numpy.typing import NDArray
from shapely.ops import substring

from holesim.common.density import SHARES, densest
from holesim.common.text_format import distance, minus, sentence
from holesim.course.course import Course, Ground
from holesim.pictures.backdrop import (
    GUTTER,
    WIDE,
    View,
    draw_distances,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    draw_wind,
    hole_axes,
    write_legend,
)
from holesim.pictures.typesetting import INK, QUIET, SMALL, Sheet, printed_width, wrap
from holesim.plan import explain
from holesim.plan.estimate import estimate
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.units import YARD

Floats = NDArray[np.float64]

DOTS: Final = 400  # drives drawn as dots for each strike

# Colours of Okabe and Ito; each series has a marker of its own besides.
DRIVER: Final = {"up": ("#0072B2", "^"), "down": ("#D55E00", "v"), "level": ("#CC79A7", "s")}
CLUB: Final = ("#000000", "o")
_CLUBS: Final = (CLUB, ("#E69F00", "D"))

_SPOKEN: Final = {"up": "Up on the driver", "down": "Down on the driver", "level": "Level on the driver"}
_MOST: Final = 3  # strikes in one picture
_LINES: Final = (  # of the outlines of `SHARES`
    (1.7, "-", "half of the drives finish inside"),
    (1.0, (0, (4, 2)), "nine in ten finish inside"),
)


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
    scene = Scene(tee_plan, ax)
    kinds = draw_ground(scene.view, course, unmapped)
    draw_tee_and_pin(scene.view)
    draw_north(scene.view)
    if tee_plan.wind is not None:
        draw_wind(scene.view, tee_plan.wind, metric=metric)
    for rank in range(len(scene.shown)):
        _draw_strike(scene, rank)
    farthest = max(float(np.quantile(points[:, 1], 0.95)) for points in scene.finishes)
    unit, short = 1.0 if metric else YARD, tee_plan.hole.par == 3
    draw_distances(scene.view, unit=unit, reach=farthest + 15, short=short)
    _write_margin(scene, course.name, kinds, metric=metric)
    return scene.view.ax


class Scene:
    """A tee's plan on a view of its hole: the strikes shown, and where their drives finish on the axes."""

    def __init__(self, plan: TeePlan, ax: Axes | None) -> None:
        self.view = view = View(ax or hole_axes(), (plan.tee.x, plan.tee.y), plan.hole.pin)
        self.plan, self.shown = plan, _shown(plan)
        self.finishes = [view.turn(np.column_stack([s.drives.x, s.drives.y])) for s in self.shown]
        line = plan.hole.line
        ahead = substring(line, max(line.length - plan.tee.length, 0), line.length)
        must = [view.turn(shapely.get_coordinates(shape)) for shape in (ahead, plan.hole.green)]
        must += [np.quantile(points, (0.01, 0.99), axis=0) for points in self.finishes]
        view.frame(np.concatenate([*must, [[0.0, 0.0]]]))

    def head(self, course: str, about: str) -> tuple[Sheet, float]:
        """Write beside the hole which it is, and what is to be seen; return where to go on."""
        sheet, x = self.view.margin(), GUTTER
        y = sheet.write(x, 0, course, colour=QUIET, width=WIDE, most=2)
        y = sheet.write(x, y + 2, f"Hole {self.plan.hole.number}", size=20, bold=True)
        return sheet, sheet.rule(x, x + WIDE, sheet.write(x, y + 1, about, size=9, width=WIDE, most=2) + 7)


def _shown(plan: TeePlan) -> tuple[StrikePlan, ...]:
    """Return the choice, its rival and, but for a par 3, the driver's other strikes."""
    first = [s for s in (plan.choice, plan.rival) if s is not None]
    drivers = [s for s in plan.strikes if s.club == "driver" and plan.hole.par > 3]
    return (*first, *(s for s in drivers if not any(s is f for f in first)))[:_MOST]


class Named(Protocol):
    """A strike, as planned or as read from a plan file."""

    @property
    def club(self) -> str:
        """The club."""

    @property
    def label(self) -> str:
        """How the strike is called."""


def styles(shown: Sequence[Named]) -> list[tuple[str, str]]:
    """Return the colour and the marker of each strike."""
    clubs = iter(_CLUBS)
    return [DRIVER[s.label] if s.club == "driver" else next(clubs) for s in shown]


def _draw_strike(scene: Scene, rank: int) -> None:
    """Draw a strike's aim, a fair sample of its drives, and where half and nine in ten of them finish."""
    ax, strike, points = scene.view.ax, scene.shown[rank], scene.finishes[rank]
    colour, marker = styles(scene.shown)[rank]
    x, y = points[np.random.default_rng(0).permutation(len(points))[:DOTS]].T
    ax.scatter(x, y, s=8, c=colour, marker=marker, alpha=0.32, linewidths=0, zorder=3 - 0.1 * rank)
    x, y, density, levels = densest(points, SHARES)
    for level, (width, dashes, _) in zip(levels, _LINES, strict=True):
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
    _label_strike(scene, rank, colour)


def _label_strike(scene: Scene, rank: int, colour: str) -> None:
    """Name a strike beside its drives: the choice at the right, then left, above and below."""
    view = scene.view
    text = wrap(scene.shown[rank].label, 110, 1, size=9, bold=True)[0]
    half, gap = printed_width(text, 9, bold=True) / 2 * view.point, 12 * view.point
    (left, bottom), (x, y), (right, top) = np.quantile(scene.finishes[rank], (0.04, 0.5, 0.96), axis=0)
    places = [(right + half + gap, y), (left - half - gap, y), (x, top + gap), (x, bottom - gap)]
    view.label(places[rank:] + places[:rank], text, size=9, colour=colour)


def _write_margin(scene: Scene, course: str, kinds: Sequence[Ground], *, metric: bool) -> None:
    plan, x = scene.plan, GUTTER
    choice, right = plan.choice, GUTTER + WIDE
    place = f"par {plan.hole.par}, {distance(plan.tee.length, metric=metric)}, {plan.tee.name} tee"
    sheet, y = scene.head(course, place)
    y = sheet.write(x, y + 6, _SPOKEN.get(choice.label, choice.label), size=13, bold=True, width=WIDE, most=2)
    why = "; ".join(filter(None, (explain.verdict(plan), explain.why(plan, metric=metric))))
    y = sheet.write(x, y + 2, sentence(why), size=9, width=WIDE)
    notes = [sentence(said)] if (said := explain.wind_text(plan, metric=metric)) else []
    more = explain.doubt_text(plan.doubt), explain.table_text(plan.by_table)
    notes += [sentence(said) for said in more if said]
    if plan.rival is not None:
        over = choice.over(plan.rival)
        said = plan.goal.over_text(over.mean, over.half)
        notes.append(sentence(f"{plan.goal.head} over {plan.rival.label}: {minus(said)}"))
    for note in notes:
        y = sheet.write(x, y + 3, note, colour=QUIET, width=WIDE)
    for strike, style in zip(scene.shown, styles(scene.shown), strict=True):
        y = _write_strike(sheet, y + 11, strike, plan.hole.par, style, metric=metric)
    y = sheet.rule(x, right, y + 8) + 6
    for width, dashes, text in _LINES:
        sheet.line(x, x + 20, y + 5, lw=width, ls=dashes, c=INK)
        y = sheet.write(x + 26, y, text, size=7.5) + 1.5
    y = sheet.write(x, y, "± holds what is true 19 times in 20", size=SMALL, colour=QUIET)
    write_legend(scene.view, sheet, y + 8, kinds)


def _write_strike(
    sheet: Sheet, y: float, strike: StrikePlan, par: int, style: tuple[str, str], *, metric: bool
) -> float:
    """Write what a strike does; return where the next may begin."""
    x, wide = GUTTER + 15, WIDE - 15
    half = estimate(strike.strokes_by_draw).half
    sheet.mark(x - 10, y + 7, style)
    y = sheet.write(x, y, strike.label, size=10.5, bold=True, colour=style[0], width=wide, most=1)
    y = sheet.write(x, y + 1, f"Aim {strike.mark.text(metric=metric)}", size=8.5, width=wide)
    for name, value in (
        ("strokes", f"{strike.strokes:.2f} ±{half:.2f}"),
        ("birdie or better", f"{strike.scored(1, par - 1):.0%}"),
        ("par", f"{strike.scored(par, par):.0%}"),
        ("double bogey or worse", f"{strike.scored(par + 2):.0%}"),
        ("total", distance(strike.total, metric=metric)),
        ("fairway or green", f"{strike.safe:.0%}"),
        ("penalty or out", f"{strike.trouble:.1%}"),
    ):
        sheet.write(x, y + 1, name, colour=QUIET)
        y = sheet.write(x + wide, y + 1, value, align="right")
    return y
