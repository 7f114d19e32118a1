"""Who of a squad plays: against every choice there is, counted one by one."""

from collections.abc import Iterator, Sequence
from itertools import combinations, product

import numpy as np
import pytest

from holesim.team.pairing import Limits
from holesim.team.selection import SessionTable, choose_players
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable, Way
from holesim.team.strike_scores import DRAW_SETS
from tests.team.test_pairing import pairings

EVERYONE = np.ones(DRAW_SETS)


def session(seed: int, players: int, *, size: int, places: int, opponents: int = 0) -> SessionTable:
    """Return a session of values by chance, the same in every draw set; matches if there are opponents."""
    rng = np.random.default_rng(seed)
    ways = tuple(Way(group, 0) for group in combinations(range(players), size))
    table = SideTable(
        ways=ways,
        opponents=tuple((players + k,) for k in range(opponents)),
        strokes=rng.uniform(70, 90, (len(ways), 1)) * EVERYONE,
        points=rng.uniform(size=(len(ways), opponents, 1)) * EVERYONE,
    )
    return SessionTable(table, places, order_known=False)


def worth(one: SessionTable, groups: Sequence[Group]) -> float:
    """Return the points of groups against the mean opponent, or their strokes with a minus sign."""
    values = -one.table.strokes[:, 0] if not one.table.opponents else one.table.points[..., 0].mean(axis=1)
    return float(sum(values[one.table.ways.index(Way(group, 0))] for group in groups))


def line_ups(one: SessionTable) -> Iterator[tuple[Group, ...]]:
    """Yield every way to fill the places of a session."""
    size = len(one.table.groups[0])
    for players in combinations(one.table.players, size * one.places):
        yield from [tuple((i,) for i in players)] if size == 1 else map(tuple, pairings(players))


def test_six_of_nine_by_enumeration() -> None:
    one = session(1, 9, size=1, places=6, opponents=6)
    found = choose_players([one], dict(enumerate(np.arange(9.0))))
    best = max(line_ups(one), key=lambda groups: worth(one, groups))
    assert found.playing == (tuple(i for (i,) in best),)
    assert found.gain is not None
    assert found.gain.value == pytest.approx(worth(one, best) - worth(one, [(i,) for i in range(6)]))
    for substitute in found.substitutes:
        others = [groups for groups in line_ups(one) if (substitute.out,) not in groups]
        instead = max(others, key=lambda groups: worth(one, groups))
        assert substitute.cost is not None
        assert substitute.cost.value == pytest.approx(worth(one, best) - worth(one, instead))
        assert substitute.comes_in == tuple({i for (i,) in instead} - {i for (i,) in best})
    costs = [one.cost.value for one in found.substitutes if one.cost is not None]
    assert costs == sorted(costs, reverse=True)
    for reserve in found.reserves:
        with_them = [groups for groups in line_ups(one) if (reserve.player,) in groups]
        instead = max(with_them, key=lambda groups: worth(one, groups))
        assert reserve.cost.value == pytest.approx(worth(one, best) - worth(one, instead))
        assert reserve.replaces == tuple({i for (i,) in best} - {i for (i,) in instead})
    assert [one.cost.value for one in found.reserves] == sorted(one.cost.value for one in found.reserves)


@pytest.mark.parametrize("most", [1, 2])
def test_two_days_of_eight_by_enumeration(most: int) -> None:
    """Two pairs on the first day, four singles on the second, and nobody plays more often than they may."""
    first = session(2, 8, size=2, places=2, opponents=2)
    second = session(3, 8, size=1, places=4, opponents=4)
    limits = Limits(most=dict.fromkeys(range(8), most), least={7: 1})
    found = choose_players([first, second], dict(enumerate(np.arange(8.0))), limits)

    def may(days: tuple[tuple[Group, ...], ...]) -> bool:
        played = [player for groups in days for group in groups for player in group]
        return 7 in played and max(played.count(i) for i in range(8)) <= most

    days = list(filter(may, product(line_ups(first), line_ups(second))))
    best = max(days, key=lambda pair: worth(first, pair[0]) + worth(second, pair[1]))
    assert found.playing == tuple(tuple(sorted(i for group in groups for i in group)) for groups in best)


def test_the_lowest_handicaps_play_where_another_choice_gains_too_little() -> None:
    one = session(4, 5, size=1, places=3, opponents=3)
    flat = SideTable(
        one.table.ways, one.table.opponents, one.table.strokes, np.full_like(one.table.points, 0.5)
    )
    found = choose_players(
        [SessionTable(flat, 3, order_known=False)], {0: 9.0, 1: 2.0, 2: 5.0, 3: 1.0, 4: 7.0}
    )
    assert found.playing == ((1, 2, 3),)


def test_in_stroke_play_the_fewest_strokes_play() -> None:
    one = session(5, 6, size=1, places=2)
    found = choose_players([one], dict(enumerate(np.arange(6.0))))
    assert found.playing == (tuple(sorted(np.argsort(one.table.strokes[:, 0])[:2].tolist())),)


def test_places_that_nobody_can_fill_are_told() -> None:
    one = session(6, 4, size=1, places=3, opponents=3)
    with pytest.raises(ValueError, match="too few players"):
        choose_players([one, one], dict(enumerate(np.arange(4.0))), Limits(most=dict.fromkeys(range(4), 1)))


def test_whoever_cannot_be_replaced_is_told_first() -> None:
    one = session(7, 3, size=1, places=2, opponents=2)
    limits = Limits(most={0: 1, 1: 1, 2: 0})
    found = choose_players([one], dict(enumerate(np.arange(3.0))), limits)
    assert [(one.out, one.cost) for one in found.substitutes] == [(0, None), (1, None)]
    assert found.reserves == ()
