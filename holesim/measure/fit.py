"""Fit: what measured drives say of a golfer's strikes and their spread, and how surely."""

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
"""What a swing is described by, in the order of the axes that are called `delivery` below."""

_SPEED, _PATH, _FACE = (DELIVERY.index(name) for name in ("club_speed", "path", "face"))

NOISE: Final[Mapping[str, float]] = {
    "club_speed": 1.0 * MPH, "attack": 0.7 * DEGREE, "path": 0.7 * DEGREE, "face": 0.7 * DEGREE,
    "dynamic_loft": 1.0 * DEGREE, "toe": 3 * MM, "high": 3 * MM, "ball_speed": 1.5 * MPH,
    "launch_angle": 0.5 * DEGREE, "start_direction": 0.5 * DEGREE, "spin": 250 * RPM,
    "axis_tilt": 2.0 * DEGREE, "offline": 0.7 * DEGREE, "carry": 6 * YARD,
}  # fmt: skip
"""Standard deviations of what is measured about what was, the model's own errors included: our assumption."""

CARRY_SD: Final = 0.02
"""How far all carries of a table are off together, as a share, by air that nobody states (10 °C or 300 m of
altitude make one in a hundred) and by how they were worked out: our assumption. So a ball is known by how
carries differ, not by how long they are."""

MEAN_SPEED_SD: Final = 0.05
"""How far the mean speed of a strike lies from what is known of the golfer, as a share: our assumption."""
MEAN_FACE_SD: Final = 1.5 * DEGREE
MEAN_PATH_SD: Final = 3 * DEGREE
"""How far golfers' mean face and path lie from the default for their strike: our assumption."""

_RATIOS: Final = np.exp(np.linspace(-0.6, 0.6, 121))
_FINER: Final = 5  # times as close as the balls that stand for all


@dataclass(frozen=True)
class Fit:
    """Draws from what may be true of a golfer, given their drives; SI units and radians.

    Attributes
    ----------
    means
        Mean delivery of each strike, shape (draws, strikes, 7), axes as `DELIVERY`.
    spread
        Standard deviations that are common to the strikes, shape (draws, 7).
    ratios
        Every strike's own spread over it, shape (draws, strikes).
    correlation, miss_rate
        Of face and path, and share of bad misses, shape (draws,).
    drag_slope
        Of the ball, shape (draws,); none where no carry was measured.
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
        The golfer's strikes as far as they are known without these drives, in any order: their means, and the
        mean of their spreads, are what few drives are held against, as far as golfers differ (`population`).
    side
        +1 for a right-hander, -1 for a left-hander.
    draws
        How many draws are kept.

    Notes
    -----
    Each drive's delivery is one of a normal distribution about its strike's mean, or, as rarely as there are
    bad misses, of one `miss_scale` times as wide; what is measured follows from it through the impact model,
    and the flight, made linear about each drive, with noise. Gibbs sampling alternates between the deliveries
    and what describes the golfer (Gelman et al., Bayesian Data Analysis, 2013, ch. 11 and 15), and, where
    carries were measured, the ball (`balls`).
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
        slopes[kept.ball] if flown else None,
        missed,
    )


def _balls() -> tuple[Floats, Floats]:
    """Return slopes of drag, closer together than `SLOPES`, and logarithms of their chances."""
    slopes = np.linspace(SLOPES[0], SLOPES[-1], _FINER * (len(SLOPES) - 1) + 1)
    return slopes, np.interp(slopes, SLOPES, np.log(CHANCES))


def _unit(strikes: Sequence[Strike]) -> Floats:
    """Return the default spread, in which deliveries are counted from the default means."""
    units = [
        (
            s.spread.speed * s.club_speed, s.spread.attack, s.spread.path, s.spread.face,
            s.spread.dynamic_loft, s.spread.toe, s.spread.high,
        )
        for s in strikes
    ]  # fmt: skip
    return np.asarray(np.mean(units, axis=0))


def mean_sd(strikes: Sequence[Strike]) -> Floats:
    """Return how far a golfer's mean deliveries lie from what is known of them, shape (strikes, 7)."""
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
    """Return what was measured, in the columns of `NOISE`, and its precision: nought where nothing was."""
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
        mean_sd(strikes) / unit, own, population.SPREAD_WEIGHT, link, population.LINK_SD, _RATIOS,
        population.STRIKE_SPREAD_LOG_SD, float(np.mean([spread.miss_rate for spread in spreads])),
        population.MISS_WEIGHT, float(np.mean([spread.miss_scale for spread in spreads])), chances,
        CARRY_SD,
    )  # fmt: skip


def _blank(draws: int, strikes: int) -> kernel.FitState:
    """Return room for draws of what describes a golfer."""
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
