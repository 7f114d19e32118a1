"""Impact: what the ball does off the face, from what the club does.

A rigid head of stated effective mass and inertia meets the ball for an instant. Impulse and momentum in
three dimensions give ball speed, launch and spin together, and with them the loss of speed, the gear
effect and the bulge and roll of a strike off the centre. The treatment is that of Penner, "The physics of
golf: the optimum loft of a driver", Am. J. Phys. 69, 2001, and Cross and Dewhurst, "Launch speed, angle
and spin in golf", Eur. J. Phys. 39, 2018, written for a contact anywhere on the face.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.player.player import ClubKind
from holesim.shot import _impact_kernel as kernel
from holesim.shot.deliveries import Deliveries
from holesim.units import MPH

Floats = NDArray[np.float64]

BALL_MASS: Final = 0.04593  # kg, the most the Equipment Rules allow
BALL_RADIUS: Final = 0.042672 / 2  # m, the least they allow


@dataclass(frozen=True, kw_only=True)
class Head:
    """A clubhead as the ball feels it.

    Attributes
    ----------
    mass
        Effective mass [kg]: the head, and what of the shaft moves with it during the half millisecond.
    restitution
        Of the normal velocity at the contact.
    grip
        Share of the tangential impulse that would leave the ball rolling on the face. 1 is rolling; less
        is a ball still slipping, more one that springs back along the face.
    depth
        From the face to the centre of gravity [m].
    inertia_up, inertia_toe, inertia_forward
        Moments of inertia [kg m²] about the vertical, heel-to-toe and front-to-back axes.
    bulge, roll
        Radii of the face [m] heel to toe and top to bottom; infinite when flat.
    """

    mass: float
    restitution: float
    grip: float
    depth: float
    inertia_up: float
    inertia_toe: float
    inertia_forward: float
    bulge: float
    roll: float


# Restitution is the Equipment Rules' limit. Inertias, depths and radii are those of ordinary heads (common
# practice, no source). The driver's ball leaves rolling, as Penner has it, unless `head` fits it otherwise;
# its mass, a 200 g head and 23 g of shaft, is our assumption. The grips of the other clubs are tuned on the
# tour's average fairway wood, hybrid and middle iron (radar, widely reproduced, from memory).
HEADS: Final[dict[ClubKind, Head]] = {
    "driver": Head(
        mass=0.223, restitution=0.83, grip=1.0, depth=0.036, inertia_up=4.8e-4, inertia_toe=3.0e-4,
        inertia_forward=2.5e-4, bulge=0.305, roll=0.305,
    ),
    "wood": Head(
        mass=0.235, restitution=0.82, grip=1.03, depth=0.022, inertia_up=2.8e-4, inertia_toe=1.6e-4,
        inertia_forward=1.8e-4, bulge=0.28, roll=0.28,
    ),
    "hybrid": Head(
        mass=0.250, restitution=0.80, grip=1.13, depth=0.016, inertia_up=2.7e-4, inertia_toe=1.2e-4,
        inertia_forward=2.0e-4, bulge=0.33, roll=0.40,
    ),
    "iron": Head(
        mass=0.270, restitution=0.76, grip=1.21, depth=0.006, inertia_up=2.4e-4, inertia_toe=0.6e-4,
        inertia_forward=2.4e-4, bulge=np.inf, roll=np.inf,
    ),
}  # fmt: skip

_LEAST_GRIP: Final = 0.728
_FITTED: Final = (90 * MPH, 120 * MPH)


def head(kind: ClubKind, club_speed: float) -> Head:
    """Return the head that a golfer of that club speed [m/s] plays.

    Notes
    -----
    A rolling ball spins as much as the women's tour's and the club golfer's average drives do, but a third
    more than the men's tour's. Fast swings are fitted with heads and balls that spin less, which shows here
    as less grip. The least of it was tuned on the spin of the men's average alone; that it is reached
    smoothly from 90 to 120 mph is our assumption, which the average women's and amateurs' drives check.
    """
    ordinary = HEADS[kind]
    if kind != "driver":
        return ordinary
    low, high = _FITTED
    share = min(max((club_speed - low) / (high - low), 0.0), 1.0)
    return replace(ordinary, grip=1 - (1 - _LEAST_GRIP) * share * share * (3 - 2 * share))


@dataclass(frozen=True)
class Launches:
    """What the ball does off the face; arrays of equal length, SI units and radians.

    `direction` is right of the aim, `tilt` of the spin axis positive where it curves the ball right.
    """

    speed: Floats
    angle: Floats
    direction: Floats
    spin: Floats
    tilt: Floats


def impact(deliveries: Deliveries, head: Head, *, side: float) -> Launches:
    """Return the launches of `deliveries`.

    Parameters
    ----------
    head
        The clubhead.
    side
        +1 for a right-hander, whose toe points right of the aim; -1 for a left-hander.

    Notes
    -----
    In axes n (out of the face), t (right along it) and u (up it), with the contact at (depth, y, z) from
    the centre of gravity, an impulse J changes the velocity between ball and face by K·J. The normal
    impulse leaves the ball parting at `restitution` times the speed of approach; the tangential one is
    `grip` times that which would stop all slip. Face and loft are those at the middle of the face, from which
    toe and high are measured too, and whose normal passes through the centre of gravity.
    """
    d = deliveries
    swings = np.array([d.club_speed, d.attack, d.path, d.face, d.dynamic_loft, d.toe, d.high], dtype=float)
    launches = np.empty((5, swings.shape[1]))
    kernel.launch_all(swings, club_row(head), side, launches)
    return Launches(*launches)


def club_row(head: Head) -> tuple[float, ...]:
    """Return what the kernel needs to know of clubhead and ball, in its order."""
    return (
        head.mass, BALL_MASS, BALL_RADIUS, head.restitution, head.grip, head.depth, head.inertia_up,
        head.inertia_toe, head.inertia_forward, 1 / head.bulge, 1 / head.roll,
    )  # fmt: skip


def spin_loft(deliveries: Deliveries) -> Floats:
    """Return the angle between path and face normal at the face's centre [rad]."""
    d = deliveries
    cosine = np.cos(d.attack) * np.cos(d.dynamic_loft) * np.cos(d.face - d.path) + np.sin(d.attack) * np.sin(
        d.dynamic_loft
    )
    return np.asarray(np.arccos(np.clip(cosine, -1, 1)))
