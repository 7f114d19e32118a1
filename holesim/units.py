"""Golfers' units in SI: multiply to convert to SI, divide to convert back."""

from math import pi
from typing import Final

YARD: Final = 0.9144  # m, exact (international yard)
FOOT: Final = 0.3048  # m, exact
INCH: Final = 0.0254  # m, exact
MM: Final = 0.001  # m
MPH: Final = 0.44704  # m/s, exact
RPM: Final = 2 * pi / 60  # rad/s
DEGREE: Final = pi / 180  # rad


def kelvin(fahrenheit: float) -> float:
    """Return a temperature in kelvin.

    Examples
    --------
    >>> round(kelvin(59), 2)
    288.15
    """
    return (fahrenheit - 32) / 1.8 + 273.15
