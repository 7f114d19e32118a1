"""Who plays with whom, who drives where and who meets whom: the draw, and what each choice gains.

In matches these are chosen for the most points, in stroke play for the fewest strokes. A choice is made with
the selection sets and its gain estimated with the holdout sets (`strike_scores`), compared with handicap
order. Where the gain is too small to matter handicap order stays.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import Benefit, Choice, estimate_benefit
from holesim.team.pairing import best_assignment, handicap_groups, handicap_order
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable, Way
from holesim.team.strike_scores import SELECTION_SETS

Floats = NDArray[np.float64]
_Drawn = tuple[tuple[int, int], ...]  # a group's place and its column


@dataclass(frozen=True)
class Draw:
    """The ways that are played, and the benefits of choosing them.

    Where the opponents' order is known the ways stand in it: the first meets the first opponent.
    """

    ways: tuple[Way, ...]
    benefits: tuple[Benefit, ...]


def choose_draw(table: SideTable, indices: Sequence[float], *, places: int, order_known: bool) -> Draw:
    """Return the draw of most points, or of fewest strokes without opponents.

    Parameters
    ----------
    indices
        Handicap index of each player of the table, in the order of `SideTable.players`.
    places
        How many sides play.
    order_known
        Whether the opponents' order is known. If so pairs and order are chosen together; else each side is as
        likely to meet any opponent.

    Raises
    ------
    TooFewError
        If there are too few players to fill the places.

    Examples
    --------
    Two singles players: the second does better against the first opponent.

    >>> from holesim.team.strike_scores import DRAW_SETS
    >>> points = np.array([[0.5, 0.6], [0.4, 0.3]])[:, :, None] * np.ones(DRAW_SETS)
    >>> ways = (Way((0,), 0), Way((1,), 0))
    >>> table = SideTable(ways, ((2,), (3,)), np.full((2, DRAW_SETS), 72.0), points)
    >>> draw = choose_draw(table, [5.0, 9.0], places=2, order_known=True)
    >>> [way.group for way in draw.ways], round(draw.benefits[0].value, 3)
    ([(1,), (0,)], 0.2)
    """
    return _Chooser(table, tuple(indices), places, order_known and bool(table.opponents)).choose()


@dataclass(frozen=True)
class _Chooser:
    table: SideTable
    indices: tuple[float, ...]
    places: int
    order_known: bool

    def choose(self) -> Draw:
        table, found = self.table, list[Benefit]()

        def gains(choice: Choice, chosen: Floats, other: Floats) -> bool:
            found.append(estimate_benefit(choice, chosen - other, table.unit))
            return found[-1].matters

        rows, everyone = self._best_rows, tuple(range(len(table.groups)))
        drawn, plain = self._draw(everyone, rows), self._plain_groups
        if plain not in (None, _groups(drawn)):
            in_handicap_order = self._draw(plain, rows)
            if not gains("pairs", self._total(drawn, rows), self._total(in_handicap_order, rows)):
                drawn = in_handicap_order
        if any(len(of_group) > 1 for of_group in table.rows.values()) and not gains(
            "drivers", self._total(drawn, rows), self._total(drawn, self._plain_rows)
        ):
            rows = self._plain_rows
            drawn = self._draw(_groups(drawn), rows)
        if self.order_known and self.places > 1:
            in_order = self._handicap_order(_groups(drawn))
            if not gains("order", self._total(drawn, rows), self._total(in_order, rows)):
                drawn = in_order
        if table.opponents and len(table.groups) > self.places:  # else they can play in one way only
            by_strokes = self._draw(self._groups_of_fewest_strokes, rows)
            gains("points", self._total(drawn, rows), self._total(by_strokes, rows))
        return Draw(tuple(table.ways[rows[one]] for one in drawn), tuple(found))

    @cached_property
    def _values(self) -> Floats:
        return self.table.columns(order_known=self.order_known)

    @cached_property
    def _selected(self) -> Floats:
        return np.asarray(self._values[..., SELECTION_SETS].mean(axis=-1))

    @cached_property
    def _best_rows(self) -> NDArray[np.int64]:
        return self.table.best_ways(self._values)

    @cached_property
    def _plain_rows(self) -> NDArray[np.int64]:
        plain = np.array([self.table.rows[group][0] for group in self.table.groups])
        return np.repeat(plain[:, None], self._values.shape[1], axis=1)

    def _draw(self, among: Sequence[int], rows: NDArray[np.int64]) -> _Drawn:
        """Return the best draw among some groups, by their places."""
        columns = np.arange(self._values.shape[1])
        values = self._selected[rows[list(among)], columns]
        places = (1,) * len(columns) if self.order_known else (self.places,)
        drawn = best_assignment(values, [self.table.groups[k] for k in among], places)
        return tuple((among[k], column) for k, column in drawn)

    def _total(self, drawn: _Drawn, rows: NDArray[np.int64]) -> Floats:
        return np.asarray(np.sum([self._values[rows[one], one[1]] for one in drawn], axis=0))

    @cached_property
    def _plain_groups(self) -> tuple[int, ...] | None:
        """The groups in handicap order; none where they may not all play together."""
        size, players = len(self.table.groups[0]), self.table.players
        in_order = handicap_groups(self.indices, size, self.places)
        groups = [tuple(players[i] for i in group) for group in in_order]
        if not set(groups) <= set(self.table.groups):
            return None
        return tuple(sorted(map(self.table.groups.index, groups)))

    def _handicap_order(self, groups: Sequence[int]) -> _Drawn:
        """Return the draw in which the group of the lowest handicaps meets the first opponent, and so on."""
        order = handicap_order([self._index(self.table.groups[k]) for k in groups])
        return tuple((groups[i], column) for column, i in enumerate(order))

    def _index(self, group: Group) -> float:
        return sum(self.indices[self.table.players.index(i)] for i in group)

    @cached_property
    def _groups_of_fewest_strokes(self) -> tuple[int, ...]:
        strokes = self.table.strokes[:, SELECTION_SETS].mean(axis=1)
        least = [strokes[list(self.table.rows[group])].min() for group in self.table.groups]
        drawn = best_assignment(-np.array(least)[:, None], self.table.groups, (self.places,))
        return _groups(drawn)


def _groups(drawn: _Drawn) -> tuple[int, ...]:
    return tuple(sorted(k for k, _ in drawn))
