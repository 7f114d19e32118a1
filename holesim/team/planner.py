"""The captain's plan: who plays with and against whom, each tee's strike, and what the choices gain."""

from collections.abc import Callable
from typing import Final

from holesim.course.course import Course
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.team.handicap import Format
from holesim.team.pairing import TooFewError
from holesim.team.played_course import CourseRound, play_rounds
from holesim.team.selection import choose_players
from holesim.team.team_file import Team
from holesim.team.team_plan import TeamPlan
from holesim.team.team_session import TabulatedSession, TeamSession, tabulate_session
from holesim.team.tees_and_handicaps import add_cards

USUAL_TEAM: Final = RoundOptions(draws=1024)
"""A calm day, 1,024 drives of each strike of each player."""


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
    return plan_tabulated(
        tabulate_team(course, team, format_, options, net=net, count=count, progress=progress)
    )


def tabulate_team(
    course: Course,
    team: Team,
    format_: Format,
    options: RoundOptions = USUAL_TEAM,
    *,
    net: bool = False,
    count: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> TabulatedSession:
    """Return what every side that the team can make could score: the long part of a plan.

    Parameters and errors are those of `plan_team`.
    """
    course = add_cards(course, team)
    session = TeamSession(course=course, team=team, format=format_, options=options, net=net, count=count)
    session.check()
    round_ = CourseRound(session.people, options, session.one_ball)
    (played,) = play_rounds(course, team, [round_], net=net, progress=progress)
    try:
        return tabulate_session(session, played)
    except TooFewError:
        raise _too_few(team) from None


def plan_tabulated(tabulated: TabulatedSession) -> TeamPlan:
    """Return the plan of a tabulated session, whose players are chosen where not everyone plays.

    Raises
    ------
    InputError
        If too few may play together.
    """
    session, team = tabulated.session, tabulated.session.team
    try:
        if session.playing == len(team.players):
            return tabulated.plan()
        selection = choose_players([tabulated.choices], team.handicap_indices)
        return tabulated.plan(selection.playing[0], selection)
    except TooFewError:
        raise _too_few(team) from None


def _too_few(team: Team) -> InputError:
    problem = "leave too few who may play together"
    return InputError(team.file, "together, apart", problem, "let more play together")
