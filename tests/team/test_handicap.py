"""Handicap strokes by the Rules of Handicapping."""

import pytest

from holesim.team.handicap import (
    MATCH_ALLOWANCES,
    STROKE_ALLOWANCES,
    Allowance,
    Format,
    Rating,
    course_handicap,
    index_from_score,
    off_the_lowest,
    pair_handicap,
    playing_handicap,
    strokes_by_hole,
    team_allowance,
)
from tests.agreement.table import Agreement

RULES = "Rules of Handicapping (The R&A and USGA), from memory"
FOUR = (10, 18, 27, 39)
"""Course handicaps of the worked example of appendix C."""


def own(allowance: Allowance) -> float:
    """Return the allowance of a format in which each plays their own ball."""
    assert isinstance(allowance, float)
    return allowance


def test_handicaps_are_those_of_the_rules(agree: Agreement) -> None:
    agree.near(
        "a team", "course handicap of an index of 12.4 where slope is 131, course rating 71.2, par 72",
        course_handicap(12.4, Rating(71.2, 131, 72)), 12.4 * 131 / 113 + 71.2 - 72, 1e-9,
        source=f"{RULES}: 6.1a",
    )  # fmt: skip
    ball = off_the_lowest([playing_handicap(h, own(MATCH_ALLOWANCES["four-ball"])) for h in FOUR])
    for found, expected, who in zip(ball, (0, 7, 15, 26), "ABCD", strict=True):
        agree.near(
            "a team", f"four-ball match: strokes received by {who} of 10, 18, 27 and 39", found, expected, 0,
            source=f"{RULES}: appendix C, 90 %",
        )  # fmt: skip
    pairs = [pair_handicap(*pair, MATCH_ALLOWANCES["foursomes"]) for pair in ((10, 18), (27, 39))]
    agree.near(
        "a team", "foursomes: strokes received by 27 and 39 of 10 and 18", off_the_lowest(pairs)[1], 19, 0,
        source=f"{RULES}: appendix C, half of the difference of the combined handicaps",
    )  # fmt: skip
    agree.near(
        "a team", "greensomes: handicap of a pair of 10 and 18",
        pair_handicap(18, 10, STROKE_ALLOWANCES["greensomes"]), 13, 0,
        source=f"{RULES}: appendix C, 60 % of the lower and 40 % of the higher: 13.2",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("format_", "expected"),
    [
        ("stroke", [10, 17, 26, 37, 51]),  # 95 %: 9.5, 17.1, 25.65, 37.05, 51.3
        ("four-ball", [9, 15, 23, 33, 46]),  # 85 %: 8.5, 15.3, 22.95, 33.15, 45.9
    ],
)
def test_playing_handicaps_of_five_in_stroke_play(format_: Format, expected: list[int]) -> None:
    """Computed by hand for the four of appendix C and a fifth of 54."""
    allowance = own(STROKE_ALLOWANCES[format_])
    assert [playing_handicap(h, allowance) for h in (*FOUR, 54)] == expected


def test_playing_handicaps_of_five_in_singles() -> None:
    """All of it, a half rounded upwards: of 10.5 and 17.49, 11 and 17."""
    allowance = own(MATCH_ALLOWANCES["singles"])
    assert [playing_handicap(h, allowance) for h in (10.5, 17.49, -1.5, 0, 54)] == [11, 17, -1, 0, 54]


@pytest.mark.parametrize(
    ("count", "players", "expected"),
    [
        (1, 4, 0.75), (2, 4, 0.85), (3, 4, 1.0), (4, 4, 1.0),  # appendix C
        # Between these by the share of scores that count; a quarter or less as one of four: our assumption.
        (5, 5, 1.0), (4, 5, 1.0), (1, 5, 0.75), (1, 2, 0.85), (3, 8, 0.8), (2, 3, 0.95), (5, 8, 0.93),
    ],
)  # fmt: skip
def test_allowances_of_team_stroke_play(count: int, players: int, expected: float) -> None:
    assert team_allowance(count, players) == expected


def test_a_pair_with_one_ball_in_stroke_play_and_in_a_match() -> None:
    """Half of 10 and 17 in foursomes, 13.5; six tenths of 10 and four of 17 in greensomes, 12.8."""
    for allowances in (STROKE_ALLOWANCES, MATCH_ALLOWANCES):
        assert pair_handicap(17.0, 10.0, allowances["foursomes"]) == 14
        assert pair_handicap(17.0, 10.0, allowances["greensomes"]) == 13


def test_shares_of_a_pair_as_a_committee_states_them() -> None:
    """Half of the sum, other shares of the sum, and shares of lower and higher whoever is named first."""
    assert pair_handicap(9.0, 20.0, 0.5) == 15  # 14.5
    assert pair_handicap(9.0, 20.0, 0.4) == 12  # 11.6
    assert pair_handicap(9.0, 20.0, (0.6, 0.4)) == pair_handicap(20.0, 9.0, (0.6, 0.4)) == 13  # 5.4 and 8
    assert pair_handicap(-3.0, 9.0, (0.6, 0.4)) == 2  # -1.8 and 3.6


def test_men_and_women_of_one_index_from_their_own_tees() -> None:
    """An index of 15.0, by hand: he from tees of 72.8/131, she from tees of 75.6/123, both of par 72.

    His is 15 x 131 / 113 + 0.8 = 18.19, hers 15 x 123 / 113 + 3.6 = 19.93. As a pair they have half of 38.12
    in foursomes; 60 % of his and 40 % of hers, 18.88, in greensomes; at 90 % she receives 2 in four-ball.
    """
    his, hers = (course_handicap(15.0, rating) for rating in (Rating(72.8, 131, 72), Rating(75.6, 123, 72)))
    assert (round(his, 2), round(hers, 2)) == (18.19, 19.93)
    assert pair_handicap(his, hers, MATCH_ALLOWANCES["foursomes"]) == 19
    assert pair_handicap(hers, his, MATCH_ALLOWANCES["greensomes"]) == 19
    assert off_the_lowest([playing_handicap(one, 0.9) for one in (his, hers)]) == (0, 2)  # 16 and 18


def test_a_half_is_rounded_upwards() -> None:
    assert [playing_handicap(h, 0.5) for h in (1, 3, -1, -3)] == [1, 2, 0, -1]


def test_a_score_is_worth_the_index_whose_course_handicap_it_needs() -> None:
    """A score of 90 where the course rating is 71.2 and the slope 131: 18.8 x 113 / 131 = 16.217 (5.1a)."""
    rating = Rating(71.2, 131, 72)
    assert index_from_score(90, rating) == pytest.approx(16.217, abs=0.001)
    assert course_handicap(index_from_score(90, rating), rating) == pytest.approx(90 - 72)


def test_over_fewer_holes_an_index_counts_by_their_share() -> None:
    """An index of 18 over nine holes of 35.6, slope 113, par 36: 9 - 0.4 (6.1b)."""
    assert course_handicap(18.0, Rating(35.6, 113, 36), 9) == pytest.approx(8.6)


@pytest.mark.parametrize("strokes", [0, 1, 9, 18, 19, 36, 54, -1, -4])
def test_strokes_are_received_by_stroke_index(strokes: int) -> None:
    indices = {hole: 1 + (hole * 7) % 18 for hole in range(1, 19)}
    received = strokes_by_hole(strokes, indices)
    assert sum(received.values()) == strokes
    assert max(received.values()) - min(received.values()) <= 1
    in_order = [received[hole] for hole in sorted(indices, key=indices.__getitem__)]
    assert in_order == sorted(in_order, reverse=True)  # index 1 first, and given back at 18 first
