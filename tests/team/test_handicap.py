"""Handicap strokes by the Rules of Handicapping."""

import pytest

from holesim.team.handicap import (
    MATCH_ALLOWANCES,
    PAIR_SHARES,
    Rating,
    course_handicap,
    off_the_lowest,
    pair_handicap,
    playing_handicap,
    strokes_by_hole,
)
from tests.agreement.table import Agreement

RULES = "Rules of Handicapping (The R&A and USGA), from memory"


def test_handicaps_are_those_of_the_rules(agree: Agreement) -> None:
    agree.near(
        "a team", "course handicap of an index of 12.4 where slope is 131, course rating 71.2, par 72",
        course_handicap(12.4, Rating(71.2, 131, 72)), 12.4 * 131 / 113 + 71.2 - 72, 1e-9,
        source=f"{RULES}: 6.1a",
    )  # fmt: skip
    # The worked example of appendix C: course handicaps of 10, 18, 27 and 39.
    four = (10, 18, 27, 39)
    ball = off_the_lowest([playing_handicap(h, MATCH_ALLOWANCES["four-ball"]) for h in four])
    for found, expected, who in zip(ball, (0, 7, 15, 26), "ABCD", strict=True):
        agree.near(
            "a team", f"four-ball match: strokes received by {who} of 10, 18, 27 and 39", found, expected, 0,
            source=f"{RULES}: appendix C, 90 %",
        )  # fmt: skip
    pairs = [pair_handicap(*pair, PAIR_SHARES["foursomes"]) for pair in ((10, 18), (27, 39))]
    agree.near(
        "a team", "foursomes: strokes received by 27 and 39 of 10 and 18", off_the_lowest(pairs)[1], 19, 0,
        source=f"{RULES}: appendix C, half of the difference of the combined handicaps",
    )  # fmt: skip
    agree.near(
        "a team", "greensomes: handicap of a pair of 10 and 18",
        pair_handicap(18, 10, PAIR_SHARES["greensomes"]), 13, 0,
        source=f"{RULES}: appendix C, 60 % of the lower and 40 % of the higher: 13.2",
    )  # fmt: skip


def test_a_half_is_rounded_upwards() -> None:
    assert [playing_handicap(h, 0.5) for h in (1, 3, -1, -3)] == [1, 2, 0, -1]


@pytest.mark.parametrize("strokes", [0, 1, 9, 18, 19, 36, 54, -1, -4])
def test_strokes_are_received_by_stroke_index(strokes: int) -> None:
    indices = {hole: 1 + (hole * 7) % 18 for hole in range(1, 19)}
    received = strokes_by_hole(strokes, indices)
    assert sum(received.values()) == strokes
    assert max(received.values()) - min(received.values()) <= 1
    in_order = [received[hole] for hole in sorted(indices, key=indices.__getitem__)]
    assert in_order == sorted(in_order, reverse=True)  # index 1 first, and given back at 18 first
