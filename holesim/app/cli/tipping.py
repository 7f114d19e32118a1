"""`holesim tipping`: where the better strike changes."""

from functools import partial
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from holesim.app.cli.feedback import tell, working
from holesim.app.cli.inputs import read_both
from holesim.app.cli.options import (
    ROUND,
    CourseFile,
    CourseName,
    FoundJson,
    FoundOut,
    Metric,
    PlayerFile,
    with_round,
)

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions

_Over = Literal[
    "club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"
]  # fmt: skip


@with_round(*ROUND)
def tipping(
    course: CourseFile,
    player: PlayerFile,
    *,
    over: Annotated[_Over, typer.Option("--over", help="What changes; all else stays as it is.")],
    layout: CourseName = None,
    hole: Annotated[
        int | None, typer.Option("--hole", metavar="N", help="Ask of this hole; else of one strike all day.")
    ] = None,
    tee: Annotated[
        str | None, typer.Option("--tee", metavar="NAME", help="From this tee; else the player's.")
    ] = None,
    out: FoundOut = None,
    as_json: FoundJson = False,
    metric: Metric = False,
    rounds: "list[RoundOptions]",
) -> None:
    """Find where the better strike changes as one thing does."""
    from holesim.common.safe_files import check_folder, json_text, write_found  # noqa: PLC0415
    from holesim.pictures.break_even_picture import save_break_even  # noqa: PLC0415
    from holesim.reports.break_even_text import break_even_dict, break_even_text  # noqa: PLC0415
    from holesim.study.break_even import find_break_even  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    played, golfer = read_both(course, layout, player)
    (options,) = rounds
    with working("looking") as progress:
        found = find_break_even(played, golfer, over, options, hole=hole, tee=tee, progress=progress)
    content = break_even_dict(found)
    if out is not None:
        draw = partial(save_break_even, found, metric=metric)
        written = write_found("tipping", content, out, draw)
        tell(f"wrote {len(written)} files to {out}", err=True)
    tell(json_text(content).rstrip("\n") if as_json else break_even_text(found, metric=metric))
