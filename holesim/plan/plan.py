"""The plan: for every tee, which strike, aimed where, worth how many strokes, and how sure that is."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from holesim._version import __version__
from holesim.common.parallel import counter, share_out
from holesim.common.safe_files import json_text
from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.plan import sights
from holesim.plan.aiming import score_tee
from holesim.plan.conditions import MOST_DRAWS
from holesim.plan.decision import DayStrike, Total, as_played, decide, round_totals
from holesim.plan.doubt import Measuring, find_doubt, worth_of_measuring
from holesim.plan.evaluator import Evaluator
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import turn_wind
from holesim.plan.map_outlines import hole_dict
from holesim.plan.plan_json import (
    PROBABILITIES,
    day_dict,
    finishes,
    golfer_dict,
    strike_numbers,
    tee_dict,
    total_dict,
)
from holesim.plan.plan_tables import VERSION
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_tees
from holesim.plan.sensitivity import Sensitivity
from holesim.plan.tee_on_hole import AimedStrike, HoleValues, TeeOnHole
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player
from holesim.player.setup import set_ups
from holesim.units import YARD

Floats = NDArray[np.float64]

_NEAR: Final = 20 * YARD  # of the green, within which a club fits a par 3


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A plan for a round: a `TeePlan` for every tee asked for, and what each policy costs in all.

    By tees, `days` has the driver's strike for one who hits it one way all day, and `measuring` what it is
    worth to know the golfer better.
    """

    course: Course
    player: Player
    options: dict[str, Any]
    seed: int
    draws: int
    tees: tuple[TeePlan, ...]
    totals: dict[str, dict[str, Total]]
    days: dict[str, DayStrike]
    measuring: dict[str, Measuring]

    @property
    def drives(self) -> str:
        """How many drives of each strike were scored, from the fewest to the most on a tee."""
        most = max(tee.draws for tee in self.tees)
        return f"{self.draws:,}" if most == self.draws else f"{self.draws:,} to {most:,}"

    def to_json(self) -> str:
        """Return the text of plan.json."""
        return json_text(self.to_dict())

    def to_dict(self) -> dict[str, Any]:
        """Return the content of plan.json."""
        return {
            "schema": VERSION,
            "holesim": __version__,
            "inputs": {self.course.file: self.course.sha256, self.player.file: self.player.sha256},
            "options": self.options,
            "assumed": list(self.player.assumed),
            "guesses": [str(guess) for guess in self.course.guesses],
            "course": self.course.name,
            "player": self.player.name,
            "seed": self.seed,
            "draws": self.draws,
            "probabilities": list(PROBABILITIES),
            "set_up": [strike.to_dict() for strike in set_ups(self.player)],
            "golfer": golfer_dict(self.player),
            "holes": self._holes(),
            "tees": [tee_dict(tee, self.course) for tee in self.tees],
            "totals": {
                tee: {policy: total.strokes for policy, total in totals.items()}
                for tee, totals in self.totals.items()
            },
            "over_plan": {
                tee: {policy: total_dict(total) for policy, total in totals.items()}
                for tee, totals in self.totals.items()
            },
            "day": {tee: day_dict(day) for tee, day in self.days.items()},
            "measuring": {tee: measuring.to_dict() for tee, measuring in self.measuring.items()},
        }

    def _holes(self) -> list[dict[str, Any]]:
        """Return the holes, each with the ground that its drives from any tee need."""
        holes = {tee.hole.number: tee.hole for tee in self.tees}
        drives = {
            number: [finishes(s) for tee in self.tees if tee.hole.number == number for s in tee.strikes]
            for number in holes
        }
        return [hole_dict(self.course, holes[n], drives[n], self.options["unmapped"]) for n in holes]

    def to_frame(self) -> pd.DataFrame:
        """Return a row for each strike on each tee, the content of plan.csv."""
        return pd.DataFrame(
            {
                "hole": tee.hole.number,
                "par": tee.hole.par,
                "tee": tee.tee.name,
                "length_yd": tee.tee.length / YARD,
                **strike_numbers(strike, tee),
                "chosen": strike is tee.choice,
                "close": tee.close,
            }
            for tee in self.tees
            for strike in tee.strikes
        )


def make_plan(
    course: Course,
    player: Player,
    options: RoundOptions = USUAL,
    *,
    holes: Iterable[int] | None = None,
    tees: Iterable[str] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Plan:
    """Plan a course for a player.

    Parameters
    ----------
    holes, tees
        Numbers and names to plan; every hole, and the longest tee of each, by default.
    progress
        Called with the holes and tees done, and those in all.

    Raises
    ------
    InputError
        If a hole or tee is not on the course, or every drive from a tee is out of bounds.
    """
    places = find_tees(course, holes, tees)
    evaluator = Evaluator(
        course, player, options.conditions, GOALS[options.goal], options.draws, options.seed
    )
    # It is asked of strokes alone what turns a choice.
    sensitivity = Sensitivity(evaluator) if len(player.strikes) > 1 and options.goal == "mean" else None
    played = list({hole.number: hole for hole, _ in places}.values())
    tick = counter(progress, len(played) + len(places))

    def value(i: int) -> HoleValues:
        found = evaluator.value_hole(played[i])
        tick()
        return found

    # The tees of a hole share its expected strokes, and what is found out about its ground.
    numbers = [hole.number for hole in played]
    values = dict(zip(numbers, share_out(value, len(played)), strict=True))

    def plan_tee(i: int) -> TeePlan:
        hole, tee = places[i]
        at = evaluator.on_tee(hole, tee, values[hole.number])
        plan = _plan_tee(evaluator, sensitivity, at, options.precision)
        tick()
        return plan

    planned = share_out(plan_tee, len(places))
    totals, days, measuring = {}, {}, {}
    for name in dict.fromkeys(plan.tee.name for plan in planned):
        group, day = as_played([plan for plan in planned if plan.tee.name == name], player)
        if day is not None:
            days[name] = day
        if options.goal == "mean":
            measuring[name] = worth_of_measuring(group, day, evaluator.features)
        totals[name] = round_totals(group)
        mine = iter(group)
        planned = [next(mine) if plan.tee.name == name else plan for plan in planned]
    return Plan(
        course=course,
        player=player,
        options=options.as_used(evaluator.ground.firmness),
        seed=options.seed,
        draws=options.draws,
        tees=tuple(planned),
        totals=totals,
        days=days,
        measuring=measuring,
    )


def _plan_tee(
    evaluator: Evaluator, sensitivity: Sensitivity | None, at: TeeOnHole, precision: float | None
) -> TeePlan:
    found, draws = score_tee(evaluator, at), evaluator.draws
    while precision and draws < MOST_DRAWS and _sampling(found) > precision:
        draws *= 2
        found = evaluator.score([aimed.aim for aimed in found], at, draws)
    total = evaluator.reaches[found[0].aim.strike].total
    wind = turn_wind(sights.line_bearing(at.hole, at.tee, total), evaluator.conditions.air)
    strikes, usual = tuple(aimed.plan for aimed in found), evaluator.player.usual
    decided = decide(at.hole, at.tee, strikes, draws, usual, evaluator.goal)
    fits = at.hole.par > 3 or _fits(at.hole, at.tee, decided.choice)
    decided = replace(decided, wind=wind, fits=fits, expected=at.hole_values.expected)
    if sensitivity is None or decided.rival is None:
        return decided
    # The choice is tried against the two cheapest of the others.
    tried = sorted(found, key=lambda aimed: aimed.plan is not decided.choice)[:3]
    return replace(
        decided,
        doubt=find_doubt(decided, evaluator.features),
        flips=sensitivity.flips(tried, wind, at),
        by_table=sensitivity.compare_with_table(tried, at),
    )


def _sampling(found: list[AimedStrike]) -> float:
    """Return half the width of the interval of what the best saves over the next, were the golfer known."""
    return found[0].plan.over(found[1].plan).sampling_half if len(found) > 1 else 0.0


# --- odds and ends --------------------------------------------------------------------------------


def _fits(hole: Hole, tee: Tee, choice: StrikePlan) -> bool:
    """Return whether a strike is about as long as a par 3."""
    away = np.hypot(*(shapely.get_coordinates(hole.green) - (tee.x, tee.y)).T)
    return bool(away.min() - _NEAR < choice.total < away.max() + _NEAR)
