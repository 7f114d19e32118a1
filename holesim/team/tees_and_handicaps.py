"""The tee that each player of a team plays from, the par and stroke index of men and women, and handicaps."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from holesim.course.course import Course
from holesim.course.holes import CardEntry, Hole, Sex, Tee
from holesim.course.stroke_indices import GROUPS, check_complete
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


def add_cards(course: Course, team: Team) -> Course:
    """Return the course with the pars and stroke indices that a team file states for men and for women.

    Where the map does not state them either, those of the hole hold for everyone.

    Raises
    ------
    InputError
        If the file does not have one value for each hole, or another than the map has for that sex.
    """
    entries = {sex: _entries(course, team, sex) for sex in GROUPS}
    holes = zip(course.holes, entries["man"], entries["woman"], strict=True)
    return replace(course, holes=tuple(replace(hole, men=men, women=women) for hole, men, women in holes))


def _entries(course: Course, team: Team, sex: Sex) -> list[CardEntry]:
    """Return what each hole has for one sex alone, by the map and the team file."""
    card = team.card(sex)
    columns = {"par": card.par, "stroke_index": card.stroke_index}
    for key, values in columns.items():
        if values and len(values) != len(course.holes):
            problem = f"has {len(values)} values for {len(course.holes)} holes"
            raise InputError(team.file, f"{GROUPS[sex]}.{key}", problem, "give one for each hole")
        for hole, value in zip(course.holes, values, strict=False):
            mapped = getattr(hole.own(sex), key)
            if mapped not in (None, value):
                problem = f"has {value} for hole {hole.number}, where the map has {mapped}"
                raise InputError(team.file, f"{GROUPS[sex]}.{key}", problem, "correct one of the two")
    return [
        CardEntry(
            card.par[h] if card.par else hole.own(sex).par,
            card.stroke_index[h] if card.stroke_index else hole.own(sex).stroke_index,
        )
        for h, hole in enumerate(course.holes)
    ]


def find_rating(team: Team, sex: Sex, tee: str, holes: Sequence[Hole]) -> Rating | None:
    """Return the rating of tees for one sex, with its par; none where the team file has no rating."""
    stated = team.rating(tee, sex)
    return None if stated is None else Rating(stated.course, stated.slope, total_par(holes, sex))


def total_par(holes: Sequence[Hole], sex: Sex) -> int:
    """Return the par of one sex over all holes."""
    return sum(hole.par_of(sex) for hole in holes)


def find_handicaps(
    course: Course, team: Team, players: Sequence[Player], tees: Tees
) -> tuple[tuple[float, ...], list[str]]:
    """Return the players' course handicaps, and what was assumed about their tees.

    Raises
    ------
    InputError
        If a hole has no stroke index for a player's sex, or two have the same.
    """
    for sex in sorted({player.sex for player in players}):
        check_complete(course, sex)
    found, assumed = [], dict[str, None]()
    for player, (tee, *_) in zip(players, tees, strict=True):
        rating = find_rating(team, player.sex, tee.name, course.holes)
        if rating is None:
            par = total_par(course.holes, player.sex)
            rating = Rating(par, NEUTRAL_SLOPE, par)
            assumed[_UNRATED.format(tee=tee.name, par=par)] = None
        found.append(course_handicap(player.handicap_index, rating, len(course.holes)))
    return tuple(found), list(assumed)


_UNRATED: Final = f"the {{tee}} tees: a course rating of par, {{par}}, and a slope of {NEUTRAL_SLOPE}"
