"""Sheets of paper: words placed in points, wrapped by their printed width, and never read as formulas."""

import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from math import inf
from pathlib import Path
from threading import Lock
from typing import Any, Final

from matplotlib import rc_context, rcdefaults, rcParams
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.transforms import Transform

INK: Final = "#1a1a1a"
QUIET: Final = "#595959"
SMALL: Final = 7.0  # pt, the smallest print

_SETTINGS: Final = Lock()


@contextmanager
def own_settings() -> Iterator[None]:
    """Set aside the user's style, which is global, so one thread at a time."""
    with _SETTINGS, rc_context():
        rcdefaults()
        rcParams["pdf.fonttype"] = 42  # whole glyphs, which can be searched and copied
        yield


def write_pdf(figures: Iterable[Figure], path: Path) -> None:
    """Write pages as a PDF; the same figures give the same bytes.

    They are made one by one while the user's style is set aside, so an iterator should be given.
    """
    # Pictures do without it.
    from matplotlib.backends.backend_pdf import PdfPages  # noqa: PLC0415

    metadata: dict[str, Any] = {"CreationDate": None, "Creator": "holesim", "Producer": None}
    with own_settings(), PdfPages(path, metadata=metadata) as pages:
        for figure in figures:
            pages.savefig(figure)


@dataclass(frozen=True)
class Sheet:
    """A place to write, in points right of and below its top left corner."""

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
        most: int = 9,
        align: str = "left",
    ) -> float:
        """Write below y in at most so many lines of `width`; return where the next line may begin."""
        for line in wrap(text, width, most, size=size, bold=bold):
            self.add(
                Text(
                    x, y + size, line, ha=align, va="baseline", color=colour, transform=self.transform,
                    fontproperties=font(size, bold=bold), parse_math=False, clip_on=False,
                )
            )  # fmt: skip
            y += 1.3 * size
        return y

    def line(self, left: float, right: float, y: float, **how: Any) -> None:  # noqa: ANN401
        """Draw a level line."""
        self.add(Line2D([left, right], [y, y], transform=self.transform, clip_on=False, **how))

    def path(self, points: Sequence[tuple[float, float]], **how: Any) -> None:  # noqa: ANN401
        """Draw a line through points."""
        self.add(Line2D(*zip(*points, strict=True), transform=self.transform, clip_on=False, **how))

    def rule(self, left: float, right: float, y: float) -> float:
        """Draw a fine rule; return its place."""
        self.line(left, right, y, lw=0.5, c="#b8b8b8")
        return y

    def mark(self, x: float, y: float, style: tuple[str, str]) -> None:
        """Draw the marker of a series."""
        self.line(x, x, y, c=style[0], marker=style[1], ms=7, mec="white", mew=0.6)

    def swatch(self, x: float, y: float, **how: Any) -> None:  # noqa: ANN401
        """Draw a small patch of a tint."""
        self.add(Rectangle((x, y), 12, 8, transform=self.transform, clip_on=False, **how))


@cache
def font(size: float, *, bold: bool = False) -> FontProperties:
    """Return the one typeface, which travels with matplotlib."""
    return FontProperties(family="DejaVu Sans", size=size, weight="bold" if bold else "normal")


@cache
def _glyphs() -> frozenset[int]:
    return frozenset(FT2Font(findfont(font(SMALL))).get_charmap())


def _plain(text: str) -> str:
    """Return text without control characters, and a question mark for what the font cannot draw."""
    text = "".join(
        " " if unicodedata.category(c)[0] in "CZ" else c for c in unicodedata.normalize("NFC", text)
    )
    return "".join(c if ord(c) in _glyphs() else "?" for c in " ".join(text.split()))


@lru_cache(maxsize=4096)
def printed_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the printed width of text [pt]."""
    return float(text_to_path.get_text_width_height_descent(text, font(size, bold=bold), False)[0])


def wrap(text: str, width: float, most: int, *, size: float, bold: bool = False) -> list[str]:
    """Return text in at most so many lines of `width` [pt], the last cut with an ellipsis if need be."""

    def fits(line: str) -> bool:
        return printed_width(line, size, bold=bold) <= width

    lines = [""]
    for word in _plain(text).split(" "):
        if len(lines) > most + 1:
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
    if len(lines) > most:
        last = lines[most - 1]
        while not fits(f"{last}…"):
            last = last[:-1]
        lines[most - 1 :] = [f"{last}…"]
    return lines
