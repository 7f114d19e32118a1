"""Typesetting: text placed in points, wrapped by its printed width, and never read as a formula."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from math import inf
from pathlib import Path
from threading import Lock
from typing import Any, Final, NamedTuple

import numpy as np
from matplotlib import rc_context, rcdefaults, rcParams
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.transforms import Affine2D, Bbox, Transform

from holesim.common.text_format import minus
from holesim.pictures.paper import PAGE, SIZES, Paper

INK: Final = "#1a1a1a"
QUIET: Final = "#595959"
SMALL: Final = 7.5  # pt, the smallest print

_SETTINGS: Final = Lock()


@contextmanager
def matplotlib_defaults() -> Iterator[None]:
    """Draw in matplotlib's own style, whatever the user's; it is global, so one thread at a time."""
    with _SETTINGS, rc_context():
        rcdefaults()
        rcParams["pdf.fonttype"] = 42  # whole letters, so that text can be searched and copied
        rcParams["text.parse_math"] = False  # a name with two $ is no formula
        yield


def write_pdf(figures: Iterable[Figure], path: Path, title: str, *, paper: Paper = "a4") -> None:
    """Write pages as a PDF with a title, in English; the same figures give the same bytes.

    matplotlib writes no structure (headings, tables, what a picture shows), so a screen reader gets the words
    in the order in which they were drawn, and a page in a browser is the better handout for it.

    Parameters
    ----------
    figures
        An iterator that makes each page when it is asked for, so that pages are drawn in matplotlib's own
        style. Each is of the size `PAGE`, and is placed in the middle of the paper.
    paper
        What they are printed on.
    """
    # Only PDFs need it, pictures do not.
    from matplotlib.backends.backend_pdf import PdfPages  # noqa: PLC0415

    metadata: dict[str, Any] = {"CreationDate": None, "Creator": "holesim", "Producer": None}
    metadata["Title"] = _plain(title)
    with matplotlib_defaults(), PdfPages(path, metadata=metadata) as pages:
        for figure in figures:
            pages.savefig(figure, bbox_inches=_around(paper))
    path.write_bytes(_with_language(path.read_bytes()))


def _around(paper: Paper) -> Bbox:
    """Return the edges of paper about a page in its middle, from that page's lower left corner [in]."""
    more = (np.array(SIZES[paper]) - PAGE) / 2
    return Bbox([-more / 72, (PAGE + more) / 72])


def _with_language(pdf: bytes) -> bytes:
    """Return a PDF whose catalogue says that it is English, and that its title be shown.

    matplotlib leaves no place for either: the catalogue is written anew behind the file (ISO 32000-1, 7.5.6).
    """
    (root,) = re.findall(rb"/Root (\d+) 0 R", pdf)
    (size,) = re.findall(rb"/Size (\d+)", pdf)
    (start,) = re.findall(rb"startxref\s+(\d+)\s+%%EOF\s*$", pdf)
    (catalogue,) = re.findall(rb"\n%b 0 obj\s*<<(.*?)>>\s*endobj" % root, pdf, re.DOTALL)
    more = b" /Lang (en) /ViewerPreferences << /DisplayDocTitle true >> "
    anew = b"%b 0 obj\n<<%b%b>>\nendobj\n" % (root, catalogue.rstrip(), more)
    table = b"xref\n%b 1\n%010d 00000 n \ntrailer\n" % (root, len(pdf))
    info = re.findall(rb"/Info \d+ 0 R", pdf)
    trailer = b"<< /Size %b /Root %b 0 R %b /Prev %b >>\n" % (size, root, b" ".join(info), start)
    return pdf + anew + table + trailer + b"startxref\n%d\n%%%%EOF\n" % (len(pdf) + len(anew))


class SeriesStyle(NamedTuple):
    """How a series is told apart: its colour and matplotlib's name of its marker."""

    colour: str
    marker: str


@dataclass(frozen=True)
class Canvas:
    """A place to write and draw; x and y are points right of and below its top left corner."""

    add: Callable[[Artist], object]
    transform: Transform

    def write(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 8.0,
        bold: bool = False,
        colour: str = INK,
        width: float = inf,
        max_lines: int = 9,
    ) -> float:
        """Write from x on, below y, in lines of at most `width`; return where the next line may begin."""
        lines = wrap(text, width, max_lines, size=size, bold=bold)
        return self._write_lines(x, y, lines, "left", font(size, bold=bold), colour)

    def write_right(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float = 8.0,
        bold: bool = False,
        colour: str = INK,
        width: float = inf,
        max_lines: int = 9,
    ) -> float:
        """Write as `write` does, but so that lines end at x."""
        lines = wrap(text, width, max_lines, size=size, bold=bold)
        return self._write_lines(x, y, lines, "right", font(size, bold=bold), colour)

    def _write_lines(
        self, x: float, y: float, lines: Iterable[str], align: str, properties: FontProperties, colour: str
    ) -> float:
        size = float(properties.get_size_in_points())
        for line in lines:
            self.add(
                Text(
                    x, y + size, line, ha=align, va="baseline", color=colour, transform=self.transform,
                    fontproperties=properties, parse_math=False, clip_on=False,
                )
            )  # fmt: skip
            y += 1.3 * size
        return y

    def draw_line(self, left: float, right: float, y: float, **how: Any) -> None:  # noqa: ANN401
        """Draw a level line."""
        self.add(Line2D([left, right], [y, y], transform=self.transform, clip_on=False, **how))

    def draw_path(self, points: Sequence[tuple[float, float]], **how: Any) -> None:  # noqa: ANN401
        """Draw a line through points."""
        self.add(Line2D(*zip(*points, strict=True), transform=self.transform, clip_on=False, **how))

    def draw_rule(self, left: float, right: float, y: float) -> float:
        """Draw a fine level line; return its y."""
        self.draw_line(left, right, y, lw=0.5, c="#b8b8b8")
        return y

    def draw_marker(self, x: float, y: float, style: SeriesStyle) -> None:
        """Draw the marker of a series."""
        self.draw_line(x, x, y, c=style.colour, marker=style.marker, ms=7, mec="white", mew=0.6)

    def draw_swatch(self, x: float, y: float, **how: Any) -> None:  # noqa: ANN401
        """Draw a small filled patch."""
        self.add(Rectangle((x, y), 12, 8, transform=self.transform, clip_on=False, **how))


def scratch_canvas() -> Canvas:
    """Return a canvas that shows nothing, to find how much room text takes."""
    return Canvas(lambda _: None, Affine2D())


@cache
def font(size: float, *, bold: bool = False) -> FontProperties:
    """Return the only typeface used, which is installed with matplotlib."""
    return FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")


@cache
def _glyphs() -> frozenset[int]:
    return frozenset(FT2Font(findfont(font(SMALL))).get_charmap())


def _plain(text: str) -> str:
    """Return text without control characters, with a question mark for each letter the font lacks."""
    text = "".join(
        " " if unicodedata.category(c)[0] in "CZ" else c for c in unicodedata.normalize("NFC", text)
    )
    return "".join(c if ord(c) in _glyphs() else "?" for c in " ".join(text.split()))


def signed(text: str) -> str:
    """Return a number with a true minus sign; one that rounds to nought loses its sign.

    Examples
    --------
    >>> signed("-0.00 ±0.10"), signed("+0.31 ±0.10")
    ('0.00 ±0.10', '+0.31 ±0.10')
    """
    return minus(re.sub(r"^[+-](?=0(\.0+)?(?![.\d]))", "", text))


@lru_cache(maxsize=4096)
def printed_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the printed width of text [pt]."""
    return float(text_to_path.get_text_width_height_descent(text, font(size, bold=bold), False)[0])


def wrap(text: str, width: float, max_lines: int, *, size: float, bold: bool = False) -> list[str]:
    """Return text in lines of at most `width` [pt]; if it is cut, the last line ends in an ellipsis."""

    def fits(line: str) -> bool:
        return printed_width(line, size, bold=bold) <= width

    lines = [""]
    for word in _plain(text).split(" "):
        if len(lines) > max_lines + 1:
            break  # the first may be blank
        if fits(f"{lines[-1]} {word}"):
            lines[-1] = f"{lines[-1]} {word}".strip()
            continue
        lines.append("")
        for letter in word:
            if not fits(lines[-1] + letter):
                lines.append("")
            lines[-1] += letter
    lines = [line for line in lines if line]
    if len(lines) > max_lines:
        last = lines[max_lines - 1]
        while not fits(f"{last}…"):
            last = last[:-1]
        lines[max_lines - 1 :] = [f"{last}…"]
    return lines
