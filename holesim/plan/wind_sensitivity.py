"""Breezes: the wind, as felt on the tee, that flips a choice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import atan2, radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.course.course import Firmness
from holesim.plan.aim_search import SearchDrives, Site, costs, prepare
from holesim.plan.goal import CLOSE
from holesim.plan.hole_wind import FELT_HEIGHT, WAYS, Flip, HoleWind, Way
from holesim.plan.struck_drives import StruckDrives, fly_struck_abreast
from holesim.shot.air import Air
from holesim.shot.flight import Flights
from holesim.units import DEGREE, MPH

Floats = NDArray[np.float64]

_SPEEDS: Final = MPH * np.arange(0.0, 17.0, 4.0)  # as felt; 16 mph are 22 in a forecast
_AIMS: Final = radians(1.0) * np.arange(-4.0, 5.0)


@dataclass(frozen=True)
class DrivesInWinds:
    """One strike's drives in winds that turn with the aim, by way and place among the speeds looked at."""

    drives: Mapping[tuple[Way, int], SearchDrives]

    def least(self, aim: float, drift: float, site: Site) -> Floats:
        """Return the least cost in each wind, shape (ways, speeds).

        Parameters
        ----------
        aim, drift
            Where the strike is aimed in the wind planned for, and how far right that carries it [rad].
        """
        return np.array(
            [
                [
                    costs(drives, aim + drift - drift_of(drives.flights, 0.0) + _AIMS, site).min()
                    for drives in (self.drives[way, i] for i in range(len(_SPEEDS)))
                ]
                for way in WAYS
            ]
        )


def fly_in_winds(drives: StruckDrives, air: Air, *, firmness: Firmness = "medium") -> DrivesInWinds:
    """Fly one strike's drives in the winds that are looked at, through air that is otherwise the same."""

    def flown(way: int, speed: float) -> SearchDrives:
        blown = replace(air, wind_speed=speed, wind_from=way * 90 * DEGREE, wind_height=FELT_HEIGHT)
        return prepare(fly_struck_abreast(drives, blown), firmness)

    still = flown(0, 0.0)
    return DrivesInWinds(
        {
            (name, i): flown(way, float(speed)) if speed else still
            for way, name in enumerate(WAYS)
            for i, speed in enumerate(_SPEEDS)
        }
    )


def drift_of(flights: Flights, heading: float) -> float:
    """Return how far right of its aim a strike lands on the whole [rad]."""
    landed = flights.landings_along(heading, (0.0, 0.0))
    bearing = atan2(landed.x.mean(), landed.y.mean())
    return float((bearing - heading + np.pi) % (2 * np.pi) - np.pi)


def flips(labels: Sequence[str], least: Sequence[Floats], wind: HoleWind | None) -> tuple[Flip, ...]:
    """Return the winds that flip a choice.

    Parameters
    ----------
    labels, least
        Of the choice, then of each strike it is tried against: what it is called, and `DrivesInWinds.least`.
    wind
        What was planned for.
    """
    others = np.stack(least[1:])
    best, cheapest = others.argmin(axis=0), others.min(axis=0)
    known = np.isfinite(least[0]) & np.isfinite(cheapest)
    over = np.subtract(least[0], cheapest, out=np.zeros(known.shape), where=known)
    if over[0, 0] >= CLOSE:
        if wind is None:
            return ()
        # In still air already: so it is the wind, where it comes from, that the choice hangs on.
        way = round(wind.angle / (90 * DEGREE)) % 4
        stands = np.flatnonzero(over[way] < CLOSE)
        if not len(stands):
            return ()
        speed = _crossing(over[way], int(stands[0]))
        return (Flip(labels[1 + int(best[way, 0])], WAYS[way], speed, drops=True),)
    found = []
    for way, name in enumerate(WAYS):
        beaten = np.flatnonzero(over[way] >= CLOSE)
        if len(beaten):
            i = int(beaten[0])
            found.append(Flip(labels[1 + int(best[way, i])], name, _crossing(over[way], i)))
    return tuple(found)


def _crossing(over: Floats, i: int) -> float:
    """Return the speed at which `over` passes `CLOSE`, the next of those looked at being `i`."""
    before, after = over[i - 1] - CLOSE, over[i] - CLOSE
    return float(_SPEEDS[i - 1] + before / (before - after) * (_SPEEDS[i] - _SPEEDS[i - 1]))
