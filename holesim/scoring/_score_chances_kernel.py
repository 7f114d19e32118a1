"""Compiled score chances: where shots lead as a sparse matrix over places, and one more stroke by it.

Knows only floats and arrays; `holesim.scoring.score_chances` says what they are.
"""

from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline, single
from holesim.scoring._next_shot_kernel import REPLAY
from holesim.shot._strokes_grid_kernel import ON_FAIRWAY, ON_GREEN, between, from_pin

MOST_PENALTIES = 2  # strokes that a shot may cost beside itself
ROWS = MOST_PENALTIES + 1  # numbers of strokes that the chances of one more follow from
MOST_ENTRIES = 8  # of the matrix by one outcome: the four places around a ball, and around one dropped for it
_NOUGHT, _ONE = single(0), single(1)


class Transitions(NamedTuple):
    """Where the shot of each state leads, and the chance that it is `holed`.

    State s leads to `places[starts[s] : starts[s + 1]]` with these `weights`. Places are numbered lie by lie,
    then on the green metre by metre, and so again for each number of penalty strokes, the most of them first.
    """

    starts: np.ndarray
    places: np.ndarray
    weights: np.ndarray
    holed: np.ndarray


@inline
def _add(share, place, weights, listed, count):  # type: ignore[no-untyped-def]
    """Add a share to a place, list the place where it is new, and return how many are listed."""
    listed[count] = place
    fresh = weights[place] == _NOUGHT
    weights[place] += share
    return count + np.int64(fresh & (share > _NOUGHT))


@inline
def _around(lie, x, y, expected):  # type: ignore[no-untyped-def]
    """Return the first of the places around a ball, how far the others are from it, and all their weights.

    On the green there are two places, by distance, and two that have no weight.
    """
    lies, rows, columns = expected.values.shape
    if lie == ON_GREEN:
        metre, up = between(from_pin(x, y, expected), expected.putts.shape[0])
        place = lies * rows * columns + np.int64(metre)
        return place, 1, 0, 0, _ONE - up, up, _NOUGHT, _NOUGHT
    row, v = between((y - expected.y0) * expected.per_metre, rows)
    column, u = between((x - expected.x0) * expected.per_metre, columns)
    place = (np.int64(lie) * rows + np.int64(row)) * columns + np.int64(column)
    south, north = _ONE - v, v
    return place, 1, columns, columns + 1, south * (_ONE - u), south * u, north * (_ONE - u), north * u


@inline
def _add_ball(share, lie, x, y, expected, first, weights, listed, count):  # type: ignore[no-untyped-def]
    """Add a share to the places around a ball, numbered from `first`, and return how many are listed."""
    place, b, c, d, at_a, at_b, at_c, at_d = _around(lie, x, y, expected)
    place += first
    count = _add(share * at_a, place, weights, listed, count)
    count = _add(share * at_b, place + b, weights, listed, count)
    count = _add(share * at_c, place + c, weights, listed, count)
    return _add(share * at_d, place + d, weights, listed, count)


@entry
def look_around(lies, x, y, expected, places, weights):  # type: ignore[no-untyped-def]
    """Fill in the four places around each ball, and their weights, both [ball, place]."""
    for i in range(len(lies)):
        place, b, c, d, at_a, at_b, at_c, at_d = _around(lies[i], single(x[i]), single(y[i]), expected)
        places[i, 0], places[i, 1], places[i, 2], places[i, 3] = place, place + b, place + c, place + d
        weights[i, 0], weights[i, 1], weights[i, 2], weights[i, 3] = at_a, at_b, at_c, at_d


@entry
def add_chances(lies, x, y, shares, spent, expected, by_place, whole, total):  # type: ignore[no-untyped-def]
    """Add to `total` [ball, n - 1] the chance of n strokes or fewer by each ball, times its share.

    Each ball has cost `spent` strokes before it came to lie where it does. From there chances lie between
    those of the places around it, `by_place` [place, n - 1], `whole` to certainty.
    """
    for i in range(len(lies)):
        if not shares[i] > 0.0:
            continue
        place, b, c, d, at_a, at_b, at_c, at_d = _around(lies[i], single(x[i]), single(y[i]), expected)
        share, first = shares[i] / whole, spent[i]
        here, beside, there, across = (
            by_place[place], by_place[place + b], by_place[place + c], by_place[place + d],
        )  # fmt: skip
        for n in range(total.shape[1] - first):
            found = (
                at_a * single(here[n]) + at_b * single(beside[n])
                + at_c * single(there[n]) + at_d * single(across[n])
            )  # fmt: skip
            total[i, first + n] += share * min(found, whole)  # weights may round to more than one


@entry
def gather(states, outcomes, constants, weights, listed, transitions):  # type: ignore[no-untyped-def]
    """Fill in the transitions of all states from the outcomes of their shots.

    `weights` has a nought for each numbered place, and has it again when all is done; `listed` has room for
    the places of one state.
    """
    expected = constants.expected
    lies, rows, columns = expected.values.shape
    places = lies * rows * columns + expected.putts.shape[0]
    misses, total = outcomes.lies.shape[1], 0
    for s in range(len(states.lies)):
        holed, replayed, count = outcomes.holed[s], _NOUGHT, 0
        share = (_ONE - holed) / single(misses)
        for k in range(misses):
            code, x, y = outcomes.lies[s, k], outcomes.x[s, k], outcomes.y[s, k]
            if code == REPLAY:
                replayed += share
                continue
            lost, penalties = outcomes.lost[s, k], np.int64(outcomes.penalties[s, k])
            first = (MOST_PENALTIES - penalties) * places
            count = _add_ball((_ONE - lost) * share, code, x, y, expected, first, weights, listed, count)
            if lost > _NOUGHT:
                if constants.drop_out:
                    count = _add_ball(lost * share, ON_FAIRWAY, x, y, expected, 0, weights, listed, count)
                else:
                    replayed += lost * share
        # The same shot again, after a penalty stroke.
        own = (states.lies[s] * rows + states.rows[s]) * columns + states.columns[s]
        count = _add(replayed, (MOST_PENALTIES - 1) * places + own, weights, listed, count)
        for i in range(count):
            transitions.places[total + i] = listed[i]
            transitions.weights[total + i] = weights[listed[i]]
            weights[listed[i]] = _NOUGHT
        total += count
        transitions.starts[s + 1], transitions.holed[s] = total, holed


@entry
def spread(transitions, then, chances):  # type: ignore[no-untyped-def]
    """Fill in the `chances` [state, k] of so many strokes or fewer, where golfer k plays next.

    `then` [place, k] are those of three strokes fewer, of two fewer, and of one fewer.
    """
    weights, places = transitions.weights, transitions.places
    for s in range(len(chances)):
        found = chances[s]
        found[:] = transitions.holed[s]
        i, end = transitions.starts[s], transitions.starts[s + 1]
        while i + 1 < end:  # two at a time, so that what is found is read and stored half as often
            here, there = then[places[i]], then[places[i + 1]]
            for k in range(len(found)):
                found[k] += weights[i] * here[k] + weights[i + 1] * there[k]
            i += 2
        if i < end:
            here = then[places[i]]
            for k in range(len(found)):
                found[k] += weights[i] * here[k]
