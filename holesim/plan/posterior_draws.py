"""Posterior draws of a golfer: who they may really be, given what their file says and leaves out."""

from dataclasses import dataclass, replace
from functools import cached_property
from math import exp
from typing import Any, Final
from zlib import crc32

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from holesim.player import population
from holesim.player.player import (
    ATTACK_BOUNDS_DEG,
    LOFT_BY_ATTACK,
    POSTERIOR_DRAWS,
    SPREAD_SE,
    DragSlope,
    Player,
    Spread,
    Strike,
    path_shift,
)
from holesim.player.player_file import SPREAD_LIMITS, SPREAD_UNITS, STRIKE_LIMITS, STRIKE_UNITS
from holesim.shot.balls import SLOPES, slopes_at
from holesim.shot.flight import QUINTAVALLA
from holesim.units import DEGREE

Floats = NDArray[np.float64]

_LEAST: Final = 0.1  # of its stated value, which a standard deviation is never drawn below
_MEANS: Final = {field: key for key, (field, _) in STRIKE_UNITS.items()}
_LIMITS: Final = {
    field: (low * unit, high * unit)
    for (field, unit), (low, high) in zip(STRIKE_UNITS.values(), STRIKE_LIMITS.values(), strict=True)
}
_SPREADS: Final = {field: key for key, (field, _) in SPREAD_UNITS.items()}
_DRIVER: Final = {
    "club_speed": (0.0, population.STRIKE_SPEED_SD),
    "attack": (0.0, 0.0),  # by what the strike is called
    "dynamic_loft": (population.LOFT_SD, population.STRIKE_LOFT_SD),
    "toe": (population.TOE_SD, population.STRIKE_TOE_SD),
    "high": (population.HIGH_SD, population.STRIKE_HIGH_SD),
}
"""Standard deviations of the part common to a golfer's driver strikes, and of each strike's own part."""
_SIZES: Final = tuple(field for field in SPREAD_SE if field not in ("face_path_correlation", "miss_rate"))


@dataclass(frozen=True)
class PosteriorDraws:
    """Golfers who may be the true one, in order of the drag slopes of their balls."""

    golfers: tuple[Player, ...]
    drag_slopes: Floats


def posterior_draws(player: Player, seed: int) -> PosteriorDraws:
    """Draw `POSTERIOR_DRAWS` golfers, and their balls, from what a player's file leaves open.

    Parameters
    ----------
    seed
        What is drawn for a number depends on the seed and its name alone. So another club, or a change of
        another number, leaves all other draws as they were.

    Notes
    -----
    A number with a standard error is drawn from a normal distribution, by the draws of the player file where
    it has some (`Player.likely`). A number left to its default is drawn from the population (`population`).
    Where errors are not stated for one strike alone, each strike's are a little wider or narrower than the
    golfer's. Each number is drawn evenly over its distribution (a Latin hypercube: McKay, Beckman and
    Conover, Technometrics 21, 1979). Impossible values, such as a negative standard deviation, are clipped.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> drawn = posterior_draws(load_player(find(PLAYER)), seed=1)
    >>> len(drawn.golfers)
    32
    >>> [round(golfer.driver("up").spread.face / DEGREE, 2) for golfer in drawn.golfers[:3]]
    [1.39, 1.56, 1.54]
    """
    draw = _Draw(player, seed)
    slopes = draw.drag_slopes
    order = np.argsort(slopes, kind="stable")
    return PosteriorDraws(tuple(draw.golfer(k) for k in order.tolist()), slopes[order])


@dataclass(frozen=True)
class _Draw:
    """The draws of every number of a player."""

    player: Player
    seed: int

    def _chances(self, name: str) -> Floats:
        """Return `POSTERIOR_DRAWS` chances, spread evenly from 0 to 1, in an order that the name decides."""
        rng = np.random.default_rng((self.seed, crc32(name.encode())))
        return np.asarray((rng.permutation(POSTERIOR_DRAWS) + rng.random(POSTERIOR_DRAWS)) / POSTERIOR_DRAWS)

    @cached_property
    def _cube(self) -> dict[str, Floats]:
        return {}

    def off(self, name: str, k: int) -> float:
        """Return by how many standard deviations a number is off in draw `k`."""
        if name in self.player.likely:
            return float(self.player.likely[name][k])
        if name not in self._cube:
            self._cube[name] = ndtri(self._chances(name))
        return float(self._cube[name][k])

    @cached_property
    def drag_slopes(self) -> Floats:
        """The drag slope of each draw's ball, one of `SLOPES`."""
        stated = self.player.drag_slope
        if stated is None:
            return slopes_at(self._chances("ball"))
        if stated.se == 0:
            return np.full(POSTERIOR_DRAWS, stated.value)
        slopes = stated.value + stated.se * np.array(
            [self.off("ball.drag_slope", k) for k in range(POSTERIOR_DRAWS)]
        )
        return np.asarray(SLOPES[np.abs(SLOPES - slopes[:, None]).argmin(axis=1)])

    def golfer(self, k: int) -> Player:
        """Return the player as they are in draw `k`."""
        return replace(self.player, strikes=tuple(self._strike(strike, k) for strike in self.player.strikes))

    def _strike(self, strike: Strike, k: int) -> Strike:
        moved: dict[str, Any] = {
            field: getattr(strike, field) + se * self.off(f"{strike.place}.{_MEANS[field]}", k)
            for field, se in strike.se.items()
        }
        driver = strike.club == "driver"
        for field, (common, own) in _DRIVER.items():
            # A golfer knows how far their other clubs go, so the means of those stay as the file has them.
            if not driver or field not in strike.assumed:
                continue
            off = common * self.off(f"population.{field}", k) + own * self.off(f"{strike.place}.{field}", k)
            scale = strike.club_speed if field == "club_speed" else 1.0
            moved[field] = getattr(strike, field) + scale * off
        if driver and "attack" in strike.assumed:
            moved["attack"] = self._attack(strike, k)
        moved = {field: _within(value, *_LIMITS[field]) for field, value in moved.items()}
        attack = moved.get("attack", strike.attack)
        if driver and "dynamic_loft" in strike.assumed:
            moved["dynamic_loft"] += LOFT_BY_ATTACK * (attack - strike.attack)
        shift = path_shift(attack, self.player.side)
        # Where no swing line is stated, the golfer lines up so that the path stays as it is.
        line = strike.path - shift if "swing_line" in strike.assumed else strike.swing_line
        line = moved.pop("swing_line", line)
        spread = self._spread(strike, k)
        return replace(strike, **moved, swing_line=line, path=line + shift, spread=spread)

    def _attack(self, strike: Strike, k: int) -> float:
        low, high = ATTACK_BOUNDS_DEG[strike.name]
        chance = float(self._chances(f"{strike.place}.attack")[k])
        return population.attack_at(chance, low * DEGREE, high * DEGREE)

    def _spread(self, strike: Strike, k: int) -> Spread:
        """Return a strike's spread in draw `k`."""
        spread = strike.spread
        ratio = exp(population.STRIKE_SPREAD_LOG_SD * self.off(f"{strike.place}.spread", k))
        drawn: dict[str, Any] = {}
        for field in SPREAD_SE:
            value, place = float(getattr(spread, field)), f"spread.{_SPREADS[field]}"
            if field in spread.se:
                own = f"{strike.place}.{place}"
                place = own if own in self.player.likely or field in spread.own else place
                value += spread.se[field] * self.off(place, k)
            elif field in spread.assumed:
                value = self._population(field, value, k)
            if field in _SIZES and field not in spread.own:
                value *= ratio
            drawn[field] = _within(value, *_possible(field, spread))
        return replace(spread, **drawn)

    def _population(self, field: str, default: float, k: int) -> float:
        """Return a number of the spread in draw `k` that the file leaves to its default."""
        off = self.off(f"population.spread.{field}", k)
        if field == "face_path_correlation":
            link = default / np.sqrt(1 - default**2) + population.LINK_SD / np.sqrt(1 - default**2) * off
            return float(link / np.hypot(link, 1))
        if field == "miss_rate":
            sd = np.sqrt(default * (1 - default) / (population.MISS_WEIGHT + 1))
            return float(default + sd * off)
        return default * exp(population.SPREAD_LOG_SD * off)


def _within(value: float, low: float, high: float) -> float:
    return float(min(max(value, low), high))


def _possible(field: str, spread: Spread) -> tuple[float, float]:
    """Return the least and the greatest possible value of a number of a spread."""
    low, high = (limit * SPREAD_UNITS[_SPREADS[field]][1] for limit in SPREAD_LIMITS[_SPREADS[field]])
    return (low, high) if low < 0 else (_LEAST * float(getattr(spread, field)), high)


def known_for_sure(player: Player) -> Player:
    """Return the player with no uncertainty, nor any of the ball: every number is as the file has it."""

    def sure(strike: Strike) -> Strike:
        own = frozenset(SPREAD_SE)
        spread = replace(strike.spread, se={}, assumed=frozenset(), own=own)
        return replace(strike, se={}, assumed=frozenset(), spread=spread)

    ball = DragSlope(QUINTAVALLA.drag_1, 0.0)
    strikes = tuple(sure(strike) for strike in player.strikes)
    return replace(player, strikes=strikes, likely={}, drag_slope=ball)


def errors_off(draws: Floats) -> Floats:
    """Return by how many standard errors `POSTERIOR_DRAWS` of many draws of a number are off its mean.

    Parameters
    ----------
    draws
        Shape (draws,).
    """
    some = draws[np.linspace(0, len(draws) - 1, POSTERIOR_DRAWS).round().astype(np.int64)]
    if not np.ptp(draws):
        return np.zeros(POSTERIOR_DRAWS)
    return np.asarray((some - draws.mean()) / draws.std())
