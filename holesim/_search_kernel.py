"""Compiled search: what a tee costs along each of many aims.

Composes the kernels of bounce and relief over blocks of drives, and stays within a block while it goes from
aim to aim, so that what it reads stays near.
"""

from typing import NamedTuple

import numpy as np

from holesim._bounce_kernel import (
    EDGE_STEP,
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
from holesim._math_kernel import entry, inline, part, single
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
    blocked,
    distance,
    drop,
    in_penalty,
    leaves,
    off_green,
    on_own_green,
    strokes,
)

_LANDING = 6  # rows of a landing that matter here: x, y, vx, vy, vz, spin
ROOM, INTEGERS = (ROWS + _LANDING + 2) * LANES, 2 * LANES
_CLEAR, _BLOCKED = 1, 2
_NOUGHT = single(0)


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
    """What was found before: of each metre whether trees block it, of each half metre what a drop costs.

    Nought is not known yet. What is noted depends on the place alone, so it matters to no one who found it.
    """

    trees: np.ndarray
    red: np.ndarray
    yellow: np.ndarray


@inline
def _cell(value, count):  # type: ignore[no-untyped-def]
    """Return the entry of a table below a place in it, and how far past that the place is."""
    place = min(max(value, _NOUGHT), single(count) - single(1.001))
    below = np.int32(place)
    return below, place - single(below)


@inline
def _whole_run(ground, u, w, k, runs):  # type: ignore[no-untyped-def]
    """Return how far a ball still goes if the ground stays of one kind."""
    nu, nw, nk = runs.counts
    iu, fu = _cell(u * runs.per_u, nu)
    iw, fw = _cell(w * runs.per_w, nw)
    ik, fk = _cell(k * runs.per_k, nk)
    # Unsigned indices spare a test for negative ones.
    t, i = runs.table, np.uint64(((ground * nu + iu) * nw + iw) * nk + ik)
    next_w, next_u, one = np.uint64(nk), np.uint64(nw * nk), np.uint64(1)
    a = t[i] + fk * (t[i + one] - t[i])
    b = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    i += next_u
    c = t[i] + fk * (t[i + one] - t[i])
    d = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    low = a + fw * (b - a)
    return low + fu * (c + fw * (d - c) - low)


@inline
def _run_out(b, j, code, clear, grid, surfaces, runs):  # type: ignore[no-untyped-def]
    """Return where a ball stops that rolls on over one kind of ground after another, and what is there.

    The share of a run that is left where the ground changes is the share of the new ground's that it still
    goes: so it is where resistance does not depend on speed.
    """
    x, y, u, w, k = b[X + j], b[Y + j], b[LEVEL + j], -b[VZ + j], b[SPIN + j]
    hx, hy = b[VX + j] / u, b[VY + j] / u
    whole = _whole_run(code, u, w, k, runs)
    left = whole
    while left > clear:
        step = max(clear, EDGE_STEP)
        if step >= left:
            break
        x, y, left = x + hx * step, y + hy * step, left - step
        here, clear = survey(x, y, grid)
        if here != code:
            code = here
            if surfaces[code, STOPS] > _NOUGHT:
                return x, y, code
            other = _whole_run(code, u, w, k, runs)
            whole, left = other, left * other / whole
    return x + hx * left, y + hy * left, code


@part
def _run_block(b, order, count, grid, surfaces, runs, radius, gravity, rest, ground):  # type: ignore[no-untyped-def]
    """Run a block until it stops: the first bounce as `bounce.run_block` does, what follows by the table."""
    moving = count
    for j in range(count):
        order[j] = j
    for bounce in range(MAX_BOUNCES):
        if bounce > 0:
            hop(b, (moving + 7) // 8 * 8, single(1), _NOUGHT, _NOUGHT, radius, gravity)
        kept = 0
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
    """Return what the cheapest drop costs for a ball that crossed in the middle of this half metre."""
    half = single(0.5) * grid.cell
    u, v = np.floor((x - grid.x0) / half), np.floor((y - grid.y0) / half)
    noted = memory.red if red else memory.yellow
    rows, columns = noted.shape
    if not (single(0) <= u < single(columns) and single(0) <= v < single(rows)):
        return drop(x, y, red, target, grid)[0]
    column, row = np.int32(u), np.int32(v)
    if noted[row, column] == single(0):
        cx, cy = grid.x0 + (u + single(0.5)) * half, grid.y0 + (v + single(0.5)) * half
        noted[row, column] = drop(cx, cy, red, target, grid)[0]
    return noted[row, column]


@part
def _aim(landings, at, nodes, weights, sine, cosine, target, room):  # type: ignore[no-untyped-def]
    """Fill `room` with the landings of a block along one aim, in the hole frame."""
    for row in range(_LANDING):
        for j in range(LANES):
            room[row * LANES + j] = weights[0] * landings[nodes[0], row, at + j]
        for tap in range(1, len(nodes)):
            weight, values = weights[tap], landings[nodes[tap], row]
            for j in range(LANES):
                room[row * LANES + j] += weight * values[at + j]
    for row in (0, 2):
        for j in range(LANES):
            along, right = room[row * LANES + j], room[(row + 1) * LANES + j]
            room[row * LANES + j] = sine * along + cosine * right
            room[(row + 1) * LANES + j] = cosine * along - sine * right
    for j in range(LANES):
        room[j] += target.tee_x
        room[LANES + j] += target.tee_y


@part
def _crossing(x, y, out, tracks, i, nodes, weights, sine, cosine, target, grid):  # type: ignore[no-untyped-def]
    """Return where drive `i` last crossed the edge of a penalty area, or of what is out: see `crossing`."""
    bx, by = x, y
    for k in range(tracks.shape[1] - 1, -1, -1):
        along = right = single(0)
        for tap in range(len(nodes)):
            along += weights[tap] * tracks[nodes[tap], k, 0, i]
            right += weights[tap] * tracks[nodes[tap], k, 1, i]
        ax = target.tee_x + sine * along + cosine * right
        ay = target.tee_y + cosine * along - sine * right
        found, cx, cy = leaves(ax, ay, bx, by, out, grid)
        if found:
            return cx, cy
        bx, by = ax, ay
    return target.tee_x, target.tee_y


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


@entry
def search(  # type: ignore[no-untyped-def]
    landings, tracks, cos_tilt, nodes, weights, sines, cosines, target, grid, surfaces, runs, memory, radius,
    gravity, numbers, lanes, total, counts, special, expected,
):  # fmt: skip
    """Fill `expected` with what the tee costs along each aim.

    `numbers` and `lanes` are room for `ROOM` numbers and `INTEGERS`; `total` and `counts` (aims), `special`
    (aims, 4, drives) for what is summed and for the drives that leave a choice.
    """
    aims, drives = len(sines), landings.shape[2]
    b, room, rest = (
        numbers[: ROWS * LANES],
        numbers[ROWS * LANES : (ROWS + _LANDING) * LANES],
        numbers[(ROWS + _LANDING) * LANES :],
    )
    order, ground = lanes[:LANES], lanes[LANES:]
    for a in range(aims):
        total[a], counts[a] = 0.0, 0
    for at in range(0, drives, LANES):
        for a in range(aims):
            _aim(landings, at, nodes[a], weights[a], sines[a], cosines[a], target, room)
            for j in range(LANES):
                load(
                    b, j, room[j], room[LANES + j], room[2 * LANES + j], room[3 * LANES + j],
                    room[4 * LANES + j], room[5 * LANES + j] * cos_tilt[at + j],
                )  # fmt: skip
            _run_block(b, order, LANES, grid, surfaces, runs, radius, gravity, rest, ground)
            known, m = 0.0, counts[a]
            for j in range(LANES):
                x, y, code = rest[j], rest[LANES + j], ground[j]
                if code == GREEN and not on_own_green(x, y, target):
                    x, y, code = off_green(x, y, target, grid)
                cost, replay, lost, lost_cost = single(np.inf), single(0), single(0), single(np.inf)
                if code == OUT:
                    replay = single(1)
                    if target.drop_out:
                        x, y = _crossing(
                            x,
                            y,
                            True,
                            tracks,
                            at + j,
                            nodes[a],
                            weights[a],
                            sines[a],
                            cosines[a],
                            target,
                            grid,
                        )
                        cost = single(3) + strokes(ON_FAIRWAY, distance(x, y, target), target)
                elif in_penalty(code):
                    replay = single(1)
                    x, y = _crossing(
                        x, y, False, tracks, at + j, nodes[a], weights[a], sines[a], cosines[a], target, grid
                    )
                    cost = single(2) + _drop_cost(x, y, code == RED, target, grid, memory)
                else:
                    lie = LIES[code]
                    if lie > ON_GREEN and _is_blocked(x, y, target, grid, memory):
                        lie = IN_RECOVERY
                    cost = single(1) + strokes(lie, distance(x, y, target), target)
                    if code != TREES and code != HEAVY:
                        known += cost
                        continue
                    lost = target.lost_in_trees if code == TREES else target.lost_in_heavy
                    if target.drop_out:
                        lost_cost = single(3) + strokes(ON_FAIRWAY, distance(x, y, target), target)
                special[a, 0, m], special[a, 1, m] = cost, replay
                special[a, 2, m], special[a, 3, m] = lost, lost_cost
                m += 1
            total[a] += known
            counts[a] = m
    for a in range(aims):
        expected[a] = _expected(total[a], special[a], counts[a], drives)
