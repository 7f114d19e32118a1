"""Setting up to a strike: the tee's height, where the ball lies in the stance, and how to line up."""

from dataclasses import dataclass
from math import sin, tan
from typing import Any, Final

from holesim.player.player import SWING_PLANE, Player, Strike, path_shift
from holesim.units import DEGREE, MM, YARD

_ARC: Final = 1.6  # m, from the hub of a driver's swing to the head: from geometry
_LEVEL: Final = 0.25  # degrees of attack either way
_STANCE: Final = (
    (4.5, "opposite the front toes"),
    (2.0, "opposite the front heel"),
    (-1.0, "a ball inside the front heel"),
    (-99.0, "two balls inside the front heel"),
)
"""Where the ball lies, from so many degrees of attack on: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """How to set up to a driver strike, lengths in metres, angles in radians.

    `past_low` is how far past the lowest point of the swing the club meets the ball, `alignment` how far
    right of the aim feet and swing line point, so that the path runs along the aim; the face stays on it.
    """

    strike: str
    attack: float
    high: float
    tee_height: float
    stance: str
    past_low: float
    alignment: float

    def text(self) -> str:
        """Return it in a line."""
        tee = f"tee it {self.tee_height / MM:.0f} mm high"
        return f"{self.strike}: {tee}, ball {self.stance}, {self._lined_up()}, face on the aim"

    def _lined_up(self) -> str:
        degrees = round(abs(self.alignment) / DEGREE, 1)
        way = "right" if self.alignment > 0 else "left"
        return f"line up {degrees:g}° {way} of the aim" if degrees else "line up on the aim"

    def reasons(self, reach: float, *, metric: bool = False) -> list[str]:
        """Return why, a line for each, for one whose drive goes `reach` [m]."""
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        attack, high = self.attack / DEGREE, round(self.high / MM)
        where = f"{abs(high)} mm {'above' if high > 0 else 'below'}" if high else "in"
        found = [f"tee: for an attack of {attack:+.1f}°, struck {where} the middle of the face"]
        if abs(attack) < _LEVEL:
            return [
                *found,
                "ball and line: met at the lowest point of the swing, going straight",
            ]
        way, side = ("up", "past") if attack > 0 else ("down", "before")
        turned = "left" if self.alignment > 0 else "right"
        off = f"{tan(abs(self.alignment)) * reach / scale:.0f} {unit} at {reach / scale:.0f}"
        return [
            *found,
            f"ball: the club meets it {abs(self.past_low) * 100:.0f} cm {side} the lowest point of the swing",
            f"line: hitting {way} swings the path {turned} of the swing line, by {off}; this takes it out",
        ]

    def to_dict(self) -> dict[str, Any]:
        """Return it in the trade's units."""
        return {
            "strike": self.strike,
            "tee_height_mm": self.tee_height / MM,
            "ball": self.stance,
            "ball_past_low_point_mm": self.past_low / MM,
            "alignment_deg": self.alignment / DEGREE,
        }


def set_up(strike: Strike, side: float) -> SetUp:
    """Return how to set up to a driver strike.

    Parameters
    ----------
    side
        +1 for a right-hander, -1 for a left-hander.

    Notes
    -----
    On a circle of radius R in a plane inclined by p the club rises by an angle a where it is R·sin(a)/sin(p)
    past its lowest point, along the ground (from geometry).
    """
    return SetUp(
        strike=strike.name,
        attack=strike.attack,
        high=strike.high,
        tee_height=strike.tee_height,
        stance=next(words for least, words in _STANCE if strike.attack >= least * DEGREE),
        past_low=_ARC * sin(strike.attack) / sin(SWING_PLANE),
        alignment=-path_shift(strike.attack, side),
    )


def set_ups(player: Player) -> list[SetUp]:
    """Return how a player sets up to each driver strike."""
    return [set_up(strike, player.side) for strike in player.strikes if strike.club == "driver"]
