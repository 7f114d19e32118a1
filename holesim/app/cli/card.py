"""`holesim card`: a card, a sheet or a page from a plan file alone."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from holesim.app.cli.options import Metric
from holesim.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable


def card(
    plan: Annotated[list[Path], typer.Argument(metavar="PLAN…", help="A plan.json, or one for each wind.")],
    *,
    style: Annotated[
        Literal["pocket", "coach", "page"],
        typer.Option("--style", help="For a pocket, a coach, or a browser."),
    ],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="A PDF, or HTML for a browser.")],
    tipping: Annotated[
        list[Path] | None,
        typer.Option("--tipping", metavar="FILE", help="Also say what this tipping.json found; repeat."),
    ] = None,
    metric: Metric = False,
) -> None:
    """Make a pocket card, a coach's sheet or a page from a plan file.

    Nothing is planned again.
    """
    from holesim.common.safe_files import write_file  # noqa: PLC0415
    from holesim.handouts.coach_sheet import write_coach  # noqa: PLC0415
    from holesim.handouts.pocket_card import write_pocket  # noqa: PLC0415
    from holesim.handouts.web_page import write_page  # noqa: PLC0415
    from holesim.plan.plan_file import gather_plans  # noqa: PLC0415
    from holesim.study.break_even_file import load_break_even  # noqa: PLC0415

    if tipping and style == "pocket":
        raise InputError(
            "--tipping", "", "has no place on a pocket card", "make the coach's sheet or the page"
        )
    plans = gather_plans(plan)
    found = [load_break_even(path, plans[0]) for path in tipping or ()]
    makers: dict[str, Callable[..., None]] = {
        "pocket": write_pocket,
        "coach": partial(write_coach, break_evens=found),
        "page": partial(write_page, break_evens=found),
    }
    write_file(out, lambda folder: makers[style](plans, folder / out.name, metric=metric))
    typer.echo(f"wrote {out}", err=True)
