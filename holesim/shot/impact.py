"""Impact: how the ball leaves the face, from how the club meets it.

A rigid head of given effective mass and inertia meets the ball for an instant. Impulse and momentum in three
dimensions give ball speed, launch and spin together. So they also give what a strike off the centre does: the
loss of speed, the gear effect, and the effects of bulge and roll. The model is Penner's (2001) and Cross and
Dewhurst's (2018), written for a contact anywhere on the face.

References
----------
Penner, "The physics of golf: the optimum loft of a driver", Am. J. Phys. 69, 2001.
Cross and Dewhurst, "Launch speed, angle and spin in golf", Eur. J. Phys. 39, 2018.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.player.player import ClubKind
from holesim.shot import _impact_kernel as kernel
from holesim.shot.deliveries import Deliveries
from holesim.units import MPH

Floats = NDArray[np.float64]

BALL_MASS: Final = 0.04593  # kg, the most that the Equipment Rules allow
BALL_RADIUS: Final = 0.042672 / 2  # m, the least that they allow


@dataclass(frozen=True, kw_only=True)
class Head:
    """A clubhead as the ball feels it.

    Attributes
    ----------
    mass
        Effective mass [kg]: the head, and the part of the shaft that moves with it during the contact.
    restitution
        Coefficient of restitution of the normal velocity at the contact.
    grip
        Tangential impulse over the one that would leave the ball rolling on the face. At 1 the ball rolls;
        below 1 it still slips, above 1 it springs back along the face.
    depth
        Distance from the face to the centre of gravity [m].
    inertia_up, inertia_toe, inertia_forward
        Moments of inertia [kg m²] about the vertical, heel-to-toe and front-to-back axes.
    bulge, roll
        Radii of the face [m], heel to toe and top to bottom; infinite where it is flat.
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


# The driver's restitution is the Equipment Rules' limit. Inertias, depths and radii are those of ordinary
# heads (common practice, no source). The ball leaves the driver rolling, as in Penner's model, unless
# `choose_head` says otherwise. The driver's mass, a 200 g head and 23 g of shaft, is our assumption. The
# grips of other clubs were tuned on the tour's average fairway wood, hybrid and middle iron (radar, widely
# reproduced, from memory).
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


def choose_head(kind: ClubKind, club_speed: float) -> Head:
    """Return the head that a golfer of a given club speed [m/s] plays.

    Notes
    -----
    A rolling ball spins as much as the average drives of the women's tour and of club golfers, but a third
    more than those of the men's tour. Fast swings are fitted with heads and balls that spin less, which is
    modelled as less grip. The least grip was tuned on one number, the spin of the men's average drive. That
    grip falls smoothly from 90 to 120 mph is our assumption; the average drives of women and of amateurs
    check it.
    """
    ordinary = HEADS[kind]
    if kind != "driver":
        return ordinary
    return replace(ordinary, grip=float(find_grip(np.array(club_speed))))


def find_grip(club_speed: Floats) -> Floats:
    """Return the grip of the drivers that golfers of some club speeds [m/s] play, of the same shape."""
    low, high = _FITTED
    share = np.clip((club_speed - low) / (high - low), 0.0, 1.0)
    return np.asarray(1 - (1 - _LEAST_GRIP) * share * share * (3 - 2 * share))


@dataclass(frozen=True)
class Launches:
    """How the ball leaves the face; arrays of equal length, SI units and radians.

    A positive `direction` is right of the aim. `tilt` is that of the spin axis; a positive one curves the
    ball right.
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
    The axes are n (out of the face), t (right along it) and u (up it), and the contact lies at (depth, y, z)
    from the centre of gravity. An impulse J changes the velocity between ball and face by K·J. The normal
    impulse makes the ball part from the face at `restitution` times the speed of approach. The tangential
    impulse is `grip` times the one that would stop all slip. Face angle and loft are those at the centre of
    the face, whose normal passes through the centre of gravity.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> from holesim.shot.deliveries import mean_delivery
    >>> player = load_player(find(PLAYER))
    >>> club = choose_head("driver", player.club_speed)
    >>> up, down = (impact(mean_delivery(player.driver(s)), club, side=player.side) for s in ("up", "down"))
    >>> bool(up.angle[0] > down.angle[0] and up.spin[0] < down.spin[0])
    True
    """
    return impact_each(deliveries, [head], side=side)


def impact_each(deliveries: Deliveries, heads: Sequence[Head], *, side: float) -> Launches:
    """Return launches as `impact` does, by several clubheads: the same number by each, head after head.

    Raises
    ------
    ValueError
        If the deliveries cannot be shared evenly.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> from holesim.shot.deliveries import mean_delivery
    >>> player = load_player(find(PLAYER))
    >>> strikes = player.strikes[0], player.strikes[-1]
    >>> heads = [choose_head(strike.kind, strike.club_speed) for strike in strikes]
    >>> driver, iron = impact_each(mean_delivery(*strikes), heads, side=player.side).spin
    >>> bool(driver < iron)
    True
    """
    d = deliveries
    rows = np.array([d.club_speed, d.attack, d.path, d.face, d.dynamic_loft, d.toe, d.high], dtype=float)
    swings = np.ascontiguousarray(rows.reshape(len(rows), len(heads), -1).swapaxes(0, 1))
    launches = np.empty((len(heads), 5, swings.shape[2]))
    for own, head, found in zip(swings, heads, launches, strict=True):
        kernel.launch_all(own, club_row(head), side, found)
    return Launches(*launches.swapaxes(0, 1).reshape(5, -1))


def club_row(head: Head) -> tuple[float, ...]:
    """Return the numbers of clubhead and ball in the kernel's order."""
    return (
        head.mass, BALL_MASS, BALL_RADIUS, head.restitution, head.grip, head.depth, head.inertia_up,
        head.inertia_toe, head.inertia_forward, 1 / head.bulge, 1 / head.roll,
    )  # fmt: skip
