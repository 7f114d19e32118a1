"""`holesim team`: a captain's plan."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from holesim.app.cli.feedback import say, tell, working
from holesim.app.cli.options import ROUND, CourseFile, CourseName, FoundJson, PaperSize, with_round

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions


@with_round(*(name for name in ROUND if name != "table"), draws=1024)
def team(
    course: CourseFile,
    team: Annotated[Path, typer.Argument(metavar="TEAM", help="Team file (TOML).")],
    *,
    format_: Annotated[
        Literal["stroke", "singles", "four-ball", "foursomes", "greensomes"],
        typer.Option("--format", help="What is played."),
    ],
    net: Annotated[bool, typer.Option("--net", help="Handicap strokes count.")] = False,
    count: Annotated[
        int | None, typer.Option("--count", metavar="M", help="Stroke play: how many totals count.")
    ] = None,
    layout: CourseName = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write the captain's files here.")
    ] = None,
    paper: PaperSize = "a4",
    as_json: FoundJson = False,
    rounds: "list[RoundOptions]",
) -> None:
    """Choose a team's pairs, order and strikes.

    Who plays with whom, who drives where, and each tee's strike.
    """
    from holesim.common.safe_files import check_folder, json_text  # noqa: PLC0415
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.errors import Faults  # noqa: PLC0415
    from holesim.reports.team_json import team_dict  # noqa: PLC0415
    from holesim.reports.team_text import team_text  # noqa: PLC0415
    from holesim.team.planner import plan_team  # noqa: PLC0415
    from holesim.team.team_file import load_team  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    faults, where, who = Faults(), None, None
    with faults.gather():
        where = load_course(course, name=layout)
    with faults.gather():
        who = load_team(team, where)
    faults.tell()
    assert where is not None  # noqa: S101 - else its faults have been told
    assert who is not None  # noqa: S101 - likewise
    say("guessed", where.file, where.guesses)
    (options,) = rounds
    with working("playing") as progress:
        found = plan_team(where, who, format_, options, net=net, count=count, progress=progress)
    if out is not None:
        from holesim.handouts.captain_page import write_captain_folder  # noqa: PLC0415 - only this needs matplotlib

        written = write_captain_folder(found, out, paper=paper)
        tell(f"wrote {len(written)} files to {out}", err=True)
    tell(json_text(team_dict(found)).rstrip("\n") if as_json else team_text(found))
