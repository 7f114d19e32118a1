"""Compiled ground map: painting outlines on a grid of two levels, looking up ground, elevation and slope.

A coarse cell that no outline crosses holds its ground and the number of such cells around it; any other holds
the number of a block of fine cells.
"""

from math import ceil, floor
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, kept, njit, part

FINE = 16  # fine cells along a side of a coarse one
_MIDDLES = (FINE // 4, FINE - 1 - FINE // 4)  # fine cells at the middles of its halves, alike from both sides
CODES, CODE_BITS = 16, 4  # a coarse cell without outlines holds code + CODES·(cells that are clear around it)


class Grid(NamedTuple):
    """A ground map: `coarse` [row, column] as above or -1 - block, `fine` [block, row, column] codes.

    `quarters` [row, column] holds the codes at the middles of the quarters of a coarse cell, and above them
    the number of clear cells around it. Coarse cells are `cell` metres wide, `per_metre` of them to a metre.

    `canopy` [row, column] is the height of trees [m] or, where there are none, minus the number of cells to
    the nearest; `tallest` is the greatest height. `firmness` [row, column] is an index of the kinds of turf.
    `heights` [row, column] are the elevations [m] of grid points, `per_step` of them to a metre, the first at
    `heights_x0` and `heights_y0`. `even` says that the ground is level and equally firm everywhere.
    """

    x0: np.float32
    y0: np.float32
    cell: np.float32
    per_metre: np.float32
    coarse: np.ndarray
    fine: np.ndarray
    quarters: np.ndarray
    outside: int
    canopy: np.ndarray
    tallest: np.float32
    firmness: np.ndarray
    heights: np.ndarray
    heights_x0: np.float32
    heights_y0: np.float32
    per_step: np.float32
    even: bool


@inline
def clamped(value, most):  # type: ignore[no-untyped-def]
    """Return a value clipped to 0 and `most`, 0 for NaN: for that the constant must come first."""
    return min(max(np.float32(0), value), np.float32(most))


@inline
def _cells(x, y, grid):  # type: ignore[no-untyped-def]
    """Return a point in cells from the corner of the map, and how many cells it lies beyond the edge."""
    u, v = (x - grid.x0) * grid.per_metre, (y - grid.y0) * grid.per_metre
    rows, columns = np.float32(grid.coarse.shape[0]), np.float32(grid.coarse.shape[1])
    # NaN in either is beyond.
    return u, v, max(-u, u - columns, -v, v - rows) + np.float32(0) * (u + v)


@inline
def survey(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the ground at a point, and a distance [m] within which it is the same."""
    u, v, beyond = _cells(x, y, grid)
    if not beyond < np.float32(0):
        return np.int32(grid.outside), beyond * grid.cell
    # Unsigned indices save a test for negative ones.
    column, row = np.uint32(u), np.uint32(v)
    value = grid.coarse[row, column]
    if value >= 0:
        return np.int32(value & (CODES - 1)), np.float32(value >> CODE_BITS) * grid.cell
    fine = np.float32(FINE)
    sub_row, sub_column = np.uint32((v - np.float32(row)) * fine), np.uint32((u - np.float32(column)) * fine)
    return np.int32(grid.fine[np.uint32(-1 - value), sub_row, sub_column]), np.float32(0)


@inline
def glance(x, y, grid):  # type: ignore[no-untyped-def]
    """Return what `survey` does, accurate to a quarter of a cell only, with one look-up and no branch."""
    u, v, beyond = _cells(x, y, grid)
    if not beyond < np.float32(0):
        return np.int64(grid.outside), beyond * grid.cell
    half_u, half_v = np.int64(u + u), np.int64(v + v)
    value = np.int64(grid.quarters[np.uint64(half_v >> 1), np.uint64(half_u >> 1)])
    quarter = ((half_v & 1) << 1) | (half_u & 1)
    return (value >> quarter * CODE_BITS) & (CODES - 1), np.float32(value >> 4 * CODE_BITS) * grid.cell


@inline
def _square(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the row and the column of a point's coarse cell, or of the nearest to it."""
    u, v, _ = _cells(x, y, grid)
    rows, columns = grid.coarse.shape
    return np.uint32(clamped(v, rows - 1)), np.uint32(clamped(u, columns - 1))


@inline
def canopy(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the height of the trees at a point [m], or minus a distance within which there are none."""
    row, column = _square(x, y, grid)
    value = np.float32(grid.canopy[row, column])
    return value if value > np.float32(0) else value * grid.cell


@inline
def turf(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the firmness at a point."""
    row, column = _square(x, y, grid)
    return np.int32(grid.firmness[row, column])


@inline
def incline(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the elevation at a point [m], and its rise per metre to the east and to the north."""
    u, v = (x - grid.heights_x0) * grid.per_step, (y - grid.heights_y0) * grid.per_step
    rows, columns = grid.heights.shape
    # Beyond the grid the ground goes on as between its outermost points.
    column, row = np.uint32(clamped(u, columns - 2)), np.uint32(clamped(v, rows - 2))
    u, v, one = u - np.float32(column), v - np.float32(row), np.uint32(1)
    south, north = grid.heights[row], grid.heights[row + one]
    a, b, c, d = south[column], south[column + one], north[column], north[column + one]
    low, high = a + u * (b - a), c + u * (d - c)
    east = (b - a) + v * ((d - c) - (b - a))
    return low + v * (high - low), east * grid.per_step, (high - low) * grid.per_step


@entry
def quarter(grid):  # type: ignore[no-untyped-def]
    """Fill `grid.quarters` from the rest of the map."""
    rows, columns = grid.coarse.shape
    for row in range(rows):
        for column in range(columns):
            value, codes = grid.coarse[row, column], 0
            for k in range(4):
                v, u = _MIDDLES[k >> 1], _MIDDLES[k & 1]
                code = grid.fine[-1 - value, v, u] if value < 0 else value & (CODES - 1)
                codes |= code << k * CODE_BITS
            grid.quarters[row, column] = codes | max(value >> CODE_BITS, 0) << 4 * CODE_BITS


@inline
def look_up(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the ground at a point."""
    return survey(x, y, grid)[0]


@entry
def look_up_all(x, y, grid, out):  # type: ignore[no-untyped-def]
    """Fill `out` with the ground at each point."""
    for i in range(len(x)):
        out[i] = look_up(np.float32(x[i]), np.float32(y[i]), grid)


@entry
def elevation(x, y, grid):  # type: ignore[no-untyped-def]
    """Return the elevation at a point."""
    return incline(x, y, grid)[0]


class Outlines(NamedTuple):
    """Shapes in the order in which they are painted; shape s has the rings first[s] to first[s + 1].

    Ring r has the points (x, y) from starts[r] to starts[r + 1]. `low` and `high` are the least and greatest
    y of each shape, `canopy` is the height of its trees and `firmness` the index of its turf.
    """

    x: np.ndarray
    y: np.ndarray
    starts: np.ndarray
    first: np.ndarray
    low: np.ndarray
    high: np.ndarray
    ground: np.ndarray
    canopy: np.ndarray
    firmness: np.ndarray


@entry
def mark_edges(outlines, x0, y0, cell, edge):  # type: ignore[no-untyped-def]
    """Mark the coarse cells that rings pass through."""
    x, y, starts = outlines.x, outlines.y, outlines.starts
    rows, columns = edge.shape
    for r in range(len(starts) - 1):
        for i in range(starts[r], starts[r + 1] - 1):
            dx, dy = x[i + 1] - x[i], y[i + 1] - y[i]
            pieces = int(ceil(max(abs(dx), abs(dy)) / (0.25 * cell))) + 1
            for j in range(pieces + 1):
                px, py = x[i] + dx * j / pieces, y[i] + dy * j / pieces
                # A quarter cell around each sample covers the edge between two samples.
                for a in (-0.25, 0.25):
                    for b in (-0.25, 0.25):
                        column = int(floor((px - x0) / cell + a))
                        row = int(floor((py - y0) / cell + b))
                        if 0 <= row < rows and 0 <= column < columns:
                            edge[row, column] = True


@part
def _lines(y0, y1, bottom, step, low, high):  # type: ignore[no-untyped-def]
    """Return the first line of fine cells that an edge crosses, and the line after the last."""
    first = ceil((min(y0, y1) - bottom) / step - 0.5)
    last = ceil((max(y0, y1) - bottom) / step - 0.5)
    return max(int(first), low), min(int(last), high)


@kept(nogil=True, error_model="numpy")
def paint(outlines, grid, edge_columns, edge_rows, low, high):  # type: ignore[no-untyped-def]
    """Paint the insides of outlines over rows `low` to `high` of coarse cells.

    The blocks of row r are those from edge_rows[r] to edge_rows[r + 1], at `edge_columns`.
    """
    for shape in range(len(outlines.ground)):
        _paint_shape(shape, outlines, grid, edge_columns, edge_rows, low, high)


@njit(error_model="numpy")
def _paint_shape(shape, outlines, grid, edge_columns, edge_rows, low, high):  # type: ignore[no-untyped-def]
    """Paint what is inside (even-odd) the rings of one shape."""
    x, y, starts, value = outlines.x, outlines.y, outlines.starts, outlines.ground[shape]
    rings = range(outlines.first[shape], outlines.first[shape + 1])
    step, columns = grid.cell / FINE, grid.coarse.shape[1]
    bottom, top = _lines(outlines.low[shape], outlines.high[shape], grid.y0, step, low * FINE, high * FINE)
    if bottom >= top:
        return
    # Where edges cross the lines through the middles of fine cells, line by line.
    ends = np.zeros(top - bottom + 1, dtype=np.int64)
    for r in rings:
        for i in range(starts[r], starts[r + 1] - 1):
            for line in range(*_lines(y[i], y[i + 1], grid.y0, step, bottom, top)):
                ends[line - bottom + 1] += 1
    for line in range(top - bottom):
        ends[line + 1] += ends[line]
    crossings, free = np.empty(ends[-1]), ends[:-1].copy()
    for r in rings:
        for i in range(starts[r], starts[r + 1] - 1):
            slope = (x[i + 1] - x[i]) / (y[i + 1] - y[i])
            for line in range(*_lines(y[i], y[i + 1], grid.y0, step, bottom, top)):
                crossing = x[i] + (grid.y0 + (line + 0.5) * step - y[i]) * slope
                # Insert it in order; there are few others.
                k = free[line - bottom]
                while k > ends[line - bottom] and crossings[k - 1] > crossing:
                    crossings[k] = crossings[k - 1]
                    k -= 1
                crossings[k] = crossing
                free[line - bottom] += 1
    for line in range(bottom, top):
        row, sub = line // FINE, line % FINE
        for k in range(ends[line - bottom], ends[line - bottom + 1] - 1, 2):
            left = max(int(ceil((crossings[k] - grid.x0) / step - 0.5)), 0)
            right = min(int(floor((crossings[k + 1] - grid.x0) / step - 0.5)), columns * FINE - 1)
            if sub == FINE // 2 and left <= right:
                # No outline crosses these cells, so the middle of each stands for all of it.
                for column in range(left // FINE, right // FINE + 1):
                    grid.canopy[row, column] = outlines.canopy[shape]
                    grid.firmness[row, column] = outlines.firmness[shape]
                    if grid.coarse[row, column] >= 0:
                        grid.coarse[row, column] = value
            for block in range(edge_rows[row], edge_rows[row + 1]):
                start = max(left - edge_columns[block] * FINE, 0)
                stop = min(right - edge_columns[block] * FINE, FINE - 1)
                for c in range(start, stop + 1):
                    grid.fine[block, sub, c] = value
