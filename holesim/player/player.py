"""The golfer: a player file in the trade's units becomes strikes in SI, gaps filled and listed."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import atan, hypot, tan
from pathlib import Path
from typing import Annotated, ClassVar, Final, Literal

import numpy as np
from pydantic import AfterValidator, Field

from holesim.common.toml_tables import Table, read_toml
from holesim.errors import InputError, printable, rather
from holesim.player import population
from holesim.units import DEGREE, MM, MPH, RPM

SWING_PLANE: Final = 47.5 * DEGREE
"""Inclination of a driver's swing plane: about 45-50° (from geometry)."""


POSTERIOR_DRAWS: Final = 32
"""How many posterior draws stand for all golfers who may be the true one."""

StrikeName = Literal["up", "level", "down"]
ClubKind = Literal["driver", "wood", "hybrid", "iron"]


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Standard deviations of a swing's errors [rad, m, fraction of speed], and where they hold.

    `at_speed` [m/s] and `at_spin` [rad/s] are the speed and the spin at which they were measured; a
    missing spin is the mean of the golfer's driver strikes. A share `miss_rate` of swings is `miss_scale`
    times as wild. `se` are standard errors, by field, that the player file states; `assumed` are the fields
    it leaves to the defaults, `own` those stated for this strike alone. What is in none of them is taken as
    known.
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
    assumed: frozenset[str] = frozenset()
    own: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Strike:
    """One way of hitting one club off the tee: its mean delivery and its spread, SI units and radians.

    Angles to the side are the world's (right positive); `toe` is towards the club's own toe. `se` and
    `assumed` are as of `Spread`.
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
    assumed: frozenset[str] = frozenset()

    @property
    def label(self) -> str:
        """How it is called: up, down or level with the driver, otherwise the club's name."""
        return self.name if self.club == "driver" else self.club

    @property
    def place(self) -> str:
        """Where it stands in a player file."""
        return f"strikes.{self.name}" if self.club == "driver" else f"clubs.{self.club}"


@dataclass(frozen=True)
class DragSlope:
    """What measured carries tell of a golfer's ball: its drag's slope on spin, and the standard error."""

    value: float
    se: float


@dataclass(frozen=True, kw_only=True)
class Player:
    """A golfer and every strike they own.

    `usual` is the driver strike that they hit unless told otherwise, none where the file does not say.
    `measured` is how many drives they are known by, and `likely` how many standard errors each number is off,
    by its place in the file, for `POSTERIOR_DRAWS` posterior draws: so it tells how the errors go together.
    `drag_slope` is their ball's, none where nothing was measured of it.
    """

    name: str
    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: float
    club_speed: float
    usual: StrikeName | None
    can_choose: bool
    strikes: tuple[Strike, ...]
    drag_slope: DragSlope | None
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

    @property
    def drivers(self) -> tuple[Strike, ...]:
        """The driver strikes."""
        return tuple(s for s in self.strikes if s.club == "driver")

    def driver(self, name: StrikeName) -> Strike:
        """Return the driver strike of that name."""
        return next(s for s in self.drivers if s.name == name)


def read_player(path: str | Path) -> tuple["PlayerFile", str]:
    """Read a player file as it is written; return it and its SHA-256.

    Raises
    ------
    InputError
        As `load_player` does.
    """
    return read_toml(path, PlayerFile, "player")


def with_strikes(model: "PlayerFile", names: Sequence[StrikeName], club_speed: float | None = None) -> Player:
    """Return a player who hits the driver in these ways and no others, as known or as is ordinary.

    Parameters
    ----------
    club_speed
        The driver's [m/s], if it is known better than the file has it.
    """
    tables = {name: getattr(model.strikes, name) or _StrikeTable() for name in names}
    speed = model.club_speed_mph if club_speed is None else club_speed / MPH
    usual = model.usual if model.usual in names else None
    changed = {"strikes": _StrikesTable(**tables), "usual": usual, "club_speed_mph": speed}
    return _resolve(model.model_copy(update=changed), "", "")


def named_by(attack: float) -> StrikeName:
    """Return what a driver strike of that attack [rad] is called."""
    degrees = attack / DEGREE
    if degrees >= ATTACK_BOUNDS_DEG["up"][0]:
        return "up"
    return "down" if degrees <= ATTACK_BOUNDS_DEG["down"][1] else "level"


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


def player_of(model: "PlayerFile", file: str, sha256: str) -> Player:
    """Return the player that a file describes, whose clubs all have a speed.

    Raises
    ------
    InputError
        If a key makes no sense beside another.
    """
    return _resolve(model, file, sha256)


def stranger(name: str, sex: Literal["man", "woman"], handicap_index: float, club_speed: float) -> Player:
    """Return a golfer of whom only handicap and club speed [m/s] are known, usual in all else."""
    model = PlayerFile(
        name=name,
        hand="right",
        sex=sex,
        handicap_index=handicap_index,
        club_speed_mph=club_speed / MPH,
    )
    return _resolve(model, name, "")


_USUAL_CLUBS: Final = (
    "3-wood", "5-wood", "4-hybrid", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "wedge",
)  # fmt: skip
"""What a golfer has for tees besides the driver: our assumption. A club in the player file stands for the
usual one of its number, a hybrid for the iron."""


def _bag(clubs: "Mapping[str, _ClubTable]") -> "tuple[dict[str, _ClubTable], list[str]]":
    """Return the clubs of a whole bag, the file's first, and the names of the usual ones among them."""
    listed = {club: (entry.kind or _kind_of(club), _number_of(club)) for club, entry in clubs.items()}
    usual = []
    for club in _USUAL_CLUBS:
        kind, number = _kind_of(club), _number_of(club)
        stands = {kind, "hybrid"} if kind == "iron" else {kind}
        if not any(k in stands and n == number for k, n in listed.values()):
            usual.append(club)
    return {**clubs, **{club: _ClubTable() for club in usual}}, usual


def _kind_of(club: str) -> Literal["wood", "hybrid", "iron"] | None:
    return next((kind for words, kind in _KINDS if re.search(words, club.lower())), None)


def _number_of(club: str) -> int:
    """Return the number in a club's name; a wedge without one follows the irons."""
    digit = re.search(r"\d+", club)
    return int(digit[0][:2]) if digit else _WEDGE if "wedge" in club.lower() else 0


# --- the file, as written -------------------------------------------------------------------------

_Angle = Annotated[float, Field(gt=-90, lt=90)]
_Deviation = Annotated[float, Field(ge=0, le=45)]
_Offset = Annotated[float, Field(ge=-40, le=40)]
ClubSpeed = Annotated[float, Field(ge=30, le=160)]
Carry = Annotated[float, Field(ge=30, le=400)]
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
    carry_yd: Carry | None = None
    attack_deg: Annotated[float, Field(ge=-15, le=15)] | None = None
    dynamic_loft_deg: Annotated[float, Field(ge=0, le=60)] | None = None
    face_deg: _Angle = 0.0
    swing_line_deg: _Angle | None = None
    toe_mm: _Offset | None = None
    high_mm: _Offset | None = None
    tee_height_mm: Annotated[float, Field(ge=0, le=101.6)] | None = None
    spread: _SpreadTable = _SpreadTable()
    se: _StrikeErrors = _StrikeErrors()


class _ClubTable(_StrikeTable):
    kind: Literal["wood", "hybrid", "iron"] | None = None


class _BallErrors(Table):
    drag_slope: _Error


class _BallTable(Table):
    drag_slope: Annotated[float, Field(ge=0, le=1.2)]
    se: _BallErrors


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
    club_speed_mph: ClubSpeed | None = None
    carry_yd: Carry | None = None
    usual: StrikeName | None = None
    can_choose: bool | None = None
    ball: _BallTable | None = None
    measured: _MeasuredTable | None = None
    spread: _SpreadTable = _SpreadTable()
    strikes: _StrikesTable = _StrikesTable()
    clubs: dict[
        Annotated[str, Field(min_length=1, max_length=40), AfterValidator(printable)], _ClubTable
    ] = {}
    likely: dict[
        str,
        Annotated[
            list[Annotated[float, Field(ge=-8, le=8)]],
            Field(min_length=POSTERIOR_DRAWS, max_length=POSTERIOR_DRAWS),
        ],
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
        assumed=frozenset(SPREAD_SE),
    )


SPREAD_SE: Final = (
    "face", "path", "attack", "dynamic_loft", "speed", "toe", "high", "face_path_correlation", "miss_rate",
)  # fmt: skip
"""Numbers of a spread that may be uncertain; how bad a bad miss is, is not."""

_NAMES: Final[tuple[StrikeName, ...]] = ("up", "level", "down")
_ATTACK_DEG: Final = {"up": 3.5, "level": 0.5, "down": -2.5}
_HIGH_MM: Final = {"up": 4.0, "level": 1.0, "down": 0.0}
ATTACK_BOUNDS_DEG: Final = {"up": (2.0, 15.0), "level": (-1.0, 2.0), "down": (-15.0, -1.0)}

# Share of the driver's club speed, attack [deg] and dynamic loft [deg] of a club of each number: the men's
# tour averages (radar, widely reproduced, from memory); the lofts are those that give the measured launch
# through the impact model, which spins the 5-wood and the short irons up to 15 % too little.
_WEDGE: Final = 10  # as a number of iron
_CLUB_DEFAULTS: Final[dict[str, dict[int, tuple[float, float, float]]]] = {
    "wood": {3: (0.947, -2.9, 11.9), 5: (0.912, -3.3, 12.2)},
    "hybrid": {3: (0.885, -3.5, 13.7), 4: (0.860, -3.5, 15.2), 5: (0.840, -3.6, 17.0)},  # 4 and 5 are assumed
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
    number = _number_of(words) or _USUAL_NUMBER[kind]
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


class _Gaps:
    """What a table of a player file leaves to defaults: the fields of the record, and words for each."""

    def __init__(self) -> None:
        self.said, self.fields = list[str](), set[str]()

    def fill(self, value: float | None, default: float, key: str, se: float = 0.0) -> float:
        """Return a value, or its default where there is none."""
        if value is not None:
            return value
        words, unit = _STRIKE_WORDS[key]
        self.said.append(f"{words} {default:.3g}{unit}" + (f" ±{se:.2g}{unit}" if se else ""))
        if key in STRIKE_UNITS:
            self.fields.add(STRIKE_UNITS[key][0])
        return default


_STRIKE_WORDS: Final = {
    "club_speed_mph": ("club speed", " mph"),
    "attack_deg": ("attack", "°"),
    "dynamic_loft_deg": ("dynamic loft", "°"),
    "high_mm": ("height on the face", " mm"),
    "tee_height_mm": ("tee height", " mm"),
}
_SPREAD_WORDS: Final = {
    "face_deg": "the face varies by {}°",
    "path_deg": "the path by {}°",
    "attack_deg": "the attack by {}°",
    "dynamic_loft_deg": "the dynamic loft by {}°",
    "speed_pct": "the club speed by {} %",
    "toe_mm": "the strike by {} mm towards heel or toe",
    "high_mm": "the strike by {} mm up or down the face",
    "face_path_correlation": "face and path vary together by a correlation of {}",
    "miss_rate": "one swing in {} is a bad miss",
    "miss_scale": "a bad miss is {} times as wild",
}
"""How golfers read what is assumed of each number."""


def _resolve(model: PlayerFile, file: str, sha256: str) -> Player:
    assumed: list[str] = []
    side = 1.0 if model.hand == "right" else -1.0
    speed = _known_speed(model.club_speed_mph)
    base = _merge(default_spread(model.handicap_index, speed * MPH), model.spread, assumed, report_gaps=True)
    tables: dict[StrikeName, _StrikeTable] = {
        name: table for name in _NAMES if (table := getattr(model.strikes, name)) is not None
    }
    bare = not tables
    if bare:
        tables = {"up": _StrikeTable(), "down": _StrikeTable()}
        assumed.append("hits the driver up and down, both as is usual")
    drivers = [
        _driver_strike(name, table, speed, base, side=side, file=file, assumed=assumed)
        for name, table in tables.items()
    ]
    clubs, usual_clubs = _bag(model.clubs)
    others = [
        _club_strike(
            club, entry, speed, base, side=side, file=file, assumed=[] if club in usual_clubs else assumed
        )
        for club, entry in clubs.items()
    ]
    if usual_clubs:
        assumed.append(f"has the usual {', '.join(usual_clubs)} for that club speed")
    if model.usual is not None and model.usual not in tables:
        remedy = f"choose one of {', '.join(tables)}, or add [strikes.{model.usual}]"
        raise InputError(file, "usual", f"{model.usual!r} is not among the strikes", remedy)
    can_choose = model.can_choose
    if can_choose is None:
        can_choose = model.handicap_index <= _CHOOSES if bare else len(tables) > 1
        if bare or can_choose:
            assumed.append(_habit(bare=bare, can_choose=can_choose))
    ball = model.ball
    return Player(
        name=model.name,
        hand=model.hand,
        sex=model.sex,
        handicap_index=model.handicap_index,
        club_speed=speed * MPH,
        usual=model.usual,
        can_choose=can_choose,
        strikes=(*drivers, *others),
        drag_slope=None if ball is None else DragSlope(ball.drag_slope, ball.se.drag_slope),
        measured=0 if model.measured is None else model.measured.drives,
        likely=_likely(model, file),
        assumed=tuple(assumed),
        file=file,
        sha256=sha256,
    )


_CHOOSES: Final = 5.0
"""Handicap up to which a golfer chooses by the hole if the file says nothing (common practice, no source)."""


def _habit(*, bare: bool, can_choose: bool) -> str:
    """Return whether a golfer whose file does not say chooses by the hole, and how to say otherwise."""
    if can_choose:
        why = f"at a handicap of {_CHOOSES:g} or better" if bare else "having more than one strike"
        return f"chooses the driver's strike by the hole, {why}; can_choose = false says otherwise"
    why = f"above a handicap of {_CHOOSES:g}"
    return f"hits the driver one way all day, {why}; can_choose = true says otherwise"


def _known_speed(mph: float | None) -> float:
    assert mph is not None  # the file's, or from the carry it states: `players` sees to it  # noqa: S101
    return mph


def _driver_strike(
    name: StrikeName,
    table: _StrikeTable,
    speed: float,
    base: Spread,
    *,
    side: float,
    file: str,
    assumed: list[str],
) -> Strike:
    place = f"strikes.{name}"
    gaps = _Gaps()
    low, high = ATTACK_BOUNDS_DEG[name]
    attack_se = population.attack_sd(low * DEGREE, high * DEGREE) / DEGREE
    attack = gaps.fill(table.attack_deg, _ATTACK_DEG[name], "attack_deg", attack_se)
    if not low <= attack <= high or (name == "level" and attack in (low, high)):
        raise InputError(
            file, f"{place}.attack_deg", f"{attack:g}° is not {name}",
            "up is +2° or more, down -1° or less, level between",
        )  # fmt: skip
    loft_se = hypot(population.LOFT_SD, population.STRIKE_LOFT_SD) / DEGREE
    high_se = hypot(population.HIGH_SD, population.STRIKE_HIGH_SD) / MM
    loft = gaps.fill(table.dynamic_loft_deg, _driver_loft_deg(attack, speed), "dynamic_loft_deg", loft_se)
    rise = gaps.fill(table.high_mm, _HIGH_MM[name], "high_mm", high_se)
    tee = gaps.fill(table.tee_height_mm, usual_tee_height(attack * DEGREE, rise * MM) / MM, "tee_height_mm")
    spread = _merge(base, table.spread, assumed)
    own_speed = speed if table.club_speed_mph is None else table.club_speed_mph
    if table.club_speed_mph is None:
        gaps.fields.add("club_speed")
    if gaps.said:
        assumed.append(f"{name}: {', '.join(gaps.said)}")
    return _strike(
        "driver", "driver", name, speed_mph=own_speed, attack_deg=attack, loft_deg=loft,
        high_mm=rise, tee_mm=tee, table=table, spread=spread, side=side, assumed=gaps.fields,
    )  # fmt: skip


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
    kind = entry.kind or _kind_of(club)
    if kind is None:
        kind = "wood"
        assumed.append(f"{club}: a {kind}")
    gaps = _Gaps()
    ratio, usual_attack, usual_loft = _club_defaults(kind, words)
    speed = gaps.fill(entry.club_speed_mph, round(ratio * driver_mph, 1), "club_speed_mph")
    attack = gaps.fill(entry.attack_deg, usual_attack, "attack_deg")
    loft = gaps.fill(entry.dynamic_loft_deg, usual_loft, "dynamic_loft_deg")
    name: StrikeName = "up" if attack >= 2 else "down" if attack <= -1 else "level"
    spread = _merge(base, entry.spread, assumed)
    rise = gaps.fill(entry.high_mm, 0.0, "high_mm")
    tee = gaps.fill(entry.tee_height_mm, 10.0, "tee_height_mm")
    if gaps.said:
        assumed.append(f"{club}: {', '.join(gaps.said)}")
    return _strike(
        club, kind, name, speed_mph=speed, attack_deg=attack, loft_deg=loft,
        high_mm=rise, tee_mm=tee, table=entry, spread=spread, side=side, assumed=gaps.fields,
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
    assumed: set[str],
) -> Strike:
    attack = attack_deg * DEGREE
    stated = _errors(table.se, STRIKE_UNITS)
    if table.toe_mm is None:
        assumed = assumed | {"toe"}
    shift = path_shift(attack, side)
    # Without a stated swing line the golfer aligns so that the path runs along the aim.
    swing_line = -shift if table.swing_line_deg is None else table.swing_line_deg * DEGREE
    if table.swing_line_deg is None:
        assumed = assumed | {"swing_line"}
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
        toe=(table.toe_mm or 0.0) * MM,
        high=high_mm * MM,
        tee_height=tee_mm * MM,
        spread=spread,
        se=stated,
        assumed=frozenset(assumed) - stated.keys(),
    )


def _likely(model: PlayerFile, file: str) -> Mapping[str, Sequence[float]]:
    """Return how far off the likely players are, each number's, which must have a standard error."""
    tables = {f"strikes.{name}": getattr(model.strikes, name) for name in _NAMES}
    tables |= {f"clubs.{club}": table for club, table in model.clubs.items()}
    stated: dict[str, Table] = {"spread": model.spread.se}
    for place, table in tables.items():
        if table is not None:
            stated |= {place: table.se, f"{place}.spread": table.spread.se}
    if model.ball is not None:
        stated["ball"] = model.ball.se
    known = [f"{place}.{key}" for place, se in stated.items() for key in se.model_dump(exclude_none=True)]
    for place in model.likely:
        if place not in known:
            remedy = rather(place, known, "state one, or take it out")
            raise InputError(file, f"likely.{place}", "has no standard error", remedy)
    return model.likely


def usual_driver(player: Player, name: StrikeName) -> Strike:
    """Return a driver strike that is usual for a golfer who hits the others as they do."""
    attack, rise = _ATTACK_DEG[name] * DEGREE, _HIGH_MM[name] * MM
    own = min(player.drivers, key=lambda s: abs(s.attack - attack))
    return replace(
        own,
        name=name,
        attack=attack,
        dynamic_loft=own.dynamic_loft + LOFT_BY_ATTACK * (attack - own.attack),
        swing_line=own.path - path_shift(attack, player.side),
        high=rise,
        tee_height=usual_tee_height(attack, rise),
        assumed=own.assumed | {"attack", "dynamic_loft", "high"},
        se={},
    )


def usual_wood(player: Player) -> Strike:
    """Return the 3-wood that is usual for a golfer of that club speed."""
    spread, mph = player.drivers[0].spread, player.club_speed / MPH
    return _club_strike("3-wood", _ClubTable(), mph, spread, side=player.side, file="", assumed=[])


def path_shift(attack: float, side: float) -> float:
    """Return how far an attack angle turns the path from the swing line [rad], right positive.

    On an inclined plane hitting up swings the path left for a right-hander (`side` +1): the club meets
    the ball after its low point, on its way round (from geometry).
    """
    return -side * atan(tan(attack) / tan(SWING_PLANE))


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


def _merge(base: Spread, table: _SpreadTable, assumed: list[str], *, report_gaps: bool = False) -> Spread:
    """Return a spread with what a table states; where gaps are not reported the table is one strike's own."""
    values = {name: getattr(base, name) for name, _ in SPREAD_UNITS.values()}
    se, gaps, own, said = dict(base.se), set(base.assumed), set(base.own), list[str]()
    for key, (name, unit) in SPREAD_UNITS.items():
        value = getattr(table, key)
        if value is not None:
            values[name] = value * unit
            se.pop(name, None)
            gaps.discard(name)
            if not report_gaps:
                own.add(name)
        elif report_gaps and key in _SPREAD_WORDS:
            size = 1 / values[name] if key == "miss_rate" else values[name] / unit
            said.append(_SPREAD_WORDS[key].format(f"{size:.3g}"))
    if said:
        unsure = "; each size is uncertain by a quarter" if gaps & set(SPREAD_SE) else ""
        assumed.append(", ".join(said) + unsure)
    stated = _errors(table.se, SPREAD_UNITS)
    return Spread(**values, se=se | stated, assumed=frozenset(gaps) - stated.keys(), own=frozenset(own))


def _errors(table: Table, units: Mapping[str, tuple[str, float]]) -> dict[str, float]:
    """Return standard errors, by field, in SI."""
    stated = {name: (getattr(table, key, None), unit) for key, (name, unit) in units.items()}
    return {name: value * unit for name, (value, unit) in stated.items() if value is not None}
