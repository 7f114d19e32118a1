"""The conditions of a round, in SI units."""

from dataclasses import dataclass
from typing import Final, Literal

from holesim.course.course import Course, Firmness
from holesim.course.ground_map import GroundMap, map_ground
from holesim.shot.air import Air
from holesim.shot.deliveries import SPEED_EXPONENT, SPIN_EXPONENT
from holesim.shot.flight import Aerodynamics
from holesim.shot.relief import OutOfBounds

FEWEST_DRAWS: Final = 256
MOST_DRAWS: Final = 2**17
"""The number of drives of each strike is a power of two between these."""


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What holds for the round besides course and player, in SI units.

    Attributes
    ----------
    air
        Density and wind.
    ball
        A ball that is known for sure; by default every golfer has one of those that published flights leave
        open (`balls`).
    firmness, unmapped
        How firm the turf is, and what lies where nothing is drawn; by default as the course says.
    out_of_bounds
        "distance" for stroke and distance, "drop" for Model Local Rule E-5.
    by_table
        Whether expected strokes come from the table by lie and distance instead of from the hole.
    speed_exponent, spin_exponent
        The exponents of club speed and spin in the law of spread.
    """

    air: Air
    ball: Aerodynamics | None = None
    firmness: Firmness | None = None
    unmapped: Literal["rough", "heavy"] | None = None
    out_of_bounds: OutOfBounds = "distance"
    by_table: bool = False
    speed_exponent: float = SPEED_EXPONENT
    spin_exponent: float = SPIN_EXPONENT


def map_in(course: Course, conditions: Conditions) -> GroundMap:
    """Return the ground map of a course in some conditions."""
    return map_ground(course, unmapped=conditions.unmapped, firmness=conditions.firmness)
