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
from holesim.plan.decision import DayStrike, StrikePlan, TeePlan, Total, as_played, decide, round_totals
from holesim.plan.doubt import Measuring, doubt_text, worth_of_measuring
from holesim.plan.evaluator import (
    MOST_DRAWS,
    Aim,
    AimedStrike,
    Evaluator,
    HoleValues,
    scored,
    wanted,
)
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import turn_wind
from holesim.plan.map_outlines import hole_dict
from holesim.plan.plan_file import VERSION
from holesim.plan.plan_json import (
    PROBABILITIES,
    day_dict,
    finishes,
    golfer_dict,
    strike_numbers,
    tee_dict,
    total_dict,
)
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.sensitivity import Sensitivity
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
    places = wanted(course, holes, tees)
    evaluator = Evaluator(
        course, player, options.conditions, GOALS[options.goal], options.draws, options.seed
    )
    # It is asked of strokes alone what turns a choice.
    what_if = Sensitivity(evaluator) if len(player.strikes) > 1 and options.goal == "mean" else None
    played = list({hole.number: hole for hole, _ in places}.values())
    tick = counter(progress, len(played) + len(places))

    def know(i: int) -> HoleValues:
        known = evaluator.known(played[i])
        tick()
        return known

    # The tees of a hole share what remains on it, and what is found out about its ground.
    numbers = [hole.number for hole in played]
    known = dict(zip(numbers, share_out(know, len(played)), strict=True))

    def plan_tee(i: int) -> TeePlan:
        hole, tee = places[i]
        plan = _plan_tee(evaluator, what_if, hole, tee, known[hole.number], options.precision)
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
    evaluator: Evaluator,
    what_if: Sensitivity | None,
    hole: Hole,
    tee: Tee,
    known: HoleValues,
    precision: float | None,
) -> TeePlan:
    found, draws = scored(evaluator, hole, tee, known), evaluator.draws
    site = evaluator.site(hole, tee, known.expected, known.memory)
    while precision and draws < MOST_DRAWS and _sampling(found) > precision:
        draws *= 2
        found = evaluator.score(
            hole, tee, [Aim(a.strike, a.heading, a.plan.beyond) for a in found], draws, site, known
        )
    wind = turn_wind(
        sights.line_bearing(hole, tee, evaluator.reach[found[0].strike]), evaluator.conditions.air
    )
    decided = decide(
        hole, tee, tuple(aimed.plan for aimed in found), draws, evaluator.player.usual, evaluator.goal
    )
    fits = hole.par > 3 or _fits(hole, tee, decided.choice)
    decided = replace(decided, wind=wind, fits=fits, expected=known.expected)
    if what_if is None or decided.rival is None:
        return decided
    # The choice is tried against the two cheapest of the others.
    tried = sorted(found, key=lambda aimed: aimed.plan is not decided.choice)[:3]
    return replace(
        decided,
        doubt=doubt_text(decided, evaluator.features),
        flips=what_if.flips(tried, wind, site),
        by_table=what_if.by_table(tried, hole, tee, known.expected),
    )


def _sampling(found: list[AimedStrike]) -> float:
    """Return half the width of the interval of what the best saves over the next, were the golfer known."""
    return found[0].plan.over(found[1].plan).sampling_half if len(found) > 1 else 0.0


# --- odds and ends --------------------------------------------------------------------------------


def _fits(hole: Hole, tee: Tee, choice: StrikePlan) -> bool:
    """Return whether a strike is about as long as a par 3."""
    away = np.hypot(*(shapely.get_coordinates(hole.green) - (tee.x, tee.y)).T)
    return bool(away.min() - _NEAR < choice.total < away.max() + _NEAR)
