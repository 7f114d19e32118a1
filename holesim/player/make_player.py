"""From a player file to a `Player`: units become SI, gaps are filled with defaults and reported."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import Final, Literal

from holesim.common.toml_tables import Table
from holesim.errors import InputError, rather
from holesim.player import population
from holesim.player.player import (
    ATTACK_BOUNDS_DEG,
    STRIKE_NAMES,
    ClubKind,
    DragSlope,
    Player,
    Spread,
    Strike,
    StrikeName,
    path_shift,
    strike_name,
)
from holesim.player.player_defaults import (
    CHOOSES,
    STRIKE_WORDS,
    USUAL_ATTACK_DEG,
    USUAL_HIGH_MM,
    default_spread,
    habit_words,
    spread_words,
    usual_driver_loft_deg,
    usual_tee_height,
)
from holesim.player.player_file import (
    SPREAD_UNITS,
    STRIKE_UNITS,
    ClubTable,
    PlayerFile,
    SpreadTable,
    StrikesTable,
    StrikeTable,
)
from holesim.player.usual_bag import club_defaults, kind_of, missing_clubs
from holesim.units import DEGREE, MM, MPH

Sex = Literal["man", "woman"]

_ATTACK_SE_DEG: Final = {
    name: population.attack_sd(low * DEGREE, high * DEGREE) / DEGREE
    for name, (low, high) in ATTACK_BOUNDS_DEG.items()
}
_LOFT_SE_DEG: Final = hypot(population.LOFT_SD, population.STRIKE_LOFT_SD) / DEGREE
_HIGH_SE_MM: Final = hypot(population.HIGH_SD, population.STRIKE_HIGH_SD) / MM


def make_player(model: PlayerFile, file: str, sha256: str) -> Player:
    """Return the player that a file describes.

    Parameters
    ----------
    model
        The file as written, except that clubs have speeds instead of carries, the driver among them.
    file
        Its name.

    Raises
    ------
    InputError
        If a key makes no sense beside another.
    """
    assert model.club_speed_mph is not None  # noqa: S101 - see above
    spread = default_spread(model.handicap_index, model.club_speed_mph * MPH)
    golfer = _Golfer(
        file=file,
        side=1.0 if model.hand == "right" else -1.0,
        driver_mph=model.club_speed_mph,
        spread=_with_stated(spread, model.spread),
    )
    assumed = []
    gaps = {key for key in SPREAD_UNITS if getattr(model.spread, key) is None}
    if words := spread_words(golfer.spread, gaps):
        assumed.append(words)
    tables = _stated_strikes(model) or {"up": StrikeTable(), "down": StrikeTable()}
    if not _stated_strikes(model):
        assumed.append("hits the driver up and down, each in the usual way")
    strikes = []
    for name, strike_table in tables.items():
        strike, said = _driver_strike(golfer, name, strike_table)
        strikes.append(strike)
        assumed += said
    for club, club_table in model.clubs.items():
        strike, said = _club_strike(golfer, club, club_table)
        strikes.append(strike)
        assumed += said
    missing = [*missing_clubs({club: entry.kind or kind_of(club) for club, entry in model.clubs.items()})]
    strikes += [_club_strike(golfer, club, ClubTable())[0] for club in missing]
    if missing:
        assumed.append(f"has the usual {', '.join(missing)} for that club speed")
    if model.usual is not None and model.usual not in tables:
        remedy = f"choose one of {', '.join(tables)}, or add [strikes.{model.usual}]"
        raise InputError(file, "usual", f"{model.usual!r} is not among the strikes", remedy)
    can_choose, said = _habit(model)
    ball = model.ball
    return Player(
        name=model.name,
        hand=model.hand,
        sex=model.sex,
        handicap_index=model.handicap_index,
        club_speed=model.club_speed_mph * MPH,
        usual=model.usual,
        can_choose=can_choose,
        tee=model.tee,
        strikes=tuple(strikes),
        drag_slope=None if ball is None else DragSlope(ball.drag_slope, ball.se.drag_slope),
        measured=0 if model.measured is None else model.measured.drives,
        likely=_checked_draws(model, file),
        assumed=(*assumed, *said),
        file=file,
        sha256=sha256,
    )


def with_strikes(model: PlayerFile, names: Sequence[StrikeName], club_speed: float | None = None) -> Player:
    """Return a player who hits the driver in these ways and no others, as their file says or as is usual.

    Parameters
    ----------
    club_speed
        The driver's [m/s], if it is known better than the file has it.
    """
    tables = {name: getattr(model.strikes, name) or StrikeTable() for name in names}
    speed = model.club_speed_mph if club_speed is None else club_speed / MPH
    usual = model.usual if model.usual in names else None
    changed = {"strikes": StrikesTable(**tables), "usual": usual, "club_speed_mph": speed}
    return make_player(model.model_copy(update=changed), "", "")


def standard_player(
    handicap_index: float, club_speed: float, sex: Sex, strike: StrikeName = "level"
) -> Player:
    """Return a golfer of that handicap and club speed [m/s] who is usual in all else, with one strike.

    Examples
    --------
    >>> from holesim.units import MPH
    >>> [strike.label for strike in standard_player(5, 100 * MPH, "man").drivers]
    ['level']
    """
    model = _usual_file("a standard golfer", handicap_index, club_speed, sex)
    strikes = StrikesTable.model_validate({strike: {}})
    return make_player(model.model_copy(update={"usual": strike, "strikes": strikes}), "", "")


def typical_player(name: str, sex: Sex, handicap_index: float, club_speed: float) -> Player:
    """Return a golfer of whom only handicap and club speed [m/s] are known, usual in all else.

    Examples
    --------
    >>> from holesim.units import MPH
    >>> typical_player("Ana Reith", "woman", 9, 88 * MPH).can_choose
    False
    """
    return make_player(_usual_file(name, handicap_index, club_speed, sex), name, "")


def _usual_file(name: str, handicap_index: float, club_speed: float, sex: Sex) -> PlayerFile:
    return PlayerFile(
        name=name,
        hand="right",
        sex=sex,
        handicap_index=handicap_index,
        club_speed_mph=club_speed / MPH,
    )


def usual_wood(player: Player) -> Strike:
    """Return the 3-wood that is usual for a golfer of that club speed."""
    golfer = _Golfer("", player.side, player.club_speed / MPH, player.drivers[0].spread)
    return _club_strike(golfer, "3-wood", ClubTable())[0]


# --- strikes --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Golfer:
    """What is the same for all strikes of a golfer; `driver_mph` is the driver's club speed [mph]."""

    file: str
    side: float
    driver_mph: float
    spread: Spread


@dataclass(frozen=True)
class _Delivery:
    """How a club is delivered on average and teed, in the units of a player file."""

    club: str
    kind: ClubKind
    name: StrikeName
    speed_mph: float
    attack_deg: float
    loft_deg: float
    high_mm: float
    tee_mm: float


class _Gaps:
    """What a table leaves out: the fields of the record that defaults fill, and words for each default."""

    def __init__(self) -> None:
        self.words, self.fields = list[str](), set[str]()

    def fill(self, value: float | None, default: float, key: str, se: float = 0.0) -> float:
        """Return a value, or its default where there is none."""
        if value is not None:
            return value
        words, unit = STRIKE_WORDS[key]
        self.words.append(f"{words} {default:.3g}{unit}" + (f" ±{se:.2g}{unit}" if se else ""))
        self.fields.add(STRIKE_UNITS[key][0] if key in STRIKE_UNITS else "tee_height")
        return default

    def said(self, strike: str) -> list[str]:
        """Return what is assumed of a strike."""
        return [f"{strike}: {', '.join(self.words)}"] if self.words else []


def _stated_strikes(model: PlayerFile) -> dict[StrikeName, StrikeTable]:
    tables = {name: getattr(model.strikes, name) for name in STRIKE_NAMES}
    return {name: table for name, table in tables.items() if table is not None}


def _driver_strike(golfer: _Golfer, name: StrikeName, table: StrikeTable) -> tuple[Strike, list[str]]:
    """Return a driver strike and what is assumed of it."""
    gaps, speed = _Gaps(), golfer.driver_mph
    attack = gaps.fill(table.attack_deg, USUAL_ATTACK_DEG[name], "attack_deg", _ATTACK_SE_DEG[name])
    if strike_name(attack * DEGREE) != name:
        raise InputError(
            golfer.file, f"strikes.{name}.attack_deg", f"{attack:g}° is not {name}",
            "up is +2° or more, down -1° or less, level between",
        )  # fmt: skip
    usual_loft = usual_driver_loft_deg(attack, speed)
    loft = gaps.fill(table.dynamic_loft_deg, usual_loft, "dynamic_loft_deg", _LOFT_SE_DEG)
    high = gaps.fill(table.high_mm, USUAL_HIGH_MM[name], "high_mm", _HIGH_SE_MM)
    tee = gaps.fill(table.tee_height_mm, usual_tee_height(attack * DEGREE, high * MM) / MM, "tee_height_mm")
    if table.club_speed_mph is None:
        gaps.fields.add("club_speed")
    else:
        speed = table.club_speed_mph
    delivery = _Delivery("driver", "driver", name, speed, attack, loft, high, tee)
    return _strike(golfer, table, delivery, gaps), gaps.said(name)


def _club_strike(golfer: _Golfer, club: str, table: ClubTable) -> tuple[Strike, list[str]]:
    """Return how a club other than the driver is hit off the tee, and what is assumed of it."""
    _check_club_name(golfer.file, club)
    kind = table.kind or kind_of(club)
    said = []
    if kind is None:
        kind = "wood"
        said.append(f"{club}: a {kind}")
    gaps, usual = _Gaps(), club_defaults(kind, club)
    usual_speed = round(usual.speed_ratio * golfer.driver_mph, 1)
    speed = gaps.fill(table.club_speed_mph, usual_speed, "club_speed_mph")
    attack = gaps.fill(table.attack_deg, usual.attack_deg, "attack_deg")
    loft = gaps.fill(table.dynamic_loft_deg, usual.loft_deg, "dynamic_loft_deg")
    high = gaps.fill(table.high_mm, 0.0, "high_mm")
    tee = gaps.fill(table.tee_height_mm, 10.0, "tee_height_mm")
    delivery = _Delivery(club, kind, strike_name(attack * DEGREE), speed, attack, loft, high, tee)
    return _strike(golfer, table, delivery, gaps), said + gaps.said(club)


def _check_club_name(file: str, club: str) -> None:
    place, words = f"clubs.{club}", club.lower()
    if words.strip() == "driver":
        raise InputError(file, place, "is the driver", "describe it under [strikes], not [clubs]")
    if words.strip() in STRIKE_NAMES:
        raise InputError(file, place, "has the name of a strike", "call the club something else")
    if "putter" in words:
        raise InputError(file, place, "is not hit off a tee", "take it out")


def _strike(golfer: _Golfer, table: StrikeTable, delivery: _Delivery, gaps: _Gaps) -> Strike:
    """Return a strike in SI."""
    attack = delivery.attack_deg * DEGREE
    stated = _standard_errors(table.se, STRIKE_UNITS)
    # Without a stated swing line the golfer aligns so that the path runs along the aim.
    shift = path_shift(attack, golfer.side)
    swing_line = -shift if table.swing_line_deg is None else table.swing_line_deg * DEGREE
    assumed = set(gaps.fields)
    if table.toe_mm is None:
        assumed.add("toe")
    if table.swing_line_deg is None:
        assumed.add("swing_line")
    own = {field for key, (field, _) in SPREAD_UNITS.items() if getattr(table.spread, key) is not None}
    spread = _with_stated(golfer.spread, table.spread)
    return Strike(
        club=delivery.club,
        kind=delivery.kind,
        name=delivery.name,
        club_speed=delivery.speed_mph * MPH,
        attack=attack,
        dynamic_loft=delivery.loft_deg * DEGREE,
        face=table.face_deg * DEGREE,
        swing_line=swing_line,
        path=swing_line + shift,
        toe=(table.toe_mm or 0.0) * MM,
        high=delivery.high_mm * MM,
        tee_height=delivery.tee_mm * MM,
        spread=replace(spread, own=spread.own | own),
        se=stated,
        assumed=frozenset(assumed) - stated.keys(),
    )


def _with_stated(spread: Spread, table: SpreadTable) -> Spread:
    """Return a spread in which what a table states replaces what was there."""
    values = {}
    for key, (field, unit) in SPREAD_UNITS.items():
        value = getattr(table, key)
        if value is not None:
            values[field] = value * unit
    stated = _standard_errors(table.se, SPREAD_UNITS)
    return replace(
        spread,
        **values,
        se={field: se for field, se in spread.se.items() if field not in values} | stated,
        assumed=spread.assumed - values.keys() - stated.keys(),
    )


def _standard_errors(table: Table, units: Mapping[str, tuple[str, float]]) -> dict[str, float]:
    """Return standard errors, by field, in SI."""
    stated = {field: (getattr(table, key, None), unit) for key, (field, unit) in units.items()}
    return {field: value * unit for field, (value, unit) in stated.items() if value is not None}


# --- the golfer -----------------------------------------------------------------------------------


def _habit(model: PlayerFile) -> tuple[bool, list[str]]:
    """Return whether a golfer chooses the driver strike by the hole, and what is assumed about that."""
    if model.can_choose is not None:
        return model.can_choose, []
    strikes = len(_stated_strikes(model))
    if strikes == 0:
        can_choose = model.handicap_index <= CHOOSES
        limit = f"{CHOOSES:g} or better" if can_choose else f"more than {CHOOSES:g}"
        return can_choose, [habit_words(can_choose=can_choose, why=f"having a handicap of {limit}")]
    if strikes == 1:
        return False, []
    return True, [habit_words(can_choose=True, why="having more than one strike")]


def _checked_draws(model: PlayerFile, file: str) -> Mapping[str, Sequence[float]]:
    """Return the posterior draws of the file, each of a number whose standard error the file states."""
    strikes = {f"strikes.{name}": table for name, table in _stated_strikes(model).items()}
    clubs = {f"clubs.{club}": table for club, table in model.clubs.items()}
    errors: dict[str, Table] = {"spread": model.spread.se}
    for place, table in (strikes | clubs).items():
        errors |= {place: table.se, f"{place}.spread": table.spread.se}
    if model.ball is not None:
        errors["ball"] = model.ball.se
    known = [f"{place}.{key}" for place, se in errors.items() for key in se.model_dump(exclude_none=True)]
    for place in model.likely:
        if place not in known:
            remedy = rather(place, known, "state one, or take it out")
            raise InputError(file, f"likely.{place}", "has no standard error", remedy)
    return model.likely
