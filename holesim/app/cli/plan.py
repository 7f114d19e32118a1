"""`holesim plan` and `holesim demo`: the strike and aim of each tee."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

from holesim.app.cli.feedback import say, tell, working
from holesim.app.cli.inputs import read_both
from holesim.app.cli.options import (
    ROUND,
    CourseFile,
    CourseName,
    Holes,
    Metric,
    PaperSize,
    PlayerFile,
    with_files,
    with_round,
)
from holesim.data.examples import COURSE, PLAYER, find
from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions

_OPTIONS: Final = ("goal", "precision", *("winds" if name == "wind" else name for name in ROUND))


@with_round(*_OPTIONS)
def plan(
    course: CourseFile,
    player: PlayerFile,
    *,
    layout: CourseName = None,
    hole: Holes = None,
    tee: Annotated[
        list[str] | None, typer.Option("--tee", metavar="NAME", help="Plan from this tee; repeat.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write the plan's files here.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print plan.json instead of the table.")] = False,
    metric: Metric = False,
    paper: PaperSize = "a4",
    drives: Annotated[
        Literal["csv", "npz"] | None,
        typer.Option("--drives", help="With --out: write every drive, too, in this format."),
    ] = None,
    rounds: "list[RoundOptions]",
) -> None:
    """Choose the strike and aim of each tee.

    Every hole from the player's own tees, or else the back tees, unless --hole and --tee say otherwise.
    """
    from holesim.common.safe_files import check_folder  # noqa: PLC0415
    from holesim.handouts.plan_folder import plans_json, write_plans  # noqa: PLC0415
    from holesim.plan.plan import make_plan  # noqa: PLC0415
    from holesim.reports.check_text import find_gaps  # noqa: PLC0415
    from holesim.reports.plan_text import plan_text, winds_text  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    elif drives is not None:
        raise InputError("--drives", "", "has nowhere to write", "add --out DIR")
    played, golfer = read_both(course, layout, player)
    say("missing", played.file, find_gaps(played))
    plans = []
    for options in rounds:
        with working("planning") as progress:
            plans.append(make_plan(played, golfer, options, holes=hole, tees=tee, progress=progress))
    if out is not None:
        written = write_plans(plans, out, metric=metric, drives=drives, paper=paper)
        tell(f"wrote {len(written)} files to {out}", err=True)
    if as_json:
        tell(plans_json(plans).rstrip("\n"))
    elif len(plans) == 1:
        tell(plan_text(plans[0], metric=metric))
    else:
        tell(winds_text(plans, metric=metric))


demo = with_files(plan, ["layout"], course=lambda: find(COURSE), player=lambda: find(PLAYER))
demo.__name__ = "demo"
demo.__doc__ = "Plan the built-in course for a built-in player; no files needed."
