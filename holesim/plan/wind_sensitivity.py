"""The winds, as felt on the tee, that flip a choice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.course.course import Firmness
from holesim.plan.aim_search import SearchDrives, Site, costs, prepare
from holesim.plan.goal import CLOSE
from holesim.plan.hole_wind import FELT_HEIGHT, WAYS, Flip, HoleWind, Way
from holesim.plan.struck_drives import StruckDrives, fly_struck_abreast
from holesim.shot.air import Air
from holesim.units import DEGREE, MPH

Floats = NDArray[np.float64]

_SPEEDS: Final = MPH * np.arange(0.0, 17.0, 4.0)  # as felt; 16 mph are 22 in a forecast
_AIMS: Final = radians(1.0) * np.arange(-4.0, 5.0)


@dataclass(frozen=True)
class DrivesInWinds:
    """One strike's drives in winds that turn with the aim, by direction and index of the speed."""

    drives: Mapping[tuple[Way, int], SearchDrives]

    @property
    def nbytes(self) -> int:
        """Bytes that these drives take."""
        return sum(drives.nbytes for drives in self.drives.values())

    def least(self, aim: float, drift: float, site: Site) -> Floats:
        """Return the least cost in each wind, shape (ways, speeds).

        Parameters
        ----------
        aim, drift
            Where the strike is aimed in the planned wind [rad from north], and how far right of that it lands
            [rad].
        """
        return np.array(
            [
                [
                    costs(drives, aim + drift - drives.drift(0.0) + _AIMS, site).min()
                    for drives in (self.drives[way, i] for i in range(len(_SPEEDS)))
                ]
                for way in WAYS
            ]
        )


def fly_in_winds(drives: StruckDrives, air: Air, *, firmness: Firmness = "medium") -> DrivesInWinds:
    """Fly one strike's drives in each wind that is tried, through air that is otherwise the same."""

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


def find_flips(labels: Sequence[str], least: Sequence[Floats], wind: HoleWind | None) -> tuple[Flip, ...]:
    """Return the winds that flip a choice.

    Parameters
    ----------
    labels, least
        The label and `DrivesInWinds.least` of the choice, then of each strike that it is compared with.
    wind
        The planned wind on the hole.
    """
    others = np.stack(least[1:])
    best, cheapest = others.argmin(axis=0), others.min(axis=0)
    finite = np.isfinite(least[0]) & np.isfinite(cheapest)
    over = np.subtract(least[0], cheapest, out=np.zeros(finite.shape), where=finite)
    if over[0, 0] >= CLOSE:
        if wind is None:
            return ()
        # Another strike is better in still air, so the choice hangs on the planned wind.
        way = round(wind.angle / (90 * DEGREE)) % 4
        kept = np.flatnonzero(over[way] < CLOSE)
        if not len(kept):
            return ()
        speed = _crossing(over[way], int(kept[0]))
        return (Flip(labels[1 + int(best[way, 0])], WAYS[way], speed, drops=True),)
    flips = []
    for way, name in enumerate(WAYS):
        beaten = np.flatnonzero(over[way] >= CLOSE)
        if len(beaten):
            i = int(beaten[0])
            flips.append(Flip(labels[1 + int(best[way, i])], name, _crossing(over[way], i)))
    return tuple(flips)


def _crossing(over: Floats, i: int) -> float:
    """Return the speed at which `over` passes `CLOSE`, between speeds `i` - 1 and `i`."""
    before, after = over[i - 1] - CLOSE, over[i] - CLOSE
    return float(_SPEEDS[i - 1] + before / (before - after) * (_SPEEDS[i] - _SPEEDS[i - 1]))
