"""Who plays, with whom, and who meets whom, by a solver of integer programs."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import block_diag, csr_array, hstack, vstack

from holesim.team.side_options import Group

Floats = NDArray[np.float64]

_EXACT: Final = {"mip_rel_gap": 0.0}


class TooFewError(ValueError):
    """Too few players may play, or play together, to fill the places."""


class Candidates(NamedTuple):
    """What may be chosen in one session.

    Attributes
    ----------
    values
        Of each group, a row, in each column: against an opponent, say; shape (groups, columns).
    groups
        The players of each group; a player may stand in several, of which at most one is chosen.
    places
        How many groups each column takes.
    barred
        The rows of groups that may not be chosen.
    """

    values: Floats
    groups: Sequence[Group]
    places: Sequence[int]
    barred: tuple[int, ...] = ()

    def bar(self, rows: Iterable[int]) -> "Candidates":
        """Return these without some more groups."""
        return self._replace(barred=(*self.barred, *rows))


@dataclass(frozen=True)
class Limits:
    """In how many sessions a player plays, at least and at most; one who is not listed, in any number."""

    least: Mapping[int, int] = field(default_factory=dict)
    most: Mapping[int, int] = field(default_factory=dict)


ANY: Final = Limits()
"""No limits."""

Assignment = tuple[tuple[int, int], ...]
"""Pairs of a group's row and its column, by column, then by row."""


def best_assignment(values: Floats, groups: Sequence[Group], places: Sequence[int]) -> Assignment:
    """Return who plays together and in which column each group stands, for the greatest sum of values.

    Parameters
    ----------
    values, groups, places
        As in `Candidates`.

    Raises
    ------
    TooFewError
        If there are too few players to fill the places.

    Examples
    --------
    Of four players two pairs, the first against one opponent and the second against the other:

    >>> pairs = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)]
    >>> values = np.array([[0.0, 0.0], [0.0, 0.0], [0.9, 0.1], [0.2, 0.6], [0.0, 0.0], [0.0, 0.0]])
    >>> best_assignment(values, pairs, (1, 1))
    ((2, 0), (3, 1))
    """
    (found,) = best_assignments([Candidates(values, groups, places)])
    return found


def best_assignments(sessions: Sequence[Candidates], limits: Limits = ANY) -> tuple[Assignment, ...]:
    """Return who plays in each of several sessions, for the greatest sum of values of all of them.

    Raises
    ------
    TooFewError
        If no choice fills the places within the limits.

    Notes
    -----
    An integer program: one variable of nought or one for each group in each column of each session.

    Examples
    --------
    Two sessions of one place, and nobody plays twice:

    >>> one = Candidates(np.array([[0.9], [0.5]]), [(0,), (1,)], (1,))
    >>> other = Candidates(np.array([[0.8], [0.6]]), [(0,), (1,)], (1,))
    >>> best_assignments([one, other], Limits(most={0: 1, 1: 1}))
    (((0, 0),), ((1, 0),))
    """
    players = sorted({player for session in sessions for group in session.groups for player in group})
    plays = [_plays(session, players) for session in sessions]
    in_column = [csr_array(np.tile(np.eye(s.values.shape[1]), s.values.shape[0])) for s in sessions]
    places = np.concatenate([np.asarray(s.places, dtype=float) for s in sessions])
    once = len(players) * len(sessions)
    least = [np.zeros(once), places, np.array([limits.least.get(p, 0) for p in players])]
    most = [np.ones(once), places, np.array([limits.most.get(p, len(sessions)) for p in players])]
    found = milp(
        -np.concatenate([session.values.ravel() for session in sessions]),
        integrality=np.ones(sum(session.values.size for session in sessions)),
        bounds=Bounds(0, np.concatenate([_most(session) for session in sessions])),
        constraints=LinearConstraint(
            vstack([block_diag(plays), block_diag(in_column), hstack(plays)]),
            np.concatenate(least),
            np.concatenate(most),
        ),
        options=_EXACT,
    )
    if found.x is None:
        raise TooFewError("too few players for the places")
    ends = np.cumsum([session.values.size for session in sessions])[:-1]
    return tuple(
        _taken(part, session) for part, session in zip(np.split(found.x, ends), sessions, strict=True)
    )


def _plays(session: Candidates, players: Sequence[int]) -> csr_array:
    """Return which of a session's variables each player, a row, plays in."""
    of_player = np.array([[player in group for group in session.groups] for player in players], dtype=float)
    return csr_array(np.repeat(of_player, session.values.shape[1], axis=1))


def _most(session: Candidates) -> Floats:
    """Return the greatest value of each of a session's variables."""
    most = np.ones(session.values.shape)
    most[list(session.barred)] = 0.0
    return most.ravel()


def _taken(x: Floats, session: Candidates) -> Assignment:
    taken = np.argwhere(np.round(x).reshape(session.values.shape) > 0)
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
