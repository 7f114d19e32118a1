"""A golfer's driver strikes as a coach reads them: their average swing's numbers, and where they land."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.plan.club_reach import nominal_launch
from holesim.plan.golfer_drives import GolferDrives
from holesim.plan.struck_drives import StruckDrives, fly_struck, join_struck
from holesim.player.player import Player, Strike, StrikeName
from holesim.player.player_defaults import USUAL_HIGH_MM
from holesim.shot.deliveries import mean_delivery
from holesim.shot.impact import Launches, choose_head, impact_each
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]

INTERVAL: Final = (0.05, 0.95)
"""Between these quantiles over the posterior draws a number lies 9 times in 10."""

_FITTED: Final = 4.0 * DEGREE  # of dynamic loft either way that a fitter can give: our assumption
_STEP: Final = 0.25 * DEGREE
_ANGLE_DEG, _POINT_MM = 1.0, 3.0  # of face and path, and of the strike point, too little to matter: likewise
_AS_FAR: Final = 0.01  # of the carry, a loss too small to matter: our assumption

_DELIVERY_UNITS: Final = {
    "club_speed_mph": ("club_speed", MPH),
    "attack_deg": ("attack", DEGREE),
    "path_deg": ("path", DEGREE),
    "face_deg": ("face", DEGREE),
    "dynamic_loft_deg": ("dynamic_loft", DEGREE),
    "toe_mm": ("toe", MM),
    "high_mm": ("high", MM),
}
_STRAIGHT: Final = ("path_deg", "face_deg", "face_to_path_deg")
_NEVER_TOO_MUCH: Final = ("ball_speed_mph", "carry_yd")
_BALL_UNITS: Final = {"ball_speed_mph": MPH, "launch_angle_deg": DEGREE, "spin_rpm": RPM, "carry_yd": YARD}


@dataclass(frozen=True, kw_only=True)
class StrikeNumber:
    """A number of a golfer's average swing with a strike, in golfers' units.

    Attributes
    ----------
    mean, low, high
        Its mean over the posterior draws, and its 90 % interval.
    wanted_low, wanted_high
        The least and the greatest value that is wanted; the latter None where more is never worse, both None
        where the golfer's own is taken as given.
    """

    mean: float
    low: float
    high: float
    wanted_low: float | None
    wanted_high: float | None


@dataclass(frozen=True, kw_only=True)
class DrivenStrike:
    """A driver strike of a golfer in calm air over level ground.

    Attributes
    ----------
    numbers
        Those of the delivery and of the ball, by name; each name ends with its unit.
    landings
        Where drives land, right of the line of aim and along it [m], shape (drives, 2).
    """

    strike: StrikeName
    numbers: Mapping[str, StrikeNumber]
    landings: Floats


def find_driving(golfer: GolferDrives, struck: Mapping[int, StruckDrives]) -> tuple[DrivenStrike, ...]:
    """Return a golfer's driver strikes as a coach reads them.

    Parameters
    ----------
    struck
        Drives of each driver strike by all posterior draws, by the strike's place among the player's strikes.

    Notes
    -----
    What is wanted is our assumption: the same club speed and attack; face and path within 1° of the aim and
    of each other; a strike within 3 mm of the middle between heel and toe, and of the usual height; and of
    all dynamic lofts within 4° of the golfer's own those that carry within 1 % of the farthest, struck
    straight and at that point. What the ball should do is what it does by those lofts in this model.
    """
    still = replace(golfer.conditions.air, wind_speed=0.0)
    found = []
    for index, drives in struck.items():
        strikes = [one.strikes[index] for one in golfer.golfers]
        ball = _ball_numbers(nominal_launch(*strikes, side=golfer.player.side), golfer)
        own = {
            key: np.array([getattr(s, field) for s in strikes]) / unit
            for key, (field, unit) in _DELIVERY_UNITS.items()
        }
        own["face_to_path_deg"] = own["face_deg"] - own["path_deg"]
        own |= {key: values[:, 0] for key, values in ball.items()}
        wanted = _find_wanted(golfer, strikes)
        landings = fly_struck(drives, still).landings_along(0.0, (0.0, 0.0))
        found.append(
            DrivenStrike(
                strike=strikes[0].name,
                numbers={key: _number(values, wanted.get(key, (None, None))) for key, values in own.items()},
                landings=np.column_stack([landings.x, landings.y]),
            )
        )
    return tuple(found)


def _number(values: Floats, wanted: tuple[float | None, float | None]) -> StrikeNumber:
    low, high = np.quantile(values, INTERVAL)
    least, most = wanted
    return StrikeNumber(
        mean=float(values.mean()), low=float(low), high=float(high), wanted_low=least, wanted_high=most
    )


def _ball_numbers(launches: Launches, golfer: GolferDrives) -> dict[str, Floats]:
    """Return what the balls of all posterior draws do, each of shape (draws, launches of each)."""
    still = replace(golfer.conditions.air, wind_speed=0.0)
    struck = join_struck(launches, golfer.balls)
    landings = fly_struck(struck, still).landings_along(0.0, (0.0, 0.0))
    values = (
        struck.launches.speed,
        struck.launches.angle,
        struck.launches.spin,
        np.hypot(landings.x, landings.y),
    )
    return {
        key: value.reshape(len(golfer.balls), -1) / unit
        for (key, unit), value in zip(_BALL_UNITS.items(), values, strict=True)
    }


def _find_wanted(golfer: GolferDrives, strikes: Sequence[Strike]) -> dict[str, tuple[float, float | None]]:
    """Return the least and the greatest value wanted of each number that has one."""
    player: Player = golfer.player
    high = USUAL_HIGH_MM[strikes[0].name]
    middle = float(np.mean([strike.dynamic_loft for strike in strikes]))
    lofts = middle + np.arange(-_FITTED, _FITTED + _STEP / 2, _STEP)

    means = mean_delivery(*(strike for strike in strikes for _ in lofts))
    straight, fitted = np.zeros_like(means.face), np.tile(lofts, len(strikes))
    deliveries = replace(
        means, path=straight, face=straight, dynamic_loft=fitted, toe=straight, high=straight + high * MM
    )
    heads = [choose_head("driver", strike.club_speed) for strike in strikes]
    numbers = _ball_numbers(impact_each(deliveries, heads, side=player.side), golfer)
    ball = {key: values.mean(axis=0) for key, values in numbers.items()}
    good = ball["carry_yd"] >= (1 - _AS_FAR) * ball["carry_yd"].max()
    wanted: dict[str, tuple[float, float | None]] = dict.fromkeys(_STRAIGHT, (-_ANGLE_DEG, _ANGLE_DEG))
    wanted["toe_mm"], wanted["high_mm"] = (-_POINT_MM, _POINT_MM), (high - _POINT_MM, high + _POINT_MM)
    for key, values in ({"dynamic_loft_deg": lofts / DEGREE} | ball).items():
        most = None if key in _NEVER_TOO_MUCH else float(values[good].max())
        wanted[key] = float(values[good].min()), most
    return wanted
