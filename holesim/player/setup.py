"""Setting up to a driver strike: tee height, ball position and alignment."""

from dataclasses import dataclass
from math import hypot, sin, tan
from typing import Any, Final

from holesim.player.player import SWING_PLANE, Player, Strike, path_shift
from holesim.player.player_defaults import usual_tee_height
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
_SURE: Final = 1.645  # standard errors on either side, between which nine in ten lie
_SAME_TEE: Final = 5 * MM  # a smaller difference in tee height is not told: our assumption
_STRAIGHT: Final = 0.05 * DEGREE  # what rounds to 0.0°
_LEAN: Final = {
    "up": "Leaning back from the target moves that point back",
    "down": "Leaning towards the target moves that point forward",
}


@dataclass(frozen=True, kw_only=True)
class SwingLine:
    """Where a golfer swings now: the line's mean and its 90 % interval [rad], right of the aim positive."""

    mean: float
    low: float
    high: float

    def text(self) -> str:
        """Return it as golfers read it.

        Examples
        --------
        >>> SwingLine(mean=0.0785, low=0.068, high=0.089).text()
        '4.5° right of the aim (3.9 to 5.1, 9 times in 10)'
        """
        way = "left" if self.mean < 0 else "right"
        sign = -1 if self.mean < 0 else 1
        low, high = sorted(sign * edge / DEGREE for edge in (self.low, self.high))
        said = f"{abs(self.mean) / DEGREE:.1f}° {way} of the aim"
        if f"{low:.1f}" == f"{high:.1f}":
            return said
        other = "right" if self.mean < 0 else "left"
        first = f"{low:.1f}" if low > -_STRAIGHT / DEGREE else f"{-low:.1f} {other}"
        last = f"{high:.1f}" if low > -_STRAIGHT / DEGREE else f"{high:.1f} {way}"
        return f"{said} ({first} to {last}, 9 times in 10)"


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
    usual_tee
        The usual tee height, where the player file states one that is surely another; else None.
    swing_line
        Where the golfer swings now, where that was measured or stated and is surely not `alignment`; else
        None.
    """

    strike: str
    attack: float
    high: float
    tee_height: float
    stance: str
    past_low: float
    alignment: float
    usual_tee: float | None = None
    swing_line: SwingLine | None = None

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
        tee = f"for an attack of {attack:+.1f}°, struck {where} the middle of the face"
        if self.usual_tee is not None:
            tee = f"as you tee it now; {self.usual_tee / MM:.0f} mm is usual {tee}"
        found = [f"tee: {tee}"]
        if abs(attack) < _LEVEL:
            return [
                *found,
                "ball and line: the club meets the ball at the lowest point of the swing, going straight",
                *(f"line: {text}" for text in self.correction(reach, metric=metric)),
            ]
        way, side = ("up", "past") if attack > 0 else ("down", "before")
        turned = "left" if self.alignment > 0 else "right"
        off = f"{tan(abs(self.alignment)) * reach / scale:.0f} {unit} at {reach / scale:.0f}"
        past = f"{abs(self.past_low) * 100:.0f} cm {side} the lowest point of the swing"
        less = "so the ball moves by less than that (common practice, no source)"
        return [
            *found,
            f"ball: the club meets it {past}. {_LEAN[way]}, {less}",
            f"line: hitting {way} swings the path {turned} of the swing line, by {off}; this corrects for it",
            *(f"line: {text}" for text in self.correction(reach, metric=metric)),
        ]

    def correction(self, reach: float | None, *, metric: bool = False) -> list[str]:
        """Return how a swing line that surely differs from what is wanted is to change; see `reasons`."""
        if self.swing_line is None:
            return []
        return [correction_text(self.swing_line, self.alignment, reach, metric=metric)]

    def to_dict(self) -> dict[str, Any]:
        """Return the set-up in golfers' units; where they swing now only if that surely has to change."""
        found: dict[str, Any] = {
            "strike": self.strike,
            "tee_height_mm": self.tee_height / MM,
            "ball": self.stance,
            "ball_past_low_point_mm": self.past_low / MM,
            "alignment_deg": self.alignment / DEGREE,
        }
        if self.swing_line is not None:
            found["swing_line_deg"] = {key: value / DEGREE for key, value in vars(self.swing_line).items()}
        return found


def correction_text(now: SwingLine, wanted: float, reach: float | None, *, metric: bool) -> str:
    """Return how a swing line is to change to point `wanted` [rad] right of the aim.

    Parameters
    ----------
    reach
        How far the golfer drives [m], to say how far offline the difference points; None leaves that out.

    Examples
    --------
    >>> now = SwingLine(mean=0.0785, low=0.068, high=0.089)
    >>> correction_text(now, 0.0489, 228.6, metric=False)  # doctest: +ELLIPSIS
    'you swing 4.5° right of the aim (3.9 to 5.1, 9 times in 10), wanted is 2.8° right: 1.7° less, ...'
    """
    degrees, more = round(abs(wanted) / DEGREE, 1), wanted - now.mean
    turn = f"{abs(more) / DEGREE:.1f}° {_turn(now.mean, wanted)}"
    what = f"{degrees:g}° {'right' if wanted > 0 else 'left'}" if degrees else "along the aim"
    away = ""
    if reach is not None:
        unit, scale = ("m", 1.0) if metric else ("yd", YARD)
        away = f", {tan(abs(more)) * reach / scale:.0f} {unit} at {reach / scale:.0f}"
    return f"you swing {now.text()}, wanted is {what}: {turn}{away}"


def _turn(now: float, wanted: float) -> str:
    """Return which way a swing line is to turn: less, where it points too far to the side that is wanted."""
    if now * wanted > 0:
        return "less" if abs(now) > abs(wanted) else "more"
    return "farther right" if wanted > now else "farther left"


def set_up(strike: Strike, side: float) -> SetUp:
    """Return how to set up to a driver strike.

    Parameters
    ----------
    side
        +1 for a right-hander, -1 for a left-hander.

    Notes
    -----
    On a circle of radius R in a plane inclined by p the club rises at an angle a when it is R·sin(a)/sin(p)
    past its lowest point, along the ground (from geometry). From two balls inside the front heel to opposite
    it are 9 cm; a lean of the upper body by 6° more moves its centre, and the lowest point with it, by some
    5 cm (from geometry, half a metre above the hips).

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
        usual_tee=_usual_tee(strike),
        swing_line=_swing_line_off(strike),
    )


def _usual_tee(strike: Strike) -> float | None:
    """Return the usual tee height [m] where the file states one that differs."""
    usual = usual_tee_height(strike.attack, strike.high)
    stated = "tee_height" not in strike.assumed
    return usual if stated and abs(usual - strike.tee_height) > _SAME_TEE else None


def _swing_line_off(strike: Strike) -> SwingLine | None:
    """Return the swing line where it is known, and surely turns the path from the aim.

    Notes
    -----
    What is wanted follows from the attack, so that the standard errors of both count. They are taken as
    independent; where drives were measured, an error of the attack shows in the swing line too, so that less
    is told than could be.
    """
    if {"swing_line", "attack"} & strike.assumed:
        return None
    error, of_attack = strike.se.get("swing_line", 0.0), strike.se.get("attack", 0.0)
    se = hypot(error, of_attack / tan(SWING_PLANE))
    if abs(strike.path) <= max(_SURE * se, _STRAIGHT):
        return None
    line, wide = strike.swing_line, _SURE * error
    return SwingLine(mean=line, low=line - wide, high=line + wide)


def set_ups(player: Player) -> list[SetUp]:
    """Return how a player sets up to each driver strike."""
    return [set_up(strike, player.side) for strike in player.strikes if strike.club == "driver"]
