"""A weekend planned at once: who plays in which session, with and against whom, and what is left to win."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.team.benefit import Unit
from holesim.team.pairing import TooFewError
from holesim.team.played_course import CourseRound, PlayedCourse, play_rounds
from holesim.team.selection import Selection, choose_players
from holesim.team.side_options import Group
from holesim.team.team_plan import TeamPlan
from holesim.team.team_session import TabulatedSession, TeamSession, tabulate_session
from holesim.team.weekend_file import Weekend

Floats = NDArray[np.float64]

_EQUAL: Final = 1e-9  # points


@dataclass(frozen=True, kw_only=True)
class WeekendPlan:
    """The plan of what is left of a weekend.

    Attributes
    ----------
    tables
        What every side could score in each session in its order, and its plan; none where it has been played.
    selection
        Who plays in the sessions left, in their order; none where none is left.
    total, sd
        Mean and standard deviation of what the sessions left bring, points or strokes.
    enough
        The chance of the points needed, with those won; none where none are needed.
    """

    weekend: Weekend
    tables: tuple[tuple[TabulatedSession, TeamPlan] | None, ...]
    selection: Selection | None
    total: float
    sd: float
    unit: Unit
    enough: float | None

    @property
    def plans(self) -> tuple[TeamPlan | None, ...]:
        """The plan of each session in its order; none where it has been played."""
        return tuple(None if one is None else one[1] for one in self.tables)

    @property
    def playing(self) -> tuple[Group, ...]:
        """Who plays or has played in each session, by their places in the squad."""
        left = iter(() if self.selection is None else self.selection.playing)
        return tuple(
            tuple(i for side in one.results for i in side.players) if one.played else next(left)
            for one in self.weekend.sessions
        )


def plan_weekend(weekend: Weekend, progress: Callable[[int, int], None] | None = None) -> WeekendPlan:
    """Plan what is left of a weekend: all sessions at once, for the most points or the fewest strokes.

    Parameters
    ----------
    progress
        Called with the holes that players have played, and their total.

    Raises
    ------
    InputError
        If the places cannot be filled within the limits, or a hole cannot be played.

    Notes
    -----
    Who plays in which session is chosen for all sessions together, an integer program (`selection`); pairs,
    order and strikes of each session are then those that `planner.plan_team` finds for the chosen players.
    Matches are taken as independent of one another for the chance of the points needed.
    """
    left = weekend.left
    played = _play(weekend, [one.session for one in left], progress)
    selection, sessions, plans = None, list[TabulatedSession](), list[TeamPlan]()
    try:
        if left:
            sessions = [tabulate_session(one.session, on) for one, on in zip(left, played, strict=True)]
            choices = [one.choices for one in sessions]
            selection = choose_players(choices, weekend.team.handicap_indices, weekend.limits)
            plans = [one.plan(playing) for one, playing in zip(sessions, selection.playing, strict=True)]
    except TooFewError:
        problem = "cannot be filled: too few players may play, or play together"
        remedy = "raise most_sessions, lower least_sessions, or name fewer in together and apart"
        raise InputError(weekend.file, "sessions", problem, remedy) from None
    in_order = zip(sessions, plans, strict=True)
    return WeekendPlan(
        weekend=weekend,
        tables=tuple(None if one.played else next(in_order) for one in weekend.sessions),
        selection=selection,
        total=sum(plan.total for plan in plans),
        sd=float(np.hypot.reduce([plan.sd for plan in plans])) if plans else 0.0,
        unit=weekend.sessions[0].session.unit,
        enough=_chance_of_enough(weekend, plans),
    )


def _play(
    weekend: Weekend, sessions: Sequence[TeamSession], progress: Callable[[int, int], None] | None
) -> list[PlayedCourse]:
    """Return what everyone may score in each session; who plays one course in one weather does so once.

    Rounds of one course that differ in the wind alone are played together.
    """
    played: dict[_Kind, PlayedCourse] = {}
    for (_, _, net), together in _grouped(sessions, lambda one: _kind(one, one.options.in_calm)).items():
        kinds = _grouped(together, lambda one: _kind(one, one.options))
        rounds = [_round(weekend, alike) for alike in kinds.values()]
        course, team = together[0].course, weekend.team
        found = play_rounds(course, team, rounds, net=net, progress=progress)
        played.update(zip(kinds, found, strict=True))
    return [played[_kind(one, one.options)].among(_places(one, weekend)) for one in sessions]


def _round(weekend: Weekend, alike: Sequence[TeamSession]) -> CourseRound:
    """Return the round of sessions on one course in one weather."""
    squad, opponents = weekend.team.players, weekend.team.opponents
    met = opponents if any(len(one.people) > len(squad) for one in alike) else ()
    one_ball = tuple(dict.fromkeys(name for one in alike for name in one.one_ball))
    return CourseRound((*squad, *met), alike[0].options, one_ball)


_Kind = tuple[int, RoundOptions, bool]


def _kind(session: TeamSession, options: RoundOptions) -> _Kind:
    return id(session.course), options, session.net


def _grouped(
    sessions: Sequence[TeamSession], key: Callable[[TeamSession], _Kind]
) -> dict[_Kind, list[TeamSession]]:
    found: dict[_Kind, list[TeamSession]] = {}
    for one in sessions:
        found.setdefault(key(one), []).append(one)
    return found


def _places(session: TeamSession, weekend: Weekend) -> Group:
    """Return the places of a session's people among all of the weekend's."""
    names = [player.name for player in weekend.team.opponents]
    squad = len(weekend.team.players)
    met = session.people[squad:]
    return (*range(squad), *(squad + names.index(player.name) for player in met))


def _chance_of_enough(weekend: Weekend, plans: Sequence[TeamPlan]) -> float | None:
    """Return the chance of the points needed."""
    if weekend.points_needed is None:
        return None
    results = [side.result for plan in plans for side in plan.sides if side.result is not None]
    by_halves = points_chances(results)
    needed = weekend.points_needed - weekend.won
    halves = np.arange(len(by_halves)) / 2
    return float(by_halves[halves >= needed - _EQUAL].sum())


def points_chances(results: Sequence[tuple[float, float, float]]) -> Floats:
    """Return the chance of 0, ½, 1, … points of independent matches.

    Parameters
    ----------
    results
        Of each match the chance to win, to halve and to lose it.

    Examples
    --------
    >>> points_chances([(0.5, 0.0, 0.5), (0.5, 0.0, 0.5)]).tolist()
    [0.25, 0.0, 0.5, 0.0, 0.25]
    """
    found = np.ones(1)
    for won, halved, lost in results:
        found = np.convolve(found, (lost, halved, won))
    return found
