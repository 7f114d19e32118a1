"""Players as every command reads them: their file, and the club speed where it states a carry instead."""

from pathlib import Path
from typing import Any, Final, TypeAlias

from scipy.optimize import brentq

from holesim.errors import InputError, printable
from holesim.player.make_player import make_player
from holesim.player.player import Player, Strike
from holesim.player.player_file import PlayerFile, read_player
from holesim.shot.air import make_air
from holesim.shot.deliveries import nominal
from holesim.shot.flight import fly
from holesim.shot.impact import head, impact
from holesim.units import YARD

_Place: TypeAlias = tuple[()] | tuple[str, str]

_SPEEDS: Final = 30.0, 160.0  # mph


def load_player(path: str | Path) -> Player:
    """Read a player file.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a key or value that makes no sense.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> load_player(find(PLAYER)).name
    'Corin Vale'
    """
    model, sha256 = load_player_file(path)
    return make_player(model, printable(Path(path).name), sha256)


def load_player_file(path: str | Path) -> tuple[PlayerFile, str]:
    """Read a player file as it is written, but for carries, which become club speeds; and its SHA-256.

    Raises
    ------
    InputError
        As `load_player` does.
    """
    model, sha256 = read_player(path)
    return with_speeds(model, printable(Path(path).name)), sha256


def with_speeds(model: PlayerFile, file: str) -> PlayerFile:
    """Return a player file in which a club speed stands for each carry.

    Raises
    ------
    InputError
        If a club has both or the driver neither, or no club speed carries so far.

    Notes
    -----
    The carry is that of the club's mean delivery in calm air at 75 °F and sea level. The driver's own is the
    mean of all its strikes, or that of the usual one where the file says which that is.
    """
    if model.club_speed_mph is None and model.carry_yd is None:
        raise InputError(file, "club_speed_mph", "is missing", "add it, or the driver's carry_yd")
    model = _solved(model, (), file)
    for name in ("up", "level", "down"):
        if getattr(model.strikes, name) is not None:
            model = _solved(model, ("strikes", name), file)
    for club in model.clubs:
        model = _solved(model, ("clubs", club), file)
    return model


def _solved(model: PlayerFile, place: _Place, file: str) -> PlayerFile:
    """Return a player file with a club speed for the carry that the table at a place states, if it does."""
    table = _table(model, place)
    if table.carry_yd is None:
        return model
    key = ".".join([*place, "carry_yd"])
    if table.club_speed_mph is not None:
        raise InputError(file, key, "stands beside club_speed_mph", "take out the one or the other")

    def beyond(mph: float) -> float:
        return _carry(_with_speed(model, place, mph), place) - float(table.carry_yd)

    if not beyond(_SPEEDS[0]) < 0 < beyond(_SPEEDS[1]):
        raise InputError(
            file, key, f"no club speed carries {table.carry_yd:g} yd", "correct it, or give club_speed_mph"
        )
    return _with_speed(model, place, round(float(brentq(beyond, *_SPEEDS, xtol=0.01)), 1))


def _table(model: PlayerFile, place: _Place) -> Any:  # noqa: ANN401 - one of three kinds of table
    match place:
        case ("strikes", name):
            return getattr(model.strikes, name)
        case ("clubs", club):
            return model.clubs[club]
    return model


def _with_speed(model: PlayerFile, place: _Place, mph: float) -> PlayerFile:
    """Return a player file in which the table at a place has a club speed and no carry."""
    table = _table(model, place).model_copy(update={"club_speed_mph": mph, "carry_yd": None})
    match place:
        case ("strikes", name):
            return model.model_copy(update={"strikes": model.strikes.model_copy(update={name: table})})
        case ("clubs", club):
            return model.model_copy(update={"clubs": {**model.clubs, club: table}})
    return table  # type: ignore[no-any-return]


def _carry(model: PlayerFile, place: _Place) -> float:
    """Return how far the club at a place carries [yd], by the mean delivery in calm air."""
    player = make_player(model, "", "")
    if place:
        strikes = [s for s in player.strikes if s.place == ".".join(place)]
    else:
        strikes = [s for s in player.drivers if player.usual in (None, s.name)]
    return sum(_flown(strike, player) for strike in strikes) / len(strikes)


def _flown(strike: Strike, player: Player) -> float:
    launches = impact(nominal(strike), head(strike.kind, strike.club_speed), side=player.side)
    landings, _ = fly(launches, make_air())
    return float(landings.x[0] / YARD)
