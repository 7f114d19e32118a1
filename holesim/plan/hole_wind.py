"""Wind as a golfer meets it: turned to a hole, as felt on the tee, and in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from holesim.shot.air import Air
from holesim.units import DEGREE, MPH

Way = Literal["hurting", "from the right", "helping", "from the left"]

WAYS: Final[tuple[Way, ...]] = ("hurting", "from the right", "helping", "from the left")
"""Where a wind comes from, each a quarter turn right of the last."""

FELT_HEIGHT: Final = 2.0
"""Height [m] at which a golfer feels the wind: about that of the head."""

_SECTORS: Final = (
    "hurting", "from the right, hurting", "from the right", "from the right, helping",
    "helping", "from the left, helping", "from the left", "from the left, hurting",
)  # fmt: skip


def speed_text(speed: float, *, metric: bool = False) -> str:
    """Return a wind's speed [m/s] in words."""
    return f"{speed:.0f} m/s" if metric else f"{speed / MPH:.0f} mph"


@dataclass(frozen=True)
class HoleWind:
    """A wind on a hole: its stated speed [m/s], and its direction right of ahead and from north [rad]."""

    speed: float
    angle: float
    bearing: float

    def text(self, *, metric: bool = False) -> str:
        """Return it in words."""
        return f"{speed_text(self.speed, metric=metric)}, {_SECTORS[round(self.angle / (45 * DEGREE)) % 8]}"


def turn_wind(heading: float, air: Air) -> HoleWind | None:
    """Return the wind as it blows along a heading [rad]; none in still air."""
    return HoleWind(air.wind_speed, air.wind_from - heading, air.wind_from) if air.wind_speed else None


@dataclass(frozen=True)
class Flip:
    """A felt wind [m/s] above which another strike is clearly better or, if it `drops`, below which."""

    strike: str
    way: Way
    speed: float
    drops: bool = False

    def text(self, *, metric: bool = False) -> str:
        """Return the wind in words."""
        return f"{'under' if self.drops else 'from'} {speed_text(self.speed, metric=metric)} {self.way}"


def flips_text(flips: Sequence[Flip], *, metric: bool = False) -> str:
    """Return flips in words, with those to one strike together."""
    winds: dict[str, list[str]] = {}
    for flip in flips:
        winds.setdefault(flip.strike, []).append(flip.text(metric=metric))
    return ", ".join(f"{strike} {' or '.join(texts)}" for strike, texts in winds.items())
