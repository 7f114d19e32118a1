"""How numbers, distances and sentences are written for readers."""

import re

from holesim.units import YARD


def minus(text: str) -> str:
    """Return text with true minus signs before its numbers; the hyphen of 5-iron stays."""
    return re.sub(r"(?<!\w)-(?=[\d.])", "\N{MINUS SIGN}", text)


def sentence(text: str) -> str:
    """Return text with a capital and a full stop."""
    return f"{text[:1].upper()}{text[1:]}."


def distance(metres: float, *, metric: bool) -> str:
    """Return a distance in whole metres or yards.

    Examples
    --------
    >>> distance(228.6, metric=False)
    '250 yd'
    """
    return f"{metres:,.0f} m" if metric else f"{metres / YARD:,.0f} yd"
