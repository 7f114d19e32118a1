"""`holesim batch`: plans for many players on many courses."""

from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import working


def batch(
    jobs: Annotated[Path, typer.Argument(metavar="JOBS", help="Courses and players (TOML).")],
    *,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Plans go here; those there stay.")],
    dask: Annotated[
        str | None, typer.Option("--dask", metavar="ADDRESS", help="Work on this Dask cluster.")
    ] = None,
) -> None:
    """Plan many players on many courses; it goes on where it stopped."""
    from holesim.app.batch import load_jobs, run_batch  # noqa: PLC0415

    todo = load_jobs(jobs)
    with working("planning") as progress:
        found = run_batch(todo, out, dask=dask, progress=progress)
    for fault in found.failed:
        typer.echo(f"holesim: {fault}", err=True)
    typer.echo(f"{found.before} plans were there, {found.made} made, {len(found.failed)} failed")
    if found.failed:
        raise typer.Exit(2)
