"""Words: how numbers, distances and sentences are written, wherever they are read."""

import re

from holesim.units import YARD


def minus(text: str) -> str:
    """Return text with true minus signs before its numbers; a club's hyphen stays."""
    return re.sub(r"(?<!\w)-(?=[\d.])", "\N{MINUS SIGN}", text)


def sentence(text: str) -> str:
    """Return text as a sentence."""
    return f"{text[:1].upper()}{text[1:]}."


def distance(metres: float, *, metric: bool) -> str:
    """Return a distance as it is shown."""
    return f"{metres:,.0f} m" if metric else f"{metres / YARD:,.0f} yd"
