"""Shots: how the rest of the bag spreads, by length, lie and skill."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import RegularGridInterpolator

from holesim.data.tables import table
from holesim.scoring.strokes_table import GRID, Skill, remaining
from holesim.shot.relief import Lie
from holesim.units import DEGREE, YARD

Floats = NDArray[np.float64]

LENGTHS: Final = np.arange(0.0, 321.0, 5.0)  # m, at which a bag's shots are tabulated

SPREAD_FILE: Final = table("shot_spread.csv")
PLAIN_FILE: Final = table("plain_holes.csv")

LONGEST: Final = 235 * YARD
"""The tour's longest shot off the ground [m]: found, with the spread, so that the table comes back."""

SHARE_IN_REACH: Final = {
    Lie.FAIRWAY: 1.0,
    Lie.ROUGH: 0.87,
    Lie.HEAVY: 0.7,
    Lie.SAND: 0.76,
    Lie.RECOVERY: 0.65,
}
"""Share of it that is in reach from each lie: found for rough and sand, our assumption for the others."""

_MISHIT: Final = {Lie.FAIRWAY: 0, Lie.ROUGH: 1, Lie.HEAVY: 3, Lie.SAND: 8, Lie.RECOVERY: 3}
"""Of 32 shots of a tour player, so many go half as far as they should: found for sand, else assumed."""

_MORE_MISHIT: Final = 1 / 32
"""Share of shots that a golfer mishits more than the tour does, for each time that their misses are as wide
again: our assumption."""

_PUTTING: Final = 0.5
"""Power of the dispersion ratio by which a putt is as if so many times as long. The tour holes half its
putts from 8 ft; those who score 90, at a ratio of about 2.5, from 5 ft: 1.6 times (Broadie 2014, from
memory)."""

_WILDER: Final = 1.35
"""How much farther shots from heavy rough and from trees spread than from rough: our assumption."""

_LIKE: Final = {Lie.HEAVY: ("rough", _WILDER), Lie.RECOVERY: ("rough", _WILDER), Lie.GREEN: ("fairway", 1.0)}
"""Lies whose spread is that of another, so much wider."""

_LONGER_THAN_WIDE: Final = 1.1
"""Spread along a shot over the geometric mean of that and the spread across: our assumption."""

_RUN: Final = np.array([[0, 2], [30, 2], [150, 4], [240, 16]]) * YARD
"""Run by length [m]: irons stop, woods run (common practice, no source)."""

# The tour's averages by radar, from memory: carry [yd], launch and landing angle [deg]; under 136 yd assumed.
_FLIGHTS: Final = np.array(
    [[0, 30, 45], [40, 30, 48], [100, 26, 52], [136, 24.2, 52], [160, 18.1, 51], [172, 16.3, 50],
     [183, 14.1, 50], [194, 12.1, 49], [203, 11, 48], [212, 10.4, 46], [230, 9.7, 47], [243, 9.2, 43]]
)  # fmt: skip


@dataclass(frozen=True)
class DispersionSkill:
    """How long and how true a golfer's shots off the ground are.

    `length_ratio` is the distance the tour hits for each metre of this golfer's, `dispersion_ratio` how many
    times as wide as the tour's the misses of the same swing are.
    """

    length_ratio: float
    dispersion_ratio: float


TOUR: Final = DispersionSkill(1.0, 1.0)


@dataclass(frozen=True)
class ClubDispersion:
    """A golfer's shots off the ground, by lie.

    Attributes
    ----------
    shots
        Shape (lies, lengths, columns), a row for each of `LENGTHS`; columns in the kernel's order: standard
        deviations along the shot and across it [m], their correlation (taken as none: none is published),
        the tangents of the angles of launch and of descent, the run [m], and the share that goes half as far.
    longest
        The longest shot from each lie [m], carry and run.
    putts
        Mean putts from each metre of `strokes.GRID`.
    """

    shots: Floats
    longest: Floats
    putts: Floats


def club_dispersion(golfer: DispersionSkill) -> ClubDispersion:
    """Return a golfer's shots.

    Notes
    -----
    A shorter hitter plays at d the club that the tour swings at reach·d, and errs by its angle. How far the
    tour's shots spread is found: `holesim/data/shot_spread.csv` says how.
    """
    swung = LENGTHS * golfer.length_ratio
    carried, launch, landing = _FLIGHTS.T
    rise = np.tan(np.interp(swung / YARD, carried, launch) * DEGREE)
    fall = np.tan(np.interp(swung / YARD, carried, landing) * DEGREE)
    run = np.interp(swung, *_RUN.T)
    shots = []
    for lie in Lie:
        spread = np.interp(swung, *spread_of(lie)) / golfer.length_ratio * golfer.dispersion_ratio
        more = _MORE_MISHIT * max(golfer.dispersion_ratio - 1, 0)
        mishit = np.full_like(spread, _MISHIT.get(lie, 0) / 32 * golfer.dispersion_ratio + more)
        columns = (
            spread * _LONGER_THAN_WIDE,
            spread / _LONGER_THAN_WIDE,
            0 * spread,
            rise,
            fall,
            run,
            mishit,
        )
        shots.append(np.stack(columns, axis=1))
    in_reach = np.array([SHARE_IN_REACH.get(lie, 1.0) for lie in Lie])
    tour = remaining(Skill(1.0, 1.0))[Lie.GREEN]
    putts = np.interp(GRID * golfer.dispersion_ratio**_PUTTING, GRID, tour)
    return ClubDispersion(np.stack(shots), LONGEST / golfer.length_ratio * in_reach, putts)


@cache
def spread_of(lie: Lie) -> tuple[Floats, Floats]:
    """Return lengths [m] and how far the tour's shots of such a length spread from a lie [m]."""
    table = pd.read_csv(SPREAD_FILE, comment="#") * YARD
    name, wilder = _LIKE.get(lie, (lie.name.lower(), 1.0))
    return table["length_yd"].to_numpy(), wilder * table[name].to_numpy()


def on_plain_holes(golfer: DispersionSkill) -> Floats:
    """Return the mean strokes that remain on a plain hole, as `strokes.remaining` does.

    Only from fairway and rough is anything known: `plain_holes.csv` is found by working back such holes.
    """
    metres, known = _plain_holes()
    at = np.log([golfer.length_ratio, golfer.dispersion_ratio])
    low, high = (np.array([axis[end] for axis in known.grid]) for end in (0, -1))
    rows = known(np.clip(at, low, high))[0]
    table = np.full((len(Lie), len(GRID)), np.nan)
    for lie, row in zip((Lie.FAIRWAY, Lie.ROUGH), rows, strict=True):
        table[lie] = np.interp(GRID, metres, row)
    return table


@cache
def _plain_holes() -> tuple[Floats, RegularGridInterpolator]:
    """Return distances [m], and strokes from fairway and rough there by the logarithms of reach and error."""
    table = (
        pd.read_csv(PLAIN_FILE, comment="#")
        .set_index(["length_ratio", "dispersion_ratio", "lie"])
        .sort_index()
    )
    length_ratio, dispersion_ratio = (
        table.index.unique(name).to_numpy(dtype=float) for name in ("length_ratio", "dispersion_ratio")
    )
    values = table.to_numpy().reshape(len(length_ratio), len(dispersion_ratio), 2, -1)  # fairway before rough
    axes = np.log(length_ratio), np.log(dispersion_ratio)
    return table.columns.to_numpy(dtype=float) * YARD, RegularGridInterpolator(axes, values, method="pchip")
