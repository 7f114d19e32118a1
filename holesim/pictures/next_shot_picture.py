"""Pictures of what remains: contours of strokes on each hole, and the next shots from where drives end."""

from math import hypot
from typing import Any, Final

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from holesim.common.density import densest
from holesim.common.text_format import sentence
from holesim.course.course import Course, Ground
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole
from holesim.pictures.backdrop import (
    GUTTER,
    WIDE,
    View,
    draw_ground,
    draw_north,
    draw_tee_and_pin,
    write_legend,
)
from holesim.pictures.hole_picture import Scene, styles
from holesim.pictures.typesetting import INK, QUIET, SMALL, Sheet
from holesim.plan import sights
from holesim.plan.decision import StrikePlan, TeePlan
from holesim.scoring.expected_strokes import ASTRAY, STEP, ExpectedStrokes, NextShot, within_reach
from holesim.shot._relief_kernel import LIE_BY_GROUND
from holesim.shot.relief import Lie
from holesim.units import YARD

Floats = NDArray[np.float64]

_STEP: Final = 2.0  # m between the places where what remains is looked up
_SMOOTH: Final = 4.0  # m, so that contours do not trace every edge
_EVERY: Final = 0.1  # strokes between contours; every fifth is heavier and labelled
_NOTES: Final = (
    "Contours: expected strokes to hole out from there, a line every tenth; smoothed over some metres.",
    "Ring: half of the drives end inside. Line: the best next shot from the middle of where most end.",
)
_LIE_NAMES: Final = {
    Lie.FAIRWAY: "on the fairway",
    Lie.ROUGH: "in the rough",
    Lie.HEAVY: "in heavy rough",
    Lie.SAND: "in sand",
    Lie.RECOVERY: "among trees",
}


def draw_next(
    tee_plan: TeePlan,
    course: Course,
    ground: GroundMap,
    *,
    ax: Axes | None = None,
    metric: bool = False,
    unmapped: str | None = None,
) -> Axes:
    """Draw what remains on a hole as contours, and the next shot from where each strike typically ends.

    Parameters
    ----------
    ground
        The course as `map_ground` makes it, to know the lie at each place.
    ax, metric, unmapped
        As for `picture.draw_hole`.

    Raises
    ------
    ValueError
        If what remains was read from a table, which knows of no shots.
    """
    if tee_plan.expected is None or tee_plan.expected.policy is None:
        raise ValueError("this plan was made by a table, which knows of no next shots")
    scene = Scene(tee_plan, ax)
    view = scene.view
    kinds = draw_ground(view, course, unmapped)
    _draw_contours(view, tee_plan.hole, tee_plan.expected, ground)
    draw_tee_and_pin(view)
    draw_north(view)
    for rank, strike in enumerate(scene.shown):
        _draw_shot(scene, rank, strike)
    x = GUTTER
    sheet, y = scene.head(course.name, "Expected strokes to hole out")
    for strike, style in zip(scene.shown, styles(scene.shown), strict=True):
        y = _write_shot(sheet, y + 11, strike, style, tee_plan.hole.pin, metric=metric)
    y = sheet.rule(x, x + WIDE, y + 8) + 6
    for note in _NOTES:
        y = sheet.write(x, y + 2, note, size=SMALL, colour=QUIET, width=WIDE)
    write_legend(view, sheet, y + 8, kinds)
    return view.ax


def _draw_contours(view: View, hole: Hole, expected: ExpectedStrokes, ground: GroundMap) -> None:
    """Draw lines of equal strokes where they were worked back and a ball may be played."""
    across = np.arange(view.left, view.right + _STEP, _STEP)
    along = np.arange(view.bottom, view.top + _STEP, _STEP)
    x, y = view.back(np.stack([a.ravel() for a in np.meshgrid(across, along)], axis=1)).T
    codes = ground.at(x, y)
    worked = shapely.contains_xy(within_reach(hole, ASTRAY - STEP), x, y)
    worked &= codes != Ground.OUT
    strokes = np.full(len(x), np.nan)
    for lie in _LIE_NAMES:
        some = worked & (LIE_BY_GROUND[codes] == lie)
        strokes[some] = expected.at(lie, x[some], y[some])
    field, known = (
        gaussian_filter(values.reshape(len(along), len(across)), _SMOOTH / _STEP)
        for values in (np.nan_to_num(strokes), np.isfinite(strokes).astype(float))
    )
    shown = np.ma.masked_where(~np.isfinite(strokes.reshape(field.shape)), field / np.maximum(known, 1e-9))
    levels = np.arange(np.floor(shown.min() / _EVERY), np.ceil(shown.max() / _EVERY) + 1).astype(int)
    heavy = levels % 5 == 0
    how: dict[str, Any] = {"colors": INK, "zorder": 2}
    view.ax.contour(across, along, shown, levels=levels[~heavy] * _EVERY, linewidths=0.4, alpha=0.35, **how)
    lines = view.ax.contour(
        across, along, shown, levels=levels[heavy] * _EVERY, linewidths=0.8, alpha=0.6, **how
    )
    for text in view.ax.clabel(lines, fmt="%.1f", fontsize=SMALL, inline_spacing=2):
        text.set_path_effects([withStroke(linewidth=1.6, foreground="white", alpha=0.7)])


def _draw_shot(scene: Scene, rank: int, strike: StrikePlan) -> None:
    """Draw where half of the drives end, and the next shot from where they typically do."""
    ax, (colour, marker) = scene.view.ax, styles(scene.shown)[rank]
    x, y, density, levels = densest(scene.finishes[rank], (0.5,))
    ax.contour(x, y, density, levels=levels, colors=colour, linewidths=1.3, zorder=4 - 0.1 * rank)
    if strike.then is None:
        return
    (x0, y0), (x1, y1) = scene.view.turn(np.array([[strike.then.x, strike.then.y], strike.then.target]))
    dashes = "-" if rank == 0 else (0, (5, 3))
    ax.plot([x0, x1], [y0, y1], c=colour, lw=1.3, ls=dashes, zorder=5 - 0.1 * rank)
    ax.plot(x0, y0, marker=marker, ms=8, c=colour, mec="white", mew=0.9, zorder=6 - 0.1 * rank)
    ax.plot(x1, y1, marker="o", ms=7, mfc="none", mec=colour, mew=1.6, zorder=6 - 0.1 * rank)


def _write_shot(
    sheet: Sheet,
    y: float,
    strike: StrikePlan,
    style: tuple[str, str],
    pin: tuple[float, float],
    *,
    metric: bool,
) -> float:
    """Write what follows a strike; return where the next may begin."""
    x, wide = GUTTER + 15, WIDE - 15
    sheet.mark(x - 10, y + 7, style)
    y = sheet.write(x, y, f"After {strike.label}", size=10.5, bold=True, colour=style[0], width=wide, most=1)
    if strike.then is None:
        likeliest = max(strike.shares, key=strike.shares.__getitem__)
        where = "on the green" if likeliest == "green" else "where no next shot is known"
        return sheet.write(x, y + 1, f"Most often {where}.", size=8.5, width=wide)
    for text in _said(strike.then, pin, metric=metric):
        y = sheet.write(x, y + 1, text, size=8.5, width=wide)
    return y


def _said(shot: NextShot, pin: tuple[float, float], *, metric: bool) -> tuple[str, ...]:
    left, length = (hypot(a - shot.x, b - shot.y) for a, b in (pin, shot.target))
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    return (
        sentence(
            f"most often {_LIE_NAMES[shot.lie]}, {left / scale:.0f} {unit} out, {shot.strokes:.2f} to go"
        ),
        f"Next: {length / scale:.0f} {unit}, {sights.target_text(shot, pin, metric=metric)}.",
    )
