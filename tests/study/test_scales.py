"""Scales: what is changed, what stays, and how values read."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.study.scales import SCALES, Case, ScaleName
from holesim.study.variants import add_club_speed
from holesim.units import MPH


def test_a_cross_wind_stays_as_the_wind_along_the_hole_changes(demo_course: Course, amateur: Player) -> None:
    hole = demo_course.holes[3]
    across = RoundOptions(wind_mph=16, wind_from_deg=165).conditions  # from the right of this hole
    case = Case(course=demo_course, player=amateur, conditions=across, hole=(hole, hole.tees[0]))
    scale = SCALES["wind"]
    same, none = (scale.change(case, mph).conditions.air for mph in (scale.now(case), 0.0))
    assert same.wind_speed == pytest.approx(16 * MPH)
    assert np.cos(same.wind_from - across.air.wind_from) == pytest.approx(1)
    assert 15 * MPH < none.wind_speed < 16.01 * MPH


@pytest.mark.parametrize("name", SCALES)
def test_a_case_takes_on_the_values_of_a_scale(name: ScaleName, demo_course: Course, amateur: Player) -> None:
    hole = demo_course.holes[3]
    conditions = RoundOptions(wind_mph=16, wind_from_deg=75).conditions
    case = Case(course=demo_course, player=amateur, conditions=conditions, hole=(hole, hole.tees[0]))
    scale = SCALES[name]
    # Trees beside this hole leave no room for the widest fairways.
    values = scale.values_for(case)
    for value in (values[0], values[len(values) // 2]):
        assert scale.now(scale.change(case, value)) == pytest.approx(value, abs=0.5)


@pytest.mark.parametrize("mph", [62.0, 78.0, 101.3, 131.0])
def test_club_speeds_are_looked_at_about_the_golfers_own(
    mph: float, demo_course: Course, amateur: Player
) -> None:
    player = add_club_speed(amateur, mph * MPH - SCALES["club-speed"].now(_calm(demo_course, amateur)) * MPH)
    values = SCALES["club-speed"].values_for(_calm(demo_course, player))
    assert mph - 20 <= values[0] < mph - 15
    assert mph + 15 < values[-1] <= mph + 20
    assert sum(value == pytest.approx(mph) for value in values) == 1


def _calm(course: Course, player: Player) -> Case:
    return Case(course=course, player=player, conditions=RoundOptions().conditions, hole=None)


def test_values_read_with_their_unit() -> None:
    assert SCALES["club-speed"].text(80, 125) == "80 to 125 mph"
    assert SCALES["club-speed"].text(100, metric=True) == "45 m/s"
    assert SCALES["face"].text(1.64) == "1.6°"
    assert SCALES["wind"].text(-0.2) == "0 mph"
    assert SCALES["firmness"].text(0, 2) == "soft to firm"


def test_a_face_that_never_varies_cannot_vary_more(demo_course: Course, amateur: Player) -> None:
    still = replace(
        amateur, strikes=tuple(replace(s, spread=replace(s.spread, face=0.0)) for s in amateur.strikes)
    )
    conditions = RoundOptions().conditions
    case = Case(course=demo_course, player=still, conditions=conditions, hole=None)
    with pytest.raises(InputError, match="is 0°, and no multiple of it is another spread"):
        SCALES["face"].change(case, 2.0)
