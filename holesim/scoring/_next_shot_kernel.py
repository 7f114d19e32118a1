"""Compiled next shots: how a shot spreads about its target, and where each of its outcomes leaves the ball.

Takes all outcomes of a shot through one stage after another. Loops are short and free of branches, which a
processor would have to guess: lists take every ball, and one that does not belong is overwritten. Knows only
floats and arrays; `holesim.scoring.expected_strokes` says what they are.
"""

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import inline, part, single
from holesim.course._ground_map_kernel import Grid, canopy, incline, look_up
from holesim.shot._relief_kernel import (
    BUNKER,
    GREEN,
    LIE_BY_GROUND,
    OUT,
    RED,
    STRIDE,
    TREES,
    DropCache,
    HoleConstants,
    bounded,
    in_penalty,
    leaves,
    off_green,
    on_own_green,
)
from holesim.shot._strokes_grid_kernel import ON_FAIRWAY

MISSES = 64  # misses of a shot, at most
# Columns of a shot, as in `holesim.scoring.shot_dispersion`.
ALONG, ACROSS, LEAN, RISE, FALL, RUN, MISHIT = range(7)
# Rows of working memory: where each ball lands and then where it stays, and where it stops if it runs; the
# share of its way through the air that a metre is, the share it has come, and the wood it may still pass [m];
# penalty strokes. Rows of integers: the lie or a code below, the ground, and the list.
_X, _Y, _REST_X, _REST_Y, _PER_METRE, _SHARE, _MAY_PASS, _PENALTY = (
    np.uint32(MISSES * row) for row in range(8)
)
_LIE, _CODE, _LISTED = (np.uint32(MISSES * row) for row in range(3))
ROOM, INTEGERS = 8 * MISSES, 3 * MISSES
# Codes in place of a lie: the shot is replayed, or the ball is dropped where it crossed the edge of an area.
REPLAY, RED_DROP, YELLOW_DROP = -1, -2, -3
_UNKNOWN = -1  # ground
_TWIG = single(1.5)  # strides of wood; two are a tree
_USUAL = single(2)  # standard deviations across a shot's line; balls within them are most
_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)


class ShotModel(NamedTuple):
    """A golfer's shots: `dispersion` [lie, length, column], `per_metre` lengths to a metre, `longest` by lie.

    `misses` (4, misses) are the misses along and across in standard deviations, the length of wood that the
    ball gets through [m], and a chance: the shot is mishit if it is below the share of mishits. `hole` is the
    area in which a ball that would stop there finds the hole [m²].
    """

    dispersion: np.ndarray
    per_metre: np.float32
    longest: np.ndarray
    misses: np.ndarray
    hole: np.float32


class HoleArrays(NamedTuple):
    """A hole on which shots are played: its constants, the ground map, and the costs of drops found so far.

    `room` (`ROOM`) and `integers` (`INTEGERS`) are working memory for the outcomes of one shot.
    """

    constants: HoleConstants
    grid: Grid
    drop_cache: DropCache
    room: np.ndarray
    integers: np.ndarray


class Pattern(NamedTuple):
    """How a shot spreads about its target: length and direction of the aim, and its row of the dispersion.

    `played` is the length that the shot would have on level ground.
    """

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
def uphill(x, y, tx, ty, lie, length, model, grid):  # type: ignore[no-untyped-def]
    """Return by how much [m] a shot to higher ground must be longer, because its ball comes down sooner."""
    if grid.even:
        return _NOUGHT
    i = min(np.uint32(length * model.per_metre), np.uint32(model.dispersion.shape[1] - 1))
    return (incline(tx, ty, grid)[0] - incline(x, y, grid)[0]) / model.dispersion[lie, i, FALL]


@part
def pattern(x, y, length, bearing, lie, model, grid):  # type: ignore[no-untyped-def]
    """Return the pattern of a shot; uphill it is that of a longer shot."""
    east, north = sin(bearing), cos(bearing)
    further = uphill(x, y, x + length * east, y + length * north, lie, length, model, grid)
    played = max(length + further, _NOUGHT)
    place = played * model.per_metre
    i = min(np.uint32(place), np.uint32(model.dispersion.shape[1] - 2))
    shots, further, share = (
        model.dispersion[lie, i],
        model.dispersion[lie, i + np.uint32(1)],
        place - single(i),
    )
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
def finish(x, y, shot, misses, hole):  # type: ignore[no-untyped-def]
    """Find the outcomes of a shot and leave them in the working memory, for `outcome` to read."""
    _land(x, y, shot, misses, hole)
    if hole.grid.tallest > _NOUGHT:
        count = _meet_trees(x, y, shot, misses, hole)
        while count > 0:
            count = _through(x, y, shot, count, hole)
    count = _rest(misses.shape[1], hole)
    for k in range(count):
        _take_out(x, y, np.uint32(hole.integers[_LISTED + np.uint32(k)]), hole)


@inline
def outcome(k, hole):  # type: ignore[no-untyped-def]
    """Return the lie (or code), place and penalty strokes of outcome k."""
    b, c, j = hole.room, hole.integers, np.uint32(k)
    return c[_LIE + j], b[_X + j], b[_Y + j], b[_PENALTY + j]


@inline
def _land(x, y, shot, misses, hole):  # type: ignore[no-untyped-def]
    """Store where balls land, and where they stop if they run."""
    b, c = hole.room, hole.integers
    for k in range(misses.shape[1]):
        j = np.uint32(k)
        along = max(shot.length + shot.along * misses[0, k], _NOUGHT)
        along *= _HALF if misses[3, k] < shot.mishit else _ONE
        aside = shot.across * (shot.lean * misses[0, k] + shot.upright * misses[1, k])
        rx, ry = x + along * shot.east + aside * shot.north, y + along * shot.north - aside * shot.east
        rolled = min(shot.run, along)
        b[_REST_X + j], b[_REST_Y + j] = rx, ry
        b[_X + j], b[_Y + j] = rx - rolled * shot.east, ry - rolled * shot.north
        b[_PENALTY + j], c[_CODE + j] = _NOUGHT, _UNKNOWN


@inline
def _height(u, rise, fall):  # type: ignore[no-untyped-def]
    """Return the height of a ball over the length of its flight, after a share `u` of the flight."""
    return u * (_ONE - u) * (rise * (_ONE - u) + fall * u)


@inline
def _low_share(low):  # type: ignore[no-untyped-def]
    """Return the last share of a flight on which a ball may be lower than trees; `low` is more than that."""
    return min(low, _HALF * low / ((_ONE - low) * (_ONE - low)))


@inline
def _clear_ahead(x, y, clear, wide, shot, grid):  # type: ignore[no-untyped-def]
    """Return how far [m] a shot's line goes before trees stand within `wide` metres of it for each metre.

    `clear` is how far there are none whichever way. Looks no further than the shot's length.
    """
    way = clear
    while way < shot.length:
        free = -canopy(x + way * shot.east, y + way * shot.north, grid) - grid.cell
        step = (free - wide * way) / (_ONE + wide)
        if step < STRIDE:
            break
        way += step
    return way


@inline
def _meet_trees(x, y, shot, misses, hole):  # type: ignore[no-untyped-def]
    """List the balls that may meet trees, and return their number.

    Most balls rise above all trees before they meet any, and land far from them.
    """
    b, c, grid = hole.room, hole.integers, hole.grid
    clear, near = max(-canopy(x, y, grid) - grid.cell, _NOUGHT), _TWO * grid.tallest / shot.fall
    wide = _USUAL * shot.across / shot.length
    ahead = _clear_ahead(x, y, clear, wide, shot, grid)
    among = clear < STRIDE
    for k in range(misses.shape[1]):
        j = np.uint32(k)
        dx, dy = b[_X + j] - x, b[_Y + j] - y
        aside, along = dx * shot.north - dy * shot.east, dx * shot.east + dy * shot.north
        per_metre = _ONE / bounded(sqrt(dx * dx + dy * dy) + single(1e-6))
        share = (ahead if abs(aside) <= wide * along else clear) * per_metre
        high = _height(min(share, _ONE), shot.rise, shot.fall) > grid.tallest * per_metre
        share = max(share, _ONE - _low_share(near * per_metre)) if high else share
        b[_PER_METRE + j], b[_SHARE + j] = per_metre, max(share, STRIDE * per_metre)
        b[_MAY_PASS + j] = misses[2, k] if among else _TWIG
    kept = np.uint64(0)
    for k in range(misses.shape[1]):
        j = np.uint32(k)
        c[_LISTED + np.uint32(kept)] = j
        free = -canopy(b[_X + j], b[_Y + j], grid) - grid.cell
        left = _ONE - b[_SHARE + j]
        kept += np.uint64((left > _NOUGHT) & (free * b[_PER_METRE + j] <= left))
    return kept


@inline
def _through(x, y, shot, count, hole):  # type: ignore[no-untyped-def]
    """Take each ball on the list one look-up further; return the number that stay on it.

    A ball struck in a wood gets through some metres of it. Once it is out of that wood, or above it, two
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
        # Above all trees a ball stays so until near its landing, or as long as it cannot have come down.
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
    """Let balls stop, list those that must be moved from where they are, and return their number."""
    b, c, grid = hole.room, hole.integers, hole.grid
    kept = np.uint64(0)
    for k in range(count):
        j = np.uint32(k)
        x, y, rx, ry = b[_X + j], b[_Y + j], b[_REST_X + j], b[_REST_Y + j]
        stopped, landed, ran = c[_CODE + j] == TREES, look_up(x, y, grid), look_up(rx, ry, grid)
        runs = landed > BUNKER and not stopped
        code = TREES if stopped else (ran if runs else landed)
        b[_X + j], b[_Y + j] = rx if runs else x, ry if runs else y
        c[_CODE + j], c[_LIE + j] = code, LIE_BY_GROUND[np.uint32(code)]
        c[_LISTED + np.uint32(kept)] = j
        kept += np.uint64(code <= GREEN and code != BUNKER)
    return kept


@inline
def _take_out(x, y, j, hole):  # type: ignore[no-untyped-def]
    """Store where ball `j` is played from, which stopped on another green, in a penalty area, or out."""
    b, c, constants, grid = hole.room, hole.integers, hole.constants, hole.grid
    code, rx, ry = c[_CODE + j], b[_X + j], b[_Y + j]
    if code == GREEN:
        if on_own_green(rx, ry, constants):
            return
        rx, ry, code = off_green(rx, ry, constants, grid)
    lie, penalty = LIE_BY_GROUND[code], _NOUGHT
    if code == OUT and not constants.drop_out:
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
