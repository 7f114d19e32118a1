"""What every format shares: handicap strokes, and the plan of a side by its options."""

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import ClassVar

from holesim.errors import InputError
from holesim.team.benefit import Benefit, estimate_benefit
from holesim.team.handicap import (
    MATCH_ALLOWANCES,
    STROKE_ALLOWANCES,
    Allowance,
    Format,
    PlayingHandicap,
    off_the_lowest,
    playing_handicap,
)
from holesim.team.pair_options import PairOptions
from holesim.team.roster_scores import RosterScores
from holesim.team.round_totals import RoundTotals, add_holes
from holesim.team.side_options import Group, Side, SideOption
from holesim.team.side_table import SideTable
from holesim.team.strike_scores import SCORES, SELECTION_SETS, mean_chances, mean_score
from holesim.team.team_file import Team
from holesim.team.team_plan import Change, DriveInTrouble, FormatPlan, HolePlan, PlannedDrive, SidePlan


@dataclass(frozen=True)
class RoundFormat(ABC):
    """A format of a round, for a team and its opponents whose score chances are known.

    Attributes
    ----------
    roster
        The team's players, then the opponents.
    pairs
        What pairs may do with one ball; none where each plays their own.
    count
        In team stroke play, how many of the players' totals count; none in individual stroke play.
    """

    roster: RosterScores
    team: Team
    pairs: PairOptions | None
    count: int | None

    name: ClassVar[Format]
    size: ClassVar[int]
    """Players of a side."""
    driver_orders: ClassVar[int] = 1
    """Sides that a group can make, by who drives where."""
    meets_opponents: ClassVar[bool] = True
    shares_ball: ClassVar[bool] = False

    @classmethod
    def check(cls, team: Team, count: int | None) -> None:
        """Make sure that a team can play the format, and that no number of counting scores is given.

        Raises
        ------
        InputError
            If not.
        """
        players, opponents, playing = len(team.players), len(team.opponents), cls.playing(team)
        if count is not None:
            raise InputError("", "count", f"does not go with {cls.name}", "leave it out, or plan stroke play")
        if playing > players:
            place = "opponents" if team.places is None else "places"
            problem = f"{playing} are more than the {players} who could play"
            raise InputError(team.file, place, problem, "add players, or name fewer")
        if opponents not in (0, playing):
            problem = f"{opponents} do not go with {playing} players"
            raise InputError(team.file, "opponents", problem, "name as many opponents as play, or none")

    @classmethod
    def playing(cls, team: Team) -> int:
        """Return how many of a team's players play."""
        return team.places or len(team.opponents) * cls.meets_opponents or len(team.players)

    @abstractmethod
    def plan(self, table: SideTable) -> FormatPlan:
        """Return the plan, in which all players of a table play (`tabulate.tabulate_sides`)."""

    @abstractmethod
    def sides(self, group: Group, received: tuple[int, ...]) -> tuple[Side, ...]:
        """Return the sides that a group can make, the plain one first, net of strokes received.

        There are `driver_orders` of them.
        """

    def aligned_sides(
        self, group: Group, received: Sequence[tuple[int, ...]]
    ) -> tuple[tuple[Side, ...], ...]:
        """Return the sides that a group can make with each of several numbers of strokes received.

        Those of one way to play have the same options on each hole.
        """
        found = {strokes: self.sides(group, strokes) for strokes in dict.fromkeys(received)}
        return tuple(found[strokes] for strokes in received)

    def handicaps(self, group: Group) -> tuple[PlayingHandicap, ...]:
        """Return the playing handicap of each player of a group, or of a pair with one ball."""
        allowance = self.allowance
        assert isinstance(allowance, float)  # noqa: S101 - shares of lower and higher are for one ball
        return tuple(
            PlayingHandicap(
                names=(self.roster.names[i],),
                course=(self.roster.course_handicaps[i],),
                shares=(allowance,),
                playing=playing_handicap(self.roster.course_handicaps[i], allowance),
            )
            for i in group
        )

    def alternatives(self, options: Sequence[SideOption], k: int, driver: int) -> list[SideOption]:
        """Return the options in which one of the drivers hits another strike than by option `k`."""
        return [one for one in options if one.strikes[driver] != options[k].strikes[driver]]

    @property
    def allowance(self) -> Allowance:
        """The share of a handicap that counts: the committee's, or the usual one."""
        stated = self.team.allowances.get(self.name)
        return self.usual_allowance if stated is None else stated

    @property
    def usual_allowance(self) -> Allowance:
        """The allowance where the committee states none: that of matches, or of stroke play."""
        return (MATCH_ALLOWANCES if self.theirs else STROKE_ALLOWANCES)[self.name]

    @property
    def ours(self) -> Group:
        """The team's players."""
        return tuple(range(len(self.team.players)))

    @property
    def theirs(self) -> Group:
        """The opponents, where the format meets them."""
        return tuple(range(len(self.team.players), len(self.roster.players) * self.meets_opponents))

    @property
    def groups(self) -> tuple[Group, ...]:
        """The groups of the team's players that can make a side."""
        groups = combinations(self.ours, self.size)
        return tuple(group for group in groups if self.team.allows(self.names(group)))

    @cached_property
    def opponents(self) -> tuple[Group, ...]:
        """The opponents' sides, in the order of the team file."""
        return tuple(self.theirs[i : i + self.size] for i in range(0, len(self.theirs), self.size))

    def names(self, group: Group) -> tuple[str, ...]:
        """Return the names of a group."""
        return tuple(self.roster.names[i] for i in group)

    def stroke_sides(self, group: Group) -> tuple[Side, ...]:
        """Return the sides that a group can make off its playing handicaps, the plain one first."""
        return self.sides(group, tuple(one.playing for one in self.handicaps(group)))

    def match_strokes(self, group: Group, other: Group) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Return the strokes received by each side of a match: all play off the lowest handicap."""
        mine, theirs = (self.handicaps(one) for one in (group, other))
        received = off_the_lowest([one.playing for one in (*mine, *theirs)])
        return received[: len(mine)], received[len(mine) :]

    def opposing_side(self, other: Group, received: tuple[int, ...]) -> Side:
        """Return an opponent's side of fewest strokes, with no options but those of fewest strokes."""
        known = self._opposing_sides
        if (other, received) not in known:
            tried = [side.keeping(side.choose_options()) for side in self.sides(other, received)]
            known[other, received] = min(
                tried, key=lambda side: float(side.strokes_by(side.own_best)[SELECTION_SETS].mean())
            )
        return known[other, received]

    @cached_property
    def _opposing_sides(self) -> dict[tuple[Group, tuple[int, ...]], Side]:
        return {}

    def strokes_by_hole(self, side: Side) -> tuple[tuple[int, ...], ...]:
        """Return on which holes the strokes of each player of a side, or of a pair with one ball, fall.

        There are none where the strokes depend on the opponent.
        """
        balls = [side.players] if self.shares_ball else [(i,) for i in side.players]
        return tuple(
            tuple(self.roster.strokes_by_hole(strokes, ball))
            for strokes, ball in zip(side.received, balls, strict=False)
        )

    def plan_side(self, side: Side, options: Sequence[int]) -> SidePlan:
        """Return the plan of a side by its option on each hole."""
        totals, by_hole = side_totals(side, options), self.strokes_by_hole(side)
        return SidePlan(
            names=side.names,
            received=side.received,
            holes=tuple(
                HolePlan(
                    hole=hole,
                    tees=tuple(self.roster.tees[i][h] for i in side.players),
                    pars=tuple(hole.par_of(self.roster.players[i].sex) for i in side.players),
                    drives=self._drives(h, side, k),
                    received=tuple(strokes[h] for strokes in by_hole),
                    first=side.holes[h][k].first,
                    changes=tuple(_reply(side.names, side.holes[h][k])),
                )
                for h, (hole, k) in enumerate(zip(self.roster.holes, options, strict=True))
            ),
            strokes=float(totals.mean()),
            sd=totals.sd(),
        )

    def _drives(self, h: int, side: Side, k: int) -> tuple[PlannedDrive, ...]:
        options = side.holes[h]
        places, found = dict(zip(side.names, side.players, strict=True)), []
        for at, (name, strike) in enumerate(zip(side.drivers(options[k]), options[k].strikes, strict=True)):
            mark = next(one.mark for one in self.roster.gross[places[name]][h] if one.label == strike)
            worth = _worth(options[k], self.alternatives(options, k, at))
            found.append(PlannedDrive(who=name, strike=strike, mark=mark, worth=worth))
        return tuple(found)


def side_totals(side: Side, options: Sequence[int]) -> RoundTotals:
    """Return the chance of each total of a side's round, by an option on each hole."""
    return add_holes([mean_chances(chances) for chances in side.chances_by(options)])


def _worth(option: SideOption, others: Sequence[SideOption]) -> Benefit | None:
    """Return the benefit of an option compared with the best of others, if there are any."""
    if not others:
        return None
    best = min(others, key=lambda one: float(mean_score(one.chances, SELECTION_SETS)))
    return estimate_benefit("strike", (best.chances - option.chances) @ SCORES, "strokes")


def _reply(names: tuple[str, ...], option: SideOption) -> Iterator[Change]:
    """Yield what the second of a pair hits once the first is in trouble."""
    if option.reply:
        (second,) = (name for name in names if name != option.first)
        yield Change(who=second, strike=option.reply, when=DriveInTrouble(option.first))
