"""`holesim batch`: plans, and sheets made from them, for many players on many courses."""

from pathlib import Path
from typing import Annotated, Final

import typer

from holesim.app.cli.feedback import tell, working
from holesim.app.cli.options import PaperSize

_DASK: Final = (
    "Work on this Dask cluster. It and this command run whatever the other sends: give a tls:// address, "
    "with certificates in Dask's configuration, unless nobody else reaches a tcp:// one."
)


def batch(
    jobs: Annotated[Path, typer.Argument(metavar="JOBS", help="Courses, players and sheets (TOML).")],
    *,
    out: Annotated[
        Path, typer.Option("--out", metavar="DIR", help="Folder for plans and sheets; plans there stay.")
    ],
    replace: Annotated[
        bool, typer.Option("--replace", help="Replace plans made from other files, options or tees.")
    ] = False,
    paper: PaperSize = "a4",
    dask: Annotated[str | None, typer.Option("--dask", metavar="ADDRESS", help=_DASK)] = None,
) -> None:
    """Plan many players on many courses; it goes on where it stopped."""
    from holesim.handouts.batch import run_batch  # noqa: PLC0415
    from holesim.handouts.batch_jobs import load_jobs  # noqa: PLC0415

    todo = load_jobs(jobs)
    longest = list(dict.fromkeys(job.player for job in todo if job.longest))
    if longest:
        who = f"{longest[0]} and {len(longest) - 1} more" if len(longest) > 1 else longest[0]
        remedy = "write tees = { man = ..., woman = ... } in the jobs file, or tee = ... in a player file"
        tell(f"holesim: no file names the tees of {who}: they play the longest; {remedy}", err=True)
    with working("planning") as progress:
        found = run_batch(todo, out, dask=dask, replace=replace, paper=paper, progress=progress)
    for fault in found.failed:
        tell(f"holesim: {fault}", err=True)
    said = f"{found.before} plans were there, {found.made} made"
    if any(job.sheets for job in todo):
        said += f"; {found.sheets_before} sheets were there, {found.sheets_made} made"
    tell(f"{said}; {len(found.failed)} failed")
    if found.failed:
        raise typer.Exit(2)
