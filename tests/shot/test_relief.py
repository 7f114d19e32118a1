"""Relief by the Rules of Golf (2023) on ground simple enough to check by hand."""

from math import hypot

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from holesim.course.course import Ground
from holesim.course.ground_map import map_ground
from holesim.scoring.expected_strokes import strokes_by_distance
from holesim.shot.bounce import Finishes
from holesim.shot.flight import Tracks
from holesim.shot.relief import CLUB_LENGTH, Finish, Lie, Lies, OutOfBounds, hole_constants, take_relief
from holesim.units import YARD
from tests.conftest import straight_course

PIN = (0.0, 420 * YARD)
# Strokes that tell the lies apart: a thousandth a metre, and half a stroke from lie to lie.
TABLE = 2 + 0.001 * np.arange(801.0)[None, :] + 0.5 * np.arange(len(Lie))[:, None]
POND = shapely.box(-8, 180, 60, 240)


def relieve(
    x: float,
    y: float,
    areas: tuple[tuple[Ground, Polygon], ...] = (),
    *,
    way: tuple[tuple[float, float], ...] = ((0.0, 0.0),),
    out_of_bounds: OutOfBounds = "distance",
    boundary: float | None = None,
    other_green: tuple[float, float] | None = None,
) -> Lies:
    if other_green is not None:
        areas = (*areas, (Ground.GREEN, shapely.Point(other_green).buffer(12)))
    course = straight_course(areas=areas, boundary=boundary)
    ground = map_ground(course)
    finishes = Finishes(np.array([x]), np.array([y]), ground.at(np.array([x]), np.array([y])))
    points = np.array([[*way, (x, y)]], dtype=float)
    track = np.concatenate([points, np.zeros((1, len(way) + 1, 1))], axis=2).transpose(1, 2, 0)
    expected = strokes_by_distance(TABLE, course.holes[0], ground)
    hole = hole_constants(
        tee=(0.0, 0.0), pin=PIN, green=course.holes[0].green, expected=expected.grid,
        lost_in_trees=0.04, lost_in_heavy_rough=0.03, out_of_bounds=out_of_bounds,
    )  # fmt: skip
    return take_relief(finishes, Tracks(track.astype(np.float32)), ground, hole)


@pytest.mark.parametrize(
    ("ground", "lie", "finish"),
    [
        (Ground.FAIRWAY, Lie.FAIRWAY, Finish.FAIRWAY),
        (Ground.TEE, Lie.FAIRWAY, Finish.FAIRWAY),
        (Ground.ROUGH, Lie.ROUGH, Finish.ROUGH),
        (Ground.HEAVY_ROUGH, Lie.HEAVY, Finish.HEAVY_ROUGH),
        (Ground.BUNKER, Lie.SAND, Finish.SAND),
        (Ground.TREES, Lie.RECOVERY, Finish.TREES),
    ],
)
def test_a_ball_is_played_as_it_lies(ground: Ground, lie: Lie, finish: Finish) -> None:
    lies = relieve(50, 200, ((ground, shapely.box(45, 195, 55, 205)),))
    distance = hypot(50 - PIN[0], 200 - PIN[1])
    assert lies.finish[0] == finish
    # Between grid points a distance is off by a hundredth of a metre, so far from the pin.
    assert lies.cost[0] == pytest.approx(1 + 2 + 0.001 * distance + 0.5 * lie, abs=1.5e-5)
    assert not lies.may_replay[0]


def test_a_ball_may_be_lost_in_trees_and_heavy_rough_only() -> None:
    assert relieve(50, 200, ((Ground.TREES, shapely.box(40, 190, 60, 210)),)).lost[0] == 0.04
    assert relieve(50, 200, ((Ground.HEAVY_ROUGH, shapely.box(40, 190, 60, 210)),)).lost[0] == 0.03
    assert relieve(50, 200).lost[0] == 0


def test_yellow_penalty_area_goes_back_on_the_line() -> None:
    # 17.1d(2): on the line from the hole through where it crossed, here straight down the middle.
    lies = relieve(0, 200, ((Ground.YELLOW, POND),), way=((0, 50), (0, 150)))
    assert lies.finish[0] == Finish.PENALTY
    assert lies.may_replay[0]
    assert lies.x[0] == pytest.approx(0, abs=0.01)
    assert 178 < lies.y[0] < 180
    assert lies.cost[0] == pytest.approx(2 + 2 + 0.001 * (PIN[1] - lies.y[0]) + 0.5, abs=1e-6)


def test_red_penalty_area_may_be_dropped_beside() -> None:
    # 17.1d(3): the ball flew in over the left edge at (-8, 210) from out on the left, where rough lies; the
    # line back from the hole is rough too, so within two club-lengths, no nearer, is the best there is.
    way = ((-60.0, 210.0), (-9.0, 210.0))
    lies = relieve(10, 210, ((Ground.RED, POND),), way=way)
    assert hypot(lies.x[0] + 8, lies.y[0] - 210) <= 2 * CLUB_LENGTH + 0.02
    assert hypot(lies.x[0], lies.y[0] - PIN[1]) >= hypot(-8, 210 - PIN[1]) - 0.02
    yellow = relieve(10, 210, ((Ground.YELLOW, POND),), way=way)
    assert yellow.cost[0] >= lies.cost[0]


def test_the_crossing_is_the_last_one() -> None:
    # Over one pond and into the next: the drop belongs to the second.
    first, second = shapely.box(-20, 120, 20, 140), shapely.box(-20, 200, 20, 240)
    lies = relieve(0, 220, ((Ground.YELLOW, first), (Ground.YELLOW, second)), way=((0, 60), (0, 190)))
    assert 198 < lies.y[0] < 200


@pytest.mark.parametrize("away", [1e5, 1e8, 1e12, 1e30, np.inf, np.nan])
def test_the_way_back_of_a_ball_that_is_miles_off_comes_to_an_end(away: float) -> None:
    """In single precision a stride is lost in millions of metres, so no way is looked along so far."""
    lake = ((Ground.RED, shapely.box(-390, -50, 390, 500)),)
    for way in (((0.0, 0.0), (0.0, 200.0)), ((0.0, away), (0.0, 200.0)), ((away, away), (-away, 0.0))):
        for x, y in ((away, 200.0), (0.0, 200.0)):
            lies = relieve(x, y, lake, way=way, boundary=400, out_of_bounds="drop")
            assert len(lies.cost) == 1


def test_stroke_and_distance_out_of_bounds() -> None:
    lies = relieve(80, 200, boundary=60)
    assert lies.finish[0] == Finish.OUT
    assert np.isinf(lies.cost[0])
    assert lies.may_replay[0]


def test_model_local_rule_e_5() -> None:
    # Two penalty strokes and a drop at the fairway, no nearer the hole than where it crossed: the next
    # stroke is the fourth.
    lies = relieve(80, 200, way=((0.0, 40.0),), boundary=60, out_of_bounds="drop")
    edge = 60 * YARD
    y = 40 + (200 - 40) * edge / 80
    assert lies.cost[0] == pytest.approx(
        3 + 2 + 0.001 * hypot(edge, PIN[1] - y) + 0.5 * Lie.FAIRWAY, abs=2e-4
    )
    assert lies.finish[0] == Finish.OUT
    trees = relieve(50, 200, ((Ground.TREES, shapely.box(45, 195, 55, 205)),), out_of_bounds="drop")
    assert np.isfinite(trees.lost_cost[0])


def test_trees_on_the_line_make_a_recovery() -> None:
    # The ball lies at (50, 200) in the rough, the pin 190 m off to the north by west.
    near, far, beside = (
        shapely.box(35, 220, 55, 235),
        shapely.box(10, 300, 40, 315),
        shapely.box(55, 205, 75, 235),
    )
    assert relieve(50, 200, ((Ground.TREES, near),)).finish[0] == Finish.TREES
    assert relieve(50, 200, ((Ground.TREES, far),)).finish[0] == Finish.ROUGH
    assert relieve(50, 200, ((Ground.TREES, beside),)).finish[0] == Finish.ROUGH


def test_another_holes_green_gives_free_relief() -> None:
    # 13.1f: nearest ground off it, no nearer the hole, without penalty.
    lies = relieve(62, 200, other_green=(60.0, 200.0))
    assert lies.finish[0] == Finish.ROUGH
    assert hypot(lies.x[0] - 60, lies.y[0] - 200) >= 12
    assert hypot(lies.x[0], lies.y[0] - PIN[1]) >= hypot(62, 200 - PIN[1])
    assert not lies.may_replay[0]


def test_its_own_green_is_the_green() -> None:
    assert relieve(0, PIN[1] - 5).finish[0] == Finish.GREEN
