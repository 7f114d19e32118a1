"""Who plays with whom, and who meets whom."""

from itertools import permutations

import numpy as np
import pytest

from holesim.team.pairing import best_order, best_pairs


def test_pairs_and_orders_against_brute_force() -> None:
    rng = np.random.default_rng(8)
    for _ in range(10):
        costs = {(a, b): float(rng.normal()) for a in range(6) for b in range(a + 1, 6)}
        found = best_pairs(costs)
        assert sorted(player for pair in found for player in pair) == list(range(6))
        everything = {
            tuple(sorted(tuple(sorted(order[i : i + 2])) for i in (0, 2, 4)))
            for order in permutations(range(6))
        }
        least = min(sum(costs[a, b] for a, b in pairs) for pairs in everything)
        assert sum(costs[pair] for pair in found) == pytest.approx(least)
        points = rng.uniform(size=(5, 5))
        most = max(sum(points[i, j] for i, j in enumerate(order)) for order in permutations(range(5)))
        assert sum(points[i, j] for i, j in enumerate(best_order(points))) == pytest.approx(most)
