"""The draw: chosen for points in matches, for strokes in stroke play, and what each choice gains."""

from itertools import combinations, permutations, product

import numpy as np
import pytest

from holesim.team.draw import choose_draw
from holesim.team.side_options import Group
from holesim.team.side_table import SideTable, Way
from holesim.team.strike_scores import DRAW_SETS
from tests.team.test_pairing import pairings

PAIRS = list(combinations(range(6), 2))
OPPONENTS = ((6, 7), (8, 9), (10, 11))
INDICES = [1.0, 5.0, 9.0, 13.0, 17.0, 21.0]


def table_of(seed: int, *, ways: int = 2, matches: bool = True) -> SideTable:
    """Return a table by chance, the same in every draw set."""
    rng = np.random.default_rng(seed)
    everyone = np.ones(DRAW_SETS)
    rows = [Way(pair, k) for pair in PAIRS for k in range(ways)]
    opponents = OPPONENTS if matches else ()
    return SideTable(
        ways=tuple(rows), opponents=opponents,
        strokes=rng.uniform(70, 90, (len(rows), 1)) * everyone,
        points=rng.uniform(size=(len(rows), len(opponents), 1)) * everyone,
    )  # fmt: skip


def value(table: SideTable, pair: Group, k: int, other: int) -> float:
    return float(table.points[table.ways.index(Way(pair, k)), other].mean())


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_pairs_drivers_and_order_of_most_points(seed: int) -> None:
    """Every way to make pairs, in every order, with either driver."""
    table = table_of(seed)
    draw = choose_draw(table, INDICES, places=3, order_known=True)
    found = sum(value(table, way.group, way.side, other) for other, way in enumerate(draw.ways))
    most = max(
        sum(value(table, pair, k, other) for other, (pair, k) in enumerate(zip(order, drivers, strict=True)))
        for one in pairings(tuple(range(6)))
        for order in permutations(one)
        for drivers in product((0, 1), repeat=3)
    )
    assert found == pytest.approx(most)
    assert [one.choice for one in draw.benefits] == ["pairs", "drivers", "order", "points"]
    assert all(one.value >= -1e-9 for one in draw.benefits)


@pytest.mark.parametrize("seed", [4, 5])
def test_where_any_opponent_may_be_met_the_mean_counts(seed: int) -> None:
    table = table_of(seed)
    draw = choose_draw(table, INDICES, places=3, order_known=False)
    found = sum(float(np.mean([value(table, *way, other) for other in range(3)])) for way in draw.ways)
    most = max(
        sum(
            max(np.mean([value(table, pair, k, other) for other in range(3)]) for k in (0, 1)) for pair in one
        )
        for one in pairings(tuple(range(6)))
    )
    assert found == pytest.approx(most)
    assert [one.choice for one in draw.benefits] == ["pairs", "drivers", "points"]


def test_strokes_choose_in_stroke_play_and_points_have_no_say() -> None:
    table = table_of(6, matches=False)
    draw = choose_draw(table, INDICES, places=3, order_known=True)
    strokes = {way: float(table.strokes[row, 0]) for row, way in enumerate(table.ways)}
    found = sum(strokes[way] for way in draw.ways)
    least = min(
        sum(min(strokes[Way(pair, k)] for k in (0, 1)) for pair in one) for one in pairings(tuple(range(6)))
    )
    assert found == pytest.approx(least)
    assert {one.unit for one in draw.benefits} == {"strokes"}
    assert [one.choice for one in draw.benefits] == ["pairs", "drivers"]


def test_what_pairs_of_fewest_strokes_would_win_less() -> None:
    """By hand: the pairs of fewest strokes, in their best order, against those of most points."""
    table = table_of(7, ways=1)
    draw = choose_draw(table, INDICES, places=3, order_known=True)
    strokes = {way.group: float(table.strokes[row, 0]) for row, way in enumerate(table.ways)}
    fewest = min(pairings(tuple(range(6))), key=lambda one: sum(strokes[pair] for pair in one))
    points = {
        pairs: max(
            sum(value(table, pair, 0, other) for other, pair in enumerate(order))
            for order in permutations(pairs)
        )
        for pairs in (tuple(fewest), tuple(way.group for way in draw.ways))
    }
    by_strokes, by_points = points.values()
    assert draw.benefits[-1].choice == "points"
    assert draw.benefits[-1].value == pytest.approx(by_points - by_strokes)


def test_what_gains_too_little_stays_in_handicap_order() -> None:
    table = table_of(8)
    flat = SideTable(table.ways, table.opponents, table.strokes, np.full_like(table.points, 0.5))
    draw = choose_draw(flat, INDICES, places=3, order_known=True)
    assert draw.ways == (Way((0, 1), 0), Way((2, 3), 0), Way((4, 5), 0))
    assert not any(one.matters for one in draw.benefits)


def test_a_choice_is_made_by_half_of_the_draw_sets_and_weighed_by_the_other() -> None:
    """What looks best by the luck of the selection sets gains nothing in the others."""
    table = table_of(9, ways=1)
    points = np.full_like(table.points, 0.5)
    rows = [table.ways.index(Way(pair, 0)) for pair in ((0, 5), (1, 4), (2, 3))]
    points[rows, :, ::2] = 1.0
    draw = choose_draw(
        SideTable(table.ways, table.opponents, table.strokes, points), INDICES, places=3, order_known=False
    )
    assert draw.benefits[0].choice == "pairs"
    assert draw.benefits[0].value == pytest.approx(0)
    assert draw.ways == (Way((0, 1), 0), Way((2, 3), 0), Way((4, 5), 0))
