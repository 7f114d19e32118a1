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

from holesim.field import HolePlayed
from holesim.ground import GroundMap
from holesim.player import LIKELY
from holesim.prospects import CHOOSING, LAST, Tried, on_scores, pooled
from holesim.relief import Lie, Lies
from holesim.remains import Followed, followed
from holesim.scores import MOST, Scores, in_turn, played_from, shares_kept
from holesim.sides import Option
from holesim.strokes import Strokes
from holesim.workbench import RANDOMISATIONS

Floats = NDArray[np.float64]

STROKES: Final = np.arange(1, LAST + 1)

_DROPPED: Final = 2  # penalty strokes by Model Local Rule E-5


@dataclass(frozen=True)
class Drives:
    """Drives of one strike, an equal part of them in each of `worlds`, as weights of places played on from.

    `places` has a row for each drive, once for each of the numbers of penalty strokes `spent`; its weights
    fall short of one by the share that is `replayed`.
    """

    worlds: int
    spent: tuple[int, ...]
    places: csr_array
    replayed: Floats

    @cached_property
    def by_world(self) -> csr_array:
        """The weights of places in each world, world by world for each number of penalty strokes."""
        count = self.places.shape[0]
        blocks = self.worlds * len(self.spent)
        each = np.full(count, blocks / count)
        rows = np.arange(blocks + 1) * (count // blocks)
        return (csr_array((each, np.arange(count), rows), shape=(blocks, count)) @ self.places).tocsr()

    @cached_property
    def again(self) -> Floats:
        """The share that is replayed in each world."""
        return np.asarray(self.replayed.reshape(self.worlds, -1).mean(axis=1))

    def chances(self, then: Scores) -> Floats:
        """Return the chance of each of `STROKES` in each world, but for drives that are replayed."""
        return self._chances(self.by_world, self.worlds, then)

    def each_chances(self, then: Scores) -> Floats:
        """Return the chance of each of `STROKES` for each drive, but for what of it is replayed."""
        return self._chances(self.places, len(self.replayed), then)

    def _chances(self, weights: csr_array, count: int, then: Scores) -> Floats:
        found, whole = weights @ then.by_place, weights.sum(axis=1)
        within = np.zeros((count, LAST))
        for k, spent in enumerate(self.spent):
            rows = slice(k * count, (k + 1) * count)
            within[:, 1 + spent : MOST + 1] += found[rows, : MOST - spent]
            within[:, LAST - 1] += whole[rows]  # in so many strokes or more all end
        return np.diff(within, axis=1, prepend=0)


@dataclass(frozen=True)
class Strike:
    """One strike of one player on a hole: its drives as known, and those of the likely players."""

    label: str
    known: Drives
    likely: Drives | None

    def played_on(self, then: Scores) -> Floats:
        """Return the chance of each of `STROKES` in each world, but for drives that are replayed."""
        known = self.known.chances(then)
        if self.likely is None:
            return np.concatenate([known, np.broadcast_to(known.mean(axis=0), (LIKELY, LAST))])
        return np.concatenate([known, self.likely.chances(then)])

    @cached_property
    def again(self) -> Floats:
        """The share that is replayed in each world."""
        known = self.known.again
        likely = np.full(LIKELY, known.mean()) if self.likely is None else self.likely.again
        return np.concatenate([known, likely])


def drives_of(tried: Tried, ground: GroundMap, grid: Scores) -> Strike:
    """Return a strike as weights of places on a hole."""
    known = _weights(tried.played.lies, tried.played.cost, RANDOMISATIONS, ground, grid)
    likely = None
    if tried.likely is not None:
        likely = _weights(tried.likely.lies, tried.likely.cost, LIKELY, ground, grid)
    return Strike(tried.label, known, likely)


def _weights(lies: Lies, cost: Strokes, worlds: int, ground: GroundMap, grid: Scores) -> Drives:
    kept, dropped = shares_kept(lies, cost)
    met, penalties = played_from(lies, ground)
    at = grid.weights(met, lies.x, lies.y)
    parts = {int(n): at.multiply((kept * (penalties == n))[:, None]) for n in np.unique(penalties)}
    if dropped.any():
        fairway = grid.weights(np.full(len(met), Lie.FAIRWAY), lies.x, lies.y).multiply(dropped[:, None])
        parts[_DROPPED] = parts[_DROPPED] + fairway if _DROPPED in parts else fairway
    return Drives(worlds, tuple(parts), csr_array(vstack(list(parts.values()))), cost.replayed)


def later(chances: Floats) -> Floats:
    """Return chances of `STROKES` two strokes later: a drive and its penalty."""
    moved = np.roll(chances, 2, axis=-1)
    moved[..., -1] += moved[..., 0] + moved[..., 1]
    moved[..., :2] = 0
    return moved


# --- a pair -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class OneBallHole:
    """A hole for players who share a ball: what each may score from everywhere, their shots, and strikes."""

    scores: tuple[Scores, ...]
    shots: tuple[Followed, ...]
    strikes: tuple[Mapping[str, Strike], ...]

    def pairs(self, group: Sequence[int], labels: Sequence[Sequence[str]]) -> list["PairHole"]:
        """Return the hole for each two of a group, by the labels of the strikes that each player may hit."""
        turns = in_turn([self.scores[i] for i in group], [self.shots[i] for i in group])
        strikes = [[self.strikes[i][label] for label in labels[i]] for i in group]
        return [
            PairHole((strikes[i], strikes[j]), (turns.next(i, j), turns.next(j, i)))
            for i, j in combinations(range(len(group)), 2)
        ]


def one_ball_hole(played: HolePlayed) -> OneBallHole:
    """Return a hole for players who share a ball."""
    shots, strikes = [], []
    for bench, known, tried in zip(played.benches, played.known, played.tried, strict=True):
        shots.append(followed(known.remains, bench.ground))
        strikes.append({one.label: drives_of(one, bench.ground, known.scores) for one in tried})
    return OneBallHole(tuple(known.scores for known in played.known), tuple(shots), tuple(strikes))


@dataclass(frozen=True)
class PairHole:
    """A hole for a pair: each one's strikes, their own best first, and chances where either plays next."""

    strikes: tuple[list[Strike], list[Strike]]
    then: tuple[Scores, Scores]

    @cached_property
    def played_on(self) -> list[list[Floats]]:
        """Of each strike of either, the chances in each world where the drive is played on."""
        return [[s.played_on(self.then[1 - who]) for s in self.strikes[who]] for who in (0, 1)]

    @cached_property
    def parts(self) -> list[list[tuple[Floats, float]]]:
        """Of each strike of either, the chances where the drive is played on, and the share replayed."""
        return [
            [
                (pooled(on, CHOOSING), float(strike.again[CHOOSING].mean()))
                for strike, on in zip(strikes, played_on, strict=True)
            ]
            for strikes, played_on in zip(self.strikes, self.played_on, strict=True)
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
        again = later(self.again[1 - driver])
        return tuple(
            Option((strike.label,), on_scores(on + strike.again[:, None] * again), first=name)
            for strike, on in zip(self.strikes[driver], self.played_on[driver], strict=True)
        )

    def greensomes(self) -> tuple[Option, ...]:
        """Return both ones' own best strikes, and those by which the better of the two drives is best."""
        drives = [[self._each(who, s.known) for s in self.strikes[who]] for who in (0, 1)]
        half = slice(0, drives[0][0].shape[0] // 2)  # that choose
        costs = [[chances[half] @ STROKES for chances in of_one] for of_one in drives]
        expected = np.array([[_least_of(one, other) for other in costs[1]] for one in costs[0]])
        best = divmod(int(expected.argmin()), expected.shape[1])
        return tuple(self._chosen(i, j, drives[0][i], drives[1][j]) for i, j in dict.fromkeys([(0, 0), best]))

    def _each(self, who: int, drives: Drives) -> Floats:
        """Return the chance of each of `STROKES` for each drive of one of them, whose partner plays next."""
        again = self.again[1 - who]
        return drives.each_chances(self.then[1 - who]) + drives.replayed[:, None] * later(again)

    def _chosen(self, i: int, j: int, one: Floats, other: Floats) -> Option:
        """Return what the better of two drives may score, by the chances of each drive as known."""
        both = self.strikes[0][i], self.strikes[1][j]
        known = _better(one, other)
        if both[0].likely is None and both[1].likely is None:
            likely = np.broadcast_to(known.mean(axis=0), (LIKELY, LAST))
        else:
            likely = _better(
                *(
                    each if strike.likely is None else self._each(who, strike.likely)
                    for who, (strike, each) in enumerate(zip(both, (one, other), strict=True))
                )
            )
        return Option((both[0].label, both[1].label), on_scores(np.concatenate([known, likely])))


def _better(one: Floats, other: Floats) -> Floats:
    """Return the chance of each of `STROKES` in each world, where the drive that costs less is chosen."""
    mine, theirs = one @ STROKES, other @ STROKES
    weighted = (_above(theirs, mine, "left")[:, None] * one, _above(mine, theirs, "right")[:, None] * other)
    total = np.sum([part.reshape(RANDOMISATIONS, -1, LAST).mean(axis=1) for part in weighted], axis=0)
    return np.asarray(total / total.sum(axis=1, keepdims=True))


_MOST_ROUNDS: Final = 100
_SETTLED: Final = 1e-9  # strokes, and chances


def _least_of(one: Floats, other: Floats) -> float:
    """Return the mean of the lower of two independent costs, each of them as likely as another."""
    weights = _above(other, one, "left"), _above(one, other, "right")
    return float((weights[0] * one).mean() + (weights[1] * other).mean())


def _above(others: Floats, costs: Floats, side: Literal["left", "right"]) -> Floats:
    """Return the share of others above each cost; those that equal it count where the side is left."""
    return np.asarray(1 - np.searchsorted(np.sort(others), costs, side=side) / len(others))
