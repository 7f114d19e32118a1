"""What a draw of the captain's own would bring, compared with the one found."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.common import disk_cache
from holesim.team.benefit import Benefit, Unit, estimate_benefit
from holesim.team.draw import Draw
from holesim.team.formats.match_play import plan_drawn_matches
from holesim.team.formats.pairs import PairFormat
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable, Way
from holesim.team.team_plan import TeamPlan
from holesim.team.team_session import TabulatedSession

Floats = NDArray[np.float64]

_KIND: Final = "draw prices 1"


class NoSuchDrawError(ValueError):
    """A draw that cannot be played, and why in one line."""


@dataclass(frozen=True)
class DrawPrice:
    """What a draw would bring.

    Attributes
    ----------
    sides
        Expected points of each side, or its strokes.
    total
        Of the team: what the draw found brings, with the gain.
    gain
        Compared with the draw found; negative where it costs.
    same
        Whether it is the draw found.
    """

    sides: tuple[float, ...]
    total: float
    gain: Benefit
    same: bool


@dataclass(frozen=True)
class DrawPrices:
    """What every side of a session could bring, so that any draw can be priced.

    Attributes
    ----------
    names
        Of the squad, by place.
    groups
        The players of each side that may be made, by their places.
    values
        What is made as great as can be: points, or strokes with a minus sign, of each side against each
        opponent; one column where the order does not matter. Shape (groups, columns, draw sets).
    found
        The sides of the draw found, in their order.
    total
        Points or strokes expected of it.
    """

    names: tuple[str, ...]
    groups: tuple[Group, ...]
    values: Floats
    found: tuple[Group, ...]
    total: float
    unit: Unit

    @property
    def ordered(self) -> bool:
        """Whether the order of the sides matters: each meets a known opponent."""
        return int(self.values.shape[1]) > 1

    def price(self, sides: Sequence[Sequence[int]]) -> DrawPrice:
        """Return what a draw would bring.

        Parameters
        ----------
        sides
            The players of each side by their places in the squad, in the order of the opponents.

        Raises
        ------
        NoSuchDrawError
            If it cannot be played.

        Notes
        -----
        The gain is estimated as those of a plan are: by the draw sets that did not choose the draw found.
        """
        drawn = self.check(sides)
        mine, best = self._values(drawn), self._values(self.found)
        gain = estimate_benefit("draw", np.sum(mine, axis=0) - np.sum(best, axis=0), self.unit)
        sign = 1 if self.unit == "points" else -1
        return DrawPrice(
            sides=tuple(sign * float(value.mean()) for value in mine),
            total=self.total + sign * gain.value,
            gain=gain,
            same=self._key(drawn) == self._key(self.found),
        )

    def check(self, sides: Sequence[Sequence[int]]) -> tuple[Group, ...]:
        """Return a draw's sides, each in the order of the squad.

        Raises
        ------
        NoSuchDrawError
            If it cannot be played.
        """
        places, size = len(self.found), len(self.found[0])
        if len(sides) != places:
            raise NoSuchDrawError(f"{len(sides)} sides are not the {places} that play")
        for player, count in Counter(player for side in sides for player in side).items():
            if player not in range(len(self.names)):
                raise NoSuchDrawError("a player is not in the squad")
            if count > 1:
                raise NoSuchDrawError(f"{self.names[player]} would play twice")
        for side in sides:
            if len(side) != size:
                named = " and ".join(self.names[i] for i in side) or "nobody"
                needs = "one player" if size == 1 else "two players"
                raise NoSuchDrawError(f"a side has {needs}, not {len(side)} ({named})")
            if tuple(sorted(side)) not in self.groups:
                named = " and ".join(self.names[i] for i in sorted(side))
                raise NoSuchDrawError(
                    f"{named} may not play together: the team file keeps them apart, or one with another"
                )
        return tuple(tuple(sorted(side)) for side in sides)

    def _values(self, drawn: Sequence[Group]) -> list[Floats]:
        return [
            self.values[self.groups.index(group), column if self.ordered else 0]
            for column, group in enumerate(drawn)
        ]

    def _key(self, drawn: Sequence[Group]) -> object:
        return tuple(drawn) if self.ordered else frozenset(drawn)


def find_prices(tabulated: TabulatedSession, plan: TeamPlan) -> DrawPrices:
    """Return the prices of all draws of a session, by the table that its plan was chosen from."""
    columns = _columns(tabulated)
    rows = _rows(tabulated.table, columns, plan)
    names = tabulated.session.team.names
    return DrawPrices(
        names=names,
        groups=tabulated.table.groups,
        values=np.take_along_axis(columns, rows[..., None], axis=0),
        found=tuple(tuple(sorted(names.index(name) for name in side.names)) for side in plan.sides),
        total=plan.total,
        unit=plan.unit,
    )


def plan_given(tabulated: TabulatedSession, plan: TeamPlan, sides: Sequence[Sequence[int]]) -> TeamPlan:
    """Return the plan in which the captain's own draw plays.

    Parameters
    ----------
    plan
        Of the draw found.
    sides
        As in `DrawPrices.price`.

    Raises
    ------
    NoSuchDrawError
        If it cannot be played.
    """
    prices = find_prices(tabulated, plan)
    drawn = prices.check(sides)
    if prices.price(sides).same:
        return plan
    squad = tabulated.session.team.players
    playing = tuple(sorted(player for group in drawn for player in group))
    among = tabulated.plan(playing) if len(playing) < len(squad) else tabulated.plan()
    format_, table = tabulated.format, tabulated.table
    rows = _rows(table, _columns(tabulated), plan)
    ways = tuple(
        table.ways[rows[table.groups.index(group), column if prices.ordered else 0]]
        for column, group in enumerate(drawn)
    )
    draw = Draw(_in_order(ways, tabulated), ())
    if format_.opponents:
        found = plan_drawn_matches(format_, table, draw)
    elif isinstance(format_, PairFormat):
        found = format_.plan_strokes(draw)
    else:
        return among
    return replace(among, **vars(found if plan.net else replace(found, handicaps=())))


def _in_order(ways: tuple[Way, ...], tabulated: TabulatedSession) -> tuple[Way, ...]:
    """Return the ways in the squad's order where they meet nobody in particular, as a plan has them."""
    choices = tabulated.choices
    known = choices.order_known and bool(choices.table.opponents)
    return ways if known else tuple(sorted(ways, key=lambda way: choices.table.groups.index(way.group)))


def _columns(tabulated: TabulatedSession) -> Floats:
    return tabulated.table.columns(order_known=tabulated.choices.order_known)


def _rows(table: SideTable, columns: Floats, plan: TeamPlan) -> NDArray[np.int64]:
    """Return the row of each group's way in each column, drivers chosen as the plan chooses them."""
    if not any(one.choice == "drivers" and not one.matters for one in plan.benefits):
        return table.best_ways(columns)
    plain = np.array([table.rows[group][0] for group in table.groups])
    return np.repeat(plain[:, None], columns.shape[1], axis=1)


# --- kept for a window ------------------------------------------------------------------------------------


def save_prices(prices: DrawPrices) -> str:
    """Keep prices on disk; return the name that they are found by."""
    arrays = {
        "names": np.array(prices.names),
        "groups": np.array(prices.groups),
        "values": prices.values,
        "found": np.array(prices.found),
        "total": np.array(prices.total),
        "unit": np.array(prices.unit),
    }
    name = disk_cache.digest([_KIND, *arrays.values()])
    disk_cache.save(name, arrays)
    return name


def load_prices(name: str) -> DrawPrices | None:
    """Return the prices kept under a name; none where they are no longer there."""
    kept = disk_cache.load(name)
    if kept is None or not {"names", "groups", "values", "found", "total", "unit"} <= kept.keys():
        return None
    unit: Unit = "points" if str(kept["unit"]) == "points" else "strokes"
    return DrawPrices(
        names=tuple(map(str, kept["names"].tolist())),
        groups=tuple(map(tuple, kept["groups"].tolist())),
        values=kept["values"],
        found=tuple(map(tuple, kept["found"].tolist())),
        total=float(kept["total"]),
        unit=unit,
    )
