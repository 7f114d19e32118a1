"""One ball: what two who play it in turn may score on a hole, in foursomes and in greensomes.

After a drive out of bounds the partner plays again from the tee (Rule 22.3). Whether a ball in a penalty area
is played again is decided as one player alone would.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from holesim.field import HolePlayed
from holesim.ground import GroundMap
from holesim.player import LIKELY
from holesim.prospects import CHOOSING, LAST, Tried, on_scores
from holesim.relief import Lie, Lies
from holesim.remains import Followed, followed
from holesim.scores import MOST, Scores, in_turn, played_from
from holesim.sides import Option
from holesim.strokes import Strokes
from holesim.workbench import RANDOMISATIONS

Floats = NDArray[np.float64]

STROKES: Final = np.arange(1, LAST + 1)


@dataclass(frozen=True)
class Drives:
    """Drives of one strike, some in each of `worlds`, as weights of the places that they are played on from.

    `places` [penalty strokes] have a row for each drive, whose weights fall short of one by the share that is
    `replayed`.
    """

    worlds: int
    places: Mapping[int, csr_array]
    replayed: Floats

    def costs(self, remains: Floats, again: float) -> Floats:
        """Return what each drive costs, by what remains at all places, and what a tee shot `again` costs."""
        on = [part @ (1 + spent + remains) for spent, part in self.places.items()]
        return np.asarray(np.sum(on, axis=0) + self.replayed * (2 + again))

    def chances(self, then: Scores, weights: Floats | None = None) -> Floats:
        """Return the chance of each of `STROKES` in each world, but for drives that are replayed.

        Parameters
        ----------
        weights
            How much each drive counts; all the same by default.
        """
        count = len(self.replayed)
        each = np.full(count, self.worlds / count) * (1.0 if weights is None else weights)
        rows = csr_array(
            (each, np.arange(count), np.arange(self.worlds + 1) * (count // self.worlds)),
            shape=(self.worlds, count),
        )
        within = np.zeros((self.worlds, LAST))
        for spent, part in self.places.items():
            found = (rows @ part) @ then.by_place
            within[:, 1 + spent : MOST + 1] += found[:, : MOST - spent]
            # All that is played on ends in as many strokes as are told apart, or counts as one more.
            within[:, LAST - 1] += (rows @ part).sum(axis=1)
        return np.diff(within, axis=1, prepend=0)

    def again(self, weights: Floats | None = None) -> Floats:
        """Return the share that is replayed in each world."""
        replayed = self.replayed * (1.0 if weights is None else weights)
        return np.asarray(replayed.reshape(self.worlds, -1).mean(axis=1))


@dataclass(frozen=True)
class Strike:
    """One strike of one player on a hole: its drives as known, and those of the likely players."""

    label: str
    known: Drives
    likely: Drives | None

    def chances(self, then: Scores, again: Floats) -> Floats:
        """Return the chance of each of `STROKES` in each world.

        Parameters
        ----------
        again
            The chance of each of `STROKES` where the partner plays again from the tee.
        """
        parts: list[Floats] = []
        for drives in (self.known, self.likely):
            if drives is None:
                parts.append(np.broadcast_to(parts[0].mean(axis=0), (LIKELY, LAST)))
            else:
                parts.append(drives.chances(then) + drives.again()[:, None] * later(again))
        return np.concatenate(parts)


def drives_of(tried: Tried, ground: GroundMap, grid: Scores) -> Strike:
    """Return a strike as weights of places on a hole."""
    known = _weights(tried.played.lies, tried.played.cost, RANDOMISATIONS, ground, grid)
    likely = None
    if tried.likely is not None:
        likely = _weights(tried.likely.lies, tried.likely.cost, LIKELY, ground, grid)
    return Strike(tried.label, known, likely)


def _weights(lies: Lies, cost: Strokes, worlds: int, ground: GroundMap, grid: Scores) -> Drives:
    again = 2 + cost.expected
    kept = (1 - lies.lost) * ~(lies.may_replay & (lies.cost > again))
    dropped = lies.lost * (lies.lost_cost <= again)
    met, penalties = played_from(lies, ground)
    at = grid.weights(met, lies.x, lies.y)
    places = {
        int(spent): at.multiply((kept * (penalties == spent))[:, None]).tocsr()
        for spent in np.unique(penalties)
    }
    if dropped.any():
        fairway = grid.weights(np.full(len(met), Lie.FAIRWAY), lies.x, lies.y)
        lost = fairway.multiply(dropped[:, None]).tocsr()
        places[2] = places[2] + lost if 2 in places else lost
    return Drives(worlds, places, cost.replayed)


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

    def pair(self, one: int, other: int, labels: Sequence[Sequence[str]]) -> "PairHole":
        """Return the hole for a pair, by the labels of the strikes that each player may hit."""
        then = in_turn(self.scores[one], self.shots[one], self.scores[other], self.shots[other])
        strikes = tuple([self.strikes[i][label] for label in labels[i]] for i in (one, other))
        return PairHole((strikes[0], strikes[1]), then)


def one_ball_hole(played: HolePlayed) -> OneBallHole:
    """Return a hole for players who share a ball."""
    shots, strikes = [], []
    for bench, known, tried in zip(played.benches, played.known, played.tried, strict=True):
        rule = bench.conditions.out_of_bounds
        shots.append(followed(known.remains, bench.shots, played.hole, bench.ground, out_of_bounds=rule))
        strikes.append({one.label: drives_of(one, bench.ground, known.scores) for one in tried})
    return OneBallHole(tuple(known.scores for known in played.known), tuple(shots), tuple(strikes))


@dataclass(frozen=True)
class PairHole:
    """A hole for a pair: each one's strikes, their own best first, and chances where either plays next."""

    strikes: tuple[list[Strike], list[Strike]]
    then: tuple[Scores, Scores]

    @cached_property
    def parts(self) -> list[list[tuple[Floats, float]]]:
        """Of each strike of either, the chances where the drive is played on, and the share replayed."""
        half = CHOOSING
        return [
            [
                (s.known.chances(self.then[1 - who])[half].mean(axis=0), float(s.known.again()[half].mean()))
                for s in self.strikes[who]
            ]
            for who in (0, 1)
        ]

    @cached_property
    def again(self) -> tuple[tuple[int, int], Floats]:
        """Which strike either hits who plays again from the tee, and the chances of that, shape (2, strokes).

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
        for _ in range(LAST):  # each time two strokes more are right
            chances = on + p * later(chances[::-1])
        return (best[0], best[1]), chances

    def foursomes(self, driver: int, name: str) -> tuple[Option, ...]:
        """Return an option for each strike of the one who drives, their own best first."""
        _, again = self.again
        return tuple(
            Option(
                (strike.label,),
                on_scores(strike.chances(self.then[1 - driver], again[1 - driver])),
                first=name,
            )
            for strike in self.strikes[driver]
        )

    def greensomes(self) -> tuple[Option, ...]:
        """Return both ones' own best strikes, and those by which the better of the two drives is best."""
        costs = [[self._costs(who, s.known) for s in self.strikes[who]] for who in (0, 1)]
        half = slice(0, len(costs[0][0]) // 2)  # that choose
        expected = np.array([[_least_of(one[half], other[half]) for other in costs[1]] for one in costs[0]])
        best = divmod(int(expected.argmin()), expected.shape[1])
        return tuple(self._chosen(*strikes) for strikes in dict.fromkeys([(0, 0), best]))

    def _costs(self, who: int, drives: Drives) -> Floats:
        """Return what each drive costs if it is chosen, when the partner plays next."""
        remains = 1 + (1 - self.then[1 - who].by_place.astype(float)).sum(axis=1)
        return drives.costs(remains, float(self.again[1][1 - who] @ STROKES))

    def _chosen(self, one: int, other: int) -> Option:
        """Return what the better of two drives may score."""
        both = self.strikes[0][one], self.strikes[1][other]
        known = self._better(both[0].known, both[1].known)
        if both[0].likely is None and both[1].likely is None:
            likely = np.broadcast_to(known.mean(axis=0), (LIKELY, LAST))
        else:
            likely = self._better(*(s.known if s.likely is None else s.likely for s in both))
        return Option((both[0].label, both[1].label), on_scores(np.concatenate([known, likely])))

    def _better(self, one: Drives, other: Drives) -> Floats:
        """Return the chance of each of `STROKES` in each world, where the drive that costs less is chosen."""
        mine, theirs = self._costs(0, one), self._costs(1, other)
        weights = _above(theirs, mine, "left"), _above(mine, theirs, "right")
        total = sum(
            drives.chances(self.then[1 - who], weights[who])
            + drives.again(weights[who])[:, None] * later(self.again[1][1 - who])
            for who, drives in enumerate((one, other))
        )
        return np.asarray(total / np.sum(total, axis=1, keepdims=True))


_MOST_ROUNDS: Final = 100
_SETTLED: Final = 1e-9  # strokes


def _least_of(one: Floats, other: Floats) -> float:
    """Return the mean of the lower of two independent costs, each of them as likely as another."""
    weights = _above(other, one, "left"), _above(one, other, "right")
    return float((weights[0] * one).mean() + (weights[1] * other).mean())


def _above(others: Floats, costs: Floats, side: Literal["left", "right"]) -> Floats:
    """Return the share of others above each cost; those that equal it count where the side is left."""
    return np.asarray(1 - np.searchsorted(np.sort(others), costs, side=side) / len(others))
