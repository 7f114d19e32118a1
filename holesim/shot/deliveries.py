"""Deliveries: what the club does at impact, with errors drawn from the player's dispersion."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
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


@dataclass(frozen=True, eq=False)  # told apart by identity, so that caches may hold them
class Draws:
    """Points in the unit cube, shape (replicates, draws of each, 8)."""

    points: Floats

    @cached_property
    def errors(self) -> Floats:
        """The errors of drives that are no bad misses, in standard deviations, shape (7, draws)."""
        return np.ascontiguousarray(ndtri(self.points.reshape(-1, _DIMENSIONS).T[:-1]))

    @cached_property
    def luck(self) -> Floats:
        """Of each draw the miss rate from which it is a bad miss."""
        return np.ascontiguousarray(self.points[..., -1].ravel())


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


def mean_delivery(*strikes: Strike) -> Deliveries:
    """Return the mean delivery of each of the strikes."""
    fields = ("club_speed", "attack", "path", "face", "dynamic_loft", "toe", "high")
    return Deliveries(*(np.array([getattr(s, field) for s in strikes], dtype=float) for field in fields))


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
    return sample_each(
        [strike],
        draws,
        spins=[spin],
        mean_spins=[mean_spin],
        speed_exponent=speed_exponent,
        spin_exponent=spin_exponent,
    )


def sample_each(
    strikes: Sequence[Strike],
    draws: Draws,
    *,
    spins: Sequence[float],
    mean_spins: Sequence[float],
    speed_exponent: float = SPEED_EXPONENT,
    spin_exponent: float = SPIN_EXPONENT,
) -> Deliveries:
    """Return deliveries of several strikes as `sample` does: the same number of each, strike after strike.

    Parameters
    ----------
    spins, mean_spins
        Those of each strike, as in `sample` [rad/s].

    Raises
    ------
    ValueError
        If the draws cannot be shared evenly.

    Examples
    --------
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> player = load_player(find(PLAYER))
    >>> both = [player.driver("up"), player.driver("down")]
    >>> draws = make_draws(512, 2, np.random.default_rng(1))
    >>> deliveries = sample_each(both, draws, spins=[250.0, 330.0], mean_spins=[290.0, 290.0])
    >>> up, down = deliveries.attack.reshape(2, 256).mean(axis=1)
    >>> bool(up > down)
    True
    """
    spreads = [strike.spread for strike in strikes]

    def mean(field: str) -> Floats:
        return np.array([[getattr(strike, field)] for strike in strikes])

    def sd(field: str) -> Floats:
        return np.array([[getattr(spread, field)] for spread in spreads])

    count = len(strikes)
    z = draws.errors.reshape(len(draws.errors), count, -1)
    z = z * np.where(draws.luck.reshape(count, -1) < sd("miss_rate"), sd("miss_scale"), 1.0)
    at_spin = [[m if s.at_spin is None else s.at_spin] for s, m in zip(spreads, mean_spins, strict=True)]
    law = (mean("club_speed") / sd("at_speed")) ** speed_exponent
    law *= (at_spin / np.maximum(np.reshape(spins, (count, 1)), LEAST_SPIN)) ** spin_exponent
    rho = sd("face_path_correlation")
    linked = rho * z[0] + np.sqrt(1 - rho**2) * z[1]
    loft = mean("dynamic_loft") + sd("dynamic_loft") * z[4]
    found = {
        "club_speed": mean("club_speed") * np.clip(1 + sd("speed") * z[3], *_SPEED_BOUNDS),
        "attack": mean("attack") + sd("attack") * z[2],
        "path": mean("path") + law * sd("path") * linked,
        "face": mean("face") + law * sd("face") * z[0],
        # A topped or ballooned swing is still a swing: the loft stays within what a head can present.
        "dynamic_loft": np.clip(loft, 1 * DEGREE, 70 * DEGREE),
        "toe": mean("toe") + law * sd("toe") * z[5],
        "high": mean("high") + law * sd("high") * z[6],
    }
    return Deliveries(**{field: values.ravel() for field, values in found.items()})
