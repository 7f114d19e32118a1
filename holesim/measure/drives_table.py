"""Measured drives: a table off a launch monitor, whatever its headers and units, becomes columns in SI."""

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
from holesim.errors import InputError, printable, rather, read_input, suggest
from holesim.player.player import StrikeName
from holesim.units import DEGREE, MM, MPH, RPM, YARD

Floats = NDArray[np.float64]
Balls = Literal["course", "range"]

LARGEST: Final = 5_000_000  # bytes
FEWEST: Final = 5  # drives
_STRIKE: Final = "strike"

_UNITS: Final[Mapping[str, Mapping[str, float]]] = {
    "speed": {"mph": MPH, "km/h": 1 / 3.6, "m/s": 1.0},
    "angle": {"deg": DEGREE, "rad": 1.0},
    "length": {"yd": YARD, "m": 1.0, "ft": 0.3048},
    "offset": {"mm": MM, "cm": 0.01, "in": 0.0254},
    "spin": {"rpm": RPM},
}


@dataclass(frozen=True)
class _Column:
    """One of our columns: of what kind, and what a number in it may be in its own unit."""

    kind: str
    unit: str
    least: float
    most: float


_COLUMNS: Final = {
    "club_speed_mph": _Column("speed", "mph", 30, 160),
    "attack_deg": _Column("angle", "deg", -20, 20),
    "path_deg": _Column("angle", "deg", -30, 30),
    "face_deg": _Column("angle", "deg", -30, 30),
    "dynamic_loft_deg": _Column("angle", "deg", -5, 60),
    "toe_mm": _Column("offset", "mm", -60, 60),
    "high_mm": _Column("offset", "mm", -50, 50),
    "ball_speed_mph": _Column("speed", "mph", 20, 240),
    "launch_angle_deg": _Column("angle", "deg", -15, 60),
    "start_direction_deg": _Column("angle", "deg", -45, 45),
    "spin_rpm": _Column("spin", "rpm", 200, 12000),
    "axis_tilt_deg": _Column("angle", "deg", -80, 80),
    "carry_yd": _Column("length", "yd", 10, 450),
    "side_yd": _Column("length", "yd", -200, 200),
}
_LONG: Final = ("ball_speed", "spin", "carry")
"""What a range ball does otherwise than the golfer's own."""


@dataclass(frozen=True)
class Measured:
    """Measured drives; SI units and radians, right positive.

    Attributes
    ----------
    values
        Columns as `fit.NOISE` names them, NaN where nothing was measured.
    strikes
        What each drive was meant to be, or empty where the table does not say.
    lines
        Where each stands in the file.
    balls
        The golfer's own, or range balls, of which direction alone is taken.
    """

    values: Mapping[str, Floats]
    strikes: tuple[StrikeName, ...]
    lines: NDArray[np.int64]
    balls: Balls
    file: str

    def of(self, drives: NDArray[np.int64]) -> "Measured":
        """Return some of the drives, by their numbers."""
        values = {name: column[drives] for name, column in self.values.items()}
        strikes = tuple(self.strikes[drive] for drive in drives) if self.strikes else ()
        return replace(self, values=values, strikes=strikes, lines=self.lines[drives])


class _ColumnTable(Table):
    header: Annotated[str, Field(min_length=1, max_length=80)]
    unit: str | None = None
    positive: Literal["right", "left"] = "right"


class _Options(Table):
    balls: Balls | None = None
    columns: Annotated[dict[str, str | _ColumnTable], Field(default_factory=dict)]


def load_measured(
    path: str | Path, *, options: str | Path | None = None, balls: Balls | None = None
) -> Measured:
    """Read measured drives.

    Parameters
    ----------
    options
        A TOML file that says which headers stand for our columns, in which units, and which side is positive.
    balls
        Whether the balls were the golfer's own ("course") or range balls, if the options do not say.

    Raises
    ------
    InputError
        If a file cannot be read, or holds what makes no sense.
    """
    file = printable(Path(path).name)
    raw = read_input(path, largest=LARGEST)
    given = _Options(columns={}) if options is None else read_toml(options, _Options, "options")[0]
    balls = balls or given.balls
    if balls is None:
        raise InputError(
            file, "", "range balls or the golfer's own? Distances off a range ball say little",
            "add --balls range or --balls course",
        )  # fmt: skip
    columns = _mapped(given, printable(Path(options).name) if options else "")
    table = parsed(raw, file)
    found = {ours: column for ours, column in columns.items() if column.header in table.columns}
    for ours in given.columns:
        if ours not in found:
            header = columns[ours].header
            remedy = _known_headers(header, table)
            raise InputError(file, "line 1", f"has no column {header!r:.60}", remedy)
    lines = table.index.to_numpy(dtype=np.int64)
    values = {
        ours: _numbers(table[column.header], ours, column, lines, file)
        for ours, column in found.items()
        if ours != _STRIKE
    }
    if not values:
        raise InputError(
            file, "line 1", "has none of the columns that drives are measured by",
            f"name them {', '.join(list(_COLUMNS)[:3])} and so on, or map them in --options",
        )  # fmt: skip
    if len(table) < FEWEST:
        raise InputError(file, "", f"has {len(table)} drives", f"hit {FEWEST} at the least, better 20")
    strikes = _strike_names(table[found[_STRIKE].header], lines, file) if _STRIKE in found else ()
    return Measured(_trusted(values, balls, file), strikes, lines, balls, file)


def _mapped(given: _Options, file: str) -> dict[str, "_ColumnTable"]:
    """Return where each of our columns is to be found, if it is there."""
    columns = {ours: _ColumnTable(header=ours) for ours in (_STRIKE, *_COLUMNS)}
    for ours, told in given.columns.items():
        place = f"columns.{printable(ours)}"
        if ours not in columns:
            remedy = rather(ours, columns, f"they are {', '.join(columns)}")
            raise InputError(file, place, "is not one of our columns", remedy)
        column = _ColumnTable(header=told) if isinstance(told, str) else told
        if column.unit is not None and ours != _STRIKE and column.unit not in _UNITS[_COLUMNS[ours].kind]:
            known = ", ".join(_UNITS[_COLUMNS[ours].kind])
            raise InputError(file, f"{place}.unit", f"{column.unit!r:.30} is no unit of it", f"give {known}")
        columns[ours] = column
    return columns


def _known_headers(header: str, table: pd.DataFrame) -> str:
    meant = suggest(header, table.columns)
    if meant:
        return f"did you mean {meant!r:.60}?"
    return f"it has {', '.join(map(repr, list(table.columns)[:8]))}"


def _numbers(
    cells: "pd.Series[str]", ours: str, column: _ColumnTable, lines: NDArray[np.int64], file: str
) -> Floats:
    """Return a column in SI, right positive."""
    about = _COLUMNS[ours]
    unit = _UNITS[about.kind][column.unit or about.unit]
    own = _UNITS[about.kind][about.unit]
    sign = -1.0 if column.positive == "left" else 1.0
    values = np.empty(len(cells))
    for i, cell in enumerate(cells):
        value = number(cell, sign)
        if value is None:
            problem = f"{cell!r:.40} is not a number"
            raise InputError(
                file, f"line {lines[i]}, {column.header}", problem, "correct it or leave it empty"
            )
        size = value * unit / own
        if not np.isnan(value) and not about.least <= size <= about.most:
            problem = f"{size:g} {about.unit} is not from {about.least:g} to {about.most:g}"
            remedy = "correct it or leave it empty, or state its unit in --options"
            raise InputError(file, f"line {lines[i]}, {column.header}", problem, remedy)
        values[i] = size * own
    return values


def _strike_names(cells: "pd.Series[str]", lines: NDArray[np.int64], file: str) -> tuple[StrikeName, ...]:
    names: list[StrikeName] = []
    known = {name: name for name in get_args(StrikeName)}
    for line, cell in zip(lines, cells, strict=True):
        name = cell.lower()
        if name not in known:
            remedy = rather(name, known, "write up, level or down, or leave the column out")
            raise InputError(file, f"line {line}, strike", f"{cell!r:.40} is no strike", remedy)
        names.append(known[name])
    return tuple(names)


def _trusted(values: dict[str, Floats], balls: Balls, file: str) -> dict[str, Floats]:
    """Return what may be taken from the columns, by the names that `fit` knows."""
    named = {ours.rpartition("_")[0]: column for ours, column in values.items()}
    if "side" in named:
        if "carry" not in named:
            raise InputError(file, "side_yd", "is no use without carry_yd", "add that, or leave it out")
        named["offline"] = np.arcsin(np.clip(named.pop("side") / named["carry"], -1, 1))
    if balls == "range":
        named = {name: column for name, column in named.items() if name not in _LONG}
    if not any(np.isfinite(column).any() for column in named.values()):
        raise InputError(file, "", "says nothing of direction or of the club", "measure one of them, too")
    return named
