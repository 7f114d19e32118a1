"""Review: whether a round was as likely as the plan said, and what its choices were worth.

A drive's finish or a hole's score is one draw from what the plan gave chances to, so how far off a plan is
can only be judged against how far off it would be if it were right: that is simulated from the plan.
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
from holesim.plan.plan_file import StrikeFile
from holesim.player.make_player import make_player
from holesim.player.player_defaults import default_spread
from holesim.player.player_file import PlayerFile
from holesim.player.population import SPREAD_WEIGHT
from holesim.study.round_file import FINISHES, PlayedDrive
from holesim.units import DEGREE

Floats = NDArray[np.float64]

SCHEMA: Final = 1
_ROUNDS: Final = 4000  # simulated from the plan
_SURE: Final = 1.96  # standard deviations that hold nineteen in twenty, for sums of many
_FEW: Final = 5  # drives of which the directions say something
_WIDENED: Final = ("face_deg", "path_deg")


@dataclass(frozen=True, kw_only=True)
class Count:
    """How many of `drives` ended so, how many the plan expected, and between what nineteen in twenty lie.

    `chance` is how likely a count at least as unlikely is if the plan is right.
    """

    name: str
    drives: int
    observed: int
    expected: float
    low: int
    high: int
    chance: float


@dataclass(frozen=True, kw_only=True)
class Score:
    """A proper score, lower being better: what the plan got, and what it gets on average if it is right.

    `chance` is how likely so bad a score or a worse one is then.
    """

    name: str
    cases: int
    got: float
    expected: float
    chance: float


@dataclass(frozen=True, kw_only=True)
class StrokesGained:
    """A sum of strokes over holes, with its 95 % interval."""

    name: str
    holes: int
    strokes: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Review:
    """A round against its plan.

    `levels` are where each drive's distance and side lie in the plan's distribution, from 0 to 1, evenly so
    if it is right; `even` the chance of so uneven ones. `forecasts` are chances the plan gave, and whether
    each came true.
    """

    course: str
    player: str
    inputs: dict[str, str]
    drives: tuple[PlayedDrive, ...]
    unplanned: tuple[str, ...]
    counts: tuple[Count, ...]
    scores: tuple[Score, ...]
    levels: dict[str, Floats]
    even: dict[str, float]
    forecasts: dict[str, tuple[Floats, NDArray[np.bool_]]]
    gains: tuple[StrokesGained, ...]
    times_to_tell: float | None

    def to_dict(self) -> dict[str, Any]:
        """Return the content of review.json."""
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": self.inputs,
            "course": self.course,
            "player": self.player,
            "drives": len(self.drives),
            "unplanned": list(self.unplanned),
            "counts": [asdict(count) for count in self.counts],
            "scores": [asdict(score) for score in self.scores],
            "levels": {name: levels.round(4).tolist() for name, levels in self.levels.items()},
            "even": self.even,
            "gains": [asdict(gain) for gain in self.gains],
            "times_to_tell": self.times_to_tell,
        }


def review(
    drives: Sequence[PlayedDrive],
    unplanned: Sequence[str],
    probabilities: Sequence[float],
    *,
    course: str,
    player: str,
    inputs: dict[str, str],
    draws: int,
    goal: GoalName = "mean",
    seed: int = 1,
) -> Review:
    """Hold a round against its plan.

    Parameters
    ----------
    probabilities
        Of the quantiles of distance and side.
    draws
        How many drives the plan's shares were counted from: what none of them did is taken for half of one.
    goal
        What the plan's choices were for.

    Notes
    -----
    Chances are those of the plan, over all golfers who may be the true one: what all drives of one golfer
    have in common is not allowed for, so that a long series seems off sooner than it is.
    """
    rng = np.random.default_rng(seed)
    placed = [drive for drive in drives if drive.lie]
    scored = [drive for drive in drives if drive.score > 0]
    chances = np.array([_finishes(drive.strike, draws) for drive in placed]).reshape(-1, len(FINISHES))
    ended = np.array([FINISHES.index(drive.lie) for drive in placed], dtype=np.int64)
    counts, scores, forecasts = [], [], {}
    for name, kinds in _GROUPS.items():
        if not placed:
            continue
        columns = [FINISHES.index(kind) for kind in kinds]
        likely, came = chances[:, columns].sum(axis=1), np.isin(ended, columns)
        forecasts[name] = likely, came
        counts.append(_count(name, likely, came))
        if name in _JUDGED:
            scores.append(_score(f"Brier, {name}", likely[:, None] * [1, -1] + [0, 1], 1 - came, _brier, rng))
    if placed:
        scores.append(_score("logarithmic, where drives ended", chances, ended, _logarithmic, rng))
    if scored:
        within = _padded([drive.strike.scores for drive in scored])
        strokes = np.array([int(drive.score) - 1 for drive in scored]).clip(max=within.shape[1] - 1)
        par = np.array([drive.tee.par for drive in scored])
        likely = np.array([row[:p].sum() for row, p in zip(within, par, strict=True)])
        forecasts["par or better"] = likely, strokes + 1 <= par
        counts.append(_count("par or better", likely, strokes + 1 <= par))
        scores.append(_score("ranked probability, score on the hole", within, strokes, _ranked, rng))
    levels = {
        name: np.array(
            [level for drive in drives if (level := _level(drive, name, probabilities)) is not None]
        )
        for name in ("total", "side")
    }
    gains, times = _gains(drives, goal)
    return Review(
        course=course,
        player=player,
        inputs=inputs,
        drives=tuple(drives),
        unplanned=tuple(unplanned),
        counts=tuple(counts),
        scores=tuple(scores),
        levels=levels,
        even={name: float(kstest(u, "uniform").pvalue) for name, u in levels.items() if len(u) >= _FEW},
        forecasts=forecasts,
        gains=tuple(gains),
        times_to_tell=times,
    )


_JUDGED: Final = ("fairway or green", "penalty area or out")
_GROUPS: Final = {
    "fairway or green": ("fairway", "green"),
    "penalty area or out": ("penalty", "out"),
    **{name.replace("_", " "): (name,) for name in ("rough", "heavy_rough", "sand", "trees")},
}


def _finishes(strike: StrikeFile, draws: int) -> Floats:
    """Return the chance of each finish; none is impossible."""
    shares = np.maximum([getattr(strike, name) for name in FINISHES], 0.5 / draws)
    return np.asarray(shares / shares.sum())


def _padded(chances: Sequence[Sequence[float]]) -> Floats:
    """Return chances of scores as rows of one length that add to one."""
    longest = max(map(len, chances))
    rows = np.array([[*row, *[0.0] * (longest - len(row))] for row in chances])
    return np.asarray(rows / rows.sum(axis=1, keepdims=True))


# --- counts and proper scores ---------------------------------------------------------------------


def counts_of(likely: Floats) -> Floats:
    """Return the chance of each number of events of which each has its own chance (Poisson's binomial)."""
    found = np.ones(1)
    for p in likely:
        found = np.convolve(found, [1 - p, p])
    return found


def _count(name: str, likely: Floats, came: NDArray[np.bool_]) -> Count:
    chances, observed = counts_of(likely), int(came.sum())
    within = np.cumsum(chances)
    return Count(
        name=name,
        drives=len(likely),
        observed=observed,
        expected=float(likely.sum()),
        low=int(np.searchsorted(within, 0.025)),
        high=int(np.searchsorted(within, 0.975)),
        chance=float(min(chances[chances <= chances[observed] * (1 + 1e-9)].sum(), 1.0)),
    )


def _brier(chances: Floats, outcome: NDArray[np.int64]) -> Floats:
    """Return (p - o)² of an event, the first of two outcomes (Brier, Mon. Weather Rev. 78, 1950, halved)."""
    return np.asarray((chances[:, 0] - (outcome == 0)) ** 2)


def _logarithmic(chances: Floats, outcome: NDArray[np.int64]) -> Floats:
    """Return minus the logarithm of what the outcome was given (Good, J. R. Stat. Soc. B 14, 1952)."""
    return np.asarray(-np.log(np.maximum(chances[np.arange(len(outcome)), outcome], 1e-12)))


def _ranked(chances: Floats, outcome: NDArray[np.int64]) -> Floats:
    """Return the ranked probability score (Epstein, J. Appl. Meteorol. 8, 1969), as a sum."""
    within = np.cumsum(chances, axis=1)
    return np.asarray(((within - (np.arange(chances.shape[1]) >= outcome[:, None])) ** 2).sum(axis=1))


def _score(name: str, chances: Floats, outcome: Any, rule: Any, rng: np.random.Generator) -> Score:  # noqa: ANN401
    """Return a mean score, and what it is over rounds simulated from the plan."""
    edges = np.cumsum(chances, axis=1)
    drawn = rng.random((_ROUNDS, len(chances), 1))
    simulated = (drawn > edges[None, :, :-1]).sum(axis=2)
    got = float(rule(chances, np.asarray(outcome)).mean())
    # Of the score of each outcome a table is made once, for each case.
    table = np.stack([rule(chances, np.full(len(chances), k)) for k in range(chances.shape[1])], axis=1)
    means = np.take_along_axis(table[None], simulated[:, :, None], axis=2)[:, :, 0].mean(axis=1)
    return Score(
        name=name,
        cases=len(chances),
        got=got,
        expected=float((chances * table).sum(axis=1).mean()),
        chance=float((1 + (means >= got - 1e-12).sum()) / (1 + _ROUNDS)),
    )


def _level(drive: PlayedDrive, what: str, probabilities: Sequence[float]) -> float | None:
    """Return where a drive lies in the plan's distribution, which goes on beyond its last quantiles evenly.

    None of a ball that is out, whose distance nobody knows, nor where nothing is told.
    """
    quantiles = getattr(drive.strike, f"{what}_quantiles_yd")
    value = float(getattr(drive, what))
    if quantiles is None or drive.lie == "out" or np.isnan(value):
        return None
    x, p = np.array(quantiles), np.array(probabilities)
    below, above = (
        x[0] - (x[1] - x[0]) * p[0] / (p[1] - p[0]),
        x[-1] + (x[-1] - x[-2]) * (1 - p[-1]) / (p[-1] - p[-2]),
    )
    return float(np.interp(value, [below, *x, above], [0.0, *p, 1.0]))


# --- what choices were worth ----------------------------------------------------------------------


def _gains(drives: Sequence[PlayedDrive], goal: GoalName) -> tuple[list[StrokesGained], float | None]:
    """Return what choices saved or lost, and how many times as many holes it takes until scores tell."""
    rivals = [(r, d.tee.chosen()) for d in drives if (r := d.tee.held_against()) is not None]
    # A plan itself keeps to a usual strike that costs hardly more, so nothing is lost by one.
    strayed = [(d.strike, c) for d in drives if d.strike.strokes - (c := d.tee.chosen()).strokes >= CLOSE]
    scored = [(d, r) for d in drives if (r := _rival(d)) is not None and d.score > 0]
    found = [
        _sum("saved by the choices over the other strike, by the plan", rivals, goal),
        _sum("lost by strikes not as planned, by the plan", strayed, goal),
    ]
    if not scored:
        return found, None
    spread = sqrt(sum(_variance(drive.strike) for drive, _ in scored))
    for name, by in (
        ("score card over what was expected", 0),
        ("score card over what the other strike expects", 1),
    ):
        over = sum(d.score - (d.strike if by == 0 else r).strokes for d, r in scored)
        found.append(
            StrokesGained(
                name=name,
                holes=len(scored),
                strokes=over,
                low=over - _SURE * spread,
                high=over + _SURE * spread,
            )
        )
    saved = abs(sum(r.strokes - d.strike.strokes for d, r in scored))
    return found, (_SURE * spread / saved) ** 2 if saved > 0.005 else None


def _rival(drive: PlayedDrive) -> StrikeFile | None:
    """Return the best strike besides the one hit, of the driver if that was hit."""
    others = [s for s in drive.tee.strikes if s is not drive.strike]
    own = [s for s in others if s.club == drive.strike.club]
    return min(own or others, key=lambda s: s.strokes, default=None)


def _sum(name: str, pairs: Sequence[tuple[StrikeFile, StrikeFile]], goal: GoalName) -> StrokesGained:
    """Return by how much the first of each pair costs more than the second, the choice of a tee.

    What is not known of a golfer is so on every hole: the holes' errors are added up as if they were one.
    """
    over = sum(a.strokes - b.strokes for a, b in pairs)
    half = sum(_half(a, b, goal) for a, b in pairs)
    return StrokesGained(name=name, holes=len(pairs), strokes=over, low=over - half, high=over + half)


def _half(strike: StrikeFile, choice: StrikeFile, goal: GoalName) -> float:
    """Return half the width of the 95 % interval of what a strike costs over the choice [strokes]."""
    over = strike.over_choice
    if goal == "mean" and over is not None:
        return (over.high - over.low) / 2
    return _SURE * sqrt(strike.strokes_se**2 + choice.strokes_se**2)


def _variance(strike: StrikeFile) -> float:
    chances, strokes = np.array(strike.scores), np.arange(1, len(strike.scores) + 1)
    mean = (chances * strokes).sum() / chances.sum()
    return float((chances * (strokes - mean) ** 2).sum() / chances.sum())


# --- the player -----------------------------------------------------------------------------------


def player_after(golfer: PlayerFile, levels: Floats) -> str | None:
    """Return the text of a player file whose spread has learnt from the directions of a round.

    Parameters
    ----------
    golfer
        Their file, in which a club speed stands for each carry.
    levels
        Where each drive's side lies in the plan's distribution, from 0 to 1.

    Returns
    -------
    The text; none of fewer than five drives.

    Notes
    -----
    As normal scores the sides have a variance of one if the plan is right. The variances of face and path are
    scaled by one number, whose prior is an inverse chi² of as many drives as their standard error stands for
    (Gelman et al., Bayesian Data Analysis, 2013, ch. 2): a direction does not tell the one from the other.
    """
    if len(levels) < _FEW:
        return None
    square, n = float((ndtri(levels.clip(0.002, 0.998)) ** 2).sum()), len(levels)
    told = golfer.model_dump(exclude_unset=True, exclude_none=True)
    usual = default_spread(golfer.handicap_index, make_player(golfer, "", "").club_speed)
    spread = told.setdefault("spread", {})
    for key in _WIDENED:
        spread.setdefault(key, round(float(getattr(usual, key.removesuffix("_deg"))) / DEGREE, 3))
    own = [s["spread"] for s in told.get("strikes", {}).values() if s.get("spread")]
    for table in (spread, *own):
        for key in _WIDENED:
            if key in table:
                _learn(table, key, square, n)
    told["measured"] = {"drives": told.get("measured", {}).get("drives", 0) + n}
    head = f"# Made by holesim review: the spread of face and path has learnt from {n} drives."
    return f"{head}\n\n{to_toml(told)}"


def _learn(table: dict[str, Any], key: str, square: float, n: int) -> None:
    """Scale a deviation and its standard error by `n` normal scores of a sum of squares."""
    se = table.setdefault("se", {})
    # A deviation found from n drives has a standard error of 1/√(2n) of itself.
    weight = 0.5 * (table[key] / se[key]) ** 2 if se.get(key) else SPREAD_WEIGHT
    table[key] = float(f"{table[key] * sqrt((weight + square) / (weight + n)):.3g}")
    se[key] = float(f"{table[key] / sqrt(2 * (weight + n)):.3g}")
