"""The reference compared with itself at a tight tolerance, with closed forms, and with the kernels."""

from collections.abc import Callable
from dataclasses import replace
from math import asinh, atan2, cos, exp, hypot, pi, sin, tan
from typing import Literal

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from holesim.bench import reference
from holesim.bench.reference import PlainGround, PlainHole, cost_one, fly_one, fly_together
from holesim.course.course import TREE_HEIGHT, Course, Ground
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole
from holesim.player.player import Player
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import (
    STEP,
    ExpectedStrokes,
    make_misses,
    solve_hole,
    strokes_by_distance,
)
from holesim.scoring.shot_dispersion import TOUR, club_dispersion
from holesim.scoring.skill import find_skill
from holesim.shot.air import ROUGHNESS, Air, make_air
from holesim.shot.bounce import run, surfaces
from holesim.shot.deliveries import make_draws, mean_delivery, sample
from holesim.shot.flight import GRAVITY, QUINTAVALLA, SMITS_SMITH, Aerodynamics, fly
from holesim.shot.impact import BALL_MASS, BALL_RADIUS, Launches, choose_head, impact
from holesim.shot.landing import land
from holesim.shot.relief import RECOVERY_LAUNCH, Finish, Lie, OutOfBounds, hole_constants, take_relief
from holesim.units import DEGREE, MPH, RPM, YARD
from tests.conftest import assorted, launch, straight_course

Floats = NDArray[np.float64]
LAWS = [QUINTAVALLA, SMITS_SMITH]


def one_by_one(launches: Launches, air: Air, law: Aerodynamics, rtol: float) -> Floats:
    drives = range(len(launches.speed))
    return np.array([fly_one(launches, i, air, aerodynamics=law, rtol=rtol)[0] for i in drives]).T


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize(("wind_mph", "cm"), [(0, 1), (15, 1), (30, 1), (40, 2)])
def test_together_as_one_by_one(law: Aerodynamics, wind_mph: float, cm: float) -> None:
    launches, air = assorted(24, seed=11), make_air(wind_mph=wind_mph, wind_from_deg=50)
    exact = one_by_one(launches, air, law, 1e-10)
    for dtype in (np.float64, np.float32):
        found = fly_together(launches, air, aerodynamics=law, dtype=dtype)
        assert found.dtype == dtype
        off = found - exact
        assert np.hypot(off[0], off[1]).max() < cm / 100
        # The wind changes so fast at the ground that the last step leaves some cm/s.
        assert np.abs(off[2:5]).max() < 0.03
        assert np.abs(off[5]).max() < 0.03
        assert np.abs(off[6]).max() < 1e-3


def by_vectors(start: Floats, axis_at: Callable[[Floats], Floats], air: Air) -> Floats:
    """Return x, y and time at the landing of a ball, by numpy's own cross products.

    `start` is its velocity and spin, `axis_at` the axis at an airspeed; vectors have x along the aim, y to
    its left, z up.
    """
    blows = np.array([-cos(air.wind_from), sin(air.wind_from), 0.0])  # of an aim to the north

    def rates(_: float, state: Floats) -> Floats:
        through = state[3:6] - blows * air.wind_at(max(state[2], ROUGHNESS))
        speed = np.linalg.norm(through)
        ratio, reynolds = (
            state[6:] * BALL_RADIUS / speed,
            2 * BALL_RADIUS * speed * air.density / air.viscosity,
        )
        drag, lift = QUINTAVALLA.coefficients(ratio, np.array([reynolds]))
        push = 0.5 * air.density * pi * BALL_RADIUS**2 / BALL_MASS * speed
        gain = push * (lift * np.cross(axis_at(through), through) - drag * through) - [0.0, 0.0, GRAVITY]
        return np.concatenate([state[3:6], gain, -QUINTAVALLA.spin_decay * speed / BALL_RADIUS * state[6:]])

    def height(_: float, state: Floats) -> float:
        return float(state[2])

    height.terminal, height.direction = True, -1  # type: ignore[attr-defined]
    flown = solve_ivp(rates, (0, 60), [0, 0, 0, *start], events=height, rtol=1e-7, atol=1e-9)
    return np.array([flown.y[0, -1], flown.y[1, -1], flown.t[-1]])


@pytest.mark.parametrize(("tilt", "direction"), [(0, 0), (12, -4), (-25, 3)])
@pytest.mark.parametrize("wind_from_deg", [270, 130])
def test_the_axis_is_a_vector_that_keeps_its_direction(
    tilt: float, direction: float, wind_from_deg: float
) -> None:
    drive, air = launch(167, 10.9, 2686, tilt, direction), make_air(wind_mph=15, wind_from_deg=wind_from_deg)
    up, right, lean = 10.9 * DEGREE, direction * DEGREE, tilt * DEGREE
    ahead = np.array([cos(up) * cos(right), -cos(up) * sin(right), sin(up)])
    level = np.cross(ahead, [0.0, 0.0, 1.0]) / cos(up)
    # Rodrigues' formula: the axis turns about the launch, its right side down.
    axis = level * cos(lean) + np.cross(ahead, level) * sin(lean)
    x, left, time = by_vectors(np.array([*167 * MPH * ahead, 2686 * RPM]), lambda _: axis, air)
    for landing in (fly_one(drive, 0, air, rtol=1e-10)[0], fly_together(drive, air)[:, 0]):
        assert hypot(landing[0] - x, landing[1] + left) < 0.01
        assert landing[6] == pytest.approx(time, abs=1e-3)
    landed, _ = fly(drive, air)
    assert hypot(landed.x[0] - x, landed.y[0] + left) < 0.01


def test_an_axis_that_turned_with_the_airspeed_would_be_noticed() -> None:
    drive, air = launch(167, 10.9, 2686), make_air(wind_mph=15, wind_from_deg=270)
    start = np.array([167 * MPH * cos(10.9 * DEGREE), 0, 167 * MPH * sin(10.9 * DEGREE), 2686 * RPM])

    def level(through: Floats) -> Floats:
        across = np.cross(through, [0.0, 0.0, 1.0])
        return np.asarray(across / np.linalg.norm(across))

    _, left, _ = by_vectors(start, level, air)
    # Square to the airspeed at all times, the axis would let the ball drift farther.
    assert -left - fly_one(drive, 0, air)[0][1] > 1 * YARD


@pytest.mark.parametrize("law", LAWS)
def test_the_usual_tolerance_is_good_to_a_centimetre(law: Aerodynamics) -> None:
    launches, air = assorted(24, seed=11), make_air(wind_mph=30, wind_from_deg=50)
    off = one_by_one(launches, air, law, 1e-6) - one_by_one(launches, air, law, 1e-10)
    assert np.hypot(off[0], off[1]).max() < 0.01


def test_blocks_are_joined_in_order(monkeypatch: pytest.MonkeyPatch) -> None:
    launches, air = assorted(20, seed=11), make_air(wind_mph=15, wind_from_deg=50)
    whole = fly_together(launches, air)
    monkeypatch.setattr(reference, "BLOCK", 7 * 8)
    np.testing.assert_allclose(fly_together(launches, air), whole, rtol=1e-12)


def test_without_air_a_drive_is_a_parabola() -> None:
    drive, vacuum = launch(167, 10.9, 2686, 20), Air(density=0.0, viscosity=1.8e-5)
    speed, angle = 167 * MPH, 10.9 * DEGREE
    rise = tan(angle)
    arc = (speed * cos(angle)) ** 2 / GRAVITY * (rise * hypot(1, rise) + asinh(rise))
    for landing in (fly_one(drive, 0, vacuum)[0], fly_together(drive, vacuum)[:, 0]):
        assert landing[0] == pytest.approx(speed**2 * sin(2 * angle) / GRAVITY, abs=1e-6)
        assert landing[1] == pytest.approx(0, abs=1e-9)
        assert landing[4] == pytest.approx(-speed * sin(angle), abs=1e-6)
        spin = 2686 * RPM * exp(-QUINTAVALLA.spin_decay * arc / BALL_RADIUS)
        assert landing[5] == pytest.approx(spin, rel=1e-5)
        assert landing[6] == pytest.approx(2 * speed * sin(angle) / GRAVITY, abs=1e-7)


def test_the_path_goes_from_the_tee_to_the_landing() -> None:
    landing, path = fly_one(assorted(1, seed=11), 0, make_air())
    np.testing.assert_array_equal(path[0], 0)
    np.testing.assert_array_equal(path[-1, :2], landing[:2])
    assert path[-1, 2] == pytest.approx(0, abs=1e-9)
    assert (path[1:-1, 2] > 0).all()


def test_wind_and_aim_turned_together_change_nothing() -> None:
    drives = assorted(3, seed=11)
    north, east = make_air(wind_mph=20, wind_from_deg=200), make_air(wind_mph=20, wind_from_deg=290)
    np.testing.assert_allclose(
        fly_together(drives, east, heading=pi / 2), fly_together(drives, north), rtol=1e-9, atol=1e-9
    )
    np.testing.assert_allclose(
        fly_one(drives, 0, east, heading=pi / 2)[0], fly_one(drives, 0, north)[0], rtol=1e-9, atol=1e-9
    )
    # From the left of one who aims north it blows to the right.
    west = make_air(wind_mph=20, wind_from_deg=270)
    assert fly_one(launch(160, 11, 2700), 0, west)[0][1] > 5


@pytest.mark.parametrize("unmapped", [None, "rough", "heavy"])
def test_the_ground_by_outlines_is_the_painted_one(
    demo_course: Course, unmapped: Literal["rough", "heavy"] | None
) -> None:
    rng = np.random.default_rng(5)
    assert demo_course.boundary is not None
    left, bottom, right, top = demo_course.boundary.bounds
    anywhere = rng.uniform((left - 40, bottom - 40), (right + 40, top + 40), (400, 2))
    within = shapely.get_coordinates([area.outline.representative_point() for area in demo_course.areas])
    points = np.concatenate([anywhere, within])
    outlines = [area.outline.boundary for area in demo_course.areas] + [demo_course.boundary.boundary]
    away = shapely.distance(shapely.union_all(outlines), shapely.points(points)) > 0.1
    plain = PlainGround.of(demo_course, unmapped=unmapped)
    found = np.array([plain.at(x, y) for x, y in points[away].tolist()])
    painted = map_ground(demo_course, unmapped=unmapped).at(*np.ascontiguousarray(points[away].T))
    np.testing.assert_array_equal(found, painted)
    assert set(found) == set(Ground)


def test_without_a_boundary_the_ground_goes_on() -> None:
    plain = PlainGround.of(straight_course())
    assert plain.at(-5000.0, 0.0) == Ground.HEAVY_ROUGH
    assert plain.at(-300.0, 100.0) == Ground.ROUGH


def drives_of(player: Player, n: int) -> Launches:
    strike = player.driver("up")
    club = choose_head(strike.kind, strike.club_speed)
    spin = float(impact(mean_delivery(strike), club, side=player.side).spin[0])
    draws = make_draws(n, 1, np.random.default_rng(3))
    return impact(sample(strike, draws, spin=spin, mean_spin=spin), club, side=player.side)


# Where drives of the demo player land: another hole's green, wood, water, and a boundary close by; and more
# wood on the way to the pin.
TROUBLE = straight_course(
    boundary=35,
    areas=(
        (Ground.GREEN, shapely.Point(0, 246).buffer(9)),
        (Ground.TREES, shapely.box(15, 230, 30, 275)),
        (Ground.TREES, shapely.box(-8, 285, 0, 300)),
        (Ground.YELLOW, shapely.box(-30, 232, -14, 252)),
        (Ground.RED, shapely.box(12, 205, 30, 229)),
    ),
)


@pytest.mark.parametrize(
    ("where", "wind_mph", "out_of_bounds", "kinds"),
    [("demo", 0, "distance", 4), ("demo", 15, "drop", 4), ("trouble", 0, "drop", 5)],
)
def test_the_plain_pipeline_finds_what_the_compiled_one_does(
    demo_course: Course,
    amateur: Player,
    where: str,
    wind_mph: float,
    out_of_bounds: OutOfBounds,
    kinds: int,
) -> None:
    course = demo_course if where == "demo" else TROUBLE
    hole = next(hole for hole in course.holes if hole.number == 14 or where != "demo")
    tee = hole.tees[0].x, hole.tees[0].y
    heading = atan2(hole.pin[0] - tee[0], hole.pin[1] - tee[1])
    launches, air = drives_of(amateur, 64), make_air(wind_mph=wind_mph, wind_from_deg=250)

    painted = map_ground(course)
    expected = strokes_of(amateur, hole, painted)
    landings, tracks = land(launches, air, painted, heading=heading, origin=tee)
    finishes = run(landings, painted)
    seen = hole_constants(
        tee=tee, pin=hole.pin, green=hole.green, expected=expected.grid,
        lost_in_trees=strokes_table.LOST_IN_TREES, lost_in_heavy_rough=strokes_table.LOST_IN_HEAVY_ROUGH,
        out_of_bounds=out_of_bounds,
    )  # fmt: skip
    lies = take_relief(finishes, tracks, painted, seen)
    plain = PlainHole(
        ground=PlainGround.of(course), tee=tee, pin=hole.pin, green=hole.green,
        surfaces=surfaces("medium"), expected=expected, out_of_bounds=out_of_bounds,
    )  # fmt: skip
    found = [cost_one(launches, i, plain, air, heading=heading) for i in range(64)]

    # Of 64 drives a few may differ, where a ball meets an edge within the centimetres that the two differ by.
    def off(ours: list[float], theirs: Floats) -> Floats:
        same = np.array(ours) == theirs  # infinities too
        return np.abs(np.subtract(ours, theirs, out=np.zeros(len(theirs)), where=~same))

    moved = np.hypot(
        [one.stopped[0] for one in found] - finishes.x, [one.stopped[1] for one in found] - finishes.y
    )
    felled = np.hypot(landings.vx, landings.vy) == 0
    assert np.quantile(moved[~felled], 0.9) < 0.1
    assert np.quantile(moved[~felled], 0.95) < 0.5
    # They look for trees at strides that do not begin at one place.
    assert np.quantile(moved[felled], 0.9) < 1.5 if felled.any() else where == "demo"
    cost = off([one.cost for one in found], lies.cost)
    assert np.median(cost) < 0.001
    assert np.quantile(cost, 0.95) < 0.02
    placed = np.hypot([one.place[0] for one in found] - lies.x, [one.place[1] for one in found] - lies.y)
    assert np.quantile(placed, 0.9) < 0.5
    for ours, theirs in (
        ([float(one.finish) for one in found], lies.finish),
        ([float(one.may_replay) for one in found], lies.may_replay),
        ([one.lost for one in found], lies.lost),
    ):
        assert np.isclose(ours, theirs).mean() >= 61 / 64
    assert np.quantile(off([one.lost_cost for one in found], lies.lost_cost), 0.95) < 0.02
    # The drives do find what the Rules are for.
    assert sum(one.finish == Finish.PENALTY for one in found) >= 4
    assert len({one.finish for one in found}) >= kinds
    if where == "trouble":
        assert sum(one.finish == Finish.OUT for one in found) >= 4
        assert sum(one.stopped != one.place and not one.may_replay for one in found) >= 4


def test_the_plain_best_shot_is_as_good_as_the_one_worked_back(demo_course: Course) -> None:
    hole = next(hole for hole in demo_course.holes if hole.number == 13)
    ground, golfer = map_ground(demo_course), club_dispersion(TOUR)
    table = strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0))
    expected = solve_hole(golfer, table, hole, ground)
    plain = PlainHole(
        ground=PlainGround.of(demo_course), tee=(0.0, 0.0), pin=hole.pin, green=hole.green,
        surfaces=surfaces("medium"), expected=expected,
    )  # fmt: skip
    on = hole.line.interpolate(hole.line.length - np.array([70.0, 130.0, 180.0]))
    for x, y in shapely.get_coordinates(on):
        shot = expected.next_shot(Lie.FAIRWAY, x, y)
        assert shot is not None
        around = [
            (shot.target[0] + dx, shot.target[1] + dy) for dx in (-2.0, 0.0, 2.0) for dy in (-2.0, 0.0, 2.0)
        ]
        best = reference.best_shot(
            (x, y), Lie.FAIRWAY, golfer, make_misses()[:2].astype(float), around, plain
        )
        # Ours may be holed, which saves less than 0.01 from there.
        assert shot.strokes == pytest.approx(best, abs=0.03)


def strokes_of(player: Player, hole: Hole, ground: GroundMap) -> ExpectedStrokes:
    who = find_skill(player.handicap_index, player.club_speed, player.sex)
    return strokes_by_distance(strokes_table.make_strokes_table(who), hole, ground)


def plain_hole(course: Course, player: Player) -> PlainHole:
    hole = course.holes[0]
    return PlainHole(
        ground=PlainGround.of(course), tee=(0.0, 0.0), pin=hole.pin, green=hole.green,
        surfaces=surfaces("medium"), expected=strokes_of(player, hole, map_ground(course)),
    )  # fmt: skip


def test_a_ball_off_another_green_is_no_nearer(amateur: Player) -> None:
    plain = plain_hole(TROUBLE, amateur)
    path = np.array([[0.0, 0.0, 0.0], [0.0, 247.0, 0.0]])
    moved = reference.apply_rules((0.0, 247.0, Ground.GREEN), path, plain)
    assert plain.ground.at(*moved.place) > Ground.GREEN
    assert hypot(moved.place[0], moved.place[1] - 246) >= 9
    assert hypot(moved.place[0], moved.place[1] - plain.pin[1]) >= plain.pin[1] - 247
    own = replace(plain, green=shapely.Point(0, 246).buffer(9))
    kept = reference.apply_rules((0.0, 247.0, Ground.GREEN), path, own)
    assert kept.place == (0.0, 247.0)
    assert kept.finish == Finish.GREEN


@pytest.mark.parametrize(("depth", "finish"), [(0.9, Finish.ROUGH), (3.0, Finish.TREES)])
def test_a_wood_blocks_and_a_hedge_does_not(amateur: Player, depth: float, finish: Finish) -> None:
    trees = shapely.box(30, 220, 60, 220 + depth)
    plain = plain_hole(straight_course(areas=((Ground.TREES, trees),)), amateur)
    path = np.array([[0.0, 0.0, 0.0], [50.0, 200.0, 0.0]])
    assert reference.apply_rules((50.0, 200.0, Ground.ROUGH), path, plain).finish == finish


def test_a_drop_may_go_back_past_a_wood(amateur: Player) -> None:
    wood, pond = shapely.box(20, 205, 90, 240), shapely.box(20, 240, 90, 260)
    course = straight_course(areas=((Ground.TREES, wood), (Ground.YELLOW, pond)))
    plain = plain_hole(course, amateur)
    # Where the lie matters more than the distance.
    table = 2 + 0.001 * strokes_table.DISTANCES + 0.5 * np.arange(len(Lie))[:, None]
    plain = replace(plain, expected=strokes_by_distance(table, course.holes[0], map_ground(course)))
    path = np.array([[0.0, 0.0, 0.0], [40.0, 100.0, 30.0], [40.0, 250.0, 0.0]])
    dropped = reference.apply_rules((40.0, 250.0, Ground.YELLOW), path, plain)
    x, y = dropped.place
    # On the line from the pin through (40, 240), as near the wood as it can be cleared from: two strides of
    # it block, it is 5 m from drop to drop, and what is blocked is blurred between nodes.
    assert x == pytest.approx(40 * (plain.pin[1] - y) / (plain.pin[1] - 240), abs=0.02)
    behind = hypot(x, plain.pin[1] - y) * (205 - y) / (plain.pin[1] - y)
    clear = TREE_HEIGHT / tan(RECOVERY_LAUNCH)
    assert clear - 2 < behind < clear + 5 + STEP
    wanted = 2 + 2 + 0.001 * hypot(x, plain.pin[1] - y) + 0.5 * Lie.ROUGH
    # Between nodes 4 m apart a distance is a hundredth of a metre off, so far from the pin.
    assert dropped.cost == pytest.approx(wanted, abs=1.5e-5)
