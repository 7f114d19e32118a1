"""A picture of measured drives, and outlines of the drives of the player fitted to them, strike by strike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from holesim.common.density import SHARES, densest
from holesim.measure.fit import DELIVERY
from holesim.measure.measure import MeasuredPlayer
from holesim.pictures.backdrop import save_png
from holesim.pictures.hole_picture import DRIVER_STYLES
from holesim.pictures.typesetting import INK, QUIET, font, matplotlib_defaults
from holesim.player.player import Player, Strike
from holesim.shot.air import make_air
from holesim.shot.deliveries import Deliveries, make_draws, sample
from holesim.shot.flight import fly
from holesim.shot.impact import Launches, choose_head, impact
from holesim.units import YARD

Floats = NDArray[np.float64]

_DRAWS: Final = 8192
_BALL: Final = ("ball_speed", "launch_angle", "start_direction", "spin", "axis_tilt")
_DASHES: Final = ("-", (0, (4, 2)))  # for half, and for nine in ten


@dataclass(frozen=True)
class DriveLandings:
    """Where measured drives landed.

    Attributes
    ----------
    along, across
        Down the line and right of it [m], shape (drives,); NaN where it is not known.
    how
        What was measured, and what was worked out from it.
    """

    along: Floats
    across: Floats
    how: str


def find_landings(found: MeasuredPlayer, along: Floats) -> DriveLandings:
    """Return where the drives landed, as measured or as they fly in calm air.

    Parameters
    ----------
    found
        The drives.
    along
        The carry assumed for each drive where only its direction was measured [m], shape (drives,).
    """
    values, drives = found.drives.values, len(found.drives.lines)
    nothing = np.full(drives, np.nan)
    got = {name: values.get(name, nothing) for name in ("carry", "offline", *_BALL, *DELIVERY)}
    if np.isfinite(got["carry"]).any() and np.isfinite(got["offline"]).any():
        carry, side = got["carry"], got["offline"]
        return DriveLandings(carry * np.cos(side), carry * np.sin(side), "as measured")
    known = _all_measured(got, _BALL)
    if known.any():
        return _fly_launches(
            Launches(*(got[name][known] for name in _BALL)), known, "flown from the ball data"
        )
    known = _all_measured(got, DELIVERY)
    if known.any():
        by_name = {name: got[name][known] for name in DELIVERY}
        driver = choose_head("driver", found.before.club_speed)
        launches = impact(Deliveries(**by_name), driver, side=found.before.side)
        return _fly_launches(launches, known, "flown from the club data")
    direction = np.where(np.isfinite(got["offline"]), got["offline"], got["start_direction"])
    return DriveLandings(
        along * np.cos(direction), along * np.sin(direction), "direction as measured, distance from the model"
    )


def _all_measured(got: Mapping[str, Floats], names: Sequence[str]) -> NDArray[np.bool_]:
    """Return for which drives all of these were measured."""
    return np.asarray(np.isfinite([got[name] for name in names]).all(axis=0))


def _fly_launches(launches: Launches, known: NDArray[np.bool_], how: str) -> DriveLandings:
    along, across = np.full(len(known), np.nan), np.full(len(known), np.nan)
    landings, _ = fly(launches, make_air())
    along[known], across[known] = landings.x, landings.y
    return DriveLandings(along, across, how)


def simulate_landings(strike: Strike, side: float) -> Floats:
    """Return where simulated drives land in calm air, right of the line and along it [m], (drives, 2)."""
    draws = make_draws(_DRAWS, 1, np.random.default_rng(1))
    # Without a spin exponent the spread does not depend on spin.
    deliveries = sample(strike, draws, spin=1.0, mean_spin=strike.spread.at_spin or 1.0)
    landings, _ = fly(impact(deliveries, choose_head(strike.kind, strike.club_speed), side=side), make_air())
    return np.column_stack([landings.y, landings.x])


def draw_measured_drives(found: MeasuredPlayer, player: Player, *, metric: bool = False) -> Figure:
    """Draw where the drives of each strike landed, and outlines of half and 90 % of the fitted player's.

    Parameters
    ----------
    found
        The drives, and what was fitted to them.
    player
        The fitted player, with the measured strikes.
    metric
        Metres instead of yards.
    """
    scale, unit = (1.0, "m") if metric else (YARD, "yd")
    clouds = [simulate_landings(player.driver(name), player.side) / scale for name in found.names]
    middle = np.array([np.median(cloud[:, 1]) for cloud in clouds])
    seen = find_landings(found, middle[found.strike_of] * scale)
    drives = np.column_stack([seen.across, seen.along]) / scale
    every = np.concatenate(
        [drives[np.isfinite(drives).all(axis=1)], *(np.quantile(c, (0.01, 0.99), axis=0) for c in clouds)]
    )
    half, (low, high) = np.abs(every[:, 0]).max() * 1.08, (every[:, 1].min() - 8, every[:, 1].max() + 8)
    tall = 1.3 + 3.2 * (high - low) / (2 * half)
    figure = Figure(figsize=(max(0.8 + 3.5 * len(clouds), 5.8), tall), dpi=150, layout="constrained")
    panels = figure.subplots(1, len(clouds), sharex=True, sharey=True, squeeze=False)[0]
    for s, (name, ax) in enumerate(zip(found.names, panels, strict=True)):
        own = found.strike_of == s
        _draw_strike(ax, name, clouds[s], drives[own], found.fit.missed[own] > 0.5)
        ax.set(xlim=(-half, half), ylim=(low, high), aspect="equal")
        ax.set_xlabel(f"right of the line, {unit}", font=font(9))
    panels[0].set_ylabel(f"carry, {unit}", font=font(9))
    title = f"{player.name}: {len(drives)} drives, {seen.how}"
    outlines = "The solid outline holds half of the fitted player's drives, the dashed one nine in ten."
    figure.supxlabel(outlines, font=font(8), color=QUIET, x=0.01, ha="left")
    figure.suptitle(title, font=font(10, bold=True), color=INK, x=0.01, ha="left")
    return figure


def _draw_strike(ax: Axes, name: str, cloud: Floats, drives: Floats, missed: NDArray[np.bool_]) -> None:
    colour, marker = DRIVER_STYLES[name]
    ax.axvline(0, color=QUIET, linewidth=0.8, linestyle=(0, (2, 3)))
    x, y, density, levels = densest(cloud, SHARES)
    for level, dashes in zip(levels, _DASHES, strict=True):
        ax.contour(x, y, density, levels=[level], colors=colour, linewidths=1.3).set(linestyle=[dashes])
    ax.plot(*drives[~missed].T, marker=marker, color=colour, linestyle="", markersize=5, mec="white", mew=0.5)
    if missed.any():
        ax.plot(*drives[missed].T, marker="x", color=INK, linestyle="", markersize=6, label="bad misses")
        ax.legend(frameon=False, prop=font(8), loc="upper left")
    ax.set_title(name, font=font(9), loc="left")
    ax.tick_params(labelsize=8)
    ax.spines[["top", "right"]].set_visible(False)


def save_measured_drives(found: MeasuredPlayer, player: Player, path: Path, *, metric: bool = False) -> None:
    """Write the picture as a PNG."""
    with matplotlib_defaults():
        figure = draw_measured_drives(found, player, metric=metric)
        save_png(figure.axes[0], path)
