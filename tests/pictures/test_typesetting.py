"""Typesetting: lines of a printed width, letters that a font lacks, and numbers without a false sign."""

import re
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from holesim.pictures.typesetting import printed_width, scratch_canvas, signed, wrap, write_pdf

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
    assert wrap("a\tb\x1b \U0001f3cc", 100, 1, size=8) == ["a b ?"]


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
    write_pdf((Figure() for _ in range(2)), path, "A card for\x1b (Vale) on Links")
    pdf = path.read_bytes()
    assert b"/Title (A card for \\(Vale\\) on Links)" in pdf
    # The last table knows one object, the catalogue, which still has the pages; it names the table before it.
    table = int(re.findall(rb"startxref\s+(\d+)\s+%%EOF\n$", pdf)[0])
    number, at = re.findall(rb"^xref\n(\d+) 1\n(\d{10}) 00000 n \ntrailer\n", pdf[table:])[0]
    catalogue = re.findall(rb"^%b 0 obj\n<<(.*)>>\nendobj\n" % number, pdf[int(at) : table], re.DOTALL)[0]
    for said in (b"/Type /Catalog", b"/Pages ", b"/Lang (en)", b"/DisplayDocTitle true"):
        assert said in catalogue
    before = int(re.findall(rb"/Prev (\d+)", pdf[table:])[0])
    assert pdf[before:].startswith(b"xref\n0 ")
    assert b"/Info " in pdf[table:]
