"""Aims told by what can be seen from the tee, worked by hand.

A straight hole of 400 m, due north from the tee, and a drive of 250 m. An edge x metres to the right, at the
distance d, has the bearing arc sine of x / d. Places are given from the tee, which lies
somewhere on the plane.
"""

from collections.abc import Sequence
from math import asin, atan, atan2, degrees, pi, radians

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon, box

from holesim.course.course import Area, Course, Ground
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import Mark, Sight, find_sights, half_turn, line_bearing, mark_aim

STEP = 0.1
"""Bearings are looked along every tenth of a degree for trees, and every half of that for fairways."""


TEE = Tee("back", 1000.0, -500.0, 400.0)


def laid(shape: Polygon) -> Polygon:
    return translate(shape, TEE.x, TEE.y)


def painted(*rectangles: tuple[Ground, float, float, float, float]) -> GroundMap:
    """Return the map of rectangles (left, near, right, far) in rough."""
    rough = Area(Ground.ROUGH, laid(box(-600, -100, 600, 700)), "rough")
    areas = (
        rough,
        *(
            Area(ground, laid(box(left, near, right, far)), "")
            for ground, left, near, right, far in rectangles
        ),
    )
    return map_ground(course_of(hole((0.0, 0.0), (0.0, 400.0)), areas))


def course_of(played: Hole, areas: tuple[Area, ...]) -> Course:
    return Course("A Course", (played,), areas, None, "a.geojson", "0" * 64)


def hole(*line: tuple[float, float]) -> Hole:
    places = [(TEE.x + x, TEE.y + y) for x, y in line]
    return Hole(1, 4, 1, LineString(places), (TEE,), Point(*places[-1]).buffer(12), places[-1])


def seen(
    ground: GroundMap, *bunkers: Polygon, drive: float = 250.0, pin: float = 400.0
) -> dict[str, tuple[float, float]]:
    """Return the bearing [degrees] and the distance [m] of each sight, by what it is called."""
    areas = tuple(Area(Ground.BUNKER, laid(outline), "") for outline in bunkers)
    played = hole((0.0, 0.0), (0.0, pin))
    found = find_sights(course_of(played, areas), played, TEE, ground, drive=drive)
    return {sight.label: (degrees(sight.bearing), sight.distance) for sight in found}


def sine(x: float, distance: float) -> float:
    return degrees(asin(x / distance))


# --- what can be seen -----------------------------------------------------------------------------


def test_the_flag_and_the_middle_of_the_fairway_where_the_drive_stops() -> None:
    """A fairway from 20 m left to 40 m right is 4.59° left to 9.21° right at 250 m; in the middle 2.31°."""
    found = seen(painted((Ground.FAIRWAY, -20, 100, 40, 380)))
    assert found.keys() == {"the flag", "mid-fairway"}
    assert found["the flag"] == (0.0, 400.0)
    bearing, distance = found["mid-fairway"]
    assert bearing == pytest.approx((sine(40, 250) - sine(20, 250)) / 2, abs=STEP)
    assert distance == 250.0


def test_of_two_fairways_the_one_nearer_the_holes_line_is_aimed_at() -> None:
    """One begins 60 m left and the other 30 m right of it, 6.89° to 16.26°: its middle is 11.58°."""
    two = painted((Ground.FAIRWAY, -100, 100, -60, 380), (Ground.FAIRWAY, 30, 100, 70, 380))
    assert seen(two)["mid-fairway"][0] == pytest.approx(11.58, abs=STEP)
    mirrored = painted((Ground.FAIRWAY, 60, 100, 100, 380), (Ground.FAIRWAY, -70, 100, -30, 380))
    assert seen(mirrored)["mid-fairway"][0] == pytest.approx(-11.58, abs=STEP)


def test_a_drive_past_the_flag_looks_no_farther_than_the_flag() -> None:
    found = seen(painted((Ground.FAIRWAY, -20, 100, 40, 380)), pin=200.0)
    assert found["mid-fairway"][1] == found["the flag"][1] == 200.0
    assert "mid-fairway" not in seen(painted((Ground.FAIRWAY, -20, 100, 40, 240)))


def test_the_edges_of_the_trees_that_frame_the_landing() -> None:
    """Looked at from 0.6 to 1.15 of the drive, 150 to 287.5 m, beyond which an edge comes no nearer the aim.

    From 30 m right, 5.99° at 287.5 m; from 50 m left, 10.01°.
    """
    woods = painted((Ground.TREES, 30, 0, 90, 400), (Ground.TREES, -90, 0, -50, 400))
    found = seen(woods)
    sides = {f"the edge of the trees on the {side}" for side in ("left", "right")}
    assert found.keys() == {"the flag", *sides}
    bearing, distance = found["the edge of the trees on the right"]
    assert (bearing, distance) == pytest.approx((sine(30, 287.5), 287.5), abs=STEP)
    bearing, distance = found["the edge of the trees on the left"]
    assert (bearing, distance) == pytest.approx((-sine(50, 287.5), 287.5), abs=STEP)
    # Trees that end at 200 m are seen at their far corner, 8.62° right.
    short = seen(painted((Ground.TREES, 30, 0, 90, 200)))
    assert short.keys() == {"the flag", "the edge of the trees on the right"}
    assert short["the edge of the trees on the right"][0] == pytest.approx(degrees(atan(30 / 200)), abs=0.4)
    assert 180 < short["the edge of the trees on the right"][1] < 205


def test_trees_are_looked_for_about_the_middle_of_the_fairway() -> None:
    """It lies 11.58° right; trees from 20 m right to 28 m, 4.0 to 5.6° at 287.5 m, are left of it."""
    ground = painted((Ground.FAIRWAY, 30, 100, 70, 380), (Ground.TREES, 20, 250, 28, 400))
    assert "the edge of the trees on the left" in seen(ground)
    assert "the edge of the trees on the right" not in seen(ground)


def test_where_trees_stand_in_the_middle_they_frame_nothing() -> None:
    assert seen(painted((Ground.TREES, -5, 240, 90, 400))).keys() == {"the flag"}
    # Nearer than 150 m or farther than 287.5 m they do not stand about the landing.
    away = painted((Ground.TREES, 30, 0, 60, 130), (Ground.TREES, -90, 290, -50, 400))
    assert seen(away).keys() == {"the flag"}


def test_the_two_edges_of_a_bunker() -> None:
    """40 to 20 m left, at 230 to 250 m: the left edge is the near left corner, the right the far right."""
    found = seen(painted(), box(-40, 230, -20, 250))
    assert found.keys() == {"the flag", "the left edge of the bunker", "the right edge of the bunker"}
    left, right = found["the left edge of the bunker"], found["the right edge of the bunker"]
    assert left == pytest.approx((-degrees(atan(40 / 230)), 241.9), abs=3)
    assert left[0] == pytest.approx(-degrees(atan(40 / 230)))
    assert right[0] == pytest.approx(-degrees(atan(20 / 250)))


def test_bunkers_as_far_as_one_another_are_called_left_and_right() -> None:
    left, middle, right = box(-50, 230, -40, 240), box(-5, 232, 5, 242), box(40, 234, 50, 244)
    names = ["the flag", "the left edge of the left bunker", "the right edge of the left bunker"]
    assert list(seen(painted(), left))[1] == "the left edge of the bunker"
    pair = list(seen(painted(), left, right))
    assert pair == [*names, "the left edge of the right bunker", "the right edge of the right bunker"]
    three = list(seen(painted(), left, right, middle))
    assert three == [*pair, "the left edge of the bunker", "the right edge of the bunker"]
    # Where one is 15 m farther or more, their distances tell them apart.
    assert seen(painted(), left, box(40, 260, 50, 270)).keys() == {
        "the flag", "the left edge of the bunker", "the right edge of the bunker",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("bunker", "drive", "pin", "found"),
    [
        (box(-5, 335, 5, 345), 250, 400, True),  # within 1.4 of the drive, 350 m
        (box(-5, 355, 5, 365), 250, 400, False),
        (box(-5, 160, 5, 170), 250, 150, True),  # within 20 m past the flag
        (box(-5, 172, 5, 182), 250, 150, False),
        (box(100, 195, 110, 205), 250, 400, True),  # to 29.4° of the flag
        (box(105, 195, 115, 205), 250, 400, False),  # to 30.5°
        (box(-110, 195, -100, 205), 250, 400, True),
        (box(-115, 195, -105, 205), 250, 400, False),
        (box(-5, -205, 5, -195), 250, 400, False),  # behind the tee
    ],
)
def test_bunkers_too_far_off_are_no_sights(bunker: Polygon, drive: float, pin: float, *, found: bool) -> None:
    assert ("the left edge of the bunker" in seen(painted(), bunker, drive=drive, pin=pin)) == found


def test_a_bunker_north_of_a_hole_to_the_south_is_not_split_by_the_turn_of_bearings() -> None:
    played = hole((0.0, 0.0), (0.0, -400.0))
    bunker = Area(Ground.BUNKER, laid(box(-10, -250, 10, -240)), "")
    course = Course("A Course", (played,), (bunker,), None, "a.geojson", "0" * 64)
    sights = find_sights(course, played, TEE, painted(), drive=250.0)
    _, left, right = sights
    # Seen to the south, left is east; the flag's bearing is 180°.
    assert degrees(left.bearing) == pytest.approx(180 - degrees(atan(10 / 240)))
    assert degrees(right.bearing) == pytest.approx(180 + degrees(atan(10 / 240)))


# --- the aim by them ------------------------------------------------------------------------------

FLAG = Sight("the flag", 0.0, 400.0)
MIDDLE = Sight("mid-fairway", radians(2), 250.0)
EDGE = Sight("the right edge of the bunker", radians(3), 240.0)


@pytest.mark.parametrize(
    ("heading", "label", "right"),
    [
        (3.1, "mid-fairway", 4.80),  # 1.1° at 250 m, under 10 yards: the bunker's edge, 0.4 m off, waits
        (4.0, "mid-fairway", 8.73),
        (4.2, "the right edge of the bunker", 5.03),  # 9.6 m from mid-fairway, over 10 yards
        (6.0, "the right edge of the bunker", 12.57),
        (-2.2, "the flag", -15.36),  # mid-fairway 18.3 m off, the edge 21.8 m
        (1.0, "mid-fairway", -4.36),  # the flag is 7.0 m off
        (0.6, "the flag", 4.19),  # mid-fairway is 6.1 m off
        (362.5, "mid-fairway", 2.18),  # the turn counts for nothing
    ],
)
def test_an_aim_is_told_by_what_is_nearest_to_it(heading: float, label: str, right: float) -> None:
    for order in ((FLAG, MIDDLE, EDGE), (EDGE, MIDDLE, FLAG)):
        mark = mark_aim(radians(heading), order)
        assert mark.sight.label == label
        assert mark.offset == pytest.approx(right, abs=0.01)


@pytest.mark.parametrize(
    ("sight", "offset", "said", "metric"),
    [
        (FLAG, 0.0, "at the flag", "at the flag"),
        (FLAG, 0.4, "at the flag", "at the flag"),
        (FLAG, 5.0, "5 yd right of the flag", "5 m right of the flag"),
        (MIDDLE, -9.0, "10 yd left of mid-fairway", "9 m left of mid-fairway"),
        (FLAG, -27.4, "30 yd left of the flag", "27 m left of the flag"),
        # From 30 yards on degrees say more: 40 m at 400 m are 5.7°.
        (FLAG, 40.0, "6° (44 yd) right of the flag", "6° (40 m) right of the flag"),
        (FLAG, -40.0, "6° (44 yd) left of the flag", "6° (40 m) left of the flag"),
        (EDGE, 0.0, "at the right edge of the bunker at 262 yd", "at the right edge of the bunker at 240 m"),
        (EDGE, 3.0, "3 yd right of the right edge of the bunker at 262 yd",
         "3 m right of the right edge of the bunker at 240 m"),
    ],
)  # fmt: skip
def test_an_aim_in_words(sight: Sight, offset: float, said: str, metric: str) -> None:
    mark = Mark(sight, offset)
    assert (mark.text(), mark.text(metric=True)) == (said, metric)


def test_angles_come_within_half_a_turn() -> None:
    assert half_turn(np.array([0.5, pi + 0.5, -pi - 0.5, 2 * pi - 0.5])) == pytest.approx(
        [0.5, 0.5 - pi, pi - 0.5, -0.5]
    )


@pytest.mark.parametrize(
    ("line", "reach", "bearing"),
    [
        ([(0, 0), (0, 200), (100, 300)], 150, 0.0),
        # Past the bend t east and 200 + t north, where t² + (200 + t)² = 250²: t = 45.8.
        ([(0, 0), (0, 200), (100, 300)], 250, degrees(atan2(45.8, 245.8))),
        ([(0, 0), (0, 200), (100, 300)], 999, degrees(atan2(100, 300))),  # past the pin
        ([(0, 20), (100, 320)], 5, degrees(atan2(100, 320))),  # the line begins farther from the tee
    ],
)
def test_the_bearing_of_the_line_where_the_drive_stops(
    line: Sequence[tuple[float, float]], reach: float, bearing: float
) -> None:
    played = hole(*line)
    assert degrees(line_bearing(played, TEE, reach)) == pytest.approx(bearing, abs=0.2)
