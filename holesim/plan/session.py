"""A session: what plans of one course for one golfer share, kept while wind, strikes and aims change."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property
from threading import Lock
from typing import Final, NamedTuple

import numpy as np
import shapely

from holesim.course.course import Course
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan import sights
from holesim.plan.aim_search import costs
from holesim.plan.aiming import candidates, find_aims, score_tee
from holesim.plan.conditions import MOST_DRAWS
from holesim.plan.decision import decide
from holesim.plan.doubt import Unknowns, find_doubt
from holesim.plan.driving import DrivenStrike, find_driving
from holesim.plan.evaluator import Evaluator
from holesim.plan.flown_drives import ROOM
from holesim.plan.goal import GOALS, MEAN
from holesim.plan.hole_wind import turn_wind
from holesim.plan.round_options import USUAL, RoundOptions
from holesim.plan.round_tees import find_tees
from holesim.plan.sensitivity import choice_by_table, flips_of
from holesim.plan.tee_on_hole import Aim, AimedStrike, HoleValues, TeeOnHole
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player
from holesim.units import YARD

FEW_DRAWS: Final = 1024
"""Drives of each strike at a glance."""

WINDOW_ROOM: Final = 90e6
"""Bytes for drives flown, of a session that answers a person for a whole day."""

_LANDED: Final = 4096  # drives of a strike that show where it lands
_NEAR: Final = 20 * YARD  # of the green, within which a club fits a par 3
_CLUBS: Final = 3  # of those that fit a par 3 best, shown at a glance


class Wind(NamedTuple):
    """A wind's speed [mph], and the true direction it comes from [deg]."""

    mph: float
    from_deg: float


class BetterStrike(NamedTuple):
    """The better of some strikes in a wind, and how much less its loss is than the next [as in `Goal`].

    `label` is None where that is too little to matter.
    """

    from_deg: float
    label: str | None
    saves: float


class Session:
    """Answers questions about the tees of a course, for one golfer; any thread may ask.

    It keeps what a change of wind, strikes or aims leaves as it is: expected strokes of each hole, the sites
    of tees, and drives flown at each speed of the wind.

    Parameters
    ----------
    options
        Their wind is the one meant where a question names none.
    ground
        The course's ground map in these options, where it exists already.
    room
        Bytes that the drives flown may take: so many at rest, and half as many at a glance.

    Raises
    ------
    InputError
        If the player's handicap and club speed do not go together.

    Examples
    --------
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.shot.club_speeds import load_player
    >>> course, player = load_course(find("template.geojson")), load_player(find(PLAYER))
    >>> session = Session(course, player, RoundOptions(draws=256))
    >>> glance = session.glance(1, course.holes[0].tees[0].name, Wind(14, 225))
    >>> [strike.label for strike in glance.strikes]
    ['up', 'down']
    """

    def __init__(
        self,
        course: Course,
        player: Player,
        options: RoundOptions = USUAL,
        *,
        ground: GroundMap | None = None,
        room: float = ROOM,
    ) -> None:
        self.course, self.player, self.options, self.room = course, player, options, room
        self._all = Evaluator(
            course,
            player,
            options.conditions,
            GOALS[options.goal],
            options.draws,
            options.seed,
            ground=ground,
            room=room,
        )
        self._few = self._all.with_draws(min(FEW_DRAWS, options.draws), room=room / 2)
        self._holes = {hole.number: hole for hole in course.holes}
        self._locks = {number: Lock() for number in self._holes}
        self._values: dict[int, HoleValues] = {}
        self._tees: dict[tuple[int, str], TeeOnHole] = {}

    # --- the same with one thing changed, sharing all that stays ---

    def changed(self, **options: object) -> "Session":
        """Return a session with some options of the round changed.

        Raises
        ------
        InputError
            If a value makes no sense.
        """
        changed = self.options.changed(**options)
        moved = {name for name, value in changed if value != getattr(self.options, name)}
        ground = None if moved & {"ground", "unmapped"} else self.ground
        other = Session(self.course, self.player, changed, ground=ground, room=self.room)
        if moved <= {"goal", "draws", "precision", "seed", "wind_mph", "wind_from_deg", "wind_height_ft"}:
            other._values, other._tees = self._values, self._tees
        return other

    def with_course(self, course: Course) -> "Session":
        """Return a session for another course, or for one whose outlines have changed."""
        return Session(course, self.player, self.options, room=self.room)

    def with_player(self, player: Player) -> "Session":
        """Return a session for another golfer, or for one whose file has changed."""
        return Session(self.course, player, self.options, ground=self.ground, room=self.room)

    def with_driving(self, player: Player) -> "Session":
        """Return a session for the golfer with other driver strikes; the rest of their game is the same.

        So the expected strokes of the holes, of which the driver has no part, stay.
        """
        other = Session(self.course, player, self.options, ground=self.ground, room=self.room)
        other._values = self._values
        return other

    # --- what is kept ---

    @property
    def ground(self) -> GroundMap:
        """The course's ground map."""
        return self._all.ground

    @property
    def unknowns(self) -> Unknowns:
        """What is unknown of the golfer."""
        return self._all.unknowns

    @cached_property
    def driving(self) -> tuple[DrivenStrike, ...]:
        """The golfer's driver strikes, in calm air over level ground."""
        strikes = enumerate(self._all.player.strikes)
        drivers = [index for index, strike in strikes if strike.club == "driver"]
        draws = min(self.options.draws, _LANDED)
        return find_driving(self._all.golfer, {k: self._all.to_score(k, draws) for k in drivers})

    @property
    def nbytes(self) -> int:
        """Bytes that the drives flown take."""
        return self._all.flown.nbytes + self._few.flown.nbytes

    def options_in(self, wind: Wind | None) -> RoundOptions:
        """Return the options of the round in another wind."""
        if wind is None:
            return self.options
        return self.options.changed(wind_mph=wind.mph, wind_from_deg=wind.from_deg)

    def value(self, hole: int) -> None:
        """Find the expected strokes of a hole, which takes up to a second."""
        with self._locks[hole]:
            if hole not in self._values:
                self._values[hole] = self._all.value_hole(self._holes[hole])

    def is_valued(self, hole: int) -> bool:
        """Return whether the expected strokes of a hole are known."""
        return hole in self._values

    def _at(self, hole: int, tee: str) -> TeeOnHole:
        """Return a tee, ready for the search and for scoring."""
        if (hole, tee) not in self._tees:
            ((where, place),) = find_tees(self.course, [hole], [tee])
            self.value(hole)
            self._tees[hole, tee] = self._all.on_tee(where, place, self._values[hole])
        return self._tees[hole, tee]

    # --- at rest ---

    def plan_tee(
        self,
        hole: int,
        tee: str,
        wind: Wind | None = None,
        *,
        between: Callable[[], None] = lambda: None,
    ) -> TeePlan:
        """Plan a tee: all drives of every club, and how sure the choice is.

        Parameters
        ----------
        between
            Called between pieces of the work of some hundredths of a second; what it raises ends the work.

        Raises
        ------
        InputError
            If the hole or tee is not on the course, or every drive from the tee is out of bounds.
        """
        at, options = self._at(hole, tee), self.options_in(wind)
        evaluator = self._all.in_air(options.conditions.air).called_between(between)
        scored, draws = score_tee(evaluator, at), evaluator.draws
        while options.precision and draws < MOST_DRAWS and _sampling_half(scored) > options.precision:
            draws *= 2
            scored = evaluator.score([aimed.aim for aimed in scored], at, draws)
        decided = _decide(evaluator, at, scored, draws)
        # Only a choice for the fewest strokes is asked what would change it.
        if options.goal != "mean" or decided.rival is None or len(self.player.strikes) < 2:
            return decided
        # The choice is compared with the two cheapest of the others.
        compared = sorted(scored, key=lambda aimed: aimed.plan is not decided.choice)[:3]
        return replace(
            decided,
            doubt=find_doubt(decided, evaluator.unknowns),
            flips=flips_of(evaluator, compared, decided.wind, at),
            by_table=choice_by_table(evaluator, compared, at),
        )

    # --- at a glance ---

    def glance(
        self, hole: int, tee: str, wind: Wind | None = None, strikes: Sequence[str] | None = None
    ) -> TeePlan:
        """Plan a tee by few drives of some strikes, along their best aims for the fewest strokes.

        Parameters
        ----------
        strikes
            Their labels; by default the driver's or, on a par 3, those of the clubs that fit it best.

        Raises
        ------
        InputError
            As `plan_tee` does, and if a golfer has no such strike.
        """
        at, evaluator = self._at(hole, tee), self._few_in(wind)
        aims = find_aims(evaluator.for_goal(MEAN), at, self._places(at, strikes))
        return _decide(evaluator, at, evaluator.score(aims, at), evaluator.draws)

    def hold(self, hole: int, tee: str, wind: Wind | None, label: str, heading: float) -> StrikePlan:
        """Return one strike by few drives along one aim.

        Parameters
        ----------
        heading
            Where the ball should start [rad from north].

        Raises
        ------
        InputError
            If every drive is out of bounds, or the golfer has no such strike.
        """
        at, evaluator = self._at(hole, tee), self._few_in(wind)
        (place,) = self._places(at, [label])
        aim = Aim(place, heading - evaluator.golfer.start_direction(place))
        return evaluator.score([aim], at)[0].plan

    def better_strikes(
        self,
        hole: int,
        tee: str,
        mph: float,
        directions: Sequence[float],
        strikes: Sequence[str] | None = None,
    ) -> list[BetterStrike]:
        """Return which of some strikes serves the goal better in winds of one speed.

        For the fewest strokes that is found by the drives that find aims, for a score by few others.

        Parameters
        ----------
        directions
            Where each wind comes from [deg].
        """
        at, found = self._at(hole, tee), []
        places = self._places(at, strikes)
        for degrees in directions:
            evaluator = self._few_in(Wind(mph, degrees))
            aims = find_aims(evaluator.for_goal(MEAN), at, places)
            if evaluator.goal is MEAN:
                cost = [costs(evaluator.fine(a.strike), np.array([a.heading]), at.site)[0] for a in aims]
                losses = sorted((float(c), a.strike) for c, a in zip(cost, aims, strict=True))
            else:
                scored = evaluator.score(aims, at)
                losses = [(float(plan.loss.mean()), aim.strike) for aim, plan in scored]
            (least, best), *rest = losses
            saves = rest[0][0] - least if rest else 0.0
            label = evaluator.player.strikes[best].label if saves >= evaluator.goal.close else None
            found.append(BetterStrike(degrees, label, saves))
        return found

    def _few_in(self, wind: Wind | None) -> Evaluator:
        return self._few.in_air(self.options_in(wind).conditions.air)

    def _places(self, at: TeeOnHole, labels: Sequence[str] | None) -> list[int]:
        """Return places of strikes among the golfer's."""
        strikes, reaches = self._all.player.strikes, self._all.reaches
        if labels is None:
            if at.hole.par > 3:
                return [k for k, strike in enumerate(strikes) if strike.club == "driver"]
            fits = sorted(candidates(self._all, at), key=lambda k: abs(reaches[k].total - at.tee.length))
            return sorted(fits[:_CLUBS])
        known = {strike.label: k for k, strike in enumerate(strikes)}
        for label in labels:
            if label not in known:
                raise InputError(self.player.file, "", f"has no {label}", f"it has {', '.join(known)}")
        return [known[label] for label in dict.fromkeys(labels)]


def _decide(evaluator: Evaluator, at: TeeOnHole, scored: list[AimedStrike], draws: int) -> TeePlan:
    """Return the choice among strikes that are aimed and scored, the best first."""
    total = evaluator.reaches[scored[0].aim.strike].total
    wind = turn_wind(sights.line_bearing(at.hole, at.tee, total), evaluator.conditions.air)
    strikes, usual = tuple(aimed.plan for aimed in scored), evaluator.player.usual
    decided = decide(at.hole, at.tee, strikes, draws, usual, evaluator.goal)
    fits = at.hole.par > 3 or _fits(at.hole, at.tee, decided.choice)
    return replace(decided, wind=wind, fits=fits, expected=at.hole_values.expected)


def _sampling_half(scored: list[AimedStrike]) -> float:
    """Return the half-width of the best strike's gain over the next that comes from sampling drives."""
    return scored[0].plan.over(scored[1].plan).sampling_half if len(scored) > 1 else 0.0


def _fits(hole: Hole, tee: Tee, choice: StrikePlan) -> bool:
    """Return whether a strike is about as long as a par 3."""
    away = np.hypot(*(shapely.get_coordinates(hole.green) - (tee.x, tee.y)).T)
    return bool(away.min() - _NEAR < choice.total < away.max() + _NEAR)
