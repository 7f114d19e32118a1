"""What must hold whatever the numbers: symmetry, turning, units, and that wilder is never better."""

from dataclasses import replace
from functools import cache
from math import cos, pi, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from holesim import units
from holesim.course.course import Course, Ground
from holesim.course.ground_map import plain
from holesim.plan.plan import make_plan
from holesim.plan.posterior_draws import known_for_sure
from holesim.player.player import standard_player
from holesim.shot.air import Air, make_air
from holesim.shot.bounce import Finishes, run
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import Deliveries
from holesim.shot.flight import fly, to_hole_frame
from holesim.shot.impact import choose_head, impact
from holesim.shot.single_drive import fly_shot, from_ball
from holesim.units import DEGREE, MM, MPH, YARD
from tests.conftest import one, straight_course

MILLIMETRE = 1e-3  # m; flights and runs are in single precision

property_test = settings(deadline=None, derandomize=True, max_examples=60, database=None)


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False).map(lambda value: round(value, 3))


deliveries = st.builds(
    lambda mph, attack, path, face, loft, toe, high: Deliveries(
        *one(mph * MPH, attack * DEGREE, path * DEGREE, face * DEGREE, loft * DEGREE, toe * MM, high * MM)
    ),
    number(55, 130),
    number(-6, 8),
    number(-6, 6),
    number(-6, 6),
    number(6, 22),
    number(-20, 20),
    number(-15, 15),
)
winds = st.tuples(number(0, 40), number(0, 360))


def rest(delivery: Deliveries, air: Air, *, heading: float = 0.0, side: float = 1.0) -> Finishes:
    """Return where a drive from the origin along `heading` rests on endless fairway."""
    launches = impact(delivery, choose_head("driver", delivery.club_speed[0]), side=side)
    placed, _ = to_hole_frame(*fly(launches, air, heading=heading), heading=heading, origin=(0.0, 0.0))
    return run(placed, plain(Ground.FAIRWAY))


@property_test
@given(deliveries, winds)
def test_a_left_hander_is_a_right_hander_in_the_mirror(
    delivery: Deliveries, wind: tuple[float, float]
) -> None:
    mirrored = replace(delivery, path=-delivery.path, face=-delivery.face)
    mph, origin = wind
    right = rest(delivery, make_air(wind_mph=mph, wind_from_deg=origin))
    left = rest(mirrored, make_air(wind_mph=mph, wind_from_deg=-origin), side=-1.0)
    assert left.x[0] == pytest.approx(-right.x[0], abs=1e-6)
    assert left.y[0] == pytest.approx(right.y[0], abs=1e-6)


@property_test
@given(deliveries, number(-pi, pi))
def test_without_wind_turning_the_aim_turns_the_result(delivery: Deliveries, heading: float) -> None:
    straight, aside = rest(delivery, make_air()), rest(delivery, make_air(), heading=heading)
    s, c = sin(heading), cos(heading)
    assert aside.x[0] == pytest.approx(c * straight.x[0] + s * straight.y[0], abs=MILLIMETRE)
    assert aside.y[0] == pytest.approx(c * straight.y[0] - s * straight.x[0], abs=MILLIMETRE)


@property_test
@given(deliveries, number(0, 40), number(0, 360), number(-180, 180))
def test_turning_aim_and_wind_together_turns_the_result(
    delivery: Deliveries, mph: float, origin: float, turn: float
) -> None:
    before = rest(delivery, make_air(wind_mph=mph, wind_from_deg=origin))
    after = rest(delivery, make_air(wind_mph=mph, wind_from_deg=origin + turn), heading=turn * DEGREE)
    s, c = sin(turn * DEGREE), cos(turn * DEGREE)
    assert after.x[0] == pytest.approx(c * before.x[0] + s * before.y[0], abs=MILLIMETRE)
    assert after.y[0] == pytest.approx(c * before.y[0] - s * before.x[0], abs=MILLIMETRE)


@property_test
@given(number(20, 200), number(1, 40), number(500, 6000), number(-30, 30), number(-10, 10))
def test_what_the_ball_does_comes_back_in_the_units_given(
    mph: float, angle: float, rpm: float, tilt: float, direction: float
) -> None:
    measures = fly_shot(from_ball(mph, angle, rpm, tilt, direction), make_air())
    names = ("ball_speed_mph", "launch_angle_deg", "spin_rpm", "axis_tilt_deg", "start_direction_deg")
    assert [measures[name] for name in names] == pytest.approx([mph, angle, rpm, tilt, direction])


@property_test
@given(number(40, 150), number(2, 15), number(0, 45), number(0, 40), number(-40, 40), number(0.0, 30))
def test_a_player_file_comes_back_in_the_units_given(
    mph: float, attack: float, face_sd: float, toe_sd: float, high: float, speed_pct: float
) -> None:
    text = (
        f'name = "A Golfer"\nhand = "left"\nsex = "woman"\nhandicap_index = 9\nclub_speed_mph = {mph}\n'
        f"[spread]\nface_deg = {face_sd}\ntoe_mm = {toe_sd}\nspeed_pct = {speed_pct}\n"
        f"[strikes.up]\nattack_deg = {attack}\nhigh_mm = {high}\n"
    )
    with TemporaryDirectory() as folder:
        path = Path(folder) / "player.toml"
        path.write_text(text)
        strike = load_player(path).driver("up")
    found = (
        strike.club_speed / MPH, strike.attack / DEGREE, strike.spread.face / DEGREE, strike.spread.toe / MM,
        strike.high / MM, strike.spread.speed * 100,
    )  # fmt: skip
    assert found == pytest.approx((mph, attack, face_sd, toe_sd, high, speed_pct))


@pytest.mark.parametrize(
    ("ours", "exact"),
    [
        # NIST Special Publication 811, 2008, appendix B.8: exact by definition.
        (units.YARD, 0.9144), (units.FOOT, 0.3048), (units.INCH, 0.0254), (units.MPH, 0.44704),
        (units.DEGREE, pi / 180), (units.RPM, 2 * pi / 60), (units.MM, 1e-3),
    ],
)  # fmt: skip
def test_units_are_exact(ours: float, exact: float) -> None:
    assert ours == pytest.approx(exact, rel=1e-15)
    assert units.kelvin(75.0) == pytest.approx((75 - 32) / 1.8 + 273.15)


@cache
def funnel() -> Course:
    """Return a hole whose lies worsen outward without end: fairway, rough, heavy rough, trees."""
    strips = [
        (ground, shapely.box(-half * YARD, -50, half * YARD, 700))
        for ground, half in ((Ground.ROUGH, 25), (Ground.HEAVY_ROUGH, 45))
    ]
    return straight_course(600, par=5, fairway=24, beyond=Ground.TREES, areas=tuple(strips))


@settings(property_test, max_examples=12)
@given(number(0.5, 5), number(1.05, 2), st.sampled_from([75.0, 95.0, 115.0]))
def test_more_face_error_never_helps_where_lies_worsen_outward(
    face_deg: float, more: float, mph: float
) -> None:
    player = known_for_sure(standard_player(4, mph * MPH, "man"))
    strike = player.drivers[0]

    def strokes(face: float) -> float:
        # Apart from the path: a face that follows the path more would curve the ball less.
        spread = replace(strike.spread, face=face * DEGREE, face_path_correlation=0.0)
        wilder = replace(strike, spread=spread)
        plan = make_plan(funnel(), replace(player, strikes=(wilder,), can_choose=False), draws=1024)
        return plan.tees[0].choice.strokes

    assert strokes(more * face_deg) > strokes(face_deg)
