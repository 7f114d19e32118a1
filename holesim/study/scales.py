"""Scales: the things that may change when a break-even point is sought, and how each changes a case."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Literal

import numpy as np

from holesim.course.course import Course
from holesim.course.ground_map import FIRMNESS, map_ground
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan import sights
from holesim.plan.conditions import Conditions
from holesim.player.player import Player, Strike
from holesim.shot.flight import BALL_FLIGHTS
from holesim.study.variants import add_club_speed, measure_fairway, scale_face_spread, widen_fairway
from holesim.units import DEGREE, MPH, YARD

ScaleName = Literal[
    "club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness", "ball-flight"
]  # fmt: skip

_REACH: Final = 240 * YARD  # about where drives finish
_BALLS: Final = tuple(BALL_FLIGHTS)
_LEAST_FACE: Final = 0.01  # degrees, of which a multiple is another spread


@dataclass(frozen=True, kw_only=True)
class Case:
    """A course, a player and conditions; and the hole and tee in question, None for the whole course."""

    course: Course
    player: Player
    conditions: Conditions
    hole: tuple[Hole, Tee] | None

    @cached_property
    def fairway_width(self) -> float:
        """Width of the hole's fairway where drives finish [m]."""
        return measure_fairway(*_hole(self), map_ground(self.course), _REACH)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """One thing that may change.

    Attributes
    ----------
    words, unit
        What it is called, and the unit that its values are in.
    values
        The values looked at; for kinds, such as soft or firm, their numbers from 0.
    around
        How far to either side of today's value is looked at instead, and in which steps.
    change
        Returns a case with another value.
    now
        Returns the value that a case has.
    names
        Names of the kinds; empty for a scale of numbers.
    needs_hole
        Whether it can only be asked of one hole.
    digits
        Decimals shown.
    metric
        The metric unit, and how many of it make one of `unit`; None where there is no other.
    """

    words: str
    unit: str
    change: Callable[[Case, float], Case]
    now: Callable[[Case], float]
    values: tuple[float, ...] = ()
    around: tuple[float, float] | None = None
    names: tuple[str, ...] = ()
    needs_hole: bool = False
    digits: int = 0
    metric: tuple[str, float] | None = None

    def values_for(self, case: Case) -> tuple[float, ...]:
        """Return the values looked at in a case, with today's where it lies among them."""
        values, now = self.values, self.now(case)
        if self.around is not None:
            reach, step = self.around
            first, last = math.ceil((now - reach) / step), math.floor((now + reach) / step)
            values = tuple(step * k for k in range(first, last + 1))
        return tuple(sorted({*values, now})) if values[0] <= now <= values[-1] else values

    def shown(self, *, metric: bool) -> tuple[str, float]:
        """Return the unit shown, and how many of it make one of `unit`."""
        return self.metric if metric and self.metric else (self.unit, 1.0)

    def text(self, *values: float, metric: bool = False) -> str:
        """Return a value with its unit, or two as "80 to 125 mph"."""
        if self.names:
            return " to ".join(self.names[round(value)] for value in values)
        unit, factor = self.shown(metric=metric)
        numbers = " to ".join(
            f"{round(value * factor, self.digits) + 0.0:.{self.digits}f}" for value in values
        )
        return f"{numbers}{'' if unit == '°' else ' '}{unit}".rstrip()


def _hole(case: Case) -> tuple[Hole, Tee]:
    assert case.hole is not None  # `find_break_even` sees to it  # noqa: S101
    return case.hole


# --- the player -----------------------------------------------------------------------------------


def _mean(case: Case, number: Callable[[Strike], float]) -> float:
    """Return the mean of a number over the driver strikes."""
    return sum(map(number, case.player.drivers)) / len(case.player.drivers)


def _speed(case: Case) -> float:
    return _mean(case, lambda strike: strike.club_speed) / MPH


def _set_speed(case: Case, mph: float) -> Case:
    return replace(case, player=add_club_speed(case.player, mph * MPH - _speed(case) * MPH))


def _face(case: Case) -> float:
    return _mean(case, lambda strike: strike.spread.face) / DEGREE


def _set_face(case: Case, degrees: float) -> Case:
    now = _face(case)
    if now < _LEAST_FACE:
        problem = f"is {now:g}°, and no multiple of it is another spread"
        raise InputError(case.player.file, "spread.face_deg", problem, "state how much the face varies")
    return replace(case, player=scale_face_spread(case.player, degrees / now))


def _set_exponent(case: Case, b: float) -> Case:
    return replace(case, conditions=replace(case.conditions, spin_exponent=b))


# --- the wind -------------------------------------------------------------------------------------


def _bearing(case: Case) -> float:
    """Return the hole's bearing about a drive from the tee [rad]."""
    return sights.line_bearing(*_hole(case), _REACH)


def blow_along(case: Case, against: float, across: float = 0.0) -> Case:
    """Return the case with a wind against the hole, and one across it from the right [m/s]."""
    come_from = _bearing(case) + float(np.arctan2(across, against))
    air = replace(case.conditions.air, wind_speed=float(np.hypot(against, across)), wind_from=come_from)
    return replace(case, conditions=replace(case.conditions, air=air))


def _wind_angle(case: Case) -> float:
    return case.conditions.air.wind_from - _bearing(case)


def _wind(case: Case) -> float:
    return case.conditions.air.wind_speed * float(np.cos(_wind_angle(case))) / MPH


def _set_wind(case: Case, mph: float) -> Case:
    """Return the case with another wind against the hole; the wind across it stays."""
    return blow_along(case, mph * MPH, case.conditions.air.wind_speed * float(np.sin(_wind_angle(case))))


# --- the course and the ball ----------------------------------------------------------------------


def _width(case: Case) -> float:
    return case.fairway_width / YARD


def _set_width(case: Case, yards: float) -> Case:
    hole, _ = _hole(case)
    return replace(case, course=widen_fairway(case.course, hole, (yards - _width(case)) * YARD))


def _firmness(case: Case) -> float:
    return FIRMNESS.index(case.conditions.firmness or case.course.firmness)


def _set_firmness(case: Case, kind: float) -> Case:
    return replace(case, conditions=replace(case.conditions, firmness=FIRMNESS[round(kind)]))


def _ball(case: Case) -> float:
    ball = case.conditions.ball
    return 0.0 if ball is None else _BALLS.index(ball.name)


def _set_ball(case: Case, kind: float) -> Case:
    ball = None if kind == 0 else BALL_FLIGHTS[_BALLS[round(kind)]]
    return replace(case, conditions=replace(case.conditions, ball=ball))


def _steps(first: float, last: float, count: int) -> tuple[float, ...]:
    return tuple(np.linspace(first, last, count).round(6).tolist())


SCALES: Final[dict[ScaleName, Scale]] = {
    "club-speed": Scale(
        words="club speed", unit="mph", around=(20, 5), change=_set_speed, now=_speed,
        metric=("m/s", MPH),
    ),
    "face": Scale(
        words="spread of the face angle", unit="°", values=_steps(0.5, 4, 8), change=_set_face, now=_face,
        digits=1,
    ),
    "spin-exponent": Scale(
        words="spin exponent b", unit="", values=_steps(0, 1, 6), change=_set_exponent,
        now=lambda case: case.conditions.spin_exponent, digits=2,
    ),
    "wind": Scale(
        words="head wind (tail wind negative)", unit="mph", values=_steps(-25, 25, 11), change=_set_wind,
        now=_wind, needs_hole=True, metric=("m/s", MPH),
    ),
    "fairway-width": Scale(
        words="fairway width", unit="yd", values=_steps(10, 60, 11), change=_set_width, now=_width,
        needs_hole=True, metric=("m", YARD),
    ),
    "firmness": Scale(
        words="firmness of the ground", unit="", values=_steps(0, 2, 3), change=_set_firmness, now=_firmness,
        names=FIRMNESS,
    ),
    "ball-flight": Scale(
        words="ball flight", unit="", values=_steps(0, len(_BALLS) - 1, len(_BALLS)), change=_set_ball,
        now=_ball, names=_BALLS,
    ),
}  # fmt: skip
