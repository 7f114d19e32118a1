"""A picture of a round compared with its plan: where drives finished, and where they were planned to."""

from math import ceil
from pathlib import Path
from textwrap import wrap
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from holesim.pictures.backdrop import save_png
from holesim.pictures.typesetting import INK, QUIET, font, matplotlib_defaults
from holesim.reports.review_text import lesson_text, practice_text, review_title
from holesim.study.lesson import NAMES, Lesson, Measure
from holesim.study.review import Review
from holesim.units import YARD

_PLAYED, _PLANNED, _MEAN = "#56B4E9", "#000000", "#D55E00"
_ENDS: Final[dict[Measure, tuple[str, str]]] = {"side": ("left", "right"), "total": ("shorter", "longer")}
_BARS: Final = 9
_LINE: Final = 44  # letters in a line over a panel


def draw_offsets(lesson: Lesson, measure: Measure, *, metric: bool = False, ax: Axes | None = None) -> Axes:
    """Draw how many drives finished how far off the planned middle, and how many were planned to.

    Parameters
    ----------
    ax
        Where to draw; a new figure by default.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    scale = YARD if metric else 1.0
    offsets, planned = lesson.offsets * scale, lesson.planned * scale
    farthest = max(np.abs(planned).max(), np.abs(offsets).max())
    width = max(ceil(2 * farthest / _BARS / 5) * 5, 5)
    edges = width * (np.arange(_BARS + 1) - _BARS / 2)
    counts, _ = np.histogram(offsets, edges)
    ax.bar(edges[:-1], counts, width, align="edge", color=_PLAYED, edgecolor="white", label="played")
    below = np.interp(edges, planned, lesson.probabilities, left=0.0, right=1.0)
    expected = len(offsets) * np.diff(below)
    ax.stairs(expected, edges, color=_PLANNED, linewidth=1.2, linestyle=(0, (4, 2)), label="planned")
    top = 1.12 * max(counts.max(), expected.max())
    mean = [lesson.bias.value * scale, lesson.bias.low * scale, lesson.bias.high * scale]
    ax.errorbar(
        mean[0], top, xerr=[[mean[0] - mean[1]], [mean[2] - mean[0]]], color=_MEAN, marker="D", markersize=5,
        capsize=3, linestyle="", label="average, 19 in 20",
    )  # fmt: skip
    ax.axvline(0, color=QUIET, linewidth=0.9)
    ax.set(ylim=(0, 1.25 * top), xlim=(edges[0], edges[-1]))
    ends, unit = _ENDS[measure], "metres" if metric else "yards"
    _label_axes(ax, f"{ends[0]}   |   {unit} off the planned middle   |   {ends[1]}", "drives")
    ax.yaxis.set_major_locator(MaxNLocator(integer=True))
    ax.legend(frameon=False, prop=font(7.5), loc="upper center", ncols=3)
    return ax


def draw_counts(found: Review, *, ax: Axes | None = None) -> Axes:
    """Draw how often drives finished where, and how often the plan expects it, 19 times in 20.

    Parameters
    ----------
    ax
        Where to draw; a new figure by default.
    """
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    rows = np.arange(len(found.counts))
    for row, count in zip(rows, found.counts, strict=True):
        ax.barh(row, count.high - count.low, 0.5, left=count.low, color=QUIET, alpha=0.3, linewidth=0)
    expected = [count.expected for count in found.counts]
    ax.plot(expected, rows, color=_PLANNED, marker="|", markersize=12, linestyle="", label="planned")
    observed = [count.observed for count in found.counts]
    ax.plot(observed, rows, color=_MEAN, marker="o", markersize=6, linestyle="", label="played")
    ax.set_yticks(rows, [count.name for count in found.counts])
    ax.set_ylim(len(rows) - 0.4, -1.3)
    _label_axes(ax, "drives; band: as planned 19 times in 20", "")
    if found.counts:
        ax.legend(frameon=False, prop=font(8), loc="upper center", ncols=2)
    return ax


def _label_axes(ax: Axes, x: str, y: str) -> None:
    ax.set_xlabel(x, font=font(9))
    ax.set_ylabel(y, font=font(9))
    ax.tick_params(labelsize=8)
    ax.spines[["top", "right"]].set_visible(False)


def save_review(found: Review, folder: Path, *, metric: bool = False) -> None:
    """Write review.png."""
    with matplotlib_defaults():
        figure = Figure(figsize=(12.0, 4.6), dpi=150, layout="constrained")
        axes = figure.subplots(1, 3)
        for measure, ax in zip(NAMES, axes, strict=False):
            lesson = found.lessons[measure]
            said = lesson_text(found.lessons, measure, metric=metric)
            ax.set_title("\n".join(wrap(said, _LINE)), font=font(9), color=INK, loc="left")
            if lesson is None:
                ax.set_axis_off()
            else:
                draw_offsets(lesson, measure, metric=metric, ax=ax)
        said = practice_text(found.lessons, metric=metric)
        axes[2].set_title("\n".join(wrap(said, _LINE)), font=font(9), color=INK, loc="left")
        draw_counts(found, ax=axes[2])
        figure.suptitle(review_title(found), font=font(11, bold=True), color=INK, x=0.01, ha="left")
        save_png(axes[0], folder / "review.png")
