"""Decisions: what each strike costs on a tee, which to choose, and what the choices of a round add up to."""

from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

from holesim import advice
from holesim.goal import MEAN, Goal
from holesim.holes import Hole, Tee
from holesim.player import Player, StrikeName
from holesim.remains import NextShot, Remains
from holesim.wind import Flip, Turned, flips_text

Floats = NDArray[np.float64]

CONFIDENCE: Final = 0.95
NOBODY: Final[Floats] = np.empty(0)

_MORE: Final = (10, 20, 30, 40, 60, 80, 100, 150, 200, 300)  # drives that one would still hit on the range


@dataclass(frozen=True)
class Drives:
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
    or more; `by_randomisation` the strokes of each independent randomisation, and `loss` what the choice is
    made by: those strokes, or the chance to miss the goal; `by_player` the loss of each who may be the true
    player, none where the player is known; `then` the next shot from where it typically ends.
    """

    club: str
    strike: str
    aim: float
    mark: advice.Mark
    alignment: float
    strokes: float
    strokes_se: float
    shares: dict[str, float]
    scores: Floats
    carry: float
    total: float
    carry_sd: float
    side_sd: float
    by_randomisation: Floats
    loss: Floats
    by_player: Floats
    drives: Drives
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

    def interval_over(self, other: "StrikePlan") -> tuple[float, float]:
        """Return the 95 % interval of this strike's loss minus the other's, on the same draws."""
        return interval(self.loss - other.loss, self.by_player - other.by_player)

    def over(self, other: "StrikePlan") -> float:
        """Return this strike's loss minus the other's."""
        return float(self.loss.mean() - other.loss.mean())


@dataclass(frozen=True, kw_only=True)
class Difference:
    """Loss of `first` minus `second`, the two best, with its 95 % interval.

    `sampling` is the half-width that it would have were the player known for sure.
    """

    first: str
    second: str
    loss: float
    low: float
    high: float
    sampling: float


@dataclass(frozen=True, kw_only=True)
class TeePlan:
    """What to do on one tee, by `draws` drives a strike.

    `goal` is what the choice is for, `wind` what blows there; `more_drives` how many more measured drives
    would tell the choice from its rival, if it is that which makes it close; `turns_on` names assumptions and
    `flips` felt winds that flip the choice; `fits` says whether it is about as long as a par 3; `by_table`
    what a table of strokes by lie and distance would have instead, and why; `remains` is what the choice was
    made by.
    """

    hole: Hole
    tee: Tee
    strikes: tuple[StrikePlan, ...]
    choice: StrikePlan
    rival: StrikePlan | None
    close: bool
    difference: Difference | None
    draws: int
    goal: Goal = MEAN
    more_drives: int = 0
    turns_on: tuple[str, ...] = ()
    wind: Turned | None = None
    flips: tuple[Flip, ...] = ()
    fits: bool = True
    by_table: str = ""
    remains: Remains | None = None

    def why(self, *, metric: bool = False) -> str:
        """Return what speaks for the choice against its rival."""
        if self.rival is None:
            return "the only strike"
        return advice.why(
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
    def verdict(self) -> str:
        """What is to be said before the reason, if anything: that it matters little, or is no free choice."""
        if not self.fits:
            return "no club listed fits this hole"
        if self.rival is None:
            return ""
        low, high = self.choice.interval_over(self.rival)
        if self.close:
            said = "too close to call" if low <= 0 <= high else "too little to matter"
            return f"{said}: measure {self.more_drives} more drives" if self.more_drives else said
        saved = self.choice.over(self.rival)
        if saved <= self.goal.close:
            return ""
        said = self.goal.saving.format(abs(self.goal.scale) * saved)
        return f"{self.rival.label} {said}, but one strike all day"

    def reason(self, *, metric: bool = False) -> str:
        """Return a sentence for the choice over its rival."""
        return "; ".join(filter(None, (self.verdict, f"{self.choice.label}: {self.why(metric=metric)}")))


def difference_between(first: StrikePlan, second: StrikePlan) -> Difference:
    """Return what one strike loses over another."""
    low, high = first.interval_over(second)
    least, most = interval(first.loss - second.loss)
    return Difference(
        first=first.label,
        second=second.label,
        loss=first.over(second),
        low=low,
        high=high,
        sampling=(most - least) / 2,
    )


def interval(draws: Floats, players: Floats = NOBODY) -> tuple[float, float]:
    """Return the 95 % interval of the mean of a loss.

    Parameters
    ----------
    draws
        Its value by independent randomisations, whose mean is sought.
    players
        Its value for each who may be the true player, who is one of them; none where the player is known.

    Notes
    -----
    Two variances of few values each add up: Welch, Biometrika 34, 1947.
    """
    parts = np.array([draws.var(ddof=1) / len(draws), players.var(ddof=1) if len(players) else 0.0])
    freedom = np.array([len(draws) - 1, max(len(players) - 1, 1)])
    total, mean = float(parts.sum()), float(draws.mean())
    if total == 0:
        return mean, mean
    half = float(student_t.ppf((1 + CONFIDENCE) / 2, total**2 / (parts**2 / freedom).sum()) * sqrt(total))
    return mean - half, mean + half


def _is_close(first: StrikePlan, second: StrikePlan, goal: Goal) -> bool:
    low, high = first.interval_over(second)
    return low <= 0 <= high or abs(first.over(second)) < goal.close


def more_drives(first: StrikePlan, second: StrikePlan, measured: int, goal: Goal) -> int:
    """Return how many more measured drives would tell two strikes apart.

    None where they are apart, where no few hundred would do it, or where it is not how well the player is
    known that hides it. What is unknown shrinks as the root of the number of drives.
    """
    draws, players = first.loss - second.loss, first.by_player - second.by_player
    if not measured or not len(players) or abs(draws.mean()) < goal.close:
        return 0
    for more in (0, *_MORE):
        low, high = interval(draws, players * sqrt(measured / (measured + more)))
        if not low <= 0 <= high:
            return more
    return 0


def decide(
    hole: Hole,
    tee: Tee,
    strikes: tuple[StrikePlan, ...],
    allowed: tuple[StrikePlan, ...],
    difference: Difference | None,
    draws: int,
    player: Player,
    goal: Goal,
) -> TeePlan:
    """Choose the first of `allowed`; where others are as good, the usual strike if it is among them."""
    first = allowed[0]
    equals = [s for s in allowed if s is first or _is_close(first, s, goal)]
    usual = next((s for s in equals if s.club == "driver" and s.strike == player.usual), None)
    choice = usual or first
    close = len(equals) > 1
    # What it is held against: a strike as good, else the driver's other strike, else the next best.
    others = [s for s in (equals if close else allowed if len(allowed) > 1 else strikes) if s is not choice]
    rival = min(others, key=lambda s: (s.club != choice.club, s.loss.mean()), default=None)
    return TeePlan(
        hole=hole,
        tee=tee,
        strikes=strikes,
        choice=choice,
        rival=rival,
        close=close,
        difference=difference,
        draws=draws,
        goal=goal,
        more_drives=0 if rival is None else more_drives(choice, rival, player.measured, goal),
    )


def kept_to(plan: TeePlan, single: StrikeName, player: Player) -> TeePlan:
    """Return the plan of a golfer who hits the driver one way all day."""
    allowed = _allowed(plan, single)
    player = replace(player, usual=single)
    decided = decide(
        plan.hole, plan.tee, plan.strikes, allowed, plan.difference, plan.draws, player, plan.goal
    )
    # It is the other way of hitting the driver that one wants to hear of.
    drivers = [s for s in plan.strikes if s.club == "driver" and s.strike != single]
    rival = drivers[0] if drivers and not decided.close else decided.rival
    return replace(decided, wind=plan.wind, fits=plan.fits, rival=rival, remains=plan.remains)


def _driver_costs(plans: list[TeePlan], strike: str) -> Floats | None:
    """Return the round's strokes by randomisation with one driver strike on every tee but the par 3s.

    On a par 3 the best club plays, or the driver hit that way if it is compared and better.
    """
    total = np.zeros(len(plans[0].choice.by_randomisation))
    for plan in plans:
        mine = next((s for s in plan.strikes if s.club == "driver" and s.strike == strike), None)
        if plan.hole.par == 3:
            mine = _allowed(plan, strike)[0]
        if mine is None:
            return None
        total += mine.by_randomisation
    return total


def _allowed(plan: TeePlan, strike: str) -> tuple[StrikePlan, ...]:
    """Return what one who hits the driver one way may play, the best first."""
    return tuple(s for s in plan.strikes if s.club != "driver" or s.strike == strike) or plan.strikes


def round_totals(plans: list[TeePlan]) -> dict[str, float]:
    """Return the round's strokes under each policy."""
    totals = {}
    owned = {s.strike for plan in plans for s in plan.strikes if s.club == "driver"}
    for strike in ("up", "level", "down"):
        costs = _driver_costs(plans, strike) if strike in owned else None
        if costs is not None:
            totals[f"always {strike}"] = float(costs.mean())
    totals["best by hole"] = sum(plan.strikes[0].strokes for plan in plans)
    return totals


def single_strike(plans: list[TeePlan], player: Player) -> StrikeName:
    """Return the driver strike that loses least over the course, the usual one where it is as good.

    A club that beats the driver on a hole is still taken there.
    """
    names = [s.name for s in player.strikes if s.club == "driver"]
    played = {name: [_allowed(plan, name)[0] for plan in plans] for name in names}
    losses = {name: np.sum([s.loss for s in played[name]], axis=0) for name in names}
    likely = {name: np.sum([s.by_player for s in played[name]], axis=0) for name in names}
    best = min(names, key=lambda name: float(losses[name].mean()))
    low, high = interval(losses[best] - losses[player.usual], likely[best] - likely[player.usual])
    return player.usual if low <= 0 <= high or abs(low + high) / 2 < plans[0].goal.close else best
