"""Compiled match: the chances to win and to halve it, by the option taken on each hole in each state.

Knows only floats and arrays; `holesim.team.match` says what they are.
"""

from typing import NamedTuple

import numpy as np

from holesim.common._simd_kernel import entry, inline


class Room(NamedTuple):
    """Working memory of one draw set: the chances to win and to halve a hole by each option.

    And those of the match in each state, after a hole and before it.
    """

    hole: np.ndarray
    after: np.ndarray
    before: np.ndarray


@inline
def _meet(mine, theirs):  # type: ignore[no-untyped-def]
    """Return the chances to win and to halve a hole, by the chance of each score."""
    won, halved, over = 0.0, 0.0, 1.0
    for s in range(len(mine)):
        over -= theirs[s]
        won += mine[s] * over
        halved += mine[s] * theirs[s]
    return won, halved


@entry
def play(starts, options, policy, theirs, room, won, halved):  # type: ignore[no-untyped-def]
    """Fill in the chances to win and to halve a match in each draw set.

    Parameters
    ----------
    starts, options
        On hole h a side has `options[starts[h] : starts[h + 1]]`, chances of shape [draw set, score].
    policy
        The option taken [hole, state], counted from the first of the hole.
    theirs
        The other side's chances [hole, draw set, score].
    """
    holes, states = policy.shape
    for d in range(len(won)):
        for state in range(states):
            room.after[0, state] = 1.0 if state > holes else 0.0
            room.after[1, state] = 1.0 if state == holes else 0.0
        for hole in range(holes - 1, -1, -1):
            first = starts[hole]
            for k in range(first, starts[hole + 1]):
                room.hole[0, k - first], room.hole[1, k - first] = _meet(options[k, d], theirs[hole, d])
            # One fewer to either side is within reach before each hole.
            out = holes - hole
            for state in range(out, states - out):
                k = policy[hole, state]
                win, halve = room.hole[0, k], room.hole[1, k]
                lose = 1.0 - win - halve
                for part in range(2):
                    after = room.after[part]
                    room.before[part, state] = (
                        win * after[state + 1] + halve * after[state] + lose * after[state - 1]
                    )
            for part in range(2):
                for state in range(out, states - out):
                    room.after[part, state] = room.before[part, state]
        won[d], halved[d] = room.after[0, holes], room.after[1, holes]
