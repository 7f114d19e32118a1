"""Fit: what measured drives say of a golfer's strikes and their spread, and how surely."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim import _fit_kernel as kernel
from holesim.air import make_air
from holesim.flight import QUINTAVALLA, law_rows
from holesim.impact import club_row, head
from holesim.player import Spread, Strike
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]

DELIVERY: Final = ("club_speed", "attack", "path", "face", "dynamic_loft", "toe", "high")
"""What a swing is described by, in the order of the axes that are called `delivery` below."""

_SPEED, _PATH, _FACE = (DELIVERY.index(name) for name in ("club_speed", "path", "face"))

NOISE: Final[Mapping[str, float]] = {
    "club_speed": 1.0 * MPH, "attack": 0.7 * DEGREE, "path": 0.7 * DEGREE, "face": 0.7 * DEGREE,
    "dynamic_loft": 1.0 * DEGREE, "toe": 3 * MM, "high": 3 * MM, "ball_speed": 1.5 * MPH,
    "launch_angle": 0.5 * DEGREE, "start_direction": 0.5 * DEGREE, "spin": 250 * RPM,
    "axis_tilt": 2.0 * DEGREE, "offline": 0.7 * DEGREE, "carry": 6 * YARD,
}  # fmt: skip
"""Standard deviations of what is measured about what was, the model's own errors included: our assumption."""

MEAN_SD: Final = np.array([0, 2 * DEGREE, 3 * DEGREE, 1.5 * DEGREE, 2.5 * DEGREE, 6 * MM, 6 * MM])
MEAN_SPEED_SD: Final = 0.05
"""How far golfers' means lie from the default for their strike, speed as a share of it: our assumption."""

SPREAD_WEIGHT: Final = 8.0
"""Drives that the default spread counts for; 8 let a golfer's be a quarter more or less: our assumption."""
LINK_SD: Final = 0.35  # of the slope of path on face, in spreads, about the default
RATIO_SD: Final = 0.15  # of the logarithm of a strike's spread over the usual strike's
MISS_WEIGHT: Final = 40.0  # drives that the default rate of bad misses counts for

_RATIOS: Final = np.exp(np.linspace(-0.6, 0.6, 121))


@dataclass(frozen=True)
class Fit:
    """Draws from what may be true of a golfer, given their drives; SI units and radians.

    Attributes
    ----------
    means
        Mean delivery of each strike, shape (draws, strikes, 7), axes as `DELIVERY`.
    spread
        Standard deviations of the usual strike, the first, shape (draws, 7).
    ratios
        Every strike's spread over it, shape (draws, strikes).
    correlation, miss_rate
        Of face and path, and share of bad misses, shape (draws,).
    missed
        Chance that each drive was a bad miss, shape (drives,).
    """

    means: Floats
    spread: Floats
    ratios: Floats
    correlation: Floats
    miss_rate: Floats
    missed: Floats


def fit(
    measured: Mapping[str, Floats],
    strike_of: NDArray[np.int64],
    strikes: Sequence[Strike],
    *,
    side: float,
    draws: int = 2000,
    rng: np.random.Generator,
) -> Fit:
    """Return what may be true of a golfer whose drives were measured.

    Parameters
    ----------
    measured
        Any of the columns of `NOISE`, each of a value per drive, NaN where there is none.
    strike_of
        Which of `strikes` each drive was hit with.
    strikes
        The golfer's strikes as far as they are known without these drives, the usual one first: their means
        and the first's spread are what few drives are held against.
    side
        +1 for a right-hander, -1 for a left-hander.
    draws
        How many draws are kept.

    Notes
    -----
    Each drive's delivery is one of a normal distribution about its strike's mean, or, as rarely as there are
    bad misses, of one `miss_scale` times as wide; what is measured follows from it through the impact model,
    and the flight, made linear about each drive, with noise. Gibbs sampling alternates between the deliveries
    and what describes the golfer (Gelman et al., Bayesian Data Analysis, 2013, ch. 11 and 15).
    """
    spread = strikes[0].spread
    unit = _unit(spread, strikes[0].club_speed)
    centres = np.array([[getattr(strike, name) for name in DELIVERY] for strike in strikes])
    prior = _prior(spread, strikes[0].club_speed, unit)
    kept = _blank(draws, len(strikes))
    golfer = kernel.Golfer(
        np.zeros((len(strikes), len(DELIVERY))),
        prior.spread.copy(),
        np.ones(len(strikes)),
        np.array([prior.link]),
        np.array([prior.miss_rate]),
    )
    missed = np.zeros(len(strike_of))
    club = club_row(head("driver", strikes[0].club_speed))
    law = law_rows(QUINTAVALLA, make_air(), 0.0)
    measures = kernel.Measures(*_values(measured, len(strike_of)), strike_of, centres, unit, club, side, law)
    kernel.sample(measures, prior, golfer, kept, missed, rng)
    # The path's own spread is what is left of it beside the face's part.
    with_face = kept.link * kept.spread[:, _FACE]
    path = np.hypot(with_face, kept.spread[:, _PATH])
    kept.spread[:, _PATH] = path
    return Fit(
        centres + unit * kept.means,
        unit * kept.spread,
        kept.ratios,
        with_face / path,
        kept.miss_rate,
        missed,
    )


def _unit(spread: Spread, club_speed: float) -> Floats:
    """Return the default spread, in which deliveries are counted from the default means."""
    return np.array([
        spread.speed * club_speed, spread.attack, spread.path, spread.face, spread.dynamic_loft, spread.toe,
        spread.high,
    ])  # fmt: skip


def _values(measured: Mapping[str, Floats], drives: int) -> tuple[Floats, Floats]:
    """Return what was measured, in the columns of `NOISE`, and its precision: nought where nothing was."""
    nothing = np.full(drives, np.nan)
    values = np.array([measured.get(name, nothing) for name in NOISE]).T
    known = np.isfinite(values)
    return np.where(known, values, 0.0), np.where(known, np.array(list(NOISE.values())) ** -2.0, 0.0)


def _prior(spread: Spread, club_speed: float, unit: Floats) -> kernel.Prior:
    sd = MEAN_SD.copy()
    sd[_SPEED] = MEAN_SPEED_SD * club_speed
    own = np.ones(len(DELIVERY))
    own[_PATH] = np.sqrt(1 - spread.face_path_correlation**2)
    return kernel.Prior(
        sd / unit, own, SPREAD_WEIGHT, spread.face_path_correlation, LINK_SD, _RATIOS, RATIO_SD,
        spread.miss_rate, MISS_WEIGHT, spread.miss_scale,
    )  # fmt: skip


def _blank(draws: int, strikes: int) -> kernel.Golfer:
    """Return room for draws of what describes a golfer."""
    axes = len(DELIVERY)
    return kernel.Golfer(
        np.empty((draws, strikes, axes)),
        np.empty((draws, axes)),
        np.empty((draws, strikes)),
        np.empty(draws),
        np.empty(draws),
    )
