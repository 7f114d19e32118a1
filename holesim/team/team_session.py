"""One session of a team: what the squad may score there, and the plan once it is chosen who plays."""

from dataclasses import dataclass, replace
from typing import Final

from holesim.common.record_digest import record_digest
from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team.benefit import Unit
from holesim.team.formats.individual import Singles, StrokePlay
from holesim.team.formats.pairs import FourBall
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.shared_ball_formats import Foursomes, Greensomes
from holesim.team.formats.tabulate import make_table, tabulate_sides
from holesim.team.handicap import Format
from holesim.team.kept_scores import code_digest, load_table, save_table
from holesim.team.played_course import PlayedCourse
from holesim.team.roster_checks import find_day_strikes, find_misfits
from holesim.team.selection import Selection, SessionTable
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable
from holesim.team.team_file import USUAL, Team
from holesim.team.team_plan import TeamPlan

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
    def one_ball(self) -> tuple[Format, ...]:
        """The format, if a pair plays one ball in it."""
        return (self.format,) if _FORMATS[self.format].shares_ball else ()


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
    """Return what every side that the squad can make could score; the table is kept on disk."""
    pairs = played.pairs if session.one_ball else None
    format_ = _FORMATS[session.format](played.roster, session.team, pairs, session.count)
    name = record_digest(
        "table",
        code_digest(),
        (session.format, session.net, session.count),
        replace(session.team, file="", sha256=""),
        played.names,
        played.roster.course_handicaps,
    )
    kept = load_table(name)
    if kept is not None:
        return TabulatedSession(session, played, format_, make_table(format_, *kept))
    table = tabulate_sides(format_)
    save_table(name, table.strokes, table.points)
    return TabulatedSession(session, played, format_, table)


def _assumed(player: Player) -> list[str]:
    """Return what was assumed about a player, each entry with the player's name."""
    return [f"{player.name}: {what}" for what in (player.assumed if player.sha256 else (USUAL,))]
