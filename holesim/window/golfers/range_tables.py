"""Range tables of the folder: what is in them, what is corrected by hand, and both kept for the command."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from holesim.errors import InputError
from holesim.measure.column_file import Balls, MappedColumn, format_column_file
from holesim.measure.column_names import LABELS, QUANTITIES, UNITS, WORDS
from holesim.measure.drives_table import load_drives, look_at_columns
from holesim.measure.sessions import join_tables
from holesim.measure.table_columns import TableColumn, TableColumns
from holesim.measure.table_rows import correct_table, list_rows
from holesim.player.player import StrikeName
from holesim.reports.columns_text import columns_text
from holesim.window.folder import Folder, MissingError
from holesim.window.golfers.window_words import in_window, window_faults

Mapped = Mapping[str, MappedColumn]

_MOST_ROWS: Final = 500
_SHOWN: Final = ("attack", "club_speed", "ball_speed", "carry", "side", "launch_angle", "spin")
"""What is shown of each drive, where it was measured."""
_MOST_SHOWN: Final = 5


def list_meanings() -> list[dict[str, Any]]:
    """Return what a column may be: its name for us, golfers' words, its units and its ends."""
    words = {"strike": "which strike it was", "player": "golfer"}
    labels: list[dict[str, Any]] = [
        {"name": name, "words": words.get(name, name), "units": [], "ends": []} for name in LABELS
    ]
    return labels + [
        {
            "name": name,
            "words": WORDS.get(name, name.replace("_", " ")),
            "units": list(UNITS[quantity.kind]),
            "ends": list(quantity.ends),
        }
        for name, quantity in QUANTITIES.items()
    ]


@contextmanager
def _column_file(columns: Mapped | None, balls: Balls | None = None) -> Iterator[Path | None]:
    """Yield a column file that says so; none where nothing is said."""
    if columns is None:
        yield None
        return
    with TemporaryDirectory(prefix="holesim-") as place:
        path = Path(place) / "columns"
        path.write_text(format_column_file(columns, balls), encoding="utf-8")
        yield path


def look_at_table(
    folder: Folder,
    name: str,
    *,
    columns: Mapped | None,
    balls: Balls,
    day: str | None,
    day_first: bool | None,
) -> dict[str, Any]:
    """Return a table as a page shows it.

    Parameters
    ----------
    columns
        What people say of the columns; None for what the table says itself.
    day
        The ISO date of the table, where it does not say.

    Raises
    ------
    InputError
        If it is no table, or what is said of its columns makes no sense.
    """
    path = folder.path(name)
    folder.check_there(name)
    with window_faults(), _column_file(columns) as told:
        found, rows = look_at_columns(path, columns=told), list_rows(path, columns=told)
        shown = _choose_shown(found)
        fault, sessions, guesses = "", list[dict[str, Any]](), found.guesses
        try:
            table = load_drives(path, columns=told, balls=balls)
            joined = join_tables([table], dates=[] if day is None else [day], day_first=day_first)
            guesses = (*table.guesses, *joined.guesses)
            counts = [int((joined.session_of == k).sum()) for k in range(len(joined.sessions))]
            sessions = [
                {"name": session.name, "day": session.day and session.day.isoformat(), "drives": count}
                for session, count in zip(joined.sessions, counts, strict=True)
            ]
        except InputError as error:
            fault = in_window(str(error))
    return {
        "name": name,
        "columns": [_column(column) for column in found.columns],
        "guesses": [in_window(str(guess)) for guess in guesses],
        "fault": fault,
        "sessions": sessions,
        "shown": [column.header for column in shown],
        "rows": [
            {"line": row.line, "strike": row.strike, "cells": [row.cells[k] for k in _places(found, shown)]}
            for row in rows.rows[:_MOST_ROWS]
        ],
        "more": max(len(rows.rows) - _MOST_ROWS, 0),
    }


def _choose_shown(found: TableColumns) -> list[TableColumn]:
    held = [column for name in _SHOWN if (column := found.find(name)) is not None]
    return held[:_MOST_SHOWN]


def _places(found: TableColumns, shown: list[TableColumn]) -> list[int]:
    return [next(k for k, one in enumerate(found.columns) if one is column) for column in shown]


def _column(column: TableColumn) -> dict[str, Any]:
    fault = column.fault
    return {
        "header": column.header,
        "samples": list(column.samples),
        "name": column.name,
        "unit": column.unit,
        "positive": column.positive,
        "fault": None if fault is None else in_window(f"{fault.problem}; {fault.remedy}"),
    }


def keep_corrections(
    folder: Folder,
    name: str,
    *,
    strikes: Mapping[int, StrikeName],
    left_out: list[int],
    columns: Mapped | None,
    balls: Balls,
    seen: Mapping[str, str],
) -> dict[str, Any]:
    """Write the table as corrected, and what its columns are, beside the table, for `holesim measure`.

    Parameters
    ----------
    seen
        SHA-256 of the files that may be replaced, by name.

    Returns
    -------
    dict
        ``table`` and ``columns``, the names to give to the command, and ``seen`` as it is now.

    Raises
    ------
    ChangedError
        If other files of these names are there.
    InputError
        If the corrections make no sense, or nothing can be written.
    """
    stem, now = name.removesuffix(Path(name).suffix), dict(seen)
    table, kept = name, None

    def write(file: str, text: str) -> None:
        raw = text.encode("utf-8")
        try:
            if folder.read(file)[0] == raw:  # as it should be
                now[file] = folder.read(file)[1]
                return
        except MissingError:
            now.pop(file, None)
        now[file] = folder.write(file, raw, now.get(file))

    with window_faults():
        folder.check_there(name)
        with _column_file(columns) as told:
            text = correct_table(folder.path(name), strikes=strikes, left_out=left_out, columns=told)
        if strikes or left_out:
            table = f"{stem}-corrected.csv"
            write(table, text)
        if columns is not None:
            if strikes and "strike" not in columns:
                held = look_at_columns(folder.path(table)).find("strike")
                columns = {**columns, **({} if held is None else {"strike": MappedColumn(held.header)})}
            with _column_file(columns) as told:
                found = look_at_columns(folder.path(table), columns=told)
            kept = f"{stem}-columns.toml"
            write(kept, columns_text(found, table.rpartition("/")[2], balls))
    return {"table": table, "columns": kept, "seen": now}
