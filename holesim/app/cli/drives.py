"""Measured drives as commands read them: the options that they share, and what is said of the tables."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from holesim.app.cli.feedback import say
from holesim.app.cli.options import required

if TYPE_CHECKING:
    from holesim.measure.drives_table import DrivesTable
    from holesim.player.player_file import PlayerFile

Name = Annotated[str | None, typer.Option("--name", help="Who it is, without --like.")]
Hand = Annotated[Literal["right", "left"], typer.Option("--hand", help="Without --like.")]
Sex = Annotated[Literal["man", "woman"] | None, typer.Option("--sex", help="Without --like.")]
Handicap = Annotated[
    float | None, typer.Option("--handicap", help="Handicap index, without --like; plus is negative.")
]
BallsHit = Annotated[
    Literal["course", "range"] | None,
    typer.Option("--balls", help="The player's own, or off the range: direction only."),
]
Dates = Annotated[
    list[str] | None,
    typer.Option("--date", metavar="DATE", help="A table's date, as 2026-05-12; repeat, in their order."),
]
DayFirst = Annotated[
    bool | None,
    typer.Option("--day-first/--month-first", help="What 12/05/2026 means, where the table does not tell."),
]


def read_drives(
    paths: Sequence[Path],
    *,
    columns: Path | None,
    balls: Literal["course", "range"] | None,
    dates: Sequence[str] | None,
    day_first: bool | None,
) -> "DrivesTable":
    """Read tables of measured drives as one, with their sessions; say what was assumed of them."""
    from holesim.measure.sessions import join_tables, load_tables  # noqa: PLC0415

    tables = load_tables(paths, columns=columns, balls=balls)
    for table in tables:
        say("warning", table.file, table.guesses)
    joined = join_tables(tables, dates=dates or (), day_first=day_first)
    say("warning", "dates" if len(tables) > 1 else joined.file, joined.guesses)
    return joined


def describe_golfer(
    drives: "DrivesTable",
    like: Path | None,
    name: str | None,
    hand: Literal["right", "left"],
    sex: Literal["man", "woman"] | None,
    handicap: float | None,
) -> "PlayerFile":
    """Return what is known of a golfer before the drives are looked at: a player file's, or as told."""
    from holesim.measure.measure import describe_player  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415

    if like is not None:
        return load_player_file(like)[0]
    return describe_player(
        drives, required("--name", name), hand, required("--sex", sex), required("--handicap", handicap)
    )
