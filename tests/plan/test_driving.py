"""Driver strikes as a coach reads them: numbers flown one by one, intervals, and what is wanted."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon

from holesim.course.course import Course
from holesim.plan.driving import DrivenStrike, find_driving
from holesim.plan.golfer_drives import GolferDrives
from holesim.plan.plan_json import driving_dict
from holesim.plan.posterior_draws import known_for_sure
from holesim.plan.round_options import USUAL
from holesim.plan.session import Session
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.shot.deliveries import make_draws
from holesim.shot.single_drive import fly_shot, from_club
from holesim.units import DEGREE, MM, MPH


def driving_of(player: Player, draws: int = 512) -> dict[str, DrivenStrike]:
    golfer = GolferDrives(player, USUAL.conditions, seed=1)
    points = make_draws(draws, 64, np.random.default_rng(1))
    struck = {k: golfer.strike(k, points) for k, s in enumerate(player.strikes) if s.club == "driver"}
    return {strike.strike: strike for strike in find_driving(golfer, struck)}


def test_the_numbers_of_a_known_golfer_are_those_of_one_drive(amateur: Player) -> None:
    player = known_for_sure(amateur)
    for name, found in driving_of(player).items():
        s = next(strike for strike in player.drivers if strike.name == name)
        assert not s.toe  # so that a right-hander's head serves
        struck = from_club(
            s.club_speed / MPH, s.attack / DEGREE, s.path / DEGREE, s.face / DEGREE, s.dynamic_loft / DEGREE,
            s.toe / MM, s.high / MM,
        )  # fmt: skip
        flown = fly_shot(struck, USUAL.conditions.air)
        for key in ("ball_speed_mph", "launch_angle_deg", "spin_rpm"):
            assert found.numbers[key].mean == pytest.approx(flown[key])
        number = found.numbers["carry_yd"]
        assert number.mean == pytest.approx(np.hypot(flown["carry_yd"], flown["side_yd"]), rel=1e-6)
        assert number.low == pytest.approx(number.high)
        assert found.numbers["attack_deg"].mean == pytest.approx(s.attack / DEGREE)
        assert found.numbers["attack_deg"].wanted_low is None


def test_no_wanted_loft_carries_farther_than_the_wanted_carry(amateur: Player) -> None:
    """Every loft within 4° is flown here one by one, and those within 1 % of the farthest are wanted."""
    player = known_for_sure(amateur)
    found = driving_of(player)["up"].numbers
    up = player.driver("up")
    lofts = up.dynamic_loft / DEGREE + np.arange(-4, 4.1, 0.25)

    def carry(loft: float) -> float:
        struck = from_club(up.club_speed / MPH, up.attack / DEGREE, 0, 0, loft, 0, 4)
        return fly_shot(struck, USUAL.conditions.air)["carry_yd"]

    carries = np.array([carry(loft) for loft in lofts])
    good = carries >= 0.99 * carries.max()
    assert (found["dynamic_loft_deg"].wanted_low, found["dynamic_loft_deg"].wanted_high) == pytest.approx(
        (lofts[good].min(), lofts[good].max())
    )
    assert found["carry_yd"].wanted_low == pytest.approx(carries[good].min(), rel=1e-4)
    assert found["carry_yd"].wanted_high is None


def test_intervals_hold_nine_draws_in_ten() -> None:
    player = typical_player("Ana Reith", "woman", 9, 88 * MPH)
    golfer = GolferDrives(player, USUAL.conditions, seed=1)
    index = next(k for k, s in enumerate(player.strikes) if s.label == "up")
    found = driving_of(player)["up"].numbers
    for key, field, unit in (("dynamic_loft_deg", "dynamic_loft", DEGREE), ("toe_mm", "toe", MM)):
        values = np.array([getattr(one.strikes[index], field) for one in golfer.golfers]) / unit
        held = np.mean((values >= found[key].low) & (values <= found[key].high))
        assert 0.84 <= held <= 0.94
        assert found[key].low < found[key].mean < found[key].high


def test_a_closed_face_shows_beside_what_is_wanted(amateur: Player) -> None:
    strikes = [replace(s, face=s.face - 2 * DEGREE) if s.club == "driver" else s for s in amateur.strikes]
    found = driving_of(known_for_sure(replace(amateur, strikes=tuple(strikes))))["up"]
    face, across = found.numbers["face_to_path_deg"], found.numbers["face_deg"]
    assert across.high == pytest.approx(-2)
    assert (across.wanted_low, across.wanted_high) == (-1, 1)
    assert face.mean == pytest.approx(across.mean - found.numbers["path_deg"].mean)
    assert np.median(found.landings[:, 0]) < -5  # metres: left of the aim


def test_outlines_hold_the_share_of_drives_that_they_say(amateur: Player) -> None:
    found = driving_of(amateur, draws=4096)["up"]
    for outline in driving_dict(found)["outlines"]:
        shape = MultiPolygon([Polygon(outer, inner) for outer, *inner in outline["polygons"]])
        held = shapely.contains_xy(shape, found.landings[:, 0], found.landings[:, 1]).mean()
        assert held == pytest.approx(outline["share"], abs=0.02)


def test_the_wind_of_the_round_has_no_say(demo_course: Course, amateur: Player) -> None:
    calm, windy = (Session(demo_course, amateur, USUAL.changed(draws=256, wind_mph=mph)) for mph in (0, 20))
    assert calm.driving[0].numbers == windy.driving[0].numbers
    assert (calm.driving[0].landings == windy.driving[0].landings).all()
