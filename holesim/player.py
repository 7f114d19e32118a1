"""The golfer: a player file in the trade's units becomes strikes in SI, gaps filled and listed."""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated, ClassVar, Final, Literal

import numpy as np
from pydantic import AfterValidator, Field

from holesim.errors import InputError, printable, rather
from holesim.toml import Table, read_toml
from holesim.units import DEGREE, MM, MPH, RPM

SWING_PLANE: Final = 47.5 * DEGREE
"""Inclination of a driver's swing plane: about 45-50° (from geometry)."""


LIKELY: Final = 16
"""How many players stand for all that may be the true one."""

StrikeName = Literal["up", "level", "down"]
ClubKind = Literal["driver", "wood", "hybrid", "iron"]


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Standard deviations of a swing's errors [rad, m, fraction of speed], and where they hold.

    `at_speed` [m/s] and `at_spin` [rad/s] are the speed and the spin at which they were measured; a
    missing spin is the usual strike's own. A share `miss_rate` of swings is `miss_scale` times as wild. `se`
    are standard errors, by field, of what measured drives found; what has none is taken as known.
    """

    face: float
    path: float
    attack: float
    dynamic_loft: float
    speed: float
    toe: float
    high: float
    face_path_correlation: float
    miss_rate: float
    miss_scale: float
    at_speed: float
    at_spin: float | None
    se: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Strike:
    """One way of hitting one club off the tee: its mean delivery and its spread, SI units and radians.

    Angles to the side are the world's (right positive); `toe` is towards the club's own toe. `se` are
    standard errors, as of `Spread`.
    """

    club: str
    kind: ClubKind
    name: StrikeName
    club_speed: float
    attack: float
    dynamic_loft: float
    face: float
    swing_line: float
    path: float
    toe: float
    high: float
    tee_height: float
    spread: Spread
    se: Mapping[str, float] = field(default_factory=dict)

    @property
    def label(self) -> str:
        """How it is called: up, down or level with the driver, otherwise the club's name."""
        return self.name if self.club == "driver" else self.club

    @property
    def place(self) -> str:
        """Where it stands in a player file."""
        return f"strikes.{self.name}" if self.club == "driver" else f"clubs.{self.club}"


@dataclass(frozen=True, kw_only=True)
class Player:
    """A golfer and every strike they own.

    `measured` is how many drives they are known by, and `likely` how many standard errors each number is off,
    by its place in the file, for `LIKELY` players one of whom may be the true one: so it tells how the errors
    go together.
    """

    name: str
    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: float
    club_speed: float
    usual: StrikeName
    can_choose: bool
    strikes: tuple[Strike, ...]
    measured: int
    likely: Mapping[str, Sequence[float]]
    assumed: tuple[str, ...]
    file: str
    sha256: str

    @property
    def handicap(self) -> str:
        """The handicap index as golfers write it: +2 is better than scratch."""
        return f"+{-self.handicap_index:g}" if self.handicap_index < 0 else f"{self.handicap_index:g}"

    @property
    def side(self) -> float:
        """+1 for a right-hander, whose toe points right of the aim; -1 for a left-hander."""
        return 1.0 if self.hand == "right" else -1.0

    def driver(self, name: StrikeName) -> Strike:
        """Return the driver strike of that name."""
        return next(s for s in self.strikes if s.club == "driver" and s.name == name)


def load_player(path: str | Path) -> Player:
    """Read a player file.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a key or value that makes no sense.
    """
    model, sha256 = read_player(path)
    return _resolve(model, printable(Path(path).name), sha256)


def read_player(path: str | Path) -> tuple["PlayerFile", str]:
    """Read a player file as it is written; return it and its SHA-256.

    Raises
    ------
    InputError
        As `load_player` does.
    """
    return read_toml(path, PlayerFile, "player")


def with_strikes(model: "PlayerFile", names: Sequence[StrikeName], club_speed: float | None = None) -> Player:
    """Return a player who hits the driver in these ways and no others, as known or as is usual.

    Parameters
    ----------
    club_speed
        The driver's [m/s], if it is known better than the file has it.
    """
    tables = {name: getattr(model.strikes, name) or _StrikeTable() for name in names}
    speed = model.club_speed_mph if club_speed is None else club_speed / MPH
    changed = {"strikes": _StrikesTable(**tables), "usual": names[0], "club_speed_mph": speed}
    return _resolve(model.model_copy(update=changed), "", "")


def named_by(attack: float) -> StrikeName:
    """Return what a driver strike of that attack [rad] is called."""
    degrees = attack / DEGREE
    return (
        "up" if degrees >= _BOUNDS_DEG["up"][0] else "down" if degrees <= _BOUNDS_DEG["down"][1] else "level"
    )


def standard_player(
    handicap_index: float, club_speed: float, sex: Literal["man", "woman"], strike: StrikeName = "level"
) -> Player:
    """Return a golfer of that handicap and club speed [m/s] who is ordinary in all else, with one strike."""
    model = PlayerFile(
        name="a standard golfer",
        hand="right",
        sex=sex,
        handicap_index=handicap_index,
        club_speed_mph=club_speed / MPH,
        usual=strike,
        strikes=_StrikesTable.model_validate({strike: {}}),
    )
    return _resolve(model, "", "")


def load_with_clubs(path: str | Path) -> Player:
    """Read a player file; one that lists no clubs for tees besides the driver has the usual ones.

    Raises
    ------
    InputError
        As `load_player` does.
    """
    model, sha256 = read_player(path)
    file = printable(Path(path).name)
    if model.clubs:
        return _resolve(model, file, sha256)
    player = _resolve(model.model_copy(update={"clubs": _usual_clubs()}), file, sha256)
    return replace(player, assumed=(USUAL_CLUBS, *player.assumed))


def stranger(name: str, sex: Literal["man", "woman"], handicap_index: float, club_speed: float) -> Player:
    """Return a golfer of whom only handicap and club speed [m/s] are known, usual in all else."""
    model = PlayerFile(
        name=name,
        hand="right",
        sex=sex,
        handicap_index=handicap_index,
        club_speed_mph=club_speed / MPH,
        clubs=_usual_clubs(),
    )
    return _resolve(model, name, "")


USUAL_CLUBS: Final = "clubs: a 3-wood, a 4-hybrid, 5-iron to wedge"
"""What is assumed of one who lists no clubs, lest they drive at par 3s."""


def _usual_clubs() -> "dict[str, _ClubTable]":
    return {club: _ClubTable() for club in _USUAL_CLUBS}


_USUAL_CLUBS: Final = (
    "3-wood", "4-hybrid", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "wedge",
)  # fmt: skip
"""What a golfer has for tees besides the driver where that is not known: our assumption."""


# --- the file, as written -------------------------------------------------------------------------

_Angle = Annotated[float, Field(gt=-90, lt=90)]
_Deviation = Annotated[float, Field(ge=0, le=45)]
_Offset = Annotated[float, Field(ge=-40, le=40)]
ClubSpeed = Annotated[float, Field(ge=30, le=160)]
HandicapIndex = Annotated[float, Field(ge=-10, le=54)]
Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(printable)]


_Error = Annotated[float, Field(ge=0)]


class _SpreadErrors(Table):
    face_deg: _Error | None = None
    path_deg: _Error | None = None
    attack_deg: _Error | None = None
    dynamic_loft_deg: _Error | None = None
    speed_pct: _Error | None = None
    toe_mm: _Error | None = None
    high_mm: _Error | None = None
    face_path_correlation: _Error | None = None
    miss_rate: _Error | None = None


class _StrikeErrors(Table):
    club_speed_mph: _Error | None = None
    attack_deg: _Error | None = None
    dynamic_loft_deg: _Error | None = None
    face_deg: _Error | None = None
    swing_line_deg: _Error | None = None
    toe_mm: _Error | None = None
    high_mm: _Error | None = None


class _SpreadTable(Table):
    face_deg: _Deviation | None = None
    path_deg: _Deviation | None = None
    attack_deg: _Deviation | None = None
    dynamic_loft_deg: _Deviation | None = None
    speed_pct: Annotated[float, Field(ge=0, le=30)] | None = None
    toe_mm: Annotated[float, Field(ge=0, le=40)] | None = None
    high_mm: Annotated[float, Field(ge=0, le=40)] | None = None
    face_path_correlation: Annotated[float, Field(gt=-1, lt=1)] | None = None
    miss_rate: Annotated[float, Field(ge=0, le=0.5)] | None = None
    miss_scale: Annotated[float, Field(ge=1, le=10)] | None = None
    at_mph: ClubSpeed | None = None
    at_rpm: Annotated[float, Field(ge=300, le=12000)] | None = None
    se: _SpreadErrors = _SpreadErrors()


class _StrikeTable(Table):
    club_speed_mph: ClubSpeed | None = None
    attack_deg: Annotated[float, Field(ge=-15, le=15)] | None = None
    dynamic_loft_deg: Annotated[float, Field(ge=0, le=60)] | None = None
    face_deg: _Angle = 0.0
    swing_line_deg: _Angle | None = None
    toe_mm: _Offset = 0.0
    high_mm: _Offset | None = None
    tee_height_mm: Annotated[float, Field(ge=0, le=101.6)] | None = None
    spread: _SpreadTable = _SpreadTable()
    se: _StrikeErrors = _StrikeErrors()


class _ClubTable(_StrikeTable):
    kind: Literal["wood", "hybrid", "iron"] | None = None


class _MeasuredTable(Table):
    drives: Annotated[int, Field(ge=1)]


class _StrikesTable(Table):
    up: _StrikeTable | None = None
    level: _StrikeTable | None = None
    down: _StrikeTable | None = None


class PlayerFile(Table):
    """A player file as written: what it leaves out is None."""

    SIGNS: ClassVar[dict[str, str]] = {"players": "team", "courses": "jobs"}

    name: Name
    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: HandicapIndex
    club_speed_mph: ClubSpeed
    usual: StrikeName | None = None
    can_choose: bool | None = None
    measured: _MeasuredTable | None = None
    spread: _SpreadTable = _SpreadTable()
    strikes: _StrikesTable = _StrikesTable()
    clubs: dict[
        Annotated[str, Field(min_length=1, max_length=40), AfterValidator(printable)], _ClubTable
    ] = {}
    likely: dict[
        str,
        Annotated[list[Annotated[float, Field(ge=-8, le=8)]], Field(min_length=LIKELY, max_length=LIKELY)],
    ] = {}


# --- defaults, for what the file leaves out -------------------------------------------------------


def default_spread(handicap_index: float, club_speed: float) -> Spread:
    """Return the spread assumed for a golfer of that handicap, at `club_speed` [m/s].

    Face and path are set so that drives finish about as far offline as Broadie (*Every Shot Counts*,
    2014, ch. 6, second-hand and from memory) found by score: a standard deviation of 3-4° on tour, 5°
    for those who shoot 80, 6.5° at 90, 7.5° at 100. The rest is our assumption, with no source.
    """
    h = min(max(handicap_index, -6.0), 40.0)
    return Spread(
        face=(1.72 + 0.064 * h) * DEGREE,
        path=(1.72 + 0.064 * h) * DEGREE,
        attack=(1.0 + 0.03 * h) * DEGREE,
        dynamic_loft=(1.2 + 0.04 * h) * DEGREE,
        speed=0.015 + 0.0008 * h,
        toe=(7.0 + 0.20 * h) * MM,
        high=(5.0 + 0.15 * h) * MM,
        face_path_correlation=0.5,
        miss_rate=0.03 + 0.002 * max(h, 0.0),
        miss_scale=2.5,
        at_speed=club_speed,
        at_spin=None,
    )


_NAMES: Final[tuple[StrikeName, ...]] = ("up", "level", "down")
_ATTACK_DEG: Final = {"up": 3.5, "level": 0.5, "down": -2.5}
_HIGH_MM: Final = {"up": 4.0, "level": 1.0, "down": 0.0}
_BOUNDS_DEG: Final = {"up": (2.0, 15.0), "level": (-1.0, 2.0), "down": (-15.0, -1.0)}

# Share of the driver's club speed, attack [deg] and dynamic loft [deg] of a club of each number: the men's
# tour averages (radar, widely reproduced, from memory); the lofts are those that give the measured launch
# through the impact model, which spins the 5-wood and the short irons up to 15 % too little.
_WEDGE: Final = 10  # as a number of iron
_CLUB_DEFAULTS: Final[dict[str, dict[int, tuple[float, float, float]]]] = {
    "wood": {3: (0.947, -2.9, 11.9), 5: (0.912, -3.3, 12.2)},
    "hybrid": {3: (0.885, -3.5, 13.7)},
    "iron": {
        3: (0.867, -3.1, 14.3),
        4: (0.850, -3.4, 15.2),
        5: (0.832, -3.7, 16.8),
        6: (0.814, -4.1, 19.5),
        7: (0.796, -4.3, 22.6),
        8: (0.770, -4.5, 25.2),
        9: (0.752, -4.7, 28.5),
        _WEDGE: (0.735, -5.0, 34.3),
    },
}
_KINDS: Final[tuple[tuple[str, Literal["wood", "hybrid", "iron"]], ...]] = (
    (r"iron|wedge|\b\d+ ?i\b", "iron"),
    (r"hybrid|\b\d+ ?h\b", "hybrid"),
    (r"wood|\b\d+ ?w\b", "wood"),
)
_USUAL_NUMBER: Final = {"wood": 3, "hybrid": 3, "iron": 5}


def _club_defaults(kind: ClubKind, words: str) -> tuple[float, float, float]:
    """Return what is usual for a club of that kind, by the number in its name if there is one."""
    known = _CLUB_DEFAULTS[kind]
    digit = re.search(r"\d+", words)
    number = int(digit[0][:2]) if digit else _WEDGE if "wedge" in words else _USUAL_NUMBER[kind]
    return known[min(known, key=lambda n: (abs(n - number), n))]


_CROWN_MM: Final = 62.0  # of a driver's crown over its sole: ordinary heads
_BALL_MM: Final = 42.67
_ABOVE_CROWN: Final = ((-2.5, 0.0, 0.25), (0.5, 1.0, 1 / 3), (3.5, 4.0, 0.5))
"""Attack [deg], how high on the face [mm], and the share of the ball above the crown at address that goes
with it: half to hit up, a quarter to hit down (common practice, no source)."""


def usual_tee_height(attack: float, high: float) -> float:
    """Return how high a driver is teed [m] for an attack [rad] and a strike so far above the middle [m].

    The ball stands above the crown as is usual for the attack; wanted higher on the face it is teed higher.
    """
    attacks, heights, shares = zip(*_ABOVE_CROWN, strict=True)
    degrees = attack / DEGREE
    slope = (shares[-1] - shares[0]) / (attacks[-1] - attacks[0])
    share = float(np.interp(degrees, attacks, shares))
    share += slope * (min(degrees - attacks[0], 0) + max(degrees - attacks[-1], 0))
    usual_high = float(np.interp(degrees, attacks, heights))
    found = _CROWN_MM - _BALL_MM * (1 - share) + high / MM - usual_high
    return min(max(found, 0.0), 101.6) * MM  # the longest tee the Equipment Rules allow


LOFT_BY_ATTACK: Final = 0.65
"""How much of a change of attack shows as dynamic loft: about two thirds, our assumption."""
LOFT_BY_SPEED: Final = -0.08 * DEGREE / MPH
"""How much less dynamic loft a faster swing is fitted with [rad s/m]: our assumption."""


def _driver_loft_deg(attack_deg: float, speed_mph: float) -> float:
    """Return a dynamic loft for a driver: the tour's 12.8° at -1.3° and 113 mph, the rest assumed.

    Two thirds of a change of attack shows as dynamic loft, so hitting up lowers the spin loft; a slower
    swing is fitted with more loft, 0.08° for each mph: the men's amateur average of 93 mph, 1.6° down, has
    some 15° by its launch, the women's tour's 94 mph, 3° up, no more.
    """
    return 12.8 + LOFT_BY_ATTACK * (attack_deg + 1.3) + LOFT_BY_SPEED / (DEGREE / MPH) * (speed_mph - 113)


def _resolve(model: PlayerFile, file: str, sha256: str) -> Player:
    assumed: list[str] = []
    side = 1.0 if model.hand == "right" else -1.0
    speed = model.club_speed_mph
    base = _merge(
        default_spread(model.handicap_index, speed * MPH), model.spread, "spread", assumed, report_gaps=True
    )
    tables: dict[StrikeName, _StrikeTable] = {
        name: table for name in _NAMES if (table := getattr(model.strikes, name)) is not None
    }
    if not tables:
        tables = {"up": _StrikeTable(), "down": _StrikeTable()}
        assumed.append("strikes: an up and a down strike with default deliveries")
    strikes = []
    for name, table in tables.items():
        place = f"strikes.{name}"
        attack = _given(table.attack_deg, _ATTACK_DEG[name], f"{place}.attack_deg", assumed)
        low, high = _BOUNDS_DEG[name]
        if not low <= attack <= high or (name == "level" and attack in (low, high)):
            raise InputError(
                file, f"{place}.attack_deg", f"{attack:g}° is not {name}",
                "up is +2° or more, down -1° or less, level between",
            )  # fmt: skip
        loft = _given(
            table.dynamic_loft_deg, _driver_loft_deg(attack, speed), f"{place}.dynamic_loft_deg", assumed
        )
        rise = _given(table.high_mm, _HIGH_MM[name], f"{place}.high_mm", assumed)
        usual_tee = usual_tee_height(attack * DEGREE, rise * MM) / MM
        tee = _given(table.tee_height_mm, usual_tee, f"{place}.tee_height_mm", assumed)
        spread = _merge(base, table.spread, f"{place}.spread", assumed)
        own_speed = table.club_speed_mph or speed
        strikes.append(
            _strike(
                "driver", "driver", name, speed_mph=own_speed, attack_deg=attack, loft_deg=loft,
                high_mm=rise, tee_mm=tee, table=table, spread=spread, side=side,
            )
        )  # fmt: skip
    for club, entry in model.clubs.items():
        strikes.append(_club_strike(club, entry, speed, base, side=side, file=file, assumed=assumed))
    usual = model.usual
    if usual is None:
        usual = "up" if "up" in tables else next(iter(tables))
        assumed.append(f"usual: {usual}")
    if usual not in tables:
        remedy = f"choose one of {', '.join(tables)}, or add [strikes.{usual}]"
        raise InputError(file, "usual", f"{usual!r} is not among the strikes", remedy)
    can_choose = model.can_choose
    if can_choose is None:
        can_choose = model.handicap_index <= 5
        assumed.append(f"can_choose: {str(can_choose).lower()} (a handicap of 5 or better can)")
    return Player(
        name=model.name,
        hand=model.hand,
        sex=model.sex,
        handicap_index=model.handicap_index,
        club_speed=speed * MPH,
        usual=usual,
        can_choose=can_choose,
        strikes=tuple(strikes),
        measured=0 if model.measured is None else model.measured.drives,
        likely=_likely(model, file),
        assumed=tuple(assumed),
        file=file,
        sha256=sha256,
    )


def _club_strike(
    club: str,
    entry: _ClubTable,
    driver_mph: float,
    base: Spread,
    *,
    side: float,
    file: str,
    assumed: list[str],
) -> Strike:
    place = f"clubs.{club}"
    words = club.lower()
    if words.strip() == "driver":
        raise InputError(file, place, "is the driver", "describe it under [strikes], not [clubs]")
    if words.strip() in _ATTACK_DEG:
        raise InputError(file, place, "has the name of a strike", "call the club something else")
    if "putter" in words:
        raise InputError(file, place, "is not hit off a tee", "take it out")
    kind = entry.kind or next((kind for words_of, kind in _KINDS if re.search(words_of, words)), None)
    if kind is None:
        kind = "wood"
        assumed.append(f"{place}.kind: {kind}")
    ratio, usual_attack, usual_loft = _club_defaults(kind, words)
    speed = _given(entry.club_speed_mph, round(ratio * driver_mph, 1), f"{place}.club_speed_mph", assumed)
    attack = _given(entry.attack_deg, usual_attack, f"{place}.attack_deg", assumed)
    loft = _given(entry.dynamic_loft_deg, usual_loft, f"{place}.dynamic_loft_deg", assumed)
    name: StrikeName = "up" if attack >= 2 else "down" if attack <= -1 else "level"
    spread = _merge(base, entry.spread, f"{place}.spread", assumed)
    rise = _given(entry.high_mm, 0.0, f"{place}.high_mm", assumed)
    tee = _given(entry.tee_height_mm, 10.0, f"{place}.tee_height_mm", assumed)
    return _strike(
        club, kind, name, speed_mph=speed, attack_deg=attack, loft_deg=loft,
        high_mm=rise, tee_mm=tee, table=entry, spread=spread, side=side,
    )  # fmt: skip


def _strike(
    club: str,
    kind: ClubKind,
    name: StrikeName,
    *,
    speed_mph: float,
    attack_deg: float,
    loft_deg: float,
    high_mm: float,
    tee_mm: float,
    table: _StrikeTable,
    spread: Spread,
    side: float,
) -> Strike:
    attack = attack_deg * DEGREE
    shift = path_shift(attack, side)
    # Without a stated swing line the golfer aligns so that the path runs along the aim.
    swing_line = -shift if table.swing_line_deg is None else table.swing_line_deg * DEGREE
    return Strike(
        club=club,
        kind=kind,
        name=name,
        club_speed=speed_mph * MPH,
        attack=attack,
        dynamic_loft=loft_deg * DEGREE,
        face=table.face_deg * DEGREE,
        swing_line=swing_line,
        path=swing_line + shift,
        toe=table.toe_mm * MM,
        high=high_mm * MM,
        tee_height=tee_mm * MM,
        spread=spread,
        se=_errors(table.se, STRIKE_UNITS),
    )


def _likely(model: PlayerFile, file: str) -> Mapping[str, Sequence[float]]:
    """Return how far off the likely players are, each number's, which must have a standard error."""
    tables = {f"strikes.{name}": getattr(model.strikes, name) for name in _NAMES}
    tables |= {f"clubs.{club}": table for club, table in model.clubs.items()}
    stated: dict[str, Table] = {"spread": model.spread.se}
    for place, table in tables.items():
        if table is not None:
            stated |= {place: table.se, f"{place}.spread": table.spread.se}
    known = [f"{place}.{key}" for place, se in stated.items() for key in se.model_dump(exclude_none=True)]
    for place in model.likely:
        if place not in known:
            remedy = rather(place, known, "state one, or take it out")
            raise InputError(file, f"likely.{place}", "has no standard error", remedy)
    return model.likely


def usual_driver(player: Player, name: StrikeName) -> Strike:
    """Return a driver strike that is usual for a golfer who hits the others as they do."""
    own = player.driver(player.usual)
    attack = _ATTACK_DEG[name] * DEGREE
    return replace(
        own,
        name=name,
        attack=attack,
        dynamic_loft=own.dynamic_loft + LOFT_BY_ATTACK * (attack - own.attack),
        swing_line=own.path - path_shift(attack, player.side),
        high=_HIGH_MM[name] * MM,
        tee_height=usual_tee_height(attack, _HIGH_MM[name] * MM),
    )


def usual_wood(player: Player) -> Strike:
    """Return the 3-wood that is usual for a golfer of that club speed."""
    spread, mph = player.driver(player.usual).spread, player.club_speed / MPH
    return _club_strike("3-wood", _ClubTable(), mph, spread, side=player.side, file="", assumed=[])


def path_shift(attack: float, side: float) -> float:
    """Return how far an attack angle turns the path from the swing line [rad], right positive.

    On an inclined plane hitting up swings the path left for a right-hander (`side` +1): the club meets
    the ball after its low point, on its way round (from geometry).
    """
    return -side * math.atan(math.tan(attack) / math.tan(SWING_PLANE))


def _given(value: float | None, default: float, place: str, assumed: list[str]) -> float:
    if value is None:
        assumed.append(f"{place}: {default:.3g}")
        return default
    return value


STRIKE_UNITS: Final = {
    "club_speed_mph": ("club_speed", MPH),
    "attack_deg": ("attack", DEGREE),
    "dynamic_loft_deg": ("dynamic_loft", DEGREE),
    "face_deg": ("face", DEGREE),
    "swing_line_deg": ("swing_line", DEGREE),
    "toe_mm": ("toe", MM),
    "high_mm": ("high", MM),
}
"""Field of a `Strike`, and the unit, of each key of its table."""

SPREAD_UNITS: Final = {
    "face_deg": ("face", DEGREE),
    "path_deg": ("path", DEGREE),
    "attack_deg": ("attack", DEGREE),
    "dynamic_loft_deg": ("dynamic_loft", DEGREE),
    "speed_pct": ("speed", 0.01),
    "toe_mm": ("toe", MM),
    "high_mm": ("high", MM),
    "face_path_correlation": ("face_path_correlation", 1.0),
    "miss_rate": ("miss_rate", 1.0),
    "miss_scale": ("miss_scale", 1.0),
    "at_mph": ("at_speed", MPH),
    "at_rpm": ("at_spin", RPM),
}
"""Field of a `Spread`, and the unit, of each key of its table."""


def _merge(
    base: Spread, table: _SpreadTable, place: str, assumed: list[str], *, report_gaps: bool = False
) -> Spread:
    values = {name: getattr(base, name) for name, _ in SPREAD_UNITS.values()}
    se = dict(base.se)
    for key, (name, unit) in SPREAD_UNITS.items():
        value = getattr(table, key)
        if value is not None:
            values[name] = value * unit
            se.pop(name, None)
        elif report_gaps and values[name] is not None:
            assumed.append(f"{place}.{key}: {values[name] / unit:.3g}")
    return Spread(**values, se=se | _errors(table.se, SPREAD_UNITS))


def _errors(table: Table, units: Mapping[str, tuple[str, float]]) -> dict[str, float]:
    """Return standard errors, by field, in SI."""
    stated = {name: (getattr(table, key, None), unit) for key, (name, unit) in units.items()}
    return {name: value * unit for name, (value, unit) in stated.items() if value is not None}
