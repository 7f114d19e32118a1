"""A picture of a round compared with its plan: chances and what came true, and where drives finished."""

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
    """Draw how often what the plan gave a chance came true, grouped by that chance, with 95 % intervals.

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
        forecast, happened = found.forecasts[name]
        dots = np.clip(len(forecast) // _TO_A_DOT, 1, _MOST_DOTS)
        groups = np.array_split(np.argsort(forecast, kind="stable"), dots)
        x = np.array([forecast[group].mean() for group in groups])
        y = np.array([happened[group].mean() for group in groups])
        bounds = np.array([_bounds(int(happened[group].sum()), len(group)) for group in groups]).T
        ax.errorbar(
            x, y, np.abs(bounds - y), color=colour, marker=marker, linestyle="", capsize=3, linewidth=1,
            markersize=5.5, label=name,
        )  # fmt: skip
    ax.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.02))
    _label_axes(ax, "chance that the plan gave", "share that happened")
    ax.legend(frameon=False, prop=font(8), loc="upper left")
    return ax


def draw_probabilities(found: Review, what: str, *, ax: Axes | None = None) -> Axes:
    """Draw where drives finished within the plan's range of `what`, "total" or "side".

    If the plan is right, the bars are even, and 95 % of them end within the band.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    values = found.probabilities[what]
    bars = 10 if len(values) >= 60 else 5
    counts, edges = np.histogram(values, bars, (0.0, 1.0))
    ax.axhspan(*binom.interval(0.95, len(values), 1 / bars), color=QUIET, alpha=0.18, linewidth=0)
    ax.axhline(len(values) / bars, color=QUIET, linewidth=0.9, linestyle=(0, (4, 3)))
    ax.bar(edges[:-1], counts, 1 / bars, align="edge", color="#56B4E9", edgecolor="white", linewidth=0.8)
    ends = {"total": ("short", "long"), "side": ("left", "right")}[what]
    ax.set_xticks((0, 0.5, 1), (ends[0], "middle", ends[1]))
    _label_axes(
        ax,
        {"total": "distance within the plan's range", "side": "side within the plan's range"}[what],
        "drives",
    )
    return ax


def _bounds(happened: int, cases: int) -> tuple[float, float]:
    """Return the 95 % interval of a share (Clopper and Pearson, Biometrika 26, 1934)."""
    low = float(beta.ppf(0.025, happened, cases - happened + 1)) if happened else 0.0
    high = float(beta.ppf(0.975, happened + 1, cases - happened)) if happened < cases else 1.0
    return low, high


def _label_axes(ax: Axes, x: str, y: str) -> None:
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
            draw_probabilities(found, what, ax=ax)
        title = f"{found.course}, {found.player}: {len(found.played.drives)} drives compared with the plan"
        figure.suptitle(title, font=font(11, bold=True), color=INK, x=0.01, ha="left")
        save_png(axes[0], folder / "review.png")
