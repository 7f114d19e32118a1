"""Rating: what a golfer scores on plain holes, and the skill that makes it so.

The Course Rating System (The R&A and USGA) knows a scratch and a bogey golfer of each sex by how far they
hit it and what they score. They anchor everyone else.
"""

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from holesim.course.course import Ground
from holesim.course.ground_map import GroundMap, strip
from holesim.player.make_player import standard_player
from holesim.player.player import Strike
from holesim.scoring import dispersion, strokes_table
from holesim.shot.air import make_air
from holesim.shot.bounce import Finishes, run
from holesim.shot.deliveries import make_draws, nominal, sample
from holesim.shot.flight import fly, turned
from holesim.shot.impact import head, impact
from holesim.shot.relief import Lie
from holesim.units import MPH, YARD

Floats = NDArray[np.float64]
Sex = Literal["man", "woman"]

TOUR_SPEED: Final = 113 * MPH
"""Club speed that goes with the tour table: the men's average (radar, from memory)."""

FAIRWAY: Final = 30 * YARD
"""Width of a plain hole's fairway: about a tour fairway's where drives land (common practice)."""

# Eighteen plain holes as shares of the whole length: four par 3s, ten par 4s, four par 5s.
_PLAIN: Final = np.array([1.5, 1.7, 1.9, 2.1, *np.linspace(3.3, 4.4, 10), 4.9, 5.1, 5.3, 5.5])
_SHORT_HOLES: Final = 4
_DRAWS: Final = 512


@dataclass(frozen=True)
class _Anchor:
    """The Course Rating System's golfers of one sex, and the length they are met at.

    Ratings before obstacles, in yards: men's scratch rating is length/220 + 40.9, bogey length/160 + 50.7
    (the second from memory); women's length/180 + 40.1 and length/120 + 51.3 (from memory).
    """

    length: float  # yd
    scratch_rating: float
    bogey_rating: float
    bogey_handicap: float


_ANCHORS: Final[dict[Sex, _Anchor]] = {
    "man": _Anchor(6600, 6600 / 220 + 40.9, 6600 / 160 + 50.7, 20),
    "woman": _Anchor(5600, 5600 / 180 + 40.1, 5600 / 120 + 51.3, 24),
}


def plain_lengths(length: float) -> Floats:
    """Return the lengths [m] of eighteen plain holes of `length` [yd] in all, shortest first."""
    return np.asarray(length * _PLAIN / _PLAIN.sum() * YARD)


def rating(handicap_index: float, sex: Sex) -> float:
    """Return the mean of the better half of a golfer's rounds on the anchor's plain course.

    It is a line through scratch and bogey: by the World Handicap System the better rounds lie above
    the course rating by the index times the slope over 113.
    """
    a = _ANCHORS[sex]
    return a.scratch_rating + (a.bogey_rating - a.scratch_rating) * handicap_index / a.bogey_handicap


@cache
def find_skill(handicap_index: float, club_speed: float, sex: Sex) -> strokes_table.Skill:
    """Return the skill of a golfer of that handicap and driver speed [m/s].

    Handicap sets the scores on plain holes, and club speed how much of them is length: of two golfers of
    one handicap the longer is the clumsier. The tour table itself (reach 1, clumsiness 1) is that of a
    handicap of about +4 on this scale: see `tour_handicap`.

    Raises
    ------
    ValueError
        If no clumsiness gives such scores at such a speed.
    """
    drives = plain_drives(handicap_index, club_speed, sex)
    length_ratio = TOUR_SPEED / club_speed
    target = rating(handicap_index, sex)

    def excess(short_game_factor: float) -> float:
        who = strokes_table.Skill(length_ratio, short_game_factor)
        return better_half(_table_chances(who, drives, _ANCHORS[sex].length)) - target

    return strokes_table.Skill(length_ratio, float(brentq(excess, 0.3, 6.0, xtol=1e-6)))


@cache
def find_dispersion_skill(handicap_index: float, club_speed: float, sex: Sex) -> dispersion.DispersionSkill:
    """Return the shots off the ground of a golfer of that handicap and driver speed [m/s].

    On plain holes they lead to the scores that `skill` does.

    Raises
    ------
    ValueError
        If nothing gives such scores at such a speed.
    """
    who, drives = find_skill(handicap_index, club_speed, sex), plain_drives(handicap_index, club_speed, sex)
    length = _ANCHORS[sex].length
    score = round_mean(strokes_table.remaining(who), drives, length)

    def excess(dispersion_ratio: float) -> float:
        table = dispersion.on_plain_holes(dispersion.DispersionSkill(who.length_ratio, dispersion_ratio))
        return round_mean(table, drives, length) - score

    return dispersion.DispersionSkill(who.length_ratio, float(brentq(excess, 0.4, 6.0, xtol=1e-4)))


@cache
def tour_handicap() -> float:
    """Return the handicap whose better rounds on plain holes the tour table gives at the tour's speed."""

    def excess(handicap_index: float) -> float:
        drives = plain_drives(handicap_index, TOUR_SPEED, "man")
        chance = _table_chances(strokes_table.Skill(1.0, 1.0), drives, _ANCHORS["man"].length)
        return better_half(chance) - rating(handicap_index, "man")

    return float(brentq(excess, -10, 5, xtol=1e-3))


@dataclass(frozen=True)
class PlainDrives:
    """Where drives rest on a plain hole [m]: along it, right of its middle, and whether on the fairway."""

    along: Floats
    side: Floats
    fairway: NDArray[np.bool_]


def plain_drives(
    handicap_index: float, club_speed: float, sex: Sex, *, draws: int = _DRAWS, seed: int = 1
) -> PlainDrives:
    """Return the level drives of an ordinary golfer on a plain hole that is longer than any of them."""
    strike = standard_player(handicap_index, club_speed, sex).driver("level")
    finishes = drives_on(strip(FAIRWAY, 600.0), strike, draws=draws, seed=seed)
    return PlainDrives(finishes.y, finishes.x, finishes.ground == Ground.FAIRWAY)


def drives_on(ground: GroundMap, strike: Strike, *, draws: int, seed: int) -> Finishes:
    """Return where a right-hander's drives along a plain hole rest, in calm air, from the origin north."""
    club = head("driver", strike.club_speed)
    spin = float(impact(nominal(strike), club, side=1.0).spin[0])
    points = make_draws(draws, 1, np.random.default_rng(seed))
    launches = impact(sample(strike, points, spin=spin, mean_spin=spin), club, side=1.0)
    landings, _ = turned(*fly(launches, make_air()), heading=0.0, origin=(0.0, 0.0))
    return run(landings, ground)


def hole_means(table: Floats, drives: PlainDrives, length: float) -> Floats:
    """Return the mean strokes that remain after each drive on a plain hole of `length` [m]."""
    left = np.hypot(length - drives.along, drives.side)
    fairway, rough = (np.interp(left, strokes_table.GRID, table[lie]) for lie in (Lie.FAIRWAY, Lie.ROUGH))
    return np.asarray(np.where(drives.fairway, fairway, rough))


def _plain_holes(table: Floats, drives: PlainDrives, length: float) -> list[tuple[int, Floats]]:
    """Return, for each of eighteen plain holes, the drives counted and what may remain after them.

    A par 3 is played from a fairway lie; each longer hole with one of `drives` and what it leaves.
    """
    holes: list[tuple[int, Floats]] = []
    for number, metres in enumerate(plain_lengths(length)):
        if number < _SHORT_HOLES:
            holes.append((0, np.interp([metres], strokes_table.GRID, table[Lie.FAIRWAY])))
        else:
            holes.append((1, hole_means(table, drives, metres)))
    return holes


def round_mean(table: Floats, drives: PlainDrives, length: float) -> float:
    """Return the mean score over eighteen plain holes of `length` [yd] in all."""
    return float(sum(before + means.mean() for before, means in _plain_holes(table, drives, length)))


def round_chances(
    table: Floats, chances_by_mean: strokes_table.Chances, drives: PlainDrives, length: float
) -> Floats:
    """Return the chance of each score from 0 up over eighteen plain holes of `length` [yd] in all."""
    total = np.ones(1)
    for before, means in _plain_holes(table, drives, length):
        total = np.convolve(total, np.r_[np.zeros(before + 1), chances_by_mean.pooled(means)])
    return total


def _table_chances(who: strokes_table.Skill, drives: PlainDrives, length: float) -> Floats:
    return round_chances(strokes_table.remaining(who), strokes_table.chances(who), drives, length)


def better_half(chance: Floats) -> float:
    """Return the mean of the better half of scores whose chances from 0 up are given."""
    share = np.clip(0.5 - (np.cumsum(chance) - chance), 0, chance)
    return float(share @ np.arange(len(chance)) / 0.5)
