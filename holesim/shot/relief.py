"""Relief: what a ball lies in, or where a penalty puts it, by the Rules of Golf (2023)."""

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
from holesim.shot._relief_kernel import Memory as Memory  # noqa: PLC0414 - an export
from holesim.shot._relief_kernel import Target as Target  # noqa: PLC0414 - an export
from holesim.shot._strokes_grid_kernel import StrokesGrid
from holesim.shot.bounce import Finishes
from holesim.shot.flight import Tracks
from holesim.units import DEGREE, INCH

Floats = NDArray[np.float64]
OutOfBounds = Literal["distance", "drop"]

CLUB_LENGTH: Final = 45.5 * INCH  # the longest club but the putter, an ordinary driver (Definitions)
RECOVERY_LAUNCH: Final = 16 * DEGREE
"""Launch of a middle iron from the ground: trees nearer than their height over its tangent are in the way."""
CLIMB: Final = np.float32(tan(RECOVERY_LAUNCH))


class Lie(IntEnum):
    """What the next stroke is played from: the rows of the table of strokes."""

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


_FINISH: Final = {
    Lie.GREEN: Finish.GREEN,
    Lie.FAIRWAY: Finish.FAIRWAY,
    Lie.ROUGH: Finish.ROUGH,
    Lie.HEAVY: Finish.HEAVY_ROUGH,
    Lie.SAND: Finish.SAND,
    Lie.RECOVERY: Finish.TREES,
}


@dataclass(frozen=True)
class Lies:
    """Where each ball is played from next, and what it then costs; arrays of equal length.

    Attributes
    ----------
    x, y
        Place of the next stroke [m, hole frame]: at rest, or where relief puts it.
    finish
        `Finish` code of where the drive finished.
    cost
        The drive, any penalty, and the strokes that remain; infinite where only a replay is allowed.
    may_replay
        Whether stroke and distance is a choice, or the only one.
    lost
        Chance that a ball at rest here is not found.
    lost_cost
        What it then costs by the committee's local rule; infinite under stroke and distance.
    """

    x: Floats
    y: Floats
    finish: NDArray[np.int64]
    cost: Floats
    may_replay: NDArray[np.bool_]
    lost: Floats
    lost_cost: Floats


def target(
    *,
    tee: tuple[float, float],
    pin: tuple[float, float],
    green: Polygon,
    expected: StrokesGrid,
    lost_in_trees: float,
    lost_in_heavy_rough: float,
    out_of_bounds: OutOfBounds = "distance",
) -> Target:
    """Return a hole as seen from a tee: places [m, hole frame], the committee's rules and what remains.

    Parameters
    ----------
    remains
        What remains by lie and place, by which the cheapest relief is chosen.
    lost_in_trees, lost_in_heavy_rough
        Chance that a ball at rest there is not found.
    out_of_bounds
        "distance" for stroke and distance (18.2), "drop" for Model Local Rule E-5.
    """
    ring = shapely.get_coordinates(green.exterior).T.astype(np.float32)
    dx, dy = np.diff(ring, append=ring[:, -1:])
    slope = np.divide(dx, dy, out=np.zeros_like(dx), where=dy != 0)
    single = np.float32
    return Target(
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


def blank_memory(ground: GroundMap) -> Memory:
    """Return room for what is found out about one hole for one golfer: threads may share it."""
    return Memory(*(np.zeros(len(ground.grid.fine), dtype=np.float32) for _ in range(2)))


def take_relief(finishes: Finishes, tracks: Tracks, ground: GroundMap, hole: Target) -> Lies:
    """Apply the Rules to every ball at rest on a `hole` that `target` makes.

    Notes
    -----
    A ball in a penalty area (17.1d) is dropped, at the cost of a stroke, on the line from the hole through
    the point where it last crossed the edge, or, if red, within two club-lengths of that point and no
    nearer the hole. Trees are recovery; so is a ball whose line to the pin trees block close by. On another
    hole's green the ball takes free relief (13.1f), at the nearest place off it. Under E-5 a ball out, or
    lost, is dropped for two strokes at the fairway, no nearer the hole.
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
    finish = np.array([_FINISH[Lie(i)] for i in range(len(Lie))])[lie]
    finish[(codes == Ground.RED) | (codes == Ground.YELLOW)] = Finish.PENALTY
    finish[codes == Ground.OUT] = Finish.OUT
    return Lies(place[0], place[1], finish, cost, replay, lost, lost_cost)
