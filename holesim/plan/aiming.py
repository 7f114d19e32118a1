"""Where to aim each strike from a tee: every strike is offered every aim that was found for any of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, radians
from typing import Final

import numpy as np
from numpy.typing import NDArray
from shapely import Point

from holesim.plan.aim_search import costs
from holesim.plan.club_reach import FITS, SOFT
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import CLOSE, MEAN
from holesim.plan.tee_on_hole import Aim, AimedStrike, TeeOnHole

Floats = NDArray[np.float64]

# Aims are tried every 1.5° with a quarter of the drives, then every 0.5° about the best with all of them.
_COARSE, FINE_STEP, _BEYOND = radians(1.5), radians(0.5), radians(9.0)
_WINDOW: Final = 5  # fine steps either way
_STEPS: Final = np.linspace(-1, 1, 201)  # of that window, on a cubic
_CUBIC: Final = np.vander(_STEPS, 4) @ np.linalg.pinv(np.vander(np.linspace(-1, 1, 2 * _WINDOW + 1), 4))
"""Turns costs at the aims of a window into those at `_STEPS`, on the cubic nearest to them."""
_HOPELESS: Final = 0.5  # strokes more than the best strike, from which another is dropped
_NO_GOOD: Final = 0.65  # likewise by the first look, with few drives
_SPARE: Final = 3  # clubs that the first look leaves in any case
_BETTER: Final = CLOSE  # strokes that an aim which no golfer would take must save to be mentioned


def score_tee(evaluator: Evaluator, at: TeeOnHole) -> list[AimedStrike]:
    """Return each strike worth trying, aimed where it serves the goal best; the best strike first."""
    return evaluator.score(hopeful_aims(evaluator, at), at)


def hopeful_aims(evaluator: Evaluator, at: TeeOnHole) -> list[Aim]:
    """Return aims of the driver's strikes, and of the other clubs that are worth scoring.

    Those are the two best, and any that costs less than half a stroke more than the best strike, by the
    drives that find aims. On a par 3, any club whose total is about the length of the hole is one, too.
    """
    first = look_around(evaluator, at, candidates(evaluator, at))
    worth = _hopeful(evaluator, at, first.strikes, first.least, _NO_GOOD, _SPARE)
    found = [_cheapest(evaluator, at, first, index) for index in worth]
    kept = set(_hopeful(evaluator, at, worth, np.array([cost for _, cost in found]), _HOPELESS, 2))
    return [_serve_goal(evaluator, at, aim) for aim, _ in found if aim.strike in kept]


def _hopeful(
    evaluator: Evaluator, at: TeeOnHole, strikes: Sequence[int], cost: Floats, more: float, spare: int
) -> list[int]:
    """Return the strikes worth another look, of some that cost so much.

    Those are the driver's, the `spare` best of the other clubs, and any that costs less than `more` above the
    best or, on a par 3, whose total is about the length of the hole.
    """
    driver = np.array([evaluator.player.strikes[k].club == "driver" for k in strikes])
    off = [abs(evaluator.reaches[k].total - at.tee.length) for k in strikes]
    fits = (at.hole.par == 3) & (np.array(off) < FITS)
    kept = driver | fits | (cost <= max([cost.min() + more, *np.sort(cost[~driver])[:spare]]))
    return [k for k, keep in zip(strikes, kept, strict=True) if keep]


def find_aims(evaluator: Evaluator, at: TeeOnHole, strikes: Sequence[int] | None = None) -> list[Aim]:
    """Return each strike with the aim that serves the goal best.

    Parameters
    ----------
    strikes
        Their places among the player's strikes; by default all that may be hit from the tee.
    """
    first = look_around(evaluator, at, candidates(evaluator, at) if strikes is None else strikes)
    return settle_aims(evaluator, at, first, first.strikes)


@dataclass(frozen=True)
class FirstLook:
    """What the first drives of some strikes tell of where to aim.

    Attributes
    ----------
    strikes
        Their places among the player's strikes.
    headings
        Where any of them cost least [rad from north].
    edges
        The aims between which a golfer would choose [rad from north].
    least
        The least cost of each strike between these.
    beyond
        Whether an aim which no golfer would take would cost a strike clearly less.
    """

    strikes: Sequence[int]
    headings: Floats
    edges: tuple[float, float]
    least: Floats
    beyond: NDArray[np.bool_]


def look_around(evaluator: Evaluator, at: TeeOnHole, strikes: Sequence[int]) -> FirstLook:
    """Return what few drives along wide-spaced aims tell of where to aim some strikes."""
    site, pin = at.site, at.tee.bearing(*at.hole.pin)
    span = evaluator.aim_range(at, strikes)
    # Whole steps from the pin, so that a mirrored hole is searched at mirrored aims.
    steps = np.arange(ceil(span.low / _COARSE), floor(span.high / _COARSE) + 1)
    margin = round(_BEYOND / _COARSE)
    headings = pin + _COARSE * np.arange(steps[0] - margin, steps[-1] + margin + 1, dtype=np.float64)
    coarse = np.array([costs(evaluator.coarse(index), headings, site) for index in strikes])
    inside = coarse[:, margin:-margin]
    least = inside.min(axis=1)
    return FirstLook(
        strikes=strikes,
        headings=headings[margin + np.unique(inside.argmin(axis=1))],
        edges=(pin + span.low, pin + span.high),
        least=least,
        beyond=coarse.min(axis=1) < least - _BETTER,  # both may be infinite
    )


def settle_aims(evaluator: Evaluator, at: TeeOnHole, first: FirstLook, strikes: Sequence[int]) -> list[Aim]:
    """Return some of the strikes of a first look, each with the aim that serves the goal best."""
    return [_serve_goal(evaluator, at, _cheapest(evaluator, at, first, index)[0]) for index in strikes]


def candidates(evaluator: Evaluator, at: TeeOnHole) -> list[int]:
    """Return the strikes to compare: on a par 3 the driver only where no other club carries to it."""
    strikes = evaluator.player.strikes
    everything = list(range(len(strikes)))
    if at.hole.par > 3:
        return [i for i in everything if not strikes[i].club.endswith(SOFT)]
    front = at.hole.green.distance(Point(at.tee.x, at.tee.y))
    others = [i for i in everything if strikes[i].club != "driver"]
    return others if any(evaluator.reaches[i].carry >= front for i in others) else everything


def _cheapest(evaluator: Evaluator, at: TeeOnHole, first: FirstLook, index: int) -> tuple[Aim, float]:
    """Return the aim along which a strike costs least, near the best of the first look's, and its cost."""
    drives, headings = evaluator.fine(index), first.headings
    middle = headings[int(np.argmin(costs(drives, headings, at.site)))] if len(headings) > 1 else headings[0]
    near = middle + FINE_STEP * np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
    headings, cost = _smooth(near, costs(drives, near, at.site))
    heading = float(np.clip(headings[int(np.argmin(cost))], *first.edges))
    beyond = bool(first.beyond[first.strikes.index(index)])
    return Aim(index, heading, beyond), float(cost[int(np.argmin(np.abs(headings - heading)))])


def _serve_goal(evaluator: Evaluator, at: TeeOnHole, aim: Aim) -> Aim:
    """Return the aim that serves the goal best, near the one along which the strike costs least."""
    if evaluator.goal is MEAN:
        return aim
    drives, goal = evaluator.half_choosing(aim.strike), evaluator.goal

    def losses(headings: Floats) -> Floats:
        outcomes = (evaluator.play(drives, heading, at) for heading in headings)
        return np.array(
            [np.inf if o is None else goal.loss(at.hole.par, o.cost.cost, o.within).mean() for o in outcomes]
        )

    steps = np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
    far = aim.heading + _COARSE * steps
    near = far[int(np.argmin(losses(far)))] + FINE_STEP * steps
    headings, lost = _smooth(near, losses(near))
    return aim._replace(heading=float(headings[int(np.argmin(lost))]))


def _smooth(headings: Floats, costs: Floats) -> tuple[Floats, Floats]:
    """Return headings close together and costs there on a cubic; the costs as they are where one is infinite.

    A spread of some degrees blurs every edge on the ground, so over a narrower window the true cost is
    smooth. The fit takes out the noise that would shift the lowest of the points.
    """
    if not np.isfinite(costs).all():
        return headings, costs
    middle, half = headings[len(headings) // 2], headings[-1] - headings[len(headings) // 2]
    return middle + half * _STEPS, _CUBIC @ costs
