"""Sheets of paper as they are drawn: where their words stand, at their final size."""

from itertools import combinations

import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

FINE = 8
PAPER = Bbox([(0, 0), (595, 842)])


def drawn(figure: Figure) -> Figure:
    """Return a figure with its words in place."""
    figure.set_dpi(72 * FINE)  # or letters would be fitted to pixels
    figure.draw_without_rendering()
    return figure


def texts(figure: Figure) -> list[tuple[Text, Bbox]]:
    """Return the words of a figure that is drawn, and where they stand [pt]."""
    found = [text for text in figure.findobj(Text) if isinstance(text, Text) and text.get_text()]
    return [(text, Bbox(text.get_window_extent().get_points() / FINE)) for text in found]


def check_words(boxes: list[tuple[Text, Bbox]]) -> None:
    """See that no words overlap, leave the paper, or are too small to read."""
    for (one, a), (other, b) in combinations(boxes, 2):
        # Boxes reach below the letters; half a point is no overlap.
        shared = Bbox.intersection(a, b)
        if shared is not None and min(shared.width, shared.height) > 0.5:
            pytest.fail(f"{one.get_text()!r} lies on {other.get_text()!r}")
    for text, box in boxes:
        assert PAPER.contains(*box.min), text.get_text()
        assert PAPER.contains(*box.max), text.get_text()
        assert float(text.get_fontsize()) >= 7
