"""The tees of a round: which holes, and from where."""

from collections.abc import Iterable

from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError, rather


def find_tees(
    course: Course, holes: Iterable[int] | None, tees: Iterable[str] | None
) -> list[tuple[Hole, Tee]]:
    """Return the holes and tees asked for, by number and name: every hole, from its longest tee, by default.

    Raises
    ------
    InputError
        If one is not on the course.
    """
    by_number = {hole.number: hole for hole in course.holes}
    numbers = list(by_number) if holes is None else list(dict.fromkeys(holes))
    for number in numbers:
        if number not in by_number:
            span = f"{min(by_number)} to {max(by_number)}"
            raise InputError(course.file, "", f"has no hole {number}", f"its holes are {span}")
    names = list(dict.fromkeys(tees or ()))
    on_course = list(dict.fromkeys(tee.name for hole in course.holes for tee in hole.tees))
    for name in names:
        if name not in on_course:
            remedy = rather(name, on_course, f"its tees are {', '.join(on_course)}")
            raise InputError(course.file, "", f"has no {name} tee", remedy)
    found: list[tuple[Hole, Tee]] = []
    for number in numbers:
        hole = by_number[number]
        chosen = [t for t in hole.tees if t.name in names] if names else [hole.tees[0]]
        found += [(hole, tee) for tee in chosen]
    if not found:
        raise InputError(
            course.file, "", f"has no {' or '.join(names)} tee on these holes", "ask for another"
        )
    return found
