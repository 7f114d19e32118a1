"""Table columns: what each column of a table is taken for, its numbers, and what had to be assumed of it."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.errors import Guess, InputError, suggest
from holesim.measure.column_file import ColumnFile, MappedColumn
from holesim.measure.column_names import (
    LABELS,
    QUANTITIES,
    UNITS,
    Quantity,
    read_header,
    state_unit,
)
from holesim.measure.column_units import ChosenUnit, Sizes, choose_units, possible_units
from holesim.measure.table_cells import Cell, Mark, find_decimal_mark, is_nothing, read_cell
from holesim.measure.table_text import TextTable

Floats = NDArray[np.float64]

_SAMPLES: Final = 3
_MOST_NAMED: Final = 5
_OPPOSITE: Final = (
    -0.6
)  # correlation of two directions below which one may have the other sign: our assumption
_FEWEST_COMPARED: Final = 8  # drives
_SAME_WAY: Final = (("face", "start_direction"), ("start_direction", "side"))


@dataclass(frozen=True)
class TableColumn:
    """A column, and what it is taken for.

    Attributes
    ----------
    header
        As it stands in the table.
    cells
        A text for each drive.
    name
        Our name for what it holds; empty where it is not used.
    unit
        Its unit; empty for words, or where none makes sense.
    positive
        The end that is positive; empty where there is but one.
    numbers
        As written, in `unit` and with the first of the quantity's ends positive; NaN where nothing was
        measured.
    fault
        Why it cannot be used.
    """

    header: str
    cells: tuple[str, ...]
    name: str = ""
    unit: str = ""
    positive: str = ""
    numbers: Floats | None = None
    fault: InputError | None = None

    @property
    def samples(self) -> tuple[str, ...]:
        """Three values."""
        return tuple(cell for cell in self.cells if not is_nothing(cell))[:_SAMPLES]


@dataclass(frozen=True)
class TableColumns:
    """The columns of a table, in its order, and what was assumed of them."""

    columns: tuple[TableColumn, ...]
    guesses: tuple[Guess, ...]

    def find(self, name: str) -> TableColumn | None:
        """Return the column that holds something, by our name for it."""
        return next((column for column in self.columns if column.name == name), None)

    def to_mapping(self) -> dict[str, MappedColumn]:
        """Return what a column file says of the columns that are used, in the order of our names."""
        order = (*LABELS, *QUANTITIES)
        used = sorted((c for c in self.columns if c.name), key=lambda column: order.index(column.name))
        return {column.name: MappedColumn(column.header, column.unit, column.positive) for column in used}


def find_columns(
    table: TextTable, file: str, given: ColumnFile | None, drives: Sequence[int]
) -> TableColumns:
    """Find what each column of a table is.

    Parameters
    ----------
    given
        What people say of the columns; if it is given, no other column is used.
    drives
        The rows that are drives, by their numbers from 0.

    Raises
    ------
    InputError
        If `given` names a column that the table lacks.
    """
    columns, guesses = _name_columns(table, file, given)
    used = [column for column in columns if column.name in QUANTITIES]
    mark = find_decimal_mark(column.cells[k] for column in used for k in drives)
    cells = {column.name: _read_cells(column, mark, table.lines, file, drives) for column in used}
    stated, said = {}, []
    for column in used:
        read = cells[column.name]
        if isinstance(read, InputError):
            stated[column.name] = replace(column, fault=read)
        else:
            stated[column.name], notes = _state(column, read, file)
            said += notes
    sizes = {
        name: Sizes(_typical(column.numbers, QUANTITIES[name]), column.unit)
        for name, column in stated.items()
        if column.fault is None and column.numbers is not None and np.isfinite(column.numbers).any()
    }
    chosen = choose_units(sizes)
    for name, choice in chosen.items():
        column = stated[name]
        fault = None if choice.unit else _fault_of_size(column, sizes[name].typical, choice, file)
        stated[name] = _in_unit(replace(column, fault=fault), choice.unit)
    said += _say_units(stated, chosen, sizes)
    said += _say_sides(stated, cells, given)
    said += _say_opposites(stated)
    found = tuple(stated.get(column.name, column) for column in columns)
    return TableColumns(found, (*guesses, *said))


def _name_columns(
    table: TextTable, file: str, given: ColumnFile | None
) -> tuple[list[TableColumn], list[Guess]]:
    """Return the columns with their names, and which of two of the same name is not used."""
    names = [""] * len(table.headers)
    guesses = []
    if given is None:
        taken: dict[str, int] = {}
        meanings = [read_header(header) for header in table.headers]
        # Of two columns with the same meaning, the one whose numbers there are, then the one with a unit.
        order = sorted(
            range(len(meanings)),
            key=lambda k: (all(map(is_nothing, table.column(k))), not meanings[k].unit, k),
        )
        for k in order:
            name = meanings[k].name
            if name and name in taken:
                same = f"holds the same as {table.headers[taken[name]]!r:.40}"
                guesses.append(Guess(table.headers[k], same, "not used"))
            elif name:
                taken[name] = k
                names[k] = name
    else:
        for name, column in given.columns.items():
            place = _find_header(column.header, table, name, given.file, file)
            if names[place]:
                raise InputError(
                    given.file, f"columns.{name}", f"is {column.header!r:.60}, as columns.{names[place]} is",
                    "leave one of them out",
                )  # fmt: skip
            names[place] = name
            if table.headers.count(column.header) > 1:
                guesses.append(Guess(column.header, "stands over two columns", "the first is used"))
    columns = [
        TableColumn(header, table.column(k), names[k], *_unit_and_end(table, k, names[k], given))
        for k, header in enumerate(table.headers)
    ]
    return columns, guesses


def _find_header(header: str, table: TextTable, name: str, mapping: str, file: str) -> int:
    """Return which column of a table has a header."""
    if header in table.headers:
        return table.headers.index(header)
    folded = [" ".join(other.lower().split()) for other in table.headers]
    wanted = " ".join(header.lower().split())
    if wanted in folded:
        return folded.index(wanted)
    bare = [re.sub(r"\s*[(\[].*", "", other) for other in folded]
    meant = suggest(wanted, folded)
    if not meant and (close := suggest(re.sub(r"\s*[(\[].*", "", wanted), bare)):
        meant = folded[bare.index(close)]
    if meant:
        remedy = f"did you mean {table.headers[folded.index(meant)]!r:.60}?"
    else:
        remedy = f"it has {', '.join(map(repr, [h for h in table.headers if h][:8]))}"
    raise InputError(mapping, f"columns.{name}", f"{file} has no column {header!r:.60}", remedy)


def _unit_and_end(table: TextTable, place: int, name: str, given: ColumnFile | None) -> tuple[str, str]:
    """Return the unit and the positive end that are stated for a column."""
    if name not in QUANTITIES:
        return "", ""
    said = read_header(table.headers[place])
    told = MappedColumn("") if given is None else given.columns[name]
    ends = QUANTITIES[name].ends
    end = told.positive or (said.positive if said.positive in ends else "")
    return told.unit or said.unit or table.units[place], end


def _read_cells(
    column: TableColumn, mark: Mark, lines: Sequence[int], file: str, drives: Sequence[int]
) -> list[Cell] | InputError:
    """Return a cell for each row, empty in rows that are no drives; or what is wrong with the first."""
    cells = [Cell(np.nan)] * len(column.cells)
    ends = QUANTITIES[column.name].ends
    for k in drives:
        read = read_cell(column.cells[k], mark, ends)
        if read is None:
            problem = f"{column.cells[k]!r:.40} is not a number"
            place = f"line {lines[k]}, {column.header}"
            return InputError(file, place, problem, "correct it or leave it empty")
        units = UNITS[QUANTITIES[column.name].kind]
        if read.unit and read.unit not in units:
            problem = f"{column.cells[k]!r:.40} is in {read.unit}"
            place = f"line {lines[k]}, {column.header}"
            return InputError(file, place, problem, f"its unit can be {', '.join(units)}")
        cells[k] = read
    return cells


def _state(column: TableColumn, cells: Sequence[Cell], file: str) -> tuple[TableColumn, list[Guess]]:
    """Return a column with its numbers, and its unit as far as it is stated."""
    quantity = QUANTITIES[column.name]
    units = UNITS[quantity.kind]
    beside = Counter(cell.unit for cell in cells if cell.unit)
    if column.unit and column.unit not in units:
        return replace(column, fault=_fault_of_unit(column, file)), []
    other = next((unit for unit in beside if column.unit and unit != column.unit), "")
    if other:
        problem = f"is stated to be in {column.unit}, and {beside[other]} of its numbers in {other}"
        return replace(
            column, fault=InputError(file, column.header, problem, "correct the one or the other")
        ), []
    unit = column.unit or (beside.most_common(1)[0][0] if beside else "")
    positive = column.positive or (quantity.ends[0] if quantity.ends else "")
    sign = -1.0 if quantity.ends and positive == quantity.ends[1] else 1.0
    numbers = np.empty(len(cells))
    for k, cell in enumerate(cells):
        size = cell.value if cell.unit in ("", unit) else cell.value * units[cell.unit] / units[unit]
        if cell.end:
            numbers[k] = abs(size) if cell.end == quantity.ends[0] else -abs(size)
        else:
            numbers[k] = sign * size
    known = [cell for cell in column.cells if not is_nothing(cell)]
    notes = []
    if quantity.kind == "spin" and known and all(re.fullmatch(r"-?\d{1,2}[.,]\d{3}", cell) for cell in known):
        typical = _typical(numbers, quantity)
        if not possible_units(column.name, typical) and possible_units(column.name, 1000 * typical):
            numbers = 1000 * numbers
            notes = [
                Guess(column.header, f"{known[0]} is taken as thousands, for a spin rate", "write no point")
            ]
    return replace(column, unit=unit, positive=positive, numbers=numbers), notes


def _typical(numbers: Floats | None, quantity: Quantity) -> float:
    """Return the median; of a quantity with a direction, the size that nine in ten do not exceed."""
    known = np.empty(0) if numbers is None else numbers[np.isfinite(numbers)]
    if not len(known):
        return 0.0
    return float(np.quantile(np.abs(known), 0.9) if quantity.ends else np.median(known))


def _in_unit(column: TableColumn, unit: str) -> TableColumn:
    return replace(column, unit=unit)


def _fault_of_unit(column: TableColumn, file: str) -> InputError:
    units = UNITS[QUANTITIES[column.name].kind]
    problem = f"{column.unit} is not a unit of {column.name.replace('_', ' ')}"
    return InputError(file, column.header, problem, f"it can be {', '.join(units)}: correct the header")


def _fault_of_size(column: TableColumn, typical: float, choice: ChosenUnit, file: str) -> InputError:
    units = ", ".join(UNITS[QUANTITIES[column.name].kind])
    problem = f"{_figure(typical)} is not a golfer's in {units}; {choice.nearest} comes closest"
    return InputError(file, column.header, problem, "correct the column, or leave it out with --columns")


def _say_units(
    columns: Mapping[str, TableColumn], chosen: Mapping[str, ChosenUnit], sizes: Mapping[str, Sizes]
) -> list[Guess]:
    """Return what units were taken for columns that state none, a line for all of the same unit and reason.

    Nothing is said of a spin rate, which has one unit.
    """
    alike: dict[tuple[str, str], list[str]] = {}
    for name, choice in chosen.items():
        units = UNITS[QUANTITIES[name].kind]
        if choice.unit and len(units) > 1:
            # Degrees are what everyone has: that radians are impossible is no news.
            why = "usual" if choice.unit == "deg" else choice.why
            alike.setdefault((choice.unit, why), []).append(name)
    return [_say_unit(unit, why, names, columns, sizes) for (unit, why), names in alike.items()]


def _say_unit(
    unit: str,
    why: str,
    names: Sequence[str],
    columns: Mapping[str, TableColumn],
    sizes: Mapping[str, Sizes],
) -> Guess:
    """Return what is said of columns that were taken to be in a unit for one reason."""
    first = names[0]
    typical = sizes[first].typical
    possible = [other for other in possible_units(first, typical) if other != unit]
    others = [other for other in UNITS[QUANTITIES[first].kind] if other != unit]
    because = {
        "only": f", as {_figure(typical)} {others[0]} is not a golfer's",
        "ratio": ", which agrees with the other columns",
        "alike": ", as other columns are",
        "usual": f", as is usual; {_figure(typical)} {possible[0]} is possible, too" if possible else "",
    }[why]
    remedy = f"if it is not, write {columns[first].header} [{(possible or others)[0]}]"
    return Guess(
        _list_headers(columns[name].header for name in names),
        f"no unit stated, taken as {unit}{because}",
        remedy,
    )


def _figure(size: float) -> str:
    return f"{size:,.0f}" if size >= 1000 else f"{size:.3g}"


def _say_sides(
    columns: Mapping[str, TableColumn],
    cells: Mapping[str, list[Cell] | InputError],
    given: ColumnFile | None,
) -> list[Guess]:
    """Return which ends were taken as positive where neither header nor cells say."""
    unsaid: dict[str, list[str]] = {}
    for name, column in columns.items():
        read, ends = cells[name], QUANTITIES[name].ends
        if not ends or ends[0] == "up" or isinstance(read, InputError) or column.header == state_unit(name):
            continue
        told = "" if given is None else given.columns[name].positive
        if told or read_header(column.header).positive in ends:
            continue
        # A letter beside one number says it of all.
        if not any(cell.end for cell in read):
            unsaid.setdefault(ends[0], []).append(column.header)
    return [
        Guess(_list_headers(headers), f"{end} is taken as positive", "if it is not, use --columns")
        for end, headers in unsaid.items()
    ]


def _say_opposites(columns: Mapping[str, TableColumn]) -> list[Guess]:
    """Return which directions go opposite ways, so that the sign of one may be wrong."""
    guesses = []
    for one, other in _SAME_WAY:
        a = columns[one].numbers if one in columns else None
        b = columns[other].numbers if other in columns else None
        if a is None or b is None:
            continue
        both = np.isfinite(a) & np.isfinite(b)
        if both.sum() < _FEWEST_COMPARED or a[both].std() == 0 or b[both].std() == 0:
            continue
        if np.corrcoef(a[both], b[both])[0, 1] < _OPPOSITE:
            headers = f"{columns[one].header}, {columns[other].header}"
            remedy = "if left is positive in one of them, say so with --columns"
            guesses.append(Guess(headers, "go opposite ways", remedy))
    return guesses


def say_unknown(columns: Sequence[TableColumn]) -> list[Guess]:
    """Return which columns with numbers in them are not used, as nobody would miss them otherwise."""
    unknown = [
        column.header
        for column in columns
        if column.header and not column.name and not read_header(column.header).name
        if any(char.isdigit() for cell in column.samples for char in cell)
    ]
    remedy = "if one matters, name it with --columns"
    return [Guess(_list_headers(unknown), "not used", remedy)] if unknown else []


def _list_headers(headers: Iterable[str]) -> str:
    listed = list(headers)
    more = len(listed) - _MOST_NAMED
    return ", ".join(listed[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
