"""Tagged PDFs: what a screen reader finds of headings, paragraphs, tables and pictures."""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pikepdf
import pytest
from pikepdf import Dictionary, Object, Pdf

from holesim.pictures.paper import PAGE, SIZES, Paper
from holesim.pictures.typesetting import Canvas, Page, wrap, write_pdf
from tests.structure import ARTIFACT, read_page

TEXT: Final = "Up on the ball where the fairway is wide, and down on it where the trees are near"


def written(path: Path, paper: Paper = "a4") -> Path:
    """Write a page with one of each."""
    page = Page()
    canvas = page.canvas_at(0.0, 0.0)
    canvas.write(50, 50, "Vale", tag="H1")
    canvas.draw_rule(50, 200, 70)
    canvas.write(50, 80, TEXT, width=150)
    canvas.write(50, 180, "")
    write_table(canvas)
    with canvas.within("Figure", "A line to the north."):
        canvas.draw_line(50, 60, 300, c="black")
        canvas.write(70, 300, "N")
    with canvas.within("P"):
        canvas.write_right(90, 330, "Lead")
        canvas.write(100, 330, "and what follows")
    write_pdf([page], path, "A card", paper=paper)
    return path


def write_table(canvas: Canvas) -> None:
    with canvas.within("TR"):
        canvas.write(50, 200, "", tag="TH")
        canvas.write(100, 200, "strokes", tag="TH")
    with canvas.within("TR"):
        canvas.write(50, 220, "up")
        with canvas.within("TD"):
            canvas.write(100, 220, "4.21")
            canvas.write(130, 220, "±0.03")


def tree(element: Object, told: dict[int, str]) -> Iterator[object]:
    """Yield what an element is, and the elements or the text in it."""
    yield str(element.S)
    for kid in element.K:
        yield tuple(tree(kid, told)) if isinstance(kid, Dictionary) else told[int(kid)]


def read(pdf: Pdf) -> object:
    told = read_page(pdf.pages[0])
    assert told[ARTIFACT] == ""
    return tuple(tree(pdf.Root.StructTreeRoot.K[0], told))


def test_each_part_is_one_element_and_lines_are_apart(tmp_path: Path) -> None:
    with pikepdf.open(written(tmp_path / "card.pdf")) as pdf:
        lines = [f"{line} " for line in wrap(TEXT, 150, 9, size=8)]
        assert len(lines) > 2
        rows = ("/TR", ("/TH",), ("/TH", "strokes ")), ("/TR", ("/TH", "up "), ("/TD", "4.21 ", "±0.03 "))
        assert read(pdf) == (
            "/Document",
            ("/H1", "Vale "),
            ("/P", *lines),
            ("/Table", *rows),
            ("/Figure", "", "N "),
            ("/P", "Lead ", "and what follows "),
        )
        scopes = [str(row.K[0].A.Scope) for row in pdf.Root.StructTreeRoot.K[0].K[2].K]
        assert scopes == ["/Column", "/Row"]


@pytest.mark.parametrize("paper", SIZES)
def test_a_page_lies_in_the_middle_of_the_paper(tmp_path: Path, paper: Paper) -> None:
    beside, below = ((side - own) / 2 for side, own in zip(SIZES[paper], PAGE, strict=True))
    with pikepdf.open(written(tmp_path / "card.pdf", paper)) as pdf:
        first = next(one for one in pikepdf.parse_content_stream(pdf.pages[0]) if str(one.operator) == "cm")
        assert [float(value) for value in first.operands] == [1, 0, 0, 1, beside, below]
        (table,) = (one for one in pdf.Root.StructTreeRoot.K[0].K if one.S == "/Table")
        left, _, _, top = map(float, table.A.BBox)
    assert left == pytest.approx(50 + beside, abs=1)
    assert top == pytest.approx(below + PAGE[1] - 200, abs=3)


def test_the_same_page_gives_the_same_bytes(tmp_path: Path) -> None:
    once, again = (written(tmp_path / name).read_bytes() for name in ("once.pdf", "again.pdf"))
    assert once == again
