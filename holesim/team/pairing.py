"""Who plays with whom, and who meets whom, by a solver of integer programs."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, vstack

from holesim.team.side_options import Group

Floats = NDArray[np.float64]

_EXACT: Final = {"mip_rel_gap": 0.0}


def best_assignment(
    values: Floats, groups: Sequence[Group], places: Sequence[int]
) -> tuple[tuple[int, int], ...]:
    """Return who plays together and in which column each group stands, for the greatest sum of values.

    Parameters
    ----------
    values
        Of each group, a row, in each column: against an opponent, say; shape (groups, columns).
    groups
        The players of each group; a player may stand in several, of which at most one is chosen.
    places
        How many groups each column takes.

    Returns
    -------
    Pairs of a group's row and its column, by column, then by row.

    Raises
    ------
    ValueError
        If there are too few players to fill the places.

    Notes
    -----
    An integer program: one variable of nought or one for each group in each column.

    Examples
    --------
    Of four players two pairs, the first against one opponent and the second against the other:

    >>> pairs = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)]
    >>> values = np.array([[0.0, 0.0], [0.0, 0.0], [0.9, 0.1], [0.2, 0.6], [0.0, 0.0], [0.0, 0.0]])
    >>> best_assignment(values, pairs, (1, 1))
    ((2, 0), (3, 1))
    """
    rows, columns = values.shape
    players = sorted({player for group in groups for player in group})
    of_player = np.array([[player in group for group in groups] for player in players], dtype=float)
    at_most_once = csr_array(np.repeat(of_player, columns, axis=1))
    in_column = csr_array(np.tile(np.eye(columns), rows))
    least = np.concatenate([np.zeros(len(players)), places])
    most = np.concatenate([np.ones(len(players)), places])
    found = milp(
        -values.ravel(),
        integrality=np.ones(values.size),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(vstack([at_most_once, in_column]), least, most),
        options=_EXACT,
    )
    if found.x is None:
        raise ValueError("too few players for the places")
    taken = np.argwhere(np.round(found.x).reshape(values.shape) > 0)
    return tuple(sorted(((int(row), int(column)) for row, column in taken), key=lambda one: one[::-1]))


def handicap_groups(indices: Sequence[float], size: int, places: int) -> tuple[Group, ...]:
    """Return so many groups of players in handicap order: the lowest play together, then the next.

    Examples
    --------
    >>> handicap_groups([12.0, -2.0, 5.0, 3.0], 2, 2)
    ((1, 3), (0, 2))
    """
    order = handicap_order(indices)
    return tuple(tuple(sorted(order[k : k + size])) for k in range(0, size * places, size))


def handicap_order(indices: Sequence[float]) -> tuple[int, ...]:
    """Return the players' places, the lowest handicap first."""
    return tuple(sorted(range(len(indices)), key=lambda i: indices[i]))
