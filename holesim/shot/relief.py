"""Relief: where the next stroke is played from and what the drive then costs, by the Rules of Golf (2023)."""

from dataclasses import dataclass
from enum import IntEnum
from math import tan
from typing import Final, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point, Polygon

from holesim.course.course import Ground
from holesim.course.ground_map import GroundMap
from holesim.shot import _relief_kernel as kernel
from holesim.shot._relief_kernel import LIE_BY_GROUND as LIE_BY_GROUND  # noqa: PLC0414 - an export
from holesim.shot._relief_kernel import DropCache as DropCache  # noqa: PLC0414 - an export
from holesim.shot._relief_kernel import HoleConstants as HoleConstants  # noqa: PLC0414 - an export
from holesim.shot._relief_kernel import all_blocked as all_blocked  # noqa: PLC0414 - an export
from holesim.shot._strokes_grid_kernel import StrokesGrid as StrokesGrid  # noqa: PLC0414 - an export
from holesim.shot.bounce import Finishes
from holesim.shot.flight import Tracks
from holesim.units import DEGREE, INCH

Floats = NDArray[np.float64]
OutOfBounds = Literal["distance", "drop"]

CLUB_LENGTH: Final = 45.5 * INCH  # the longest club other than the putter (Definitions): an ordinary driver
RECOVERY_LAUNCH: Final = 16 * DEGREE
"""Launch of a middle iron off the ground. Trees nearer than their height over its tangent are in the way."""
CLIMB: Final = np.float32(tan(RECOVERY_LAUNCH))


class Lie(IntEnum):
    """What the next stroke is played from; also the rows of the strokes table."""

    GREEN = 0
    FAIRWAY = 1
    ROUGH = 2
    HEAVY = 3
    SAND = 4
    RECOVERY = 5


class Finish(IntEnum):
    """Where a drive finished, as a golfer counts it."""

    FAIRWAY = 0
    GREEN = 1
    ROUGH = 2
    HEAVY_ROUGH = 3
    SAND = 4
    TREES = 5
    PENALTY = 6
    OUT = 7


FINISH_BY_LIE: Final = np.array(
    [Finish.GREEN, Finish.FAIRWAY, Finish.ROUGH, Finish.HEAVY_ROUGH, Finish.SAND, Finish.TREES]
)
"""How a golfer counts a drive from each `Lie`."""


@dataclass(frozen=True)
class Lies:
    """Where each ball is played from next, and what the drive then costs; arrays of equal length.

    Attributes
    ----------
    x, y
        Place of the next stroke [m, hole frame]: where the ball stopped, or where relief puts it.
    finish
        `Finish` code of where the drive finished.
    cost
        The drive, any penalty and the expected strokes from there; infinite where only a replay is allowed.
    may_replay
        Whether the golfer may, or must, take stroke and distance.
    lost
        Chance that the ball is not found.
    lost_cost
        Cost if it is not found, by the committee's local rule; infinite under stroke and distance.
    """

    x: Floats
    y: Floats
    finish: NDArray[np.int64]
    cost: Floats
    may_replay: NDArray[np.bool_]
    lost: Floats
    lost_cost: Floats


def hole_constants(
    *,
    tee: tuple[float, float],
    pin: tuple[float, float],
    green: Polygon,
    expected: StrokesGrid,
    lost_in_trees: float,
    lost_in_heavy_rough: float,
    out_of_bounds: OutOfBounds = "distance",
) -> HoleConstants:
    """Return the numbers that relief needs of a hole, for one tee.

    Parameters
    ----------
    tee, pin
        Places [m, hole frame].
    green
        Outline of the putting green.
    expected
        Expected strokes by lie and place, by which the cheapest relief is chosen.
    lost_in_trees, lost_in_heavy_rough
        Chance that a ball in trees or in heavy rough is not found.
    out_of_bounds
        "distance" for stroke and distance (18.2), "drop" for Model Local Rule E-5.
    """
    ring = shapely.get_coordinates(green.exterior).T.astype(np.float32)
    dx, dy = np.diff(ring, append=ring[:, -1:])
    slope = np.divide(dx, dy, out=np.zeros_like(dx), where=dy != 0)
    single = np.float32
    return HoleConstants(
        tee_x=single(tee[0]),
        tee_y=single(tee[1]),
        green=np.stack([*ring, slope]),
        inner=single(green.exterior.distance(Point(pin)) if green.contains(Point(pin)) else 0),
        outer=single(np.hypot(ring[0] - pin[0], ring[1] - pin[1]).max()),
        climb=CLIMB,
        club_length=single(CLUB_LENGTH),
        drop_out=out_of_bounds == "drop",
        lost_in_trees=lost_in_trees,
        lost_in_heavy=lost_in_heavy_rough,
        expected=expected,
    )


def blank_drop_cache(ground: GroundMap) -> DropCache:
    """Return an empty store for the costs of drops on one hole for one golfer; threads may share it."""
    return DropCache(*(np.zeros(len(ground.grid.fine), dtype=np.float32) for _ in range(2)))


def take_relief(finishes: Finishes, tracks: Tracks, ground: GroundMap, hole: HoleConstants) -> Lies:
    """Apply the Rules to every ball that has stopped on a `hole` made by `hole_constants`.

    Notes
    -----
    A ball in a penalty area costs a stroke and is dropped on the line from the hole through the point where
    it last crossed the edge, or, in a red area, within two club-lengths of that point and no nearer the hole
    (17.1d). The cheapest of these places is taken. A ball in trees is a recovery, and so is one whose line to
    the pin is blocked by trees close to it. A ball on another hole's green gets free relief at the nearest
    place off the green (13.1f). Under Model Local Rule E-5 a ball that is out or lost costs two strokes and
    is dropped on the fairway, no nearer the hole.
    """
    n = len(finishes.x)
    codes = finishes.ground.copy()
    place, lie, cost = np.empty((2, n)), np.empty(n, dtype=np.int64), np.empty(n)
    replay, lost, lost_cost = np.empty(n, dtype=np.bool_), np.empty(n), np.empty(n)
    kernel.take_relief(
        finishes.x,
        finishes.y,
        codes,
        tracks.points,
        hole,
        ground.grid,
        place,
        lie,
        cost,
        replay,
        lost,
        lost_cost,
    )
    finish = FINISH_BY_LIE[lie]
    finish[(codes == Ground.RED) | (codes == Ground.YELLOW)] = Finish.PENALTY
    finish[codes == Ground.OUT] = Finish.OUT
    return Lies(place[0], place[1], finish, cost, replay, lost, lost_cost)
