"""Decisions: which strike to hit on a tee, which all day, and what the choices of a round add up to.

There is one rule, for every command: hit the strike of least expected loss over all posterior draws, or the
usual strike where it loses hardly more.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from holesim.course.holes import Hole, Tee
from holesim.plan.estimate import Estimate, estimate
from holesim.plan.goal import Goal
from holesim.plan.tee_plan import Difference, StrikePlan, TeePlan
from holesim.player.player import Player, StrikeName

Floats = NDArray[np.float64]


# --- the rule -------------------------------------------------------------------------------------


def least_loss(losses: Mapping[str, Floats], usual: str | None, close: float) -> str:
    """Return the label of the strike to hit: the one of least expected loss, or the usual one.

    Parameters
    ----------
    losses
        The loss of each strike, by its label; its mean is what counts.
    usual
        The golfer's usual strike, if known. It is kept where it loses less than `close` more than the best.

    Examples
    --------
    >>> losses = {"up": np.array([4.5, 4.7]), "down": np.array([4.61, 4.61])}
    >>> least_loss(losses, usual=None, close=0.02)
    'up'
    >>> least_loss(losses, usual="down", close=0.02)
    'down'
    """
    means = {label: float(loss.mean()) for label, loss in losses.items()}
    best = min(means, key=lambda label: means[label])
    if usual in means and means[usual] - means[best] < close:
        return usual
    return best


def difference_between(strikes: Sequence[StrikePlan]) -> Difference | None:
    """Return the loss of the first of some strikes minus that of the second."""
    if len(strikes) < 2:
        return None
    first, second = strikes[:2]
    return Difference(first=first.label, second=second.label, loss=first.over(second))


def decide(
    hole: Hole, tee: Tee, strikes: tuple[StrikePlan, ...], draws: int, usual: StrikeName | None, goal: Goal
) -> TeePlan:
    """Choose among the strikes of a tee, which stand with the best first."""
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
    """The driver's strike of a golfer who hits it one way all day.

    `over` is its loss on a round minus that of the next best strike, `rival`; both are None where the golfer
    has only one.
    """

    strike: StrikeName
    rival: StrikeName | None
    over: Estimate | None


def day_strike(plans: Sequence[TeePlan], player: Player) -> DayStrike:
    """Return the driver's strike to hit all day, by the rule of every choice; par 3s do not count.

    On a hole where another club beats the driver, that club is still hit.
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
    kept = replace(plan, choice=decided.choice, rival=decided.rival, kept=True, doubt=None)
    if kept.choice is not plan.choice:
        return replace(kept, flips=(), by_table=None)
    labels = {strike.label for strike in strikes}
    return replace(kept, flips=tuple(flip for flip in plan.flips if flip.strike in labels))


def allowed(plan: TeePlan, strike: str) -> tuple[StrikePlan, ...]:
    """Return the strikes left to a golfer who hits the driver one way, the best first."""
    return tuple(s for s in plan.strikes if s.club != "driver" or s.strike == strike) or plan.strikes


def as_played(plans: Sequence[TeePlan], player: Player) -> tuple[list[TeePlan], DayStrike | None]:
    """Return the plans of a round as the golfer plays it, and the strike for the day if they keep to one."""
    if player.can_choose:
        return list(plans), None
    day = day_strike(plans, player)
    return [kept_to(plan, day.strike) for plan in plans], day


@dataclass(frozen=True, kw_only=True)
class Total:
    """The strokes of a round by one policy, and how many more they are than the plan's."""

    strokes: float
    over_plan: Estimate


def round_totals(plans: Sequence[TeePlan]) -> dict[str, Total]:
    """Return the round's strokes by each policy; on a par 3 every policy hits the best club."""
    names = [name for name in ("up", "level", "down") if any(_driver(plan, name) for plan in plans)]
    policies: dict[str, list[StrikePlan | None]] = {
        f"always {name}": [
            allowed(plan, name)[0] if plan.hole.par == 3 else _driver(plan, name) for plan in plans
        ]
        for name in names
    }
    policies["best by hole"] = [plan.strikes[0] for plan in plans]
    policies["this plan"] = [plan.choice for plan in plans]
    planned = _added(plan.choice for plan in plans)
    totals = {}
    for policy, strikes in policies.items():
        played = [strike for strike in strikes if strike is not None]
        if len(played) == len(plans):
            strokes = _added(played)
            totals[policy] = Total(strokes=float(strokes.mean()), over_plan=estimate(strokes - planned))
    return totals


def _driver(plan: TeePlan, strike: str) -> StrikePlan | None:
    return next((s for s in plan.strikes if s.club == "driver" and s.strike == strike), None)


def _added(strikes: Iterable[StrikePlan]) -> Floats:
    return np.asarray(np.sum([strike.strokes_by_draw for strike in strikes], axis=0))
