"""The drives table: a table off a launch monitor, whatever its headers and units, read into SI columns."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final, get_args

import numpy as np
from numpy.typing import NDArray

from holesim.errors import Guess, InputError, printable, rather, read_input
from holesim.measure.column_file import Balls, ColumnFile, read_column_file
from holesim.measure.column_names import QUANTITIES, UNITS, read_header
from holesim.measure.column_units import find_contradiction
from holesim.measure.table_cells import is_nothing
from holesim.measure.table_columns import TableColumn, TableColumns, find_columns, say_unknown
from holesim.measure.table_text import TextTable, read_text_table
from holesim.player.player import StrikeName

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

LARGEST: Final = 5_000_000  # bytes
FEWEST: Final = 5  # drives
_MISREAD: Final = 0.25
"""The largest share of a column's numbers that may be misreadings: beyond its bounds and left out. Where more
are, the column is at fault, in its unit perhaps: our assumption."""
_FEWEST_MEANS: Final = 3  # columns
_NOT_OF_RANGE_BALLS: Final = ("ball_speed", "spin", "carry")
_DRIVER: Final = re.compile(r".*\bdriver\b.*|1[- ]?w(ood)?|w1|dr|drv|d", re.IGNORECASE)
STRIKE_WORDS: Final[Mapping[str, StrikeName]] = {
    "up": "up", "u": "up", "hit up": "up", "upward": "up", "upwards": "up", "ascending": "up",
    "level": "level", "flat": "level", "hit level": "level",
    "down": "down", "d": "down", "hit down": "down", "downward": "down", "downwards": "down",
    "descending": "down",
}  # fmt: skip


@dataclass(frozen=True)
class Session:
    """A day on which drives were measured: its date, where it is known, and the name by which it goes."""

    name: str
    day: date | None = None


@dataclass(frozen=True)
class DrivesTable:
    """Measured drives, in SI units and radians, right positive.

    Attributes
    ----------
    values
        Columns by the names of `fit.NOISE`, shape (drives,); NaN where nothing was measured.
    strikes
        The strike that each drive was meant to be; empty where the table does not say.
    lines
        The line of each drive in its file, shape (drives,).
    balls
        The golfer's own ("course") or range balls, of which only the direction is used.
    files
        The names of the files.
    file_of
        The place in `files` of each drive's file, shape (drives,).
    sessions
        The sessions, the first one first.
    session_of
        The place in `sessions` of each drive's session, shape (drives,).
    dates
        The date beside each drive, as written; empty where the table has no such column.
    golfer
        Whose drives they are; empty where the table does not say.
    guesses
        What was assumed of the table, and what was left out of it.
    """

    values: Mapping[str, Floats]
    strikes: tuple[StrikeName, ...]
    lines: Integers
    balls: Balls
    files: tuple[str, ...]
    file_of: Integers
    sessions: tuple[Session, ...]
    session_of: Integers
    dates: tuple[str, ...] = ()
    golfer: str = ""
    guesses: tuple[Guess, ...] = ()

    @classmethod
    def of_one_session(
        cls,
        values: Mapping[str, Floats],
        strikes: tuple[StrikeName, ...],
        lines: Integers,
        balls: Balls,
        file: str,
    ) -> "DrivesTable":
        """Return the drives of one file, all of one session without a date."""
        alike = np.zeros(len(lines), dtype=np.int64)
        return cls(values, strikes, lines, balls, (file,), alike, (Session(file),), alike)

    @property
    def file(self) -> str:
        """The names of the files, as one text."""
        return " and ".join(self.files)

    def select(self, drives: Integers) -> "DrivesTable":
        """Return some of the drives, by their numbers from 0."""
        return replace(
            self,
            values={name: column[drives] for name, column in self.values.items()},
            strikes=tuple(self.strikes[drive] for drive in drives) if self.strikes else (),
            lines=self.lines[drives],
            file_of=self.file_of[drives],
            session_of=self.session_of[drives],
            dates=tuple(self.dates[drive] for drive in drives) if self.dates else (),
        )


def load_drives(
    path: str | Path, *, columns: str | Path | None = None, balls: Balls | None = None
) -> DrivesTable:
    """Read measured drives; all of a table are of one session until `join_tables` looks at their dates.

    What the table leaves open is taken as is likely, and noted in `DrivesTable.guesses`; so is a number
    beyond what a launch monitor gives, which is left out.

    Parameters
    ----------
    path
        The table (CSV, or separated by semicolons or tabs), a row for each drive.
    columns
        A column file, which says what each column holds, in which unit, and which side is positive.
    balls
        The golfer's own ("course") or range balls, if the column file does not say.

    Raises
    ------
    InputError
        If a file cannot be read, a cell is not a number, no unit makes a golfer of a column, or more than a
        quarter of a column is beyond what a launch monitor gives.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> table = load_drives(find("range/demo.csv"), balls="range")
    >>> len(table.lines), sorted(set(table.strikes))
    (40, ['down', 'up'])
    >>> table.values["club_speed"][:2].round(1).tolist()  # m/s
    [47.1, 47.3]
    """
    given = None if columns is None else read_column_file(columns)
    balls = balls or (given.balls if given else None)
    table, file = read_text(path, given)
    if balls is None:
        raise InputError(
            file, "", "does not say whether these were range balls, whose distances say little",
            "add --balls range or --balls course",
        )  # fmt: skip
    golfer = _find_golfer(table, file, given)
    drives, left_out = _find_drives(table, file, given)
    found = find_columns(table, file, given, drives)
    for column in found.columns:
        if column.fault is not None:
            raise column.fault
    unknown = say_unknown(found.columns) if given is None else []
    values, guesses = {}, [*table.left_out, *left_out, *found.guesses, *unknown]
    for name in QUANTITIES:
        held = found.find(name)
        if held is not None:
            values[name], wild = _convert(held, table.lines, file)
            guesses += wild
    if not values:
        raise InputError(
            file, "line 1", "has no column of measured numbers that is known",
            "name them Club Speed [mph], Attack [deg] and so on, or see holesim measure --show-columns",
        )  # fmt: skip
    measured = np.any([np.isfinite(c.numbers) for c in found.columns if c.numbers is not None], axis=0)
    if drives and _is_mean_of_others(found, drives):
        guesses += _say_left_out([drives.pop()], table.lines, "the average of the rows above")
    rows = [k for k in drives if measured[k]]
    empty = [k for k in drives if not measured[k]]
    guesses += _say_left_out(empty, table.lines, "nothing was measured")
    if len(rows) < FEWEST:
        raise InputError(file, "", f"has {len(rows)} drives", f"hit at least {FEWEST}, better 20")
    _check_units(values, found, file)
    strike = found.find("strike")
    strikes = () if strike is None else _read_strikes(strike.cells, rows, table.lines, file)
    chosen, notes = _choose_columns({name: column[rows] for name, column in values.items()}, balls, file)
    dated, lines = found.find("date"), np.array([table.lines[k] for k in rows], dtype=np.int64)
    return replace(
        DrivesTable.of_one_session(chosen, strikes, lines, balls, file),
        dates=() if dated is None else tuple(dated.cells[k] for k in rows),
        golfer=golfer,
        guesses=(*guesses, *notes),
    )


def look_at_columns(path: str | Path, *, columns: str | Path | None = None) -> TableColumns:
    """Return what each column of a table is taken for, and what was assumed.

    Raises
    ------
    InputError
        If a file cannot be read; a column that cannot be used has its fault in it.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> found = look_at_columns(find("range/demo.csv"))
    >>> [(column.name, column.unit) for column in found.columns[:3]]
    [('strike', ''), ('club_speed', 'mph'), ('attack', 'deg')]
    """
    given = None if columns is None else read_column_file(columns)
    table, file = read_text(path, given)
    _find_golfer(table, file, given)
    drives, _ = _find_drives(table, file, given)
    return find_columns(table, file, given, drives)


def read_text(path: str | Path, given: ColumnFile | None) -> tuple[TextTable, str]:
    """Return a table as texts, and the name of its file; raise an `InputError` if it is none."""
    file = printable(Path(path).name)
    raw = read_input(path, largest=LARGEST)
    named = {} if given is None else {column.header.lower(): name for name, column in given.columns.items()}

    def find_meaning(header: str) -> str:
        name = named.get(header.lower()) or read_header(header).name
        return "" if name == "date" else name  # a date may also stand above the table

    return read_text_table(raw, file, find_meaning), file


def _find_golfer(table: TextTable, file: str, given: ColumnFile | None) -> str:
    """Return whose drives a table holds, as it says; raise an error if they are of several golfers."""
    who = _find_words("player", table, given)
    names = {} if who is None else {cell.lower(): cell for cell in who if not is_nothing(cell)}
    if len(names) > 1:
        listed = ", ".join(list(names.values())[:3])
        raise InputError(file, "", f"holds drives of {len(names)} golfers ({listed:.80})", "keep one of them")
    return next(iter(names.values()), "")


def _find_drives(table: TextTable, file: str, given: ColumnFile | None) -> tuple[list[int], list[Guess]]:
    """Return the rows that are drives, and what is said of the others.

    Raises
    ------
    InputError
        If no row is a drive.
    """
    rows = list(range(len(table.rows)))
    guesses = []
    clubs = _find_words("club", table, given)
    if clubs is not None:
        known = {cell.lower(): cell for cell in clubs if not is_nothing(cell)}
        drivers = {club for club in known if _DRIVER.fullmatch(club)}
        others = [cell for club, cell in known.items() if club not in drivers]
        listed = ", ".join(others[:4])
        if others and not drivers:
            remedy = "keep the drives, and call the club driver"
            raise InputError(file, "", f"holds no drives: its club column says {listed:.80}", remedy)
        if others:
            left = [k for k in rows if clubs[k].lower() not in drivers]
            if any(is_nothing(clubs[k]) for k in left):
                listed += ", and none named"
            rows = [k for k in rows if k not in set(left)]
            guesses += _say_left_out(left, table.lines, f"of other clubs ({listed:.60})")
    strikes = _find_words("strike", table, given)
    if strikes is not None:
        left = [k for k in rows if is_nothing(strikes[k])]
        if len(left) < len(rows):
            rows = [k for k in rows if k not in set(left)]
            guesses += _say_left_out(left, table.lines, "the strike column does not say which strike it was")
    return rows, guesses


def _find_words(name: str, table: TextTable, given: ColumnFile | None) -> Sequence[str] | None:
    """Return the cells of a column of words."""
    for k, header in enumerate(table.headers):
        if given is None:
            is_it = read_header(header).name == name
        else:
            is_it = name in given.columns and given.columns[name].header.lower() == header.lower()
        if is_it:
            return table.column(k)
    return None


def _say_left_out(rows: Sequence[int], lines: Sequence[int], why: str) -> list[Guess]:
    """Return how many rows are left out, where they are, and why."""
    if not rows:
        return []
    some = ", ".join(str(lines[k]) for k in rows[:8]) + (" and more" if len(rows) > 8 else "")
    plural = "s" if len(rows) > 1 else ""
    return [Guess(f"line{plural} {some}", why, f"{len(rows)} row{plural} left out")]


def _is_mean_of_others(found: TableColumns, drives: Sequence[int]) -> bool:
    """Return whether the last row is, number by number, the mean of the others, as exports add it."""
    told = 0
    for numbers in (column.numbers for column in found.columns if column.numbers is not None):
        last, others = numbers[drives[-1]], numbers[drives[:-1]]
        others = others[np.isfinite(others)]
        if np.isfinite(last) and len(others) >= FEWEST:
            # An average has the decimals of its column: it is off by half of the last one at most.
            known = np.append(others, last)
            decimals = next((k for k in range(4) if np.allclose(known, known.round(k), 0, 1e-9)), 4)
            if abs(others.mean() - last) > 0.501 * 10.0**-decimals:
                return False
            told += 1
    return told >= _FEWEST_MEANS


def _convert(column: TableColumn, lines: Sequence[int], file: str) -> tuple[Floats, list[Guess]]:
    """Return a column in SI, right positive, and the numbers left out of it."""
    quantity = QUANTITIES[column.name]
    units = UNITS[quantity.kind]
    unit, own = units[column.unit or quantity.unit], units[quantity.unit]
    numbers = np.full(len(lines), np.nan) if column.numbers is None else column.numbers
    sizes = numbers * unit / own
    beyond = (sizes < quantity.least) | (sizes > quantity.most)
    wild, known = int(beyond.sum()), int(np.isfinite(sizes).sum())
    if wild > max(_MISREAD * known, 1):
        first = int(beyond.argmax())
        span = f"{quantity.least:g} to {quantity.most:g} {quantity.unit}"
        problem = (
            f"{wild} of {known} numbers are not within {span}: {sizes[first]:.4g} in line {lines[first]}"
        )
        remedy = "correct the column or its unit, or leave it out with --columns"
        raise InputError(file, column.header, problem, remedy)
    left_out = [
        Guess(
            f"line {lines[i]}",
            f"{column.header} {column.cells[i]:.20} is beyond what a launch monitor gives",
            "left out",
        )
        for i in np.flatnonzero(beyond).tolist()
    ]
    return np.where(beyond, np.nan, sizes * own), left_out


def _check_units(values: Mapping[str, Floats], found: TableColumns, file: str) -> None:
    """Raise an error where two columns cannot both have the unit that they state."""
    typical = {
        name: float(np.nanmedian(column)) for name, column in values.items() if np.isfinite(column).any()
    }
    wrong = find_contradiction(typical)
    if wrong is None:
        return
    (above, below, ratio, (low, high)) = wrong
    one, other = found.find(above), found.find(below)
    if one is None or other is None:
        return
    fitting = [
        f"{column.header} in {unit}"
        for column, power in ((one, 1), (other, -1))
        for unit, size in UNITS[QUANTITIES[column.name].kind].items()
        if low <= ratio * (size / UNITS[QUANTITIES[column.name].kind][column.unit]) ** power <= high
    ]
    problem = f"cannot be in {one.unit} while {other.header} is in {other.unit}"
    if fitting:
        problem += f": {' or '.join(fitting)} would fit"
    remedy = "correct the unit of one, in its header or with --columns"
    raise InputError(file, one.header, problem, remedy)


def _read_strikes(
    cells: Sequence[str], rows: Sequence[int], lines: Sequence[int], file: str
) -> tuple[StrikeName, ...]:
    if all(is_nothing(cells[k]) for k in rows):
        return ()
    names: list[StrikeName] = []
    for k in rows:
        name = STRIKE_WORDS.get(" ".join(cells[k].lower().split()))
        if name is None:
            remedy = rather(
                cells[k].lower(), get_args(StrikeName), "write up, level or down, or leave the column out"
            )
            raise InputError(file, f"line {lines[k]}, strike", f"{cells[k]!r:.40} is not a strike", remedy)
        names.append(name)
    return tuple(names)


def _choose_columns(
    values: dict[str, Floats], balls: Balls, file: str
) -> tuple[dict[str, Floats], list[Guess]]:
    """Return the columns that a fit may use, by the names that `fit` has for them."""
    named, notes = dict(values), []
    from_path = named.pop("face_to_path", None)
    if from_path is not None and "path" in named and "face" not in named:
        named["face"] = named["path"] + from_path
    elif from_path is not None and "face" in named and "path" not in named:
        named["path"] = named["face"] - from_path
    back, across = named.pop("backspin", None), named.pop("sidespin", None)
    if back is not None and "spin" not in named:
        if across is None:
            notes.append(
                Guess("backspin", "is taken for the spin rate", "add the total spin if there is one")
            )
        named["spin"] = back if across is None else np.hypot(back, across)
    if back is not None and across is not None and "axis_tilt" not in named:
        named["axis_tilt"] = np.arctan2(across, back)
    if "side" in named:
        side = named.pop("side")
        if "carry" in named:
            named["offline"] = np.arcsin(np.clip(side / named["carry"], -1, 1))
        else:
            notes.append(Guess("side", "says no direction without a carry", "not used; add carry"))
    if balls == "range":
        named = {name: column for name, column in named.items() if name not in _NOT_OF_RANGE_BALLS}
    if not any(np.isfinite(column).any() for column in named.values()):
        raise InputError(file, "", "has no direction and nothing of the club", "measure one of them, too")
    return named, notes
