"""The picture of a hole: where the drives of each strike finish, the aims, and in words what to do."""

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
from holesim.common.text_format import distance, sentence
from holesim.course.course import Course, Ground
from holesim.pictures.backdrop import (
    GUTTER,
    TEXT_WIDTH,
    MapAxes,
    draw_distances,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    draw_wind,
    hole_axes,
    write_legend,
)
from holesim.pictures.typesetting import (
    INK,
    QUIET,
    SMALL,
    Canvas,
    SeriesStyle,
    printed_width,
    signed,
    wrap,
)
from holesim.plan import explain
from holesim.plan.estimate import estimate
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.units import YARD

Floats = NDArray[np.float64]

# Colours of Okabe and Ito; each series has a marker of its own besides.
DRIVER_STYLES: Final = {
    "up": SeriesStyle("#0072B2", "^"),
    "down": SeriesStyle("#D55E00", "v"),
    "level": SeriesStyle("#CC79A7", "s"),
}
CLUB_STYLE: Final = SeriesStyle("#000000", "o")
_CLUB_STYLES: Final = (CLUB_STYLE, SeriesStyle("#E69F00", "D"))

_DOTS: Final = 400  # drives drawn of each strike
_TITLES: Final = {"up": "Up on the driver", "down": "Down on the driver", "level": "Level on the driver"}
_MAX_STRIKES: Final = 3
_OUTLINES: Final = (  # line width, dashes and meaning, for each of `SHARES`
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
    """Draw a hole, tee at the foot and pin above it, where the drives finish, and in words what to do.

    Parameters
    ----------
    ax
        Where to draw, in metres; text at its right takes 2.5 in. By default in a new figure.
    metric
        Metres instead of yards.
    unmapped
        The ground outside all outlines, "rough" or "heavy", if the plan does not go by the course.

    Examples
    --------
    >>> from holesim import load_course, load_player, make_plan
    >>> from holesim.data.examples import COURSE, PLAYER, find
    >>> from holesim.plan.round_options import RoundOptions
    >>> course, quick = load_course(find(COURSE)), RoundOptions(draws=256, table=True)
    >>> plan = make_plan(course, load_player(find(PLAYER)), quick, holes=[4])
    >>> axes = draw_hole(plan.tees[0], course)
    >>> sorted({text.get_text() for text in axes.texts} & {"up", "down", "150", "250", "100 to pin"})
    ['100 to pin', '150', '250', 'down', 'up']
    """
    scene = Scene(tee_plan, ax)
    kinds = draw_ground(scene.map_axes, course, unmapped)
    draw_tee_and_pin(scene.map_axes)
    draw_north(scene.map_axes)
    if tee_plan.wind is not None:
        draw_wind(scene.map_axes, tee_plan.wind, metric=metric)
    for rank in range(len(scene.shown)):
        _draw_strike(scene, rank)
    farthest = max(float(np.quantile(points[:, 1], 0.95)) for points in scene.finishes)
    unit, short = 1.0 if metric else YARD, tee_plan.hole.par == 3
    draw_distances(scene.map_axes, unit=unit, reach=farthest + 15, short=short)
    _write_margin(scene, course.name, kinds, metric=metric)
    return scene.map_axes.ax


class Scene:
    """A tee's plan on the map of its hole.

    Attributes
    ----------
    map_axes
        The axes, which show the hole from this tee on and nearly all drives.
    plan, shown
        The plan, and those of its strikes that are drawn, the choice first.
    finishes
        Where the drives of each of these finish on the axes [m], each of shape (drives, 2).
    """

    def __init__(self, plan: TeePlan, ax: Axes | None) -> None:
        self.map_axes = map_axes = MapAxes(ax or hole_axes(), (plan.tee.x, plan.tee.y), plan.hole.pin)
        self.plan, self.shown = plan, _strikes_shown(plan)
        self.finishes = [map_axes.to_axes(np.column_stack([s.drives.x, s.drives.y])) for s in self.shown]
        line = plan.hole.line
        ahead = substring(line, max(line.length - plan.tee.length, 0), line.length)
        inside = [map_axes.to_axes(shapely.get_coordinates(shape)) for shape in (ahead, plan.hole.green)]
        inside += [np.quantile(points, (0.01, 0.99), axis=0) for points in self.finishes]
        map_axes.fit(np.concatenate([*inside, [[0.0, 0.0]]]))

    def write_heading(self, course: str, about: str) -> tuple[Canvas, float]:
        """Write beside the map which hole it is and what is shown; return the canvas and the next y."""
        canvas, x = self.map_axes.margin, GUTTER
        y = canvas.write(x, 0, course, colour=QUIET, width=TEXT_WIDTH, max_lines=2)
        y = canvas.write(x, y + 2, f"Hole {self.plan.hole.number}", size=20, bold=True)
        return canvas, canvas.draw_rule(
            x, x + TEXT_WIDTH, canvas.write(x, y + 1, about, size=9, width=TEXT_WIDTH, max_lines=2) + 7
        )


def _strikes_shown(plan: TeePlan) -> tuple[StrikePlan, ...]:
    """Return the choice, its rival and, except on a par 3, the driver's other strikes."""
    first = [s for s in (plan.choice, plan.rival) if s is not None]
    drivers = [s for s in plan.strikes if s.club == "driver" and plan.hole.par > 3]
    return (*first, *(s for s in drivers if not any(s is f for f in first)))[:_MAX_STRIKES]


class LabelledStrike(Protocol):
    """A strike with its club, as planned or as read from a plan file."""

    @property
    def club(self) -> str:
        """The club."""

    @property
    def label(self) -> str:
        """What golfers call it: "up", "down" or "level" on the driver, else the club."""


def strike_style(strike: LabelledStrike) -> SeriesStyle:
    """Return the colour and the marker of a strike that is shown alone."""
    return strike_styles([strike])[0]


def strike_styles(shown: Sequence[LabelledStrike]) -> list[SeriesStyle]:
    """Return the colour and the marker of each strike shown, of which two may be by other clubs."""
    clubs = iter(_CLUB_STYLES)
    return [DRIVER_STYLES[s.label] if s.club == "driver" else next(clubs) for s in shown]


def _draw_strike(scene: Scene, rank: int) -> None:
    """Draw a strike's aim, a fair sample of its drives, and where half and nine in ten of them finish."""
    ax, strike, points = scene.map_axes.ax, scene.shown[rank], scene.finishes[rank]
    colour, marker = strike_styles(scene.shown)[rank]
    x, y = points[np.random.default_rng(0).permutation(len(points))[:_DOTS]].T
    ax.scatter(x, y, s=8, c=colour, marker=marker, alpha=0.32, linewidths=0, zorder=3 - 0.1 * rank)
    x, y, density, levels = densest(points, SHARES)
    for level, (width, dashes, _) in zip(levels, _OUTLINES, strict=True):
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
    map_axes = scene.map_axes
    text = wrap(scene.shown[rank].label, 110, 1, size=9, bold=True)[0]
    half, gap = printed_width(text, 9, bold=True) / 2 * map_axes.point, 12 * map_axes.point
    (left, bottom), (x, y), (right, top) = np.quantile(scene.finishes[rank], (0.04, 0.5, 0.96), axis=0)
    places = [(right + half + gap, y), (left - half - gap, y), (x, top + gap), (x, bottom - gap)]
    map_axes.label(places[rank:] + places[:rank], text, size=9, colour=colour)


def _write_margin(scene: Scene, course: str, kinds: Sequence[Ground], *, metric: bool) -> None:
    plan, choice, x = scene.plan, scene.plan.choice, GUTTER
    place = f"par {plan.hole.par}, {distance(plan.tee.length, metric=metric)}, {plan.tee.name} tee"
    canvas, y = scene.write_heading(course, place)
    y = canvas.write(
        x, y + 6, _TITLES.get(choice.label, choice.label), size=13, bold=True, width=TEXT_WIDTH, max_lines=2
    )
    why = "; ".join(filter(None, (explain.verdict(plan), explain.why(plan, metric=metric))))
    y = canvas.write(x, y + 2, sentence(why), size=9, width=TEXT_WIDTH)
    notes = [sentence(said)] if (said := explain.wind_text(plan, metric=metric)) else []
    more = explain.doubt_text(plan.doubt), explain.table_text(plan.by_table)
    notes += [sentence(said) for said in more if said]
    if plan.rival is not None:
        over = choice.over(plan.rival)
        said = signed(plan.goal.over_text(over.mean, over.half))
        notes.append(sentence(f"{plan.goal.head} compared with {plan.rival.label}: {said}"))
    for note in notes:
        y = canvas.write(x, y + 3, note, colour=QUIET, width=TEXT_WIDTH)
    for strike, style in zip(scene.shown, strike_styles(scene.shown), strict=True):
        y = _write_strike(canvas, y + 11, strike, plan.hole.par, style, metric=metric)
    y = canvas.draw_rule(x, x + TEXT_WIDTH, y + 8) + 6
    for width, dashes, text in _OUTLINES:
        canvas.draw_line(x, x + 20, y + 5, lw=width, ls=dashes, c=INK)
        y = canvas.write(x + 26, y, text, size=7.5) + 1.5
    y = canvas.write(x, y, "19 times in 20 the true value is within ±", size=SMALL, colour=QUIET)
    write_legend(scene.map_axes, canvas, y + 8, kinds)


def _write_strike(
    canvas: Canvas, y: float, strike: StrikePlan, par: int, style: SeriesStyle, *, metric: bool
) -> float:
    """Write the aim and the numbers of a strike; return the next y."""
    x, wide = GUTTER + 15, TEXT_WIDTH - 15
    half = estimate(strike.strokes_by_draw).half
    canvas.draw_marker(x - 10, y + 7, style)
    y = canvas.write(x, y, strike.label, size=10.5, bold=True, colour=style.colour, width=wide, max_lines=1)
    y = canvas.write(x, y + 1, f"Aim {strike.mark.text(metric=metric)}", size=8.5, width=wide)
    for name, value in (
        ("strokes", f"{strike.strokes:.2f} ±{half:.2f}"),
        ("birdie or better", f"{strike.scored(1, par - 1):.0%}"),
        ("par", f"{strike.scored(par, par):.0%}"),
        ("double bogey or worse", f"{strike.scored(par + 2):.0%}"),
        ("total", distance(strike.total, metric=metric)),
        ("fairway or green", f"{strike.safe:.0%}"),
        ("penalty or out", f"{strike.trouble:.1%}"),
    ):
        canvas.write(x, y + 1, name, colour=QUIET)
        y = canvas.write_right(x + wide, y + 1, value)
    return y
