"""What a page needs to enter a round: the holes of its plan, and what its file holds so far."""

from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Final

from holesim.errors import InputError
from holesim.plan.plan_file import load_plans, only_plan
from holesim.plan.plan_tables import HoleFile, PlanFile, StrikeFile, TeeFile
from holesim.study.drive_places import find_lie, find_place, measure_place
from holesim.study.round_file import FINISHES, DriveResult, read_drive, read_rows
from holesim.window.folder import Folder
from holesim.window.versions import flat_name

PLACE: Final = "rounds/"
"""The folder of the rounds' files."""

_KEPT: Final = 4  # plans that are read


class Plans:
    """The plans of the folder, each read again only when its file has changed."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._read: dict[str, tuple[object, PlanFile]] = {}

    def read(self, name: str) -> PlanFile:
        """Return a plan of the folder; raise an `InputError` if it is no plan of one wind."""
        self._folder.check_there(name)
        stamp = self._folder.stamp(name)
        if name not in self._read or self._read[name][0] != stamp:
            path = self._folder.path(name)
            plan = only_plan(load_plans(path)[0], path)
            if len(self._read) >= _KEPT:
                del self._read[next(iter(self._read))]
            self._read[name] = stamp, plan
        return self._read[name][1]


def plan_dict(plan: PlanFile, players: Mapping[str, str]) -> dict[str, Any]:
    """Return a plan as a page needs it to enter a round.

    Parameters
    ----------
    players
        SHA-256 of each golfer's file of the folder, by its name; the one that was planned with comes first.
    """
    planned = {name for name, sha256 in players.items() if sha256 in plan.inputs.values()}
    called = {name for name in players if name.rpartition("/")[2] in plan.inputs}
    return {
        "course": plan.course,
        "player": plan.player,
        "text": plan.round_text(),
        "tees": list(dict.fromkeys(tee.tee for tee in plan.tees)),
        "golfers": sorted(players, key=lambda name: (name not in planned, name not in called)),
        "known": bool(planned | called),
        "lies": list(FINISHES),
        "holes": [_hole_dict(hole, plan) for hole in plan.holes],
    }


def _hole_dict(hole: HoleFile, plan: PlanFile) -> dict[str, Any]:
    tees = [tee for tee in plan.tees if tee.hole == hole.hole]
    return {
        "hole": hole.hole,
        "par": hole.par,
        "stroke_index": hole.stroke_index,
        "pin": hole.pin,
        "line": hole.line,
        "bare": hole.bare,
        "areas": [{"ground": kind, "polygons": polygons} for kind, polygons in reversed(hole.ground.items())],
        "tees": [{"name": tee.tee, "at": tee.middle, "length_yd": tee.length_yd} for tee in tees],
        "planned": {
            tee.tee: {
                "choice": tee.chosen().label,
                "strikes": [
                    {
                        "label": strike.label,
                        "club": strike.club,
                        "strike": strike.strike,
                        "heading_deg": strike.heading_deg,
                    }
                    for strike in tee.strikes
                ],
            }
            for tee in tees
        },
    }


def find_tee(plan: PlanFile, hole: int, tee: str) -> TeeFile:
    """Return a tee of a plan; raise an `InputError` if it has none such."""
    for found in plan.tees:
        if (found.hole, found.tee) == (hole, tee):
            return found
    raise InputError("plan", f"hole {hole}", f"has no {tee:.40} tee", "choose another")


def _strike(tee: TeeFile, label: str) -> StrikeFile:
    """Return the strike of a label; a side of a strike that was not planned counts from the choice's aim."""
    return next((strike for strike in tee.strikes if strike.label == label), tee.chosen())


def place_dict(plan: PlanFile, tee: TeeFile, label: str, x: float, y: float) -> dict[str, Any]:
    """Return a finish by its place [m]: how far, how far right of the aim [yd], and in which lie."""
    total, side = measure_place(tee, _strike(tee, label), x, y)
    return {
        "at": [round(x, 1), round(y, 1)],
        "total_yd": round(total),
        "side_yd": round(side),
        "lie": find_lie(plan.hole(tee.hole), x, y),
    }


def typed_dict(plan: PlanFile, tee: TeeFile, label: str, total: float, side: float) -> dict[str, Any]:
    """Return a finish by how far it went and how far right of the aim [yd]: its place [m], and its lie."""
    x, y = find_place(tee, _strike(tee, label), total, side)
    return place_dict(plan, tee, label, x, y) | {"total_yd": total, "side_yd": side}


def round_dict(folder: Folder, name: str, plan: PlanFile) -> dict[str, Any]:
    """Return what the file of a round holds, hole by hole, with the place of each finish.

    Raises
    ------
    InputError
        If it cannot be read, does not go with the plan, or has several drives on a hole.
    """
    folder.check_there(name)
    _, sha256 = folder.read(name)
    file = name.rpartition("/")[2]
    rows: dict[int, dict[str, Any]] = {}
    tee, day = "", ""
    for line, cells in read_rows(folder.path(name)):
        drive = read_drive(cells, plan, file, line)
        day = cells.get("date", day)
        if isinstance(drive, DriveResult):
            hole, row = drive.tee.hole, _drive_dict(drive, plan)
            tee = drive.tee.tee
        else:
            hole = drive.hole
            row = _other_dict(cells)
        if hole in rows:
            problem = f"has a second drive on hole {hole}"
            raise InputError(file, f"line {line}", problem, "enter several rounds in a file each")
        rows[hole] = row
    return {"name": name, "sha256": sha256, "tee": tee, "date": day, "rows": rows}


def _drive_dict(drive: DriveResult, plan: PlanFile) -> dict[str, Any]:
    whole = drive.total == drive.total and drive.side == drive.side  # numbers, both
    place = None
    if whole:
        with suppress(InputError):
            place = typed_dict(plan, drive.tee, drive.strike.label, drive.total, drive.side)["at"]
    return {
        "label": drive.strike.label,
        "lie": drive.lie,
        "total_yd": _number(drive.total),
        "side_yd": _number(drive.side),
        "at": place,
        "score": _number(drive.score),
    }


def _other_dict(cells: Mapping[str, str]) -> dict[str, Any]:
    """Return a drive that was not planned, of which the review says nothing but that."""
    score = cells.get("score", "")
    return {
        "label": cells.get("club") or cells.get("strike", ""),
        "lie": cells.get("lie", ""),
        "total_yd": None,
        "side_yd": None,
        "at": None,
        "score": int(score) if score.isdecimal() else None,
    }


def _number(value: float) -> float | None:
    """Return a number as JSON has it; one that was not recorded is None."""
    return None if value != value else value  # noqa: PLR0124 - not a number


def list_rounds(folder: Folder) -> list[dict[str, Any]]:
    """Return the files of rounds, the newest name first, each with the plan that its rows name."""
    found = []
    for name in sorted(folder.names(depth=1), reverse=True):
        if not (name.startswith(PLACE) and name.endswith(".csv")):
            continue
        plan = None
        with suppress(InputError):
            plan = next(
                (cells["round"] for _, cells in read_rows(folder.path(name)) if "round" in cells), None
            )
        found.append({"name": name, "plan": plan})
    return found


def learnt_note(folder: Folder, played: str) -> str | None:
    """Return which golfer's file has learnt from a round; None if none has."""
    try:
        return folder.beside("learnt", flat_name(played)).read_text(encoding="utf-8") or None
    except (OSError, InputError):
        return None


def note_learnt(folder: Folder, played: str, player: str) -> None:
    """Note that a golfer's file has learnt from a round."""
    path = folder.beside("learnt", flat_name(played))
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(player, encoding="utf-8")
