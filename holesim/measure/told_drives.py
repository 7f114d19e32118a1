"""What single drives tell of their deliveries, where enough of them was measured: `Told` for the kernel."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from holesim.measure.fit_records import (
    AXES,
    BESIDE,
    FACE,
    OFFLINE,
    PATH,
    TERMS,
    WILD,
    Floats,
    Golfers,
    Integers,
    Measures,
    Told,
)
from holesim.shot.air import make_air
from holesim.shot.balls import SLOPES, make_ball
from holesim.shot.deliveries import Deliveries
from holesim.shot.flight import Aerodynamics, fly
from holesim.shot.impact import Launches, choose_head, impact

_KINDS: Final = 2  # sound and wild
_NEAR: Final = (
    0.1  # of differences on the way to the likeliest delivery, in standard deviations of the spread
)
_TRIES: Final = np.array([1.0, 0.5, 0.2, 0.05])  # shares of a step
_MOST: Final = 12  # steps
_GAIN: Final = 1e-3  # in log density, by which a step is worth another
_FIRST, _SECOND = np.tril_indices(AXES, -1)  # axes of pairs


@dataclass(frozen=True)
class _Rows:
    """Drives that tell their deliveries, each once for a kind; shape (rows, ...)."""

    drive: Integers
    kind: Integers
    cell: Integers
    values: Floats
    weights: Floats
    means: Floats
    inverse: Floats  # of the covariance of deliveries

    def log_density(self, deliveries: Floats, seen: Floats) -> Floats:
        """Return that of deliveries, shape (rows, any, 7), and of what was measured, but for a constant."""
        off = deliveries - self.means[:, None]
        left = self.values[:, None] - seen
        found = np.einsum("rai,rij,raj->ra", off, self.inverse, off)
        found += np.einsum("rac,rc->ra", left * left, self.weights)
        return np.asarray(np.where(np.isfinite(found), -found / 2, -np.inf))


def tell_drives(measures: Measures, golfer: Golfers, drag_slopes: Sequence[float]) -> Told:
    """Return what drives tell of their deliveries.

    Parameters
    ----------
    measures
        What was measured of them.
    golfer
        One golfer, about whose likeliest deliveries it is made linear.
    drag_slopes
        Those of the balls that golfers may hit.

    Notes
    -----
    The likeliest delivery of a drive is found by Gauss and Newton's method. About it what is measured is told
    to the second order over the width that is left open, by points beside in the directions of the covariance
    (as Julier and Uhlmann, Proc. IEEE 92, 2004), for a drive far from the mean, too.
    """
    rows, sight = _make_rows(measures, golfer), _Sight(measures, golfer)
    ball = make_ball(drag_slopes[int(golfer.ball[0])])
    anchors, factors = _find_anchors(rows, sight, ball, golfer.spread[0])
    launched = sight.launch(_points_and_pairs(anchors, np.swapaxes(factors, 1, 2)), rows.cell)
    inverse = np.asarray(np.linalg.inv(factors), dtype=np.float64)
    n, at = (len(measures.values), _KINDS), (rows.drive, rows.kind)
    told = Told(
        np.zeros((*n, AXES)), np.zeros((*n, OFFLINE - AXES, TERMS, TERMS)),
        np.zeros((len(drag_slopes), *n, 2, TERMS, TERMS)),
    )  # fmt: skip
    told.anchors[at] = anchors
    told.launches[at] = _find_terms(launched.seen[:, :, AXES:], inverse)
    if measures.flown:
        told.landings[(slice(None), *at)] = _landings(sight, launched, inverse, np.asarray(drag_slopes))
    return told


def _make_rows(measures: Measures, golfer: Golfers) -> _Rows:
    drive = np.repeat(np.flatnonzero(measures.tells[measures.group_of]), _KINDS)
    kind = np.tile(np.arange(_KINDS), len(drive) // _KINDS)
    group = measures.group_of[drive]
    cell = measures.cell_of[group]
    own = golfer.spread[0, cell] ** -2.0
    inverse = own[:, :, None] * np.eye(AXES)
    link = float(golfer.link[0])
    inverse[:, FACE, FACE] += link**2 * own[:, PATH]
    inverse[:, FACE, PATH] = inverse[:, PATH, FACE] = -link * own[:, PATH]
    scale = np.where(kind == WILD, measures.miss_scale, 1.0)
    return _Rows(
        drive, kind, cell, measures.values[drive], measures.weights[group], golfer.means[0, cell],
        inverse / scale[:, None, None] ** 2,
    )  # fmt: skip


@dataclass(frozen=True)
class _Launched:
    """What is measured of deliveries but for their landings, and what flies on; shape (rows, any, ...)."""

    seen: Floats
    launches: list[tuple[Integers, Launches]]


@dataclass(frozen=True)
class _Sight:
    """What is measured of deliveries of a golfer, without noise."""

    measures: Measures
    golfer: Golfers

    def launch(self, deliveries: Floats, cell: Integers) -> _Launched:
        """Return what is measured of deliveries, shape (rows, any, 7), but for their landings."""
        seen, launches = np.empty((*deliveries.shape[:2], OFFLINE)), []
        for s in np.unique(cell).tolist():
            rows = np.flatnonzero(cell == s)
            swings = deliveries[rows].reshape(-1, AXES)
            head = choose_head("driver", float(self.golfer.means[0, s, 0]))
            found = impact(Deliveries(*swings.T), head, side=self.measures.side)
            launches.append((rows, found))
            ball = np.array([found.speed, found.angle, found.direction, found.spin, found.tilt])
            seen[rows] = np.concatenate([swings, ball.T], axis=1).reshape(len(rows), -1, OFFLINE)
        return _Launched(seen, launches)

    def land(self, launched: _Launched, ball: Aerodynamics) -> Floats:
        """Return how far offline [rad] and how far [m] balls carry, shape (rows, any, 2)."""
        found = np.zeros((*launched.seen.shape[:2], 2))
        if self.measures.flown:
            for rows, launches in launched.launches:
                landings, _ = fly(launches, make_air(), aerodynamics=ball)
                x, y = landings.x, landings.y
                found[rows] = np.column_stack([np.arctan2(y, x), np.hypot(x, y)]).reshape(len(rows), -1, 2)
        return found

    def all_of(self, deliveries: Floats, cell: Integers, ball: Aerodynamics) -> Floats:
        """Return all that is measured of deliveries, shape (rows, any, 7)."""
        launched = self.launch(deliveries, cell)
        stretch = np.array([1.0, float(self.golfer.stretch[0])])
        return np.concatenate([launched.seen, stretch * self.land(launched, ball)], axis=2)


def _points(middle: Floats, beside: Floats) -> Floats:
    """Return deliveries, and those on either side of them, shape (rows, 15, 7)."""
    middle = middle[:, None]
    return np.concatenate([middle, middle + beside, middle - beside], axis=1)


def _points_and_pairs(middle: Floats, beside: Floats) -> Floats:
    """Return as `_points`, and those on either side of them along two axes at once, shape (rows, 57, 7)."""
    both = (beside[:, _FIRST] + beside[:, _SECOND]) * BESIDE / sqrt(2)
    pairs = middle[:, None] + both, middle[:, None] - both
    return np.concatenate([_points(middle, BESIDE * beside), *pairs], axis=1)


def _find_anchors(rows: _Rows, sight: _Sight, ball: Aerodynamics, spread: Floats) -> tuple[Floats, Floats]:
    """Return the likeliest deliveries, shape (rows, 7), and the lower factors of their covariances."""
    at = rows.means.copy()
    near = _NEAR * spread[rows.cell]
    beside = near[:, :, None] * np.eye(AXES)
    for _ in range(_MOST):
        seen = sight.all_of(_points(at, beside), rows.cell, ball)
        slopes = (seen[:, 1 : AXES + 1] - seen[:, AXES + 1 :]) / (2 * near[:, :, None])
        slopes = np.nan_to_num(np.swapaxes(slopes, 1, 2))
        weighted = rows.weights[:, :, None] * slopes
        precision = rows.inverse + np.swapaxes(slopes, 1, 2) @ weighted
        left = np.nan_to_num(rows.values - seen[:, 0])
        pull = np.einsum("rci,rc->ri", weighted, left)
        pull -= np.einsum("rij,rj->ri", rows.inverse, at - rows.means)
        step = np.linalg.solve(precision, pull[:, :, None])[:, :, 0]
        tried = at[:, None] + _TRIES[:, None] * step[:, None]
        found = rows.log_density(tried, sight.all_of(tried, rows.cell, ball))
        best, here = found.argmax(axis=1), rows.log_density(at[:, None], seen[:, :1])[:, 0]
        each = np.arange(len(at))
        better = found[each, best] > here + _GAIN
        if not better.any():
            break
        at = np.where(better[:, None], tried[each, best], at)
    return at, np.linalg.cholesky(np.linalg.inv(precision))


def _find_terms(seen: Floats, inverse: Floats) -> Floats:
    """Return what is measured about anchors, as `Told` has it, shape (rows, columns, terms, terms).

    Parameters
    ----------
    seen
        At each anchor, and at the points beside, shape (rows, 57, columns).
    inverse
        Of the factors of the covariances, shape (rows, 7, 7).
    """
    seen = np.nan_to_num(np.swapaxes(seen, 1, 2))
    here = seen[:, :, :1]
    ends = np.cumsum((AXES, AXES, len(_FIRST)))
    above, below, both_above, both_below = np.split(seen[:, :, 1:], ends, axis=2)
    own = (above + below - 2 * here) / BESIDE**2
    both = (both_above + both_below - 2 * here) / BESIDE**2 - (own[:, :, _FIRST] + own[:, :, _SECOND]) / 2
    bends = own[:, :, :, None] * np.eye(AXES)
    bends[:, :, _FIRST, _SECOND] = bends[:, :, _SECOND, _FIRST] = both
    terms = np.empty((*seen.shape[:2], TERMS, TERMS))
    terms[:, :, 0, 0] = 2 * here[:, :, 0] + own.sum(axis=2)
    terms[:, :, 0, 1:] = terms[:, :, 1:, 0] = (above - below) / (2 * BESIDE) @ inverse
    terms[:, :, 1:, 1:] = np.swapaxes(inverse, 1, 2)[:, None] @ bends @ inverse[:, None]
    return terms


def _landings(sight: _Sight, launched: _Launched, inverse: Floats, drag_slopes: Floats) -> Floats:
    """Return the terms of where balls come down, shape (balls, rows, 2, terms, terms).

    What lies between `SLOPES` is interpolated.
    """
    found = [_find_terms(sight.land(launched, make_ball(slope)), inverse) for slope in SLOPES.tolist()]
    place = np.interp(drag_slopes, SLOPES, np.arange(len(SLOPES)))
    below = np.minimum(place.astype(np.int64), len(SLOPES) - 2)
    share = (place - below)[:, None, None, None, None]
    known = np.array(found)
    return np.asarray((1 - share) * known[below] + share * known[below + 1])
