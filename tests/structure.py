"""Tagged PDFs as a screen reader finds them: their structure, and what is drawn of each element."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Final

import pikepdf
from pikepdf import ContentStreamInstruction, Dictionary, Object, Page, String

ARTIFACT: Final = -1
_PAINTING: Final = frozenset(["b", "b*", "B", "B*", "f", "F", "f*", "s", "S", "Do", "EI", "sh", "Tj", "TJ"])


def check_structure(path: Path, words: Sequence[Sequence[str]]) -> list[str]:
    """See that a PDF tells the lines of each page in order, and is well tagged; return what pictures show."""
    with pikepdf.open(path) as pdf:
        assert not pdf.check_pdf_syntax()
        root, document = pdf.Root.StructTreeRoot, pdf.Root.StructTreeRoot.K[0]
        assert document.P.objgen == root.objgen
        elements = [element for kid in document.K for element in _walk(kid, document)]
        for number, page in enumerate(pdf.pages):
            mine = [element for element in elements if element.Pg.objgen == page.obj.objgen]
            for element in mine:
                _check_element(element, page)
            _check_headings([str(element.S) for element in mine])
            told = read_page(page)
            assert not told.pop(ARTIFACT, "")
            marks = [(int(kid), element) for element in mine for kid in element.K if isinstance(kid, int)]
            assert sorted(mark for mark, _ in marks) == sorted(told)
            assert [text for mark, _ in marks if (text := told[mark].strip())] == words[number]
            assert page.Tabs == "/S"
            parents = pdf.Root.StructTreeRoot.ParentTree.Nums
            assert parents[2 * number] == page.StructParents == number
            assert len(parents[2 * number + 1]) == len(marks)
            assert all(parents[2 * number + 1][mark].objgen == element.objgen for mark, element in marks)
        return [str(element.Alt) for element in elements if element.S == "/Figure"]


def _walk(element: Object, parent: Object) -> Iterator[Object]:
    """Yield an element and all in it, in the order in which they are read."""
    assert element.P.objgen == parent.objgen
    yield element
    for kid in element.K:
        if isinstance(kid, Dictionary):
            yield from _walk(kid, element)


def _check_element(element: Object, page: Page) -> None:
    """See that a picture has words, and that what stands on a page lies on it."""
    if element.S in ("/Figure", "/Table"):
        left, low, right, high = map(float, element.A.BBox)
        assert 0 <= left < right <= page.MediaBox[2]
        assert 0 <= low < high <= page.MediaBox[3]
    if element.S == "/Figure":
        assert len(str(element.Alt)) > 10
    if element.S == "/Table":
        assert len({len(row.K) for row in element.K}) == 1
    if element.S == "/TR":
        assert element.K[0].S == "/TH"
        assert {str(cell.A.Scope) for cell in element.K if cell.S == "/TH"} in ({"/Row"}, {"/Column"})


def _check_headings(tags: Sequence[str]) -> None:
    """See that a page begins with its heading, and that no level is left out."""
    levels = [int(tag[2]) for tag in tags if re.fullmatch(r"/H\d", tag)]
    assert levels[0] == 1
    assert next(tag for tag in tags if tag != "/Figure") == "/H1"
    assert all(later <= level + 1 for level, later in pairwise(levels))


def _read_letters(font: Object) -> dict[bytes, str]:
    """Return what the codes of a font mean."""
    letters = {}
    for first, texts in re.findall(rb"<(\w+)> <\w+> \[(.*?)\]", font.ToUnicode.read_bytes()):
        for code, text in enumerate(re.findall(rb"<(\w+)>", texts), int(first, 16)):
            letters[code.to_bytes(2)] = bytes.fromhex(text.decode()).decode("utf-16be")
    return letters


def read_page(page: Page) -> dict[int, str]:
    """Return the text of each marked content, all artifacts as one; nothing is drawn outside of them."""
    fonts = {name: _read_letters(font) for name, font in page.Resources.Font.items()}
    told: dict[int, str] = {}
    mark, letters = None, dict[bytes, str]()
    for drawn in pikepdf.parse_content_stream(page):
        assert isinstance(drawn, ContentStreamInstruction)
        name, operands = str(drawn.operator), drawn.operands
        if name in ("BMC", "BDC"):
            assert mark is None
            mark = ARTIFACT if name == "BMC" else int(operands[1].MCID)
            assert (name == "BMC") == (operands[0] == "/Artifact")
            assert mark == ARTIFACT or mark not in told
            told.setdefault(mark, "")
        elif name == "EMC":
            assert mark is not None
            mark = None
        elif name == "Tf":
            letters = fonts[str(operands[0])]
        elif name in _PAINTING:
            assert mark is not None
            if name == "TJ":
                codes = b"".join(bytes(part) for part in operands[0] if isinstance(part, String))
                told[mark] += "".join(letters[codes[k : k + 2]] for k in range(0, len(codes), 2))
    assert mark is None
    return told
