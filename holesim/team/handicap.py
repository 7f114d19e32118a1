"""Handicaps: the strokes that a player or a pair receives on each hole, by the Rules of Handicapping.

The Rules of Handicapping (The R&A and USGA, 2024), from memory: 6.1 course handicap, 6.2 playing handicap,
appendix C the allowances, appendix E the stroke index.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final, Literal

import numpy as np

from holesim.course.holes import ROUND

Format = Literal["stroke", "singles", "four-ball", "foursomes", "greensomes"]

NEUTRAL_SLOPE: Final = 113  # of a course of standard difficulty

Allowance = float | tuple[float, float]
"""The share of a handicap that counts in a format. With one ball it is the share of the sum of the pair's two
course handicaps, or the shares of the lower and of the higher."""

STROKE_ALLOWANCES: Final[dict[Format, Allowance]] = {
    "stroke": 0.95,
    "four-ball": 0.85,
    "foursomes": 0.50,
    "greensomes": (0.60, 0.40),
}
"""Usual allowances in stroke play (appendix C)."""

MATCH_ALLOWANCES: Final[dict[Format, Allowance]] = {
    "singles": 1.00,
    "four-ball": 0.90,
    "foursomes": 0.50,
    "greensomes": (0.60, 0.40),
}
"""Usual allowances in matches (appendix C)."""

RULED_TEAM: Final = 4  # players of a team whose allowance the Rules of Handicapping state
TEAM_ALLOWANCES: Final = {1: 0.75, 2: 0.85, 3: 1.00, 4: 1.00}
"""Usual allowance in a team of four, by the number of scores that count (appendix C)."""


@dataclass(frozen=True)
class Rating:
    """The difficulty of a set of tees: course rating, slope rating and par."""

    course: float
    slope: float
    par: int


def course_handicap(index: float, rating: Rating, holes: int = ROUND) -> float:
    """Return a course handicap, unrounded (6.1a).

    Over fewer holes than 18 the index counts by their share (6.1b for nine); the rating is that of the holes
    played.

    Examples
    --------
    >>> course_handicap(10.0, Rating(course=72.0, slope=113, par=71))
    11.0
    """
    return index * holes / ROUND * rating.slope / NEUTRAL_SLOPE + rating.course - rating.par


def index_from_score(score: float, rating: Rating) -> float:
    """Return the handicap index that a round's score is worth, in normal conditions (5.1a)."""
    return (score - rating.course) * NEUTRAL_SLOPE / rating.slope


def playing_handicap(course: float, allowance: float) -> int:
    """Return a playing handicap, a half rounded upwards (6.2)."""
    # Binary rounding may leave a sum of decimals just short of a half.
    return floor(round(course * allowance, 6) + 0.5)


def shares_of_pair(first: float, second: float, allowance: Allowance) -> tuple[float, float]:
    """Return the shares that count of the course handicaps of two players with one ball.

    Examples
    --------
    >>> shares_of_pair(18.0, 10.0, (0.6, 0.4))
    (0.4, 0.6)
    >>> shares_of_pair(18.0, 10.0, 0.5)
    (0.5, 0.5)
    """
    lower, higher = (allowance, allowance) if isinstance(allowance, float) else allowance
    return (lower, higher) if first <= second else (higher, lower)


def pair_handicap(first: float, second: float, allowance: Allowance) -> int:
    """Return the playing handicap of a pair with one ball, from its two course handicaps.

    Examples
    --------
    >>> pair_handicap(18.0, 10.0, (0.6, 0.4))  # 6 and 7.2
    13
    >>> pair_handicap(10.0, 17.0, 0.5)  # half of 27
    14
    """
    one, other = shares_of_pair(first, second, allowance)
    return playing_handicap(one * first + other * second, 1.0)


def team_allowance(count: int, players: int) -> float:
    """Return the usual allowance in team stroke play, where the best `count` of so many scores count.

    Notes
    -----
    Of four players it is that of appendix C. For other teams it goes by the share of scores that count,
    linear between those of four, rounded to a hundredth: our assumption.

    Examples
    --------
    >>> team_allowance(2, 4), team_allowance(3, 8), team_allowance(1, 6)
    (0.85, 0.8, 0.75)
    """
    shares, allowances = [scores / RULED_TEAM for scores in TEAM_ALLOWANCES], list(TEAM_ALLOWANCES.values())
    return round(float(np.interp(count / players, shares, allowances)), 2)


@dataclass(frozen=True, kw_only=True)
class PlayingHandicap:
    """The playing handicap of a player, or of a pair with one ball, and how it comes about.

    Attributes
    ----------
    names
        Of the player, or of the pair.
    course
        The course handicap of each, unrounded.
    shares
        The share of each that counts.
    playing
        The handicap strokes of the round in stroke play. In a match the difference to the lowest counts.
    """

    names: tuple[str, ...]
    course: tuple[float, ...]
    shares: tuple[float, ...]
    playing: int


def strokes_by_hole(handicap: int, stroke_indices: Mapping[int, int]) -> dict[int, int]:
    """Return the strokes received on each hole; strokes given back are negative.

    Parameters
    ----------
    stroke_indices
        By hole; the hole with the lowest is the first to receive a stroke.

    Notes
    -----
    Strokes are received from the lowest stroke index on, and again once every hole has one; a plus handicap
    gives them back from the highest on (appendix E).

    Examples
    --------
    >>> strokes_by_hole(4, {1: 2, 2: 3, 3: 1})
    {3: 2, 1: 1, 2: 1}
    """
    order = sorted(stroke_indices, key=lambda hole: stroke_indices[hole], reverse=handicap < 0)
    every, further = divmod(abs(handicap), len(order))
    sign = 1 if handicap >= 0 else -1
    return {hole: sign * (every + (place < further)) for place, hole in enumerate(order)}


def off_the_lowest(handicaps: Sequence[int]) -> tuple[int, ...]:
    """Return the strokes received in a match, where the lowest handicap plays off nought (appendix C)."""
    return tuple(handicap - min(handicaps) for handicap in handicaps)
