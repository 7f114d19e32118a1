"""A review of a round from its files, and the golfer's file as it learns from the round."""

from pathlib import Path
from typing import NamedTuple

from holesim.plan.plan_file import load_plans, only_plan
from holesim.shot.club_speeds import load_player_file
from holesim.study.learnt_player import update_player
from holesim.study.review import Review, compare_round
from holesim.study.round_file import load_round


class ReviewedFiles(NamedTuple):
    """A round compared with its plan.

    `learnt` is the text of the golfer's file as it has learnt; None where no file was given, or too few
    drives with the driver have a side.
    """

    review: Review
    learnt: str | None


def review_files(plan: Path, played: Path, player: Path | None = None, *, seed: int = 1) -> ReviewedFiles:
    """Compare a round with its plan, and let a golfer's file learn from it.

    Parameters
    ----------
    plan
        The plan.json that was played by.
    played
        The round's table (CSV).
    player
        The golfer's file, which stays as it is; None if nothing is to learn.
    seed
        The same seed gives the same simulated rounds.

    Raises
    ------
    InputError
        If a file cannot be read, or does not go with the others.
    """
    plans, sha256 = load_plans(plan)
    planned = only_plan(plans, plan)
    recorded = load_round(played, planned)
    golfer = None if player is None else load_player_file(player)[0]
    found = compare_round(recorded, planned, inputs={plan.name: sha256}, seed=seed)
    learnt = None if golfer is None else update_player(golfer, found.lessons, recorded.drives)
    return ReviewedFiles(found, learnt)
