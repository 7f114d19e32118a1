"""Score chances: the chance of each number of strokes from every place on a hole and from a tee."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from holesim.common import disk_cache
from holesim.course.ground_map import GroundMap
from holesim.scoring import _expected_strokes_kernel as kernel
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import ExpectedStrokes, PolicyOutcomes, code_digest, follow_policy
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
    def cumulative(self) -> NDArray[np.float32]:
        """The chances at the points of the grid [strokes - 1, lie, row, column]."""
        shape = self.grid.values.shape
        return _chances_of(self.by_place[: self.grid.values.size]).T.reshape(MOST_STROKES, *shape)

    @property
    def putting(self) -> NDArray[np.float32]:
        """The chances on the green by distance [strokes - 1, metre]."""
        return _chances_of(self.by_place[self.grid.values.size :]).T

    def weights(self, lies: NDArray[np.int64] | Lie, x: Floats, y: Floats) -> csr_array:
        """Return weights that interpolate between places at balls at x, y [m], shape (balls, places).

        They are the same for every golfer.
        """
        places, weights = self._around(lies, x, y)
        shape = len(x), len(self.by_place)
        return csr_array((weights.T.ravel(), places.T.ravel(), 4 * np.arange(len(x) + 1)), shape=shape)

    def at(self, lies: NDArray[np.int64] | Lie, x: Floats, y: Floats) -> Floats:
        """Return the chance of 1, 2, … `MOST_STROKES` strokes or fewer, shape (balls, `MOST_STROKES`)."""
        places, weights = self._around(lies, x, y)
        return np.asarray(np.einsum("kb,kbn->bn", weights / _WHOLE, self.by_place[places]))

    def _around(
        self, lies: NDArray[np.int64] | Lie, x: Floats, y: Floats
    ) -> tuple[NDArray[np.int64], Floats]:
        """Return the numbers of the four places around each ball, and their weights, both (4, balls).

        Interpolation is bilinear off the green and by distance on it; beyond the grid the values are those at
        its edge.
        """
        _, rows, columns = self.grid.values.shape
        v, u = (
            np.clip((place - start) * self.grid.per_metre, 0, count - 1)
            for place, start, count in ((y, self.grid.y0, rows), (x, self.grid.x0, columns))
        )
        row, column = np.minimum(v.astype(int), rows - 2), np.minimum(u.astype(int), columns - 2)
        v, u = v - row, u - column
        lies = np.broadcast_to(np.asarray(lies, dtype=np.int64), len(x))
        at = (lies * rows + row) * columns + column
        green = lies == Lie.GREEN
        away = np.hypot(x - self.grid.pin_x, y - self.grid.pin_y)
        away = np.clip(away, 0, len(self.by_place) - self.grid.values.size - 1.001)
        putt = len(Lie) * rows * columns + away.astype(int)
        zeros = np.zeros(len(x), dtype=int)
        places = np.where(
            green,
            np.stack([putt, putt + 1, zeros, zeros]),
            np.stack([at, at + 1, at + columns, at + columns + 1]),
        )
        weights = np.where(
            green,
            np.stack([1 - away % 1, away % 1, zeros, zeros]),
            np.stack([(1 - v) * (1 - u), (1 - v) * u, v * (1 - u), v * u]),
        )
        return places, weights


def _chances_of(stored: NDArray[np.uint16]) -> NDArray[np.float32]:
    return np.asarray(stored / np.float32(_WHOLE), dtype=np.float32)


def scores_by_mean(expected: ExpectedStrokes, chances_by_mean: strokes_table.ChancesByMean) -> ScoreChances:
    """Return the score chances that go with the expected strokes at every place."""
    grid = expected.grid
    means = np.concatenate([grid.values.ravel(), grid.putts])
    chances = chances_by_mean.cumulative(means, MOST_STROKES)
    return ScoreChances(grid, np.rint(chances * _WHOLE).astype(np.uint16))


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
    name = disk_cache.digest([code_digest(), __name__, *expected.problem.content, first.by_place])
    kept = disk_cache.load(name)
    if kept is None:
        known = follow_policy(expected)
        states = known.problem.states
        then, putted = (np.ascontiguousarray(part)[..., None] for part in (first.cumulative, first.putting))
        for n in range(1, MOST_STROKES + 1):
            chances = _chances(n, known, putted, then)
            then[n - 1, states.lies, states.rows, states.columns] = chances
        solved = np.rint(then.reshape(MOST_STROKES, -1).T * _WHOLE).astype(np.uint16)
        kept = {"within": np.ascontiguousarray(solved)}
        disk_cache.save(name, kept)
    first.by_place[: first.grid.values.size] = kept["within"]
    return first


@dataclass(frozen=True)
class AlternateShotChances:
    """Cumulative chances of holing out one ball that two of several golfers play in alternate shots.

    `cumulative` has one array [strokes - 1, lie, row, column, golfer who plays next] for each golfer who
    plays the shot after that. `putting` [strokes - 1, metre, golfer who putts] is the same for all of these.
    """

    cumulative: tuple[NDArray[np.float32], ...]
    putting: NDArray[np.float32]

    def at(self, places: NDArray[np.int64], after: int) -> NDArray[np.float32]:
        """Return the chance of 1, 2, … `MOST_STROKES` strokes or fewer.

        Parameters
        ----------
        places
            Numbers of places, rising, as in `ScoreChances.by_place`.
        after
            The golfer who plays after the one who plays next.

        Returns
        -------
        Array of shape (places, `MOST_STROKES`, golfers who play next).
        """
        grid = self.cumulative[after].reshape(MOST_STROKES, -1, len(self.cumulative))
        count = grid.shape[1]
        putts = np.searchsorted(places, count)
        found = [grid[:, places[:putts]], self.putting[:, places[putts:] - count]]
        return np.ascontiguousarray(np.concatenate(found, axis=1).swapaxes(0, 1))


def solve_alternate_shots(
    alone: Sequence[ScoreChances], shots: Sequence[PolicyOutcomes]
) -> AlternateShotChances:
    """Return the score chances of any two golfers who play one ball in alternate shots.

    Each plays the policy that is best for their own ball. Whoever has the first putt takes them all. Far from
    the hole's line the chances are those of the golfer alone.

    Parameters
    ----------
    alone, shots
        The score chances and the policy outcomes of each golfer.

    Notes
    -----
    P(N ≤ n) where one golfer plays is the mean of P(N ≤ n - 1 - penalties) where the other plays next.
    """
    putted, first = (
        np.ascontiguousarray(np.stack(chances, axis=-1))
        for chances in ([one.putting for one in alone], [one.cumulative for one in alone])
    )
    within = tuple(first.copy() for _ in alone)
    for n in range(1, MOST_STROKES + 1):
        found = [_chances(n, my_shots, putted, mine) for my_shots, mine in zip(shots, within, strict=True)]
        for i, (my_shots, mine) in enumerate(zip(shots, found, strict=True)):
            states = my_shots.problem.states
            for j, theirs in enumerate(within):
                theirs[n - 1, states.lies, states.rows, states.columns, i] = mine[:, j]
    return AlternateShotChances(within, putted)


def _chances(
    n: int, shots: PolicyOutcomes, putted: NDArray[np.float32], then: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return the chance of n strokes or fewer from each state, given the chances `then` after its shot.

    `then` and `putted` have golfers on their last axis, and so has the result, of shape (states, golfers).
    """
    states = shots.problem.states
    chances = np.empty((len(states.lies), then.shape[-1]), dtype=np.float32)
    kernel.spread_chances(n, states, shots.outcomes, shots.problem.constants, putted, then, chances)
    return chances


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
    chances = scores.at(met, lies.x, lies.y)
    total = np.zeros((len(lies.x), MOST_STROKES + 1))
    for spent in np.unique(penalties):
        those = np.flatnonzero(penalties == spent)
        total[those, 1 + spent :] += kept[those, None] * chances[those, : MOST_STROKES - spent]
    if dropped.any():
        total[:, 3:] += dropped[:, None] * scores.at(Lie.FAIRWAY, lies.x, lies.y)[:, : MOST_STROKES - 2]
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
