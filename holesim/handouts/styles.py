"""The styles of handouts, apart from what makes them, which takes a second to import."""

from typing import Final, Literal

HandoutStyle = Literal["pocket", "lesson", "coach", "page"]

SUFFIXES: Final[dict[HandoutStyle, str]] = {
    "pocket": ".pdf",
    "lesson": ".pdf",
    "coach": ".pdf",
    "page": ".html",
}
"""How the name of each handout's file ends."""
