"""The round file: what became of each drive of a round, or of several, that was played by a plan."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

import numpy as np

from holesim.common.csv_tables import NOTHING, number, parsed
from holesim.errors import InputError, printable, rather, read_input
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile

LARGEST: Final = 50_000_000  # bytes
FINISHES: Final = ("fairway", "green", "rough", "heavy_rough", "sand", "trees", "penalty", "out")
_LIMITS: Final = {"total_yd": (0.0, 450.0), "side_yd": (-200.0, 200.0), "score": (1.0, 30.0)}
_COLUMNS: Final = ("date", "round", "hole", "tee", "club", "strike", "lie", "total_yd", "side_yd", "score")


@dataclass(frozen=True)
class DriveResult:
    """What became of a drive.

    Attributes
    ----------
    line
        Its line in the file.
    tee, strike
        The plan of its tee, and of the strike that was hit.
    lie
        What it finished in, one of `FINISHES`; empty where not recorded.
    total, side
        How far it went and how far right of the aim line it finished [yd]; NaN where not recorded.
    score
        The score on the hole; NaN where not recorded.
    """

    line: int
    tee: TeeFile
    strike: StrikeFile
    lie: str
    total: float
    side: float
    score: float


@dataclass(frozen=True)
class UnplannedDrive:
    """A drive by a strike or a club that the plan does not have on its hole."""

    line: int
    hole: int
    hit: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.hit} was not planned on hole {self.hole}"


@dataclass(frozen=True)
class RoundFile:
    """A round as it was recorded: the drives that the plan knows, the others, and the last date recorded."""

    drives: tuple[DriveResult, ...]
    unplanned: tuple[UnplannedDrive, ...] = ()
    played_on: date | None = None


def load_round(path: str | Path, plan: PlanFile) -> RoundFile:
    """Read a round, or several, a row for each drive.

    Parameters
    ----------
    path
        A table (CSV) with the column hole, and any of date, round, tee, club, strike, lie, total_yd, side_yd
        and score.
    plan
        The plan that was played by. Where neither club nor strike is recorded, its choice was hit.

    Raises
    ------
    InputError
        If the file cannot be read, or a cell of it makes no sense.
    """
    file = printable(Path(path).name)
    drives: list[DriveResult] = []
    unplanned: list[UnplannedDrive] = []
    dates: set[date] = set()
    for line, cells in read_rows(path):
        if "date" in cells:
            dates.add(_read_date(cells["date"], file, line))
        found = read_drive(cells, plan, file, line)
        if isinstance(found, DriveResult):
            drives.append(found)
        else:
            unplanned.append(found)
    if not drives:
        raise InputError(file, "", "has no drive that was planned", "give the plan of these tees")
    return RoundFile(tuple(drives), tuple(unplanned), max(dates, default=None))


def read_rows(path: str | Path) -> Iterator[tuple[int, dict[str, str]]]:
    """Yield the line of each drive of a round file, and its cells that say something, by column.

    Raises
    ------
    InputError
        If the file cannot be read, or is no table of drives.
    """
    file = printable(Path(path).name)
    table = parsed(read_input(path, largest=LARGEST), file)
    for name in table.columns:
        if name not in _COLUMNS:
            remedy = rather(name, _COLUMNS, f"the columns are {', '.join(_COLUMNS)}")
            raise InputError(file, f"line 1, {name!r:.40}", "is not a column of a round", remedy)
    if "hole" not in table.columns or len(table) == 0:
        what = "has no drives" if "hole" in table.columns else "has no column hole"
        raise InputError(file, "line 1", what, "give a row for each hole played")
    for line, row in zip(table.index, table.to_dict("records"), strict=True):
        yield int(line), {str(name): str(cell) for name, cell in row.items() if cell not in NOTHING}


def _read_date(cell: str, file: str, line: int) -> date:
    try:
        return date.fromisoformat(cell)
    except ValueError:
        raise InputError(
            file, f"line {line}, date", f"{cell!r:.40} is not a date", "write it as 2026-05-31"
        ) from None


def read_drive(cells: dict[str, str], plan: PlanFile, file: str, line: int) -> DriveResult | UnplannedDrive:
    """Return a drive from its cells by column; raise an `InputError` if one makes no sense."""
    tee = _read_tee(cells, plan, file, line)
    strike = _read_strike(cells, tee, file, line)
    if strike is None:
        club, hit = cells.get("club", ""), cells.get("strike", "")
        return UnplannedDrive(line, tee.hole, hit if club.lower() in ("", "driver") and hit else club)
    lie = cells.get("lie", "").lower().replace(" ", "_").replace("-", "_")
    if lie and lie not in FINISHES:
        remedy = rather(lie, FINISHES, f"give one of {', '.join(FINISHES)}")
        raise InputError(file, f"line {line}, lie", f"{lie!r:.40} is not a lie", remedy)
    total, side, score = (_read_number(cells, name, file, line) for name in _LIMITS)
    if score % 1 > 0:
        raise InputError(file, f"line {line}, score", f"{score:g} is not a whole number", "correct it")
    return DriveResult(line, tee, strike, lie, total, side, score)


def _read_tee(cells: dict[str, str], plan: PlanFile, file: str, line: int) -> TeeFile:
    hole = number(cells.get("hole", ""), 1.0)
    here = [tee for tee in plan.tees if tee.hole == hole]
    if not here:
        planned = ", ".join(str(n) for n in dict.fromkeys(t.hole for t in plan.tees))
        problem = f"{cells.get('hole', '')!r:.20} is not in the plan"
        raise InputError(file, f"line {line}, hole", problem, f"the plan has {planned}")
    name = cells.get("tee")
    if name is None and len(here) == 1:
        return here[0]
    for tee in here:
        if name is not None and tee.tee.lower() == name.lower():
            return tee
    problem = "is missing" if name is None else f"{name!r:.40} is not in the plan"
    raise InputError(file, f"line {line}, tee", problem, f"give {' or '.join(tee.tee for tee in here)}")


def _read_strike(cells: dict[str, str], tee: TeeFile, file: str, line: int) -> StrikeFile | None:
    """Return the strike hit, the planned one where none is recorded; None if it is not in the plan."""
    club, strike = cells.get("club", "").lower(), cells.get("strike", "").lower()
    if strike and strike not in ("up", "level", "down"):
        problem = f"{strike!r:.40} is not a strike"
        raise InputError(file, f"line {line}, strike", problem, "write up, level or down, or leave it empty")
    if not club and not strike:
        return tee.chosen()
    club = club or "driver"
    fitting = [s for s in tee.strikes if s.club.lower() == club and strike in ("", s.strike)]
    chosen = tee.chosen()
    return chosen if any(s is chosen for s in fitting) else next(iter(fitting), None)


def _read_number(cells: dict[str, str], name: str, file: str, line: int) -> float:
    value = number(cells.get(name, ""), 1.0)
    least, most = _LIMITS[name]
    if value is None or not (np.isnan(value) or least <= value <= most):
        problem = f"{cells[name]!r:.40} is not a number from {least:g} to {most:g}"
        raise InputError(file, f"line {line}, {name}", problem, "correct it or leave it empty")
    return float(value)
