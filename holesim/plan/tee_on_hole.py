"""A tee on a hole as worked out for a golfer, and what comes of a strike from it along one aim."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.course.holes import Hole, Tee
from holesim.plan.aim_search import Site
from holesim.plan.tee_plan import StrikePlan
from holesim.scoring.expected_strokes import ExpectedStrokes
from holesim.scoring.score_chances import ScoreChances
from holesim.scoring.strokes_table import TeeStrokes
from holesim.shot.bounce import Finishes
from holesim.shot.flight import Landings
from holesim.shot.relief import DropCache, Finish, Lies

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class HoleValues:
    """What is known of a hole for a golfer, whatever the tee: `memory` is filled as drops are found out."""

    expected: ExpectedStrokes
    scores: ScoreChances
    memory: DropCache


@dataclass(frozen=True)
class TeeOnHole:
    """A tee on a hole as worked out for a golfer: `site` is what the search sees of it."""

    hole: Hole
    tee: Tee
    hole_values: HoleValues
    site: Site

    @property
    def place(self) -> str:
        """Where it is, as messages have it."""
        return f"hole {self.hole.number}, {self.tee.name} tee"


class Aim(NamedTuple):
    """A strike, by its place among the player's, and where it is aimed [rad from north].

    `beyond` says that an aim which no golfer would take costs clearly less.
    """

    strike: int
    heading: float
    beyond: bool = False


class AimedStrike(NamedTuple):
    """An aim, and what comes of it."""

    aim: Aim
    plan: StrikePlan


@dataclass(frozen=True)
class StrikeOutcome:
    """One strike along one aim, all the way to strokes.

    `within` is the chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    landings: Landings
    finishes: Finishes
    lies: Lies
    cost: TeeStrokes
    within: Floats

    @property
    def shares(self) -> dict[str, float]:
        """Where the drives finish, by the names of `Finish`; a ball that is not found is out."""
        lies = self.lies
        shares = np.bincount(lies.finish, weights=1 - lies.lost, minlength=len(Finish)) / len(lies.x)
        shares[Finish.OUT] += lies.lost.mean()
        return {f.name.lower(): float(shares[f]) for f in Finish}
