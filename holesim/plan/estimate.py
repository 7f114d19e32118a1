"""Estimates: a mean over posterior draws, its interval, and how sure its sign is."""

from dataclasses import dataclass
from math import sqrt
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

Floats = NDArray[np.float64]
Sureness = Literal["a toss-up", "likely", "nearly sure"]

CONFIDENCE: Final = 0.95
_LIKELY, _NEARLY_SURE = 4 / 5, 19 / 20
_FEWEST: Final = 4.0
"""Least degrees of freedom of a variance, however little of it stands out of the noise: our assumption."""


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A quantity as known from posterior draws.

    Attributes
    ----------
    mean
        The mean over all draws.
    sampling
        The standard error of that mean from the sampling of drives alone.
    se
        The standard error of the true golfer's value: from how draws differ, and from the sampling.
    freedom
        The degrees of freedom of `se`.
    draws
        The value of each posterior draw, with the noise of sampling taken out, shape (draws,).
    """

    mean: float
    sampling: float
    se: float
    freedom: float
    draws: Floats

    @property
    def half(self) -> float:
        """Half the width of the 95 % interval of the true value."""
        return self.se * _quantile(self.freedom)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval of the true value."""
        return self.mean - self.half, self.mean + self.half

    @property
    def sampling_half(self) -> float:
        """Half the width that the interval would have if the golfer were known for sure."""
        return self.sampling * _quantile(len(self.draws) - 1)

    @property
    def chance_below(self) -> float:
        """The chance that the true value is below zero."""
        return float(chance_below(*map(np.array, (self.mean, self.se, self.freedom))))


def chance_below(mean: Floats, se: Floats, freedom: Floats) -> Floats:
    """Return the chance that the true value is below zero, from arrays of the numbers of an `Estimate`."""
    sure = 0.5 - 0.5 * np.sign(mean)
    return np.asarray(np.where(se > 0, student_t.cdf(-mean / np.where(se > 0, se, 1.0), freedom), sure))


def estimate(values: Floats) -> Estimate:
    """Estimate a quantity from its means over drives.

    Parameters
    ----------
    values
        Shape (posterior draws, replicates): the mean over each independent set of drives of each draw.

    Notes
    -----
    The replicates tell how much of the variance among draws is noise of the drives sampled (one-way analysis
    of variance with random effects: Searle, Casella and McCulloch, Variance Components, 1992, ch. 3). The
    variance that is left is that of the golfers; their values are drawn towards the mean until that is their
    variance. As a difference of two variances, it is known less well the more of the variance is noise
    (Satterthwaite, Biometrics Bulletin 2, 1946).

    Examples
    --------
    Four draws, each by two replicates:

    >>> found = estimate(np.array([[-0.3, -0.2], [-0.1, 0.0], [-0.5, -0.4], [0.1, 0.0]]))
    >>> round(found.mean, 3), round(found.se, 3), round(found.chance_below, 2)
    (-0.175, 0.243, 0.74)
    """
    draws, replicates = values.shape
    each, mean = values.mean(axis=1), float(values.mean())
    noise = float(values.var(axis=1, ddof=1).mean()) / replicates
    total = float(each.var(ddof=1))
    between = max(total - noise, 0.0)
    share = sqrt(between / total) if between else 0.0
    variance = between + max(total, noise) / draws
    return Estimate(
        mean=mean,
        sampling=sqrt(noise / draws),
        se=sqrt(variance),
        freedom=_freedom(variance, total, noise, values.shape) if between else draws - 1,
        draws=mean + share * (each - mean),
    )


def _freedom(variance: float, total: float, noise: float, shape: tuple[int, ...]) -> float:
    """Return the degrees of freedom of a variance among draws less that of the noise."""
    draws, replicates = shape
    uncertain = ((1 + 1 / draws) * total) ** 2 / (draws - 1) + noise**2 / (draws * (replicates - 1))
    return min(max(variance**2 / uncertain, _FEWEST), draws - 1)


def sureness(chance: float) -> Sureness:
    """Return in words how sure a choice is, from the chance that it is the better one."""
    return "nearly sure" if chance >= _NEARLY_SURE else "likely" if chance >= _LIKELY else "a toss-up"


def sure_text(chance: float) -> str:
    """Return how sure a choice is, in words and a number; nothing is surer than "over 99 in 100"."""
    number = "over 99" if chance > 0.99 else f"{100 * chance:.0f}"
    return f"{sureness(chance)}, {number} in 100"


def _quantile(freedom: float) -> float:
    return float(student_t.ppf((1 + CONFIDENCE) / 2, freedom))
