"""Table rows: the rows of a table as people see them, and the table as they correct it by hand."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from holesim.common.csv_tables import rows_text
from holesim.errors import InputError
from holesim.measure.column_file import ColumnFile, read_column_file
from holesim.measure.column_names import read_header
from holesim.measure.drives_table import STRIKE_WORDS, read_text
from holesim.measure.table_text import Row, TextTable
from holesim.player.player import StrikeName

_STRIKE: Final = "strike"


@dataclass(frozen=True)
class TableRow:
    """A row of a table: its line in the file, its cells, and the strike that it names, if it names one."""

    line: int
    cells: Row
    strike: StrikeName | None


@dataclass(frozen=True)
class TableRows:
    """The rows of a table, without averages and the like, and what stands over them."""

    headers: Row
    rows: tuple[TableRow, ...]


def list_rows(path: str | Path, *, columns: str | Path | None = None) -> TableRows:
    """Return the rows of a table as they stand there.

    Raises
    ------
    InputError
        If a file cannot be read or is no table.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> found = list_rows(find("range/demo.csv"))
    >>> found.rows[0].line, found.rows[0].strike, len(found.rows)
    (2, 'up', 40)
    """
    given = None if columns is None else read_column_file(columns)
    table, _ = read_text(path, given)
    place = _find_strikes(table, given)
    return TableRows(
        table.headers,
        tuple(
            TableRow(line, cells, None if place is None else _read_strike(cells[place]))
            for line, cells in zip(table.lines, table.rows, strict=True)
        ),
    )


def correct_table(
    path: str | Path,
    *,
    strikes: Mapping[int, StrikeName],
    left_out: Collection[int],
    columns: str | Path | None = None,
) -> str:
    """Return a table with the strike of some drives set and some drives taken out, as CSV.

    What stands above the header is left out, as are averages and the like below it.

    Parameters
    ----------
    strikes
        The strike of drives, by their lines in the file. A table without a column of strikes gets one.
    left_out
        The lines of the drives that are taken out.

    Raises
    ------
    InputError
        If a file cannot be read or is no table, or a line is none of its drives.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> text = correct_table(find("range/demo.csv"), strikes={3: "level"}, left_out=[2])
    >>> [line[:11] for line in text.splitlines()[:2]]
    ['strike,club', 'level,105.8']
    """
    given = None if columns is None else read_column_file(columns)
    table, file = read_text(path, given)
    unknown = {*strikes, *left_out} - set(table.lines)
    if unknown:
        raise InputError(file, f"line {min(unknown)}", "is no drive of this table", "choose another")
    place = _find_strikes(table, given)
    headers, units, rows = table.headers, table.units, table.rows
    if place is None and strikes:
        place = len(headers)
        headers, units, rows = (*headers, _STRIKE), (*units, ""), tuple((*row, "") for row in rows)
    written = [headers, units] if any(units) else [headers]
    for line, cells in zip(table.lines, rows, strict=True):
        if line in strikes and place is not None:
            cells = (*cells[:place], strikes[line], *cells[place + 1 :])  # noqa: PLW2901
        if line not in left_out:
            written.append(cells)
    return rows_text(written)


def _find_strikes(table: TextTable, given: ColumnFile | None) -> int | None:
    """Return which column names the strikes."""
    told = None if given is None else given.columns.get(_STRIKE)
    for place, header in enumerate(table.headers):
        named = read_header(header).name == _STRIKE if told is None else told.header.lower() == header.lower()
        if named:
            return place
    return None


def _read_strike(cell: str) -> StrikeName | None:
    return STRIKE_WORDS.get(" ".join(cell.lower().split()))
