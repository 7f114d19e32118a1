"""Compiled relief: the lie of a ball, whether trees block it, and the cheapest drop from a penalty area.

Knows only floats and arrays; `holesim.shot.relief` says which Rules these are.
"""

from math import atan2, cos, pi, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, part, single
from holesim.course._ground_map_kernel import canopy, clamped, look_up, survey
from holesim.shot._strokes_grid_kernel import (
    IN_RECOVERY,
    ON_FAIRWAY,
    ON_GREEN,
    StrokesGrid,
    from_pin,
    strokes,
)

# Ground codes, as in `holesim.course.course.Ground`; numba wants plain numbers.
OUT, RED, YELLOW, BUNKER, GREEN, TEE, FAIRWAY, TREES, HEAVY, ROUGH = range(10)
# Lie, as in `holesim.shot.relief.Lie`, by ground code; a penalty area has none.
LIE_BY_GROUND = np.array([1, -1, -1, 4, 0, 1, 1, 5, 3, 2])

STRIDE = single(1)  # m between look-ups along a line
_LONGEST = single(10_000)  # m that are looked along at most
HALVINGS = 7  # of a stride, to a centimetre
FARTHEST = 250.0  # m that a ball is taken back on the line
AROUND = 17  # directions tried within two club-lengths, over the half circle away from the hole
_ALL_AROUND = np.arange(64) * (2 * pi / 64)  # directions tried off a green
_EAST, _NORTH = np.cos(_ALL_AROUND).astype(np.float32), np.sin(_ALL_AROUND).astype(np.float32)
_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)


class HoleConstants(NamedTuple):
    """What relief needs of a hole: places [m], local rules and expected strokes.

    `green` (3, points) is the ring of its putting green: x, y, and the slope dx/dy of the edge to the next
    point. The ring lies between `inner` and `outer` [m] of the pin. A recovery shot rises by `climb` a metre.
    """

    tee_x: np.float32
    tee_y: np.float32
    green: np.ndarray
    inner: np.float32
    outer: np.float32
    climb: np.float32
    club_length: np.float32
    drop_out: bool
    lost_in_trees: float
    lost_in_heavy: float
    expected: StrokesGrid


class DropCache(NamedTuple):
    """Costs of drops found so far, an entry for each block of the ground map; 0 where none is known yet.

    An entry depends on the block alone, so it does not matter which thread found it.
    """

    red: np.ndarray
    yellow: np.ndarray


@inline
def in_penalty(ground):  # type: ignore[no-untyped-def]
    """Return whether a ground code is a penalty area."""
    return RED <= ground <= YELLOW


@inline
def bounded(length):  # type: ignore[no-untyped-def]
    """Return a length, no longer than any on a course.

    In single precision a stride is lost in millions of metres: looking along them would have no end.
    """
    return min(length, _LONGEST)


@inline
def distance(x, y, constants):  # type: ignore[no-untyped-def]
    """Return the distance to the pin."""
    return from_pin(x, y, constants.expected)


@part
def blocked(x, y, pin_x, pin_y, climb, grid):  # type: ignore[no-untyped-def]
    """Return whether trees close to a ball block its line to the pin, where it rises by `climb` a metre."""
    dx, dy = pin_x - x, pin_y - y
    away = sqrt(dx * dx + dy * dy)
    end = bounded(min(away, grid.tallest / climb))
    hits = 0
    f = STRIDE
    while f <= end:
        px, py = x + f / away * dx, y + f / away * dy
        code, clearance = survey(px, py, grid)
        # Two strides of wood are a tree; one may be a twig at the edge.
        hits = hits + 1 if code == TREES and f * climb < canopy(px, py, grid) else 0
        if hits == 2:
            return True
        f += STRIDE if code == TREES else max(np.floor(clearance), STRIDE)
    return False


@entry
def all_blocked(x, y, pin_x, pin_y, climb, grid, out):  # type: ignore[no-untyped-def]
    """Fill `out` with whether trees block the line from each place."""
    for i in range(len(x)):
        out[i] = blocked(x[i], y[i], pin_x, pin_y, climb, grid)


@part
def leaves(ax, ay, bx, by, out, grid):  # type: ignore[no-untyped-def]
    """Return whether the way back from b to a leaves the penalty area (or what is out), and where; else b."""
    dx, dy = ax - bx, ay - by
    length = sqrt(dx * dx + dy * dy) + single(1e-6)
    dx, dy = dx / length, dy / length
    length = bounded(length)
    near, (_, clearance) = single(0), survey(bx, by, grid)
    while near < length:
        far = min(near + max(clearance, STRIDE), length)
        ground, clearance = survey(bx + far * dx, by + far * dy, grid)
        if not (ground == OUT if out else in_penalty(ground)):
            for _ in range(HALVINGS):
                middle = single(0.5) * (near + far)
                ground = look_up(bx + middle * dx, by + middle * dy, grid)
                if ground == OUT if out else in_penalty(ground):
                    near = middle
                else:
                    far = middle
            return True, bx + far * dx, by + far * dy
        near = far
    return False, bx, by


@part
def crossing(x, y, way, out, constants, grid):  # type: ignore[no-untyped-def]
    """Return where a ball that stopped in a penalty area, or out, last crossed its edge.

    `way` (points, 2) leads from the tee to the landing; from there the ball ran straight to where it stopped.
    """
    bx, by = x, y
    for k in range(way.shape[0] - 1, -1, -1):
        ax, ay = way[k, 0], way[k, 1]
        found, cx, cy = leaves(ax, ay, bx, by, out, grid)
        if found:
            return cx, cy
        bx, by = ax, ay
    found, cx, cy = leaves(constants.tee_x, constants.tee_y, bx, by, out, grid)
    return (cx, cy) if found else (constants.tee_x, constants.tee_y)


@part
def drop(x, y, red, constants, grid):  # type: ignore[no-untyped-def]
    """Return expected strokes and place of the cheapest drop for a ball that crossed at (x, y)."""
    best, bx, by = single(np.inf), x, y
    pin_x, pin_y, away = constants.expected.pin_x, constants.expected.pin_y, distance(x, y, constants)
    ex, ey = (x - pin_x) / max(away, single(1e-6)), (y - pin_y) / max(away, single(1e-6))
    # Back on the line from the hole through the crossing.
    back = single(0.5)
    while back < FARTHEST:
        cx, cy = x + ex * back, y + ey * back
        ground = look_up(cx, cy, grid)
        if ground != OUT and not in_penalty(ground):
            cost = strokes(LIE_BY_GROUND[ground], cx, cy, constants.expected)
            if cost < best:
                best, bx, by = cost, cx, cy
        back += single(1) if back < single(20) else single(5)
    if red:
        straight = atan2(ey, ex)
        for k in range(AROUND):
            angle = straight + (single(k) / single(AROUND - 1) - single(0.5)) * single(pi)
            for f in (single(0.5), single(1)):
                reach = single(2) * f * constants.club_length
                cx, cy = x + reach * cos(angle), y + reach * sin(angle)
                ground = look_up(cx, cy, grid)
                if distance(cx, cy, constants) < away or ground == OUT or in_penalty(ground):
                    continue
                cost = strokes(LIE_BY_GROUND[ground], cx, cy, constants.expected)
                if cost < best:
                    best, bx, by = cost, cx, cy
    return best, bx, by


@inline
def noted_drop(x, y, red, constants, grid, drop_cache):  # type: ignore[no-untyped-def]
    """Return expected strokes of the cheapest drop for a ball that crossed an edge in this block."""
    rows, columns = grid.coarse.shape
    u, v = np.floor((x - grid.x0) * grid.per_metre), np.floor((y - grid.y0) * grid.per_metre)
    u, v = clamped(u, columns - 1), clamped(v, rows - 1)
    block = np.int64(-1) - grid.coarse[np.uint32(v), np.uint32(u)]
    found = drop_cache.red if red else drop_cache.yellow
    if block >= 0:
        known = found[np.uint64(block)]
        if known > single(0):
            return known
        x, y = grid.x0 + (u + single(0.5)) * grid.cell, grid.y0 + (v + single(0.5)) * grid.cell
    known = drop(x, y, red, constants, grid)[0]
    if block >= 0:
        found[np.uint64(block)] = known
    return known


@inline
def on_own_green(x, y, constants):  # type: ignore[no-untyped-def]
    """Return whether a ball on a putting green is on the green of this hole."""
    away = distance(x, y, constants)
    if away < constants.inner or away > constants.outer:
        return away < constants.inner
    return _within(x, y, constants.green)


@part
def _within(x, y, ring):  # type: ignore[no-untyped-def]
    """Return whether a place is within a ring."""
    rx, ry, slope = ring
    # Without a branch: whether an edge is at the height of the ball is hard to predict.
    inside = np.int32(0)
    for i in range(len(rx) - 1):
        crosses = (ry[i] <= y) != (ry[i + 1] <= y)
        inside ^= np.int32(crosses & (x < rx[i] + (y - ry[i]) * slope[i]))
    return inside > 0


@part
def off_green(x, y, constants, grid):  # type: ignore[no-untyped-def]
    """Return the nearest place off another hole's green that is no nearer the hole, and the ground there."""
    dx, dy = x - constants.expected.pin_x, y - constants.expected.pin_y
    nearest, bx, by, code = single(60), x, y, np.int32(GREEN)
    for k in range(len(_EAST)):
        # Places no nearer the hole begin where the ray meets the circle about the pin through the ball again.
        chord = -_TWO * (dx * _EAST[k] + dy * _NORTH[k]) - constants.club_length
        radius = constants.club_length + _HALF * np.ceil(_TWO * max(chord, _NOUGHT))
        while radius < nearest:
            cx, cy = x + radius * _EAST[k], y + radius * _NORTH[k]
            ground, clearance = survey(cx, cy, grid)
            if ground > GREEN:
                nearest, bx, by, code = radius, cx, cy, ground
            radius += _HALF * max(np.floor(_TWO * clearance), _ONE)
    return bx, by, code


@entry
def take_relief(x, y, codes, way, constants, grid, place, lie, cost, replay, lost, lost_cost):  # type: ignore[no-untyped-def]
    """Fill, for each ball, where it is played from, its lie, and the cost with the drive counted."""
    for i in range(len(x)):
        px, py, code = single(x[i]), single(y[i]), np.int32(codes[i])
        if code == GREEN and not on_own_green(px, py, constants):
            px, py, code = off_green(px, py, constants, grid)
        codes[i] = code
        place[0, i], place[1, i] = px, py
        replay[i] = False
        lost[i], lost_cost[i] = 0.0, np.inf
        out = code == OUT
        if out or in_penalty(code):
            lie[i], cost[i], replay[i] = ON_FAIRWAY, np.inf, True
            if out and not constants.drop_out:
                continue
            cx, cy = crossing(px, py, way[:, :, i], out, constants, grid)
            if out:
                cost[i] = single(3) + strokes(ON_FAIRWAY, cx, cy, constants.expected)
            else:
                left, cx, cy = drop(cx, cy, code == RED, constants, grid)
                cost[i] = single(2) + left
            place[0, i], place[1, i] = cx, cy
        else:
            here = LIE_BY_GROUND[code]
            cost[i] = single(1) + strokes(here, px, py, constants.expected)
            behind = here > ON_GREEN and blocked(
                px, py, constants.expected.pin_x, constants.expected.pin_y, constants.climb, grid
            )
            lie[i] = IN_RECOVERY if behind else here
            if code in (TREES, HEAVY):
                lost[i] = constants.lost_in_trees if code == TREES else constants.lost_in_heavy
                if constants.drop_out:
                    lost_cost[i] = single(3) + strokes(ON_FAIRWAY, px, py, constants.expected)
