"""Hazards in the way of a drive: what is carried, lies beside or is reached, and on which side.

All of one drive: a carry of 200 m with a standard deviation of 10 m, a total of 220 m, 30 m to either side.
Its way is 12.6° to either side of the heading, the arc tangent of 1.645 x 30 / 220, and 261.1 m long, the
total and 45 yards. What ends 190 m from the tee or nearer is carried; from 210 m on it is reached.
"""

from math import cos, pi, radians, sin, sqrt

import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box

from holesim.course.course import Area, Course, Ground
from holesim.course.holes import Hole, Tee
from holesim.plan.hazards_in_play import HazardInPlay, find_hazards
from holesim.plan.plan_tables import ReachFile

FARTHEST = 220 + 45 * 0.9144


def in_play(
    *outlines: Polygon,
    ground: Ground = Ground.RED,
    heading: float = 0.0,
    boundary: Polygon | None = None,
    side_sd: float = 30.0,
) -> tuple[HazardInPlay, ...]:
    """Return what is in the way of the drive on a straight hole of 400 m along the heading [rad].

    Outlines are given as on a hole due north from the origin; the tee lies elsewhere, and they with it.
    """
    tee = Tee("back", 1000.0, -500.0, 400.0)

    def laid(shape: Polygon) -> Polygon:
        return translate(rotate(shape, -heading, origin=(0, 0), use_radians=True), tee.x, tee.y)

    pin = tee.x + 400 * sin(heading), tee.y + 400 * cos(heading)
    line, green = LineString([(tee.x, tee.y), pin]), Point(*pin).buffer(12)
    hole = Hole(number=1, par=4, stroke_index=1, line=line, tees=(tee,), green=green, pin=pin)
    areas = tuple(Area(ground, laid(outline), "") for outline in outlines)
    edge = None if boundary is None else laid(boundary)
    course = Course("A Course", (hole,), areas, edge, "a.geojson", "0" * 64)
    return find_hazards(course, hole, tee, heading, carry=200.0, total=220.0, carry_sd=10.0, side_sd=side_sd)


def alone(outline: Polygon, ground: Ground = Ground.RED, heading: float = 0.0) -> HazardInPlay:
    (found,) = in_play(outline, ground=ground, heading=heading)
    return found


@pytest.mark.parametrize("heading", [0.0, radians(100), pi, radians(-135)])
def test_a_pond_short_beyond_left_right_and_across(heading: float) -> None:
    """Each 20 m wide or more, wherever the hole leads, with the distances of its near and far side."""
    for outline, way, side, near, far in (
        (box(-20, 150, 20, 180), "clear", "across", 150, 180),
        (box(10, 150, 30, 180), "clear", "right", 150, 180),
        (box(-30, 150, -10, 180), "clear", "left", 150, 180),
        (box(-20, 195, 20, 215), "beside", "across", 195, 215),
        (box(10, 195, 30, 215), "beside", "right", 195, 215),
        (box(-30, 195, -10, 215), "beside", "left", 195, 215),
        (box(-20, 230, 20, 250), "reach", "across", 230, 250),
        (box(10, 230, 30, 250), "reach", "right", 230, 250),
        (box(-30, 230, -10, 250), "reach", "left", 230, 250),
    ):
        found = alone(outline, heading=heading)
        assert (found.way, found.side, found.what) == (way, side, "red penalty area")
        assert (found.near, found.far) == pytest.approx((near, far), abs=0.01)


@pytest.mark.parametrize(
    ("near", "far", "way"),
    [
        (150, 189.5, "clear"),  # a standard deviation short of the carry
        (150, 190.5, "beside"),  # often not carried, so nobody is told to carry it
        (209.5, 240, "beside"),  # often reached
        (210.5, 240, "reach"),
        (150, 240, "beside"),
    ],
)
def test_what_is_carried_and_what_is_reached_goes_by_a_standard_deviation_of_the_carry(
    near: float, far: float, way: str
) -> None:
    assert alone(box(-20, near, 20, far)).way == way


def test_a_hazard_nearer_than_anyone_counts_is_left_out() -> None:
    """That is one whose far side is nearer than 0.6 of the carry, 120 m."""
    assert in_play(box(-10, 80, 10, 119.5)) == ()
    assert alone(box(-10, 80, 10, 120.5)).way == "clear"


def test_the_way_ends_where_no_drive_runs_farther() -> None:
    assert in_play(box(-20, FARTHEST + 0.5, 20, 300)) == ()
    cut = alone(box(-20, 250, 20, 300))
    assert (cut.near, cut.far) == pytest.approx((250, FARTHEST), abs=0.01)


def test_the_way_is_as_wide_as_nine_drives_in_ten() -> None:
    """At 215 m 48.2 m to either side, at 195 m 43.7 m."""
    assert in_play(box(48.8, 195, 80, 215)) == ()
    assert in_play(box(-80, 195, -48.8, 215)) == ()
    right = alone(box(40, 195, 80, 215))
    assert (right.way, right.side) == ("beside", "right")
    assert right.near == pytest.approx(195, abs=0.01)
    # Only the part in the way counts: 46 m out that begins at 46 x 220 / (1.645 x 30) = 205.07 m.
    assert alone(box(46, 195, 80, 215)).near == pytest.approx(205.07, abs=0.05)


def test_the_way_is_never_wider_than_20_degrees() -> None:
    """Of a golfer who scatters by 300 m: at 195 to 215 m it is 71.0 to 78.3 m to either side."""
    assert in_play(box(78.8, 195, 99, 215), side_sd=300.0) == ()
    assert len(in_play(box(74, 195, 99, 215), side_sd=300.0)) == 1


def test_a_scrap_of_a_hazard_is_left_out() -> None:
    """One of less than 4 m²."""
    assert in_play(box(5, 200, 6.9, 202)) == ()
    assert len(in_play(box(5, 200, 7.1, 202))) == 1


def test_of_two_as_near_the_one_that_ends_first_comes_first() -> None:
    right, left = box(10, 195, 30, 205), box(-30, 195, -10, 215)
    for outlines in ((right, left), (left, right)):
        assert [one.side for one in in_play(*outlines)] == ["right", "left"]


def test_what_is_left_out_of_a_hazard_leaves_the_rest_of_it() -> None:
    """Beside the way, with three arms into it: one too near, a scrap, and one from 200 to 210 m."""
    for sign in (1, -1):
        arms = [(150, 60), (20, 60), (20, 70), (150, 70), (150, 195), (42, 195), (42, 196), (150, 196)]
        ends = [*arms, (150, 200), (20, 200), (20, 210), (150, 210), (200, 210), (200, 60)]
        for turned in (ends, [(x, 270 - y) for x, y in ends]):
            outline = Polygon([(sign * x, y) for x, y in turned])
            assert outline.is_valid
            found = [one for one in in_play(outline) if one.far > 150]
            assert len(found) == 1, turned
            assert found[0].side == ("right" if sign > 0 else "left")


@pytest.mark.parametrize(
    ("ground", "what"),
    [
        (Ground.YELLOW, "yellow penalty area"),
        (Ground.BUNKER, "bunker"),
        (Ground.OUT, "out of bounds"),
        (Ground.HEAVY_ROUGH, None),
        (Ground.FAIRWAY, None),
        (Ground.GREEN, None),
    ],
)
def test_what_is_a_hazard(ground: Ground, what: str | None) -> None:
    assert [found.what for found in in_play(box(-20, 150, 20, 180), ground=ground)] == [what] * bool(what)


def test_trees_are_not_carried_but_stood_beside_and_reached() -> None:
    """They stand beside the flight, not under it."""
    assert in_play(box(10, 150, 30, 180), ground=Ground.TREES) == ()
    beside, reached = in_play(box(10, 195, 30, 215), box(-20, 230, 20, 240), ground=Ground.TREES)
    assert (beside.way, beside.side, reached.way) == ("beside", "right", "reach")


def test_out_of_bounds_begins_where_the_way_leaves_the_boundary() -> None:
    """20 m left and 30 m right of the line: at 20 and 30 times 220 / (1.645 x 30) m, 89.16 and 133.74 m.

    It ends where the rim of the way is that far from the line, at 260.4 and 259.4 m.
    """
    left, right = in_play(boundary=box(-20, -50, 30, 500))
    assert (left.way, left.what, left.side) == ("beside", "out of bounds", "left")
    assert (right.way, right.what, right.side) == ("beside", "out of bounds", "right")
    assert (left.near, right.near) == pytest.approx((89.16, 133.74), abs=0.05)
    expected = [sqrt(FARTHEST**2 - off**2) for off in (20, 30)]
    assert (left.far, right.far) == pytest.approx(expected, abs=0.1)
    beyond = in_play(boundary=box(-200, -50, 200, 235))
    assert [(found.way, found.side) for found in beyond] == [("reach", "across")]
    assert in_play(boundary=box(-200, -50, 200, 500)) == ()


def test_two_parts_of_one_hazard_are_two_and_the_nearest_comes_first() -> None:
    ends = [(-10, 150), (-10, 160), (-150, 160), (-150, 240), (30, 240), (30, 250), (-200, 250), (-200, 150)]
    bend = Polygon(ends)
    found = in_play(bend, box(5, 200, 15, 205))
    assert [(one.way, one.side) for one in found] == [
        ("clear", "left"), ("beside", "right"), ("reach", "across"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("way", "what", "side", "said", "metric"),
    [
        ("clear", "red penalty area", "across", "carry 197: penalty area", "carry 180: penalty area"),
        ("clear", "bunker", "left", "carry 197: bunker left", "carry 180: bunker left"),
        ("reach", "bunker", "right", "short of 164: bunker right", "short of 150: bunker right"),
        (
            "beside",
            "out of bounds",
            "left",
            "out of bounds left 164\N{EN DASH}197",
            "out of bounds left 150\N{EN DASH}180",
        ),
    ],
)
def test_a_hazard_in_words(way: str, what: str, side: str, said: str, metric: str) -> None:
    """Between 150 and 180 m, 164 and 197 yards: carried to its far side, stopped short of its near."""
    told = ReachFile.model_validate(
        {"way": way, "what": what, "side": side, "near_yd": 164.04, "far_yd": 196.85}
    )
    assert (told.text(), told.text(metric=True)) == (said, metric)
