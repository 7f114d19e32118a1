"""Compiled shared balls: what follows the drives of a strike, and the better of two players' drives.

Knows only floats and arrays; `holesim.team.partner_drives` and `holesim.team.shared_ball` say what they are.
"""

from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline

_MOST_ROUNDS = 100  # of iteration
_CONVERGED = 1e-9  # strokes, and chances


class DriveWeights(NamedTuple):
    """Drives as weights of the places played on from: a sparse matrix by rows, for each number of penalties.

    Drive i of n with `penalties[k]` strokes has row r = k · n + i, of `weights[starts[r] : starts[r + 1]]` at
    these `places`.
    """

    penalties: np.ndarray
    starts: np.ndarray
    places: np.ndarray
    weights: np.ndarray


# Below, `then` [place, strokes, golfer who plays next] are the chances of so many strokes or fewer, and flat:
# the golfers beside one another, so that loops over them vectorise.


@entry
def fill_chances(drives, shares, then, golfers, chances):  # type: ignore[no-untyped-def]
    """Fill in the `chances` [draw set, strokes · golfers + golfer] of what of each drive is not replayed.

    Drives count by `shares`. A last number of strokes counts all that take longer.
    """
    count, width = len(shares), chances.shape[1]
    per_set = count // len(chances)
    chances[:] = 0.0
    for k in range(len(drives.penalties)):
        first = (1 + drives.penalties[k]) * golfers
        for i in range(count):
            found, share = chances[i // per_set], shares[i] / per_set
            e, end, whole = drives.starts[k * count + i], drives.starts[k * count + i + 1], 0.0
            while e < end:  # two at a time, so that what is found is read and stored half as often
                other = min(e + 1, end - 1)
                weight = drives.weights[e] * share
                more = drives.weights[other] * share if other > e else 0.0
                here, there = then[drives.places[e]], then[drives.places[other]]
                for m in range(width - golfers - first):
                    found[first + m] += weight * here[m] + more * there[m]
                whole += weight + more
                e += 2
            for m in range(width - golfers, width):
                found[m] += whole
    for d in range(len(chances)):
        for m in range(width - 1, golfers - 1, -1):
            chances[d, m] -= chances[d, m - golfers]


@entry
def fill_costs(drives, strokes, costs):  # type: ignore[no-untyped-def]
    """Fill in the mean strokes of what of each drive is not replayed, [drive, golfer].

    `strokes` [penalty, place, golfer] are those of a drive with so many penalty strokes from each place.
    """
    count = len(costs)
    costs[:] = 0.0
    for k in range(len(drives.penalties)):
        for i in range(count):
            found = costs[i]
            for e in range(drives.starts[k * count + i], drives.starts[k * count + i + 1]):
                weight, there = drives.weights[e], strokes[k, drives.places[e]]
                for golfer in range(len(found)):
                    found[golfer] += weight * there[golfer]


class TeeShots(NamedTuple):
    """What follows a player's strikes from the tee.

    The chance of each number of strokes where the drive is played on, `on` [strike, strokes], and the chance
    that it is `replayed` [strike].
    """

    on: np.ndarray
    replayed: np.ndarray


@inline
def _mean(chances):  # type: ignore[no-untyped-def]
    total = 0.0
    for n in range(len(chances)):
        total += chances[n] * (n + 1)
    return total


@inline
def _least(shots, expected):  # type: ignore[no-untyped-def]
    """Return the strike that costs least, and its strokes; the partner's from the tee are `expected`."""
    best, strokes = 0, np.inf
    for k in range(len(shots.replayed)):
        tried = _mean(shots.on[k]) + shots.replayed[k] * (2.0 + expected)
        if tried < strokes:
            best, strokes = k, tried
    return best, strokes


@inline
def _replay(on, replayed, partner, chances):  # type: ignore[no-untyped-def]
    """Fill in the chances from a tee where the partner replays, two strokes later; return how they change."""
    change, last = 0.0, len(chances) - 1
    for n in range(len(chances)):
        later = partner[n - 2] if n > 1 else 0.0
        if n == last:  # counts all that take longer
            later += partner[n - 1] + partner[n]
        found = on[n] + replayed * later
        change, chances[n] = max(change, abs(found - chances[n])), found
    return change


@entry
def fill_from_tee(one, other, chances):  # type: ignore[no-untyped-def]
    """Fill in the `chances` [player, strokes] where either of two players drives and the other replays."""
    strokes, others, best, reply = np.inf, np.inf, 0, 0
    for k in range(len(one.replayed)):
        strokes = min(strokes, _mean(one.on[k]))
    for k in range(len(other.replayed)):
        others = min(others, _mean(other.on[k]))
    for _ in range(_MOST_ROUNDS):
        before, before_others = strokes, others
        best, strokes = _least(one, others)
        reply, others = _least(other, strokes)
        if max(abs(strokes - before), abs(others - before_others)) < _CONVERGED:
            break
    for n in range(chances.shape[1]):
        chances[0, n], chances[1, n] = one.on[best, n], other.on[reply, n]
    for _ in range(_MOST_ROUNDS):
        change = _replay(one.on[best], one.replayed[best], chances[1], chances[0])
        if max(change, _replay(other.on[reply], other.replayed[reply], chances[0], chances[1])) < _CONVERGED:
            break


@entry
def count_above(costs, per_set, step, parts, above):  # type: ignore[no-untyped-def]
    """Fill in the chance that drives cost more than each part of a stroke, `above` [strike, part].

    Of `costs` [strike, drive], `per_set` to a draw set, those of each `step`-th set count. The product of two
    players', summed, is the mean of the better of two drives, in such parts, rounded down.
    """
    most = above.shape[1] - 1
    for k in range(len(costs)):
        found, count = above[k], 0
        found[:] = 0.0
        for first in range(0, costs.shape[1], per_set * step):
            for i in range(first, first + per_set):
                found[min(int(costs[k, i] * parts), most)] += 1.0
                count += 1
        left = count
        for part in range(most + 1):
            left -= found[part]
            found[part] = left / count


@entry
def fill_shares_above(others, costs, equal, shares):  # type: ignore[no-untyped-def]
    """Fill in the share of `others`, sorted, above each of `costs`; those equal to it if `equal`."""
    for i in range(len(costs)):
        # Halving without a branch, which a processor would have to guess.
        low, left = np.int64(0), len(others)
        while left > 0:
            half = (left + 1) >> 1
            middle = others[low + half - 1]
            low += half * np.int64((middle < costs[i]) | ((middle == costs[i]) & (not equal)))
            left -= half
        shares[i] = 1.0 - low / len(others)
