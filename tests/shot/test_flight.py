"""Flight compared with a reference integrator, a closed form and measured averages."""

from math import atan2, cos, sin, tan

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.bench.reference import fly_one
from holesim.shot.air import Air, make_air
from holesim.shot.flight import (
    BALL_FLIGHTS,
    GRAVITY,
    QUINTAVALLA,
    SMITS_SMITH,
    Aerodynamics,
    Landings,
    fly,
)
from holesim.shot.impact import Launches
from holesim.units import DEGREE, MPH, YARD
from tests.agreement.table import Agreement
from tests.conftest import assorted, launch, published

Floats = NDArray[np.float64]


@pytest.mark.parametrize(("wind_mph", "cm"), [(0, 1), (15, 1), (30, 1), (40, 2)])
def test_flight_meets_the_reference_integrator(agree: Agreement, wind_mph: float, cm: float) -> None:
    air = make_air(wind_mph=wind_mph, wind_from_deg=50)
    launches = assorted(50)
    worst = 0.0
    for law in BALL_FLIGHTS.values():
        landings, _ = fly(launches, air, aerodynamics=law)
        exact = np.array(
            [fly_one(launches, i, air, aerodynamics=law, rtol=1e-10)[0][:2] for i in range(50)]
        ).T
        worst = max(worst, float(np.hypot(landings.x - exact[0], landings.y - exact[1]).max()))
    agree.below(
        "flight",
        f"landing of 100 assorted drives in {wind_mph} mph of wind: largest difference",
        worst * 100,
        cm,
        unit=" cm",
        source="the same equations by scipy's solve_ivp, rtol 1e-10",
    )


# With no drag to slow it, a ball with more lift than this would loop.
SLIPPERY = Aerodynamics(
    name="slippery", drag_0=0.0, drag_1=0.0, lift_0=0.0, lift_1=0.8, lift_power=1.0,
    level_from=10.0, level_to=11.0, smooth_drag=0.0,
)  # fmt: skip


def out_of_plane(landing: Floats, drive: Launches) -> float:
    """Return how far along its axis of spin a drive lands from where gravity alone would take it [m].

    `landing` is x, y and time.
    """
    (lean,), (angle,), (direction,) = drive.tilt, drive.angle, drive.direction
    # The axis, as x, y and z: level to the right of the launch, and the right side down by the tilt.
    down = np.array([sin(angle) * cos(direction), sin(angle) * sin(direction), -cos(angle)])
    axis = cos(lean) * np.array([-sin(direction), cos(direction), 0.0]) + sin(lean) * down
    x, y, time = landing
    return float(axis @ [x, y, GRAVITY / 2 * time**2])


@pytest.mark.parametrize("wind_from_deg", [50, 180, 270])
@pytest.mark.parametrize("tilt", [-30, 0, 20])
def test_without_drag_gravity_alone_moves_a_ball_along_its_axis(wind_from_deg: float, tilt: float) -> None:
    # Lift is square to the axis, in any wind, and the axis keeps its direction: so this is a closed form.
    drive, air = launch(110, 14, 3000, tilt, 4), make_air(wind_mph=15, wind_from_deg=wind_from_deg)
    landings, _ = fly(drive, air, aerodynamics=SLIPPERY)
    one_ball = fly_one(drive, 0, air, aerodynamics=SLIPPERY, rtol=1e-10)[0]
    assert landings.apex[0] > 10
    assert abs(landings.y[0] - landings.x[0] * tan(4 * DEGREE)) > 5 or tilt == 0
    assert abs(out_of_plane(np.array([landings.x[0], landings.y[0], landings.time[0]]), drive)) < 0.01
    assert abs(out_of_plane(one_ball[[0, 1, 6]], drive)) < 1e-5


def test_without_air_a_drive_is_a_parabola() -> None:
    landings, _ = fly(launch(167, 10.9, 2686, 20), Air(density=0.0, viscosity=1.8e-5))
    speed, angle = 167 * MPH, 10.9 * DEGREE
    assert landings.x[0] == pytest.approx(speed**2 * sin(2 * angle) / GRAVITY, abs=1e-3)
    assert landings.y[0] == pytest.approx(0, abs=1e-9)
    assert landings.apex[0] == pytest.approx((speed * sin(angle)) ** 2 / (2 * GRAVITY), abs=1e-3)
    assert landings.time[0] == pytest.approx(2 * speed * sin(angle) / GRAVITY, abs=1e-4)


RADAR = "tour averages by radar, widely reproduced (common practice, from memory)"


def carried(
    mph: float, angle: float, rpm: float, *, law: Aerodynamics = QUINTAVALLA, **air: float
) -> Landings:
    return fly(launch(mph, angle, rpm), make_air(**air), aerodynamics=law)[0]


def landing_angle(landings: Landings) -> float:
    return atan2(-landings.vz[0], landings.vx[0]) / DEGREE


def test_the_tours_average_drive(agree: Agreement) -> None:
    # No coefficient was tuned on it.
    landings = carried(167, 10.9, 2686)
    what = "men's tour average drive, 167 mph, 10.9°, 2686 rpm"
    agree.percent("flight", f"{what}: carry", landings.x[0] / YARD, 275, 2, unit=" yd", source=RADAR)
    agree.percent("flight", f"{what}: apex", landings.apex[0] / YARD, 32, 8, unit=" yd", source=RADAR)
    agree.near("flight", f"{what}: landing angle", landing_angle(landings), 38, 2, unit="°", source=RADAR)


@pytest.mark.parametrize("tour", ["men", "women"])
def test_carries_of_every_club(agree: Agreement, tour: str) -> None:
    shots = published("tour_averages").query("tour == @tour")
    given = shots[["ball_speed_mph", "launch_angle_deg", "spin_rpm"]].to_numpy(dtype=float)
    carries = np.array([carried(*row).x[0] / YARD for row in given.tolist()])
    agree.below(
        "flight",
        f"{tour}'s tour averages, driver to wedge, {len(shots)} clubs: largest error in carry",
        float(np.abs(carries / shots["carry_yd"] - 1).max()) * 100,
        4,
        unit=" %",
        source=RADAR,
    )


def test_coefficients_meet_another_ball_of_today(agree: Agreement) -> None:
    measured = published("ball_coefficients").astype(float)
    ratio, reynolds = measured["spin_ratio"].to_numpy(), measured["reynolds_number"].to_numpy()
    drag, lift = QUINTAVALLA.coefficients(ratio, reynolds)
    angle = measured["angle_deg"] * DEGREE
    source = "US Patent 6,729,976, 2004 (from memory); its last row chose where the law levels off"
    for name, found, part in (("drag", drag, np.cos(angle)), ("lift", lift, np.sin(angle))):
        agree.below(
            "flight",
            f"{name} coefficient at 8 spins and speeds of a measured ball: largest residual",
            float(np.abs(found - measured["force_coefficient"] * part).max()),
            0.025,
            source=source,
        )


def test_the_drag_crisis(agree: Agreement) -> None:
    reynolds = np.linspace(2e4, 2.4e5, 4401)
    drag, lift = QUINTAVALLA.coefficients(np.full(len(reynolds), 0.05), reynolds)
    halfway = reynolds[np.argmin(np.abs(drag - (drag[0] + drag[-1]) / 2))]
    agree.between(
        "flight",
        "Reynolds number at which drag has fallen half way",
        float(halfway),
        40000,
        60000,
        source="Bearman & Harvey, Aeronautical Quarterly 27, 1976",
    )
    assert (np.diff(drag) <= 0).all()
    assert (np.diff(lift) >= 0).all()


def test_a_tilted_axis_curves_as_coaches_say(agree: Agreement) -> None:
    landings, _ = fly(launch(167, 10.9, 2686, 5), make_air())
    agree.near(
        "flight",
        "the same drive: curve for each degree of axis tilt, of the carry",
        float(landings.y[0] / landings.x[0] / 5 * 100),
        0.7,
        0.1,
        unit=" %",
        source="common practice, no source",
    )


def test_the_older_ball_climbs_higher(agree: Agreement) -> None:
    landings = carried(167, 10.9, 2686, law=SMITS_SMITH, temperature_f=72)
    source = "the same equations integrated apart, in air of 1.194 kg/m³ (a sketch, no source)"
    what = "the same drive under the law of Smits & Smith"
    agree.percent("flight", f"{what}: carry", landings.x[0] / YARD, 273, 1, unit=" yd", source=source)
    agree.near("flight", f"{what}: apex", landings.apex[0] / YARD, 42, 1, unit=" yd", source=source)
    agree.near("flight", f"{what}: landing angle", landing_angle(landings), 43, 1, unit="°", source=source)


def test_the_two_laws_differ_no_more_than_balls_do(agree: Agreement) -> None:
    agree.below(
        "flight",
        "carry of the same drive under the two laws: difference",
        abs(carried(167, 10.9, 2686).x[0] - carried(167, 10.9, 2686, law=SMITS_SMITH).x[0]),
        18,
        unit=" m",
        source="Lyu, Kensrud & Smith, Proceedings 2(6):238, 2018: 18 m among 13 balls of today",
    )


def test_wind_and_height(agree: Agreement) -> None:
    practice = "common practice, no source"
    still = carried(167, 10.9, 2686).x[0]
    gain = [
        (landings.x[0] / still - 1) * 100
        for landings in (
            carried(167, 10.9, 2686, wind_mph=10, wind_from_deg=0, wind_height_ft=6),
            carried(167, 10.9, 2686, wind_mph=10, wind_from_deg=180, wind_height_ft=6),
            carried(167, 10.9, 2686, altitude_ft=5000),
        )
    ]
    head = "a 10 mph head wind, as felt on the tee, takes of the carry"
    agree.between("flight", head, -gain[0], 6, 10.5, unit=" %", source=practice)
    tail = "a 10 mph tail wind, as felt on the tee, adds to the carry"
    agree.between("flight", tail, gain[1], 3.5, 6.5, unit=" %", source=practice)
    height = "each 1,000 ft of altitude adds to the carry"
    agree.between("flight", height, gain[2] / 5, 0.9, 1.5, unit=" %", source=f"about 1.2 % ({practice})")


def test_a_cross_wind_moves_the_ball_with_it() -> None:
    landings, _ = fly(launch(167, 10.9, 2686), make_air(wind_mph=10, wind_from_deg=270))
    assert landings.y[0] > 5  # from the left, so to the right


@pytest.mark.parametrize("law", [QUINTAVALLA, SMITS_SMITH])
def test_odd_launches_stay_finite_and_sensible(law: Aerodynamics) -> None:
    for air in (make_air(), make_air(altitude_ft=8000, wind_mph=40, wind_from_deg=180)):
        for given in (
            (167, 10.9, 0),
            (167, 10.9, 150),
            (100, 60, 9000),
            (180, 35, 8000),
            (20, 5, 500),
            (60, 0.2, 3000),
        ):
            landings, tracks = fly(launch(*given), air, aerodynamics=law)
            assert np.isfinite(landings.x[0])
            assert -50 < landings.x[0] < 500
            assert np.isfinite(tracks.points).all()


@pytest.mark.parametrize("law", [QUINTAVALLA, SMITS_SMITH])
@pytest.mark.parametrize(
    ("swept", "low", "high"),
    [("speed", 10.0, 85.0), ("angle", 1.0, 45.0), ("spin", 500.0, 6000.0), ("wind", -40.0, 40.0)],
)
def test_carry_has_no_jump(law: Aerodynamics, swept: str, low: float, high: float) -> None:
    def carry(value: float) -> float:
        given = {"speed": 70.0, "angle": 12.0, "spin": 2700.0, "wind": 0.0} | {swept: value}
        air = make_air(wind_mph=abs(given["wind"]), wind_from_deg=0 if given["wind"] < 0 else 180)
        launches = launch(given["speed"] / MPH, given["angle"], given["spin"])
        return float(fly(launches, air, aerodynamics=law)[0].x[0])

    fine = np.array([carry(value) for value in np.linspace(low, high, 801)])
    # With half the step the second differences of a smooth curve shrink to a quarter, those of a jump in its
    # slope to a half, and those of a jump not at all. The landing itself is true to millimetres.
    curved, coarse = (float(np.abs(np.diff(values, 2)).max()) for values in (fine, fine[::2]))
    assert curved < 0.35 * coarse + 0.003


def test_track_ends_at_the_landing_and_keeps_to_the_flight() -> None:
    landings, tracks = fly(assorted(10), make_air())
    np.testing.assert_allclose(tracks.points[-1, 0], landings.x)
    np.testing.assert_allclose(tracks.points[-1, 1], landings.y)
    assert (tracks.points[:, 2] <= landings.apex + 1e-6).all()
