"""Practice: what a change in a golfer's driving would save over a round, and which error costs most."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import sobol_indices, uniform

from holesim._version import __version__
from holesim.common.parallel import counter, share_out
from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan.aiming import score_tee
from holesim.plan.conditions import map_in
from holesim.plan.decision import DayStrike, as_played, decide, round_totals
from holesim.plan.doubt import Measuring, worth_of_measuring
from holesim.plan.estimate import estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_own_tees
from holesim.plan.tee_on_hole import AimedStrike, TeeOnHole
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player, StrikeName
from holesim.shot.deliveries import Draws
from holesim.shot.relief import Finish
from holesim.study.variants import add_attack, add_club_speed, add_strike, centre_strikes, scale_face_spread
from holesim.units import DEGREE, MPH

Floats = NDArray[np.float64]

SCHEMA: Final = 2
ERRORS: Final = (
    "face",
    "path",
    "attack",
    "club speed",
    "dynamic loft",
    "heel or toe",
    "high or low",
    "bad misses",
)
"""The errors of a swing, in the order of `Draws`; the path's is what does not go with the face."""

_POINTS: Final = 1024  # from which the variance shares of each error are found
_TROUBLE: Final = (Finish.PENALTY, Finish.OUT)
_SAFE: Final = (Finish.FAIRWAY, Finish.GREEN)


@dataclass(frozen=True, kw_only=True)
class Saving:
    """What a change would save over a round.

    Attributes
    ----------
    name
        The change.
    saved, low, high
        Strokes saved, and their 95 % interval.
    penalties, fairways, distance
        The strokes saved by fewer drives in a penalty area or out; by more of the other drives on a fairway
        or green; and by all else, mostly by where on the fairway or in the rough they finish.
    """

    name: str
    saved: float
    low: float
    high: float
    penalties: float
    fairways: float
    distance: float


@dataclass(frozen=True, kw_only=True)
class VarianceShare:
    """The share of the variance of a drive's strokes that an error makes.

    Attributes
    ----------
    name
        The error, one of `ERRORS`.
    alone
        What it makes by itself.
    total
        What it makes by itself and together with other errors.
    """

    name: str
    alone: float
    total: float


@dataclass(frozen=True, kw_only=True)
class PracticeWorth:
    """What practice would save a golfer on a course.

    Attributes
    ----------
    holes, strokes
        The holes, and the expected strokes on them today.
    savings
        What each change would save, the most first.
    measuring
        What it would save to know the golfer better.
    shares
        What makes the strokes of a drive vary, the largest share first.
    """

    course: Course
    player: Player
    holes: int
    strokes: float
    savings: tuple[Saving, ...]
    measuring: Measuring
    shares: tuple[VarianceShare, ...]
    draws: int
    seed: int

    def to_dict(self) -> dict[str, Any]:
        """Return what `holesim practice --json` prints."""
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": {
                self.course.file: self.course.sha256,
                self.player.file: self.player.sha256,
            },
            "seed": self.seed,
            "draws": self.draws,
            "holes": self.holes,
            "strokes": self.strokes,
            "changes": [vars(saving) for saving in self.savings],
            "measuring": self.measuring.to_dict(),
            "variance": [vars(share) for share in self.shares],
        }


def list_changes(player: Player) -> dict[str, Player]:
    """Return the player after each change that practice may bring, by its name."""
    found = {
        "3 mph more club speed": add_club_speed(player, 3 * MPH),
        "a fifth less face error": scale_face_spread(player, 0.8),
        "attack angle 2° more up": add_attack(player, 2 * DEGREE),
        "attack angle 2° more down": add_attack(player, -2 * DEGREE),
        "strikes centred, with half the scatter": centre_strikes(player, 0.5),
    }
    own = [s.name for s in player.strikes if s.club == "driver"]
    other: StrikeName = "down" if "up" in own else "up"
    if other not in own:
        found[f"learning to hit {other}, too"] = replace(add_strike(player, other), can_choose=True)
    elif player.can_choose:
        found["one driver strike all day"] = replace(player, can_choose=False)
    else:
        found["choosing the strike by the hole"] = replace(player, can_choose=True)
    return found


def find_practice_worth(
    course: Course,
    player: Player,
    options: RoundOptions = USUAL,
    *,
    holes: Iterable[int] | None = None,
    tee: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> PracticeWorth:
    """Find what changes in a golfer's driving would save on a course, and which error costs most.

    Each changed golfer has a plan of their own: strike and aim are chosen again.

    Parameters
    ----------
    holes
        The holes played; all by default.
    tee
        The tees played; by default those that the player's file names, or else the longest.
    progress
        Called with the steps done, and those there are.

    Raises
    ------
    InputError
        As `make_plan` does.
    """
    places = find_own_tees(course, player, holes, None if tee is None else [tee])
    options.expect_mean("practice")
    conditions, draws, seed = options.conditions, options.draws, options.seed
    changed = list_changes(player)
    tick = counter(progress, 2 + len(changed))

    ground = map_in(course, conditions)

    def play(golfer: Player) -> tuple[Evaluator, _Round]:
        evaluator = Evaluator(course, golfer, conditions, MEAN, draws, seed, ground=ground)
        found = play_round(evaluator, places)
        tick()
        return evaluator, found

    evaluator, today = play(player)
    names = list(changed)
    later = share_out(lambda k: play(changed[names[k]])[1], len(names))
    savings = [_find_saving(name, today, after) for name, after in zip(names, later, strict=True)]
    shares = _find_shares(evaluator, today, seed)
    tick()
    return PracticeWorth(
        course=course,
        player=player,
        holes=len(places),
        strokes=round_totals(today.tees)["this plan"].strokes,
        savings=tuple(sorted(savings, key=lambda saving: -saving.saved)),
        measuring=worth_of_measuring(today.tees, today.day, evaluator.unknowns),
        shares=tuple(sorted(shares, key=lambda share: -share.total)),
        draws=draws,
        seed=seed,
    )


@dataclass(frozen=True)
class _Round:
    """A round as planned: the plan of each tee, the tee as worked out, and its choice as it is aimed."""

    tees: list[TeePlan]
    day: DayStrike | None
    places: list[TeeOnHole]
    aimed: list[AimedStrike]


def play_round(evaluator: Evaluator, places: Sequence[tuple[Hole, Tee]]) -> _Round:
    """Return the round that a plan would choose."""
    worked_out = [evaluator.on_tee(hole, tee, evaluator.value_hole(hole)) for hole, tee in places]
    found = [score_tee(evaluator, at) for at in worked_out]
    tees, day = as_played(
        [
            decide(*place, tuple(a.plan for a in strikes), evaluator.draws, evaluator.player.usual, MEAN)
            for place, strikes in zip(places, found, strict=True)
        ],
        evaluator.player,
    )
    aimed = [
        next(a for a in strikes if a.plan is tee.choice) for strikes, tee in zip(found, tees, strict=True)
    ]
    return _Round(tees, day, worked_out, aimed)


# --- what a change saves --------------------------------------------------------------------------


def _find_saving(name: str, before: _Round, after: _Round) -> Saving:
    pairs = [(b.choice, a.choice) for b, a in zip(before.tees, after.tees, strict=True)]
    saved = estimate(np.sum([b.loss - a.loss for b, a in pairs], axis=0))
    low, high = saved.interval
    parts = np.sum([_split_saving(b, a) for b, a in pairs], axis=0)
    return Saving(
        name=name,
        saved=saved.mean,
        low=low,
        high=high,
        penalties=float(parts[0]),
        fairways=float(parts[1]),
        distance=float(parts[2]),
    )


def _split_saving(before: StrikePlan, after: StrikePlan) -> Floats:
    """Return the strokes saved by fewer penalties, by more fairways, and by all else.

    Notes
    -----
    A mean over two groups changes with their shares, weighed by the average means, and with their means,
    weighed by the average shares (Kitagawa, J. Am. Stat. Assoc. 50, 1955). The groups are first the drives in
    trouble and the others, then, among the others, those on a fairway or green and those elsewhere.
    """
    (p0, bad0, q0, safe0, rest0), (p1, bad1, q1, safe1, rest1) = _split_drives(before), _split_drives(after)
    play0, play1 = q0 * safe0 + (1 - q0) * rest0, q1 * safe1 + (1 - q1) * rest1
    penalties = (p0 - p1) * ((bad0 + bad1) - (play0 + play1)) / 2
    fairways = (1 - (p0 + p1) / 2) * (q0 - q1) * ((safe0 + safe1) - (rest0 + rest1)) / 2
    return np.array([penalties, fairways, before.strokes - after.strokes - penalties - fairways])


def _split_drives(plan: StrikePlan) -> tuple[float, float, float, float, float]:
    """Return the share of drives in trouble and their mean strokes, then the safe share of the others.

    Last come the mean strokes of the safe ones and of the rest.
    """
    finish, cost = plan.drives.finish, plan.drives.strokes
    trouble, safe = np.isin(finish, _TROUBLE), np.isin(finish, _SAFE)
    rest = ~(trouble | safe)

    def mean(which: NDArray[np.bool_]) -> float:
        return float(cost[which].mean()) if which.any() else float(cost.mean())

    among = float(safe.sum() / max((~trouble).sum(), 1))
    return float(trouble.mean()), mean(trouble), among, mean(safe), mean(rest)


# --- variance -------------------------------------------------------------------------------------


def _find_shares(evaluator: Evaluator, today: _Round, seed: int) -> list[VarianceShare]:
    """Return the share of the variance of a round's drives, in strokes, that each error makes.

    Notes
    -----
    They are Sobol' indices of each tee's drive (Saltelli et al., Comput. Phys. Commun. 181, 2010, as scipy
    has them), weighed by its variance, as the drives of a round are independent.
    """
    tees = list(zip(today.aimed, today.places, strict=True))
    tees = [one for one in tees if one[0].plan.club == "driver"] or tees

    def strokes(cube: Floats) -> Floats:
        draws = Draws(np.clip(cube.T, 1e-12, 1 - 1e-12)[None])
        return np.array([evaluator.cost_as_filed(aimed.aim, draws, at) for aimed, at in tees])

    found = sobol_indices(
        func=strokes, n=_POINTS, dists=[uniform()] * len(ERRORS), rng=np.random.default_rng(seed)
    )
    weights = strokes(np.random.default_rng(seed).random((len(ERRORS), 4 * _POINTS))).var(axis=1)
    weights = weights / weights.sum()
    alone, total = (np.atleast_2d(a).T @ weights for a in (found.first_order, found.total_order))
    return [
        VarianceShare(name=name, alone=float(a), total=float(t))
        for name, a, t in zip(ERRORS, alone, total, strict=True)
    ]
