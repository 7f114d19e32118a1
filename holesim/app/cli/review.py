"""`holesim review`: a round compared with its plan."""

from pathlib import Path
from typing import Annotated, Final

import typer

from holesim.app.cli.feedback import tell
from holesim.app.cli.options import FoundJson, FoundOut, Metric, Seed
from holesim.errors import InputError

_LEARNT: Final = "player.toml"


def review(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan.json that was played by.")],
    played: Annotated[
        Path, typer.Argument(metavar="ROUND", help="The round played (CSV), a row for each drive.")
    ],
    *,
    player: Annotated[
        Path | None,
        typer.Option("--player", metavar="PLAYER", help="With --out: also write this file, updated."),
    ] = None,
    out: FoundOut = None,
    as_json: FoundJson = False,
    metric: Metric = False,
    seed: Seed = 1,
) -> None:
    """Tell what a round teaches, compared with its plan.

    How far off and how widely did drives finish, was the score luck, what were the choices worth, and what is
    to be practised?
    """
    from holesim.common.safe_files import check_folder, json_text, write_found  # noqa: PLC0415
    from holesim.pictures.review_picture import save_review  # noqa: PLC0415
    from holesim.reports.review_text import NOT_LEARNT, review_text  # noqa: PLC0415
    from holesim.study.review_files import review_files  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    elif player is not None:
        raise InputError("--player", "", "has nowhere to be written", "add --out DIR")
    found, learnt = review_files(plan, played, player, seed=seed)
    if player is not None and learnt is None:
        tell(f"holesim: {NOT_LEARNT}: the player file is not written", err=True)

    def draw(folder: Path) -> None:
        save_review(found, folder, metric=metric)
        if learnt is not None:
            (folder / _LEARNT).write_text(learnt, encoding="utf-8")

    if out is not None:
        written = write_found("review", found.to_dict(), out, draw)
        tell(f"wrote {len(written)} files to {out}", err=True)
    tell(json_text(found.to_dict()).rstrip("\n") if as_json else review_text(found, metric=metric))
