"""Formats of single players: stroke play and singles."""

from abc import ABC
from typing import ClassVar

import numpy as np

from holesim.errors import InputError
from holesim.team.formats.match_play import plan_matches
from holesim.team.formats.round_format import RoundFormat, side_totals
from holesim.team.handicap import Allowance, Format, team_allowance
from holesim.team.line_up import choose_strikes
from holesim.team.round_totals import mean_of_best, sd_of_best
from holesim.team.side_options import Group, Side, make_single_side
from holesim.team.side_table import SideTable
from holesim.team.team_file import Team
from holesim.team.team_plan import FormatPlan


class _IndividualFormat(RoundFormat, ABC):
    """A format in which each side is one player."""

    size: ClassVar[int] = 1

    def sides(self, group: Group, received: tuple[int, ...]) -> tuple[Side, ...]:
        """Return the only side that a player makes."""
        ((player,), (strokes,)) = group, received
        round_ = self.roster.net(player, strokes)
        return (make_single_side(player, self.roster.names[player], round_, received),)


class StrokePlay(_IndividualFormat):
    """Stroke play, in which the best totals of the team count."""

    name: ClassVar[Format] = "stroke"
    meets_opponents: ClassVar[bool] = False

    @classmethod
    def check(cls, team: Team, count: int | None) -> None:
        """Make sure that as many scores can count.

        Raises
        ------
        InputError
            If not.
        """
        playing = cls.playing(team)
        if playing > len(team.players):
            problem = f"{playing} are more than the {len(team.players)} who could play"
            raise InputError(team.file, "places", problem, "add players, or correct it")
        if count is not None and not 1 <= count <= playing:
            problem = f"{count} is not from 1 to {playing}, the number who play"
            raise InputError("", "count", problem, "give how many scores count")

    @property
    def usual_allowance(self) -> Allowance:
        """The usual allowance: that of individual stroke play, or of the scores that count for the team."""
        if self.count is None:
            return super().usual_allowance
        return team_allowance(self.count, self.playing(self.team))

    def plan(self, table: SideTable) -> FormatPlan:
        """Return the plan: each player's strikes for the best team total."""
        sides = [self.stroke_sides((i,))[0] for i in table.players]
        count = len(sides) if self.count is None else self.count
        options, benefits = choose_strikes(sides, count)
        plans = [self.plan_side(*one) for one in zip(sides, options, strict=True)]
        totals = [side_totals(*one) for one in zip(sides, options, strict=True)]
        return FormatPlan(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            benefits=tuple(benefits),
            total=float(mean_of_best(totals, count)),
            sd=sd_of_best(totals, count, np.random.default_rng(0)),
            unit="strokes",
            handicaps=tuple(one for i in table.players for one in self.handicaps((i,))),
        )


class Singles(_IndividualFormat):
    """Singles: a match of each player against an opponent."""

    name: ClassVar[Format] = "singles"

    @classmethod
    def check(cls, team: Team, count: int | None) -> None:
        """Make sure that there are as many opponents as players.

        Raises
        ------
        InputError
            If not.
        """
        if not team.opponents:
            problem = "are missing, and singles needs as many as there are players"
            raise InputError(team.file, "opponents", problem, "add them")
        super().check(team, count)

    def plan(self, table: SideTable) -> FormatPlan:
        """Return the plan: the order, and strikes for each match."""
        return plan_matches(self, table)
