"""Strokes: what remains from where a drive finishes, for this golfer, and what a tee therefore costs."""

from dataclasses import dataclass
from functools import cache
from typing import Final, TypeVar

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression
from scipy.special import expit, ndtri

from holesim.data.tables import table
from holesim.shot.relief import Lie, Lies
from holesim.units import FOOT, YARD

Floats = NDArray[np.float64]
Numbers = TypeVar("Numbers", NDArray[np.float32], NDArray[np.float64])

GRID: Final = np.arange(0.0, 801.0)  # m from the hole, a metre apart

SHORT: Final = 30 * YARD  # m; inside it distance is the same for all
NEAR: Final = 150 * YARD  # m; beyond it full shots are needed, inside it clumsiness tells
LONG: Final = 260 * YARD  # m; the tour's longest shot off the ground, a fairway wood and its run

SAME_ANGLE: Final = 0.125 / 1.125
"""Power of reach by which a shorter hitter is as the tour is farther out. The tour's shots finish 20 ft from
the hole from 112 yd and 41 ft from 212 (radar, from memory): as distance to the power 1.125, so their angle
grows as the 0.125. At d the shorter hitter errs by the angle of the club that the tour swings at reach·d."""

LOST_IN_TREES: Final = 0.04
LOST_IN_HEAVY_ROUGH: Final = 0.03
"""Share of balls not found within three minutes (Rule 18.2a): our assumption, no source."""


@dataclass(frozen=True)
class Skill:
    """How one golfer's strokes differ from the tour table's.

    `length_ratio` is the distance the tour hits for each metre of this golfer's; `short_game_factor`
    multiplies what the last 150 yd cost beyond the one stroke that would hole out.
    """

    length_ratio: float
    short_game_factor: float


@dataclass(frozen=True)
class Strokes:
    """What one tee shot costs with all that follows; arrays of one value a drive.

    `cost` counts the drive and, where it must or had better be replayed, the replays at `expected`.
    """

    cost: Floats
    expected: float
    replayed: Floats


def remaining(skill: Skill) -> Floats:
    """Return mean strokes to hole out, shape (lies, distances): a row for each `Lie`, a column a metre.

    Notes
    -----
    The table is the tour's (Broadie 2012, 2014: the files in `holesim/data` say where from), made smooth
    and never falling with distance. A shorter hitter has at d what the tour has farther out: see
    `_tour_distance`. Clumsiness multiplies what the last 150 yd cost beyond one stroke; farther out length
    is what tells.
    """
    table = np.maximum(_tour_strokes(skill.length_ratio) + (skill.short_game_factor - 1) * _near_excess(), 1)
    # On a green too long to putt across a ball may be chipped.
    table[Lie.GREEN] = np.minimum(table[Lie.GREEN], table[Lie.FAIRWAY])
    return np.maximum.accumulate(table, axis=1)


@cache
def _tour_strokes(length_ratio: float) -> Floats:
    """Return the tour's mean strokes from where it needs as many, a row for each `Lie`."""
    away = _tour_distance(length_ratio)
    rows = zip(Lie, _tour_rows(), strict=True)
    return np.stack([row(GRID if lie == Lie.GREEN else away) for lie, row in rows])


@cache
def _near_excess() -> Floats:
    """Return what the tour needs beyond one stroke within 150 yd, a row for each `Lie`."""
    return np.stack([row(np.minimum(GRID, NEAR)) for row in _tour_rows()]) - 1


def _tour_distance(length_ratio: float) -> Floats:
    """Return, for each distance of `GRID`, that from which the tour needs as many strokes [m].

    Within reach of one shot it is little more, `SAME_ANGLE` saying how much; each shot that the golfer must
    add moves it out by what those shots lack of the tour's. Where a shot is added is blurred by a fifth of
    its length, as shots are not all alike. Inside 30 yd, and on the green, distance is the same for all.
    """
    full = np.clip((GRID - SHORT) / (NEAR - SHORT), 0, 1)
    full = full * full * (3 - 2 * full)
    same = length_ratio**SAME_ANGLE
    longest = LONG / length_ratio
    edges = longest * np.arange(1, 10)[:, None]
    added = (expit((GRID - edges) / (0.2 * longest))).sum(axis=0)
    return np.asarray(GRID + full * ((same - 1) * GRID + (LONG - same * longest) * added))


@cache
def _tour_rows() -> tuple[PchipInterpolator, ...]:
    """Return the tour's strokes as a function of metres for each `Lie`, in its order."""
    long = pd.read_csv(table("strokes_to_hole_out.csv"), comment="#")
    putts = pd.read_csv(table("putts_to_hole_out.csv"), comment="#")
    yards = long["distance_yd"].to_numpy(dtype=float)
    columns = {name: long[name].to_numpy(dtype=float) for name in ("fairway", "rough", "sand", "recovery")}
    # The table starts at 20 yd, for recovery at 100: nearer in the gap to a better lie is kept.
    near = np.isnan(columns["recovery"])
    gap = (columns["recovery"] - columns["rough"])[~near][0]
    columns["recovery"] = np.where(near, columns["rough"] + gap, columns["recovery"])
    columns["heavy"] = (columns["rough"] + columns["recovery"]) / 2
    at_hole = {"fairway": 2.05, "rough": 2.25, "sand": 2.30, "recovery": 2.25 + gap, "heavy": 2.25 + gap / 2}
    rows = {}
    for name, values in columns.items():
        level = isotonic_regression(np.concatenate([[at_hole[name]], values])).x
        rows[name] = _curve(np.concatenate([[0.0], yards]) * YARD, level)
    feet = putts["distance_ft"].to_numpy(dtype=float)
    rows["green"] = _curve(np.concatenate([[0.0], feet]) * FOOT, np.concatenate([[1.0], putts["putts"]]))
    return tuple(rows[lie.name.lower()] for lie in Lie)


def _curve(distance: Floats, strokes: Floats) -> PchipInterpolator:
    """Return a monotone curve, carried on beyond the table along the slope of its last third."""
    far = distance[-1] * 4
    third = int(np.searchsorted(distance, distance[-1] * 2 / 3))
    slope = (strokes[-1] - strokes[third]) / (distance[-1] - distance[third])
    return PchipInterpolator(
        np.append(distance, far), np.append(strokes, strokes[-1] + slope * (far - distance[-1]))
    )


# --- the whole distribution -----------------------------------------------------------------------

SHOT_SPREAD: Final = 0.45
"""Standard deviation, in strokes, of what a full shot of a tour player gains or loses: chosen so that a plain
par 4 which the tour plays in 4.05 is birdied by 17 or 18 in 100, as it is (common practice, from memory)."""

_SHORT: Final = 0.3  # of a stroke: a shot that leaves about one putt can gain or lose less than a full one
_MOST_STROKES: Final = 30
_MEANS: Final = np.arange(1.0, 16.0, 0.05)
_POINTS: Final = (np.arange(64) + 0.5) / 64  # at which a shot's outcome is taken, as chances

# Share of putts holed by the tour, by distance in feet (Broadie 2014, from memory). With the mean it gives
# the share of three putts too: no one takes four.
_ONE_PUTT: Final = {
    2: 0.99, 3: 0.96, 4: 0.88, 5: 0.77, 6: 0.66, 7: 0.58, 8: 0.50, 9: 0.45, 10: 0.40, 15: 0.23, 20: 0.15,
    30: 0.07, 40: 0.04, 50: 0.03, 60: 0.02, 90: 0.01,
}  # fmt: skip


@dataclass(frozen=True)
class Chances:
    """Chance of each number of strokes to hole out, by how many it takes on average.

    `shares` has a row for each of `_MEANS`, and a column for each number of strokes from 1.
    """

    shares: Floats

    def at(self, means: Floats) -> Floats:
        """Return the chances at each of `means`, shape (len(means), numbers of strokes).

        A row's own mean is the mean asked for, exactly.
        """
        return _between(self.shares, means)

    def within(self, means: Floats, most: int) -> NDArray[np.float32]:
        """Return the chance of 1, 2, … `most` strokes or fewer at each mean, shape (len(means), `most`)."""
        return _between(np.cumsum(self.shares[:, :most], axis=1).astype(np.float32), means)

    def pooled(self, means: Floats) -> Floats:
        """Return the chances of a ball that may lie, with equal chance, where any of `means` remain."""
        return np.asarray(_weights(means) @ self.shares)


def _place(means: Floats) -> tuple[NDArray[np.int64], Floats]:
    """Return the last of `_MEANS` before each of means, but for the last of all, and how far it is beyond."""
    place = np.clip((means - _MEANS[0]) / (_MEANS[1] - _MEANS[0]), 0, len(_MEANS) - 1.000001)
    below = place.astype(np.int64)
    return below, place - below


def _between(rows: Numbers, means: Floats) -> Numbers:
    """Return what rows, which go with `_MEANS`, come to at each of means."""
    below, upper = _place(means)
    low = rows[below]
    return low + upper[:, None].astype(rows.dtype) * (rows[below + 1] - low)


def _weights(means: Floats) -> Floats:
    """Return the weight of each of `_MEANS` in the mean of what is interpolated at `means`.

    The last axis of `means` is averaged over; that of the weights takes its place.
    """
    rows = means.reshape(-1, means.shape[-1])
    below, upper = _place(rows)
    at = below + len(_MEANS) * np.arange(len(rows))[:, None]
    n = len(_MEANS) * len(rows)
    total = np.bincount(at.ravel(), (1 - upper).ravel(), n) + np.bincount(at.ravel() + 1, upper.ravel(), n)
    return np.asarray(total.reshape(*means.shape[:-1], -1) / means.shape[-1])


def chances(skill: Skill) -> Chances:
    """Return the distribution of what remains for a golfer, by its mean.

    Notes
    -----
    On the green it is the tour's share of one putt and of three at that mean. Elsewhere it follows from
    what a shot does: from where m strokes remain on average it leaves V, whose mean is m - 1, and so
    P(N ≤ n | m) = E[P(N ≤ n - 1 | V)]. V - 1 is taken as a lognormal variate whose standard deviation is
    `SHOT_SPREAD` for a tour player's full shot, smaller near the hole, and grows with clumsiness. Between
    2.1 and 2.5 strokes, long putts and short chips, the two are blended.
    """
    m = _MEANS
    one, three = _putting(m)
    rest = np.maximum(m - 2, 0.02)
    spread = SHOT_SPREAD * skill.short_game_factor * (1 - np.exp(-rest / _SHORT))
    left = np.exp(np.sqrt(np.log1p((spread / rest) ** 2))[:, None] * ndtri(_POINTS))
    leads_to = _weights(1 + left * (rest / left.mean(axis=1))[:, None])
    played = np.clip((m - 2.1) / 0.4, 0, 1)
    within = np.ones((_MOST_STROKES, len(m)))  # P(N ≤ n), a row for each n from 1
    within[0] = (1 - played) * one
    for n in range(1, _MOST_STROKES - 1):
        putted = 1 - three if n == 1 else np.ones(len(m))
        within[n] = (1 - played) * putted + played * (leads_to @ within[n - 1])
    return Chances(np.diff(within, axis=0, prepend=0).T)


def distribution(skill: Skill, lie: Lie, distances: Floats) -> Floats:
    """Return the chance of each number of strokes to hole out from `lie` at `distances` [m].

    Returns
    -------
    Array of shape (distances, numbers of strokes from 1).
    """
    return chances(skill).at(np.interp(distances, GRID, remaining(skill)[lie]))


def _putting(means: Floats) -> tuple[Floats, Floats]:
    """Return the chance of one putt and of three where so many putts are taken on average."""
    share = np.maximum(_three_putts()(np.minimum(means, 3)), means - 2)
    return 2 - means + share, share


@cache
def _three_putts() -> PchipInterpolator:
    """Return the tour's share of three putts as a function of mean putts."""
    putts = pd.read_csv(table("putts_to_hole_out.csv"), comment="#").set_index("distance_ft")["putts"]
    known = np.array([putts[feet] for feet in _ONE_PUTT])
    three = isotonic_regression(known - 2 + list(_ONE_PUTT.values())).x
    return PchipInterpolator(np.r_[1, known, 3], np.r_[0, three, 1])


# --- one tee --------------------------------------------------------------------------------------


def score(lies: Lies) -> Strokes:
    """Return what each drive costs, replays in closed form.

    A drive that is out costs 2 + E, E being what the tee costs; from a penalty area, or a drop for a ball
    out, the golfer replays where that is cheaper. E solves E = mean(cost), which is piecewise linear and
    rises slower than E, so Newton's method meets it in a few steps. With no choice of relief this is
    E = m + 2p/(1 - p).

    Raises
    ------
    ZeroDivisionError
        If every drive is out, so that the tee is never finished.
    """
    kept = 1 - lies.lost
    E = 4.0
    for _ in range(60):
        again = 2 + E
        in_play = np.minimum(lies.cost, np.where(lies.may_replay, again, np.inf))
        lost_cost = np.minimum(lies.lost_cost, again)
        cost = kept * in_play + np.where(lies.lost > 0, lies.lost * lost_cost, 0.0)
        replayed = kept * (lies.may_replay & (lies.cost > again)) + lies.lost * (lies.lost_cost > again)
        share = float(replayed.mean())
        if share >= 1:
            raise ZeroDivisionError("every drive is out")
        step = (float(cost.mean()) - E) / (1 - share)
        E += step
        if abs(step) < 1e-12:
            break
    return Strokes(cost, E, replayed)
