"""Stroke indices: handicap strokes fall by them, so that no two holes of a round may have the same."""

from typing import Final

from holesim.course.course import Course
from holesim.course.holes import ROUND, Sex
from holesim.errors import InputError

GROUPS: Final[dict[Sex, str]] = {"man": "men", "woman": "women"}
"""What the golfers of each sex are called."""


def check_stroke_indices(course: Course) -> None:
    """Make sure that no two holes have the same stroke index for men, or for women.

    Holes without one do not count, and neither do courses of more than a round.

    Raises
    ------
    InputError
        If two have.
    """
    if len(course.holes) <= ROUND:
        for sex in GROUPS:
            check_different(course, sex)


def check_complete(course: Course, sex: Sex) -> None:
    """Make sure that every hole has a stroke index of its own for one sex.

    Raises
    ------
    InputError
        If one has none, or two have the same.
    """
    for hole in course.holes:
        if hole.stroke_index_of(sex) is None:
            problem = f"has no stroke index{_for(course, sex)}, which net play needs"
            raise InputError(course.file, f"hole {hole.number}", problem, "add its handicap key")
    check_different(course, sex)


def check_different(course: Course, sex: Sex) -> None:
    """Make sure that no two holes have the same stroke index for one sex; holes without one do not count.

    Raises
    ------
    InputError
        If two have.
    """
    seen = dict[int, int]()
    for hole in course.holes:
        index = hole.stroke_index_of(sex)
        if index is None:
            continue
        if index in seen:
            problem = f"has the same stroke index{_for(course, sex)} as hole {seen[index]}, {index}"
            raise InputError(course.file, f"hole {hole.number}", problem, "correct one of them")
        seen[index] = hole.number


def _for(course: Course, sex: Sex) -> str:
    """Return for whom a stroke index is, where anyone has one of their own."""
    apart = any(hole.own(each).stroke_index for hole in course.holes for each in GROUPS)
    return f" for {GROUPS[sex]}" if apart else ""
