"""Likely players: who a golfer may really be, given how surely each number of theirs is known."""

from dataclasses import replace
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from holesim.player import LIKELY, SPREAD_UNITS, STRIKE_UNITS, Player, Spread, Strike, path_shift

Floats = NDArray[np.float64]

_LEAST: Final = 0.1  # of what is stated, of a deviation
_MEANS: Final = {field: key for key, (field, _) in STRIKE_UNITS.items()}
_SPREADS: Final = {field: key for key, (field, _) in SPREAD_UNITS.items()}


def likely_players(player: Player, rng: np.random.Generator) -> tuple[Player, ...]:
    """Return `LIKELY` players drawn from what standard errors leave open; none where no error is stated.

    Notes
    -----
    How far off each number is goes by the player file, where it says so for such players (`Player.likely`);
    where it does not, evenly over a normal distribution and by itself (a Latin hypercube: McKay, Beckman and
    Conover, Technometrics 21, 1979). What cannot be, a deviation below nought, say, is kept just within what
    can.
    """
    numbers = dict.fromkeys(number for strike in player.strikes for number in _unsure(strike, player))
    if not numbers:
        return ()
    cube = ndtri(qmc.LatinHypercube(len(numbers), rng=rng).random(LIKELY))
    off = {number: player.likely.get(number.place, cube[:, k]) for k, number in enumerate(numbers)}
    return tuple(
        replace(player, strikes=tuple(_drawn(strike, player, k, off) for strike in player.strikes))
        for k in range(LIKELY)
    )


class _Number(NamedTuple):
    """A number that is not known for sure: where the file has it, its value and its standard error."""

    place: str
    value: float
    se: float


_Off = dict[_Number, Any]  # how many standard errors each of the likely players is off


def _unsure(strike: Strike, player: Player) -> list[_Number]:
    means = [_mean(strike, field) for field in _MEANS if field in strike.se]
    return means + [_deviation(strike, field, player) for field in _SPREADS if field in strike.spread.se]


def _mean(strike: Strike, field: str) -> _Number:
    return _Number(f"{strike.place}.{_MEANS[field]}", getattr(strike, field), strike.se[field])


def _deviation(strike: Strike, field: str, player: Player) -> _Number:
    """Return a number of the strike's own spread, or of the one that is all strikes'."""
    place, spread = f"spread.{_SPREADS[field]}", strike.spread
    own = f"{strike.place}.{place}"
    return _Number(own if own in player.likely else place, getattr(spread, field), spread.se[field])


def _drawn(strike: Strike, player: Player, k: int, off: _Off) -> Strike:
    """Return a strike as it is if the player is the `k`th of the likely ones."""

    def at(number: _Number) -> float:
        return number.value + number.se * float(off[number][k])

    moved: dict[str, Any] = {field: at(_mean(strike, field)) for field in _MEANS if field in strike.se}
    spread: dict[str, Any] = {
        field: float(np.clip(at(_deviation(strike, field, player)), *_possible(field, strike.spread)))
        for field in strike.spread.se
    }
    strike = replace(strike, **moved, spread=replace(strike.spread, **spread))
    return replace(strike, path=strike.swing_line + path_shift(strike.attack, player.side))


def _possible(field: str, spread: Spread) -> tuple[float, float]:
    """Return between what a number of a spread must be."""
    if field == "face_path_correlation":
        return -0.98, 0.98
    return _LEAST * float(getattr(spread, field)), 0.5 if field == "miss_rate" else np.inf


def errors_off(draws: Floats) -> Floats:
    """Return how many standard errors `LIKELY` draws of a number, evenly from all of them, are off its mean.

    Parameters
    ----------
    draws
        Shape (draws,).
    """
    some = draws[np.linspace(0, len(draws) - 1, LIKELY).round().astype(np.int64)]
    return np.asarray((some - draws.mean()) / draws.std())
