"""Compiled dynamic programming: the best shot from every place on a hole, by policy iteration.

Knows only floats and arrays; `holesim.scoring.expected_strokes` says what they are.
"""

from math import cos, exp, pi, sin, sqrt
from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, part, single
from holesim.course._ground_map_kernel import look_up
from holesim.scoring._next_shot_kernel import (
    ACROSS,
    ALONG,
    RED_DROP,
    REPLAY,
    finish,
    outcome,
    pattern,
)
from holesim.shot._relief_kernel import LIE_BY_GROUND, drop, noted_drop
from holesim.shot._strokes_grid_kernel import (
    IN_HEAVY,
    IN_RECOVERY,
    ON_FAIRWAY,
    from_pin,
    strokes,
)

_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)


@inline
def lost_from(lie, penalty, constants):  # type: ignore[no-untyped-def]
    """Return the chance that a ball is not found where a shot leaves it."""
    if penalty > _NOUGHT:
        return _NOUGHT
    if lie == IN_RECOVERY:
        return single(constants.lost_in_trees)
    return single(constants.lost_in_heavy) if lie == IN_HEAVY else _NOUGHT


@part
def holes_out(x, y, shot, model, expected):  # type: ignore[no-untyped-def]
    """Return the chance that a shot is holed: its density at the hole times the area that lets it in."""
    dx, dy = expected.pin_x - x, expected.pin_y - y
    a = (dx * shot.east + dy * shot.north - shot.length) / shot.along
    b = ((dx * shot.north - dy * shot.east) / shot.across - shot.lean * a) / shot.upright
    peak = model.hole / (single(2 * pi) * shot.along * shot.across * shot.upright)
    return min(peak * exp(-_HALF * (a * a + b * b)), _HALF)


@part
def cost(x, y, lie, here, length, bearing, misses, model, hole):  # type: ignore[no-untyped-def]
    """Return the expected strokes from a place by a shot aimed to finish `length` [m] along `bearing` [rad].

    `misses` are those of the shot model, or some of them. `here` is the present estimate of expected strokes,
    with which a drop is compared before a replay is chosen.
    """
    constants, expected = hole.constants, hole.constants.expected
    shot = pattern(x, y, length, bearing, lie, model, hole.grid)
    if shot.played > model.longest[lie] + single(0.01):
        return single(np.inf)
    left, replayed = _NOUGHT, _NOUGHT
    finish(x, y, shot, misses, hole)
    for k in range(misses.shape[1]):
        code, nx, ny, penalty = outcome(k, hole)
        if code < REPLAY:
            dropped = noted_drop(nx, ny, code == RED_DROP, constants, hole.grid, hole.drop_cache)
            if dropped < here:
                left += _ONE + dropped
            else:
                replayed += _ONE
        elif code == REPLAY:
            replayed += _ONE
        else:
            lost = lost_from(code, penalty, constants)
            left += (_ONE - lost) * (penalty + strokes(code, nx, ny, expected))
            if constants.drop_out:
                left += lost * (_TWO + strokes(ON_FAIRWAY, nx, ny, expected))
            else:
                replayed += lost
    count = single(misses.shape[1])
    left, replayed = left / count, replayed / count
    if replayed >= single(0.999):
        return single(np.inf)
    left *= _ONE - holes_out(x, y, shot, model, expected)
    return (_ONE + left + replayed) / (_ONE - replayed)


# --- the best shot --------------------------------------------------------------------------------

# Where to search: shares of the longest shot, the likeliest first, and angles from the line to the pin [rad].
SHARES = np.array([1.0, 0.89, 0.78, 0.67, 0.55, 0.43, 0.32, 0.22, 0.14, 0.08, 0.04], dtype=np.float32)
_ASIDE = np.array([0.05, 0.1, 0.17, 0.27, 0.4, 0.6, 0.9, 1.3, 1.8, 2.4])
TURNS = np.concatenate([[0.0], np.stack([_ASIDE, -_ASIDE], axis=1).ravel(), [pi]]).astype(np.float32)
FORWARD = 17  # of these turns, the first, are tried from anywhere but among trees
FEW, SOME = 4, 16  # misses in a first look, and in comparing shots until each state has one
_SLACK = single(0.1)  # strokes by which a shot may cost less than a perfect one to a fairway
_LOOSE = single(0.3)  # strokes by which a shot may look worse than another with few misses, and be better
_WIDE, _CLOSE = single(0.7), single(0.5)  # shares of the spread by which targets must differ
_SHORTEST = single(1)  # m


class Policy(NamedTuple):
    """The best shot known from each [lie, row, column]: its length [m] and its bearing [rad].

    A length of 0 means that no shot is known yet, a negative one that the ball is declared unplayable.
    """

    lengths: np.ndarray
    bearings: np.ndarray


@inline
def _spread(lie, length, model):  # type: ignore[no-untyped-def]
    """Return a shot's spread along its line [m] and across it [rad], each with a lower limit."""
    i = min(np.uint32(length * model.per_metre), np.uint32(model.dispersion.shape[1] - 1))
    angle = min(max(model.dispersion[lie, i, ACROSS] / length, single(0.02)), _HALF)
    return max(model.dispersion[lie, i, ALONG], _TWO), angle


@inline
def _lowest(before, middle, after):  # type: ignore[no-untyped-def]
    """Return where the parabola through values at -1, 0 and 1 is lowest, at most 2 away; else 0."""
    bend = before - _TWO * middle + after
    if not single(1e-5) < bend < single(1e5):
        return _NOUGHT
    return min(max(_HALF * (before - after) / bend, -_TWO), _TWO)


@part
def refined(x, y, lie, here, best, length, bearing, share, misses, model, hole):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best shot near one that costs `best`, by some misses.

    Tries shots a `share` of the spread away, along and across, and one where the parabolas through their
    costs are lowest. More or nearer tries would find what suits these misses and no others.
    """
    further, turn = _spread(lie, length, model)
    further, turn = share * further, share * turn
    middle, l0, b0 = best, length, bearing
    shorter, longer, left, right = middle, middle, middle, middle
    for look in range(5):
        dl, db = _NOUGHT, _NOUGHT
        if look < 2:
            dl = further if look else -further
        elif look < 4:
            db = turn if look == 3 else -turn
        else:
            dl, db = _lowest(shorter, middle, longer) * further, _lowest(left, middle, right) * turn
        to_length, to_bearing = min(max(l0 + dl, _SHORTEST), model.longest[lie]), b0 + db
        tried = cost(x, y, lie, here, to_length, to_bearing, misses, model, hole)
        if look == 0:
            shorter = tried
        elif look == 1:
            longer = tried
        elif look == 2:
            left = tried
        else:
            right = tried
        if tried < best:
            best, length, bearing = tried, to_length, to_bearing
    return best, length, bearing


@part
def explored(x, y, lie, here, best, length, bearing, misses, model, hole):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best of many shots and one that costs `best`, by some misses.

    For each length a first look with few misses chooses the direction. Few misses do not show whether to
    carry water or to stay short of it, so lengths are compared by all `misses`.
    """
    few, expected = model.misses[:, :FEW], hole.constants.expected
    dx, dy = expected.pin_x - x, expected.pin_y - y
    away, pin = sqrt(dx * dx + dy * dy), np.arctan2(dx, dy)
    to_pin = min(max(away, _SHORTEST), model.longest[lie])
    for j in range(-1, len(SHARES)):
        tried = to_pin if j < 0 else SHARES[j] * model.longest[lie]
        first, ahead = best + _LOOSE, pin
        for k in range(len(TURNS) if lie == IN_RECOVERY else FORWARD):
            turned = pin + TURNS[k]
            there = strokes(ON_FAIRWAY, x + tried * sin(turned), y + tried * cos(turned), expected)
            if _ONE + there > min(first, best) + _SLACK:
                continue
            strokes_then = cost(x, y, lie, here, tried, turned, few, model, hole)
            if strokes_then < first:
                first, ahead = strokes_then, turned
        if first < best + _LOOSE:
            strokes_then = cost(x, y, lie, here, tried, ahead, misses, model, hole)
            if strokes_then < best:
                best, length, bearing = strokes_then, tried, ahead
    return best, length, bearing


@part
def borrowed(x, y, lie, row, column, here, nearer_than, misses, model, hole, policy):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best of the shots known at a grid point and around it.

    A neighbour's shot is tried if it lies less than `nearer_than` [m] from the pin and its target is not near
    to the grid point's own.
    """
    expected = hole.constants.expected
    _, rows, columns = expected.values.shape
    length, bearing = policy.lengths[lie, row, column], policy.bearings[lie, row, column]
    best = single(np.inf) if length == _NOUGHT else here
    known = length > _NOUGHT
    east, north = length * sin(bearing), length * cos(bearing)
    for r in range(max(row - 1, 0), min(row + 2, rows)):
        for c in range(max(column - 1, 0), min(column + 2, columns)):
            tried, turned = policy.lengths[lie, r, c], policy.bearings[lie, r, c]
            dx, dy = single(c - column) / expected.per_metre, single(r - row) / expected.per_metre
            if not tried > _NOUGHT or from_pin(x + dx, y + dy, expected) > nearer_than:
                continue
            # The neighbour's shot is aimed at a place, so from here its length and bearing differ.
            dx, dy = dx + tried * sin(turned), dy + tried * cos(turned)
            tried = min(max(sqrt(dx * dx + dy * dy), _SHORTEST), model.longest[lie])
            near = _CLOSE * _spread(lie, tried, model)[0]
            if known and (dx - east) * (dx - east) + (dy - north) * (dy - north) < near * near:
                continue
            turned = np.arctan2(dx, dy)
            strokes_then = cost(x, y, lie, here, tried, turned, misses, model, hole)
            if strokes_then < best:
                best, length, bearing = strokes_then, tried, turned
    return best, length, bearing


class States(NamedTuple):
    """All grid points and lies from which a ball may be played, nearest the pin first.

    States marked in `scouts` search for a shot of their own. All others try their neighbours' shots.
    """

    lies: np.ndarray
    rows: np.ndarray
    columns: np.ndarray
    scouts: np.ndarray


class Outcomes(NamedTuple):
    """Where each outcome of each state's shot leads [state, outcome], and the chance that it is `holed`.

    A lie of `REPLAY` is the same shot again. `lost` is the chance that the ball is not found.
    """

    lies: np.ndarray
    x: np.ndarray
    y: np.ndarray
    penalties: np.ndarray
    lost: np.ndarray
    holed: np.ndarray


@inline
def _at(s, states, expected):  # type: ignore[no-untyped-def]
    x = expected.x0 + single(states.columns[s]) / expected.per_metre
    return x, expected.y0 + single(states.rows[s]) / expected.per_metre


@part
def _keep(s, best, length, bearing, states, hole, policy):  # type: ignore[no-untyped-def]
    """Store a shot as that of a state, unless declaring the ball unplayable costs less."""
    lie, row, column = states.lies[s], states.rows[s], states.columns[s]
    if lie in (IN_RECOVERY, IN_HEAVY):
        x, y = _at(s, states, hole.constants.expected)
        unplayable = _ONE + drop(x, y, True, hole.constants, hole.grid)[0]
        if unplayable < best:
            best, length = unplayable, -_ONE
    if best < single(np.inf):  # else no shot is known from here
        hole.constants.expected.values[lie, row, column] = best
        policy.lengths[lie, row, column], policy.bearings[lie, row, column] = length, bearing


@entry
def begin_policy(states, model, hole, policy):  # type: ignore[no-untyped-def]
    """Find a good shot for each state, nearest the pin first.

    Shots are borrowed from states at least half a step nearer the pin, so that the order of states at one
    distance does not matter.
    """
    expected, some = hole.constants.expected, model.misses[:, :SOME]
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, expected)
        here, nearer_than = (
            expected.values[lie, row, column],
            from_pin(x, y, expected) - _HALF / expected.per_metre,
        )
        best, length, bearing = borrowed(x, y, lie, row, column, here, nearer_than, some, model, hole, policy)
        if states.scouts[s] or best == single(np.inf):
            best, length, bearing = explored(x, y, lie, here, best, length, bearing, some, model, hole)
        best = cost(x, y, lie, here, length, bearing, model.misses, model, hole)
        best, length, bearing = refined(
            x, y, lie, here, best, length, bearing, _WIDE, model.misses, model, hole
        )
        _keep(s, best, length, bearing, states, hole, policy)


@entry
def improve_policy(states, model, hole, policy):  # type: ignore[no-untyped-def]
    """Find a better shot for each state: one of a neighbour, or one close to its own."""
    expected = hole.constants.expected
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, expected)
        here, nearer_than, misses = expected.values[lie, row, column], single(np.inf), model.misses
        best, length, bearing = borrowed(
            x, y, lie, row, column, here, nearer_than, misses, model, hole, policy
        )
        if length > _NOUGHT:
            best, length, bearing = refined(
                x, y, lie, here, best, length, bearing, _CLOSE, misses, model, hole
            )
        _keep(s, best, length, bearing, states, hole, policy)


@entry
def play_policy(states, model, hole, policy, outcomes):  # type: ignore[no-untyped-def]
    """Fill in where the shot of each state leads."""
    constants, expected = hole.constants, hole.constants.expected
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, expected)
        here, length = expected.values[lie, row, column], policy.lengths[lie, row, column]
        outcomes.holed[s] = _NOUGHT
        if not length > _NOUGHT:
            dx, dy, there = x, y, lie
            if length < _NOUGHT:
                _, dx, dy = drop(x, y, True, constants, hole.grid)
                there = LIE_BY_GROUND[look_up(dx, dy, hole.grid)]
            outcomes.lies[s], outcomes.x[s], outcomes.y[s] = there, dx, dy
            outcomes.penalties[s], outcomes.lost[s] = _NOUGHT, _NOUGHT
            continue
        shot = pattern(x, y, length, policy.bearings[lie, row, column], lie, model, hole.grid)
        outcomes.holed[s] = holes_out(x, y, shot, model, expected)
        finish(x, y, shot, model.misses, hole)
        for k in range(model.misses.shape[1]):
            code, nx, ny, penalty = outcome(k, hole)
            if code < REPLAY:
                dropped, nx, ny = drop(nx, ny, code == RED_DROP, constants, hole.grid)
                code = LIE_BY_GROUND[look_up(nx, ny, hole.grid)] if dropped < here else REPLAY
            outcomes.lies[s, k], outcomes.x[s, k], outcomes.y[s, k] = code, nx, ny
            outcomes.penalties[s, k], outcomes.lost[s, k] = penalty, lost_from(code, penalty, constants)


@entry
def evaluate_policy(states, outcomes, constants):  # type: ignore[no-untyped-def]
    """Update the expected strokes of each state under the present policy; return the largest change."""
    expected, largest = constants.expected, 0.0
    count = single(outcomes.lies.shape[1])
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        left, replayed = _NOUGHT, _NOUGHT
        for k in range(outcomes.lies.shape[1]):
            code, x, y = outcomes.lies[s, k], outcomes.x[s, k], outcomes.y[s, k]
            if code == REPLAY:
                replayed += _ONE
            else:
                lost = outcomes.lost[s, k]
                left += (_ONE - lost) * (outcomes.penalties[s, k] + strokes(code, x, y, expected))
                if lost > _NOUGHT:
                    if constants.drop_out:
                        left += lost * (_TWO + strokes(ON_FAIRWAY, x, y, expected))
                    else:
                        replayed += lost
        left, replayed = (_ONE - outcomes.holed[s]) * left / count, replayed / count
        value = (_ONE + left + replayed) / (_ONE - replayed)
        largest = max(largest, abs(value - expected.values[lie, row, column]))
        expected.values[lie, row, column] = value
    return largest
