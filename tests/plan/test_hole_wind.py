"""Wind as a golfer meets it: in words, and the felt wind that flips a choice, against plans in that wind."""

import json
from dataclasses import replace
from math import pi
from pathlib import Path

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.plan.aiming import find_aims
from holesim.plan.conditions import Conditions
from holesim.plan.evaluator import Evaluator
from holesim.plan.explain import wind_text
from holesim.plan.goal import CLOSE, MEAN
from holesim.plan.hole_wind import FELT_HEIGHT, WAYS, Flip, flips_text, turn_wind
from holesim.plan.plan import Plan, make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.shot.air import Air, make_air
from holesim.shot.flight import fly_around, fly_in_relative_wind
from holesim.units import DEGREE, MPH
from tests.conftest import DEMO, Run, assorted


@pytest.mark.parametrize(
    ("from_deg", "heading_deg", "words"),
    [
        (0, 0, "hurting"),
        (250, 70, "helping"),
        (90, 0, "from the right"),
        (0, 90, "from the left"),
        (315, 0, "from the left, hurting"),
        (10, 325, "from the right, hurting"),
        (10, 235, "from the right, helping"),
        (300, 80, "from the left, helping"),
        (359, 3, "hurting"),
    ],
)
def test_a_wind_is_described_as_it_blows_on_the_hole(from_deg: float, heading_deg: float, words: str) -> None:
    blows = turn_wind(heading_deg * DEGREE, make_air(wind_mph=8, wind_from_deg=from_deg))
    assert blows is not None
    assert blows.text() == f"8 mph, {words}"
    assert blows.text(metric=True) == f"4 m/s, {words}"


def test_still_air_blows_nowhere() -> None:
    assert turn_wind(1.0, make_air()) is None


def test_a_flip_is_described_as_from_or_under_a_wind() -> None:
    one, other = Flip("down", "hurting", 9 * MPH), Flip("down", "from the left", 14 * MPH)
    third = Flip("3-wood", "helping", 6 * MPH, drops=True)
    assert flips_text([one]) == "down from 9 mph hurting"
    expected = "down from 9 mph hurting or from 14 mph from the left, 3-wood under 6 mph helping"
    assert flips_text([one, third, other]) == expected
    assert flips_text([third], metric=True) == "3-wood under 3 m/s helping"


def test_flights_in_a_wind_that_turns_with_the_aim_are_those_of_that_angle() -> None:
    launches, air = assorted(64), make_air(wind_mph=15, wind_from_deg=60)
    abreast, around = fly_in_relative_wind(launches, air), fly_around(launches, air)
    for heading in (0.0, 1.0, 4.0):
        # The wind comes from 60° right of every aim.
        turned = replace(air, wind_from=heading + 60 * DEGREE)
        same = fly_around(launches, turned).landings_along(heading, (0.0, 0.0))
        ours = abreast.landings_along(heading, (0.0, 0.0))
        assert np.hypot(ours.x - same.x, ours.y - same.y).max() < 0.01
    np.testing.assert_allclose(
        abreast.landings_along(0.0, (0, 0)).x, around.landings_along(0.0, (0, 0)).x, atol=0.01
    )


def felt(mph: float, way: int, heading: float) -> Air:
    """Return air with a felt wind from one of `WAYS`, as seen along a heading."""
    air = make_air(wind_mph=mph, wind_height_ft=FELT_HEIGHT / 0.3048)
    return replace(air, wind_from=heading + way * pi / 2)


@pytest.fixture(scope="module")
def calm(demo_course: Course, amateur: Player) -> Plan:
    return make_plan(demo_course, amateur, holes=[6, 12, 14, 15, 17])


def test_a_choice_flips_where_the_plan_says_it_does(demo_course: Course, amateur: Player, calm: Plan) -> None:
    """To a mile an hour, or to a hundredth of a stroke where strikes hardly differ."""
    seen, still = 0, Evaluator(demo_course, amateur, Conditions(air=make_air()), MEAN, 4096, seed=1)
    for tee in calm.tees:
        pin = np.arctan2(tee.hole.pin[0] - tee.tee.x, tee.hole.pin[1] - tee.tee.y)
        for flip in tee.flips:
            over = []
            for mph in (max(flip.speed / MPH - 1, 0), flip.speed / MPH + 1):
                air = felt(mph, WAYS.index(flip.way), float(pin + tee.choice.aim))
                evaluator = still.in_air(air)
                at = evaluator.on_tee(tee.hole, tee.tee, evaluator.value_hole(tee.hole))
                both = [
                    i
                    for i, strike in enumerate(amateur.strikes)
                    if {strike.club, strike.name} & {tee.choice.label, flip.strike}
                ]
                found = evaluator.score(find_aims(evaluator, at, both), at)
                costs = {aimed.plan.label: aimed.plan.strokes for aimed in found}
                over.append(costs[tee.choice.label] - costs[flip.strike])
            assert over[0] - 0.01 < CLOSE < over[1] + 0.01, (tee.hole.number, flip, over)
            seen += 1
    assert seen >= 4


def test_in_a_wind_the_choice_may_hang_on_it(demo_course: Course, amateur: Player, calm: Plan) -> None:
    tee = next(tee for tee in calm.tees if tee.hole.number == 17)
    (flip,) = (flip for flip in tee.flips if flip.way == "hurting")
    pin = np.arctan2(tee.hole.pin[0] - tee.tee.x, tee.hole.pin[1] - tee.tee.y)
    heading = float(pin + tee.choice.aim)
    blowing = RoundOptions(
        wind_mph=flip.speed / MPH + 5,
        wind_from_deg=np.rad2deg(heading) % 360,
        wind_height_ft=FELT_HEIGHT / 0.3048,
    )
    blown = make_plan(demo_course, amateur, blowing, holes=[17]).tees[0]
    assert (blown.choice.label, tee.choice.label) == (flip.strike, "up")
    (back,) = blown.flips
    assert (back.strike, back.way, back.drops) == ("up", "hurting", True)
    assert 0 < back.speed < flip.speed + 2 * MPH  # each is true to about a mile an hour
    assert f"felt wind that would change it: up under {back.speed / MPH:.0f} mph hurting" in wind_text(blown)


def test_no_wind_turns_a_golfer_who_keeps_to_one_strike_to_another(
    demo_course: Course, amateur: Player
) -> None:
    """A wind may still turn them to another club, the same as it turns a golfer who chooses by the hole."""
    chooses, keeps = (
        make_plan(demo_course, player, RoundOptions(draws=256), holes=[5]).tees[0].flips
        for player in (amateur, replace(amateur, can_choose=False))
    )
    assert "down" in {flip.strike for flip in chooses}
    assert keeps == tuple(flip for flip in chooses if flip.strike != "down")


def test_winds_are_planned_side_by_side(run: Run, tmp_path: Path) -> None:
    words = ("plan", *DEMO, "--hole", "4", "--hole", "10", "--draws", "256")
    winds = ("--wind", "0@0", "--wind", "12@250", "--wind", "12@250", "--wind", "8.5@30")
    code, out, err = run(*words, *winds, "--out", str(tmp_path / "out"))
    assert code == 0
    assert "calm, wind 12 mph from 250°, wind 8.5 mph from 30°; medium ground" in out
    lines = [line for line in out.splitlines() if "12 mph, helping" in line]
    assert len(lines) == 2
    assert "the round" in out
    assert err.endswith(f"wrote 24 files to {tmp_path / 'out'}\n")
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [
        "calm",
        "wind-12-from-250",
        "wind-8.5-from-30",
    ]
    alone = run(*words, "--wind", "12@250", "--json")[1]
    assert (tmp_path / "out" / "wind-12-from-250" / "plan.json").read_text(encoding="utf-8") == alone
    plans = json.loads(run(*words, *winds, "--json")[1])
    assert [plan["options"]["wind_mph"] for plan in plans] == [0, 12, 8.5]
    assert plans[1] == json.loads(alone)
    assert plans[1]["tees"][0]["wind"] == "12 mph, helping"
    assert plans[0]["tees"][0]["wind"] is None
    assert all({"strike", "way", "felt_mph", "drops"} == set(f) for t in plans[0]["tees"] for f in t["flips"])
