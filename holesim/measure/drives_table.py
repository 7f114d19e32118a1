"""The drives table: a table off a launch monitor, whatever its headers and units, read into SI columns."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Final, Literal, get_args

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pydantic import Field

from holesim.common.csv_tables import number, parsed
from holesim.common.toml_tables import Table, read_toml
from holesim.errors import Guess, InputError, printable, rather, read_input, suggest
from holesim.player.player import StrikeName
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Balls = Literal["course", "range"]

LARGEST: Final = 5_000_000  # bytes
FEWEST: Final = 5  # drives
_STRIKE: Final = "strike"
_MISREAD: Final = 0.25
"""The largest share of a column's numbers that may be misreadings: beyond its bounds and left out. Where more
are, the column is at fault, in its unit perhaps: our assumption."""

_UNITS: Final[Mapping[str, Mapping[str, float]]] = {
    "speed": {"mph": MPH, "km/h": 1 / 3.6, "m/s": 1.0},
    "angle": {"deg": DEGREE, "rad": 1.0},
    "length": {"yd": YARD, "m": 1.0, "ft": 0.3048},
    "offset": {"mm": MM, "cm": 0.01, "in": 0.0254},
    "spin": {"rpm": RPM},
}


@dataclass(frozen=True)
class _Quantity:
    """What a column holds: its kind and unit, and the least and the most that a launch monitor gives."""

    kind: str
    unit: str
    least: float
    most: float


_QUANTITIES: Final = {
    "club_speed_mph": _Quantity("speed", "mph", 30, 160),
    "attack_deg": _Quantity("angle", "deg", -20, 20),
    "path_deg": _Quantity("angle", "deg", -30, 30),
    "face_deg": _Quantity("angle", "deg", -30, 30),
    "dynamic_loft_deg": _Quantity("angle", "deg", -5, 60),
    "toe_mm": _Quantity("offset", "mm", -60, 60),
    "high_mm": _Quantity("offset", "mm", -50, 50),
    "ball_speed_mph": _Quantity("speed", "mph", 20, 240),
    "launch_angle_deg": _Quantity("angle", "deg", -15, 60),
    "start_direction_deg": _Quantity("angle", "deg", -45, 45),
    "spin_rpm": _Quantity("spin", "rpm", 200, 12000),
    "axis_tilt_deg": _Quantity("angle", "deg", -80, 80),
    "carry_yd": _Quantity("length", "yd", 10, 450),
    "side_yd": _Quantity("length", "yd", -200, 200),
}
_NOT_OF_RANGE_BALLS: Final = ("ball_speed", "spin", "carry")


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
        The line of each drive in the file, shape (drives,).
    balls
        The golfer's own ("course") or range balls, of which only the direction is used.
    file
        The file's name.
    guesses
        What was left out of the table.
    """

    values: Mapping[str, Floats]
    strikes: tuple[StrikeName, ...]
    lines: Integers
    balls: Balls
    file: str
    guesses: tuple[Guess, ...] = ()

    def select(self, drives: Integers) -> "DrivesTable":
        """Return some of the drives, by their numbers from 0."""
        values = {name: column[drives] for name, column in self.values.items()}
        strikes = tuple(self.strikes[drive] for drive in drives) if self.strikes else ()
        return replace(self, values=values, strikes=strikes, lines=self.lines[drives])


class _Column(Table):
    """Where one of our columns is found in a table: its header, its unit, and which side is positive."""

    header: Annotated[str, Field(min_length=1, max_length=80)]
    unit: str | None = None
    positive: Literal["right", "left"] = "right"


class _Options(Table):
    balls: Balls | None = None
    columns: Annotated[dict[str, str | _Column], Field(default_factory=dict)]


def load_drives(
    path: str | Path, *, options: str | Path | None = None, balls: Balls | None = None
) -> DrivesTable:
    """Read measured drives.

    A number beyond what a launch monitor gives is left out, and noted in `DrivesTable.guesses`.

    Parameters
    ----------
    path
        The table (CSV), a row for each drive.
    options
        A TOML file that says which headers stand for our columns, in which units, and which side is positive.
    balls
        The golfer's own ("course") or range balls, if the options do not say.

    Raises
    ------
    InputError
        If a file cannot be read, a cell is not a number, or more than a quarter of a column is beyond
        what a launch monitor gives.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> table = load_drives(find("range/demo.csv"), balls="range")
    >>> len(table.lines), sorted(set(table.strikes))
    (40, ['down', 'up'])
    >>> table.values["club_speed"][:2].round(1).tolist()  # m/s
    [47.1, 47.3]
    """
    file = printable(Path(path).name)
    raw = read_input(path, largest=LARGEST)
    given = _Options(columns={}) if options is None else read_toml(options, _Options, "options")[0]
    balls = balls or given.balls
    if balls is None:
        raise InputError(
            file, "", "does not say whether these were range balls, whose distances say little",
            "add --balls range or --balls course",
        )  # fmt: skip
    columns = _find_columns(given, printable(Path(options).name) if options else "")
    table = parsed(raw, file)
    found = {ours: column for ours, column in columns.items() if column.header in table.columns}
    for ours in given.columns:
        if ours not in found:
            header = columns[ours].header
            remedy = _suggest_header(header, table)
            raise InputError(file, "line 1", f"has no column {header!r:.60}", remedy)
    lines = table.index.to_numpy(dtype=np.int64)
    values, guesses = {}, []
    for ours, column in found.items():
        if ours != _STRIKE:
            values[ours], left_out = _read_numbers(table[column.header], ours, column, lines, file)
            guesses += left_out
    if not values:
        raise InputError(
            file, "line 1", "has no column of measured numbers that is known",
            f"name them {', '.join(list(_QUANTITIES)[:3])} and so on, or map them in --options",
        )  # fmt: skip
    if len(table) < FEWEST:
        raise InputError(file, "", f"has {len(table)} drives", f"hit at least {FEWEST}, better 20")
    strikes = _read_strikes(table[found[_STRIKE].header], lines, file) if _STRIKE in found else ()
    return DrivesTable(_choose_columns(values, balls, file), strikes, lines, balls, file, tuple(guesses))


def _find_columns(given: _Options, file: str) -> dict[str, _Column]:
    """Return where each of our columns would be found."""
    columns = {ours: _Column(header=ours) for ours in (_STRIKE, *_QUANTITIES)}
    for ours, told in given.columns.items():
        place = f"columns.{printable(ours)}"
        if ours not in columns:
            remedy = rather(ours, columns, f"they are {', '.join(columns)}")
            raise InputError(file, place, "is not one of our columns", remedy)
        column = _Column(header=told) if isinstance(told, str) else told
        if column.unit is not None and ours != _STRIKE:
            units = _UNITS[_QUANTITIES[ours].kind]
            if column.unit not in units:
                problem = f"{column.unit!r:.30} is not a unit of it"
                raise InputError(file, f"{place}.unit", problem, f"give {', '.join(units)}")
        columns[ours] = column
    return columns


def _suggest_header(header: str, table: pd.DataFrame) -> str:
    meant = suggest(header, table.columns)
    if meant:
        return f"did you mean {meant!r:.60}?"
    return f"it has {', '.join(map(repr, list(table.columns)[:8]))}"


def _read_numbers(
    cells: "pd.Series[str]", ours: str, column: _Column, lines: Integers, file: str
) -> tuple[Floats, list[Guess]]:
    """Return a column in SI, right positive, and the numbers left out of it."""
    quantity = _QUANTITIES[ours]
    unit = _UNITS[quantity.kind][column.unit or quantity.unit]
    own = _UNITS[quantity.kind][quantity.unit]
    sign = -1.0 if column.positive == "left" else 1.0
    sizes = np.empty(len(cells))
    for i, cell in enumerate(cells):
        value = number(cell, sign)
        if value is None:
            problem = f"{cell!r:.40} is not a number"
            raise InputError(
                file, f"line {lines[i]}, {column.header}", problem, "correct it or leave it empty"
            )
        sizes[i] = value * unit / own
    beyond = (sizes < quantity.least) | (sizes > quantity.most)
    wild, known = int(beyond.sum()), int(np.isfinite(sizes).sum())
    if wild > max(_MISREAD * known, 1):
        first = int(beyond.argmax())
        span = f"{quantity.least:g} to {quantity.most:g} {quantity.unit}"
        problem = f"{wild} of {known} numbers are not within {span}: {sizes[first]:g} in line {lines[first]}"
        remedy = "correct the column, leave it out, or state its unit in --options"
        raise InputError(file, column.header, problem, remedy)
    left_out = [
        Guess(
            f"line {lines[i]}",
            f"{column.header} {cells.iloc[i]:.20} is beyond what a launch monitor gives",
            "left out",
        )
        for i in np.flatnonzero(beyond)
    ]
    return np.where(beyond, np.nan, sizes * own), left_out


def _read_strikes(cells: "pd.Series[str]", lines: Integers, file: str) -> tuple[StrikeName, ...]:
    names: list[StrikeName] = []
    known = {name: name for name in get_args(StrikeName)}
    for line, cell in zip(lines, cells, strict=True):
        name = cell.lower()
        if name not in known:
            remedy = rather(name, known, "write up, level or down, or leave the column out")
            raise InputError(file, f"line {line}, strike", f"{cell!r:.40} is not a strike", remedy)
        names.append(known[name])
    return tuple(names)


def _choose_columns(values: dict[str, Floats], balls: Balls, file: str) -> dict[str, Floats]:
    """Return the columns that a fit may use, by the names that `fit` has for them."""
    named = {ours.rpartition("_")[0]: column for ours, column in values.items()}
    if "side" in named:
        if "carry" not in named:
            problem, remedy = "is of no use without carry_yd", "add carry_yd, or leave side_yd out"
            raise InputError(file, "side_yd", problem, remedy)
        named["offline"] = np.arcsin(np.clip(named.pop("side") / named["carry"], -1, 1))
    if balls == "range":
        named = {name: column for name, column in named.items() if name not in _NOT_OF_RANGE_BALLS}
    if not any(np.isfinite(column).any() for column in named.values()):
        raise InputError(file, "", "has no direction and nothing of the club", "measure one of them, too")
    return named
