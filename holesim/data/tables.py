"""Paths of the tables that come with the package."""

from pathlib import Path


def table(name: str) -> Path:
    """Return the path of a file of `holesim/data/`.

    Examples
    --------
    >>> table("balls.csv").name
    'balls.csv'
    """
    return Path(__file__).with_name(name)
