"""Draws of a posterior whose parameters are normal beforehand, by sequential Monte Carlo."""

from collections.abc import Callable
from math import log
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_triangular
from scipy.optimize import minimize

Floats = NDArray[np.float64]
LogLikelihood = Callable[[Floats], Floats]

_STEP: Final = 0.05  # of differences, in standard deviations of the prior
_KEPT: Final = 0.5  # effective share of the draws after a step towards the posterior
_FAR: Final = (1.0, 6.0)
"""How far draws are moved after a step, and at last: the sum over moves of the share accepted times how much
of a draw is renewed."""
_FARTHEST: Final = 4.0  # from the prior's mean that a peak is looked for
_MOST: Final = 100  # moves after a step
_LEAST_STEP: Final = 1e-6  # of the way to the posterior, so that it comes to an end whatever it is
_TINY: Final = 1e-9
_ACCEPTED: Final = 0.3  # share of moves that is aimed at
_DEGREES: Final = 5.0  # of freedom


def sample_posterior(
    log_likelihood: LogLikelihood,
    size: int,
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
    size
        How many parameters there are.
    draws
        How many draws are made.
    rng
        The source of randomness.
    progress
        Hears after each step which share of the way to the posterior is done. Each doubling of the weight of
        the likelihood is as long a way.

    Notes
    -----
    Sequential Monte Carlo (Del Moral, Doucet and Jasra, J. R. Stat. Soc. B 68, 2006) goes from the prior to
    the posterior. After each step draws are moved by the Metropolis-Hastings rule, so that a draw taken twice
    becomes two: about their own mean and covariance, and farther the farther out they are, by which a
    multivariate t distribution stays as it is (Kamatani, Bernoulli 24, 2018). By moves that a normal
    distribution would allow, draws seldom come to the tails of a posterior that bends.

    Examples
    --------
    A number of standard deviation 1, measured once as 2 with a standard error of 0.5:

    >>> rng = np.random.default_rng(1)
    >>> found = sample_posterior(lambda x: -2 * (x[:, 0] - 2) ** 2, 1, rng=rng)
    >>> bool(abs(found.mean() - 1.6) < 0.05), bool(abs(found.std() - 0.2**0.5) < 0.03)
    (True, True)
    """
    x = rng.standard_normal((draws, size))
    last = log_likelihood(x)
    share, first = 0.0, 0.0  # weight of the likelihood, and after the first step
    while share < 1:
        step = max(_find_step(last, 1 - share), _LEAST_STEP)
        share = 1.0 if step >= 1 - share else share + step
        picked = _resample(step * last, rng)
        x, last = x[picked], last[picked]
        about = _Wide(x)
        far, renewed, moves = _FAR[share == 1], 0.6, 0
        while far > 0 and moves < _MOST:
            tried = about.move(x, renewed, rng)
            tried_last = log_likelihood(tried)
            gained = share * (tried_last - last) + _half_square(x) - _half_square(tried)
            gained += about.log_density(x) - about.log_density(tried)
            taken = np.log(rng.random(draws)) < gained
            x[taken], last[taken] = tried[taken], tried_last[taken]
            far -= taken.mean() * renewed**2
            renewed = float(np.clip(renewed * np.exp(taken.mean() - _ACCEPTED), 0.05, 1.0))
            moves += 1
        first = first or share
        progress(1 - log(share) / log(first) if first < 1 else 1.0)
    return x


class _Wide:
    """A multivariate t distribution about draws."""

    def __init__(self, x: Floats) -> None:
        self.mean = x.mean(axis=0)
        covariance = np.atleast_2d(np.cov(x.T)) + _TINY * np.eye(len(self.mean))
        self.factor = np.linalg.cholesky(covariance.astype(np.float64))

    def log_density(self, x: Floats) -> Floats:
        """Return the log density of each row, but for a constant."""
        return np.asarray(-(_DEGREES + x.shape[1]) / 2 * np.log1p(self._square(x) / _DEGREES))

    def move(self, x: Floats, renewed: float, rng: np.random.Generator) -> Floats:
        """Return rows of which a part is drawn anew, so that this distribution stays as it is."""
        scale = (_DEGREES + self._square(x)) / rng.chisquare(_DEGREES + x.shape[1], len(x))
        noise = np.sqrt(scale)[:, None] * (rng.standard_normal(x.shape) @ self.factor.T)
        return np.asarray(self.mean + np.sqrt(1 - renewed**2) * (x - self.mean) + renewed * noise)

    def _square(self, x: Floats) -> Floats:
        return np.asarray(2 * _half_square(solve_triangular(self.factor, (x - self.mean).T, lower=True).T))


def _half_square(x: Floats) -> Floats:
    return np.asarray((x**2).sum(axis=1) / 2)


def find_peak(log_likelihood: LogLikelihood, start: Floats) -> Floats:
    """Return where a posterior as of `sample_posterior` is highest, near a start, shape (parameters,)."""
    offsets, size = _STEP * np.eye(len(start)), len(start)

    def slope_of_depth(x: Floats) -> tuple[float, Floats]:
        """Return how far the log posterior is below nought, and the slope of that."""
        rows = np.concatenate([x[None], x + offsets, x - offsets])
        found = log_likelihood(rows) - _half_square(rows)
        return -float(found[0]), -(found[1 : size + 1] - found[size + 1 :]) / (2 * _STEP)

    bounds = [(-_FARTHEST, _FARTHEST)] * size
    return np.asarray(minimize(slope_of_depth, start, jac=True, method="L-BFGS-B", bounds=bounds).x)


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
