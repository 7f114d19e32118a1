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

ALLOWANCES: Final[dict[tuple[Format, bool], float]] = {
    ("stroke", False): 0.95,
    ("singles", True): 1.00,
    ("four-ball", False): 0.85,
    ("four-ball", True): 0.90,
}
"""Share of a course handicap that counts, by format and whether it is a match (appendix C)."""

BEST_OF_FOUR: Final = {1: 0.75, 2: 0.85, 3: 1.00, 4: 1.00}
"""Share that counts where so many scores of a team of four do (appendix C)."""

ONE_BALL: Final[dict[Format, tuple[float, float]]] = {"foursomes": (0.5, 0.5), "greensomes": (0.6, 0.4)}
"""Share of the lower and of the higher course handicap that makes a pair's (appendix C)."""


@dataclass(frozen=True)
class Rating:
    """How difficult a set of tees is: course rating, slope rating and par."""

    course: float
    slope: float
    par: int


def course_handicap(index: float, rating: Rating, holes: int = ROUND) -> float:
    """Return the strokes between a player and the course's par, unrounded (6.1a).

    Over fewer holes than a round an index counts for its share of them (6.1b for nine).
    """
    return index * holes / ROUND * rating.slope / NEUTRAL_SLOPE + rating.course - rating.par


def index_of(score: float, rating: Rating) -> float:
    """Return the handicap index to which a round's score is played, in normal conditions (5.1a)."""
    return (score - rating.course) * NEUTRAL_SLOPE / rating.slope


def playing_handicap(course: float, allowance: float) -> int:
    """Return a playing handicap, a half rounded upwards (6.2)."""
    # A sum of decimals may fall short of a half by nothing but binary.
    return floor(round(course * allowance, 6) + 0.5)


def pair_handicap(first: float, second: float, shares: tuple[float, float], allowance: float = 1.0) -> int:
    """Return the playing handicap of a pair with one ball, from its two course handicaps."""
    low, high = sorted((first, second))
    return playing_handicap(shares[0] * low + shares[1] * high, allowance)


def by_hole(handicap: int, indices: Mapping[int, int]) -> dict[int, int]:
    """Return the strokes received on each hole, less than none where they are given back.

    Parameters
    ----------
    indices
        Stroke index by hole; the lowest is the first to receive a stroke.

    Notes
    -----
    Strokes are received from the lowest index on, and again once every hole has one; a plus handicap gives
    them back from the highest index on (appendix E).
    """
    order = sorted(indices, key=lambda hole: indices[hole], reverse=handicap < 0)
    every, further = divmod(abs(handicap), len(order))
    sign = 1 if handicap >= 0 else -1
    return {hole: sign * (every + (place < further)) for place, hole in enumerate(order)}


def off_the_lowest(handicaps: Sequence[int]) -> tuple[int, ...]:
    """Return what each receives in a match, where the lowest plays off nought (appendix C)."""
    return tuple(handicap - min(handicaps) for handicap in handicaps)
