"""Where a golfer would aim: over the hole's own ground, at most 20° off its line."""

from dataclasses import replace
from math import asin, degrees

import pytest
import shapely
from shapely.affinity import scale
from shapely.geometry import LineString

from holesim.course.course import Course, Ground
from holesim.plan.aim_range import find_aim_range
from holesim.plan.sights import half_turn, line_bearing
from holesim.units import DEGREE, YARD
from tests.conftest import straight_course

FAR = 220.0
"""A drive's total [m]; the hole's ground is looked at from three quarters of it on."""


def span(course: Course, *totals: float) -> tuple[float, float]:
    """Return the range of aims on the first hole [deg], right of the line to the pin."""
    hole = course.holes[0]
    found = find_aim_range(course, hole, hole.tees[0], totals or (FAR,))
    return found.low / DEGREE, found.high / DEGREE


def without(course: Course, ground: Ground) -> Course:
    return replace(course, areas=tuple(area for area in course.areas if area.ground is not ground))


def mirrored(course: Course) -> Course:
    """Return a course with left and right exchanged about the north line through the origin."""
    hole = course.holes[0]
    line = scale(hole.line, xfact=-1, origin=(0, 0))
    green = scale(hole.green, xfact=-1, origin=(0, 0))
    areas = tuple(replace(a, outline=scale(a.outline, xfact=-1, origin=(0, 0))) for a in course.areas)
    return replace(
        course, holes=(replace(hole, line=line, green=green, pin=(-hole.pin[0], hole.pin[1])),), areas=areas
    )


def test_no_one_aims_more_than_20_degrees_off_the_line() -> None:
    """A short shot would find rough farther off the line than that, up to 60 m to either side."""
    assert span(straight_course(), 120.0) == pytest.approx((-20, 20))


def test_the_edges_are_those_of_what_is_drawn() -> None:
    # Rough counts up to 60 m from the line.
    edge = degrees(asin(60 / (0.75 * FAR)))
    assert edge > 20
    far = degrees(asin(60 / (0.75 * 300)))
    assert span(straight_course(), 300.0) == pytest.approx((-far, far), abs=0.1)
    # Where no rough is drawn, 20 yd beside the fairway count.
    plain = without(straight_course(fairway=30), Ground.ROUGH)
    edge = degrees(asin((15 + 20) * YARD / (0.75 * FAR)))
    assert edge < 20
    assert span(plain) == pytest.approx((-edge, edge), abs=0.1)


def test_water_and_sand_are_to_be_aimed_over_and_woods_are_not() -> None:
    plain = without(straight_course(fairway=30), Ground.ROUGH)
    beside = shapely.box(15 * YARD, 100, 45, 300)
    for ground, seen in ((Ground.RED, True), (Ground.BUNKER, True), (Ground.TREES, False)):
        area = replace(plain.areas[0], ground=ground, outline=beside)
        low, high = span(replace(plain, areas=(*plain.areas, area)))
        assert low == pytest.approx(span(plain)[0])
        assert (high > span(plain)[1] + 1) is seen


def test_a_mirrored_hole_is_aimed_at_mirrored(demo_course: Course) -> None:
    for hole in demo_course.holes:
        tee = hole.tees[0]
        here = shapely.affinity.translate
        course = replace(
            demo_course,
            holes=(
                replace(
                    hole,
                    tees=(replace(tee, x=0.0, y=0.0),),
                    line=here(hole.line, -tee.x, -tee.y),
                    green=here(hole.green, -tee.x, -tee.y),
                    pin=(hole.pin[0] - tee.x, hole.pin[1] - tee.y),
                ),
            ),
            areas=tuple(
                replace(a, outline=here(a.outline, -tee.x, -tee.y))
                for a in demo_course.areas
                if a.outline.distance(hole.line) < 100
            ),
        )
        low, high = span(course, 160.0, 250.0)
        assert low < high
        assert span(mirrored(course), 160.0, 250.0) == pytest.approx((-high, -low), abs=0.01)


def test_on_a_dogleg_the_line_is_that_to_where_a_drive_goes() -> None:
    course = straight_course()
    hole = course.holes[0]
    bent = replace(hole, line=LineString([(0, 0), (0, 200), (150, 330)]), pin=(150.0, 330.0))
    course = replace(course, holes=(bent,))
    low, high = span(course, 180.0)
    # Up to 180 m the line goes north: so the pin is 24° right of it, and aims are given from the pin.
    assert low == pytest.approx(-24.44 - 20, abs=0.05)
    assert high <= 20


def test_demo_aims_keep_to_the_line(demo_course: Course) -> None:
    for hole in demo_course.holes:
        for tee in hole.tees:
            totals = (150.0, 200.0, 260.0)
            found = find_aim_range(demo_course, hole, tee, totals)
            pin = tee.bearing(*hole.pin)
            lines = [
                float(half_turn(line_bearing(hole, tee, share * total) - pin))
                for total in totals
                for share in (0.75, 1.0, 1.1)
            ]
            assert min(lines) - 20 * DEGREE - 1e-9 <= found.low < found.high
            assert found.high <= max(lines) + 20 * DEGREE + 1e-9
            # The middle of what the line shows can be aimed at.
            assert found.low < (min(lines) + max(lines)) / 2 < found.high
