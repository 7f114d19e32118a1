"""The column file: what each column of a table stands for, as TOML that people correct and give back."""

import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal, get_args

from holesim.common.toml_tables import LARGEST
from holesim.errors import InputError, printable, read_input, suggest
from holesim.measure.column_names import LABELS, QUANTITIES, UNITS, read_unit

Balls = Literal["course", "range"]

_ALLOWED: Final = ("header", "unit", "positive")
_EXAMPLE: Final = '{ header = "Carry", unit = "m" }'
_EMPTY: Final = '""'
_NAMES: Final = (*LABELS, *QUANTITIES)


@dataclass(frozen=True)
class MappedColumn:
    """What people say of a column.

    Attributes
    ----------
    header
        The header in the table.
    unit
        Its unit; empty where that is left to the table.
    positive
        The end that is positive; empty where that is left to the table.
    """

    header: str
    unit: str = ""
    positive: str = ""


@dataclass(frozen=True)
class ColumnFile:
    """A column file: the columns that are used, by our names, and whose balls they were."""

    file: str
    columns: Mapping[str, MappedColumn]
    balls: Balls | None


def read_column_file(path: str | Path) -> ColumnFile:
    """Read a column file.

    Raises
    ------
    InputError
        If it cannot be read, or something in it makes no sense: one line on the first fault.
    """
    file = printable(Path(path).name)
    raw = read_input(path, largest=LARGEST)
    try:
        content = tomllib.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputError(file, "", "is not UTF-8 text", "save it as UTF-8") from None
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        found = re.search(r"(.*?) \(at (.*)\)", str(error))
        problem, place = (found[1], found[2]) if found else ("its numbers or brackets", "")
        raise InputError(
            file, place, f"is not TOML ({problem[:1].lower()}{problem[1:]})", "correct it there"
        ) from None
    for key in content:
        if key not in ("columns", "balls"):
            _refuse(file, key, content[key])
    balls = content.get("balls")
    if balls is not None and balls not in get_args(Balls):
        raise InputError(file, "balls", f"is {_shown(balls)}", 'write "range" or "course"')
    columns = content.get("columns", {})
    if not isinstance(columns, dict):
        raise InputError(
            file, "columns", f"is {_shown(columns)}", f"write [columns], and below it carry = {_EXAMPLE}"
        )
    if not columns:
        raise InputError(
            file, "columns", "lists no column", f"write [columns], and below it carry = {_EXAMPLE}"
        )
    return ColumnFile(file, {name: _read_column(file, name, told) for name, told in columns.items()}, balls)


def _refuse(file: str, key: str, value: object) -> None:
    """Raise the error for a key that stands outside [columns]."""
    if key in _NAMES:
        raise InputError(file, printable(key), "stands outside [columns]", "move it below a line [columns]")
    if key in _ALLOWED:
        raise InputError(file, key, "says not of which column", f"write it inside one: carry = {_EXAMPLE}")
    known = "columns" if isinstance(value, dict) else "balls"
    meant = suggest(key, ("columns", "balls")) or known
    if isinstance(value, dict):
        remedy = f"did you mean [{meant}]? Below it stands carry = {_EXAMPLE}, and so on"
    else:
        remedy = f"did you mean {meant}? The file holds balls and [columns]"
    raise InputError(file, printable(key) or _EMPTY, "is not known here", remedy)


def _read_column(file: str, name: str, told: object) -> MappedColumn:
    place = f"columns.{printable(name) or _EMPTY}"
    if name not in _NAMES:
        bare = re.sub(r"_(mph|deg|mm|yd|rpm)$", "", name)
        meant = bare if bare in _NAMES else suggest(name, _NAMES)
        remedy = f"did you mean {meant}?" if meant else f"they are {', '.join(_NAMES)}"
        raise InputError(file, place, "is none of the columns that are used", remedy)
    if isinstance(told, str):
        told = {"header": told}
    if not isinstance(told, dict):
        raise InputError(file, place, f"is {_shown(told)}", f"write {name} = {_EXAMPLE}")
    for key, value in told.items():
        if key not in _ALLOWED:
            meant = suggest(key, _ALLOWED)
            remedy = f"did you mean {meant}?" if meant else "a column has header, unit and positive"
            raise InputError(file, f"{place}.{printable(key)}", "is not known here", remedy)
        if not isinstance(value, str):
            raise InputError(file, f"{place}.{key}", f"is {_shown(value)}", "put it in quotes")
    if not told.get("header", "").strip():
        problem = "is empty" if "header" in told else "is missing"
        raise InputError(file, f"{place}.header", problem, "write the header that stands in the table")
    units: Sequence[str] = [] if name in LABELS else list(UNITS[QUANTITIES[name].kind])
    ends: Sequence[str] = () if name in LABELS else QUANTITIES[name].ends
    unit = told.get("unit", "")
    return MappedColumn(
        told["header"].strip(),
        _one_of(file, f"{place}.unit", read_unit(unit) or unit, units),
        _one_of(file, f"{place}.positive", told.get("positive", ""), ends),
    )


def _one_of(file: str, place: str, value: str, known: Sequence[str]) -> str:
    """Return a value that is empty or one of those known; raise an error for any other."""
    if value and not known:
        raise InputError(file, place, "has no meaning for this column", "take it out")
    if value and value not in known:
        meant = suggest(value, known)
        remedy = f"did you mean {meant}?" if meant else f"write {' or '.join(known)}"
        raise InputError(file, place, f"{value!r:.30} is not one of {', '.join(known)}", remedy)
    return value


def _shown(value: Any) -> str:  # noqa: ANN401 - of any file
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return f"{value!r:.40}"


def format_column_file(columns: Mapping[str, MappedColumn], balls: Balls | None) -> str:
    """Return the text of a column file.

    Examples
    --------
    >>> print(format_column_file({"carry": MappedColumn("Carry", "m")}, "range"))
    balls = "range"
    <BLANKLINE>
    [columns]
    carry = { header = "Carry", unit = "m" }
    <BLANKLINE>
    """
    text = f'balls = "{balls}"\n\n' if balls else ""
    text += "[columns]\n"
    for name, column in columns.items():
        parts = [("header", column.header), ("unit", column.unit), ("positive", column.positive)]
        inside = ", ".join(
            f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in parts if value
        )
        text += f"{name} = {{ {inside} }}\n"
    return text
