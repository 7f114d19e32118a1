"""The plan of a tee: what each strike costs there, which to hit, and what that hangs on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from holesim.course.holes import Hole, Tee
from holesim.plan import sights
from holesim.plan.estimate import Estimate, estimate, sureness
from holesim.plan.goal import MEAN, Goal
from holesim.plan.hole_wind import Flip, HoleWind
from holesim.scoring.expected_strokes import ExpectedStrokes, NextShot

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class FinishedDrives:
    """The scored drives of one strike: where they rest and land [m, hole frame], `Finish` code and cost."""

    x: Floats
    y: Floats
    landing_x: Floats
    landing_y: Floats
    finish: NDArray[np.int64]
    strokes: Floats


@dataclass(frozen=True, kw_only=True)
class StrikePlan:
    """One strike on one tee, aimed where it costs least.

    `aim` is right of the line from tee to pin [rad], `alignment` right of the aim; distances in metres;
    `shares` by the names of `Finish`; `scores` the chance of 1, 2, … strokes on the hole, the last of so many
    or more; `strokes_by_draw` the strokes of each golfer who may be the true one, by each replicate, and
    `loss`, of the same shape, what the choice is made by: those strokes, or the chance to miss the goal;
    `beyond` says that an aim which no golfer would take costs clearly less; `then` is the next shot from
    where it typically ends.
    """

    club: str
    strike: str
    aim: float
    mark: sights.Mark
    alignment: float
    strokes: float
    strokes_se: float
    shares: dict[str, float]
    scores: Floats
    carry: float
    total: float
    carry_sd: float
    side_sd: float
    strokes_by_draw: Floats
    loss: Floats
    beyond: bool
    drives: FinishedDrives
    then: NextShot | None = None

    @property
    def label(self) -> str:
        """How the strike is called: up, down or level with the driver, otherwise the club's name."""
        return self.strike if self.club == "driver" else self.club

    @property
    def safe(self) -> float:
        """Share of drives on the fairway or the green."""
        return self.shares["fairway"] + self.shares["green"]

    @property
    def trouble(self) -> float:
        """Share of drives in a penalty area or out."""
        return self.shares["penalty"] + self.shares["out"]

    def scored(self, least: int, most: int | None = None) -> float:
        """Return the chance of so many strokes on the hole, from `least` to `most`."""
        return float(self.scores[max(least - 1, 0) : most].sum())

    def over(self, other: "StrikePlan") -> Estimate:
        """Return this strike's loss minus the other's, on the same draws."""
        return estimate(self.loss - other.loss)


@dataclass(frozen=True, kw_only=True)
class Difference:
    """What the cheapest strike loses over the next, `first` minus `second`."""

    first: str
    second: str
    loss: Estimate


@dataclass(frozen=True)
class Doubt:
    """What a choice that is not sure hangs on most, in words; nothing where it is the drives sampled."""

    cause: str


@dataclass(frozen=True)
class TableComparison:
    """Which strike, `other`, a table by lie and distance would have instead of the `choice`, and why not.

    Attributes
    ----------
    more_after_choice, more_after_other
        Expected strokes from where each finishes, beyond what the table says.
    away
        How far from the pin the other finishes on average [m].
    side, cause
        "left" or "right" where most of it comes from drives to that side, else empty; and what stands before
        the green from there: "trees", "water", that it is out of "reach", or nothing that has a name.
    """

    choice: str
    other: str
    more_after_choice: float
    more_after_other: float
    away: float
    side: str
    cause: str


@dataclass(frozen=True, kw_only=True)
class TeePlan:
    """What to do on one tee, by `draws` drives a strike.

    `goal` is what the choice is for, `rival` the best of the others that may be hit, `kept` that the choice
    is the golfer's strike for the day; `wind` is what blows there, `flips` felt winds that flip the choice;
    `doubt` says what a choice that is not sure hangs on most; `fits` whether it is about as long as a par 3;
    `by_table` what a table of strokes by lie and distance would have instead; `expected` is what the choice
    was made by.
    """

    hole: Hole
    tee: Tee
    strikes: tuple[StrikePlan, ...]
    choice: StrikePlan
    rival: StrikePlan | None
    difference: Difference | None
    draws: int
    kept: bool = False
    goal: Goal = MEAN
    doubt: Doubt | None = None
    wind: HoleWind | None = None
    flips: tuple[Flip, ...] = ()
    fits: bool = True
    by_table: TableComparison | None = None
    expected: ExpectedStrokes | None = None

    @property
    def over_rival(self) -> Estimate | None:
        """What the choice loses over its rival; nothing where there is none."""
        return None if self.rival is None else self.choice.over(self.rival)

    @property
    def chance(self) -> float:
        """How likely the choice is the better of it and its rival."""
        over = self.over_rival
        return 1.0 if over is None else over.chance_below

    @property
    def close(self) -> bool:
        """Whether the choice is a toss-up, or matters little."""
        over = self.over_rival
        return over is not None and (
            sureness(over.chance_below) == "a toss-up" or abs(over.mean) < self.goal.close
        )
