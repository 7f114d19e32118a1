"""Compiled landing: flights to ground that is not level, and into trees.

Knows only floats and arrays; `holesim.shot.landing` says what they are.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, part, single
from holesim.course._ground_map_kernel import canopy, incline, look_up
from holesim.shot._flight_kernel import (
    FIRST_SHARE,
    FIRST_STEPS,
    FLOOR,
    GRAVITY,
    LANES,
    LEFT,
    POINTS,
    SHARES,
    STEP,
    TIME,
    UP,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
    begin,
    end,
    go_on,
    law_of,
    load,
    note,
    unload,
)  # fmt: skip
from holesim.shot._relief_kernel import TREES, bounded

APPROACHES = 3  # steps of Newton's method, each of which squares the error
_LEAST_CLOSING = single(0.5)  # m/s
_UNDER = single(0.01)  # m below the ground, from which a drive has met it on its way
_SLOWING = single(0.8)  # of its present speed, the mean speed of the rest of a flight
_STRIDE = single(1)  # m between look-ups in trees

_NOUGHT, _TWO = single(0), single(2)


class Stand(NamedTuple):
    """The tee: its place in the hole frame and height, and the sine and cosine of the heading."""

    x: np.float32
    y: np.float32
    height: np.float32
    sine: np.float32
    cosine: np.float32


@inline
def _turn(along, right, stand):  # type: ignore[no-untyped-def]
    """Return the components to the east and north of a vector along the aim and to its right."""
    return stand.sine * along + stand.cosine * right, stand.cosine * along - stand.sine * right


@inline
def _ground(along, right, stand, grid):  # type: ignore[no-untyped-def]
    """Return a place in the hole frame, its ground's height above the tee, and the slopes of the ground."""
    east, north = _turn(along, right, stand)
    x, y = stand.x + east, stand.y + north
    height, rise_east, rise_north = incline(x, y, grid)
    return x, y, height - stand.height, rise_east, rise_north


@part
def _approach(b, lanes, stand, grid, gravity):  # type: ignore[no-untyped-def]
    """Choose as step the time in which each drive of a block would meet the ground without air."""
    for j in range(lanes):
        _, _, height, rise_east, rise_north = _ground(b[X + j], b[Y + j], stand, grid)
        east, north = _turn(b[VX + j], b[VY + j], stand)
        closing = max(rise_east * east + rise_north * north - b[VZ + j], _LEAST_CLOSING)
        above = b[Z + j] - height
        fall = sqrt(max(closing * closing + _TWO * gravity * above, _NOUGHT))
        b[STEP + j] = max(_TWO * above / (closing + fall), -b[TIME + j])


@part
def _look_ahead(b, lanes, stand, grid):  # type: ignore[no-untyped-def]
    """Store the height of the ground where each drive of a block is expected to come down."""
    for j in range(lanes):
        left = _SLOWING * (b[LEFT + j] - b[STEP + j])
        _, _, height, _, _ = _ground(b[X + j] + left * b[VX + j], b[Y + j] + left * b[VY + j], stand, grid)
        b[FLOOR + j] = height


@part
def _stop_at_rises(b, lanes, stand, grid):  # type: ignore[no-untyped-def]
    """Stop the drives of a block that have met the ground early."""
    for j in range(lanes):
        _, _, height, _, _ = _ground(b[X + j], b[Y + j], stand, grid)
        if b[Z + j] < height - _UNDER:
            b[UP + j] = _NOUGHT


@entry
def fly_over(start, laws, ends, stand, grid, b, landing, track):  # type: ignore[no-untyped-def]
    """Fly drives from the ground to the ground of the map, as `_flight_kernel.fly` does to level ground.

    Heights are above the tee.
    """
    begun = 0
    for ball in range(len(laws)):
        law = law_of(laws, ball)
        for at in range(begun, ends[ball], LANES):
            filled = min(LANES, ends[ball] - at)
            lanes = load(b, start, at, filled)
            for k in range(len(FIRST_STEPS)):
                begin(b, lanes, single(FIRST_STEPS[k]), single(FIRST_SHARE), law)
                end(b, lanes, law)
                _stop_at_rises(b, lanes, stand, grid)
            for k in range(len(SHARES)):
                _look_ahead(b, lanes, stand, grid)
                begin(b, lanes, single(1e9), single(SHARES[k]), law)
                end(b, lanes, law)
                if k < POINTS - 1:
                    _stop_at_rises(b, lanes, stand, grid)
                    note(b, k, at, filled, track)
            for _ in range(APPROACHES):
                _approach(b, lanes, stand, grid, law[GRAVITY])
                go_on(b, lanes, law)
            note(b, POINTS - 1, at, filled, track)
            unload(b, at, filled, landing)
        begun = ends[ball]


@part
def _into_trees(track, i, stand, grid):  # type: ignore[no-untyped-def]
    """Return the first point of the track of drive `i` that lies in trees, and where it flies into them.

    The first point is `POINTS` if it meets none.
    """
    ax, ay, az, above = _NOUGHT, _NOUGHT, _NOUGHT, _NOUGHT
    hits, f = 0, _STRIDE  # m from here to the next look
    for k in range(POINTS):
        bx, by, bz = track[k, 0, i], track[k, 1, i], track[k, 2, i]
        _, _, height, _, _ = _ground(bx, by, stand, grid)
        was, above = above, bz - height
        length = bounded(sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay)))
        if min(was, above) > grid.tallest:
            # Most of a flight is above all trees.
            hits, f = 0, single(length)
        while f < length:
            share = f / length
            px, py, pz = ax + share * (bx - ax), ay + share * (by - ay), az + share * (bz - az)
            x, y, height, _, _ = _ground(px, py, stand, grid)
            trees = canopy(x, y, grid)
            # Two strides of wood are a tree; one may be a twig at the edge.
            hits = hits + 1 if pz - height < trees and look_up(x, y, grid) == TREES else 0
            if hits == 2:
                return k, px, py, pz - height
            f += max(-trees, _STRIDE)
        f -= length
        ax, ay, az = bx, by, bz
    return POINTS, ax, ay, _NOUGHT


@entry
def meet_trees(stand, grid, gravity, landing, track):  # type: ignore[no-untyped-def]
    """Let drives drop where they fly into trees below their top. Changes `landing` and `track`."""
    for i in range(landing.shape[1]):
        first, x, y, above = _into_trees(track, i, stand, grid)
        if first == POINTS:
            continue
        landing[0, i], landing[1, i], landing[2, i], landing[3, i] = x, y, _NOUGHT, _NOUGHT
        landing[4, i], landing[5, i] = -sqrt(_TWO * gravity * max(above, _NOUGHT)), _NOUGHT
        for k in range(first, POINTS):
            track[k, 0, i], track[k, 1, i] = x, y
