"""The chance of each score by each strike of every player on every hole, each player's own best first."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Generic, TypeVar

import numpy as np

from holesim.common.parallel import counter, share_out
from holesim.course.course import Course
from holesim.course.holes import Hole, Sex
from holesim.plan.conditions import map_in
from holesim.plan.decision import least_loss
from holesim.plan.estimate import Estimate, estimate
from holesim.plan.evaluator import REPLICATES, Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.round_options import RoundOptions
from holesim.plan.tee_on_hole import HoleValues
from holesim.player.player import Player
from holesim.team import handicap
from holesim.team.strike_scores import (
    MOST_FROM_TEE,
    MOST_RECEIVED,
    SCORES,
    StrikeScores,
    TriedStrike,
    mean_chances,
    mean_score,
    try_strikes,
)
from holesim.team.tees_and_handicaps import Tees

Result = TypeVar("Result")
Round = Sequence[Sequence[StrikeScores]]
"""By hole, the strikes of one player."""

STEP: Final = 15.0
"""Grid spacing of expected strokes [m]: three times that of a plan, for many players at once."""


@dataclass(frozen=True)
class PlayerHole:
    """A hole for one player: the expected strokes there, and the strikes tried from the tee."""

    evaluator: Evaluator
    values: HoleValues
    strikes: tuple[TriedStrike, ...]


@dataclass(frozen=True)
class RosterScores:
    """All players of a team and its opponents, known by their places here, and what they may score.

    Attributes
    ----------
    tees
        By player, then by hole.
    gross
        By player, then by hole, the strikes that the player may hit, own best first.
    course_handicaps
        Unrounded; nought where handicap strokes do not count.
    """

    players: tuple[Player, ...]
    holes: tuple[Hole, ...]
    tees: Tees
    gross: tuple[tuple[tuple[StrikeScores, ...], ...], ...]
    course_handicaps: tuple[float, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The players' names."""
        return tuple(player.name for player in self.players)

    @property
    def handicap_indices(self) -> list[float]:
        """The players' handicap indices."""
        return [player.handicap_index for player in self.players]

    def among(self, places: Sequence[int]) -> "RosterScores":
        """Return the roster of some players alone, by their places in this one."""

        def of(values: Sequence[Result]) -> tuple[Result, ...]:
            return tuple(values[i] for i in places)

        return replace(
            self, players=of(self.players), tees=of(self.tees), gross=of(self.gross),
            course_handicaps=of(self.course_handicaps),
        )  # fmt: skip

    def to_dict(self) -> list[dict[str, Any]]:
        """Return each player's chance of each gross score on each hole, own best strike first."""
        return [
            {
                "player": player.name,
                "holes": [
                    {"hole": hole.number, "strikes": [_strike_dict(strike) for strike in strikes]}
                    for hole, strikes in zip(self.holes, round_, strict=True)
                ],
            }
            for player, round_ in zip(self.players, self.gross, strict=True)
        ]

    def strokes_by_hole(self, strokes: int, ball: Sequence[int]) -> list[int]:
        """Return on which holes a number of handicap strokes falls, in the order of the holes.

        Parameters
        ----------
        ball
            The players who play the ball that receives the strokes: one, or a pair in turn.

        Notes
        -----
        Strokes fall by the stroke index of the player's sex. With one ball a man and a woman go by the men's,
        so that both sides of a match of mixed pairs receive strokes in one order: our assumption.
        """
        sex: Sex = "man" if any(self.players[i].sex == "man" for i in ball) else "woman"
        indices = {hole.number: hole.stroke_index_of(sex) or 0 for hole in self.holes}
        found = handicap.strokes_by_hole(strokes, indices)
        return [found[hole.number] for hole in self.holes]

    def net(self, player: int, strokes: int) -> list[tuple[StrikeScores, ...]]:
        """Return a player's strikes on each hole, net of a number of handicap strokes."""
        return [
            tuple(strike.net(received) for strike in strikes)
            for received, strikes in zip(
                self.strokes_by_hole(strokes, (player,)), self.gross[player], strict=True
            )
        ]


def _strike_dict(strike: StrikeScores) -> dict[str, Any]:
    """Return the chance of 1, 2, … strokes by a strike, the last of so many or more."""
    chances = mean_chances(strike.chances)
    gross = chances[MOST_RECEIVED : MOST_RECEIVED + MOST_FROM_TEE]
    return {
        "strike": strike.label,
        "strokes": float(chances @ SCORES),
        "trouble": float(strike.in_trouble.sum(axis=1).mean()),
        "scores": [round(float(chance), 6) for chance in gross],
    }


@dataclass(frozen=True)
class ToPlay(Generic[Result]):
    """A round on a course: its options, who plays, and what is made of each hole as a player plays it.

    `places` are those of the players in the roster, rising. A `PlayerHole` holds every drive; only what
    `summarise` makes of it is kept.
    """

    options: RoundOptions
    places: Sequence[int]
    summarise: Callable[[PlayerHole], Result]


def play_course(
    course: Course,
    players: Sequence[Player],
    tees: Tees,
    rounds: Sequence[ToPlay[Result]],
    progress: Callable[[int, int], None] | None = None,
) -> list[list[list[Result]]]:
    """Return by round, hole and player what is made of the hole as the player plays it.

    Parameters
    ----------
    rounds
        Their options differ in the wind alone, so that a player values a hole and strikes their drives once.
    """
    options = rounds[0].options
    conditions, airs = options.conditions, [one.options.conditions.air for one in rounds]
    playing = sorted({place for one in rounds for place in one.places})
    ground = map_in(course, conditions)
    evaluators = share_out(
        lambda k: Evaluator(
            course, players[playing[k]], conditions, MEAN, options.draws, options.seed, ground=ground
        ),
        len(playing),
    )
    tick = counter(progress, len(course.holes) * sum(len(one.places) for one in rounds))

    # Hole by hole, the longest first: threads share what is the same for all on a hole, and nobody's drives.
    by_length = sorted(range(len(course.holes)), key=lambda h: -course.holes[h].tees[0].length)
    pieces = [(h, k) for h in by_length for k in range(len(playing))]

    def play(i: int) -> dict[int, Result]:
        h, k = pieces[i]
        place, evaluator, hole = playing[k], evaluators[k], course.holes[h]
        values, found = evaluator.value_hole(hole, step=STEP), dict[int, Result]()
        at = evaluator.on_tee(hole, tees[place][h], values)
        for r, (one, air) in enumerate(zip(rounds, airs, strict=True)):
            if place in one.places:
                in_wind = evaluator.in_air(air)
                strikes = try_strikes(in_wind, at, place)
                found[r] = one.summarise(PlayerHole(in_wind, values, tuple(strikes)))
                tick()
        return found

    played = dict(zip(pieces, share_out(play, len(pieces)), strict=True))
    return [
        [
            [played[h, k][r] for k, place in enumerate(playing) if place in one.places]
            for h in range(len(course.holes))
        ]
        for r, one in enumerate(rounds)
    ]


# --- own best strikes ---------------------------------------------------------------------------------

# They are found with all draw sets, as when a player plans alone: both then get the same answer.


def rank_strikes(
    round_: Round, player: Player, holes: Sequence[Hole]
) -> tuple[tuple[StrikeScores, ...], ...]:
    """Return the strikes that a player may hit on each hole, own best first.

    A player who hits the driver one way all day has only the driver strike that is best over the round. Where
    another is hardly better the usual strike is the player's own best.
    """
    day = None if player.can_choose else choose_day_strike(round_, player, holes)
    if day is None:
        return tuple(_rank(strikes, player.usual) for strikes in round_)
    return tuple(_rank(_with_driver_strike(day.label, strikes), day.label) for strikes in round_)


@dataclass(frozen=True)
class DayChoice:
    """The driver strike that a player hits all day.

    `over_usual` is the strokes a round that it costs more than the usual strike; none where it is the usual
    one, or the player has no usual one.
    """

    label: str
    over_usual: Estimate | None


def choose_day_strike(round_: Round, player: Player, holes: Sequence[Hole]) -> DayChoice | None:
    """Return the driver strike to hit all day, by the rule of `decision.day_strike`; par 3s do not count.

    There is none where no hole is for a driver.
    """
    labels = dict.fromkeys(
        strike.label for strikes in round_ for strike in strikes if strike.club == "driver"
    )
    by_hole = list(zip(round_, holes, strict=True))
    counted = [strikes for strikes, hole in by_hole if hole.par > 3] or round_
    strokes = {
        label: np.sum([_best(_with_driver_strike(label, strikes)).chances for strikes in counted], axis=0)
        @ SCORES
        for label in labels
    }
    if not strokes:
        return None
    label, usual = least_loss(strokes, player.usual, MEAN.close), player.usual
    if usual == label or usual not in strokes:
        return DayChoice(label, None)
    return DayChoice(label, estimate((strokes[label] - strokes[usual]).reshape(-1, REPLICATES)))


def _with_driver_strike(label: str, strikes: Sequence[StrikeScores]) -> tuple[StrikeScores, ...]:
    """Return strikes without the driver's others, unless none is left."""
    return tuple(s for s in strikes if s.club != "driver" or s.label == label) or tuple(strikes)


def _best(strikes: Sequence[StrikeScores]) -> StrikeScores:
    return min(strikes, key=lambda strike: float(mean_score(strike.chances)))


def _rank(strikes: Sequence[StrikeScores], usual: str | None) -> tuple[StrikeScores, ...]:
    label = least_loss({strike.label: strike.chances @ SCORES for strike in strikes}, usual, MEAN.close)
    return tuple(sorted(strikes, key=lambda s: (s.label != label, float(mean_score(s.chances)))))
