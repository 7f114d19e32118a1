"""The player file as it is written: TOML tables in golfers' units; what the file leaves out is None."""

from datetime import date
from pathlib import Path
from typing import Annotated, Any, ClassVar, Final, Literal

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from holesim.common.toml_tables import Table, read_toml
from holesim.errors import printable
from holesim.player.player import POSTERIOR_DRAWS, StrikeName
from holesim.units import DEGREE, MM, MPH, RPM

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

STRIKE_LIMITS: Final = {
    "club_speed_mph": (30, 160),
    "attack_deg": (-15, 15),
    "dynamic_loft_deg": (0, 60),
    "face_deg": (-89, 89),
    "swing_line_deg": (-89, 89),
    "toe_mm": (-40, 40),
    "high_mm": (-40, 40),
}
"""The least and the greatest possible value of each key of a strike's table."""

SPREAD_LIMITS: Final = {
    "face_deg": (0, 45),
    "path_deg": (0, 45),
    "attack_deg": (0, 45),
    "dynamic_loft_deg": (0, 45),
    "speed_pct": (0, 30),
    "toe_mm": (0, 40),
    "high_mm": (0, 40),
    "face_path_correlation": (-0.98, 0.98),
    "miss_rate": (0, 0.5),
}
"""The least and the greatest possible value of each uncertain key of a spread's table."""


def _check_date(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise PydanticCustomError("date", "should be a date such as 2026-05-12") from None
    return text


def _possible(limits: tuple[float, float]) -> Any:  # noqa: ANN401 - as pydantic has it
    """Return the limits of a number."""
    return Field(ge=limits[0], le=limits[1])


def _uncertain(limits: tuple[float, float]) -> Any:  # noqa: ANN401 - as pydantic has it
    """Return the limits of a number's standard error.

    No values between two limits have a standard deviation of more than half the range (Popoviciu, Mathematica
    9, 1935).
    """
    return Field(ge=0, le=(limits[1] - limits[0]) / 2)


ClubSpeed = Annotated[float, _possible(STRIKE_LIMITS["club_speed_mph"])]
Carry = Annotated[float, Field(ge=30, le=400)]
HandicapIndex = Annotated[float, Field(ge=-10, le=54)]
Name = Annotated[str, Field(min_length=1, max_length=80), AfterValidator(printable)]
TeeName = Annotated[str, Field(min_length=1, max_length=40), AfterValidator(printable)]
_ClubName = Annotated[str, Field(min_length=1, max_length=40), AfterValidator(printable)]
IsoDate = Annotated[str, AfterValidator(_check_date)]
_FARTHEST_OFF = 45.0
"""Standard deviations that one of 2,000 draws can be off their mean: the square root of 1,999 (Samuelson,
J. Am. Stat. Assoc. 63, 1968). So what `measure` writes is read, however heavy the tails of its fit."""
_OfEachDraw = Annotated[
    list[Annotated[float, Field(ge=-_FARTHEST_OFF, le=_FARTHEST_OFF)]],
    Field(min_length=POSTERIOR_DRAWS, max_length=POSTERIOR_DRAWS),
]


class SpreadErrors(Table):
    """Standard errors of a spread."""

    face_deg: Annotated[float, _uncertain(SPREAD_LIMITS["face_deg"])] | None = None
    path_deg: Annotated[float, _uncertain(SPREAD_LIMITS["path_deg"])] | None = None
    attack_deg: Annotated[float, _uncertain(SPREAD_LIMITS["attack_deg"])] | None = None
    dynamic_loft_deg: Annotated[float, _uncertain(SPREAD_LIMITS["dynamic_loft_deg"])] | None = None
    speed_pct: Annotated[float, _uncertain(SPREAD_LIMITS["speed_pct"])] | None = None
    toe_mm: Annotated[float, _uncertain(SPREAD_LIMITS["toe_mm"])] | None = None
    high_mm: Annotated[float, _uncertain(SPREAD_LIMITS["high_mm"])] | None = None
    face_path_correlation: Annotated[float, _uncertain(SPREAD_LIMITS["face_path_correlation"])] | None = None
    miss_rate: Annotated[float, _uncertain(SPREAD_LIMITS["miss_rate"])] | None = None


class StrikeErrors(Table):
    """Standard errors of a strike's mean delivery."""

    club_speed_mph: Annotated[float, _uncertain(STRIKE_LIMITS["club_speed_mph"])] | None = None
    attack_deg: Annotated[float, _uncertain(STRIKE_LIMITS["attack_deg"])] | None = None
    dynamic_loft_deg: Annotated[float, _uncertain(STRIKE_LIMITS["dynamic_loft_deg"])] | None = None
    face_deg: Annotated[float, _uncertain(STRIKE_LIMITS["face_deg"])] | None = None
    swing_line_deg: Annotated[float, _uncertain(STRIKE_LIMITS["swing_line_deg"])] | None = None
    toe_mm: Annotated[float, _uncertain(STRIKE_LIMITS["toe_mm"])] | None = None
    high_mm: Annotated[float, _uncertain(STRIKE_LIMITS["high_mm"])] | None = None


class SpreadTable(Table):
    """How a golfer's swings scatter, or those of one strike."""

    face_deg: Annotated[float, _possible(SPREAD_LIMITS["face_deg"])] | None = None
    path_deg: Annotated[float, _possible(SPREAD_LIMITS["path_deg"])] | None = None
    attack_deg: Annotated[float, _possible(SPREAD_LIMITS["attack_deg"])] | None = None
    dynamic_loft_deg: Annotated[float, _possible(SPREAD_LIMITS["dynamic_loft_deg"])] | None = None
    speed_pct: Annotated[float, _possible(SPREAD_LIMITS["speed_pct"])] | None = None
    toe_mm: Annotated[float, _possible(SPREAD_LIMITS["toe_mm"])] | None = None
    high_mm: Annotated[float, _possible(SPREAD_LIMITS["high_mm"])] | None = None
    face_path_correlation: Annotated[float, Field(gt=-1, lt=1)] | None = None
    miss_rate: Annotated[float, _possible(SPREAD_LIMITS["miss_rate"])] | None = None
    miss_scale: Annotated[float, Field(ge=1, le=10)] | None = None
    at_mph: ClubSpeed | None = None
    at_rpm: Annotated[float, Field(ge=300, le=12000)] | None = None
    se: SpreadErrors = SpreadErrors()


class StrikeTable(Table):
    """A driver strike."""

    club_speed_mph: ClubSpeed | None = None
    carry_yd: Carry | None = None
    attack_deg: Annotated[float, _possible(STRIKE_LIMITS["attack_deg"])] | None = None
    dynamic_loft_deg: Annotated[float, _possible(STRIKE_LIMITS["dynamic_loft_deg"])] | None = None
    face_deg: Annotated[float, _possible(STRIKE_LIMITS["face_deg"])] = 0.0
    swing_line_deg: Annotated[float, _possible(STRIKE_LIMITS["swing_line_deg"])] | None = None
    toe_mm: Annotated[float, _possible(STRIKE_LIMITS["toe_mm"])] | None = None
    high_mm: Annotated[float, _possible(STRIKE_LIMITS["high_mm"])] | None = None
    tee_height_mm: Annotated[float, Field(ge=0, le=101.6)] | None = None
    spread: SpreadTable = SpreadTable()
    se: StrikeErrors = StrikeErrors()


class ClubTable(StrikeTable):
    """A club other than the driver, as it is hit off the tee."""

    kind: Literal["wood", "hybrid", "iron"] | None = None


class StrikesTable(Table):
    """The driver strikes by name."""

    up: StrikeTable | None = None
    level: StrikeTable | None = None
    down: StrikeTable | None = None


_DRAG_SLOPES: Final = (0, 1.2)


class _BallErrors(Table):
    drag_slope: Annotated[float, _uncertain(_DRAG_SLOPES)]


class _BallTable(Table):
    drag_slope: Annotated[float, _possible(_DRAG_SLOPES)]
    se: _BallErrors


class _MeasuredTable(Table):
    drives: Annotated[int, Field(ge=1)]
    sessions: list[IsoDate] = []


class PlayerFile(Table):
    """A whole player file."""

    SIGNS: ClassVar[dict[str, str]] = {"players": "team", "courses": "jobs"}

    name: Name
    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: HandicapIndex
    club_speed_mph: ClubSpeed | None = None
    carry_yd: Carry | None = None
    usual: StrikeName | None = None
    can_choose: bool | None = None
    tee: TeeName | None = None
    ball: _BallTable | None = None
    measured: _MeasuredTable | None = None
    spread: SpreadTable = SpreadTable()
    strikes: StrikesTable = StrikesTable()
    clubs: dict[_ClubName, ClubTable] = {}
    likely: dict[str, _OfEachDraw] = {}


def read_player(path: str | Path) -> tuple[PlayerFile, str]:
    """Read a player file as it is written; return it and its SHA-256.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a key or value that makes no sense.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> file, _ = read_player(find(PLAYER))
    >>> file.name, file.strikes.level
    ('Corin Vale', None)
    """
    return read_toml(path, PlayerFile, "player")
