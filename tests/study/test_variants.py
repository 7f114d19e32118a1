"""A golfer or a hole with one thing changed: that alone changes."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.course.course import Ground
from holesim.course.ground_map import map_ground
from holesim.data.examples import find
from holesim.plan.posterior_draws import posterior_draws
from holesim.player.player import Player
from holesim.shot.club_speeds import load_player
from holesim.study.variants import (
    add_attack,
    add_club_speed,
    add_strike,
    centre_strikes,
    measure_fairway,
    scale_face_spread,
    widen_fairway,
)
from holesim.units import DEGREE, MPH, YARD
from tests.conftest import straight_course

Floats = NDArray[np.float64]


def test_the_golfers_are_alike_all_along_a_scale(amateur: Player) -> None:
    """So a curve is smooth: what is not known of speed and face is as large, in shares, at every value."""

    def off(player: Player) -> tuple[Floats, Floats]:
        drawn = [golfer.driver("up") for golfer in posterior_draws(player, 1).golfers]
        speeds, faces = np.array([(s.club_speed, s.spread.face) for s in drawn]).T
        return speeds / player.driver("up").club_speed, faces / player.driver("up").spread.face

    unknown = load_player(find("players/club_golfer.toml"))
    for player in (amateur, unknown):
        speeds, faces = off(player)
        assert faces.std() > 0.01
        quick, wide = off(add_club_speed(player, 8 * MPH)), off(scale_face_spread(player, 1.7))
        assert quick[0] == pytest.approx(speeds)
        assert wide[1] == pytest.approx(faces)
        assert quick[1] == pytest.approx(faces)


def test_a_changed_golfer_is_changed_in_that_alone(amateur: Player) -> None:
    up = amateur.driver("up")
    quick = add_club_speed(amateur, 3 * MPH).driver("up")
    assert quick.club_speed == up.club_speed + 3 * MPH
    assert quick.spread.at_speed - quick.club_speed == pytest.approx(up.spread.at_speed - up.club_speed)
    assert quick.dynamic_loft - up.dynamic_loft == pytest.approx(-0.24 * DEGREE)
    assert scale_face_spread(amateur, 0.8).driver("up").spread == replace(
        up.spread, face=0.8 * up.spread.face
    )
    high = add_attack(amateur, 2 * DEGREE).driver("up")
    assert high.attack == up.attack + 2 * DEGREE
    assert high.path == up.path
    assert high.swing_line > up.swing_line  # lined up farther right, for a right-hander
    middle = centre_strikes(replace(amateur, strikes=(replace(up, toe=0.005),)), 0.5).strikes[0]
    assert (middle.toe, middle.spread.toe) == (0, up.spread.toe / 2)
    clubs = [s for s in amateur.strikes if s.club != "driver"]
    assert [s for s in add_club_speed(amateur, 3 * MPH).strikes if s.club != "driver"] == clubs


def test_who_learns_a_strike_owns_it_besides(amateur: Player) -> None:
    alone = replace(amateur, strikes=(amateur.driver("up"),), usual="up")
    learnt = add_strike(alone, "down").driver("down")
    assert learnt.attack == pytest.approx(-2.5 * DEGREE)
    assert learnt.spread == amateur.driver("up").spread
    assert learnt.path == amateur.driver("up").path


@pytest.mark.parametrize("change", [-10, 12])
def test_a_fairway_is_as_much_wider_as_asked(change: float) -> None:
    course = straight_course(fairway=30, beyond=Ground.HEAVY_ROUGH)
    hole = course.holes[0]
    tee, reach = hole.tees[0], 230 * YARD
    assert measure_fairway(hole, tee, map_ground(course), reach) / YARD == pytest.approx(30, abs=0.5)
    changed = widen_fairway(course, hole, change * YARD)
    width = measure_fairway(hole, tee, map_ground(changed), reach) / YARD
    assert width == pytest.approx(30 + change, abs=0.5)
