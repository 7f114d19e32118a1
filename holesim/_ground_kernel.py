"""Compiled ground map: outlines painted on a two-level grid, and looked up.

A cell of the coarse grid holds either the ground of the whole cell or, where an outline crosses it, a
pointer to a block of fine cells.
"""

from math import ceil, floor
from typing import NamedTuple

import numpy as np
from numba import njit

FINE = 16  # fine cells along a side of a coarse one


class Grid(NamedTuple):
    """A ground map: `coarse` [row, column] is ground or -1 - block, `fine` [block, row, column] ground."""

    x0: float
    y0: float
    cell: float
    coarse: np.ndarray
    fine: np.ndarray
    outside: int


@njit(cache=True, error_model="numpy")
def look_up(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the ground at a point."""
    u, v = (x - grid.x0) / grid.cell, (y - grid.y0) / grid.cell
    rows, columns = grid.coarse.shape
    if not (0.0 <= u < columns and 0.0 <= v < rows):
        return grid.outside
    column, row = int(u), int(v)
    value = grid.coarse[row, column]
    if value >= 0:
        return value
    return np.int64(grid.fine[-1 - value, int((v - row) * FINE), int((u - column) * FINE)])


@njit(cache=True, error_model="numpy")
def look_up_all(x, y, grid, out):  # type: ignore[no-untyped-def]
    """Fill `out` with the ground at each point."""
    for i in range(len(x)):
        out[i] = look_up(x[i], y[i], grid)


@njit(cache=True, error_model="numpy")
def mark_edges(x, y, starts, x0, y0, cell, edge):  # type: ignore[no-untyped-def]
    """Mark the coarse cells that rings pass through; ring r is the points from starts[r] to starts[r + 1]."""
    rows, columns = edge.shape
    for r in range(len(starts) - 1):
        for i in range(starts[r], starts[r + 1] - 1):
            dx, dy = x[i + 1] - x[i], y[i + 1] - y[i]
            pieces = int(ceil(max(abs(dx), abs(dy)) / (0.25 * cell))) + 1
            for j in range(pieces + 1):
                px, py = x[i] + dx * j / pieces, y[i] + dy * j / pieces
                # A quarter cell around each sample covers what lies between two of them.
                for a in (-0.25, 0.25):
                    for b in (-0.25, 0.25):
                        column = int(floor((px - x0) / cell + a))
                        row = int(floor((py - y0) / cell + b))
                        if 0 <= row < rows and 0 <= column < columns:
                            edge[row, column] = True


@njit(cache=True, error_model="numpy")
def paint(x, y, starts, value, grid):  # type: ignore[no-untyped-def]
    """Paint the inside (even-odd) of a set of rings, a row of fine cells at a time."""
    rows, columns = grid.coarse.shape
    step = grid.cell / FINE
    low, high = np.inf, -np.inf
    for i in range(len(y)):
        low, high = min(low, y[i]), max(high, y[i])
    first = max(int(ceil((low - grid.y0) / step - 0.5)), 0)
    last = min(int(floor((high - grid.y0) / step - 0.5)), rows * FINE - 1)
    crossings = np.empty(len(x))
    for line in range(first, last + 1):
        level = grid.y0 + (line + 0.5) * step
        n = 0
        for r in range(len(starts) - 1):
            for i in range(starts[r], starts[r + 1] - 1):
                if (y[i] <= level) != (y[i + 1] <= level):
                    crossings[n] = x[i] + (level - y[i]) / (y[i + 1] - y[i]) * (x[i + 1] - x[i])
                    n += 1
        inside = np.sort(crossings[:n])
        row, sub = line // FINE, line % FINE
        for k in range(0, n - 1, 2):
            left = max(int(ceil((inside[k] - grid.x0) / step - 0.5)), 0)
            right = min(int(floor((inside[k + 1] - grid.x0) / step - 0.5)), columns * FINE - 1)
            for column in range(left // FINE, right // FINE + 1):
                if right < left:
                    break
                code = grid.coarse[row, column]
                if code >= 0:
                    # No outline crosses this cell, so its middle stands for all of it.
                    if sub == FINE // 2:
                        grid.coarse[row, column] = value
                else:
                    start = max(left - column * FINE, 0)
                    stop = min(right - column * FINE, FINE - 1)
                    for c in range(start, stop + 1):
                        grid.fine[-1 - code, sub, c] = value
