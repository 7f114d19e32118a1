"""How far a golfer's clubs go without errors, and what follows from that for the bag."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot
from typing import Final

from holesim.course.course import Course, Firmness, Ground
from holesim.course.ground_map import plain
from holesim.plan.conditions import Conditions
from holesim.player.make_player import usual_wood
from holesim.player.player import Player, Strike
from holesim.scoring.shot_dispersion import ClubDispersion
from holesim.shot.bounce import run
from holesim.shot.deliveries import mean_delivery
from holesim.shot.flight import QUINTAVALLA, fly
from holesim.shot.impact import Launches, choose_head, impact_each
from holesim.units import YARD

FITS: Final = 6 * YARD
"""A club whose total is within this of the length of a par 3 is always tried."""
SOFT: Final = ", soft"
"""Ends the name of a club that is hit softly, gripped down, for a par 3 between two clubs."""
PACES, BY_CARRY = 3, 0.6
"""Steps towards a wanted distance, and the power of its ratio by which each step changes the speed."""


@dataclass(frozen=True)
class Reach:
    """How far a strike carries, and its total on a fairway [m], without errors or wind."""

    carry: float
    total: float


def nominal_launch(*strikes: Strike, side: float) -> Launches:
    """Return the launch of each strike without errors; `side` is the player's."""
    heads = [choose_head(strike.kind, strike.club_speed) for strike in strikes]
    return impact_each(mean_delivery(*strikes), heads, side=side)


def find_reach(strike: Strike, side: float, conditions: Conditions, firmness: Firmness) -> Reach:
    """Return how far a strike goes in still air."""
    still = replace(conditions.air, wind_speed=0.0)
    landings, _ = fly(nominal_launch(strike, side=side), still, aerodynamics=conditions.ball or QUINTAVALLA)
    finishes = run(landings, plain(Ground.FAIRWAY, firmness=firmness))
    return Reach(float(landings.x[0]), hypot(finishes.x[0], finishes.y[0]))


def add_soft_clubs(player: Player, course: Course, reach: Callable[[Strike], Reach]) -> Player:
    """Return a player who hits a club softly for each par 3 whose length lies between two clubs.

    Parameters
    ----------
    reach
        Finds how far a strike goes.
    """
    totals = sorted((reach(s).total, k) for k, s in enumerate(player.strikes) if s.club != "driver")
    soft: dict[str, Strike] = {}
    for length in (tee.length for hole in course.holes if hole.par == 3 for tee in hole.tees):
        fits = any(abs(there - length) < FITS for there, _ in totals)
        for (short, _), (long, k) in pairwise(totals):
            if not fits and short < length < long:
                less = _softened(player.strikes[k], (short + long) / 2, reach)
                soft[less.club] = less
    return replace(player, strikes=(*player.strikes, *soft.values()))


def _softened(club: Strike, wanted: float, reach: Callable[[Strike], Reach]) -> Strike:
    """Return a club gripped down on, so that its total is `wanted` [m]."""
    less = replace(club, club=f"{club.club}{SOFT}")
    for _ in range(PACES):
        less = replace(less, club_speed=less.club_speed * (wanted / reach(less).total) ** BY_CARRY)
    return less


def fit_longest(
    shots: ClubDispersion, player: Player, reaches: Sequence[Reach], reach: Callable[[Strike], Reach]
) -> ClubDispersion:
    """Scale the longest shots by the golfer's longest wood or hybrid, if any is listed, over the usual wood.

    Both totals are from a tee, so that the model's errors in them cancel.

    Parameters
    ----------
    reaches
        Of the player's strikes.
    reach
        Finds how far another strike goes.
    """
    strikes = zip(player.strikes, reaches, strict=True)
    own = max((own.total for strike, own in strikes if strike.kind in ("wood", "hybrid")), default=None)
    if own is None:
        return shots
    return replace(shots, longest=shots.longest * own / reach(usual_wood(player)).total)
