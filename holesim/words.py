"""Words: how numbers, distances and sentences are written, wherever they are read."""

from holesim.units import YARD


def minus(text: str) -> str:
    """Return text with true minus signs."""
    return text.replace("-", "\N{MINUS SIGN}")


def sentence(text: str) -> str:
    """Return text as a sentence."""
    return f"{text[:1].upper()}{text[1:]}."


def distance(metres: float, *, metric: bool) -> str:
    """Return a distance as it is shown."""
    return f"{metres:,.0f} m" if metric else f"{metres / YARD:,.0f} yd"
