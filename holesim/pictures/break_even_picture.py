"""A picture of break-even points: what strikes cost more than the first, and where they cost the same."""

from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from scipy.interpolate import PchipInterpolator

from holesim.pictures.backdrop import save_png
from holesim.pictures.hole_picture import DRIVER_STYLES
from holesim.pictures.typesetting import INK, QUIET, font, matplotlib_defaults
from holesim.study.break_even import BreakEven, BreakEvenCurve
from holesim.units import YARD


def draw_break_even(
    found: BreakEven, curve: BreakEvenCurve, *, ax: Axes | None = None, metric: bool = False
) -> Axes:
    """Draw what each other strike costs more than the first in one wind, with its 95 % interval.

    Parameters
    ----------
    curve
        The curve of that wind.
    ax
        Where to draw; a new figure by default.
    metric
        Metric units.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    scale = found.scale
    unit, factor = scale.shown(metric=metric)
    x = np.array(found.values) * factor
    for k, name in enumerate(found.strikes[1:], 1):
        colour, marker = DRIVER_STYLES[name]
        differences = [curve.difference(value, k, 0) for value in range(len(x))]
        over, half = np.array([(one.mean, one.half) for one in differences]).T
        style: dict[str, Any] = {"color": colour, "marker": marker, "linestyle": "", "markersize": 5}
        ax.errorbar(x, over, half, capsize=3, linewidth=1, label=name, **style)
        if not scale.names:
            fine = np.linspace(x[0], x[-1], 400)
            ax.plot(fine, PchipInterpolator(x, over)(fine), color=colour, linewidth=1.4)
    ax.axhline(0, color=INK, linewidth=0.9)
    if scale.names:
        ax.set_xticks(x, scale.names, rotation=20, ha="right")
        ax.set_xlim(x[0] - 0.5, x[-1] + 0.5)
    else:
        _mark_bands(ax, found, curve, factor)
        _mark_now(ax, scale.now(found.case) * factor)
    ax.set_xlabel(f"{scale.words}{f', {unit}' if unit else ''}", font=font(9))
    ax.set_title(curve.wind, font=font(9), loc="left")
    ax.tick_params(labelsize=8)
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def _mark_bands(ax: Axes, found: BreakEven, curve: BreakEvenCurve, factor: float) -> None:
    """Shade where nobody can say which strike is the best; mark where they cost the same on average."""
    first, last = found.values[0], found.values[-1]
    for band in curve.bands:
        low = first if band.low is None else band.low
        high = last if band.high is None else band.high
        ax.axvspan(low * factor, high * factor, color=QUIET, alpha=0.18, linewidth=0)
        if band.at is not None and (band.low, band.high) != (None, None):
            ax.plot(band.at * factor, 0, marker="D", color="white", mec=INK, markersize=6, zorder=4)


def _mark_now(ax: Axes, now: float) -> None:
    ax.axvline(now, color=QUIET, linewidth=0.9, linestyle=(0, (2, 3)))
    ax.annotate(
        "today", (now, 1), xycoords=("data", "axes fraction"), xytext=(3, -8), textcoords="offset points",
        color=QUIET, font=font(8),
    )  # fmt: skip


def save_break_even(found: BreakEven, folder: Path, *, metric: bool = False) -> None:
    """Write tipping.png, a panel for each wind."""
    with matplotlib_defaults():
        panels = len(found.curves)
        figure = Figure(figsize=(1.5 + 3.3 * max(panels, 1.6), 4.4), dpi=150, layout="constrained")
        axes = figure.subplots(1, panels, sharey=True, squeeze=False)[0]
        for curve, ax in zip(found.curves, axes, strict=True):
            draw_break_even(found, curve, ax=ax, metric=metric)
        axes[0].set_ylabel(_sides(found.strikes), font=font(9))
        axes[0].legend(frameon=False, prop=font(8), loc="best")
        if not found.scale.names:
            key = "Grey: no clear winner. Diamond: best guess of the break-even point."
            figure.supxlabel(key, font=font(8), color=QUIET, x=0.01, ha="left")
        figure.suptitle(_title(found, metric=metric), font=font(11, bold=True), x=0.01, ha="left")
        save_png(axes[0], folder / "tipping.png")


def _sides(strikes: tuple[str, ...]) -> str:
    """Return what the axis of strokes shows, and which strike each side of its zero favours."""
    first, *others = strikes
    other = others[0] if len(others) == 1 else "the other"
    return f"strokes more than {first}\nbelow 0 {other} is better, above 0 {first}"


def _title(found: BreakEven, *, metric: bool) -> str:
    if found.case.hole is None:
        return f"{found.case.player.name}: one driver strike all day, on {found.holes} par 4s and 5s"
    hole, tee = found.case.hole
    length = f"{tee.length:.0f} m" if metric else f"{tee.length / YARD:.0f} yd"
    return f"{found.case.player.name}: hole {hole.number}, par {hole.par}, {length}"
