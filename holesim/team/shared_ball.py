"""One ball: what two who play it in turn may score on a hole, in foursomes and in greensomes.

After a drive out of bounds the partner plays again from the tee (Rule 22.3). Whether a ball in a penalty area
is played again is decided as one player alone would.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array, vstack

from holesim.course.ground_map import GroundMap
from holesim.scoring.expected_strokes import PolicyOutcomes, follow_policy
from holesim.scoring.score_chances import (
    MOST_STROKES,
    AlternateShotChances,
    ScoreChances,
    next_lies,
    shares_played_on,
    solve_alternate_shots,
)
from holesim.shot.relief import Lie
from holesim.team.roster_scores import HoleScores
from holesim.team.side_options import Option
from holesim.team.strike_scores import CHOOSING, DRAW_SETS, LAST, TriedStrike, on_scores, pooled

Floats = NDArray[np.float64]

STROKES: Final = np.arange(1, LAST + 1)

_DROPPED: Final = 2  # penalty strokes by Model Local Rule E-5


@dataclass(frozen=True)
class PartnerDrives:
    """Drives of one strike, equally many in each draw set, as weights of the places played on from.

    `places` are the numbers of these, in rising order. `weights` has a row for each drive, once for each of
    the numbers of penalty strokes `spent`; they fall short of one by the share that is `replayed`.
    """

    spent: tuple[int, ...]
    places: NDArray[np.int64]
    weights: csr_array
    replayed: Floats

    @property
    def alike(self) -> Floats:
        """The shares of drives that all count."""
        return np.ones(len(self.replayed))

    def again(self, shares: Floats) -> Floats:
        """Return what is replayed in each world, if drives count by `shares`."""
        return np.asarray((shares * self.replayed).reshape(DRAW_SETS, -1).mean(axis=1))

    # Below, `then` are the chances from the places, of shape (places, `MOST`, golfers who play next).

    def chances(self, then: NDArray[np.float32], shares: Floats) -> Floats:
        """Return the chance of each of `STROKES` but for what is replayed, if drives count by `shares`.

        Returns
        -------
        Array of shape (golfers who play next, worlds, strokes).
        """
        weights = self._by_world(shares)
        found, whole = weights @ then.reshape(len(then), -1), weights.sum(axis=1)
        found = found.reshape(-1, *then.shape[1:])
        within = np.zeros((DRAW_SETS, LAST, then.shape[-1]))
        for k, spent in enumerate(self.spent):
            rows = slice(k * DRAW_SETS, (k + 1) * DRAW_SETS)
            within[:, 1 + spent : MOST_STROKES + 1] += found[rows, : MOST_STROKES - spent]
            within[:, LAST - 1] += whole[rows, None]  # in so many strokes or more all end
        return np.moveaxis(np.diff(within, axis=1, prepend=0), -1, 0)

    def _by_world(self, shares: Floats) -> Floats:
        """Return the weights of places, world by world for each number of penalty strokes."""
        rows, cells = self._entries
        count, blocks, places = self.weights.shape[0], DRAW_SETS * len(self.spent), len(self.places)
        each = self.weights.data * np.tile(shares, len(self.spent))[rows] * (blocks / count)
        return np.asarray(np.bincount(cells, each, blocks * places), dtype=float).reshape(blocks, places)

    @cached_property
    def _entries(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Of each entry of the weights its row, and where it counts among those world by world."""
        count, blocks = self.weights.shape[0], DRAW_SETS * len(self.spent)
        rows = np.repeat(np.arange(count), np.diff(self.weights.indptr))
        return rows, rows // (count // blocks) * len(self.places) + self.weights.indices

    def costs(self, then: NDArray[np.float32]) -> Floats:
        """Return the mean strokes of each drive, but for what of it is replayed.

        Returns
        -------
        Array of shape (golfers who play next, drives).
        """
        whole, count = self.weights.sum(axis=1), len(self.replayed)
        total = np.zeros((count, then.shape[-1]))
        for k, spent in enumerate(self.spent):
            rows = slice(k * count, (k + 1) * count)
            total += LAST * whole[rows, None] - self.weights[rows] @ then[:, : MOST_STROKES - spent].sum(
                axis=1
            )
        return total.T


@dataclass(frozen=True)
class SharedStrike:
    """One strike of one player on a hole, and its drives."""

    label: str
    drives: PartnerDrives

    @cached_property
    def again(self) -> Floats:
        """The share that is replayed in each world."""
        return self.drives.again(self.drives.alike)

    @cached_property
    def choosing(self) -> float:
        """The share that is replayed in the worlds that choose."""
        return float(self.again[CHOOSING].mean())


def drives_of(tried: TriedStrike, ground: GroundMap, grid: ScoreChances) -> SharedStrike:
    """Return a strike as weights of places on a hole."""
    lies = tried.lies
    kept, dropped = shares_played_on(lies, tried.cost)
    met, penalties = next_lies(lies, ground)
    at = grid.weights(met, lies.x, lies.y)
    parts = {int(n): at.multiply((kept * (penalties == n))[:, None]) for n in np.unique(penalties)}
    if dropped.any():
        fairway = grid.weights(np.full(len(met), Lie.FAIRWAY), lies.x, lies.y).multiply(dropped[:, None])
        parts[_DROPPED] = parts[_DROPPED] + fairway if _DROPPED in parts else fairway
    weights = csr_array(vstack(list(parts.values())))
    places, column = np.unique(weights.indices, return_inverse=True)
    shape = weights.shape[0], len(places)
    weights = csr_array((weights.data, column, weights.indptr), shape=shape)
    return SharedStrike(tried.label, PartnerDrives(tuple(parts), places, weights, tried.cost.replayed))


def later(chances: Floats) -> Floats:
    """Return chances of `STROKES` two strokes later: a drive and its penalty."""
    moved = np.roll(chances, 2, axis=-1)
    moved[..., -1] += moved[..., 0] + moved[..., 1]
    moved[..., :2] = 0
    return moved


# --- a pair -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Partner:
    """One who may share a ball on a hole: what they may score from everywhere, their shots, and strikes."""

    scores: ScoreChances
    shots: PolicyOutcomes
    strikes: Mapping[str, SharedStrike]


def partner(played: HoleScores) -> Partner:
    """Return a player on a hole as one who may share a ball."""
    ground, known = played.evaluator.ground, played.known
    strikes = {one.label: drives_of(one, ground, known.scores) for one in played.tried}
    return Partner(known.scores, follow_policy(known.expected, ground), strikes)


def in_pairs(
    partners: Sequence[Partner], group: Sequence[int], labels: Sequence[Sequence[str]]
) -> list["PairHole"]:
    """Return a hole for each two of a group of partners, by the labels of the strikes that each may hit."""
    turns = solve_alternate_shots([partners[i].scores for i in group], [partners[i].shots for i in group])
    strikes = [
        [Driven(partners[i].strikes[label], turns, k) for label in labels[i]] for k, i in enumerate(group)
    ]
    return [PairHole((i, j), (strikes[i], strikes[j])) for i, j in combinations(range(len(group)), 2)]


@dataclass(frozen=True)
class Driven:
    """A strike of one of several who may share the ball, any of whom may play next."""

    strike: SharedStrike
    turns: AlternateShotChances
    driver: int

    @cached_property
    def then(self) -> NDArray[np.float32]:
        """The chances from the places that drives are played on from, whoever plays next."""
        return self.turns.at(self.strike.drives.places, self.driver)

    @cached_property
    def played_on(self) -> Floats:
        """The chances where the drive is played on, shape (golfers who play next, worlds, strokes)."""
        drives = self.strike.drives
        return drives.chances(self.then, drives.alike)

    @cached_property
    def choosing(self) -> Floats:
        """The chances where the drive is played on in the worlds that choose, shape (golfers, strokes)."""
        return pooled(self.played_on, CHOOSING)

    @cached_property
    def costs(self) -> Floats:
        """Of each drive the mean strokes where it is played on, shape (golfers, drives)."""
        return self.strike.drives.costs(self.then)


@dataclass(frozen=True)
class PairHole:
    """A hole for a pair: who of the group they are, and each one's strikes, their own best first."""

    players: tuple[int, int]
    strikes: tuple[list[Driven], list[Driven]]

    @cached_property
    def played_on(self) -> list[list[Floats]]:
        """Of each strike of either, the chances in each world where the drive is played on."""
        return [[s.played_on[self.players[1 - who]] for s in self.strikes[who]] for who in (0, 1)]

    @cached_property
    def parts(self) -> list[list[tuple[Floats, float]]]:
        """Of each strike of either, the chances where the drive is played on, and the share replayed."""
        return [
            [(s.choosing[self.players[1 - who]], s.strike.choosing) for s in self.strikes[who]]
            for who in (0, 1)
        ]

    @cached_property
    def again(self) -> Floats:
        """The chances where either plays again from the tee, shape (2, strokes).

        Notes
        -----
        E_A = e_A + p_A (2 + E_B), e_A the part played on, and likewise E_B; each hits what makes theirs
        least.
        """
        E = np.array([min(on @ STROKES for on, _ in of_one) for of_one in self.parts], dtype=float)
        best = [0, 0]
        for _ in range(_MOST_ROUNDS):
            before = E.copy()
            for who in (0, 1):
                costs = [on @ STROKES + p * (2 + E[1 - who]) for on, p in self.parts[who]]
                best[who], E[who] = int(np.argmin(costs)), min(costs)
            if np.abs(E - before).max() < _SETTLED:
                break
        on = np.stack([self.parts[who][best[who]][0] for who in (0, 1)])
        p = np.array([self.parts[who][best[who]][1] for who in (0, 1)])[:, None]
        chances = on
        for _ in range(_MOST_ROUNDS):
            before, chances = chances, on + p * later(chances[::-1])
            if np.abs(chances - before).max() < _SETTLED:
                break
        return chances

    def foursomes(self, driver: int, name: str) -> tuple[Option, ...]:
        """Return an option for each strike of the one who drives, their own best first."""
        again = self._replayed[driver]
        return tuple(
            Option((s.strike.label,), on_scores(on + s.strike.again[:, None] * again), first=name)
            for s, on in zip(self.strikes[driver], self.played_on[driver], strict=True)
        )

    def greensomes(self) -> tuple[Option, ...]:
        """Return both ones' own best strikes, and those by which the better of the two drives is best.

        After these come, for either pair of strikes, the best of those in which one of the two hits another.
        """
        above = [
            np.stack([_above_each(one.reshape(DRAW_SETS, -1)[CHOOSING].ravel()) for one in of_one])
            for of_one in self._costs
        ]
        expected = above[0] @ above[1].T / _FINE
        best = divmod(int(expected.argmin()), expected.shape[1])
        chosen = [(0, 0), best]
        for i, j in ((0, 0), best):
            chosen += [(k, j) for k in _best_but(i, expected[:, j])]
            chosen += [(i, k) for k in _best_but(j, expected[i])]
        return tuple(self._chosen(*pair) for pair in dict.fromkeys(chosen))

    @cached_property
    def _replayed(self) -> list[Floats]:
        """For each as the driver, the chances where a drive is replayed by the other."""
        return [later(self.again[1 - who]) for who in (0, 1)]

    @cached_property
    def _costs(self) -> list[list[Floats]]:
        """Of each strike of either, the mean strokes of each drive, after which the partner plays next."""
        found = []
        for who, strikes in enumerate(self.strikes):
            again, partner = self._replayed[who] @ STROKES, self.players[1 - who]
            found.append([s.costs[partner] + s.strike.drives.replayed * again for s in strikes])
        return found

    def _chosen(self, *strikes: int) -> Option:
        """Return what the better of two drives may score, one by each one's strike."""
        labels = tuple(self.strikes[who][k].strike.label for who, k in enumerate(strikes))
        return Option(labels, on_scores(_better(*(self._in_hand(who, k) for who, k in enumerate(strikes)))))

    def _in_hand(self, who: int, k: int) -> "_InHand":
        """Return the drives of one of them by a strike, to choose from."""
        driven = self.strikes[who][k]
        then = driven.then[..., self.players[1 - who], None]
        return _InHand(driven.strike.drives, then, self._replayed[who], self._costs[who][k])


@dataclass(frozen=True)
class _InHand:
    """Drives of one of two, the chances from their places, and where one is replayed; what each costs."""

    drives: PartnerDrives
    then: NDArray[np.float32]
    again: Floats
    costs: Floats

    def chances(self, shares: Floats) -> Floats:
        """Return the chance of each of `STROKES` in each world, if drives count by `shares`."""
        (on,) = self.drives.chances(self.then, shares)
        return np.asarray(on + self.drives.again(shares)[:, None] * self.again)


def _better(one: _InHand, other: _InHand) -> Floats:
    """Return the chance of each of `STROKES` in each world, where the drive that costs less is chosen."""
    mine = one.chances(_above(other.costs, one.costs, "left"))
    total = mine + other.chances(_above(one.costs, other.costs, "right"))
    return np.asarray(total / total.sum(axis=1, keepdims=True))


_MOST_ROUNDS: Final = 100
_SETTLED: Final = 1e-9  # strokes, and chances
_FINE: Final = 64  # parts of a stroke by which costs are told apart
_COSTLIEST: Final = 2 * LAST  # strokes


def _above_each(costs: Floats) -> Floats:
    """Return the chance to cost more than each part of a stroke, every drive being as likely.

    The product of two players', summed, is the mean of the better of two drives, in such parts, rounded down.
    """
    parts = np.minimum(costs * _FINE, _COSTLIEST * _FINE - 1).astype(np.int64)
    return np.asarray(1 - np.cumsum(np.bincount(parts, minlength=_COSTLIEST * _FINE)) / len(costs))


def _best_but(place: int, costs: Floats) -> list[int]:
    """Return at which place costs are least but for this one, if there is another."""
    return [k for k in np.argsort(costs, kind="stable").tolist() if k != place][:1]


def _above(others: Floats, costs: Floats, side: Literal["left", "right"]) -> Floats:
    """Return the share of others above each cost; those that equal it count where the side is left."""
    return np.asarray(1 - np.searchsorted(np.sort(others), costs, side=side) / len(others))
