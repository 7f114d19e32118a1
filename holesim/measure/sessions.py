"""Sessions: several tables as one, and which of their drives were hit on which day."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from holesim.errors import Guess, InputError, is_there
from holesim.measure.column_file import Balls
from holesim.measure.drives_table import DrivesTable, Session, load_drives
from holesim.measure.session_dates import (
    WrittenDate,
    find_date,
    is_day_first,
    read_date,
    read_iso_date,
    say_date,
)
from holesim.measure.table_cells import is_nothing

Integers = NDArray[np.int64]

_ASK = "add --day-first or --month-first"
_FEWEST_ALIKE = 3  # columns in which two drives must agree to be one: our assumption


def load_tables(
    paths: Sequence[str | Path], *, columns: str | Path | None = None, balls: Balls | None = None
) -> list[DrivesTable]:
    """Read tables of measured drives as `load_drives` does, each by itself.

    Raises
    ------
    InputError
        As `load_drives` does, or if one is given twice.
    """
    check_once(paths)
    return [load_drives(path, columns=columns, balls=balls) for path in paths]


def check_once(paths: Sequence[str | Path]) -> None:
    """Make sure that no file is given twice.

    Raises
    ------
    InputError
        If one is.
    """
    for k, path in enumerate(paths):
        if any(_is_same(Path(path), Path(other)) for other in paths[:k]):
            raise InputError(str(path), "", "is given twice", "leave one out")


def _is_same(path: Path, other: Path) -> bool:
    return is_there(path) and is_there(other) and path.samefile(other)


def join_tables(
    tables: Sequence[DrivesTable], *, dates: Sequence[str] = (), day_first: bool | None = None
) -> DrivesTable:
    """Return the drives of some tables as one table, with the session of each.

    A drive's date is the one in its row, else in the name of its file, else the one given for its table.
    Drives of one day are one session. Where no table has a date, each is a session, in the order given. What
    had to be assumed is in `guesses`, without what each table has of them.

    Parameters
    ----------
    tables
        One golfer's tables, as `load_drives` reads them.
    dates
        The ISO date of each table, in the order of the tables; none where the tables say.
    day_first
        Whether dates such as 12/05/2026 have the day first; None if nobody has said so.

    Raises
    ------
    InputError
        If some tables have a date and others none, a date has two meanings, tables are of different golfers,
        or only some of them name the strikes.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> table = load_drives(find("range/demo.csv"), balls="range")
    >>> joined = join_tables([table], dates=["2026-05-12"])
    >>> [session.name for session in joined.sessions]
    ['2026-05-12']
    """
    if dates and len(dates) != len(tables):
        problem = f"{len(dates)} for {len(tables)} table{'s' if len(tables) > 1 else ''}"
        raise InputError("--date", "", problem, "give one for each table, in their order")
    _check_alike(tables)
    given: list[date | None] = [read_iso_date(text, "--date") for text in dates]
    given = given or [None] * len(tables)
    written, guesses = _read_dates(tables)
    day_first, said = _find_order(tables, written, day_first=day_first)
    guesses += said
    kept: list[DrivesTable] = []
    days: list[date | None] = []
    for table, cells, told in zip(tables, written, given, strict=True):
        own, places, said = _date_drives(table, cells, told, day_first=day_first)
        kept.append(table.select(places))
        days += own
        guesses += said
    joined = replace(_stack(kept), guesses=())
    undated = [joined.files[k] for k in np.unique(joined.file_of[np.array([day is None for day in days])])]
    if undated and len(undated) < len(tables):
        dated = next(file for file in joined.files if file not in undated)
        remedy = "add --date for each table, or put 2026-05-12 into the file's name"
        raise InputError(undated[0], "", f"has no date, and {dated} has one", remedy)
    if undated:
        guesses += _say_undated(tables)
        names = joined.files if len(set(joined.files)) == len(joined.files) else _numbered(len(joined.files))
        joined = replace(
            joined, sessions=tuple(map(Session, names)), session_of=joined.file_of, guesses=tuple(guesses)
        )
    else:
        order = sorted({day for day in days if day is not None})
        sessions = tuple(Session(day.isoformat(), day) for day in order)
        session_of = np.array([order.index(day) for day in days if day is not None], dtype=np.int64)
        joined = replace(joined, sessions=sessions, session_of=session_of, guesses=tuple(guesses))
    return _without_repeats(joined)


def _numbered(count: int) -> tuple[str, ...]:
    return tuple(f"table {k}" for k in range(1, count + 1))


def _say_undated(tables: Sequence[DrivesTable]) -> list[Guess]:
    if len(tables) == 1:
        return []
    taken = "no dates, so each table is a session, in the order given"
    return [Guess("", taken, "if that is wrong, add --date 2026-05-12 for each table")]


def _check_alike(tables: Sequence[DrivesTable]) -> None:
    """Raise an error where tables do not go together."""
    first = tables[0]
    for table in tables[1:]:
        if table.golfer and first.golfer and table.golfer.lower() != first.golfer.lower():
            problem = f"is of {table.golfer:.40}, and {first.file} of {first.golfer:.40}"
            raise InputError(table.file, "", problem, "give the tables of one golfer")
        if bool(table.strikes) != bool(first.strikes):
            named, other = (table, first) if table.strikes else (first, table)
            remedy = "name them in both, or leave the column out with --columns"
            raise InputError(other.file, "", f"does not name the strikes, as {named.file} does", remedy)


def _read_dates(
    tables: Sequence[DrivesTable],
) -> tuple[list[list[WrittenDate | None]], list[Guess]]:
    """Return the date in each row of each table, and which date columns hold no dates."""
    written, guesses = [], []
    for table in tables:
        found = [None if is_nothing(cell) else read_date(cell) for cell in table.dates]
        wrong = [k for k, cell in enumerate(table.dates) if not is_nothing(cell) and found[k] is None]
        if wrong and any(found):
            place, cell = f"line {table.lines[wrong[0]]}", table.dates[wrong[0]]
            raise InputError(table.file, place, f"{cell!r:.40} is not a date", "write it as 2026-05-12")
        if wrong:
            place = f"{table.file}, {table.dates[wrong[0]]!r:.40}"
            guesses.append(Guess(place, "is not a date", "the column is not used"))
        written.append(found if any(found) else [])
    return written, guesses


def _find_order(
    tables: Sequence[DrivesTable], written: Sequence[Sequence[WrittenDate | None]], *, day_first: bool | None
) -> tuple[bool | None, list[Guess]]:
    """Return whether the day stands first in dates; None if nothing tells, or if it makes no difference."""
    known = [one for cells in written for one in cells if one is not None]
    told = is_day_first(known, " and ".join(table.file for table in tables))
    both = next((w for w in known if w.day_first and w.month_first and w.day_first != w.month_first), None)
    if day_first is not None or both is None or both.day_first is None or both.month_first is None:
        return told if day_first is None else day_first, []
    if told is not None:
        day = both.day_first if told else both.month_first
        return told, [Guess(both.text, f"is taken as {say_date(day)}", f"if it is not, {_ASK}")]
    meanings = f"{say_date(both.day_first)} or {say_date(both.month_first)}"
    if len(tables) == 1 and len({re.split("[T ]", one.text)[0] for one in known}) == 1:
        taken = f"may be {meanings}; all drives have it, so they are one session"
        return None, [Guess(both.text, taken, _ASK)]
    file = next(table.file for table, cells in zip(tables, written, strict=True) if both in cells)
    raise InputError(file, both.text, f"may be {meanings}", _ASK)


def _date_drives(
    table: DrivesTable, written: Sequence[WrittenDate | None], told: date | None, *, day_first: bool | None
) -> tuple[list[date | None], Integers, list[Guess]]:
    """Return the date of each drive that is kept, which these are, and what is said of the others."""
    everything = np.arange(len(table.lines))
    own: list[date | None] = []
    for k, one in enumerate(written):
        day = None if one is None else one.month_first if day_first is False else one.day_first
        if one is not None and day is None:
            which = "day" if day_first else "month"
            problem = f"{one.text:.30} is no date with the {which} first"
            raise InputError(table.file, f"line {table.lines[k]}", problem, "write it as 2026-05-12")
        own.append(day)
    if day_first is None and any(one is not None and one.day_first != one.month_first for one in written):
        own = []  # nobody knows
    days = {day for day in own if day is not None}
    by_name = find_date(table.file)
    if not days and by_name is not None:
        days = {by_name}
    if told is not None and days and days != {told}:
        listed = " and ".join(say_date(day) for day in sorted(days)[:2])
        raise InputError("--date", "", f"{told} is not what {table.file} says: {listed}", "correct one")
    if len(days) > 1:
        places = np.array([k for k, day in enumerate(own) if day is not None], dtype=np.int64)
        blank = len(own) - len(places)
        said = [Guess(table.file, f"drives without a date: {blank}", "left out")] if blank else []
        return [own[k] for k in places.tolist()], places, said
    day = next(iter(days), told)
    return [day] * len(everything), everything, []


def _stack(tables: Sequence[DrivesTable]) -> DrivesTable:
    """Return the drives of some tables below one another; a column that one lacks is NaN there."""
    names = dict.fromkeys(name for table in tables for name in table.values)
    counts = [len(table.lines) for table in tables]
    blank = [np.full(count, np.nan) for count in counts]
    place = np.repeat(np.arange(len(tables)), counts)
    return replace(
        tables[0],
        values={
            name: np.concatenate([t.values.get(name, b) for t, b in zip(tables, blank, strict=True)])
            for name in names
        },
        strikes=tuple(strike for table in tables for strike in table.strikes),
        lines=np.concatenate([table.lines for table in tables]),
        files=tuple(table.file for table in tables),
        file_of=place,
        session_of=place,
        dates=(),
        golfer=next((table.golfer for table in tables if table.golfer), ""),
    )


def _without_repeats(drives: DrivesTable) -> DrivesTable:
    """Return the drives without those that stand in an earlier table, too, number by number."""
    numbers = np.nan_to_num(np.array(list(drives.values.values())).T, nan=np.inf)
    first: dict[bytes, int] = {}
    again = []
    for k, row in enumerate(numbers):
        known = first.setdefault(row.tobytes(), k)
        if drives.file_of[known] != drives.file_of[k] and np.isfinite(row).sum() >= _FEWEST_ALIKE:
            again.append(k)
    if not again:
        return drives
    kept = np.setdiff1d(np.arange(len(numbers)), again)
    some = drives.files[drives.file_of[again[0]]]
    said = Guess(some, f"drives that stand in another table, too: {len(again)}", "counted once")
    found = drives.select(kept)
    used = np.unique(found.session_of)
    return replace(
        found,
        sessions=tuple(found.sessions[k] for k in used),
        session_of=np.searchsorted(used, found.session_of),
        guesses=(*found.guesses, said),
    )
