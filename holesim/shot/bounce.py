"""Bounce and run: from how a ball lands, and on what, to where it stops."""

from dataclasses import dataclass
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
    """Where balls stop [m, hole frame], and the `Ground` code there; arrays of equal length."""

    x: Floats
    y: Floats
    ground: NDArray[np.int64]


# Restitution (a factor on Penner's), friction, give (a factor on the lean of the crater), rolling resistance
# (deceleration over gravity), and whether a ball stops where it lands. Penner's turf is the medium fairway;
# a green's rolling resistance is that of a speed of 10 ft on the USGA's speed measure. The rest are graded
# around these by judgement (no source).
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
    # factors on restitution, give and rolling resistance of turf
    "soft": (0.85, 1.15, 1.25),
    "medium": (1.0, 1.0, 1.0),
    "firm": (1.15, 0.85, 0.8),
}


def surfaces(firmness: Firmness) -> Floats:
    """Return what ground of one firmness does to a ball, a row for each `Ground` code."""
    lively, give, slow = _FIRMNESS[firmness]
    table = np.array([_MEDIUM[ground] for ground in Ground])
    turf = [Ground.OUT, Ground.GREEN, Ground.TEE, Ground.FAIRWAY, Ground.ROUGH, Ground.HEAVY_ROUGH]
    table[turf] *= (lively, 1.0, give, slow, 1.0)
    return table


def surface_table() -> NDArray[np.float32]:
    """Return the kernel's table: `surfaces` of each firmness in the order of `FIRMNESS`."""
    return np.concatenate([surfaces(firmness) for firmness in FIRMNESS]).astype(np.float32)


def run(landings: Landings, ground: GroundMap) -> Finishes:
    """Let balls bounce and roll to rest; `landings` are in the hole frame.

    Notes
    -----
    Penner, "The run of a golf ball", Can. J. Phys. 80, 2002 (constants from memory): the turf gives, so a
    ball bounces as off a slope of 15.4°·(v/18.6 m/s)·(θ/44.4°) against its travel, θ its angle from the
    vertical; the restitution of the normal speed is 0.510 - 0.0375v + 0.000903v², and 0.120 from 20 m/s; the
    ball leaves rolling, or sliding where friction is too little. A ball in water stops where it enters.

    Four things are ours, since the measurements he rests on (Haake, PhD thesis, Aston, 1989) stop far from
    a graze. The slope stays below the landing angle's cube over 11° squared: a shallow crater has no wall to
    lean against. Of its speed of descent a ball keeps at most 0.3·(1 + (landing angle/11°)²). Hops feel the
    air. And the grass drags with the square of the speed, as much again as the rolling resistance at 7 m/s,
    so that a topped drive skids tens of yards, not hundreds. Their constants were chosen by judgement, with
    the 20 to 25 yd of run of the Course Rating System's golfers in view.
    """
    rest, codes = np.empty((2, len(landings.x))), np.empty(len(landings.x), dtype=np.int64)
    # The axis has kept its direction since the launch, so what sidespin there is turns the ball about the
    # vertical, where it rubs nothing.
    back = landings.spin * np.cos(landings.tilt)
    kernel.run(
        landings.x, landings.y, landings.vx, landings.vy, landings.vz, back,
        ground.grid, surface_table(), *singles(BALL_RADIUS, GRAVITY), np.zeros(kernel.ROOM, dtype=np.float32),
        np.zeros(kernel.INTEGERS, dtype=np.int32), rest, codes,
    )  # fmt: skip
    return Finishes(rest[0], rest[1], codes)
