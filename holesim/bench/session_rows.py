"""How fast a session answers while wind, aim and ground change, and how much memory it takes."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from statistics import median
from time import process_time

import numpy as np
from shapely import Point

from holesim.bench.demo_setup import OPEN, demo_course, demo_player
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import most_memory, run_alone
from holesim.common.memory import give_back_freed
from holesim.course.course import Area, Course, Ground
from holesim.plan.session import WINDOW_ROOM, Session, Wind
from holesim.units import DEGREE

_STRIKES = ("up", "down")
_LIMITS = {
    "a turn of the wind, two strikes": 12.0,
    "another speed of the wind, 14 mph": 60.0,
    "another speed of the wind, 30 mph": 60.0,
    "one aim moved by a degree": 5.0,
    "firmness changed, beyond one hole's dynamic programming": 500.0,
    "an outline changed, beyond one hole's dynamic programming": 500.0,
}
"""Processor time that an answer may take [ms]."""


def session_rows(sizes: Sizes) -> list[Row]:
    """Return the processor time of answers at a glance on one thread, and the memory of a long session."""
    found = run_alone(time_answers, {"repeats": sizes.asked}, HOLESIM_THREADS="1")
    memory = run_alone(play_about, {"asked": sizes.asked}, HOLESIM_THREADS="1")
    return [
        *(Row("session", what, found[what], "ms", AT_MOST, limit) for what, limit in _LIMITS.items()),
        Row("session", "at rest, all drives and clubs", found["at rest"], "ms"),
        Row("session", "most memory after a day of winds", memory["memory"], "MB", AT_MOST, 600.0),
    ]


def time_answers(*, repeats: int) -> dict[str, float]:
    """Return the processor time of each kind of answer [ms], the median of some; for a process of its own."""
    session = Session(demo_course(), demo_player())
    number, tee, pin = OPEN, session.course.holes[OPEN - 1].tees[0], session.course.holes[OPEN - 1].pin
    heading, turns = tee.bearing(*pin), _directions()
    session.glance(number, tee.name, Wind(14, 0), _STRIKES)  # compiles
    session.plan_tee(number, tee.name, Wind(14, 0))

    def glance(mph: float) -> None:
        session.glance(number, tee.name, Wind(mph, next(turns)), _STRIKES)

    def hold() -> None:
        session.hold(number, tee.name, Wind(14, 0), "up", heading + next(turns) / 360 * 10 * DEGREE)

    def change(changed: Callable[[], Session]) -> float:
        start = process_time()
        other = changed()
        prepared = process_time() - start
        other.value(number)
        start = process_time()
        other.glance(number, tee.name, Wind(14, 0), _STRIKES)
        return 1000 * (prepared + process_time() - start)

    speeds = iter(np.linspace(0, 0.9, 2 * repeats).tolist())
    course = with_bunker(session.course, number)
    return {
        "a turn of the wind, two strikes": _median(repeats, lambda: glance(14)),
        "another speed of the wind, 14 mph": _median(repeats, lambda: glance(14 + next(speeds))),
        "another speed of the wind, 30 mph": _median(repeats, lambda: glance(30 + next(speeds))),
        "one aim moved by a degree": _median(repeats, hold),
        "firmness changed, beyond one hole's dynamic programming": change(
            lambda: session.changed(ground="firm")
        ),
        "an outline changed, beyond one hole's dynamic programming": change(
            lambda: session.with_course(course)
        ),
        "at rest": _median(3, lambda: session.plan_tee(number, tee.name, Wind(14, next(turns)))),
    }


def play_about(*, asked: int) -> dict[str, float]:
    """Ask of winds of all kinds, on every hole; return the most memory of the process [MB]."""
    give_back_freed()
    session, turns = Session(demo_course(), demo_player(), room=WINDOW_ROOM), _directions()
    for k in range(8 * asked):
        hole = session.course.holes[k % len(session.course.holes)]
        wind = Wind(k * 7 % 31, next(turns))
        session.glance(hole.number, hole.tees[0].name, wind)
        if k % 8 == 0:
            session.plan_tee(hole.number, hole.tees[0].name, wind)
    for hole in session.course.holes[:asked]:
        session.plan_tee(hole.number, hole.tees[0].name, Wind(14, 225))
    return {"memory": most_memory()}


def with_bunker(course: Course, number: int) -> Course:
    """Return a course with a bunker more on one hole, 200 m along its line."""
    hole = course.holes[number - 1]
    bunker = Area(Ground.BUNKER, Point(hole.line.interpolate(200)).buffer(8), "a bunker more")
    return replace(course, areas=(*course.areas, bunker))


def _directions() -> Iterator[float]:
    """Yield directions [deg] spread evenly round the circle."""
    degrees = 0.0
    while True:
        degrees = (degrees + 222.49) % 360  # the golden angle
        yield degrees


def _median(repeats: int, work: Callable[[], object]) -> float:
    """Return the median processor time of some work [ms]."""
    tries = []
    for _ in range(repeats):
        start = process_time()
        work()
        tries.append(1000 * (process_time() - start))
    return median(tries)
