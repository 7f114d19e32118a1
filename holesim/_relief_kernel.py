"""Compiled relief: what a ball lies in, whether trees block it, and the cheapest drop from a penalty.

Knows only floats and arrays; `holesim.relief` says which Rules these are.
"""

from math import atan2, cos, pi, sin, sqrt

import numpy as np
from numba import njit, prange

from holesim._ground_kernel import look_up

# Ground codes, as in holesim.course.Ground; numba wants plain numbers.
OUT, RED, YELLOW, BUNKER, GREEN, TEE, FAIRWAY, TREES, HEAVY, ROUGH = range(10)
# Lies, as in holesim.relief.Lie.
ON_GREEN, ON_FAIRWAY, IN_ROUGH, IN_HEAVY, IN_SAND, IN_RECOVERY = range(6)

STRIDE = 1.0  # m between look-ups along a line


@njit(cache=True, error_model="numpy", inline="always")
def _lie(ground):  # type: ignore[no-untyped-def]
    if ground == GREEN:
        return ON_GREEN
    if ground in (FAIRWAY, TEE):
        return ON_FAIRWAY
    if ground == BUNKER:
        return IN_SAND
    if ground == TREES:
        return IN_RECOVERY
    if ground == HEAVY:
        return IN_HEAVY
    return IN_ROUGH


@njit(cache=True, error_model="numpy", inline="always")
def _in_penalty(ground):  # type: ignore[no-untyped-def]
    return ground in (RED, YELLOW)


@njit(cache=True, error_model="numpy")
def _strokes(lie, distance, table):  # type: ignore[no-untyped-def]
    d = min(distance, table.shape[1] - 1.001)
    i = int(d)
    return table[lie, i] + (d - i) * (table[lie, i + 1] - table[lie, i])


@njit(cache=True, error_model="numpy")
def blocked(x, y, px, py, near, grid):  # type: ignore[no-untyped-def]
    """Return whether trees stand within `near` of a ball on its line to the pin."""
    dx, dy = px - x, py - y
    distance = sqrt(dx * dx + dy * dy)
    hits = 0
    for k in range(1, int(min(distance, near) / STRIDE) + 1):
        f = k * STRIDE / distance
        # Two strides of wood are a tree; one may be a twig at the edge.
        hits = hits + 1 if look_up(x + f * dx, y + f * dy, grid) == TREES else 0
        if hits == 2:
            return True
    return False


@njit(cache=True, error_model="numpy")
def _from(x, y, px, py, near, grid, table):  # type: ignore[no-untyped-def]
    """Return strokes to hole out from a place a ball may be dropped at, and its lie."""
    lie = _lie(look_up(x, y, grid))
    if lie > ON_GREEN and blocked(x, y, px, py, near, grid):
        lie = IN_RECOVERY
    return _strokes(lie, sqrt((x - px) ** 2 + (y - py) ** 2), table), lie


@njit(cache=True, error_model="numpy")
def _crossing(rest_x, rest_y, way, tee_x, tee_y, out, grid):  # type: ignore[no-untyped-def]
    """Return where a ball that rests in a penalty area, or out, last crossed the edge of it."""
    bx, by = rest_x, rest_y
    for k in range(way.shape[0] - 1, -2, -1):
        ax, ay = (way[k, 0], way[k, 1]) if k >= 0 else (tee_x, tee_y)
        length = sqrt((bx - ax) ** 2 + (by - ay) ** 2)
        pieces = int(length / STRIDE) + 1
        lx, ly = bx, by
        for j in range(1, pieces + 1):
            cx, cy = bx + (ax - bx) * j / pieces, by + (ay - by) * j / pieces
            ground = look_up(cx, cy, grid)
            inside = ground == OUT if out else _in_penalty(ground)
            if not inside:
                for _ in range(7):  # halve a stride to a centimetre
                    mx, my = 0.5 * (lx + cx), 0.5 * (ly + cy)
                    ground = look_up(mx, my, grid)
                    if ground == OUT if out else _in_penalty(ground):
                        lx, ly = mx, my
                    else:
                        cx, cy = mx, my
                return cx, cy
            lx, ly = cx, cy
        bx, by = ax, ay
    return tee_x, tee_y


@njit(cache=True, error_model="numpy")
def _drop(x, y, red, px, py, club_lengths, near, grid, table):  # type: ignore[no-untyped-def]
    """Return the cheapest drop for a ball that crossed at (x, y): strokes, place and lie."""
    best, bx, by, lie = np.inf, x, y, IN_ROUGH
    distance = sqrt((x - px) ** 2 + (y - py) ** 2)
    ex, ey = (x - px) / max(distance, 1e-9), (y - py) / max(distance, 1e-9)
    # Back on the line from the hole through the crossing, as far as one likes.
    back = 0.5
    while back < 250.0:
        cx, cy = x + ex * back, y + ey * back
        ground = look_up(cx, cy, grid)
        if ground != OUT and not _in_penalty(ground):
            cost, here = _from(cx, cy, px, py, near, grid, table)
            if cost < best:
                best, bx, by, lie = cost, cx, cy, here
        back += 1.0 if back < 20.0 else 5.0
    if red:
        away = atan2(ey, ex)
        for k in range(-8, 9):
            angle = away + k * pi / 16
            for f in (0.5, 1.0):
                cx, cy = x + f * club_lengths * cos(angle), y + f * club_lengths * sin(angle)
                ground = look_up(cx, cy, grid)
                nearer = sqrt((cx - px) ** 2 + (cy - py) ** 2) < distance
                if nearer or ground == OUT or _in_penalty(ground):
                    continue
                cost, here = _from(cx, cy, px, py, near, grid, table)
                if cost < best:
                    best, bx, by, lie = cost, cx, cy, here
    return best, bx, by, lie


@njit(cache=True, error_model="numpy", parallel=True)
def settle(  # type: ignore[no-untyped-def]
    x, y, ground, track, tee_x, tee_y, px, py, drop_out, club_lengths, near, lost_trees, lost_heavy,
    grid, table, place, lie, cost, replay, lost, lost_cost,
):  # fmt: skip
    """Fill, for each ball, the place it is played from, its lie and what it costs with the drive counted."""
    for i in prange(len(x)):
        code = ground[i]
        place[i, 0], place[i, 1] = x[i], y[i]
        replay[i] = False
        lost[i] = 0.0
        lost_cost[i] = np.inf
        if code == OUT:
            lie[i], cost[i], replay[i] = ON_FAIRWAY, np.inf, True
            if drop_out:
                cx, cy = _crossing(x[i], y[i], track[i], tee_x, tee_y, True, grid)
                cost[i] = 3.0 + _strokes(ON_FAIRWAY, sqrt((cx - px) ** 2 + (cy - py) ** 2), table)
                place[i, 0], place[i, 1] = cx, cy
            continue
        if _in_penalty(code):
            cx, cy = _crossing(x[i], y[i], track[i], tee_x, tee_y, False, grid)
            strokes, dx, dy, here = _drop(cx, cy, code == RED, px, py, club_lengths, near, grid, table)
            place[i, 0], place[i, 1], lie[i] = dx, dy, here
            cost[i], replay[i] = 2.0 + strokes, True
            continue
        strokes, here = _from(x[i], y[i], px, py, near, grid, table)
        lie[i], cost[i] = here, 1.0 + strokes
        if code in (TREES, HEAVY):
            lost[i] = lost_trees if code == TREES else lost_heavy
            if drop_out:
                away = sqrt((x[i] - px) ** 2 + (y[i] - py) ** 2)
                lost_cost[i] = 3.0 + _strokes(ON_FAIRWAY, away, table)
