"""The chance of each score by each strike on one tee, in independent draw sets.

A draw set is one replicate of the drives of one posterior draw of the golfer. Choices are made with half of
the sets, and what they gain is estimated with the other half, so that a gain is not the luck of the draw.
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
"""Independent sets of drives: the replicates of the first posterior draw, then those of the next."""
# One replicate of every posterior draw: two halves of the posterior draws would differ by more than most
# choices gain.
SELECTION_SETS: Final = slice(0, None, REPLICATES)
"""Draw sets with which choices are made."""
HOLDOUT_SETS: Final = slice(1, None, REPLICATES)
"""Draw sets with which the gain of a choice is estimated."""

MOST_FROM_TEE: Final = MOST_STROKES + 2  # from a tee; more count as so many
_MOSTLY: Final = 0.5  # of drives
MOST_RECEIVED: Final = 5  # strokes on a hole: an index of 54 where the slope is 155, off a plus handicap
MOST_GIVEN: Final = 1
SCORES: Final = np.arange(1 - MOST_RECEIVED, MOST_FROM_TEE + MOST_GIVEN + 1)
"""Scores that chances are given for, net of handicap strokes."""


@dataclass(frozen=True, kw_only=True)
class StrikeScores:
    """The chance of each score by one strike on one tee.

    Attributes
    ----------
    in_play, in_trouble
        The chance of each of `SCORES` with the drive in play, and with it in a penalty area or out of bounds,
        shape (`DRAW_SETS`, scores). Together they add to 1.
    """

    label: str
    club: str
    mark: Mark
    in_play: Floats
    in_trouble: Floats

    @property
    def chances(self) -> Floats:
        """The chance of each score, shape (`DRAW_SETS`, scores)."""
        return self.in_play + self.in_trouble

    def net(self, received: int) -> "StrikeScores":
        """Return the chances net of strokes received; strokes given back are negative."""
        in_play, in_trouble = (net_of(part, received) for part in (self.in_play, self.in_trouble))
        return replace(self, in_play=in_play, in_trouble=in_trouble)


@dataclass(frozen=True, kw_only=True)
class TriedStrike:
    """One strike on one tee and its drives, equally many in each draw set, set after set.

    `cumulative` is each drive's chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    label: str
    club: str
    mark: Mark
    lies: Lies
    cost: TeeStrokes
    cumulative: Floats

    def scores(self) -> StrikeScores:
        """Return the chance of each score in each draw set.

        A draw set's departure from the mean of all is divided by the share of drives that is not replayed, as
        in `evaluator`: a replayed drive costs the mean of all.
        """
        trouble = np.isin(self.lies.finish, (Finish.PENALTY, Finish.OUT)).reshape(DRAW_SETS, 1, -1)
        within = self.cumulative.reshape(DRAW_SETS, trouble.shape[2], -1)
        kept = 1 - float(self.cost.replayed.mean())
        parts = []
        for weight in (~trouble / trouble.shape[2], trouble / trouble.shape[2]):
            each = np.diff((weight @ within)[:, 0], prepend=0, append=weight.sum(axis=2))
            parts.append(pad_to_scores(each.mean(axis=0) + (each - each.mean(axis=0)) / kept))
        return StrikeScores(
            label=self.label, club=self.club, mark=self.mark, in_play=parts[0], in_trouble=parts[1]
        )


def try_strikes(evaluator: Evaluator, at: TeeOnHole, place: int) -> list[TriedStrike]:
    """Return the strikes worth trying from a tee, each with drives along its best aim.

    Clubs that cost far more than the best, and strikes whose drives are mostly out of bounds, are left out.

    Parameters
    ----------
    place
        The player's place in the roster: it sets the order of the draw sets.

    Raises
    ------
    InputError
        If no strike is left.
    """
    found = []
    draws, order = evaluator.draws, _drive_order(evaluator.draws, place)
    for aim in hopeful_aims(evaluator, at):
        played = evaluator.play(evaluator.to_score(aim.strike, draws), aim.heading, at)
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
                cumulative=played.within[order],
            )
        )
    if not found:
        problem, remedy = "most drives are out of bounds", "check the boundary and the hole's line"
        raise InputError(evaluator.course.file, at.place, problem, remedy)
    return found


def _drive_order(draws: int, place: int) -> NDArray[np.int64]:
    """Return the order of a player's drives, posterior draw after posterior draw.

    The same seed draws the same drives for every player. All but the first player have their posterior draws
    in an order of their own, so that in one draw set nobody is lucky because another is.
    """
    order = np.random.default_rng(place).permutation(POSTERIOR_DRAWS) if place else np.arange(POSTERIOR_DRAWS)
    return np.arange(draws).reshape(POSTERIOR_DRAWS, -1)[order].ravel()


def pad_to_scores(chances: Floats) -> Floats:
    """Return the chances of 1 to `MOST_FROM_TEE` strokes, along the last axis, as those of `SCORES`."""
    found = np.zeros((*chances.shape[:-1], len(SCORES)))
    found[..., MOST_RECEIVED : MOST_RECEIVED + MOST_FROM_TEE] = chances
    return found


def net_of(chances: Floats, received: int) -> Floats:
    """Return chances of `SCORES`, along the last axis, net of strokes received; those given are negative.

    Examples
    --------
    >>> par = pad_to_scores(np.eye(MOST_FROM_TEE)[3])
    >>> int(net_of(par, 1) @ SCORES), int(net_of(par, -1) @ SCORES)
    (3, 5)
    """
    if received == 0:
        return chances
    moved = np.zeros_like(chances)
    if received > 0:
        moved[..., :-received] = chances[..., received:]
    else:
        moved[..., -received:] = chances[..., :received]
    return moved


def mean_chances(chances: Floats, sets: slice = slice(None)) -> Floats:
    """Return the mean over draw sets, all by default, of chances of shape (…, draw sets, scores)."""
    return np.asarray(chances[..., sets, :].mean(axis=-2))


def mean_score(chances: Floats, sets: slice = slice(None)) -> Floats:
    """Return the mean score over draw sets, all by default, by chances of shape (…, draw sets, scores)."""
    return np.asarray(mean_chances(chances, sets) @ SCORES)
