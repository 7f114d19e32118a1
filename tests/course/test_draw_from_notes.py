"""Yardage-book notes: what is drawn measures what was noted, and notes that contradict themselves say how."""

import json
import math
from collections.abc import Callable, Iterator
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.affinity import scale, translate
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from holesim.course.course import Course, Ground
from holesim.course.draw_from_notes import draw_course
from holesim.course.geojson import Feature, to_geojson
from holesim.course.ground_map import map_ground
from holesim.course.note_shapes import HOLE_MARGIN
from holesim.course.notes_file import load_notes
from holesim.errors import InputError
from holesim.reports.check_text import find_gaps
from holesim.units import YARD
from tests.conftest import Run
from tests.course.noted_holes import (
    EXAMPLE,
    GEOD,
    Floats,
    Json,
    WriteNotes,
    plain_notes,
    read_back,
)

# --- a surveyor, who knows the course as read and nothing of how it was drawn ------------------------


def heading(line: LineString, along: float) -> float:
    """Return where a line leads [°], over two metres about a place."""
    a, b = line.interpolate(max(along - 1, 0)), line.interpolate(along + 1)
    return math.degrees(math.atan2(b.x - a.x, b.y - a.y))


def turned(after: float, before: float) -> float:
    return (after - before + 180) % 360 - 180


def along_and_across(line: LineString, outline: Polygon) -> tuple[Floats, Floats]:
    """Return how far along a line [yd] an outline runs, and how far to the right of it [yd]."""
    points = shapely.get_coordinates(outline.segmentize(0.5))
    (ax, ay), (bx, by) = line.coords[-2:]
    share = 100 / math.hypot(bx - ax, by - ay)
    longer = LineString([*line.coords, (bx + share * (bx - ax), by + share * (by - ay))])
    along: Floats = np.atleast_1d(shapely.line_locate_point(longer, shapely.points(points)))
    here, ahead = (
        shapely.get_coordinates(shapely.line_interpolate_point(longer, along + d)) for d in (0, 0.1)
    )
    step, off = ahead - here, points - here
    side = np.sign(step[:, 1] * off[:, 0] - step[:, 0] * off[:, 1])
    return along / YARD, side * np.hypot(*off.T) / YARD


def width_at(line: LineString, outline: Polygon, along: float) -> float:
    """Return how wide an outline is [yd] square to a line, `along` it [yd]."""
    here, angle = line.interpolate(along * YARD), math.radians(heading(line, along * YARD) + 90)
    dx, dy = 100 * math.sin(angle), 100 * math.cos(angle)
    cuts = shapely.get_parts(
        LineString([(here.x - dx, here.y - dy), (here.x + dx, here.y + dy)]).intersection(outline)
    )
    return float(min(cuts, key=here.distance).length / YARD)


def straight_to(line: LineString, distance: float) -> Point:
    """Return the first place of a line so far straight from its start [yd]."""
    rim = Point(line.coords[0]).buffer(distance * YARD, quad_segs=1000).exterior
    cuts = [Point(place) for part in shapely.get_parts(line.intersection(rim)) for place in part.coords]
    return min(cuts, key=line.project)


def begins_and_ends(
    line: LineString, outline: BaseGeometry, start: float, stop: float
) -> tuple[float, float]:
    """Return where an outline begins and ends [yd], each on the way to the middle of the hole there.

    Parameters
    ----------
    start, stop
        Straight distances of the middle of the hole [yd] from the start of the line.
    """
    tee, points = np.array(line.coords[0]), shapely.get_coordinates(outline)
    measured = []
    for distance in (start, stop):
        place = straight_to(line, distance) if distance else line.interpolate(1)
        way = np.array([place.x, place.y]) - tee
        measured.append((points - tee) @ way / np.hypot(*way) / YARD)
    return float(measured[0].min()), float(measured[1].max())


def of(course: Course, ground: Ground) -> list[Polygon]:
    return [area.outline for area in course.areas if area.ground is ground]


def survey(course: Course, content: Json) -> None:
    """Check every number of a hole's notes against the course, to a yard."""
    (hole,) = course.holes
    noted, line = content["holes"][0], hole.line
    length = line.length / YARD
    assert course.guesses == find_gaps(course) == ()
    assert length == pytest.approx(noted["length"], abs=0.2)
    assert {tee.name: tee.length / YARD for tee in hole.tees} == pytest.approx(noted["tees"], abs=0.5)
    assert turned(heading(line, 1), noted["bearing"]) == pytest.approx(0, abs=0.3)
    marks = [0, *(bend["at"] for bend in noted["bends"]), noted["length"]]
    for before, bend, after in zip(marks, noted["bends"], marks[2:], strict=False):
        start, middle, end = (
            heading(line, at * YARD)
            for at in ((before + bend["at"]) / 2, bend["at"], (bend["at"] + after) / 2)
        )
        turn = bend["degrees"] * {"left": -1, "right": 1}[bend["side"]]
        assert turned(end, start) == pytest.approx(turn, abs=0.5)
        # Half of the turn is done at the place noted; a yard off it would be three quarters of a degree.
        assert turned(middle, start) == pytest.approx(turn / 2, abs=1)
    (fairway,), (green,) = of(course, Ground.FAIRWAY), of(course, Ground.GREEN)
    along, _ = along_and_across(line, fairway)
    assert along.min() == pytest.approx(noted["fairway"]["from"], abs=1)
    for width in noted["fairway"]["widths"]:
        at = line.project(straight_to(line, width["at"])) / YARD
        assert width_at(line, fairway, at) == pytest.approx(width["wide"], abs=1)
    along, across = along_and_across(line, green)
    assert np.ptp(along) == pytest.approx(noted["green"]["deep"], abs=1)
    assert np.ptp(across) == pytest.approx(noted["green"]["wide"], abs=1)
    assert (along.max() + along.min()) / 2 == pytest.approx(length, abs=0.5)
    pits = of(course, Ground.BUNKER)
    for outline, bunker in zip(pits, noted["bunkers"] + noted["greenside"], strict=True):
        side = {"left": -1, "right": 1}[bunker["side"]]
        along, across = along_and_across(line, outline)
        beside = fairway if "from" in bunker else green
        assert outline.distance(beside) / YARD == pytest.approx(bunker["off"], abs=1)
        assert (side * across > 0).all()
        if "from" in bunker:
            ends = bunker["from"], bunker["to"]
            assert begins_and_ends(line, outline, *ends) == pytest.approx(ends, abs=0.5)
        else:
            assert np.ptp(along) == pytest.approx(bunker["long"], abs=1)
            assert np.ptp(across) == pytest.approx(bunker["wide"], abs=1)
    strips = {Ground.RED: "water", Ground.TREES: "trees", Ground.OUT: "out_of_bounds"}
    for ground, key in strips.items():
        for outline, strip in zip(of(course, ground), noted[key], strict=True):
            along, across = along_and_across(line, outline)
            side = {"left": -1, "right": 1}[strip["side"]]
            assert (side * across > 0).all()
            assert outline.distance(fairway) / YARD == pytest.approx(strip["off"], abs=1)
            front = line.interpolate(line.length - noted["green"]["deep"] / 2 * YARD)
            front_at = front.distance(Point(line.coords[0])) / YARD
            stop = front_at if strip.get("to", "green") == "green" else strip["to"]
            begins, end = begins_and_ends(line, outline, strip["from"], stop)
            assert begins == pytest.approx(strip["from"], abs=0.5)
            if "to" in strip:
                assert end == pytest.approx(stop, abs=0.5)


# --- notes that hold together, of every kind --------------------------------------------------------


@st.composite
def sound_notes(draw: st.DrawFn) -> Json:
    """Draw notes of one hole that leave nothing open: water and trees on one side, the rest on the other."""

    def number(low: int, high: int) -> int:
        return draw(st.integers(low, high))

    near, far = draw(st.sampled_from([("left", "right"), ("right", "left")]))
    length = number(380, 560)
    bends = [
        {"at": number(200, 240), "side": draw(st.sampled_from(["left", "right"])), "degrees": number(1, 50)}
    ]
    bends.append({"at": number(335, 350), "side": near, "degrees": number(1, 25)})
    bunkers = [
        {"side": near, "from": at, "to": at + number(8, 30), "off": number(0, 8), "wide": number(5, 14)}
        for at in (number(180, 215), number(250, 300))
    ]
    hole = {
        "number": number(1, 18),
        "par": 4 if length < 470 else 5,
        "length": length,
        "tees": {"white": length, "red": length - number(15, 90)},
        "bearing": number(0, 359),
        "bends": bends[: number(0, 2)],
        "fairway": {
            "from": number(110, 150),
            "widths": [
                {"at": at, "wide": number(20, 46)} for at in (175, number(200, 260), number(290, 330))
            ],
        },
        "green": {"wide": number(18, 36), "deep": number(18, 40)},
        "bunkers": bunkers[: number(0, 2)],
        "greenside": [
            {
                "side": draw(st.sampled_from(["left", "right"])),
                "off": 3,
                "long": number(8, 16),
                "wide": number(5, 9),
            }
        ],
        "out_of_bounds": [{"side": near, "from": number(0, 120), "off": number(24, 50)}][: number(0, 1)],
        "water": [
            {
                "side": far,
                "from": number(160, 220),
                "to": draw(st.sampled_from(["green", 320])),
                "off": 12,
                "wide": 40,
            }
        ][: number(0, 1)],
        "trees": [
            {"side": far, "from": number(0, 60), "to": number(200, 340), "off": number(3, 30), "wide": 30}
        ][: number(0, 1)],
    }
    return {"name": "A Course", "at": [number(-60, 60), number(-179, 179)], "holes": [hole]}


thorough = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@settings(thorough, max_examples=60)
@given(content=sound_notes())
def test_what_is_drawn_measures_what_was_noted(write: WriteNotes, content: Json) -> None:
    survey(read_back(write(content)), content)


@st.composite
def odd_notes(draw: st.DrawFn) -> Json:
    """Draw notes whose values each may stand, and which may well contradict one another."""

    def number(low: float, high: float) -> float:
        return draw(st.one_of(st.sampled_from([low, high]), st.floats(low, high).map(lambda x: round(x, 1))))

    def some(make: Callable[[], Json], most: int = 2) -> list[Json]:
        return [make() for _ in range(draw(st.integers(0, most)))]

    length = number(80, 700)
    sides = st.sampled_from(["left", "right"])

    def run() -> Json:
        start = number(0, length - 20)
        return {"from": start, "to": number(start + 1, length), "wide": number(1, 80)}

    def strip() -> Json:
        side = draw(st.sampled_from(["left", "right", "across"]))
        off = {} if side == "across" else {draw(st.sampled_from(["off", "off_line"])): number(0, 150)}
        return run() | {"side": side} | off

    def stations(low: float, high: float) -> list[int]:
        return sorted(draw(st.lists(st.integers(int(low) + 1, int(high)), max_size=3, unique=True)))

    start, stop = number(0, length / 3), number(length / 2, length)
    hole = {
        "number": 1,
        "par": 3 if length < 300 else 4 if length < 480 else 5,
        "length": length,
        "bends": [
            {"at": at, "side": draw(sides), "degrees": number(1, 120)}
            for at in stations(0.2 * length, 0.7 * length)
        ],
        "fairway": {
            "from": start,
            "to": stop,
            "wide": number(5, 80),
            "widths": [{"at": at, "wide": number(5, 80)} for at in stations(start, stop - 1)],
        },
        "green": {"wide": number(5, 60), "deep": number(5, 40)},
        "bunkers": some(lambda: run() | {"side": draw(sides), "off": number(-20, 100)}),
        "greenside": some(
            lambda: {"side": draw(st.sampled_from(["front", "left", "right", "back"])), "off": number(0, 50)}
        ),
        "water": some(strip),
        "scrub": some(strip),
        "streams": some(lambda: {"at": number(20, length), "wide": number(1, 50)}, 1),
    }
    return {"name": "A Course", "holes": [hole]}


@settings(thorough, max_examples=150)
@given(content=odd_notes())
def test_odd_notes_are_drawn_soundly_or_refused_in_a_line(write: WriteNotes, content: Json) -> None:
    try:
        course = read_back(write(content))
    except InputError as error:
        assert str(error).startswith("book.toml: hole 1")  # noqa: PT017 - or it is drawn
    else:
        assert course.guesses == ()
        assert course.holes[0].line.length / YARD == pytest.approx(content["holes"][0]["length"], abs=0.2)


def swapped(content: Json) -> Json:
    """Return notes with left and right exchanged."""
    text = (
        json.dumps(content)
        .replace('"left"', '"LEFT"')
        .replace('"right"', '"left"')
        .replace('"LEFT"', '"right"')
    )
    mirrored: Json = json.loads(text)
    return mirrored


def from_the_tee(features: list[Feature]) -> Iterator[Feature]:
    """Yield what is drawn of a hole, its back tee at the origin."""
    x, y = next(f for f in features if f.tags.get("golf") == "hole").shape.coords[0]
    for feature in features:
        if "leisure" not in feature.tags:
            yield feature._replace(shape=translate(feature.shape, -x, -y))


@settings(thorough, max_examples=20)
@given(content=sound_notes())
def test_left_and_right_exchanged_draw_the_mirror_image(write: WriteNotes, content: Json) -> None:
    hole = content["holes"][0]
    hole["bearing"] = 0
    hole["greenside"] += [{"side": side, "off": 3, "long": 9, "wide": 5} for side in ("front", "back")]
    if not hole["bunkers"]:
        hole["bunkers"] = [{"side": "middle", "from": 240, "to": 250, "wide": 9}]
    hole["water"] += [{"side": "across", "from": 95, "to": 105, "wide": 50}]
    hole["streams"] = [{"at": 300, "wide": 3}]
    one, other = (from_the_tee(draw_course(load_notes(write(each)))) for each in (content, swapped(content)))
    for drawn, mirrored in zip(one, other, strict=True):
        assert drawn.tags == mirrored.tags
        flipped = scale(mirrored.shape, xfact=-1, origin=(0, 0))
        # What is so far off an edge is so to a hundredth of that, as shapely simplifies what it buffers.
        assert drawn.shape.hausdorff_distance(flipped) < 0.2


def test_the_unit_is_the_files(write: WriteNotes) -> None:
    in_yards = plain_notes(bunkers=[{"side": "left", "from": 230, "to": 250, "off": 3, "wide": 9}])
    in_metres = json.loads(json.dumps(in_yards), parse_int=lambda text: float(text) * YARD)
    in_metres |= {"units": "metres", "at": in_yards["at"]}
    in_metres["holes"][0] |= {"number": 7, "par": 4, "bearing": 90}
    one, other = (from_the_tee(draw_course(load_notes(write(each)))) for each in (in_yards, in_metres))
    for a, b in zip(one, other, strict=True):
        assert a.name == b.name
        assert a.shape.hausdorff_distance(b.shape) < 1e-6


def test_on_the_earth_a_hole_is_as_long_and_leads_as_noted(write: WriteNotes) -> None:
    # The inverse geodesic problem on the WGS84 ellipsoid (Karney, J. Geodesy 87, 2013), by pyproj.
    content = plain_notes(bearing=137, bends=[{"at": 240, "side": "left", "degrees": 40}])
    booklet = load_notes(write(content))
    features = json.loads(to_geojson(draw_course(booklet), 10, 20))["features"]
    (line,) = (f["geometry"]["coordinates"] for f in features if f["properties"].get("golf") == "hole")
    longitudes, latitudes = np.transpose(line)
    assert GEOD.line_length(longitudes, latitudes) == pytest.approx(400 * YARD, abs=0.1)
    bearing, _, _ = GEOD.inv(*line[0], *line[1])
    assert bearing == pytest.approx(137, abs=0.05)
    # RFC 7946: an outer ring runs against the clock.
    for feature in features:
        if feature["geometry"]["type"] == "Polygon":
            assert shapely.LinearRing(feature["geometry"]["coordinates"][0]).is_ccw


def test_water_and_bunkers_in_the_middle(write: WriteNotes) -> None:
    content = plain_notes(
        water=[{"side": "across", "from": 160, "to": 190, "wide": 80, "marked": "yellow"}],
        bunkers=[{"side": "middle", "from": 250, "to": 262, "wide": 12}],
        streams=[{"at": 300, "wide": 5}],
    )
    course = read_back(write(content))
    (hole,), (pond,), (stream,), (pit,) = (
        course.holes,
        of(course, Ground.YELLOW),
        of(course, Ground.RED),
        of(course, Ground.BUNKER),
    )
    for outline, start, stop in ((pond, 160, 190), (pit, 250, 262), (stream, 297.5, 302.5)):
        carried = hole.line.intersection(outline)
        ends = sorted(hole.line.project(Point(point)) / YARD for point in carried.coords)
        assert ends == pytest.approx([start, stop], abs=0.7)
    _, across = along_and_across(hole.line, pond)
    assert (across.min(), across.max()) == pytest.approx((-40, 40), abs=0.5)
    _, across = along_and_across(hole.line, stream)
    assert across.max() > 50


def test_out_of_bounds_off_the_line_is_straight(write: WriteNotes) -> None:
    fairway = {"from": 150, "widths": [{"at": 200, "wide": 40}, {"at": 300, "wide": 20}]}
    content = plain_notes(
        fairway=fairway, out_of_bounds=[{"side": "right", "from": 180, "to": 340, "off_line": 31}]
    )
    course = read_back(write(content))
    (area,) = of(course, Ground.OUT)
    along, across = along_and_across(course.holes[0].line, area)
    assert (along.min(), along.max()) == pytest.approx((180, 340), abs=1)
    assert across.min() == pytest.approx(31, abs=0.3)
    assert across.max() == pytest.approx(HOLE_MARGIN / YARD, abs=1)


def test_inside_a_sharp_bend_all_is_filled_and_nothing_reaches_the_next_leg(write: WriteNotes) -> None:
    bends = [{"at": 220, "side": "left", "degrees": 85}]
    content = plain_notes(
        length=420, bends=bends, out_of_bounds=[{"side": "left", "from": 100, "to": 330, "off": 20}]
    )
    course = read_back(write(content))
    (area,) = of(course, Ground.OUT)
    (fairway,) = of(course, Ground.FAIRWAY)
    assert course.guesses == ()
    assert not area.interiors
    assert area.distance(fairway) / YARD == pytest.approx(20, abs=1)
    line = course.holes[0].line
    corner = line.interpolate(220 * YARD)
    inwards = line.interpolate(0.5, normalized=True).distance(corner)
    assert inwards < 10
    chord = LineString([line.interpolate(120 * YARD), line.interpolate(310 * YARD)])
    assert area.covers(chord.interpolate(0.5, normalized=True))


def test_heights_and_firmness_stand_where_they_were_noted(write: WriteNotes) -> None:
    heights = [{"at": at, "height": height} for at, height in ((0, 10), (60, 8), (250, 4), ("green", 20))]
    content = plain_notes(
        tees={"white": 400, "red": 340},
        heights=heights,
        green={"wide": 24, "deep": 30, "firmness": "soft"},
        fairway={"from": 150, "wide": 30, "firmness": "firm"},
        trees=[{"side": "left", "from": 100, "to": 200, "off": 9, "wide": 20, "height": 11}],
    )
    features = draw_course(load_notes(write(content | {"firmness": "medium"})))
    tags = {feature.name: feature.tags for feature in features}
    assert tags["A Course"]["firmness"] == "medium"
    assert tags["hole 7 fairway"]["firmness"] == "firm"
    assert (tags["hole 7 green"]["firmness"], tags["hole 7 green"]["ele"]) == ("soft", "18.3")
    assert (tags["hole 7 white tee"]["ele"], tags["hole 7 red tee"]["ele"]) == ("9.1", "7.3")
    assert tags["hole 7 trees"]["height"] == "10.1"
    spots = [feature for feature in from_the_tee(features) if set(feature.tags) == {"ele"}]
    places = [
        (spot.shape.centroid.x / YARD, spot.shape.centroid.y / YARD, spot.tags["ele"]) for spot in spots
    ]
    # Over the breadth of the hole.
    at_250 = sorted((y, ele) for x, y, ele in places if abs(x - 250) < 1)
    assert [ele for _, ele in at_250] == ["3.7"] * 3
    assert [y for y, _ in at_250] == pytest.approx([-80, 0, 80], abs=0.5)


def test_a_hole_without_heights_is_level_beside_one_that_falls(write: WriteNotes) -> None:
    falls = plain_notes(number=1, heights=[{"at": 0, "height": 40}, {"at": "green", "height": 0}])
    level = plain_notes(number=2)
    content = falls | {"holes": [*falls["holes"], *level["holes"]]}
    course = read_back(write(content))
    ground = map_ground(course)
    for hole, fall in zip(course.holes, (40 * YARD, 0.0), strict=True):
        tee = hole.tees[0]
        assert ground.elevation(tee.x, tee.y) - ground.elevation(*hole.pin) == pytest.approx(fall, abs=1.0)
        # And leans to neither side.
        middle = hole.line.interpolate(0.5, normalized=True)
        left, right = (ground.elevation(middle.x, middle.y + way * 20) for way in (1, -1))
        assert abs(left - right) / 40 < 0.01
    assert read_back(write(level)).spots == ()


def test_an_island_is_a_green_with_water_all_around(write: WriteNotes) -> None:
    content = plain_notes(par=3, length=160, fairway={"from": 130, "wide": 20}, island={"off": 8, "wide": 20})
    course = read_back(write(content))
    (moat,) = of(course, Ground.RED)
    (green,) = of(course, Ground.GREEN)
    assert len(moat.interiors) == 1
    assert moat.distance(green) / YARD == pytest.approx(8, abs=0.5)
    assert moat.exterior.distance(green) / YARD == pytest.approx(28, abs=0.5)
    assert Polygon(moat.interiors[0]).contains(green)


# --- the example ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Course:
    copy = tmp_path_factory.mktemp("example") / "example.toml"
    copy.write_bytes(EXAMPLE.read_bytes())
    return read_back(copy)


def test_the_example_leaves_nothing_open_but_on_its_last_hole(example: Course) -> None:
    assert example.guesses == find_gaps(example) == ()
    assert {guess.place for guess in load_notes(EXAMPLE).guesses} == {"hole 9"}
    assert [hole.par for hole in example.holes] == [4, 4, 3, 4, 5, 4, 3, 4, 5]


def test_the_example_measures_what_was_noted(example: Course) -> None:
    by_number = {hole.number: hole for hole in load_notes(EXAMPLE).holes}
    for hole in example.holes:
        noted = by_number[hole.number]
        assert hole.line.length == pytest.approx(noted.length, abs=0.2)
        assert {tee.name: tee.length for tee in hole.tees} == pytest.approx(dict(noted.tees), abs=0.5)
        (fairway,) = (area for area in of(example, Ground.FAIRWAY) if area.intersects(hole.line))
        for at, wide in noted.fairway.widths:
            if noted.fairway.start < at < noted.fairway.stop:
                assert width_at(hole.line, fairway, at / YARD) == pytest.approx(wide / YARD, abs=1)
        assert hole.stroke_index == noted.stroke_index


def test_no_hole_of_the_example_comes_into_play_on_another() -> None:
    drawn: dict[str, list[Feature]] = {}
    boundary, *features = draw_course(load_notes(EXAMPLE))
    for feature in features:
        drawn.setdefault(feature.name[:6], []).append(feature)
    whole = {name: shapely.union_all([f.shape for f in parts]) for name, parts in drawn.items()}
    for one, other in combinations(drawn, 2):
        line = next(f.shape for f in drawn[one] if f.tags.get("golf") == "hole")
        assert line.distance(whole[other]) >= HOLE_MARGIN - 0.5
    assert all(boundary.shape.covers(shape) for shape in whole.values())


# --- notes that contradict themselves ---------------------------------------------------------------


def widths(*pairs: tuple[float, float]) -> Json:
    return {"from": 150, "widths": [{"at": at, "wide": wide} for at, wide in pairs]}


def beside(start: float, stop: object, **more: object) -> Json:
    return {"side": "left", "from": start, "to": stop, **more}


SHARP: Json = {"at": 220, "side": "left", "degrees": 80}


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        (
            {"bends": [SHARP], "bunkers": [beside(340, 350)]},
            "bunkers 1: ends at 350 yd, past the end of the hole at 323.6 yd; give distances straight from",
        ),
        (
            {"bends": [SHARP], "water": [beside(215, 235, off_line=20, wide=90)]},
            "water 1: would measure 214.8 yd to 272.1 yd, not 215 yd to 235 yd; the hole bends too sharply",
        ),
        (
            {"bends": [{"at": 450, "side": "left", "degrees": 20}]},
            "bends 1: bends at 450 yd, not between tee and green",
        ),
        (
            {"bends": [{"at": at, "side": "left", "degrees": 9} for at in (250, 200)]},
            "bends: 200 yd comes after 250 yd",
        ),
        (
            {"bends": [{"at": at, "side": "right", "degrees": 100} for at in (180, 230)]},
            "bends: fold the hole onto itself at ",
        ),
        (
            {"bends": [{"at": at, "side": "right", "degrees": 110} for at in (120, 220, 330)]},
            "bends: fold the hole onto itself at ",
        ),
        ({"bunkers": [beside(258, 235)]}, "bunkers 1: runs from 258 yd to 235 yd; give the distance nearer"),
        ({"bunkers": [beside(395, 410)]}, "bunkers 1: ends at 410 yd, past the end of the hole at 400 yd"),
        (
            {"bunkers": [{"side": "middle", "from": 390, "to": 399, "wide": 6}]},
            "bunkers 1: covers part of the green",
        ),
        (
            {"bunkers": [{"side": "middle", "from": 240, "to": 250, "wide": 31}]},
            "bunkers 1: reaches 31 yd into a fairway 30 yd wide",
        ),
        (
            {"bunkers": [beside(240, 250, off=-35, wide=9)]},
            "bunkers 1: reaches 35 yd into a fairway 30 yd wide",
        ),
        (
            {"bunkers": [{"side": "middle", "from": 240, "to": 250, "off": 3}]},
            "bunkers 1: is in the middle, so it has no off",
        ),
        (
            {"bunkers": [beside(240, 260, off=6, wide=9)], "water": [beside(180, "green", off=10, wide=30)]},
            "bunkers 1: covers part of the water 1",
        ),
        (
            {"fairway": widths((200, 30), (250, 70)), "water": [beside(180, "green", off_line=20, wide=30)]},
            "water 1: lies 20 yd off the line; fairway or green reach 35 yd",
        ),
        (
            {"out_of_bounds": [{"side": "right", "off_line": 12}]},
            "out_of_bounds 1: lies 12 yd off the line; fairway or green reach 15 yd",
        ),
        ({"fairway": widths((260, 30), (220, 25))}, "fairway.widths: 220 yd comes after 260 yd"),
        ({"fairway": widths((220, 30), (220, 25))}, "fairway.widths: two are at 220 yd; take one out"),
        ({"fairway": widths((120, 30))}, "fairway.widths: 120 yd is not on the fairway"),
        ({"fairway": {"from": 150, "to": 140}}, "fairway: runs from 150 yd to 140 yd"),
        (
            {"fairway": widths((150, 30)) | {"wide": 20}},
            "fairway: has two widths at 150 yd, where it begins",
        ),
        (
            {"water": [beside(390, "green")]},
            "water 1: begins at 390 yd, past the front of the green at 385 yd",
        ),
        (
            {"water": [beside(180, "green", off=9, off_line=30)]},
            "water 1: has a distance off the fairway and one off the line",
        ),
        (
            {"water": [{"side": "across", "from": 100, "off": 9}]},
            "water 1: lies across the hole, so it has no off",
        ),
        ({"water": [{"side": "across", "from": 0, "to": 50}]}, "water 1: covers part of the back tee"),
        ({"trees": [beside(100, 200, off=150)]}, "trees 1: lies too far from the hole to be in play"),
        ({"streams": [{"at": 390}]}, "streams 1: crosses at 390 yd, not between tee and green"),
        ({"heights": [{"at": 420, "height": 3}]}, "heights: 420 yd is past the end of the hole at 400 yd"),
        ({"heights": [{"at": 0, "height": 3}]}, "heights: has one height only; note the tee's, at 0,"),
        ({"heights": [{"at": 9, "height": 3}, {"at": 9, "height": 4}]}, "heights: two are at 9 yd"),
        ({"tees": {"red": 410}}, "tees.red: 410 yd is more than the hole's 400 yd"),
        ({"tees": {"back": 380}}, "tees.back: 380 yd is not the length, 400 yd; correct one of them"),
        ({"tees": {"red": 12}}, "a hole of 12 yd from the red tee is too short; give 30 yd or more"),
        ({"par": 3, "length": 500}, "is a par 3 of 500 yd; correct its par or length"),
        ({"par": 5, "length": 250}, "is a par 5 of 250 yd; correct its par or length"),
        ({"par": 7, "length": 400}, "is a par 7 of 400 yd; correct its par or length"),
        (
            {"green": {"wide": 24, "deep": 200}},
            "green.deep: input should be less than or equal to 100, not 200",
        ),
    ],
)
def test_a_contradiction_says_how(write: WriteNotes, more: Json, expected: str) -> None:
    with pytest.raises(InputError) as caught:
        draw_course(load_notes(write(plain_notes(**more))))
    place = "hole 7: " if expected.startswith(("a hole", "is a par")) else "hole 7, "
    assert str(caught.value).startswith(f"book.toml: {place}{expected}")


# --- the command ------------------------------------------------------------------------------------


def test_the_command_writes_what_it_prints_and_the_same_again(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "new" / "course.geojson"
    code, said, err = run("draw", str(EXAMPLE), "--out", str(out))
    assert (code, said) == (0, "")
    assert "holesim: guessed: oxlip_warren.toml: hole 9: no green.wide, taken as 26 yd; note it\n" in err
    assert list(out.parent.iterdir()) == [out]
    first = out.read_text(encoding="utf-8")
    code, said, _ = run("draw", str(EXAMPLE))
    assert (code, said) == (0, first)
    code, said, _ = run("check", str(out))
    assert code == 0
    code, _, err = run("draw", str(EXAMPLE), "--out", str(tmp_path))
    assert (code, err.count("\n")) == (2, 6)
    assert "is a folder; give a file" in err
