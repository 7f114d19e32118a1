"""Pairings: who plays with whom, and who meets whom, by solvers of matching and of assignment."""

from collections.abc import Mapping, Sequence

import networkx as nx
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

Floats = NDArray[np.float64]
Pair = tuple[int, int]


def best_pairs(costs: Mapping[Pair, float]) -> tuple[Pair, ...]:
    """Return the pairs that cost least in all, each player in one of them: a matching of least weight."""
    graph: nx.Graph[int] = nx.Graph()
    graph.add_weighted_edges_from((a, b, cost) for (a, b), cost in costs.items())
    return _tidy(nx.min_weight_matching(graph))


def handicap_pairs(indices: Sequence[float]) -> tuple[Pair, ...]:
    """Return the pairs in handicap order: the two lowest play together, then the next two."""
    order = handicap_order(indices)
    return _tidy(zip(order[::2], order[1::2], strict=True))


def handicap_order(indices: Sequence[float]) -> tuple[int, ...]:
    """Return players, the lowest handicap first."""
    return tuple(sorted(range(len(indices)), key=lambda i: indices[i]))


def best_order(points: Floats) -> tuple[int, ...]:
    """Return which opponent each side should meet, for the most points: an assignment.

    Parameters
    ----------
    points
        Of each side, a row, against each opponent, a column; as many of one as of the other.
    """
    return tuple(int(column) for column in linear_sum_assignment(points, maximize=True)[1])


def _tidy(pairs: object) -> tuple[Pair, ...]:
    return tuple(sorted((min(a, b), max(a, b)) for a, b in pairs))  # type: ignore[attr-defined]
