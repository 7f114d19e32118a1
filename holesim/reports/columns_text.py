"""What each column of a table is taken for, as comments above the column file that says the same."""

from typing import Final

from holesim.measure.column_file import Balls, format_column_file
from holesim.measure.column_names import WORDS
from holesim.measure.table_columns import TableColumn, TableColumns

_WIDEST: Final = 30  # letters of a header or of values


def columns_text(found: TableColumns, file: str, balls: Balls | None) -> str:
    """Return a line for each column with three of its values, what had to be assumed, and a column file.

    All but the column file are comments, so that the whole is one.
    """
    rows = [
        (_cut(column.header or "(no header)"), _cut("  ".join(column.samples)), _describe(column))
        for column in found.columns
    ]
    widths = [max(len(row[k]) for row in rows) for k in range(2)]
    lines = [f"The columns of {file}: header, three values, what it is taken for"]
    lines += [f"  {header:<{widths[0]}}  {values:<{widths[1]}}  {what}" for header, values, what in rows]
    said = [str(guess) for guess in found.guesses]
    said += [
        f"{column.fault.place}: {column.fault.problem}; {column.fault.remedy}"
        for column in found.columns
        if column.fault is not None
    ]
    lines += [f"! {line}" for line in said]
    lines += [
        "",
        f"Correct the lines below and give them back: holesim measure {file} --columns FILE",
        "A column that has no line is not used.",
    ]
    comments = "".join(f"# {line}".rstrip() + "\n" for line in lines)
    return comments + format_column_file(found.to_mapping(), balls)


def _describe(column: TableColumn) -> str:
    """Return what a column is taken for, in golfers' words, with its unit and its positive side."""
    if not column.name:
        return "not used"
    words = WORDS.get(column.name, column.name.replace("_", " "))
    parts = [words, *([column.unit] if column.unit else [])]
    if column.fault is not None:
        parts.append("cannot be used")
    elif column.positive:
        parts.append(f"{column.positive} positive")
    return ", ".join(parts)


def _cut(text: str) -> str:
    return text if len(text) <= _WIDEST else text[: _WIDEST - 1] + "…"
