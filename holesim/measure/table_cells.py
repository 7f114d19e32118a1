"""Table cells: numbers as tables write them, with a unit or a side, and with decimal points or commas."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from holesim.measure.column_names import read_end, read_unit

Mark = Literal[".", ","]

NOTHING: Final = frozenset(("", "-", "--", "---", "n/a", "na", "nan", "null", "none", "#n/a", "?", "*"))
"""What stands in a cell where nothing was measured, in small letters."""

_DASHES: Final = str.maketrans(
    {"\u2212": "-", "\u2013": "-", "\u2014": "-"}
)  # minus signs, and dashes used as one
_SPACES: Final = re.compile(r"(?<=\d)[ \u00a0\u202f\u2009'\u2019](?=\d{3}(?!\d))")  # between thousands
_LONGEST: Final = 60  # letters of a number with what stands beside it
_NUMBER: Final = re.compile(r"([^\d.,+-]*?)\s*([-+]?\s?(?:\d[\d.,]*|[.,]\d+))\s*([^\d]*)")


@dataclass(frozen=True)
class Cell:
    """A number as a table has it; NaN where nothing was measured.

    Attributes
    ----------
    value
        The number, with its sign.
    unit
        The unit beside it; empty if there is none.
    end
        The end beside it, such as left; empty if there is none.
    """

    value: float
    unit: str = ""
    end: str = ""


def clean(text: str) -> str:
    """Return the text of a cell without spaces around it, with plain minus signs."""
    return text.translate(_DASHES).strip()


def is_nothing(text: str) -> bool:
    """Return whether a cell says that nothing was measured."""
    return text.lower() in NOTHING


def find_decimal_mark(cells: Iterable[str]) -> Mark:
    """Return what stands before decimals in a table: a comma where some numbers can mean nothing else.

    Examples
    --------
    >>> find_decimal_mark(["1,5", "2.850"]), find_decimal_mark(["2,850", "1.5"]), find_decimal_mark(["2,850"])
    (',', '.', '.')
    """
    points = commas = 0
    for text in cells:
        found = _NUMBER.fullmatch(text) if len(text) <= _LONGEST else None
        digits = found[2] if found else ""
        last = max(digits.rfind("."), digits.rfind(","))
        if last < 0:
            continue
        both = "." in digits and "," in digits
        # One mark before three digits may stand between thousands.
        decisive = both or len(digits) - last - 1 != 3 or digits.lstrip("+-0").startswith((".", ","))
        points += decisive and digits[last] == "."
        commas += decisive and digits[last] == ","
    return "," if commas > points else "."


def read_cell(text: str, mark: Mark, ends: tuple[str, ...] = ()) -> Cell | None:
    """Return the number in a cell; None if it is other text.

    Examples
    --------
    >>> read_cell("12.5 L", ".", ("right", "left"))
    Cell(value=12.5, unit='', end='left')
    >>> read_cell("2'850 rpm", ",").value, read_cell("1,5", ",").value, read_cell("far", ".")
    (2850.0, 1.5, None)
    """
    if is_nothing(text):
        return Cell(np.nan)
    found = _NUMBER.fullmatch(_SPACES.sub("", text)) if len(text) <= _LONGEST else None
    if found is None:
        return None
    digits = found[2].replace(" ", "")
    other = "," if mark == "." else "."
    if not re.fullmatch(rf"[-+]?(\d{{1,3}}(\{other}\d{{3}})+|\d*)(\{mark}\d*)?", digits):
        return None
    unit = end = ""
    for word in re.findall(r"[^\W\d]+/[^\W\d]+|[^\W\d]+|[^\s]", f"{found[1]} {found[3]}"):
        if not end and (known := read_end(word, ends)):
            end = known
        elif not unit and (known := read_unit(word)):
            unit = known
        elif word != ".":
            return None
    return Cell(float(digits.replace(other, "").replace(mark, ".")), unit, end)
