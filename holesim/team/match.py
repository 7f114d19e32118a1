"""Matches: the chance to win, hole by hole, by what the sides may score; the best option in every state."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

HALF: Final = 0.5
"""Points for a match, or a hole, that is halved."""


@dataclass(frozen=True)
class Match:
    """A match played by a policy: what it is worth, and which option is taken when.

    `policy` [hole, holes up + number of holes] is the option; `points` the expected points of the match, one
    for a win and a half for a match that is halved; `won`, `halved` and `lost` the chances.
    """

    policy: NDArray[np.int64]
    won: Floats
    halved: Floats

    @property
    def points(self) -> Floats:
        """Expected points."""
        return self.won + HALF * self.halved

    @property
    def lost(self) -> Floats:
        """The chance to lose."""
        return 1 - self.won - self.halved

    def option(self, hole: int, up: int) -> int:
        """Return the option on a hole, counted from nought, so many up."""
        return int(self.policy[hole, up + len(self.policy)])


def hole_odds(mine: Floats, theirs: Floats) -> Floats:
    """Return the chances to win, to halve and to lose a hole, along the first axis.

    Parameters
    ----------
    mine, theirs
        The chance of each score, lowest first, along the last axis; the others broadcast.
    """
    over = 1 - np.cumsum(theirs, axis=-1)
    won, halved = (mine * over).sum(axis=-1), (mine * theirs).sum(axis=-1)
    return np.stack([won, halved, 1 - won - halved])


def best_policy(
    mine: Sequence[Floats], theirs: Sequence[Floats], usual: Sequence[int], *, worth: float = 1e-12
) -> NDArray[np.int64]:
    """Return the option that is worth most on each hole in each state of the match.

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
    Worked back from the last hole, by how many holes up a side is. Once a match is decided all options are
    worth the same.
    """
    holes = len(mine)
    points = np.where(_states(holes) > 0, 1.0, np.where(_states(holes) == 0, HALF, 0.0))
    policy = np.zeros((holes, len(points)), dtype=np.int64)
    for hole in reversed(range(holes)):
        options = _after(hole_odds(mine[hole], theirs[hole])[:, :, None], points)
        best = options.argmax(axis=0)
        gained = np.take_along_axis(options, best[None], axis=0)[0] - options[usual[hole]]
        policy[hole] = np.where(gained >= worth, best, usual[hole])
        points = np.take_along_axis(options, policy[hole][None], axis=0)[0]
    return policy


def play(policy: NDArray[np.int64], mine: Sequence[Floats], theirs: Sequence[Floats]) -> Match:
    """Return what a policy is worth.

    Parameters
    ----------
    mine
        The chance of each score on each hole, shape (options, worlds, scores).
    theirs
        The same of the other side, shape (worlds, scores).
    """
    holes = len(mine)
    won, halved = (np.where(ends, 1.0, 0.0)[:, None] for ends in (_states(holes) > 0, _states(holes) == 0))
    for hole in reversed(range(holes)):
        odds = hole_odds(mine[hole], theirs[hole])[:, policy[hole]]
        won, halved = (_after(odds, worth) for worth in (won, halved))
    return Match(policy, won[holes], halved[holes])


def _states(holes: int) -> NDArray[np.int64]:
    return np.arange(-holes, holes + 1)


def _after(odds: Floats, worth: Floats) -> Floats:
    """Return what states are worth before a hole that is won, halved or lost with these chances.

    The outermost states, which no match reaches before its last hole, stay as they are.
    """
    up = np.concatenate([worth[1:], worth[-1:]])
    down = np.concatenate([worth[:1], worth[:-1]])
    return np.asarray(odds[0] * up + odds[1] * worth + odds[2] * down)
