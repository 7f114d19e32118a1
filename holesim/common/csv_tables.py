"""Tables as programs export them: comma-separated text, and the numbers in it.

A spreadsheet takes a cell that begins with =, +, - or @ for a formula, so a name could make it compute or
fetch. What is written is guarded by an apostrophe, which spreadsheets read as "this is text"; readers take
it off again.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np
import pandas as pd
from pandas.api.types import is_numeric_dtype

from holesim.errors import InputError, printable

NOTHING: Final = ("", "-", "--", "n/a", "N/A", "nan", "NaN")
_DASHES: Final = str.maketrans({"\u2212": "-", "\u2013": "-"})  # a minus sign, and a dash used as one
_FORMULA: Final = re.compile(r"'*[=+@\t\r-]")
_NO_FORMULA: Final = re.compile(r"[-+]+|[-+]\s?[\d.,]*\d[\d.,]*(e[-+]?\d+)?\s*[a-z°%]{0,12}", re.IGNORECASE)


def guarded(cell: str) -> str:
    """Return the text of a cell so that no spreadsheet takes it for a formula; numbers stay as they are.

    Examples
    --------
    >>> guarded("=1+1"), guarded("-3.2 L"), guarded("-A1"), guarded("Vale")
    ("'=1+1", '-3.2 L', "'-A1", 'Vale')
    """
    return f"'{cell}" if _FORMULA.match(cell) and not _NO_FORMULA.fullmatch(cell) else cell


def unguarded(cell: str) -> str:
    """Return the text that `guarded` was given.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("'tis")
    ('=1+1', "'tis")
    """
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell


def table_text(table: pd.DataFrame) -> str:
    """Return a table as comma-separated values, its texts guarded."""

    def guard(cell: Any) -> Any:  # noqa: ANN401 - a text, or what a table has beside texts
        return guarded(cell) if isinstance(cell, str) else cell

    written = table.rename(columns=guard)
    for name in written:
        if not is_numeric_dtype(written[name]):
            written[name] = written[name].map(guard)
    return written.to_csv(index=False, lineterminator="\n")


def rows_text(rows: Iterable[Sequence[str]]) -> str:
    """Return rows of cells as comma-separated values, guarded."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(map(guarded, row) for row in rows)
    return text.getvalue()


def parsed(raw: bytes, file: str) -> pd.DataFrame:
    """Return a table of texts indexed by the line of the file; a row of units is left out.

    Raises
    ------
    InputError
        If `raw` is not a table.
    """
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(file, "", "is not UTF-8 text", "save it as CSV in UTF-8") from None
    separator = max(",;\t", key=text.partition("\n")[0].count)
    try:
        table = pd.read_csv(
            io.StringIO(text),
            sep=separator,
            dtype=str,
            keep_default_na=False,
            skip_blank_lines=False,
            quotechar='"',
        )
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as error:
        where = re.search(r"line (\d+)", str(error))
        place = f"line {where[1]}" if where else ""
        raise InputError(
            file, place, "is not a table of comma-separated values", "correct it there"
        ) from None
    table.columns = [unguarded(printable(str(name)).strip()) for name in table.columns]
    table.index = pd.RangeIndex(2, len(table) + 2)
    table = table.loc[:, ~table.columns.duplicated()].map(
        lambda cell: unguarded(cell.translate(_DASHES).strip())
    )
    table = table[~table.isin(NOTHING).all(axis=1)]
    numeric = table.map(lambda cell: bool(re.search(r"\d", cell))).any(axis=1)
    # Exports often have a row of units below the header.
    return table[numeric | (np.arange(len(table)) > 0)]


def number(cell: str, sign: float) -> float | None:
    """Return the number in a cell such as 1,234 or 3.2 L; NaN for an empty cell, None for other text.

    With a letter, left (L) is negative and right (R) positive; without one the number is times `sign`.

    Examples
    --------
    >>> number("1,234", 1.0), number("3.2 L", 1.0), number("far", 1.0)
    (1234.0, -3.2, None)
    """
    if cell in NOTHING:
        return np.nan
    found = re.fullmatch(r"(?:([LR])\s*)?([-+]?\d[\d,]*\.?\d*|[-+]?\.\d+)\s*([LR])?", cell, re.IGNORECASE)
    if found is None:
        return None
    before, digits, after = found.groups()
    if before and after:
        return None
    value = float(digits.replace(",", ""))
    side = (before or after or "").upper()
    return {"L": -abs(value), "R": abs(value)}.get(side, sign * value)
