"""A match hole by hole, by dynamic programming: the best option in every state, and the chance to win."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team import _match_kernel as kernel

Floats = NDArray[np.float64]

HALF: Final = 0.5
"""Points for a halved match or hole; a win is worth one."""


@dataclass(frozen=True)
class Match:
    """A match played by a policy.

    Attributes
    ----------
    policy
        The option taken on each hole in each state, shape (holes, states): the states are from as many holes
        down to as many holes up as there are holes.
    won, halved
        The chances of the match, shape (draw sets,).
    """

    policy: NDArray[np.int64]
    won: Floats
    halved: Floats

    @property
    def points(self) -> Floats:
        """Expected points, shape (draw sets,)."""
        return self.won + HALF * self.halved

    @property
    def lost(self) -> Floats:
        """The chance to lose, shape (draw sets,)."""
        return 1 - self.won - self.halved

    def option(self, hole: int, up: int) -> int:
        """Return the option on a hole, counted from nought, when `up` holes up."""
        return int(self.policy[hole, up + len(self.policy)])


def hole_chances(mine: Floats, theirs: Floats) -> Floats:
    """Return the chances to win, to halve and to lose a hole, along the first axis.

    Parameters
    ----------
    mine, theirs
        The chance of each score, lowest first, along the last axis; the others broadcast.

    Examples
    --------
    A four or a five, as likely, against a certain five:

    >>> hole_chances(np.array([0.5, 0.5]), np.array([0.0, 1.0])).tolist()
    [0.5, 0.5, 0.0]
    """
    over = 1 - np.cumsum(theirs, axis=-1)
    won, halved = (mine * over).sum(axis=-1), (mine * theirs).sum(axis=-1)
    return np.stack([won, halved, 1 - won - halved])


def find_policy(
    mine: Sequence[Floats], theirs: Sequence[Floats], usual: Sequence[int], *, worth: float = 1e-12
) -> NDArray[np.int64]:
    """Return the option worth the most points on each hole in each state of the match, as `Match.policy`.

    Parameters
    ----------
    mine
        The chance of each score on each hole, shape (options, scores).
    theirs
        The same of the other side, shape (scores,).
    usual
        The option on each hole where no other is worth it.
    worth
        Points of the match that another option must gain to be taken.

    Notes
    -----
    Dynamic programming from the last hole, by how many holes up a side is. Once a match is decided all
    options are worth the same.
    """
    holes = len(mine)
    points = np.where(_states(holes) > 0, 1.0, np.where(_states(holes) == 0, HALF, 0.0))
    policy = np.zeros((holes, len(points)), dtype=np.int64)
    for hole in reversed(range(holes)):
        options = _value_before(hole_chances(mine[hole], theirs[hole])[:, :, None], points)
        best = options.argmax(axis=0)
        gained = np.take_along_axis(options, best[None], axis=0)[0] - options[usual[hole]]
        policy[hole] = np.where(gained >= worth, best, usual[hole])
        points = np.take_along_axis(options, policy[hole][None], axis=0)[0]
    return policy


def play_match(policy: NDArray[np.int64], mine: Sequence[Floats], theirs: Floats) -> Match:
    """Return the match that a policy gives.

    Parameters
    ----------
    mine
        The chance of each score on each hole, shape (options, draw sets, scores).
    theirs
        The same of the other side, shape (holes, draw sets, scores).
    """
    counts = [len(options) for options in mine]
    starts, draw_sets, states = np.cumsum([0, *counts]), theirs.shape[1], policy.shape[1]
    room = kernel.Room(np.empty((2, max(counts))), np.empty((2, states)), np.empty((2, states)))
    won, halved = np.empty((2, draw_sets))
    kernel.play(starts, np.concatenate(mine), policy, theirs, room, won, halved)
    return Match(policy, won, halved)


def play_options(options: Sequence[int], mine: Sequence[Floats], theirs: Floats) -> Match:
    """Return the match with one option on each hole, whatever its state.

    Parameters
    ----------
    mine
        The chance of each score on each hole by its option, shape (draw sets, scores).
    theirs
        The same of the other side, shape (holes, draw sets, scores).
    """
    plain = np.zeros((len(mine), len(_states(len(mine)))), dtype=np.int64)
    played = play_match(plain, [one[None] for one in mine], theirs)
    return replace(played, policy=plain + np.array(options)[:, None])


def _states(holes: int) -> NDArray[np.int64]:
    return np.arange(-holes, holes + 1)


def _value_before(chances: Floats, value: Floats) -> Floats:
    """Return the value of each state before a hole, by the chances on it and the values after it.

    The outermost states, which no match reaches before its last hole, stay as they are.
    """
    up = np.concatenate([value[1:], value[-1:]])
    down = np.concatenate([value[:1], value[:-1]])
    return np.asarray(chances[0] * up + chances[1] * value + chances[2] * down)
