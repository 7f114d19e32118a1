"""The captain's plan: who hits what from which tee, with whom, against whom, worth how much."""

from dataclasses import dataclass
from typing import Any

from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import Mark
from holesim.team.benefit import Benefit, Unit
from holesim.team.handicap import Format
from holesim.team.match import HALF
from holesim.team.roster_checks import DayStrikePlayer, HandicapMisfit
from holesim.team.team_file import Team


@dataclass(frozen=True, kw_only=True)
class PlannedDrive:
    """What one player hits from a tee, and by what to aim it.

    `worth` is the benefit for the side compared with the next best strike; none where no other was tried.
    """

    who: str
    strike: str
    mark: Mark
    worth: Benefit | None


@dataclass(frozen=True)
class Standings:
    """States of a match: so many holes up, down where negative, of at most `most` either way."""

    ups: tuple[int, ...]
    most: int


@dataclass(frozen=True)
class DriveInTrouble:
    """A drive in a penalty area or out of bounds: of a partner, by name, or of the other side."""

    partner: str | None


@dataclass(frozen=True, kw_only=True)
class Change:
    """What one player hits instead, and when."""

    who: str
    strike: str
    when: Standings | DriveInTrouble


@dataclass(frozen=True, kw_only=True)
class HolePlan:
    """What a side does on a hole.

    Attributes
    ----------
    tees
        Of each player.
    received
        Handicap strokes received there, of each player or of a pair with one ball.
    first
        Who tees off first, or drives, where that matters.
    changes, slight
        What changes a strike, and changes that gain too little to be made.
    """

    hole: Hole
    tees: tuple[Tee, ...]
    drives: tuple[PlannedDrive, ...]
    received: tuple[int, ...]
    first: str = ""
    changes: tuple[Change, ...] = ()
    slight: tuple[Change, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SidePlan:
    """The plan of a player or a pair.

    Attributes
    ----------
    received
        Handicap strokes of each player, or of a pair with one ball; empty where they depend on the opponent.
    strokes, sd
        Mean and standard deviation of the round's total.
    they_receive
        The opponents' handicap strokes on each hole, of each of them or of their pair.
    result
        The chances to win, to halve and to lose the match.
    """

    names: tuple[str, ...]
    received: tuple[int, ...]
    holes: tuple[HolePlan, ...]
    strokes: float
    sd: float
    against: tuple[str, ...] = ()
    they_receive: tuple[tuple[int, ...], ...] = ()
    result: tuple[float, float, float] | None = None

    @property
    def drive_in_turn(self) -> bool:
        """Whether the two of a pair drive alternate holes."""
        return len(self.holes[0].drives) < len(self.names)

    @property
    def points(self) -> float:
        """Expected points of the match."""
        return 0.0 if self.result is None else self.result[0] + HALF * self.result[1]


@dataclass(frozen=True, kw_only=True)
class FormatPlan:
    """The plan of one format.

    Attributes
    ----------
    sides
        In the order in which they go out.
    benefits
        What each choice of the captain gains.
    total, sd
        Mean and standard deviation of the team's strokes or points.
    rows, opponents, points
        The expected points of each side, a row, against each opponent, where there are any.
    """

    sides: tuple[SidePlan, ...]
    benefits: tuple[Benefit, ...]
    total: float
    sd: float
    unit: Unit
    rows: tuple[tuple[str, ...], ...] = ()
    opponents: tuple[tuple[str, ...], ...] = ()
    points: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True, kw_only=True)
class TeamPlan(FormatPlan):
    """A captain's plan.

    Attributes
    ----------
    count
        In stroke play, how many totals count; none where all do.
    players
        Everyone's chance of each score, as `RosterScores.to_dict` returns it.
    options
        Of the round, as `RoundOptions.as_used` returns them.
    assumed
        What was assumed about players and tees.
    one_strike, misfits
        Who hits the driver one way all day, and whose handicap does not fit their file.
    """

    team: Team
    course: Course
    format: Format
    net: bool
    count: int | None
    players: list[dict[str, Any]]
    options: dict[str, Any]
    seed: int
    draws: int
    assumed: tuple[str, ...]
    one_strike: tuple[DayStrikePlayer, ...]
    misfits: tuple[HandicapMisfit, ...]
