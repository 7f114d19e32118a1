"""Yardage-book notes as records in SI: what each hole has, and how far along its line from the back tee."""

from dataclasses import dataclass
from typing import Final, Literal

from holesim.course.course import Firmness, Ground
from holesim.errors import Guess
from holesim.units import YARD

BEYOND: Final = 50 * YARD
"""How far past the middle of the green [m] a strip of trees or water may run."""

Side = Literal["left", "right", "across"]
RIGHTWARD: Final = {"left": -1.0, "right": 1.0}


@dataclass(frozen=True)
class Unit:
    """A unit of length of the notes: its name and its size [m]."""

    name: str
    size: float

    def shown(self, metres: float) -> str:
        """Return a distance [m] as the player would write it."""
        return f"{metres / self.size:.4g} {self.name}"


YARDS: Final = Unit("yd", YARD)
METRES: Final = Unit("m", 1.0)


@dataclass(frozen=True)
class Bend:
    """A dogleg: how far along the hole its middle lies [m], and the turn [rad], right positive."""

    at: float
    turn: float


@dataclass(frozen=True)
class Fairway:
    """A fairway from `start` to `stop` [m along the hole]; `widths` are (how far along, how wide) [m]."""

    start: float
    stop: float
    widths: tuple[tuple[float, float], ...]
    firmness: Firmness | None


@dataclass(frozen=True)
class Green:
    """A green centred on the end of the hole's line, `wide` across the line and `deep` along it [m]."""

    wide: float
    deep: float
    firmness: Firmness | None


@dataclass(frozen=True)
class Bunker:
    """A bunker from `start` to `stop` [m along the hole], `off` the fairway's edge and `wide` [m].

    A negative `off` lies within the fairway. A bunker `across` is in the middle of the hole; its `off` is 0.
    """

    label: str
    side: Side
    start: float
    stop: float
    off: float
    wide: float


@dataclass(frozen=True)
class GreensideBunker:
    """A bunker `off` the green's edge [m], `long` beside it and `wide` away from it [m]."""

    label: str
    side: Literal["front", "left", "right", "back"]
    off: float
    long: float
    wide: float


@dataclass(frozen=True)
class Strip:
    """Ground of one kind from `start` to `stop` [m along the hole] and `wide` [m].

    It lies `off` [m] the edge of the fairway or the hole's line, as `measured` says. A strip `across` extends
    equally to both sides of the line. Trees have a `height` [m].
    """

    label: str
    ground: Ground
    side: Side
    start: float
    stop: float
    off: float
    measured: Literal["edge", "line"]
    wide: float
    height: float | None = None


@dataclass(frozen=True)
class Moat:
    """Water all around a green, `off` its edge and `wide` [m]."""

    label: str
    ground: Ground
    off: float
    wide: float


@dataclass(frozen=True)
class Stream:
    """A stream that crosses the hole's line, its water from `start` to `stop` [m along]."""

    label: str
    ground: Ground
    start: float
    stop: float


@dataclass(frozen=True, kw_only=True)
class HoleNotes:
    """One hole as noted, in metres and radians; places are distances along its line from the back tee.

    Attributes
    ----------
    bearing
        From true north.
    tees
        (name, length of the hole from there), the back tee first.
    heights
        (how far along, height); the green's is at the hole's length.
    """

    number: int
    par: int
    stroke_index: int | None
    length: float
    bearing: float
    tees: tuple[tuple[str, float], ...]
    bends: tuple[Bend, ...]
    fairway: Fairway
    green: Green
    bunkers: tuple[Bunker, ...]
    greenside: tuple[GreensideBunker, ...]
    strips: tuple[Strip, ...]
    streams: tuple[Stream, ...]
    moat: Moat | None
    heights: tuple[tuple[float, float], ...]

    @property
    def label(self) -> str:
        """What to call the hole."""
        return f"hole {self.number}"

    @property
    def front(self) -> float:
        """Where the green begins [m along]."""
        return self.length - self.green.deep / 2


@dataclass(frozen=True)
class Notes:
    """A course as noted, about `latitude` and `longitude` [°]; `guesses` say how its gaps were filled."""

    name: str
    latitude: float
    longitude: float
    firmness: Firmness | None
    holes: tuple[HoleNotes, ...]
    unit: Unit
    file: str
    guesses: tuple[Guess, ...]
