"""Scores: the chance of each number of strokes, from every place on a hole and then from its tee."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from holesim.common import disk_cache
from holesim.course.ground_map import GroundMap
from holesim.scoring import _expected_strokes_kernel as kernel
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import ExpectedStrokes, ShotOutcomes, code, follow_shots
from holesim.shot._relief_kernel import LIES
from holesim.shot._strokes_grid_kernel import StrokesGrid
from holesim.shot.relief import Finish, Lie, Lies

Floats = NDArray[np.float64]

MOST: Final = 12  # strokes that are told apart
_WHOLE: Final = 65535


@dataclass(frozen=True)
class ScoreChances:
    """The chance of holing out in so many strokes or fewer, on one hole for one golfer.

    `within` [strokes - 1, lie, row, column] is at `grid`, `putted` [strokes - 1, metre] by distance.
    """

    grid: StrokesGrid
    within: NDArray[np.float32]
    putted: NDArray[np.float32]

    @cached_property
    def by_place(self) -> NDArray[np.float32]:
        """The chances at all places, shape (places, `MOST`): nodes lie by lie, then metres on the green."""
        grid = self.within.reshape(MOST, -1)
        return np.ascontiguousarray(np.concatenate([grid, self.putted], axis=1).T)

    def weights(self, lies: NDArray[np.int64], x: Floats, y: Floats) -> csr_array:
        """Return how much each place tells of balls that lie at x, y [m], shape (balls, places).

        They are the same for every golfer. Between nodes it is bilinear, and beyond the last as there; on the
        green it is by the distance.
        """
        _, rows, columns = self.grid.values.shape
        v, u = (
            np.clip((place - start) * self.grid.per_metre, 0, count - 1)
            for place, start, count in ((y, self.grid.y0, rows), (x, self.grid.x0, columns))
        )
        row, column = np.minimum(v.astype(int), rows - 2), np.minimum(u.astype(int), columns - 2)
        v, u = v - row, u - column
        at = (lies * rows + row) * columns + column
        green = lies == Lie.GREEN
        away = np.hypot(x - self.grid.pin_x, y - self.grid.pin_y)
        away = np.clip(away, 0, self.putted.shape[1] - 1.001)
        putt = len(Lie) * rows * columns + away.astype(int)
        nought = np.zeros(len(x), dtype=int)
        places = np.where(
            green,
            np.stack([putt, putt + 1, nought, nought]),
            np.stack([at, at + 1, at + columns, at + columns + 1]),
        )
        weights = np.where(
            green,
            np.stack([1 - away % 1, away % 1, nought, nought]),
            np.stack([(1 - v) * (1 - u), (1 - v) * u, v * (1 - u), v * u]),
        )
        shape = len(x), len(Lie) * rows * columns + self.putted.shape[1]
        return csr_array((weights.T.ravel(), places.T.ravel(), 4 * np.arange(len(x) + 1)), shape=shape)

    def at(self, lie: Lie, x: Floats, y: Floats) -> Floats:
        """Return the chance of 1, 2, … `MOST` strokes or fewer, shape (balls, `MOST`)."""
        return np.asarray(self.weights(np.full(len(x), lie), x, y) @ self.by_place)


def scores_by_mean(expected: ExpectedStrokes, chances_by_mean: strokes_table.Chances) -> ScoreChances:
    """Return the chances that go with what remains on average, as `strokes_table.chances` has them."""
    grid = expected.grid
    within, putted = (
        np.ascontiguousarray(chances_by_mean.within(means.ravel(), MOST).T)
        for means in (grid.values, grid.putts)
    )
    return ScoreChances(grid, within.reshape(MOST, *grid.values.shape), putted)


def solve_scores(
    expected: ExpectedStrokes, chances_by_mean: strokes_table.Chances, ground: GroundMap
) -> ScoreChances:
    """Return the chances where the shots of `expected` are played; once worked out they are kept.

    Putts, places far from the hole, and all where no shots are known, go by the mean.

    Notes
    -----
    P(N ≤ n) from a place is the mean of P(N ≤ n - 1 - penalties) over where the outcomes of its shot lead.
    """
    begun = scores_by_mean(expected, chances_by_mean)
    if expected.setting is None:
        return begun
    content = expected.setting.content
    name = disk_cache.digest([code(), __name__, ground.digest, *content, begun.within, begun.putted])
    kept = disk_cache.load(name)
    if kept is None:
        known = follow_shots(expected, ground)
        states = known.setting.states
        for n in range(1, MOST + 1):
            chances = _chances(n, known, begun.putted[..., None], begun.within[..., None])
            begun.within[n - 1, states.lies, states.rows, states.columns] = chances[:, 0]
        kept = {"within": np.rint(begun.within * _WHOLE).astype(np.uint16)}
        disk_cache.save(name, kept)
    # Rounded alike, whether worked out or read.
    return ScoreChances(begun.grid, (kept["within"] / np.float32(_WHOLE)).astype(np.float32), begun.putted)


@dataclass(frozen=True)
class InTurn:
    """The chances with one ball that any two of several golfers play in turn.

    `within` has an array [strokes - 1, lie, row, column, golfer who plays next] for each who plays after
    that, and `putted` [strokes - 1, metre, golfer who putts] holds for all of them.
    """

    within: tuple[NDArray[np.float32], ...]
    putted: NDArray[np.float32]

    def at(self, places: NDArray[np.int64], after: int) -> NDArray[np.float32]:
        """Return the chance of 1, 2, … `MOST` strokes or fewer.

        Parameters
        ----------
        places
            Numbers of places, in rising order, as `ScoreChances.by_place` has them.
        after
            The golfer who plays after the one who plays next.

        Returns
        -------
        Array of shape (places, `MOST`, golfers who play next).
        """
        grid = self.within[after].reshape(MOST, -1, len(self.within))
        count = grid.shape[1]
        putts = np.searchsorted(places, count)
        found = [grid[:, places[:putts]], self.putted[:, places[putts:] - count]]
        return np.ascontiguousarray(np.concatenate(found, axis=1).swapaxes(0, 1))


def in_turn(alone: Sequence[ScoreChances], shots: Sequence[ShotOutcomes]) -> InTurn:
    """Return the chances of any two who play one ball in turn, by those of each alone and their shots.

    Each plays the shots that would serve their own ball best; who has the first putt has them all, and far
    from the hole's line chances stay as they are alone.

    Notes
    -----
    P(N ≤ n) where one plays is the mean of P(N ≤ n - 1 - penalties) where the other does.
    """
    putted = np.stack([one.putted for one in alone], axis=-1)
    begun = np.stack([one.within for one in alone], axis=-1)
    within = tuple(begun.copy() for _ in alone)
    for n in range(1, MOST + 1):
        found = [_chances(n, my_shots, putted, mine) for my_shots, mine in zip(shots, within, strict=True)]
        for i, (my_shots, mine) in enumerate(zip(shots, found, strict=True)):
            states = my_shots.setting.states
            for j, theirs in enumerate(within):
                theirs[n - 1, states.lies, states.rows, states.columns, i] = mine[:, j]
    return InTurn(within, putted)


def _chances(
    n: int, shots: ShotOutcomes, putted: NDArray[np.float32], then: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return each state's chances of n strokes or fewer by these shots, after which others hold.

    They are of shape (states, golfers), as `then` and `putted` have golfers last.
    """
    states = shots.setting.states
    chances = np.empty((len(states.lies), then.shape[-1]), dtype=np.float32)
    kernel.distribute(n, states, shots.outcomes, shots.setting.target, putted, then, chances)
    return chances


def from_tee(lies: Lies, cost: strokes_table.Strokes, ground: GroundMap, scores: ScoreChances) -> Floats:
    """Return the chance of 1, 2, … strokes or fewer from a tee, whose drives end in `lies` and cost `cost`.

    Returns
    -------
    Array of shape (drives, `MOST` + 1): each drive's, whose mean is the tee's.
    """
    kept, dropped = shares_kept(lies, cost)
    met, penalties = played_from(lies, ground)
    chances = scores.weights(met, lies.x, lies.y) @ scores.by_place
    total = np.zeros((len(lies.x), MOST + 1))
    for spent in np.unique(penalties):
        those = np.flatnonzero(penalties == spent)
        total[those, 1 + spent :] += kept[those, None] * chances[those, : MOST - spent]
    if dropped.any():
        total[:, 3:] += dropped[:, None] * scores.at(Lie.FAIRWAY, lies.x, lies.y)[:, : MOST - 2]
    # A drive that is replayed is the tee's own chance, two strokes later.
    tee, replayed = total.mean(axis=0), cost.replayed.mean()
    for n in range(2, MOST + 1):
        tee[n] += replayed * tee[n - 2]
    total[:, 2:] += cost.replayed[:, None] * tee[:-2]
    return total


def shares_kept(lies: Lies, cost: strokes_table.Strokes) -> tuple[Floats, Floats]:
    """Return the share of each drive that is played on, and that which is dropped for when lost."""
    again = 2 + cost.expected
    kept = (1 - lies.lost) * ~(lies.may_replay & (lies.cost > again))
    return kept, lies.lost * (lies.lost_cost <= again)


def played_from(lies: Lies, ground: GroundMap) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the lie of each ball that is played on, and the penalty strokes it has cost."""
    met = LIES[ground.at(lies.x, lies.y)].astype(np.int64)
    met[(lies.finish == Finish.OUT) | (met < 0)] = Lie.FAIRWAY
    return met, np.where(lies.finish == Finish.OUT, 2, lies.finish == Finish.PENALTY)
