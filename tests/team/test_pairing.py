"""Who plays with whom, and who meets whom, against all there are."""

from collections.abc import Iterator
from itertools import combinations, permutations

import numpy as np
import pytest

from holesim.team.pairing import best_assignment


def pairings(players: tuple[int, ...]) -> Iterator[list[tuple[int, int]]]:
    """Yield every way to make pairs."""
    if not players:
        yield []
    for k in range(1, len(players)):
        for others in pairings(players[1:k] + players[k + 1 :]):
            yield [(players[0], players[k]), *others]


@pytest.mark.parametrize(("players", "ways"), [(6, 15), (8, 105)])
def test_pairs_of_most_points(players: int, ways: int) -> None:
    rng = np.random.default_rng(players)
    everything = list(pairings(tuple(range(players))))
    assert len(everything) == ways
    pairs = list(combinations(range(players), 2))
    for _ in range(5):
        points = dict(zip(pairs, rng.normal(size=len(pairs)), strict=True))
        values = np.array(list(points.values()))[:, None]
        found = best_assignment(values, pairs, (players // 2,))
        assert sorted(player for k, _ in found for player in pairs[k]) == list(range(players))
        most = max(sum(points[pair] for pair in one) for one in everything)
        assert sum(values[k, column] for k, column in found) == pytest.approx(most)


@pytest.mark.parametrize("players", [6, 8])
def test_pairs_and_order_at_once(players: int) -> None:
    """Points that depend on whom a pair meets: every way to make pairs, in every order."""
    rng = np.random.default_rng(10 + players)
    pairs, half = list(combinations(range(players), 2)), players // 2
    place = {pair: k for k, pair in enumerate(pairs)}
    for _ in range(3):
        values = rng.uniform(size=(len(pairs), half))
        found = best_assignment(values, pairs, (1,) * half)
        assert [column for _, column in found] == list(range(half))
        assert sorted(player for k, _ in found for player in pairs[k]) == list(range(players))
        most = max(
            sum(values[place[pair], column] for column, pair in enumerate(order))
            for one in pairings(tuple(range(players)))
            for order in permutations(one)
        )
        assert sum(values[k, column] for k, column in found) == pytest.approx(most)


def test_the_order_of_eight() -> None:
    values = np.random.default_rng(3).uniform(size=(8, 8))
    found = best_assignment(values, [(k,) for k in range(8)], (1,) * 8)
    every = np.array(list(permutations(range(8))))
    most = values[np.arange(8), every].sum(axis=1).max()
    assert sum(values[k, column] for k, column in found) == pytest.approx(most)


def test_more_players_than_places() -> None:
    """Of seven the best two pairs play."""
    rng = np.random.default_rng(4)
    pairs = list(combinations(range(7), 2))
    values = rng.uniform(size=(len(pairs), 1))
    found = best_assignment(values, pairs, (2,))
    most = max(
        values[a, 0] + values[b, 0]
        for a, b in combinations(range(len(pairs)), 2)
        if not set(pairs[a]) & set(pairs[b])
    )
    assert sum(values[k, 0] for k, _ in found) == pytest.approx(most)
    with pytest.raises(ValueError, match="too few players"):
        best_assignment(values, pairs, (4,))
