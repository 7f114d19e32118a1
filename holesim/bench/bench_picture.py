"""What the bench found, drawn: how cost grows, and how the standard error falls with the draws."""

import json
from collections.abc import Callable, Sequence
from math import exp
from pathlib import Path
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import LogLocator, NullFormatter, StrMethodFormatter

from holesim.bench.records import BenchResult, ScalingCurve, panels_of
from holesim.common.safe_files import renamed_into
from holesim.common.text_format import minus
from holesim.pictures.typesetting import QUIET, matplotlib_defaults

_LOOKS: Final = (("#0072B2", "o"), ("#D55E00", "s"), ("#009E73", "^"))  # of Okabe and Ito


def write_bench(result: BenchResult, folder: Path) -> list[Path]:
    """Write bench.json, scaling.png and draws.png; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """

    def write(work: Path) -> None:
        text = json.dumps(result.to_dict(), indent=1, ensure_ascii=False, allow_nan=False)
        (work / "bench.json").write_text(f"{text}\n", encoding="utf-8")
        _write_picture(work / "scaling.png", result.scaling, draw_scaling)
        _write_picture(work / "draws.png", result.draws, draw_draws)

    return renamed_into(folder, write)


def _write_picture(path: Path, curves: Sequence[ScalingCurve], draw: Callable[..., Axes]) -> None:
    panels = panels_of(curves)
    with matplotlib_defaults():
        figure = Figure(figsize=(3.8 * len(panels), 4.2), dpi=150, layout="constrained")
        for panel, ax in zip(panels, figure.subplots(1, len(panels)), strict=True):
            draw(panel, ax=ax)
        figure.savefig(path, format="png", metadata={"Software": "holesim"})


def draw_scaling(curves: Sequence[ScalingCurve], *, ax: Axes | None = None) -> Axes:
    """Draw seconds against a size, and lines in proportion to it through the first of them."""
    ax = _draw(curves, ax)
    for curve in curves:
        x = np.array(curve.x)
        name = "in proportion" if curve is curves[-1] else None
        ax.plot(x, curve.y[0] * x / x[0], color=QUIET, linestyle="--", linewidth=0.9, label=name)
    low, high = ax.get_ylim()
    ax.set(xlabel=curves[0].panel, ylabel="seconds", ylim=(low, 2 * high))
    ax.legend(frameon=False, loc="upper left")
    return ax


def draw_draws(curves: Sequence[ScalingCurve], *, ax: Axes | None = None) -> Axes:
    """Draw standard errors against the number of draws, a curve for each scheme."""
    ax = _draw(curves, ax)
    low, high = ax.get_ylim()
    ax.set(title=curves[0].panel, xlabel="draws", ylabel="standard error, up minus down, strokes")
    ax.set_ylim(low / 4, high)
    ax.legend(frameon=False, loc="lower left")
    return ax


def _draw(curves: Sequence[ScalingCurve], ax: Axes | None) -> Axes:
    """Draw points, and the power laws through them, on logarithmic axes."""
    ax = Figure(layout="constrained").add_subplot() if ax is None else ax
    ax.set(xscale="log", yscale="log")
    for curve, (colour, marker) in zip(curves, _LOOKS, strict=False):
        exponent, factor = curve.fit()
        name = f"{curve.name}: power {minus(f'{exponent:.2f}')}"
        ax.plot(curve.x, curve.y, linestyle="", marker=marker, color=colour, label=name)
        ax.plot(curve.x, exp(factor) * np.array(curve.x) ** exponent, color=colour, linewidth=1)
    ax.set_xticks(curves[0].x, [f"{x:,.0f}" for x in curves[0].x], rotation=30)
    ax.yaxis.set_major_locator(LogLocator(subs=(1, 2, 5)))
    ax.yaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
    for axis in (ax.xaxis, ax.yaxis):
        axis.set_minor_formatter(NullFormatter())
    return ax
