"""Formats of pairs: what they share, and four-ball."""

from abc import ABC
from itertools import combinations
from typing import ClassVar

import numpy as np

from holesim.errors import InputError
from holesim.team.formats.match_play import plan_matches
from holesim.team.formats.round_format import RoundFormat
from holesim.team.handicap import Format
from holesim.team.line_up import choose_pairs
from holesim.team.side_options import Group, Side, make_four_ball_side
from holesim.team.team_file import Team
from holesim.team.team_plan import FormatPlan


class PairFormat(RoundFormat, ABC):
    """A format in which each side is a pair, in stroke play or against the opponents' pairs."""

    @classmethod
    def check(cls, team: Team, count: int | None) -> None:
        """Make sure that players and opponents make pairs.

        Raises
        ------
        InputError
            If not.
        """
        for place, people in (("players", team.players), ("opponents", team.opponents)):
            if len(people) % 2:
                problem = f"{len(people)} do not make pairs"
                raise InputError(team.file, place, problem, "add one or take one out")
        super().check(team, count)

    def plan(self) -> FormatPlan:
        """Return the plan: who plays with whom, and how; against opponents also the order."""
        sides = {pair: self.stroke_sides(pair) for pair in combinations(self.ours, 2)}
        plays, benefits = choose_pairs(sides, [self.roster.handicap_indices[i] for i in self.ours])
        if self.theirs:
            # Strikes chosen for the fewest strokes are not those chosen for a match: their benefit goes.
            return plan_matches(self, {pair: play.side for pair, play in plays.items()}, benefits[:-1])
        plans = [self.plan_side(sides[pair][play.side], play.options) for pair, play in plays.items()]
        return FormatPlan(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            benefits=tuple(benefits),
            total=sum(plan.strokes for plan in plans),
            sd=float(np.hypot.reduce([plan.sd for plan in plans])),
            unit="strokes",
        )


class FourBall(PairFormat):
    """Four-ball: the better of a pair's two balls counts."""

    name: ClassVar[Format] = "four-ball"

    def sides(self, group: Group, received: tuple[int, ...]) -> tuple[Side, ...]:
        """Return the only side that a pair makes."""
        first, second = (self.roster.net(i, strokes) for i, strokes in zip(group, received, strict=True))
        one, other = self.names(group)
        return (make_four_ball_side(group, (one, other), first, second, received),)
