"""What a change between two sessions is worth in strokes on a course."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

from holesim.common.parallel import counter, share_out
from holesim.course.course import Course
from holesim.plan.conditions import map_in
from holesim.plan.estimate import Estimate, estimate
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import MEAN
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_tees
from holesim.player.player import Player, Strike, StrikeName
from holesim.player.population import DAY_SHARE, DAY_SPREAD_LOG_SD
from holesim.study.practice import play_round

Floats = NDArray[np.float64]

_TAIL: Final = 0.05  # on either side of a 90 % interval
_DAY: Final[Mapping[str, str]] = {
    "attack": "attack", "dynamic_loft": "dynamic_loft", "face": "face", "swing_line": "path", "toe": "toe",
    "high": "high",
}  # fmt: skip
"""Which deviation from swing to swing a day's deviation of a strike's mean is a share of."""


@dataclass(frozen=True, kw_only=True)
class StrokesChange:
    """What a change of the driver's swing is worth over a round.

    Attributes
    ----------
    course, holes
        The course's name, and the holes.
    first, last
        The expected strokes on them of the golfer as of each session.
    change
        How many more they are as of the last session; negative where strokes are saved.
    """

    course: str
    holes: int
    first: float
    last: float
    change: Estimate

    @property
    def interval(self) -> tuple[float, float]:
        """The 90 % interval of the change."""
        half = self.change.se * float(student_t.ppf(1 - _TAIL, self.change.freedom))
        return self.change.mean - half, self.change.mean + half

    @property
    def chance(self) -> float:
        """The chance that strokes moved the way that they seem to."""
        below = self.change.chance_below
        return max(below, 1 - below)

    def to_dict(self) -> dict[str, Any]:
        """Return it as `holesim progress --json` has it."""
        low, high = self.interval
        return {
            "course": self.course,
            "holes": self.holes,
            "sessions": [self.first, self.last],
            "change": self.change.mean,
            "low": low,
            "high": high,
            "chance": self.chance,
        }


def find_strokes_change(
    course: Course,
    first: Player,
    last: Player,
    strikes: Sequence[tuple[StrikeName, StrikeName]],
    options: RoundOptions = USUAL,
    *,
    holes: Iterable[int] | None = None,
    tee: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> StrokesChange:
    """Find what the change of a golfer's driver strikes is worth on a course.

    Parameters
    ----------
    first, last
        The golfer as of two sessions.
    strikes
        What the first and the last session call each driver strike that is compared; others are left out.
    holes, tee
        The holes and the tees played; all, and the longest, by default.
    progress
        Called with the steps done, and those there are.

    Raises
    ------
    InputError
        As `make_plan` does.

    Notes
    -----
    All but the driver strikes, and the ball, is the last session's. Each golfer has a plan of their own, by
    the same draws. Both are taken to be known as well as the two together, so that it makes no difference
    which session has more drives; the interval has the errors of both, and how much golfers differ from one
    day to another (`population.DAY_SHARE`).
    """
    places = find_tees(course, holes, None if tee is None else [tee])
    options.expect_mean("progress")
    tick = counter(progress, 2)
    ground = map_in(course, options.conditions)
    golfers = [
        as_of(first, last, last, strikes),
        as_of(last, first, last, [(name, before) for before, name in strikes]),
    ]

    def play(k: int) -> Floats:
        evaluator = Evaluator(
            course, golfers[k], options.conditions, MEAN, options.draws, options.seed, ground=ground
        )
        found = play_round(evaluator, places)
        tick()
        return np.asarray(np.sum([plan.choice.loss for plan in found.tees], axis=0))

    before, after = share_out(play, 2)
    return StrokesChange(
        course=course.name,
        holes=len(places),
        first=float(before.mean()),
        last=float(after.mean()),
        change=estimate(after - before),
    )


def as_of(
    session: Player, other: Player, golfer: Player, strikes: Sequence[tuple[StrikeName, StrikeName]]
) -> Player:
    """Return a golfer with the driver strikes of a session, known as well as those of two sessions together.

    Parameters
    ----------
    session, other
        The session, and the other one.
    golfer
        Who has the other clubs, the ball and the habits.
    strikes
        What the two sessions call each strike.
    """
    drivers = tuple(_known_alike(session.driver(own), other.driver(theirs)) for own, theirs in strikes)
    clubs = tuple(strike for strike in golfer.strikes if strike.club != "driver")
    drawn = {place: draws for place, draws in golfer.likely.items() if not place.startswith("strikes.")}
    drawn |= {place: draws for place, draws in session.likely.items() if place.startswith("strikes.")}
    usual = golfer.usual if golfer.usual in [strike.name for strike in drivers] else None
    return replace(golfer, strikes=(*drivers, *clubs), likely=drawn, usual=usual)


def _known_alike(strike: Strike, other: Strike) -> Strike:
    """Return a strike with the standard errors of two sessions together, and of a day."""
    day = {field: DAY_SHARE * float(getattr(strike.spread, sd)) for field, sd in _DAY.items()}
    day["club_speed"] = DAY_SHARE * strike.spread.speed * strike.club_speed
    sizes = {field: DAY_SPREAD_LOG_SD * float(getattr(strike.spread, field)) for field in _SIZES}
    spread = replace(strike.spread, se=_pool(strike.spread.se, other.spread.se, sizes))
    return replace(strike, se=_pool(strike.se, other.se, day), spread=spread)


_SIZES: Final = ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high")


def _pool(one: Mapping[str, float], other: Mapping[str, float], day: Mapping[str, float]) -> dict[str, float]:
    """Return the root mean square of two standard errors of each number that was measured, and a day's."""
    fields = [field for field in one if field in other]
    return {f: hypot(one[f] / sqrt(2), other[f] / sqrt(2), day.get(f, 0.0)) for f in fields}
