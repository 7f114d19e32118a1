"""Prospects: the chance of each score on a tee, by strike, in many worlds, so that sides can be made of them.

A world is one in which drives fall out as one of the independent randomisations has them, or in which one
of those who may be the true player plays. Choices are made in some worlds and weighed in others, so that what
they gain is not luck; and a gain has an interval.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.advice import Mark
from holesim.errors import InputError
from holesim.holes import Hole, Tee
from holesim.player import LIKELY
from holesim.relief import Finish
from holesim.scores import MOST
from holesim.workbench import RANDOMISATIONS, Known, Played, Workbench

Floats = NDArray[np.float64]

WORLDS: Final = RANDOMISATIONS + LIKELY
KNOWN: Final = slice(0, RANDOMISATIONS)
CHOOSING: Final = slice(0, RANDOMISATIONS // 2)
WEIGHING: Final = slice(RANDOMISATIONS // 2, RANDOMISATIONS)
OTHERS: Final = slice(RANDOMISATIONS, WORLDS)

LAST: Final = MOST + 2  # strokes from a tee; more count as so many
_MOSTLY: Final = 0.5  # of drives
MOST_RECEIVED: Final = 5  # strokes on a hole, by an index of 54 where slope is 155, off a plus handicap
MOST_GIVEN: Final = 1
SCORES: Final = np.arange(1 - MOST_RECEIVED, LAST + MOST_GIVEN + 1)
"""Scores that chances are given for, net of handicap strokes."""


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """One strike on one tee: the chance of each of `SCORES`, shape (`WORLDS`, scores).

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

    def net(self, received: int) -> "Prospect":
        """Return what it is after strokes received; given back, they are less than none."""
        clear, trouble = (np.roll(part, -received, axis=1) for part in (self.clear, self.trouble))
        return replace(self, clear=clear, trouble=trouble)


@dataclass(frozen=True, kw_only=True)
class Tried:
    """One strike on one tee, played by the player as known, and by the likely ones if there are any."""

    label: str
    club: str
    mark: Mark
    played: Played
    likely: Played | None

    def prospect(self) -> Prospect:
        """Return what it may score in each world."""
        clear, trouble = worlds_of(self.played, RANDOMISATIONS)
        if self.likely is None:
            likely = [np.broadcast_to(part.mean(axis=0), (LIKELY, len(SCORES))) for part in (clear, trouble)]
        else:
            likely = list(worlds_of(self.likely, LIKELY))
        clear, trouble = (np.concatenate(both) for both in zip((clear, trouble), likely, strict=True))
        return Prospect(label=self.label, club=self.club, mark=self.mark, clear=clear, trouble=trouble)


def try_strikes(bench: Workbench, hole: Hole, tee: Tee, known: Known, draws: int) -> list[Tried]:
    """Play strikes from a tee, each along the aim that costs it least, but for hopeless ones.

    Those are clubs that cost far more than the best, and strikes that are mostly out of bounds.

    Raises
    ------
    InputError
        If no strike is left.
    """
    site = bench.site(hole, tee, known.remains, known.memory)
    found = []
    aims = bench.aims(bench.candidates(hole, tee), hole, tee, site, known)
    for index, heading in bench.hopeful(aims, site):
        played = bench.play(bench.launched(draws)[index], tee, heading, site, known)
        likely = bench.play(bench.likely[index], tee, heading, site, known) if bench.likely else None
        # One that cannot be played does not come.
        if played is not None and played.shares["out"] < _MOSTLY and (likely is not None or not bench.likely):
            strike = bench.player.strikes[index]
            mark = bench.mark(index, hole, tee, heading, played)
            found.append(Tried(label=strike.label, club=strike.club, mark=mark, played=played, likely=likely))
    if not found:
        raise InputError(
            bench.course.file, f"hole {hole.number}, {tee.name} tee", "most drives are out of bounds",
            "check the boundary and the hole's line",
        )  # fmt: skip
    return found


def worlds_of(played: Played, count: int) -> tuple[Floats, Floats]:
    """Return the chance of each score in each of `count` worlds, clear of trouble and in it.

    A world's departure from the mean of all is divided by the share that is not replayed, as in
    `workbench`: a replay is by the mean of all.
    """
    chances = np.diff(played.within, axis=1, prepend=0, append=1)
    trouble = np.isin(played.lies.finish, (Finish.PENALTY, Finish.OUT))
    kept = 1 - float(played.cost.replayed.mean())
    parts = []
    for weight in (~trouble, trouble):
        each = (weight[:, None] * chances).reshape(count, -1, chances.shape[1]).mean(axis=1)
        parts.append(on_scores(each.mean(axis=0) + (each - each.mean(axis=0)) / kept))
    return parts[0], parts[1]


def on_scores(chances: Floats) -> Floats:
    """Return the chances of 1 to `LAST` strokes, along the last axis, as those of `SCORES`."""
    found = np.zeros((*chances.shape[:-1], len(SCORES)))
    found[..., MOST_RECEIVED : MOST_RECEIVED + LAST] = chances
    return found


def pooled(chances: Floats, worlds: slice) -> Floats:
    """Return chances of shape (…, worlds, scores) over some worlds."""
    return np.asarray(chances[..., worlds, :].mean(axis=-2))


def mean(chances: Floats, worlds: slice = slice(None)) -> Floats:
    """Return the mean score over some worlds, of chances of shape (…, worlds, scores)."""
    return np.asarray(pooled(chances, worlds) @ SCORES)
