"""A played round: what was made of a plan on the course."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import pandas as pd

from holesim.common.csv_tables import NOTHING, number, parsed
from holesim.errors import InputError, printable, rather, read_input
from holesim.plan.plan_file import PlanFile, StrikeFile, TeeFile

LARGEST: Final = 50_000_000  # bytes
FINISHES: Final = ("fairway", "green", "rough", "heavy_rough", "sand", "trees", "penalty", "out")
_LIMITS: Final = {"total_yd": (0.0, 450.0), "side_yd": (-200.0, 200.0), "score": (1.0, 30.0)}
_COLUMNS: Final = ("round", "hole", "tee", "club", "strike", "lie", "total_yd", "side_yd", "score")


@dataclass(frozen=True)
class PlayedDrive:
    """A drive of a round, distances in yards as the plan has them; nan or empty where nothing is known."""

    line: int
    tee: TeeFile
    strike: StrikeFile
    lie: str
    total: float
    side: float
    score: float


def load_round(path: str | Path, plan: PlanFile) -> tuple[list[PlayedDrive], list[str]]:
    """Read a round, or several; return its drives that were planned, and where others stand.

    Parameters
    ----------
    plan
        What holes, tees and strikes there are; the strike that it chose is taken where none is told.

    Raises
    ------
    InputError
        If it cannot be read, or has what makes no sense.
    """
    file = printable(Path(path).name)
    table = parsed(read_input(path, largest=LARGEST), file)
    for name in table.columns:
        if name not in _COLUMNS:
            remedy = rather(name, _COLUMNS, f"they are {', '.join(_COLUMNS)}")
            raise InputError(file, f"line 1, {name!r:.40}", "is no column of a round", remedy)
    if "hole" not in table.columns or len(table) == 0:
        what = "has no drives" if "hole" in table.columns else "has no column hole"
        raise InputError(file, "line 1", what, "give a row for each hole played")
    found = list(_drives(table, plan, file))
    drives = [drive for drive in found if isinstance(drive, PlayedDrive)]
    if not drives:
        raise InputError(file, "", "has no drive that was planned", "give the plan of these tees")
    return drives, [drive for drive in found if isinstance(drive, str)]


def _drives(table: pd.DataFrame, plan: PlanFile, file: str) -> Iterator[PlayedDrive | str]:
    for line, row in zip(table.index, table.to_dict("records"), strict=True):
        cells = {str(name): str(cell) for name, cell in row.items() if cell not in NOTHING}
        tee = _tee(cells, plan, file, int(line))
        strike = _strike(cells, tee, file, int(line))
        if strike is None:
            named = cells.get("strike") or cells.get("club", "")
            yield f"line {line}: {named} was not planned on hole {tee.hole}"
            continue
        lie = cells.get("lie", "").lower().replace(" ", "_").replace("-", "_")
        if lie and lie not in FINISHES:
            remedy = rather(lie, FINISHES, f"it is one of {', '.join(FINISHES)}")
            raise InputError(file, f"line {line}, lie", f"{lie!r:.40} is no place to finish", remedy)
        total, side, score = (_value(cells, name, file, int(line)) for name in _LIMITS)
        if score % 1 > 0:
            raise InputError(file, f"line {line}, score", f"{score:g} is no whole number", "correct it")
        yield PlayedDrive(int(line), tee, strike, lie, total, side, score)


def _tee(cells: dict[str, str], plan: PlanFile, file: str, line: int) -> TeeFile:
    hole = number(cells.get("hole", ""), 1.0)
    here = [tee for tee in plan.tees if tee.hole == hole]
    if not here:
        remedy = f"its holes are {', '.join(str(n) for n in dict.fromkeys(t.hole for t in plan.tees))}"
        raise InputError(file, f"line {line}, hole", f"{cells.get('hole', '')!r:.20} was not planned", remedy)
    name = cells.get("tee")
    if name is None and len(here) == 1:
        return here[0]
    for tee in here:
        if name is not None and tee.tee.lower() == name.lower():
            return tee
    problem = "is not told" if name is None else f"{name!r:.40} was not planned"
    raise InputError(file, f"line {line}, tee", problem, f"give {' or '.join(tee.tee for tee in here)}")


def _strike(cells: dict[str, str], tee: TeeFile, file: str, line: int) -> StrikeFile | None:
    """Return the strike that was hit, none if it was not planned; the chosen one where nothing is told."""
    club, strike = cells.get("club", "").lower(), cells.get("strike", "").lower()
    if strike and strike not in ("up", "level", "down"):
        problem = f"{strike!r:.40} is no strike"
        raise InputError(file, f"line {line}, strike", problem, "write up, level or down, or nothing")
    if not club and not strike:
        return tee.chosen()
    club = club or "driver"
    fitting = [s for s in tee.strikes if s.club.lower() == club and strike in ("", s.strike)]
    chosen = tee.chosen()
    return chosen if any(s is chosen for s in fitting) else next(iter(fitting), None)


def _value(cells: dict[str, str], name: str, file: str, line: int) -> float:
    value = number(cells.get(name, ""), 1.0)
    least, most = _LIMITS[name]
    if value is None or not (np.isnan(value) or least <= value <= most):
        problem = f"{cells[name]!r:.40} is not a number from {least:g} to {most:g}"
        raise InputError(file, f"line {line}, {name}", problem, "correct it or leave it empty")
    return float(value)
