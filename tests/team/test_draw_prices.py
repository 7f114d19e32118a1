"""Prices of draws by the captain, against sums by hand and against teams that may play in no other way."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from holesim.reports.draw_words import occasion_text, price_text, short_price, total_of_draw
from holesim.team.draw_prices import (
    DrawPrices,
    NoSuchDrawError,
    find_prices,
    load_prices,
    plan_given,
    save_prices,
)
from holesim.team.handicap import Format
from holesim.team.planner import plan_tabulated, tabulate_team
from holesim.team.strike_scores import DRAW_SETS, HOLDOUT_SETS
from holesim.team.team_plan import TeamPlan
from holesim.team.team_session import TabulatedSession, tabulate_session
from tests.team.teams import FEW, LONG, OTHERS, SHORT, TWO_HOLES, renamed, team_of

POINTS = np.array([[0.5, 0.6], [0.4, 0.3], [0.7, 0.1]])
"""Of three players against two opponents."""


def prices_of(values: np.ndarray, **changed: object) -> DrawPrices:
    everyone = np.ones(DRAW_SETS)
    made = DrawPrices(
        names=("Orrel", "Wren", "Vale"), groups=((0,), (1,), (2,)), values=values[..., None] * everyone,
        found=((2,), (0,)), total=1.3, unit="points",
    )  # fmt: skip
    return replace(made, **changed)  # type: ignore[arg-type]


def test_a_price_is_the_difference_of_two_sums() -> None:
    """0.7 + 0.6 points are found best; 0.5 + 0.3 are half a point less, and 0.6 of it by the second."""
    price = prices_of(POINTS).price([[0], [1]])
    assert price.sides == (0.5, 0.3)
    assert price.gain.value == pytest.approx(-0.5)
    assert price.total == pytest.approx(0.8)
    assert short_price(price) == "costs 0.50"
    assert price_text(price) == (
        "this draw costs 0.500 points compared with the best found "
        "(0.500 to 0.500; nearly sure, over 99 in 100)"
    )
    assert total_of_draw(price) == "0.80 of 2 points"
    assert occasion_text(price).startswith("the captain's own draw, costs 0.50 points")


def test_the_draw_found_costs_nothing_and_one_as_good_is_said_to_be() -> None:
    prices = prices_of(POINTS)
    assert price_text(prices.price([[2], [0]])) == "this is the best draw found"
    near = POINTS.copy()
    near[1, 1] = 0.597
    assert short_price(prices_of(near).price([[2], [1]])) == "as good"
    better = prices_of(POINTS, found=((0,), (1,)), total=0.8).price([[2], [0]])
    assert short_price(better) == "gains 0.50"
    assert better.total == pytest.approx(1.3)


def test_strokes_that_are_more_are_a_cost_and_the_order_does_not_matter() -> None:
    prices = prices_of(-np.array([[71.0], [74.0], [80.0]]), found=((0,), (1,)), total=145.0, unit="strokes")
    assert prices.price([[1], [0]]).same
    price = prices.price([[2], [0]])
    assert (price.sides, price.total, short_price(price)) == ((80.0, 71.0), 151.0, "costs 6.00")


def test_a_gain_is_weighed_by_the_draw_sets_that_did_not_choose() -> None:
    prices = prices_of(POINTS)
    values = prices.values.copy()
    values[1, 1, HOLDOUT_SETS] = 0.9
    assert replace(prices, values=values).price([[2], [1]]).gain.value == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("sides", "why"),
    [
        ([[0]], "1 sides are not the 2 that play"),
        ([[0], [0]], "Orrel would play twice"),
        ([[0], [3]], "not in the squad"),
        ([[0, 1], [2]], r"a side has one player, not 2 \(Orrel and Wren\)"),
        ([[], [2]], r"not 0 \(nobody\)"),
    ],
)
def test_a_draw_that_cannot_be_played_says_why(sides: list[list[int]], why: str) -> None:
    with pytest.raises(NoSuchDrawError, match=why):
        prices_of(POINTS).price(sides)


def test_prices_are_found_again_by_their_name() -> None:
    kept = prices_of(POINTS)
    found = load_prices(save_prices(kept))
    assert found is not None
    assert (found.names, found.groups, found.found, found.total, found.unit) == (
        kept.names, kept.groups, kept.found, kept.total, kept.unit,
    )  # fmt: skip
    assert np.array_equal(found.values, kept.values)
    assert load_prices("0" * 40) is None


# --- of whole teams -------------------------------------------------------------------------------------

FOUR = (LONG, SHORT, *OTHERS[:2])
NAMES = [player.name for player in FOUR]
THEIRS = [renamed(player, f"Opponent {k}") for k, player in enumerate((OTHERS[2], OTHERS[3], SHORT, LONG))]
PAIRINGS = ([[0, 1], [2, 3]], [[0, 2], [1, 3]], [[0, 3], [1, 2]])


@pytest.fixture(scope="module")
def matches() -> TabulatedSession:
    return tabulate_team(TWO_HOLES, team_of(*FOUR, opponents=THEIRS), "foursomes", FEW)


@pytest.fixture(scope="module")
def strokes() -> TabulatedSession:
    return tabulate_team(TWO_HOLES, team_of(*FOUR), "four-ball", FEW)


def again(one: TabulatedSession, format_: Format, **team: Any) -> TabulatedSession:  # noqa: ANN401 - of any field
    """Return another session of the same rounds."""
    session = replace(one.session, format=format_, team=replace(one.session.team, **team))
    return tabulate_session(session, one.played)


@pytest.mark.parametrize(("kind", "format_"), [("matches", "foursomes"), ("strokes", "four-ball")])
def test_given_pairs_are_planned_as_those_of_a_team_that_can_make_no_others(
    kind: str, format_: Format, request: pytest.FixtureRequest
) -> None:
    table = again(request.getfixturevalue(kind), format_, order_known=False)
    plan = plan_tabulated(table)
    prices = find_prices(table, plan)
    sign = 1 if plan.unit == "points" else -1
    compared = 0
    for sides in PAIRINGS:
        named = tuple(tuple(NAMES[i] for i in side) for side in sides)
        alone = plan_tabulated(again(table, format_, together=named))
        assert sign * (prices.price(sides).total - plan.total) <= 0.005
        given = plan_given(table, plan, sides)
        assert {side.names for side in given.sides} == set(named)
        if drivers(plan) == drivers(alone):  # else another choice of drivers is worth making there
            assert given.sides == alone.sides
            assert (given.total, given.sd) == (alone.total, alone.sd)
            compared += 1
    assert compared >= 2
    assert plan_given(table, plan, [list(group) for group in prices.found]) is plan


def drivers(plan: TeamPlan) -> list[bool]:
    """Return whether it matters who drives the odd holes, in formats where there is a choice."""
    return [one.matters for one in plan.benefits if one.choice == "drivers"]


def test_a_given_order_is_planned_in_that_order(matches: TabulatedSession) -> None:
    table = again(matches, "singles")
    plan = plan_tabulated(table)
    prices = find_prices(table, plan)
    order = [list(group) for group in reversed(prices.found)]
    given = plan_given(table, plan, order)
    assert [side.names for side in given.sides] == [(NAMES[i],) for (i,) in order]
    assert [side.against for side in given.sides] == [(one.name,) for one in THEIRS]
    price = prices.price(order)
    assert [side.points for side in given.sides] == pytest.approx(price.sides, abs=0.006)
    assert given.points == tuple(plan.points[plan.rows.index(side.names)] for side in given.sides)


def test_who_plays_may_be_given_also_where_an_order_is_known_that_does_not_matter(
    strokes: TabulatedSession,
) -> None:
    table = again(strokes, "stroke", places=2)
    plan = plan_tabulated(table)
    chosen = find_prices(table, plan).found
    assert len(chosen) == 2
    others = [[i] for i in range(4) if (i,) not in chosen]
    given = plan_given(table, plan, others)
    assert {side.names for side in given.sides} == {(NAMES[i],) for (i,) in others}
    assert given.total > plan.total


def test_two_who_are_kept_apart_have_no_price(matches: TabulatedSession) -> None:
    table = again(matches, "four-ball", apart=((NAMES[0], NAMES[1]),))
    prices = find_prices(table, plan_tabulated(table))
    with pytest.raises(NoSuchDrawError, match="may not play together"):
        prices.price([[0, 1], [2, 3]])
