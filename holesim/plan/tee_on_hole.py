"""A tee on a hole as a golfer plays it, and the outcome of a strike from it along one aim."""

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
    """Expected strokes and score chances of a hole for a golfer, from any tee.

    `drop_cache` is filled as drops are found.
    """

    expected: ExpectedStrokes
    scores: ScoreChances
    drop_cache: DropCache


@dataclass(frozen=True)
class TeeOnHole:
    """A tee on a hole as a golfer plays it; `site` is what the search sees of it."""

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

    `beyond` says that an aim which no golfer would take would cost clearly less.
    """

    strike: int
    heading: float
    beyond: bool = False


class AimedStrike(NamedTuple):
    """An aim, and the plan of the strike along it."""

    aim: Aim
    plan: StrikePlan


@dataclass(frozen=True)
class StrikeOutcome:
    """The outcome of one strike along one aim, from landings to strokes.

    `within` is the chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    landings: Landings
    finishes: Finishes
    lies: Lies
    cost: TeeStrokes
    within: Floats

    @property
    def shares(self) -> dict[str, float]:
        """Shares of the drives by where they finish, by the names of `Finish`; a lost ball counts as out."""
        lies = self.lies
        shares = np.bincount(lies.finish, weights=1 - lies.lost, minlength=len(Finish)) / len(lies.x)
        shares[Finish.OUT] += lies.lost.mean()
        return {f.name.lower(): float(shares[f]) for f in Finish}
