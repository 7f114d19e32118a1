"""Table text: the bytes of an exported table to its header, its row of units and its rows of drives."""

import csv
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.common.csv_tables import unguarded
from holesim.errors import Guess, InputError, printable
from holesim.measure.column_names import read_unit
from holesim.measure.table_cells import clean, is_nothing

Row = tuple[str, ...]

_SEPARATORS: Final = (",", ";", "\t", "|")
_HEADER_WITHIN: Final = 40  # rows, past titles and what else is told of a session
_MOST: Final = 500  # columns
_LOOKED_AT: Final = 200  # rows from which separator and header are found
_SUMMARIES: Final = (
    "average", "averages", "avg", "mean", "means", "median", "std", "stdev", "std dev", "st dev",
    "std deviation", "standard deviation", "deviation", "dev", "sd", "consistency", "min", "max", "minimum",
    "maximum", "range", "sum", "total", "totals", "best", "variance", "sigma", "dispersion", "summary",
)  # fmt: skip
_FOOT: Final = re.compile(r"\b(average|avg|mean|median|std dev|deviation|consistency)\b")


@dataclass(frozen=True)
class TextTable:
    """A table as texts.

    Attributes
    ----------
    headers
        What stands over each column.
    units
        The unit of each column in a row below the header; empty where there is none.
    rows
        A row for each drive, as many cells as headers.
    lines
        The line of each row in the file.
    left_out
        The rows that were left out, and why.
    """

    headers: Row
    units: Row
    rows: tuple[Row, ...]
    lines: tuple[int, ...]
    left_out: tuple[Guess, ...]

    def column(self, place: int) -> Row:
        """Return the cells of a column, by its number from 0."""
        return tuple(row[place] for row in self.rows)


def read_text_table(raw: bytes, file: str, meaning: Callable[[str], str]) -> TextTable:
    """Read a table, whatever its encoding and separator, and whatever stands above its header.

    Parameters
    ----------
    meaning
        Returns what a header stands for, an empty string if it is not known: the header is the row that has
        the most of these.

    Raises
    ------
    InputError
        If it is no table of text, or a row has more cells than the header.
    """
    text = _decode(raw, file)
    separator = max(_SEPARATORS, key=lambda s: _find_header(_records(text, s, file, _LOOKED_AT), meaning)[0])
    records = _records(text, separator, file)
    if not records:
        raise InputError(file, "", "is empty", "export it again")
    _, start, headers = _find_header(records[:_LOOKED_AT], meaning)
    if len(headers) > _MOST:
        raise InputError(file, "", f"has {len(headers)} columns", "leave out what is not needed")
    while len(headers) > 1 and not headers[-1]:
        headers = headers[:-1]
    rows, lines = [], []
    for line, cells in records[start + 1 :]:
        if any(cells[len(headers) :]):
            count = len(cells) if cells[-1] else max(k + 1 for k, cell in enumerate(cells) if cell)
            raise InputError(
                file, f"line {line}", f"is not a table's row: {count} cells, the header has {len(headers)}",
                "correct it there; numbers with decimal commas need ; between cells",
            )  # fmt: skip
        row = (cells + ("",) * len(headers))[: len(headers)]
        if not all(is_nothing(cell) for cell in row) and row != headers:
            rows.append(row)
            lines.append(line)
    units: Row = ("",) * len(headers)
    if rows and not any(char.isdigit() for cell in rows[0] for char in cell):
        told = tuple(read_unit(cell) for cell in rows[0])
        if any(told):
            units, rows, lines = told, rows[1:], lines[1:]
    kept, left_out = _leave_out_summaries(rows, lines)
    return TextTable(
        headers, units, tuple(rows[k] for k in kept), tuple(lines[k] for k in kept), tuple(left_out)
    )


def _decode(raw: bytes, file: str) -> str:
    """Return bytes as text: UTF-8, UTF-16, or else Western European, as spreadsheets write."""
    if raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise InputError(file, "", "is a spreadsheet's own file", "save it as CSV there, and give that")
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    elif b"\0" in raw[:200]:
        encoding = "utf-16-be" if raw[:1] == b"\0" else "utf-16-le"
    else:
        encoding = "utf-8-sig"
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    if "\0" in text:
        raise InputError(file, "", "is not a table of text", "export it as CSV")
    return text


def _records(text: str, separator: str, file: str, most: int | None = None) -> list[tuple[int, Row]]:
    """Return the rows that are not blank, each with its line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, skipinitialspace=True)
    records, line = [], 1
    try:
        for cells in reader:
            row = tuple(unguarded(clean(printable(cell))) for cell in cells)
            if any(row):
                records.append((line, row))
            line = reader.line_num + 1
            if most is not None and len(records) >= most:
                break
    except csv.Error:
        if most is None:
            problem, remedy = "is not a table of comma-separated values", "correct it there"
            raise InputError(file, f"line {line}", problem, remedy) from None
    return records


def _find_header(
    records: Sequence[tuple[int, Row]], meaning: Callable[[str], str]
) -> tuple[tuple[int, int], int, Row]:
    """Return how many columns are known and how many there are, where the header ends, and the header."""
    widest = max((len(row) for _, row in records), default=0)
    best: tuple[tuple[int, int], int, Row] = ((0, 0), 0, ())
    for k, (_, row) in enumerate(records[:_HEADER_WITHIN]):
        candidates = [row]
        if k:
            candidates += _joined(records[k - 1][1], row)
        for headers in candidates:
            known = len({name for cell in headers[:_MOST] if (name := meaning(cell))})
            # A row with numbers is a drive, even if one of its cells could be a header.
            if known and (known, widest) > best[0]:
                best = ((known, widest), k, headers)
    if not best[0][0] and records:
        k = next(k for k, (_, row) in enumerate(records) if len(row) == widest)
        best = ((0, widest), k, records[k][1])
    return best


def _joined(above: Row, below: Row) -> list[Row]:
    """Return two rows as one header: each cell below the one above it, or the last above that says."""
    width = max(len(above), len(below))
    above, below = ((*row, *[""] * (width - len(row))) for row in (above, below))
    last, filled = "", []
    for cell in above:
        last = cell or last
        filled.append(last)
    if sum(map(bool, above)) < 2:  # a title
        return []
    return [tuple(f"{a} {b}".strip() for a, b in zip(first, below, strict=True)) for first in (above, filled)]


def _leave_out_summaries(rows: Sequence[Row], lines: Sequence[int]) -> tuple[list[int], list[Guess]]:
    """Return the rows that are drives, and what is said of averages and deviations."""
    named = [any(_text_of(cell) in _SUMMARIES for cell in row) for row in rows]
    # At the foot a row may be the average of something, or the driver's deviation.
    for k in reversed(range(len(rows))):
        named[k] = named[k] or any(_FOOT.search(_text_of(cell)) for cell in rows[k])
        if not named[k]:
            break
    kept = [k for k, summary in enumerate(named) if not summary]
    left = [str(lines[k]) for k, summary in enumerate(named) if summary]
    if not left:
        return kept, []
    place = f"line{'s' if len(left) > 1 else ''} {', '.join(left[:8])}"
    return kept, [Guess(place, "averages, deviations and the like are not drives", "left out")]


def _text_of(cell: str) -> str:
    return " ".join(cell.lower().replace(".", " ").strip(" :").split())
