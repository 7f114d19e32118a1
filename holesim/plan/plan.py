"""The plan: for every tee, which strike, aimed where, worth how many strokes, and how sure that is."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from holesim._version import __version__
from holesim.common.parallel import counter, share_out
from holesim.common.safe_files import json_text
from holesim.course.course import Course
from holesim.plan.decision import DayStrike, Total, as_played, round_totals
from holesim.plan.doubt import Measuring, worth_of_measuring
from holesim.plan.driving import DrivenStrike
from holesim.plan.goal import MEAN
from holesim.plan.map_outlines import hole_dict
from holesim.plan.plan_json import (
    PROBABILITIES,
    day_dict,
    driving_dict,
    finishes,
    golfer_dict,
    strike_numbers,
    tee_dict,
    total_dict,
)
from holesim.plan.plan_tables import VERSION
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_own_tees
from holesim.plan.session import Session, Wind
from holesim.plan.tee_plan import TeePlan
from holesim.player.player import Player
from holesim.player.setup import set_ups
from holesim.units import YARD

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A plan for a round: a `TeePlan` for every tee asked for, and the total of each policy.

    `totals`, `days` and `measuring` go by the name of the tees. `days` has the driver's strike of a golfer
    who hits it one way all day, and `measuring` what it is worth to know the golfer better. `driving` has the
    driver's strikes as a coach reads them.
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
    driving: tuple[DrivenStrike, ...]

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
            "driving": [driving_dict(strike) for strike in self.driving],
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
        Numbers and names of those to plan; by default every hole, from the tees that the player's file names,
        or else from its longest.
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
    places = find_own_tees(course, player, holes, tees)
    session = Session(course, player, options)
    played_holes = list({hole.number: hole for hole, _ in places})
    tick = counter(progress, len(played_holes) + len(places))

    def value(i: int) -> None:
        session.value(played_holes[i])
        tick()

    def plan_tee(i: int) -> TeePlan:
        hole, tee = places[i]
        plan = session.plan_tee(hole.number, tee.name)
        tick()
        return plan

    # The tees of a hole share its expected strokes and its drops.
    share_out(value, len(played_holes))
    return gather_plan(session, share_out(plan_tee, len(places)))


def gather_plan(session: Session, planned: Sequence[TeePlan], wind: Wind | None = None) -> Plan:
    """Return the plan for a round from the plans of its tees, as the golfer plays it.

    Parameters
    ----------
    planned
        What `session` found for each tee in the wind.
    wind
        By default that of the session's options.
    """
    player, goal = session.player, planned[0].goal
    planned, totals, days, measuring = list(planned), {}, {}, {}
    for name in dict.fromkeys(plan.tee.name for plan in planned):
        group, day = as_played([plan for plan in planned if plan.tee.name == name], player)
        if day is not None:
            days[name] = day
        if goal is MEAN:
            measuring[name] = worth_of_measuring(group, day, session.unknowns)
        totals[name] = round_totals(group)
        mine = iter(group)
        planned = [next(mine) if plan.tee.name == name else plan for plan in planned]
    options = session.options_in(wind)
    return Plan(
        course=session.course,
        player=player,
        options=options.as_used(session.ground.firmness),
        seed=options.seed,
        draws=options.draws,
        tees=tuple(planned),
        totals=totals,
        days=days,
        measuring=measuring,
        driving=session.driving,
    )
