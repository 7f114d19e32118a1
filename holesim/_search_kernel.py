"""Compiled search: what a tee costs along each of many aims.

Composes the kernels of bounce and relief over blocks of drives, and stays within a block while it goes from
aim to aim, so that what it reads stays near.
"""

from typing import NamedTuple

import numpy as np

from holesim._bounce_kernel import (
    HOP,
    LANES,
    LEVEL,
    MAX_BOUNCES,
    RISE,
    ROWS,
    SPIN,
    STOPS,
    VX,
    VY,
    VZ,
    X,
    Y,
    hop,
    load,
    move,
    stand,
)
from holesim._ground_kernel import survey
from holesim._math_kernel import entry, inline, part, single, whole
from holesim._relief_kernel import (
    GREEN,
    HEAVY,
    IN_RECOVERY,
    LIES,
    ON_FAIRWAY,
    ON_GREEN,
    OUT,
    RED,
    TREES,
    YELLOW,
    blocked,
    distance,
    drop,
    leaves,
    off_green,
    on_own_green,
    strokes,
)

_LANDING = 6  # rows of a landing that matter here: x, y, vx, vy, vz, spin
_AFTER_BLOCK, _AFTER_ROOM = (ROWS + 6) * LANES, (ROWS + 6 + _LANDING) * LANES
ROOM, INTEGERS = _AFTER_ROOM + 2 * LANES, 2 * LANES
_CLEAR, _BLOCKED = 1, 2
_STRIDE = single(2)  # m between look-ups where outlines pass
_POINTS = 3  # of a track from which on it is looked back along: between them it is straight to 30 cm
_HALVINGS = 2  # of a metre, to find the edge to the half metre that is noted
_NOUGHT, _HALF, _TWO = single(0), single(0.5), single(2)


class Runs(NamedTuple):
    """How far a ball still goes on ground of one kind [m]: a flat table by ground, speed, descent, spin.

    `counts` are the lengths along the last three. There are `per_u` and `per_w` entries to a m/s, and `per_k`
    to one of spin, which is the speed at which the ball would roll over the speed it has. Balls of `fastest`
    m/s are faster than the table knows.
    """

    table: np.ndarray
    counts: tuple[int, int, int]
    per_u: np.float32
    per_w: np.float32
    per_k: np.float32
    fastest: np.float32


class Memory(NamedTuple):
    """What was found before: whether trees block a metre, and what a drop costs from a half metre at an edge.

    `trees` is as the grid's coarse cells, `red` and `yellow` (blocks, 2, 2). Nought is not known yet. What
    is noted depends on the place alone, so it does not matter who found it.
    """

    trees: np.ndarray
    red: np.ndarray
    yellow: np.ndarray


# Rows of a block that the bounce leaves free here: the travel's direction, and where in the table of runs a
# ball is: the entry below it, and how far past that it is in speed, descent and spin.
_HX, _HY, _ENTRY, _PAST_U, _PAST_W, _PAST_K = (LANES * row for row in range(ROWS, ROWS + 6))


@inline
def _below(place, count):  # type: ignore[no-untyped-def]
    """Return the entry of a table below a place in it, and how far past that the place is."""
    place = min(max(place, _NOUGHT), single(count) - single(1.001))
    below = np.floor(place)
    return below, place - below


@part
def _consult(b, count, runs):  # type: ignore[no-untyped-def]
    """Find the direction of balls that have bounced, and their place in the table of runs."""
    nu, nw, nk = runs.counts
    for j in range(count):
        u = b[LEVEL + j]
        b[_HX + j], b[_HY + j] = b[VX + j] / u, b[VY + j] / u
        iu, b[_PAST_U + j] = _below(u * runs.per_u, nu)
        iw, b[_PAST_W + j] = _below(-b[VZ + j] * runs.per_w, nw)
        ik, b[_PAST_K + j] = _below(b[SPIN + j] * runs.per_k, nk)
        b[_ENTRY + j] = (iu * single(nw) + iw) * single(nk) + ik


@inline
def _whole_run(b, j, ground, runs):  # type: ignore[no-untyped-def]
    """Return how far a ball still goes if the ground stays of one kind."""
    nu, nw, nk = runs.counts
    # Unsigned indices spare a test for negative ones.
    t, i = runs.table, np.uint32(ground) * np.uint32(nu * nw * nk) + np.uint32(b[_ENTRY + j])
    next_w, next_u, one = np.uint32(nk), np.uint32(nw * nk), np.uint32(1)
    fu, fw, fk = b[_PAST_U + j], b[_PAST_W + j], b[_PAST_K + j]
    a = t[i] + fk * (t[i + one] - t[i])
    c = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    low = a + fw * (c - a)
    i += next_u
    a = t[i] + fk * (t[i + one] - t[i])
    c = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    return low + fu * (a + fw * (c - a) - low)


@inline
def _run_out(b, j, code, clear, grid, surfaces, runs):  # type: ignore[no-untyped-def]
    """Return where a ball stops that runs on over one kind of ground after another, and what is there.

    The share of a run that is left where the ground changes is the share of the new ground's that it still
    goes: so it is where resistance does not depend on speed.
    """
    x, y, hx, hy = b[X + j], b[Y + j], b[_HX + j], b[_HY + j]
    run = _whole_run(b, j, code, runs)
    left = run
    while left > clear:
        step = min(max(clear, _STRIDE), left)
        here, clear = survey(x + hx * step, y + hy * step, grid)
        if here != code:
            # On average it changed half a stride before.
            step -= _HALF * min(step, _STRIDE)
            code = here
            if surfaces[code, STOPS] > _NOUGHT:
                return x + hx * step, y + hy * step, code
            other = _whole_run(b, j, code, runs)
            run, left = other, (left - step) * other / run
        else:
            left -= step
        x, y = x + hx * step, y + hy * step
    return x + hx * left, y + hy * left, code


@part
def run_block(b, order, count, grid, surfaces, runs, radius, gravity, rest, ground):  # type: ignore[no-untyped-def]
    """Run a block until it stops: the first bounce as bounces go, what follows by the table."""
    moving = count
    for j in range(count):
        order[j] = j
    for bounce in range(MAX_BOUNCES):
        if bounce > 0:
            hop(b, (moving + 7) // 8 * 8, single(1), _NOUGHT, _NOUGHT, radius, gravity)
            _consult(b, (moving + 7) // 8 * 8, runs)
        kept = whole(0)
        for j in range(moving):
            i = order[j]
            x, y = b[X + j], b[Y + j]
            code, clear = survey(x, y, grid)
            if surfaces[code, STOPS] == _NOUGHT:
                if bounce == 0 or (b[LEVEL + j] >= runs.fastest and b[RISE + j] >= HOP):
                    move(b, j, b, kept, order, order)
                    stand(b, kept, code, clear, surfaces)
                    kept += 1
                    continue
                x, y, code = _run_out(b, j, code, clear, grid, surfaces, runs)
            rest[i], rest[LANES + i], ground[i] = x, y, code
        moving = kept
        if moving == 0:
            break


@inline
def _is_blocked(x, y, target, grid, memory):  # type: ignore[no-untyped-def]
    """Return whether trees block the line to the pin from the middle of this metre."""
    u, v = np.floor((x - grid.x0) * grid.per_metre), np.floor((y - grid.y0) * grid.per_metre)
    rows, columns = memory.trees.shape
    if not (single(0) <= u < single(columns) and single(0) <= v < single(rows)):
        return blocked(x, y, target, grid)
    column, row = np.uint32(u), np.uint32(v)
    known = memory.trees[row, column]
    if known == 0:
        cx, cy = grid.x0 + (u + single(0.5)) * grid.cell, grid.y0 + (v + single(0.5)) * grid.cell
        known = _BLOCKED if blocked(cx, cy, target, grid) else _CLEAR
        memory.trees[row, column] = known
    return known == _BLOCKED


@part
def _drop_cost(x, y, red, target, grid, memory):  # type: ignore[no-untyped-def]
    """Return what the cheapest drop costs for a ball that crossed an edge in this half metre."""
    u, v = (x - grid.x0) * grid.per_metre, (y - grid.y0) * grid.per_metre
    rows, columns = memory.trees.shape
    if not (_NOUGHT <= u < single(columns) and _NOUGHT <= v < single(rows)):
        return drop(x, y, red, target, grid)[0]
    block = -1 - grid.coarse[np.uint32(v), np.uint32(u)]
    if block < 0:
        return drop(x, y, red, target, grid)[0]
    half_u, half_v = np.floor(_TWO * u), np.floor(_TWO * v)
    noted = memory.red if red else memory.yellow
    i, j = np.uint32(half_v - _TWO * np.floor(v)), np.uint32(half_u - _TWO * np.floor(u))
    known = noted[np.uint32(block), i, j]
    if known == _NOUGHT:
        half = _HALF * grid.cell
        cx, cy = grid.x0 + (half_u + _HALF) * half, grid.y0 + (half_v + _HALF) * half
        known = drop(cx, cy, red, target, grid)[0]
        noted[np.uint32(block), i, j] = known
    return known


class Flown(NamedTuple):
    """A strike's drives, flown with the wind at several angles: see `holesim.flight.Flights`."""

    landings: np.ndarray
    tracks: np.ndarray
    cos_tilt: np.ndarray


class Aim(NamedTuple):
    """Aims of a tee: which angles of the wind each is made of and how much of each, and its heading."""

    nodes: np.ndarray
    weights: np.ndarray
    sine: np.ndarray
    cosine: np.ndarray


@part
def aim_block(b, at, flown, aims, a, target, room):  # type: ignore[no-untyped-def]
    """Fill block `b` with the drives from `at` on as they land along aim `a`, in the hole frame."""
    nodes, weights = aims.nodes[a], aims.weights[a]
    for row in range(_LANDING):
        values = flown.landings[nodes[0], row, at : at + LANES]
        for j in range(LANES):
            room[row * LANES + j] = weights[0] * values[j]
        for tap in range(1, len(nodes)):
            weight, values = weights[tap], flown.landings[nodes[tap], row, at : at + LANES]
            for j in range(LANES):
                room[row * LANES + j] += weight * values[j]
    sine, cosine, cos_tilt = aims.sine[a], aims.cosine[a], flown.cos_tilt[at : at + LANES]
    for j in range(LANES):
        along, right = room[j], room[LANES + j]
        x = target.tee_x + sine * along + cosine * right
        y = target.tee_y + cosine * along - sine * right
        along, right = room[2 * LANES + j], room[3 * LANES + j]
        vx, vy = sine * along + cosine * right, cosine * along - sine * right
        load(b, j, x, y, vx, vy, room[4 * LANES + j], room[5 * LANES + j] * cos_tilt[j])


@inline
def _crossing(x, y, out, flown, i, aims, a, target, grid):  # type: ignore[no-untyped-def]
    """Return where drive `i` last crossed the edge of a penalty area, or of what is out: see `crossing`."""
    sine, cosine = aims.sine[a], aims.cosine[a]
    bx, by = x, y
    for k in range(flown.tracks.shape[1] - 1, -1, -_POINTS):
        along = right = _NOUGHT
        for tap in range(aims.nodes.shape[1]):
            node, weight = aims.nodes[a, tap], aims.weights[a, tap]
            along += weight * flown.tracks[node, k, 0, i]
            right += weight * flown.tracks[node, k, 1, i]
        ax = target.tee_x + sine * along + cosine * right
        ay = target.tee_y + cosine * along - sine * right
        found, cx, cy = leaves(ax, ay, bx, by, out, whole(_HALVINGS), grid)
        if found:
            return cx, cy
        bx, by = ax, ay
    found, cx, cy = leaves(target.tee_x, target.tee_y, bx, by, out, whole(_HALVINGS), grid)
    return (cx, cy) if found else (target.tee_x, target.tee_y)


@inline
def _penalised(x, y, code, flown, i, aims, a, target, grid, memory):  # type: ignore[no-untyped-def]
    """Return what drive `i` costs with the cheapest relief, out of bounds or in a penalty area."""
    out = code == OUT
    if out and not target.drop_out:
        return single(np.inf)
    x, y = _crossing(x, y, out, flown, i, aims, a, target, grid)
    if out:
        return single(3) + strokes(ON_FAIRWAY, distance(x, y, target), target)
    return single(2) + _drop_cost(x, y, code == RED, target, grid, memory)


@part
def settle_block(rest, ground, at, flown, aims, a, target, grid, memory, total, counts, special):  # type: ignore[no-untyped-def]
    """Add what the drives of a block cost along aim `a`.

    Those that leave no choice go into `total`, the others into `special` (aims, 4, drives): cost, whether a
    replay is allowed, the chance that the ball is lost, and the cost if it is.
    """
    known, m = 0.0, counts[a]
    for j in range(LANES):
        x, y, code = rest[j], rest[LANES + j], ground[j]
        if code == GREEN and not on_own_green(x, y, target):
            x, y, code = off_green(x, y, target, grid)
        if code <= YELLOW:  # or out
            special[a, 0, m] = _penalised(x, y, code, flown, at + j, aims, a, target, grid, memory)
            special[a, 1, m], special[a, 2, m], special[a, 3, m] = single(1), _NOUGHT, _NOUGHT
            m += 1
            continue
        lie = LIES[code]
        if lie > ON_GREEN and _is_blocked(x, y, target, grid, memory):
            lie = IN_RECOVERY
        away = distance(x, y, target)
        cost = single(1) + strokes(lie, away, target)
        if code != TREES and code != HEAVY:
            known += cost
            continue
        special[a, 0, m], special[a, 1, m] = cost, _NOUGHT
        special[a, 2, m] = target.lost_in_trees if code == TREES else target.lost_in_heavy
        special[a, 3, m] = (
            single(3) + strokes(ON_FAIRWAY, away, target) if target.drop_out else single(np.inf)
        )
        m += 1
    total[a] += known
    counts[a] = m


@part
def _expected(total, special, count, drives):  # type: ignore[no-untyped-def]
    """Return what a tee costs, replays in closed form, as `strokes.score` does.

    `total` is the cost of the drives that leave no choice, `special` (4, count) cost, whether a replay is
    allowed, the chance that the ball is lost, and the cost if it is, of the others.
    """
    expected = 4.0
    for _ in range(60):
        again = 2.0 + expected
        cost, replayed = total, 0.0
        for i in range(count):
            in_play, lost = float(special[0, i]), float(special[2, i])
            lost_cost = float(special[3, i])
            kept = 1.0 - lost
            if special[1, i] > 0 and in_play > again:
                in_play = again
                replayed += kept
            if lost > 0.0:
                if lost_cost > again:
                    lost_cost = again
                    replayed += lost
                cost += lost * lost_cost
            cost += kept * in_play
        share = replayed / drives
        if share >= 1.0:
            return np.inf
        step = (cost / drives - expected) / (1.0 - share)
        expected += step
        if abs(step) < 1e-9:
            break
    return expected


@inline
def rooms(numbers):  # type: ignore[no-untyped-def]
    """Return room for a block, for its landings, and for where they come to rest."""
    return numbers[:_AFTER_BLOCK], numbers[_AFTER_BLOCK:_AFTER_ROOM], numbers[_AFTER_ROOM:]


@entry
def search(  # type: ignore[no-untyped-def]
    flown, aims, target, grid, surfaces, runs, memory, radius, gravity, numbers, lanes, total, counts,
    special, expected,
):  # fmt: skip
    """Fill `expected` with what the tee costs along each aim.

    `numbers` and `lanes` are room for `ROOM` numbers and `INTEGERS`; `total`, `counts` and `special` are for
    what `settle_block` adds up.
    """
    drives = flown.landings.shape[2]
    total[:], counts[:] = 0.0, 0
    b, room, rest = rooms(numbers)
    order, ground = lanes[:LANES], lanes[LANES:]
    for at in range(0, drives, LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, target, room)
            run_block(b, order, LANES, grid, surfaces, runs, radius, gravity, rest, ground)
            settle_block(rest, ground, at, flown, aims, a, target, grid, memory, total, counts, special)
    for a in range(len(expected)):
        expected[a] = _expected(total[a], special[a], counts[a], drives)
