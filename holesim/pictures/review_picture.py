"""A picture of a round against its plan: chances given and what came true, and where drives lie."""

from pathlib import Path
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray
from scipy.stats import beta, binom

from holesim.pictures.backdrop import save_png
from holesim.pictures.typesetting import INK, QUIET, font, matplotlib_defaults
from holesim.study.review import Review

Floats = NDArray[np.float64]

_LOOKS: Final = {
    "fairway or green": ("#0072B2", "o"),
    "penalty area or out": ("#D55E00", "v"),
    "par or better": ("#009E73", "s"),
}
_TO_A_DOT: Final = 12  # cases, at the least
_MOST_DOTS: Final = 6


def draw_calibration(found: Review, *, ax: Axes | None = None) -> Axes:
    """Draw how often what the plan gave a chance came true, in groups of like chances, with 95 % intervals.

    Parameters
    ----------
    ax
        Where to draw; a new figure by default.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    ax.plot([0, 1], [0, 1], color=QUIET, linewidth=0.9, linestyle=(0, (4, 3)))
    for name, (colour, marker) in _LOOKS.items():
        if name not in found.forecasts:
            continue
        likely, came = found.forecasts[name]
        groups = np.array_split(
            np.argsort(likely, kind="stable"), np.clip(len(likely) // _TO_A_DOT, 1, _MOST_DOTS)
        )
        x = np.array([likely[group].mean() for group in groups])
        y = np.array([came[group].mean() for group in groups])
        bounds = np.array([_bounds(int(came[group].sum()), len(group)) for group in groups]).T
        ax.errorbar(
            x, y, np.abs(bounds - y), color=colour, marker=marker, linestyle="", capsize=3, linewidth=1,
            markersize=5.5, label=name,
        )  # fmt: skip
    ax.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.02))
    _dress(ax, "chance by the plan", "share that came true")
    ax.legend(frameon=False, prop=font(8), loc="upper left")
    return ax


def draw_levels(found: Review, what: str, *, ax: Axes | None = None) -> Axes:
    """Draw how drives lie in the plan's range of `what`, "total" or "side": evenly, if it is right.

    The band is where nineteen in twenty bars end then.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    levels = found.levels[what]
    bars = 10 if len(levels) >= 60 else 5
    counts, edges = np.histogram(levels, bars, (0.0, 1.0))
    ax.axhspan(*binom.interval(0.95, len(levels), 1 / bars), color=QUIET, alpha=0.18, linewidth=0)
    ax.axhline(len(levels) / bars, color=QUIET, linewidth=0.9, linestyle=(0, (4, 3)))
    ax.bar(edges[:-1], counts, 1 / bars, align="edge", color="#56B4E9", edgecolor="white", linewidth=0.8)
    ends = {"total": ("short", "long"), "side": ("left", "right")}[what]
    ax.set_xticks((0, 0.5, 1), (ends[0], "middle", ends[1]))
    _dress(ax, {"total": "distance in the plan's range", "side": "side in the plan's range"}[what], "drives")
    return ax


def _bounds(came: int, cases: int) -> tuple[float, float]:
    """Return the 95 % interval of a share (Clopper and Pearson, Biometrika 26, 1934)."""
    low = float(beta.ppf(0.025, came, cases - came + 1)) if came else 0.0
    high = float(beta.ppf(0.975, came + 1, cases - came)) if came < cases else 1.0
    return low, high


def _dress(ax: Axes, x: str, y: str) -> None:
    ax.set_xlabel(x, font=font(9))
    ax.set_ylabel(y, font=font(9))
    ax.tick_params(labelsize=8)
    ax.spines[["top", "right"]].set_visible(False)


def save_review(found: Review, folder: Path) -> None:
    """Write review.png."""
    with matplotlib_defaults():
        figure = Figure(figsize=(11.0, 4.2), dpi=150, layout="constrained")
        axes = figure.subplots(1, 3)
        draw_calibration(found, ax=axes[0])
        for what, ax in zip(("total", "side"), axes[1:], strict=True):
            draw_levels(found, what, ax=ax)
        title = f"{found.course}, {found.player}: {len(found.drives)} drives against the plan"
        figure.suptitle(title, font=font(11, bold=True), color=INK, x=0.01, ha="left")
        save_png(axes[0], folder / "review.png")
