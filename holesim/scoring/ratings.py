"""What the Course Rating System gives a set of tees by their length alone, and what obstacles may add.

Men's scratch rating, the slope rating and what scratch and bogey golfers are: Course Rating System (The R&A
and USGA). Bogey and women's ratings, and the formulas for obstacles: the same, from memory.
"""

from dataclasses import dataclass
from typing import Final

from holesim.course.holes import Sex

OBSTACLE_POINTS: Final = (35.0, 70.0)
"""Weighted points that a course's obstacles get, from few to many: our assumption. About 44 add nothing."""


@dataclass(frozen=True)
class TeeRating:
    """The ratings of a set of tees for one sex: the better half of a scratch and a bogey golfer's scores."""

    scratch: float
    bogey: float
    slope_factor: float

    @property
    def slope(self) -> float:
        """The slope rating."""
        return self.slope_factor * (self.bogey - self.scratch)


@dataclass(frozen=True)
class RatingRange:
    """The course and slope ratings that tees may have, from least to most."""

    course: tuple[float, float]
    slope: tuple[float, float]

    def holds(self, course: float, slope: float) -> bool:
        """Return whether a course rating and a slope rating are both within range."""
        low, high = self.course
        least, most = self.slope
        return low <= course <= high and least <= slope <= most


@dataclass(frozen=True)
class _Lengths:
    """Yards for a stroke and the rating at no length, for a scratch and for a bogey golfer of one sex."""

    scratch: tuple[float, float]
    bogey: tuple[float, float]
    slope_factor: float


_LENGTHS: Final[dict[Sex, _Lengths]] = {
    "man": _Lengths((220, 40.9), (160, 50.7), 5.381),
    "woman": _Lengths((180, 40.1), (120, 51.3), 4.24),
}


def rate_length(length: float, sex: Sex) -> TeeRating:
    """Return the ratings before obstacles of eighteen holes of a total length [yd].

    Examples
    --------
    >>> rated = rate_length(6390, "woman")
    >>> f"{rated.scratch:.1f}, slope {rated.slope:.0f}"
    '75.6, slope 123'
    """
    of = _LENGTHS[sex]
    scratch, bogey = (length / per_stroke + base for per_stroke, base in (of.scratch, of.bogey))
    return TeeRating(scratch, bogey, of.slope_factor)


def add_obstacles(rated: TeeRating, points: float) -> TeeRating:
    """Return ratings with what obstacles of so many weighted points add.

    Notes
    -----
    Strokes for obstacles are 0.11 a point less 4.9 for a scratch golfer, and 0.26 a point less 11.5 for a
    bogey golfer; the men's, taken for women too.
    """
    scratch, bogey = rated.scratch + 0.11 * points - 4.9, rated.bogey + 0.26 * points - 11.5
    return TeeRating(scratch, bogey, rated.slope_factor)


def rating_range(length: float, sex: Sex) -> RatingRange:
    """Return the course and slope ratings that tees of a total length [yd] may have with their obstacles.

    Examples
    --------
    >>> rating_range(6390, "woman").holds(74.1, 128)
    False
    """
    few, many = (add_obstacles(rate_length(length, sex), points) for points in OBSTACLE_POINTS)
    return RatingRange((few.scratch, many.scratch), (few.slope, many.slope))
