"""Landing: where drives come down on ground that is higher or lower than the tee, and in trees."""

from collections.abc import Sequence
from math import cos, sin

from holesim.common._simd_kernel import singles
from holesim.course.ground_map import GroundMap
from holesim.shot import _flight_kernel as level
from holesim.shot import _landing_kernel as kernel
from holesim.shot.air import Air
from holesim.shot.flight import (
    GRAVITY,
    QUINTAVALLA,
    Aerodynamics,
    Landings,
    Tracks,
    blank_landing,
    blank_room,
    blank_track,
    pack_laws,
    start_rows,
    to_hole_frame,
    unpack_landings,
)
from holesim.shot.impact import Launches


def land(
    launches: Launches,
    air: Air,
    ground: GroundMap,
    *,
    heading: float,
    origin: tuple[float, float],
    aerodynamics: Aerodynamics = QUINTAVALLA,
) -> tuple[Landings, Tracks]:
    """Fly `launches` from a tee to the ground of a course.

    Parameters
    ----------
    heading
        True direction of the aim [rad], clockwise from north.
    origin
        The tee [m, hole frame].
    aerodynamics
        The ball.

    Returns
    -------
    Landings, Tracks
        In the hole frame; heights are above the tee.

    Notes
    -----
    The height that sets the wind is above the tee too, so below the tee the air is still. Landings lie within
    1 cm of scipy's `solve_ivp`, and within 20 cm in wind and below the tee. A ball that flies into trees
    below their top drops straight down; its time and apex stay those of the flight without trees.
    """
    return land_balls(
        launches, [(aerodynamics, len(launches.speed))], air, ground, heading=heading, origin=origin
    )


def land_balls(
    launches: Launches,
    balls: Sequence[tuple[Aerodynamics, int]],
    air: Air,
    ground: GroundMap,
    *,
    heading: float,
    origin: tuple[float, float],
) -> tuple[Landings, Tracks]:
    """Fly `launches` with several balls, as `land` does with one.

    Parameters
    ----------
    balls
        Each ball and how many drives it flies, in the order of the drives.
    """
    stand = kernel.Stand(*singles(*origin, ground.elevation(*origin), sin(heading), cos(heading)))
    start, room, (laws, ends) = start_rows(launches), blank_room(), pack_laws(balls, air, heading)
    landing, track = blank_landing(start.shape[1]), blank_track(start.shape[1])
    if ground.grid.even:
        level.fly(start, laws, ends, 0, start.shape[1], room, landing, track)
    else:
        kernel.fly_over(start, laws, ends, stand, ground.grid, room, landing, track)
    if ground.grid.tallest:
        kernel.meet_trees(stand, ground.grid, *singles(GRAVITY), landing, track)
    return to_hole_frame(
        unpack_landings(landing, launches.tilt), Tracks(track), heading=heading, origin=origin
    )
