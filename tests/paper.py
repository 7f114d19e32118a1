"""Pages and pictures as they are drawn: their words, and where these stand at their final size."""

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from holesim.pictures.paper import PAGE, SIZES, Paper
from holesim.pictures.typesetting import matplotlib_defaults

FINE = 8
_TEN_MM = 10 * 72 / 25.4  # pt
PAPER = Bbox([(_TEN_MM, _TEN_MM), (PAGE[0] - _TEN_MM, PAGE[1] - _TEN_MM)])


def drawn(figure: Figure) -> Figure:
    """Return a figure with its words in place."""
    figure.set_dpi(72 * FINE)  # or letters would be fitted to pixels
    figure.draw_without_rendering()
    return figure


def texts(figure: Figure) -> list[tuple[Text, Bbox]]:
    """Return the words of a figure that is drawn, and where they stand [pt]."""
    found = [text for text in figure.findobj(Text) if isinstance(text, Text) and text.get_text()]
    return [(text, Bbox(text.get_window_extent().get_points() / FINE)) for text in found]


def overlapping(boxes: Sequence[Bbox], width: float, height: float) -> list[tuple[int, int]]:
    """Return which boxes share more than a width and a height."""
    low, high = np.array([(box.min, box.max) for box in boxes]).reshape(-1, 2, 2).transpose(1, 0, 2)
    shared = np.minimum(high[:, None], high) - np.maximum(low[:, None], low)
    one, other = np.nonzero(np.triu((shared > (width, height)).all(axis=2), 1))
    return list(zip(one.tolist(), other.tolist(), strict=True))


def check_words(boxes: list[tuple[Text, Bbox]]) -> None:
    """See that no words overlap, stand where printers cannot print, or are too small to read."""
    # Boxes reach below the letters; half a point is no overlap.
    for one, other in overlapping([box for _, box in boxes], 0.5, 0.5):
        pytest.fail(f"{boxes[one][0].get_text()!r} lies on {boxes[other][0].get_text()!r}")
    for text, box in boxes:
        assert PAPER.contains(*box.min), text.get_text()
        assert PAPER.contains(*box.max), text.get_text()
        assert float(text.get_fontsize()) >= 7.5


def drawn_pages(pages: Iterable[Figure]) -> Iterator[Figure]:
    """Yield pages with their words in place, each drawn in matplotlib's own style."""
    with matplotlib_defaults():
        yield from map(drawn, pages)


def check_page(figure: Figure) -> int:
    """See that no words overlap each other or a map, or leave the paper; return how many there are."""
    boxes = texts(figure)
    check_words(boxes)
    for ax in figure.axes:
        place = Bbox(ax.get_window_extent().get_points() / FINE)
        for text, box in boxes:
            shared = Bbox.intersection(place, box)
            assert shared is None or shared.height < 0.5 or shared.width < 0.5, text.get_text()
    return len(boxes)


def shortened(figure: Figure) -> list[str]:
    """Return the words of a figure that are cut."""
    return [text.get_text() for text, _ in texts(figure) if "\N{HORIZONTAL ELLIPSIS}" in text.get_text()]


def check_paper(path: Path, paper: Paper) -> None:
    """See that a PDF has pages, each of the size of that paper."""
    sizes = re.findall(r"/MediaBox \[ 0 0 (\d+) (\d+) \]", path.read_bytes().decode("latin-1"))
    assert set(sizes) == {tuple(f"{side:g}" for side in SIZES[paper])}
    assert len(sizes) == path.read_bytes().count(b"/Type /Page ")


def said(figure: Figure | None) -> str:
    """Return all the words of a figure."""
    assert figure is not None
    return " ".join(text.get_text() for text in figure.findobj(Text) if isinstance(text, Text))


def check_picture(figure: Figure) -> None:
    """See that the words of a picture stay on it and apart."""
    figure.draw_without_rendering()
    boxes = [
        text.get_window_extent()
        for text in figure.findobj(Text)
        if isinstance(text, Text) and text.get_text()
    ]
    for box in boxes:
        assert figure.bbox.containsx(box.x0)
        assert figure.bbox.containsx(box.x1)
        assert figure.bbox.containsy(box.y0)
        assert figure.bbox.containsy(box.y1)
    # A text's box includes room for descenders, so neighbours may share a hair.
    hair = 2 * figure.dpi / 72
    assert overlapping(boxes, 2, hair) == []
