"""What every side that a team can make would score: sides, drivers and order are chosen by it."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import Unit
from holesim.team.side_options import Group
from holesim.team.strike_scores import SELECTION_SETS

Floats = NDArray[np.float64]


class Way(NamedTuple):
    """A way for a group of players to play: `side` counts the sides they can make, nought the plain one.

    In foursomes the sides differ in who drives the odd holes, and in the plain one the lower handicap does.
    """

    group: Group
    side: int


@dataclass(frozen=True)
class SideTable:
    """The strokes and the points of every way that players can play together.

    Attributes
    ----------
    ways
        Each group of players that can play together, in each way; the plain one of a group comes first.
    opponents
        The opponents' sides; empty in stroke play.
    strokes
        Mean strokes of the round with the strikes of fewest strokes, net of playing handicaps, shape
        (ways, draw sets).
    points
        Expected points against each opponent, shape (ways, opponents, draw sets): with strikes by the state
        of the match where the order of the opponents is known, else with the strikes of fewest strokes.
    """

    ways: tuple[Way, ...]
    opponents: tuple[Group, ...]
    strokes: Floats
    points: Floats

    @property
    def unit(self) -> Unit:
        """What the table is chosen by."""
        return "points" if self.opponents else "strokes"

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """The groups of players."""
        return tuple(dict.fromkeys(way.group for way in self.ways))

    @cached_property
    def players(self) -> tuple[int, ...]:
        """The players, by their places in the roster."""
        return tuple(sorted({player for group in self.groups for player in group}))

    def columns(self, *, order_known: bool) -> Floats:
        """Return what is made as great as can be, shape (ways, columns, draw sets).

        Where the opponents' order is known each is a column of points; where it is not the one column has the
        mean over all of them, and in stroke play strokes with a minus sign.
        """
        if not self.opponents:
            return -self.strokes[:, None]
        return self.points if order_known else np.asarray(self.points.mean(axis=1, keepdims=True))

    def best_ways(self, columns: Floats) -> NDArray[np.int64]:
        """Return the row of the best way of each group in each column, by the selection sets.

        Returns
        -------
        Array of shape (groups, columns).
        """
        selected = columns[..., SELECTION_SETS].mean(axis=-1)
        rows = [np.array(self.rows[group]) for group in self.groups]
        return np.stack([of_group[selected[of_group].argmax(axis=0)] for of_group in rows])

    def among(self, players: Collection[int]) -> "SideTable":
        """Return the table of the groups of some players alone."""
        kept = [row for row, way in enumerate(self.ways) if set(way.group) <= set(players)]
        ways = tuple(self.ways[row] for row in kept)
        return SideTable(ways, self.opponents, self.strokes[kept], self.points[kept])

    @cached_property
    def rows(self) -> dict[Group, tuple[int, ...]]:
        """The rows of each group's ways, the plain one first."""
        found: dict[Group, tuple[int, ...]] = {}
        for row, way in enumerate(self.ways):
            found[way.group] = (*found.get(way.group, ()), row)
        return found
