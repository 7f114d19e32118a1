"""A hazard drawn by its numbers measures them, in the course file and on the plan."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point

from holesim.course.course import NAMES, Course, Ground
from holesim.course.line_distances import near_and_far
from holesim.course.noted_hazards import NotedHazard, draw_noted
from holesim.course.yardage_notes import Side
from holesim.errors import InputError
from holesim.plan.hazards_in_play import HazardInPlay, find_hazards
from holesim.units import YARD
from tests.course.noted_holes import Json, WriteNotes, plain_hole, read_back

HOLES = 50


@dataclass(frozen=True)
class Noted:
    """A hazard among the notes of one hole: what the plan should call it, and its two distances [yd]."""

    what: str
    side: str
    near: float
    far: float


def random_hole(number: int, rng: np.random.Generator) -> tuple[Json, Noted]:
    """Return the notes of a hole with one hazard, three holes in four with a dogleg, and the hazard."""
    bends = [
        {"at": int(rng.integers(195, 260)), "side": side, "degrees": int(rng.integers(5, 55))}
        for side in [str(rng.choice(["left", "right"]))]
        if number % 4
    ]
    near = round(float(rng.uniform(185, 285)), 1)
    far = round(near + float(rng.choice([3, 6, 12, 25])), 1)
    kind = ("bunkers", "water", "across", "creek", "middle")[number % 5]
    side, wide = str(rng.choice(["left", "right"])), float(rng.integers(6, 40))
    hazard: Json = {"side": side, "from": near, "to": far, "off": int(rng.integers(0, 9)), "wide": wide}
    ground = Ground.BUNKER if kind in ("bunkers", "middle") else Ground.RED
    if kind in ("across", "creek", "middle"):
        side = "across"
        hazard = {"side": kind, "from": near, "to": far, "wide": 60 if kind == "across" else 8}
    if kind == "creek":
        hazard = {"at": round((near + far) / 2, 3), "wide": round(far - near, 3)}
    key = {"across": "pond", "middle": "bunkers"}.get(kind, kind)
    hole = plain_hole() | {"number": number, "length": 430, "bearing": int(rng.integers(0, 360))}
    return hole | {"bends": bends, key: [hazard]}, Noted(NAMES[ground], side, near, far)


def in_play(course: Course, number: int, aim_at: float) -> tuple[HazardInPlay, ...]:
    """Return what is in the way of a drive of 240 yd, aimed at the middle of the hole at a distance."""
    hole = next(hole for hole in course.holes if hole.number == number)
    tee = hole.tees[0]
    rim = Point(tee.x, tee.y).buffer(aim_at * YARD, quad_segs=200).exterior
    middle = shapely.get_coordinates(hole.line.intersection(rim))[0]
    return find_hazards(
        course, hole, tee, tee.bearing(*middle), carry=240 * YARD, total=280 * YARD, carry_sd=8, side_sd=60
    )


def test_the_plan_prints_the_numbers_that_were_noted(write: WriteNotes) -> None:
    rng = np.random.default_rng(29)
    pairs = [random_hole(number, rng) for number in range(1, HOLES + 1)]
    for first in range(0, HOLES, 25):  # notes hold up to 36 holes
        some = pairs[first : first + 25]
        course = read_back(write({"name": "A Course", "at": [10, 20], "holes": [hole for hole, _ in some]}))
        for hole, noted in some:
            found = [h for h in in_play(course, hole["number"], noted.near) if h.what == noted.what]
            assert [h.side for h in found] == [noted.side], hole
            assert found[0].near / YARD == pytest.approx(noted.near, abs=0.5), hole
            assert found[0].far / YARD == pytest.approx(noted.far, abs=0.5), hole


@pytest.mark.parametrize("aim", [-6, 0, 6])
def test_a_creek_is_carried_at_its_number_whatever_the_aim(write: WriteNotes, aim: float) -> None:
    hole = plain_hole() | {"creek": [{"at": 290, "wide": 6}]}
    course = read_back(write({"name": "A Course", "at": [10, 20], "holes": [hole]}))
    (played,) = course.holes
    tee = played.tees[0]
    heading = tee.bearing(*played.pin) + math.radians(aim)
    drive = {"carry": 255 * YARD, "total": 275 * YARD, "carry_sd": 9.0, "side_sd": 18.0}
    (creek,) = find_hazards(course, played, tee, heading, **drive)
    assert (creek.way, creek.side) == ("reach", "across")
    assert (creek.near / YARD, creek.far / YARD) == pytest.approx((287, 293), abs=0.3)


def test_from_another_tee_the_numbers_are_less_by_what_it_lies_forward(write: WriteNotes) -> None:
    hole = plain_hole() | {
        "tees": {"white": 400, "red": 340},
        "lake": [{"side": "left", "from": 250, "to": 280}],
    }
    course = read_back(write({"name": "A Course", "at": [10, 20], "holes": [hole]}))
    (played,) = course.holes
    (lake,) = (area.outline for area in course.areas if area.ground is Ground.RED)
    for tee, forward in zip(played.tees, (0, 60), strict=True):
        measured = near_and_far(played.line, (tee.x, tee.y), lake)
        assert np.array(measured) / YARD == pytest.approx([250 - forward, 280 - forward], abs=0.5)


# --- on a hole as somebody drew it ------------------------------------------------------------------


def lines(rng: np.random.Generator) -> Iterator[LineString]:
    """Yield lines of holes with one or two sharp corners of up to 55°, and in between straight ones."""
    for number in range(60):
        bearing, ends = rng.uniform(0, 2 * np.pi), [rng.uniform(-500, 500, 2)]
        for length in rng.uniform(130, 220, 1 + number % 3):
            ends.append(ends[-1] + length * np.array([np.sin(bearing), np.cos(bearing)]))
            bearing += math.radians(rng.uniform(-55, 55))
        yield LineString(ends)


def test_a_hazard_on_a_drawn_line_measures_its_numbers_and_keeps_off_the_line() -> None:
    rng = np.random.default_rng(5)
    refused = 0
    for line in lines(rng):
        tee = line.coords[0]
        start = float(rng.uniform(20, 0.8 * Point(tee).distance(Point(line.coords[-1]))))
        noted = NotedHazard(
            Ground.RED,
            rng.choice(["left", "right", "across"]),
            start=start,
            stop=start + float(rng.choice([2, 8, 20])),
            wide=float(rng.uniform(4, 60)),
            off=float(rng.uniform(0, 30)),
        )
        try:
            drawn = draw_noted(line, noted)
        except InputError as error:
            assert "the hole bends too sharply there" in str(error)  # noqa: PT017 - or it is drawn
            refused += 1
            continue
        assert drawn.is_valid
        # As it was noted: along the way from the tee to where the line first is so far from it.
        for distance, sign in ((noted.start, 1), (noted.stop, -1)):
            rim = line.intersection(Point(tee).buffer(distance, quad_segs=2000).exterior)
            place = min((Point(p) for p in shapely.get_coordinates(rim)), key=line.project)
            way = (np.array(place.coords[0]) - tee) / distance
            level = (shapely.get_coordinates(drawn) - tee) @ way
            least = (sign * level).min()
            assert sign * least == pytest.approx(distance, abs=0.5 * YARD)
            # Its end is straight and whole: as wide as the hazard is where nothing bends.
            at_end = shapely.get_coordinates(drawn)[abs(level - distance) < 0.01]
            assert np.hypot(*np.ptp(at_end, axis=0)) > 0.8 * noted.wide
        if noted.side != "across":
            assert drawn.distance(line) == pytest.approx(noted.off, abs=0.3)
    assert refused <= 3


@pytest.mark.parametrize(
    ("side", "wide", "off", "expected"),
    [
        ("left", 9, 18, (-27, 190, -18, 205)),
        ("right", 9, 18, (18, 190, 27, 205)),
        ("right", 9, 0, (0, 190, 9, 205)),
        ("across", 40, 0, (-20, 190, 20, 205)),
        # No farther out than what belongs to the hole, 160 yards to either side.
        ("across", 900, 0, (-160 * YARD, 190, 160 * YARD, 205)),
        ("left", 900, 20, (-160 * YARD, 190, -20, 205)),
    ],
)
def test_on_a_straight_hole_it_is_a_rectangle(
    side: Side, wide: float, off: float, expected: tuple[float, float, float, float]
) -> None:
    """From 190 to 205 m on a hole due north, x to the right."""
    noted = NotedHazard(Ground.RED, side, start=190, stop=205, wide=wide, off=off)
    drawn = draw_noted(LineString([(0, 0), (0, 380)]), noted)
    assert drawn.bounds == pytest.approx(expected, abs=0.01)
    assert drawn.area == pytest.approx((expected[2] - expected[0]) * 15, rel=1e-3)


def test_a_hazard_may_begin_at_the_back_tee() -> None:
    drawn = draw_noted(LineString([(0, 0), (0, 380)]), NotedHazard(Ground.RED, "left", 0, 20, wide=9, off=5))
    assert drawn.bounds == pytest.approx((-14, 0, -5, 20), abs=0.01)


@pytest.mark.parametrize(
    ("noted", "expected"),
    [
        (
            NotedHazard(Ground.RED, "left", start=200, stop=190, wide=9, off=9),
            "runs from 218.7 yd to 207.8 yd",
        ),
        (
            NotedHazard(Ground.RED, "left", start=440, stop=450, wide=9, off=9),
            "ends at 492.1 yd, past the end",
        ),
        (
            NotedHazard(Ground.RED, "left", start=200, stop=210, wide=0, off=9),
            "is 0 yd wide and 9.843 yd off",
        ),
        (
            NotedHazard(Ground.RED, "left", start=200, stop=210, wide=9, off=-1),
            "is 9.843 yd wide and -1.094 yd off",
        ),
    ],
)
def test_numbers_that_make_no_hazard_are_refused(noted: NotedHazard, expected: str) -> None:
    with pytest.raises(InputError) as caught:
        draw_noted(LineString([(0, 0), (0, 380)]), noted)
    assert str(caught.value).startswith(f"the hazard: {expected}")
