"""The chance of each total of a round, for one player and for the best scores of a team."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team.strike_scores import SCORES

Floats = NDArray[np.float64]


_ROUNDS: Final = 2**16  # drawn for a standard deviation: true to a third of a percent


@dataclass(frozen=True)
class RoundTotals:
    """The chance of each total of a round, shape (…, totals); the first total is `lowest` strokes."""

    lowest: int
    chances: Floats

    @property
    def values(self) -> NDArray[np.int64]:
        """The totals."""
        return self.lowest + np.arange(self.chances.shape[-1])

    def mean(self) -> Floats:
        """Return the mean total, shape (…)."""
        return np.asarray(self.chances @ self.values)

    def sd(self) -> float:
        """Return the standard deviation, of chances of shape (totals,)."""
        mean = float(self.mean())
        return sqrt(max(float(self.chances @ (self.values - mean) ** 2), 0.0))

    def mean_of_lower(self, above: Floats) -> Floats:
        """Return the mean of the lower of a total and another, independent score.

        Parameters
        ----------
        above
            The chance that the other score is above each of `values`, shape (…, totals).
        """
        own_above = 1 - np.cumsum(self.chances, axis=-1)
        return np.asarray(self.lowest + (own_above * above).sum(axis=-1))


def add_holes(holes: Sequence[Floats]) -> RoundTotals:
    """Return the totals of a round by the chances of `SCORES` on each hole, shape (…, scores).

    Holes are independent of one another.
    """
    length = (len(SCORES) - 1) * len(holes) + 1
    along = np.prod(np.stack([np.fft.rfft(hole, length, axis=-1) for hole in holes]), axis=0)
    return RoundTotals(int(SCORES[0]) * len(holes), np.fft.irfft(along, length, axis=-1))


def chance_rank_above(totals: Sequence[RoundTotals], rank: int) -> Floats:
    """Return the chance that the `rank`-th lowest of independent totals is above each value.

    With fewer totals than `rank` it is above everything.

    Notes
    -----
    It is above a value where fewer than `rank` totals are at or below it: the number that are is a sum of
    trials of unequal chances.
    """
    counts = np.zeros((rank, *np.shape(totals[0].chances)))
    counts[0] = 1.0
    for one in totals:
        cumulative = np.cumsum(one.chances, axis=-1)
        fewer = np.concatenate([np.zeros_like(counts[:1]), counts[:-1]])
        counts = counts * (1 - cumulative) + fewer * cumulative
    return np.asarray(counts.sum(axis=0))


def mean_of_best(totals: Sequence[RoundTotals], count: int) -> Floats:
    """Return the mean of the sum of the `count` lowest totals, shape (…): their order statistics."""
    ranks = (chance_rank_above(totals, rank).sum(axis=-1) for rank in range(1, count + 1))
    return np.asarray(np.sum([totals[0].lowest + above for above in ranks], axis=0))


def sd_of_best(totals: Sequence[RoundTotals], count: int, rng: np.random.Generator) -> float:
    """Return the standard deviation of the sum of the `count` lowest totals, by drawing rounds."""
    drawn = np.stack([rng.choice(one.values, _ROUNDS, p=_normalised(one.chances)) for one in totals])
    return float(np.sort(drawn, axis=0)[:count].sum(axis=0).std())


def _normalised(chances: Floats) -> Floats:
    """Return chances without what rounding has left below nought or off a sum of one."""
    return np.asarray(np.clip(chances, 0, None) / np.clip(chances, 0, None).sum())
