"""One session of a team: what the squad may score there, and the plan once it is chosen who plays."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team.benefit import Unit
from holesim.team.formats.individual import Singles, StrokePlay
from holesim.team.formats.pairs import FourBall
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.shared_ball_formats import Foursomes, Greensomes
from holesim.team.formats.tabulate import tabulate_sides
from holesim.team.handicap import Format
from holesim.team.partner_drives import Partner, make_partner
from holesim.team.roster_checks import find_day_strikes, find_misfits
from holesim.team.roster_scores import PlayerHole, RosterScores, Round, play_course, rank_strikes
from holesim.team.selection import Selection, SessionTable
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import USUAL, Team
from holesim.team.team_plan import TeamPlan
from holesim.team.tees_and_handicaps import find_handicaps, find_tees

_FORMATS: Final[dict[Format, type[RoundFormat]]] = {
    kind.name: kind for kind in (StrokePlay, Singles, FourBall, Foursomes, Greensomes)
}


@dataclass(frozen=True, kw_only=True)
class TeamSession:
    """A round of a team: what is played where, by whom, against whom; of a weekend it has a name."""

    course: Course
    team: Team
    format: Format
    options: RoundOptions
    net: bool
    count: int | None = None
    name: str = ""

    def check(self) -> None:
        """Make sure that the team can play the session.

        Raises
        ------
        InputError
            If not.
        """
        self.options.expect_mean("a team's plan")
        _FORMATS[self.format].check(self.team, self.count)

    @property
    def people(self) -> tuple[Player, ...]:
        """The squad, then the opponents, if they are met."""
        met = self.team.opponents if _FORMATS[self.format].meets_opponents else ()
        return (*self.team.players, *met)

    @property
    def playing(self) -> int:
        """How many of the squad play."""
        return _FORMATS[self.format].playing(self.team)

    @property
    def size(self) -> int:
        """Players of a side."""
        return _FORMATS[self.format].size

    @property
    def unit(self) -> Unit:
        """What the session counts."""
        return "points" if len(self.people) > len(self.team.players) else "strokes"

    @property
    def shares_ball(self) -> bool:
        """Whether a pair plays one ball."""
        return _FORMATS[self.format].shares_ball


@dataclass(frozen=True)
class PlayedCourse:
    """What every player may score on a course, for any format.

    Attributes
    ----------
    rounds
        Of each player, all strikes tried on each hole, also those that the player does not hit.
    partners
        By hole, then by player, what each brings to a shared ball, if that was asked for.
    assumed
        What was assumed about tees.
    """

    roster: RosterScores
    rounds: Sequence[Round]
    partners: Sequence[Sequence[Partner]]
    assumed: tuple[str, ...]

    def among(self, places: Group) -> "PlayedCourse":
        """Return what some players may score, by their places in the roster, in one of them alone."""
        return PlayedCourse(
            self.roster.among(places),
            [self.rounds[i] for i in places],
            [[on_hole[i] for i in places] for on_hole in self.partners if on_hole],
            self.assumed,
        )


def play_roster(
    course: Course,
    team: Team,
    players: Sequence[Player],
    options: RoundOptions,
    *,
    net: bool,
    shares_ball: bool,
    progress: Callable[[int, int], None] | None = None,
) -> PlayedCourse:
    """Return what players may score on a course: the long part of a plan, the same for all formats.

    Parameters
    ----------
    players
        The team's, then the opponents.
    net
        Whether handicap strokes count.
    shares_ball
        Whether a format with one ball is to be planned.

    Raises
    ------
    InputError
        If a tee is not on the course, or a hole cannot be played.
    """
    tees = find_tees(course, team, players)
    handicaps, assumed = find_handicaps(course, team, players, tees) if net else ((0.0,) * len(players), [])

    def summarise(played: PlayerHole) -> tuple[tuple[StrikeScores, ...], Partner | None]:
        strikes = tuple(strike.scores() for strike in played.strikes)
        return strikes, make_partner(played) if shares_ball else None

    by_hole = play_course(course, players, tees, summarise, options, progress=progress)
    rounds = [[on_hole[i][0] for on_hole in by_hole] for i in range(len(players))]
    gross = tuple(rank_strikes(*one, course.holes) for one in zip(rounds, players, strict=True))
    roster = RosterScores(tuple(players), course.holes, tees, gross, handicaps)
    partners = [[one for _, one in on_hole if one is not None] for on_hole in by_hole]
    return PlayedCourse(roster, rounds, partners, tuple(assumed))


@dataclass(frozen=True)
class TabulatedSession:
    """A session with what every side that the squad can make could score: the rest is chosen by it."""

    session: TeamSession
    played: PlayedCourse
    format: RoundFormat
    table: SideTable

    @property
    def choices(self) -> SessionTable:
        """What is chosen among where not everyone plays."""
        places = len(self.format.opponents) or self.session.playing // self.format.size
        return SessionTable(self.table, places, self.session.team.order_known)

    def plan(self, playing: Group | None = None, selection: Selection | None = None) -> TeamPlan:
        """Return the plan in which some players of the squad play, by their places; everyone by default."""
        session, team, course = self.session, self.session.team, self.session.course
        squad, played, table = team.players, self.played, self.table
        if playing is not None:
            team = replace(team, players=tuple(squad[i] for i in playing), places=None)
            played = played.among((*playing, *range(len(squad), len(played.roster.players))))
            table = table.among(playing)
        found = self.format.plan(table)
        return TeamPlan(
            team=team,
            course=course,
            format=session.format,
            net=session.net,
            count=session.count,
            players=played.roster.to_dict(),
            options=session.options.as_used(session.options.ground or course.firmness),
            seed=session.options.seed,
            draws=session.options.draws,
            assumed=(*played.assumed, *(text for one in played.roster.players for text in _assumed(one))),
            one_strike=tuple(find_day_strikes(team.players, played.rounds, course.holes)),
            misfits=tuple(find_misfits(played.roster, team)),
            occasion=session.name,
            squad=session.team.names,
            selection=selection,
            **vars(found if session.net else replace(found, handicaps=())),
        )


def tabulate_session(session: TeamSession, played: PlayedCourse) -> TabulatedSession:
    """Return what every side that the squad can make could score."""
    format_ = _FORMATS[session.format](played.roster, session.team, played.partners, session.count)
    return TabulatedSession(session, played, format_, tabulate_sides(format_))


def _assumed(player: Player) -> list[str]:
    """Return what was assumed about a player, each entry with the player's name."""
    return [f"{player.name}: {what}" for what in (player.assumed if player.sha256 else (USUAL,))]
