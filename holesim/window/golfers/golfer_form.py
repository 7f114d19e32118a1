"""The form of a golfer: what their file says, what is usual where it says nothing, and faults by field."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import pi, sqrt
from typing import Any, Final, Literal

import numpy as np

from holesim.common.toml_tables import checked
from holesim.errors import Faults, InputError
from holesim.measure.fit import MEAN_FACE_SD
from holesim.plan.posterior_draws import posterior_draws
from holesim.player.make_player import make_player
from holesim.player.player import STRIKE_NAMES, Player, Strike
from holesim.player.player_defaults import CHOOSES
from holesim.player.player_file import (
    SPREAD_UNITS,
    STRIKE_UNITS,
    PlayerFile,
    StrikesTable,
    StrikeTable,
)
from holesim.shot.club_speeds import mean_carry, with_speeds
from holesim.units import DEGREE, MM, MPH
from holesim.window.golfers.window_words import in_window

Content = dict[str, Any]
Miss = Literal["both", "left", "right", "other"]

MISS_DEG: Final = round(MEAN_FACE_SD * sqrt(2 / pi) / DEGREE, 1)
MISS_SE_DEG: Final = round(MEAN_FACE_SD * sqrt(1 - 2 / pi) / DEGREE, 1)
"""Mean face of a golfer of whom only the side of the usual miss is known, and its standard error: of the half
of `MEAN_FACE_SD` on that side. Our assumption, as that is."""

_SIDED: Final = (
    f"The face is taken to point {MISS_DEG:g}° ±{MISS_SE_DEG:g}° {{}} of the aim on average, as golfers "
    "differ whose miss is on that side (our assumption). They allow for what that does on average, so a plan "
    "changes little."
)
_MISS_WORDS: Final[Mapping[Miss, str]] = {
    "both": "Drives miss as often left as right. A short miss is a bad miss: say under Spread how often.",
    "left": _SIDED.format("left"),
    "right": _SIDED.format("right"),
    "other": "The face of each strike says it more closely: see Strikes.",
}
_MISSING_SPEED: Final = "say how far a drive carries, or how fast the club is"
_BOUNDS: Final = (
    ("input should be greater than or equal to", "should be at least"),
    ("input should be less than or equal to", "should be at most"),
    ("input should be greater than", "should be more than"),
    ("input should be less than", "should be less than"),
    ("string should have at least 1 character", "is empty"),
    (", without quotes", ""),
)


def look_at_golfer(name: str, content: Content) -> dict[str, Any]:
    """Return what a form shows of a golfer.

    Parameters
    ----------
    name
        Of the file.
    content
        What it holds, or will.

    Returns
    -------
    dict
        ``faults`` by place and ``miss``, the usual miss, in words, too; where there are no faults, ``usual``:
        for each place what holds there now, stated or usual, and how unsure that is; ``assumed`` in words;
        ``about`` the golfer in a line.
    """
    faults = Faults()
    player, model = None, None
    with faults.gather():
        # The name is the first thing to be typed, and changes nothing.
        stated = checked(
            {**content, "name": content.get("name") or name}, PlayerFile, file=name, kind="player"
        )
        model = with_speeds(stated, name)
        player = make_player(model, name, "")
    try:
        faults.tell()
    except InputError as error:
        return {"faults": [_fault(one) for one in error.faults]}
    miss = find_miss(content)
    assert model is not None  # noqa: S101 - for the type checker: else there are faults
    assert player is not None  # noqa: S101
    return {
        "faults": [],
        "usual": _usual(model, player),
        "assumed": [in_window(line) for line in player.assumed],
        "about": f"{player.club_speed / MPH:.0f} mph, handicap {player.handicap}",
        "miss": miss,
        "miss_words": _MISS_WORDS[miss],
    }


def _fault(error: InputError) -> dict[str, str]:
    """Return a fault as it stands beside its field."""
    says = f"{error.problem}; {error.remedy}"
    if error.place == "club_speed_mph" and error.problem == "is missing":
        says = _MISSING_SPEED
    for words, ours in _BOUNDS:
        says = says.replace(words, ours)
    return {"place": error.place, "says": in_window(says)}


def _usual(model: PlayerFile, player: Player) -> dict[str, list[float]]:
    """Return for each place of a file what holds there, and its standard error over the posterior draws."""
    every = {name: getattr(model.strikes, name) or StrikeTable() for name in STRIKE_NAMES}
    changes = {"strikes": StrikesTable(**every), "usual": None}
    whole = make_player(model.model_copy(update=changes), "", "")
    bare = {"strikes": StrikesTable(), "clubs": {}, "usual": None, "likely": {}}
    common = make_player(model.model_copy(update=bare), "", "")
    found = dict(_of_strikes(whole))
    found["carry_yd"] = [round(_usual_carry(player), 0), 0.0]
    found["club_speed_mph"] = [round(player.club_speed / MPH, 1), 0.0]
    one = replace(common, strikes=common.drivers[:1])
    golfers = [golfer.drivers[0].spread for golfer in posterior_draws(one, 1).golfers]
    for key, (field, unit) in SPREAD_UNITS.items():
        value = getattr(common.drivers[0].spread, field)
        if value is not None and not key.startswith("at_"):
            found[f"spread.{key}"] = _numbers(value / unit, [getattr(g, field) / unit for g in golfers])
    return found


def _usual_carry(player: Player) -> float:
    strikes = [strike for strike in player.drivers if player.usual in (None, strike.name)]
    return sum(mean_carry(strike, player) for strike in strikes) / len(strikes)


def _of_strikes(player: Player) -> Iterable[tuple[str, list[float]]]:
    """Yield the place of each number of a strike, and the number with its standard error."""
    # Of other clubs only what the file states is unsure, and it says how much.
    golfers = posterior_draws(replace(player, strikes=player.drivers), 1).golfers
    for k, strike in enumerate((*player.drivers, *(s for s in player.strikes if s.club != "driver"))):
        drawn = [golfer.strikes[k] if strike.club == "driver" else strike for golfer in golfers]
        for key, (field, unit) in STRIKE_UNITS.items():
            yield f"{strike.place}.{key}", _of_field(strike, drawn, field, unit)
        yield f"{strike.place}.tee_height_mm", _of_field(strike, drawn, "tee_height", MM)
        yield f"{strike.place}.carry_yd", [round(mean_carry(strike, player), 0), 0.0]


def _of_field(strike: Strike, drawn: list[Strike], field: str, unit: float) -> list[float]:
    return _numbers(getattr(strike, field) / unit, [getattr(one, field) / unit for one in drawn])


def _numbers(value: float, drawn: list[float]) -> list[float]:
    return [float(f"{value:.3g}"), float(f"{np.std(drawn):.2g}")]


# --- the usual miss -------------------------------------------------------------------------------


def find_miss(content: Mapping[str, Any]) -> Miss:
    """Return which usual miss a golfer's file stands for; "other" where its faces say it more closely.

    Examples
    --------
    >>> find_miss({"strikes": {"up": {"face_deg": 1.2, "se": {"face_deg": 0.9}}}})
    'right'
    """
    tables = content.get("strikes", {})
    faces = {
        (table.get("face_deg", 0.0), table.get("se", {}).get("face_deg", 0.0)) for table in tables.values()
    }
    if not faces or faces == {(0.0, 0.0)}:
        return "both"
    return {
        frozenset({(MISS_DEG, MISS_SE_DEG)}): "right",
        frozenset({(-MISS_DEG, MISS_SE_DEG)}): "left",
    }.get(frozenset(faces), "other")  # type: ignore[return-value]


def with_miss(content: Content, miss: Literal["both", "left", "right"]) -> Content:
    """Return a golfer's content with a usual miss: the mean face of each driver strike, and how unsure."""
    strikes = content.get("strikes") or {}
    if miss == "both" and not strikes:
        return content
    found = dict(content)
    if not strikes:
        strikes = {"up": {}, "down": {}}
        # Who names no strike chooses by handicap, who names two is taken to choose.
        found.setdefault("can_choose", found.get("handicap_index", 54.0) <= CHOOSES)
    found["strikes"] = {name: _with_face(table, miss) for name, table in strikes.items()}
    return found


def _with_face(table: Content, miss: str) -> Content:
    kept = {key: value for key, value in table.items() if key not in ("face_deg", "se")}
    se = {key: value for key, value in table.get("se", {}).items() if key != "face_deg"}
    if miss != "both":
        kept["face_deg"] = MISS_DEG if miss == "right" else -MISS_DEG
        se["face_deg"] = MISS_SE_DEG
    return kept | ({"se": se} if se else {})
