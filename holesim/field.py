"""The field: what each of several players may score on every hole of a course, and their handicaps there."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeVar

import numpy as np

from holesim import handicap
from holesim.course import Course
from holesim.errors import InputError, rather
from holesim.gain import Gain, gain
from holesim.goal import MEAN
from holesim.handicap import Rating
from holesim.holes import Hole, Tee
from holesim.player import Player
from holesim.prospects import (
    CHOOSING,
    KNOWN,
    LAST,
    MOST_RECEIVED,
    SCORES,
    Prospect,
    Tried,
    mean,
    pooled,
    try_strikes,
)
from holesim.team import Team
from holesim.threads import counter, share_out, share_out_by_size
from holesim.workbench import Conditions, Known, Workbench, mapped

Result = TypeVar("Result")

STEP: Final = 10.0
"""How far apart nodes of what remains are [m]: twice as far as in a plan, for many players at once."""


@dataclass(frozen=True)
class HolePlayed:
    """A hole as one player plays it: what remains for them, and what comes of each strike."""

    bench: Workbench
    known: Known
    tried: tuple[Tried, ...]


@dataclass(frozen=True)
class Field:
    """Players, what each may score on each hole, gross, their own best first, and course handicaps."""

    players: tuple[Player, ...]
    holes: tuple[Hole, ...]
    gross: tuple[tuple[tuple[Prospect, ...], ...], ...]
    course_handicaps: tuple[float, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The players' names."""
        return tuple(player.name for player in self.players)

    @property
    def indices(self) -> list[float]:
        """Handicap indices."""
        return [player.handicap_index for player in self.players]

    def to_dict(self) -> list[dict[str, Any]]:
        """Return each player's chance of each score on each hole, gross, their own best strike first."""
        return [
            {
                "player": player.name,
                "holes": [
                    {"hole": hole.number, "strikes": [_strike_dict(one) for one in on_hole]}
                    for hole, on_hole in zip(self.holes, round_, strict=True)
                ],
            }
            for player, round_ in zip(self.players, self.gross, strict=True)
        ]

    def received(self, strokes: int) -> list[int]:
        """Return the strokes received on each hole, in the order of the holes, of so many in all."""
        found = handicap.by_hole(strokes, {hole.number: hole.stroke_index or 0 for hole in self.holes})
        return [found[hole.number] for hole in self.holes]

    def net(self, player: int, strokes: int) -> list[tuple[Prospect, ...]]:
        """Return what a player who receives so many strokes may score on each hole."""
        return [
            tuple(one.net(received) for one in on_hole)
            for received, on_hole in zip(self.received(strokes), self.gross[player], strict=True)
        ]


def _strike_dict(prospect: Prospect) -> dict[str, Any]:
    """Return the chance of 1, 2, … strokes by a strike, the last of so many or more, by all drives."""
    chances = pooled(prospect.chances, KNOWN)
    gross = chances[MOST_RECEIVED : MOST_RECEIVED + LAST]
    return {
        "strike": prospect.label,
        "strokes": float(chances @ SCORES),
        "trouble": float(prospect.trouble[KNOWN].sum(axis=1).mean()),
        "scores": [round(float(chance), 6) for chance in gross],
    }


def play_holes(
    course: Course,
    players: Sequence[Player],
    tees: Callable[[Hole, Player], Tee],
    of_player: Callable[[HolePlayed], Result],
    *,
    conditions: Conditions,
    draws: int,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
) -> list[list[Result]]:
    """Let all players play all holes, and return by hole what is made of how each of them plays it."""
    ground = mapped(course, conditions)
    benches = share_out(
        lambda i: Workbench(course, players[i], conditions, MEAN, draws, seed, ground=ground), len(players)
    )
    tick = counter(progress, len(course.holes) * len(players))

    def play(h: int) -> list[Result]:
        hole, found = course.holes[h], []
        for player, bench in zip(players, benches, strict=True):
            known = bench.known(hole, step=STEP)
            tried = try_strikes(bench, hole, tees(hole, player), known, draws)
            found.append(of_player(HolePlayed(bench, known, tuple(tried))))
            tick()
        return found

    return share_out_by_size(play, [hole.tees[0].length for hole in course.holes])


# --- which strikes ----------------------------------------------------------------------------------


def allowed(prospects: Sequence[Sequence[Prospect]], player: Player) -> tuple[tuple[Prospect, ...], ...]:
    """Return the strikes of a round that a player may hit, their own best on each hole first.

    One who keeps to one strike all day has the driver's that is best over the round. Where another is no
    better the usual strike is a player's own best.
    """
    kept = None if player.can_choose else all_day(prospects, player)
    if kept is None:
        return tuple(_own_best_first(on_hole, player.usual) for on_hole in prospects)
    return tuple(_own_best_first(_keeping_to(kept.label, on_hole), kept.label) for on_hole in prospects)


@dataclass(frozen=True)
class AllDay:
    """The driver's strike that a player keeps to all day, and what the best one saves over the usual one."""

    label: str
    saved: Gain


def all_day(prospects: Sequence[Sequence[Prospect]], player: Player) -> AllDay | None:
    """Return the driver's strike to keep to all day: the usual one, unless another is surely better.

    There is none where no hole is for a driver.
    """
    names = dict.fromkeys(one.label for on_hole in prospects for one in on_hole if one.club == "driver")
    strokes = {
        name: np.sum([_best(_keeping_to(name, on_hole)).chances for on_hole in prospects], axis=0) @ SCORES
        for name in names
    }
    if not strokes:
        return None
    best = min(strokes, key=lambda name: float(strokes[name][CHOOSING].mean()))
    usual = player.usual if player.usual in strokes else best
    saved = gain("over the usual strike", strokes[usual] - strokes[best], "strokes")
    return AllDay(best if saved.matters else usual, saved)


def _keeping_to(name: str, on_hole: Sequence[Prospect]) -> tuple[Prospect, ...]:
    return tuple(one for one in on_hole if one.club != "driver" or one.label == name) or tuple(on_hole)


def _best(on_hole: Sequence[Prospect]) -> Prospect:
    return min(on_hole, key=lambda one: float(mean(one.chances, CHOOSING)))


def _own_best_first(on_hole: Sequence[Prospect], usual: str) -> tuple[Prospect, ...]:
    best = _best(on_hole)
    first = next((one for one in on_hole if one.label == usual), best)
    if gain("", (first.chances - best.chances) @ SCORES, "strokes").matters:
        first = best
    others = sorted((one for one in on_hole if one is not first), key=lambda one: float(mean(one.chances)))
    return (first, *others)


# --- tees and handicaps -------------------------------------------------------------------------------


def tees_of(course: Course, team: Team) -> Callable[[Hole, Player], Tee]:
    """Return which tee a player of either sex plays a hole from: the longest where the team names none.

    Raises
    ------
    InputError
        If a tee that the team names is not on every hole.
    """
    for sex, name in team.tees.items():
        for hole in course.holes:
            known = [tee.name for tee in hole.tees]
            if name not in known:
                remedy = rather(name, known, f"its tees are {', '.join(known)}")
                raise InputError(team.file, f"tees.{sex}", f"{name} is no tee of hole {hole.number}", remedy)

    def tee(hole: Hole, player: Player) -> Tee:
        return next((t for t in hole.tees if t.name == team.tees.get(player.sex)), hole.tees[0])

    return tee


def course_handicaps(
    course: Course, team: Team, players: Sequence[Player], tees: Callable[[Hole, Player], Tee]
) -> tuple[tuple[float, ...], list[str]]:
    """Return the players' course handicaps, and what was assumed of the tees.

    Raises
    ------
    InputError
        If a hole has no stroke index, or one that another has.
    """
    holes, seen = course.holes, dict[int, int]()
    for hole in holes:
        if hole.stroke_index is None:
            problem = "has no stroke index, which net play needs"
            raise InputError(course.file, f"hole {hole.number}", problem, "add its handicap key")
        if hole.stroke_index in seen:
            problem = f"has the stroke index of hole {seen[hole.stroke_index]}"
            raise InputError(course.file, f"hole {hole.number}", problem, "correct the one or the other")
        seen[hole.stroke_index] = hole.number
    par = sum(hole.par for hole in holes)
    ratings: Mapping[str, Rating] = {
        name: Rating(rating.course, rating.slope, par) for name, rating in team.ratings.items()
    }
    found, assumed = [], dict[str, None]()
    for player in players:
        name = tees(holes[0], player).name
        if name not in ratings:
            assumed[
                f"ratings.{name}: a course rating of par, {par}, and a slope of {handicap.NEUTRAL_SLOPE}"
            ] = None
        rating = ratings.get(name, Rating(par, handicap.NEUTRAL_SLOPE, par))
        found.append(handicap.course_handicap(player.handicap_index, rating, len(holes)))
    return tuple(found), list(assumed)
