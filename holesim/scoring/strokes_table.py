"""Expected strokes by lie and distance for one golfer, their distribution, and what a tee costs by them."""

from dataclasses import dataclass
from functools import cache
from math import inf
from typing import Final, TypeVar

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression
from scipy.special import expit, ndtri

from holesim.data.tables import table
from holesim.scoring import _tee_strokes_kernel as kernel
from holesim.shot.relief import Lie, Lies
from holesim.units import FOOT, YARD

Floats = NDArray[np.float64]
Numbers = TypeVar("Numbers", NDArray[np.float32], NDArray[np.float64])

DISTANCES: Final = np.arange(0.0, 801.0)  # m from the hole

SHORT: Final = 30 * YARD  # m; nearer than this a distance is the same for every golfer
NEAR: Final = 150 * YARD  # m; farther out shots are full, nearer the short game matters
LONG: Final = 260 * YARD  # m; the tour's longest shot off the ground: a fairway wood with its run

SAME_ANGLE: Final = 0.125 / 1.125
"""A shorter hitter's shot is as hard as a tour player's that is longer by this power of the length ratio. The
tour's shots finish 20 ft from the hole from 112 yd, and 41 ft from 212 yd (radar, from memory). So a miss
grows as distance to the power 1.125, and its angle as distance to the power 0.125. At distance d a shorter
hitter misses by the angle of the club that the tour plays at length_ratio·d."""

LOST_IN_TREES: Final = 0.04
LOST_IN_HEAVY_ROUGH: Final = 0.03
"""Share of balls that are not found within three minutes (Rule 18.2a): our assumption, no source."""


@dataclass(frozen=True)
class Skill:
    """How one golfer's expected strokes differ from the tour's.

    `length_ratio` is the tour's distance over this golfer's with the same club. `short_game_factor`
    multiplies what the last 150 yd cost beyond one stroke.
    """

    length_ratio: float
    short_game_factor: float


@dataclass(frozen=True)
class TeeStrokes:
    """Strokes from a tee to hole out.

    Attributes
    ----------
    cost
        Expected strokes of each drive, itself and its replays included.
    expected
        Expected strokes from the tee: the mean of `cost`.
    replayed
        Chance that each drive is replayed.
    """

    cost: Floats
    expected: float
    replayed: Floats


def make_strokes_table(skill: Skill) -> Floats:
    """Return expected strokes to hole out, shape (lies, distances): a row for each `Lie`.

    Notes
    -----
    The table is the tour's, made smooth and never falling with distance. A shorter hitter has at distance d
    what the tour has farther out: see `_tour_distance`. The short-game factor multiplies what the last 150 yd
    cost beyond one stroke; farther out it adds no more.

    References
    ----------
    Broadie, "Assessing golfer performance on the PGA tour", Interfaces 42(2), 2012, and "Every Shot Counts",
    2014; the files in `holesim/data` say what was taken from where.

    Examples
    --------
    >>> table = make_strokes_table(Skill(length_ratio=1.0, short_game_factor=1.0))
    >>> f"{np.interp(160 * YARD, DISTANCES, table[Lie.FAIRWAY]):.2f}"
    '2.98'
    """
    table = np.maximum(_tour_strokes(skill.length_ratio) + (skill.short_game_factor - 1) * _near_excess(), 1)
    # On a green too long to putt across a ball may be chipped.
    table[Lie.GREEN] = np.minimum(table[Lie.GREEN], table[Lie.FAIRWAY])
    return np.maximum.accumulate(table, axis=1)


@cache
def _tour_strokes(length_ratio: float) -> Floats:
    """Return the tour's strokes from the distances that are as hard for it, a row for each `Lie`."""
    away = _tour_distance(length_ratio)
    rows = zip(Lie, _tour_rows(), strict=True)
    return np.stack([row(DISTANCES if lie == Lie.GREEN else away) for lie, row in rows])


@cache
def _near_excess() -> Floats:
    """Return the tour's strokes beyond one, at most those from 150 yd; a row for each `Lie`."""
    return np.stack([row(np.minimum(DISTANCES, NEAR)) for row in _tour_rows()]) - 1


def _tour_distance(length_ratio: float) -> Floats:
    """Return, for each of `DISTANCES`, the distance from which the tour needs as many strokes [m].

    Within one shot of the hole it is a little longer, by `SAME_ANGLE`. Each further shot that the golfer
    needs adds the length by which that shot is shorter than the tour's. Shots vary, so each addition is
    spread over a fifth of the shot's length. Inside 30 yd, and on the green, the distances are the same.
    """
    full = np.clip((DISTANCES - SHORT) / (NEAR - SHORT), 0, 1)
    full = full * full * (3 - 2 * full)
    same = length_ratio**SAME_ANGLE
    longest = LONG / length_ratio
    edges = longest * np.arange(1, 10)[:, None]
    added = (expit((DISTANCES - edges) / (0.2 * longest))).sum(axis=0)
    return np.asarray(DISTANCES + full * ((same - 1) * DISTANCES + (LONG - same * longest) * added))


@cache
def _tour_rows() -> tuple[PchipInterpolator, ...]:
    """Return the tour's strokes as a function of distance [m], one function for each `Lie`."""
    long = pd.read_csv(table("strokes_to_hole_out.csv"), comment="#")
    putts = pd.read_csv(table("putts_to_hole_out.csv"), comment="#")
    yards = long["distance_yd"].to_numpy(dtype=float)
    columns = {name: long[name].to_numpy(dtype=float) for name in ("fairway", "rough", "sand", "recovery")}
    # The table starts at 20 yd, for recovery at 100 yd: nearer, the gap to rough stays the same.
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
    """Return a monotone curve, continued beyond the table with the slope of the table's last third."""
    far = distance[-1] * 4
    third = int(np.searchsorted(distance, distance[-1] * 2 / 3))
    slope = (strokes[-1] - strokes[third]) / (distance[-1] - distance[third])
    return PchipInterpolator(
        np.append(distance, far), np.append(strokes, strokes[-1] + slope * (far - distance[-1]))
    )


# --- score distributions --------------------------------------------------------------------------

SHOT_SPREAD: Final = 0.45
"""Standard deviation [strokes] of what a tour player's full shot gains or loses. Chosen so that 17 or 18 in
100 birdie a plain par 4 that the tour plays in 4.05, as they do (common practice, from memory)."""

_SHORT: Final = 0.3  # strokes: a shot that leaves about one putt can gain or lose less than a full shot
_MOST_STROKES: Final = 30
_MEANS: Final = np.arange(1.0, 16.0, 0.05)
_POINTS: Final = (np.arange(64) + 0.5) / 64  # chances at which the outcome of a shot is taken

# Share of putts that the tour holes, by distance in feet (Broadie 2014, from memory). With the mean number of
# putts it gives the share of three putts, as nobody takes four.
_ONE_PUTT: Final = {
    2: 0.99, 3: 0.96, 4: 0.88, 5: 0.77, 6: 0.66, 7: 0.58, 8: 0.50, 9: 0.45, 10: 0.40, 15: 0.23, 20: 0.15,
    30: 0.07, 40: 0.04, 50: 0.03, 60: 0.02, 90: 0.01,
}  # fmt: skip


@dataclass(frozen=True)
class ChancesByMean:
    """Chance of each number of strokes to hole out, by expected strokes.

    `shares` has a row for each of `_MEANS` and a column for each number of strokes from 1.
    """

    shares: Floats

    def at(self, means: Floats) -> Floats:
        """Return the chance of each number of strokes, shape (len(means), numbers of strokes).

        The mean of each row is the one asked for.
        """
        return _between(self.shares, means)

    def cumulative(self, means: Floats, most: int) -> NDArray[np.float32]:
        """Return the chance of 1, 2, … `most` strokes or fewer, shape (len(means), `most`)."""
        return _between(np.cumsum(self.shares[:, :most], axis=1).astype(np.float32), means)

    def averaged(self, means: Floats) -> Floats:
        """Return the mean over `means`, all equally likely, of the chances at each."""
        return np.asarray(_weights(means) @ self.shares)


def _place(means: Floats) -> tuple[NDArray[np.int64], Floats]:
    """Return the step of `_MEANS` in which each of `means` lies, and how far along it."""
    place = np.clip((means - _MEANS[0]) / (_MEANS[1] - _MEANS[0]), 0, len(_MEANS) - 1.000001)
    below = place.astype(np.int64)
    return below, place - below


def _between(rows: Numbers, means: Floats) -> Numbers:
    """Return rows, given at `_MEANS`, interpolated at `means`."""
    below, upper = _place(means)
    low = rows[below]
    return low + upper[:, None].astype(rows.dtype) * (rows[below + 1] - low)


def _weights(means: Floats) -> Floats:
    """Return the weights of `_MEANS` in the average of values interpolated at `means`.

    The average is over the last axis of `means`; in the result, the axis of weights takes its place.
    """
    rows = means.reshape(-1, means.shape[-1])
    below, upper = _place(rows)
    at = below + len(_MEANS) * np.arange(len(rows))[:, None]
    n = len(_MEANS) * len(rows)
    total = np.bincount(at.ravel(), (1 - upper).ravel(), n) + np.bincount(at.ravel() + 1, upper.ravel(), n)
    return np.asarray(total.reshape(*means.shape[:-1], -1) / means.shape[-1])


def make_score_chances(skill: Skill) -> ChancesByMean:
    """Return the distribution of a golfer's strokes to hole out, by expected strokes.

    Notes
    -----
    On the green it follows from the tour's shares of one putt and of three putts with that mean. Elsewhere it
    follows from the next shot: from a place of m expected strokes it leaves V expected strokes, whose mean is
    m - 1, and so P(N ≤ n | m) = E[P(N ≤ n - 1 | V)]. V - 1 is lognormal. Its standard deviation is
    `SHOT_SPREAD` for a tour player's full shot, smaller near the hole, and proportional to the short-game
    factor. Between 2.1 and 2.5 expected strokes (long putts and short chips) the two are blended.

    Examples
    --------
    >>> tour = make_score_chances(Skill(length_ratio=1.0, short_game_factor=1.0))
    >>> one, two = tour.cumulative(np.array([3.07]), 2)[0]
    >>> f"a par 3 of 3.07 expected strokes: {two:.0%} score 2 or better"
    'a par 3 of 3.07 expected strokes: 14% score 2 or better'
    """
    m = _MEANS
    one, three = _putting(m)
    beyond_two = np.maximum(m - 2, 0.02)
    spread = SHOT_SPREAD * skill.short_game_factor * (1 - np.exp(-beyond_two / _SHORT))
    left = np.exp(np.sqrt(np.log1p((spread / beyond_two) ** 2))[:, None] * ndtri(_POINTS))
    leads_to = _weights(1 + left * (beyond_two / left.mean(axis=1))[:, None])
    played = np.clip((m - 2.1) / 0.4, 0, 1)
    within = np.ones((_MOST_STROKES, len(m)))  # P(N ≤ n), a row for each n from 1
    within[0] = (1 - played) * one
    for n in range(1, _MOST_STROKES - 1):
        putted = 1 - three if n == 1 else np.ones(len(m))
        within[n] = (1 - played) * putted + played * (leads_to @ within[n - 1])
    return ChancesByMean(np.diff(within, axis=0, prepend=0).T)


def score_distribution(skill: Skill, lie: Lie, distances: Floats) -> Floats:
    """Return the chance of each number of strokes to hole out from a lie at distances [m].

    Returns
    -------
    Array of shape (distances, numbers of strokes from 1).

    Examples
    --------
    >>> tour = Skill(length_ratio=1.0, short_game_factor=1.0)
    >>> putts = score_distribution(tour, Lie.GREEN, np.array([10 * FOOT]))[0]
    >>> f"one putt from 10 ft: {putts[0]:.0%}"
    'one putt from 10 ft: 40%'
    """
    return make_score_chances(skill).at(np.interp(distances, DISTANCES, make_strokes_table(skill)[lie]))


def _putting(means: Floats) -> tuple[Floats, Floats]:
    """Return the chances of one putt and of three putts, by the mean number of putts."""
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


def score_drives(lies: Lies) -> TeeStrokes:
    """Return the expected strokes from a tee whose drives end in `lies`.

    Raises
    ------
    ZeroDivisionError
        If every drive is out, so that the hole is never finished.

    Notes
    -----
    A drive that is out costs 2 + E, where E is the mean over all drives. A golfer with a choice of relief
    replays where 2 + E is less. So E solves E = mean(cost). The right-hand side is piecewise linear in E with
    a slope below 1, so Newton's method finds E in a few steps. Without a choice of relief
    E = m + 2p/(1 - p), where m is the mean over the drives in play and p the share out.

    Examples
    --------
    Three drives in play that cost 4, 4.5 and 5, and one out of bounds:

    >>> n = 4
    >>> lies = Lies(
    ...     x=np.zeros(n), y=np.zeros(n), finish=np.zeros(n, dtype=int), cost=np.array([4, 4.5, 5, np.inf]),
    ...     may_replay=np.array([False, False, False, True]), lost=np.zeros(n), lost_cost=np.full(n, np.inf),
    ... )
    >>> f"{score_drives(lies).expected:.3f} = {4.5 + 2 * 0.25 / 0.75:.3f}"
    '5.167 = 5.167'
    """
    cost, replayed = np.empty((2, len(lies.cost)))
    expected = kernel.solve(lies.cost, lies.may_replay, lies.lost, lies.lost_cost, cost, replayed)
    if expected == inf:
        raise ZeroDivisionError("every drive is out")
    return TeeStrokes(cost, expected, replayed)
