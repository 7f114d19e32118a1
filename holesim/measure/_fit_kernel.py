"""Compiled chances of measured drives, given golfers who may have hit them; `fit` says what they are.

A cell is a strike in a session. The axes of arrays are golfers, cells, drives, columns and the seven numbers
of a delivery, in that order.
"""

from math import atan2, exp, hypot, log, pi, sqrt
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import njit
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
POINTS = 2 * AXES + 1  # a cell's mean delivery, and two beside it along each axis
COLUMNS = 14  # as `fit.NOISE` has them: those axes, five of the launch, offline, carry
OFFLINE, CARRY = 12, 13
FACE, PATH = 3, 2
SOUND, WILD, MISHIT = 0, 1, 2
_BESIDE, _FARTHEST = sqrt(3.0), 4.0  # of points beside, and of a delivery from its mean, in deviations


class Measures(NamedTuple):
    """What was measured of drives. A group has one cell and the same columns, those of weights above 0."""

    values: Floats  # (drives, columns)
    group_of: Integers  # (drives,)
    cell_of: Integers  # (groups,)
    weights: Floats  # (groups, columns)
    tells: NDArray[np.bool_]  # (groups,), whether that is enough to tell one delivery from another
    mishits: Floats  # (groups,), log density of what was measured of a mishit
    flown: bool
    club: tuple[float, ...]  # but for its grip
    side: float
    miss_scale: float
    mishit_share: float
    laws: NDArray[np.float32]  # (balls, numbers of a law)


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
    """What is measured of a cell's drives as a function of the delivery, about its mean, for one golfer."""

    slopes: Floats  # (cells, columns, axes)
    bends: Floats  # (cells, columns, axes), second slopes
    own: Floats  # (cells, axes, axes), inverse covariance of deliveries
    halves: Floats  # (cells,), half the logarithm of its determinant
    lower: Floats  # (groups, axes, axes), factor of the precision of a delivery that was measured
    bent: Floats  # (groups, 2, columns), by which what is measured is more on average than at the likeliest
    weights: Floats  # (groups, 2, columns), of what is measured: 1 over the variance of noise, and of bends
    likely: Floats  # (groups, 2), log density of the noise at its middle


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
def _solve_upper(lower, vector):  # type: ignore[no-untyped-def]
    for k in range(AXES - 1, -1, -1):
        total = vector[k]
        for j in range(k + 1, AXES):
            total -= lower[j, k] * vector[j]
        vector[k] = total / lower[k, k]


@compiled
def _fill_seen(m, golfers, first, last, each, seen, start):  # type: ignore[no-untyped-def]
    """Fly what was launched, `each` deliveries of every golfer, and fill where they land."""
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
def _fill_cells(m, golfers, first, last, seen):  # type: ignore[no-untyped-def]
    """Fill what would be measured of each golfer's mean deliveries, and of those beside them."""
    cells, at = golfers.means.shape[1], np.empty(AXES)
    start = np.empty((START, len(seen) if m.flown else 0), dtype=np.float32)
    row = 0
    for g in range(first, last):
        for s in range(cells):
            for p in range(POINTS):
                for k in range(AXES):
                    at[k] = golfers.means[g, s, k]
                if p:
                    axis = (p - 1) // 2
                    at[axis] += _BESIDE * golfers.spread[g, s, axis] * (1.0 if p % 2 else -1.0)
                _launch(m, at, golfers.grip[g, s], seen, start, row)
                row += 1
    _fill_seen(m, golfers, first, last, cells * POINTS, seen, start)


@compiled
def _fill_weights(m, golfers, g, group, kind, scale, linear):  # type: ignore[no-untyped-def]
    """Fill the weights of columns; bends add to the noise where the delivery of one drive is not told."""
    s = m.cell_of[group]
    linear.likely[group, kind] = 0.0
    for c in range(COLUMNS):
        weight = m.weights[group, c]
        if weight > 0 and not m.tells[group]:
            variance = 1 / weight
            for k in range(AXES):
                bend = linear.bends[s, c, k] * (scale * golfers.spread[g, s, k]) ** 2
                variance += bend * bend / 2
            weight = 1 / variance
        linear.weights[group, kind, c] = weight
        if weight > 0:
            linear.likely[group, kind] += log(weight / (2 * pi)) / 2


@compiled
def _linearise(m, golfers, g, points, linear):  # type: ignore[no-untyped-def]
    """Fill `linear` by differences of the second order (Nørgaard, Poulsen and Ravn, Automatica 36, 2000)."""
    unit, lower = np.empty(AXES), np.empty((AXES, AXES))
    for s in range(len(linear.slopes)):
        linear.halves[s] = _fill_own(golfers, g, s, linear.own[s])
        for k in range(AXES):
            step = _BESIDE * golfers.spread[g, s, k]
            for c in range(COLUMNS):
                here = points[s * POINTS, c]
                above, below = points[s * POINTS + 2 * k + 1, c], points[s * POINTS + 2 * k + 2, c]
                linear.slopes[s, c, k] = (above - below) / (2 * step)
                linear.bends[s, c, k] = (above + below - 2 * here) / step**2
    for group in range(len(m.cell_of)):
        s = m.cell_of[group]
        for kind in range(2):
            scale = m.miss_scale if kind == WILD else 1.0
            _fill_weights(m, golfers, g, group, kind, scale, linear)
            for k in range(AXES):
                for j in range(AXES):
                    lower[k, j] = linear.own[s, k, j] / scale**2
                    if not m.tells[group]:
                        continue
                    for c in range(COLUMNS):
                        weight = m.weights[group, c]
                        if weight > 0:
                            lower[k, j] += weight * linear.slopes[s, c, k] * linear.slopes[s, c, j]
            _factor(lower)
            if kind == SOUND:
                linear.lower[group] = lower
            for c in range(COLUMNS):
                linear.bent[group, kind, c] = 0.0
            for k in range(AXES):
                for j in range(AXES):
                    unit[j] = 1.0 if j == k else 0.0
                variance = _solve_lower(lower, unit)
                for c in range(COLUMNS):
                    linear.bent[group, kind, c] += linear.bends[s, c, k] * variance / 2


@compiled
def _fill_off(m, golfers, linear, points, g, i, off):  # type: ignore[no-untyped-def]
    """Fill how far a drive's likeliest delivery is off the mean of its strike."""
    group = m.group_of[i]
    s = m.cell_of[group]
    for k in range(AXES):
        off[k] = 0.0
    if not m.tells[group]:
        return
    for c in range(COLUMNS):
        weight = m.weights[group, c]
        if weight > 0:
            left = weight * (m.values[i, c] - points[s * POINTS, c] - linear.bent[group, SOUND, c])
            for k in range(AXES):
                off[k] += linear.slopes[s, c, k] * left
    _solve_lower(linear.lower[group], off)
    _solve_upper(linear.lower[group], off)
    for k in range(AXES):
        most = _FARTHEST * golfers.spread[g, s, k]
        off[k] = min(max(off[k], -most), most)


@compiled
def _fill_chances(m, golfers, linear, g, seen, offs, chances):  # type: ignore[no-untyped-def]
    """Fill the log chances of what was measured if a drive was sound, wild or a mishit, shape (drives, 3)."""
    lower, precision = np.empty((AXES, AXES)), np.empty((AXES, AXES))
    pull, slope = np.empty(AXES), np.empty(AXES)
    rate = golfers.miss_rate[g]
    shares = log(1 - rate), log(rate * (1 - m.mishit_share)), log(rate * m.mishit_share)
    for i in range(len(chances)):
        group = m.group_of[i]
        s, off = m.cell_of[group], offs[i]
        for kind in range(2):
            square, anew = 0.0, kind == SOUND or not m.tells[group]
            for k in range(AXES):
                pull[k] = 0.0
                if anew:
                    for j in range(AXES):
                        precision[k, j] = 0.0
            for c in range(COLUMNS):
                weight = linear.weights[group, kind, c]
                if weight == 0:
                    continue
                # Everything is counted from the mean of its cell.
                left = m.values[i, c] - seen[i, c] - linear.bent[group, kind, c]
                for k in range(AXES):
                    slope[k] = linear.slopes[s, c, k] + linear.bends[s, c, k] * off[k]
                    left += slope[k] * off[k]
                square += weight * left * left
                for k in range(AXES):
                    pull[k] += weight * slope[k] * left
                    if anew:
                        for j in range(k + 1):
                            precision[k, j] += weight * slope[k] * slope[j]
            scale = m.miss_scale if kind == WILD else 1.0
            for k in range(AXES):
                for j in range(k + 1):
                    lower[k, j] = precision[k, j] + linear.own[s, k, j] / scale**2
            chance = linear.likely[group, kind] + linear.halves[s] - AXES * log(scale) - _factor(lower)
            chances[i, kind] = shares[kind] + chance + (_solve_lower(lower, pull) - square) / 2
        chances[i, MISHIT] = shares[MISHIT] + m.mishits[group]


@compiled
def _sum(chances):  # type: ignore[no-untyped-def]
    """Return the logarithm of a sum, given logarithms."""
    most = max(chances[SOUND], chances[WILD], chances[MISHIT])
    return most + log(exp(chances[SOUND] - most) + exp(chances[WILD] - most) + exp(chances[MISHIT] - most))


@njit(cache=True, nogil=True, error_model="numpy")
def add_chances(m, golfers, first, last, likelihoods, missed):  # type: ignore[no-untyped-def]
    """Fill the log likelihood of golfers `first` to `last`.

    To `missed`, shape (drives,), the chance is added that each drive was wild or a mishit.
    """
    n, cells = len(m.values), golfers.means.shape[1]
    groups, count = len(m.cell_of), last - first
    at, offs, chances = np.empty(AXES), np.empty((count * n, AXES)), np.empty((n, 3))
    linears = Linear(
        np.empty((count * cells, COLUMNS, AXES)), np.empty((count * cells, COLUMNS, AXES)),
        np.empty((count * cells, AXES, AXES)), np.empty(count * cells),
        np.empty((count * groups, AXES, AXES)), np.empty((count * groups, 2, COLUMNS)),
        np.empty((count * groups, 2, COLUMNS)), np.empty((count * groups, 2)),
    )  # fmt: skip
    points = np.empty((count * cells * POINTS, COLUMNS))
    _fill_cells(m, golfers, first, last, points)
    seen = np.empty((count * n, COLUMNS))
    start = np.empty((START, len(seen) if m.flown else 0), dtype=np.float32)
    for g in range(first, last):
        here, linear = points[(g - first) * cells * POINTS :], _one(linears, g - first, cells, groups)
        _linearise(m, golfers, g, here, linear)
        for i in range(n):
            row, s = (g - first) * n + i, m.cell_of[m.group_of[i]]
            _fill_off(m, golfers, linear, here, g, i, offs[row])
            for k in range(AXES):
                at[k] = golfers.means[g, s, k] + offs[row, k]
            _launch(m, at, golfers.grip[g, s], seen, start, row)
    _fill_seen(m, golfers, first, last, n, seen, start)
    for g in range(first, last):
        linear, row = _one(linears, g - first, cells, groups), (g - first) * n
        _fill_chances(m, golfers, linear, g, seen[row : row + n], offs[row : row + n], chances)
        likelihoods[g] = 0.0
        for i in range(n):
            total = _sum(chances[i])
            likelihoods[g] += total
            missed[i] += 1 - exp(chances[i, SOUND] - total)


@compiled
def _one(linears, g, cells, groups):  # type: ignore[no-untyped-def]
    """Return one golfer's part of many."""
    a, b, c, d = g * cells, (g + 1) * cells, g * groups, (g + 1) * groups
    return Linear(
        linears.slopes[a:b], linears.bends[a:b], linears.own[a:b], linears.halves[a:b], linears.lower[c:d],
        linears.bent[c:d], linears.weights[c:d], linears.likely[c:d],
    )  # fmt: skip
