"""`holesim draw`: a course file from yardage-book notes."""

from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import say, tell


def draw(
    notes: Annotated[Path, typer.Argument(metavar="NOTES", help="Yardage-book notes (TOML).")],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="COURSE", help="Write the course here.")
    ] = None,
) -> None:
    """Draw a course file from yardage-book notes.

    It goes to --out, or else to standard output.
    """
    from holesim.common.safe_files import write_text  # noqa: PLC0415
    from holesim.course.draw_from_notes import draw_course  # noqa: PLC0415
    from holesim.course.geojson import to_geojson  # noqa: PLC0415
    from holesim.course.notes_file import load_notes  # noqa: PLC0415

    booklet = load_notes(notes)
    text = to_geojson(draw_course(booklet), booklet.latitude, booklet.longitude)
    say("guessed", booklet.file, booklet.guesses)
    if out is None:
        tell(text.rstrip("\n"))
        return
    write_text(out, text)
    tell(f"wrote {out}", err=True)
