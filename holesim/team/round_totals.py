"""Rounds: the chance of each total, of one player and of the best so many of a team."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team.strike_scores import SCORES

Floats = NDArray[np.float64]


_ROUNDS: Final = 2**16  # drawn for a spread: true to a third of a percent


@dataclass(frozen=True)
class Totals:
    """The chance of each total of a round: the first is of `least` strokes; worlds may go before."""

    least: int
    chances: Floats

    @property
    def values(self) -> NDArray[np.int64]:
        """The totals."""
        return self.least + np.arange(self.chances.shape[-1])

    def mean(self) -> Floats:
        """Return the mean total, in each world."""
        return np.asarray(self.chances @ self.values)

    def spread(self) -> float:
        """Return the standard deviation, of one world's."""
        mean = float(self.mean())
        return sqrt(max(float(self.chances @ (self.values - mean) ** 2), 0.0))

    def capped(self, at: Floats) -> Floats:
        """Return the mean of a total or of another, independent score, whichever is lower.

        Parameters
        ----------
        at
            The chance that the other is above each of `values`, perhaps in each world.
        """
        above = 1 - np.cumsum(self.chances, axis=-1)
        return np.asarray(self.least + (above * at).sum(axis=-1))


def added_up(holes: Sequence[Floats]) -> Totals:
    """Return the totals of a round by the chances of each score on its holes, shape (…, scores).

    Holes are independent of one another.
    """
    length = (len(SCORES) - 1) * len(holes) + 1
    along = np.prod(np.stack([np.fft.rfft(hole, length, axis=-1) for hole in holes]), axis=0)
    return Totals(int(SCORES[0]) * len(holes), np.fft.irfft(along, length, axis=-1))


def ranked_above(totals: Sequence[Totals], rank: int) -> Floats:
    """Return the chance that the `rank`-th lowest of independent totals is above each value.

    With fewer totals than that it is above everything.

    Notes
    -----
    It is above where fewer than `rank` are at or below: a sum of trials of unequal chances.
    """
    counts = np.zeros((rank, *np.shape(totals[0].chances))) if totals else np.zeros((rank, 1))
    counts[0] = 1.0
    for one in totals:
        within = np.cumsum(one.chances, axis=-1)
        fewer = np.concatenate([np.zeros_like(counts[:1]), counts[:-1]])
        counts = counts * (1 - within) + fewer * within
    return np.asarray(counts.sum(axis=0))


def spread_of_best(totals: Sequence[Totals], count: int, rng: np.random.Generator) -> float:
    """Return the standard deviation of the sum of the `count` lowest totals, by drawing rounds."""
    drawn = np.stack([rng.choice(one.values, _ROUNDS, p=_whole(one.chances)) for one in totals])
    return float(np.sort(drawn, axis=0)[:count].sum(axis=0).std())


def _whole(chances: Floats) -> Floats:
    """Return chances that rounding has left off nought, or off one in all."""
    return np.asarray(np.clip(chances, 0, None) / np.clip(chances, 0, None).sum())


def best_total(totals: Sequence[Totals], count: int) -> Floats:
    """Return the mean of the sum of the `count` lowest totals, in each world: their order statistics."""
    ranks = (ranked_above(totals, rank).sum(axis=-1) for rank in range(1, count + 1))
    return np.asarray(np.sum([totals[0].least + above for above in ranks], axis=0))
