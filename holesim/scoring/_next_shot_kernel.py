"""Compiled next shots: how one spreads about its target, and where it leaves the ball each time.

Takes all the ways in which a shot may go wrong through one stage after another. Loops are short, and lists
take every ball, to be overwritten if it does not belong: so a processor runs ahead, where branches would have
it guess. Knows only floats and arrays; `holesim.expected` says what they are.
"""

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import inline, part, single
from holesim.course._ground_map_kernel import Grid, canopy, incline, look_up
from holesim.shot._relief_kernel import (
    BUNKER,
    GREEN,
    LIES,
    OUT,
    RED,
    STRIDE,
    TREES,
    Memory,
    Target,
    in_penalty,
    leaves,
    off_green,
    on_own_green,
)
from holesim.shot._strokes_grid_kernel import ON_FAIRWAY

POINTS = 64  # ways in which a shot may go wrong, at the most
# Columns of a shot, as in `holesim.shots`.
ALONG, ACROSS, LEAN, RISE, FALL, RUN, MISHIT = range(7)
# Rows of the room for them: where each ball lands and then where it stays, and where it would rest if it ran;
# what share of its way through the air a metre is, how much of it it has come, and how much wood it may still
# pass [m]; penalty strokes. Of the integers: the lie, or what stands for it, the ground, and the list.
_X, _Y, _REST_X, _REST_Y, _PER_METRE, _SHARE, _MAY_PASS, _PENALTY = (
    np.uint32(POINTS * row) for row in range(8)
)
_LIE, _CODE, _LISTED = (np.uint32(POINTS * row) for row in range(3))
ROOM, INTEGERS = 8 * POINTS, 3 * POINTS
# Instead of a lie: the shot is played again, or its ball is dropped where it crossed the edge of an area.
REPLAY, RED_DROP, YELLOW_DROP = -1, -2, -3
_UNKNOWN = -1  # ground
_TWIG = single(1.5)  # strides of wood; two are a tree
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


class HoleArrays(NamedTuple):
    """Where shots are played: as relief knows it, the ground, and what drops are known to cost.

    `room` (`ROOM`) and `integers` (`INTEGERS`) are room for the balls of one shot.
    """

    target: Target
    grid: Grid
    memory: Memory
    room: np.ndarray
    integers: np.ndarray


class Pattern(NamedTuple):
    """How one shot spreads about its target: where it is aimed, and the columns of the length `played`."""

    length: np.float32
    played: np.float32
    east: np.float32
    north: np.float32
    along: np.float32
    across: np.float32
    lean: np.float32
    upright: np.float32
    rise: np.float32
    fall: np.float32
    run: np.float32
    mishit: np.float32


@inline
def uphill(x, y, tx, ty, lie, length, swings, grid):  # type: ignore[no-untyped-def]
    """Return how much longer a shot is that rises: its ball comes down on higher ground so much sooner."""
    if grid.even:
        return _NOUGHT
    i = min(np.uint32(length * swings.per_metre), np.uint32(swings.table.shape[1] - 1))
    return (incline(tx, ty, grid)[0] - incline(x, y, grid)[0]) / swings.table[lie, i, FALL]


@part
def pattern(x, y, length, bearing, lie, swings, grid):  # type: ignore[no-untyped-def]
    """Return the pattern of a shot; uphill it is that of a longer one."""
    east, north = sin(bearing), cos(bearing)
    further = uphill(x, y, x + length * east, y + length * north, lie, length, swings, grid)
    played = max(length + further, _NOUGHT)
    place = played * swings.per_metre
    i = min(np.uint32(place), np.uint32(swings.table.shape[1] - 2))
    shots, further, share = swings.table[lie, i], swings.table[lie, i + np.uint32(1)], place - single(i)
    lean = _column(shots, further, share, LEAN)
    return Pattern(
        single(length),
        single(played),
        single(east),
        single(north),
        _column(shots, further, share, ALONG),
        _column(shots, further, share, ACROSS),
        lean,
        single(sqrt(_ONE - lean * lean)),
        _column(shots, further, share, RISE),
        _column(shots, further, share, FALL),
        _column(shots, further, share, RUN),
        _column(shots, further, share, MISHIT),
    )


@inline
def _column(shots, further, share, column):  # type: ignore[no-untyped-def]
    return shots[column] + share * (further[column] - shots[column])


@part
def finish(x, y, shot, points, hole):  # type: ignore[no-untyped-def]
    """Find out, and leave in the room, what `outcome` tells of a shot."""
    _land(x, y, shot, points, hole)
    if hole.grid.tallest > _NOUGHT:
        count = _meet_trees(x, y, shot, points, hole)
        while count > 0:
            count = _through(x, y, shot, count, hole)
    count = _rest(points.shape[1], hole)
    for k in range(count):
        _take_out(x, y, np.uint32(hole.integers[_LISTED + np.uint32(k)]), hole)


@inline
def outcome(k, hole):  # type: ignore[no-untyped-def]
    """Return the lie and the place that the shot leaves at point k, and penalty strokes."""
    b, c, j = hole.room, hole.integers, np.uint32(k)
    return c[_LIE + j], b[_X + j], b[_Y + j], b[_PENALTY + j]


@inline
def _land(x, y, shot, points, hole):  # type: ignore[no-untyped-def]
    """Note where balls land, and where they rest if they run."""
    b, c = hole.room, hole.integers
    for k in range(points.shape[1]):
        j = np.uint32(k)
        along = max(shot.length + shot.along * points[0, k], _NOUGHT)
        along *= _HALF if points[3, k] < shot.mishit else _ONE
        aside = shot.across * (shot.lean * points[0, k] + shot.upright * points[1, k])
        rx, ry = x + along * shot.east + aside * shot.north, y + along * shot.north - aside * shot.east
        rolled = min(shot.run, along)
        b[_REST_X + j], b[_REST_Y + j] = rx, ry
        b[_X + j], b[_Y + j] = rx - rolled * shot.east, ry - rolled * shot.north
        b[_PENALTY + j], c[_CODE + j] = _NOUGHT, _UNKNOWN


@inline
def _height(u, rise, fall):  # type: ignore[no-untyped-def]
    """Return how high a ball is after a share of its way through the air, over the length of that."""
    return u * (_ONE - u) * (rise * (_ONE - u) + fall * u)


@inline
def _meet_trees(x, y, shot, points, hole):  # type: ignore[no-untyped-def]
    """List the balls that may meet trees, and return how many they are.

    Most rise above all trees before they meet any, and land far from them.
    """
    b, c, grid = hole.room, hole.integers, hole.grid
    clear, near = max(-canopy(x, y, grid) - grid.cell, _NOUGHT), _TWO * grid.tallest / shot.fall
    kept = np.uint64(0)
    for k in range(points.shape[1]):
        j = np.uint32(k)
        dx, dy = b[_X + j] - x, b[_Y + j] - y
        per_metre = _ONE / (sqrt(dx * dx + dy * dy) + single(1e-6))
        share = clear * per_metre
        high = _height(min(share, _ONE), shot.rise, shot.fall) > grid.tallest * per_metre
        share = max(share, _ONE - near * per_metre) if high else share
        first = max(share, STRIDE * per_metre)
        b[_PER_METRE + j], b[_SHARE + j] = per_metre, first
        b[_MAY_PASS + j] = points[2, k] if clear < STRIDE else _TWIG
        c[_LISTED + np.uint32(kept)] = j
        free = -canopy(b[_X + j], b[_Y + j], grid) - grid.cell
        kept += np.uint64((first < _ONE) & (free * per_metre <= _ONE - share))
    return kept


@inline
def _through(x, y, shot, count, hole):  # type: ignore[no-untyped-def]
    """Take the balls on the list one look further; return how many stay on it.

    In the wood it begins in a ball finds its way for so many metres; once it is out of that, or above it, two
    strides of wood stop it.
    """
    b, c, grid = hole.room, hole.integers, hole.grid
    near, shallow = _TWO * grid.tallest / shot.fall, _ONE / max(shot.rise, shot.fall)
    kept = np.uint64(0)
    for k in range(count):
        j = np.uint32(c[_LISTED + np.uint32(k)])
        lx, ly, share, per_metre = b[_X + j], b[_Y + j], b[_SHARE + j], b[_PER_METRE + j]
        px, py = x + share * (lx - x), y + share * (ly - y)
        height, top = _height(share, shot.rise, shot.fall), canopy(px, py, grid)
        may_pass = b[_MAY_PASS + j] - STRIDE if height < top * per_metre else _TWIG
        over = height - grid.tallest * per_metre
        # Above all trees it is so until near its landing, and there as long as it cannot have come down.
        high = max(_ONE - near * per_metre - share, over * shallow)
        share += max(high if over > _NOUGHT else np.floor(-top) * per_metre, STRIDE * per_metre)
        b[_SHARE + j], b[_MAY_PASS + j] = share, may_pass
        stopped = may_pass < _NOUGHT
        b[_X + j], b[_Y + j] = px if stopped else lx, py if stopped else ly
        c[_CODE + j] = TREES if stopped else _UNKNOWN
        c[_LISTED + np.uint32(kept)] = j
        kept += np.uint64((not stopped) & (share < _ONE))
    return kept


@inline
def _rest(count, hole):  # type: ignore[no-untyped-def]
    """Let balls come to rest, list those that have to be taken from where they are, and return how many."""
    b, c, grid = hole.room, hole.integers, hole.grid
    kept = np.uint64(0)
    for k in range(count):
        j = np.uint32(k)
        x, y, rx, ry = b[_X + j], b[_Y + j], b[_REST_X + j], b[_REST_Y + j]
        stopped, landed, ran = c[_CODE + j] == TREES, look_up(x, y, grid), look_up(rx, ry, grid)
        runs = landed > BUNKER and not stopped
        code = TREES if stopped else (ran if runs else landed)
        b[_X + j], b[_Y + j] = rx if runs else x, ry if runs else y
        c[_CODE + j], c[_LIE + j] = code, LIES[np.uint32(code)]
        c[_LISTED + np.uint32(kept)] = j
        kept += np.uint64(code <= GREEN and code != BUNKER)
    return kept


@inline
def _take_out(x, y, j, hole):  # type: ignore[no-untyped-def]
    """Note where ball `j` is played from that rests on another green, in a penalty area, or out."""
    b, c, target, grid = hole.room, hole.integers, hole.target, hole.grid
    code, rx, ry = c[_CODE + j], b[_X + j], b[_Y + j]
    if code == GREEN:
        if on_own_green(rx, ry, target):
            return
        rx, ry, code = off_green(rx, ry, target, grid)
    lie, penalty = LIES[code], _NOUGHT
    if code == OUT and not target.drop_out:
        lie, penalty = REPLAY, _ONE
    elif code == OUT or in_penalty(code):
        found, rx, ry = leaves(x, y, rx, ry, code == OUT, grid)
        if not found:
            lie, penalty = REPLAY, _ONE
        elif code == OUT:
            lie, penalty = ON_FAIRWAY, _TWO
        else:
            lie, penalty = RED_DROP if code == RED else YELLOW_DROP, _ONE
    c[_LIE + j], b[_X + j], b[_Y + j], b[_PENALTY + j] = lie, rx, ry, penalty
