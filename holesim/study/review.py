"""Review: whether a round went as its plan said it would, and what its choices were worth.

A drive's finish or a hole's score is a single draw from the chances that the plan gave. How far off the plan
seems can only be judged against how far off a plan that is right would seem; that is simulated from the plan.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import sqrt
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import kstest

from holesim._version import __version__
from holesim.common.toml_tables import to_toml
from holesim.plan.goal import CLOSE, GoalName
from holesim.plan.plan_tables import PlanFile, StrikeFile
from holesim.player.make_player import make_player
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import PlayerFile
from holesim.player.population import SPREAD_WEIGHT
from holesim.study.forecasts import (
    EventCount,
    ForecastScore,
    brier_score,
    count_events,
    log_score,
    ranked_score,
    score_forecasts,
)
from holesim.study.round_file import FINISHES, DriveResult, RoundFile
from holesim.units import DEGREE

Floats = NDArray[np.float64]

SCHEMA: Final = 1
_NORMAL_95: Final = 1.96  # standard deviations of a normal 95 % interval
_FEWEST: Final = 5  # drives below which their directions and distances are not judged
_WIDENED: Final = ("face_deg", "path_deg")
_GROUPS: Final = {
    "fairway or green": ("fairway", "green"),
    "penalty area or out": ("penalty", "out"),
    **{name.replace("_", " "): (name,) for name in ("rough", "heavy_rough", "sand", "trees")},
}
_SCORED: Final = ("fairway or green", "penalty area or out")


@dataclass(frozen=True, kw_only=True)
class StrokesDifference:
    """How many strokes more something cost than something else, summed over holes, with its 95 % interval."""

    name: str
    holes: int
    strokes: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Review:
    """A round compared with its plan.

    Attributes
    ----------
    inputs
        SHA-256 of each file, by its name.
    played
        The round.
    counts, scores
        Where drives finished and what was scored, compared with the plan's chances.
    probabilities
        The plan's cumulative probability of each drive's distance ("total") and side: even from 0 to 1 if
        the plan is right.
    evenness
        The chance that they are as uneven as this or more, if the plan is right (Kolmogorov and Smirnov).
    forecasts
        The chances that the plan gave to an event, and whether it happened.
    differences
        What the choices were worth.
    times_to_tell
        How many times as many holes it would take until scores tell the strikes apart; None if nothing says.
    """

    course: str
    player: str
    inputs: dict[str, str]
    played: RoundFile
    counts: tuple[EventCount, ...]
    scores: tuple[ForecastScore, ...]
    probabilities: dict[str, Floats]
    evenness: dict[str, float]
    forecasts: dict[str, tuple[Floats, NDArray[np.bool_]]]
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
            "drives": len(self.played.drives),
            "unplanned": [str(drive) for drive in self.played.unplanned],
            "counts": [asdict(count) for count in self.counts],
            "scores": [asdict(score) for score in self.scores],
            "levels": {name: values.round(4).tolist() for name, values in self.probabilities.items()},
            "even": self.evenness,
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
    counts, scores, forecasts = _judge_finishes(played, plan.draws, rng)
    on_par, score, par_forecast = _judge_scores(played, rng)
    probabilities = {
        name: np.array([
            p
            for drive in played.drives
            if (p := _find_probability(drive, name, plan.probabilities)) is not None
        ])
        for name in ("total", "side")
    }  # fmt: skip
    differences, times = _find_differences(played.drives, plan.options.goal)
    return Review(
        course=plan.course,
        player=plan.player,
        inputs=inputs,
        played=played,
        counts=(*counts, *on_par),
        scores=(*scores, *score),
        probabilities=probabilities,
        evenness={
            name: float(kstest(values, "uniform").pvalue)
            for name, values in probabilities.items()
            if len(values) >= _FEWEST
        },
        forecasts=forecasts | par_forecast,
        differences=tuple(differences),
        times_to_tell=times,
    )


# --- counts and proper scores ---------------------------------------------------------------------

_Forecasts = dict[str, tuple[Floats, NDArray[np.bool_]]]


def _judge_finishes(
    played: RoundFile, draws: int, rng: np.random.Generator
) -> tuple[list[EventCount], list[ForecastScore], _Forecasts]:
    """Compare where drives finished with the plan's chances."""
    drives = [drive for drive in played.drives if drive.lie]
    if not drives:
        return [], [], {}
    chances = np.array([_finish_chances(drive.strike, draws) for drive in drives])
    finish = np.array([FINISHES.index(drive.lie) for drive in drives], dtype=np.int64)
    counts, scores, forecasts = [], [], {}
    for name, kinds in _GROUPS.items():
        columns = [FINISHES.index(kind) for kind in kinds]
        forecast, happened = chances[:, columns].sum(axis=1), np.isin(finish, columns)
        forecasts[name] = forecast, happened
        counts.append(count_events(name, forecast, happened))
        if name in _SCORED:
            both = np.stack([forecast, 1 - forecast], axis=1)
            scores.append(score_forecasts(f"Brier, {name}", both, 1 - happened, brier_score, rng))
    scores.append(score_forecasts("logarithmic, where drives finished", chances, finish, log_score, rng))
    return counts, scores, forecasts


def _judge_scores(
    played: RoundFile, rng: np.random.Generator
) -> tuple[list[EventCount], list[ForecastScore], _Forecasts]:
    """Compare scores on the holes with the plan's chances."""
    drives = [drive for drive in played.drives if drive.score > 0]
    if not drives:
        return [], [], {}
    chances = _score_chances([drive.strike.scores for drive in drives])
    score = np.array([int(drive.score) - 1 for drive in drives]).clip(max=chances.shape[1] - 1)
    par = np.array([drive.tee.par for drive in drives])
    name, forecast = "par or better", np.array([row[:p].sum() for row, p in zip(chances, par, strict=True)])
    happened = score + 1 <= par
    rule = "ranked probability, score on the hole"
    return (
        [count_events(name, forecast, happened)],
        [score_forecasts(rule, chances, score, ranked_score, rng)],
        {name: (forecast, happened)},
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


def _find_probability(drive: DriveResult, what: str, probabilities: Sequence[float]) -> float | None:
    """Return the plan's cumulative probability of a drive's distance or side.

    It goes on evenly beyond the plan's last quantiles. None where nothing is recorded, and for a ball that is
    out: nobody knows how far it went.
    """
    quantiles = getattr(drive.strike, f"{what}_quantiles_yd")
    value = float(getattr(drive, what))
    if quantiles is None or drive.lie == "out" or np.isnan(value):
        return None
    x, p = np.array(quantiles), np.array(probabilities)
    below = x[0] - (x[1] - x[0]) * p[0] / (p[1] - p[0])
    above = x[-1] + (x[-1] - x[-2]) * (1 - p[-1]) / (p[-1] - p[-2])
    return float(np.interp(value, [below, *x, above], [0.0, *p, 1.0]))


# --- what the choices were worth ------------------------------------------------------------------


def _find_differences(
    drives: Sequence[DriveResult], goal: GoalName
) -> tuple[list[StrokesDifference], float | None]:
    """Return what choices saved or cost, and how many times as many holes it takes until scores tell."""
    rivals = [(r, d.tee.chosen()) for d in drives if (r := d.tee.choice_rival()) is not None]
    # A plan keeps to a usual strike that costs hardly more, so nothing is lost by hitting it.
    strayed = [(d.strike, c) for d in drives if d.strike.strokes - (c := d.tee.chosen()).strokes >= CLOSE]
    scored = [(d, r) for d in drives if (r := _find_next_best(d)) is not None and d.score > 0]
    found = [
        _sum_differences("the plan's strikes: expected to save over the others", rivals, goal),
        _sum_differences("other strikes than planned: expected to cost", strayed, goal),
    ]
    if not scored:
        return found, None
    half = _NORMAL_95 * sqrt(sum(_score_variance(drive.strike) for drive, _ in scored))
    for name, expected in (
        ("score card, more than expected", [d.strike.strokes for d, _ in scored]),
        ("score card, more than expected of the other strike", [r.strokes for _, r in scored]),
    ):
        over = sum(d.score - strokes for (d, _), strokes in zip(scored, expected, strict=True))
        found.append(
            StrokesDifference(name=name, holes=len(scored), strokes=over, low=over - half, high=over + half)
        )
    saved = abs(sum(r.strokes - d.strike.strokes for d, r in scored))
    return found, (half / saved) ** 2 if saved > 0.005 else None


def _find_next_best(drive: DriveResult) -> StrikeFile | None:
    """Return the best strike besides the one hit, with the same club if there is one."""
    others = [s for s in drive.tee.strikes if s is not drive.strike]
    own = [s for s in others if s.club == drive.strike.club]
    return min(own or others, key=lambda s: s.strokes, default=None)


def _sum_differences(
    name: str, pairs: Sequence[tuple[StrikeFile, StrikeFile]], goal: GoalName
) -> StrokesDifference:
    """Return how much more the first of each pair costs than the second, which is the choice of a tee.

    What is unknown of a golfer is the same on every hole, so half-widths add up as they are.
    """
    over = sum(a.strokes - b.strokes for a, b in pairs)
    half = sum(_half_width(a, b, goal) for a, b in pairs)
    return StrokesDifference(name=name, holes=len(pairs), strokes=over, low=over - half, high=over + half)


def _half_width(strike: StrikeFile, choice: StrikeFile, goal: GoalName) -> float:
    """Return half the width of the 95 % interval of what a strike costs more than the choice [strokes]."""
    over = strike.over_choice
    if goal == "mean" and over is not None:
        return (over.high - over.low) / 2
    return _NORMAL_95 * sqrt(strike.strokes_se**2 + choice.strokes_se**2)


def _score_variance(strike: StrikeFile) -> float:
    chances, strokes = np.array(strike.scores), np.arange(1, len(strike.scores) + 1)
    mean = (chances * strokes).sum() / chances.sum()
    return float((chances * (strokes - mean) ** 2).sum() / chances.sum())


# --- the player -----------------------------------------------------------------------------------


def update_player(golfer: PlayerFile, probabilities: Floats) -> str | None:
    """Return the text of a player file whose spread has learnt from the directions of a round.

    Parameters
    ----------
    golfer
        Their file, with a club speed in place of each carry.
    probabilities
        The plan's cumulative probability of each drive's side.

    Returns
    -------
    The text; None for fewer than five drives.

    Notes
    -----
    As normal scores the sides have a variance of one if the plan is right. One factor scales the variances of
    both face and path, as a direction cannot tell one from the other. Its prior is an inverse χ², worth as
    many drives as the standard error of the spread stands for (Gelman et al., Bayesian Data Analysis, 2013,
    ch. 2).
    """
    if len(probabilities) < _FEWEST:
        return None
    square, n = float((ndtri(probabilities.clip(0.002, 0.998)) ** 2).sum()), len(probabilities)
    told = golfer.model_dump(exclude_unset=True, exclude_none=True)
    usual = default_spread(golfer.handicap_index, make_player(golfer, "", "").club_speed)
    spread = told.setdefault("spread", {})
    for key in _WIDENED:
        spread.setdefault(key, round(float(getattr(usual, key.removesuffix("_deg"))) / DEGREE, 3))
    own = [s["spread"] for s in told.get("strikes", {}).values() if s.get("spread")]
    for table in (spread, *own):
        for key in _WIDENED:
            if key in table:
                _update_spread(table, key, square, n)
    told["measured"] = {"drives": told.get("measured", {}).get("drives", 0) + n}
    head = f"# Made by holesim review: the spread of face and path has learnt from {n} drives."
    return f"{head}\n\n{to_toml(told)}"


def _update_spread(table: dict[str, Any], key: str, square: float, n: int) -> None:
    """Update a standard deviation and its standard error by the sum of squares of `n` normal scores."""
    se = table.setdefault("se", {})
    # A standard deviation found from n drives has a standard error of 1/√(2n) of itself.
    weight = 0.5 * (table[key] / se[key]) ** 2 if se.get(key) else SPREAD_WEIGHT
    table[key] = float(f"{table[key] * sqrt((weight + square) / (weight + n)):.3g}")
    se[key] = float(f"{table[key] / sqrt(2 * (weight + n)):.3g}")
