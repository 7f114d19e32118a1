"""A match hole by hole."""

from itertools import product

import numpy as np
import pytest
from scipy import stats

from holesim.team.match import find_policy, hole_chances, play_match, play_options
from tests.agreement.table import Agreement
from tests.team.teams import chances, drawn


def test_a_match_between_equals_is_even(agree: Agreement) -> None:
    ball = chances(0, 0.05, 0.25, 0.4, 0.2, 0.1)
    holes = [ball[None]] * 18
    found = play_match(np.zeros((18, 37), dtype=np.int64), holes, np.stack([ball] * 18))
    agree.near(
        "a team", "points of a match between equals", float(found.points[0]), 0.5, 1e-12, source="by symmetry"
    )
    # As many holes won as lost of 18, each won, halved or lost by chance.
    won, halved, _ = hole_chances(ball[0], ball[0])
    expected = sum(stats.multinomial.pmf([k, 18 - 2 * k, k], 18, [won, halved, won]) for k in range(10))
    agree.near(
        "a team", "chance that a match between equals is halved", float(found.halved[0]), expected, 1e-9,
        source="the multinomial distribution, by scipy",
    )  # fmt: skip
    assert found.won + found.halved + found.lost == pytest.approx(1)


def test_one_option_on_each_hole_is_a_policy_like_any_other() -> None:
    rng = np.random.default_rng(3)
    mine, theirs = ([drawn(rng) for _ in range(5)] for _ in range(2))
    by_policy = play_match(np.zeros((5, 11), dtype=np.int64), [one[None] for one in mine], np.stack(theirs))
    found = play_options([2, 0, 1, 0, 0], mine, np.stack(theirs))
    np.testing.assert_array_equal(found.won, by_policy.won)
    np.testing.assert_array_equal(found.halved, by_policy.halved)
    assert [found.option(hole, up) for hole, up in ((0, 0), (2, -2), (4, 3))] == [2, 1, 0]


def test_a_match_against_brute_force() -> None:
    """Four holes, two options: no policy by the state of the match is worth more than the one found."""
    rng = np.random.default_rng(7)
    mine = [np.stack([drawn(rng, 5)[0] for _ in range(2)]) for _ in range(3)]
    theirs = [drawn(rng, 5)[0] for _ in range(3)]
    policy = find_policy(mine, theirs, [0] * len(mine))
    found = play_match(policy, [m[:, None] for m in mine], np.stack(theirs)[:, None])

    def worth(hole: int, up: int, choose: dict[tuple[int, int], int]) -> float:
        if hole == 3:
            return 1.0 if up > 0 else 0.5 if up == 0 else 0.0
        result = hole_chances(mine[hole][choose[hole, up]], theirs[hole])
        return float(
            sum(p * worth(hole + 1, up + step, choose) for p, step in zip(result, (1, 0, -1), strict=True))
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
    policy = find_policy(mine, theirs, [0] * len(mine))
    last = {up: policy[1, up + 2] for up in (-1, 0, 1)}
    assert last == {-1: 1, 0: 0, 1: 0}


def test_the_usual_option_is_kept_where_another_gains_hardly_more() -> None:
    """One hole against a certain 4: an option wins it with 0.5 or 0.504, else halves it: 0.002 points."""
    plain, better = chances(0, 0, 0.5, 0.5)[0], chances(0, 0, 0.504, 0.496)[0]
    theirs = [chances(0, 0, 0, 1)[0]]
    for usual, worth, taken in ((0, 0.0025, 0), (0, 0.0015, 1), (1, 0.0015, 1), (1, 0.0025, 1)):
        policy = find_policy([np.stack([plain, better])], theirs, [usual], worth=worth)
        assert policy[0, 1] == taken
        found = play_match(policy, [np.stack([plain, better])[:, None]], theirs[0][None, None])
        won = (0.5, 0.504)[taken]
        assert (found.won[0], found.halved[0]) == pytest.approx((won, 1 - won))
        assert (found.points[0], found.lost[0]) == pytest.approx((won + (1 - won) / 2, 0.0))
