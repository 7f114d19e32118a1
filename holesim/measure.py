"""Measure: from measured drives a player's strikes, told apart, fitted, and written as a player file."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from holesim.errors import InputError
from holesim.fit import DELIVERY, Fit, fit
from holesim.likely import errors_off
from holesim.measured import Measured
from holesim.player import (
    SPREAD_UNITS,
    STRIKE_UNITS,
    Player,
    PlayerFile,
    StrikeName,
    named_by,
    path_shift,
    with_strikes,
)
from holesim.toml import checked, to_toml
from holesim.units import DEGREE, MPH

Floats = NDArray[np.float64]

_APART: Final = 4.0
"""Standard deviations of a group by which two groups' attacks lie apart, at the least: the halves of a single
normal group lie 2.65 apart."""
_LEAST: Final = 2.5 * DEGREE  # that they lie apart, besides
_FEW: Final = 5  # drives that make a strike


@dataclass(frozen=True)
class Found:
    """What measured drives say of a player.

    Attributes
    ----------
    names
        The strikes, the one hit most first.
    strike_of
        Which of them each drive was.
    before
        The player as known without the drives, their strikes in the order of `names`.
    """

    measured: Measured
    names: tuple[StrikeName, ...]
    strike_of: NDArray[np.int64]
    before: Player
    fit: Fit

    @property
    def means(self) -> Mapping[str, Floats]:
        """Draws of each strike's mean delivery, shape (draws, strikes), by the fields of `Strike`."""
        found = {name: self.fit.means[:, :, k] for k, name in enumerate(DELIVERY)}
        shift = np.vectorize(path_shift)(found["attack"], self.before.side)
        return found | {"swing_line": found["path"] - shift}

    @property
    def spreads(self) -> Mapping[str, Floats]:
        """Draws of each strike's standard deviations, shape (draws, strikes), by the fields of `Spread`."""
        sd = self.fit.spread[:, None, :] * self.fit.ratios[:, :, None]
        found = {name: sd[:, :, k] for k, name in enumerate(DELIVERY)}
        return found | {"speed": found["club_speed"] / self.means["club_speed"]}


def described(
    measured: Measured,
    name: str,
    hand: Literal["right", "left"],
    sex: Literal["man", "woman"],
    handicap_index: float,
) -> PlayerFile:
    """Return what is known of a player before any drive of theirs is looked at.

    Raises
    ------
    InputError
        If the drives tell no club speed, or the words and numbers make no player.
    """
    for column, smash in (("club_speed", 1.0), ("ball_speed", 1.45)):
        speeds = measured.values.get(column, np.empty(0)) / smash
        if np.isfinite(speeds).any():
            told = {
                "name": name, "hand": hand, "sex": sex, "handicap_index": handicap_index,
                "club_speed_mph": _rounded(np.nanmedian(speeds) / MPH),
            }  # fmt: skip
            return checked(told, PlayerFile, file="--name, --handicap", kind="player")
    remedy = "give --like, a player file that says how fast the club is"
    raise InputError(measured.file, "", "tells no speed of club or ball", remedy)


def measure(measured: Measured, golfer: PlayerFile, *, seed: int = 1) -> Found:
    """Fit a player to measured drives.

    Parameters
    ----------
    golfer
        The player as far as known without them: what few drives are held against.

    Raises
    ------
    InputError
        If the drives cannot be told apart, or contradict the names of their strikes.
    """
    names, strike_of = tell_apart(measured, golfer.usual)
    speeds = measured.values.get("club_speed", np.empty(0))
    known = speeds[np.isfinite(speeds)]
    before = with_strikes(golfer, names, float(np.median(known)) if len(known) else None)
    strikes = [before.driver(name) for name in names]
    found = fit(measured.values, strike_of, strikes, side=before.side, rng=np.random.default_rng(seed))
    attacks = found.means[:, :, DELIVERY.index("attack")].mean(axis=0)
    told = tuple(named_by(float(attack)) for attack in attacks)
    if len(set(told)) < len(told):
        where = " and ".join(
            f"{name} {attack / DEGREE:+.1f}°" for name, attack in zip(names, attacks, strict=True)
        )
        raise InputError(
            measured.file, "strike", f"attacks of {where} are one strike by name",
            "up is +2° or more, down -1° or less, level between; measure them apart",
        )  # fmt: skip
    return Found(measured, told, strike_of, before, found)


def tell_apart(
    measured: Measured, usual: StrikeName | None
) -> tuple[tuple[StrikeName, ...], NDArray[np.int64]]:
    """Return the strikes, the one hit most first, and which of them each drive was."""
    drives = len(measured.lines)
    if measured.strikes:
        counts = {name: measured.strikes.count(name) for name in dict.fromkeys(measured.strikes)}
        few = [name for name, count in counts.items() if count < _FEW]
        if few:
            problem = f"has {counts[few[0]]} drives of {few[0]}"
            raise InputError(measured.file, "strike", problem, f"hit {_FEW} at the least, or leave them out")
        names = tuple(sorted(counts, key=lambda name: -counts[name]))
        return names, np.array([names.index(name) for name in measured.strikes])
    attacks = measured.values.get("attack", np.full(drives, np.nan))
    known = np.isfinite(attacks)
    if not known.any():
        return (usual or "level",), np.zeros(drives, dtype=np.int64)
    threshold = _between(np.sort(attacks[known]))
    if threshold is None or not known.all():
        return (named_by(float(np.median(attacks[known]))),), np.zeros(drives, dtype=np.int64)
    above = (attacks > threshold).astype(np.int64)
    groups = sorted((0, 1), key=lambda group: -int((above == group).sum()))
    names = tuple(named_by(float(attacks[above == group].mean())) for group in groups)
    if names[0] == names[1]:
        return names[:1], np.zeros(drives, dtype=np.int64)
    return names, np.array([groups.index(group) for group in above])


def _between(attacks: Floats) -> float | None:
    """Return where two groups of sorted attacks part, if they clearly do."""
    best, where = np.inf, None
    for i in range(_FEW, len(attacks) - _FEW + 1):
        low, high = attacks[:i], attacks[i:]
        within = float(np.sqrt((low.var() * len(low) + high.var() * len(high)) / len(attacks)))
        apart = high.mean() - low.mean()
        if within < best and apart > max(_LEAST, _APART * within):
            best, where = within, float(low[-1] + high[0]) / 2
    return where


# --- the file -------------------------------------------------------------------------------------


def player_toml(found: Found, golfer: PlayerFile) -> str:
    """Return the text of a player file that says what was found, and how surely."""
    told: dict[str, Any] = golfer.model_dump(exclude_unset=True, exclude={"spread", "strikes", "clubs"})
    means, spreads = found.means, found.spreads
    told["club_speed_mph"] = _rounded(means["club_speed"][:, 0].mean() / MPH)
    told["usual"] = golfer.usual if golfer.usual in found.names else found.names[0]
    told["measured"] = {"drives": len(found.measured.lines)}
    whole = {"face_path_correlation": found.fit.correlation, "miss_rate": found.fit.miss_rate}
    told["spread"] = _told(_of(spreads, 0) | whole, SPREAD_UNITS) | {"at_mph": told["club_speed_mph"]}
    told["strikes"] = {name: _told(_of(means, s), STRIKE_UNITS) for s, name in enumerate(found.names)}
    for s, name in enumerate(found.names[1:], 1):
        own = _told(_of(spreads, s), SPREAD_UNITS)
        told["strikes"][name]["spread"] = own | {"at_mph": told["strikes"][name]["club_speed_mph"]}
    told |= golfer.model_dump(exclude_unset=True, include={"clubs"})
    told["likely"] = _likely(found, whole)
    head = (
        f"# Made by holesim measure from {len(found.measured.lines)} drives of {found.measured.file}.\n"
        "# se: standard errors of what stands above them; what has none is taken as known.\n"
        "# likely: how they go together, by players who may be the true one: standard errors off.\n\n"
    )
    return head + to_toml(told)


def fitted_player(found: Found, text: str) -> Player:
    """Return the player that the text of a player file describes, with the strikes measured and no others."""
    return with_strikes(checked(tomllib.loads(text), PlayerFile, file="", kind="player"), found.names)


def _of(draws: Mapping[str, Floats], strike: int) -> dict[str, Floats]:
    return {name: values[:, strike] for name, values in draws.items()}


def _told(draws: Mapping[str, Floats], keys: Mapping[str, tuple[str, float]]) -> dict[str, Any]:
    """Return a table of means, by the keys of a player file, with one of standard errors in it."""
    found = {key: draws[name] / unit for key, (name, unit) in keys.items() if name in draws}
    table: dict[str, Any] = {key: _rounded(values.mean()) for key, values in found.items()}
    return table | {"se": {key: _rounded(values.std()) for key, values in found.items()}}


def _likely(found: Found, whole: dict[str, Floats]) -> dict[str, list[float]]:
    """Return how far off each number is, by its place in the file, for players who may be the true one."""
    draws = {f"spread.{key}": values for key, values in _keyed(_of(found.spreads, 0) | whole, SPREAD_UNITS)}
    for s, name in enumerate(found.names):
        place = f"strikes.{name}"
        draws |= {f"{place}.{key}": values for key, values in _keyed(_of(found.means, s), STRIKE_UNITS)}
        if s:
            own = _keyed(_of(found.spreads, s), SPREAD_UNITS)
            draws |= {f"{place}.spread.{key}": values for key, values in own}
    return {place: errors_off(values).round(2).tolist() for place, values in draws.items()}


def _keyed(
    draws: Mapping[str, Floats], keys: Mapping[str, tuple[str, float]]
) -> Iterator[tuple[str, Floats]]:
    return ((key, draws[name]) for key, (name, _) in keys.items() if name in draws)


def _rounded(value: float) -> float:
    return float(f"{float(value):.3g}")
