"""Compiled chances of measured drives, given golfers who may have hit them; `fit` says what they are.

A cell is a strike in a session. The axes of arrays are golfers, cells, drives, kinds of drives, columns and
the seven numbers of a delivery, in that order.
"""

from math import atan2, exp, hypot, log, pi, sqrt
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import kept, njit
from holesim.shot._flight_kernel import LANDING, LANES, ROOM, START, start_of
from holesim.shot._flight_kernel import POINTS as TRACK
from holesim.shot._flight_kernel import fly as fly_blocks
from holesim.shot._impact_kernel import launch

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

# Loops are written out, as numba takes a minute to compile expressions over arrays.
_INNER: dict[str, Any] = {"error_model": "numpy", "no_cfunc_wrapper": True, "no_cpython_wrapper": True}
compiled = njit(**_INNER)

AXES = 7
POINTS = 2 * AXES + 1  # a delivery, and two beside it along each axis
COLUMNS = 14  # as `fit.NOISE` has them: those axes, five of the launch, offline, carry
OFFLINE, CARRY = 12, 13
FACE, PATH = 3, 2
SOUND, WILD, MISHIT = 0, 1, 2
BESIDE = sqrt(3.0)  # of points beside, in standard deviations


class Measures(NamedTuple):
    """What was measured of drives. A group has one cell and the same columns, those of weights above 0."""

    values: Floats  # (drives, columns)
    group_of: Integers  # (drives,)
    cell_of: Integers  # (groups,)
    weights: Floats  # (groups, columns)
    tells: NDArray[np.bool_]  # (groups,), whether that is enough to tell one delivery from another
    likely: Floats  # (groups,), log density of the noise at its middle
    mishits: Floats  # (groups,), log density of what was measured of a mishit
    flown: bool
    club: tuple[float, ...]  # but for its grip
    side: float
    miss_scale: float
    mishit_share: float
    laws: NDArray[np.float32]  # (balls, numbers of a law)


class Told(NamedTuple):
    """What is measured of drives as a linear function of the delivery, about one near the likeliest.

    A kind is sound or wild. Of groups that do not tell a delivery nothing stands here.
    """

    anchors: Floats  # (drives, kinds, axes), the deliveries about which it is
    precision: Floats  # (drives, kinds, axes, axes), of a delivery by all columns but the last two
    pull: Floats  # (drives, kinds, axes), precision times the delivery that they tell, from the anchor
    square: Floats  # (drives, kinds), weighted square of how far they are from what the anchor gives
    landings: Floats  # (balls, drives, kinds, 2, axes and value), offline and carry


class Golfers(NamedTuple):
    """Golfers who may have hit the drives, in the order of `ball`; SI units and radians."""

    means: Floats  # (golfers, cells, axes)
    spread: Floats  # (golfers, cells, axes), the path's own beside its link with the face
    grip: Floats  # (golfers, cells), of the club for the speed of the cell
    link: Floats  # (golfers,), slope of path on face
    miss_rate: Floats  # (golfers,)
    ball: Integers  # (golfers,)
    stretch: Floats  # (golfers,), of all carries as they are measured


class Linear(NamedTuple):
    """What is measured of drives that tell no delivery, as a linear function of it about its cell's mean."""

    slopes: Floats  # (cells, columns, axes)
    bends: Floats  # (cells, columns, axes), second slopes
    means: Floats  # (groups, kinds, columns), of what is measured
    weights: Floats  # (groups, kinds, columns), 1 over the variance of noise, and of bends
    likely: Floats  # (groups, kinds), log density of the noise at its middle


@compiled
def _law(rows, ball):  # type: ignore[no-untyped-def]
    w = rows[ball]
    return (
        w[0], w[1], w[2], w[3], w[4], w[5], w[6], w[7], w[8], w[9], w[10], w[11], w[12], w[13], w[14], w[15],
        w[16],
    )  # fmt: skip


@compiled
def _fly(m, start, first, last, ball, room, landing, track):  # type: ignore[no-untyped-def]
    law = _law(m.laws, ball)
    for at in range(first, last, LANES):
        until = min(at + LANES, last)
        fly_blocks(start[:, at:until], law, 0, 1, room, landing[:, at:until], track)


@compiled
def _launch(m, at, grip, seen, start, row):  # type: ignore[no-untyped-def]
    """Fill what would be measured of a delivery, without noise, but for the landing."""
    c = m.club
    club = (c[0], c[1], c[2], c[3], grip, c[5], c[6], c[7], c[8], c[9], c[10])
    found = launch((at[0], at[1], at[2], at[3], at[4], at[5], at[6]), club, m.side)
    for k in range(AXES):
        seen[row, k] = at[k]
    for k in range(5):
        seen[row, AXES + k] = found[k]
    if m.flown:
        begun = start_of(found[0], found[1], found[2], found[3], found[4])
        for k in range(START):
            start[k, row] = begun[k]


@compiled
def _land(landing, row, stretch, seen):  # type: ignore[no-untyped-def]
    x, y = float(landing[0, row]), float(landing[1, row])
    seen[row, OFFLINE], seen[row, CARRY] = atan2(y, x), stretch * hypot(x, y)


@compiled
def _fill_own(golfers, g, s, own):  # type: ignore[no-untyped-def]
    """Fill the inverse covariance of a cell's deliveries; return half the logarithm of its determinant."""
    half, link = 0.0, golfers.link[g]
    for k in range(AXES):
        half -= log(golfers.spread[g, s, k])
        for j in range(AXES):
            own[k, j] = golfers.spread[g, s, k] ** -2.0 if j == k else 0.0
    own[FACE, FACE] += link * link * own[PATH, PATH]
    own[FACE, PATH] = own[PATH, FACE] = -link * own[PATH, PATH]
    return half


@compiled
def _factor(matrix):  # type: ignore[no-untyped-def]
    """Overwrite a matrix by its Cholesky factor; return half the logarithm of its determinant."""
    half = 0.0
    for k in range(AXES):
        for i in range(k, AXES):
            total = matrix[i, k]
            for j in range(k):
                total -= matrix[i, j] * matrix[k, j]
            matrix[i, k] = sqrt(total) if i == k else total / matrix[k, k]
        half += log(matrix[k, k])
    return half


@compiled
def _solve_lower(lower, vector):  # type: ignore[no-untyped-def]
    """Overwrite a vector by the solution; return its square."""
    square = 0.0
    for k in range(AXES):
        total = vector[k]
        for j in range(k):
            total -= lower[k, j] * vector[j]
        vector[k] = total / lower[k, k]
        square += vector[k] * vector[k]
    return square


@compiled
def _fill_cells(m, golfers, first, last, seen):  # type: ignore[no-untyped-def]
    """Fill what would be measured of each golfer's mean deliveries, and of those beside them."""
    cells, at = golfers.means.shape[1], np.empty(AXES)
    each = cells * POINTS
    start = np.empty((START, len(seen) if m.flown else 0), dtype=np.float32)
    row = 0
    for g in range(first, last):
        for s in range(cells):
            for p in range(POINTS):
                for k in range(AXES):
                    at[k] = golfers.means[g, s, k]
                if p:
                    axis = (p - 1) // 2
                    at[axis] += BESIDE * golfers.spread[g, s, axis] * (1.0 if p % 2 else -1.0)
                _launch(m, at, golfers.grip[g, s], seen, start, row)
                row += 1
    if not m.flown:
        return
    room, track = np.empty(ROOM, dtype=np.float32), np.empty((TRACK, 3, LANES), dtype=np.float32)
    landing = np.empty((LANDING, len(seen)), dtype=np.float32)
    g = first
    while g < last:
        # Golfers of one ball fly together.
        end = g
        while end < last and golfers.ball[end] == golfers.ball[g]:
            end += 1
        _fly(m, start, (g - first) * each, (end - first) * each, golfers.ball[g], room, landing, track)
        g = end
    for row in range(len(seen)):
        _land(landing, row, golfers.stretch[first + row // each], seen)


@compiled
def _linearise(m, golfers, g, points, linear):  # type: ignore[no-untyped-def]
    """Fill `linear` by differences of the second order (Nørgaard, Poulsen and Ravn, Automatica 36, 2000).

    What bends adds to the noise.
    """
    for s in range(len(linear.slopes)):
        for k in range(AXES):
            step = BESIDE * golfers.spread[g, s, k]
            for c in range(COLUMNS):
                here = points[s * POINTS, c]
                above, below = points[s * POINTS + 2 * k + 1, c], points[s * POINTS + 2 * k + 2, c]
                linear.slopes[s, c, k] = (above - below) / (2 * step)
                linear.bends[s, c, k] = (above + below - 2 * here) / step**2
    for group in range(len(m.cell_of)):
        if m.tells[group]:
            continue
        s = m.cell_of[group]
        for kind in range(2):
            scale = m.miss_scale if kind == WILD else 1.0
            linear.likely[group, kind] = 0.0
            for c in range(COLUMNS):
                weight = m.weights[group, c]
                if weight == 0:
                    linear.weights[group, kind, c] = 0.0
                    continue
                mean, noise = points[s * POINTS, c], 1 / weight
                for k in range(AXES):
                    variance = golfers.spread[g, s, k] ** 2
                    if k == PATH:
                        variance += (golfers.link[g] * golfers.spread[g, s, FACE]) ** 2
                    bent = linear.bends[s, c, k] * variance * scale**2
                    mean += bent / 2
                    noise += bent * bent / 2
                linear.means[group, kind, c], linear.weights[group, kind, c] = mean, 1 / noise
                linear.likely[group, kind] -= log(2 * pi * noise) / 2


@compiled
def _see_landing(m, told, golfers, g, i, kind, off, pull, lower):  # type: ignore[no-untyped-def]
    """Add what offline and carry tell of a delivery to `pull` and `lower`; return their weighted square."""
    square = 0.0
    for row in range(2):
        weight = m.weights[m.group_of[i], OFFLINE + row]
        if weight == 0:
            continue
        stretch = golfers.stretch[g] if row else 1.0
        slopes = told.landings[golfers.ball[g], i, kind, row]
        left = slopes[AXES]
        for k in range(AXES):
            left += slopes[k] * off[k]
        left = m.values[i, OFFLINE + row] - stretch * left
        square += weight * left * left
        for k in range(AXES):
            pull[k] += weight * stretch * slopes[k] * left
            for j in range(k + 1):
                lower[k, j] += weight * stretch * stretch * slopes[k] * slopes[j]
    return square


@compiled
def _see_told(m, told, golfers, g, i, kind, off, pull, lower):  # type: ignore[no-untyped-def]
    """Fill what is measured of a drive about the mean of its cell; return its weighted square there."""
    s, square = m.cell_of[m.group_of[i]], told.square[i, kind]
    for k in range(AXES):
        off[k] = golfers.means[g, s, k] - told.anchors[i, kind, k]
    for k in range(AXES):
        pull[k] = told.pull[i, kind, k]
        for j in range(AXES):
            pull[k] -= told.precision[i, kind, k, j] * off[j]
            if j <= k:
                lower[k, j] = told.precision[i, kind, k, j]
        square -= off[k] * (told.pull[i, kind, k] + pull[k])
    if m.flown:
        square += _see_landing(m, told, golfers, g, i, kind, off, pull, lower)
    return square


@compiled
def _see_few(m, linear, i, kind, pull, lower):  # type: ignore[no-untyped-def]
    """As `_see_told`, of a drive that does not tell its delivery."""
    group, square = m.group_of[i], 0.0
    s = m.cell_of[group]
    for k in range(AXES):
        pull[k] = 0.0
        for j in range(k + 1):
            lower[k, j] = 0.0
    for c in range(COLUMNS):
        weight = linear.weights[group, kind, c]
        if weight == 0:
            continue
        left = m.values[i, c] - linear.means[group, kind, c]
        square += weight * left * left
        for k in range(AXES):
            pull[k] += weight * linear.slopes[s, c, k] * left
            for j in range(k + 1):
                lower[k, j] += weight * linear.slopes[s, c, k] * linear.slopes[s, c, j]
    return square


@compiled
def _fill_chances(m, told, golfers, g, own, linear, chances):  # type: ignore[no-untyped-def]
    """Fill the log chances of what was measured if a drive was sound, wild or a mishit, shape (drives, 3)."""
    lower, pull, off, halves = np.empty((AXES, AXES)), np.empty(AXES), np.empty(AXES), np.empty(len(own))
    for s in range(len(own)):
        halves[s] = _fill_own(golfers, g, s, own[s])
    rate = golfers.miss_rate[g]
    shares = log(1 - rate), log(rate * (1 - m.mishit_share)), log(rate * m.mishit_share)
    for i in range(len(chances)):
        group = m.group_of[i]
        s = m.cell_of[group]
        for kind in range(2):
            if m.tells[group]:
                square = _see_told(m, told, golfers, g, i, kind, off, pull, lower)
                likely = m.likely[group]
            else:
                square = _see_few(m, linear, i, kind, pull, lower)
                likely = linear.likely[group, kind]
            scale = m.miss_scale if kind == WILD else 1.0
            for k in range(AXES):
                for j in range(k + 1):
                    lower[k, j] += own[s, k, j] / scale**2
            chance = likely + halves[s] - AXES * log(scale) - _factor(lower)
            chances[i, kind] = shares[kind] + chance + (_solve_lower(lower, pull) - square) / 2
        chances[i, MISHIT] = shares[MISHIT] + m.mishits[group]


@compiled
def _sum(chances):  # type: ignore[no-untyped-def]
    """Return the logarithm of a sum, given logarithms."""
    most = max(chances[SOUND], chances[WILD], chances[MISHIT])
    return most + log(exp(chances[SOUND] - most) + exp(chances[WILD] - most) + exp(chances[MISHIT] - most))


@kept(nogil=True, error_model="numpy")
def add_chances(m, told, golfers, first, last, likelihoods, missed):  # type: ignore[no-untyped-def]
    """Fill the log likelihood of golfers `first` to `last`.

    To `missed`, shape (drives,), the chance is added that each drive was wild or a mishit.
    """
    n, cells, groups = len(m.values), golfers.means.shape[1], len(m.cell_of)
    own, chances = np.empty((cells, AXES, AXES)), np.empty((n, 3))
    linear = Linear(
        np.empty((cells, COLUMNS, AXES)), np.empty((cells, COLUMNS, AXES)), np.empty((groups, 2, COLUMNS)),
        np.empty((groups, 2, COLUMNS)), np.empty((groups, 2)),
    )  # fmt: skip
    few = not m.tells.all()
    points = np.empty(((last - first) * cells * POINTS if few else 0, COLUMNS))
    if few:
        _fill_cells(m, golfers, first, last, points)
    for g in range(first, last):
        if few:
            _linearise(m, golfers, g, points[(g - first) * cells * POINTS :], linear)
        _fill_chances(m, told, golfers, g, own, linear, chances)
        likelihoods[g] = 0.0
        for i in range(n):
            total = _sum(chances[i])
            likelihoods[g] += total
            missed[i] += 1 - exp(chances[i, SOUND] - total)
