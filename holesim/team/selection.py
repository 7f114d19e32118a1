"""Who of a squad plays in which session, who stands by for whom, and what each choice gains.

A choice is made with the selection sets and its gain estimated with the holdout sets (`strike_scores`). The
plain choice is that the lowest handicaps play, as often as they may.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import Benefit, estimate_benefit
from holesim.team.pairing import ANY, Assignment, Candidates, Limits, TooFewError, best_assignments
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable
from holesim.team.strike_scores import SELECTION_SETS

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SessionTable:
    """What every side could score in one session, and how many sides play."""

    table: SideTable
    places: int
    order_known: bool

    @cached_property
    def values(self) -> Floats:
        """The value of each group in each column, in its best way, shape (groups, columns, draw sets)."""
        columns = self.table.columns(order_known=self.order_known)
        return np.asarray(np.take_along_axis(columns, self.table.best_ways(columns)[..., None], axis=0))

    @cached_property
    def candidates(self) -> Candidates:
        """What may be chosen, by the selection sets."""
        values = self.values[..., SELECTION_SETS].mean(axis=-1)
        in_order = self.order_known and bool(self.table.opponents)
        places = (1,) * values.shape[1] if in_order else (self.places,)
        return Candidates(values, self.table.groups, places)


@dataclass(frozen=True)
class Substitute:
    """Who plays more often if a chosen player cannot play, who else plays less often, and what that costs.

    `cost` is none where the places cannot be filled without the player.
    """

    out: int
    comes_in: Group
    goes_out: Group
    cost: Benefit | None


@dataclass(frozen=True)
class Reserve:
    """A player who sits out, whom they would replace, with whom, and what that would cost."""

    player: int
    replaces: Group
    comes_in: Group
    cost: Benefit


@dataclass(frozen=True)
class Selection:
    """Who plays.

    Attributes
    ----------
    playing
        The players of each session.
    gain
        Compared with the lowest handicaps; none where everyone plays, or the lowest handicaps do.
    substitutes
        For each chosen player, the dearest to lose first.
    reserves
        Those who play in no session, the least costly to bring in first.
    """

    playing: tuple[Group, ...]
    gain: Benefit | None
    substitutes: tuple[Substitute, ...]
    reserves: tuple[Reserve, ...]


def choose_players(
    sessions: Sequence[SessionTable], indices: Mapping[int, float], limits: Limits = ANY
) -> Selection:
    """Return who plays in each session, for the most points of all sessions, or the fewest strokes.

    Parameters
    ----------
    indices
        Handicap index of each player of the squad.

    Raises
    ------
    TooFewError
        If the places cannot be filled within the limits.

    Notes
    -----
    If a player cannot play, or a reserve must, everything is chosen anew: the others may change places.
    """
    return _Selector(tuple(sessions), indices, limits).select()


@dataclass(frozen=True)
class _Selector:
    sessions: tuple[SessionTable, ...]
    indices: Mapping[int, float]
    limits: Limits

    def select(self) -> Selection:
        best, gain = best_assignments(self._candidates, self.limits), None
        plain = self._lowest_handicaps
        if self._playing(plain) != self._playing(best):
            gain = self._cost(best, plain)
            best = best if gain.matters else plain
        playing = self._playing(best)
        chosen = {player for group in playing for player in group}
        sit_out = any(len(group) < len(self.indices) for group in playing)
        out, rest = sorted(chosen) if sit_out else [], sorted(set(self.indices) - chosen)
        substitutes = [self._substitute(best, player) for player in out]
        reserves = [self._reserve(best, player) for player in rest]
        return Selection(
            playing=playing,
            gain=gain,
            substitutes=tuple(
                sorted(substitutes, key=lambda one: -np.inf if one.cost is None else -one.cost.value)
            ),
            reserves=tuple(sorted(filter(None, reserves), key=lambda one: one.cost.value)),
        )

    @property
    def _candidates(self) -> list[Candidates]:
        return [session.candidates for session in self.sessions]

    @cached_property
    def _lowest_handicaps(self) -> tuple[Assignment, ...]:
        """The best sides of the lowest handicaps."""
        by_handicap = [
            one._replace(
                values=np.repeat(
                    [[-sum(self.indices[i] for i in group)] for group in one.groups],
                    one.values.shape[1],
                    axis=1,
                )
            )
            for one in self._candidates
        ]
        playing = self._playing(best_assignments(by_handicap, self.limits))
        among = [
            one.bar(row for row, group in enumerate(one.groups) if not set(group) <= set(players))
            for one, players in zip(self._candidates, playing, strict=True)
        ]
        return best_assignments(among, self.limits)

    def _playing(self, found: Sequence[Assignment]) -> tuple[Group, ...]:
        """Return the players of each session."""
        return tuple(
            tuple(sorted(player for row, _ in one for player in session.table.groups[row]))
            for session, one in zip(self.sessions, found, strict=True)
        )

    def _total(self, found: Sequence[Assignment]) -> Floats:
        values = (
            session.values[row, column]
            for session, one in zip(self.sessions, found, strict=True)
            for row, column in one
        )
        return np.asarray(np.sum(list(values), axis=0))

    def _cost(self, best: Sequence[Assignment], other: Sequence[Assignment]) -> Benefit:
        """Return what a choice gains over another."""
        unit = self.sessions[0].table.unit
        return estimate_benefit("players", self._total(best) - self._total(other), unit)

    def _substitute(self, best: Sequence[Assignment], player: int) -> Substitute:
        without = [
            one.bar(row for row, group in enumerate(one.groups) if player in group)
            for one in self._candidates
        ]
        try:
            # Who is left out may be a partner for want of whom another cannot play as often as they should.
            found = best_assignments(without, replace(self.limits, least={}))
        except TooFewError:
            return Substitute(player, (), (), None)
        out = tuple(one for one in self._more_often(best, found) if one != player)
        return Substitute(player, self._more_often(found, best), out, self._cost(best, found))

    def _reserve(self, best: Sequence[Assignment], player: int) -> Reserve | None:
        least = {**self.limits.least, player: max(1, self.limits.least.get(player, 0))}
        try:
            found = best_assignments(self._candidates, replace(self.limits, least=least))
        except TooFewError:
            return None
        with_them = tuple(one for one in self._more_often(found, best) if one != player)
        return Reserve(player, self._more_often(best, found), with_them, self._cost(best, found))

    def _more_often(self, one: Sequence[Assignment], other: Sequence[Assignment]) -> Group:
        """Return who plays more often by one choice than by another."""
        counts = [
            {player: sum(player in group for group in self._playing(found)) for player in self.indices}
            for found in (one, other)
        ]
        return tuple(player for player in self.indices if counts[0][player] > counts[1][player])
