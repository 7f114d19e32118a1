"""The field: what each of several players may score on every hole of a course, and their handicaps there."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeVar

import numpy as np

from holesim.common.parallel import counter, share_out, share_out_by_size
from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError, rather
from holesim.plan.conditions import map_in
from holesim.plan.decision import least_loss
from holesim.plan.estimate import Estimate, estimate
from holesim.plan.evaluator import REPLICATES, Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.round_options import RoundOptions
from holesim.plan.tee_on_hole import HoleValues
from holesim.player.player import Player
from holesim.team import handicap
from holesim.team.handicap import Rating
from holesim.team.strike_scores import (
    LAST,
    MOST_RECEIVED,
    SCORES,
    StrikeScores,
    TriedStrike,
    mean,
    pooled,
    try_strikes,
)
from holesim.team.team_file import Team

Result = TypeVar("Result")

STEP: Final = 10.0
"""How far apart nodes of what remains are [m]: twice as far as in a plan, for many players at once."""


@dataclass(frozen=True)
class HoleScores:
    """A hole as one player plays it: what remains for them, and what comes of each strike."""

    evaluator: Evaluator
    known: HoleValues
    tried: tuple[TriedStrike, ...]


@dataclass(frozen=True)
class RosterScores:
    """Players, what each may score on each hole, gross, their own best first, and course handicaps."""

    players: tuple[Player, ...]
    holes: tuple[Hole, ...]
    gross: tuple[tuple[tuple[StrikeScores, ...], ...], ...]
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

    def net(self, player: int, strokes: int) -> list[tuple[StrikeScores, ...]]:
        """Return what a player who receives so many strokes may score on each hole."""
        return [
            tuple(one.net(received) for one in on_hole)
            for received, on_hole in zip(self.received(strokes), self.gross[player], strict=True)
        ]


def _strike_dict(prospect: StrikeScores) -> dict[str, Any]:
    """Return the chance of 1, 2, … strokes by a strike, the last of so many or more, by all drives."""
    chances = pooled(prospect.chances)
    gross = chances[MOST_RECEIVED : MOST_RECEIVED + LAST]
    return {
        "strike": prospect.label,
        "strokes": float(chances @ SCORES),
        "trouble": float(prospect.trouble.sum(axis=1).mean()),
        "scores": [round(float(chance), 6) for chance in gross],
    }


def play_holes(
    course: Course,
    players: Sequence[Player],
    tees: Callable[[Hole, Player], Tee],
    of_player: Callable[[HoleScores], Result],
    options: RoundOptions,
    *,
    progress: Callable[[int, int], None] | None = None,
) -> list[list[Result]]:
    """Let all players play all holes, and return by hole what is made of how each of them plays it."""
    conditions, draws, seed = options.conditions, options.draws, options.seed
    ground = map_in(course, conditions)
    benches = share_out(
        lambda i: Evaluator(course, players[i], conditions, MEAN, draws, seed, ground=ground), len(players)
    )
    tick = counter(progress, len(course.holes) * len(players))

    def play(h: int) -> list[Result]:
        hole, found = course.holes[h], []
        for place, (player, evaluator) in enumerate(zip(players, benches, strict=True)):
            values = evaluator.value_hole(hole, step=STEP)
            tried = try_strikes(evaluator, evaluator.on_tee(hole, tees(hole, player), values), place)
            found.append(of_player(HoleScores(evaluator, values, tuple(tried))))
            tick()
        return found

    return share_out_by_size(play, [hole.tees[0].length for hole in course.holes])


# --- which strikes ----------------------------------------------------------------------------------


# What is a player's own best, all worlds say, as for one who plans alone: so both are told the same.


def allowed(
    prospects: Sequence[Sequence[StrikeScores]], player: Player, holes: Sequence[Hole]
) -> tuple[tuple[StrikeScores, ...], ...]:
    """Return the strikes of a round that a player may hit, their own best on each hole first.

    One who keeps to one strike all day has the driver's that is best over the round. Where another is hardly
    better the usual strike is a player's own best.
    """
    kept = None if player.can_choose else all_day(prospects, player, holes)
    if kept is None:
        return tuple(_own_best_first(on_hole, player.usual) for on_hole in prospects)
    return tuple(_own_best_first(_keeping_to(kept.label, on_hole), kept.label) for on_hole in prospects)


@dataclass(frozen=True)
class AllDay:
    """The driver's strike that a player keeps to all day, and its loss over a usual one that is another."""

    label: str
    over: Estimate | None


def all_day(
    prospects: Sequence[Sequence[StrikeScores]], player: Player, holes: Sequence[Hole]
) -> AllDay | None:
    """Return the driver's strike to keep to all day, as `decision.day_strike` does; par 3s have no say.

    There is none where no hole is for a driver.
    """
    names = dict.fromkeys(one.label for on_hole in prospects for one in on_hole if one.club == "driver")
    rounds = list(zip(prospects, holes, strict=True))
    counted = [on_hole for on_hole, hole in rounds if hole.par > 3] or prospects
    strokes = {
        name: np.sum([_best(_keeping_to(name, on_hole)).chances for on_hole in counted], axis=0) @ SCORES
        for name in names
    }
    if not strokes:
        return None
    label, usual = least_loss(strokes, player.usual, MEAN.close), player.usual
    if usual == label or usual not in strokes:
        return AllDay(label, None)
    return AllDay(label, estimate((strokes[label] - strokes[usual]).reshape(-1, REPLICATES)))


def _keeping_to(name: str, on_hole: Sequence[StrikeScores]) -> tuple[StrikeScores, ...]:
    return tuple(one for one in on_hole if one.club != "driver" or one.label == name) or tuple(on_hole)


def _best(on_hole: Sequence[StrikeScores]) -> StrikeScores:
    return min(on_hole, key=lambda one: float(mean(one.chances)))


def _own_best_first(on_hole: Sequence[StrikeScores], usual: str | None) -> tuple[StrikeScores, ...]:
    label = least_loss({one.label: one.chances @ SCORES for one in on_hole}, usual, MEAN.close)
    return tuple(sorted(on_hole, key=lambda one: (one.label != label, float(mean(one.chances)))))


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
