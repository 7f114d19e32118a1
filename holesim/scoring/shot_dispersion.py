"""Dispersion of shots that are not tee shots, by length, lie and skill."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import RegularGridInterpolator

from holesim.data.tables import table
from holesim.scoring.strokes_table import DISTANCES, Skill, make_strokes_table
from holesim.shot.relief import Lie
from holesim.units import DEGREE, YARD

Floats = NDArray[np.float64]

LENGTHS: Final = np.arange(0.0, 321.0, 5.0)  # m, at which shots are tabulated

SPREAD_FILE: Final = table("shot_spread.csv")
PLAIN_FILE: Final = table("plain_holes.csv")

LONGEST: Final = 235 * YARD
"""The tour's longest shot off the ground [m]: fitted, with the spread, to the strokes table."""

SHARE_IN_REACH: Final = {
    Lie.FAIRWAY: 1.0,
    Lie.ROUGH: 0.87,
    Lie.HEAVY: 0.7,
    Lie.SAND: 0.76,
    Lie.RECOVERY: 0.65,
}
"""Share of the longest shot that is in reach from each lie: fitted for rough and sand, else assumed by us."""

_MISHIT: Final = {Lie.FAIRWAY: 0, Lie.ROUGH: 1, Lie.HEAVY: 3, Lie.SAND: 8, Lie.RECOVERY: 3}
"""Number of a tour player's shots in 32 that go half as far as they should: fitted for sand, else assumed."""

_MORE_MISHIT: Final = 1 / 32
"""Share of shots that a golfer mishits beyond the tour's, for each 1 of dispersion ratio above 1: our
assumption."""

_PUTTING: Final = 0.5
"""A golfer's putt is as hard as a tour player's that is longer by this power of the dispersion ratio. The
tour holes half its putts from 8 ft; golfers who score 90, with a ratio of about 2.5, from 5 ft (Broadie 2014,
from memory)."""

_WILDER: Final = 1.35
"""Spread of shots from heavy rough and from trees over that from rough: our assumption."""

_LIKE: Final = {Lie.HEAVY: ("rough", _WILDER), Lie.RECOVERY: ("rough", _WILDER), Lie.GREEN: ("fairway", 1.0)}
"""Lies whose spread is that of another lie times a factor."""

_LONGER_THAN_WIDE: Final = 1.1
"""Spread along a shot over the geometric mean of the spreads along and across: our assumption."""

_RUN: Final = np.array([[0, 2], [30, 2], [150, 4], [240, 16]]) * YARD
"""Run [m] by length of shot [m]: irons stop, woods run (common practice, no source)."""

# The tour's averages by radar, from memory: carry [yd], launch and landing angle [deg]; assumed below 136 yd.
_FLIGHTS: Final = np.array(
    [[0, 30, 45], [40, 30, 48], [100, 26, 52], [136, 24.2, 52], [160, 18.1, 51], [172, 16.3, 50],
     [183, 14.1, 50], [194, 12.1, 49], [203, 11, 48], [212, 10.4, 46], [230, 9.7, 47], [243, 9.2, 43]]
)  # fmt: skip


@dataclass(frozen=True)
class DispersionSkill:
    """How long and how straight a golfer's shots off the ground are.

    `length_ratio` is the tour's distance over this golfer's with the same club. `dispersion_ratio` is this
    golfer's angle of dispersion over the tour's with the same club.
    """

    length_ratio: float
    dispersion_ratio: float


TOUR: Final = DispersionSkill(1.0, 1.0)


@dataclass(frozen=True)
class ClubDispersion:
    """The dispersion of a golfer's shots off the ground, by lie and length.

    Attributes
    ----------
    shots
        Shape (lies, lengths, columns), a row for each of `LENGTHS`. The columns, in the kernel's order, are
        the standard deviations along the shot and across it [m], their correlation (taken as 0, because none
        is published), the tangents of the launch and landing angles, the run [m], and the share of mishits,
        which go half as far.
    longest
        The longest shot from each lie [m], carry and run.
    putts
        Mean putts from each of `strokes_table.DISTANCES`.
    """

    shots: Floats
    longest: Floats
    putts: Floats


def club_dispersion(golfer: DispersionSkill) -> ClubDispersion:
    """Return the dispersion of a golfer's shots off the ground.

    Notes
    -----
    For a shot of length d a golfer plays the club that the tour plays for length_ratio·d. Its angle of
    dispersion is the tour's times the dispersion ratio. The spread of the tour's shots is fitted:
    `holesim/data/shot_spread.csv` says how.
    """
    swung = LENGTHS * golfer.length_ratio
    carried, launch, landing = _FLIGHTS.T
    rise = np.tan(np.interp(swung / YARD, carried, launch) * DEGREE)
    fall = np.tan(np.interp(swung / YARD, carried, landing) * DEGREE)
    run = np.interp(swung, *_RUN.T)
    shots = []
    for lie in Lie:
        spread = np.interp(swung, *tour_spread(lie)) / golfer.length_ratio * golfer.dispersion_ratio
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
    tour = make_strokes_table(Skill(1.0, 1.0))[Lie.GREEN]
    putts = np.interp(DISTANCES * golfer.dispersion_ratio**_PUTTING, DISTANCES, tour)
    return ClubDispersion(np.stack(shots), LONGEST / golfer.length_ratio * in_reach, putts)


@cache
def tour_spread(lie: Lie) -> tuple[Floats, Floats]:
    """Return lengths of shot [m], and the spread [m] of the tour's shots of those lengths from a lie."""
    table = pd.read_csv(SPREAD_FILE, comment="#") * YARD
    name, wilder = _LIKE.get(lie, (lie.name.lower(), 1.0))
    return table["length_yd"].to_numpy(), wilder * table[name].to_numpy()


def plain_hole_table(golfer: DispersionSkill) -> Floats:
    """Return a strokes table, as `make_strokes_table` does, made with a golfer's own shots on plain holes.

    It is interpolated in `plain_holes.csv`, which holds the solutions of such holes for many golfers. Only
    the rows of fairway and rough are known; the others are NaN.
    """
    metres, known = _plain_holes()
    at = np.log([golfer.length_ratio, golfer.dispersion_ratio])
    low, high = (np.array([axis[end] for axis in known.grid]) for end in (0, -1))
    rows = known(np.clip(at, low, high))[0]
    table = np.full((len(Lie), len(DISTANCES)), np.nan)
    for lie, row in zip((Lie.FAIRWAY, Lie.ROUGH), rows, strict=True):
        table[lie] = np.interp(DISTANCES, metres, row)
    return table


@cache
def _plain_holes() -> tuple[Floats, RegularGridInterpolator]:
    """Return distances [m], and expected strokes there from fairway and rough by the ratios' logarithms."""
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
