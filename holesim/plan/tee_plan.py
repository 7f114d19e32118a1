"""The plan of a tee: what each strike costs there, which to hit, and what the choice hangs on."""

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
    """The scored drives of one strike: where they finish and land [m, hole frame], `Finish` code, strokes."""

    x: Floats
    y: Floats
    landing_x: Floats
    landing_y: Floats
    finish: NDArray[np.int64]
    strokes: Floats


@dataclass(frozen=True, kw_only=True)
class StrikePlan:
    """One strike on one tee, aimed where it costs least.

    Attributes
    ----------
    aim
        Right of the line from tee to pin [rad].
    mark
        The aim by something that can be seen.
    alignment
        Of feet and swing line, right of the aim [rad].
    strokes, strokes_se
        Expected strokes on the hole, and their standard error.
    shares
        Shares of the drives by where they finish, by the names of `Finish`.
    scores
        Chances of 1, 2, … strokes on the hole; the last is that of as many or more.
    carry, total, carry_sd, side_sd
        Means and standard deviations of the drives [m].
    strokes_by_draw
        Strokes of each posterior draw by each replicate, shape (draws, replicates).
    loss
        What the choice is made by, of the same shape: those strokes, or the chance to miss the goal.
    beyond
        Whether an aim which no golfer would take would cost clearly less.
    then
        The next shot from where the strike typically finishes.
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
        """Return the chance of `least` to `most` strokes on the hole; without `most`, of `least` or more."""
        return float(self.scores[max(least - 1, 0) : most].sum())

    def over(self, other: "StrikePlan") -> Estimate:
        """Return this strike's loss minus the other's, on the same draws."""
        return estimate(self.loss - other.loss)


@dataclass(frozen=True, kw_only=True)
class Difference:
    """The loss of the cheapest strike minus that of the next: `first` minus `second`."""

    first: str
    second: str
    loss: Estimate


@dataclass(frozen=True)
class Doubt:
    """What an unsure choice hangs on most, in words; empty where that is the drives sampled."""

    cause: str


@dataclass(frozen=True)
class TableComparison:
    """Which strike, `other`, a table by lie and distance would choose instead of `choice`, and why not.

    Attributes
    ----------
    more_after_choice, more_after_other
        Expected strokes from where each finishes, less those of the table.
    away
        How far from the pin the other finishes on average [m].
    side, cause
        `side` is "left" or "right" where most of the excess comes from drives to that side, else empty.
        `cause` is what stands before the green from there: "trees" or "water"; "reach" if the green is too
        far; or empty.
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
    """What to do on one tee.

    Attributes
    ----------
    strikes
        The strikes scored, the best first.
    choice, rival
        The strike to hit, and the best of the others that may be hit.
    difference
        The loss of the best strike minus that of the next.
    draws
        Drives scored for each strike.
    kept
        Whether the choice is the golfer's strike for the day.
    goal
        What the strike is chosen for.
    doubt
        What an unsure choice hangs on most.
    wind, flips
        The wind along the hole, and the felt winds that flip the choice.
    fits
        Whether the choice is about as long as a par 3.
    by_table
        What a table by lie and distance would choose instead.
    expected
        The expected strokes on the hole that the choice was made by.
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
        """The loss of the choice minus that of its rival; None where there is no rival."""
        return None if self.rival is None else self.choice.over(self.rival)

    @property
    def chance(self) -> float:
        """How likely the choice is the better of it and its rival."""
        over = self.over_rival
        return 1.0 if over is None else over.chance_below

    @property
    def close(self) -> bool:
        """Whether the choice is a toss-up, or makes little difference."""
        over = self.over_rival
        return over is not None and (
            sureness(over.chance_below) == "a toss-up" or abs(over.mean) < self.goal.close
        )
