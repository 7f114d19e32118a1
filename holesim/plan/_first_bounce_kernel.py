"""Compiled first bounce: what drives do after they land on ground of each kind, before any hole is known.

The first bounce of each drive is computed. How far the ball runs after its first hop is read from a table.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, single
from holesim.shot._bounce_kernel import FRICTION, GIVE, HOP, RESTITUTION, STOPS, kick, leap

# Rows of the hops of drives on ground of one kind: length of the first hop, and of the run after it, negative
# where the ball bounces back; and how it meets the ground after the hop: level speed, descent, and forward
# spin, as the ratio of the surface speed of the spin to the level speed.
REACH, RUN, SPEED, DESCENT, SPIN = range(5)
HOP_ROWS = 5

_NOUGHT, _ONE, _TWO, _TINY = single(0), single(1), single(2), single(1e-12)


class Runs(NamedTuple):
    """How far a ball runs on ground of one kind [m]: a flat table by ground, speed, descent and spin.

    `counts` are the lengths along the last three. There are `per_u` and `per_w` entries to a m/s of speed and
    descent, and `per_k` to a unit of spin.
    """

    table: np.ndarray
    counts: tuple[int, int, int]
    per_u: np.float32
    per_w: np.float32
    per_k: np.float32


@inline
def _below(place, count):  # type: ignore[no-untyped-def]
    """Return the entry of a table below a place in it, and how far the place is past that entry."""
    place = min(max(_NOUGHT, place), single(count) - single(1.001))
    below = np.floor(place)
    return below, place - below


@inline
def run_from(u, w, k, ground, runs):  # type: ignore[no-untyped-def]
    """Return how far a ball runs that meets the ground at speed `u` and descent `w`, with spin `k`."""
    nu, nw, nk = runs.counts
    iu, fu = _below(u * runs.per_u, nu)
    iw, fw = _below(w * runs.per_w, nw)
    ik, fk = _below(k * runs.per_k, nk)
    # Unsigned indices spare a test for negative ones.
    t, i = runs.table, np.uint32(ground) * np.uint32(nu * nw * nk)
    i += np.uint32((iu * single(nw) + iw) * single(nk) + ik)
    next_w, next_u, one = np.uint32(nk), np.uint32(nw * nk), np.uint32(1)
    a = t[i] + fk * (t[i + one] - t[i])
    c = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    low = a + fw * (c - a)
    i += next_u
    a = t[i] + fk * (t[i + one] - t[i])
    c = t[i + next_w] + fk * (t[i + next_w + one] - t[i + next_w])
    return low + fu * (a + fw * (c - a) - low)


@entry
def hop_once(landing, cos_tilt, kinds, surfaces, runs, radius, gravity, way, hops):  # type: ignore[no-untyped-def]
    """Fill `way` (4, drives) with where drives land and their direction, and `hops` (kinds, rows, drives).

    `landing` (rows, drives) has the rows of a flight's landings. `kinds` [ground] numbers the kinds of ground
    on which balls bounce alike. Drives land with backspin alone, so nothing turns them.
    """
    drives = len(cos_tilt)
    for j in range(drives):
        vx, vy = landing[2, j], landing[3, j]
        level = sqrt(vx * vx + vy * vy) + _TINY
        way[0, j], way[1, j], way[2, j], way[3, j] = landing[0, j], landing[1, j], vx / level, vy / level
    for ground in range(len(surfaces)):
        restitution, friction, give = (
            surfaces[ground, RESTITUTION], surfaces[ground, FRICTION], surfaces[ground, GIVE],
        )  # fmt: skip
        rows = hops[kinds[ground]]
        for j in range(drives):
            vx, vy, vz = landing[2, j], landing[3, j], landing[4, j]
            level, back = sqrt(vx * vx + vy * vy) + _TINY, landing[5, j] * cos_tilt[j]
            forward, _, rise, back, _ = kick(level, vz, back, _NOUGHT, restitution, friction, give, radius)
            time = _TWO * rise / gravity if rise >= HOP else _NOUGHT
            reach, kept = leap(abs(forward), time)
            rows[REACH, j], rows[SPEED, j] = forward * reach, abs(forward) * kept
            rows[DESCENT, j] = gravity * time - rise
            rows[SPIN, j] = -radius * back / (forward * kept + _TINY)
            rows[RUN, j] = single(1) if forward > _NOUGHT else single(-1)
        for j in range(drives):
            rows[RUN, j] *= run_from(rows[SPEED, j], rows[DESCENT, j], rows[SPIN, j], ground, runs)
        if surfaces[ground, STOPS] > _NOUGHT:
            rows[REACH, :], rows[RUN, :] = _NOUGHT, _NOUGHT
