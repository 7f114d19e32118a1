"""Draws of a posterior whose parameters are normal beforehand, by sequential Monte Carlo."""

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_triangular
from scipy.optimize import minimize

Floats = NDArray[np.float64]
LogLikelihood = Callable[[Floats], Floats]

_WIDER: Final = 2.5  # by which the first draws are wider than the posterior seems at its peak
_STEP: Final = 0.05  # of differences, in standard deviations of the prior
_KEPT: Final = 0.5  # effective share of the draws after a step towards the posterior
_FAR: Final = (1.0, 4.0)
"""How far draws are moved after a step, and at last: the sum over moves of the share accepted times how much
of a draw is renewed."""
_FARTHEST: Final = 4.0  # from the prior's mean that a peak is looked for
_MOST: Final = 100  # moves after a step
_LEAST_STEP: Final = 0.001  # of the way to the posterior, so that it comes to an end whatever it is
_TINY: Final = 1e-9
_ACCEPTED: Final = 0.3  # share of moves that is aimed at


def sample_posterior(
    log_likelihood: LogLikelihood,
    start: Floats,
    *,
    draws: int = 1024,
    rng: np.random.Generator,
    progress: Callable[[float], None] = lambda _: None,
) -> Floats:
    """Return draws of a posterior, shape (draws, parameters).

    Parameters
    ----------
    log_likelihood
        Takes parameters, shape (any, parameters), and returns the log likelihood of each row, shape (any,).
        Beforehand they are independent, of mean 0 and standard deviation 1.
    start
        From where the peak of the posterior is looked for, shape (parameters,).
    draws
        How many draws are made.
    rng
        The source of randomness.
    progress
        Hears after each step which share of the way to the posterior is done.

    Notes
    -----
    Sequential Monte Carlo (Del Moral, Doucet and Jasra, J. R. Stat. Soc. B 68, 2006) goes from a normal
    distribution about the peak of the posterior, wider than it seems there, to the posterior itself. After
    each step draws are moved by the Metropolis-Hastings rule, about their own mean and covariance (Cotter,
    Roberts, Stuart and White, Statistical Science 28, 2013), so that a draw taken twice becomes two.

    Examples
    --------
    A number of standard deviation 1, measured once as 2 with a standard error of 0.5:

    >>> rng = np.random.default_rng(1)
    >>> found = sample_posterior(lambda x: -2 * (x[:, 0] - 2) ** 2, np.zeros(1), rng=rng)
    >>> bool(abs(found.mean() - 1.6) < 0.05), bool(abs(found.std() - 0.2**0.5) < 0.03)
    (True, True)
    """
    size, peak = len(start), find_peak(log_likelihood, start)
    first = _Normal(peak, _find_factor(log_likelihood, peak))

    def chances(x: Floats) -> tuple[Floats, Floats]:
        """Return the log posterior and the log density of the first draws, but for constants."""
        return log_likelihood(x) - _half_square(x), first.log_density(x)

    x = first.move(np.broadcast_to(peak, (draws, size)), 1.0, rng)
    last, begun = chances(x)
    share = 0.0  # of the way to the posterior
    while share < 1:
        step = max(_find_step(last - begun, 1 - share), _LEAST_STEP)
        share = 1.0 if step >= 1 - share else share + step
        picked = _resample(step * (last - begun), rng)
        x, last, begun = x[picked], last[picked], begun[picked]
        covariance = np.atleast_2d(np.cov(x.T)) + _TINY * np.eye(size)
        about = _Normal(x.mean(axis=0), np.linalg.cholesky(covariance.astype(np.float64)))
        far, renewed, moves = _FAR[share == 1], 0.6, 0
        while far > 0 and moves < _MOST:
            tried = about.move(x, renewed, rng)
            tried_last, tried_begun = chances(tried)
            gained = share * (tried_last - last) + (1 - share) * (tried_begun - begun)
            gained += about.log_density(x) - about.log_density(tried)
            taken = np.log(rng.random(draws)) < gained
            x[taken], last[taken], begun[taken] = tried[taken], tried_last[taken], tried_begun[taken]
            far -= taken.mean() * renewed**2
            renewed = float(np.clip(renewed * np.exp(taken.mean() - _ACCEPTED), 0.05, 1.0))
            moves += 1
        progress(share)
    return x


class _Normal:
    """A normal distribution, by its mean and the lower factor of its covariance."""

    def __init__(self, mean: Floats, factor: Floats) -> None:
        self.mean, self.factor = mean, factor

    def log_density(self, x: Floats) -> Floats:
        """Return the log density of each row, but for a constant."""
        return -_half_square(solve_triangular(self.factor, (x - self.mean).T, lower=True).T)

    def move(self, x: Floats, renewed: float, rng: np.random.Generator) -> Floats:
        """Return rows of which a part is drawn anew, so that this distribution stays as it is."""
        noise = rng.standard_normal(x.shape) @ self.factor.T
        return np.asarray(self.mean + np.sqrt(1 - renewed**2) * (x - self.mean) + renewed * noise)


def _half_square(x: Floats) -> Floats:
    return np.asarray((x**2).sum(axis=1) / 2)


def find_peak(log_likelihood: LogLikelihood, start: Floats) -> Floats:
    """Return where a posterior as of `sample_posterior` is highest, near a start, shape (parameters,)."""
    bounds = [(-_FARTHEST, _FARTHEST)] * len(start)
    slope = _slope_of_depth(log_likelihood)
    return np.asarray(minimize(slope, start, jac=True, method="L-BFGS-B", bounds=bounds).x)


def _slope_of_depth(log_likelihood: LogLikelihood) -> Callable[[Floats], tuple[float, Floats]]:
    """Return a function of parameters: how far the log posterior is below nought, and the slope of that."""

    def slope(x: Floats) -> tuple[float, Floats]:
        offsets, size = _STEP * np.eye(len(x)), len(x)
        rows = np.concatenate([x[None], x + offsets, x - offsets])
        found = log_likelihood(rows) - _half_square(rows)
        return -float(found[0]), -(found[1 : size + 1] - found[size + 1 :]) / (2 * _STEP)

    return slope


def _find_factor(log_likelihood: LogLikelihood, peak: Floats) -> Floats:
    """Return the lower factor of a covariance that is wider than the posterior at its peak."""
    slope, offsets = _slope_of_depth(log_likelihood), _STEP * np.eye(len(peak))
    above, below = (np.array([slope(peak + sign * row)[1] for row in offsets]) for sign in (1, -1))
    bend = (above - below) / (2 * _STEP)
    values, axes = np.linalg.eigh((bend + bend.T) / 2)
    # No wider than the prior, which the posterior is not.
    wide = np.minimum(_WIDER / np.sqrt(np.maximum(values, _TINY)), 1.0)
    return np.linalg.cholesky((axes * wide**2) @ axes.T)


def _find_step(gained: Floats, most: float) -> float:
    """Return how far to go so that weights are as uneven as is allowed."""

    def effective(step: float) -> float:
        weights = np.exp(step * (gained - gained.max()))
        return float(weights.sum() ** 2 / (weights**2).sum() / len(weights))

    if effective(most) >= _KEPT:
        return most
    low, high = 0.0, most
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if effective(middle) >= _KEPT else (low, middle)
    return low


def _resample(log_weights: Floats, rng: np.random.Generator) -> NDArray[np.int64]:
    """Return which rows are taken, each about as often as its weight says."""
    weights = np.exp(log_weights - log_weights.max())
    steps = (np.arange(len(weights)) + rng.random()) / len(weights)
    return np.searchsorted(np.cumsum(weights) / weights.sum(), steps).clip(max=len(weights) - 1)
