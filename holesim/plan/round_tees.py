"""The tees of a round: which holes, and from where."""

import re
from collections.abc import Iterable
from typing import Final, Literal

from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError, rather
from holesim.player.player import Player

Places = list[tuple[Hole, Tee]]

_MEANT_FOR: Final = {
    "woman": re.compile(r"\b(wom[ae]n|lad(y|ies)|female)", re.IGNORECASE),
    "man": re.compile(r"\b(m[ae]n|gents?|gentlem[ae]n|male)\b", re.IGNORECASE),
}
"""Names of tees that say for whom they are: common practice, no source. Colours do not say it."""


def find_tees(course: Course, holes: Iterable[int] | None, tees: Iterable[str] | None) -> Places:
    """Return the holes and tees asked for, by number and name: every hole, from its longest tee, by default.

    Raises
    ------
    InputError
        If one is not on the course.
    """
    asked = _find_holes(course, holes)
    names = list(dict.fromkeys(tees or ()))
    on_course = tee_names(course)
    for name in names:
        if name not in on_course:
            remedy = rather(name, on_course, f"its tees are {', '.join(on_course)}")
            raise InputError(course.file, "", f"has no {name} tee", remedy)
    found: Places = []
    for hole in asked:
        chosen = [t for t in hole.tees if t.name in names] if names else [hole.tees[0]]
        found += [(hole, tee) for tee in chosen]
    if not found:
        raise InputError(
            course.file, "", f"has no {' or '.join(names)} tee on these holes", "ask for another"
        )
    return found


def find_own_tees(
    course: Course, player: Player, holes: Iterable[int] | None, tees: Iterable[str] | None
) -> Places:
    """Return the holes and tees as `find_tees` does, by default from the tees that the player's file names.

    Raises
    ------
    InputError
        If a hole or tee is not on the course.
    """
    names = list(tees or ())
    if names or player.tee is None:
        return find_tees(course, holes, names)
    return [(hole, own_tee(course, hole, player)) for hole in _find_holes(course, holes)]


def own_tee(course: Course, hole: Hole, player: Player) -> Tee:
    """Return the tee that a player's file names, or the longest where it names none.

    Raises
    ------
    InputError
        If the hole has no such tee.
    """
    if player.tee is None:
        return hole.tees[0]
    return named_tee(course, hole, player.tee, file=player.file, place="tee")


def named_tee(course: Course, hole: Hole, name: str, *, file: str, place: str) -> Tee:
    """Return the tee of a hole that a file names, at a place in it.

    Raises
    ------
    InputError
        If the hole has no such tee.
    """
    for tee in hole.tees:
        if tee.name == name:
            return tee
    problem = f"hole {hole.number} of {course.file} has no {name} tee"
    raise InputError(file, place, problem, f"its tees are {', '.join(t.name for t in hole.tees)}")


def tees_meant_for(course: Course, sex: Literal["man", "woman"]) -> str | None:
    """Return the longest tees whose name says that they are for that sex, if every hole has them."""
    for name in tee_names(course):
        if _MEANT_FOR[sex].search(name) and all(name in [t.name for t in h.tees] for h in course.holes):
            return name
    return None


def tee_names(course: Course) -> list[str]:
    """Return the names of a course's tees, the longest of the first hole first."""
    return list(dict.fromkeys(tee.name for hole in course.holes for tee in hole.tees))


def _find_holes(course: Course, holes: Iterable[int] | None) -> list[Hole]:
    """Return the holes of these numbers, or all."""
    by_number = {hole.number: hole for hole in course.holes}
    numbers = list(by_number) if holes is None else list(dict.fromkeys(holes))
    for number in numbers:
        if number not in by_number:
            span = f"{min(by_number)} to {max(by_number)}"
            raise InputError(course.file, "", f"has no hole {number}", f"its holes are {span}")
    return [by_number[number] for number in numbers]
