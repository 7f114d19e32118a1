"""The captain's plan: who plays with and against whom, each tee's strike, and what the choices gain."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from holesim.course.course import Course
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team.formats.individual import Singles, StrokePlay
from holesim.team.formats.pairs import FourBall
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.shared_ball_formats import Foursomes, Greensomes
from holesim.team.handicap import Format
from holesim.team.partner_drives import Partner, make_partner
from holesim.team.roster_checks import find_day_strikes, find_misfits
from holesim.team.roster_scores import PlayerHole, RosterScores, Round, play_course, rank_strikes
from holesim.team.strike_scores import StrikeScores
from holesim.team.team_file import USUAL, Team
from holesim.team.team_plan import TeamPlan
from holesim.team.tees_and_handicaps import add_cards, find_handicaps, find_tees

USUAL_TEAM: Final = RoundOptions(draws=1024)
"""A calm day, 1,024 drives of each strike of each player."""
_FORMATS: Final[dict[Format, type[RoundFormat]]] = {
    kind.name: kind for kind in (StrokePlay, Singles, FourBall, Foursomes, Greensomes)
}


def plan_team(
    course: Course,
    team: Team,
    format_: Format,
    options: RoundOptions = USUAL_TEAM,
    *,
    net: bool = False,
    count: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> TeamPlan:
    """Plan a team's round.

    Parameters
    ----------
    options
        Of the round; strikes are chosen for the fewest strokes, or for the match.
    net
        Whether handicap strokes count.
    count
        In stroke play, how many of the totals count; all by default.
    progress
        Called with the holes that players have played, and their total.

    Raises
    ------
    InputError
        If the team does not fit the format, a tee is not on the course, or a hole cannot be played.

    Examples
    --------
    Two players on a course of one hole, the lower expected score first:

    >>> from dataclasses import replace
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import find
    >>> from holesim.team.team_file import load_team
    >>> team = load_team(find("teams/skerry.toml"))
    >>> two = replace(team, players=team.players[:2], opponents=(), tees={}, cards={})
    >>> plan = plan_team(load_course(find("template.geojson")), two, "stroke", RoundOptions(draws=256))
    >>> [side.names for side in plan.sides]
    [('Bram Orrel',), ('Corin Vale',)]
    """
    options.expect_mean("a team's plan")
    kind = _FORMATS[format_]
    kind.check(team, count)
    players = (*team.players, *(team.opponents if kind.meets_opponents else ()))
    course = add_cards(course, team)
    played = play_roster(
        course, team, players, options, net=net, shares_ball=kind.shares_ball, progress=progress
    )
    found = make_format(format_, team, played, count).plan()
    return TeamPlan(
        team=team,
        course=course,
        format=format_,
        net=net,
        count=count,
        players=played.roster.to_dict(),
        options=options.as_used(options.ground or course.firmness),
        seed=options.seed,
        draws=options.draws,
        assumed=(*played.assumed, *(text for player in players for text in _assumed(player))),
        one_strike=tuple(find_day_strikes(team.players, played.rounds, course.holes)),
        misfits=tuple(find_misfits(played.roster, team)),
        **vars(found if net else replace(found, handicaps=())),
    )


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


def make_format(format_: Format, team: Team, played: PlayedCourse, count: int | None = None) -> RoundFormat:
    """Return a format for a team on a course, ready to be planned, or tabulated by `tabulate_sides`."""
    return _FORMATS[format_](played.roster, team, played.partners, count)


def _assumed(player: Player) -> list[str]:
    """Return what was assumed about a player, each entry with the player's name."""
    return [f"{player.name}: {what}" for what in (player.assumed if player.sha256 else (USUAL,))]
