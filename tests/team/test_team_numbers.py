"""What a captain's plan rests on: handicap strokes, totals, better balls, matches, pairings."""

from itertools import permutations, product
from math import pi, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from holesim.plan.sights import Mark, Sight
from holesim.team import match
from holesim.team.benefit import Benefit
from holesim.team.handicap import (
    ALLOWANCES,
    ONE_BALL,
    Rating,
    by_hole,
    course_handicap,
    off_the_lowest,
    pair_handicap,
    playing_handicap,
)
from holesim.team.line_up import best_counting, stroke_play
from holesim.team.match_up import _standing
from holesim.team.pairing import best_order, best_pairs, handicap_pairs
from holesim.team.round_totals import Totals, added_up, best_total, ranked_above, spread_of_best
from holesim.team.side_options import Option, Side, better_ball, four_ball
from holesim.team.strike_scores import DRAW_SETS, SCORES, StrikeScores, on_scores
from tests.agreement.table import Agreement

Floats = NDArray[np.float64]
RULES = "Rules of Handicapping (The R&A and USGA), from memory"


def chances(*of_strokes: float) -> Floats:
    """Return the chance of 1, 2, … strokes, the same in every world."""
    return on_scores(np.pad(np.array(of_strokes), (0, 14 - len(of_strokes)))) * np.ones((DRAW_SETS, 1))


def prospect(label: str, clear: Floats, trouble: Floats | None = None) -> StrikeScores:
    return StrikeScores(
        label=label, club="driver", mark=Mark(Sight("the flag", 0.0, 150.0), 0.0), clear=clear,
        trouble=np.zeros_like(clear) if trouble is None else trouble,
    )  # fmt: skip


def drawn(rng: np.random.Generator, most: int = 8) -> Floats:
    return chances(*rng.dirichlet(np.ones(most)))


# --- handicaps --------------------------------------------------------------------------------------


def test_handicaps_are_those_of_the_rules(agree: Agreement) -> None:
    agree.near(
        "a team", "course handicap of an index of 12.4 where slope is 131, course rating 71.2, par 72",
        course_handicap(12.4, Rating(71.2, 131, 72)), 12.4 * 131 / 113 + 71.2 - 72, 1e-9,
        source=f"{RULES}: 6.1a",
    )  # fmt: skip
    # The worked example of appendix C: course handicaps of 10, 18, 27 and 39.
    four = (10, 18, 27, 39)
    ball = off_the_lowest([playing_handicap(h, ALLOWANCES["four-ball", True]) for h in four])
    for found, expected, who in zip(ball, (0, 7, 15, 26), "ABCD", strict=True):
        agree.near(
            "a team", f"four-ball match: strokes received by {who} of 10, 18, 27 and 39", found, expected, 0,
            source=f"{RULES}: appendix C, 90 %",
        )  # fmt: skip
    pairs = [pair_handicap(*pair, ONE_BALL["foursomes"]) for pair in ((10, 18), (27, 39))]
    agree.near(
        "a team", "foursomes: strokes received by 27 and 39 of 10 and 18", off_the_lowest(pairs)[1], 19, 0,
        source=f"{RULES}: appendix C, half of the difference of the combined handicaps",
    )  # fmt: skip
    agree.near(
        "a team", "greensomes: handicap of a pair of 10 and 18",
        pair_handicap(18, 10, ONE_BALL["greensomes"]), 13, 0,
        source=f"{RULES}: appendix C, 60 % of the lower and 40 % of the higher: 13.2",
    )  # fmt: skip


def test_a_half_is_rounded_upwards() -> None:
    assert [playing_handicap(h, 0.5) for h in (1, 3, -1, -3)] == [1, 2, 0, -1]


@pytest.mark.parametrize("strokes", [0, 1, 9, 18, 19, 36, 54, -1, -4])
def test_strokes_are_received_by_stroke_index(strokes: int) -> None:
    indices = {hole: 1 + (hole * 7) % 18 for hole in range(1, 19)}
    received = by_hole(strokes, indices)
    assert sum(received.values()) == strokes
    assert max(received.values()) - min(received.values()) <= 1
    in_order = [received[hole] for hole in sorted(indices, key=indices.__getitem__)]
    assert in_order == sorted(in_order, reverse=True)  # index 1 first, and given back at 18 first


def test_net_of_strokes_received() -> None:
    one = prospect("up", chances(0, 0, 0, 0.75, 0.25))
    for received in (-1, 0, 1, 5):
        assert one.net(received).chances[0] @ SCORES == pytest.approx(4.25 - received)


# --- totals -------------------------------------------------------------------------------------------


def normal(mean: float, sd: float) -> Totals:
    edges = np.arange(2001) - 0.5
    return Totals(0, np.diff(stats.norm.cdf(edges, mean, sd)))


def test_the_best_of_equals_is_as_order_statistics_have_it(agree: Agreement) -> None:
    """Many strokes wide, so that whole strokes do not show."""
    for count, of, expected, source in (
        (1, 2, -1 / sqrt(pi), "the lower of two normal variates: mean less sd/√π"),
        (2, 5, -1.16296 - 0.49502, "Teichroew, Annals of Mathematical Statistics 27, 1956, from memory"),
        (
            3,
            4,
            -1.02938 - 0.29701 + 0.29701,
            "Teichroew, Annals of Mathematical Statistics 27, 1956, from memory",
        ),
    ):
        found = float(best_total([normal(1000, 100)] * of, count)) - 1000 * count
        agree.near(
            "a team", f"the best {count} of {of} equal totals, in their standard deviations", found / 100,
            expected, 0.001, source=source,
        )  # fmt: skip


def test_better_ball_of_independent_equals_is_as_order_statistics_have_it() -> None:
    """The lower of two draws from one distribution: P(more than s) is squared."""
    rng = np.random.default_rng(1)
    ball = drawn(rng)
    above = 1 - np.cumsum(ball[0])
    found = better_ball(ball, ball)
    np.testing.assert_allclose(1 - np.cumsum(found[0]), above**2, atol=1e-12)
    assert found.sum(axis=1) == pytest.approx(1)


def test_totals_add_up_as_convolution_does() -> None:
    rng = np.random.default_rng(2)
    holes = [drawn(rng) for _ in range(5)]
    total = added_up(holes)
    by_hand = np.array([1.0])
    for hole in holes:
        by_hand = np.convolve(by_hand, hole[0])
    np.testing.assert_allclose(total.chances[0], by_hand, atol=1e-12)
    assert total.mean() == pytest.approx(sum(hole[0] @ SCORES for hole in holes))


def test_ranks_of_unequal_totals_against_brute_force() -> None:
    rng = np.random.default_rng(3)
    shares = rng.dirichlet(np.ones(5), 4)
    totals = [Totals(0, share) for share in shares]
    expected = np.zeros(5)
    for scores in product(range(5), repeat=4):
        expected[sorted(scores)[1]] += np.prod([shares[i, s] for i, s in enumerate(scores)])
    np.testing.assert_allclose(1 - ranked_above(totals, 2), np.cumsum(expected), atol=1e-12)
    # With the best two of four counting, one's total counts up to the second best of the other three.
    both = sum(
        np.prod([shares[i, s] for i, s in enumerate(scores)]) * sum(sorted(scores)[:2])
        for scores in product(range(5), repeat=4)
    )
    assert best_total(totals, 2) == pytest.approx(both)
    others = sum(
        np.prod([shares[i + 1, s] for i, s in enumerate(scores)]) * min(scores)
        for scores in product(range(5), repeat=3)
    )
    assert others + totals[0].capped(ranked_above(totals[1:], 2)) == pytest.approx(both)


def test_the_spread_of_all_is_the_root_of_the_sum_of_squares() -> None:
    totals = [normal(400, sd) for sd in (30, 40)]
    assert totals[0].spread() == pytest.approx(30, rel=0.001)
    assert spread_of_best(totals, 2, np.random.default_rng(4)) == pytest.approx(50, rel=0.01)


def test_strikes_of_a_counting_team_against_brute_force() -> None:
    """Of two players on three holes the better total counts: a daring strike pays who is behind."""
    rng = np.random.default_rng(5)
    for _ in range(5):
        sides = [
            Side(
                (name,),
                tuple((Option(("a",), drawn(rng, 6)), Option(("b",), drawn(rng, 6))) for _ in range(3)),
            )
            for name in ("one", "other")
        ]

        def cost(chosen: tuple[tuple[int, ...], ...], sides: list[Side] = sides) -> float:
            totals = [
                added_up([hole[k].chances[0] for hole, k in zip(side.holes, options, strict=True)])
                for side, options in zip(sides, chosen, strict=True)
            ]
            return float(best_total(totals, 1))

        everything = [tuple(options) for options in product((0, 1), repeat=3)]
        least = min(cost(chosen) for chosen in product(everything, repeat=2))
        assert cost(tuple(best_counting(sides, 1))) == pytest.approx(least, abs=0.002)


def test_where_all_count_everyones_own_best_stays() -> None:
    side = Side(("one",), ((Option(("a",), chances(0, 0, 1)), Option(("b",), chances(0, 0.6, 0, 0, 0.4))),))
    assert stroke_play([side, side], 2) == ([(0,), (0,)], [])
    options, (found,) = stroke_play([side, side], 1)
    assert (1,) in options  # one of them may dare
    assert found.matters


# --- four-ball --------------------------------------------------------------------------------------


def test_the_second_dares_while_the_first_is_safe() -> None:
    steady, wild = chances(0, 0, 0, 1), chances(0, 0, 0.45, 0, 0, 0.55)
    first = [prospect("down", 0.8 * steady, 0.2 * chances(0, 0, 0, 0, 0, 0, 1))]
    second = [prospect("down", steady), prospect("up", wild)]
    ((plain, *options),) = four_ball(("A", "B"), [first], [second]).holes
    assert plain.strikes == ("down", "down")
    best = min(options, key=lambda option: float(option.chances[0] @ SCORES))
    assert (best.strikes, best.first, best.in_trouble) == (("down", "up"), "A", "down")
    # While A is safe B makes three in 45 of 100; else B makes four.
    assert best.chances[0] @ SCORES == pytest.approx(0.8 * (4 - 0.45) + 0.2 * 4)
    assert best.chances.sum(axis=1) == pytest.approx(1)


def test_replies_are_the_best_there_are() -> None:
    """Whoever goes first, by brute force."""
    rng = np.random.default_rng(6)
    for _ in range(5):
        sides = []
        for _ in range(2):
            shares = rng.uniform(0.1, 0.4, 3)
            sides.append(
                [prospect(f"{k}", (1 - q) * drawn(rng), q * drawn(rng)) for k, q in enumerate(shares)]
            )
        (options,) = four_ball(("A", "B"), [sides[0]], [sides[1]]).holes
        found = min(float(option.chances[0] @ SCORES) for option in options)
        expected = min(
            float(
                (better_ball(one.clear, safe.chances) + better_ball(one.trouble, saving.chances))[0] @ SCORES
            )
            for mine, theirs in ((sides[0], sides[1]), (sides[1], sides[0]))
            for one in mine
            for safe in theirs
            for saving in theirs
        )
        assert found == pytest.approx(expected)


# --- matches ------------------------------------------------------------------------------------------


def test_a_match_between_equals_is_even(agree: Agreement) -> None:
    ball = chances(0, 0.05, 0.25, 0.4, 0.2, 0.1)
    holes = [ball[None]] * 18
    found = match.play(np.zeros((18, 37), dtype=np.int64), holes, [ball] * 18)
    agree.near(
        "a team", "points of a match between equals", float(found.points[0]), 0.5, 1e-12, source="by symmetry"
    )
    # As many holes won as lost of 18, each won, halved or lost by chance.
    won, halved, _ = match.hole_odds(ball[0], ball[0])
    expected = sum(stats.multinomial.pmf([k, 18 - 2 * k, k], 18, [won, halved, won]) for k in range(10))
    agree.near(
        "a team", "chance that a match between equals is halved", float(found.halved[0]), expected, 1e-9,
        source="the multinomial distribution, by scipy",
    )  # fmt: skip
    assert found.won + found.halved + found.lost == pytest.approx(1)


def test_a_match_against_brute_force() -> None:
    """Four holes, two options: no policy by the state of the match is worth more than the one found."""
    rng = np.random.default_rng(7)
    mine = [np.stack([drawn(rng, 5)[0] for _ in range(2)]) for _ in range(3)]
    theirs = [drawn(rng, 5)[0] for _ in range(3)]
    policy = match.best_policy(mine, theirs, [0] * len(mine))
    found = match.play(policy, [m[:, None] for m in mine], [t[None] for t in theirs])

    def worth(hole: int, up: int, choose: dict[tuple[int, int], int]) -> float:
        if hole == 3:
            return 1.0 if up > 0 else 0.5 if up == 0 else 0.0
        odds = match.hole_odds(mine[hole][choose[hole, up]], theirs[hole])
        return float(
            sum(p * worth(hole + 1, up + step, choose) for p, step in zip(odds, (1, 0, -1), strict=True))
        )

    states = [(hole, up) for hole in range(3) for up in range(-hole, hole + 1)]
    best = max(
        worth(0, 0, dict(zip(states, options, strict=True)))
        for options in product((0, 1), repeat=len(states))
    )
    assert found.points[0] == pytest.approx(best)


def test_who_is_behind_dares_and_who_is_ahead_does_not() -> None:
    """On the last hole one down only a win will do; one up a half is enough."""
    steady, wild = chances(0, 0, 0, 1)[0], chances(0, 0, 0.4, 0, 0, 0.6)[0]
    mine, theirs = [np.stack([steady, wild])] * 2, [chances(0, 0, 0, 1)[0]] * 2
    policy = match.best_policy(mine, theirs, [0] * len(mine))
    last = {up: policy[1, up + 2] for up in (-1, 0, 1)}
    assert last == {-1: 1, 0: 0, 1: 0}


@pytest.mark.parametrize(
    ("ups", "said"),
    [
        ([-3, -2], "when 2 down or worse"),
        ([1, 2, 3], "when 1 up or better"),
        ([-1], "when 1 down"),
        ([-2, -1], "when 1 to 2 down"),
        ([0, 1], "when even to 1 up"),
        ([-3, 3], "when 3 down or 3 up"),
    ],
)
def test_standings_in_words(ups: list[int], said: str) -> None:
    assert _standing(ups, 3) == said


# --- pairings -----------------------------------------------------------------------------------------


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


def test_handicap_order() -> None:
    assert handicap_pairs([12.0, -2.0, 5.0, 3.0]) == ((0, 2), (1, 3))


def test_what_a_choice_gains_on_average_decides_and_how_sure_it_is_does_not() -> None:
    for chance, value, matters, close in (
        (0.99, 0.5, True, False),
        (0.7, 0.5, True, True),
        (0.99, 0.01, False, True),
        (0.01, -0.5, False, True),
    ):
        found = Benefit(what="", value=value, low=value - 1, high=value + 1, chance=chance, unit="strokes")
        assert (found.matters, found.close) == (matters, close)
