"""Course files, sound and damaged: what is read, what is on the ground, and what each fault is called."""

import copy
import json
import math
import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon, box

from holesim.course.course import Course, Ground
from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.errors import InputError
from holesim.units import YARD
from tests.conftest import Write
from tests.files.drawn_courses import (
    BACK,
    CORNER,
    FAIRWAY,
    FRONT,
    GEOD,
    GREEN,
    HOLE,
    NAME,
    PIN,
    Damage,
    Json,
    add,
    area,
    at,
    drop,
    feature,
    length_of,
    put,
    ring,
    sound,
    tag,
)


def no_damage(_: Json) -> None:
    """Leave the course as it is."""


def position(value: object) -> Damage:
    """Return a damage to the second position of the fairway's ring."""
    return put(FAIRWAY, "geometry", "coordinates", 0, 1, value=value)


def rename(index: int, old: str, new: str) -> Damage:
    def damage(course: Json) -> None:
        tags = course["features"][index]["properties"]
        tags[new] = tags.pop(old)

    return damage


def top(key: str, value: object) -> Damage:
    def damage(course: Json) -> None:
        course[key] = value

    return damage


@pytest.fixture
def read(course_file: Write) -> Callable[..., Course]:
    """Return a function that reads the sound course with changes made to it."""

    def from_disk(*changes: Damage) -> Course:
        content = sound()
        for change in changes:
            change(content)
        return load_course(course_file(content))

    return from_disk


def complaint(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        load_course(path)
    return str(caught.value)


# --- sound files ----------------------------------------------------------------------------------


def test_a_sound_file_reads(read: Callable[..., Course]) -> None:
    course = read()
    assert (course.name, course.file, course.boundary) == ("links", NAME, None)
    assert [a.ground for a in course.areas] == [Ground.TEE, Ground.TEE, Ground.GREEN, Ground.FAIRWAY]
    (hole,) = course.holes
    assert (hole.number, hole.par, hole.stroke_index) == (1, 4, 7)
    assert [tee.name for tee in hole.tees] == ["back", "front"]
    length = length_of([at(0, 0), at(*CORNER), at(*PIN)])
    assert hole.line.length == pytest.approx(length, abs=0.01)
    assert hole.tees[0].length == pytest.approx(length, abs=0.1)
    assert hole.tees[1].length == pytest.approx(length - 50, abs=0.1)
    assert hole.pin == hole.line.coords[-1]


def test_the_plane_is_true_to_the_ellipsoid(read: Callable[..., Course]) -> None:
    course = read()
    fairway = next(a.outline for a in course.areas if a.ground is Ground.FAIRWAY)
    reference, _ = GEOD.geometry_area_perimeter(Polygon(ring(-20, 130, 20, 240)))
    assert fairway.area == pytest.approx(reference, rel=1e-6)
    back, corner, pin = course.holes[0].line.coords
    assert np.subtract(corner, back) == pytest.approx((0, 230), abs=0.01)
    assert np.subtract(pin, corner) == pytest.approx((120, 150), abs=0.01)


def test_the_demo_lines_are_as_long_as_on_the_ellipsoid(demo_course: Course) -> None:
    path = Path(__file__).parents[2] / "courses" / "demo.geojson"
    features = json.loads(path.read_text(encoding="utf-8"))["features"]
    lines = {
        int(f["properties"]["ref"]): f["geometry"]["coordinates"]
        for f in features
        if f["properties"].get("golf") == "hole"
    }
    for hole in demo_course.holes:
        length = length_of(lines[hole.number])
        assert hole.line.length == pytest.approx(length, abs=0.01)
        assert hole.tees[0].length == pytest.approx(length, abs=YARD)


@pytest.mark.parametrize(
    ("tags", "ground"),
    [
        ({"golf": "bunker"}, Ground.BUNKER),
        ({"golf": "rough"}, Ground.ROUGH),
        ({"golf": "out_of_bounds"}, Ground.OUT),
        ({"golf": "water_hazard"}, Ground.YELLOW),
        ({"golf": "water_hazard", "natural": "water"}, Ground.YELLOW),
        ({"golf": "lateral_water_hazard"}, Ground.RED),
        ({"natural": "water"}, Ground.RED),
        ({"waterway": "riverbank"}, Ground.RED),
        ({"natural": "wood"}, Ground.TREES),
        ({"natural": "scrub"}, Ground.HEAVY_ROUGH),
        ({"natural": "heath"}, Ground.HEAVY_ROUGH),
    ],
)
def test_a_key_and_its_ground(read: Callable[..., Course], tags: dict[str, str], ground: Ground) -> None:
    assert read(add(area("a1", ring(40, 0, 50, 10), **tags))).areas[-1].ground is ground


@pytest.mark.parametrize(
    ("tags", "width", "ground"),
    [
        ({"natural": "tree_row"}, 8, Ground.TREES),
        ({"waterway": "stream"}, 3, Ground.RED),
        ({"waterway": "ditch", "width": "1.5"}, 1.5, Ground.RED),
        ({"waterway": "river", "width": "12 m"}, 12, Ground.RED),
        ({"golf": "water_hazard", "waterway": "stream"}, 3, Ground.YELLOW),
    ],
)
def test_a_line_becomes_an_area(
    read: Callable[..., Course], tags: dict[str, str], width: float, ground: Ground
) -> None:
    drawn = read(add(feature("l1", "LineString", [at(60, 0), at(60, 100)], **tags))).areas[-1]
    assert drawn.ground is ground
    assert drawn.outline.area == pytest.approx(100 * width + math.pi * width**2 / 4, rel=0.01)


def test_elevations_are_those_of_tees_greens_areas_and_points(read: Callable[..., Course]) -> None:
    course = read(
        tag(BACK, "ele", "31.5"),
        tag(GREEN, "ele", 24),
        tag(HOLE, "ele", "99"),
        add(
            feature("p1", "Point", at(0, 200), ele="60 ft"),
            feature("p2", "Point", at(50, 200), natural="peak", ele="40 m"),
            feature("p3", "Point", at(0, 220), waterway="waterfall", ele="19"),
            area("b1", ring(40, 40, 60, 60), golf="bunker", ele="-2"),
            area("c1", ring(-100, -100, 220, 480), leisure="golf_course", ele="70"),
        ),
    )
    origin = np.array(course.holes[0].line.coords[0])
    found = {(round(spot.x - origin[0]), round(spot.y - origin[1])): spot.elevation for spot in course.spots}
    expected = {
        (0, 0): 31.5,
        (120, 380): 24,
        (0, 200): 60 * 0.3048,
        (50, 200): 40,
        (0, 220): 19,
        (50, 50): -2,
    }
    assert found == pytest.approx(expected)


@pytest.mark.parametrize(
    ("damage", "place"),
    [
        (
            add(feature("s1", "LineString", [at(60, 0), at(60, 9)], waterway="stream", width="wide")),
            "waterway=stream s1: width=wide is not a number of metres from 0.1 to 1000, and was left out",
        ),
        (tag(BACK, "ele", "high"), "golf=tee t1: ele=high is not a number of metres from -450 to 6000, and"),
        (tag(GREEN, "ele", "nan"), "golf=green g1: ele=nan is not a number of metres from -450 to 6000, and"),
        (
            add(area("w1", ring(40, 40, 60, 60), natural="wood", height="15-20")),
            "natural=wood w1: height=15-20 is not a number of metres from 0 to 120, and was left out",
        ),
    ],
)
def test_a_number_of_no_use_is_left_out(read: Callable[..., Course], damage: Damage, place: str) -> None:
    (guess,) = read(damage).guesses
    assert str(guess).startswith(place)


@pytest.mark.parametrize("slip", [1005, -400])
def test_an_elevation_far_from_all_around_it_is_left_out(read: Callable[..., Course], slip: float) -> None:
    course = read(
        tag(BACK, "ele", slip),
        tag(FRONT, "ele", 100),
        tag(GREEN, "ele", 90),
        add(*(feature(f"p{n}", "Point", at(0, 60 * n), ele=str(99 - n)) for n in range(2, 5))),
    )
    assert sorted(spot.elevation for spot in course.spots) == [90, 95, 96, 97, 100]
    (guess,) = course.guesses
    assert str(guess).startswith(
        f"golf=tee t1: lies {abs(slip - 96):.0f} m {'above' if slip > 0 else 'below'} the ground"
    )


def test_trees_state_their_height_and_turf_its_firmness(read: Callable[..., Course]) -> None:
    course = read(
        tag(FAIRWAY, "firmness", "firm"),
        add(
            area("w1", ring(40, 40, 60, 60), natural="wood", height="22"),
            area("w2", ring(40, 80, 60, 90), natural="wood"),
            feature("w3", "LineString", [at(70, 0), at(70, 90)], natural="tree_row", height="40 ft"),
            area("c1", ring(-100, -100, 220, 480), leisure="golf_course", firmness="soft"),
        ),
    )
    trees = [area.height for area in course.areas if area.ground is Ground.TREES]
    assert trees == [22, None, pytest.approx(40 * 0.3048)]
    assert [area.firmness for area in course.areas if area.ground is Ground.FAIRWAY] == ["firm"]
    assert course.firmness == "soft"
    assert read().firmness == "medium"
    assert read().spots == ()


def test_a_ring_within_a_ring_is_left_out_of_the_area(read: Callable[..., Course]) -> None:
    pond = area("w1", ring(40, 100, 80, 140), ring(50, 110, 60, 120), natural="water")
    course = read(add(pond, area("r1", ring(30, 90, 90, 150), golf="rough")))
    outline = next(a.outline for a in course.areas if a.ground is Ground.RED)
    assert len(outline.interiors) == 1
    assert outline.area == pytest.approx(40 * 40 - 10 * 10, rel=1e-6)
    spots = [(55, 115), (45, 115), (70, 130), (35, 115)]
    x, y = plane(course, spots)
    assert [Ground(code).name for code in map_ground(course).at(x, y)] == ["ROUGH", "RED", "RED", "ROUGH"]


def test_each_part_of_a_multipolygon_is_an_area(read: Callable[..., Course]) -> None:
    parts = [[ring(40, 0, 50, 10)], [ring(60, 0, 70, 10)]]
    course = read(add(feature("m1", "MultiPolygon", parts, golf="bunker")))
    assert [round(a.outline.area) for a in course.areas if a.ground is Ground.BUNKER] == [100, 100]


def test_the_boundary_names_the_course(read: Callable[..., Course]) -> None:
    edge = area("c1", ring(-100, -100, 220, 480), leisure="golf_course", name="Petrel\x1b[1m Ground\n")
    course = read(add(edge))
    assert course.name == "Petrel [1m Ground"
    assert course.boundary is not None
    assert course.boundary.area == pytest.approx(320 * 580, rel=1e-4)
    x, y = plane(course, [(-99, 0), (-101, 0), (0, 479), (0, 481), (5000, 0)])
    codes = map_ground(course).at(x, y)
    assert [Ground(code).name for code in codes] == ["ROUGH", "OUT", "ROUGH", "OUT", "OUT"]


def test_a_tee_belongs_to_the_nearest_line_unless_it_says_which(read: Callable[..., Course]) -> None:
    second = feature("h2", "LineString", [at(40, 0), at(40, 300)], golf="hole", ref="2", par="4")
    green = area("g2", ring(30, 290, 50, 310), golf="green")
    tees = [
        area("t3", ring(36, -4, 44, 4), golf="tee", tee="near"),
        area("t4", ring(-4, 60, 4, 68), golf="tee", tee="told", ref="2"),
        area("t5", ring(200, 0, 208, 8), golf="tee", tee="practice"),
    ]
    course = read(add(second, green, *tees))
    assert [[tee.name for tee in hole.tees] for hole in course.holes] == [["back", "front"], ["near", "told"]]


def test_the_pin_is_the_one_drawn_on_the_green(read: Callable[..., Course]) -> None:
    course = read(add(feature("p1", "Point", at(125, 385), golf="pin")))
    assert np.subtract(course.holes[0].pin, course.holes[0].line.coords[-1]) == pytest.approx(
        (5, 5), abs=0.01
    )
    # A line that stops short of the green still has its pin on it.
    short = read(put(HOLE, "geometry", "coordinates", 2, value=at(95, 360))).holes[0]
    assert short.green.covers(shapely.Point(short.pin))


@pytest.mark.parametrize(
    "extra",
    [
        feature("b1", "GeometryCollection", None, building="yes"),
        feature("c1", "MultiLineString", [[at(0, 0), at(1, 1)]], golf="cartpath"),
        feature("v1", "MultiLineString", [[at(0, 0), at(1, 1)]], natural="valley"),
        feature("w1", "Point", at(60, 60), waterway="weir"),
        feature("x1", "Point", [0, 0], natural="tree"),
        {"type": "Feature", "properties": None, "geometry": None},
        feature("r1", "Point", at(0, 0), **{"@relations": [{"rel": 1}], "meta": {"user": []}}),
    ],
)
def test_what_holds_no_ground_is_passed_over(read: Callable[..., Course], extra: Json) -> None:
    assert read(add(extra)).areas == read().areas


def test_numbers_for_tags_heights_and_a_byte_order_mark(course_file: Write) -> None:
    content = sound()
    content["features"][HOLE]["properties"] |= {"ref": 1, "par": 4.0, "handicap": 18}
    for spot in content["features"][HOLE]["geometry"]["coordinates"]:
        spot.append(12.5)
    course = load_course(course_file(b"\xef\xbb\xbf" + json.dumps(content).encode()))
    assert (course.holes[0].par, course.holes[0].stroke_index) == (4, 18)
    assert course.holes[0].line == load_course(course_file(sound())).holes[0].line


def test_a_tee_whose_ref_is_no_hole_goes_by_distance(read: Callable[..., Course]) -> None:
    for ref in ("9" * 5000, "12", "front", 1.5):
        assert read(tag(FRONT, "ref", ref)).holes == read().holes


# --- the demo course ------------------------------------------------------------------------------


def test_the_demo_card(demo_course: Course) -> None:
    holes = demo_course.holes
    assert [hole.number for hole in holes] == list(range(1, 19))
    assert 70 <= sum(hole.par for hole in holes) <= 72
    assert sum(hole.par == 3 for hole in holes) == 4
    assert sorted(hole.stroke_index or 0 for hole in holes) == list(range(1, 19))
    assert 6800 <= sum(hole.tees[0].length for hole in holes) / YARD <= 7000
    for hole in holes:
        assert [tee.name for tee in hole.tees] == ["back", "middle", "forward"]
        assert all(a.length - b.length > 5 * YARD for a, b in pairwise(hole.tees))
        assert hole.green.covers(shapely.Point(hole.pin))


def outline(course: Course, label: str) -> Polygon:
    (found,) = [a.outline for a in course.areas if a.label == label]
    return found


def across(line: LineString, along_yd: float) -> LineString:
    """Return a line 140 yd long square to a hole's, from its left to its right."""
    a, b = (np.array(line.interpolate(d * YARD).coords[0]) for d in (along_yd - 0.5, along_yd + 0.5))
    right = np.array([(b - a)[1], -(b - a)[0]]) / np.hypot(*(b - a))
    return LineString([(a + b) / 2 - 70 * YARD * right, (a + b) / 2 + 70 * YARD * right])


@pytest.mark.parametrize(
    ("number", "trouble", "side"),
    [(4, "golf=out_of_bounds hole 4 out of bounds", 1), (14, "golf=lateral_water_hazard hole 14 pond", -1)],
)
def test_trouble_hard_by_the_demo_fairways(demo_course: Course, number: int, trouble: str, side: int) -> None:
    line = demo_course.holes[number - 1].line
    fairway, hazard = (
        outline(demo_course, f"golf=fairway hole {number} fairway"),
        outline(demo_course, trouble),
    )
    for along in range(220, 301, 10):
        section = across(line, along)
        grass, beyond = section.intersection(fairway), section.intersection(hazard)
        assert grass.distance(beyond) <= 20 * YARD
        assert side * (section.project(beyond.centroid) - section.project(grass.centroid)) > 0


@pytest.mark.parametrize("number", [2, 13])
def test_the_generous_demo_fairways(demo_course: Course, number: int) -> None:
    line = demo_course.holes[number - 1].line
    fairway = outline(demo_course, f"golf=fairway hole {number} fairway")
    for along in range(220, 301, 10):
        assert across(line, along).intersection(fairway).length >= 45 * YARD


# --- what is on the ground ------------------------------------------------------------------------

Floats = NDArray[np.float64]


def plane(course: Course, spots: Sequence[tuple[float, float]]) -> tuple[Floats, Floats]:
    """Return spots, so many metres from the back tee, on the course's plane."""
    x, y = (np.array(values, dtype=np.float64) for values in zip(*spots, strict=True))
    x0, y0 = course.holes[0].line.coords[0]
    return x + x0, y + y0


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


# --- damaged files --------------------------------------------------------------------------------


def nested(depth: int) -> object:
    value: object = 1
    for _ in range(depth):
        value = [value]
    return value


TWO = "has a position that is not two numbers; give longitude, latitude"
DRAW_AS = "draw it as a Point, LineString, Polygon or MultiPolygon"
FAIRWAY_RING = "golf=fairway f1, ring 1"
BOW_TIE = [at(-20, 130), at(20, 240), at(20, 130), at(-20, 240), at(-20, 130)]
APART = [[at(0, 0), at(0, 100)], [at(0, 150), at(0, 300)]]
SECOND_HOLE = feature("h2", "LineString", [at(0, 0), at(0, 300)], golf="hole", ref="1", par="4")


@pytest.mark.parametrize(
    ("damage", "expected"),
    [
        # Rings and lines.
        (
            put(FAIRWAY, "geometry", "coordinates", 0, value=BOW_TIE),
            "golf=fairway f1: has an outline that is not valid (self-intersection); redraw where it crosses",
        ),
        (
            put(HOLE, "geometry", "coordinates", value=[at(0, 0), at(0, 0)]),
            "golf=hole h1: is shorter than 30 yd; draw its line from tee to pin",
        ),
        (
            put(HOLE, "geometry", "coordinates", value=[at(0, 0)]),
            "golf=hole h1: is a line of one point; draw at least two",
        ),
        # Holes.
        (drop(HOLE), "has no holes; draw a golf=hole line from tee to pin for each"),
        (drop(GREEN), "has no greens; export its areas too, not only its lines"),
        (
            put(GREEN, "geometry", "coordinates", 0, value=ring(500, 368, 532, 392)),
            "golf=hole h1: has no green; draw a golf=green area at the end of its line",
        ),
        (add(SECOND_HOLE), "golf=hole h2: is hole 1 a second time; give each hole its own ref"),
        (rename(HOLE, "par", "paar"), "golf=hole h1: has no par; is 'paar' meant to be 'par'?"),
        (rename(HOLE, "ref", "reff"), "golf=hole h1: has no ref; is 'reff' meant to be 'ref'?"),
        (tag(HOLE, "par", "four"), "golf=hole h1: par=four is not a number from 3 to 7; correct par"),
        (tag(HOLE, "par", 2), "golf=hole h1: par=2 is not a number from 3 to 7; correct par"),
        (tag(HOLE, "par", 4.5), "golf=hole h1: par=4.5 is not a number from 3 to 7; correct par"),
        (tag(HOLE, "par", math.nan), "golf=hole h1: par=nan is not a number from 3 to 7; correct par"),
        (tag(HOLE, "par", "\ud800"), "golf=hole h1: par=  is not a number from 3 to 7; correct par"),
        (tag(HOLE, "par", [4]), "feature 1: holds more than one value for par; give par one value"),
        (tag(HOLE, "ref", True), "golf=hole h1: ref=True is not a number from 1 to 99; correct ref"),
        (
            tag(HOLE, "handicap", "9" * 5000),
            f"golf=hole h1: handicap={'9' * 30} is not a number from 1 to 18; correct handicap",
        ),
        (tag(HOLE, "handicap", 0), "golf=hole h1: handicap=0 is not a number from 1 to 18; correct handicap"),
        # Values of keys.
        (
            tag(FAIRWAY, "golf", "fareway"),
            "golf=fareway f1: golf=fareway is not a known value; did you mean golf=fairway?",
        ),
        (
            tag(FAIRWAY, "golf", ["fairway"]),
            "feature 5: holds more than one value for golf; give golf one value",
        ),
        (tag(BACK, "ele", [31]), "feature 2: holds more than one value for ele; give ele one value"),
        (
            tag(FAIRWAY, "firmness", "hard"),
            "golf=fairway f1: firmness=hard is not known; give soft, medium, firm",
        ),
        # Positions.
        (
            position([-41.5, -127.3]),
            f"{FAIRWAY_RING}: has a latitude of -127.3, beyond 90; write longitude first, then latitude",
        ),
        (position([232.7, -41.5]), f"{FAIRWAY_RING}: has a longitude of 232.7, beyond 180; give degrees"),
        (position([1e300, -41.5]), f"{FAIRWAY_RING}: has a longitude of 1e+300, beyond 180; give degrees"),
        (position([10**400, 0]), f"{FAIRWAY_RING}: has a number too large to be degrees; give degrees"),
        (
            position([math.nan, -41.5]),
            f"{FAIRWAY_RING}: has a position that is not a number; give longitude, latitude",
        ),
        (
            position([-127.3, math.inf]),
            f"{FAIRWAY_RING}: has a position that is not a number; give longitude, latitude",
        ),
        (position(["-127.3", "-41.5"]), f"{FAIRWAY_RING}: {TWO}"),
        (position([True, -41.5]), f"{FAIRWAY_RING}: {TWO}"),
        (position([None, None]), f"{FAIRWAY_RING}: {TWO}"),
        (position(None), f"{FAIRWAY_RING}: {TWO}"),
        (position("12"), f"{FAIRWAY_RING}: {TWO}"),
        (position(7), f"{FAIRWAY_RING}: {TWO}"),
        (position([]), f"{FAIRWAY_RING}: {TWO}"),
        (position([-127.3]), f"{FAIRWAY_RING}: {TWO}"),
        (position({"lon": -127.3, "lat": -41.5}), f"{FAIRWAY_RING}: {TWO}"),
        (position([[-127.3, -41.5], [-127.3, -41.5]]), f"{FAIRWAY_RING}: {TWO}"),
        (position(nested(500)), f"{FAIRWAY_RING}: {TWO}"),
        (
            put(HOLE, "geometry", "coordinates", value="-127.3,-41.5"),
            "golf=hole h1: has no positions; draw it again or take it out",
        ),
        # Geometries.
        (put(FAIRWAY, "geometry", value=7), "golf=fairway f1: has no geometry; draw it again or take it out"),
        (
            put(HOLE, "geometry", value=None),
            "golf=hole h1: is not a LineString; draw the hole as a line from tee to pin",
        ),
        (put(HOLE, "geometry", value=7), "golf=hole h1: has no geometry; draw it again or take it out"),
        (
            put(HOLE, "geometry", "type", value="Polygon"),
            "golf=hole h1: is not a LineString; draw the hole as a line from tee to pin",
        ),
        (
            put(FAIRWAY, "geometry", "type", value="Circle"),
            f"golf=fairway f1: is a Circle; {DRAW_AS}",
        ),
        (
            put(FAIRWAY, "geometry", value={"type": "GeometryCollection", "geometries": 3}),
            "golf=fairway f1: has no positions; draw it again or take it out",
        ),
        (
            put(FAIRWAY, "geometry", value={}),
            f"golf=fairway f1: has no geometry type; {DRAW_AS}",
        ),
        (
            put(FAIRWAY, "geometry", "coordinates", value=None),
            "golf=fairway f1: has no rings; draw it again or take it out",
        ),
        (
            put(FAIRWAY, "geometry", value={"type": "MultiPolygon", "coordinates": [[]]}),
            "golf=fairway f1: has no rings; draw it again or take it out",
        ),
        (
            put(HOLE, "geometry", value={"type": "MultiLineString", "coordinates": APART}),
            "golf=hole h1: is in pieces that do not meet; draw it as one line",
        ),
        # The collection.
        (top("type", "Feature"), "is not a GeoJSON FeatureCollection; export the course as GeoJSON"),
        (top("features", {"a": 1}), "features: is not a list of features; export the course's golf features"),
        (top("features", None), "features: is not a list of features; export the course's golf features"),
        (top("features", []), "features: is not a list of features; export the course's golf features"),
        (add(3), "feature 6: is not a GeoJSON Feature; take it out or correct it"),  # type: ignore[arg-type]
        (
            put(FRONT, "properties", value="golf=tee"),
            "feature 3: is not a GeoJSON Feature; take it out or correct it",
        ),
    ],
)
def test_a_fault_is_named_with_its_place_and_its_remedy(
    course_file: Write, damage: Damage, expected: str
) -> None:
    content = sound()
    damage(content)
    assert complaint(course_file(content)) == f"{NAME}: {expected}"


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        (b"", "is empty; give a GeoJSON FeatureCollection"),
        (b" \n\t ", "is empty; give a GeoJSON FeatureCollection"),
        (b"\xff\xfe{\x00}\x00", "is not UTF-8 text; save it as UTF-8"),
        (
            b'{"type": "FeatureCollection", "features": [{"ty',
            "line 1, column 45: is not JSON (unterminated string starting at); correct it or export it again",
        ),
        (
            b'{"type": "FeatureCollection",\n"features": [',
            "line 2, column 14: is not JSON (expecting value); correct it or export it again",
        ),
        (b"[1, 2]", "is not a GeoJSON FeatureCollection; export the course as GeoJSON"),
        (b"null", "is not a GeoJSON FeatureCollection; export the course as GeoJSON"),
        (b"[" * 100_000, "is nested too deeply to be a course; export it again"),
        (b'{"features":' * 100_000, "is nested too deeply to be a course; export it again"),
        (b"9" * 5000, "has a number of too many digits; export it again"),
    ],
    ids=["empty", "spaces", "utf-16", "cut", "cut later", "list", "null", "brackets", "braces", "digits"],
)
def test_a_file_that_is_no_geojson(course_file: Write, raw: bytes, expected: str) -> None:
    assert complaint(course_file(raw)) == f"{NAME}: {expected}"


def test_a_path_that_cannot_be_read(tmp_path: Path) -> None:
    missing = tmp_path / "no.geojson"
    assert complaint(missing) == f"{missing}: no such file or directory; check the path"
    assert complaint(tmp_path) == f"{tmp_path}: is a directory; check the path"
    assert complaint(Path("a\0b")) == "a b: cannot be read; check the path"


@pytest.mark.parametrize("spot", ["note", "id", "type", "coordinates", "@relations"])
def test_nesting_that_json_only_just_allows(course_file: Write, spot: str) -> None:
    # Whatever the reader lets through must not be too deep for what comes after it.
    raw = json.dumps(sound())
    for depth in range(850, 1000, 3):
        deep = "[" * depth + "]" * depth
        damaged = {
            "note": raw.replace('"par":', f'"note": {deep}, "par":'),
            "@relations": raw.replace('"par":', f'"@relations": {deep}, "par":'),
            "id": raw.replace('"h1"', deep),
            "type": raw.replace('"Polygon"', deep, 1),
            "coordinates": raw.replace('"coordinates": [', f'"coordinates": [{deep},', 1),
        }[spot]
        assert damaged != raw
        path = course_file(damaged.encode())
        try:
            load_course(path)
        except InputError as error:
            assert "\n" not in str(error)  # noqa: PT017


def test_the_hole_gone_astray_is_named_and_not_the_others(course_file: Write) -> None:
    content = sound()
    for number in (2, 3):
        line = [at(60 * number, 0), at(60 * number, 300)]
        content["features"] += [
            feature(f"h{number}", "LineString", line, golf="hole", ref=str(number), par="4"),
            area(f"t{number}x", ring(60 * number - 4, -4, 60 * number + 4, 4), golf="tee"),
            area(f"g{number}", ring(60 * number - 9, 291, 60 * number + 9, 309), golf="green"),
        ]
    load_course(course_file(content))
    content["features"][5]["geometry"]["coordinates"][1][1] = 41.5  # the sign of a latitude, on h2
    expected = "golf=hole h2: lies far from the holes; take it out or correct its positions"
    assert complaint(course_file(content)) == f"{NAME}: {expected}"


# --- any damage at all ----------------------------------------------------------------------------


def leaves(value: object, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Return the path of every value within a value."""
    if isinstance(value, dict):
        steps: list[tuple[str | int, object]] = list(value.items())
    elif isinstance(value, list):
        steps = list(enumerate(value))
    else:
        steps = []
    return [found for step, inner in steps for found in ((*path, step), *leaves(inner, (*path, step)))]


ODD = st.sampled_from(
    [None, True, False, 0, 1, -1, 4, 90.5, -181, 1e308, -1e-308, math.nan, math.inf, 10**400, "", " ", "1",
     "\n", "\0", "\ud800", "9" * 5000, "hole", "tee", "green", "fareway", "Point", "Polygon", "LineString",
     "MultiPolygon", "tree_row", [], {}, [[]], [0, 0], [None], [[0, 0]], [[[0, 0]]], nested(50)]
)  # fmt: skip
RICH = sound()
RICH["features"] += [
    feature("s1", "LineString", [at(60, 0), at(60, 90)], waterway="stream", width="2"),
    feature("m1", "MultiPolygon", [[ring(40, 0, 50, 10), ring(42, 2, 44, 4)]], natural="water"),
    feature("p1", "Point", at(120, 380), golf="pin"),
    area("c1", ring(-90, -90, 210, 470), leisure="golf_course", name="Petrel Ground"),
]
# The first two of any list of positions stand for the rest, lest most changes fall on numbers.
SPOTS = [path for path in leaves(RICH) if all(not isinstance(step, int) or step < 2 for step in path[2:])]
CHANGES = st.lists(st.tuples(st.sampled_from(SPOTS), ODD), min_size=1, max_size=2)


@pytest.fixture(scope="module")
def scratch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("damage") / NAME


def returns_or_complains(path: Path) -> None:
    try:
        load_course(path)
    except InputError as error:
        assert str(error).startswith(f"{NAME}: ")  # noqa: PT017
        assert "\n" not in str(error)  # noqa: PT017


@settings(max_examples=200, deadline=None, derandomize=True)
@given(changes=CHANGES)
def test_odd_values_never_escape(scratch: Path, changes: list[tuple[tuple[str | int, ...], object]]) -> None:
    content: Any = copy.deepcopy(RICH)
    for path, value in changes:
        place = content
        try:
            for step in path[:-1]:
                place = place[step]
            place[path[-1]] = value
        except (TypeError, KeyError, IndexError):
            continue  # an earlier change took the place away
    scratch.write_text(json.dumps(content))
    returns_or_complains(scratch)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(cut=st.integers(0, len(json.dumps(RICH))), byte=st.integers(0, 255), keep=st.booleans())
def test_a_cut_or_a_wrong_byte_never_escapes(scratch: Path, cut: int, byte: int, keep: bool) -> None:  # noqa: FBT001
    raw = json.dumps(RICH).encode()
    scratch.write_bytes(raw[:cut] + bytes([byte]) + raw[cut + 1 :] if keep else raw[:cut])
    returns_or_complains(scratch)
