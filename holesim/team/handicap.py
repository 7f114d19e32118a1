"""Handicaps: the strokes that a player or a pair receives on each hole, by the Rules of Handicapping.

The World Handicap System's Rules of Handicapping (The R&A and USGA, 2024): 6.1 course handicap, 6.2 playing
handicap, appendix C the allowances, appendix E the stroke index; from memory.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Final, Literal

from holesim.course.holes import ROUND

Format = Literal["stroke", "singles", "four-ball", "foursomes", "greensomes"]

NEUTRAL_SLOPE: Final = 113  # of a course of standard difficulty

STROKE_ALLOWANCES: Final[dict[Format, float]] = {
    "stroke": 0.95,
    "four-ball": 0.85,
    "foursomes": 1.00,
    "greensomes": 1.00,
}
"""Share of a course handicap, or of a pair's with one ball, that counts in stroke play (appendix C)."""

MATCH_ALLOWANCES: Final[dict[Format, float]] = {
    "singles": 1.00,
    "four-ball": 0.90,
    "foursomes": 1.00,
    "greensomes": 1.00,
}
"""Share that counts in a match (appendix C)."""

BEST_OF_FOUR: Final = {1: 0.75, 2: 0.85, 3: 1.00, 4: 1.00}
"""Share that counts in a team of four, by the number of scores that count (appendix C)."""

PAIR_SHARES: Final[dict[Format, tuple[float, float]]] = {"foursomes": (0.5, 0.5), "greensomes": (0.6, 0.4)}
"""Shares of the lower and of the higher course handicap in that of a pair with one ball (appendix C)."""


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


def pair_handicap(first: float, second: float, shares: tuple[float, float], allowance: float = 1.0) -> int:
    """Return the playing handicap of a pair with one ball, from its two course handicaps."""
    low, high = sorted((first, second))
    return playing_handicap(shares[0] * low + shares[1] * high, allowance)


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
