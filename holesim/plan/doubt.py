"""Doubt: what an unsure choice hangs on most, and what it is worth to know the golfer better."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.plan.decision import DayStrike, kept_to
from holesim.plan.estimate import Estimate, estimate, sureness
from holesim.plan.tee_plan import Doubt, StrikePlan, TeePlan
from holesim.player.player import Player, Strike
from holesim.units import DEGREE, MM

Floats = NDArray[np.float64]

DRIVES: Final = (20, 40)
"""Numbers of measured drives of each strike for which a plan says what they are worth."""
WORTH_SAYING: Final = 0.05  # strokes a round

_AXES: Final = 7  # of a delivery; the error along each tells how wide a strike's errors are
_RIDGE: Final = 1.0  # penalty of the regression, as a number of posterior draws that show no effect
_NOISE: Final = {"attack": 0.7 * DEGREE, "dynamic_loft": 1.0 * DEGREE, "high": 3 * MM, "toe": 3 * MM}
"""Standard deviations of one measurement, as in `fit`."""

_BALL: Final = "how the ball flies"


class Unknown(NamedTuple):
    """Something unknown about two strikes, in words, with its value in each posterior draw.

    `of_one_drive` is the variance of that value as measured by one drive of each strike.
    """

    words: str
    values: Floats
    of_one_drive: float


@dataclass(frozen=True)
class Unknowns:
    """What is unknown of a golfer, by posterior draw."""

    golfers: tuple[Player, ...]
    drag_slopes: Floats

    def of(self, one: StrikePlan, other: StrikePlan) -> list[Unknown]:
        """Return what two strikes may differ in."""
        first, second = (self._drawn(plan) for plan in (one, other))
        between = "how the strikes differ in "
        found = [
            Unknown(
                f"{between}spread",
                np.log(_array(first, _face)) - np.log(_array(second, _face)),
                1 / _AXES,
            ),
            Unknown(
                f"{between}club speed",
                _array(first, _speed) / _array(second, _speed),
                2 * first[0].spread.speed ** 2,
            ),
            Unknown("how wide all drives spread", np.log(_array(first, _face) * _array(second, _face)), 1.0),
            Unknown(_BALL, self.drag_slopes, np.inf),
        ]
        for field, words in _MEANS.items():
            own = [np.array([getattr(s, field) for s in strikes]) for strikes in (first, second)]
            variance = getattr(first[0].spread, field) ** 2 + _NOISE[field] ** 2
            found += [Unknown(words, values, variance) for values in own]
        return [unknown for unknown in found if unknown.values.std() > _NOTHING]

    def _drawn(self, plan: StrikePlan) -> list[Strike]:
        place = next(k for k, s in enumerate(self.golfers[0].strikes) if s.label == plan.label)
        return [golfer.strikes[place] for golfer in self.golfers]


_NOTHING: Final = 1e-9
_MEANS: Final = {
    "attack": "the attack and loft of each strike",
    "dynamic_loft": "the attack and loft of each strike",
    "high": "where on the face each is struck",
    "toe": "where on the face each is struck",
}


def _array(strikes: Sequence[Strike], number: Any) -> Floats:  # noqa: ANN401 - a function of a strike
    return np.array([number(strike) for strike in strikes])


def _face(strike: Strike) -> float:
    return max(strike.spread.face, _NOTHING)  # which has a logarithm


def _speed(strike: Strike) -> float:
    return strike.club_speed


def _effects(over: Estimate, unknowns: Sequence[Unknown]) -> Floats:
    """Return how much of the variance of a difference goes with each feature.

    Notes
    -----
    It is found by linear regression on standardised features, which are drawn independently. Draws are few,
    so ridge regression keeps the slopes small (Hoerl and Kennard, Technometrics 12, 1970).
    """
    if not unknowns:
        return np.empty(0)
    x = np.stack([(f.values - f.values.mean()) / f.values.std() for f in unknowns], axis=1)
    y = over.draws - over.draws.mean()
    slopes = np.linalg.solve(x.T @ x + _RIDGE * np.eye(len(unknowns)), x.T @ y)
    return np.asarray(slopes**2)


def find_doubt(plan: TeePlan, unknowns: Unknowns) -> Doubt | None:
    """Return what a choice hangs on most; nothing if it is sure."""
    over = plan.over_rival
    if over is None or plan.rival is None or sureness(over.chance_below) == "nearly sure":
        return None
    unknown = unknowns.of(plan.choice, plan.rival)
    effects = _effects(over, unknown)
    if over.se < 2 * over.sampling or not effects.sum():
        return Doubt("")
    by_cause: dict[str, float] = {}
    for one, effect in zip(unknown, effects.tolist(), strict=True):
        by_cause[one.words] = by_cause.get(one.words, 0.0) + effect
    return Doubt(max(by_cause, key=lambda cause: by_cause[cause]))


# --- what measuring is worth ----------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Measuring:
    """Strokes a round that a golfer gives away by not being known better, and what measuring saves of them.

    `saved` goes by the number of measured drives of each strike.
    """

    given_away: float
    saved: Mapping[int, float]

    def to_dict(self) -> dict[str, Any]:
        """Return it as plan.json has it."""
        return {
            "given_away": self.given_away,
            "saved": [{"drives": drives, "strokes": saved} for drives, saved in self.saved.items()],
        }


def worth_of_measuring(plans: Sequence[TeePlan], day: DayStrike | None, unknowns: Unknowns) -> Measuring:
    """Return what it is worth over a round to know a golfer better.

    Notes
    -----
    These are the expected values of perfect and of sample information (Raiffa and Schlaifer, Applied
    Statistical Decision Theory, 1961, ch. 4 and 5). Drives reduce the variance of each unknown feature as a
    normal sample of that size would. Measuring is taken to say nothing of the ball.
    """
    cases = _by_hole(plans, unknowns) if day is None else _all_day(plans, day, unknowns)
    return Measuring(
        given_away=sum(_expected_gain(case, None) for case in cases),
        saved={drives: sum(_expected_gain(case, drives) for case in cases) for drives in DRIVES},
    )


_Case = list[tuple[Estimate, list[Unknown]]]
"""The loss of each other strike minus that of the choice, and what the two may differ in."""


def _by_hole(plans: Sequence[TeePlan], unknowns: Unknowns) -> list[_Case]:
    return [
        [
            (other.over(plan.choice), unknowns.of(other, plan.choice))
            for other in plan.strikes
            if other is not plan.choice
        ]
        for plan in plans
    ]


def _all_day(plans: Sequence[TeePlan], day: DayStrike, unknowns: Unknowns) -> list[_Case]:
    golfer = unknowns.golfers[0]
    rounds = {s.name: [kept_to(plan, s.name).choice for plan in plans] for s in golfer.drivers}
    mine, case = rounds[day.strike], []
    for theirs in rounds.values():
        pair = next(
            (
                (b, a)
                for a, b in zip(mine, theirs, strict=True)
                if a.club == b.club == "driver" and a is not b
            ),
            None,
        )
        if pair is not None:
            over = np.sum([b.loss - a.loss for a, b in zip(mine, theirs, strict=True)], axis=0)
            case.append((estimate(over), unknowns.of(*pair)))
    return [case]


def _expected_gain(others: _Case, drives: int | None) -> float:
    """Return the mean gain of choosing after `drives` measured drives of each strike; None is knowing all."""
    if not others:
        return 0.0
    losses = []
    for over, unknowns in others:
        share = 1.0 if drives is None else _share_explained(over, unknowns, drives)
        losses.append(over.mean + np.sqrt(share) * (over.draws - over.mean))
    return float(np.maximum(-np.min(losses, axis=0), 0).mean()) - max(-min(o.mean for o, _ in others), 0.0)


def _share_explained(over: Estimate, unknowns: Sequence[Unknown], drives: int) -> float:
    """Return the share of the variance of a difference that `drives` drives of each strike explain."""
    effects = _effects(over, unknowns)
    if not effects.sum():
        return 0.0
    left = np.array([f.of_one_drive / drives for f in unknowns])
    variance = np.array([f.values.var() for f in unknowns])
    return float((effects * variance / (variance + left)).sum() / effects.sum())
