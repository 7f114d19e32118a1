"""Compiled chances of drives of which enough was measured to tell their deliveries, many golfers at once.

What is measured is made linear about the likeliest delivery of each golfer. Golfers lie along the last axis,
so that loops over them vectorise.
"""

from math import log, sqrt
from typing import NamedTuple

from holesim.measure.fit_records import (
    AXES,
    CARRY,
    COLUMNS,
    FACE,
    OFFLINE,
    PATH,
    TERMS,
    WILD,
    Floats,
    compiled,
    merged,
)

GOLFERS = 32  # at a time
_PASSES = 2  # in which a drive is made linear


class Own(NamedTuple):
    """What golfers are like, shape (..., golfers)."""

    means: Floats  # (cells, axes)
    inverse: Floats  # (cells, axes, axes), of the covariance of a cell's deliveries
    half: Floats  # (cells,), half the logarithm of its determinant


class Room(NamedTuple):
    """What is worked out of a drive, shape (..., golfers)."""

    at: Floats  # (terms,), of the delivery about which it is made linear
    off: Floats  # (terms,), of the mean of its cell
    slopes: Floats  # (terms,), of a column
    left: Floats  # of a column, measured less what the mean of the cell gives
    square: Floats  # weighted, of what is left
    pull: Floats  # (axes,)
    lower: Floats  # (axes, axes)
    product: Floats  # of the diagonal of the factor


@compiled
def fill_own(golfers, first, last, own):  # type: ignore[no-untyped-def]
    """Fill what golfers `first` to `last` are like."""
    for s in range(golfers.means.shape[1]):
        for g in range(first, last):
            at, link, half = g - first, golfers.link[g], 0.0
            for k in range(AXES):
                spread = golfers.spread[g, s, k]
                own.means[s, k, at] = golfers.means[g, s, k]
                half -= log(spread)
                for j in range(AXES):
                    own.inverse[s, k, j, at] = spread**-2.0 if j == k else 0.0
            weight = own.inverse[s, PATH, PATH, at]
            own.inverse[s, FACE, FACE, at] += link * link * weight
            own.inverse[s, FACE, PATH, at] = own.inverse[s, PATH, FACE, at] = -link * weight
            own.half[s, at] = half


@compiled
def _make_linear(column, first, last, room):  # type: ignore[no-untyped-def]
    """Fill a column's T·x, as `Told` has it, for the deliveries of golfers `first` to `last`."""
    at, slopes = room.at, room.slopes
    for k in range(TERMS):
        a, b, c, d = column[0, k], column[1, k], column[2, k], column[3, k]
        e, f, g, h = column[4, k], column[5, k], column[6, k], column[7, k]
        for n in range(first, last):
            slopes[k, n] = (
                a * at[0, n] + b * at[1, n] + c * at[2, n] + d * at[3, n]
                + e * at[4, n] + f * at[5, n] + g * at[6, n] + h * at[7, n]
            )  # fmt: skip


@merged
def _see(m, told, golfers, first, last, own, i, kind, room):  # type: ignore[no-untyped-def]
    """Fill what is measured of a drive about the mean of its cell: weighted squares, pulls, precision."""
    at, off, slopes, left, square, pull, lower, _ = room
    group, count = m.group_of[i], last - first
    means = own.means[m.cell_of[group]]
    for n in range(count):
        square[n] = 0.0
    for k in range(AXES):
        weight, value = m.weights[group, k], m.values[i, k]
        for n in range(count):
            gap = value - means[k, n]
            square[n] += weight * gap * gap
            pull[k, n] = weight * gap
        for j in range(k + 1):
            here = weight if j == k else 0.0
            for n in range(count):
                lower[k, j, n] = here
    for c in range(AXES, COLUMNS):
        weight, value = m.weights[group, c], m.values[i, c]
        if weight == 0:
            continue
        if c < OFFLINE:
            _make_linear(told.launches[i, kind, c - AXES], 0, count, room)
        else:
            # Golfers of one ball stand together.
            begin = first
            while begin < last:
                ball, end = golfers.ball[begin], begin + 1
                while end < last and golfers.ball[end] == ball:
                    end += 1
                _make_linear(told.landings[ball, i, kind, c - OFFLINE], begin - first, end - first, room)
                begin = end
        if c == CARRY:
            for k in range(TERMS):
                for n in range(count):
                    slopes[k, n] *= golfers.stretch[first + n]
        for n in range(count):
            left[n] = value
        for k in range(TERMS):
            for n in range(count):
                left[n] -= slopes[k, n] * (off[k, n] - at[k, n] / 2)
        for n in range(count):
            square[n] += weight * left[n] * left[n]
        for k in range(AXES):
            for n in range(count):
                pull[k, n] += weight * slopes[1 + k, n] * left[n]
            for j in range(k + 1):
                for n in range(count):
                    lower[k, j, n] += weight * slopes[1 + k, n] * slopes[1 + j, n]


@compiled
def _factor(count, room):  # type: ignore[no-untyped-def]
    """Overwrite precisions by their Cholesky factors, with what is 1 over the diagonals in their place."""
    lower, product = room.lower, room.product
    for n in range(count):
        product[n] = 1.0
    for k in range(AXES):
        for n in range(count):
            root = sqrt(lower[k, k, n])
            product[n] *= root
            lower[k, k, n] = 1 / root
        for i in range(k + 1, AXES):
            for n in range(count):
                lower[i, k, n] *= lower[k, k, n]
        for i in range(k + 1, AXES):
            for j in range(k + 1, i + 1):
                for n in range(count):
                    lower[i, j, n] -= lower[i, k, n] * lower[j, k, n]


@compiled
def _solve(count, room):  # type: ignore[no-untyped-def]
    """Overwrite pulls by the solutions for the lower factors; take their squares from the weighted ones."""
    lower, pull, square = room.lower, room.pull, room.square
    for k in range(AXES):
        for n in range(count):
            pull[k, n] *= lower[k, k, n]
            square[n] -= pull[k, n] * pull[k, n]
        for i in range(k + 1, AXES):
            for n in range(count):
                pull[i, n] -= lower[i, k, n] * pull[k, n]


@compiled
def _go_to_likeliest(count, room):  # type: ignore[no-untyped-def]
    """Fill the terms of the likeliest deliveries, given `pull` as `_solve` leaves it."""
    lower, pull = room.lower, room.pull
    for k in range(AXES - 1, -1, -1):
        for n in range(count):
            pull[k, n] *= lower[k, k, n]
            room.at[1 + k, n] = room.off[1 + k, n] + pull[k, n]
        for i in range(k):
            for n in range(count):
                pull[i, n] -= lower[k, i, n] * pull[k, n]


@merged
def fill_told(m, told, golfers, first, last, own, room, chances):  # type: ignore[no-untyped-def]
    """Fill the log chances of drives that tell if they were sound or wild, shape (drives, kinds, golfers).

    A drive is made linear about its anchor first, then about the likeliest delivery found by that.
    """
    count = last - first
    for i in range(len(m.values)):
        group = m.group_of[i]
        if not m.tells[group]:
            continue
        s = m.cell_of[group]
        for kind in range(2):
            scale = m.miss_scale if kind == WILD else 1.0
            for n in range(count):
                room.at[0, n] = room.off[0, n] = 1.0
            for k in range(AXES):
                for n in range(count):
                    room.at[1 + k, n] = 0.0
                    room.off[1 + k, n] = own.means[s, k, n] - told.anchors[i, kind, k]
            for more in range(_PASSES - 1, -1, -1):
                _see(m, told, golfers, first, last, own, i, kind, room)
                for k in range(AXES):
                    for j in range(k + 1):
                        for n in range(count):
                            room.lower[k, j, n] += own.inverse[s, k, j, n] / scale**2
                _factor(count, room)
                _solve(count, room)
                if more:
                    _go_to_likeliest(count, room)
            known = m.likely[group] - AXES * log(scale)
            for n in range(count):
                found = own.half[s, n] - log(room.product[n]) - room.square[n] / 2
                chances[i, kind, n] = known + found
