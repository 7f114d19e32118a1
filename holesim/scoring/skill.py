"""Skill of a golfer, from handicap and club speed.

The Course Rating System (The R&A and USGA) says how far a scratch and a bogey golfer of each sex hit the ball
and what they score. A golfer's skill is the one that gives the score of their handicap on plain holes.
"""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from holesim.course.course import Ground
from holesim.course.ground_map import GroundMap, plain, strip
from holesim.course.holes import Sex
from holesim.player.make_player import standard_player
from holesim.player.player import Strike
from holesim.scoring import shot_dispersion, strokes_table
from holesim.scoring.ratings import TeeRating, rate_length
from holesim.shot.air import make_air
from holesim.shot.bounce import Finishes, run
from holesim.shot.deliveries import make_draws, mean_delivery, sample
from holesim.shot.flight import fly, to_hole_frame
from holesim.shot.impact import choose_head, impact
from holesim.shot.relief import Lie
from holesim.units import MPH, YARD

Floats = NDArray[np.float64]

TOUR_SPEED: Final = 113 * MPH
"""Club speed of the tour's strokes table: the average of the men's tour (radar, from memory)."""

FAIRWAY_WIDTH: Final = 30 * YARD
"""Fairway width of a plain hole: about that of a tour fairway where drives land (common practice)."""

# Relative lengths of eighteen plain holes: four par 3s, ten par 4s, four par 5s.
_PLAIN: Final = np.array([1.5, 1.7, 1.9, 2.1, *np.linspace(3.3, 4.4, 10), 4.9, 5.1, 5.3, 5.5])
_SHORT_HOLES: Final = 4
_DRAWS: Final = 512


@dataclass(frozen=True)
class _Anchor:
    """The Course Rating System's scratch and bogey golfer of one sex on a plain course of one length [yd].

    `drives` are the total of a scratch and of a bogey golfer's drive [yd].

    Notes
    -----
    The slope rating says what index a bogey golfer has. On a course of slope 113 the better half of a bogey
    man's scores is 113/5.381 = 21.0 strokes above the course rating, and a bogey woman's 113/4.24 = 26.7.
    When these factors were set an index was 0.96 of that (USGA Handicap System, from memory): 20.2 and 25.6.
    For men that is the Course Rating System's "about 20". By its "about 24" for women, a woman of 24 would
    score 2.7 strokes more than her index times the slope over 113.
    """

    length: float
    rated: TeeRating
    bogey_handicap: float
    drives: tuple[float, float]


_ANCHORS: Final[dict[Sex, _Anchor]] = {
    "man": _Anchor(6600, rate_length(6600, "man"), 20, (250, 200)),
    "woman": _Anchor(5600, rate_length(5600, "woman"), 0.96 * 113 / 4.24, (210, 150)),
}


def plain_hole_lengths(length: float) -> Floats:
    """Return the lengths [m] of eighteen plain holes, shortest first, whose total is `length` [yd]."""
    return np.asarray(length * _PLAIN / _PLAIN.sum() * YARD)


def better_half_score(handicap_index: float, sex: Sex) -> float:
    """Return the mean score of the better half of a golfer's rounds on the anchor's plain course.

    It is linear in the index, through scratch and bogey: by the World Handicap System the better rounds lie
    above the course rating by the index times the slope over 113.
    """
    a = _ANCHORS[sex]
    scratch, bogey = a.rated.scratch, a.rated.bogey
    return scratch + (bogey - scratch) * handicap_index / a.bogey_handicap


def usual_club_speed(handicap_index: float, sex: Sex) -> float:
    """Return the driver speed [m/s] that goes with a handicap index.

    It is linear in the index, through the speeds whose level drive without errors goes as far as a scratch
    and a bogey golfer's drive (Course Rating System).

    Examples
    --------
    >>> round(usual_club_speed(0, "man") / MPH), round(usual_club_speed(20, "man") / MPH)
    (98, 81)
    """
    scratch, bogey = _rated_speeds(sex)
    return scratch + (bogey - scratch) * handicap_index / _ANCHORS[sex].bogey_handicap


@cache
def _rated_speeds(sex: Sex) -> tuple[float, float]:
    """Return the driver speeds [m/s] of the scratch and of the bogey golfer of one sex."""
    a = _ANCHORS[sex]

    def speed(handicap_index: float, drive: float) -> float:
        def excess(club_speed: float) -> float:
            strike = standard_player(handicap_index, club_speed, sex).driver("level")
            launches = impact(mean_delivery(strike), choose_head("driver", club_speed), side=1.0)
            landings, _ = fly(launches, make_air())
            return float(run(landings, plain(Ground.FAIRWAY)).x[0]) - drive * YARD

        return float(brentq(excess, 45 * MPH, 125 * MPH, xtol=1e-3))

    scratch, bogey = a.drives
    return speed(0, scratch), speed(a.bogey_handicap, bogey)


@cache
def find_skill(handicap_index: float, club_speed: float, sex: Sex) -> strokes_table.Skill:
    """Return the skill of a golfer, from handicap and driver speed [m/s].

    The handicap sets the score on plain holes, and the club speed sets how much of it comes from length. Of
    two golfers with one handicap, the longer hitter has the worse short game.

    Raises
    ------
    ValueError
        If no short-game factor gives that score at that speed.

    Notes
    -----
    The tour's skill (length ratio 1, short-game factor 1) is that of a handicap of about +4: see
    `tour_handicap`.

    Examples
    --------
    >>> find_skill(10, 110 * MPH, "man").short_game_factor > find_skill(10, 90 * MPH, "man").short_game_factor
    True
    """
    drives = plain_drives(handicap_index, club_speed, sex)
    length_ratio = TOUR_SPEED / club_speed
    target = better_half_score(handicap_index, sex)

    def excess(short_game_factor: float) -> float:
        who = strokes_table.Skill(length_ratio, short_game_factor)
        return better_half_mean(_table_chances(who, drives, _ANCHORS[sex].length)) - target

    return strokes_table.Skill(length_ratio, float(brentq(excess, 0.3, 6.0, xtol=1e-6)))


@cache
def find_dispersion_skill(
    handicap_index: float, club_speed: float, sex: Sex
) -> shot_dispersion.DispersionSkill:
    """Return the dispersion skill of a golfer, from handicap and driver speed [m/s].

    On plain holes it gives the same score as `find_skill`.

    Raises
    ------
    ValueError
        If no dispersion ratio gives that score at that speed.
    """
    who, drives = find_skill(handicap_index, club_speed, sex), plain_drives(handicap_index, club_speed, sex)
    length = _ANCHORS[sex].length
    score = round_mean(strokes_table.make_strokes_table(who), drives, length)

    def excess(dispersion_ratio: float) -> float:
        table = shot_dispersion.plain_hole_table(
            shot_dispersion.DispersionSkill(who.length_ratio, dispersion_ratio)
        )
        return round_mean(table, drives, length) - score

    return shot_dispersion.DispersionSkill(who.length_ratio, float(brentq(excess, 0.4, 6.0, xtol=1e-4)))


@cache
def tour_handicap() -> float:
    """Return the handicap whose score on plain holes the tour has, at the tour's club speed."""

    def excess(handicap_index: float) -> float:
        drives = plain_drives(handicap_index, TOUR_SPEED, "man")
        chance = _table_chances(strokes_table.Skill(1.0, 1.0), drives, _ANCHORS["man"].length)
        return better_half_mean(chance) - better_half_score(handicap_index, "man")

    return float(brentq(excess, -10, 5, xtol=1e-3))


@dataclass(frozen=True)
class PlainDrives:
    """Where drives stop on a plain hole: along it and right of its middle [m], and whether on the fairway."""

    along: Floats
    side: Floats
    fairway: NDArray[np.bool_]


def plain_drives(
    handicap_index: float, club_speed: float, sex: Sex, *, draws: int = _DRAWS, seed: int = 1
) -> PlainDrives:
    """Return level drives of an ordinary golfer on a plain hole longer than any of them."""
    strike = standard_player(handicap_index, club_speed, sex).driver("level")
    finishes = fly_drives(strip(FAIRWAY_WIDTH, 600.0), strike, draws=draws, seed=seed)
    return PlainDrives(finishes.y, finishes.x, finishes.ground == Ground.FAIRWAY)


def fly_drives(ground: GroundMap, strike: Strike, *, draws: int, seed: int) -> Finishes:
    """Return where a right-hander's drives stop: from the origin to the north, in calm air."""
    club = choose_head("driver", strike.club_speed)
    spin = float(impact(mean_delivery(strike), club, side=1.0).spin[0])
    points = make_draws(draws, 1, np.random.default_rng(seed))
    launches = impact(sample(strike, points, spin=spin, mean_spin=spin), club, side=1.0)
    landings, _ = to_hole_frame(*fly(launches, make_air()), heading=0.0, origin=(0.0, 0.0))
    return run(landings, ground)


def means_after_drives(table: Floats, drives: PlainDrives, length: float) -> Floats:
    """Return the expected strokes after each drive on a plain hole of `length` [m]."""
    left = np.hypot(length - drives.along, drives.side)
    fairway, rough = (
        np.interp(left, strokes_table.DISTANCES, table[lie]) for lie in (Lie.FAIRWAY, Lie.ROUGH)
    )
    return np.asarray(np.where(drives.fairway, fairway, rough))


def _plain_holes(table: Floats, drives: PlainDrives, length: float) -> list[tuple[int, Floats]]:
    """Return, for each of eighteen plain holes, the number of drives and the expected strokes after them.

    A par 3 has no drive: it is played from a fairway lie. A longer hole has one, any of `drives`.
    """
    holes: list[tuple[int, Floats]] = []
    for number, metres in enumerate(plain_hole_lengths(length)):
        if number < _SHORT_HOLES:
            holes.append((0, np.interp([metres], strokes_table.DISTANCES, table[Lie.FAIRWAY])))
        else:
            holes.append((1, means_after_drives(table, drives, metres)))
    return holes


def round_mean(table: Floats, drives: PlainDrives, length: float) -> float:
    """Return the mean score on eighteen plain holes whose total length is `length` [yd]."""
    return float(sum(before + means.mean() for before, means in _plain_holes(table, drives, length)))


def round_chances(
    table: Floats, chances_by_mean: strokes_table.ChancesByMean, drives: PlainDrives, length: float
) -> Floats:
    """Return the chance of each score from 0 up on eighteen plain holes of total `length` [yd]."""
    total = np.ones(1)
    for before, means in _plain_holes(table, drives, length):
        total = np.convolve(total, np.r_[np.zeros(before + 1), chances_by_mean.averaged(means)])
    return total


def _table_chances(who: strokes_table.Skill, drives: PlainDrives, length: float) -> Floats:
    return round_chances(
        strokes_table.make_strokes_table(who), strokes_table.make_score_chances(who), drives, length
    )


def better_half_mean(chance: Floats) -> float:
    """Return the mean of the better half of scores, from the chance of each score from 0 up."""
    share = np.clip(0.5 - (np.cumsum(chance) - chance), 0, chance)
    return float(share @ np.arange(len(chance)) / 0.5)
