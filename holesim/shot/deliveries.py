"""Deliveries: what the club does at impact, with errors drawn from the player's dispersion."""

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
"""Power of club speed by which a player's dispersion grows. Noise that grows with force (Harris & Wolpert,
Nature 394, 1998) in a swing that takes less time gives a power between 0 and 1; 0.5 is our assumption."""

SPIN_EXPONENT: Final = 0.0
"""Power of spin by which a player's dispersion falls, beyond what the flight does; 0 without data."""

_SPEED_BOUNDS: Final = (0.3, 1.7)  # of a strike's club speed, the slowest and the fastest swing
LEAST_SPIN: Final = 30.0
"""Spin [rad/s], some 300 rpm, below which dispersion grows no more: a face square to its path gives none."""

_DIMENSIONS: Final = 8  # seven errors, and whether the drive is a bad miss


@dataclass(frozen=True)
class Draws:
    """Points in the unit cube, shape (replicates, draws of each, 8)."""

    points: Floats


@dataclass(frozen=True)
class Deliveries:
    """What the club does at impact; arrays of equal length, SI units and radians.

    Positive is right of the aim for `path` and `face`, up for `attack`, and from the centre of the face
    towards the toe for `toe` and up for `high`.
    """

    club_speed: Floats
    attack: Floats
    path: Floats
    face: Floats
    dynamic_loft: Floats
    toe: Floats
    high: Floats


def make_draws(draws: int, replicates: int, rng: np.random.Generator) -> Draws:
    """Return `draws` points in all, shared evenly among scrambled Sobol' sequences, one for each replicate.

    Quasi-random points fill the cube evenly. Each scramble (Owen's) gives an independent estimate, so the
    spread among replicates measures the error of their mean.

    Examples
    --------
    >>> make_draws(4096, 16, np.random.default_rng(1)).points.shape
    (16, 256, 8)
    """
    each = draws // replicates
    points = np.stack([qmc.Sobol(_DIMENSIONS, rng=stream).random(each) for stream in rng.spawn(replicates)])
    return Draws(np.clip(points, 1e-12, 1 - 1e-12))


def mean_delivery(strike: Strike) -> Deliveries:
    """Return the mean delivery of a strike, as arrays of length 1."""
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
    """Return the deliveries of one strike: one for each draw, replicate after replicate.

    Strikes that share their draws share their luck, so that their difference is known better than either.

    Parameters
    ----------
    spin, mean_spin
        Spin of this strike's mean delivery, and its mean over the player's driver strikes [rad/s]. The player
        file may say at which spin its dispersion holds; if it does not, `mean_spin` is taken.
    speed_exponent, spin_exponent
        Powers a and b of the law sd = sd₀·(speed/speed₀)^a·(spin₀/spin)^b, which scales the dispersion of
        face, path and strike point.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> strike = load_player(find(PLAYER)).driver("up")
    >>> draws = make_draws(1024, 1, np.random.default_rng(1))
    >>> deliveries = sample(strike, draws, spin=250.0, mean_spin=250.0)
    >>> bool(abs(deliveries.face.mean() - strike.face) < 0.1 * strike.spread.face)
    True
    """
    spread = strike.spread
    u = draws.points.reshape(-1, _DIMENSIONS)
    wild = np.where(u[:, 7] < spread.miss_rate, spread.miss_scale, 1.0)
    z = ndtri(u[:, :7]) * wild[:, None]
    at_spin = mean_spin if spread.at_spin is None else spread.at_spin
    law = (strike.club_speed / spread.at_speed) ** speed_exponent
    law *= (at_spin / max(spin, LEAST_SPIN)) ** spin_exponent
    rho = spread.face_path_correlation
    face = z[:, 0]
    path = rho * face + np.sqrt(1 - rho**2) * z[:, 1]
    return Deliveries(
        club_speed=strike.club_speed * np.clip(1 + spread.speed * z[:, 3], *_SPEED_BOUNDS),
        attack=strike.attack + spread.attack * z[:, 2],
        path=strike.path + law * spread.path * path,
        face=strike.face + law * spread.face * face,
        # A topped or ballooned swing is still a swing: the loft stays within what a head can present.
        dynamic_loft=np.clip(strike.dynamic_loft + spread.dynamic_loft * z[:, 4], 1 * DEGREE, 70 * DEGREE),
        toe=strike.toe + law * spread.toe * z[:, 5],
        high=strike.high + law * spread.high * z[:, 6],
    )
