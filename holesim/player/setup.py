"""Setting up to a driver strike: tee height, ball position and alignment."""

from dataclasses import dataclass
from math import sin, tan
from typing import Any, Final

from holesim.player.player import SWING_PLANE, Player, Strike, path_shift
from holesim.units import DEGREE, MM, YARD

_SWING_RADIUS: Final = 1.6  # m, from the hub of a driver's swing to the head (from geometry)
_LEVEL: Final = 0.25  # degrees of attack up or down that still count as level
_STANCE: Final = (
    (4.5, "opposite the front toes"),
    (2.0, "opposite the front heel"),
    (-1.0, "a ball inside the front heel"),
    (-99.0, "two balls inside the front heel"),
)
"""Ball position from that angle of attack [°] upwards: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class SetUp:
    """How to set up to a driver strike, lengths in metres, angles in radians.

    Attributes
    ----------
    high
        Where the ball is struck above the middle of the face.
    past_low
        How far past the lowest point of the swing the club meets the ball.
    alignment
        How far right of the aim feet and swing line point, so that the path runs along the aim. The face
        points at the aim.
    """

    strike: str
    attack: float
    high: float
    tee_height: float
    stance: str
    past_low: float
    alignment: float

    def text(self) -> str:
        """Return the set-up in a line."""
        tee = f"tee it {self.tee_height / MM:.0f} mm high"
        return f"{self.strike}: {tee}, ball {self.stance}, {self._alignment_words()}, face on the aim"

    def _alignment_words(self) -> str:
        degrees = round(abs(self.alignment) / DEGREE, 1)
        way = "right" if self.alignment > 0 else "left"
        return f"line up {degrees:g}° {way} of the aim" if degrees else "line up on the aim"

    def reasons(self, reach: float, *, metric: bool = False) -> list[str]:
        """Return a reason for each part of the set-up, for a golfer whose drive goes `reach` [m]."""
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        attack, high = self.attack / DEGREE, round(self.high / MM)
        where = f"{abs(high)} mm {'above' if high > 0 else 'below'}" if high else "in"
        found = [f"tee: for an attack of {attack:+.1f}°, struck {where} the middle of the face"]
        if abs(attack) < _LEVEL:
            return [
                *found,
                "ball and line: the club meets the ball at the lowest point of the swing, going straight",
            ]
        way, side = ("up", "past") if attack > 0 else ("down", "before")
        turned = "left" if self.alignment > 0 else "right"
        off = f"{tan(abs(self.alignment)) * reach / scale:.0f} {unit} at {reach / scale:.0f}"
        return [
            *found,
            f"ball: the club meets it {abs(self.past_low) * 100:.0f} cm {side} the lowest point of the swing",
            f"line: hitting {way} swings the path {turned} of the swing line, by {off}; this corrects for it",
        ]

    def to_dict(self) -> dict[str, Any]:
        """Return the set-up in golfers' units."""
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
    On a circle of radius R in a plane inclined by p the club rises at an angle a when it is R·sin(a)/sin(p)
    past its lowest point, along the ground (from geometry).

    Examples
    --------
    >>> from holesim.player.make_player import standard_player
    >>> from holesim.units import MPH
    >>> level = standard_player(5, 100 * MPH, "man").driver("level")
    >>> set_up(level, side=1).text()  # doctest: +ELLIPSIS
    'level: tee it 34 mm high, ball a ball inside the front heel, line up 0.5° right of the aim, ...'
    """
    return SetUp(
        strike=strike.name,
        attack=strike.attack,
        high=strike.high,
        tee_height=strike.tee_height,
        stance=next(words for least, words in _STANCE if strike.attack >= least * DEGREE),
        past_low=_SWING_RADIUS * sin(strike.attack) / sin(SWING_PLANE),
        alignment=-path_shift(strike.attack, side),
    )


def set_ups(player: Player) -> list[SetUp]:
    """Return how a player sets up to each driver strike."""
    return [set_up(strike, player.side) for strike in player.strikes if strike.club == "driver"]
