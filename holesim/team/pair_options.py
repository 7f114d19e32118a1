"""What pairs may do with one ball: found for many pairs at once, and kept on disk for those of a plan."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from holesim.common.parallel import share_out_by_size
from holesim.common.record_digest import record_digest
from holesim.team.handicap import Format
from holesim.team.kept_scores import PairByHole, code_digest, load_pair, save_pair
from holesim.team.partner_drives import Partner
from holesim.team.roster_scores import RosterScores
from holesim.team.shared_ball import PairHole, make_pair_holes
from holesim.team.side_options import Group, SideOption

ON_HOLE: Final[Mapping[Format, Callable[[PairHole], list[tuple[SideOption, ...]]]]] = {
    "foursomes": lambda hole: [hole.foursomes(driver) for driver in (0, 1)],
    "greensomes": lambda hole: [hole.greensomes()],
}
"""What a pair may do on a hole, by who drives, in each format with one ball."""


class Partners:
    """What each player brings to a shared ball on each hole, found when it is first asked for.

    Parameters
    ----------
    find
        Returns by hole what some players bring, by their places in the roster.
    """

    def __init__(self, find: Callable[[Sequence[int]], list[list[Partner]]]) -> None:
        self._find = find
        self._found: dict[int, list[Partner]] = {}

    def add(self, player: int, by_hole: list[Partner]) -> None:
        """Take what a player brings, where it is known already."""
        self._found[player] = by_hole

    def of(self, players: Sequence[int]) -> list[list[Partner]]:
        """Return what some players bring, by player, then by hole."""
        missing = sorted(set(players) - set(self._found))
        if missing:
            for player, by_hole in zip(missing, zip(*self._find(missing), strict=True), strict=True):
                self.add(player, list(by_hole))
        return [self._found[player] for player in players]


@dataclass(frozen=True)
class PairOptions:
    """What pairs of a roster may do with one ball.

    Attributes
    ----------
    formats
        Those to be planned: what they share is found for all of them together.
    names
        Of what is kept of each player's round.
    places
        The players whose pairs are asked for, by their places in the roster.
    """

    formats: tuple[Format, ...]
    roster: RosterScores
    partners: Partners
    names: tuple[str, ...]
    places: Group
    _found: dict[tuple[Format, Group], PairByHole] = field(default_factory=dict)

    def among(self, places: Group) -> "PairOptions":
        """Return the same where pairs are asked for by their places among some players."""
        chosen = tuple(self.places[i] for i in places)
        return PairOptions(self.formats, self.roster, self.partners, self.names, chosen, self._found)

    def of(self, format_: Format, pair: Group) -> PairByHole:
        """Return what a pair may do, once it has been found."""
        return self._found[format_, self._in_roster(pair)]

    def find(self, format_: Format, pairs: Sequence[Group]) -> None:
        """Find what some pairs may do, but for those that are known or kept."""
        missing = []
        for pair in dict.fromkeys(map(self._in_roster, pairs)):
            if (format_, pair) not in self._found:
                kept = load_pair(self._name(format_, pair))
                if kept is None:
                    missing.append(pair)
                else:
                    self._found[format_, pair] = kept
        if missing:
            self._find(missing)

    def keep(self, format_: Format, pairs: Sequence[Group]) -> None:
        """Keep on disk what some pairs may do."""
        for pair in map(self._in_roster, pairs):
            save_pair(self._name(format_, pair), self._found[format_, pair])

    def _in_roster(self, pair: Group) -> Group:
        return tuple(self.places[i] for i in pair)

    def _name(self, format_: Format, pair: Group) -> str:
        """Return the name under which a pair is kept."""
        one, other = pair
        called = self.roster.names[one], self.roster.names[other]
        return record_digest("pair", code_digest(), format_, self.names[one], self.names[other], called)

    def _find(self, pairs: Sequence[Group]) -> None:
        """Find what pairs may do in all formats: those who have partners in common together."""
        groups = _groups(pairs)
        partners = [self.partners.of(group) for group in groups]

        def on_hole(h: int) -> dict[tuple[Format, Group], list[tuple[SideOption, ...]]]:
            found = {}
            for group, of_group in zip(groups, partners, strict=True):
                holes = make_pair_holes(
                    [by_hole[h] for by_hole in of_group],
                    [self.roster.names[i] for i in group],
                    [[strike.label for strike in self.roster.gross[i][h]] for i in group],
                )
                for hole in holes:
                    pair = tuple(group[k] for k in hole.players)
                    if pair in wanted:
                        found.update({(name, pair): ON_HOLE[name](hole) for name in self.formats})
            return found

        wanted = set(pairs)
        by_hole = share_out_by_size(on_hole, [hole.tees[0].length for hole in self.roster.holes])
        self._found.update({name: [found[name] for found in by_hole] for name in by_hole[0]})


def _groups(pairs: Sequence[Group]) -> list[Group]:
    """Return the players of pairs in groups that have no pair in common.

    Examples
    --------
    >>> _groups([(0, 1), (1, 2), (5, 4)])
    [(0, 1, 2), (5, 4)]
    """
    ones, others = np.array(pairs).T
    size = int(max(ones.max(), others.max())) + 1
    _, labels = connected_components(coo_array((np.ones(len(pairs)), (ones, others)), shape=(size, size)))
    groups: dict[int, dict[int, None]] = {}
    for pair in pairs:
        groups.setdefault(int(labels[pair[0]]), {}).update(dict.fromkeys(pair))
    return [tuple(group) for group in groups.values()]
