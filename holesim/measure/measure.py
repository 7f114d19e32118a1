"""Measure: from measured drives a player's strikes, told apart, fitted, and written as a player file."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from holesim.common.toml_tables import checked, to_toml
from holesim.errors import InputError
from holesim.measure.drives_table import Measured
from holesim.measure.fit import DELIVERY, NOISE, Fit, fit
from holesim.plan.posterior_draws import errors_off
from holesim.player.make_player import with_strikes
from holesim.player.player import Player, StrikeName, path_shift, strike_name
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS, PlayerFile
from holesim.units import DEGREE, MPH

Floats = NDArray[np.float64]

_APART: Final = 4.0
"""Standard deviations of a group by which two groups' attacks lie apart, at the least: the halves of a single
normal group lie 2.65 apart."""
_LEAST: Final = 2.5 * DEGREE  # that they lie apart, besides
_FEW: Final = 5  # drives that make a strike
_ORDER: Final[tuple[StrikeName, ...]] = get_args(StrikeName)
_BALL_UNITS: Final = {"drag_slope": ("drag_slope", 1.0)}


@dataclass(frozen=True)
class Found:
    """What measured drives say of a player.

    Attributes
    ----------
    names
        The strikes, in the order up, level, down, as those of `fit`.
    strike_of
        Which of them each drive was, drives in the order of the file, as in `fit.missed`.
    usual
        The strike that the player hits unless told otherwise, if it is known and was hit.
    before
        The player as known without the drives.
    """

    measured: Measured
    names: tuple[StrikeName, ...]
    strike_of: NDArray[np.int64]
    usual: StrikeName | None
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
        return _by_field(sd, self.means["club_speed"])

    @property
    def common(self) -> Mapping[str, Floats]:
        """Draws of what is common to the strikes' spreads, shape (draws,), by the fields of `Spread`."""
        found = _by_field(self.fit.spread, self.means["club_speed"].mean(axis=1))
        return found | {"face_path_correlation": self.fit.correlation, "miss_rate": self.fit.miss_rate}


def _by_field(sd: Floats, club_speed: Floats) -> dict[str, Floats]:
    found = {name: sd[..., k] for k, name in enumerate(DELIVERY)}
    return found | {"speed": found["club_speed"] / club_speed}


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


def measure(
    measured: Measured, golfer: PlayerFile, *, usual: StrikeName | None = None, seed: int = 1
) -> Found:
    """Fit a player to measured drives; the order of the drives makes no difference.

    Parameters
    ----------
    golfer
        The player as far as known without them: what few drives are held against.
    usual
        The strike that the player hits unless told otherwise; if not given, the file's, if that was hit.

    Raises
    ------
    InputError
        If the drives cannot be told apart, are one strike by two names, or do not have the usual one.
    """
    names, strike_of = tell_apart(measured, usual or golfer.usual)
    speeds = measured.values.get("club_speed", np.empty(0))
    known = speeds[np.isfinite(speeds)]
    before = with_strikes(golfer, names, float(np.median(known)) if len(known) else None)
    order = _order(measured.values, strike_of)
    found = fit(
        {name: column[order] for name, column in measured.values.items()},
        strike_of[order],
        [before.driver(name) for name in names],
        side=before.side,
        rng=np.random.default_rng(seed),
    )
    # The ball may tell of another attack than the name.
    attacks = found.means[:, :, DELIVERY.index("attack")].mean(axis=0)
    names, place = _named(measured.file, names, [strike_name(attack) for attack in attacks.tolist()], attacks)
    if usual is not None and usual not in names:
        raise InputError(measured.file, "--usual", f"{usual} was not hit", f"give {' or '.join(names)}")
    back = np.argsort(place)
    found = replace(
        found,
        means=found.means[:, back],
        ratios=found.ratios[:, back],
        missed=found.missed[np.argsort(order)],
    )
    usual = usual or (golfer.usual if golfer.usual in names else None)
    return Found(measured, names, place[strike_of], usual, before, found)


def tell_apart(
    measured: Measured, usual: StrikeName | None
) -> tuple[tuple[StrikeName, ...], NDArray[np.int64]]:
    """Return the strikes, in the order up, level, down, and which of them each drive was.

    Where attack was measured it names them, and the table's own names only say which drives belong together.
    """
    drives = len(measured.lines)
    attacks = measured.values.get("attack", np.full(drives, np.nan))
    called: list[StrikeName]
    if measured.strikes:
        called = [name for name in _ORDER if name in measured.strikes]
        group_of = np.array([called.index(name) for name in measured.strikes])
        counts = np.bincount(group_of)
        few = int(counts.argmin())
        if counts[few] < _FEW:
            problem = f"has {counts[few]} drives of {called[few]}"
            raise InputError(measured.file, "strike", problem, f"hit {_FEW} at the least, or leave them out")
    else:
        known = np.isfinite(attacks)
        threshold = _between(np.sort(attacks[known])) if known.all() else None
        group_of = np.zeros(drives, dtype=np.int64)
        called = [usual or "level"]
        if threshold is not None:
            group_of = (attacks > threshold).astype(np.int64)
            called *= 2
    typical = np.array([_median(attacks[group_of == group]) for group in range(len(called))])
    if not np.isfinite(typical).all():
        return tuple(called), group_of
    told = [strike_name(attack) for attack in typical.tolist()]
    if not measured.strikes and len(set(told)) == 1:
        return (told[0],), np.zeros(drives, dtype=np.int64)
    names, place = _named(measured.file, called, told, typical)
    return names, place[group_of]


def _median(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) else np.nan


def _named(
    file: str, called: Sequence[StrikeName], told: Sequence[StrikeName], attacks: Floats
) -> tuple[tuple[StrikeName, ...], NDArray[np.int64]]:
    """Return what strikes are told to be, in the order up, level, down, and where in it each stands.

    Raises
    ------
    InputError
        If two are told to be the same.
    """
    if len(set(told)) < len(told):
        where = " and ".join(
            f"{name} {attack / DEGREE:+.1f}°" for name, attack in zip(called, attacks, strict=True)
        )
        raise InputError(
            file, "strike", f"attacks of {where} are one strike by name",
            "up is +2° or more, down -1° or less, level between; measure them apart",
        )  # fmt: skip
    names = tuple(name for name in _ORDER if name in told)
    return names, np.array([names.index(name) for name in told])


def _order(values: Mapping[str, Floats], strike_of: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return an order of drives that only they decide, not their order in the file."""
    columns = [np.nan_to_num(values[name], nan=np.inf) for name in NOISE if name in values]
    return np.lexsort([*reversed(columns), strike_of])


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
    renewed = {"usual", "measured", "spread", "strikes", "clubs", "likely"}
    slope = found.fit.drag_slope
    if slope is not None:
        renewed.add("ball")
    told: dict[str, Any] = golfer.model_dump(exclude_unset=True, exclude=renewed)
    means, spreads = found.means, found.spreads
    told["club_speed_mph"] = _rounded(means["club_speed"].mean() / MPH)
    if found.usual is not None:
        told["usual"] = found.usual
    told["measured"] = {"drives": len(found.measured.lines)}
    if slope is not None:
        told["ball"] = _told({"drag_slope": slope}, _BALL_UNITS)
    told["spread"] = _told(found.common, SPREAD_UNITS) | {"at_mph": told["club_speed_mph"]}
    told["strikes"] = {name: _told(_of(means, s), STRIKE_UNITS) for s, name in enumerate(found.names)}
    for s, table in enumerate(told["strikes"].values()):
        table["spread"] = _told(_of(spreads, s), SPREAD_UNITS) | {"at_mph": table["club_speed_mph"]}
    told |= golfer.model_dump(exclude_unset=True, include={"clubs"})
    told["likely"] = _likely(found)
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


def _likely(found: Found) -> dict[str, list[float]]:
    """Return how far off each number is, by its place in the file, for players who may be the true one."""
    draws = {f"spread.{key}": values for key, values in _keyed(found.common, SPREAD_UNITS)}
    for s, name in enumerate(found.names):
        place = f"strikes.{name}"
        draws |= {f"{place}.{key}": values for key, values in _keyed(_of(found.means, s), STRIKE_UNITS)}
        own = _keyed(_of(found.spreads, s), SPREAD_UNITS)
        draws |= {f"{place}.spread.{key}": values for key, values in own}
    if found.fit.drag_slope is not None:
        draws["ball.drag_slope"] = found.fit.drag_slope
    return {place: errors_off(values).round(2).tolist() for place, values in draws.items()}


def _keyed(
    draws: Mapping[str, Floats], keys: Mapping[str, tuple[str, float]]
) -> Iterator[tuple[str, Floats]]:
    return ((key, draws[name]) for key, (name, _) in keys.items() if name in draws)


def _rounded(value: float) -> float:
    return float(f"{float(value):.4g}")
