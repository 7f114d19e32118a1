"""Forecasts judged: scores are proper, counts are binomial where chances are equal."""

import tracemalloc

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.study.forecasts import (
    ScoringRule,
    brier_score,
    count_events,
    find_count_chances,
    log_score,
    ranked_score,
    score_forecasts,
)

Floats = NDArray[np.float64]


@pytest.mark.parametrize("rule", [brier_score, log_score, ranked_score])
def test_the_scores_are_proper(rule: ScoringRule) -> None:
    """Who says what is true does best on average (Gneiting and Raftery, J. Am. Stat. Assoc. 102, 2007)."""
    true = np.array([0.6, 0.4]) if rule is brier_score else np.array([0.5, 0.3, 0.2])
    outcomes = np.arange(len(true))

    def mean(said: Floats) -> float:
        return float(true @ rule(np.tile(said, (len(true), 1)), outcomes))

    rng = np.random.default_rng(1)
    assert all(mean(true) < mean(rng.dirichlet(np.ones(len(true)))) for _ in range(50))


def test_counts_of_equal_chances_are_binomial() -> None:
    assert find_count_chances(np.full(14, 0.6)) == pytest.approx(stats.binom.pmf(np.arange(15), 14, 0.6))


def test_counts_of_unequal_chances_are_their_convolution() -> None:
    chances = np.array([0.2, 0.7, 0.2, 0.9])
    expected = np.ones(1)
    for p in chances:
        expected = np.convolve(expected, [1 - p, p])
    assert find_count_chances(chances) == pytest.approx(expected)


def test_how_likely_a_score_as_bad_is_by_hand() -> None:
    """Rain was given 0.9 twice, and it stayed dry: 0.81 each, which comes with a chance of 0.1 squared."""
    rng = np.random.default_rng(5)
    given, dry, wet = np.array([[0.9, 0.1]] * 2), np.array([1, 1]), np.array([0, 0])
    found = score_forecasts("", given, dry, brier_score, rng)
    assert (found.cases, found.got, found.expected) == pytest.approx((2, 0.81, 0.09))
    assert found.chance == pytest.approx(0.01, abs=0.005)
    once = score_forecasts("", given, np.array([1, 0]), brier_score, rng)
    assert (once.got, once.chance) == pytest.approx((0.41, 0.19), abs=0.03)
    assert score_forecasts("", given, wet, brier_score, rng).chance == 1


def test_a_count_s_interval_and_chance_by_hand() -> None:
    """Of two with 0.5 and 0.1: none 0.45, one 0.5, two 0.05. As unlikely as none are none and two."""
    count = count_events("", np.array([0.5, 0.1]), np.array([False, False]))
    assert (count.drives, count.observed, count.low, count.high) == (2, 0, 0, 2)
    assert (count.expected, count.chance) == pytest.approx((0.6, 0.5))
    assert count_events("", np.array([0.5, 0.1]), np.array([True, True])).chance == pytest.approx(0.05)
    # Of 0.99 twice: none 0.0001, one 0.0198, two 0.9801; of 0.01 twice the other way round.
    for p, end in ((0.99, 2), (0.01, 0)):
        sure = count_events("", np.array([p, p]), np.array([True, True]))
        assert (sure.low, sure.high) == (end, end)


def test_a_hundred_thousand_forecasts_are_judged_in_little_memory() -> None:
    """A right forecast gets about what it expects; ten per cent more often than forecast is found out."""
    rng, n = np.random.default_rng(3), 100_000
    chances = rng.dirichlet(np.ones(8), size=40)[rng.integers(40, size=n)]
    outcome = (rng.random((n, 1)) > np.cumsum(chances, axis=1)[:, :-1]).sum(axis=1)
    first = outcome == 0
    tracemalloc.start()
    found = score_forecasts("", chances, outcome, log_score, rng)
    count = count_events("", chances[:, 0], first)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 100e6
    assert found.got == pytest.approx(found.expected, abs=0.01)
    assert found.chance > 0.01
    assert count.low <= count.observed <= count.high
    assert count.chance > 0.01
    more = count_events("", chances[:, 0], first | (rng.random(n) < 0.02))
    assert more.chance < 1e-6
