"""Score chances: the chance of each number of strokes from every place on a hole and from a tee."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.common import disk_cache
from holesim.course.ground_map import GroundMap
from holesim.scoring import _score_chances_kernel as kernel
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import MODULES, ExpectedStrokes, code_digest, follow_policy
from holesim.shot.relief import LIE_BY_GROUND, Finish, Lie, Lies, StrokesGrid

Floats = NDArray[np.float64]

MOST_STROKES: Final = 12  # strokes; chances are known for 1 to this many
_WHOLE: Final = 65535


@dataclass(frozen=True)
class ScoreChances:
    """Cumulative chances of holing out, in so many strokes or fewer, on one hole for one golfer.

    `by_place`, of shape (places, `MOST_STROKES`), holds them at the points of `grid`, lie by lie, and then on
    the green by distance, metre by metre; 65,535 stands for certainty.
    """

    grid: StrokesGrid
    by_place: NDArray[np.uint16]

    @property
    def within(self) -> NDArray[np.float32]:
        """The chances from all places [strokes - 1, place]."""
        return np.asarray(self.by_place.T / np.float32(_WHOLE), dtype=np.float32)

    def around(
        self, lies: NDArray[np.int64] | Lie, x: Floats, y: Floats
    ) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
        """Return the numbers of the four places around balls at x, y [m], and their weights, both (balls, 4).

        Interpolation is bilinear off the green and by distance on it; beyond the grid the values are those at
        its edge. The weights are the same for every golfer.
        """
        places = np.empty((len(x), 4), dtype=np.int64)
        weights = np.empty(places.shape, dtype=np.float32)
        lies = np.broadcast_to(np.asarray(lies, dtype=np.int64), len(x))
        kernel.look_around(lies, x, y, self.grid, places, weights)
        return places, weights

    def at(self, lie: Lie, x: Floats, y: Floats) -> Floats:
        """Return the chance of 1, 2, … `MOST_STROKES` strokes or fewer, shape (balls, `MOST_STROKES`)."""
        chances, lies = np.zeros((len(x), MOST_STROKES)), np.full(len(x), lie, dtype=np.int64)
        self.add_to(chances, lies, x, y, np.ones(len(x)), np.zeros_like(lies))
        return chances

    def add_to(
        self,
        total: Floats,
        lies: NDArray[np.int64],
        x: Floats,
        y: Floats,
        shares: Floats,
        spent: NDArray[np.int64],
    ) -> None:
        """Add the chances of balls that lie at x, y [m], times the share of each, to `total`.

        Parameters
        ----------
        total
            The chance of 1, 2, … strokes or fewer, shape (balls, strokes).
        spent
            The strokes that each ball has cost before.
        """
        kernel.add_chances(lies, x, y, shares, spent, self.grid, self.by_place, float(_WHOLE), total)


def scores_by_mean(expected: ExpectedStrokes, chances_by_mean: strokes_table.ChancesByMean) -> ScoreChances:
    """Return the score chances that go with the expected strokes at every place."""
    grid = expected.grid
    means = np.concatenate([grid.values.ravel(), grid.putts])
    chances = chances_by_mean.cumulative(means, MOST_STROKES)
    return ScoreChances(grid, np.rint(chances * _WHOLE).astype(np.uint16))


@dataclass(frozen=True)
class ShotTransitions:
    """Where the shots of a golfer's policy lead.

    `places` are the numbers of the states' places, as in `ScoreChances.by_place`.
    """

    places: NDArray[np.int64]
    transitions: kernel.Transitions

    def among(self, rows: NDArray[np.int64]) -> "ShotTransitions":
        """Return the same with places numbered by their rows, which rise with them."""
        again, places = np.divmod(self.transitions.places, len(rows))
        numbers = (again * (rows[-1] + 1) + rows[places]).astype(np.int32)
        return ShotTransitions(rows[self.places], self.transitions._replace(places=numbers))

    def chances(self, then: NDArray[np.float32]) -> NDArray[np.float32]:
        """Return the chances of so many strokes or fewer from each state, shape (states, golfers).

        Parameters
        ----------
        then
            Those of three, two and one strokes fewer, shape (3, places, golfers who play next).
        """
        chances = np.empty((len(self.places), then.shape[-1]), dtype=np.float32)
        kernel.spread(self.transitions, then.reshape(-1, then.shape[-1]), chances)
        return chances


@lru_cache(maxsize=4)  # score chances need them, and alternate shots soon after
def find_transitions(expected: ExpectedStrokes) -> ShotTransitions:
    """Return where the shots of the policy lead, on a hole that `solve_hole` solved."""
    outcomes, problem, grid = follow_policy(expected), expected.problem, expected.grid
    assert problem is not None  # noqa: S101
    states, shape = problem.states, grid.values.shape
    entries = kernel.MOST_ENTRIES * outcomes.lies.shape[1] + 1
    listed, weights = np.empty(entries + 1, dtype=np.int64), _blank(grid)
    found = kernel.Transitions(
        np.zeros(len(states.lies) + 1, dtype=np.int64),
        np.empty(len(states.lies) * entries, dtype=np.int32),
        np.empty(len(states.lies) * entries, dtype=np.float32),
        np.empty(len(states.lies), dtype=np.float32),
    )
    kernel.gather(states, outcomes, problem.constants, weights, listed, found)
    count = found.starts[-1]
    kept = found._replace(places=found.places[:count].copy(), weights=found.weights[:count].copy())
    places = np.ravel_multi_index((states.lies, states.rows, states.columns), shape)
    return ShotTransitions(places.astype(np.int64), kept)


def _blank(grid: StrokesGrid) -> NDArray[np.float32]:
    """Return a nought for each place and number of penalty strokes."""
    return np.zeros(kernel.ROWS * (grid.values.size + len(grid.putts)), dtype=np.float32)


def _from_nought(within: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return chances with those of nought strokes and fewer in front, along the first axis."""
    return np.concatenate([np.zeros((kernel.ROWS, *within.shape[1:]), dtype=np.float32), within])


def solve_scores(expected: ExpectedStrokes, chances_by_mean: strokes_table.ChancesByMean) -> ScoreChances:
    """Return the score chances of a golfer who plays the policy of `expected`; they are stored on disk.

    On the green, far from the hole, and everywhere if there is no policy, they follow from expected strokes.

    Notes
    -----
    P(N ≤ n) from a place is the mean of P(N ≤ n - 1 - penalties) over the places where its shot leads.
    """
    first = scores_by_mean(expected, chances_by_mean)
    if expected.problem is None:
        return first
    name = disk_cache.digest([code_digest(_MODULES), *expected.problem.content, first.by_place])
    kept = disk_cache.load(name)
    if kept is None:
        shots, within = find_transitions(expected), _from_nought(first.within)[..., None]
        for n in range(MOST_STROKES):
            within[n + kernel.ROWS, shots.places] = shots.chances(within[n : n + kernel.ROWS])
        solved = np.rint(within[kernel.ROWS :, :, 0].T * _WHOLE).astype(np.uint16)
        kept = {"within": np.ascontiguousarray(solved)}
        disk_cache.save(name, kept)
    return ScoreChances(first.grid, kept["within"])


@dataclass(frozen=True)
class AlternateShotChances:
    """Cumulative chances of holing out one ball that two of several golfers play in alternate shots.

    `within`, of shape (golfers who play the shot after, `MOST_STROKES`, places, golfers who play next), holds
    them for some of the places of `ScoreChances.by_place`; `rows` tells the row of a place there.
    """

    rows: NDArray[np.int64]
    within: NDArray[np.float32]

    def at(self, places: NDArray[np.int64], after: int) -> NDArray[np.float32]:
        """Return the chance of 1, 2, … `MOST_STROKES` strokes or fewer from some of the places.

        Parameters
        ----------
        after
            The golfer who plays after the one who plays next.

        Returns
        -------
        Array of shape (places, `MOST_STROKES`, golfers who play next).
        """
        return np.ascontiguousarray(self.within[after][:, self.rows[places]].swapaxes(0, 1))


def solve_alternate_shots(
    alone: Sequence[ScoreChances], shots: Sequence[ShotTransitions], places: NDArray[np.int64]
) -> AlternateShotChances:
    """Return the score chances of any two golfers who play one ball in alternate shots.

    Each plays the policy that is best for their own ball. Whoever has the first putt takes them all. Far from
    the hole's line the chances are those of the golfer alone.

    Parameters
    ----------
    alone, shots
        The score chances of each golfer, and where each one's shots lead.
    places
        Numbers of places from which the ball may be played on; those that shots lead to are found besides.

    Notes
    -----
    P(N ≤ n) where one golfer plays is the mean of P(N ≤ n - 1 - penalties) where the other plays next.
    """
    known = np.zeros(len(alone[0].by_place), dtype=np.bool_)
    known[places] = True
    for one in shots:
        known[one.places] = known[one.transitions.places % len(known)] = True
    rows = np.cumsum(known) - 1
    first = _from_nought(np.stack([one.within[:, known] for one in alone], axis=-1))
    within = np.repeat(first[None], len(alone), axis=0)
    among = [one.among(rows) for one in shots]
    for n in range(MOST_STROKES):
        found = [own.chances(mine[n : n + kernel.ROWS]) for own, mine in zip(among, within, strict=True)]
        for i, (own, chances) in enumerate(zip(among, found, strict=True)):
            within[:, n + kernel.ROWS, own.places, i] = chances.T
    return AlternateShotChances(rows, within[:, kernel.ROWS :])


_MODULES: Final = (*MODULES, "scoring/score_chances", "scoring/_score_chances_kernel")
"""Modules whose code decides score chances."""


def scores_from_tee(
    lies: Lies, cost: strokes_table.TeeStrokes, ground: GroundMap, scores: ScoreChances
) -> Floats:
    """Return the chance of 1, 2, … strokes or fewer from a tee whose drives end in `lies` and cost `cost`.

    Returns
    -------
    Array of shape (drives, `MOST_STROKES` + 1), a row for each drive. Their mean is the tee's.
    """
    kept, dropped = shares_played_on(lies, cost)
    met, penalties = next_lies(lies, ground)
    total = np.zeros((len(lies.x), MOST_STROKES + 1))
    scores.add_to(total, met, lies.x, lies.y, kept, 1 + penalties)
    fairway, with_penalty = np.full_like(met, Lie.FAIRWAY), np.full_like(met, 3)
    scores.add_to(total, fairway, lies.x, lies.y, dropped, with_penalty)
    # A replayed drive has the tee's own chances, two strokes later.
    tee, replayed = total.mean(axis=0), cost.replayed.mean()
    for n in range(2, MOST_STROKES + 1):
        tee[n] += replayed * tee[n - 2]
    total[:, 2:] += cost.replayed[:, None] * tee[:-2]
    return total


def shares_played_on(lies: Lies, cost: strokes_table.TeeStrokes) -> tuple[Floats, Floats]:
    """Return the chance that each drive is played on, and the chance that it is lost and dropped for."""
    again = 2 + cost.expected
    kept = (1 - lies.lost) * ~(lies.may_replay & (lies.cost > again))
    return kept, lies.lost * (lies.lost_cost <= again)


def next_lies(lies: Lies, ground: GroundMap) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the lie from which each ball is played on, and the penalty strokes it has cost."""
    met = LIE_BY_GROUND[ground.at(lies.x, lies.y)].astype(np.int64)
    met[(lies.finish == Finish.OUT) | (met < 0)] = Lie.FAIRWAY
    return met, np.where(lies.finish == Finish.OUT, 2, lies.finish == Finish.PENALTY)
