"""Landings on ground that is not level and in trees, compared with solve_ivp and with simple cases."""

from dataclasses import replace
from math import atan, hypot

import numpy as np
import pytest
import shapely

from holesim.bench.reference import fly_one
from holesim.common._simd_kernel import singles
from holesim.course.course import Course, Firmness, Ground, Spot
from holesim.course.ground_map import GroundMap, map_ground, plain
from holesim.shot import _landing_kernel as kernel
from holesim.shot._flight_kernel import POINTS
from holesim.shot.air import make_air
from holesim.shot.bounce import run
from holesim.shot.flight import fly, to_hole_frame
from holesim.shot.impact import Launches
from holesim.shot.landing import land
from holesim.units import DEGREE, YARD
from tests.agreement.table import Agreement
from tests.conftest import assorted, launch, straight_course

TOUR = launch(167, 10.9, 2686)
CALM = make_air()


def carry(launches: Launches, ground: GroundMap) -> float:
    landings, _ = land(launches, CALM, ground, heading=0.0, origin=(0.0, 0.0))
    return float(landings.y[0])


def stepped(by: float) -> GroundMap:
    """Return ground that lies `by` [m] higher than the tee wherever a drive comes down."""
    near = [Spot(x, y, 0.0) for x in (-80, 0, 80) for y in (-50, 0, 50)]
    far = [Spot(x, y, by) for x in range(-120, 121, 40) for y in range(120, 401, 40)]
    return map_ground(replace(straight_course(), spots=(*near, *far)))


def wooded(*, height: float, start: float, depth: float = 40.0) -> Course:
    """Return a plain hole with trees right across it, from `start` [m] on."""
    course = straight_course(areas=((Ground.TREES, shapely.box(-60, start, 60, start + depth)),))
    areas = (replace(area, height=height) for area in course.areas if area.ground is not Ground.FAIRWAY)
    return replace(course, areas=tuple(areas))


def test_level_ground_without_trees_is_where_a_flight_ends() -> None:
    launches, air = assorted(50), make_air(wind_mph=15, wind_from_deg=100)
    landed = land(launches, air, plain(Ground.FAIRWAY), heading=1.0, origin=(30.0, -20.0))
    flown = to_hole_frame(*fly(launches, air, heading=1.0), heading=1.0, origin=(30.0, -20.0))
    for ours, theirs in zip(landed, flown, strict=True):
        for name, values in vars(ours).items():
            np.testing.assert_allclose(values, getattr(theirs, name), atol=1e-3)


@pytest.mark.parametrize("wind_mph", [0, 20])
@pytest.mark.parametrize("rise", [-0.12, -0.04, 0.04, 0.12])
def test_on_a_slope_against_solve_ivp(rise: float, wind_mph: float) -> None:
    launches, air = assorted(60, seed=3), make_air(wind_mph=wind_mph, wind_from_deg=200)
    slope = plain(Ground.FAIRWAY, slope=(0.0, rise))
    landings, tracks = land(launches, air, slope, heading=0.0, origin=(0.0, 0.0))
    exact = np.array([fly_one(launches, i, air, rise=rise, rtol=1e-10)[0] for i in range(60)]).T
    clear = launches.angle > atan(rise) + 1 * DEGREE
    assert clear.sum() > 40
    # Where it falls below the tee the wind ends, in the middle of a step.
    ends = wind_mph and rise < 0
    off = np.hypot(landings.y - exact[0], landings.x - exact[1])
    assert off[clear].max() < (0.2 if ends else 0.01)
    assert off[launches.angle < atan(rise) - 1 * DEGREE].max(initial=0) < 5
    for ours, theirs in zip((landings.vy, landings.vx, landings.vz), exact[2:5], strict=True):
        assert np.abs(ours - theirs)[clear].max() < (0.3 if ends else 0.05)
    assert np.abs(landings.time - exact[6])[clear].max() < 0.03
    assert tracks.points[-1, 2] == pytest.approx(rise * landings.y, abs=0.02)
    assert tracks.points[-1, 1] == pytest.approx(landings.y, abs=1e-3)


def test_ten_yards_lower_is_twelve_of_carry(agree: Agreement) -> None:
    level = carry(TOUR, stepped(0.0))
    agree.near(
        "flight",
        "men's tour average: carry gained where it lands 10 yd lower",
        (carry(TOUR, stepped(-10 * YARD)) - level) / YARD,
        12,
        1.5,
        unit=" yd",
        source="common practice, no source",
    )
    assert carry(TOUR, stepped(10 * YARD)) < level - 10 * YARD


def test_a_topped_ball_stops_at_a_bank() -> None:
    bank = plain(Ground.ROUGH, slope=(0.0, 0.5))
    landings, _ = land(launch(100, 2, 3000), CALM, bank, heading=0.0, origin=(0.0, 0.0))
    assert 0 <= landings.y[0] < 10
    assert np.isfinite([landings.vy[0], landings.vz[0]]).all()


def test_a_steep_drop_is_still_fallen_down() -> None:
    cliff = plain(Ground.ROUGH, slope=(0.0, -0.8))
    launches = assorted(200, seed=5)
    landings, _ = land(
        launches, make_air(wind_mph=30, wind_from_deg=180), cliff, heading=0.0, origin=(0.0, 0.0)
    )
    exact = fly_one(launches, 0, make_air(wind_mph=30, wind_from_deg=180), rise=-0.8, rtol=1e-10)[0]
    assert landings.y[0] == pytest.approx(exact[0], rel=0.01)
    assert np.isfinite(landings.y).all()


@pytest.mark.parametrize("height", [5.0, 10.0])
def test_over_the_trees_is_as_if_there_were_none(height: float) -> None:
    ground = map_ground(wooded(height=height, start=100.0))
    assert carry(TOUR, ground) == carry(TOUR, map_ground(straight_course()))


@pytest.mark.parametrize(("height", "start"), [(15.0, 60.0), (25.0, 90.0), (15.0, 235.0)])
def test_below_their_top_a_ball_drops_in_the_trees(height: float, start: float) -> None:
    ground = map_ground(wooded(height=height, start=start))
    landings, tracks = land(TOUR, CALM, ground, heading=0.0, origin=(0.0, 0.0))
    # Its flight, by solve_ivp, says where it first is below the top, two strides of trees before it counts.
    path = fly_one(TOUR, 0, CALM, rtol=1e-10)[1]
    along = np.arange(start, start + 40, 0.01)
    below = along[np.interp(along, path[:, 0], path[:, 2]) < height][0]
    assert below < landings.y[0] < below + 2.5
    assert np.hypot(landings.vx, landings.vy)[0] == 0
    assert tracks.points[-1, 1, 0] == landings.y[0].astype(np.float32)
    finishes = run(landings, ground)
    assert hypot(finishes.x[0] - landings.x[0], finishes.y[0] - landings.y[0]) < 0.5
    assert finishes.ground[0] == Ground.TREES


@pytest.mark.parametrize("away", [150, 1e8, 1e12, np.inf, np.nan])
def test_the_way_of_a_ball_that_flies_for_miles_comes_to_an_end(away: float) -> None:
    """In single precision a stride is lost in millions of metres, so no way is looked along so far."""
    ground = map_ground(wooded(height=25, start=120))
    nought, one = singles(0.0, 1.0)
    landing = np.zeros((6, 1), dtype=np.float32)
    track = np.array([[[away * k], [0.0], [5.0]] for k in range(1, POINTS + 1)], dtype=np.float32)
    stand = kernel.Stand(nought, nought, nought, nought, one)
    kernel.meet_trees(stand, ground.grid, one, landing, track)
    assert (landing[0, 0] == 121) == (away == 150)


def test_a_hole_mirrored_lands_mirrored() -> None:
    launches = assorted(100, seed=9)
    mirrored = replace(launches, direction=-launches.direction, tilt=-launches.tilt)
    wood = (Ground.TREES, shapely.box(10, 60, 50, 260))
    spots = (Spot(0, 0, 10), Spot(40, 200, 0), Spot(-60, 150, 5))
    course = replace(straight_course(areas=(wood,)), spots=spots)
    other = replace(
        straight_course(areas=((Ground.TREES, shapely.box(-50, 60, -10, 260)),)),
        spots=tuple(replace(spot, x=-spot.x) for spot in spots),
    )
    one, _ = land(launches, CALM, map_ground(course), heading=0.0, origin=(0.0, 0.0))
    two, _ = land(mirrored, CALM, map_ground(other), heading=0.0, origin=(0.0, 0.0))
    assert (one.vy == 0).sum() > 5
    # The grids are not mirrors: a stride begins a hair earlier here than there.
    assert np.quantile(np.hypot(one.x + two.x, one.y - two.y), 0.95) < 0.05


def test_a_spot_is_as_high_as_it_states_and_ground_between_two_is_a_plane() -> None:
    course = replace(straight_course(), spots=(Spot(0, 0, 40.0), Spot(0, 320, 24.0)))
    ground = map_ground(course)
    for along in (0, 80, 160, 240, 320):
        assert ground.elevation(0, along) == pytest.approx(40 - along / 20, abs=0.3)  # nodes are 8 m apart
    assert ground.elevation(0, 380) == pytest.approx(24, abs=0.05)
    assert ground.elevation(0, -40) == pytest.approx(40, abs=0.05)
    # Two that state one place are one, and a hundred and more are no matter.
    doubled = replace(course, spots=(*course.spots, Spot(0.2, 320.1, 26.0)))
    assert map_ground(doubled).elevation(0, 320) == pytest.approx(25, abs=0.2)
    many = tuple(Spot(x, y, 0.02 * x - 0.03 * y) for x in range(-200, 201, 20) for y in range(-100, 501, 20))
    assert map_ground(replace(course, spots=many)).elevation(37, 211) == pytest.approx(0.74 - 6.33, abs=0.05)


@pytest.mark.parametrize("shift", [0.0, 1.7, 3.9, 6.2])
def test_no_wall_stands_before_an_elevated_tee(shift: float) -> None:
    # Wherever the grid points of the elevation lie.
    course = straight_course()
    spots = (Spot(shift, shift, 15.0), Spot(shift, shift + 80, 0.0), Spot(shift, 384.0, 0.0))
    ground = map_ground(replace(course, spots=spots))
    assert ground.elevation(shift, shift) == pytest.approx(15.0, abs=0.01)
    landings, _ = land(assorted(300), CALM, ground, heading=0.0, origin=(shift, shift))
    level, _ = land(assorted(300), CALM, map_ground(course), heading=0.0, origin=(shift, shift))
    assert (landings.y > level.y).all()


def test_a_place_that_is_no_number_is_out() -> None:
    ground = map_ground(replace(straight_course(boundary=40), spots=(Spot(0, 0, 5), Spot(0, 300, 0))))
    for x, y in ((np.nan, 1.0), (1.0, np.nan), (np.nan, np.nan), (np.inf, 1.0), (1.0, -np.inf)):
        assert ground.at(np.array([x]), np.array([y])).tolist() == [Ground.OUT]
        ground.elevation(x, y)


def test_an_outline_has_a_firmness_of_its_own() -> None:
    def total(course_firmness: Firmness, fairway: Firmness | None, asked: Firmness | None = None) -> float:
        course = straight_course()
        mown = (area.ground is Ground.FAIRWAY for area in course.areas)
        areas = tuple(
            replace(area, firmness=fairway) if mine else area
            for area, mine in zip(course.areas, mown, strict=True)
        )
        ground = map_ground(replace(course, areas=areas, firmness=course_firmness), firmness=asked)
        landings, _ = land(TOUR, CALM, ground, heading=0.0, origin=(0.0, 0.0))
        return float(run(landings, ground).y[0])

    soft, medium, firm = (total(firmness, None) for firmness in ("soft", "medium", "firm"))
    assert soft + 2 < medium < firm - 2
    assert total("medium", "firm") == pytest.approx(firm, abs=0.01)
    assert total("firm", "soft") == pytest.approx(soft, abs=0.01)
    assert total("firm", None, "soft") == soft
    assert total("soft", "firm", "medium") == pytest.approx(firm, abs=0.01)
