"""What one player brings to a shared ball on a hole: the drives of each strike, and what may follow them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from holesim.course.ground_map import GroundMap
from holesim.scoring.score_chances import (
    MOST_STROKES,
    ScoreChances,
    ShotTransitions,
    find_transitions,
    next_lies,
    shares_played_on,
)
from holesim.shot.relief import Lie
from holesim.team import _shared_ball_kernel as kernel
from holesim.team.roster_scores import PlayerHole
from holesim.team.strike_scores import DRAW_SETS, MOST_FROM_TEE, SELECTION_SETS, TriedStrike

Floats = NDArray[np.float64]

STROKES: Final = np.arange(1, MOST_FROM_TEE + 1)

_DROPPED: Final = 2  # penalty strokes by Model Local Rule E-5


@dataclass(frozen=True)
class PartnerDrives:
    """Drives of one strike, equally many in each draw set, as weights of the places played on from.

    Attributes
    ----------
    penalties
        Each number of penalty strokes that a drive may cost.
    places
        Numbers of the places, in rising order, as `ScoreChances.by_place` has them.
    weights
        A row for each drive, repeated for each of `penalties`. A drive's weights fall short of one by the
        share of it that is replayed from the tee.
    replayed
        That share, shape (drives,).
    """

    penalties: tuple[int, ...]
    places: NDArray[np.int64]
    weights: csr_array
    replayed: Floats

    @property
    def equal_shares(self) -> Floats:
        """The shares of drives that all count, shape (drives,)."""
        return np.ones(len(self.replayed))

    def replayed_share(self, shares: Floats) -> Floats:
        """Return the share replayed in each draw set, if drives count by `shares`."""
        return np.asarray((shares * self.replayed).reshape(DRAW_SETS, -1).mean(axis=1))

    # Below, `then` are the chances from the places, of shape (places, `MOST_STROKES`, golfers who play next).

    def chances(self, then: NDArray[np.float32], shares: Floats) -> Floats:
        """Return the chance of each of `STROKES` by what is not replayed, if drives count by `shares`.

        Returns
        -------
        Array of shape (golfers who play next, draw sets, strokes).
        """
        golfers = then.shape[-1]
        chances = np.empty((DRAW_SETS, len(STROKES), golfers))
        flat = chances.reshape(DRAW_SETS, -1)
        kernel.fill_chances(self._weights, shares, then.reshape(len(then), -1), golfers, flat)
        return np.ascontiguousarray(np.moveaxis(chances, -1, 0))

    def costs(self, then: NDArray[np.float32]) -> Floats:
        """Return the mean strokes of each drive, by what of it is not replayed.

        Returns
        -------
        Array of shape (golfers who play next, drives).
        """
        faster = np.stack([then[:, : MOST_STROKES - penalty].sum(axis=1) for penalty in self.penalties])
        costs = np.empty((len(self.replayed), then.shape[-1]))
        kernel.fill_costs(self._weights, MOST_FROM_TEE - faster, costs)
        return np.ascontiguousarray(costs.T)

    @cached_property
    def _weights(self) -> kernel.DriveWeights:
        """The weights as the kernels read them."""
        starts, places = (part.astype(np.int32) for part in (self.weights.indptr, self.weights.indices))
        return kernel.DriveWeights(np.array(self.penalties), starts, places, self.weights.data)


@dataclass(frozen=True)
class PartnerStrike:
    """One strike of one player on a hole, and its drives."""

    label: str
    drives: PartnerDrives

    @cached_property
    def replayed(self) -> Floats:
        """The share of drives replayed in each draw set."""
        return self.drives.replayed_share(self.drives.equal_shares)

    @cached_property
    def replayed_in_selection(self) -> float:
        """The share of drives replayed in the selection sets."""
        return float(self.replayed[SELECTION_SETS].mean())


@dataclass(frozen=True)
class Partner:
    """A player who may share a ball on a hole: the scores from everywhere, where shots lead, and strikes."""

    scores: ScoreChances
    shots: ShotTransitions
    strikes: Mapping[str, PartnerStrike]


def make_partner(played: PlayerHole) -> Partner:
    """Return a player on a hole as one who may share a ball."""
    ground, values = played.evaluator.ground, played.values
    strikes = {one.label: _partner_strike(one, ground, values.scores) for one in played.strikes}
    return Partner(values.scores, find_transitions(values.expected), strikes)


def _partner_strike(tried: TriedStrike, ground: GroundMap, scores: ScoreChances) -> PartnerStrike:
    """Return a strike's drives as weights of the places they are played on from."""
    lies = tried.lies
    kept, dropped = shares_played_on(lies, tried.cost)
    met, penalties = next_lies(lies, ground)
    ways = [(penalties, kept, scores.around(met, lies.x, lies.y))]
    if dropped.any():
        fairway = scores.around(Lie.FAIRWAY, lies.x, lies.y)
        ways.append((np.full_like(penalties, _DROPPED), dropped, fairway))
    found = np.unique(np.concatenate([spent for spent, _, _ in ways]))
    is_met = np.zeros(len(scores.by_place), dtype=np.bool_)
    for _, _, (places, _) in ways:
        is_met[places] = True
    column, places_met = np.cumsum(is_met) - 1, np.flatnonzero(is_met)
    shape = len(found), len(penalties), len(places_met)
    weights = sum(
        _weights(np.searchsorted(found, spent), column[places], share[:, None] * each, shape)
        for spent, share, (places, each) in ways
    )
    drives = PartnerDrives(tuple(found.tolist()), places_met, csr_array(weights), tried.cost.replayed)
    return PartnerStrike(tried.label, drives)


def _weights(
    block: NDArray[np.int64], columns: NDArray[np.int64], each: Floats, shape: tuple[int, int, int]
) -> csr_array:
    """Return a matrix with a row for each drive in each of several blocks, filled in one of them.

    Parameters
    ----------
    columns, each
        The columns that a drive fills, and the weights there, shape (drives, entries).
    shape
        Blocks, drives and columns.
    """
    blocks, count, width = shape
    length = np.zeros(blocks * count + 1, dtype=np.int64)
    length[1 + block * count + np.arange(count)] = columns.shape[1]
    order = np.argsort(block, kind="stable")
    entries = each[order].ravel(), columns[order].ravel(), np.cumsum(length)
    return csr_array(entries, shape=(blocks * count, width))
