"""Decisions: what each strike costs on a tee, which to choose, and what the choices of a round add up to.

There is one rule, for every command: the least expected loss over all golfers who may be the true one, their
balls and their drives; the usual strike where it costs hardly more.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from holesim.course.holes import Hole, Tee
from holesim.plan import sights
from holesim.plan.estimate import Estimate, estimate, sure_text, sureness
from holesim.plan.goal import MEAN, Goal
from holesim.plan.hole_wind import Flip, HoleWind, flips_text
from holesim.player.player import Player, StrikeName
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


@dataclass(frozen=True, kw_only=True)
class TeePlan:
    """What to do on one tee, by `draws` drives a strike.

    `goal` is what the choice is for, `rival` the best of the others that may be hit, `kept` that the choice
    is the golfer's strike for the day; `wind` is what blows there, `flips` felt winds that flip the choice;
    `doubt` says what a choice that is not sure hangs on most; `fits` whether it is about as long as a par 3;
    `by_table` what a table of strokes by lie and distance would have instead, and why; `expected` is what the
    choice was made by.
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
    doubt: str = ""
    wind: HoleWind | None = None
    flips: tuple[Flip, ...] = ()
    fits: bool = True
    by_table: str = ""
    expected: ExpectedStrokes | None = None

    def why(self, *, metric: bool = False) -> str:
        """Return what speaks for the choice against its rival."""
        if self.rival is None:
            return "the only strike"
        return sights.why(
            self.rival.label,
            longer=self.choice.total - self.rival.total,
            shares=self.choice.shares,
            other_shares=self.rival.shares,
            metric=metric,
        )

    def in_wind(self, *, metric: bool = False, most: int | None = None) -> str:
        """Return what wind there is, and the felt winds that flip the choice; nothing if there is neither.

        Parameters
        ----------
        most
            How many of them are told, the least wind first; all by default.
        """
        said = [] if self.wind is None else [f"wind {self.wind.text(metric=metric)}"]
        if self.flips:
            least = sorted(self.flips, key=lambda flip: flip.speed)[:most]
            said.append(f"as felt, {flips_text(least, metric=metric)}")
        return "; ".join(said)

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

    @property
    def sure(self) -> str:
        """How sure the choice is, in words and a number; nothing where it is no free one."""
        return "" if self.rival is None or not self.fits else sure_text(self.chance)

    @property
    def warning(self) -> str:
        """What is wrong with even the best choice, if anything."""
        if not self.fits:
            return "no club fits this hole"
        if self.rival is not None and self.choice.beyond:
            return "it would take an aim off the hole, so a shorter club is the answer"
        return ""

    @property
    def verdict(self) -> str:
        """What is to be said before the reason: how sure the choice is, and what is wrong with it."""
        over = self.over_rival
        little = self.sure and over is not None and abs(over.mean) < self.goal.close
        return "; ".join(
            filter(None, (self.sure + ", and too little to matter" * bool(little), self.warning))
        )

    def reason(self, *, metric: bool = False) -> str:
        """Return a sentence for the choice over its rival."""
        return "; ".join(filter(None, (self.verdict, f"{self.choice.label}: {self.why(metric=metric)}")))


# --- the rule -------------------------------------------------------------------------------------


def least_loss(losses: Mapping[str, Floats], usual: str | None, close: float) -> str:
    """Return which of some strikes to hit: the one of least expected loss, or the usual one.

    Parameters
    ----------
    losses
        Of each strike by its label: what it loses, of which the mean is taken.
    usual
        The golfer's usual strike, if known, which is kept where it loses less than `close` more than the
        best.
    """
    means = {label: float(loss.mean()) for label, loss in losses.items()}
    best = min(means, key=lambda label: means[label])
    if usual in means and means[usual] - means[best] < close:
        return usual
    return best


def difference_between(strikes: Sequence[StrikePlan]) -> Difference | None:
    """Return what the first of some strikes saves over the second."""
    if len(strikes) < 2:
        return None
    first, second = strikes[:2]
    return Difference(first=first.label, second=second.label, loss=first.over(second))


def decide(
    hole: Hole, tee: Tee, strikes: tuple[StrikePlan, ...], draws: int, usual: StrikeName | None, goal: Goal
) -> TeePlan:
    """Choose among the strikes of a tee, the best first."""
    label = least_loss({s.label: s.loss for s in strikes}, usual, goal.close)
    choice = next(s for s in strikes if s.label == label)
    return TeePlan(
        hole=hole,
        tee=tee,
        strikes=strikes,
        choice=choice,
        rival=next((s for s in strikes if s is not choice), None),
        difference=difference_between(strikes),
        draws=draws,
        goal=goal,
    )


# --- the round ------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class DayStrike:
    """The driver's strike for one who hits it one way all day.

    `over` is what it loses over the next best, `rival`, on a round; both are none where the golfer has but
    one.
    """

    strike: StrikeName
    rival: StrikeName | None
    over: Estimate | None

    @property
    def text(self) -> str:
        """How sure it is, in words."""
        if self.over is None:
            return f"{self.strike} all day, the only strike"
        low, high = self.over.interval
        worth = f"{-self.over.mean:.2f} strokes a round better than {self.rival} ({-high:.2f} to {-low:.2f})"
        return f"{self.strike} all day: {sure_text(self.over.chance_below)}, {worth}"


def day_strike(plans: Sequence[TeePlan], player: Player) -> DayStrike:
    """Return the driver's strike to hit all day, by the rule of every choice; par 3s have no say.

    A club that beats the driver on a hole is still taken there.
    """
    names = [s.name for s in player.drivers]
    holes = [plan for plan in plans if plan.hole.par > 3] or list(plans)
    losses: dict[str, Floats] = {
        name: np.sum([allowed(plan, name)[0].loss for plan in holes], axis=0) for name in names
    }
    chosen = least_loss(losses, player.usual, plans[0].goal.close)
    strike, *others = sorted(names, key=lambda name: (name != chosen, float(losses[name].mean())))
    if not others:
        return DayStrike(strike=strike, rival=None, over=None)
    return DayStrike(strike=strike, rival=others[0], over=estimate(losses[strike] - losses[others[0]]))


def kept_to(plan: TeePlan, single: StrikeName) -> TeePlan:
    """Return the plan of a tee for a golfer who hits the driver one way all day."""
    strikes = allowed(plan, single)
    decided = decide(plan.hole, plan.tee, strikes, plan.draws, single, plan.goal)
    kept = replace(plan, choice=decided.choice, rival=decided.rival, kept=True, doubt="")
    if kept.choice is not plan.choice:
        return replace(kept, flips=(), by_table="")
    labels = {strike.label for strike in strikes}
    return replace(kept, flips=tuple(flip for flip in plan.flips if flip.strike in labels))


def allowed(plan: TeePlan, strike: str) -> tuple[StrikePlan, ...]:
    """Return what one who hits the driver one way may play, the best first."""
    return tuple(s for s in plan.strikes if s.club != "driver" or s.strike == strike) or plan.strikes


def as_played(plans: Sequence[TeePlan], player: Player) -> tuple[list[TeePlan], DayStrike | None]:
    """Return the plans of a round as a golfer plays it, and the strike of one who keeps to one all day."""
    if player.can_choose:
        return list(plans), None
    day = day_strike(plans, player)
    return [kept_to(plan, day.strike) for plan in plans], day


@dataclass(frozen=True, kw_only=True)
class Total:
    """The strokes of a round by one policy, and what they are over those of the plan."""

    strokes: float
    over_plan: Estimate


def round_totals(plans: Sequence[TeePlan]) -> dict[str, Total]:
    """Return the round's strokes under each policy; on a par 3 the best club plays whatever the policy."""
    names = [name for name in ("up", "level", "down") if any(_driver(plan, name) for plan in plans)]
    policies: dict[str, list[StrikePlan | None]] = {
        f"always {name}": [
            allowed(plan, name)[0] if plan.hole.par == 3 else _driver(plan, name) for plan in plans
        ]
        for name in names
    }
    policies["best by hole"] = [plan.strikes[0] for plan in plans]
    policies["this plan"] = [plan.choice for plan in plans]
    mine = _added(plan.choice for plan in plans)
    totals = {}
    for policy, strikes in policies.items():
        played = [strike for strike in strikes if strike is not None]
        if len(played) == len(plans):
            strokes = _added(played)
            totals[policy] = Total(strokes=float(strokes.mean()), over_plan=estimate(strokes - mine))
    return totals


def _driver(plan: TeePlan, strike: str) -> StrikePlan | None:
    return next((s for s in plan.strikes if s.club == "driver" and s.strike == strike), None)


def _added(strikes: Iterable[StrikePlan]) -> Floats:
    return np.asarray(np.sum([strike.strokes_by_draw for strike in strikes], axis=0))
