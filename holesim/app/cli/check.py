"""`holesim check`: what is wrong with a file, where, and how to correct it."""

import re
from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import tell
from holesim.app.cli.options import CourseName, Metric
from holesim.errors import InputError


def check(
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE...", help="Courses, and players, teams and notes (.toml).")
    ],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Draw the course and each hole here.")
    ] = None,
    layout: CourseName = None,
    metric: Metric = False,
) -> None:
    """Say what is wrong or missing in a file, and how to mend it.

    The exit code is 0 if nothing had to be guessed, 1 if something had, 2 if a file cannot be used.
    """
    from holesim.common.safe_files import check_folder  # noqa: PLC0415
    from holesim.common.toml_tables import LARGEST  # noqa: PLC0415
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.course.notes_file import load_notes  # noqa: PLC0415
    from holesim.course.stroke_indices import check_stroke_indices  # noqa: PLC0415
    from holesim.errors import read_input  # noqa: PLC0415
    from holesim.handouts.plan_folder import write_charts  # noqa: PLC0415
    from holesim.reports.check_text import course_text, find_gaps, notes_text, player_text, team_text  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player  # noqa: PLC0415
    from holesim.team.team_file import load_team  # noqa: PLC0415

    if out is not None:
        check_folder(out)
        if sum(file.suffix != ".toml" for file in files) != 1:
            raise InputError("--out", "", "draws one course at a time", "give one course file")
    guessed = False
    for number, file in enumerate(files):
        if number:
            tell("")
        content = read_input(file, largest=LARGEST) if file.suffix == ".toml" else b""
        if b"[[holes]]" in content:
            notes = load_notes(file)
            tell(notes_text(notes))
            guessed |= bool(notes.guesses)
        elif re.search(rb"^players *=", content, re.MULTILINE):
            team = load_team(file)
            tell(team_text(team))
            guessed |= any(player.assumed for player in (*team.players, *team.opponents))
        elif file.suffix == ".toml":
            player = load_player(file)
            tell(player_text(player))
            guessed |= bool(player.assumed)
        else:
            course = load_course(file, name=layout)
            check_stroke_indices(course)
            tell(course_text(course, metric=metric))
            guessed |= bool(course.guesses or find_gaps(course))
            if out is not None:
                written = write_charts(course, out, metric=metric)
                tell(f"wrote {len(written)} files to {out}", err=True)
    raise typer.Exit(int(guessed))
