"""Review: whether a round went as its plan said it would, and what its choices were worth.

A drive's finish or a hole's score is a single draw from the chances that the plan gave. How far off the plan
seems can only be judged against how far off a plan that is right would seem; that is simulated from the plan.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr
from scipy.stats import kstest

from holesim._version import __version__
from holesim.plan.plan_tables import PlanFile, StrikeFile
from holesim.study.forecasts import (
    EventCount,
    ForecastScore,
    brier_score,
    count_events,
    log_score,
    ranked_score,
    score_forecasts,
)
from holesim.study.lesson import (
    FEWEST,
    NAMES,
    Lesson,
    Measure,
    find_lesson,
    group_by_strike,
    lessons_dict,
    normal_scores,
)
from holesim.study.round_file import FINISHES, DriveResult, RoundFile
from holesim.study.round_strokes import Luck, StrokesDifference, find_differences, find_luck

Floats = NDArray[np.float64]

SCHEMA: Final = 2
_GROUPS: Final = {
    "fairway or green": ("fairway", "green"),
    "penalty area or out": ("penalty", "out"),
    **{name.replace("_", " "): (name,) for name in ("rough", "heavy_rough", "sand", "trees")},
}
_SCORED: Final = ("fairway or green", "penalty area or out")


@dataclass(frozen=True, kw_only=True)
class Review:
    """A round compared with its plan.

    Attributes
    ----------
    inputs
        SHA-256 of each file, by its name.
    played
        The round.
    lessons
        How the driver's drives compare with those planned, by "side" and "total"; None where they are few.
    counts, scores
        Where drives finished and what was scored, compared with the plan's chances.
    probabilities
        The plan's cumulative probability of each drive's distance ("total") and side: even from 0 to 1 if
        the plan is right.
    evenness
        The chance that they are as uneven as this or more, if the plan is right (Kolmogorov and Smirnov).
    luck
        The score compared with what was expected; None where no hole has a score and a finish.
    differences
        What the choices were worth.
    times_to_tell
        How many times as many holes it would take until scores tell the strikes apart; None if nothing says.
    """

    course: str
    player: str
    inputs: dict[str, str]
    played: RoundFile
    lessons: Mapping[Measure, Lesson | None]
    counts: tuple[EventCount, ...]
    scores: tuple[ForecastScore, ...]
    probabilities: Mapping[Measure, Floats]
    evenness: Mapping[Measure, float]
    luck: Luck | None
    differences: tuple[StrokesDifference, ...]
    times_to_tell: float | None

    def to_dict(self) -> dict[str, Any]:
        """Return the content of review.json."""
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": self.inputs,
            "course": self.course,
            "player": self.player,
            "date": None if self.played.played_on is None else self.played.played_on.isoformat(),
            "drives": len(self.played.drives),
            "unplanned": [str(drive) for drive in self.played.unplanned],
            **lessons_dict(self.lessons),
            "counts": [asdict(count) for count in self.counts],
            "scores": [asdict(score) for score in self.scores],
            "levels": {name: values.round(4).tolist() for name, values in self.probabilities.items()},
            "even": self.evenness,
            "luck": None if self.luck is None else asdict(self.luck),
            "gains": [asdict(difference) for difference in self.differences],
            "times_to_tell": self.times_to_tell,
        }


def compare_round(played: RoundFile, plan: PlanFile, *, inputs: dict[str, str], seed: int = 1) -> Review:
    """Compare a round with its plan.

    Parameters
    ----------
    played
        The round.
    plan
        The plan that it was played by.
    inputs
        SHA-256 of the plan's file, by its name; kept in the review.
    seed
        The same seed gives the same simulated rounds.

    Notes
    -----
    The plan's chances are means over all golfers who may be the true one. What all drives of the one golfer
    have in common is not allowed for, so a long series seems off sooner than it is.
    """
    rng = np.random.default_rng(seed)
    counts, scores = _judge_finishes(played, plan.draws, rng)
    on_par, score = _judge_scores(played, rng)
    measures: tuple[Measure, ...] = ("total", "side")
    probabilities = {name: _find_probabilities(played.drives, name, plan.probabilities) for name in measures}
    differences, times = find_differences(played.drives, plan)
    return Review(
        course=plan.course,
        player=plan.player,
        inputs=inputs,
        played=played,
        lessons={name: find_lesson(played.drives, name, plan.probabilities) for name in NAMES},
        counts=(*counts, *on_par),
        scores=(*scores, *score),
        probabilities=probabilities,
        evenness={
            name: float(kstest(values, "uniform").pvalue)
            for name, values in probabilities.items()
            if len(values) >= FEWEST
        },
        luck=find_luck(played.drives, plan),
        differences=tuple(differences),
        times_to_tell=times,
    )


# --- counts and proper scores ---------------------------------------------------------------------


def _judge_finishes(
    played: RoundFile, draws: int, rng: np.random.Generator
) -> tuple[list[EventCount], list[ForecastScore]]:
    """Compare where drives finished with the plan's chances."""
    drives = [drive for drive in played.drives if drive.lie]
    if not drives:
        return [], []
    chances = np.array([_finish_chances(drive.strike, draws) for drive in drives])
    finish = np.array([FINISHES.index(drive.lie) for drive in drives], dtype=np.int64)
    counts, scores = [], []
    for name, kinds in _GROUPS.items():
        columns = [FINISHES.index(kind) for kind in kinds]
        forecast, happened = chances[:, columns].sum(axis=1), np.isin(finish, columns)
        counts.append(count_events(name, forecast, happened))
        if name in _SCORED:
            both = np.stack([forecast, 1 - forecast], axis=1)
            scores.append(score_forecasts(f"Brier, {name}", both, 1 - happened, brier_score, rng))
    scores.append(score_forecasts("logarithmic, where drives finished", chances, finish, log_score, rng))
    return counts, scores


def _judge_scores(
    played: RoundFile, rng: np.random.Generator
) -> tuple[list[EventCount], list[ForecastScore]]:
    """Compare scores on the holes with the plan's chances."""
    drives = [drive for drive in played.drives if drive.score > 0]
    if not drives:
        return [], []
    chances = _score_chances([drive.strike.scores for drive in drives])
    score = np.array([int(drive.score) - 1 for drive in drives]).clip(max=chances.shape[1] - 1)
    par = np.array([drive.tee.par for drive in drives])
    name, forecast = "par or better", np.array([row[:p].sum() for row, p in zip(chances, par, strict=True)])
    happened = score + 1 <= par
    rule = "ranked probability, score on the hole"
    return (
        [count_events(name, forecast, happened)],
        [score_forecasts(rule, chances, score, ranked_score, rng)],
    )


def _finish_chances(strike: StrikeFile, draws: int) -> Floats:
    """Return the chance of each finish; one that no drive of the plan had counts as half a drive's."""
    shares = np.maximum([getattr(strike, name) for name in FINISHES], 0.5 / draws)
    return np.asarray(shares / shares.sum())


def _score_chances(scores: Sequence[Sequence[float]]) -> Floats:
    """Return the chance of each score, a row for each drive."""
    longest = max(map(len, scores))
    rows = np.array([[*row, *[0.0] * (longest - len(row))] for row in scores])
    return np.asarray(rows / rows.sum(axis=1, keepdims=True))


def _find_probabilities(drives: Sequence[DriveResult], measure: Measure, planned: Sequence[float]) -> Floats:
    """Return the plan's cumulative probability of each drive's distance or side, strike by strike."""
    groups = group_by_strike(drives, measure)
    scores = [normal_scores(values, quantiles, np.array(planned)) for values, quantiles in groups]
    return np.asarray(ndtr(np.concatenate([[], *scores])))
