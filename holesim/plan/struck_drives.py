"""One strike's drives by all posterior draws of a golfer, each with a ball of their own."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

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

    @cached_property
    def by_ball(self) -> tuple[tuple[Aerodynamics, int], ...]:
        """Each ball and how many drives it flies."""
        return tuple(zip(self.balls, self.counts, strict=True))


def join_struck(launches: Launches, balls: Sequence[Aerodynamics]) -> StruckDrives:
    """Join the launches of golfers, the same number by each, to their balls.

    Golfers with the same ball stand next to one another.
    """
    each = len(launches.speed) // len(balls)
    counts = {ball: each * own for ball, own in Counter(balls).items()}
    return StruckDrives(launches, tuple(counts), tuple(counts.values()))


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
