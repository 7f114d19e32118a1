"""`holesim weekend`: several sessions planned at once."""

from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import say, tell, working
from holesim.app.cli.options import FoundJson, PaperSize


def weekend(
    weekend: Annotated[Path, typer.Argument(metavar="WEEKEND", help="Weekend file (TOML).")],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write each session's files here.")
    ] = None,
    paper: PaperSize = "a4",
    as_json: FoundJson = False,
) -> None:
    """Choose who plays in which session of a weekend, and plan each.

    Write what happened under `results` of a session, and run it again: the rest is planned anew.
    """
    from holesim.common.safe_files import check_folder, json_text  # noqa: PLC0415
    from holesim.reports.weekend_json import weekend_dict  # noqa: PLC0415
    from holesim.reports.weekend_text import weekend_text  # noqa: PLC0415
    from holesim.team.weekend import plan_weekend  # noqa: PLC0415
    from holesim.team.weekend_file import load_weekend  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    asked = load_weekend(weekend)
    for course in dict.fromkeys(one.session.course for one in asked.sessions):
        say("guessed", course.file, course.guesses)
    with working("playing") as progress:
        found = plan_weekend(asked, progress)
    if out is not None:
        from holesim.handouts.captain_page import write_weekend_folder  # noqa: PLC0415 - only this needs matplotlib

        written = write_weekend_folder(found, out, paper=paper)
        tell(f"wrote {len(written)} files to {out}", err=True)
    tell(json_text(weekend_dict(found)).rstrip("\n") if as_json else weekend_text(found))
