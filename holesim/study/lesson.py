"""What the drives of a round tell of the golfer: bias and spread, by direction and by length."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from math import sqrt
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import ndtri
from scipy.stats import chi2
from scipy.stats import t as student_t

from holesim.study.round_file import DriveResult

Floats = NDArray[np.float64]
Measure = Literal["side", "total"]

NAMES: Final[dict[Measure, str]] = {"side": "direction", "total": "length"}
"""What is told of each measured quantity."""
FEWEST: Final = 5  # drives below which their directions and lengths are not judged
_FARTHEST: Final = 4.0  # standard deviations that one drive counts as being off at most
_FARTHEST_YD: Final = 1000.0  # beyond any bias
_FACTORS: Final = 0.05, 1e6  # between which a spread lies, over the planned one
_ROUNDED: Final = (
    0.01  # yd; a plan's quantiles are rounded, those of a golfer who never errs are all the same
)
_ROUNDS: Final = 30  # of finding the bias for a spread, and the spread for a bias
_TAIL: Final = 0.025  # on either side of a 95 % interval


@dataclass(frozen=True)
class Interval:
    """A number and its 95 % interval.

    Examples
    --------
    >>> 0.0 in Interval(15.0, low=4.0, high=26.0)
    False
    """

    value: float
    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """How the driver's drives of a round compare with those planned, by direction or by length.

    Attributes
    ----------
    offsets
        How far right of the middle of the planned drives, or how much longer, each drive finished [yd].
    planned, probabilities
        Quantiles of the same of the planned drives [yd], and their probabilities.
    bias
        By how much drives finished right of the planned ones, or longer, on average [yd].
    bias_se
        Its standard error [yd].
    spread
        How widely drives scattered about that bias, over how widely the planned drives scatter.
    """

    offsets: Floats
    planned: Floats
    probabilities: Floats
    bias: Interval
    bias_se: float
    spread: Interval

    @property
    def drives(self) -> int:
        """How many drives it is found from."""
        return len(self.offsets)


def find_lesson(
    drives: Sequence[DriveResult], measure: Measure, probabilities: Sequence[float]
) -> Lesson | None:
    """Find how the driver's drives compare with those planned.

    Parameters
    ----------
    measure
        "side" finds the bias and spread by direction, "total" those by length.
    probabilities
        The probabilities of the plan's quantiles.

    Returns
    -------
    None for fewer than five such drives. Drives that are out do not count: nobody knows how far they went.

    Notes
    -----
    If the plan is right, the normal scores of the drives by its quantiles have a mean of zero and a variance
    of one. The bias is the shift, and the spread the factor about the planned middle, that take them there.
    Their intervals are those of normal data whose mean and variance are unknown, with no prior (Gelman et
    al., Bayesian Data Analysis, 2013, ch. 3.2): they say what this round shows, whatever was known of the
    golfer before. So two rounds can be compared.
    """
    groups = group_by_strike([drive for drive in drives if drive.strike.club == "driver"], measure)
    n = sum(len(values) for values, _ in groups)
    if n < FEWEST:
        return None
    planned = np.array(probabilities)
    middles = [float(np.interp(0.5, planned, q)) for _, q in groups]
    offsets = [(v - m, q - m) for (v, q), m in zip(groups, middles, strict=True)]

    def scores(shift: float, factor: float) -> Floats:
        return np.concatenate([normal_scores((x - shift) / factor, q, planned) for x, q in offsets])

    def shift_to(mean: float, factor: float) -> float:
        far = _FARTHEST_YD * (1 + factor)
        return float(brentq(lambda shift: scores(shift, factor).mean() - mean, -far, far, xtol=1e-4))

    def factor_at(shift: float) -> float:
        def excess(factor: float) -> float:
            return float((scores(shift, factor) ** 2).sum()) / (n - 1) - 1

        low, high = _FACTORS
        return float(brentq(excess, low, high, xtol=1e-4)) if excess(low) > 0 else low

    bias, factor = shift_to(0.0, 1.0), 1.0
    for _ in range(_ROUNDS):
        before, factor = factor, factor_at(bias)
        bias = shift_to(0.0, factor)
        if abs(factor - before) < 1e-3:
            break
    t = float(student_t.ppf(1 - _TAIL, n - 1))
    ends = shift_to(t / sqrt(n), factor), shift_to(-t / sqrt(n), factor)
    wide, narrow = (float(chi2.ppf(p, n - 1)) for p in (_TAIL, 1 - _TAIL))
    return Lesson(
        offsets=np.concatenate([x for x, _ in offsets]),
        planned=_mix([q for _, q in offsets], np.array([len(x) for x, _ in offsets]), planned),
        probabilities=planned,
        bias=Interval(bias, *ends),
        bias_se=(ends[1] - ends[0]) / (2 * t),
        spread=Interval(factor, factor * sqrt((n - 1) / narrow), factor * sqrt((n - 1) / wide)),
    )


def normal_scores(values: Floats, quantiles: Floats, probabilities: Floats) -> Floats:
    """Return how many standard deviations values are off in a distribution of these quantiles.

    That is the quantile of the normal distribution whose probability is the value's own. Beyond the outer
    quantiles the distribution is taken to go on as a normal one, to four standard deviations.

    Examples
    --------
    >>> probabilities = np.array([0.025, 0.5, 0.975])
    >>> quantiles = 10 + 20 * ndtri(probabilities)
    >>> normal_scores(np.array([10.0, 30.0, 60.0, -500.0]), quantiles, probabilities).round(2).tolist()
    [0.0, 1.0, 2.5, -4.0]
    """
    z = ndtri(probabilities)
    x = quantiles + _ROUNDED * z  # so that no two are the same
    below = (values - x[0]) / (x[1] - x[0]) * (z[1] - z[0])
    above = (values - x[-1]) / (x[-1] - x[-2]) * (z[-1] - z[-2])
    found = np.interp(values, x, z) + np.minimum(below, 0) + np.maximum(above, 0)
    return np.asarray(found.clip(-_FARTHEST, _FARTHEST))


def group_by_strike(drives: Sequence[DriveResult], measure: Measure) -> list[tuple[Floats, Floats]]:
    """Return the recorded lengths or sides of each strike's drives, and the plan's quantiles of them [yd].

    A ball that is out is left out: nobody knows how far it went.
    """
    values: dict[int, list[float]] = {}
    quantiles: dict[int, Floats] = {}
    for drive in drives:
        strike, value = drive.strike, float(getattr(drive, measure))
        planned = strike.side_quantiles_yd if measure == "side" else strike.total_quantiles_yd
        if planned is None or drive.lie == "out" or np.isnan(value):
            continue
        if id(strike) not in quantiles:
            quantiles[id(strike)] = np.array(planned)
        values.setdefault(id(strike), []).append(value)
    return [(np.array(values[key]), quantiles[key]) for key in values]


def _mix(quantiles: Sequence[Floats], weights: Floats, probabilities: Floats) -> Floats:
    """Return the quantiles of a mixture of distributions of these quantiles."""
    at = np.unique(np.concatenate(quantiles))
    # Beyond the outer quantiles of one, none of it is left, or what the others are would not count there.
    below = [np.interp(at, q, probabilities, left=0.0, right=1.0) for q in quantiles]
    return np.interp(probabilities, np.average(below, axis=0, weights=weights), at)


def lessons_dict(lessons: Mapping[Measure, Lesson | None]) -> dict[str, Any]:
    """Return bias and spread as review.json has them."""
    known = {
        name: lesson
        for measure, name in NAMES.items()
        if (lesson := lessons[measure]) is not None
    }  # fmt: skip
    return {
        "bias": {
            name: {"drives": lesson.drives, "yd": asdict(lesson.bias)} for name, lesson in known.items()
        },
        "spread": {
            name: {"drives": lesson.drives, "over_planned": asdict(lesson.spread)}
            for name, lesson in known.items()
        },
    }
