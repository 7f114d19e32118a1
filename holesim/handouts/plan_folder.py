"""Folders of output: the files, pictures and card of a plan, and the charts of a course."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from holesim.common.csv_tables import table_text
from holesim.common.safe_files import renamed_into
from holesim.pictures.paper import Paper

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holesim.course.course import Course
    from holesim.plan.plan import Plan

DrivesFormat = Literal["csv", "npz"]
"""The file formats in which every drive can be written."""


def plans_json(plans: "Sequence[Plan]") -> str:
    """Return the text of plan.json: one plan, or a list of several."""
    if len(plans) == 1:
        return plans[0].to_json()
    return "[" + ",\n".join(plan.to_json().rstrip() for plan in plans) + "]\n"


def write_plan(
    plan: "Plan",
    folder: Path,
    *,
    metric: bool = False,
    drives: DrivesFormat | None = None,
    paper: Paper = "a4",
) -> list[Path]:
    """Write plan.json, plan.csv, finishes.geojson, the pictures of each tee and card.pdf; return their paths.

    Parameters
    ----------
    drives
        Also write every drive, to drives.csv or drives.npz.
    paper
        What card.pdf is printed on.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    # Only these need matplotlib, which takes a second to import.
    from holesim.handouts.course_card import write_card  # noqa: PLC0415
    from holesim.pictures.plan_pictures import write_pictures  # noqa: PLC0415
    from holesim.plan.finishes_file import finishes_geojson, write_drives  # noqa: PLC0415

    def write(work: Path) -> None:
        (work / "plan.json").write_text(plan.to_json(), encoding="utf-8")
        (work / "plan.csv").write_bytes(table_text(plan.to_frame()).encode())
        (work / "finishes.geojson").write_text(finishes_geojson(plan), encoding="utf-8")
        if drives is not None:
            write_drives(plan, work / f"drives.{drives}")
        write_pictures(plan, work, metric=metric)
        write_card(plan, work / "card.pdf", metric=metric, paper=paper)

    return renamed_into(folder, write)


def write_charts(course: "Course", folder: Path, *, metric: bool = False) -> list[Path]:
    """Write a chart of a course and of each of its holes; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    from holesim.pictures.course_chart import save_charts  # noqa: PLC0415

    return renamed_into(folder, lambda work: save_charts(course, work, metric=metric))


def write_plans(
    plans: "Sequence[Plan]",
    folder: Path,
    *,
    metric: bool = False,
    drives: DrivesFormat | None = None,
    paper: Paper = "a4",
) -> list[Path]:
    """Write a plan as `write_plan` does; of several, each to the subfolder of its wind.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """
    if len(plans) == 1:
        return write_plan(plans[0], folder, metric=metric, drives=drives, paper=paper)
    return [
        path
        for plan in plans
        for path in write_plan(plan, folder / _wind_name(plan), metric=metric, drives=drives, paper=paper)
    ]


def _wind_name(plan: "Plan") -> str:
    speed, degrees = plan.options["wind_mph"], plan.options["wind_from_deg"]
    return f"wind-{speed:g}-from-{degrees:g}" if speed else "calm"
