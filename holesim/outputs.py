"""Files out: everything written beside its place, then renamed, so that nothing is left half-written."""

import json
import os
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal

from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.course import Course
    from holesim.plan import Plan

DrivesFormat = Literal["csv", "npz"]
"""How every drive may be written."""

_NUMBERS: Final = re.compile(r"\[\n[-+\s\d.eE,]+\]")  # a list of them, which stays on a line
_WORK: Final = ".holesim-"  # begins the name of a folder that is being written


def json_text(content: Mapping[str, Any]) -> str:
    """Return the text of a JSON file."""
    text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
    return _NUMBERS.sub(lambda numbers: " ".join(numbers[0].split()), text) + "\n"


def plan_json(plan: "Plan") -> str:
    """Return the text of plan.json."""
    return json_text(plan.to_dict())


def plans_json(plans: "Sequence[Plan]") -> str:
    """Return the text of plan.json, or a list of several."""
    if len(plans) == 1:
        return plan_json(plans[0])
    return "[" + ",\n".join(plan_json(plan).rstrip() for plan in plans) + "]\n"


def check_folder(folder: Path) -> None:
    """Make sure that `folder` can be written to, before any work is done.

    Raises
    ------
    InputError
        If it cannot.
    """
    there = folder
    while not there.exists() and there != there.parent:
        there = there.parent
    if not there.is_dir():
        raise InputError("--out", "", f"{there} is a file", "give a folder")
    if not os.access(there, os.W_OK | os.X_OK):
        raise InputError("--out", "", f"{there} cannot be written to", "give another folder")


def write_plan(
    plan: "Plan", folder: Path, *, metric: bool = False, drives: DrivesFormat | None = None
) -> list[Path]:
    """Write plan.json, plan.csv, finishes.geojson, the pictures of each tee and card.pdf; return their paths.

    Parameters
    ----------
    drives
        Write every drive, too, as a row of drives.csv or in the arrays of drives.npz.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    # Only these need matplotlib, which takes a second to import.
    from holesim.card import write_card  # noqa: PLC0415
    from holesim.finishes import finishes_geojson, write_drives  # noqa: PLC0415
    from holesim.pictures import write_pictures  # noqa: PLC0415

    def write(work: Path) -> None:
        (work / "plan.json").write_text(plan_json(plan), encoding="utf-8")
        plan.to_frame().to_csv(work / "plan.csv", index=False, lineterminator="\n")
        (work / "finishes.geojson").write_text(finishes_geojson(plan), encoding="utf-8")
        if drives is not None:
            write_drives(plan, work / f"drives.{drives}")
        write_pictures(plan, work, metric=metric)
        write_card(plan, work / "card.pdf", metric=metric)

    return renamed_into(folder, write)


def write_charts(course: "Course", folder: Path, *, metric: bool = False) -> list[Path]:
    """Write a picture of a course and of each of its holes; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    from holesim.chart import save_charts  # noqa: PLC0415

    return renamed_into(folder, lambda work: save_charts(course, work, metric=metric))


def write_found(
    name: str, content: Mapping[str, Any], folder: Path, draw: Callable[[Path], object]
) -> list[Path]:
    """Write what was found as `name`.json, and what `draw` puts into a folder; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """

    def write(work: Path) -> None:
        (work / f"{name}.json").write_text(json_text(content), encoding="utf-8")
        draw(work)

    return renamed_into(folder, write)


def write_file(path: Path, draw: Callable[[Path], object]) -> list[Path]:
    """Write one file, which `draw` puts into a folder, and what else it puts there; return their paths.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    if path.is_dir():
        raise InputError("--out", "", f"{path} is a folder", "give a file")
    return renamed_into(path.parent, draw)


def write_text(path: Path, text: str, draw: Callable[[Path], object] = lambda _: None) -> list[Path]:
    """Write a file of text, and what `draw` puts beside it; return their paths.

    Raises
    ------
    InputError
        If it cannot be written.
    """

    def write(work: Path) -> None:
        (work / path.name).write_text(text, encoding="utf-8")
        draw(work)

    return write_file(path, write)


def write_plans(
    plans: "Sequence[Plan]", folder: Path, *, metric: bool = False, drives: DrivesFormat | None = None
) -> list[Path]:
    """Write a plan as `write_plan` does, or several, which differ in their wind, each to a folder of its own.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    if len(plans) == 1:
        return write_plan(plans[0], folder, metric=metric, drives=drives)
    return [
        path
        for plan in plans
        for path in write_plan(plan, folder / _of_wind(plan), metric=metric, drives=drives)
    ]


def _of_wind(plan: "Plan") -> str:
    speed, degrees = plan.options["wind_mph"], plan.options["wind_from_deg"]
    return f"wind-{speed:g}-from-{degrees:g}" if speed else "calm"


def _is_left(path: Path) -> bool:
    """Return whether this is the folder of a run that is no more."""
    number = re.fullmatch(rf"{re.escape(_WORK)}(\d{{1,9}})-\w{{8}}", path.name)
    if number is None:
        return False
    try:
        os.kill(int(number[1]), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False


def renamed_into(folder: Path, write: Callable[[Path], object]) -> list[Path]:
    """Let `write` fill a hidden folder within the final one, then move its files out of it, each whole.

    What an earlier run left there when it was killed is removed.
    """
    check_folder(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for left in filter(_is_left, folder.iterdir()):
            shutil.rmtree(left, ignore_errors=True)
        work = Path(tempfile.mkdtemp(prefix=f"{_WORK}{os.getpid()}-", dir=folder))
    except OSError as error:
        raise InputError(
            "--out", "", f"{folder} cannot be written to ({error.strerror})", "give another"
        ) from None
    try:
        write(work)
        done = []
        for made in sorted(work.iterdir()):
            made.replace(folder / made.name)
            done.append(folder / made.name)
    except OSError as error:
        raise InputError(
            "--out", "", f"{folder} cannot be written to ({error.strerror})", "free it"
        ) from None
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return done
