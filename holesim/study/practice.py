"""Practice: what a change in a golfer would be worth over a round, and which error costs what."""

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
from holesim.plan.decision import DayStrike, as_played, decide, round_totals
from holesim.plan.doubt import Measuring, worth_of_measuring
from holesim.plan.estimate import estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_tees
from holesim.plan.tee_on_hole import AimedStrike, TeeOnHole
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player, StrikeName
from holesim.shot.deliveries import Draws
from holesim.shot.relief import Finish
from holesim.study.variants import centred, faster, steeper, who_owns, with_face
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
"""The errors of a swing, in the order of `Draws`; what of the path goes with the face is the face's."""

_POINTS: Final = 1024  # from which variance shares are found, for each error
_TROUBLE: Final = (Finish.PENALTY, Finish.OUT)
_SAFE: Final = (Finish.FAIRWAY, Finish.GREEN)


@dataclass(frozen=True, kw_only=True)
class Worth:
    """What a change would save over a round [strokes], with its 95 % interval.

    `penalties`, `fairways` and `distance` are what of it comes from fewer drives in a penalty area or out,
    more of the others on a fairway or green, and the rest: what remains from where they finish.
    """

    name: str
    saved: float
    low: float
    high: float
    penalties: float
    fairways: float
    distance: float


@dataclass(frozen=True, kw_only=True)
class Share:
    """What an error makes of the variance of a drive's strokes: alone, and with what it does with others."""

    name: str
    alone: float
    total: float


@dataclass(frozen=True, kw_only=True)
class Practice:
    """What practice would be worth, the most first, what measuring would, and what spreads the strokes."""

    course: Course
    player: Player
    holes: int
    strokes: float
    worths: tuple[Worth, ...]
    measuring: Measuring
    shares: tuple[Share, ...]
    draws: int
    seed: int

    def to_dict(self) -> dict[str, Any]:
        """Return the content of practice.json."""
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
            "changes": [vars(worth) for worth in self.worths],
            "measuring": self.measuring.to_dict(),
            "variance": [vars(share) for share in self.shares],
        }


def changes(player: Player) -> dict[str, Player]:
    """Return what a golfer may become by practice, by its name."""
    found = {
        "3 mph more club speed": faster(player, 3 * MPH),
        "a fifth less face error": with_face(player, 0.8),
        "2° more up": steeper(player, 2 * DEGREE),
        "2° more down": steeper(player, -2 * DEGREE),
        "half the scatter over the face, about its middle": centred(player, 0.5),
    }
    own = [s.name for s in player.strikes if s.club == "driver"]
    other: StrikeName = "down" if "up" in own else "up"
    if other not in own:
        found[f"learning to hit {other}, too"] = replace(who_owns(player, other), can_choose=True)
    elif player.can_choose:
        found["one driver strike all day"] = replace(player, can_choose=False)
    else:
        found["choosing by the hole"] = replace(player, can_choose=True)
    return found


def practice(
    course: Course,
    player: Player,
    options: RoundOptions = USUAL,
    *,
    holes: Iterable[int] | None = None,
    tee: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Practice:
    """Find what changes in a golfer's driving would be worth on a course, and which error costs most.

    Parameters
    ----------
    holes, tee
        The holes and the tees played: every hole, from the longest tee, by default.

    Raises
    ------
    InputError
        As `make_plan` does.
    """
    places = find_tees(course, holes, None if tee is None else [tee])
    options.expect_mean("practice")
    conditions, draws, seed = options.conditions, options.draws, options.seed
    others = changes(player)
    tick = counter(progress, 2 + len(others))

    def played(who: Player) -> tuple[Evaluator, _Round]:
        evaluator = Evaluator(course, who, conditions, MEAN, draws, seed)
        found = _round(evaluator, places)
        tick()
        return evaluator, found

    evaluator, now = played(player)
    names = list(others)
    then = share_out(lambda k: played(others[names[k]])[1], len(names))
    worths = [_worth(name, now, changed) for name, changed in zip(names, then, strict=True)]
    shares = _shares(evaluator, now, seed)
    tick()
    return Practice(
        course=course,
        player=player,
        holes=len(places),
        strokes=round_totals(now.tees)["this plan"].strokes,
        worths=tuple(sorted(worths, key=lambda worth: -worth.saved)),
        measuring=worth_of_measuring(now.tees, now.day, evaluator.features),
        shares=tuple(sorted(shares, key=lambda share: -share.total)),
        draws=draws,
        seed=seed,
    )


@dataclass(frozen=True)
class _Round:
    """A round as it is played: each tee's plan, the tee as worked out, and the choice as it is aimed."""

    tees: list[TeePlan]
    day: DayStrike | None
    places: list[TeeOnHole]
    aimed: list[AimedStrike]


def _round(evaluator: Evaluator, places: Sequence[tuple[Hole, Tee]]) -> _Round:
    """Return a round by the rule that a plan goes by."""
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


def _worth(name: str, now: _Round, then: _Round) -> Worth:
    pairs = [(b.choice, a.choice) for b, a in zip(now.tees, then.tees, strict=True)]
    saved = estimate(np.sum([before.loss - after.loss for before, after in pairs], axis=0))
    low, high = saved.interval
    parts = np.sum([_parts(before, after) for before, after in pairs], axis=0)
    return Worth(
        name=name,
        saved=saved.mean,
        low=low,
        high=high,
        penalties=float(parts[0]),
        fairways=float(parts[1]),
        distance=float(parts[2]),
    )


def _parts(before: StrikePlan, after: StrikePlan) -> Floats:
    """Return what of a change in strokes comes from penalties, from fairways and from the rest.

    Notes
    -----
    A mean is a share times a mean and the rest times another, so the change of one is that of the shares at
    the average means and that of the means at the average shares (Kitagawa, J. Am. Stat. Assoc. 50, 1955):
    first of drives in trouble and not, then, of those that are not, of drives on a fairway or green and
    elsewhere.
    """
    (p0, bad0, q0, safe0, rest0), (p1, bad1, q1, safe1, rest1) = _split(before), _split(after)
    play0, play1 = q0 * safe0 + (1 - q0) * rest0, q1 * safe1 + (1 - q1) * rest1
    penalties = (p0 - p1) * ((bad0 + bad1) - (play0 + play1)) / 2
    fairways = (1 - (p0 + p1) / 2) * (q0 - q1) * ((safe0 + safe1) - (rest0 + rest1)) / 2
    return np.array([penalties, fairways, before.strokes - after.strokes - penalties - fairways])


def _split(plan: StrikePlan) -> tuple[float, float, float, float, float]:
    """Return the share in trouble and its mean, then the share of the others that is safe, and both means."""
    finish, cost = plan.drives.finish, plan.drives.strokes
    trouble, safe = np.isin(finish, _TROUBLE), np.isin(finish, _SAFE)
    rest = ~(trouble | safe)

    def mean(which: NDArray[np.bool_]) -> float:
        return float(cost[which].mean()) if which.any() else float(cost.mean())

    among = float(safe.sum() / max((~trouble).sum(), 1))
    return float(trouble.mean()), mean(trouble), among, mean(safe), mean(rest)


# --- variance -------------------------------------------------------------------------------------


def _shares(evaluator: Evaluator, now: _Round, seed: int) -> list[Share]:
    """Return what each error makes of the variance of a round's drives in strokes.

    Notes
    -----
    Sobol' indices of each tee's drive (Saltelli et al., Comput. Phys. Commun. 181, 2010, as scipy has them),
    weighed by its variance: the drives of a round are independent.
    """
    tees = list(zip(now.aimed, now.places, strict=True))
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
        Share(name=name, alone=float(a), total=float(t))
        for name, a, t in zip(ERRORS, alone, total, strict=True)
    ]
