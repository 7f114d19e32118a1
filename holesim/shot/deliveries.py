"""The swing's errors: the same quasi-random draws for every strike and aim, scaled by the spread law."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from holesim.player.player import Strike
from holesim.units import DEGREE

Floats = NDArray[np.float64]

SPEED_EXPONENT: Final = 0.5
"""How the spread grows when one player swings harder: noise that grows with force (Harris & Wolpert,
Nature 394, 1998) in a swing that takes less time gives between 0 and 1; 0.5 is an assumption."""

SPIN_EXPONENT: Final = 0.0
"""What a player's own data show beyond the mechanics of spin; 0 without data."""

_DIMENSIONS: Final = 8  # seven errors and the chance of a bad miss


@dataclass(frozen=True)
class Draws:
    """Points in the unit cube, shape (replicates, draws in each, 8)."""

    points: Floats


@dataclass(frozen=True)
class Deliveries:
    """What the club does at impact; arrays of equal length, SI units and radians.

    `path` and `face` are right of the aim; `attack` is up; `toe` is towards the club's own toe and
    `high` up the face, both from its centre.
    """

    club_speed: Floats
    attack: Floats
    path: Floats
    face: Floats
    dynamic_loft: Floats
    toe: Floats
    high: Floats


def make_draws(draws: int, replicates: int, rng: np.random.Generator) -> Draws:
    """Return independent scrambles of a Sobol' sequence (Owen scrambling), `draws` points in all.

    Quasi-random points fill the cube evenly; each scramble is an independent estimate, so the spread
    among them measures the error that is left.
    """
    each = draws // replicates
    points = np.stack([qmc.Sobol(_DIMENSIONS, rng=stream).random(each) for stream in rng.spawn(replicates)])
    return Draws(np.clip(points, 1e-12, 1 - 1e-12))


def nominal(strike: Strike) -> Deliveries:
    """Return the strike's delivery without errors, as arrays of one."""
    means = (
        strike.club_speed,
        strike.attack,
        strike.path,
        strike.face,
        strike.dynamic_loft,
        strike.toe,
        strike.high,
    )
    return Deliveries(*(np.array([value]) for value in means))


def sample(
    strike: Strike,
    draws: Draws,
    *,
    spin: float,
    mean_spin: float,
    speed_exponent: float = SPEED_EXPONENT,
    spin_exponent: float = SPIN_EXPONENT,
) -> Deliveries:
    """Return the deliveries of one strike, one for each draw, replicate after replicate.

    Parameters
    ----------
    spin, mean_spin
        Nominal spin of this strike and the mean of the player's driver strikes [rad/s]; the latter is where
        the spread holds if the player file does not say.
    speed_exponent, spin_exponent
        a and b of the spread law sd = sd₀·(speed/speed₀)^a·(spin₀/spin)^b, which scales face, path and
        strike point.
    """
    spread = strike.spread
    u = draws.points.reshape(-1, _DIMENSIONS)
    wild = np.where(u[:, 7] < spread.miss_rate, spread.miss_scale, 1.0)
    z = ndtri(u[:, :7]) * wild[:, None]
    at_spin = mean_spin if spread.at_spin is None else spread.at_spin
    law = (strike.club_speed / spread.at_speed) ** speed_exponent * (at_spin / spin) ** spin_exponent
    rho = spread.face_path_correlation
    face = z[:, 0]
    path = rho * face + np.sqrt(1 - rho**2) * z[:, 1]
    return Deliveries(
        club_speed=strike.club_speed * np.maximum(1 + spread.speed * z[:, 3], 0.3),
        attack=strike.attack + spread.attack * z[:, 2],
        path=strike.path + law * spread.path * path,
        face=strike.face + law * spread.face * face,
        # A topped or ballooned swing is still a swing: the loft stays within what a head can present.
        dynamic_loft=np.clip(strike.dynamic_loft + spread.dynamic_loft * z[:, 4], 1 * DEGREE, 70 * DEGREE),
        toe=strike.toe + law * spread.toe * z[:, 5],
        high=strike.high + law * spread.high * z[:, 6],
    )
