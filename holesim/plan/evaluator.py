"""The evaluator: prepares a golfer's drives once for a course, then scores any strike along any aim.

Aims are found with one set of drives and scored with another, independent one, so that the best aim is not
just the luckiest.
"""

from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import replace
from functools import lru_cache
from math import cos, sin
from threading import Lock
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.course.course import Course
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan import sights
from holesim.plan.aim_range import AimRange, find_aim_range
from holesim.plan.aim_search import SearchDrives, Site
from holesim.plan.club_reach import Reach, add_soft_clubs, find_reach, fit_longest
from holesim.plan.conditions import FEWEST_DRAWS, Conditions, map_in
from holesim.plan.doubt import Unknowns
from holesim.plan.estimate import estimate
from holesim.plan.flown_drives import ROOM, FlownDrives
from holesim.plan.goal import Goal
from holesim.plan.golfer_drives import GolferDrives
from holesim.plan.struck_drives import StruckDrives, land_struck
from holesim.plan.tee_on_hole import Aim, AimedStrike, HoleValues, StrikeOutcome, TeeOnHole
from holesim.plan.tee_plan import FinishedDrives, StrikePlan
from holesim.plan.wind_sensitivity import DrivesInWinds
from holesim.player.player import POSTERIOR_DRAWS, Player, Strike, path_shift
from holesim.scoring import score_chances, strokes_table
from holesim.scoring.expected_strokes import STEP, ExpectedStrokes, NextShot, solve_hole, strokes_by_distance
from holesim.scoring.shot_dispersion import club_dispersion
from holesim.scoring.skill import find_dispersion_skill, find_skill
from holesim.shot.air import Air
from holesim.shot.bounce import run
from holesim.shot.deliveries import Draws, make_draws
from holesim.shot.relief import Finish, Lie, blank_drop_cache, hole_constants, take_relief
from holesim.units import MPH

Floats = NDArray[np.float64]

REPLICATES: Final = 2
"""Independent sets of drives of each posterior draw: they tell the noise of sampling from the golfers."""

_MOST_TO_CHOOSE: Final = 4096  # drives of a strike that find aims
# Half as many drives find the aim, and some of those where to look for it; an independent set scores.
_CHOOSING, _SCORING, _STREAMS = 0, 1, 3


class Evaluator:
    """Everything about a course and a player that does not depend on the tee.

    Attributes
    ----------
    between
        Called between pieces of work of some hundredths of a second; what it raises ends the work.

    Parameters
    ----------
    draws
        Drives scored for each strike, before a `precision` adds any.
    ground
        The course's ground map, where it exists already.
    room
        Bytes that the drives flown may take.

    Raises
    ------
    InputError
        If the player's handicap and club speed do not go together.
    """

    def __init__(
        self,
        course: Course,
        player: Player,
        conditions: Conditions,
        goal: Goal,
        draws: int,
        seed: int,
        *,
        ground: GroundMap | None = None,
        room: float = ROOM,
    ) -> None:
        self.course, self.conditions, self.goal, self.draws = course, conditions, goal, draws
        self.ground = ground or map_in(course, conditions)
        try:
            who = player.handicap_index, player.club_speed, player.sex
            skill, shots = find_skill(*who), club_dispersion(find_dispersion_skill(*who))
        except ValueError:
            raise InputError(
                player.file,
                "club_speed_mph",
                f"{player.club_speed / MPH:g} mph does not go with a handicap of {player.handicap_index:g}",
                "correct the one or the other",
            ) from None
        self.table, self.chances_by_mean = (
            strokes_table.make_strokes_table(skill),
            strokes_table.make_score_chances(skill),
        )

        def reach(strike: Strike) -> Reach:
            return find_reach(strike, player.side, conditions, self.ground.firmness)

        self.player = add_soft_clubs(player, course, reach)
        self.reaches = [reach(strike) for strike in self.player.strikes]
        self.shots = fit_longest(shots, self.player, self.reaches, reach)
        self.golfer = GolferDrives(self.player, conditions, seed)
        self.unknowns = Unknowns(self.golfer.golfers, self.golfer.drag_slopes)
        self.seed = seed
        self.flown = self._to_fly(draws, room)
        self.between: Callable[[], None] = lambda: None
        self._lock = Lock()
        self._struck: dict[tuple[int, int], StruckDrives] = {}
        self._aim_ranges: dict[tuple[int, Tee, tuple[float, ...]], AimRange] = {}

    def _to_fly(self, draws: int, room: float) -> FlownDrives:
        """Return the drives that find aims, where `draws` are scored."""
        count = min(max(draws // 2, FEWEST_DRAWS), _MOST_TO_CHOOSE)
        choosing = _seeded_draws(self.seed, _CHOOSING, count, POSTERIOR_DRAWS)
        return FlownDrives(self.golfer, choosing, self.ground.firmness, room=room)

    # --- the same with one thing changed, sharing all that stays ---

    def in_air(self, air: Air) -> "Evaluator":
        """Return the same in another wind; density and viscosity must stay."""
        other = copy(self)
        other.conditions = replace(self.conditions, air=air)
        return other

    def for_goal(self, goal: Goal) -> "Evaluator":
        """Return the same for another goal."""
        other = copy(self)
        other.goal = goal
        return other

    def called_between(self, between: Callable[[], None]) -> "Evaluator":
        """Return the same with something to call between pieces of work."""
        other = copy(self)
        other.between = between
        return other

    def with_draws(self, draws: int, *, room: float = ROOM) -> "Evaluator":
        """Return the same with another number of drives, which may take `room` bytes once flown."""
        other = copy(self)
        other.draws, other.flown = draws, self._to_fly(draws, room)
        return other

    # --- drives ---

    def fine(self, strike: int) -> SearchDrives:
        """Return the drives of a strike that find its aim."""
        self.between()
        return self.flown.fine(strike, self.conditions.air)

    def coarse(self, strike: int) -> SearchDrives:
        """Return some of those drives, which find where to look for an aim."""
        self.between()
        return self.flown.coarse(strike, self.conditions.air)

    def half_choosing(self, strike: int) -> StruckDrives:
        """Return half of the drives of a strike that find its aim."""
        return self.flown.half(strike)

    def in_winds(self, strike: int) -> DrivesInWinds:
        """Return these in winds that turn with the aim."""
        self.between()
        return self.flown.in_winds(strike, self.conditions.air)

    def to_score(self, strike: int, draws: int) -> StruckDrives:
        """Return the drives of a strike to score, in `REPLICATES` sets by each golfer."""
        with self._lock:
            if (strike, draws) not in self._struck:
                points = _seeded_draws(self.seed, _SCORING, draws, POSTERIOR_DRAWS * REPLICATES)
                self._struck[strike, draws] = self.golfer.strike(strike, points)
            return self._struck[strike, draws]

    # --- a hole and its tees ---

    def value_hole(self, hole: Hole, *, step: float = STEP) -> HoleValues:
        """Return expected strokes and score chances on a hole, at grid points `step` [m] apart."""
        ground, rule = self.ground, self.conditions.out_of_bounds
        if self.conditions.by_table:
            expected = strokes_by_distance(self.table, hole, ground, step=step)
        else:
            expected = solve_hole(self.shots, self.table, hole, ground, out_of_bounds=rule, step=step)
        scores = score_chances.solve_scores(expected, self.chances_by_mean)
        return HoleValues(expected, scores, blank_drop_cache(ground))

    def on_tee(self, hole: Hole, tee: Tee, values: HoleValues) -> TeeOnHole:
        """Return a tee on a hole, ready for the search and for scoring."""
        return TeeOnHole(hole, tee, values, self.site(hole, tee, values))

    def site(self, hole: Hole, tee: Tee, values: HoleValues) -> Site:
        """Return a tee and its hole as the search sees them."""
        constants = hole_constants(
            tee=(tee.x, tee.y),
            pin=hole.pin,
            green=hole.green,
            expected=values.expected.grid,
            lost_in_trees=strokes_table.LOST_IN_TREES,
            lost_in_heavy_rough=strokes_table.LOST_IN_HEAVY_ROUGH,
            out_of_bounds=self.conditions.out_of_bounds,
        )
        return Site(self.ground, constants, values.drop_cache)

    def aim_range(self, at: TeeOnHole, strikes: Sequence[int]) -> AimRange:
        """Return where a golfer would aim some strikes from a tee."""
        totals = tuple(self.reaches[strike].total for strike in strikes)
        name = at.hole.number, at.tee, totals
        if name not in self._aim_ranges:
            self._aim_ranges[name] = find_aim_range(self.course, at.hole, at.tee, totals)
        return self._aim_ranges[name]

    # --- a strike ---

    def play(self, drives: StruckDrives, heading: float, at: TeeOnHole) -> StrikeOutcome | None:
        """Return the outcome of drives along one heading; None if every drive is out."""
        self.between()
        landings, tracks = land_struck(
            drives, self.conditions.air, self.ground, heading=heading, origin=(at.tee.x, at.tee.y)
        )
        finishes = run(landings, self.ground)
        lies = take_relief(finishes, tracks, self.ground, at.site.constants)
        try:
            cost = strokes_table.score_drives(lies)
        except ZeroDivisionError:
            return None
        within = score_chances.scores_from_tee(lies, cost, self.ground, at.hole_values.scores)
        return StrikeOutcome(landings, finishes, lies, cost, within)

    def score(self, aims: Iterable[Aim], at: TeeOnHole, draws: int | None = None) -> list[AimedStrike]:
        """Return the plan of a strike along each aim, the best first.

        Raises
        ------
        InputError
            If every drive from the tee is out of bounds.
        """
        scored = []
        for aim in aims:
            outcome = self.play(self.to_score(aim.strike, draws or self.draws), aim.heading, at)
            if outcome is not None:
                scored.append(AimedStrike(aim, self._strike_plan(aim, outcome, at)))
        if not scored:
            problem, remedy = "every drive is out of bounds", "check the boundary and the hole's line"
            raise InputError(self.course.file, at.place, problem, remedy)
        return sorted(scored, key=lambda aimed: float(aimed.plan.loss.mean()))

    def cost_as_filed(self, aim: Aim, draws: Draws, at: TeeOnHole) -> Floats:
        """Return the strokes of each drive by the golfer as the file has them; nan if all go out."""
        drives = self.golfer.strike_as_filed(aim.strike, draws)
        outcome = self.play(drives, aim.heading, at)
        return np.full(len(drives.launches.speed), np.nan) if outcome is None else outcome.cost.cost

    def mark(self, aim: Aim, outcome: StrikeOutcome, at: TeeOnHole) -> sights.Mark:
        """Return an aim by something that can be seen from the tee."""
        finishes, tee = outcome.finishes, at.tee
        total = float(np.hypot(finishes.x - tee.x, finishes.y - tee.y).mean())
        visible = sights.find_sights(self.course, at.hole, tee, self.ground, drive=total)
        return sights.mark_aim(self._start(aim), visible)

    def _start(self, aim: Aim) -> float:
        """Return the direction in which the ball should start [rad from north]."""
        return aim.heading + self.golfer.start_direction(aim.strike)

    def _strike_plan(self, aim: Aim, outcome: StrikeOutcome, at: TeeOnHole) -> StrikePlan:
        strike, cost, tee = self.player.strikes[aim.strike], outcome.cost, at.tee
        finishes, landings = outcome.finishes, outcome.landings
        by_draw, within = means_by_draw(cost.cost, cost), outcome.within.mean(axis=0)
        dx, dy = finishes.x - tee.x, finishes.y - tee.y
        side = dx * cos(aim.heading) - dy * sin(aim.heading)
        carry, total = np.hypot(landings.x - tee.x, landings.y - tee.y), float(np.hypot(dx, dy).mean())
        drives = FinishedDrives(
            finishes.x, finishes.y, landings.x, landings.y, outcome.lies.finish, cost.cost
        )
        return StrikePlan(
            club=strike.club,
            strike=strike.name,
            aim=sights.half_turn(self._start(aim) - tee.bearing(*at.hole.pin)),
            mark=self.mark(aim, outcome, at),
            alignment=-path_shift(strike.attack, self.player.side),
            strokes=cost.expected,
            strokes_se=estimate(by_draw).se,
            shares=outcome.shares,
            scores=np.append(np.diff(within, prepend=0), 1 - within[-1]),
            carry=float(carry.mean()),
            total=total,
            carry_sd=float(carry.std()),
            side_sd=float(side.std()),
            strokes_by_draw=by_draw,
            loss=means_by_draw(self.goal.loss(at.hole.par, cost.cost, outcome.within), cost),
            beyond=aim.beyond,
            drives=drives,
            then=next_shot(drives, at.hole_values.expected),
        )


_LIES: Final = {
    Finish.FAIRWAY: Lie.FAIRWAY,
    Finish.ROUGH: Lie.ROUGH,
    Finish.HEAVY_ROUGH: Lie.HEAVY,
    Finish.SAND: Lie.SAND,
    Finish.TREES: Lie.RECOVERY,
}


@lru_cache(maxsize=8)
def _seeded_draws(seed: int, stream: int, draws: int, replicates: int) -> Draws:
    """Return points of a seed, the same for every strike and golfer."""
    return make_draws(draws, replicates, np.random.default_rng(seed).spawn(_STREAMS)[stream])


def next_shot(drives: FinishedDrives, expected: ExpectedStrokes) -> NextShot | None:
    """Return the best shot from where drives typically finish: the middle of those with the likeliest lie."""
    finish = max(Finish, key=lambda f: int((drives.finish == f).sum()))
    if finish not in _LIES:
        return None
    ends = np.stack([drives.x, drives.y], axis=1)[drives.finish == finish]
    middle = ends[np.hypot(*(ends - np.median(ends, axis=0)).T).argmin()]
    return expected.next_shot(_LIES[finish], *middle.tolist())


def means_by_draw(loss: Floats, cost: strokes_table.TeeStrokes) -> Floats:
    """Return the mean loss of each posterior draw by each replicate, shape (draws, replicates).

    With stroke and distance the expected strokes E are not linear in the drives. To first order E moves by
    the departure of the mean cost divided by 1 - p, where p is the share replayed. Means centred on E in this
    way are free of the bias of solving each small set for its own E.
    """
    means, centre = loss.reshape(POSTERIOR_DRAWS, REPLICATES, -1).mean(axis=2), loss.mean()
    return np.asarray(centre + (means - centre) / (1 - float(cost.replayed.mean())))
