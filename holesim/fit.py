"""Fit: what measured drives say of a golfer's strikes and their spread, and how surely."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.air import make_air
from holesim.flight import fly
from holesim.impact import head, impact
from holesim.player import Spread, Strike
from holesim.sampler import Deliveries
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

_SETTLING = 300  # iterations before draws are kept
_SHARES: Final = (0.2, 0.6, 1.0)  # of a step of Gibbs'
_OFTEN, _SELDOM, _NEWTON = 20, 10, 2
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
    model = _Model(measured, strikes, centres[strike_of], unit, side)
    prior = _Prior.of(spread, strikes[0].club_speed, unit)
    golfer = _Golfer(
        np.zeros((len(strikes), len(DELIVERY))),
        prior.spread.copy(),
        prior.link,
        np.ones(len(strikes)),
        prior.miss_rate,
    )
    wild = np.ones(len(strike_of))
    swings, held, kept = np.zeros((len(strike_of), len(DELIVERY))), np.zeros(len(strike_of)), []
    missed = np.zeros(len(strike_of))
    for i in range(_SETTLING + draws):
        if i % (_OFTEN if i < _SETTLING else _SELDOM) == 0:
            model.linearise(swings, golfer, strike_of, wild)
            held = model.true_over_linear(swings)
        tried = _draw_swings(model, golfer, swings, strike_of, wild, rng)
        gained = model.true_over_linear(tried)
        # Metropolis and Hastings' rule, drive by drive, once all are where they are likely.
        taken = (np.log(rng.random(len(held))) < gained - held) | (i < _SETTLING // 2)
        swings, held = np.where(taken[:, None], tried, swings), np.where(taken, gained, held)
        wild = _draw_wild(swings, golfer, strike_of, spread.miss_scale, rng)
        golfer = _draw_golfer(swings, strike_of, wild, golfer, prior, rng)
        for _ in range(3):
            golfer, swings, held = _shift(model, golfer, swings, held, strike_of, prior, rng)
        if i >= _SETTLING:
            kept.append(golfer)
            missed += wild > 1
    scale = np.array([golfer.spread for golfer in kept])
    link = np.array([golfer.link for golfer in kept])
    # The path's own spread is what is left of it beside the face's part.
    path = np.hypot(link * scale[:, _FACE], scale[:, _PATH])
    correlation = link * scale[:, _FACE] / path
    scale[:, _PATH] = path

    return Fit(
        centres + unit * np.array([golfer.means for golfer in kept]),
        unit * scale,
        np.array([golfer.ratios for golfer in kept]),
        correlation,
        np.array([golfer.miss_rate for golfer in kept]),
        missed / draws,
    )


def _unit(spread: Spread, club_speed: float) -> Floats:
    """Return the default spread, in which deliveries are counted from the default means."""
    return np.array([
        spread.speed * club_speed, spread.attack, spread.path, spread.face, spread.dynamic_loft, spread.toe,
        spread.high,
    ])  # fmt: skip


# --- what is measured, by the delivery ------------------------------------------------------------


class _Model:
    """What is measured of each drive as a linear function of its delivery, in default spreads."""

    def __init__(
        self,
        measured: Mapping[str, Floats],
        strikes: Sequence[Strike],
        centres: Floats,
        unit: Floats,
        side: float,
    ) -> None:
        self.names = [name for name in NOISE if name in measured]
        self.values = np.array([measured[name] for name in self.names]).T
        noise = np.array([NOISE[name] for name in self.names])
        self.weights = np.where(np.isfinite(self.values), noise**-2.0, 0.0)
        self.centres, self.unit, self.side = centres, unit, side
        self.head = head("driver", strikes[0].club_speed)

    def at(self, swings: Floats) -> Floats:
        """Return what would be measured of deliveries, shape (drives, columns)."""
        deliveries = Deliveries(*(self.centres + self.unit * swings).T)
        found = {name: getattr(deliveries, name) for name in DELIVERY}
        if set(self.names) - set(DELIVERY):
            launches = impact(deliveries, self.head, side=self.side)
            found |= {
                "ball_speed": launches.speed, "launch_angle": launches.angle,
                "start_direction": launches.direction, "spin": launches.spin, "axis_tilt": launches.tilt,
            }  # fmt: skip
            if {"offline", "carry"} & set(self.names):
                landings, _ = fly(launches, make_air())
                found |= {
                    "offline": np.arctan2(landings.y, landings.x),
                    "carry": np.hypot(landings.x, landings.y),
                }
        return np.array([found[name] for name in self.names]).T

    def linearise(
        self, swings: Floats, golfer: "_Golfer", strike_of: NDArray[np.int64], wild: Floats
    ) -> None:
        """Make it linear about each drive's likeliest delivery, sought by Gauss and Newton's steps."""
        for _ in range(_NEWTON):
            self._linearise(swings)
            precision, pull = _swing(self, golfer, strike_of, wild)
            step = np.linalg.solve(precision, pull[:, :, None])[:, :, 0] - swings
            swings = swings + np.clip(step, -1.0, 1.0)
        self._linearise(swings)

    def _linearise(self, swings: Floats) -> None:
        """Work out what each drive's measures say of its delivery: a precision, and that times a mean."""
        here, step = self.at(swings), 0.25
        slopes = np.stack(
            [
                (self.at(swings + step * axis) - self.at(swings - step * axis)) / (2 * step)
                for axis in np.eye(7)
            ],
            axis=2,
        )
        slopes = np.where(self.weights[:, :, None] > 0, slopes, 0.0)
        beyond = np.where(self.weights > 0, self.values - here, 0.0) + np.einsum("ick,ik->ic", slopes, swings)
        weighted = slopes * self.weights[:, :, None]
        self.slopes, self.beyond = slopes, beyond
        self.precision = np.einsum("ick,icl->ikl", weighted, slopes)
        self.pull = np.einsum("ick,ic->ik", weighted, beyond)

    def true_over_linear(self, swings: Floats) -> Floats:
        """Return the logarithm of what is likely by the true function over that by the linear one."""
        linear = self.beyond - np.einsum("ick,ik->ic", self.slopes, swings)
        true = np.where(self.weights > 0, self.values - self.at(swings), 0.0)
        return np.asarray((self.weights * (linear**2 - true**2)).sum(axis=1) / 2)


# --- one draw after another -----------------------------------------------------------------------


@dataclass(frozen=True)
class _Golfer:
    """What describes a golfer, in default spreads about the default means.

    `spread` of the path is what is left beside `link` times the face.
    """

    means: Floats
    spread: Floats
    link: float
    ratios: Floats
    miss_rate: float

    def precision(self) -> Floats:
        """Return the inverse covariance of the usual strike's deliveries."""
        inverse = np.diag(self.spread**-2.0)
        own = self.spread[_PATH] ** -2.0
        inverse[_FACE, _FACE] += self.link**2 * own
        inverse[_FACE, _PATH] = inverse[_PATH, _FACE] = -self.link * own
        return inverse


@dataclass(frozen=True)
class _Prior:
    """What is thought of golfers like this one: `spread` as in `_Golfer`, the means about nought."""

    mean_sd: Floats
    spread: Floats
    link: float
    miss_rate: float

    @classmethod
    def of(cls, spread: Spread, club_speed: float, unit: Floats) -> "_Prior":
        sd = MEAN_SD.copy()
        sd[_SPEED] = MEAN_SPEED_SD * club_speed
        own = np.ones(len(DELIVERY))
        own[_PATH] = np.sqrt(1 - spread.face_path_correlation**2)
        return cls(sd / unit, own, spread.face_path_correlation, spread.miss_rate)


def _draw_swings(
    model: _Model,
    golfer: _Golfer,
    swings: Floats,
    strike_of: NDArray[np.int64],
    wild: Floats,
    rng: np.random.Generator,
) -> Floats:
    """Draw each drive's delivery by the linear function, now and then only some way from where it was."""
    precision, pull = _swing(model, golfer, strike_of, wild)
    lower, share = np.linalg.cholesky(precision), rng.choice(_SHARES)
    centre = np.linalg.solve(precision, pull[:, :, None])
    step = np.linalg.solve(lower.transpose(0, 2, 1), rng.standard_normal(centre.shape))
    return np.asarray(centre + np.sqrt(1 - share**2) * (swings[:, :, None] - centre) + share * step)[:, :, 0]


def _swing(
    model: _Model, golfer: _Golfer, strike_of: NDArray[np.int64], wild: Floats
) -> tuple[Floats, Floats]:
    """Return the precision of each drive's delivery, and that times its mean."""
    own = golfer.precision() / ((wild * golfer.ratios[strike_of]) ** 2)[:, None, None]
    return model.precision + own, model.pull + np.einsum("ikl,il->ik", own, golfer.means[strike_of])


def _shift(
    model: _Model,
    golfer: _Golfer,
    swings: Floats,
    held: Floats,
    strike_of: NDArray[np.int64],
    prior: _Prior,
    rng: np.random.Generator,
) -> tuple[_Golfer, Floats, Floats]:
    """Move each strike's mean, and its drives with it: far, where they say little of the delivery.

    Drawing the means and the deliveries by turns takes small steps there (Yu and Meng, J. Comput. Graph.
    Stat. 20, 2011).
    """
    moves, strikes = np.empty_like(golfer.means), len(golfer.means)
    for s in range(strikes):
        own = strike_of == s
        off, mean = swings[own] - golfer.means[s], golfer.means[s]
        precision = model.precision[own].sum(axis=0) + np.diag(prior.mean_sd**-2.0)
        pull = (model.pull[own] - np.einsum("ikl,il->ik", model.precision[own], off)).sum(axis=0)
        centre, lower = np.linalg.solve(precision, pull), np.linalg.cholesky(precision)
        share = rng.choice(_SHARES)
        step = np.linalg.solve(lower.T, rng.standard_normal(len(mean)))
        moves[s] = centre + np.sqrt(1 - share**2) * (mean - centre) + share * step - mean
    gained = model.true_over_linear(swings + moves[strike_of])
    taken = np.log(rng.random(strikes)) < np.bincount(strike_of, gained - held, strikes)
    moves = np.where(taken[:, None], moves, 0.0)
    held = np.where(taken[strike_of], gained, held)
    return replace(golfer, means=golfer.means + moves), swings + moves[strike_of], held


def _draw_wild(
    swings: Floats, golfer: _Golfer, strike_of: NDArray[np.int64], scale: float, rng: np.random.Generator
) -> Floats:
    """Draw which drives are bad misses: how many times as wild as usual each is."""
    off = (swings - golfer.means[strike_of]) / golfer.ratios[strike_of, None]
    square = np.einsum("ik,kl,il->i", off, golfer.precision(), off)
    rate = golfer.miss_rate
    odds = np.log(rate / (1 - rate)) - len(DELIVERY) * np.log(scale) + square / 2 * (1 - scale**-2.0)
    return np.where(rng.random(len(odds)) < 1 / (1 + np.exp(-odds)), scale, 1.0)


def _draw_golfer(
    swings: Floats,
    strike_of: NDArray[np.int64],
    wild: Floats,
    golfer: _Golfer,
    prior: _Prior,
    rng: np.random.Generator,
) -> _Golfer:
    """Draw what describes the golfer, by their deliveries."""
    inverse, strikes = golfer.precision(), len(golfer.means)
    weight = (wild * golfer.ratios[strike_of]) ** -2.0
    means = np.empty_like(golfer.means)
    for s in range(strikes):
        own = strike_of == s
        precision = inverse * weight[own].sum() + np.diag(prior.mean_sd**-2.0)
        lower = np.linalg.cholesky(precision)
        centre = np.linalg.solve(precision, inverse @ (weight[own] @ swings[own]))
        means[s] = centre + np.linalg.solve(lower.T, rng.standard_normal(len(centre)))
    off = (swings - means[strike_of]) / wild[:, None]

    ratios = np.ones(strikes)
    for s in range(1, strikes):
        mine = off[strike_of == s]
        square = np.einsum("ik,kl,il->", mine, inverse, mine)
        logs = np.log(_RATIOS)
        chance = -len(DELIVERY) * len(mine) * logs - square / 2 / _RATIOS**2 - (logs / RATIO_SD) ** 2 / 2
        chance = np.cumsum(np.exp(chance - chance.max()))
        ratios[s] = _RATIOS[np.searchsorted(chance, rng.random() * chance[-1])]
    off = off / ratios[strike_of, None]

    face, path = off[:, _FACE], off[:, _PATH]
    variance, tight = golfer.spread[_PATH] ** 2, LINK_SD**-2.0
    precision = face @ face / variance + tight
    link = float(
        (face @ path / variance + tight * prior.link) / precision + rng.standard_normal() / np.sqrt(precision)
    )
    off[:, _PATH] -= link * face
    squares = SPREAD_WEIGHT * prior.spread**2 + (off**2).sum(axis=0)
    spread = np.sqrt(squares / rng.chisquare(SPREAD_WEIGHT + len(off), len(squares)))
    misses = int((wild > 1).sum())
    rate = rng.beta(
        MISS_WEIGHT * prior.miss_rate + misses, MISS_WEIGHT * (1 - prior.miss_rate) + len(wild) - misses
    )
    return _Golfer(means, spread, link, ratios, float(rate))
