"""Strokes: what remains from where a drive finishes, for this golfer, and what a tee therefore costs."""

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final, Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, isotonic_regression

from holesim.relief import Lie, Lies
from holesim.units import FOOT, MPH, YARD

Floats = NDArray[np.float64]

GRID: Final = np.arange(0.0, 801.0)  # m from the hole, a metre apart

TOUR_SPEED: Final = 113 * MPH
"""Club speed that goes with the tour table: the men's average (radar, from memory)."""

DRIVE_PER_SPEED: Final = 285 * YARD / TOUR_SPEED
"""Length of a drive [m] for each m/s of club speed: the table's years drove it about 285 yd in all."""

NEAR: Final = 150 * YARD  # m; a full shot for all, or nearly

LOST_IN_TREES: Final = 0.04
LOST_IN_HEAVY_ROUGH: Final = 0.03
"""Share of balls not found within three minutes (Rule 18.2a): our assumption, no source."""


@dataclass(frozen=True)
class Skill:
    """How one golfer's strokes differ from the tour table's.

    `reach` is the distance the tour hits for each metre of this golfer's; `clumsiness` multiplies what
    the last 150 yd cost beyond the one stroke that would hole out.
    """

    reach: float
    clumsiness: float


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
    and never falling with distance. A golfer who hits the ball 1/`reach` as far meets at d what the tour
    meets at `reach`·d once full shots are needed, from 150 yd; inside 30 yd distance is the same for all.
    Clumsiness multiplies what the last 150 yd cost beyond one stroke; farther out length is what tells.
    """
    full = np.clip((GRID / YARD - 30) / (NEAR / YARD - 30), 0, 1)
    stretch = 1 + (skill.reach - 1) * full * full * (3 - 2 * full)
    rows = _tour_rows()
    table = np.stack([row(GRID * stretch) for row in rows])
    near = np.stack([row(np.minimum(GRID, NEAR)) for row in rows])
    table = np.maximum(table + (skill.clumsiness - 1) * (near - 1), 1)
    # On a green too long to putt across a ball may be chipped.
    table[Lie.GREEN] = np.minimum(table[Lie.GREEN], table[Lie.FAIRWAY])
    return np.asarray(table)


@cache
def _tour_rows() -> tuple[PchipInterpolator, ...]:
    """Return the tour's strokes as a function of metres for each `Lie`, in its order."""
    data = resources.files("holesim") / "data"
    long = pd.read_csv(str(data / "strokes_to_hole_out.csv"), comment="#")
    putts = pd.read_csv(str(data / "putts_to_hole_out.csv"), comment="#")
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
    """Return a monotone curve, carried on beyond the table along the slope of its last tenth."""
    far = distance[-1] * 4
    slope = (strokes[-1] - strokes[-4]) / (distance[-1] - distance[-4])
    return PchipInterpolator(
        np.append(distance, far), np.append(strokes, strokes[-1] + slope * (far - distance[-1]))
    )


# --- from the tour to any golfer ------------------------------------------------------------------


@dataclass(frozen=True)
class _Anchor:
    """The Course Rating System's golfers of one sex (The R&A and USGA), and the length they are met at.

    Ratings before obstacles, in yards: men's scratch rating is length/220 + 40.9, bogey length/160 + 50.7
    (the second from memory); women's length/180 + 40.1 and length/120 + 51.3 (from memory).
    """

    length: float  # yd
    scratch_rating: float
    bogey_rating: float
    bogey_handicap: float


_ANCHORS: Final = {
    "man": _Anchor(6600, 6600 / 220 + 40.9, 6600 / 160 + 50.7, 20),
    "woman": _Anchor(5600, 5600 / 180 + 40.1, 5600 / 120 + 51.3, 24),
}
# A rating is the mean of the better half of the scores, 0.8 of a standard deviation under the mean of
# all; a scratch golfer's rounds vary by about 3 strokes, a bogey golfer's by about 4.3 (common practice).
_ABOVE_RATING: Final = (0.8 * 3.0, 0.8 * 4.3)
# Eighteen plain holes as shares of the whole length: four par 3s, ten par 4s, four par 5s.
_PLAIN: Final = np.array([1.5, 1.7, 1.9, 2.1, *np.linspace(3.3, 4.4, 10), 4.9, 5.1, 5.3, 5.5])


def mean_score(handicap_index: float, sex: Literal["man", "woman"]) -> float:
    """Return the mean of all rounds on the anchor's plain course: a line through scratch and bogey."""
    a = _ANCHORS[sex]
    scratch, bogey = a.scratch_rating + _ABOVE_RATING[0], a.bogey_rating + _ABOVE_RATING[1]
    return scratch + (bogey - scratch) * handicap_index / a.bogey_handicap


def skill(handicap_index: float, club_speed: float, sex: Literal["man", "woman"]) -> Skill:
    """Return the skill of a golfer of that handicap and driver speed [m/s].

    Handicap sets the mean score on plain holes, and club speed how much of it is length: of two golfers of
    one handicap the longer is the clumsier. The tour table itself (reach 1, clumsiness 1) is that of a
    handicap of +3.9 on this scale: see `tour_handicap`.
    """
    reach = TOUR_SPEED / club_speed
    target = mean_score(handicap_index, sex)

    def excess(clumsiness: float) -> float:
        return plain_score(Skill(reach, clumsiness), club_speed, _ANCHORS[sex].length) - target

    return Skill(reach, float(brentq(excess, 0.3, 6.0, xtol=1e-10)))


def tour_handicap() -> float:
    """Return the handicap whose mean score on plain holes the tour table gives at the tour's speed."""
    score = plain_score(Skill(1.0, 1.0), TOUR_SPEED, _ANCHORS["man"].length)
    return float(brentq(lambda h: mean_score(h, "man") - score, -20, 20))


def plain_score(who: Skill, club_speed: float, length: float) -> float:
    """Return mean strokes for eighteen plain holes of `length` [yd] in all, by the table alone.

    Each longer hole is a drive of the golfer's length, three in five on the fairway, and what remains.
    """
    lengths = length * _PLAIN / _PLAIN.sum() * YARD
    table = remaining(who)
    left = np.maximum(lengths[4:] - DRIVE_PER_SPEED * club_speed, 20 * YARD)
    fairway, rough = (np.interp(left, GRID, table[lie]) for lie in (Lie.FAIRWAY, Lie.ROUGH))
    short = np.interp(lengths[:4], GRID, table[Lie.FAIRWAY])
    return float(short.sum() + (1 + 0.6 * fairway + 0.4 * rough).sum())


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
