"""What two balls make of a hole, the better of which counts."""

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.team.side_options import Received, RoundBalls, Side, SideOption, make_four_ball_sides, mean_side
from holesim.team.strike_scores import DRAW_SETS, SCORES
from tests.team.teams import chances, drawn, strike_scores

Floats = NDArray[np.float64]
GROSS = Received((0, 0), ([0], [0]))


def better_ball(one: Floats, other: Floats) -> Floats:
    """Return the chance of each score by the better of two balls: every pair of scores."""
    found = np.zeros(len(SCORES))
    for a, b in product(range(len(SCORES)), repeat=2):
        found[min(a, b)] += one[a] * other[b]
    return found


def test_the_better_ball_of_independent_equals_is_as_order_statistics_have_it() -> None:
    """The lower of two draws from one distribution: P(more than s) is squared."""
    ball = drawn(np.random.default_rng(1))
    above = 1 - np.cumsum(ball[0])
    both = [strike_scores("up", ball)], [strike_scores("up", ball)]
    (side,) = make_four_ball_sides(
        (0, 1), ("A", "B"), (RoundBalls([both[0]]), RoundBalls([both[1]])), [GROSS]
    )
    found = side.holes[0][0].chances
    np.testing.assert_allclose(1 - np.cumsum(found[0]), above**2, atol=1e-12)
    assert found.sum(axis=1) == pytest.approx(1)


def test_the_second_dares_while_the_first_is_safe() -> None:
    steady, wild = chances(0, 0, 0, 1), chances(0, 0, 0.45, 0, 0, 0.55)
    first = [strike_scores("down", 0.8 * steady, 0.2 * chances(0, 0, 0, 0, 0, 0, 1))]
    second = [strike_scores("down", steady), strike_scores("up", wild)]
    (side,) = make_four_ball_sides((0, 1), ("A", "B"), (RoundBalls([first]), RoundBalls([second])), [GROSS])
    ((plain, *options),) = side.holes
    assert plain.strikes == ("down", "down")
    best = min(options, key=lambda option: float(option.chances[0] @ SCORES))
    assert (best.strikes, best.first, best.reply) == (("down", "up"), "A", "down")
    # While A is safe B makes three in 45 of 100; else B makes four.
    assert best.chances[0] @ SCORES == pytest.approx(0.8 * (4 - 0.45) + 0.2 * 4)
    assert best.chances.sum(axis=1) == pytest.approx(1)


def test_whoever_is_safe_tees_off_first() -> None:
    """The same with the two exchanged: B is safe first, and A dares."""
    steady, wild = chances(0, 0, 0, 1), chances(0, 0, 0.45, 0, 0, 0.55)
    safe = [strike_scores("down", 0.8 * steady, 0.2 * chances(0, 0, 0, 0, 0, 0, 1))]
    bold = [strike_scores("down", steady), strike_scores("up", wild)]
    (side,) = make_four_ball_sides((0, 1), ("A", "B"), (RoundBalls([bold]), RoundBalls([safe])), [GROSS])
    best = min(side.holes[0], key=lambda option: float(option.chances[0] @ SCORES))
    assert (best.strikes, best.first, best.reply) == (("up", "down"), "B", "down")
    assert best.chances[0] @ SCORES == pytest.approx(0.8 * (4 - 0.45) + 0.2 * 4)


def test_replies_are_the_best_there_are() -> None:
    """Whoever goes first, by brute force."""
    rng = np.random.default_rng(6)
    for _ in range(5):
        sides = []
        for _ in range(2):
            shares = rng.uniform(0.1, 0.4, 3)
            sides.append(
                [strike_scores(f"{k}", (1 - q) * drawn(rng), q * drawn(rng)) for k, q in enumerate(shares)]
            )
        (side,) = make_four_ball_sides(
            (0, 1), ("A", "B"), (RoundBalls([sides[0]]), RoundBalls([sides[1]])), [GROSS]
        )
        (options,) = side.holes
        found = min(float(option.chances[0] @ SCORES) for option in options)
        expected = min(
            float(
                (
                    better_ball(one.in_play[0], safe.chances[0])
                    + better_ball(one.in_trouble[0], saving.chances[0])
                )
                @ SCORES
            )
            for mine, theirs in ((sides[0], sides[1]), (sides[1], sides[0]))
            for one in mine
            for safe in theirs
            for saving in theirs
        )
        assert found == pytest.approx(expected)


def test_the_mean_of_two_sides_is_neither() -> None:
    one, other = (
        Side((0,), ("A",), ((SideOption(("up",), given),),), (1,))
        for given in (chances(0, 0, 0, 1), chances(0, 0, 0, 0, 0, 1))
    )
    mean = mean_side([one, other])
    assert mean.strokes_by((0,)) == pytest.approx(np.full(DRAW_SETS, 5.0))
    assert mean.received == (1,)
    assert mean_side([one]) is one


def test_one_way_to_play_against_all_who_may_be_met() -> None:
    """Strokes received differ by opponent, options do not, and chances are averaged."""
    rng = np.random.default_rng(9)
    gross = tuple(
        [[strike_scores(f"{k}", 0.8 * drawn(rng), 0.2 * drawn(rng)) for k in range(3)]] for _ in "AB"
    )
    strokes = [Received((a, b), ([a], [b])) for a, b in ((0, 0), (0, 2), (1, 0))]
    sides = make_four_ball_sides((0, 1), ("A", "B"), (RoundBalls(gross[0]), RoundBalls(gross[1])), strokes)
    assert [side.received for side in sides] == [(0, 0), (0, 2), (1, 0)]
    for options in zip(*(side.holes[0] for side in sides), strict=True):
        assert len({(one.strikes, one.first, one.reply) for one in options}) == 1
    mean = mean_side(sides)
    assert mean.received == ()
    for k, option in enumerate(mean.holes[0]):
        by_hand = sum(side.holes[0][k].chances for side in sides) / 3
        np.testing.assert_allclose(option.chances, by_hand)
    # Against each the best of one's own is among the options of all.
    for side, one in zip(sides, strokes, strict=True):
        (alone,) = make_four_ball_sides(
            (0, 1), ("A", "B"), (RoundBalls(gross[0]), RoundBalls(gross[1])), [one]
        )
        least = min(float(option.chances[0] @ SCORES) for option in alone.holes[0])
        assert min(float(option.chances[0] @ SCORES) for option in side.holes[0]) <= least + 1e-12
