"""`holesim review`: a round compared with its plan."""

from pathlib import Path
from typing import Annotated, Final

import typer

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
    from holesim.plan.plan_file import load_plans, only_plan  # noqa: PLC0415
    from holesim.reports.review_text import review_text  # noqa: PLC0415
    from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415
    from holesim.study.learnt_player import update_player  # noqa: PLC0415
    from holesim.study.review import compare_round  # noqa: PLC0415
    from holesim.study.round_file import load_round  # noqa: PLC0415

    if out is not None:
        check_folder(out)
        learnt_path = out / _LEARNT
        if player is not None and player.exists() and learnt_path.exists() and player.samefile(learnt_path):
            raise InputError("--out", "", f"would overwrite {player}", "give another folder")
    elif player is not None:
        raise InputError("--player", "", "has nowhere to be written", "add --out DIR")
    plans, sha256 = load_plans(plan)
    planned = only_plan(plans, plan)
    recorded = load_round(played, planned)
    golfer = None if player is None else load_player_file(player)[0]
    found = compare_round(recorded, planned, inputs={plan.name: sha256}, seed=seed)
    learnt = None if golfer is None else update_player(golfer, found.lessons, recorded.drives)
    if golfer is not None and learnt is None:
        typer.echo(
            "holesim: too few drives with the driver have a side: the player file is not written", err=True
        )

    def draw(folder: Path) -> None:
        save_review(found, folder, metric=metric)
        if learnt is not None:
            (folder / _LEARNT).write_text(learnt, encoding="utf-8")

    if out is not None:
        written = write_found("review", found.to_dict(), out, draw)
        typer.echo(f"wrote {len(written)} files to {out}", err=True)
    typer.echo(json_text(found.to_dict()).rstrip("\n") if as_json else review_text(found, metric=metric))
