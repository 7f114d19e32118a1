"""One strike's drives by all posterior draws of a golfer, each with a ball of their own."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from holesim.course.ground_map import GroundMap
from holesim.shot.air import Air
from holesim.shot.flight import (
    Aerodynamics,
    Flights,
    Landings,
    Tracks,
    fly_balls_around,
    fly_balls_in_relative_wind,
)
from holesim.shot.impact import Launches
from holesim.shot.landing import land_balls


@dataclass(frozen=True)
class StruckDrives:
    """The launches of the same number of drives by each golfer, golfer after golfer, and their balls.

    Attributes
    ----------
    balls
        The ball of the first drives, that of the next ones, and so on.
    counts
        How many drives each of `balls` flies.
    """

    launches: Launches
    balls: tuple[Aerodynamics, ...]
    counts: tuple[int, ...]

    @property
    def by_ball(self) -> list[tuple[Aerodynamics, int]]:
        """Each ball and how many drives it flies."""
        return list(zip(self.balls, self.counts, strict=True))


def join_struck(struck: Sequence[Launches], balls: Sequence[Aerodynamics]) -> StruckDrives:
    """Join the launches of golfers into one record; golfers with the same ball stand next to one another."""
    counts: dict[Aerodynamics, int] = {}
    for launches, ball in zip(struck, balls, strict=True):
        counts[ball] = counts.get(ball, 0) + len(launches.speed)
    return StruckDrives(_joined(struck), tuple(counts), tuple(counts.values()))


def fly_struck(drives: StruckDrives, air: Air) -> Flights:
    """Fly drives to level ground, as `fly_around` does."""
    return fly_balls_around(drives.launches, drives.by_ball, air)


def fly_struck_abreast(drives: StruckDrives, air: Air) -> Flights:
    """Fly drives to level ground in a wind that turns with the aim, as `fly_in_relative_wind` does."""
    return fly_balls_in_relative_wind(drives.launches, drives.by_ball, air)


def land_struck(
    drives: StruckDrives, air: Air, ground: GroundMap, *, heading: float, origin: tuple[float, float]
) -> tuple[Landings, Tracks]:
    """Fly drives from a tee to the ground of a course, as `land` does."""
    return land_balls(drives.launches, drives.by_ball, air, ground, heading=heading, origin=origin)


def _joined(parts: Sequence[Launches]) -> Launches:
    return Launches(*(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Launches)))
