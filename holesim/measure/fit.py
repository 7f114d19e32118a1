"""Fit: a golfer's strikes and their spread, found from measured drives, and how surely they are known."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.measure import _fit_kernel as kernel
from holesim.player import population
from holesim.player.player import ATTACK_BOUNDS_DEG, Strike
from holesim.shot.air import make_air
from holesim.shot.balls import CHANCES, SLOPES, make_ball
from holesim.shot.flight import QUINTAVALLA, law_rows
from holesim.shot.impact import choose_head, club_row
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]

DELIVERY: Final = ("club_speed", "attack", "path", "face", "dynamic_loft", "toe", "high")
"""What describes a delivery, in the order of its axes."""

_SPEED, _PATH, _FACE = (DELIVERY.index(name) for name in ("club_speed", "path", "face"))

NOISE: Final[Mapping[str, float]] = {
    "club_speed": 1.0 * MPH, "attack": 0.7 * DEGREE, "path": 0.7 * DEGREE, "face": 0.7 * DEGREE,
    "dynamic_loft": 1.0 * DEGREE, "toe": 3 * MM, "high": 3 * MM, "ball_speed": 1.5 * MPH,
    "launch_angle": 0.5 * DEGREE, "start_direction": 0.5 * DEGREE, "spin": 250 * RPM,
    "axis_tilt": 2.0 * DEGREE, "offline": 0.7 * DEGREE, "carry": 6 * YARD,
}  # fmt: skip
"""Standard deviations of a measurement about the true value, errors of the model included: our assumption."""

CARRY_SD: Final = 0.02
"""Standard deviation of an error that all carries of a table share, as a share of them: our assumption. It
stands for air that nobody states (10 °C or 300 m of altitude make 0.01) and for how a launch monitor works
carries out. So the ball is known by how carries differ, not by how long they are."""

MEAN_SPEED_SD: Final = 0.05
"""Standard deviation of a strike's mean speed about the golfer's stated one, as a share: our assumption."""
MEAN_FACE_SD: Final = 1.5 * DEGREE
MEAN_PATH_SD: Final = 3 * DEGREE
"""Standard deviations of golfers' mean face and path about the default for the strike: our assumption."""

_RATIOS: Final = np.exp(np.linspace(-0.6, 0.6, 121))
_FINER: Final = 5  # drag slopes tried for each of `SLOPES`


@dataclass(frozen=True)
class FitDraws:
    """Posterior draws of a golfer, given their drives; SI units and radians.

    Attributes
    ----------
    means
        Mean delivery of each strike, shape (draws, strikes, 7), axes as `DELIVERY`.
    spread
        Standard deviations that the strikes have in common, shape (draws, 7).
    ratios
        Each strike's own spread over the common one, shape (draws, strikes).
    correlation
        Of face and path, shape (draws,).
    miss_rate
        Share of bad misses, shape (draws,).
    drag_slope
        Of the ball, shape (draws,); None where no carry was measured.
    missed
        Chance that each drive was a bad miss, shape (drives,).
    """

    means: Floats
    spread: Floats
    ratios: Floats
    correlation: Floats
    miss_rate: Floats
    drag_slope: Floats | None
    missed: Floats


def fit_deliveries(
    measured: Mapping[str, Floats],
    strike_of: NDArray[np.int64],
    strikes: Sequence[Strike],
    *,
    side: float,
    draws: int = 2000,
    rng: np.random.Generator,
) -> FitDraws:
    """Return posterior draws of a golfer whose drives were measured.

    Parameters
    ----------
    measured
        Any of the columns of `NOISE`, a value for each drive; NaN where nothing was measured.
    strike_of
        The place in `strikes` of each drive's strike, shape (drives,).
    strikes
        The golfer's strikes as known without these drives, in any order. Their means, and the mean of their
        spreads, are the prior's, as wide as golfers differ (`population`).
    side
        +1 for a right-hander, -1 for a left-hander.
    draws
        How many draws are kept.
    rng
        The source of randomness.

    Notes
    -----
    Each drive's delivery is drawn from a normal distribution about its strike's mean; a bad miss from one
    `miss_scale` times as wide. What is measured follows from the delivery through impact and flight, made
    linear about each drive, plus noise. Gibbs sampling alternates between the deliveries and the numbers that
    describe the golfer (Gelman et al., Bayesian Data Analysis, 2013, ch. 11 and 15) and, where carries were
    measured, the ball (`balls`).
    """
    unit, speed = _unit(strikes), float(np.mean([strike.club_speed for strike in strikes]))
    centres = np.array([[getattr(strike, name) for name in DELIVERY] for strike in strikes])
    flown = bool(np.isfinite(measured.get("carry", np.empty(0))).any())
    slopes, chances = _balls() if flown else (np.array([QUINTAVALLA.drag_1]), np.zeros(1))
    prior = _prior(strikes, unit, chances)
    kept = _blank(draws, len(strikes))
    golfer = kernel.FitState(
        np.zeros((len(strikes), len(DELIVERY))),
        prior.spread.copy(),
        np.ones(len(strikes)),
        np.array([prior.link]),
        np.array([prior.miss_rate]),
        np.array([chances.argmax()]),
        np.ones(1),
    )
    missed = np.zeros(len(strike_of))
    club = club_row(choose_head("driver", speed))
    laws = np.array([law_rows(make_ball(slope), make_air(), 0.0) for slope in slopes.tolist()])
    measures = kernel.Measures(*_values(measured, len(strike_of)), strike_of, centres, unit, club, side, laws)
    kernel.sample(measures, prior, golfer, kept, missed, rng)
    # The kernel's path spread is the part that does not go with the face.
    with_face = kept.link * kept.spread[:, _FACE]
    path = np.hypot(with_face, kept.spread[:, _PATH])
    kept.spread[:, _PATH] = path
    return FitDraws(
        centres + unit * kept.means,
        unit * kept.spread,
        kept.ratios,
        with_face / path,
        kept.miss_rate,
        slopes[kept.ball] if flown else None,
        missed,
    )


def _balls() -> tuple[Floats, Floats]:
    """Return drag slopes, closer together than `SLOPES`, and the logarithms of their chances."""
    slopes = np.linspace(SLOPES[0], SLOPES[-1], _FINER * (len(SLOPES) - 1) + 1)
    return slopes, np.interp(slopes, SLOPES, np.log(CHANCES))


def _unit(strikes: Sequence[Strike]) -> Floats:
    """Return the default spread, the unit in which deliveries are counted from the default means."""
    units = [
        (
            s.spread.speed * s.club_speed, s.spread.attack, s.spread.path, s.spread.face,
            s.spread.dynamic_loft, s.spread.toe, s.spread.high,
        )
        for s in strikes
    ]  # fmt: skip
    return np.asarray(np.mean(units, axis=0))


def prior_mean_sd(strikes: Sequence[Strike]) -> Floats:
    """Return the prior's standard deviations of the mean deliveries of strikes, shape (strikes, 7)."""
    loft = hypot(population.LOFT_SD, population.STRIKE_LOFT_SD)
    toe = hypot(population.TOE_SD, population.STRIKE_TOE_SD)
    high = hypot(population.HIGH_SD, population.STRIKE_HIGH_SD)
    bounds = [np.array(ATTACK_BOUNDS_DEG[strike.name]) * DEGREE for strike in strikes]
    return np.array([
        (
            MEAN_SPEED_SD * strike.club_speed, population.attack_sd(*within), MEAN_PATH_SD, MEAN_FACE_SD,
            loft, toe, high,
        )
        for strike, within in zip(strikes, bounds, strict=True)
    ])  # fmt: skip


def _values(measured: Mapping[str, Floats], drives: int) -> tuple[Floats, Floats]:
    """Return what was measured, in the columns of `NOISE`, and its precision: 0 where nothing was."""
    nothing = np.full(drives, np.nan)
    values = np.array([measured.get(name, nothing) for name in NOISE]).T
    known = np.isfinite(values)
    return np.where(known, values, 0.0), np.where(known, np.array(list(NOISE.values())) ** -2.0, 0.0)


def _prior(strikes: Sequence[Strike], unit: Floats, chances: Floats) -> kernel.Prior:
    spreads = [strike.spread for strike in strikes]
    link = float(np.mean([spread.face_path_correlation for spread in spreads]))
    own = np.ones(len(DELIVERY))
    own[_PATH] = np.sqrt(1 - link**2)
    return kernel.Prior(
        prior_mean_sd(strikes) / unit, own, population.SPREAD_WEIGHT, link, population.LINK_SD, _RATIOS,
        population.STRIKE_SPREAD_LOG_SD, float(np.mean([spread.miss_rate for spread in spreads])),
        population.MISS_WEIGHT, float(np.mean([spread.miss_scale for spread in spreads])), chances,
        CARRY_SD,
    )  # fmt: skip


def _blank(draws: int, strikes: int) -> kernel.FitState:
    """Return empty arrays for draws of a golfer."""
    axes = len(DELIVERY)
    return kernel.FitState(
        np.empty((draws, strikes, axes)),
        np.empty((draws, axes)),
        np.empty((draws, strikes)),
        np.empty(draws),
        np.empty(draws),
        np.empty(draws, dtype=np.int64),
        np.empty(draws),
    )
