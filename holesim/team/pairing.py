"""Who plays with whom, and who meets whom, by solvers of matching and of assignment."""

from collections.abc import Iterable, Mapping, Sequence

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

Floats = NDArray[np.float64]
Pair = tuple[int, int]


def best_pairs(costs: Mapping[Pair, float]) -> tuple[Pair, ...]:
    """Return the pairs of least total cost, each player in one of them: a matching of least weight.

    Examples
    --------
    >>> best_pairs({(0, 1): 4.0, (0, 2): 1.0, (0, 3): 3.0, (1, 2): 2.0, (1, 3): 1.5, (2, 3): 4.0})
    ((0, 2), (1, 3))
    """
    graph: nx.Graph[int] = nx.Graph()
    graph.add_weighted_edges_from((a, b, cost) for (a, b), cost in costs.items())
    return _sorted_pairs(nx.min_weight_matching(graph))


def handicap_pairs(indices: Sequence[float]) -> tuple[Pair, ...]:
    """Return the pairs in handicap order: the two lowest play together, then the next two.

    Examples
    --------
    >>> handicap_pairs([12.0, -2.0, 5.0, 3.0])
    ((0, 2), (1, 3))
    """
    order = handicap_order(indices)
    return _sorted_pairs(zip(order[::2], order[1::2], strict=True))


def handicap_order(indices: Sequence[float]) -> tuple[int, ...]:
    """Return the players' places, the lowest handicap first."""
    return tuple(sorted(range(len(indices)), key=lambda i: indices[i]))


def best_order(points: Floats) -> tuple[int, ...]:
    """Return which opponent each side should meet, for the most points: an assignment.

    Parameters
    ----------
    points
        Expected points of each side, a row, against each opponent, a column; as many sides as opponents.
    """
    return tuple(int(column) for column in linear_sum_assignment(points, maximize=True)[1])


def _sorted_pairs(pairs: Iterable[tuple[int, int]]) -> tuple[Pair, ...]:
    return tuple(sorted((min(a, b), max(a, b)) for a, b in pairs))
