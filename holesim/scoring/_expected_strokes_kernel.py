"""Compiled dynamic programming: the best next shot from every place on a hole, worked back from the cup.

Knows only floats and arrays; `holesim.expected` says what they are.
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
from holesim.shot._relief_kernel import LIES, drop, noted_drop
from holesim.shot._strokes_grid_kernel import (
    IN_HEAVY,
    IN_RECOVERY,
    ON_FAIRWAY,
    ON_GREEN,
    between,
    from_pin,
    strokes,
)

_NOUGHT, _HALF, _ONE, _TWO = single(0), single(0.5), single(1), single(2)


@inline
def lost_from(lie, penalty, target):  # type: ignore[no-untyped-def]
    """Return the chance that a ball is not found where a shot left it."""
    if penalty > _NOUGHT:
        return _NOUGHT
    if lie == IN_RECOVERY:
        return single(target.lost_in_trees)
    return single(target.lost_in_heavy) if lie == IN_HEAVY else _NOUGHT


@part
def holes_out(x, y, shot, swings, expected):  # type: ignore[no-untyped-def]
    """Return the chance that a shot finds the hole: its density there, over the area that lets it in."""
    dx, dy = expected.pin_x - x, expected.pin_y - y
    a = (dx * shot.east + dy * shot.north - shot.length) / shot.along
    b = ((dx * shot.north - dy * shot.east) / shot.across - shot.lean * a) / shot.upright
    peak = swings.hole / (single(2 * pi) * shot.along * shot.across * shot.upright)
    return min(peak * exp(-_HALF * (a * a + b * b)), _HALF)


@part
def cost(x, y, lie, here, length, bearing, points, swings, hole):  # type: ignore[no-untyped-def]
    """Return the mean strokes to hole out from a place by one shot, aimed to finish `length` along `bearing`.

    `points` are those of the bag, or some; `here` is what is thought to remain now, against which a replay
    is weighed.
    """
    target, expected = hole.target, hole.target.expected
    shot = pattern(x, y, length, bearing, lie, swings, hole.grid)
    if shot.played > swings.longest[lie] + single(0.01):
        return single(np.inf)
    left, replayed = _NOUGHT, _NOUGHT
    finish(x, y, shot, points, hole)
    for k in range(points.shape[1]):
        code, nx, ny, penalty = outcome(k, hole)
        if code < REPLAY:
            dropped = noted_drop(nx, ny, code == RED_DROP, target, hole.grid, hole.memory)
            if dropped < here:
                left += _ONE + dropped
            else:
                replayed += _ONE
        elif code == REPLAY:
            replayed += _ONE
        else:
            lost = lost_from(code, penalty, target)
            left += (_ONE - lost) * (penalty + strokes(code, nx, ny, expected))
            if target.drop_out:
                left += lost * (_TWO + strokes(ON_FAIRWAY, nx, ny, expected))
            else:
                replayed += lost
    count = single(points.shape[1])
    left, replayed = left / count, replayed / count
    if replayed >= single(0.999):
        return single(np.inf)
    left *= _ONE - holes_out(x, y, shot, swings, expected)
    return (_ONE + left + replayed) / (_ONE - replayed)


# --- the best shot --------------------------------------------------------------------------------

# Where to look for it: shares of the longest, the most likely first, and turns from the pin [rad].
SHARES = np.array([1.0, 0.89, 0.78, 0.67, 0.55, 0.43, 0.32, 0.22, 0.14, 0.08, 0.04], dtype=np.float32)
_ASIDE = np.array([0.05, 0.1, 0.17, 0.27, 0.4, 0.6, 0.9, 1.3, 1.8, 2.4])
TURNS = np.concatenate([[0.0], np.stack([_ASIDE, -_ASIDE], axis=1).ravel(), [pi]]).astype(np.float32)
FORWARD = 17  # of these turns, the first, are tried from elsewhere than among trees
FEW, SOME = 8, 32  # points that a first look takes, and that shots are compared by until each state has one
_SLACK = single(0.1)  # strokes that a shot may cost less than it would if it were straight, to the fairway
_LOOSE = single(0.3)  # strokes that a shot may seem to cost more than another, by few points, and be better
_WIDE, _CLOSE = single(0.7), single(0.5)  # shares of the spread by which targets are apart
_SHORTEST = single(1)  # m


class Shots(NamedTuple):
    """The best shot known from each [lie, row, column]: its length [m] and its bearing [rad].

    A length of nought is no shot known yet, one below it a ball declared unplayable.
    """

    lengths: np.ndarray
    bearings: np.ndarray


@inline
def _spread(lie, length, swings):  # type: ignore[no-untyped-def]
    """Return how far a shot spreads along its line, and by what angle across, neither of them too little."""
    i = min(np.uint32(length * swings.per_metre), np.uint32(swings.table.shape[1] - 1))
    angle = min(max(swings.table[lie, i, ACROSS] / length, single(0.02)), _HALF)
    return max(swings.table[lie, i, ALONG], _TWO), angle


@inline
def _lowest(before, middle, after):  # type: ignore[no-untyped-def]
    """Return where the parabola through values at -1, 0 and 1 is lowest, within 2 either way; else nought."""
    bend = before - _TWO * middle + after
    if not single(1e-5) < bend < single(1e5):
        return _NOUGHT
    return min(max(_HALF * (before - after) / bend, -_TWO), _TWO)


@part
def refined(x, y, lie, here, best, length, bearing, share, points, swings, hole):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best shot near one that costs `best`, by some points.

    Looks either way, along and across, by `share` of the spread; and where parabolas through what it finds
    are lowest. More looks, or nearer ones, would find what suits these points and no others.
    """
    further, turn = _spread(lie, length, swings)
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
        to_length, to_bearing = min(max(l0 + dl, _SHORTEST), swings.longest[lie]), b0 + db
        tried = cost(x, y, lie, here, to_length, to_bearing, points, swings, hole)
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
def explored(x, y, lie, here, best, length, bearing, points, swings, hole):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best of many shots and one that costs `best`, by some points.

    Of each length the best at a first look is looked at closely: by few points it is not seen whether it is
    better to carry water or to keep short of it.
    """
    few, expected = swings.points[:, :FEW], hole.target.expected
    dx, dy = expected.pin_x - x, expected.pin_y - y
    away, pin = sqrt(dx * dx + dy * dy), np.arctan2(dx, dy)
    to_pin = min(max(away, _SHORTEST), swings.longest[lie])
    for j in range(-1, len(SHARES)):
        tried = to_pin if j < 0 else SHARES[j] * swings.longest[lie]
        first, ahead = best + _LOOSE, pin
        for k in range(len(TURNS) if lie == IN_RECOVERY else FORWARD):
            turned = pin + TURNS[k]
            there = strokes(ON_FAIRWAY, x + tried * sin(turned), y + tried * cos(turned), expected)
            if _ONE + there > min(first, best) + _SLACK:
                continue
            strokes_then = cost(x, y, lie, here, tried, turned, few, swings, hole)
            if strokes_then < first:
                first, ahead = strokes_then, turned
        if first < best + _LOOSE:
            strokes_then = cost(x, y, lie, here, tried, ahead, points, swings, hole)
            if strokes_then < best:
                best, length, bearing = strokes_then, tried, ahead
    return best, length, bearing


@part
def borrowed(x, y, lie, row, column, here, within, points, swings, hole, shots):  # type: ignore[no-untyped-def]
    """Return strokes, length and bearing of the best of the shots known at this node and those around it.

    Of those around it nodes are asked that are less than `within` from the pin, for targets that are not
    close to its own.
    """
    nodes = hole.target.expected
    _, rows, columns = nodes.values.shape
    length, bearing = shots.lengths[lie, row, column], shots.bearings[lie, row, column]
    best = single(np.inf) if length == _NOUGHT else here
    known = length > _NOUGHT
    east, north = length * sin(bearing), length * cos(bearing)
    for r in range(max(row - 1, 0), min(row + 2, rows)):
        for c in range(max(column - 1, 0), min(column + 2, columns)):
            tried, turned = shots.lengths[lie, r, c], shots.bearings[lie, r, c]
            dx, dy = single(c - column) / nodes.per_metre, single(r - row) / nodes.per_metre
            if not tried > _NOUGHT or from_pin(x + dx, y + dy, nodes) > within:
                continue
            # Theirs is aimed at a place, not along a line.
            dx, dy = dx + tried * sin(turned), dy + tried * cos(turned)
            tried = min(max(sqrt(dx * dx + dy * dy), _SHORTEST), swings.longest[lie])
            near = _CLOSE * _spread(lie, tried, swings)[0]
            if known and (dx - east) * (dx - east) + (dy - north) * (dy - north) < near * near:
                continue
            turned = np.arctan2(dx, dy)
            strokes_then = cost(x, y, lie, here, tried, turned, points, swings, hole)
            if strokes_then < best:
                best, length, bearing = strokes_then, tried, turned
    return best, length, bearing


class States(NamedTuple):
    """What a ball may be played from, nearest the pin first.

    `scouts` look around for themselves, as does whoever is among trees, where each gap is another; the others
    try what those around them play.
    """

    lies: np.ndarray
    rows: np.ndarray
    columns: np.ndarray
    scouts: np.ndarray


class Outcomes(NamedTuple):
    """Where each point of each state's best shot leads [state, point], and the chance that it is `holed`.

    A lie of `REPLAY` is the same shot again; `lost` is the chance that it comes to that.
    """

    lies: np.ndarray
    x: np.ndarray
    y: np.ndarray
    penalties: np.ndarray
    lost: np.ndarray
    holed: np.ndarray


@inline
def _at(s, states, nodes):  # type: ignore[no-untyped-def]
    x = nodes.x0 + single(states.columns[s]) / nodes.per_metre
    return x, nodes.y0 + single(states.rows[s]) / nodes.per_metre


@part
def _keep(s, best, length, bearing, states, hole, shots):  # type: ignore[no-untyped-def]
    """Make this the shot of a state, unless its ball is better declared unplayable."""
    lie, row, column = states.lies[s], states.rows[s], states.columns[s]
    if lie in (IN_RECOVERY, IN_HEAVY):
        x, y = _at(s, states, hole.target.expected)
        unplayable = _ONE + drop(x, y, True, hole.target, hole.grid)[0]
        if unplayable < best:
            best, length = unplayable, -_ONE
    if best < single(np.inf):  # else nothing is known to leave from here
        hole.target.expected.values[lie, row, column] = best
        shots.lengths[lie, row, column], shots.bearings[lie, row, column] = length, bearing


@entry
def begin(states, swings, hole, shots):  # type: ignore[no-untyped-def]
    """Look in each state for a good shot, nearest the pin first.

    Shots are borrowed from half a step nearer the pin, so that it does not matter which of two as near comes
    first.
    """
    nodes, some = hole.target.expected, swings.points[:, :SOME]
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, nodes)
        here, within = nodes.values[lie, row, column], from_pin(x, y, nodes) - _HALF / nodes.per_metre
        best, length, bearing = borrowed(x, y, lie, row, column, here, within, some, swings, hole, shots)
        if states.scouts[s] or lie == IN_RECOVERY or best == single(np.inf):
            best, length, bearing = explored(x, y, lie, here, best, length, bearing, some, swings, hole)
        best = cost(x, y, lie, here, length, bearing, swings.points, swings, hole)
        best, length, bearing = refined(
            x, y, lie, here, best, length, bearing, _WIDE, swings.points, swings, hole
        )
        _keep(s, best, length, bearing, states, hole, shots)


@entry
def improve_policy(states, swings, hole, shots):  # type: ignore[no-untyped-def]
    """Look in each state for a better shot: that of one of those around it, or one close by."""
    nodes = hole.target.expected
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, nodes)
        here, within, points = nodes.values[lie, row, column], single(np.inf), swings.points
        best, length, bearing = borrowed(x, y, lie, row, column, here, within, points, swings, hole, shots)
        if length > _NOUGHT:
            best, length, bearing = refined(
                x, y, lie, here, best, length, bearing, _CLOSE, points, swings, hole
            )
        _keep(s, best, length, bearing, states, hole, shots)


@entry
def play(states, swings, hole, shots, outcomes):  # type: ignore[no-untyped-def]
    """Fill in where each state's best shot leads."""
    target, nodes = hole.target, hole.target.expected
    for s in range(len(states.lies)):
        lie, row, column = states.lies[s], states.rows[s], states.columns[s]
        x, y = _at(s, states, nodes)
        here, length = nodes.values[lie, row, column], shots.lengths[lie, row, column]
        outcomes.holed[s] = _NOUGHT
        if not length > _NOUGHT:
            dx, dy, there = x, y, lie
            if length < _NOUGHT:
                _, dx, dy = drop(x, y, True, target, hole.grid)
                there = LIES[look_up(dx, dy, hole.grid)]
            outcomes.lies[s], outcomes.x[s], outcomes.y[s] = there, dx, dy
            outcomes.penalties[s], outcomes.lost[s] = _NOUGHT, _NOUGHT
            continue
        shot = pattern(x, y, length, shots.bearings[lie, row, column], lie, swings, hole.grid)
        outcomes.holed[s] = holes_out(x, y, shot, swings, nodes)
        finish(x, y, shot, swings.points, hole)
        for k in range(swings.points.shape[1]):
            code, nx, ny, penalty = outcome(k, hole)
            if code < REPLAY:
                remain, nx, ny = drop(nx, ny, code == RED_DROP, target, hole.grid)
                code = LIES[look_up(nx, ny, hole.grid)] if remain < here else REPLAY
            outcomes.lies[s, k], outcomes.x[s, k], outcomes.y[s, k] = code, nx, ny
            outcomes.penalties[s, k], outcomes.lost[s, k] = penalty, lost_from(code, penalty, target)


@entry
def evaluate_policy(states, outcomes, target):  # type: ignore[no-untyped-def]
    """Work out anew, state by state, what remains by the shots as they are; return the largest change."""
    nodes, largest = target.expected, 0.0
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
                left += (_ONE - lost) * (outcomes.penalties[s, k] + strokes(code, x, y, nodes))
                if lost > _NOUGHT:
                    if target.drop_out:
                        left += lost * (_TWO + strokes(ON_FAIRWAY, x, y, nodes))
                    else:
                        replayed += lost
        left, replayed = (_ONE - outcomes.holed[s]) * left / count, replayed / count
        value = (_ONE + left + replayed) / (_ONE - replayed)
        largest = max(largest, abs(value - nodes.values[lie, row, column]))
        nodes.values[lie, row, column] = value
    return largest


@inline
def _add(share, n, lie, x, y, target, putted, then, chances):  # type: ignore[no-untyped-def]
    """Add a share of the chances of holing out in n strokes or fewer from a lie at a place."""
    if n < 1:
        return
    nodes, one = target.expected, np.uint32(1)
    if lie == ON_GREEN:
        row, up = between(from_pin(x, y, nodes), putted.shape[1])
        low, high = putted[n - 1, row], putted[n - 1, row + one]
        for k in range(len(chances)):
            chances[k] += share * (low[k] + up * (high[k] - low[k]))
        return
    row, v = between((y - nodes.y0) * nodes.per_metre, then.shape[2])
    column, u = between((x - nodes.x0) * nodes.per_metre, then.shape[3])
    south, north = then[n - 1, lie, row], then[n - 1, lie, row + one]
    a, b, c, d = south[column], south[column + one], north[column], north[column + one]
    for k in range(len(chances)):
        low, high = a[k] + u * (b[k] - a[k]), c[k] + u * (d[k] - c[k])
        chances[k] += share * (low + v * (high - low))


@entry
def distribute(n, states, outcomes, target, putted, then, chances):  # type: ignore[no-untyped-def]
    """Fill in each state's `chances` [state, k] of n strokes or fewer, where golfer k plays next.

    `putted` [strokes - 1, metre, k] and `then` [strokes - 1, lie, row, column, k] are those of fewer strokes.
    """
    points = outcomes.lies.shape[1]
    for s in range(len(states.lies)):
        found, holed, replayed = chances[s], outcomes.holed[s], _NOUGHT
        found[:] = holed
        share = (_ONE - holed) / single(points)
        for k in range(points):
            code, x, y = outcomes.lies[s, k], outcomes.x[s, k], outcomes.y[s, k]
            if code == REPLAY:
                replayed += share
                continue
            lost, left = outcomes.lost[s, k], n - 1 - int(outcomes.penalties[s, k])
            _add((_ONE - lost) * share, left, code, x, y, target, putted, then, found)
            if lost > _NOUGHT:
                if target.drop_out:
                    _add(lost * share, n - 3, ON_FAIRWAY, x, y, target, putted, then, found)
                else:
                    replayed += lost * share
        if n > 2 and replayed > _NOUGHT:
            again = then[n - 3, states.lies[s], states.rows[s], states.columns[s]]
            for k in range(len(found)):
                found[k] += replayed * again[k]
