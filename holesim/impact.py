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

from holesim.player import ClubKind
from holesim.sampler import Deliveries
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
    # Bulge and roll turn the face outward where it is struck.
    y, z = side * d.toe, d.high
    n, t, u = _face_axes(d.face + y / head.bulge, d.dynamic_loft + z / head.roll)
    b = head.depth
    along = np.stack([np.cos(d.attack) * np.cos(d.path), np.cos(d.attack) * np.sin(d.path), np.sin(d.attack)])
    v_n, v_t, v_u = (d.club_speed * (along * axis).sum(axis=0) for axis in (n, t, u))

    slide = 3.5 / BALL_MASS  # 1/m + r²/I of a solid sphere
    i_u, i_t, i_n = head.inertia_up, head.inertia_toe, head.inertia_forward
    k_nn = 1 / BALL_MASS + 1 / head.mass + z**2 / i_t + y**2 / i_u
    k_tt = slide + 1 / head.mass + b**2 / i_u + z**2 / i_n
    k_uu = slide + 1 / head.mass + b**2 / i_t + y**2 / i_n
    k_nt, k_nu, k_tu = -b * y / i_u, -b * z / i_t, -y * z / i_n

    # Tangential impulse as a linear function of the normal one, then the normal one alone.
    det = k_tt * k_uu - k_tu**2
    t0, u0 = _solve(k_tt, k_uu, k_tu, det, v_t, v_u)
    t1, u1 = _solve(k_tt, k_uu, k_tu, det, -k_nt, -k_nu)
    g = head.grip
    j_n = ((1 + head.restitution) * v_n - g * (k_nt * t0 + k_nu * u0)) / (k_nn + g * (k_nt * t1 + k_nu * u1))
    j_t, j_u = g * (t0 + t1 * j_n), g * (u0 + u1 * j_n)

    tangential = j_t * t + j_u * u
    velocity = (j_n * n + tangential) / BALL_MASS
    speed = np.sqrt((velocity**2).sum(axis=0))
    angle = np.arcsin(velocity[2] / speed)
    direction = np.arctan2(velocity[1], velocity[0])
    spin = 2.5 * np.sqrt(j_t**2 + j_u**2) / (BALL_MASS * BALL_RADIUS)
    # Lift points away from the tangential impulse, square to the velocity.
    right = np.stack([-np.sin(direction), np.cos(direction), np.zeros_like(direction)])
    up = np.stack([-np.sin(angle) * np.cos(direction), -np.sin(angle) * np.sin(direction), np.cos(angle)])
    tilt = np.arctan2(-(tangential * right).sum(axis=0), -(tangential * up).sum(axis=0))
    return Launches(speed, angle, direction, spin, tilt)


def _face_axes(face: Floats, loft: Floats) -> tuple[Floats, Floats, Floats]:
    zero = np.zeros_like(face)
    n = np.stack([np.cos(loft) * np.cos(face), np.cos(loft) * np.sin(face), np.sin(loft)])
    t = np.stack([-np.sin(face), np.cos(face), zero])
    u = np.stack([-np.sin(loft) * np.cos(face), -np.sin(loft) * np.sin(face), np.cos(loft)])
    return n, t, u


def _solve(
    k_tt: Floats, k_uu: Floats, k_tu: Floats, det: Floats, a: Floats, b: Floats
) -> tuple[Floats, Floats]:
    return (k_uu * a - k_tu * b) / det, (k_tt * b - k_tu * a) / det


def spin_loft(deliveries: Deliveries) -> Floats:
    """Return the angle between path and face normal at the face's centre [rad]."""
    d = deliveries
    cosine = np.cos(d.attack) * np.cos(d.dynamic_loft) * np.cos(d.face - d.path) + np.sin(d.attack) * np.sin(
        d.dynamic_loft
    )
    return np.asarray(np.arccos(np.clip(cosine, -1, 1)))
