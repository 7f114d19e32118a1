"""Typesetting: text placed in points, wrapped by its printed width, and never read as a formula."""

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import dataclass, field
from functools import cache, lru_cache
from math import inf
from pathlib import Path
from threading import Lock
from typing import Any, Final, NamedTuple

from matplotlib import rc_context, rcdefaults, rcParams
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.transforms import Affine2D, Transform

from holesim.common.text_format import minus
from holesim.pictures.paper import PAGE, Paper
from holesim.pictures.structure import Structure, Tag

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


class Page(Figure):
    """A page, as large as fits every paper.

    Attributes
    ----------
    structure
        What is written on it, in the order in which it is read.
    """

    def __init__(self) -> None:
        super().__init__(figsize=(PAGE[0] / 72, PAGE[1] / 72))
        self.structure = Structure()

    def canvas_at(self, x: float, y: float) -> "Canvas":
        """Return a place to write whose corner lies x right of and y below that of the page [pt]."""
        flip = Affine2D().translate(x, y - PAGE[1]).scale(1 / PAGE[0], -1 / PAGE[1])
        return Canvas(self.add_artist, flip + self.transFigure, self.structure)

    def add_picture(self, place: tuple[float, float, float, float], alt: str) -> Axes:
        """Return axes for a picture that shows what `alt` says.

        Parameters
        ----------
        place
            Distance of the picture from the left and from the top of the page, its width and its height [pt].
        """
        x, y, wide, tall = place
        bottom = PAGE[1] - y - tall
        axes = self.add_axes((x / PAGE[0], bottom / PAGE[1], wide / PAGE[0], tall / PAGE[1]))
        with self.structure.within("Figure", _plain(alt)):
            self.structure.claim(axes)
        return axes


def write_pdf(pages: Iterable[Page], path: Path, title: str, *, paper: Paper = "a4") -> None:
    """Write pages as a tagged PDF with a title, in English; the same pages give the same bytes.

    Parameters
    ----------
    pages
        An iterator that makes each page when it is asked for, so that pages are drawn in matplotlib's own
        style. Each is placed in the middle of the paper.
    paper
        What they are printed on.
    """
    # Only PDFs need it, pictures do not.
    from holesim.pictures.tagged_pdf import TaggedPdf  # noqa: PLC0415

    with matplotlib_defaults(), closing(TaggedPdf(path, _plain(title))) as pdf:
        for page in pages:
            pdf.add_page(page, page.structure, paper)
        pdf.finalize()


class SeriesStyle(NamedTuple):
    """How a series is told apart: its colour and matplotlib's name of its marker."""

    colour: str
    marker: str


@dataclass(frozen=True)
class Canvas:
    """A place to write and draw; x and y are points right of and below its top left corner."""

    place: Callable[[Artist], object]
    transform: Transform
    structure: Structure = field(default_factory=Structure)

    def add(self, artist: Artist) -> None:
        """Place an artist; text, and all that a picture consists of, are read aloud."""
        self.structure.claim(artist)
        self.place(artist)

    def within(self, tag: Tag, alt: str = "") -> AbstractContextManager[None]:
        """Put what is written meanwhile into one element, as `Structure.within` does."""
        return self.structure.within(tag, _plain(alt))

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
        tag: Tag = "P",
    ) -> float:
        """Write from x on, below y, in lines of at most `width`; return where the next line may begin."""
        lines = wrap(text, width, max_lines, size=size, bold=bold)
        with self.within(tag):
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
        tag: Tag = "P",
    ) -> float:
        """Write as `write` does, but so that lines end at x."""
        lines = wrap(text, width, max_lines, size=size, bold=bold)
        with self.within(tag):
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


def printed_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the printed width of text [pt]."""
    return size * _width(text, bold=bold)


@lru_cache(maxsize=16384)
def _width(text: str, *, bold: bool) -> float:
    """Return the width of text in a size of 1 pt [pt]."""
    return float(text_to_path.get_text_width_height_descent(text, font(1.0, bold=bold), False)[0])


@lru_cache(maxsize=4096)
def wrap(text: str, width: float, max_lines: int, *, size: float, bold: bool = False) -> tuple[str, ...]:
    """Return text in lines of at most `width` [pt]; if it is cut, the last line ends in an ellipsis."""

    def fits(line: str) -> bool:
        return printed_width(line, size, bold=bold) <= width

    plain = _plain(text)
    if fits(plain):
        return (plain,) if plain else ()
    lines = [""]
    for word in plain.split(" "):
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
    return tuple(lines)
