"""Course files that nobody tidied: what is left open is guessed, and said."""

import copy
import json
import random
import re
from typing import Any

import numpy as np
import pytest
import shapely
import shapely.geometry

from holesim.course.course import Course, Ground
from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.data.examples import COURSE, find
from holesim.errors import InputError
from holesim.units import YARD
from tests.conftest import DEMO, Run, Write
from tests.files.drawn_courses import (
    BACK,
    CORNER,
    FAIRWAY,
    FRONT,
    GREEN,
    HOLE,
    NAME,
    PIN,
    Damage,
    Json,
    add,
    area,
    at,
    feature,
    length_of,
    moved_by,
    put,
    ring,
    said,
    sound,
)

LOOP = [at(20, 180), at(21, 181), at(21, 180), at(20, 181)]
SLIP = [at(-20, 130), at(20, 130), *LOOP, at(20, 240), at(-20, 240), at(-20, 130)]


def ground_at(course: Course, east: float, north: float) -> Ground:
    """Return what is so many metres from the back tee."""
    tee = course.holes[0].tees[0]
    (code,) = map_ground(course).at(np.array([tee.x + east]), np.array([tee.y + north]))
    return Ground(code)


def area_of(course: Course, ground: Ground) -> float:
    """Return how much of a ground a course draws [m²], wherever it counts."""
    return float(shapely.union_all([area.outline for area in course.areas if area.ground is ground]).area)


@pytest.mark.parametrize("tags", [{"golf": "bunker"}, {"natural": "water"}, {"waterway": "riverbank"}])
def test_a_closed_line_means_what_it_encloses(course_file: Write, tags: Json) -> None:
    course = sound()
    course["features"].append(feature("x1", "LineString", ring(40, 150, 60, 170), **tags))
    read = load_course(course_file(course))
    assert said(read) == []
    assert ground_at(read, 50, 160) is (Ground.BUNKER if "golf" in tags else Ground.RED)
    assert ground_at(read, 70, 160) is Ground.ROUGH


def test_a_closed_stream_and_a_row_of_trees_are_still_lines(course_file: Write) -> None:
    course = sound()
    course["features"] += [
        feature("x1", "LineString", ring(40, 150, 80, 190), waterway="stream"),
        feature("x2", "LineString", ring(40, 250, 80, 290), natural="tree_row"),
    ]
    read = load_course(course_file(course))
    assert said(read) == []
    assert ground_at(read, 40, 170) is Ground.RED
    assert ground_at(read, 40, 270) is Ground.TREES
    assert ground_at(read, 60, 170) is ground_at(read, 60, 270) is Ground.ROUGH


def test_a_small_loop_is_repaired(course_file: Write) -> None:
    course = sound()
    put(FAIRWAY, "geometry", "coordinates", 0, value=SLIP)(course)
    read = load_course(course_file(course))
    taken = "had its outline repaired (self-intersection)"
    assert said(read) == [f"golf=fairway f1: {taken}; redraw where it crosses"]
    area = sum(piece.outline.area for piece in read.areas if piece.ground is Ground.FAIRWAY)
    assert area == pytest.approx(40 * 110, abs=5)


def test_a_hole_cut_along_the_edge_is_repaired(course_file: Write) -> None:
    course = sound()
    notch = ring(10, 150, 20, 170)
    put(FAIRWAY, "geometry", "coordinates", value=[ring(-20, 130, 20, 240), notch])(course)
    read = load_course(course_file(course))
    assert [guess.place for guess in read.guesses] == ["golf=fairway f1"]
    assert ground_at(read, 15, 160) is Ground.ROUGH
    assert ground_at(read, 0, 160) is Ground.FAIRWAY


def test_a_line_from_green_to_tee_is_turned_round(course_file: Write) -> None:
    course, tidy = sound(), load_course(course_file(sound()))
    course["features"][HOLE]["geometry"]["coordinates"].reverse()
    read = load_course(course_file(course))
    assert said(read) == ["golf=hole h1: runs from green to tee, and was reversed; draw it from tee to pin"]
    for tee, other in zip(read.holes[0].tees, tidy.holes[0].tees, strict=True):
        assert tee.name == other.name
        assert tee.length == pytest.approx(other.length, abs=0.01)
    assert read.holes[0].pin == pytest.approx(tidy.holes[0].pin, abs=0.01)


def test_holes_without_a_number_take_those_that_are_free(course_file: Write) -> None:
    course = sound()
    del course["features"][HOLE]["properties"]["ref"]
    course["features"] += moved_by(sound(), 0, 800, ref="1")
    read = load_course(course_file(course))
    assert said(read) == ["golf=hole h1: has no number, and was taken for hole 2; add its ref"]
    assert [hole.number for hole in read.holes] == [1, 2]


def test_a_hole_drawn_twice_counts_once(course_file: Write) -> None:
    course = sound()
    line = [at(1, 1), at(0, 229), at(121, 379)]
    course["features"].append(feature("h9", "LineString", line, golf="hole", ref="1", par="4"))
    read = load_course(course_file(course))
    assert said(read) == ["golf=hole h9: is hole 1 a second time, and was left out; take one out"]
    assert len(read.holes) == 1


@pytest.mark.parametrize(("yards", "par"), [(160, 3), (245, 3), (255, 4), (465, 4), (475, 5), (695, 6)])
def test_a_par_that_is_not_stated_follows_from_the_length(course_file: Write, yards: int, par: int) -> None:
    course = sound()
    far = yards * YARD
    put(HOLE, "geometry", "coordinates", value=[at(0, 0), at(0, far)])(course)
    put(GREEN, "geometry", "coordinates", 0, value=ring(-9, far - 9, 9, far + 9))(course)
    del course["features"][HOLE]["properties"]["par"]
    read = load_course(course_file(course))
    assert read.holes[0].par == par
    assert said(read) == [
        f"hole 1 (golf=hole h1): has no par, and was taken for a par {par} by its length; add its par"
    ]


def test_tees_may_be_points_with_their_colour_in_ref_or_none(course_file: Write) -> None:
    course = sound()
    course["features"][BACK:GREEN] = [
        feature("t1", "Point", at(0, 0), golf="tee", ref="white"),
        feature("t2", "Point", at(0, 30), golf="tee"),
        feature("t3", "Point", at(0, 50), golf="tee", tee="red", ref="1"),
    ]
    read = load_course(course_file(course))
    assert said(read) == []
    assert [tee.name for tee in read.holes[0].tees] == ["white", "tee 2", "red"]
    assert ground_at(read, 0, 0) is Ground.ROUGH


# --- how exports write things ---------------------------------------------------------------------


def geometry(kind: str, coordinates: object) -> Json:
    return {"type": kind, "coordinates": coordinates}


def tags_nested(course: Json) -> None:
    for one in course["features"]:
        one["properties"] = {"type": "way", "id": 7, "tags": one["properties"], "meta": {"version": 2}}


def ids_as_numbers(course: Json) -> None:
    for number, one in enumerate(course["features"]):
        one["id"] = number


def ids_among_the_tags(course: Json) -> None:
    for number, one in enumerate(course["features"]):
        one["properties"]["@id"] = f"way/{number}"
        del one["id"]


def collections(course: Json) -> None:
    for one in course["features"]:
        corner = one["geometry"]["coordinates"][0]
        spot = geometry("Point", corner if isinstance(corner[0], float) else corner[0])
        one["geometry"] = {"type": "GeometryCollection", "geometries": [spot, one["geometry"]]}


def lines_in_two(course: Json) -> None:
    """Draw every outline as the two open lines of a relation, the second backwards."""
    for one in course["features"]:
        if one["geometry"]["type"] == "Polygon":
            (outer,) = one["geometry"]["coordinates"]
            one["geometry"] = geometry("MultiLineString", [outer[:3], outer[2:][::-1]])
        else:
            line = one["geometry"]["coordinates"]
            one["geometry"] = geometry("MultiLineString", [line[1:], line[:2]])


def polygons_in_multi(course: Json) -> None:
    for one in course["features"]:
        drawn = one["geometry"]
        one["geometry"] = geometry(f"Multi{drawn['type']}", [drawn["coordinates"]])


def heights(course: Json) -> None:
    def lifted(values: Any) -> Any:  # noqa: ANN401 - positions at any depth
        return [*values, 31.5] if isinstance(values[0], float) else [lifted(value) for value in values]

    for one in course["features"]:
        one["geometry"]["coordinates"] = lifted(one["geometry"]["coordinates"])


def doubled_positions(course: Json) -> None:
    for one in course["features"]:
        if one["geometry"]["type"] == "Polygon":
            (outer,) = one["geometry"]["coordinates"]
            one["geometry"]["coordinates"] = [[spot for spot in outer for _ in range(2)]]


def drawn_again(course: Json) -> None:
    """Export each area of a relation by itself too, from another corner and the other way round."""
    again = copy.deepcopy(course["features"][BACK:])
    for one in again:
        one["id"] += " way"
        (outer,) = one["geometry"]["coordinates"]
        one["geometry"]["coordinates"] = [[*outer[1:], outer[1]][::-1]]
    course["features"] += again


def plane_named(course: Json) -> None:
    course["crs"] = {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}


def numbers_with_words(course: Json) -> None:
    course["features"][HOLE]["properties"] |= {"ref": "Hole 01", "par": "4.0", "dist": "long", "dist:back": 3}


def keys_of_no_value(course: Json) -> None:
    for one in course["features"]:
        one["properties"] |= {"name": None, "note": [], "width": ""}


def shuffled(course: Json) -> None:
    random.Random(3).shuffle(course["features"])  # noqa: S311


@pytest.mark.parametrize(
    "change",
    [
        tags_nested,
        ids_as_numbers,
        ids_among_the_tags,
        collections,
        lines_in_two,
        polygons_in_multi,
        heights,
        doubled_positions,
        drawn_again,
        plane_named,
        numbers_with_words,
        keys_of_no_value,
        shuffled,
    ],
)
def test_the_same_course_written_otherwise(course_file: Write, change: Damage) -> None:
    tidy = load_course(course_file(sound()))
    course = sound()
    change(course)
    assert course != sound()
    read = load_course(course_file(course))
    assert said(read) == []
    assert [(hole.number, hole.par) for hole in read.holes] == [(1, 4)]
    assert read.holes[0].line.equals(tidy.holes[0].line)
    assert [tee.name for tee in read.holes[0].tees] == ["back", "front"]
    assert sorted((area.ground, round(area.outline.area, 3)) for area in read.areas) == sorted(
        (area.ground, round(area.outline.area, 3)) for area in tidy.areas
    )


def test_line_ends_of_another_system_and_a_byte_order_mark(course_file: Write) -> None:
    text = json.dumps(sound(), indent=1).replace("\n", "\r\n")
    read = load_course(course_file(b"\xef\xbb\xbf" + text.encode()))
    assert (said(read), len(read.areas)) == ([], 4)


@pytest.mark.parametrize(
    ("crs", "said_of_it"),
    [
        (
            {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::27700"}},
            "has positions in urn:ogc:def:crs:EPSG::27700",
        ),
        ({"type": "name", "properties": {"name": "EPSG:14326"}}, "has positions in EPSG:14326"),
        ({"type": "link", "properties": {"href": "http://example.com/crs/42"}}, "names no known positions"),
        ("WGS 84", "names no known positions"),
        ({}, "names no known positions"),
    ],
)
def test_positions_on_another_plane_are_refused(course_file: Write, crs: object, said_of_it: str) -> None:
    remedy = "export it in longitude and latitude (WGS 84)"
    with pytest.raises(InputError) as caught:
        load_course(course_file(sound() | {"crs": crs}))
    assert str(caught.value) == f"{NAME}: crs: {said_of_it}; {remedy}"


@pytest.mark.parametrize(
    "name", ["urn:ogc:def:crs:EPSG::4326", "EPSG:4326", "urn:ogc:def:crs:OGC:1.3:CRS84", "OGC:CRS84"]
)
def test_longitude_and_latitude_may_be_named(course_file: Write, name: str) -> None:
    crs = {"type": "name", "properties": {"name": name}}
    assert said(load_course(course_file(sound() | {"crs": crs}))) == []


# --- outlines -------------------------------------------------------------------------------------

REDRAW = "and was left out; draw it again or take it out"
MISPLACED = "and was left out; take it out or correct its positions"
PLACED = at(40, 150)


@pytest.mark.parametrize(
    ("shape", "expected"),
    [
        (None, f"golf=bunker b1: has no place on the map, {REDRAW}"),
        (geometry("MultiPolygon", []), f"golf=bunker b1: has no place on the map, {REDRAW}"),
        (
            {"type": "GeometryCollection", "geometries": []},
            f"golf=bunker b1: has no place on the map, {REDRAW}",
        ),
        (geometry("Polygon", [[PLACED] * 3]), f"golf=bunker b1: encloses nothing, {REDRAW}"),
        (geometry("Polygon", [[PLACED] * 9]), f"golf=bunker b1: encloses nothing, {REDRAW}"),
        (
            geometry("Polygon", [[at(40, 150), at(50, 150), at(45, 150), at(40, 150)]]),
            f"golf=bunker b1: encloses nothing, {REDRAW}",
        ),
        (
            geometry("Point", PLACED),
            "golf=bunker b1: is a Point, and was left out; draw it as a Polygon",
        ),
        (
            geometry("LineString", [at(40, 150), at(60, 150), at(60, 170)]),
            "golf=bunker b1: is a LineString, and was left out; draw it as a Polygon",
        ),
        (
            geometry("Polygon", [[[0, 0], [0, 1], [1, 1], [0, 0]]]),
            f"golf=bunker b1, ring 1: lies far from the holes, {MISPLACED}",
        ),
        (
            geometry("Polygon", [ring(9000, 150, 9020, 170)]),
            f"golf=bunker b1: lies beyond the reach of any drive, {MISPLACED}",
        ),
    ],
)
def test_an_area_of_no_use_is_left_out(course_file: Write, shape: Json | None, expected: str) -> None:
    course = sound()
    add(feature("b1", "Polygon", None, golf="bunker"))(course)
    course["features"][-1]["geometry"] = shape
    read = load_course(course_file(course))
    assert said(read) == [expected]
    assert [area.ground for area in read.areas if area.ground is Ground.BUNKER] == []


def test_a_ring_left_open_is_closed(course_file: Write) -> None:
    course = sound()
    put(FAIRWAY, "geometry", "coordinates", 0, value=ring(-20, 130, 20, 240)[:-1])(course)
    read = load_course(course_file(course))
    assert said(read) == ["golf=fairway f1, ring 1: is open, and was closed; end it on its first position"]
    assert area_of(read, Ground.FAIRWAY) == pytest.approx(40 * 110, rel=1e-4)


INNER = {
    "crossing the edge": ([ring(10, 150, 40, 170)], 40 * 110 - 10 * 20),
    "overlapping": ([ring(-10, 150, 5, 170), ring(-5, 160, 10, 180)], 40 * 110 - 2 * 300 + 100),
    "one in another": ([ring(-10, 150, 10, 170), ring(-5, 155, 5, 165)], 40 * 110 - 400),
    "outside": ([ring(100, 150, 110, 160)], 40 * 110),
}


@pytest.mark.parametrize(("inner", "left"), INNER.values(), ids=INNER.keys())
def test_inner_rings_that_overlap_are_repaired(course_file: Write, inner: list[Any], left: float) -> None:
    course = sound()
    put(FAIRWAY, "geometry", "coordinates", value=[ring(-20, 130, 20, 240), *inner])(course)
    read = load_course(course_file(course))
    assert [guess.place for guess in read.guesses] == ["golf=fairway f1"]
    assert read.guesses[0].taken.startswith("had its outline repaired (")
    assert area_of(read, Ground.FAIRWAY) == pytest.approx(left, rel=1e-4)


def test_rings_that_touch_and_rings_of_no_area_are_sound(course_file: Write) -> None:
    course = sound()
    touching, flat = ring(-5, 130, 5, 150), [at(0, 190), at(0, 200), at(0, 195), at(0, 190)]
    put(FAIRWAY, "geometry", "coordinates", value=[ring(-20, 130, 20, 240), touching, flat])(course)
    read = load_course(course_file(course))
    assert area_of(read, Ground.FAIRWAY) == pytest.approx(40 * 110 - 10 * 20, rel=1e-4)


def test_a_sliver_among_the_parts_of_an_area_is_passed_over(course_file: Write) -> None:
    course = sound()
    parts = [[ring(40, 150, 60, 170)], [[at(80, 150), at(80, 160), at(80, 150)]]]
    add(feature("b1", "MultiPolygon", parts, golf="bunker"))(course)
    read = load_course(course_file(course))
    assert said(read) == []
    assert area_of(read, Ground.BUNKER) == pytest.approx(400, rel=1e-4)


def test_a_green_cut_out_of_its_fairway_stays_a_green(course_file: Write) -> None:
    course = sound()
    around, green = ring(90, 350, 150, 410), ring(108, 368, 132, 392)
    add(area("f2", around, green, golf="fairway"), area("f2 way", around, golf="fairway"))(course)
    read = load_course(course_file(course))
    (guess,) = read.guesses
    assert guess.place == "golf=fairway f2 way"
    assert guess.taken == "repeats golf=fairway f2 without the parts cut out of it, and was left out"
    assert ground_at(read, 120, 380) is Ground.GREEN
    assert ground_at(read, 95, 355) is Ground.FAIRWAY
    assert area_of(read, Ground.FAIRWAY) == pytest.approx(40 * 110 + 60 * 60 - 24 * 24, rel=1e-4)


def test_the_lines_of_a_relation_enclose_what_lies_between_them(course_file: Write) -> None:
    course = sound()
    rings = [ring(40, 150, 80, 190), ring(50, 160, 70, 180)]
    add(feature("w1", "MultiLineString", rings, natural="water"))(course)
    read = load_course(course_file(course))
    assert said(read) == []
    assert ground_at(read, 45, 170) is Ground.RED
    assert ground_at(read, 60, 170) is Ground.ROUGH


@pytest.mark.parametrize(
    ("kind", "tags", "expected"),
    [
        (
            "Polygon",
            {"golf": "bunker"},
            "golf=bunker b1: has an outline that is not valid (self-intersection)",
        ),
        ("LineString", {"natural": "water"}, "natural=water b1: crosses itself over and over"),
        ("LineString", {"waterway": "stream"}, "waterway=stream b1: crosses itself over and over"),
        ("LineString", {"golf": "hole", "ref": "2"}, "golf=hole b1: has 3,001 positions"),
    ],
)
def test_a_scribble_is_refused_at_once(course_file: Write, kind: str, tags: Json, expected: str) -> None:
    rng = np.random.default_rng(8)
    spots = [at(*spot) for spot in rng.uniform(0, 300, (3000, 2))]
    spots.append(spots[0])
    course = sound()
    add(feature("b1", kind, [spots] if kind == "Polygon" else spots, **tags))(course)
    with pytest.raises(InputError, match=re.escape(expected)):
        load_course(course_file(course))


def test_a_wide_export_makes_no_wide_map(course_file: Write) -> None:
    course = sound()
    lake = area("w1", ring(200, -20_000, 30_000, 20_000), natural="water")
    far = [area(f"w{i}", ring(5000 + 50 * i, 0, 5040 + 50 * i, 40), natural="wood") for i in range(2, 9)]
    add(lake, *far)(course)
    read = load_course(course_file(course))
    assert said(read) == []
    assert [area.label for area in read.areas][-1] == "natural=water w1"
    assert ground_at(read, 210, 300) is Ground.RED
    assert map_ground(read).grid.coarse.size < 10e6


# --- holes and tees -------------------------------------------------------------------------------


def test_a_practice_ground_is_no_hole(course_file: Write) -> None:
    course = sound()
    add(
        area("p1", ring(-60, -40, -40, -20), golf="green"),
        area("p2", ring(-200, -20, -100, 250), golf="driving_range"),
        area("t8", ring(-110, 100, -104, 110), golf="tee"),
        *(area(f"t{i}", ring(900 + 10 * i, 0, 905 + 10 * i, 5), golf="tee") for i in range(10, 16)),
    )(course)
    read = load_course(course_file(course))
    practice, guess = read.guesses
    assert (practice.place, practice.taken) == ("golf=tee t8", "lies on the driving range, and was left out")
    assert guess.place == "golf=tee t10, golf=tee t11, golf=tee t12 and 3 more"
    assert guess.taken == "each belongs to no hole, and was left out"
    assert [tee.name for tee in read.holes[0].tees] == ["back", "front"]
    assert ground_at(read, -50, -30) is Ground.GREEN
    assert ground_at(read, -150, 100) is Ground.ROUGH


def test_a_tee_of_the_range_is_no_tee_of_the_hole_beside_it(course_file: Write) -> None:
    course = sound()
    add(
        area("p2", ring(-200, -20, -25, 250), golf="driving_range"),
        area("t8", ring(-40, 0, -30, 10), golf="tee"),
    )(course)
    read = load_course(course_file(course))
    assert [tee.name for tee in read.holes[0].tees] == ["back", "front"]
    assert [guess.place for guess in read.guesses] == ["golf=tee t8"]


def test_a_practice_loop_without_numbers_is_left_out(course_file: Write) -> None:
    course = sound()
    for number in range(2, 19):
        course["features"] += moved_by(sound(), 0, 450 * (number - 1), ref=str(number))
    loop = [
        feature(f"p{i}", "LineString", [at(300 + 80 * i, 0), at(300 + 80 * i, 90)], golf="hole", par="3")
        for i in range(4)
    ]
    greens = [area(f"pg{i}", ring(290 + 80 * i, 80, 310 + 80 * i, 99), golf="green") for i in range(4)]
    add(*loop, *greens, feature("pt", "Point", at(300, 0), golf="tee"))(course)
    # Its tees are no other hole's, however near.
    add(
        feature("p9", "LineString", [at(9, 0), at(9, 90)], golf="hole"),
        feature("pu", "Point", at(9, 0), golf="tee"),
    )(course)
    read = load_course(course_file(course))
    assert [hole.number for hole in read.holes] == list(range(1, 19))
    (guess,) = read.guesses
    assert guess.place == "golf=hole p0, golf=hole p1, golf=hole p2 and 2 more"
    assert [tee.name for tee in read.holes[0].tees] == ["back", "front"]
    assert guess.taken == "each has no number, and was left out as none is free"


def test_a_gap_is_filled_before_what_lies_outside(course_file: Write) -> None:
    course: Json = {"type": "FeatureCollection", "features": []}
    for number in range(10, 15):
        course["features"] += moved_by(sound(), 0, 450 * (number - 10), ref=str(number))
    del course["features"][10]["properties"]["ref"]
    read = load_course(course_file(course))
    assert said(read) == ["golf=hole h1b (feature 11): has no number, and was taken for hole 12; add its ref"]
    assert [hole.number for hole in read.holes] == [10, 11, 12, 13, 14]


@pytest.mark.parametrize("missing", [{2}, {3, 4}, {1, 5}, {1, 2, 3, 4, 5}])
def test_a_missing_number_follows_from_the_walk(course_file: Write, missing: set[int]) -> None:
    # Each hole starts where the one before it ends, as on a course.
    course: Json = {"type": "FeatureCollection", "features": []}
    for number in range(1, 6):
        hole = moved_by(sound(), 150 * (number - 1), 400 * (number - 1), ref=str(number), par=3 + number % 3)
        if number in missing:
            del hole[HOLE]["properties"]["ref"]
        course["features"] += hole
    if missing != {1, 2, 3, 4, 5}:  # else it is only the order that says where to begin
        shuffled(course)
    read = load_course(course_file(course))
    assert len(read.guesses) == len(missing)
    assert [hole.par for hole in read.holes] == [4, 5, 3, 4, 5]


def test_a_line_in_two_halves_is_joined(course_file: Write) -> None:
    course = sound()
    put(HOLE, "geometry", "coordinates", value=[at(*CORNER), at(0, 0)])(course)
    add(feature("h2", "LineString", [at(*CORNER), at(*PIN)], golf="hole", ref="1"))(course)
    read, tidy = load_course(course_file(course)), load_course(course_file(sound()))
    assert said(read) == ["golf=hole h1: is drawn in 2 lines, which were joined; draw it as one"]
    assert (read.holes[0].par, read.holes[0].stroke_index) == (4, 7)
    assert [tee.length for tee in read.holes[0].tees] == pytest.approx(
        [tee.length for tee in tidy.holes[0].tees], abs=0.01
    )


@pytest.mark.parametrize(
    ("tags", "names"),
    [
        ({"tee": "white"}, ["white"]),
        ({"ref": "white"}, ["white"]),
        ({"colour": "white"}, ["white"]),
        ({"ref": "1 white"}, ["white"]),
        ({"ref": "1", "colour": "white"}, ["white"]),
        ({"ref": "Hole 1", "name": "Championship"}, ["Championship"]),
        ({"tee": "white;yellow"}, ["white", "yellow"]),
        ({"ref": "white / yellow"}, ["white", "yellow"]),
        ({"ref": "1;white"}, ["white"]),
        ({}, ["tee 1"]),
        ({"ref": "7"}, ["tee 1"]),
    ],
)
def test_what_a_tee_is_called(course_file: Write, tags: Json, names: list[str]) -> None:
    course = sound()
    put(BACK, "properties", value={"golf": "tee"} | tags)(course)
    read = load_course(course_file(course))
    assert said(read) == []
    assert [tee.name for tee in read.holes[0].tees] == [*names, "front"]
    assert len({(tee.x, tee.y) for tee in read.holes[0].tees}) == 2


def test_of_two_tees_of_one_name_the_one_farther_back_is_played(course_file: Write) -> None:
    course = sound()
    put(FRONT, "properties", "tee", value="back")(course)
    read = load_course(course_file(course))
    assert said(read) == [
        "golf=tee t2: is the second back tee of hole 1, and was left out; give each its own name"
    ]
    assert [tee.length for tee in read.holes[0].tees] == [
        pytest.approx(length_of([at(0, 0), at(*CORNER), at(*PIN)]), abs=0.1)
    ]


@pytest.mark.parametrize("stated", [True, False])
def test_two_holes_may_share_a_tee(course_file: Write, *, stated: bool) -> None:
    course = sound()
    line = [at(5, 0), at(250, 0)]
    add(
        feature("h2", "LineString", line, golf="hole", ref="2", par="4"),
        area("g2", ring(240, -10, 260, 10), golf="green"),
    )(course)
    if stated:
        put(BACK, "properties", "ref", value="1;2")(course)
    read = load_course(course_file(course))
    first, second = read.holes
    assert first.tees[0].name == second.tees[0].name == "back"
    assert (second.tees[0].x, second.tees[0].y) == (first.tees[0].x, first.tees[0].y)
    shares = "golf=hole h2: shares the tees of another hole; list both in their ref: 1;10"
    assert said(read) == ([] if stated else [shares])


def test_a_hole_without_tees_is_played_from_the_start_of_its_line(course_file: Write) -> None:
    course = sound()
    del course["features"][BACK : FRONT + 1]
    read = load_course(course_file(course))
    assert said(read) == [
        "golf=hole h1: has no tee, and is played from the start of its line; draw its golf=tee areas"
    ]
    (tee,) = read.holes[0].tees
    assert tee.name == "tee 1"
    assert tee.length == pytest.approx(read.holes[0].line.length)


def test_lines_alone_are_no_course(course_file: Write) -> None:
    course = sound()
    del course["features"][BACK:]
    with pytest.raises(InputError, match="has no greens; export its areas too, not only its lines"):
        load_course(course_file(course))


# --- several courses in one file ------------------------------------------------------------------


def outlined(course: Json, name: str, /, **tags: object) -> Json:
    """Return the course with an outline 60 m beyond what is drawn."""
    drawn = [shapely.from_geojson(json.dumps(one["geometry"])) for one in course["features"]]
    edge = shapely.box(*shapely.total_bounds(drawn)).buffer(6e-4, join_style="mitre")
    corners = [list(corner) for corner in edge.exterior.coords]
    return {**course, "features": [*course["features"], area(name, corners, leisure="golf_course", **tags)]}


def two(**changes: object) -> Json:
    """Return two courses of one hole each, 600 m apart, with outlines of their own."""
    east = {"type": "FeatureCollection", "features": moved_by(sound(), 600, 0, ref="1", par="5")}
    west = outlined(sound(), "west", name="Petrel Ground")
    east = outlined(east, "east", **({"name": "Fulmar Ground"} | changes))
    return {"type": "FeatureCollection", "features": west["features"] + east["features"]}


def test_of_two_courses_in_one_file_one_is_chosen(course_file: Write) -> None:
    path = course_file(two())
    with pytest.raises(InputError) as caught:
        load_course(path)
    choose = "choose one with --course NAME"
    assert str(caught.value) == f"{NAME}: holds 2 courses (Petrel Ground, Fulmar Ground); {choose}"
    west, east = load_course(path, name="Petrel Ground"), load_course(path, name="fulmar ground ")
    assert (west.name, east.name) == ("Petrel Ground", "Fulmar Ground")
    assert [hole.par for course in (west, east) for hole in course.holes] == [4, 5]
    assert said(west) == said(east) == []
    # What lies beyond the course's own outline is out of bounds, though it is another's fairway.
    assert ground_at(west, 0, 200) is Ground.FAIRWAY
    assert ground_at(west, 600, 200) is Ground.OUT
    assert ground_at(east, -600, 200) is Ground.OUT
    with pytest.raises(InputError, match="holds no course Petrel; did you mean Petrel Ground\\?"):
        load_course(path, name="Petrel")


def test_two_outlines_of_one_name_are_one_course_unless_a_number_comes_twice(course_file: Write) -> None:
    course = two(name="Petrel Ground")
    with pytest.raises(InputError, match=r"holds 2 courses \(Petrel Ground, Petrel Ground \(2\)\)"):
        load_course(course_file(course))
    for one in course["features"]:
        if one["id"] == "h1b":
            one["properties"]["ref"] = "2"
    read = load_course(course_file(course))
    assert [hole.number for hole in read.holes] == [1, 2]
    assert read.name == "Petrel Ground"
    assert [ground_at(read, east, 200) for east in (0, 300, 600)] == [
        Ground.FAIRWAY, Ground.OUT, Ground.FAIRWAY
    ]  # fmt: skip


def test_the_outline_of_a_neighbour_is_not_in_bounds(course_file: Write) -> None:
    course = two()
    course["features"] = [one for one in course["features"] if not one["id"].endswith("b")]
    read = load_course(course_file(course))
    assert (read.name, said(read)) == ("Petrel Ground", [])
    assert ground_at(read, 0, 200) is Ground.FAIRWAY
    assert ground_at(read, 600, 200) is Ground.OUT


@pytest.mark.parametrize(
    ("west", "east"),
    [
        ({"golf:course:name": "Old"}, {"golf:course:name": "New"}),
        ({"ref": "1 - Old"}, {"ref": "1 - New"}),
        ({"ref": "Old 1"}, {"ref": "New 1"}),
    ],
)
def test_two_courses_within_one_outline(course_file: Write, west: Json, east: Json) -> None:
    course = two()
    course["features"] = [one for one in course["features"] if "leisure" not in one["properties"]]
    for one in course["features"]:
        if one["id"] in ("h1", "h1b"):
            one["properties"] |= west if one["id"] == "h1" else east
    path = course_file(outlined(course, "all", name="Petrel Ground"))
    with pytest.raises(InputError, match=r"holds 2 courses \(Old, New\)"):
        load_course(path)
    (hole,) = load_course(path, name="New").holes
    assert (hole.number, hole.par) == (1, 5)
    assert ground_at(load_course(path, name="Old"), 600, 200) is Ground.FAIRWAY


def test_a_tee_of_the_other_course_is_not_said_to_belong_to_no_hole(course_file: Write) -> None:
    course = two()
    for one in course["features"]:
        if one["properties"].get("golf") == "tee":
            one["properties"] |= {"ref": "1", "colour": one["properties"].pop("tee")}
    read = load_course(course_file(course), name="Fulmar Ground")
    assert said(read) == []
    assert [tee.name for tee in read.holes[0].tees] == ["back", "front"]


def test_a_course_inside_another_has_its_own_outline(course_file: Write) -> None:
    course = two()
    edge = area("site", ring(-500, -500, 1500, 1000), leisure="golf_course", name="The Whole Site")
    course["features"].append(edge)
    path = course_file(course)
    with pytest.raises(InputError, match=r"holds 2 courses \(Petrel Ground, Fulmar Ground\)"):
        load_course(path)
    assert ground_at(load_course(path, name="Petrel Ground"), 0, 700) is Ground.OUT


def test_the_command_takes_one_course_of_several(course_file: Write, run: Run) -> None:
    path = str(course_file(two()))
    code, out, err = run("check", path)
    assert (code, out, err.count("\n")) == (2, "", 1)
    code, out, _ = run("check", path, "--course", "Fulmar Ground")
    assert (code, out.splitlines()[0]) == (0, "Fulmar Ground: 1 hole, par 5")
    words = ("plan", path, DEMO[1], "--course", "Fulmar Ground", "--draws", "256", "--json")
    code, out, err = run(*words)
    assert (code, json.loads(out)["course"], json.loads(out)["guesses"]) == (0, "Fulmar Ground", [])


# --- the demo course, taken apart -----------------------------------------------------------------


def taken_apart(course: Json, seed: int) -> Json:
    """Return the course as an export that nobody tidied; what is drawn stays where it is."""
    rng = random.Random(seed)  # noqa: S311
    features: list[Json] = []
    for number, one in enumerate(course["features"]):
        tags, drawn = dict(one["properties"]), one["geometry"]
        kind, coordinates = drawn["type"], drawn["coordinates"]
        if tags.get("golf") == "hole":
            kind, coordinates = untidy_line(rng, coordinates)
            tags |= rng.choice([{}, {"ref": f"Hole {tags['ref']}"}, {"ref": f"0{tags['ref']}"[-2:]}])
            tags["par"] = rng.choice([tags["par"], int(tags["par"]), f"{tags['par']}.0"])
            if int(one["properties"]["ref"]) in (3, 4, 11):
                del tags["ref"]
        elif tags.get("golf") == "tee" and rng.random() < 0.3:
            # The middle of an area, as a mapper in a hurry puts it.
            middle = shapely.centroid(shapely.geometry.shape(drawn))
            kind, coordinates = "Point", [middle.x, middle.y]
        elif kind == "Polygon":
            kind, coordinates = untidy_area(rng, coordinates)
        if tags.get("golf") == "tee":
            key = rng.choice(["tee", "ref", "colour"])
            tags = {"golf": "tee", key: tags["tee"]}
        ids: Json = rng.choice([{"id": f"way/{number}"}, {"id": number}, {}])
        if not ids:
            tags["@id"] = f"way/{number}"
        properties = tags if rng.random() < 0.7 else {"type": "way", "tags": tags}
        features.append({"properties": properties, "geometry": geometry(kind, coordinates)} | ids)
        if kind == "Polygon" and rng.random() < 0.1:
            again = [outer[::-1] for outer in coordinates]
            features.append(feature(f"again {number}", "Polygon", again, **tags))
    features += [
        {"type": "Feature", "properties": None, "geometry": None},
        feature("node/1", "Point", course["features"][1]["geometry"]["coordinates"][0], highway="gate"),
        feature("r/1", "GeometryCollection", None, building="yes"),
    ]
    rng.shuffle(features)
    return {"type": "FeatureCollection", "generator": "a map", "features": features}


def untidy_line(rng: random.Random, line: list[Any]) -> tuple[str, object]:
    line = line[:: rng.choice([1, 1, -1])]
    if len(line) > 2 and rng.random() < 0.4:
        return "MultiLineString", [line[1:], line[:2]]
    return "LineString", line


def untidy_area(rng: random.Random, rings: list[Any]) -> tuple[str, object]:
    turned = [outer[3:-1] + outer[:3] + [outer[3]] for outer in rings]
    turned = [outer[::-1] if rng.random() < 0.5 else outer for outer in turned]
    chance = rng.random()
    if chance < 0.2 and len(turned) == 1:
        return "LineString", turned[0]
    if chance < 0.4:
        return "MultiLineString", [part for outer in turned for part in (outer[4:], outer[:5])]
    if chance < 0.5:
        return "MultiPolygon", [turned]
    if chance < 0.6:
        return "Polygon", [outer[:-1] for outer in turned]
    if chance < 0.7:
        return "Polygon", [[[*spot, 12.0] for spot in outer for _ in range(2)] for outer in turned]
    return "Polygon", turned


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_demo_comes_back_from_an_untidy_export(
    course_file: Write, demo_course: Course, seed: int
) -> None:
    tidy = json.loads(find(COURSE).read_text(encoding="utf-8"))
    read = load_course(course_file(taken_apart(tidy, seed)))
    assert {guess.taken for guess in read.guesses} == {
        "each runs from green to tee, and was reversed",
        "each is open, and was closed",
        *(f"has no number, and was taken for hole {number}" for number in (3, 4, 11)),
    }
    for hole, other in zip(read.holes, demo_course.holes, strict=True):
        assert (hole.number, hole.par, hole.stroke_index) == (other.number, other.par, other.stroke_index)
        assert [tee.name for tee in hole.tees] == [tee.name for tee in other.tees]
        assert [tee.length for tee in hole.tees] == pytest.approx([t.length for t in other.tees], abs=YARD)
        # Each from the end of its line, as a line in two moves the middle of the course.
        off, other_off = (np.subtract(one.pin, one.line.coords[-1]) for one in (hole, other))
        assert off == pytest.approx(other_off, abs=0.1)
    for ground in Ground:
        if ground is not Ground.TEE:  # of which some are points now
            assert area_of(read, ground) == pytest.approx(area_of(demo_course, ground), rel=0.005)
    assert read.boundary is not None
    assert demo_course.boundary is not None
    assert read.boundary.area == pytest.approx(demo_course.boundary.area, rel=0.005)
