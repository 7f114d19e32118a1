"""What the choices of a round were worth in strokes, and how much of its score was luck."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.plan.goal import CLOSE, GoalName
from holesim.plan.plan_tables import PlanFile, StrikeFile
from holesim.scoring.skill import find_skill
from holesim.scoring.strokes_table import DISTANCES, make_strokes_table
from holesim.shot.relief import Lie
from holesim.study.round_file import FINISHES, DriveResult
from holesim.units import MPH, YARD

Floats = NDArray[np.float64]

SAVED: Final = "the plan's strikes: expected to save over the others"
STRAYED: Final = "other strikes than planned: expected to cost"
SCORED: Final = "score card, "  # begins what is told by the score card alone
_NORMAL_95: Final = 1.96  # standard deviations of a normal 95 % interval
_POLICY: Final = "always "  # begins what the plan calls a round of one strike all day
_LIES: Final = {
    "fairway": (Lie.FAIRWAY, 0.0),
    "green": (Lie.GREEN, 0.0),
    "rough": (Lie.ROUGH, 0.0),
    "heavy_rough": (Lie.HEAVY, 0.0),
    "sand": (Lie.SAND, 0.0),
    "trees": (Lie.RECOVERY, 0.0),
    "penalty": (Lie.ROUGH, 1.0),
}
"""What the next shot is hit from, and penalty strokes, by where a drive finishes."""


@dataclass(frozen=True, kw_only=True)
class StrokesDifference:
    """How many strokes more something cost than something else, summed over holes, with its 95 % interval."""

    name: str
    holes: int
    strokes: float
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Luck:
    """The score of a round compared with what was expected of it.

    Attributes
    ----------
    holes
        How many holes have a score and a finish.
    score
        The score on them.
    planned
        The expected score before the drives.
    expected
        The expected score from where the drives finished.
    low, high
        Between which the score lies 19 times in 20, from there on by luck alone.
    """

    holes: int
    score: float
    planned: float
    expected: float
    low: float
    high: float


# --- luck -----------------------------------------------------------------------------------------


def find_luck(drives: Sequence[DriveResult], plan: PlanFile) -> Luck | None:
    """Compare the score of a round with what was expected from where its drives finished.

    Returns
    -------
    None where no hole has both a score and a finish.

    Notes
    -----
    The plan gives the expected strokes of a strike over all its drives. Those of one drive differ from them
    as the golfer's expected strokes by lie and distance do (`make_strokes_table`). How much a score varies
    after the drive is taken to be how much it varies in all, which errs wide.
    """
    known = [drive for drive in drives if drive.lie and drive.score > 0]
    if not known:
        return None
    golfer = plan.golfer
    skill = find_skill(golfer.handicap_index, golfer.club_speed_mph * MPH, golfer.sex)
    table = make_strokes_table(skill)
    of_strike = {id(drive.strike): drive for drive in known}
    usual = {key: _expect_by_table(drive, table, plan) for key, drive in of_strike.items()}
    planned = sum(drive.strike.strokes for drive in known)
    gained = sum(_expect_after(drive, table, plan) - usual[id(drive.strike)] for drive in known)
    half = _NORMAL_95 * sqrt(_score_variance(known))
    expected = planned + gained
    return Luck(
        holes=len(known),
        score=sum(drive.score for drive in known),
        planned=planned,
        expected=expected,
        low=expected - half,
        high=expected + half,
    )


def _expect_after(drive: DriveResult, table: Floats, plan: PlanFile) -> float:
    """Return the expected score from where a drive finished, by lie and distance."""
    if drive.lie == "out":
        return 2 + drive.strike.strokes
    if np.isnan(drive.total):
        left = float(_lengths_left(drive, plan).mean())
    else:
        side = 0.0 if np.isnan(drive.side) else drive.side * YARD
        along = sqrt(max((drive.total * YARD) ** 2 - side**2, 0.0))
        heading, (x, y) = radians(drive.strike.heading_deg), drive.tee.middle
        east = x + along * sin(heading) + side * cos(heading)
        north = y + along * cos(heading) - side * sin(heading)
        pin = plan.hole(drive.tee.hole).pin
        left = hypot(pin[0] - east, pin[1] - north)
    lie, penalty = _LIES[drive.lie]
    return 1 + penalty + float(np.interp(left, DISTANCES, table[lie]))


def _expect_by_table(drive: DriveResult, table: Floats, plan: PlanFile) -> float:
    """Return the mean of `_expect_after` over the planned drives of a strike."""
    strike, left = drive.strike, _lengths_left(drive, plan)
    values = {
        name: 1 + penalty + float(np.interp(left, DISTANCES, table[lie]).mean())
        for name, (lie, penalty) in _LIES.items()
    } | {"out": 2 + strike.strokes}
    shares = {name: float(getattr(strike, name)) for name in FINISHES}
    return sum(shares[name] * values[name] for name in FINISHES) / sum(shares.values())


def _lengths_left(drive: DriveResult, plan: PlanFile) -> Floats:
    """Return how far from the pin planned drives of a strike finish [m]."""
    points = np.array(drive.strike.finishes) - plan.hole(drive.tee.hole).pin
    return np.hypot(points[:, 0], points[:, 1])


# --- choices --------------------------------------------------------------------------------------


def find_differences(
    drives: Sequence[DriveResult], plan: PlanFile
) -> tuple[list[StrokesDifference], float | None]:
    """Return what choices saved or cost, and how many times as many holes it takes until scores tell."""
    goal = plan.options.goal
    rivals = [(r, d.tee.chosen()) for d in drives if (r := d.tee.choice_rival()) is not None]
    # A plan keeps to a usual strike that costs hardly more, so nothing is lost by hitting it.
    strayed = [(d.strike, c) for d in drives if d.strike.strokes - (c := d.tee.chosen()).strokes >= CLOSE]
    scored = [(d, r) for d in drives if (r := _find_next_best(d)) is not None and d.score > 0]
    found = [
        _sum_differences(SAVED, rivals, goal),
        _sum_differences(STRAYED, strayed, goal),
    ]
    by_policy = _compare_policies(drives, plan)
    if not scored:
        return [*found, *by_policy], None
    half = _NORMAL_95 * sqrt(_score_variance([drive for drive, _ in scored]))
    for name, expected in (
        (f"{SCORED}more than expected", [d.strike.strokes for d, _ in scored]),
        (f"{SCORED}more than expected of the other strike", [r.strokes for _, r in scored]),
    ):
        over = sum(d.score - strokes for (d, _), strokes in zip(scored, expected, strict=True))
        found.append(
            StrokesDifference(name=name, holes=len(scored), strokes=over, low=over - half, high=over + half)
        )
    saved = abs(sum(r.strokes - d.strike.strokes for d, r in scored))
    return [*found, *by_policy], (half / saved) ** 2 if saved > 0.005 else None


def _compare_policies(drives: Sequence[DriveResult], plan: PlanFile) -> list[StrokesDifference]:
    """Return what the plan saved over one strike all day, where all its holes were played as planned.

    These are the plan's own totals, so the intervals are those of its posterior draws.
    """
    found = []
    for name, policies in plan.over_plan.items():
        tees = [tee for tee in plan.tees if tee.tee == name]
        played = [sum(drive.tee is tee for drive in drives) for tee in tees]
        as_planned = all(drive.strike is drive.tee.chosen() for drive in drives)
        if not as_planned or min(played) != max(played) or not min(played):
            continue
        found += [
            StrokesDifference(
                name=f"the plan was expected to save, compared with {policy},",
                holes=sum(played),
                strokes=min(played) * over.strokes,
                low=min(played) * over.low,
                high=min(played) * over.high,
            )
            for policy, over in policies.items()
            if policy.startswith(_POLICY) and over.strokes
        ]
    return found


def _find_next_best(drive: DriveResult) -> StrikeFile | None:
    """Return the best strike besides the one hit, with the same club if there is one."""
    others = [s for s in drive.tee.strikes if s is not drive.strike]
    own = [s for s in others if s.club == drive.strike.club]
    return min(own or others, key=lambda s: s.strokes, default=None)


def _sum_differences(
    name: str, pairs: Sequence[tuple[StrikeFile, StrikeFile]], goal: GoalName
) -> StrokesDifference:
    """Return how much more the first of each pair costs than the second, which is the choice of a tee.

    What is unknown of a golfer is the same on every hole, so half-widths add up as they are: the interval is
    no narrower than the plan's own for the same strikes.
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


def _score_variance(drives: Sequence[DriveResult]) -> float:
    """Return the variance of the sum of the scores after some drives."""
    count = Counter(id(drive.strike) for drive in drives)
    total = 0.0
    for key, strike in {id(drive.strike): drive.strike for drive in drives}.items():
        chances, strokes = np.array(strike.scores), np.arange(1, len(strike.scores) + 1)
        mean = (chances * strokes).sum() / chances.sum()
        total += count[key] * float((chances * (strokes - mean) ** 2).sum() / chances.sum())
    return total
