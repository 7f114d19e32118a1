"""A golfer's drives as the search for aims takes them, flown once for each speed of the wind."""

from collections import OrderedDict
from dataclasses import replace
from functools import lru_cache
from threading import Lock
from typing import Final, Literal

import numpy as np

from holesim.course.course import Firmness
from holesim.plan.aim_search import SearchDrives, prepare
from holesim.plan.conditions import FEWEST_DRAWS
from holesim.plan.golfer_drives import GolferDrives
from holesim.plan.struck_drives import StruckDrives, fly_struck
from holesim.plan.wind_sensitivity import DrivesInWinds, fly_in_winds
from holesim.player.player import POSTERIOR_DRAWS
from holesim.shot.air import Air
from holesim.shot.deliveries import Draws

ROOM: Final = 500e6
"""Bytes beyond which the drives unused for longest are forgotten: enough for a whole bag in a gale."""

_Name = tuple[Literal["fine", "coarse", "winds"], int, Air]


class FlownDrives:
    """The drives that find a golfer's aims, by strike and wind.

    A drive's flight depends on the speed of the wind and on its angle to the aim, so that a wind from another
    direction flies nothing.

    Parameters
    ----------
    choosing
        As many drives for each golfer.
    firmness
        Of the turf.
    room
        Bytes that the drives flown may take, as in `ROOM`.
    """

    def __init__(
        self, golfer: GolferDrives, choosing: Draws, firmness: Firmness, *, room: float = ROOM
    ) -> None:
        self.golfer, self.choosing, self.firmness, self.room = golfer, choosing, firmness, room
        self._struck: dict[tuple[int, int], StruckDrives] = {}
        self._flown: OrderedDict[_Name, SearchDrives | DrivesInWinds] = OrderedDict()
        self._lock = Lock()

    @property
    def nbytes(self) -> int:
        """Bytes that the drives kept take."""
        return sum(drives.nbytes for drives in self._flown.values())

    def fine(self, strike: int, air: Air) -> SearchDrives:
        """Return all drives of a strike that find aims."""
        return self._in_wind("fine", strike, air)

    def coarse(self, strike: int, air: Air) -> SearchDrives:
        """Return some of those drives, which find where to look for an aim: the first few by each golfer."""
        return self._in_wind("coarse", strike, air)

    def half(self, strike: int) -> StruckDrives:
        """Return half of the drives of a strike that find aims."""
        return self._strike(strike, 2)

    def in_winds(self, strike: int, air: Air) -> DrivesInWinds:
        """Return half of the drives in winds that turn with the aim, in the same air."""
        kept = self._kept(("winds", strike, replace(air, wind_speed=0.0, wind_from=0.0)))
        assert isinstance(kept, DrivesInWinds)  # noqa: S101 - what its name says
        return kept

    def _in_wind(self, name: Literal["fine", "coarse"], strike: int, air: Air) -> SearchDrives:
        """Return the drives of a strike in a wind; the direction it blows from is no part of what is kept."""
        kept = self._kept((name, strike, replace(air, wind_from=0.0)))
        assert isinstance(kept, SearchDrives)  # noqa: S101 - what its name says
        return kept.in_wind_from(air.wind_from)

    def _kept(self, name: _Name) -> SearchDrives | DrivesInWinds:
        """Return what is kept under a name, flown first where it is not, and forget what has no room."""
        with self._lock:
            new = name not in self._flown
            if new:
                self._fly(*name)
            self._flown.move_to_end(name)
            while new and self.nbytes > self.room and len(self._flown) > 2:
                self._flown.popitem(last=False)
            return self._flown[name]

    def _fly(self, name: str, strike: int, air: Air) -> None:
        """Fly the drives of a strike; of the driver always all, since it is hit from nearly every tee."""
        if name == "winds":
            half = self._strike(strike, 2)
            self._flown["winds", strike, air] = fly_in_winds(half, air, firmness=self.firmness)
        elif name == "coarse" and self.golfer.player.strikes[strike].club != "driver":
            few = fly_struck(self._strike(strike, 4), air)
            self._flown["coarse", strike, air] = prepare(few, self.firmness)
        else:
            flown = fly_struck(self._strike(strike, 1), air)
            self._flown["fine", strike, air] = prepare(flown, self.firmness)
            each = len(flown.tilt) // POSTERIOR_DRAWS
            first = np.arange(len(flown.tilt)).reshape(POSTERIOR_DRAWS, each)[:, : self._each(4)]
            self._flown["coarse", strike, air] = prepare(flown.subset(first.ravel()), self.firmness)

    def _strike(self, strike: int, parts: int) -> StruckDrives:
        """Return the first drives of a strike by each golfer, one in `parts`."""
        if (strike, parts) not in self._struck:
            self._struck[strike, parts] = self.golfer.strike(strike, _first(self.choosing, self._each(parts)))
        return self._struck[strike, parts]

    def _each(self, parts: int) -> int:
        """Return how many drives one in `parts` are, for each golfer."""
        return max(int(self.choosing.points.shape[1]) // parts, FEWEST_DRAWS // POSTERIOR_DRAWS)


@lru_cache(maxsize=16)  # the golfers of a team share theirs
def _first(draws: Draws, each: int) -> Draws:
    """Return the first `each` of the draws of every golfer."""
    return Draws(draws.points[:, :each])
