"""Posterior draws of a golfer: who they may really be, given what their file says and what it leaves out."""

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
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS
from holesim.shot.balls import SLOPES, slopes_at
from holesim.shot.flight import QUINTAVALLA
from holesim.units import DEGREE

Floats = NDArray[np.float64]

_LEAST: Final = 0.1  # of what is stated, of a deviation
_MEANS: Final = {field: key for key, (field, _) in STRIKE_UNITS.items()}
_SPREADS: Final = {field: key for key, (field, _) in SPREAD_UNITS.items()}
_DRIVER: Final = {
    "club_speed": (0.0, population.STRIKE_SPEED_SD),
    "attack": (0.0, 0.0),  # by what the strike is called
    "dynamic_loft": (population.LOFT_SD, population.STRIKE_LOFT_SD),
    "toe": (population.TOE_SD, population.STRIKE_TOE_SD),
    "high": (population.HIGH_SD, population.STRIKE_HIGH_SD),
}
"""Standard deviations of what is common to a golfer's driver strikes, and of what is one strike's own."""
_SIZES: Final = tuple(field for field in SPREAD_SE if field not in ("face_path_correlation", "miss_rate"))


@dataclass(frozen=True)
class PosteriorDraws:
    """Golfers one of whom may be the true one, and the drag slope of each one's ball, which does not fall."""

    golfers: tuple[Player, ...]
    drag_slopes: Floats


def posterior_draws(player: Player, seed: int) -> PosteriorDraws:
    """Return `POSTERIOR_DRAWS` golfers, and their balls, drawn from what a player's file leaves open.

    Parameters
    ----------
    seed
        Draws of a seed are alike for every player: what is drawn for a number depends on its name alone, so
        that neither a club more nor a change in another number makes other golfers.

    Notes
    -----
    A number with a standard error is drawn from a normal distribution; how far off it is goes by the player
    file where that says so (`Player.likely`). What the file leaves to a default is drawn from the population
    (`population`); one strike's errors, where they are not stated for it alone, are a little wider or
    narrower than is common to the golfer. Each number is drawn evenly over its distribution
    (a Latin hypercube: McKay, Beckman and Conover, Technometrics 21, 1979). What cannot be, a deviation below
    nought, say, is kept just within what can.
    """
    draw = _Draw(player, seed)
    slopes = draw.drag_slopes
    order = np.argsort(slopes, kind="stable")
    return PosteriorDraws(tuple(draw.golfer(k) for k in order.tolist()), slopes[order])


@dataclass(frozen=True)
class _Draw:
    """Draws of every number of a player's."""

    player: Player
    seed: int

    def _chances(self, name: str) -> Floats:
        """Return `POSTERIOR_DRAWS` chances, evenly from 0 to 1, in an order of the name's own."""
        rng = np.random.default_rng((self.seed, crc32(name.encode())))
        return np.asarray((rng.permutation(POSTERIOR_DRAWS) + rng.random(POSTERIOR_DRAWS)) / POSTERIOR_DRAWS)

    @cached_property
    def _cube(self) -> dict[str, Floats]:
        return {}

    def off(self, name: str, k: int) -> float:
        """Return how many standard deviations a number is off in a draw."""
        if name in self.player.likely:
            return float(self.player.likely[name][k])
        if name not in self._cube:
            self._cube[name] = ndtri(self._chances(name))
        return float(self._cube[name][k])

    @cached_property
    def drag_slopes(self) -> Floats:
        """The drag slope of each draw's ball, one of `SLOPES`."""
        known = self.player.drag_slope
        if known is None:
            return slopes_at(self._chances("ball"))
        if known.se == 0:
            return np.full(POSTERIOR_DRAWS, known.value)
        slopes = known.value + known.se * np.array(
            [self.off("ball.drag_slope", k) for k in range(POSTERIOR_DRAWS)]
        )
        return np.asarray(SLOPES[np.abs(SLOPES - slopes[:, None]).argmin(axis=1)])

    def golfer(self, k: int) -> Player:
        """Return the player as they are in a draw."""
        return replace(self.player, strikes=tuple(self._strike(strike, k) for strike in self.player.strikes))

    def _strike(self, strike: Strike, k: int) -> Strike:
        moved: dict[str, Any] = {
            field: getattr(strike, field) + se * self.off(f"{strike.place}.{_MEANS[field]}", k)
            for field, se in strike.se.items()
        }
        driver = strike.club == "driver"
        for field, (common, own) in _DRIVER.items():
            # How far another club goes a golfer knows, whatever its numbers: of it the mean is as the file
            # has it.
            if not driver or field not in strike.assumed:
                continue
            off = common * self.off(f"population.{field}", k) + own * self.off(f"{strike.place}.{field}", k)
            scale = strike.club_speed if field == "club_speed" else 1.0
            moved[field] = getattr(strike, field) + scale * off
        if driver and "attack" in strike.assumed:
            moved["attack"] = self._attack(strike, k)
        attack = moved.get("attack", strike.attack)
        if driver and "dynamic_loft" in strike.assumed:
            moved["dynamic_loft"] += LOFT_BY_ATTACK * (attack - strike.attack)
        shift = path_shift(attack, self.player.side)
        # One whose swing line is not stated lines up so that the path stays as it is.
        line = strike.path - shift if "swing_line" in strike.assumed else strike.swing_line
        line = moved.pop("swing_line", line)
        spread = self._spread(strike, k)
        return replace(strike, **moved, swing_line=line, path=line + shift, spread=spread)

    def _attack(self, strike: Strike, k: int) -> float:
        low, high = ATTACK_BOUNDS_DEG[strike.name]
        chance = float(self._chances(f"{strike.place}.attack")[k])
        return population.attack_at(chance, low * DEGREE, high * DEGREE)

    def _spread(self, strike: Strike, k: int) -> Spread:
        """Return a strike's spread in a draw."""
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
            drawn[field] = float(np.clip(value, *_possible(field, spread)))
        return replace(spread, **drawn)

    def _population(self, field: str, default: float, k: int) -> float:
        """Return a number of a golfer's spread that their file leaves to its default."""
        off = self.off(f"population.spread.{field}", k)
        if field == "face_path_correlation":
            link = default / np.sqrt(1 - default**2) + population.LINK_SD / np.sqrt(1 - default**2) * off
            return float(link / np.hypot(link, 1))
        if field == "miss_rate":
            sd = np.sqrt(default * (1 - default) / (population.MISS_WEIGHT + 1))
            return float(default + sd * off)
        return default * exp(population.SPREAD_LOG_SD * off)


def _possible(field: str, spread: Spread) -> tuple[float, float]:
    """Return between what a number of a spread must be."""
    if field == "face_path_correlation":
        return -0.98, 0.98
    return _LEAST * float(getattr(spread, field)), 0.5 if field == "miss_rate" else np.inf


def known_for_sure(player: Player) -> Player:
    """Return a player of whom nothing is uncertain, nor of the ball: all is as the file has it."""

    def sure(strike: Strike) -> Strike:
        own = frozenset(SPREAD_SE)
        spread = replace(strike.spread, se={}, assumed=frozenset(), own=own)
        return replace(strike, se={}, assumed=frozenset(), spread=spread)

    ball = DragSlope(QUINTAVALLA.drag_1, 0.0)
    strikes = tuple(sure(strike) for strike in player.strikes)
    return replace(player, strikes=strikes, likely={}, drag_slope=ball)


def errors_off(draws: Floats) -> Floats:
    """Return by how many standard errors draws of a number, taken evenly from all, are off its mean.

    Parameters
    ----------
    draws
        Shape (draws,).
    """
    some = draws[np.linspace(0, len(draws) - 1, POSTERIOR_DRAWS).round().astype(np.int64)]
    return np.asarray((some - draws.mean()) / draws.std())
