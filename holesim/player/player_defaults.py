"""Defaults for what a player file leaves out about the driver, and the words in which they are reported."""

from collections.abc import Set as AbstractSet
from dataclasses import replace
from typing import Final

import numpy as np

from holesim.player.player import (
    LOFT_BY_ATTACK,
    LOFT_BY_SPEED,
    SPREAD_SE,
    Player,
    Spread,
    Strike,
    StrikeName,
    path_shift,
)
from holesim.player.player_file import SPREAD_UNITS
from holesim.units import DEGREE, MM, MPH

USUAL_ATTACK_DEG: Final[dict[StrikeName, float]] = {"up": 3.5, "level": 0.5, "down": -2.5}
USUAL_HIGH_MM: Final[dict[StrikeName, float]] = {"up": 4.0, "level": 1.0, "down": 0.0}
"""How far above the middle of the face each strike is usually met."""

CHOOSES: Final = 5.0
"""Handicap up to which a golfer chooses by the hole if the file says nothing (common practice, no source)."""

CROWN_MM: Final = 62.0
"""Height of a driver's crown over its sole: ordinary heads (common practice, no source)."""
BALL_MM: Final = 42.67
"""A ball's least diameter by the Equipment Rules."""
_HIGHEST_TEE_MM: Final = 101.6  # the longest tee the Equipment Rules allow
_ABOVE_CROWN: Final = ((-2.5, 0.0, 0.25), (0.5, 1.0, 1 / 3), (3.5, 4.0, 0.5))
"""Angle of attack [°], height on the face [mm], and the share of the ball above the crown at address that
belongs to them: half to hit up, a quarter to hit down (common practice, no source)."""


def default_spread(handicap_index: float, club_speed: float) -> Spread:
    """Return the spread assumed for a golfer of that handicap, at `club_speed` [m/s].

    Face and path are set so that drives finish about as far offline as Broadie (*Every Shot Counts*,
    2014, ch. 6, second-hand and from memory) found by score: a standard deviation of 3-4° on tour, 5°
    for those who shoot 80, 6.5° at 90, 7.5° at 100. All else is our assumption, with no source.

    Examples
    --------
    >>> from holesim.units import DEGREE, MPH
    >>> round(default_spread(10, 95 * MPH).face / DEGREE, 2)
    2.36
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


def usual_tee_height(attack: float, high: float) -> float:
    """Return how high a driver is teed [m].

    The ball stands above the crown as is usual for the angle of attack; one that is to be struck higher on
    the face is teed higher by as much.

    Parameters
    ----------
    attack
        [rad], up positive.
    high
        How far above the middle of the face the ball is to be struck [m].
    """
    attacks, heights, shares = zip(*_ABOVE_CROWN, strict=True)
    degrees = attack / DEGREE
    slope = (shares[-1] - shares[0]) / (attacks[-1] - attacks[0])
    share = float(np.interp(degrees, attacks, shares))
    share += slope * (min(degrees - attacks[0], 0) + max(degrees - attacks[-1], 0))
    usual_high = float(np.interp(degrees, attacks, heights))
    found = CROWN_MM - BALL_MM * (1 - share) + high / MM - usual_high
    return min(max(found, 0.0), _HIGHEST_TEE_MM) * MM


def usual_driver_loft_deg(attack_deg: float, speed_mph: float) -> float:
    """Return the dynamic loft assumed for a driver: the tour's 12.8° at -1.3° and 113 mph, all else assumed.

    Two thirds of a change of attack shows as dynamic loft, so hitting up lowers the spin loft; a slower
    swing is fitted with more loft, 0.08° for each mph: the men's amateur average of 93 mph, 1.6° down, has
    some 15° by its launch, the women's tour's 94 mph, 3° up, no more.
    """
    return 12.8 + LOFT_BY_ATTACK * (attack_deg + 1.3) + LOFT_BY_SPEED / (DEGREE / MPH) * (speed_mph - 113)


def usual_driver(player: Player, name: StrikeName) -> Strike:
    """Return a driver strike that is usual for a golfer who hits the others as they do."""
    attack, high = USUAL_ATTACK_DEG[name] * DEGREE, USUAL_HIGH_MM[name] * MM
    nearest = min(player.drivers, key=lambda s: abs(s.attack - attack))
    return replace(
        nearest,
        name=name,
        attack=attack,
        dynamic_loft=nearest.dynamic_loft + LOFT_BY_ATTACK * (attack - nearest.attack),
        swing_line=nearest.path - path_shift(attack, player.side),
        high=high,
        tee_height=usual_tee_height(attack, high),
        assumed=nearest.assumed | {"attack", "dynamic_loft", "high", "tee_height"},
        se={},
    )


# --- words ----------------------------------------------------------------------------------------

STRIKE_WORDS: Final = {
    "club_speed_mph": ("club speed", " mph"),
    "attack_deg": ("attack", "°"),
    "dynamic_loft_deg": ("dynamic loft", "°"),
    "high_mm": ("height on the face", " mm"),
    "tee_height_mm": ("tee height", " mm"),
}
"""What golfers call each number of a strike, and its unit."""

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


def spread_words(spread: Spread, keys: AbstractSet[str]) -> str:
    """Return what is assumed of a spread, of the numbers that have these keys in a player file."""
    said = []
    for key, words in _SPREAD_WORDS.items():
        field, unit = SPREAD_UNITS[key]
        value = getattr(spread, field)
        if key in keys:
            said.append(words.format(f"{1 / value if key == 'miss_rate' else value / unit:.3g}"))
    if any(SPREAD_UNITS[key][0] in SPREAD_SE for key in keys):
        said[-1] += "; each size is uncertain by a quarter"
    return ", ".join(said)


ONE_WAY: Final = "hits the driver one way all day"
"""Begins what is assumed of a golfer who does not choose the strike by the hole."""


def habit_words(*, can_choose: bool, why: str) -> str:
    """Return what is assumed of whether a golfer chooses the strike by the hole, and how to change it."""
    if can_choose:
        return f"chooses the driver strike hole by hole, {why}; if not, set can_choose = false"
    return f"{ONE_WAY}, {why}; if not, set can_choose = true"
