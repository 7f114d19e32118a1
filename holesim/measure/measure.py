"""Measure: a player fitted to measured drives, strike by strike, and written as a player file."""

import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from holesim.common.toml_tables import checked, to_toml
from holesim.errors import InputError
from holesim.measure.column_names import WORDS
from holesim.measure.drives_table import DrivesTable
from holesim.measure.fit import DELIVERY, NOISE, FitDraws, fit_deliveries
from holesim.measure.strikes_apart import StrikesApart, order_names, separate_strikes
from holesim.plan.posterior_draws import errors_off
from holesim.player.make_player import with_strikes
from holesim.player.player import Player, StrikeName, path_shift, strike_name
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS, PlayerFile
from holesim.units import MPH

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_SIZES: Final = ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high")
_BALL_UNITS: Final = {"drag_slope": ("drag_slope", 1.0)}


@dataclass(frozen=True)
class MeasuredPlayer:
    """A player as fitted to measured drives.

    Attributes
    ----------
    drives
        The drives that were used.
    apart
        How the strikes were told apart, of all drives.
    unassigned
        The drives left out, as nobody can say which strike they were.
    names
        The strikes, in the order up, level, down, as in `fit`.
    strike_of
        The place in `names` of each drive's strike; drives in the order of the file, as in `fit.missed`.
    usual
        The strike that the player hits unless told otherwise; None if it is not known or was not hit.
    before
        The player as known without the drives.
    fit
        Posterior draws of the player.
    """

    drives: DrivesTable
    apart: StrikesApart
    unassigned: DrivesTable
    names: tuple[StrikeName, ...]
    strike_of: Integers
    usual: StrikeName | None
    before: Player
    fit: FitDraws

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
        return _name_fields(sd, self.means["club_speed"])

    @property
    def common(self) -> Mapping[str, Floats]:
        """Draws of the spread that strikes have in common, shape (draws,), by the fields of `Spread`."""
        found = _name_fields(self.fit.spread, self.means["club_speed"].mean(axis=1))
        return found | {"face_path_correlation": self.fit.correlation, "miss_rate": self.fit.miss_rate}


_LEAST_SPREAD: Final = 0.01  # of what is usual for the handicap


def _check_spreads(player: Player) -> None:
    """Make sure that a golfer known before scatters, as drives are compared with their spread."""
    usual = default_spread(player.handicap_index, player.club_speed)
    for strike in player.drivers:
        for key, (field, unit) in SPREAD_UNITS.items():
            value = getattr(strike.spread, field)
            if field in _SIZES and value < _LEAST_SPREAD * getattr(usual, field):
                problem = f"is {value / unit:g}, and nobody's swing scatters so little"
                raise InputError("--like", f"spread.{key}", problem, "correct it there, or take it out")


def _name_fields(sd: Floats, club_speed: Floats) -> dict[str, Floats]:
    found = {name: sd[..., k] for k, name in enumerate(DELIVERY)}
    return found | {"speed": found["club_speed"] / club_speed}


def describe_player(
    drives: DrivesTable,
    name: str,
    hand: Literal["right", "left"],
    sex: Literal["man", "woman"],
    handicap_index: float,
) -> PlayerFile:
    """Return what is known of a player before the drives are looked at, but for their median speed.

    Raises
    ------
    InputError
        If no speed of club or ball was measured, or a value makes no sense.
    """
    for column, smash in (("club_speed", 1.0), ("ball_speed", 1.45)):
        speeds = drives.values.get(column, np.empty(0)) / smash
        if np.isfinite(speeds).any():
            told = {
                "name": name, "hand": hand, "sex": sex, "handicap_index": handicap_index,
                "club_speed_mph": _round_off(np.nanmedian(speeds) / MPH),
            }  # fmt: skip
            return checked(told, PlayerFile, file="--name, --handicap", kind="player")
    remedy = "give --like, a player file that says how fast the club is"
    raise InputError(drives.file, "", "has no speed of club or ball", remedy)


def find_before(drives: DrivesTable, golfer: PlayerFile, names: Sequence[StrikeName]) -> Player:
    """Return a golfer with strikes of those names, as known without the drives but for their median speed.

    Raises
    ------
    InputError
        If the golfer never errs.
    """
    speeds = drives.values.get("club_speed", np.empty(0))
    known = speeds[np.isfinite(speeds)]
    before = with_strikes(golfer, names, float(np.median(known)) if len(known) else None)
    _check_spreads(before)
    return before


def fit_drives(
    drives: DrivesTable,
    strike_of: Integers,
    before: Player,
    names: Sequence[StrikeName],
    *,
    draws: int = 1024,
    seed: int,
    progress: Callable[[float], None] = lambda _: None,
) -> FitDraws:
    """Return posterior draws of a golfer by all drives of a table; their order makes no difference."""
    order = _sort_drives(drives.values, strike_of)
    found = fit_deliveries(
        {name: column[order] for name, column in drives.values.items()},
        strike_of[order],
        [before.driver(name) for name in names],
        side=before.side,
        session_of=np.unique(drives.session_of, return_inverse=True)[1][order],
        draws=draws,
        rng=np.random.default_rng(seed),
        progress=progress,
    )
    return replace(found, missed=found.missed[np.argsort(order)])


def fit_player(
    drives: DrivesTable,
    golfer: PlayerFile,
    *,
    usual: StrikeName | None = None,
    seed: int = 1,
    progress: Callable[[float], None] = lambda _: None,
) -> MeasuredPlayer:
    """Fit a player to measured drives; the order of the drives makes no difference.

    Parameters
    ----------
    drives
        The drives.
    golfer
        The player as known without them, to whom few drives are compared.
    usual
        The strike that the player hits unless told otherwise; by default the player file's, if it was hit.
    seed
        The same seed and drives give the same draws.
    progress
        Hears which share of the work is done.

    Raises
    ------
    InputError
        If a strike has too few drives, two have the same name by their attack, or `usual` was not hit.
    """
    apart = separate_strikes(drives, usual or golfer.usual)
    names, strike_of = apart.names, apart.strike_of
    unassigned = drives.select(np.flatnonzero(strike_of < 0))
    drives, strike_of = drives.select(np.flatnonzero(strike_of >= 0)), strike_of[strike_of >= 0]
    before = find_before(drives, golfer, names)
    found = fit_drives(drives, strike_of, before, names, seed=seed, progress=progress)
    # The flight of the ball may tell of another attack than the strike's name does.
    attacks = found.means[:, :, DELIVERY.index("attack")].mean(axis=0)
    names, place = order_names(
        drives.file, names, [strike_name(attack) for attack in attacks.tolist()], attacks
    )
    if usual is not None and usual not in names:
        raise InputError(drives.file, "--usual", f"{usual} was not hit", f"give {' or '.join(names)}")
    back = np.argsort(place)
    found = replace(
        found,
        means=found.means[:, back],
        ratios=found.ratios[:, back],
    )
    usual = usual or (golfer.usual if golfer.usual in names else None)
    return MeasuredPlayer(drives, apart, unassigned, names, place[strike_of], usual, before, found)


def _sort_drives(values: Mapping[str, Floats], strike_of: Integers) -> Integers:
    """Return an order of drives that does not depend on their order in the file."""
    columns = [np.nan_to_num(values[name], nan=np.inf) for name in NOISE if name in values]
    return np.lexsort([*reversed(columns), strike_of])


# --- the file -------------------------------------------------------------------------------------


def format_player_file(found: MeasuredPlayer, golfer: PlayerFile) -> str:
    """Return the text of a player file: what was fitted, how surely, and what else the golfer's file says."""
    renewed = {"usual", "measured", "spread", "strikes", "clubs", "likely"}
    slope = found.fit.drag_slope
    if slope is not None:
        renewed.add("ball")
    told: dict[str, Any] = golfer.model_dump(exclude_unset=True, exclude=renewed)
    means, spreads = found.means, found.spreads
    told["club_speed_mph"] = _round_off(means["club_speed"].mean() / MPH)
    if found.usual is not None:
        told["usual"] = found.usual
    told["measured"] = {"drives": len(found.drives.lines)}
    days = [session.day.isoformat() for session in found.drives.sessions if session.day is not None]
    if days:
        told["measured"]["sessions"] = days
    if slope is not None:
        told["ball"] = _summarise({"drag_slope": slope}, _BALL_UNITS)
    told["spread"] = _summarise(found.common, SPREAD_UNITS) | {"at_mph": told["club_speed_mph"]}
    told["strikes"] = {
        name: _summarise(_of_strike(means, s), STRIKE_UNITS) for s, name in enumerate(found.names)
    }
    for s, table in enumerate(told["strikes"].values()):
        table["spread"] = _summarise(_of_strike(spreads, s), SPREAD_UNITS) | {
            "at_mph": table["club_speed_mph"]
        }
    told |= golfer.model_dump(exclude_unset=True, include={"clubs"})
    told["likely"] = list_draws(found)
    head = (
        f"# Made by holesim measure from {len(found.drives.lines)} drives of {found.drives.file}.\n"
        "# se: standard errors of the numbers above them; a number without one counts as known.\n"
        "# likely: golfers who may be the true one, by how many standard errors each number is off.\n\n"
    )
    return head + to_toml(told)


def parse_player(found: MeasuredPlayer, text: str) -> Player:
    """Return the player that the text of a player file describes, with the measured strikes and no others.

    Raises
    ------
    InputError
        If the drives are so far from any golfer's that the file would not be read.
    """
    file, remedy = found.drives.file, "look for wrong rows or units, with --show-columns"
    try:
        model = checked(tomllib.loads(text), PlayerFile, file="", kind="player")
    except tomllib.TOMLDecodeError:  # of a number that is none
        raise InputError(file, "", "has drives that no golfer hits", remedy) from None
    except InputError as error:
        value = error.problem.rpartition(", not ")[2]
        problem = f"has drives that no golfer hits: {_words(error.place)} would be {value}"
        raise InputError(file, "", problem, remedy) from None
    return with_strikes(model, found.names)


def _words(place: str) -> str:
    """Return what golfers call the number at a place in a player file, and its strike."""
    *tables, key = place.split(".")
    field = (SPREAD_UNITS if "spread" in tables else STRIKE_UNITS).get(key, (key, 1.0))[0]
    whose = f" of {tables[1]}" if tables[:1] == ["strikes"] else ""
    spread = "the spread of " if "spread" in tables else ""
    what = "club speed" if field == "speed" else WORDS.get(field, field.replace("_", " "))
    return f"{spread}{what}{whose}"


def _of_strike(draws: Mapping[str, Floats], strike: int) -> dict[str, Floats]:
    return {name: values[:, strike] for name, values in draws.items()}


def _summarise(draws: Mapping[str, Floats], keys: Mapping[str, tuple[str, float]]) -> dict[str, Any]:
    """Return means by the keys of a player file, and their standard errors under `se`."""
    found = {key: draws[name] / unit for key, (name, unit) in keys.items() if name in draws}
    table: dict[str, Any] = {key: _round_off(values.mean()) for key, values in found.items()}
    return table | {"se": {key: _round_off(values.std()) for key, values in found.items()}}


def list_draws(found: MeasuredPlayer) -> dict[str, list[float]]:
    """Return posterior draws of each number in the file, by its place there, in standard errors off."""
    draws = {f"spread.{key}": values for key, values in _name_keys(found.common, SPREAD_UNITS)}
    for s, name in enumerate(found.names):
        place = f"strikes.{name}"
        means, spread = _of_strike(found.means, s), _of_strike(found.spreads, s)
        draws |= {f"{place}.{key}": values for key, values in _name_keys(means, STRIKE_UNITS)}
        draws |= {f"{place}.spread.{key}": values for key, values in _name_keys(spread, SPREAD_UNITS)}
    if found.fit.drag_slope is not None:
        draws["ball.drag_slope"] = found.fit.drag_slope
    return {place: errors_off(values).round(2).tolist() for place, values in draws.items()}


def _name_keys(
    draws: Mapping[str, Floats], keys: Mapping[str, tuple[str, float]]
) -> Iterator[tuple[str, Floats]]:
    return ((key, draws[name]) for key, (name, _) in keys.items() if name in draws)


def _round_off(value: float) -> float:
    return float(f"{float(value):.4g}")
