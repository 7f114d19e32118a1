"""Formats of pairs: what they share, and four-ball."""

from abc import ABC
from collections.abc import Sequence
from functools import cached_property
from typing import ClassVar

import numpy as np

from holesim.errors import InputError
from holesim.team.benefit import estimate_benefit
from holesim.team.draw import Draw
from holesim.team.formats.match_play import plan_matches
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.tabulate import choose_sides, find_pairs
from holesim.team.handicap import Format
from holesim.team.side_options import Group, Received, RoundBalls, Side, make_four_ball_sides
from holesim.team.side_table import SideTable
from holesim.team.team_file import Team
from holesim.team.team_plan import FormatPlan


class PairFormat(RoundFormat, ABC):
    """A format in which each side is a pair, in stroke play or against the opponents' pairs."""

    size: ClassVar[int] = 2

    @classmethod
    def check(cls, team: Team, count: int | None) -> None:
        """Make sure that players and opponents make pairs.

        Raises
        ------
        InputError
            If not.
        """
        playing = "players" if team.places is None else "places"
        for place, people in (("opponents", len(team.opponents)), (playing, cls.playing(team))):
            if people % 2:
                problem = f"{people} do not make pairs"
                raise InputError(team.file, place, problem, "add one or take one out")
        super().check(team, count)

    def plan(self, table: SideTable) -> FormatPlan:
        """Return the plan: who plays with whom, and how; against opponents also the order."""
        return plan_matches(self, table) if self.theirs else self.plan_strokes(choose_sides(self, table))

    def plan_strokes(self, draw: Draw) -> FormatPlan:
        """Return the plan of a draw in stroke play."""
        find_pairs(self, draw)
        sides = [self.stroke_sides(group)[k] for group, k in draw.ways]
        own_best, fewest = [side.own_best for side in sides], [side.choose_options() for side in sides]
        by_own_best, by_fewest = (
            np.sum([side.strokes_by(one) for side, one in zip(sides, options, strict=True)], axis=0)
            for options in (own_best, fewest)
        )
        strikes = estimate_benefit("strikes", by_own_best - by_fewest, "strokes")
        options = fewest if strikes.matters else own_best
        plans = [self.plan_side(*one) for one in zip(sides, options, strict=True)]
        return FormatPlan(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            benefits=(*draw.benefits, strikes),
            total=sum(plan.strokes for plan in plans),
            sd=float(np.hypot.reduce([plan.sd for plan in plans])),
            unit="strokes",
            handicaps=tuple(one for side in sides for one in self.handicaps(side.players)),
        )


class FourBall(PairFormat):
    """Four-ball: the better of a pair's two balls counts."""

    name: ClassVar[Format] = "four-ball"

    def sides(self, group: Group, received: tuple[int, ...]) -> tuple[Side, ...]:
        """Return the only side that a pair makes."""
        (sides,) = self.aligned_sides(group, [received])
        return sides

    def aligned_sides(
        self, group: Group, received: Sequence[tuple[int, ...]]
    ) -> tuple[tuple[Side, ...], ...]:
        """Return the side of a pair with each of several numbers of strokes received."""
        balls = self._balls[group[0]], self._balls[group[1]]
        rounds = [
            Received(
                strokes,
                tuple(self.roster.strokes_by_hole(n, (i,)) for n, i in zip(strokes, group, strict=True)),
            )
            for strokes in received
        ]
        one, other = self.names(group)
        return tuple((side,) for side in make_four_ball_sides(group, (one, other), balls, rounds))

    @cached_property
    def _balls(self) -> tuple[RoundBalls, ...]:
        return tuple(map(RoundBalls, self.roster.gross))
