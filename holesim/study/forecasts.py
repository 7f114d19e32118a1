"""Forecasts judged: counts of what happened, and proper scores, compared with those of a right forecast."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.signal import convolve
from scipy.stats import binom

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_ROUNDS: Final = 4000  # simulated from the forecasts


@dataclass(frozen=True, kw_only=True)
class EventCount:
    """How often something happened in a round.

    Attributes
    ----------
    name
        What happened.
    drives
        How often it could have.
    observed, expected
        How often it did, and how often by the forecast.
    low, high
        The forecast's 95 % interval.
    chance
        The chance of a count as unlikely as this or more, if the forecast is right.
    """

    name: str
    drives: int
    observed: int
    expected: float
    low: int
    high: int
    chance: float


@dataclass(frozen=True, kw_only=True)
class ForecastScore:
    """A proper score of forecasts; the lower, the better.

    Attributes
    ----------
    name
        The scoring rule, and what was forecast.
    cases
        How many forecasts it is a mean over.
    got, expected
        The score, and what forecasts that are right get on average.
    chance
        The chance of a score as bad as this or worse, if the forecast is right.
    """

    name: str
    cases: int
    got: float
    expected: float
    chance: float


def find_count_chances(chances: Floats) -> Floats:
    """Return the chance of each number of events, from none to all, where each has a chance of its own.

    It is Poisson's binomial distribution.

    Examples
    --------
    >>> find_count_chances(np.array([0.5, 0.5])).round(3).tolist()
    [0.25, 0.5, 0.25]
    """
    found = np.ones(1)
    for p, cases in zip(*np.unique(chances, return_counts=True), strict=True):
        found = convolve(found, binom.pmf(np.arange(cases + 1), cases, p))
    return np.asarray(found.clip(0.0))  # many cases are multiplied by Fourier's transform


def count_events(name: str, forecast: Floats, happened: NDArray[np.bool_]) -> EventCount:
    """Return how often an event happened, compared with the chance that each case was given."""
    chances, observed = find_count_chances(forecast), int(happened.sum())
    cumulative = np.cumsum(chances)
    return EventCount(
        name=name,
        drives=len(forecast),
        observed=observed,
        expected=float(forecast.sum()),
        low=int(np.searchsorted(cumulative, 0.025)),
        high=int(np.searchsorted(cumulative, 0.975)),
        chance=float(min(chances[chances <= chances[observed] * (1 + 1e-9)].sum(), 1.0)),
    )


ScoringRule = Callable[[Floats, Integers], Floats]
"""Returns the score of each case, from its chances, shape (cases, outcomes), and which outcome happened."""


def brier_score(chances: Floats, outcome: Integers) -> Floats:
    """Return (p - o)² of an event, the first of two outcomes (Brier, Mon. Weather Rev. 78, 1950, halved).

    Examples
    --------
    Rain was given 0.7, and it stayed dry.

    >>> brier_score(np.array([[0.7, 0.3]]), np.array([1])).round(2).tolist()
    [0.49]
    """
    return np.asarray((chances[:, 0] - (outcome == 0)) ** 2)


def log_score(chances: Floats, outcome: Integers) -> Floats:
    """Return minus the logarithm of the chance given to the outcome (Good, J. R. Stat. Soc. B 14, 1952).

    Examples
    --------
    >>> log_score(np.array([[0.5, 0.5]]), np.array([1])).round(3).tolist()
    [0.693]
    """
    return np.asarray(-np.log(np.maximum(chances[np.arange(len(outcome)), outcome], 1e-12)))


def ranked_score(chances: Floats, outcome: Integers) -> Floats:
    """Return the ranked probability score (Epstein, J. Appl. Meteorol. 8, 1969), not divided.

    Examples
    --------
    Three classes were given 0.2, 0.5 and 0.3, and the first happened: (0.2 - 1)² + (0.7 - 1)².

    >>> ranked_score(np.array([[0.2, 0.5, 0.3]]), np.array([0])).round(2).tolist()
    [0.73]
    """
    cumulative = np.cumsum(chances, axis=1)
    happened = np.arange(chances.shape[1]) >= outcome[:, None]
    return np.asarray(((cumulative - happened) ** 2).sum(axis=1))


def score_forecasts(
    name: str, chances: Floats, outcome: Integers, rule: ScoringRule, rng: np.random.Generator
) -> ForecastScore:
    """Return the mean score of forecasts, compared with that of rounds simulated from them.

    Cases that were given the same chances are simulated together, so that a hundred thousand need no more
    memory than a few.

    Parameters
    ----------
    chances
        Shape (cases, outcomes); each row adds to one.
    outcome
        Which outcome happened, shape (cases,).
    """
    cases, outcomes = chances.shape
    rows, count = np.unique(chances, axis=0, return_counts=True)
    # The score of each row by each outcome.
    table = np.stack([rule(rows, np.full(len(rows), k)) for k in range(outcomes)], axis=1)
    totals = np.zeros(_ROUNDS)
    for row, n, scores in zip(rows, count, table, strict=True):
        totals += rng.multinomial(n, row / row.sum(), size=_ROUNDS) @ scores
    got = float(rule(chances, outcome).mean())
    return ForecastScore(
        name=name,
        cases=cases,
        got=got,
        expected=float(count @ (rows * table).sum(axis=1)) / cases,
        chance=float((1 + (totals / cases >= got - 1e-12).sum()) / (1 + _ROUNDS)),
    )
