"""Paper: the sizes that sheets are printed on, and the part of a page that all of them have."""

from typing import Final, Literal

Paper = Literal["a4", "letter"]
"""A size of paper: A4, or the letter of North America."""

SIZES: Final[dict[Paper, tuple[float, float]]] = {"a4": (595.0, 842.0), "letter": (612.0, 792.0)}
"""The width and height of each [pt]."""
PAGE: Final = min(wide for wide, _ in SIZES.values()), min(tall for _, tall in SIZES.values())
"""The width and height that all have [pt]; sheets are drawn on it, and it lies in the middle of the paper."""
MARGIN: Final = 29.0
"""10 mm and half a line [pt], in which many printers print nothing (common practice, no source)."""
LEFT, TOP = MARGIN, MARGIN
RIGHT, BOTTOM = PAGE[0] - MARGIN, PAGE[1] - MARGIN
"""Edges of what is printed, from the left and the top of the page [pt]."""
