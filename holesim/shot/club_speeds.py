"""Reading a player file; where it gives a carry instead of a club speed, the speed is found by flying."""

from pathlib import Path
from typing import Any, Final, TypeAlias

from scipy.optimize import brentq

from holesim.common.toml_tables import parse_toml
from holesim.errors import InputError, printable
from holesim.player.make_player import make_player
from holesim.player.player import Player, Strike
from holesim.player.player_file import PlayerFile, read_player
from holesim.shot.air import make_air
from holesim.shot.deliveries import mean_delivery
from holesim.shot.flight import fly
from holesim.shot.impact import choose_head, impact
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


def parse_player(file: str, raw: bytes) -> Player:
    """Return the player that the content of a player file describes; see `load_player`."""
    model, sha256 = parse_toml(file, raw, PlayerFile, "player")
    return make_player(with_speeds(model, file), file, sha256)


def load_player_file(path: str | Path) -> tuple[PlayerFile, str]:
    """Return the content of a player file, with a club speed in place of each carry, and its SHA-256.

    Raises
    ------
    InputError
        As `load_player` does.
    """
    model, sha256 = read_player(path)
    return with_speeds(model, printable(Path(path).name)), sha256


def with_speeds(model: PlayerFile, file: str) -> PlayerFile:
    """Return a player file's content with each carry replaced by the club speed that gives it.

    Raises
    ------
    InputError
        If a club has both or the driver has neither, or if no club speed gives the carry.

    Notes
    -----
    The carry is that of the club's mean delivery in calm air at 75 °F and sea level. The driver's carry is
    that of the usual strike; where the file does not say which is usual, it is the mean over all strikes.
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
    """Return the content with the carry of one table, if it has one, replaced by a club speed."""
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
    """Return the content with a club speed and no carry in one table."""
    given = _table(model, place)
    # Not a copy with a carry of None, which would be written to a file.
    kept = {key: getattr(given, key) for key in given.model_fields_set - {"carry_yd"}}
    table = type(given).model_construct(**{**kept, "club_speed_mph": mph})
    match place:
        case ("strikes", name):
            return model.model_copy(update={"strikes": model.strikes.model_copy(update={name: table})})
        case ("clubs", club):
            return model.model_copy(update={"clubs": {**model.clubs, club: table}})
    return table  # type: ignore[no-any-return]


def _carry(model: PlayerFile, place: _Place) -> float:
    """Return the carry [yd] of the club of one table: its mean delivery in calm air."""
    player = make_player(model, "", "")
    if place:
        strikes = [s for s in player.strikes if s.place == ".".join(place)]
    else:
        strikes = [s for s in player.drivers if player.usual in (None, s.name)]
    return sum(mean_carry(strike, player) for strike in strikes) / len(strikes)


def mean_carry(strike: Strike, player: Player) -> float:
    """Return the carry of a strike's mean delivery in calm air at 75 °F and sea level [yd]."""
    launches = impact(mean_delivery(strike), choose_head(strike.kind, strike.club_speed), side=player.side)
    landings, _ = fly(launches, make_air())
    return float(landings.x[0] / YARD)
