"""The ground map: precedence, agreement with shapely, and ground in no outline."""

import math
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import box

from holesim.course.course import Course, Ground
from holesim.course.ground_map import map_ground
from tests.files.drawn_courses import (
    Json,
    add,
    area,
    at,
    feature,
    plane,
    ring,
)

Floats = NDArray[np.float64]


KINDS: dict[Ground, dict[str, str]] = {
    Ground.OUT: {"golf": "out_of_bounds"},
    Ground.RED: {"golf": "lateral_water_hazard"},
    Ground.YELLOW: {"golf": "water_hazard"},
    Ground.BUNKER: {"golf": "bunker"},
    Ground.GREEN: {"golf": "green"},
    Ground.TEE: {"golf": "tee"},
    Ground.FAIRWAY: {"golf": "fairway"},
    Ground.TREES: {"natural": "wood"},
    Ground.HEAVY_ROUGH: {"natural": "scrub"},
    Ground.ROUGH: {"golf": "rough"},
}


def test_precedence_where_outlines_overlap(read: Callable[..., Course]) -> None:
    squares: list[Json] = []
    spots: list[tuple[float, float]] = []
    expected: list[str] = []
    for first, second in combinations(KINDS, 2):  # the first has precedence, whichever is drawn first
        for order in ((first, second), (second, first)):
            east, north = 400 + 20 * (len(spots) % 10), 20 * (len(spots) // 10)
            square = ring(east, north, east + 10, north + 10)
            squares += [area("s", square, **KINDS[kind]) for kind in order]
            spots.append((east + 5.0, north + 5.0))
            expected.append(first.name)
    assert len(spots) == 90
    course = read(add(*squares))
    codes = map_ground(course).at(*plane(course, spots))
    assert [Ground(code).name for code in codes] == expected


def expected_ground(course: Course, x: Floats, y: Floats, bare: Ground) -> NDArray[np.int64]:
    """Return the ground at each point as shapely has it."""
    codes = np.full(len(x), int(bare), dtype=np.int64)
    for drawn in sorted(course.areas, key=lambda a: -a.ground):
        shapely.prepare(drawn.outline)
        codes[shapely.contains_xy(drawn.outline, x, y)] = int(drawn.ground)
    if course.boundary is not None:
        codes[~shapely.contains_xy(course.boundary, x, y)] = int(Ground.OUT)
    return codes


def off_edges(course: Course, x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Return which points lie more than 5 cm from every outline."""
    shapes = [a.outline for a in course.areas] + ([course.boundary] if course.boundary is not None else [])
    edges = shapely.STRtree([shape.boundary for shape in shapes])
    near, _ = edges.query(shapely.points(x, y), predicate="dwithin", distance=0.05)
    clear = np.ones(len(x), dtype=np.bool_)
    clear[near] = False
    return clear


def check_against_shapely(course: Course, margin: float, bare: Ground) -> None:
    rng = np.random.default_rng(5)
    left, bottom, right, top = shapely.total_bounds([a.outline for a in course.areas])
    x = rng.uniform(left - margin, right + margin, 50_000)
    y = rng.uniform(bottom - margin, top + margin, 50_000)
    clear = off_edges(course, x, y)
    assert clear.mean() > 0.95
    codes, expected = map_ground(course).at(x, y), expected_ground(course, x, y, bare)
    assert len(np.unique(expected)) > 5
    wrong = clear & (codes != expected)
    assert not wrong.any(), f"{wrong.sum()} of 50,000, the first at {x[wrong][0]}, {y[wrong][0]}"


def test_the_map_agrees_with_shapely_on_the_demo(demo_course: Course) -> None:
    check_against_shapely(demo_course, 200, Ground.HEAVY_ROUGH)


def test_the_map_agrees_with_shapely_on_crossing_shapes(read: Callable[..., Course]) -> None:
    rng = random.Random(11)  # noqa: S311
    shapes = []
    for _ in range(60):
        east, north, size = rng.uniform(-100, 300), rng.uniform(-50, 420), rng.uniform(4, 40)
        turn, corners = rng.uniform(0, 2), rng.randint(3, 9)
        angles = [turn + 2 * math.pi * k / corners for k in range(corners)]
        rings = [
            [at(east + reach * math.sin(a), north + reach * math.cos(a)) for a in [*angles, angles[0]]]
            for reach in (size, 0.3 * size)
        ]
        kind = rng.choice([k for k in KINDS if k not in (Ground.TEE, Ground.GREEN)])
        shapes.append(area("s", *rings, **KINDS[kind]))
    stream = feature("w", "LineString", [at(-120, 20), at(40, 170), at(310, 180)], waterway="stream")
    check_against_shapely(read(add(stream, *shapes)), 100, Ground.HEAVY_ROUGH)


def test_unmapped_ground(read: Callable[..., Course]) -> None:
    rough = area("r1", ring(-30, 100, 30, 300), golf="rough")
    for changes, bare in (((), Ground.ROUGH), ((add(rough),), Ground.HEAVY_ROUGH)):
        course = read(*changes)
        assert course.maps_rough is bool(changes)
        # Within the drawn extent, off it, and beyond the whole map: without a boundary all is in play.
        x, y = plane(course, [(100, 20), (-200, 0), (9000, 9000)])
        assert map_ground(course).at(x, y).tolist() == [bare] * 3
        assert map_ground(course, unmapped="rough").at(x, y).tolist() == [Ground.ROUGH] * 3
        assert map_ground(course, unmapped="heavy").at(x, y).tolist() == [Ground.HEAVY_ROUGH] * 3
    bounded = replace(course, boundary=box(-500, -500, 500, 500))
    x, y = np.array([-400.0, 700.0]), np.array([0.0, 0.0])
    assert map_ground(bounded, unmapped="rough").at(x, y).tolist() == [Ground.ROUGH, Ground.OUT]
