"""The workbench: what is worked out once for a course and a golfer, and with it any tee.

Aims are sought on one set of drives and scored on another, independent one, so that the least of what was
found is not the luckiest.
"""

from collections.abc import Iterable, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import ceil, cos, floor, hypot, radians, sin
from threading import Lock
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.polynomial import Polynomial
from numpy.typing import NDArray
from shapely import Point

from holesim.course.course import Course, Firmness, Ground
from holesim.course.ground_map import GroundMap, map_ground, plain
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError, rather
from holesim.plan import sights, table_comparison
from holesim.plan.aim_range import aim_range
from holesim.plan.aim_search import SearchDrives, Site, costs, prepare
from holesim.plan.decision import FinishedDrives, StrikePlan
from holesim.plan.doubt import Features
from holesim.plan.estimate import estimate
from holesim.plan.flown_drives import StruckDrives, fly_struck, join_struck, land_struck
from holesim.plan.goal import CLOSE, MEAN, Goal
from holesim.plan.posterior_draws import posterior_draws
from holesim.player.player import POSTERIOR_DRAWS, Player, Strike, path_shift, usual_wood
from holesim.scoring import score_chances, strokes_table
from holesim.scoring.dispersion import ClubDispersion, club_dispersion
from holesim.scoring.expected_strokes import STEP, ExpectedStrokes, solve_hole, strokes_by_distance
from holesim.scoring.skill import find_dispersion_skill, find_skill
from holesim.shot.air import Air
from holesim.shot.balls import make_ball
from holesim.shot.bounce import Finishes, run
from holesim.shot.deliveries import SPEED_EXPONENT, SPIN_EXPONENT, Draws, make_draws, mean_delivery, sample
from holesim.shot.flight import QUINTAVALLA, Aerodynamics, Flights, Landings, fly
from holesim.shot.impact import Launches, choose_head, impact
from holesim.shot.relief import (
    DropCache,
    Finish,
    Lies,
    OutOfBounds,
    blank_drop_cache,
    hole_constants,
    take_relief,
)
from holesim.units import MPH, YARD

Floats = NDArray[np.float64]

REPLICATES: Final = 2
"""Independent sets of drives of each posterior draw, which tell the noise of sampling from the golfers."""
FEWEST_DRAWS: Final = 256
MOST_DRAWS: Final = 2**17

# Aims are sought every 1.5° with a quarter of the draws, then every 0.5° about the best with all of them.
_COARSE, FINE_STEP, _BEYOND = radians(1.5), radians(0.5), radians(9.0)
_WINDOW: Final = 5  # fine steps either way
_HOPELESS: Final = 0.5  # strokes
_BETTER: Final = CLOSE  # strokes that an aim which no golfer takes must save for it to be told of
_FITS: Final = 6 * YARD  # between a par 3's length and a club's, within which it is always tried
_MOST_TO_CHOOSE: Final = 4096  # drives
SOFT: Final = ", soft"
"""Ends the name of a club that is hit softly, gripped down, for a par 3 between two clubs."""
_PACES, _BY_CARRY = 3, 0.6  # steps towards a carry, which grows as about that root of it with speed


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What holds for the round besides course and player; `firmness` by default as the course states it.

    `by_table` has what remains read from the table, by lie and distance, instead of worked back on each hole;
    the exponents are those of the spread law. `ball` is one that is known for sure; by default it is one of
    those that published flights leave open (`balls`).
    """

    air: Air
    ball: Aerodynamics | None = None
    firmness: Firmness | None = None
    unmapped: Literal["rough", "heavy"] | None = None
    out_of_bounds: OutOfBounds = "distance"
    by_table: bool = False
    speed_exponent: float = SPEED_EXPONENT
    spin_exponent: float = SPIN_EXPONENT


@dataclass(frozen=True)
class HoleValues:
    """What is known of a hole for a golfer, whatever the tee: `memory` is filled as drops are found out."""

    expected: ExpectedStrokes
    scores: score_chances.ScoreChances
    memory: DropCache


class Aim(NamedTuple):
    """A strike, by its place among the player's, and where it is aimed [rad from north].

    `beyond` says that an aim which no golfer would take costs clearly less.
    """

    strike: int
    heading: float
    beyond: bool = False


class AimedStrike(NamedTuple):
    """A strike, by its place among the player's, where it is aimed [rad from north], and what comes of it."""

    strike: int
    heading: float
    plan: StrikePlan


class Evaluator:
    """Everything that is worked out once for a course and a player.

    Parameters
    ----------
    draws
        Drives scored for each strike, at first.
    ground
        The course's, where it is mapped already.

    Raises
    ------
    InputError
        If `draws` is no power of two, or the player's handicap and club speed do not go together.
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
    ) -> None:
        if not FEWEST_DRAWS <= draws <= MOST_DRAWS or draws & (draws - 1):
            span = f"{FEWEST_DRAWS} to {MOST_DRAWS}"
            raise InputError("--draws", "", f"{draws} is not a power of two from {span}", "give 4096, say")
        self.course, self.conditions = course, conditions
        self.goal, self.draws = goal, draws
        self.ground = ground or mapped(course, conditions)
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
        self.player = self._with_par_3_clubs(player)
        choosing, self.scoring, _ = np.random.default_rng(seed).spawn(3)
        found = posterior_draws(self.player, seed)
        self.golfers, self.features = found.golfers, Features(found.golfers, found.drag_slopes)
        self.balls = [conditions.ball or make_ball(slope) for slope in found.drag_slopes.tolist()]
        # A half of the draws finds the aim, a part of those where to look for it; an independent set scores.
        self.choosing = make_draws(
            min(max(draws // 2, FEWEST_DRAWS), _MOST_TO_CHOOSE), POSTERIOR_DRAWS, choosing
        )
        flown = [fly_struck(drives, conditions.air) for drives in self._struck(self.choosing)]
        self.fine = self.prepared(flown)
        # The first few of every golfer's drives.
        golfers, each, _ = self.choosing.points.shape
        few = np.arange(golfers * each).reshape(golfers, each)[:, : max(each // 4, FEWEST_DRAWS // golfers)]
        self.coarse = self.prepared([flights.subset(few.ravel()) for flights in flown])
        self.lock = Lock()
        self.scored: dict[int, list[StruckDrives]] = {}
        self.carry, self.reach = zip(*map(self._errorless, self.player.strikes), strict=True)
        self.shots = self._with_own_clubs(shots)

    # --- drives ---

    @cached_property
    def part_struck(self) -> list[StruckDrives]:
        """The drives of each strike by a half of the draws that choose."""
        points = self.choosing.points
        return self._struck(Draws(points[:, : max(points.shape[1] // 2, FEWEST_DRAWS // POSTERIOR_DRAWS)]))

    def prepared(self, flown: list[Flights]) -> list[SearchDrives]:
        """Return flights as the search takes them."""
        return [prepare(flights, self.ground.firmness) for flights in flown]

    def _with_par_3_clubs(self, player: Player) -> Player:
        """Return a player who hits a club softly for each par 3 whose length lies between two clubs."""
        self.player = player
        reaches = sorted(
            (self._errorless(s)[1], k) for k, s in enumerate(player.strikes) if s.club != "driver"
        )
        found: dict[str, Strike] = {}
        for length in (tee.length for hole in self.course.holes if hole.par == 3 for tee in hole.tees):
            fits = any(abs(reach - length) < _FITS for reach, _ in reaches)
            for (short, _), (long, k) in pairwise(reaches):
                if not fits and short < length < long:
                    club = player.strikes[k]
                    less = self._softly(club, (short + long) / 2)
                    found[less.club] = less
        return replace(player, strikes=(*player.strikes, *found.values()))

    def _softly(self, club: Strike, reach: float) -> Strike:
        """Return a club gripped down on, so that it goes so far [m]."""
        less = replace(club, club=f"{club.club}{SOFT}")
        for _ in range(_PACES):
            share = (reach / self._errorless(less)[1]) ** _BY_CARRY
            less = replace(less, club_speed=less.club_speed * share)
        return less

    def _nominal(self, strike: Strike) -> Launches:
        return impact(
            mean_delivery(strike), choose_head(strike.kind, strike.club_speed), side=self.player.side
        )

    def struck(self, strike: int, draws: Draws) -> StruckDrives:
        """Return the drives of a strike, as many by each golfer who may be the true one.

        Each of them aims so that the ball comes down in the direction in which that of the player as the file
        has them would: a golfer allows for what the ball curves on average. And each knows how far a club
        goes that is not the driver, whatever the ball.

        Parameters
        ----------
        draws
            Their first axis is that of golfers, or a multiple of it.
        """
        points = draws.points.reshape(POSTERIOR_DRAWS, -1, draws.points.shape[2])
        found = []
        for golfer, own, turn, pace in zip(self.golfers, points, *self._allowances[strike], strict=True):
            hit, usual = golfer.strikes[strike], self._nominal(golfer.strikes[strike])
            deliveries = sample(
                hit,
                Draws(own[None]),
                spin=float(usual.spin[0]),
                mean_spin=self._mean_spin(golfer),
                speed_exponent=self.conditions.speed_exponent,
                spin_exponent=self.conditions.spin_exponent,
            )
            launches = impact(deliveries, choose_head(hit.kind, hit.club_speed), side=golfer.side)
            found.append(replace(launches, speed=launches.speed * pace, direction=launches.direction + turn))
        return join_struck(found, self.balls)

    def _struck(self, draws: Draws) -> list[StruckDrives]:
        """Return the drives of each strike."""
        return [self.struck(strike, draws) for strike in range(len(self.player.strikes))]

    @cached_property
    def _allowances(self) -> list[tuple[Floats, Floats]]:
        """How much farther right than the player as the file has them each golfer aims each strike [rad].

        And of a club that is not the driver how many times as fast the ball leaves, so that it goes as far.
        """
        still = replace(self.conditions.air, wind_speed=0.0)

        def comes_down(drives: StruckDrives) -> tuple[Floats, Floats]:
            landings = fly_struck(drives, still).landings_along(0.0, (0.0, 0.0))
            return np.arctan2(landings.x, landings.y), np.hypot(landings.x, landings.y)

        found = []
        for k, strike in enumerate(self.player.strikes):
            usual, far = comes_down(
                join_struck([self._nominal(strike)], [self.conditions.ball or QUINTAVALLA])
            )
            struck = join_struck([self._nominal(golfer.strikes[k]) for golfer in self.golfers], self.balls)
            bearing, carry = comes_down(struck)
            pace = np.ones(POSTERIOR_DRAWS)
            for _ in range(_PACES if strike.club != "driver" else 0):
                pace = pace * (far / carry) ** _BY_CARRY
                faster = replace(struck.launches, speed=struck.launches.speed * pace)
                bearing, carry = comes_down(replace(struck, launches=faster))
            found.append((usual - bearing, pace))
        return found

    def _mean_spin(self, golfer: Player) -> float:
        """Return the mean spin of a golfer's driver strikes [rad/s], by its logarithm."""
        if self.conditions.spin_exponent == 0:
            return 1.0  # any will do
        return float(np.exp(np.mean([np.log(self._nominal(s).spin[0]) for s in golfer.drivers])))

    def launched(self, draws: int) -> list[StruckDrives]:
        """Return the drives to score, of each strike, in `REPLICATES` of each golfer."""
        with self.lock:
            if draws not in self.scored:
                points = make_draws(draws, POSTERIOR_DRAWS * REPLICATES, deepcopy(self.scoring))
                self.scored[draws] = self._struck(points)
            return self.scored[draws]

    def _errorless(self, strike: Strike) -> tuple[float, float]:
        """Return how far the strike carries, and goes in all on a fairway, without errors or wind [m]."""
        still = replace(self.conditions.air, wind_speed=0.0)
        ball = self.conditions.ball or QUINTAVALLA
        landings, _ = fly(self._nominal(strike), still, aerodynamics=ball)
        finishes = run(landings, plain(Ground.FAIRWAY, firmness=self.ground.firmness))
        return float(landings.x[0]), hypot(finishes.x[0], finishes.y[0])

    def _with_own_clubs(self, shots: ClubDispersion) -> ClubDispersion:
        """Return the shots of one whose longest wood or hybrid, if any is listed, is not the usual wood."""
        reaches = zip(self.player.strikes, self.reach, strict=True)
        own = max((reach for strike, reach in reaches if strike.kind in ("wood", "hybrid")), default=None)
        if own is None:
            return shots
        # Off the tee, as the usual one is: what the model gets wrong of both cancels.
        _, usual = self._errorless(usual_wood(self.player))
        return replace(shots, longest=shots.longest * own / usual)

    # --- a hole ---

    def known(self, hole: Hole, *, step: float = STEP) -> HoleValues:
        """Return what remains on a hole by own shots or the table, at nodes `step` [m] apart."""
        ground, rule = self.ground, self.conditions.out_of_bounds
        if self.conditions.by_table:
            expected = strokes_by_distance(self.table, hole, ground, step=step)
        else:
            expected = solve_hole(self.shots, self.table, hole, ground, out_of_bounds=rule, step=step)
        return HoleValues(
            expected,
            score_chances.solve_scores(expected, self.chances_by_mean, ground),
            blank_drop_cache(ground),
        )

    def site(self, hole: Hole, tee: Tee, expected: ExpectedStrokes, memory: DropCache) -> Site:
        """Return a tee and its hole as the search sees them."""
        seen = hole_constants(
            tee=(tee.x, tee.y),
            pin=hole.pin,
            green=hole.green,
            expected=expected.grid,
            lost_in_trees=strokes_table.LOST_IN_TREES,
            lost_in_heavy_rough=strokes_table.LOST_IN_HEAVY_ROUGH,
            out_of_bounds=self.conditions.out_of_bounds,
        )
        return Site(self.ground, seen, memory)

    # --- a tee ---

    def aims(self, strikes: Iterable[int], hole: Hole, tee: Tee, site: Site, known: HoleValues) -> list[Aim]:
        """Return strikes, by their places among the player's, aimed where they serve the goal best.

        Every strike is offered every aim that was found for any of them.
        """
        strikes = list(strikes)
        span = aim_range(self.course, hole, tee, [self.reach[index] for index in strikes])
        pin = tee.bearing(*hole.pin)
        # Whole steps from the pin, so that a mirrored hole is searched at mirrored aims.
        steps = np.arange(ceil(span.low / _COARSE), floor(span.high / _COARSE) + 1)
        more = round(_BEYOND / _COARSE)
        looked = pin + _COARSE * np.arange(steps[0] - more, steps[-1] + more + 1, dtype=np.float64)
        seen = np.array([costs(self.coarse[index], looked, site) for index in strikes])
        inside = seen[:, more:-more]
        first = looked[more + np.unique(inside.argmin(axis=1))]
        beyond = seen.min(axis=1) < inside.min(axis=1) - _BETTER  # both may be infinite
        edges = pin + span.low, pin + span.high
        return [
            self._refined(
                Aim(index, self._heading(index, first, edges, site), bool(out)), hole, tee, site, known
            )
            for index, out in zip(strikes, beyond, strict=True)
        ]

    def _heading(self, index: int, first: Floats, edges: tuple[float, float], site: Site) -> float:
        """Return the heading from which a strike costs least, about the best that any strike found."""
        drives = self.fine[index]
        middle = first[int(np.argmin(costs(drives, first, site)))] if len(first) > 1 else first[0]
        near = middle + FINE_STEP * np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
        return float(np.clip(_lowest(near, costs(drives, near, site)), *edges))

    def _refined(self, aim: Aim, hole: Hole, tee: Tee, site: Site, known: HoleValues) -> Aim:
        """Return an aim at the fewest strokes as one that serves the goal best."""
        if self.goal is MEAN:
            return aim
        return aim._replace(heading=self._likeliest(aim.strike, aim.heading, hole, tee, site, known))

    def hopeful(self, aims: Sequence[Aim], hole: Hole, tee: Tee, site: Site) -> list[Aim]:
        """Return the driver's strikes, and of other clubs the two best and those hardly worse than the best.

        What costs half a stroke more by the drives that aims are found with is not hit; on a par 3 a club
        that goes about as far as the hole is long always is.
        """
        found = np.array([costs(self.fine[a.strike], np.array([a.heading]), site)[0] for a in aims])
        driver = np.array([self.player.strikes[a.strike].club == "driver" for a in aims])
        fits = hole.par == 3 and np.array([abs(self.reach[a.strike] - tee.length) < _FITS for a in aims])
        least = np.sort(found[~driver])[:2]
        kept = driver | fits | (found <= max([found.min() + _HOPELESS, *least]))
        return [aim for aim, keep in zip(aims, kept, strict=True) if keep]

    def score(
        self, hole: Hole, tee: Tee, aims: Iterable[Aim], draws: int, site: Site, known: HoleValues
    ) -> list[AimedStrike]:
        """Return what comes of each strike, the best first.

        Raises
        ------
        InputError
            If every drive from the tee is out of bounds.
        """
        found = []
        for aim in aims:
            played = self.play(self.launched(draws)[aim.strike], tee, aim.heading, site, known)
            if played is not None:
                plan = self._strike_plan(aim, hole, tee, played, known)
                found.append(AimedStrike(aim.strike, aim.heading, plan))
        if not found:
            raise InputError(
                self.course.file, f"hole {hole.number}, {tee.name} tee", "every drive is out of bounds",
                "check the boundary and the hole's line",
            )  # fmt: skip
        return sorted(found, key=lambda aimed: float(aimed.plan.loss.mean()))

    def costs(self, aimed: AimedStrike, draws: Draws, hole: Hole, tee: Tee, known: HoleValues) -> Floats:
        """Return what each of other drives costs the golfer as the file has them; nan if all are out."""
        site = self.site(hole, tee, known.expected, known.memory)
        strike = self.player.strikes[aimed.strike]
        deliveries = sample(
            strike, draws, spin=1.0, mean_spin=1.0, speed_exponent=self.conditions.speed_exponent
        )
        struck = impact(deliveries, choose_head(strike.kind, strike.club_speed), side=self.player.side)
        drives = join_struck([struck], [self.conditions.ball or QUINTAVALLA])
        played = self.play(drives, tee, aimed.heading, site, known)
        return np.full(len(struck.speed), np.nan) if played is None else played.cost.cost

    def candidates(self, hole: Hole, tee: Tee) -> list[int]:
        """Return the strikes to compare: on a par 3 the driver only where no other club carries to it."""
        everything = list(range(len(self.player.strikes)))
        if hole.par > 3:
            return [i for i in everything if not self.player.strikes[i].club.endswith(SOFT)]
        front = hole.green.distance(Point(tee.x, tee.y))
        others = [i for i in everything if self.player.strikes[i].club != "driver"]
        return others if any(self.carry[i] >= front for i in others) else everything

    def _likeliest(
        self, index: int, aim: float, hole: Hole, tee: Tee, site: Site, known: HoleValues
    ) -> float:
        """Return the heading, near that from which a strike costs least, from which the goal is likeliest."""

        def losses(headings: Floats) -> Floats:
            plays = (self.play(self.part_struck[index], tee, heading, site, known) for heading in headings)
            return np.array(
                [
                    np.inf if p is None else self.goal.loss(hole.par, p.cost.cost, p.within).mean()
                    for p in plays
                ]
            )

        steps = np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
        far = aim + _COARSE * steps
        near = far[int(np.argmin(losses(far)))] + FINE_STEP * steps
        return _lowest(near, losses(near))

    def play(
        self, drives: StruckDrives, tee: Tee, heading: float, site: Site, known: HoleValues
    ) -> "Played | None":
        """Return one strike along one aim, all the way to strokes; nothing if every drive is out."""
        air, origin = self.conditions.air, (tee.x, tee.y)
        landings, tracks = land_struck(drives, air, self.ground, heading=heading, origin=origin)
        finishes = run(landings, self.ground)
        lies = take_relief(finishes, tracks, self.ground, site.constants)
        try:
            cost = strokes_table.score_drives(lies)
        except ZeroDivisionError:
            return None
        within = score_chances.scores_from_tee(lies, cost, self.ground, known.scores)
        return Played(landings, finishes, lies, cost, within)

    def mark(self, index: int, hole: Hole, tee: Tee, heading: float, played: "Played") -> sights.Mark:
        """Return where to aim one strike, by something that can be seen."""
        total = float(np.hypot(played.finishes.x - tee.x, played.finishes.y - tee.y).mean())
        seen = sights.sights(self.course, hole, tee, self.ground, drive=total)
        return sights.mark(self._start(index, heading), seen)

    def _start(self, index: int, heading: float) -> float:
        """Return where the ball should start, which a face open or shut on average turns."""
        return heading + float(self._nominal(self.player.strikes[index]).direction[0])

    def _strike_plan(
        self,
        aim: Aim,
        hole: Hole,
        tee: Tee,
        played: "Played",
        known: HoleValues,
    ) -> StrikePlan:
        index, heading, beyond = aim
        strike, cost = self.player.strikes[index], played.cost
        finishes, landings = played.finishes, played.landings
        by_draw, within = means_by_draw(cost.cost, cost), played.within.mean(axis=0)
        dx, dy = finishes.x - tee.x, finishes.y - tee.y
        side = dx * cos(heading) - dy * sin(heading)
        carry, total = np.hypot(landings.x - tee.x, landings.y - tee.y), float(np.hypot(dx, dy).mean())
        drives = FinishedDrives(finishes.x, finishes.y, landings.x, landings.y, played.lies.finish, cost.cost)
        return StrikePlan(
            club=strike.club,
            strike=strike.name,
            aim=float(sights.half_turn(self._start(index, heading) - tee.bearing(*hole.pin))),
            mark=self.mark(index, hole, tee, heading, played),
            alignment=-path_shift(strike.attack, self.player.side),
            strokes=cost.expected,
            strokes_se=estimate(by_draw).se,
            shares=played.shares,
            scores=np.append(np.diff(within, prepend=0), 1 - within[-1]),
            carry=float(carry.mean()),
            total=total,
            carry_sd=float(carry.std()),
            side_sd=float(side.std()),
            strokes_by_draw=by_draw,
            loss=means_by_draw(self.goal.loss(hole.par, played.cost.cost, played.within), cost),
            beyond=beyond,
            drives=drives,
            then=table_comparison.next_shot(drives, known.expected),
        )


def scored(evaluator: Evaluator, hole: Hole, tee: Tee, known: HoleValues) -> list[AimedStrike]:
    """Return what comes of each strike from a tee that is not hopeless, aimed as serves the goal best."""
    site = evaluator.site(hole, tee, known.expected, known.memory)
    aims = evaluator.aims(evaluator.candidates(hole, tee), hole, tee, site, known)
    return evaluator.score(hole, tee, evaluator.hopeful(aims, hole, tee, site), evaluator.draws, site, known)


@dataclass(frozen=True)
class Played:
    """One strike along one aim, all the way to strokes.

    `within` is the chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    landings: Landings
    finishes: Finishes
    lies: Lies
    cost: strokes_table.TeeStrokes
    within: Floats

    @property
    def shares(self) -> dict[str, float]:
        """Where the drives finish, by the names of `Finish`; a ball that is not found is out."""
        lies = self.lies
        shares = np.bincount(lies.finish, weights=1 - lies.lost, minlength=len(Finish)) / len(lies.x)
        shares[Finish.OUT] += lies.lost.mean()
        return {f.name.lower(): float(shares[f]) for f in Finish}


def _lowest(headings: Floats, costs: Floats) -> float:
    """Return where a cubic through the costs is lowest.

    A spread of some degrees blurs every edge on the ground, so over a window narrower than that the true
    cost is smooth; the fit takes out the noise that would move the lowest of the points about.
    """
    finite = np.isfinite(costs)
    if finite.sum() < len(headings):
        return float(headings[int(np.argmin(costs))])
    middle, half = headings[len(headings) // 2], headings[-1] - headings[len(headings) // 2]
    steps = np.linspace(-1, 1, 201)
    cubic = Polynomial.fit((headings - middle) / half, costs, 3, domain=[-1, 1])
    return float(middle + half * steps[int(np.argmin(cubic(steps)))])


def means_by_draw(loss: Floats, cost: strokes_table.TeeStrokes) -> Floats:
    """Return what a tee costs each posterior draw by each replicate, shape (`POSTERIOR_DRAWS`, `REPLICATES`).

    To first order E moves by the mean cost's departure over 1 - p, p the share replayed; so the means are
    centred on E, free of the bias that solving each small set for its own E would bring.
    """
    means, centre = loss.reshape(POSTERIOR_DRAWS, REPLICATES, -1).mean(axis=2), loss.mean()
    return np.asarray(centre + (means - centre) / (1 - float(cost.replayed.mean())))


def mapped(course: Course, conditions: Conditions) -> GroundMap:
    """Return the ground of a course in these conditions."""
    return map_ground(course, unmapped=conditions.unmapped, firmness=conditions.firmness)


def wanted(course: Course, holes: Iterable[int] | None, tees: Iterable[str] | None) -> list[tuple[Hole, Tee]]:
    """Return the holes and tees asked for, by number and name: every hole, from its longest tee, by default.

    Raises
    ------
    InputError
        If one is not on the course.
    """
    by_number = {hole.number: hole for hole in course.holes}
    numbers = list(by_number) if holes is None else list(dict.fromkeys(holes))
    for number in numbers:
        if number not in by_number:
            span = f"{min(by_number)} to {max(by_number)}"
            raise InputError(course.file, "", f"has no hole {number}", f"its holes are {span}")
    names = list(dict.fromkeys(tees or ()))
    known = list(dict.fromkeys(tee.name for hole in course.holes for tee in hole.tees))
    for name in names:
        if name not in known:
            remedy = rather(name, known, f"its tees are {', '.join(known)}")
            raise InputError(course.file, "", f"has no {name} tee", remedy)
    found: list[tuple[Hole, Tee]] = []
    for number in numbers:
        hole = by_number[number]
        chosen = [t for t in hole.tees if t.name in names] if names else [hole.tees[0]]
        found += [(hole, tee) for tee in chosen]
    if not found:
        raise InputError(
            course.file, "", f"has no {' or '.join(names)} tee on these holes", "ask for another"
        )
    return found
