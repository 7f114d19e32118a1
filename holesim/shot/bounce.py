"""Bounce and run: where a ball stops, from how it lands and on which ground."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import singles
from holesim.course.course import Firmness, Ground
from holesim.course.ground_map import FIRMNESS, GroundMap
from holesim.shot import _bounce_kernel as kernel
from holesim.shot.flight import GRAVITY, Landings
from holesim.shot.impact import BALL_RADIUS

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Finishes:
    """Where balls stop [m, hole frame] and the `Ground` code there; arrays of equal length."""

    x: Floats
    y: Floats
    ground: NDArray[np.int64]


# Columns: restitution (a factor on Penner's), friction, give (a factor on the lean of the crater), rolling
# resistance (deceleration over gravity), and whether a ball stops where it lands. Penner's turf is the medium
# fairway; a green's rolling resistance is that of a speed of 10 ft on the USGA's speed measure. All other
# numbers are graded around these by our judgement (no source).
_MEDIUM: Final = {
    Ground.OUT: (0.85, 0.45, 1.0, 0.30, 0.0),
    Ground.RED: (0.0, 0.0, 1.0, 1.0, 1.0),
    Ground.YELLOW: (0.0, 0.0, 1.0, 1.0, 1.0),
    Ground.BUNKER: (0.30, 0.60, 1.6, 1.20, 0.0),
    Ground.GREEN: (1.0, 0.40, 1.0, 0.056, 0.0),
    Ground.TEE: (1.0, 0.40, 1.0, 0.10, 0.0),
    Ground.FAIRWAY: (1.0, 0.40, 1.0, 0.10, 0.0),
    Ground.TREES: (0.40, 0.60, 1.2, 0.80, 0.0),
    Ground.HEAVY_ROUGH: (0.50, 0.55, 1.2, 0.70, 0.0),
    Ground.ROUGH: (0.75, 0.50, 1.1, 0.40, 0.0),
}
_FIRMNESS: Final[dict[Firmness, tuple[float, float, float]]] = {
    # Factors on the turf's restitution, give and rolling resistance: our assumption.
    "soft": (0.85, 1.15, 1.25),
    "medium": (1.0, 1.0, 1.0),
    "firm": (1.15, 0.85, 0.8),
}


@cache
def surfaces(firmness: Firmness) -> Floats:
    """Return the coefficients of every kind of ground at one firmness, a row for each `Ground` code.

    The columns are restitution, friction, give, rolling resistance, and 1 where a ball stops as it lands.
    """
    lively, give, slow = _FIRMNESS[firmness]
    table = np.array([_MEDIUM[ground] for ground in Ground])
    turf = [Ground.OUT, Ground.GREEN, Ground.TEE, Ground.FAIRWAY, Ground.ROUGH, Ground.HEAVY_ROUGH]
    table[turf] *= (lively, 1.0, give, slow, 1.0)
    return table


@cache
def surface_table() -> NDArray[np.float32]:
    """Return the kernel's table: `surfaces` for each firmness, in the order of `FIRMNESS`."""
    return np.concatenate([surfaces(firmness) for firmness in FIRMNESS]).astype(np.float32)


def run(landings: Landings, ground: GroundMap) -> Finishes:
    """Let balls bounce and roll until they stop.

    Parameters
    ----------
    landings
        In the hole frame, as `to_hole_frame` gives them.
    ground
        The ground map they land on.

    Notes
    -----
    The turf gives. So a ball bounces as if off a slope of 15.4°·(v/18.6 m/s)·(θ/44.4°) that faces it, where
    v is its speed and θ the angle of its path from the vertical. The restitution of the normal speed v is
    0.510 - 0.0375v + 0.000903v², and 0.120 from 20 m/s (Penner 2002, constants from memory). The ball leaves
    rolling, or sliding where friction is too weak. A ball in water stops where it enters.

    Four additions are ours, because the measurements behind Penner's numbers (Haake 1989) have no shallow
    landings. The slope is at most the cube of the landing angle over (11°)²: a shallow crater has no wall to
    lean against. A ball keeps at most 0.3·(1 + (landing angle/11°)²) of its speed of descent. Drag acts on
    hops. The grass drags with the square of the speed, and at 7 m/s as strongly as rolling resistance, so
    that a topped drive skids tens of yards, not hundreds. We chose these constants by judgement, with the
    20 to 25 yd of run of the Course Rating System's golfers in view.

    Known fault: a thin drive that lands at 11.9 to 12.5° keeps hopping. In rough it may then run up to 10 m
    farther on softer ground, and up to 12 m farther in heavy rough than in light rough.

    References
    ----------
    Penner, "The run of a golf ball", Can. J. Phys. 80, 2002.
    Haake, "Apparatus and test methods for measuring the impact of golf balls on turf", PhD thesis, Aston,
    1989 (title from memory).

    Examples
    --------
    >>> from holesim.course.ground_map import plain
    >>> from holesim.shot.air import make_air
    >>> from holesim.shot.flight import fly, to_hole_frame
    >>> from holesim.shot.single_drive import from_ball
    >>> drive = from_ball(speed_mph=167, angle_deg=10.9, spin_rpm=2686)
    >>> landings, _ = to_hole_frame(*fly(drive, make_air()), heading=0.0, origin=(0.0, 0.0))
    >>> soft, firm = (run(landings, plain(Ground.FAIRWAY, firmness=f)) for f in ("soft", "firm"))
    >>> bool(landings.y[0] < soft.y[0] < firm.y[0])
    True
    """
    finish, codes = np.empty((2, len(landings.x))), np.empty(len(landings.x), dtype=np.int64)
    # The axis keeps its direction from launch to landing, so sidespin turns the ball about the vertical,
    # where nothing rubs.
    back = landings.spin * np.cos(landings.tilt)
    kernel.run(
        landings.x, landings.y, landings.vx, landings.vy, landings.vz, back,
        ground.grid, surface_table(), *singles(BALL_RADIUS, GRAVITY), np.zeros(kernel.ROOM, dtype=np.float32),
        np.zeros(kernel.INTEGERS, dtype=np.int32), finish, codes,
    )  # fmt: skip
    return Finishes(finish[0], finish[1], codes)
