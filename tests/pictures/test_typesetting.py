"""Typesetting: lines of a printed width, letters that a font lacks, and numbers without a false sign."""

import re
from pathlib import Path

import pytest

from holesim.pictures.typesetting import Page, printed_width, scratch_canvas, signed, wrap, write_pdf

TEXT = "Aim 4 yd left of the right edge of the bunker at 143 yd"


@pytest.mark.parametrize("width", [20.0, 60.0, 120.0])
def test_lines_are_no_wider_than_allowed_and_keep_every_letter(width: float) -> None:
    lines = wrap(TEXT, width, 99, size=8)
    assert all(printed_width(line, 8) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == TEXT.replace(" ", "")


def test_what_does_not_fit_ends_in_an_ellipsis() -> None:
    lines = wrap(TEXT, 60, 2, size=8)
    assert len(lines) == 2
    assert lines[-1].endswith("\N{HORIZONTAL ELLIPSIS}")
    assert all(printed_width(line, 8) <= 60 for line in lines)


def test_letters_that_cannot_be_drawn_are_question_marks() -> None:
    assert wrap("a\tb\x1b \U0001f3cc", 100, 1, size=8) == ("a b ?",)


def test_text_takes_the_height_of_its_lines() -> None:
    lines = wrap(TEXT, 60, 9, size=8)
    canvas = scratch_canvas()
    assert canvas.write(0, 10, TEXT, size=8, width=60) == pytest.approx(10 + 1.3 * 8 * len(lines))
    assert canvas.write_right(0, 10, TEXT, size=8, width=60) == pytest.approx(10 + 1.3 * 8 * len(lines))


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("-0.00 ±0.10", "0.00 ±0.10"),
        ("+0.0°", "0.0°"),
        ("-0.01 ±0.10", "\N{MINUS SIGN}0.01 ±0.10"),
        ("+0.05", "+0.05"),
        ("+10 mm", "+10 mm"),
    ],
)
def test_a_number_that_rounds_to_nought_has_no_sign(text: str, shown: str) -> None:
    assert signed(text) == shown


def test_a_pdf_says_its_title_and_its_language(tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    write_pdf((Page() for _ in range(2)), path, "A card for\x1b (Vale) on Links")
    pdf = path.read_bytes()
    assert b"/Title (A card for \\(Vale\\) on Links)" in pdf
    (catalogue,) = re.findall(rb"<< /Type /Catalog .*? >>\nendobj", pdf, re.DOTALL)
    for said in (b"/Lang (en)", b"/DisplayDocTitle true", b"/Marked true"):
        assert said in catalogue
