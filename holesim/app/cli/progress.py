"""`holesim progress`: what changed between sessions."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from holesim.app.cli.drives import (
    BallsHit,
    Dates,
    DayFirst,
    Hand,
    Handicap,
    Name,
    Sex,
    describe_golfer,
    read_drives,
)
from holesim.app.cli.feedback import compiling, say, tell, working
from holesim.app.cli.options import ROUND, FoundJson, Holes, Metric, OneTee, with_round
from holesim.errors import InputError

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions
    from holesim.study.progress import Progress
    from holesim.study.session_golfers import SessionGolfer


@with_round(*ROUND)
def progress(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILES", help="Measured drives (CSV), player files or review.json files."),
    ],
    *,
    like: Annotated[
        Path | None,
        typer.Option("--like", metavar="PLAYER", help="Of tables: a player file that says who it is."),
    ] = None,
    name: Name = None,
    hand: Hand = "right",
    sex: Sex = None,
    handicap: Handicap = None,
    balls: BallsHit = None,
    columns: Annotated[
        Path | None,
        typer.Option("--columns", metavar="FILE", help="What each column is, as for measure."),
    ] = None,
    dates: Dates = None,
    day_first: DayFirst = None,
    course: Annotated[
        Path | None,
        typer.Option("--course", metavar="COURSE", help="What it is worth in strokes there (GeoJSON)."),
    ] = None,
    layout: Annotated[
        str | None,
        typer.Option("--layout", metavar="NAME", help="Which course of the file."),
    ] = None,
    hole: Holes = None,
    tee: OneTee = None,
    as_json: FoundJson = False,
    metric: Metric = False,
    rounds: "list[RoundOptions]",
) -> None:
    """Say what changed between sessions, and whether it is more than a good day.

    Give measured drives of several days, player files that measure wrote, one for each day, or the
    review.json files of several rounds:

    holesim progress "range 2026-05-12.csv" "range 2026-06-14.csv" --like PLAYER --balls course

    holesim progress MAY.toml JUNE.toml --course COURSE

    holesim progress may/review.json june/review.json
    """
    from holesim.common.safe_files import json_text  # noqa: PLC0415
    from holesim.measure.sessions import check_once  # noqa: PLC0415
    from holesim.reports.progress_text import progress_text  # noqa: PLC0415
    from holesim.study.progress import compare_sessions  # noqa: PLC0415
    from holesim.study.session_golfers import measure_sessions  # noqa: PLC0415

    (options,) = rounds
    check_once(files)
    kinds = {path.suffix.lower() for path in files}
    if kinds & {".toml", ".json"}:
        if len(kinds) > 1:
            raise InputError("FILES", "", "are of several kinds", "give tables, players or reviews")
        given = (like, name, sex, handicap, balls, columns, dates, day_first)
        if any(value is not None for value in given):
            problem = "say who it is and when, as they are no tables"
            raise InputError("FILES", "", problem, "leave out the options of tables")
    if kinds == {".json"}:
        if course is not None:
            problem, remedy = "needs tables or player files, not reviews", "leave it out"
            raise InputError("--course", "", problem, remedy)
        found = _compare_reviews(files)
    else:
        if kinds == {".toml"}:
            sessions = _read_players(files)
        else:
            drives = read_drives(files, columns=columns, balls=balls, dates=dates, day_first=day_first)
            if len(drives.sessions) < 2:
                problem, remedy = "is one session alone", "give two tables, or one with two dates"
                raise InputError(drives.file, "", problem, remedy)
            golfer = describe_golfer(drives, like, name, hand, sex, handicap)
            with compiling():
                sessions = measure_sessions(drives, golfer, seed=options.seed)
        found = compare_sessions(sessions)
        if course is not None:
            found = _with_strokes(found, sessions, (course, layout, hole, tee), options)
    tell(json_text(found.to_dict()).rstrip("\n") if as_json else progress_text(found, metric=metric))


def _read_players(paths: list[Path]) -> "list[SessionGolfer]":
    """Return the session of each player file, in the order of their dates."""
    from holesim.player.make_player import make_player  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415
    from holesim.study.session_golfers import check_days, order_sessions, read_session  # noqa: PLC0415

    sessions = []
    for path in paths:
        model, sha256 = load_player_file(path)
        sessions.append(read_session(make_player(model, path.name, sha256), model))
    check_days(sessions)
    ordered, guesses = order_sessions(sessions)
    say("warning", "dates", guesses)
    return ordered


def _compare_reviews(paths: list[Path]) -> "Progress":
    """Compare rounds by their review files, in the order of their dates."""
    from holesim.study.round_progress import compare_rounds, load_round  # noqa: PLC0415
    from holesim.study.session_golfers import order_sessions  # noqa: PLC0415

    ordered, guesses = order_sessions([load_round(path) for path in paths])
    say("warning", "dates", guesses)
    return compare_rounds(ordered)


def _with_strokes(
    found: "Progress",
    sessions: "list[SessionGolfer]",
    where: tuple[Path, str | None, list[int] | None, str | None],
    options: "RoundOptions",
) -> "Progress":
    """Return what changed with what it is worth on a course."""
    from holesim.course.course_file import load_course  # noqa: PLC0415
    from holesim.study.progress_worth import find_strokes_change  # noqa: PLC0415

    course, layout, hole, tee = where
    try:
        played = load_course(course, name=layout)
    except InputError as error:  # elsewhere the name is what --course states
        remedy = error.remedy.replace("--course NAME", "--layout NAME")
        raise InputError(error.file, error.place, error.problem, remedy) from None
    say("guessed", played.file, played.guesses)
    with working("comparing") as tick:
        strokes = find_strokes_change(
            played,
            sessions[0].player,
            sessions[-1].player,
            list(zip(found.before, found.strikes, strict=True)),
            options,
            holes=hole,
            tee=tee,
            progress=tick,
        )
    return replace(found, strokes=strokes)
