"""Break-even points in words: told no closer than they are known."""

import numpy as np
import pytest

from holesim.course.course import Course
from holesim.player.player import Player
from holesim.reports.break_even_text import break_even_sentence, break_even_text
from tests.study.losses import SPEEDS, Floats, by_club_speed

UNDECIDED = "no clear winner from 80 to 125 mph"


def sentence(saved: Floats, course: Course, player: Player, *, between: float = 0.0) -> str:
    found = by_club_speed(saved, course, player, between=between)
    return break_even_sentence(found, found.curves[0])


@pytest.mark.parametrize(
    ("slope", "between", "words"),
    [
        (
            0.0009,
            0.0,
            "a toss-up in 9 of 10 rows; break-even below 122 mph (best guess 100 mph): above it down",
        ),
        (
            -0.0009,
            0.0,
            "a toss-up in 9 of 10 rows; break-even below 122 mph (best guess 100 mph): above it up",
        ),
        (0.0005, 0.0, UNDECIDED),
        (0.0025, 0.0, "break-even from 92 to 108 mph (best guess 100 mph): below it up, above it down"),
        (0.02, 1.0, UNDECIDED),
        (0.02, 0.1, "break-even from 93 to 107 mph (best guess 100 mph): below it up, above it down"),
    ],
)
def test_a_break_even_is_told_no_closer_than_it_is_known(
    slope: float, between: float, words: str, demo_course: Course, amateur: Player
) -> None:
    """Where strikes differ by less than 0.02 strokes for ten miles either side, no mile is the one."""
    assert sentence(slope * (SPEEDS - 100), demo_course, amateur, between=between) == words


def test_a_stretch_of_the_same_cost_is_told_without_a_break_even(
    demo_course: Course, amateur: Player
) -> None:
    words = sentence(np.where(np.abs(SPEEDS - 100) < 6, 0.01, 0.3), demo_course, amateur)
    assert words.startswith("no clear winner from 9")
    assert words.endswith(": down on either side")
    assert "break-even" not in words
    always = sentence(0 * SPEEDS + 0.3, demo_course, amateur)
    assert always == "no break-even: down from 80 to 125 mph"


def test_the_report_marks_the_rows_within_a_band(demo_course: Course, amateur: Player) -> None:
    found = by_club_speed(0.0025 * (SPEEDS - 100), demo_course, amateur)
    said = break_even_text(found)
    assert "calm  break-even from 92 to 108 mph (best guess 100 mph): below it up, above it down" in said
    assert "club speed, today 106 mph" in said
    assert "m/s" in break_even_text(found, metric=True)
    assert max(map(len, said.splitlines())) <= 110
    for mph in SPEEDS:
        row = next(line for line in said.splitlines() if line.strip().startswith(f"{mph:.0f} mph"))
        assert ("toss-up" in row) == (92 <= mph <= 108)
        assert ("up by" in row) == (mph < 100) or mph == 100
