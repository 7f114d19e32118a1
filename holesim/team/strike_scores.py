"""Prospects: the chance of each score on a tee, by strike, in many worlds, so that sides can be made of them.

A world is one in which each player is one of those who may be the true one, and drives fall out as one of
the independent replicates has them. Choices are made in some worlds and weighed in others, so that what they
gain is not luck; and a gain has an interval.
"""

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.plan.aiming import hopeful_aims
from holesim.plan.evaluator import REPLICATES, Evaluator
from holesim.plan.sights import Mark
from holesim.plan.tee_on_hole import TeeOnHole
from holesim.player.player import POSTERIOR_DRAWS
from holesim.scoring.score_chances import MOST_STROKES
from holesim.scoring.strokes_table import TeeStrokes
from holesim.shot.relief import Finish, Lies

Floats = NDArray[np.float64]

DRAW_SETS: Final = POSTERIOR_DRAWS * REPLICATES
"""Posterior draw after posterior draw, the replicates of each."""
# One replicate of every draw: half of the draws would differ from the others by more than most choices gain.
CHOOSING: Final = slice(0, None, REPLICATES)
WEIGHING: Final = slice(1, None, REPLICATES)

LAST: Final = MOST_STROKES + 2  # strokes from a tee; more count as so many
_MOSTLY: Final = 0.5  # of drives
MOST_RECEIVED: Final = 5  # strokes on a hole, by an index of 54 where slope is 155, off a plus handicap
MOST_GIVEN: Final = 1
SCORES: Final = np.arange(1 - MOST_RECEIVED, LAST + MOST_GIVEN + 1)
"""Scores that chances are given for, net of handicap strokes."""


@dataclass(frozen=True, kw_only=True)
class StrikeScores:
    """One strike on one tee: the chance of each of `SCORES`, shape (`DRAW_SETS`, scores).

    `clear` is with the drive in play, `trouble` with it in a penalty area or out: together they add to 1.
    """

    label: str
    club: str
    mark: Mark
    clear: Floats
    trouble: Floats

    @property
    def chances(self) -> Floats:
        """The chance of each score."""
        return self.clear + self.trouble

    def net(self, received: int) -> "StrikeScores":
        """Return what it is after strokes received; given back, they are less than none."""
        clear, trouble = (np.roll(part, -received, axis=1) for part in (self.clear, self.trouble))
        return replace(self, clear=clear, trouble=trouble)


@dataclass(frozen=True, kw_only=True)
class TriedStrike:
    """One strike on one tee, and its drives, an equal part of them in each world after another.

    `within` is the chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    label: str
    club: str
    mark: Mark
    lies: Lies
    cost: TeeStrokes
    within: Floats

    def prospect(self) -> StrikeScores:
        """Return what it may score in each world.

        A world's departure from the mean of all is divided by the share that is not replayed, as in
        `workbench`: a replay is by the mean of all.
        """
        chances = np.diff(self.within, axis=1, prepend=0, append=1)
        trouble = np.isin(self.lies.finish, (Finish.PENALTY, Finish.OUT))
        kept = 1 - float(self.cost.replayed.mean())
        parts = []
        for weight in (~trouble, trouble):
            each = (weight[:, None] * chances).reshape(DRAW_SETS, -1, chances.shape[1]).mean(axis=1)
            parts.append(on_scores(each.mean(axis=0) + (each - each.mean(axis=0)) / kept))
        return StrikeScores(
            label=self.label, club=self.club, mark=self.mark, clear=parts[0], trouble=parts[1]
        )


def try_strikes(evaluator: Evaluator, at: TeeOnHole, place: int) -> list[TriedStrike]:
    """Play strikes from a tee, each along the aim that costs it least, but for hopeless ones.

    Those are clubs that cost far more than the best, and strikes that are mostly out of bounds.

    Parameters
    ----------
    place
        The player's among the players of a field, by which their worlds are ordered.

    Raises
    ------
    InputError
        If no strike is left.
    """
    found = []
    drives, order = evaluator.to_score(evaluator.draws), _in_worlds(evaluator.draws, place)
    for aim in hopeful_aims(evaluator, at):
        played = evaluator.play(drives[aim.strike], aim.heading, at)
        # One that cannot be played does not come.
        if played is None or played.shares["out"] >= _MOSTLY:
            continue
        strike, cost = evaluator.player.strikes[aim.strike], played.cost
        found.append(
            TriedStrike(
                label=strike.label,
                club=strike.club,
                mark=evaluator.mark(aim, played, at),
                lies=Lies(*(getattr(played.lies, field.name)[order] for field in fields(Lies))),
                cost=TeeStrokes(cost.cost[order], cost.expected, cost.replayed[order]),
                within=played.within[order],
            )
        )
    if not found:
        problem, remedy = "most drives are out of bounds", "check the boundary and the hole's line"
        raise InputError(evaluator.course.file, at.place, problem, remedy)
    return found


def _in_worlds(draws: int, place: int) -> NDArray[np.int64]:
    """Return drives, posterior draw after posterior draw, in the order of a player's worlds.

    Draws of a seed are alike for every player, but in one world nobody is lucky because another is: those of
    all but the first player come in an order of their own.
    """
    order = np.random.default_rng(place).permutation(POSTERIOR_DRAWS) if place else np.arange(POSTERIOR_DRAWS)
    return np.arange(draws).reshape(POSTERIOR_DRAWS, -1)[order].ravel()


def on_scores(chances: Floats) -> Floats:
    """Return the chances of 1 to `LAST` strokes, along the last axis, as those of `SCORES`."""
    found = np.zeros((*chances.shape[:-1], len(SCORES)))
    found[..., MOST_RECEIVED : MOST_RECEIVED + LAST] = chances
    return found


def pooled(chances: Floats, worlds: slice = slice(None)) -> Floats:
    """Return chances of shape (…, worlds, scores) over some worlds, all by default."""
    return np.asarray(chances[..., worlds, :].mean(axis=-2))


def mean(chances: Floats, worlds: slice = slice(None)) -> Floats:
    """Return the mean score over some worlds, all by default, of chances of shape (…, worlds, scores)."""
    return np.asarray(pooled(chances, worlds) @ SCORES)
