"""Compiled chances of drives of which too little was measured to tell one delivery from another.

What is measured of them is a linear function of the delivery about the mean of each golfer's cell, and what
bends adds to the noise: differences of the second order (Nørgaard, Poulsen and Ravn, Automatica 36, 2000). An
axis is a direction in which deliveries differ independently of the others, and a step along it one standard
deviation: with the face the path turns, by their link.
"""

from math import atan2, hypot, log, pi, sqrt
from typing import NamedTuple

import numpy as np

from holesim.measure.fit_records import (
    AXES,
    BESIDE,
    CARRY,
    COLUMNS,
    FACE,
    OFFLINE,
    PATH,
    WILD,
    Floats,
    compiled,
    merged,
)
from holesim.shot._flight_kernel import LANDING, ROOM, START, fly, start_of
from holesim.shot._flight_kernel import POINTS as TRACK
from holesim.shot._impact_kernel import launch

POINTS = 2 * AXES + 1  # a delivery, and two beside it along each axis


class Linear(NamedTuple):
    """What is measured of a golfer's drives, as a linear function of the delivery."""

    slopes: Floats  # (groups, kinds, columns, axes)
    means: Floats  # (groups, kinds, columns), of what is measured
    weights: Floats  # (groups, kinds, columns), 1 over the variance of noise, and of bends
    lower: Floats  # (groups, kinds, axes, axes), factor of the precision of a delivery
    likely: Floats  # (groups, kinds), log density of the noise at its middle


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


@merged
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
                    step = BESIDE * golfers.spread[g, s, axis] * (1.0 if p % 2 else -1.0)
                    at[axis] += step
                    if axis == FACE:
                        at[PATH] += golfers.link[g] * step
                _launch(m, at, golfers.grip[g, s], seen, start, row)
                row += 1
    if not m.flown:
        return
    room, track = np.empty(ROOM, dtype=np.float32), np.empty((TRACK, 3, len(seen)), dtype=np.float32)
    landing, ends = np.empty((LANDING, len(seen)), dtype=np.float32), np.empty(1, dtype=np.int64)
    g = first
    while g < last:
        # Golfers of one ball fly together.
        end = g
        while end < last and golfers.ball[end] == golfers.ball[g]:
            end += 1
        ball, ends[0] = golfers.ball[g], (end - first) * each
        fly(start, m.laws[ball : ball + 1], ends, (g - first) * each, ends[0], room, landing, track)
        g = end
    for row in range(len(seen)):
        _land(landing, row, golfers.stretch[first + row // each], seen)


@compiled
def _linearise(m, points, linear):  # type: ignore[no-untyped-def]
    for group in range(len(m.cell_of)):
        if m.tells[group]:
            continue
        at = m.cell_of[group] * POINTS
        for kind in range(2):
            scale = m.miss_scale if kind == WILD else 1.0
            lower = linear.lower[group, kind]
            linear.likely[group, kind] = 0.0
            for k in range(AXES):
                for j in range(AXES):
                    lower[k, j] = 1.0 if j == k else 0.0
            for c in range(COLUMNS):
                linear.weights[group, kind, c] = 0.0
                if m.weights[group, c] == 0:
                    continue
                here, noise, slopes = points[at, c], 1 / m.weights[group, c], linear.slopes[group, kind, c]
                mean = here
                for k in range(AXES):
                    above, below = points[at + 2 * k + 1, c], points[at + 2 * k + 2, c]
                    bend = (above + below - 2 * here) / BESIDE**2 * scale**2
                    slopes[k] = (above - below) / (2 * BESIDE) * scale
                    mean += bend / 2
                    noise += bend * bend / 2
                linear.means[group, kind, c], linear.weights[group, kind, c] = mean, 1 / noise
                linear.likely[group, kind] -= log(2 * pi * noise) / 2
                for k in range(AXES):
                    for j in range(k + 1):
                        lower[k, j] += slopes[k] * slopes[j] / noise
            linear.likely[group, kind] -= _factor(lower)


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
def _weigh(m, linear, i, kind, pull):  # type: ignore[no-untyped-def]
    """Return the log chance of a drive."""
    group, square = m.group_of[i], 0.0
    lower, slopes = linear.lower[group, kind], linear.slopes[group, kind]
    for k in range(AXES):
        pull[k] = 0.0
    for c in range(COLUMNS):
        weight = linear.weights[group, kind, c]
        if weight == 0:
            continue
        left = m.values[i, c] - linear.means[group, kind, c]
        square += weight * left * left
        for k in range(AXES):
            pull[k] += weight * slopes[c, k] * left
    for k in range(AXES):
        for j in range(k):
            pull[k] -= lower[k, j] * pull[j]
        pull[k] /= lower[k, k]
        square -= pull[k] * pull[k]
    return linear.likely[group, kind] - square / 2


@merged
def fill_few(m, golfers, first, last, chances):  # type: ignore[no-untyped-def]
    """Fill the log chances of such drives if they were sound or wild, shape (drives, kinds, golfers)."""
    cells, groups, pull = golfers.means.shape[1], len(m.cell_of), np.empty(AXES)
    linear = Linear(
        np.empty((groups, 2, COLUMNS, AXES)), np.empty((groups, 2, COLUMNS)), np.empty((groups, 2, COLUMNS)),
        np.empty((groups, 2, AXES, AXES)), np.empty((groups, 2)),
    )  # fmt: skip
    points = np.empty(((last - first) * cells * POINTS, COLUMNS))
    _fill_cells(m, golfers, first, last, points)
    for g in range(last - first):
        _linearise(m, points[g * cells * POINTS :], linear)
        for i in range(len(m.values)):
            if not m.tells[m.group_of[i]]:
                for kind in range(2):
                    chances[i, kind, g] = _weigh(m, linear, i, kind, pull)
