"""Fit: a golfer's strikes and their spread, found from measured drives, and how surely they are known."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final, NamedTuple

import numpy as np
from scipy import stats

from holesim.common import parallel
from holesim.common.posterior_sampling import find_peak, sample_posterior
from holesim.measure._fit_kernel import add_chances
from holesim.measure.fit_records import Floats, Golfers, Integers, Measures, Told
from holesim.measure.told_drives import tell_drives
from holesim.player import population
from holesim.player.player import ATTACK_BOUNDS_DEG, LOFT_BY_ATTACK, Strike
from holesim.shot.air import make_air
from holesim.shot.balls import CHANCES, SLOPES, make_ball
from holesim.shot.flight import QUINTAVALLA, pack_laws
from holesim.shot.impact import HEADS, club_row, find_grip
from holesim.units import DEGREE, MM, MPH, RPM, YARD

DELIVERY: Final = ("club_speed", "attack", "path", "face", "dynamic_loft", "toe", "high")
"""What describes a delivery, in the order of its axes."""

_SPEED, _ATTACK, _PATH, _FACE, _LOFT = (
    DELIVERY.index(name) for name in ("club_speed", "attack", "path", "face", "dynamic_loft")
)

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

LIMITS: Final[Mapping[str, float]] = {
    "club_speed": 130 * MPH, "attack": 40 * DEGREE, "path": 60 * DEGREE, "face": 60 * DEGREE,
    "dynamic_loft": 65 * DEGREE, "toe": 120 * MM, "high": 100 * MM, "ball_speed": 220 * MPH,
    "launch_angle": 75 * DEGREE, "start_direction": 90 * DEGREE, "spin": 11800 * RPM,
    "axis_tilt": 160 * DEGREE, "offline": 90 * DEGREE, "carry": 450 * YARD,
}  # fmt: skip
"""How wide the range is that a reader takes of each column. A mishit is measured anywhere in it alike."""

_PIECE: Final = 64  # golfers at a time
_ROUNDS: Final = 3  # in which what drives tell is found about the likeliest golfer
_FINER: Final = 5  # drag slopes tried for each of `SLOPES`
_TELLING: Final = 5  # columns, from which the delivery of a single drive is told
_NORMAL: Final = np.linspace(-6, 6, 2401)  # values of a standard normal number, for tables


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
    days
        By which mean deliveries of each session are off the golfer's, for all strikes alike, shape
        (draws, sessions, 7); 0 for a single session, of which nobody knows what was the day's.
    day_sd
        Standard deviations from day to day, shape (draws, 7).
    day_ratios
        Each session's spread over the golfer's, shape (draws, sessions); 1 for a single session.
    miss_rate
        Share of bad misses, mishits among them, shape (draws,).
    drag_slope
        Of the ball, shape (draws,); None where no carry was measured.
    missed
        Chance that each drive was a bad miss, shape (drives,).
    """

    means: Floats
    spread: Floats
    ratios: Floats
    correlation: Floats
    days: Floats
    day_sd: Floats
    day_ratios: Floats
    miss_rate: Floats
    drag_slope: Floats | None
    missed: Floats


def fit_deliveries(
    measured: Mapping[str, Floats],
    strike_of: Integers,
    strikes: Sequence[Strike],
    *,
    side: float,
    session_of: Integers | None = None,
    draws: int = 1024,
    rng: np.random.Generator,
    progress: Callable[[float], None] = lambda _: None,
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
        spreads, are the prior's, as wide as golfers differ (`population`). Where attack was measured it is
        what a strike has its name by, so that the name tells nothing of it: then the prior's attack is that
        of all golfers.
    side
        +1 for a right-hander, -1 for a left-hander.
    session_of
        The session of each drive, from 0, shape (drives,); by default all are of one.
    draws
        How many draws are kept.
    rng
        The source of randomness.
    progress
        Hears which share of the work is done.

    Notes
    -----
    Each drive's delivery is drawn from a normal distribution about its strike's mean on that day; that of a
    wild one from a distribution `miss_scale` times as wide. What is measured follows from the delivery by
    impact and flight, plus noise. What is measured of a mishit, topped or skied, may be anything: it tells
    nothing of the swing (Hogg, Bovy and Lang, arXiv:1008.4686, 2010, section 3).

    Deliveries are integrated out: what is measured is made linear about each drive's likeliest delivery by
    each golfer, which is found from second slopes about that by the likeliest golfer (`told_drives`). Where a
    drive has fewer than five columns it is made linear about the mean of each golfer, and what bends adds to
    the noise. Draws of what is left, the numbers that describe golfer and ball, are made by sequential Monte
    Carlo (`posterior_sampling`).
    """
    session_of = np.zeros_like(strike_of) if session_of is None else session_of
    carried = _any(measured, "carry")
    told = _any(measured, "attack")
    known = _Known(strikes, int(session_of.max(initial=0)) + 1, carried=carried, attack_told=told)
    if not len(strike_of):
        return known.fit_draws(rng.standard_normal((draws, known.size)), np.zeros(0))
    measures = _measures(measured, strike_of * known.sessions + session_of, known, side)
    evidence = _weigh(measures, known)
    x = sample_posterior(evidence.log_likelihoods, known.size, draws=draws, rng=rng, progress=progress)
    return known.fit_draws(x, evidence.chances(x)[1])


def _weigh(measures: Measures, known: "_Known") -> "_Evidence":
    """Return what drives say of golfers, about the likeliest deliveries of the likeliest golfer."""
    peak = np.zeros(known.size)
    for left in range(_ROUNDS - 1, -1, -1):
        golfer, _ = known.golfers(peak[None])
        evidence = _Evidence(measures, known, tell_drives(measures, golfer, known.slopes.tolist()))
        if left:
            peak = find_peak(evidence.log_likelihoods, peak)
    return evidence


@dataclass(frozen=True)
class _Evidence:
    """What measured drives say of golfers."""

    measures: Measures
    known: "_Known"
    told: Told

    def chances(self, x: Floats) -> tuple[Floats, Floats]:
        """Return the log likelihood of each row's golfer, and how likely each drive was a bad miss."""
        golfers, order = self.known.golfers(x)
        pieces = len(x) // _PIECE + 1
        ends, found = np.linspace(0, len(x), pieces + 1).astype(np.int64), np.empty(len(x))
        missed = np.zeros((pieces, len(self.measures.values)))

        def weigh(k: int) -> None:
            add_chances(self.measures, self.told, golfers, ends[k], ends[k + 1], found, missed[k])

        parallel.share_out(weigh, pieces)
        likelihoods = np.empty(len(x))
        likelihoods[order] = np.nan_to_num(found, nan=-np.inf)
        return likelihoods, missed.sum(axis=0) / len(x)

    def log_likelihoods(self, x: Floats) -> Floats:
        """Return the log likelihood of each row's golfer."""
        return self.chances(x)[0]


class _Parts(NamedTuple):
    """What rows of independent normal numbers stand for; SI units."""

    means: Floats
    spread: Floats  # the path's own beside its link with the face
    ratios: Floats
    link: Floats  # slope of path on face
    days: Floats
    day_sd: Floats
    day_ratios: Floats
    miss_rate: Floats
    ball: Integers  # which it is
    stretch: Floats  # of all carries as they are measured


class _Known:
    """A golfer as known beforehand: what independent normal numbers say of one who may be the true one."""

    def __init__(self, strikes: Sequence[Strike], sessions: int, *, carried: bool, attack_told: bool) -> None:
        spreads = [strike.spread for strike in strikes]
        self.unit, self.sessions, self.carried = _unit(strikes), sessions, carried
        self.centres = np.array([[getattr(strike, name) for name in DELIVERY] for strike in strikes])
        attack_sd = _attack_sd(strikes)
        if attack_told:
            further = population.ATTACK_MEAN - self.centres[:, _ATTACK]
            self.centres[:, _ATTACK] += further
            self.centres[:, _LOFT] += LOFT_BY_ATTACK * further
            attack_sd = np.full(len(strikes), population.ATTACK_SD)
        self.factors = _mean_factors(strikes, attack_sd)
        self.link = float(np.mean([spread.face_path_correlation for spread in spreads]))
        self.own = np.ones(len(DELIVERY))
        self.own[_PATH] = np.sqrt(1 - self.link**2)
        self.miss_scale = float(np.mean([spread.miss_scale for spread in spreads]))
        rate, weight = float(np.mean([spread.miss_rate for spread in spreads])), population.MISS_WEIGHT
        below = stats.norm.cdf(_NORMAL)
        self.rates = stats.beta.ppf(below, weight * rate, weight * (1 - rate)).clip(1e-9, 1 - 1e-9)
        self.slopes: Floats
        self.slopes, chances = _balls() if carried else (np.array([QUINTAVALLA.drag_1]), np.ones(1))
        self.below_ball = np.cumsum(chances) / chances.sum()
        axes, days = len(DELIVERY), sessions if sessions > 1 else 0
        of_days = days * axes, axes if days else 0, days
        sizes = len(strikes) * axes, axes, len(strikes), 1, *of_days, 1, int(carried), int(carried)
        self.ends = np.cumsum(sizes)
        self.size = int(self.ends[-1])

    def parts(self, x: Floats) -> _Parts:
        """Return what rows of numbers stand for."""
        means, spread, ratios, link, days, varies, day_ratios, rate, ball, stretch = np.split(
            x, self.ends[:-1], axis=1
        )
        sd = self.unit * self.own * np.exp(population.SPREAD_LOG_SD * spread)
        day_sd = population.DAY_SHARE * sd
        if self.sessions > 1:
            day_sd = day_sd * np.exp(population.DAY_SHARE_LOG_SD * varies)
        else:
            days, day_ratios = np.zeros((len(x), len(DELIVERY))), np.zeros((len(x), 1))
        if not self.carried:
            ball = stretch = np.zeros((len(x), 1))
        return _Parts(
            means=self.centres
            + np.einsum("sij,xsj->xsi", self.factors, means.reshape(-1, *self.centres.shape)),
            spread=sd,
            ratios=np.exp(population.STRIKE_SPREAD_LOG_SD * ratios),
            link=(self.link + population.LINK_SD * link[:, 0]) * self.unit[_PATH] / self.unit[_FACE],
            days=days.reshape(len(x), self.sessions, -1) * day_sd[:, None],
            day_sd=day_sd,
            day_ratios=np.exp(population.DAY_SPREAD_LOG_SD * day_ratios),
            miss_rate=np.interp(rate[:, 0], _NORMAL, self.rates),
            ball=np.searchsorted(self.below_ball[:-1], stats.norm.cdf(ball[:, 0])),
            stretch=1 + CARRY_SD * stretch[:, 0],
        )

    def golfers(self, x: Floats) -> tuple[Golfers, Integers]:
        """Return the golfers that rows of numbers stand for, in the order of their balls, and that order."""
        order = np.argsort(x[:, -2], kind="stable") if self.carried else np.arange(len(x))
        of = self.parts(x[order])
        cells = (len(x), -1, len(DELIVERY))
        spread = of.spread[:, None, None] * of.ratios[:, :, None, None] * of.day_ratios[:, None, :, None]
        means = of.means[:, :, None] + of.days[:, None]
        grip = find_grip(means[..., _SPEED].reshape(len(x), -1))
        golfers = Golfers(
            means.reshape(cells), spread.reshape(cells), grip, of.link, of.miss_rate, of.ball, of.stretch
        )
        return golfers, order

    def fit_draws(self, x: Floats, missed: Floats) -> FitDraws:
        """Return what rows of numbers say of the golfer."""
        of = self.parts(x)
        with_face = of.link * of.spread[:, _FACE]
        path = np.hypot(with_face, of.spread[:, _PATH])
        spread = of.spread.copy()
        spread[:, _PATH] = path
        slopes = self.slopes[of.ball] if self.carried else None
        return FitDraws(
            of.means, spread, of.ratios, with_face / path, of.days, of.day_sd, of.day_ratios, of.miss_rate,
            slopes, missed,
        )  # fmt: skip


def _any(measured: Mapping[str, Floats], column: str) -> bool:
    return bool(np.isfinite(measured.get(column, np.empty(0))).any())


def _balls() -> tuple[Floats, Floats]:
    """Return drag slopes, closer together than `SLOPES`, and their chances, which do not add up to 1."""
    slopes = np.linspace(SLOPES[0], SLOPES[-1], _FINER * (len(SLOPES) - 1) + 1)
    return slopes, np.exp(np.interp(slopes, SLOPES, np.log(CHANCES)))


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
    """Return the prior's standard deviations of the mean deliveries of strikes, shape (strikes, 7).

    They are those of a fit without measured attacks, where a strike's name tells of its attack.
    """
    return np.asarray(np.sqrt((_mean_factors(strikes, _attack_sd(strikes)) ** 2).sum(axis=2)))


def _attack_sd(strikes: Sequence[Strike]) -> Floats:
    """Return the standard deviations of golfers' attacks by strikes of these names, shape (strikes,)."""
    bounds = [np.array(ATTACK_BOUNDS_DEG[strike.name]) * DEGREE for strike in strikes]
    return np.array([population.attack_sd(*within) for within in bounds])


def _mean_factors(strikes: Sequence[Strike], attack_sd: Floats) -> Floats:
    """Return the lower factors of the prior's covariances of mean deliveries, shape (strikes, 7, 7)."""
    loft = hypot(population.LOFT_SD, population.STRIKE_LOFT_SD)
    toe = hypot(population.TOE_SD, population.STRIKE_TOE_SD)
    high = hypot(population.HIGH_SD, population.STRIKE_HIGH_SD)
    own = np.array([
        (MEAN_SPEED_SD * strike.club_speed, attack, MEAN_PATH_SD, MEAN_FACE_SD, loft, toe, high)
        for strike, attack in zip(strikes, attack_sd.tolist(), strict=True)
    ])  # fmt: skip
    factors = own[:, :, None] * np.eye(len(DELIVERY))
    # Who hits up more presents more loft, as the defaults do.
    factors[:, _LOFT, _ATTACK] = LOFT_BY_ATTACK * own[:, _ATTACK]
    return factors


def _measures(measured: Mapping[str, Floats], cell_of: Integers, known: _Known, side: float) -> Measures:
    """Return what was measured, as the kernel takes it."""
    nothing = np.full(len(cell_of), np.nan)
    values = np.array([measured.get(name, nothing) for name in NOISE]).T
    groups, group_of = np.unique(np.column_stack([cell_of, np.isfinite(values)]), axis=0, return_inverse=True)
    seen, noise = groups[:, 1:].astype(bool), np.array(list(NOISE.values()))
    laws, _ = pack_laws([(make_ball(slope), 1) for slope in known.slopes.tolist()], make_air(), 0.0)
    return Measures(
        np.nan_to_num(values), group_of.ravel(), groups[:, 0].astype(np.int64),
        np.where(seen, noise**-2.0, 0.0), seen.sum(axis=1) >= _TELLING,
        seen @ -np.log(np.sqrt(2 * np.pi) * noise), seen @ -np.log([LIMITS[name] for name in NOISE]),
        known.carried or _any(measured, "offline"),
        club_row(HEADS["driver"]), side, known.miss_scale, population.MISHITS, laws,
    )  # fmt: skip
