"""Estimates: a mean over golfers who may be the true one, and how sure its sign is."""

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
"""Degrees of freedom that a variance has at least, however little stands out of the noise: our assumption."""


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A quantity over posterior draws.

    Attributes
    ----------
    mean
        Over all draws.
    sampling
        Its standard error by the drives sampled.
    se
        The standard error of what is true of the golfer: how draws differ, and the sampling.
    freedom
        The degrees of freedom by which that is known.
    draws
        What it is for each posterior draw, the noise of the drives sampled taken out, shape (draws,).
    """

    mean: float
    sampling: float
    se: float
    freedom: float
    draws: Floats

    @property
    def half(self) -> float:
        """Half the width of the 95 % interval of what is true."""
        return self.se * _quantile(self.freedom)

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % interval of what is true."""
        return self.mean - self.half, self.mean + self.half

    @property
    def sampling_half(self) -> float:
        """Half the width that the interval would have were the golfer known for sure."""
        return self.sampling * _quantile(len(self.draws) - 1)

    @property
    def chance_below(self) -> float:
        """The chance that what is true lies below nought."""
        return float(chance_below(*map(np.array, (self.mean, self.se, self.freedom))))


def chance_below(mean: Floats, se: Floats, freedom: Floats) -> Floats:
    """Return the chance that what is true lies below nought, by arrays of an `Estimate`'s numbers."""
    sure = 0.5 - 0.5 * np.sign(mean)
    return np.asarray(np.where(se > 0, student_t.cdf(-mean / np.where(se > 0, se, 1.0), freedom), sure))


def estimate(values: Floats) -> Estimate:
    """Return what is estimated of a quantity.

    Parameters
    ----------
    values
        Shape (posterior draws, replicates): the mean of independent sets of drives of each draw.

    Notes
    -----
    The replicates tell how much of the variance among draws is that of the drives sampled (analysis of
    variance, one way with random effects: Searle, Casella and McCulloch, Variance Components, 1992, ch. 3).
    What is left is that of the golfers; their values are drawn towards the mean by as much. Being what is
    left of two variances it is known the less well the more of it is noise (Satterthwaite, Biometrics
    Bulletin 2, 1946).
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
    """Return the degrees of freedom of a variance among draws from which that of the noise is taken."""
    draws, replicates = shape
    uncertain = ((1 + 1 / draws) * total) ** 2 / (draws - 1) + noise**2 / (draws * (replicates - 1))
    return min(max(variance**2 / uncertain, _FEWEST), draws - 1)


def sureness(chance: float) -> Sureness:
    """Return in words how sure it is that a choice is the better one."""
    return "nearly sure" if chance >= _NEARLY_SURE else "likely" if chance >= _LIKELY else "a toss-up"


def sure_text(chance: float) -> str:
    """Return how sure a choice is, in words and a number, which is at most over 99 in 100."""
    said = "over 99" if chance > 0.99 else f"{100 * chance:.0f}"
    return f"{sureness(chance)}, {said} in 100"


def _quantile(freedom: float) -> float:
    return float(student_t.ppf((1 + CONFIDENCE) / 2, freedom))
