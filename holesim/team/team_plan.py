"""The captain's plan: who hits what from which tee, with whom, against whom, worth how much."""

from dataclasses import dataclass
from typing import Any

from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan.sights import Mark
from holesim.team.benefit import Benefit, Unit
from holesim.team.handicap import Format, PlayingHandicap
from holesim.team.match import HALF
from holesim.team.roster_checks import DayStrikePlayer, HandicapMisfit
from holesim.team.selection import Selection
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
    tees, pars
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
    pars: tuple[int, ...]
    drives: tuple[PlannedDrive, ...]
    received: tuple[int, ...]
    first: str = ""
    changes: tuple[Change, ...] = ()
    slight: tuple[Change, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Meeting:
    """A match against one of the opponents that a side may meet.

    Attributes
    ----------
    received, they_receive
        Handicap strokes on each hole, of each player or of a pair with one ball: the side's, and theirs.
    result
        The chances to win, to halve and to lose the match.
    """

    against: tuple[str, ...]
    received: tuple[tuple[int, ...], ...]
    they_receive: tuple[tuple[int, ...], ...]
    result: tuple[float, float, float]

    @property
    def points(self) -> float:
        """Expected points of the match."""
        return points_of(self.result)


def points_of(result: tuple[float, float, float]) -> float:
    """Return the expected points of a match by the chances to win, to halve and to lose it."""
    return result[0] + HALF * result[1]


@dataclass(frozen=True, kw_only=True)
class SidePlan:
    """The plan of a player or a pair.

    Attributes
    ----------
    received
        Handicap strokes of each player, or of a pair with one ball; empty where they depend on the opponent.
    strokes, sd
        Mean and standard deviation of the round's total, net of strokes received.
    against
        The opponent; empty in stroke play, and where it is not known.
    they_receive
        The opponent's handicap strokes on each hole, of each of them or of their pair.
    result
        The chances to win, to halve and to lose the match; the mean of all meetings where there are any.
    match_strikes
        What strikes chosen for the match gain compared with own best strikes, where the opponent is known.
    meetings
        Where the opponent is not known, each that may be met, with the same chance.
    """

    names: tuple[str, ...]
    received: tuple[int, ...]
    holes: tuple[HolePlan, ...]
    strokes: float
    sd: float
    against: tuple[str, ...] = ()
    they_receive: tuple[tuple[int, ...], ...] = ()
    result: tuple[float, float, float] | None = None
    match_strikes: Benefit | None = None
    meetings: tuple[Meeting, ...] = ()

    @property
    def drive_in_turn(self) -> bool:
        """Whether the two of a pair drive alternate holes."""
        return len(self.holes[0].drives) < len(self.names)

    @property
    def points(self) -> float:
        """Expected points of the match."""
        return 0.0 if self.result is None else points_of(self.result)


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
    handicaps
        Playing handicaps of all players, or of pairs with one ball, in the order of the sides, then of the
        opponents; all nought where handicap strokes do not count.
    """

    sides: tuple[SidePlan, ...]
    benefits: tuple[Benefit, ...]
    total: float
    sd: float
    unit: Unit
    rows: tuple[tuple[str, ...], ...] = ()
    opponents: tuple[tuple[str, ...], ...] = ()
    points: tuple[tuple[float, ...], ...] = ()
    handicaps: tuple[PlayingHandicap, ...] = ()


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
    occasion
        The session of a weekend, by name; empty for a round by itself.
    squad, selection
        Names of all who could have played, and who of them plays, by their places in the squad; none where
        everyone plays.
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
    occasion: str = ""
    squad: tuple[str, ...] = ()
    selection: Selection | None = None
    misfits: tuple[HandicapMisfit, ...]
