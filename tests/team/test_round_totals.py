"""The totals of a round, and the best of several."""

from itertools import product
from math import pi, sqrt

import numpy as np
import pytest
from scipy import stats

from holesim.team.round_totals import RoundTotals, add_holes, chance_rank_above, mean_of_best, sd_of_best
from holesim.team.strike_scores import SCORES
from tests.agreement.table import Agreement
from tests.team.teams import drawn


def normal(mean: float, sd: float) -> RoundTotals:
    edges = np.arange(2001) - 0.5
    return RoundTotals(0, np.diff(stats.norm.cdf(edges, mean, sd)))


def test_the_best_of_equals_is_as_order_statistics_have_it(agree: Agreement) -> None:
    """Many strokes wide, so that whole strokes do not show."""
    for count, of, expected, source in (
        (1, 2, -1 / sqrt(pi), "the lower of two normal variates: mean less sd/√π"),
        (2, 5, -1.16296 - 0.49502, "Teichroew, Annals of Mathematical Statistics 27, 1956, from memory"),
        (
            3,
            4,
            -1.02938 - 0.29701 + 0.29701,
            "Teichroew, Annals of Mathematical Statistics 27, 1956, from memory",
        ),
    ):
        found = float(mean_of_best([normal(1000, 100)] * of, count)) - 1000 * count
        agree.near(
            "a team", f"the best {count} of {of} equal totals, in their standard deviations", found / 100,
            expected, 0.001, source=source,
        )  # fmt: skip


def test_totals_add_up_as_convolution_does() -> None:
    rng = np.random.default_rng(2)
    holes = [drawn(rng) for _ in range(5)]
    total = add_holes(holes)
    by_hand = np.array([1.0])
    for hole in holes:
        by_hand = np.convolve(by_hand, hole[0])
    np.testing.assert_allclose(total.chances[0], by_hand, atol=1e-12)
    assert total.mean() == pytest.approx(sum(hole[0] @ SCORES for hole in holes))


def test_ranks_of_unequal_totals_against_brute_force() -> None:
    rng = np.random.default_rng(3)
    shares = rng.dirichlet(np.ones(5), 4)
    totals = [RoundTotals(0, share) for share in shares]
    expected = np.zeros(5)
    for scores in product(range(5), repeat=4):
        expected[sorted(scores)[1]] += np.prod([shares[i, s] for i, s in enumerate(scores)])
    np.testing.assert_allclose(1 - chance_rank_above(totals, 2), np.cumsum(expected), atol=1e-12)
    # With the best two of four counting, one's total counts up to the second best of the other three.
    both = sum(
        np.prod([shares[i, s] for i, s in enumerate(scores)]) * sum(sorted(scores)[:2])
        for scores in product(range(5), repeat=4)
    )
    assert mean_of_best(totals, 2) == pytest.approx(both)
    others = sum(
        np.prod([shares[i + 1, s] for i, s in enumerate(scores)]) * min(scores)
        for scores in product(range(5), repeat=3)
    )
    assert others + totals[0].mean_of_lower(chance_rank_above(totals[1:], 2)) == pytest.approx(both)


def test_the_spread_of_all_is_the_root_of_the_sum_of_squares() -> None:
    totals = [normal(400, sd) for sd in (30, 40)]
    assert totals[0].sd() == pytest.approx(30, rel=0.001)
    assert sd_of_best(totals, 2, np.random.default_rng(4)) == pytest.approx(50, rel=0.01)
