"""Compiled Gibbs sampling of a golfer, given their drives, in double precision; `fit` says what is sampled.

Deliveries are counted in default spreads about the default means of their strikes. The axes of arrays are
drives, measured columns, strikes and the seven numbers of a delivery, in that order.
"""

from math import atan2, ceil, cos, exp, hypot, log, pi, sin, sqrt
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import njit
from holesim.shot._flight_kernel import LANDING, LANES, POINTS, ROOM, START, start_of
from holesim.shot._flight_kernel import fly as fly_blocks
from holesim.shot._impact_kernel import launch

Floats = NDArray[np.float64]

# Loops are written out, as numba takes a minute to compile expressions over arrays.
_INNER: dict[str, Any] = {"error_model": "numpy", "no_cfunc_wrapper": True, "no_cpython_wrapper": True}
compiled = njit(**_INNER)

AXES = 7
COLUMNS = 14  # as `fit.NOISE` has them: those axes, five of the launch, offline, carry
_OFFLINE, _CARRY = 12, 13
_FACE, _PATH = 3, 2

SETTLING = 600  # sweeps before draws are kept
KEPT = 4  # sweeps between two draws that are kept
_OFTEN, _SELDOM = 20, 40  # sweeps between two linear functions, settling and settled
_STEP, _LONGEST, _NEWTON = 0.25, 1.0, 2  # of differences; of a Newton step; Newton steps
_NOWHERE = 1e-9  # rad along the ellipse, below which a mean stays
_FARTHEST = 8  # places by which the ball may change at a time


class Measures(NamedTuple):
    """What was measured of drives, and which strike each was; `weights` are 0 where nothing was measured."""

    values: Floats  # (drives, columns)
    weights: Floats  # (drives, columns)
    strike_of: NDArray[np.int64]
    centres: Floats  # (strikes, axes), of `unit` 1
    unit: Floats  # (axes,)
    club: tuple[float, ...]
    side: float
    laws: NDArray[np.float32]  # (balls, numbers of a law)


class Prior(NamedTuple):
    """The prior of a golfer, in default spreads; `balls` are logarithms of chances."""

    mean_sd: Floats  # (strikes, axes)
    spread: Floats  # (axes,), the path's own beside its link with the face
    spread_weight: float
    link: float
    link_sd: float
    ratios: Floats  # rising, each as many times the one before it
    ratio_sd: float
    miss_rate: float
    miss_weight: float
    miss_scale: float
    balls: Floats  # (balls,)
    stretch_sd: float


class FitState(NamedTuple):
    """What is sampled of golfer, ball and measurement; `link` and all below it are arrays of one number."""

    means: Floats  # (strikes, axes)
    spread: Floats  # (axes,), common to the strikes
    ratios: Floats  # (strikes,), of each strike's own spread over that
    link: Floats
    miss_rate: Floats
    ball: NDArray[np.int64]  # which it is
    stretch: Floats  # of all carries as they are measured


class Linear(NamedTuple):
    """Measurements as a linear function of each delivery, and its precision and precision times mean."""

    slopes: Floats  # (drives, columns, axes)
    beyond: Floats  # (drives, columns)
    precision: Floats  # (drives, axes, axes)
    pull: Floats  # (drives, axes)


@compiled
def _dot(a, b):  # type: ignore[no-untyped-def]
    total = 0.0
    for k in range(AXES):
        total += a[k] * b[k]
    return total


@compiled
def _form(matrix, a):  # type: ignore[no-untyped-def]
    """Return the quadratic form of a vector."""
    total = 0.0
    for k in range(AXES):
        total += a[k] * _dot(matrix[k], a)
    return total


@compiled
def _copy(a, b):  # type: ignore[no-untyped-def]
    """Make `b` what `a` is, both of two dimensions."""
    for i in range(a.shape[0]):
        for k in range(a.shape[1]):
            b[i, k] = a[i, k]


@compiled
def _add(a, column, number):  # type: ignore[no-untyped-def]
    for i in range(len(a)):
        a[i, column] += number


@compiled
def _white(rng, noise):  # type: ignore[no-untyped-def]
    for k in range(AXES):
        noise[k] = rng.standard_normal()


@compiled
def _law(rows, ball):  # type: ignore[no-untyped-def]
    w = rows[ball]
    return (
        w[0], w[1], w[2], w[3], w[4], w[5], w[6], w[7], w[8], w[9], w[10], w[11], w[12], w[13], w[14], w[15],
        w[16],
    )  # fmt: skip


@compiled
def _measured(m, golfer, swings, seen):  # type: ignore[no-untyped-def]
    """Fill `seen` with what would be measured of swings."""
    n, flown = len(swings), False
    for i in range(n):
        flown = flown or m.weights[i, _OFFLINE] > 0 or m.weights[i, _CARRY] > 0
    start = np.empty((START, n if flown else 0), dtype=np.float32)
    for i in range(n):
        s, at = m.strike_of[i], seen[i]
        for k in range(AXES):
            at[k] = m.centres[s, k] + m.unit[k] * swings[i, k]
        found = launch((at[0], at[1], at[2], at[3], at[4], at[5], at[6]), m.club, m.side)
        speed, angle, direction, spin, tilt = found
        at[7], at[8], at[9], at[10], at[11] = found
        if flown:
            rows = start_of(speed, angle, direction, spin, tilt)
            for k in range(START):
                start[k, i] = rows[k]
    if flown:
        room, landing = np.empty(ROOM, dtype=np.float32), np.empty((LANDING, n), dtype=np.float32)
        track = np.empty((POINTS, 3, n), dtype=np.float32)
        fly_blocks(start, _law(m.laws, golfer.ball[0]), 0, ceil(n / LANES), room, landing, track)
        for i in range(n):
            x, y = float(landing[0, i]), float(landing[1, i])
            seen[i, _OFFLINE], seen[i, _CARRY] = atan2(y, x), golfer.stretch[0] * hypot(x, y)


@compiled
def _linearise_here(m, golfer, swings, linear):  # type: ignore[no-untyped-def]
    n = len(swings)
    here, above, below = np.empty((n, COLUMNS)), np.empty((n, COLUMNS)), np.empty((n, COLUMNS))
    moved = np.empty((n, AXES))
    _measured(m, golfer, swings, here)
    for k in range(AXES):
        _copy(swings, moved)
        _add(moved, k, _STEP)
        _measured(m, golfer, moved, above)
        _add(moved, k, -2 * _STEP)
        _measured(m, golfer, moved, below)
        for i in range(n):
            for c in range(COLUMNS):
                linear.slopes[i, c, k] = (above[i, c] - below[i, c]) / (2 * _STEP)
    for i in range(n):
        precision, pull = linear.precision[i], linear.pull[i]
        for k in range(AXES):
            pull[k] = 0.0
            for j in range(AXES):
                precision[k, j] = 0.0
        for c in range(COLUMNS):
            weight, slope = m.weights[i, c], linear.slopes[i, c]
            if weight == 0:
                continue
            beyond = m.values[i, c] - here[i, c] + _dot(slope, swings[i])
            linear.beyond[i, c] = beyond
            for k in range(AXES):
                pull[k] += weight * slope[k] * beyond
                for j in range(AXES):
                    precision[k, j] += weight * slope[k] * slope[j]


@compiled
def _linearise(m, swings, golfer, wild, linear):  # type: ignore[no-untyped-def]
    """Linearise about each drive's likeliest delivery, found by Gauss-Newton steps."""
    at, own, noise = np.empty((len(swings), AXES)), np.empty((AXES, AXES)), np.zeros(AXES)
    precision, pull, likeliest = np.empty((AXES, AXES)), np.empty(AXES), np.empty(AXES)
    _own_precision(golfer, own)
    _copy(swings, at)
    for step in range(_NEWTON + 1):
        _linearise_here(m, golfer, at, linear)
        if step == _NEWTON:
            break
        for i in range(len(at)):
            _swing(m, golfer, own, wild, linear, i, precision, pull)
            _draw(precision, pull, noise, likeliest)
            for k in range(AXES):
                at[i, k] += min(max(likeliest[k] - at[i, k], -_LONGEST), _LONGEST)


@compiled
def _true_over_linear(m, golfer, swings, linear, gained):  # type: ignore[no-untyped-def]
    """Fill the log likelihood by the true function less that by the linear one."""
    seen = np.empty((len(swings), COLUMNS))
    _measured(m, golfer, swings, seen)
    for i in range(len(swings)):
        gained[i] = 0.0
        for c in range(COLUMNS):
            if m.weights[i, c] > 0:
                apart = linear.beyond[i, c] - _dot(linear.slopes[i, c], swings[i])
                true = m.values[i, c] - seen[i, c]
                gained[i] += m.weights[i, c] * (apart * apart - true * true) / 2


@compiled
def _draw(precision, pull, noise, drawn):  # type: ignore[no-untyped-def]
    """Draw from a normal distribution, given its precision, precision times mean, and white noise.

    `precision` is overwritten by its Cholesky factor.
    """
    lower = precision
    for k in range(AXES):
        for i in range(k, AXES):
            total = lower[i, k]
            for j in range(k):
                total -= lower[i, j] * lower[k, j]
            lower[i, k] = sqrt(total) if i == k else total / lower[k, k]
    for k in range(AXES):
        total = pull[k]
        for j in range(k):
            total -= lower[k, j] * drawn[j]
        drawn[k] = total / lower[k, k]
    for k in range(AXES - 1, -1, -1):
        total = drawn[k] + noise[k]
        for j in range(k + 1, AXES):
            total -= lower[j, k] * drawn[j]
        drawn[k] = total / lower[k, k]


@compiled
def _own_precision(golfer, own):  # type: ignore[no-untyped-def]
    """Fill the inverse covariance of deliveries of the common spread."""
    for k in range(AXES):
        for j in range(AXES):
            own[k, j] = golfer.spread[k] ** -2.0 if j == k else 0.0
    link, of_path = golfer.link[0], own[_PATH, _PATH]
    own[_FACE, _FACE] += link * link * of_path
    own[_FACE, _PATH] = own[_PATH, _FACE] = -link * of_path


@compiled
def _swing(m, golfer, own, wild, linear, i, precision, pull):  # type: ignore[no-untyped-def]
    """Fill the precision of a drive's delivery, and precision times mean."""
    s = m.strike_of[i]
    share = (wild[i] * golfer.ratios[s]) ** -2.0
    for k in range(AXES):
        pull[k] = linear.pull[i, k] + share * _dot(own[k], golfer.means[s])
        for j in range(AXES):
            precision[k, j] = linear.precision[i, k, j] + share * own[k, j]


@compiled
def _draw_swings(m, golfer, wild, linear, swings, held, always, rng):  # type: ignore[no-untyped-def]
    """Propose each drive's delivery by the linear function; accept it by the Metropolis-Hastings rule."""
    n = len(swings)
    tried, gained, own, noise = np.empty((n, AXES)), np.empty(n), np.empty((AXES, AXES)), np.empty(AXES)
    precision, pull = np.empty((AXES, AXES)), np.empty(AXES)
    _own_precision(golfer, own)
    for i in range(n):
        _swing(m, golfer, own, wild, linear, i, precision, pull)
        _white(rng, noise)
        _draw(precision, pull, noise, tried[i])
    _true_over_linear(m, golfer, tried, linear, gained)
    for i in range(n):
        if log(rng.random()) < gained[i] - held[i] or always:
            held[i] = gained[i]
            for k in range(AXES):
                swings[i, k] = tried[i, k]


@compiled
def _ellipse(m, prior, golfer, linear, swings, s, rng, centre, axis):  # type: ignore[no-untyped-def]
    """Fill the likeliest mean of a strike if its drives move with it, and a draw of the deviation from it."""
    precision, copy = np.zeros((AXES, AXES)), np.empty((AXES, AXES))
    pull, off, noise = np.zeros(AXES), np.empty(AXES), np.zeros(AXES)
    for k in range(AXES):
        precision[k, k] = prior.mean_sd[s, k] ** -2.0
    for i in range(len(swings)):
        if m.strike_of[i] != s:
            continue
        for k in range(AXES):
            off[k] = swings[i, k] - golfer.means[s, k]
        for k in range(AXES):
            pull[k] += linear.pull[i, k] - _dot(linear.precision[i, k], off)
            for j in range(AXES):
                precision[k, j] += linear.precision[i, k, j]
    _copy(precision, copy)
    _draw(copy, pull, noise, centre)
    for k in range(AXES):
        pull[k] = 0.0
    _white(rng, noise)
    _draw(precision, pull, noise, axis)


@compiled
def _slide(m, prior, golfer, linear, swings, held, rng):  # type: ignore[no-untyped-def]
    """Move each strike's mean and its drives together; far, where measurements say little of the delivery.

    Drawing means and deliveries in turn takes only small steps there (Yu and Meng, J. Comput. Graph. Stat.
    20, 2011). How far to go is found by elliptical slice sampling (Murray, Adams and MacKay, AISTATS 2010).
    """
    n, strikes = len(swings), len(golfer.means)
    before, first, gained = np.empty((strikes, AXES)), np.empty((n, AXES)), np.empty(n)
    centre, axis = np.empty((strikes, AXES)), np.empty((strikes, AXES))
    level, total = np.empty(strikes), np.empty(strikes)
    angle, low, high = np.empty(strikes), np.empty(strikes), np.empty(strikes)
    _copy(golfer.means, before)
    _copy(swings, first)
    for s in range(strikes):
        _ellipse(m, prior, golfer, linear, swings, s, rng, centre[s], axis[s])
        level[s] = log(rng.random())
        high[s] = angle[s] = 2 * pi * rng.random()
        low[s] = angle[s] - 2 * pi
    for i in range(n):
        level[m.strike_of[i]] += held[i]
    waits = strikes
    while waits:
        for s in range(strikes):
            total[s] = 0.0
            for k in range(AXES):
                off = cos(angle[s]) * (before[s, k] - centre[s, k]) + sin(angle[s]) * axis[s, k]
                golfer.means[s, k] = centre[s, k] + off
        for i in range(n):
            s = m.strike_of[i]
            for k in range(AXES):
                swings[i, k] = first[i, k] + golfer.means[s, k] - before[s, k]
        _true_over_linear(m, golfer, swings, linear, gained)
        for i in range(n):
            total[m.strike_of[i]] += gained[i]
        waits = 0
        for s in range(strikes):
            if total[s] > level[s] or abs(angle[s]) < _NOWHERE:
                continue
            waits += 1
            if angle[s] < 0:
                low[s] = angle[s]
            else:
                high[s] = angle[s]
            angle[s] = low[s] + (high[s] - low[s]) * rng.random()
    for i in range(n):
        held[i] = gained[i]


@compiled
def _draw_wild(m, prior, golfer, swings, wild, rng):  # type: ignore[no-untyped-def]
    """Draw which drives are bad misses, and so by what factor each is wilder than usual."""
    own, off, scale = np.empty((AXES, AXES)), np.empty(AXES), prior.miss_scale
    _own_precision(golfer, own)
    rate = golfer.miss_rate[0]
    rare = log(rate / (1 - rate)) - AXES * log(scale)
    for i in range(len(swings)):
        s = m.strike_of[i]
        for k in range(AXES):
            off[k] = (swings[i, k] - golfer.means[s, k]) / golfer.ratios[s]
        odds = rare + _form(own, off) / 2 * (1 - scale**-2.0)
        wild[i] = scale if rng.random() < 1 / (1 + exp(-odds)) else 1.0


@compiled
def _draw_means(m, prior, golfer, swings, wild, rng):  # type: ignore[no-untyped-def]
    own, noise, pull = np.empty((AXES, AXES)), np.empty(AXES), np.empty(AXES)
    precision, total = np.empty((AXES, AXES)), np.empty(AXES)
    _own_precision(golfer, own)
    for s in range(len(golfer.means)):
        weight = 0.0
        for k in range(AXES):
            total[k] = 0.0
        for i in range(len(swings)):
            if m.strike_of[i] == s:
                share = (wild[i] * golfer.ratios[s]) ** -2.0
                weight += share
                for k in range(AXES):
                    total[k] += share * swings[i, k]
        for k in range(AXES):
            pull[k] = _dot(own[k], total)
            for j in range(AXES):
                precision[k, j] = weight * own[k, j] + (prior.mean_sd[s, k] ** -2.0 if j == k else 0.0)
        _white(rng, noise)
        _draw(precision, pull, noise, golfer.means[s])


@compiled
def _pick(chances, rng):  # type: ignore[no-untyped-def]
    """Draw a place, given the logarithm of the chance of each; these are overwritten."""
    most, total = -np.inf, 0.0
    for k in range(len(chances)):
        most = max(most, chances[k])
    for k in range(len(chances)):
        total += exp(chances[k] - most)
        chances[k] = total
    return np.searchsorted(chances, rng.random() * total)


@compiled
def _draw_ratio(prior, drives, square, rng):  # type: ignore[no-untyped-def]
    """Draw a strike's spread over the common one, given the sum of squares of its drives."""
    chances = np.empty(len(prior.ratios))
    for k in range(len(chances)):
        ratio = log(prior.ratios[k])
        off = ratio / prior.ratio_sd
        chances[k] = -AXES * drives * ratio - square / 2 / prior.ratios[k] ** 2 - off * off / 2
    return prior.ratios[_pick(chances, rng)]


@compiled
def _share(prior, golfer, rng):  # type: ignore[no-untyped-def]
    """Multiply all ratios and divide the common spread by a factor, so that each strike's spread stays.

    Drawn in turn they would take small steps where drives are many.
    """
    strikes, most = len(golfer.ratios), len(prior.ratios) - 1
    places = np.searchsorted(prior.ratios, golfer.ratios)
    lowest, highest = most, 0
    for s in range(strikes):
        lowest, highest = min(lowest, places[s]), max(highest, places[s])
    chances = np.zeros(most + 1 - highest + lowest)
    for k in range(len(chances)):
        shift = log(prior.ratios[k]) - log(prior.ratios[lowest])
        for s in range(strikes):
            off = log(prior.ratios[places[s] + k - lowest]) / prior.ratio_sd
            chances[k] -= off * off / 2
        for j in range(AXES):
            wide = exp(shift) * prior.spread[j] / golfer.spread[j]
            chances[k] += prior.spread_weight * (shift - wide * wide / 2)
    moved = _pick(chances, rng) - lowest
    for s in range(strikes):
        golfer.ratios[s] = prior.ratios[places[s] + moved]
    times = prior.ratios[lowest] / prior.ratios[lowest + moved]
    for j in range(AXES):
        golfer.spread[j] *= times


@compiled
def _draw_spread(m, prior, golfer, swings, wild, rng):  # type: ignore[no-untyped-def]
    """Draw how wide the golfer's deliveries spread about their means, and how often they miss."""
    n, strikes = len(swings), len(golfer.means)
    own, off, squares = np.empty((AXES, AXES)), np.empty((n, AXES)), np.zeros(AXES)
    drives, square, misses = np.zeros(strikes), np.zeros(strikes), 0
    _own_precision(golfer, own)
    for i in range(n):
        s = m.strike_of[i]
        misses += wild[i] > 1
        for k in range(AXES):
            off[i, k] = (swings[i, k] - golfer.means[s, k]) / wild[i]
        drives[s] += 1
        square[s] += _form(own, off[i])
    for s in range(strikes):
        golfer.ratios[s] = _draw_ratio(prior, drives[s], square[s], rng)

    precision = prior.link_sd**-2.0
    pull, variance = precision * prior.link, golfer.spread[_PATH] ** 2
    for i in range(n):
        for k in range(AXES):
            off[i, k] /= golfer.ratios[m.strike_of[i]]
        precision += off[i, _FACE] ** 2 / variance
        pull += off[i, _FACE] * off[i, _PATH] / variance
    golfer.link[0] = pull / precision + rng.standard_normal() / sqrt(precision)
    for i in range(n):
        off[i, _PATH] -= golfer.link[0] * off[i, _FACE]
        for k in range(AXES):
            squares[k] += off[i, k] ** 2
    for k in range(AXES):
        total = prior.spread_weight * prior.spread[k] ** 2 + squares[k]
        golfer.spread[k] = sqrt(total / rng.chisquare(prior.spread_weight + n))
    _share(prior, golfer, rng)
    default = prior.miss_weight * prior.miss_rate
    golfer.miss_rate[0] = rng.beta(default + misses, prior.miss_weight - default + n - misses)


@compiled
def _stretched(m, prior, golfer, swings, seen):  # type: ignore[no-untyped-def]
    """Return the log likelihood of landings by a ball, over all factors that carries may be stretched by.

    The mean and the standard deviation of that factor follow; it is normal.
    """
    golfer.stretch[0] = 1.0
    _measured(m, golfer, swings, seen)
    precision, pull, square = prior.stretch_sd**-2.0, 0.0, 0.0
    for i in range(len(swings)):
        side = m.values[i, _OFFLINE] - seen[i, _OFFLINE]
        short, weight = m.values[i, _CARRY] - seen[i, _CARRY], m.weights[i, _CARRY]
        square += m.weights[i, _OFFLINE] * side * side + weight * short * short
        pull += weight * seen[i, _CARRY] * short
        precision += weight * seen[i, _CARRY] ** 2
    chance = (pull * pull / precision - square - log(precision)) / 2
    return chance, 1 + pull / precision, 1 / sqrt(precision)


@compiled
def _draw_ball(m, prior, golfer, linear, swings, held, rng):  # type: ignore[no-untyped-def]
    """Try a ball near the present one by the Metropolis rule; draw the error that all carries share."""
    balls, now = len(prior.balls), golfer.ball[0]
    if balls == 1:
        return
    seen = np.empty((len(swings), COLUMNS))
    found = _stretched(m, prior, golfer, swings, seen)
    tried = now + int(rng.integers(1, _FARTHEST + 1)) * (1 if rng.random() < 0.5 else -1)
    if 0 <= tried < balls:
        golfer.ball[0] = tried
        other = _stretched(m, prior, golfer, swings, seen)
        if log(rng.random()) < other[0] - found[0] + prior.balls[tried] - prior.balls[now]:
            found = other
        else:
            golfer.ball[0] = now
    golfer.stretch[0] = found[1] + found[2] * rng.standard_normal()
    _true_over_linear(m, golfer, swings, linear, held)


@compiled
def _keep(golfer, kept, draw):  # type: ignore[no-untyped-def]
    _copy(golfer.means, kept.means[draw])
    for k in range(AXES):
        kept.spread[draw, k] = golfer.spread[k]
    for s in range(len(golfer.means)):
        kept.ratios[draw, s] = golfer.ratios[s]
    kept.link[draw], kept.miss_rate[draw] = golfer.link[0], golfer.miss_rate[0]
    kept.ball[draw], kept.stretch[draw] = golfer.ball[0], golfer.stretch[0]


@njit(cache=True, nogil=True, error_model="numpy")
def sample(m, prior, golfer, kept, missed, rng):  # type: ignore[no-untyped-def]
    """Fill `kept`, a `FitState` with draws as the first axis, and in what share of them each drive missed.

    Sampling starts at `golfer`, which is overwritten.
    """
    n, draws = len(m.values), len(kept.link)
    swings, wild, held = np.zeros((n, AXES)), np.ones(n), np.zeros(n)
    linear = Linear(
        np.zeros((n, COLUMNS, AXES)), np.zeros((n, COLUMNS)), np.zeros((n, AXES, AXES)), np.zeros((n, AXES))
    )
    for i in range(SETTLING + KEPT * draws):
        if i % (_OFTEN if i < SETTLING else _SELDOM) == 0:
            _linearise(m, swings, golfer, wild, linear)
            _true_over_linear(m, golfer, swings, linear, held)
        _draw_swings(m, golfer, wild, linear, swings, held, i == 0, rng)
        _draw_wild(m, prior, golfer, swings, wild, rng)
        _draw_means(m, prior, golfer, swings, wild, rng)
        _draw_spread(m, prior, golfer, swings, wild, rng)
        _slide(m, prior, golfer, linear, swings, held, rng)
        _draw_ball(m, prior, golfer, linear, swings, held, rng)
        draw, rest = divmod(i - SETTLING, KEPT)
        if i >= SETTLING and rest == KEPT - 1:
            _keep(golfer, kept, draw)
            for k in range(n):
                missed[k] += (wild[k] > 1) / draws
