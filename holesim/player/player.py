"""The golfer as the simulation uses them: records in SI units and radians, and a few laws of a swing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import atan, tan
from typing import Final, Literal

from holesim.units import DEGREE, MPH

POSTERIOR_DRAWS: Final = 32
"""How many posterior draws stand for all golfers who may be the true one."""

StrikeName = Literal["up", "level", "down"]
ClubKind = Literal["driver", "wood", "hybrid", "iron"]

STRIKE_NAMES: Final[tuple[StrikeName, ...]] = ("up", "level", "down")
ATTACK_BOUNDS_DEG: Final = {"up": (2.0, 15.0), "level": (-1.0, 2.0), "down": (-15.0, -1.0)}
"""Between which angles of attack a strike has its name; the bounds themselves are up and down."""

SWING_PLANE: Final = 47.5 * DEGREE
"""Inclination of a driver's swing plane: about 45-50° (from geometry)."""
LOFT_BY_ATTACK: Final = 0.65
"""How much of a change of attack shows as dynamic loft: about two thirds, our assumption."""
LOFT_BY_SPEED: Final = -0.08 * DEGREE / MPH
"""Change of dynamic loft with club speed [rad s/m]; faster swings are fitted with less: our assumption."""


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Standard deviations of a swing's errors, and at which speed and spin they were measured.

    Angles are in radians, places on the face in metres, the speed is a fraction of the mean. A share
    `miss_rate` of swings are bad misses, which scatter `miss_scale` times as widely.

    Attributes
    ----------
    at_speed
        Club speed at which the deviations hold [m/s].
    at_spin
        Spin rate at which they hold [rad/s]; None stands for the mean of the golfer's driver strikes.
    se
        Standard errors by field, where the player file states them.
    assumed
        Fields that the player file leaves to the defaults. A field in neither `se` nor `assumed` is taken
        as known.
    own
        Fields stated for this strike alone.
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


SPREAD_SE: Final = (
    "face", "path", "attack", "dynamic_loft", "speed", "toe", "high", "face_path_correlation", "miss_rate",
)  # fmt: skip
"""Fields of a `Spread` that may be uncertain; how bad a bad miss is, is taken as known."""


@dataclass(frozen=True, kw_only=True)
class Strike:
    """One way of hitting one club off the tee: its mean delivery and its spread, SI units and radians.

    Angles to the side are positive to the right for either hand; `toe` is positive towards the club's toe.
    `se` and `assumed` are as in `Spread`.
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
        """What it is called: up, level or down with the driver, otherwise the club's name."""
        return self.name if self.club == "driver" else self.club

    @property
    def place(self) -> str:
        """The name of its table in a player file."""
        return f"strikes.{self.name}" if self.club == "driver" else f"clubs.{self.club}"


@dataclass(frozen=True)
class DragSlope:
    """How the drag of a golfer's ball rises with spin, as measured carries tell, and its standard error."""

    value: float
    se: float


@dataclass(frozen=True, kw_only=True)
class Player:
    """A golfer and every strike they own, SI units and radians.

    Attributes
    ----------
    usual
        The driver strike that they hit unless told otherwise; None where the file does not say.
    can_choose
        Whether they choose the driver strike hole by hole.
    tee
        The name of the tees that they play from; None where the file does not say.
    drag_slope
        That of their ball; None where it was not measured.
    measured
        How many drives they were measured by.
    likely
        For each number by its place in the player file, how many standard errors each of `POSTERIOR_DRAWS`
        posterior draws is off: this says how the errors of the numbers go together.
    assumed
        What the file leaves out and was taken for it, in a golfer's words.
    """

    name: str
    hand: Literal["right", "left"]
    sex: Literal["man", "woman"]
    handicap_index: float
    club_speed: float
    usual: StrikeName | None
    can_choose: bool
    tee: str | None
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


def strike_name(attack: float) -> StrikeName:
    """Return what a strike with that angle of attack [rad] is called.

    Examples
    --------
    >>> from holesim.units import DEGREE
    >>> strike_name(3 * DEGREE), strike_name(-2 * DEGREE)
    ('up', 'down')
    """
    degrees = attack / DEGREE
    if degrees >= ATTACK_BOUNDS_DEG["up"][0]:
        return "up"
    return "down" if degrees <= ATTACK_BOUNDS_DEG["down"][1] else "level"


def path_shift(attack: float, side: float) -> float:
    """Return how far an angle of attack turns the path from the swing line [rad], right positive.

    Parameters
    ----------
    attack
        [rad], up positive.
    side
        +1 for a right-hander, -1 for a left-hander.

    Notes
    -----
    On an inclined plane hitting up swings the path left for a right-hander: the club meets the ball after
    its low point, on its way round (from geometry).

    Examples
    --------
    >>> from holesim.units import DEGREE
    >>> round(path_shift(4 * DEGREE, side=1) / DEGREE, 1)
    -3.7
    """
    return -side * atan(tan(attack) / tan(SWING_PLANE))
