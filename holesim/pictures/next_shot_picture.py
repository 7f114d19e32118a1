"""The picture of the next shot: contours of expected strokes, and the best shot from where drives finish."""

from math import hypot
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from holesim.common.density import densest
from holesim.common.text_format import distance, sentence
from holesim.course.course import Course, Ground
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole
from holesim.pictures.backdrop import (
    GUTTER,
    TEXT_WIDTH,
    MapAxes,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    write_legend,
)
from holesim.pictures.hole_picture import Scene, strike_styles
from holesim.pictures.typesetting import INK, QUIET, SMALL, Canvas, SeriesStyle
from holesim.plan import explain
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.scoring.expected_strokes import ASTRAY, STEP, ExpectedStrokes, NextShot, within_reach
from holesim.shot.relief import LIE_BY_GROUND, Lie

Floats = NDArray[np.float64]

_SPACING: Final = 2.0  # m between the points where expected strokes are looked up
_SMOOTH: Final = 4.0  # m, so that contours do not trace every edge
_EVERY: Final = 0.1  # strokes between contours; every fifth is heavier and labelled
_NOTES: Final = (
    "Contours: expected strokes to hole out, a line for each tenth of a stroke, slightly smoothed.",
    "Outline: half of the drives finish inside. Line: the best next shot from where most finish.",
)
_LIE_NAMES: Final = {
    Lie.FAIRWAY: "on the fairway",
    Lie.ROUGH: "in the rough",
    Lie.HEAVY: "in heavy rough",
    Lie.SAND: "in sand",
    Lie.RECOVERY: "among trees",
}


def draw_next_shot(
    tee_plan: TeePlan,
    course: Course,
    ground: GroundMap,
    *,
    ax: Axes | None = None,
    metric: bool = False,
    unmapped: str | None = None,
) -> Axes:
    """Draw contours of expected strokes to hole out, and the best shot from where most drives finish.

    Parameters
    ----------
    ground
        What `map_ground` makes of the course, for the lie at each place.
    ax, metric, unmapped
        As for `hole_picture.draw_hole`.

    Raises
    ------
    ValueError
        If the plan was made from the table of lies and distances, which has no next shots.
    """
    if tee_plan.expected is None or tee_plan.expected.policy is None:
        raise ValueError("the plan was made from the table of lies and distances, which has no next shots")
    scene = Scene(tee_plan, ax)
    map_axes = scene.map_axes
    kinds = draw_ground(map_axes, course, unmapped)
    _draw_contours(map_axes, tee_plan.hole, tee_plan.expected, ground)
    draw_tee_and_pin(map_axes)
    draw_north(map_axes)
    for rank, strike in enumerate(scene.shown):
        _draw_shot(scene, rank, strike)
    x = GUTTER
    canvas, y = scene.write_heading(course.name, "Expected strokes to hole out")
    for strike, style in zip(scene.shown, strike_styles(scene.shown), strict=True):
        y = _write_shot(canvas, y + 11, strike, style, tee_plan.hole.pin, metric=metric)
    y = canvas.draw_rule(x, x + TEXT_WIDTH, y + 8) + 6
    for note in _NOTES:
        y = canvas.write(x, y + 2, note, size=SMALL, colour=QUIET, width=TEXT_WIDTH)
    write_legend(map_axes, canvas, y + 8, kinds)
    return map_axes.ax


def _draw_contours(map_axes: MapAxes, hole: Hole, expected: ExpectedStrokes, ground: GroundMap) -> None:
    """Draw lines of equal expected strokes, wherever these are known and a ball may be played."""
    across = np.arange(map_axes.left, map_axes.right + _SPACING, _SPACING)
    along = np.arange(map_axes.bottom, map_axes.top + _SPACING, _SPACING)
    x, y = map_axes.to_hole(np.stack([a.ravel() for a in np.meshgrid(across, along)], axis=1)).T
    codes = ground.at(x, y)
    solved = shapely.contains_xy(within_reach(hole, ASTRAY - STEP), x, y)
    solved &= codes != Ground.OUT
    strokes = np.full(len(x), np.nan)
    for lie in _LIE_NAMES:
        here = solved & (LIE_BY_GROUND[codes] == lie)
        strokes[here] = expected.at(lie, x[here], y[here])
    field, known = (
        gaussian_filter(values.reshape(len(along), len(across)), _SMOOTH / _SPACING)
        for values in (np.nan_to_num(strokes), np.isfinite(strokes).astype(float))
    )
    shown = np.ma.masked_where(~np.isfinite(strokes.reshape(field.shape)), field / np.maximum(known, 1e-9))
    levels = np.arange(np.floor(shown.min() / _EVERY), np.ceil(shown.max() / _EVERY) + 1).astype(int)
    heavy = levels % 5 == 0
    how: dict[str, Any] = {"colors": INK, "zorder": 2}
    map_axes.ax.contour(
        across, along, shown, levels=levels[~heavy] * _EVERY, linewidths=0.4, alpha=0.35, **how
    )
    lines = map_axes.ax.contour(
        across, along, shown, levels=levels[heavy] * _EVERY, linewidths=0.8, alpha=0.6, **how
    )
    for text in map_axes.ax.clabel(lines, fmt="%.1f", fontsize=SMALL, inline_spacing=2):
        text.set_path_effects([withStroke(linewidth=1.6, foreground="white", alpha=0.7)])


def _draw_shot(scene: Scene, rank: int, strike: StrikePlan) -> None:
    """Draw where half of the drives finish, and the next shot from where most do."""
    ax, (colour, marker) = scene.map_axes.ax, strike_styles(scene.shown)[rank]
    x, y, density, levels = densest(scene.finishes[rank], (0.5,))
    ax.contour(x, y, density, levels=levels, colors=colour, linewidths=1.3, zorder=4 - 0.1 * rank)
    if strike.then is None:
        return
    (x0, y0), (x1, y1) = scene.map_axes.to_axes(
        np.array([[strike.then.x, strike.then.y], strike.then.target])
    )
    dashes = "-" if rank == 0 else (0, (5, 3))
    ax.plot([x0, x1], [y0, y1], c=colour, lw=1.3, ls=dashes, zorder=5 - 0.1 * rank)
    ax.plot(x0, y0, marker=marker, ms=8, c=colour, mec="white", mew=0.9, zorder=6 - 0.1 * rank)
    ax.plot(x1, y1, marker="o", ms=7, mfc="none", mec=colour, mew=1.6, zorder=6 - 0.1 * rank)


def _write_shot(
    canvas: Canvas,
    y: float,
    strike: StrikePlan,
    style: SeriesStyle,
    pin: tuple[float, float],
    *,
    metric: bool,
) -> float:
    """Write which shot follows a strike; return the next y."""
    x, wide = GUTTER + 15, TEXT_WIDTH - 15
    canvas.draw_marker(x - 10, y + 7, style)
    y = canvas.write(
        x, y, f"After {strike.label}", size=10.5, bold=True, colour=style.colour, width=wide, max_lines=1
    )
    if strike.then is None:
        likeliest = max(strike.shares, key=strike.shares.__getitem__)
        where = "on the green" if likeliest == "green" else "where no next shot is known"
        return canvas.write(x, y + 1, f"Most often {where}.", size=8.5, width=wide)
    for text in _shot_texts(strike.then, pin, metric=metric):
        y = canvas.write(x, y + 1, text, size=8.5, width=wide)
    return y


def _shot_texts(shot: NextShot, pin: tuple[float, float], *, metric: bool) -> tuple[str, ...]:
    """Return where the shot is played from, and where to."""
    away, length = (hypot(a - shot.x, b - shot.y) for a, b in (pin, shot.target))
    lie = f"most often {_LIE_NAMES[shot.lie]}, {distance(away, metric=metric)} from the flag"
    target = explain.target_text(shot, pin, metric=metric)
    return (
        sentence(f"{lie}: {shot.strokes:.2f} strokes to hole out"),
        f"Next: {distance(length, metric=metric)}, {target}.",
    )
