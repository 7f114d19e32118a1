"""`holesim measure`: a player from measured drives."""

from pathlib import Path
from typing import Annotated, Literal

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
from holesim.app.cli.feedback import compiling, tell
from holesim.app.cli.options import Metric, Seed, required
from holesim.errors import InputError, is_there


def measure(
    shots: Annotated[
        list[Path], typer.Argument(metavar="SHOTS", help="Measured drives (CSV), one table or several.")
    ],
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="PLAYER", help="Write the player file here.")
    ] = None,
    like: Annotated[
        Path | None, typer.Option("--like", metavar="PLAYER", help="A player file that says who it is.")
    ] = None,
    name: Name = None,
    hand: Hand = "right",
    sex: Sex = None,
    handicap: Handicap = None,
    balls: BallsHit = None,
    columns: Annotated[
        Path | None,
        typer.Option("--columns", metavar="FILE", help="What each column is, as --show-columns writes it."),
    ] = None,
    show_columns: Annotated[
        bool,
        typer.Option(
            "--show-columns", help="Print what each column is taken for, and write FILE if it is new."
        ),
    ] = False,
    dates: Dates = None,
    day_first: DayFirst = None,
    usual: Annotated[
        Literal["up", "level", "down"] | None,
        typer.Option("--usual", help="The driver strike that is hit when nothing asks for another."),
    ] = None,
    seed: Seed = 1,
    metric: Metric = False,
) -> None:
    """Fit a player file to drives measured on a launch monitor.

    It finds the strikes, the spread of each, and how surely they are known. Units and sides are read from the
    table, and what it leaves open is said. To see or correct what a column is taken for:

    holesim measure SHOTS --show-columns --columns columns.toml

    holesim measure SHOTS --columns columns.toml --out PLAYER ...

    with lines in columns.toml such as: carry = { header = "Carry", unit = "m" }

    Several tables are several sessions: a date is read from a date column, from a name such as
    "range 2026-05-12.csv", or from --date.
    """
    from holesim.common.safe_files import check_file, write_text  # noqa: PLC0415
    from holesim.measure.measure import (  # noqa: PLC0415
        fit_player,
        format_player_file,
        parse_player,
    )
    from holesim.pictures.measure_picture import save_measured_drives  # noqa: PLC0415
    from holesim.reports.measure_text import measure_text  # noqa: PLC0415

    if show_columns:
        if len(shots) > 1:
            raise InputError("--show-columns", "", f"shows one table, not {len(shots)}", "give one of them")
        _show_columns(shots[0], columns, balls)
        return
    out = required("--out", out)
    drives = read_drives(shots, columns=columns, balls=balls, dates=dates, day_first=day_first)
    golfer = describe_golfer(drives, like, name, hand, sex, handicap)
    picture = out.with_suffix(".png")
    check_file(out)
    check_file(picture)
    with compiling():
        found = fit_player(drives, golfer, usual=usual, seed=seed)
    text = format_player_file(found, golfer)
    fitted = parse_player(found, text)

    def draw_drives(folder: Path) -> None:
        save_measured_drives(found, fitted, folder / picture.name, metric=metric)

    written = write_text(out, text, draw_drives)
    tell(measure_text(found))
    tell(f"wrote {' and '.join(path.name for path in written)} in {out.parent}", err=True)


def _show_columns(shots: Path, columns: Path | None, balls: Literal["course", "range"] | None) -> None:
    """Print what each column is taken for; write it, too, where a file is named that is not there yet."""
    from holesim.common.safe_files import write_text  # noqa: PLC0415
    from holesim.measure.column_file import read_column_file  # noqa: PLC0415
    from holesim.measure.drives_table import look_at_columns  # noqa: PLC0415
    from holesim.reports.columns_text import columns_text  # noqa: PLC0415

    given = columns if columns is not None and is_there(columns) else None
    found = look_at_columns(shots, columns=given)
    if given is not None:
        balls = balls or read_column_file(given).balls
    text = columns_text(found, shots.name, balls)
    tell(text, nl=False)
    if columns is not None and given is None:
        write_text(columns, text)
        tell(f"wrote {columns}", err=True)
