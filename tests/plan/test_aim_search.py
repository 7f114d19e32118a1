"""The search compared with the stages that it shortens, and on any number of threads."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from holesim.course.course import Course, Ground, Spot
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole
from holesim.plan import sights
from holesim.plan.aim_search import Site, costs, prepare
from holesim.plan.conditions import MOST_DRAWS
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import strokes_by_distance
from holesim.scoring.skill import find_skill
from holesim.shot.air import Air, make_air
from holesim.shot.bounce import run
from holesim.shot.deliveries import make_draws, mean_delivery, sample
from holesim.shot.flight import Flights, fly, fly_around, to_hole_frame
from holesim.shot.impact import Launches, choose_head, impact
from holesim.shot.landing import land
from holesim.shot.relief import OutOfBounds, blank_drop_cache, hole_constants, take_relief
from tests.conftest import straight_course

DEGREES = np.pi / 180


@pytest.fixture(scope="module")
def ground(demo_course: Course) -> GroundMap:
    return map_ground(demo_course)


@pytest.fixture(scope="module")
def launches(amateur: Player) -> Launches:
    strike = amateur.driver("up")
    club = choose_head(strike.kind, strike.club_speed)
    spin = float(impact(mean_delivery(strike), club, side=amateur.side).spin[0])
    draws = make_draws(4096, 1, np.random.default_rng(3))
    return impact(sample(strike, draws, spin=spin, mean_spin=spin), club, side=amateur.side)


def rules(
    hole: Hole, amateur: Player, ground: GroundMap, out_of_bounds: OutOfBounds = "distance"
) -> dict[str, Any]:
    tee = hole.tees[0]
    skill = find_skill(amateur.handicap_index, amateur.club_speed, amateur.sex)
    return {
        "tee": (tee.x, tee.y),
        "pin": hole.pin,
        "green": hole.green,
        "expected": strokes_by_distance(strokes_table.make_strokes_table(skill), hole, ground).grid,
        "lost_in_trees": strokes_table.LOST_IN_TREES,
        "lost_in_heavy_rough": strokes_table.LOST_IN_HEAVY_ROUGH,
        "out_of_bounds": out_of_bounds,
    }


def aims(hole: Hole) -> np.ndarray[Any, np.dtype[np.float64]]:
    tee = hole.tees[0]
    return np.asarray(sights.line_bearing(hole, tee, 230.0) + DEGREES * np.linspace(-3, 3, 5))


@pytest.mark.parametrize("wind_mph", [0, 15])
@pytest.mark.parametrize("out_of_bounds", ["distance", "drop"])
def test_the_search_costs_what_the_stages_cost(
    demo_course: Course,
    amateur: Player,
    ground: GroundMap,
    launches: Launches,
    wind_mph: float,
    out_of_bounds: OutOfBounds,
) -> None:
    air = make_air(wind_mph=wind_mph, wind_from_deg=250)
    drives = prepare(fly_around(launches, air))
    errors = []
    for hole in demo_course.holes:
        if hole.par == 3:
            continue
        given = rules(hole, amateur, ground, out_of_bounds)
        found = costs(drives, aims(hole), Site(ground, hole_constants(**given), blank_drop_cache(ground)))
        for heading, cost in zip(aims(hole), found, strict=True):
            landings, tracks = land(launches, air, ground, heading=heading, origin=given["tee"])
            lies = take_relief(run(landings, ground), tracks, ground, hole_constants(**given))
            errors.append(cost - strokes_table.score_drives(lies).expected)
    assert len(errors) == 14 * 5
    assert np.abs(errors).max() < 0.01
    assert np.quantile(np.abs(errors), 0.9) < 0.003
    assert abs(np.mean(errors)) < 0.0015


@pytest.mark.parametrize(
    "spots",
    [
        (Spot(0, 0, 20), Spot(0, 380, 0)),
        (Spot(0, 0, 0), Spot(0, 380, 20)),
        (Spot(0, 0, 0), Spot(-100, 200, 4), Spot(100, 200, -4)),
        (Spot(0, 0, 10), Spot(0, 150, 0), Spot(0, 220, -5), Spot(0, 300, 5), Spot(60, 220, 5)),
    ],
)
def test_on_a_slope_the_search_finds_the_aim_that_the_stages_do(
    amateur: Player, launches: Launches, spots: tuple[Spot, ...]
) -> None:
    air = make_air(wind_mph=10, wind_from_deg=250)
    plain = straight_course(
        fairway=32,
        boundary=60,
        areas=((Ground.RED, shapely.box(20, 180, 60, 280)), (Ground.BUNKER, shapely.box(-30, 215, -16, 240))),
    )
    ground = map_ground(replace(plain, spots=spots))
    given = rules(plain.holes[0], amateur, ground)
    headings = DEGREES * np.arange(-10.0, 4.0, 0.5)
    exact = []
    for heading in headings:
        landings, tracks = land(launches, air, ground, heading=heading, origin=given["tee"])
        lies = take_relief(run(landings, ground), tracks, ground, hole_constants(**given))
        exact.append(strokes_table.score_drives(lies).expected)
    found = costs(
        prepare(fly_around(launches, air)),
        headings,
        Site(ground, hole_constants(**given), blank_drop_cache(ground)),
    )
    # Costs on a slope are rough, but the aim that costs least is found.
    assert np.abs(found - exact).max() < 0.05
    assert exact[int(np.argmin(found))] - min(exact) < 0.005


def test_a_tee_from_which_every_drive_is_out_has_no_cost(
    demo_course: Course, amateur: Player, ground: GroundMap, launches: Launches
) -> None:
    hole = demo_course.holes[0]
    given = rules(hole, amateur, ground) | {"tee": (-5000.0, 0.0)}
    site = Site(ground, hole_constants(**given), blank_drop_cache(ground))
    assert np.isinf(costs(prepare(fly_around(launches, make_air())), aims(hole), site)).all()


def test_an_aim_a_hair_off_the_wind_costs_the_same(
    demo_course: Course, amateur: Player, ground: GroundMap, launches: Launches
) -> None:
    air = make_air(wind_mph=12, wind_from_deg=0)
    hole = demo_course.holes[0]
    # On one side of the wind is the last of the angles, on the other the first.
    headings = np.array([0.0, 1e-17, -1e-17])
    site = Site(ground, hole_constants(**rules(hole, amateur, ground)), blank_drop_cache(ground))
    found = costs(prepare(fly_around(launches, air)), headings, site)
    # Rounding may put a drive of the 4,096 on the other side of an edge.
    np.testing.assert_allclose(found, found[0], atol=5e-4, rtol=0)


def test_the_search_refuses_other_numbers_of_drives(launches: Launches) -> None:
    with pytest.raises(ValueError, match="multiples of 256"):
        prepare(fly_around(launches, make_air()).subset(np.arange(100)))


@pytest.mark.parametrize(("wind_mph", "metres"), [(12, 0.01), (17, 0.01), (24, 0.01), (30, 0.01), (40, 0.02)])
def test_flights_between_the_angles_of_the_wind(launches: Launches, wind_mph: float, metres: float) -> None:
    air = make_air(wind_mph=wind_mph, wind_from_deg=250)
    flights = fly_around(launches, air)
    for heading in np.linspace(0, 2 * np.pi, 7):
        between = flights.landings_along(heading, (100.0, -50.0))
        exact, _ = to_hole_frame(*fly(launches, air, heading=heading), heading=heading, origin=(100.0, -50.0))
        assert np.hypot(between.x - exact.x, between.y - exact.y).max() < metres
        assert np.abs(between.vz - exact.vz).max() < metres / 10


def test_in_still_air_every_aim_has_the_same_flights(launches: Launches) -> None:
    air: Air = make_air()
    flights: Flights = fly_around(launches, air)
    assert len(flights.landings) == 1
    turned = flights.landings_along(1.0, (0.0, 0.0))
    exact, _ = to_hole_frame(*fly(launches, air), heading=1.0, origin=(0.0, 0.0))
    np.testing.assert_allclose(turned.x, exact.x, atol=1e-4)


def test_the_same_bytes_on_any_number_of_threads(
    demo_course: Course, amateur: Player, monkeypatch: pytest.MonkeyPatch
) -> None:
    plans = []
    for threads in ("1", "2", "8"):
        monkeypatch.setenv("HOLESIM_THREADS", threads)
        plans.append(make_plan(demo_course, amateur, RoundOptions(draws=256), holes=[4, 6, 14]).to_json())
    assert plans[0] == plans[1] == plans[2]


def test_precision_adds_drives_until_the_answer_is_that_sure(demo_course: Course, amateur: Player) -> None:
    two = replace(amateur, strikes=tuple(s for s in amateur.strikes if s.club == "driver"))
    plain = make_plan(demo_course, two, RoundOptions(draws=256), holes=[4, 13])
    sure = make_plan(demo_course, two, RoundOptions(draws=256, precision=0.008), holes=[4, 13])
    for before, after in zip(plain.tees, sure.tees, strict=True):
        assert before.difference is not None
        assert after.difference is not None
        assert after.difference.loss.sampling_half <= 0.008 or after.draws == MOST_DRAWS
        wide = before.difference.loss.sampling_half > 0.008
        assert (after.draws > 256) == wide
    assert max(tee.draws for tee in sure.tees) > 256
    assert sure.drives.startswith("256 to ")


def test_what_is_sure_is_true(demo_course: Course, amateur: Player) -> None:
    two = replace(amateur, strikes=tuple(s for s in amateur.strikes if s.club == "driver"))
    truth = make_plan(demo_course, two, RoundOptions(draws=2**15, seed=9), holes=[4]).tees[0].strikes
    for seed in (1, 2, 3):
        found = (
            make_plan(demo_course, two, RoundOptions(draws=256, precision=0.01, seed=seed), holes=[4])
            .tees[0]
            .strikes
        )
        gap, exact = (s[1].strokes - s[0].strokes for s in (found, truth))
        assert [s.strike for s in found] == [s.strike for s in truth]
        assert gap == pytest.approx(exact, abs=0.02)
