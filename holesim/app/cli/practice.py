"""`holesim practice`: what practice would be worth."""

from typing import TYPE_CHECKING

from holesim.app.cli.feedback import tell, working
from holesim.app.cli.inputs import read_both
from holesim.app.cli.options import (
    ROUND,
    CourseFile,
    CourseName,
    FoundJson,
    Holes,
    OneTee,
    PlayerFile,
    with_round,
)

if TYPE_CHECKING:
    from holesim.plan.round_options import RoundOptions


@with_round(*ROUND)
def practice(
    course: CourseFile,
    player: PlayerFile,
    *,
    layout: CourseName = None,
    hole: Holes = None,
    tee: OneTee = None,
    as_json: FoundJson = False,
    rounds: "list[RoundOptions]",
) -> None:
    """Say what practice would be worth, and which error costs most."""
    from holesim.common.safe_files import json_text  # noqa: PLC0415
    from holesim.reports.practice_text import practice_text  # noqa: PLC0415
    from holesim.study.practice import find_practice_worth  # noqa: PLC0415

    played, golfer = read_both(course, layout, player)
    (options,) = rounds
    with working("practising") as progress:
        found = find_practice_worth(played, golfer, options, holes=hole, tee=tee, progress=progress)
    tell(json_text(found.to_dict()).rstrip("\n") if as_json else practice_text(found))
