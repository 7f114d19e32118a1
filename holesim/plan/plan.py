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
    """A plan for a round: a `TeePlan` for every tee asked for, and the total of each policy.

    `totals`, `days` and `measuring` go by the name of the tees. `days` has the driver's strike of a golfer
    who hits it one way all day, and `measuring` what it is worth to know the golfer better.
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
        Numbers and names of those to plan; by default every hole from its longest tee.
    progress
        Called with the number of holes and tees that are done, and of all.

    Raises
    ------
    InputError
        If a hole or tee is not on the course, or every drive from a tee is out of bounds.

    Examples
    --------
    A course of one hole, with few drives:

    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> course, player = load_course(find("template.geojson")), load_player(find(PLAYER))
    >>> plan = make_plan(course, player, RoundOptions(draws=256))
    >>> [(tee.hole.number, tee.choice.label, round(tee.choice.strokes, 1)) for tee in plan.tees]
    [(1, 'up', 4.4)]
    """
    places = find_tees(course, holes, tees)
    evaluator = Evaluator(
        course, player, options.conditions, GOALS[options.goal], options.draws, options.seed
    )
    # Only a choice for the fewest strokes is asked what would change it.
    sensitivity = Sensitivity(evaluator) if len(player.strikes) > 1 and options.goal == "mean" else None
    played_holes = list({hole.number: hole for hole, _ in places}.values())
    tick = counter(progress, len(played_holes) + len(places))

    def value(i: int) -> HoleValues:
        values = evaluator.value_hole(played_holes[i])
        tick()
        return values

    # The tees of a hole share its expected strokes and its drops.
    numbers = [hole.number for hole in played_holes]
    hole_values = dict(zip(numbers, share_out(value, len(played_holes)), strict=True))

    def plan_tee(i: int) -> TeePlan:
        hole, tee = places[i]
        at = evaluator.on_tee(hole, tee, hole_values[hole.number])
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
            measuring[name] = worth_of_measuring(group, day, evaluator.unknowns)
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
    scored, draws = score_tee(evaluator, at), evaluator.draws
    while precision and draws < MOST_DRAWS and _sampling_half(scored) > precision:
        draws *= 2
        scored = evaluator.score([aimed.aim for aimed in scored], at, draws)
    total = evaluator.reaches[scored[0].aim.strike].total
    wind = turn_wind(sights.line_bearing(at.hole, at.tee, total), evaluator.conditions.air)
    strikes, usual = tuple(aimed.plan for aimed in scored), evaluator.player.usual
    decided = decide(at.hole, at.tee, strikes, draws, usual, evaluator.goal)
    fits = at.hole.par > 3 or _fits(at.hole, at.tee, decided.choice)
    decided = replace(decided, wind=wind, fits=fits, expected=at.hole_values.expected)
    if sensitivity is None or decided.rival is None:
        return decided
    # The choice is compared with the two cheapest of the others.
    compared = sorted(scored, key=lambda aimed: aimed.plan is not decided.choice)[:3]
    return replace(
        decided,
        doubt=find_doubt(decided, evaluator.unknowns),
        flips=sensitivity.find_flips(compared, wind, at),
        by_table=sensitivity.compare_with_table(compared, at),
    )


def _sampling_half(scored: list[AimedStrike]) -> float:
    """Return the half-width of the best strike's gain over the next that comes from sampling drives."""
    return scored[0].plan.over(scored[1].plan).sampling_half if len(scored) > 1 else 0.0


def _fits(hole: Hole, tee: Tee, choice: StrikePlan) -> bool:
    """Return whether a strike is about as long as a par 3."""
    away = np.hypot(*(shapely.get_coordinates(hole.green) - (tee.x, tee.y)).T)
    return bool(away.min() - _NEAR < choice.total < away.max() + _NEAR)
