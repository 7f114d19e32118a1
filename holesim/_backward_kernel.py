"""Compiled dynamic programming: the best next shot from every place on a hole, worked back from the cup.

Knows only floats and arrays; `holesim.remains` says what they are.
"""

from math import cos, exp, pi, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim._ground_kernel import Grid, canopy, look_up
from holesim._math_kernel import entry, inline, part, single
from holesim._relief_kernel import (
    BUNKER,
    GREEN,
    HEAVY,
    LIES,
    OUT,
    RED,
    TREES,
    Memory,
    Target,
    in_penalty,
    leaves,
    noted_drop,
    off_green,
    on_own_green,
)
from holesim._remains_kernel import ON_FAIRWAY, strokes

# Columns of a shot, as in `holesim.shots`.
ALONG, ACROSS, LEAN, RISE, FALL, RUN, MISHIT = range(7)
STRIDE = single(1)  # m between look-ups in trees

_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)


class Swings(NamedTuple):
    """A golfer's shots: `table` [lie, length, column], `per_metre` lengths to a metre, `longest` by lie.

    `points` (4, shots) are how far a shot goes wrong along and across, in standard deviations, through how
    much wood it finds a way [m], and a chance below which it is mishit. `hole` is the area over which a ball
    that would stop there finds the hole [m²].
    """

    table: np.ndarray
    per_metre: np.float32
    longest: np.ndarray
    points: np.ndarray
    hole: np.float32


class Hole(NamedTuple):
    """Where shots are played: as relief knows it, the ground, and what drops are known to cost."""

    target: Target
    grid: Grid
    memory: Memory


@part
def felled(ax, ay, bx, by, rise, fall, ways, grid):  # type: ignore[no-untyped-def]
    """Return whether trees stop a ball on its way through the air from a to b, and where, else b.

    In the wood it begins in it finds its way for so many metres; another stops it at once.
    """
    dx, dy = bx - ax, by - ay
    length = sqrt(dx * dx + dy * dy) + single(1e-6)
    dx, dy = dx / length, dy / length
    near_end = length - _TWO * grid.tallest / fall
    first, wood, hits, f = True, _NOUGHT, 0, STRIDE
    while f < length:
        x, y, u = ax + f * dx, ay + f * dy, f / length
        height = f * (_ONE - u) * (rise * (_ONE - u) + fall * u)
        top = canopy(x, y, grid)
        if top > _NOUGHT:
            below = height < top
            if first:
                wood += STRIDE if below else _NOUGHT
            hits = hits + 1 if below else 0
            if wood > ways if first else hits == 2:
                return True, x, y
            f += STRIDE
        else:
            first, hits = False, 0
            f += max(np.floor(-top), STRIDE)
        if height > grid.tallest and f < near_end:
            f = near_end
    return False, bx, by


@inline
def _column(shots, further, share, column):  # type: ignore[no-untyped-def]
    return shots[column] + share * (further[column] - shots[column])


@part
def shot(x, y, lie, here, length, bearing, points, swings, hole):  # type: ignore[no-untyped-def]
    """Return the mean strokes to hole out from a place by one shot, aimed to finish `length` along `bearing`.

    `points` are those of the bag, or some; `here` is what is thought to remain now, against which a replay
    is weighed.
    """
    target, grid = hole.target, hole.grid
    place = length * swings.per_metre
    i = min(np.uint32(place), np.uint32(swings.table.shape[1] - 2))
    shots, further, share = swings.table[lie, i], swings.table[lie, i + np.uint32(1)], place - single(i)
    sd_along, sd_across = _column(shots, further, share, ALONG), _column(shots, further, share, ACROSS)
    lean, run = _column(shots, further, share, LEAN), _column(shots, further, share, RUN)
    mishit = _column(shots, further, share, MISHIT)
    rise, fall = _column(shots, further, share, RISE), _column(shots, further, share, FALL)
    upright, east, north = sqrt(_ONE - lean * lean), sin(bearing), cos(bearing)
    left, replayed = _NOUGHT, _NOUGHT
    for k in range(points.shape[1]):
        along = max(length + sd_along * points[0, k], _NOUGHT)
        along *= _HALF if points[3, k] < mishit else _ONE
        aside = sd_across * (lean * points[0, k] + upright * points[1, k])
        rx, ry = x + along * east + aside * north, y + along * north - aside * east
        rolled = min(run, along)
        lx, ly = rx - rolled * east, ry - rolled * north
        stopped = False
        if grid.tallest > _NOUGHT:
            stopped, hx, hy = felled(x, y, lx, ly, rise, fall, points[2, k], grid)
            if stopped:
                lx, ly = hx, hy
        code = TREES if stopped else look_up(lx, ly, grid)
        if code <= BUNKER or stopped:
            rx, ry = lx, ly
        else:
            code = look_up(rx, ry, grid)
        if code == GREEN and not on_own_green(rx, ry, target):
            rx, ry, code = off_green(rx, ry, target, grid)
        if code == OUT and not target.drop_out:
            replayed += _ONE
        elif code == OUT or in_penalty(code):
            found, cx, cy = leaves(x, y, rx, ry, code == OUT, grid)
            if code == OUT:
                cost = _TWO + strokes(ON_FAIRWAY, cx, cy, target.remains)
            else:
                cost = _ONE + noted_drop(cx, cy, code == RED, target, grid, hole.memory)
            if found and cost < _ONE + here:
                left += cost
            else:
                replayed += _ONE
        else:
            value = strokes(LIES[code], rx, ry, target.remains)
            lost = _NOUGHT
            if code == TREES:
                lost = single(target.lost_in_trees)
            elif code == HEAVY:
                lost = single(target.lost_in_heavy)
            left += (_ONE - lost) * value
            if target.drop_out:
                left += lost * (_TWO + strokes(ON_FAIRWAY, rx, ry, target.remains))
            else:
                replayed += lost
    count = single(points.shape[1])
    left, replayed = left / count, replayed / count
    if replayed >= single(0.999):
        return single(np.inf)
    # The chance that it finds the hole: its density there, over the area that lets it in.
    dx, dy = target.remains.pin_x - x, target.remains.pin_y - y
    a = (dx * east + dy * north - length) / sd_along
    b = ((dx * north - dy * east) / sd_across - lean * a) / upright
    holed = swings.hole / (single(2 * pi) * sd_along * sd_across * upright) * exp(-_HALF * (a * a + b * b))
    left *= _ONE - min(holed, _HALF)
    return (_ONE + left + replayed) / (_ONE - replayed)


# Where to look for the best shot: shares of the longest, and turns from the pin [rad] to either side.
SHARES = np.array([0.04, 0.08, 0.14, 0.22, 0.32, 0.43, 0.55, 0.67, 0.78, 0.89, 1.0], dtype=np.float32)
TURNS = np.array([0.0, 0.05, 0.1, 0.17, 0.27, 0.4, 0.6, 0.9, 1.3, 1.8, 2.4, pi], dtype=np.float32)
FEW = 8  # points that a first look takes
NARROWINGS, MOVES = 4, 4  # at most so many of these before each of those
_SHORTEST = single(1)  # m


class Shots(NamedTuple):
    """The best shot known from each [lie, row, column]: its length [m] and its bearing [rad].

    A length of nought is no shot known yet.
    """

    lengths: np.ndarray
    bearings: np.ndarray


@part
def refined(x, y, lie, here, best, length, bearing, swings, hole):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best shot near one that costs `best`."""
    longest = swings.longest[lie]
    i = min(np.uint32(length * swings.per_metre), np.uint32(swings.table.shape[1] - 1))
    further = max(swings.table[lie, i, ALONG], _TWO)
    turn = min(max(swings.table[lie, i, ACROSS] / length, single(0.02)), _HALF)
    for _ in range(NARROWINGS):
        for _ in range(MOVES):
            cost, to_length, to_bearing = best, length, bearing
            for way in range(4):
                sign = _ONE if way % 2 == 0 else -_ONE
                other = length + sign * further if way < 2 else length
                other = min(max(other, _SHORTEST), longest)
                turned = bearing if way < 2 else bearing + sign * turn
                tried = shot(x, y, lie, here, other, turned, swings.points, swings, hole)
                if tried < cost:
                    cost, to_length, to_bearing = tried, other, turned
            if cost >= best:
                break
            best, length, bearing = cost, to_length, to_bearing
        further, turn = _HALF * further, _HALF * turn
    return best, length, bearing


@part
def explored(x, y, lie, here, swings, hole):  # type: ignore[no-untyped-def]
    """Return the length and the bearing of the best of many shots, at a first look."""
    few = swings.points[:, :FEW]
    dx, dy = hole.target.remains.pin_x - x, hole.target.remains.pin_y - y
    away, pin = sqrt(dx * dx + dy * dy), np.arctan2(dx, dy)
    to_pin = min(max(away, _SHORTEST), swings.longest[lie])
    best, length, bearing = single(np.inf), to_pin, pin
    for j in range(len(SHARES) + 1):
        tried = SHARES[j] * swings.longest[lie] if j < len(SHARES) else to_pin
        for k in range(2 * len(TURNS)):
            turned = pin + (TURNS[k // 2] if k % 2 == 0 else -TURNS[k // 2])
            cost = shot(x, y, lie, here, tried, turned, few, swings, hole)
            if cost < best:
                best, length, bearing = cost, tried, turned
    return length, bearing


@inline
def _same_target(length, bearing, east, north):  # type: ignore[no-untyped-def]
    """Return length and bearing to where another shot is aimed, that is played `east` and `north` of here."""
    dx, dy = east + length * sin(bearing), north + length * cos(bearing)
    return sqrt(dx * dx + dy * dy), np.arctan2(dx, dy)


@part
def borrowed(x, y, lie, row, column, here, swings, hole, shots):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best of the shots known at this node and those around it."""
    nodes = hole.target.remains
    _, rows, columns = nodes.values.shape
    best, length, bearing = single(np.inf), _NOUGHT, _NOUGHT
    for r in range(max(row - 1, 0), min(row + 2, rows)):
        for c in range(max(column - 1, 0), min(column + 2, columns)):
            tried, turned = shots.lengths[lie, r, c], shots.bearings[lie, r, c]
            if tried == _NOUGHT:
                continue
            east, north = single(c - column) / nodes.per_metre, single(r - row) / nodes.per_metre
            tried, turned = _same_target(tried, turned, east, north)
            tried = min(max(tried, _SHORTEST), swings.longest[lie])
            cost = shot(x, y, lie, here, tried, turned, swings.points, swings, hole)
            if cost < best:
                best, length, bearing = cost, tried, turned
    return best, length, bearing


@entry
def sweep(lies, rows, columns, afresh, swings, hole, shots):  # type: ignore[no-untyped-def]
    """Work out what remains from each state in turn, by what is known of others; return the largest change.

    Tries the shots known here and at the nodes around, and, where it shall look `afresh`, many others.
    """
    nodes, largest = hole.target.remains, 0.0
    for s in range(len(lies)):
        lie, row, column = lies[s], rows[s], columns[s]
        x, y = nodes.x0 + single(column) / nodes.per_metre, nodes.y0 + single(row) / nodes.per_metre
        here = nodes.values[lie, row, column]
        best, length, bearing = borrowed(x, y, lie, row, column, here, swings, hole, shots)
        if afresh:
            tried, turned = explored(x, y, lie, here, swings, hole)
            cost = shot(x, y, lie, here, tried, turned, swings.points, swings, hole)
            cost, tried, turned = refined(x, y, lie, here, cost, tried, turned, swings, hole)
            if cost < best:
                best, length, bearing = cost, tried, turned
        if best == single(np.inf):
            continue  # nothing is known to leave from here
        best, length, bearing = refined(x, y, lie, here, best, length, bearing, swings, hole)
        largest = max(largest, abs(best - here))
        nodes.values[lie, row, column] = best
        shots.lengths[lie, row, column], shots.bearings[lie, row, column] = length, bearing
    return largest
