"""What remains: from every place on a hole and every lie there, the mean strokes to hole out."""

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from holesim._math_kernel import singles
from holesim._relief_kernel import all_blocked
from holesim._remains_kernel import Nodes
from holesim.ground import GroundMap
from holesim.holes import Hole
from holesim.relief import CLIMB, Lie
from holesim.strokes import GRID

Floats = NDArray[np.float64]

STEP: Final = 4.0  # m between nodes
MARGIN: Final = 150.0  # m of nodes beyond the tees, the hole's line and the green


@dataclass(frozen=True)
class Remains:
    """What remains on one hole, for one golfer; `nodes` is what the kernels read."""

    nodes: Nodes

    @property
    def places(self) -> tuple[Floats, Floats]:
        """Where nodes are [m]: x of the columns, and y of the rows."""
        _, rows, columns = self.nodes.values.shape
        x, y = (
            start + np.arange(count) / self.nodes.per_metre
            for start, count in ((self.nodes.x0, columns), (self.nodes.y0, rows))
        )
        return x, y


def by_distance(table: Floats, hole: Hole, ground: GroundMap, *, step: float = STEP) -> Remains:
    """Return what remains by lie and distance alone, but for trees close by on the line to the pin.

    Parameters
    ----------
    table
        Mean strokes to hole out, shape (lies, metres), as `strokes.remaining` makes it.
    """
    nodes = _blank(hole, table[Lie.GREEN], step)
    remains = Remains(nodes)
    x, y = (axis.ravel() for axis in np.meshgrid(*remains.places))
    blocked = np.empty(len(x), dtype=np.bool_)
    all_blocked(
        x.astype(np.float32), y.astype(np.float32), nodes.pin_x, nodes.pin_y, CLIMB, ground.grid, blocked
    )
    away = np.hypot(x - hole.pin[0], y - hole.pin[1])
    recovery = np.interp(away, GRID, table[Lie.RECOVERY])
    for lie in Lie:
        strokes = np.where(blocked, recovery, np.interp(away, GRID, table[lie]))
        nodes.values[lie] = strokes.reshape(nodes.values.shape[1:])
    return remains


def _blank(hole: Hole, putts: Floats, step: float) -> Nodes:
    """Return nodes about a hole, without values; one is at the pin, so that mirrored holes' are mirrored."""
    corners = shapely.total_bounds([hole.line, hole.green, *(shapely.Point(t.x, t.y) for t in hole.tees)])
    before, after = (
        np.ceil((side * (corners[i : i + 2] - hole.pin) + MARGIN) / step).astype(int)
        for side, i in ((-1, 0), (1, 2))
    )
    columns, rows = before + after + 1
    values = np.empty((len(Lie), rows, columns), dtype=np.float32)
    x0, y0, per_metre, pin_x, pin_y = singles(*(hole.pin - step * before), 1 / step, *hole.pin)
    return Nodes(x0, y0, per_metre, pin_x, pin_y, values, putts.astype(np.float32))
