"""Time of solving holes for expected strokes and score chances."""

import tempfile
from collections.abc import Sequence
from time import perf_counter

import numpy as np
import shapely

from holesim.bench import reference
from holesim.bench.demo_setup import (
    LINE_DISTANCE,
    OPEN,
    demo_course,
    demo_ground,
    demo_hole,
    demo_player,
    dispersion_of,
    plain_hole,
    skill_of,
    solve_demo_hole,
)
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import least_seconds, run_alone, threads_text
from holesim.common import parallel
from holesim.course.holes import Hole
from holesim.scoring import score_chances, strokes_table
from holesim.scoring.expected_strokes import ExpectedStrokes, make_misses
from holesim.shot.relief import Lie


def expected_strokes_rows(sizes: Sizes) -> list[Row]:
    """Return the time of solving the demo's holes, and the states of the open hole solved in a second."""
    with tempfile.TemporaryDirectory() as empty:
        found = run_alone(solve_holes, {"holes": sizes.holes}, HOLESIM_CACHE=empty)
    with tempfile.TemporaryDirectory() as empty:
        alone = run_alone(solve_holes, {"first": OPEN - 1}, HOLESIM_CACHE=empty, HOLESIM_THREADS="1")
    whole = found["maps"] + found["chances"]
    what = f"{sizes.holes} holes solved, with score chances, on {threads_text(parallel.count())}"
    each = f"states of hole {OPEN} solved a second on 1 thread"
    plainly = "9 targets, plain Python, shapely"
    return [
        Row("expected strokes", what, whole, "s", AT_MOST, 20),
        Row("expected strokes", "of it score chances", found["chances"], "s", "the whole", whole),
        Row("expected strokes", "read back from disk instead", found["again"], "s", "solved", whole),
        Row(
            "expected strokes", each, alone["states"] / alone["maps"], "/s", plainly, 1 / _best_shot_seconds()
        ),
    ]


def solve_holes(*, holes: int = 1, first: int = 0) -> dict[str, float]:
    """Return the seconds of solving holes of the demo and of reading them back, and the number of states.

    It is for a process of its own. Another hole is solved first, so that everything is compiled.
    """
    ground, chances_by_mean = demo_ground(), strokes_table.make_score_chances(skill_of(demo_player()))

    def maps(played: Sequence[Hole]) -> list[ExpectedStrokes]:
        return parallel.share_out(lambda i: solve_demo_hole(played[i], ground), len(played))

    def chances(played: Sequence[Hole], known: Sequence[ExpectedStrokes]) -> None:
        def work(i: int) -> None:
            score_chances.solve_scores(known[i], chances_by_mean)

        parallel.share_out(work, len(played))

    played, other = demo_course().holes[first : first + holes], [demo_hole(3)]
    chances(other, maps(other))
    start = perf_counter()
    known = maps(played)
    worked = perf_counter()
    chances(played, known)
    done = perf_counter()
    chances(played, maps(played))
    states = sum(
        int((expected.policy.lengths != 0).sum()) for expected in known if expected.policy is not None
    )
    return {
        "maps": worked - start, "chances": done - worked, "again": perf_counter() - done, "states": states,
    }  # fmt: skip


def _best_shot_seconds() -> float:
    """Return the time in which the reference tries 9 targets from one place, each with all misses."""
    hole = demo_hole(OPEN)
    plain = plain_hole(hole, hole.tees[0], solve_demo_hole(hole, demo_ground()))
    (place,) = shapely.get_coordinates(hole.line.interpolate(hole.line.length - LINE_DISTANCE / 2)).tolist()
    east, north = np.meshgrid((-4.0, 0.0, 4.0), (-4.0, 0.0, 4.0))
    targets = list(zip((hole.pin[0] + east).flat, (hole.pin[1] + north).flat, strict=True))
    misses, golfer = make_misses()[:2].astype(float), dispersion_of(demo_player())
    return least_seconds(1, lambda: reference.best_shot(place, Lie.FAIRWAY, golfer, misses, targets, plain))
