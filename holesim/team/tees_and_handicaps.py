"""The tee that each player of a team plays from, and their course handicaps."""

from collections.abc import Sequence
from typing import Final

from holesim.course.course import Course
from holesim.course.holes import Tee
from holesim.errors import InputError
from holesim.plan.round_tees import own_tee
from holesim.player.player import Player
from holesim.team.handicap import NEUTRAL_SLOPE, Rating, course_handicap
from holesim.team.team_file import Team, course_faults

Tees = tuple[tuple[Tee, ...], ...]
"""By player, then by hole."""


def find_tees(course: Course, team: Team, players: Sequence[Player]) -> Tees:
    """Return the tee of each player on each hole: the team file's, else the player's own, else the longest.

    Raises
    ------
    InputError
        If a tee that a file names is not on every hole.
    """
    for fault in course_faults(course, team.tees, (), team.file):
        raise fault
    return tuple(
        tuple(
            next((tee for tee in hole.tees if tee.name == team.tees.get(player.sex)), None)
            or own_tee(course, hole, player)
            for hole in course.holes
        )
        for player in players
    )


def find_handicaps(
    course: Course, team: Team, players: Sequence[Player], tees: Tees
) -> tuple[tuple[float, ...], list[str]]:
    """Return the players' course handicaps, and what was assumed about their tees.

    Raises
    ------
    InputError
        If a hole has no stroke index, or two have the same.
    """
    _check_stroke_indices(course)
    par = sum(hole.par for hole in course.holes)
    found, assumed = [], dict[str, None]()
    for player, (tee, *_) in zip(players, tees, strict=True):
        stated = team.ratings.get(tee.name)
        if stated is None:
            rating = Rating(par, NEUTRAL_SLOPE, par)
            assumed[_UNRATED.format(tee=tee.name, par=par)] = None
        else:
            rating = Rating(stated.course, stated.slope, par)
        found.append(course_handicap(player.handicap_index, rating, len(course.holes)))
    return tuple(found), list(assumed)


_UNRATED: Final = f"the {{tee}} tees: a course rating of par, {{par}}, and a slope of {NEUTRAL_SLOPE}"


def _check_stroke_indices(course: Course) -> None:
    seen = dict[int, int]()
    for hole in course.holes:
        place = f"hole {hole.number}"
        if hole.stroke_index is None:
            problem = "has no stroke index, which net play needs"
            raise InputError(course.file, place, problem, "add its handicap key")
        if hole.stroke_index in seen:
            problem = f"has the same stroke index as hole {seen[hole.stroke_index]}"
            raise InputError(course.file, place, problem, "correct one of them")
        seen[hole.stroke_index] = hole.number
