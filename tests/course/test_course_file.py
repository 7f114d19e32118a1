"""Course files, sound and damaged: what is read, what is on the ground, and what each fault is called."""

import json
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from holesim.course.course import Course, Ground
from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.errors import InputError
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
    plane,
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


def test_men_and_women_may_have_their_own_par_and_stroke_index(read: Callable[..., Course]) -> None:
    (hole,) = read(tag(HOLE, "handicap", 7), tag(HOLE, "par:women", 5), tag(HOLE, "handicap:women", 3)).holes
    assert (hole.par, hole.par_of("man"), hole.par_of("woman")) == (4, 4, 5)
    assert (hole.stroke_index_of("man"), hole.stroke_index_of("woman")) == (7, 3)
    (hole,) = read(tag(HOLE, "handicap", 7)).holes
    assert (hole.par_of("woman"), hole.stroke_index_of("woman")) == (4, 7)


def test_a_hole_with_the_par_of_men_alone_has_it_for_all_who_have_no_other(
    read: Callable[..., Course],
) -> None:
    (hole,) = read(rename(HOLE, "par", "par:men")).holes
    assert (hole.par, hole.par_of("man"), hole.par_of("woman")) == (4, 4, 4)


def test_a_tee_whose_ref_is_no_hole_goes_by_distance(read: Callable[..., Course]) -> None:
    for ref in ("9" * 5000, "12", "front", 1.5):
        assert read(tag(FRONT, "ref", ref)).holes == read().holes


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
            put(HOLE, "geometry", "coordinates", value=[at(0, 0), at(0, -1500), at(*PIN)]),
            "golf=hole h1: is 3,701 yd long, and no hole is longer than 1,500; correct its positions",
        ),
        (
            put(HOLE, "geometry", "coordinates", value=[at(0, 0)]),
            "golf=hole h1: is a line of one point; draw at least two",
        ),
        # Bounds.
        (
            add(area("c1", ring(-30, -30, 30, 250), leisure="golf_course")),
            "hole 1: has its pin out of bounds; redraw the boundary or the out_of_bounds area there",
        ),
        (
            add(area("o1", ring(100, 360, 140, 400), golf="out_of_bounds")),
            "hole 1: has its pin out of bounds; redraw the boundary or the out_of_bounds area there",
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
        (
            tag(HOLE, "handicap:women", 19),
            "golf=hole h1: handicap:women=19 is not a number from 1 to 18; correct handicap:women",
        ),
        (
            tag(HOLE, "par:men", 2),
            "golf=hole h1: par:men=2 is not a number from 3 to 7; correct par:men",
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
