"""The ground map: precedence, agreement with shapely, and ground in no outline."""

import math
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry import box

from holesim.course import ground_map
from holesim.course.course import Course, Ground, Spot
from holesim.course.ground_map import Bounds, map_ground
from tests.files.drawn_courses import (
    PIN,
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


def check_against_shapely(course: Course, margin: float, bare: Ground, kinds: int = 6) -> None:
    rng = np.random.default_rng(5)
    left, bottom, right, top = shapely.total_bounds([a.outline for a in course.areas])
    x = rng.uniform(left - margin, right + margin, 50_000)
    y = rng.uniform(bottom - margin, top + margin, 50_000)
    clear = off_edges(course, x, y)
    assert clear.mean() > 0.95
    codes, expected = map_ground(course).at(x, y), expected_ground(course, x, y, bare)
    assert len(np.unique(expected)) >= kinds
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
        at_pin = math.hypot(east - PIN[0], north - PIN[1]) < size  # which may not be out of bounds
        drawn = [k for k in KINDS if k not in (Ground.TEE, Ground.GREEN)]
        kind = rng.choice(drawn[1:] if at_pin else drawn)
        shapes.append(area("s", *rings, **KINDS[kind]))
    stream = feature("w", "LineString", [at(-120, 20), at(40, 170), at(310, 180)], waterway="stream")
    check_against_shapely(read(add(stream, *shapes)), 100, Ground.HEAVY_ROUGH)


def test_ground_inside_an_inner_ring_of_the_boundary_is_out(read: Callable[..., Course]) -> None:
    rings = ring(-300, -200, 400, 600), ring(-80, 100, -40, 140), ring(200, 100, 240, 140)
    tags = {"leisure": "golf_course", "name": "Petrel Ground"}
    far = area("c2", ring(600, -100, 700, 300), ring(640, 0, 660, 20), **tags)
    for course in (read(add(area("c1", *rings, **tags))), read(add(area("c1", *rings, **tags), far))):
        x, y = plane(course, [(-60, 120), (220, 120), (-60, 90), (-90, 120), (450, 0), (650, 10), (690, 10)])
        *inside, between, yard, apart = map_ground(course).at(x, y).tolist()
        assert inside == [Ground.OUT, Ground.OUT, Ground.ROUGH, Ground.ROUGH]
        assert (between, yard) == (Ground.OUT, Ground.OUT)
        assert apart == (Ground.ROUGH if isinstance(course.boundary, shapely.MultiPolygon) else Ground.OUT)
        check_against_shapely(course, 100, Ground.ROUGH, kinds=4)


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


def hilly(course: Course) -> Course:
    """Return a course with elevations all over it."""
    rng = np.random.default_rng(3)
    places = rng.uniform((-600, -700), (800, 800), (60, 2))
    return replace(course, spots=tuple(Spot(x, y, rng.uniform(0, 30)) for x, y in places.tolist()))


def around(course: Course, number: int) -> Bounds:
    """Return a rectangle with a hole in it."""
    left, bottom, right, top = course.holes[number - 1].line.bounds
    return left - 80.3, bottom - 60.7, right + 70.1, top + 90.9


@pytest.mark.parametrize("largest", [ground_map.LARGEST, 150_000])  # cells of 1 m, and of 3.7 m
def test_a_part_agrees_with_the_whole_map(
    demo_course: Course, largest: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ground_map, "LARGEST", largest)
    whole = map_ground(hilly(demo_course))
    left, bottom = float(whole.grid.x0), float(whole.grid.y0)
    # Around a hole, and across a corner of the map.
    for bounds in (around(demo_course, 9), (left - 100, bottom - 80, left + 400, bottom + 300)):
        part = whole.part(bounds, Ground.HEAVY_ROUGH)
        assert part.grid.coarse.size < 600 * 700
        x, y = np.random.default_rng(4).uniform(bounds[:2], bounds[2:], (20_000, 2)).T
        # At the edges of cells that are no fractions of a metre, rounding may decide.
        assert (part.at(x, y) != whole.at(x, y)).sum() <= (0 if largest == ground_map.LARGEST else 2)
        assert len(np.unique(part.at(x, y))) > 1
        some = list(zip(x[:500], y[:500], strict=True))
        heights = [[of.elevation(*place) for place in some] for of in (part, whole)]
        assert np.ptp(heights[1]) > 1
        np.testing.assert_allclose(heights[0], heights[1], atol=1e-3, rtol=0)
    assert part.at(*np.array([[left - 150], [bottom]]))[0] == Ground.HEAVY_ROUGH


def test_trees_in_a_part_are_those_of_the_whole_map(demo_course: Course) -> None:
    whole = map_ground(demo_course)
    part = whole.part(around(demo_course, 9), Ground.HEAVY_ROUGH).grid
    row, column = int(part.y0 - whole.grid.y0), int(part.x0 - whole.grid.x0)
    rows, columns = part.canopy.shape
    cut = whole.grid.canopy[row : row + rows, column : column + columns]
    assert part.tallest == cut.max() > 0
    np.testing.assert_array_equal(part.canopy[cut > 0], cut[cut > 0])
    # The nearest tree to a cell without any may stand outside, but then no nearer than the edge.
    to_edge = np.minimum(
        *np.ix_(*(np.minimum(np.arange(n), np.arange(n)[::-1]) + 1 for n in (rows, columns)))
    )
    surely = (cut <= 0) & (-cut < to_edge)
    assert surely.mean() > 0.5
    np.testing.assert_array_equal(part.canopy[surely], cut[surely])
    assert (part.canopy <= cut).all()


def test_a_part_depends_on_nothing_outside_it(demo_course: Course) -> None:
    bounds = around(demo_course, 4)
    inside = shapely.box(*bounds)

    def digest(course: Course) -> str:
        return map_ground(course).part(bounds, Ground.HEAVY_ROUGH).digest

    bunkers = [i for i, area in enumerate(demo_course.areas) if area.ground is Ground.BUNKER]
    near = [i for i in bunkers if demo_course.areas[i].outline.within(inside.buffer(-5))]
    far = [i for i in bunkers if demo_course.areas[i].outline.distance(inside) > 5]

    def moved(index: int) -> Course:
        areas = list(demo_course.areas)
        areas[index] = replace(areas[index], outline=translate(areas[index].outline, 2, 1))
        return replace(demo_course, areas=tuple(areas))

    assert digest(moved(far[0])) == digest(demo_course)
    assert digest(moved(near[0])) != digest(demo_course)
    # A practice ground that makes the course longer to the south-west changes nothing either.
    left, bottom, _, _ = shapely.total_bounds([area.outline for area in demo_course.areas])
    green = replace(
        demo_course.areas[near[0]], outline=box(left - 200, bottom - 150, left - 190, bottom - 140)
    )
    longer = replace(demo_course, areas=(*demo_course.areas, green))
    assert map_ground(longer).grid.x0 < map_ground(demo_course).grid.x0 - 90
    assert digest(longer) == digest(demo_course)
