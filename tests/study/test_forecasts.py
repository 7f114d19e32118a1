"""Forecasts judged: scores are proper, counts are binomial where chances are equal."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.study.forecasts import ScoringRule, brier_score, find_count_chances, log_score, ranked_score

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
