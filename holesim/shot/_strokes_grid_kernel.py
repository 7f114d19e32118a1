"""Compiled look-up of expected strokes on a hole: by lie and place, and on the green by distance.

Knows only floats and arrays; `holesim.scoring.expected_strokes` says how they are filled.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import inline, single
from holesim.course._ground_map_kernel import clamped

ON_GREEN, ON_FAIRWAY, IN_HEAVY, IN_RECOVERY = 0, 1, 3, 5


class StrokesGrid(NamedTuple):
    """Expected strokes: `values` [lie, row, column] on a grid, `putts` [metre] by distance to the pin.

    The grid starts at (`x0`, `y0`) and has `per_metre` points to a metre. Beyond it, values are those at its
    edge.
    """

    x0: np.float32
    y0: np.float32
    per_metre: np.float32
    pin_x: np.float32
    pin_y: np.float32
    values: np.ndarray
    putts: np.ndarray


@inline
def from_pin(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the distance to the pin."""
    dx, dy = x - grid.pin_x, y - grid.pin_y
    return sqrt(dx * dx + dy * dy)


@inline
def between(place, count):  # type: ignore[no-untyped-def]
    """Return the step of a grid of `count` points in which a place lies, and how far along it."""
    place = clamped(place, count - 1)
    step = np.uint32(clamped(place, count - 2))
    return step, place - single(step)


@inline
def strokes(lie, x, y, grid):  # type: ignore[no-untyped-def]
    """Return the expected strokes from a lie at a place."""
    one = np.uint32(1)
    if lie == ON_GREEN:
        i, f = between(from_pin(x, y, grid), grid.putts.shape[0])
        low = grid.putts[i]
        return low + f * (grid.putts[i + one] - low)
    values = grid.values[lie]
    column, u = between((x - grid.x0) * grid.per_metre, values.shape[1])
    row, v = between((y - grid.y0) * grid.per_metre, values.shape[0])
    south, north = values[row], values[row + one]
    low = south[column] + u * (south[column + one] - south[column])
    high = north[column] + u * (north[column + one] - north[column])
    return low + v * (high - low)
