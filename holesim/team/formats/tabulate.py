"""The table of every side that a format allows, and the matches behind it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holesim.team.draw import Draw, choose_draw
from holesim.team.formats.round_format import RoundFormat
from holesim.team.match import Match
from holesim.team.match_up import MatchUp
from holesim.team.pairing import TooFewError
from holesim.team.round_totals import RoundTotals, add_holes
from holesim.team.side_options import Group, Side, choose_fewest, mean_side
from holesim.team.side_table import SideTable, Way
from holesim.team.strike_scores import DRAW_SETS, mean_chances

Floats = NDArray[np.float64]


def tabulate_sides(format_: RoundFormat, groups: Sequence[Group] | None = None) -> SideTable:
    """Return what every side that the players can make would score, against every opponent.

    Parameters
    ----------
    groups
        The groups of players to look at; by default all that can make a side.

    Raises
    ------
    TooFewError
        If no group may play.

    Notes
    -----
    What each side is taken to know. The opponents do not know whom they meet: they choose who drives where,
    and their strikes, for the fewest strokes of their own. The team knows that they do so. Where the order is
    known it chooses who drives where, and its strikes by the state of the match, for the most points against
    that opponent; where it is not, one way of playing for all opponents, of the fewest strokes.
    """
    groups = format_.groups if groups is None else tuple(groups)
    if not groups:
        raise TooFewError("nobody may play together")
    if format_.pairs is not None:
        format_.pairs.find(format_.name, (*groups, *format_.opponents))
    # Small arrays hold Python's lock nearly all the time: with a second thread this takes a fifth longer.
    found = [_tabulate(format_, group) for group in groups]
    return make_table(
        format_,
        np.concatenate([strokes for strokes, _ in found]),
        np.concatenate([points for _, points in found]),
        groups,
    )


def make_table(
    format_: RoundFormat, strokes: Floats, points: Floats, groups: Sequence[Group] | None = None
) -> SideTable:
    """Return the table of groups of players, by default of all that can make a side, with these contents."""
    groups = format_.groups if groups is None else groups
    ways = tuple(Way(group, k) for group in groups for k in range(format_.driver_orders))
    return SideTable(ways=ways, opponents=format_.opponents, strokes=strokes, points=points)


def choose_sides(format_: RoundFormat, table: SideTable) -> Draw:
    """Return the draw of a table whose players all play."""
    return choose_draw(
        table,
        [format_.roster.handicap_indices[i] for i in table.players],
        places=len(format_.opponents) or len(table.players) // format_.size,
        order_known=format_.team.order_known,
    )


def find_pairs(format_: RoundFormat, draw: Draw) -> None:
    """Find what the pairs of a draw with one ball may do, their opponents' too, and keep it on disk."""
    if format_.pairs is not None:
        met = (*(way.group for way in draw.ways), *format_.opponents)
        format_.pairs.find(format_.name, met)
        format_.pairs.keep(format_.name, met)


def _tabulate(format_: RoundFormat, group: Group) -> tuple[Floats, Floats]:
    """Return the strokes and the points of each way that a group can play."""
    strokes = [side.strokes_by(side.choose_options()) for side in format_.stroke_sides(group)]
    points = np.zeros((len(strokes), len(format_.opponents), DRAW_SETS))
    if format_.opponents:
        for k, meetings in enumerate(find_meetings(format_, group)):
            points[k] = meetings.points_by_state if format_.team.order_known else meetings.points
    return np.stack(strokes), points


@dataclass(frozen=True)
class Meetings:
    """The matches of one way to play against each opponent, with the same options in all of them."""

    match_ups: tuple[MatchUp, ...]

    @cached_property
    def side(self) -> Side:
        """The side, with the mean of its chances over the opponents."""
        return mean_side([one.mine for one in self.match_ups])

    @cached_property
    def fewest(self) -> tuple[int, ...]:
        """The option of fewest strokes on each hole."""
        return choose_fewest([one.mine for one in self.match_ups])

    @property
    def points(self) -> Floats:
        """The points against each opponent by the options of fewest strokes, shape (opponents, draw sets)."""
        return np.stack([match.points for match in self.by(self.fewest)])

    @property
    def points_by_state(self) -> Floats:
        """The points against each opponent with strikes by the state of the match, shape as `points`."""
        return np.stack([one.by_state.points for one in self.match_ups])

    def by(self, options: Sequence[int]) -> list[Match]:
        """Return the match against each opponent with one option on each hole."""
        return [one.by(options) for one in self.match_ups]

    def totals(self, options: Sequence[int]) -> RoundTotals:
        """Return the chance of each total of the round, net of what may be received from any opponent."""
        totals = [
            add_holes([mean_chances(chances) for chances in one.mine.chances_by(options)])
            for one in self.match_ups
        ]
        return RoundTotals(totals[0].lowest, np.mean([one.chances for one in totals], axis=0))


def find_meetings(format_: RoundFormat, group: Group) -> tuple[Meetings, ...]:
    """Return the matches of a group against each opponent, in each way that it can play."""
    strokes = [format_.match_strokes(group, other) for other in format_.opponents]
    sides = format_.aligned_sides(group, [mine for mine, _ in strokes])
    opponents = [
        format_.opposing_side(other, theirs)
        for other, (_, theirs) in zip(format_.opponents, strokes, strict=True)
    ]
    return tuple(
        Meetings(tuple(MatchUp(of_one[k], other) for of_one, other in zip(sides, opponents, strict=True)))
        for k in range(format_.driver_orders)
    )
