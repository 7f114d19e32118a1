"""The plan: for every tee, which strike, aimed where, worth how many strokes, and how sure that is."""

from collections.abc import Callable, Iterable
from copy import deepcopy
from dataclasses import dataclass, replace
from math import ceil, cos, floor, hypot, radians, sin, sqrt
from threading import Lock
from typing import Any, Final, Literal

import numpy as np
import pandas as pd
import shapely
from numpy.polynomial import Polynomial
from numpy.typing import NDArray
from shapely import Point

from holesim import __version__, advice, outlook, rating, scores, strokes
from holesim.air import Air, make_air
from holesim.bounce import Rests, run
from holesim.breezes import Breezes, drift_of, flips, fly_in_breezes
from holesim.course import Course, Firmness, Ground
from holesim.decision import (
    Difference,
    Drives,
    StrikePlan,
    TeePlan,
    decide,
    difference_between,
    half_width,
    kept_to,
    round_totals,
    single_strike,
)
from holesim.errors import InputError, suggest
from holesim.flight import LIFT_LAWS, QUINTAVALLA, Aerodynamics, Flights, Landings, fly, fly_around
from holesim.goal import CLOSE, GOALS, MEAN, Goal, GoalName
from holesim.ground import map_ground, plain
from holesim.holes import Hole, Tee
from holesim.impact import Launches, head, impact
from holesim.landing import land
from holesim.player import Player, Strike, path_shift, usual_wood
from holesim.relief import Finish, Lie, Memory, OutOfBounds, Target, blank_memory, settle, target
from holesim.remains import NextShot, Remains, by_distance, worked_back
from holesim.sampler import SPEED_EXPONENT, SPIN_EXPONENT, Draws, make_draws, nominal, sample
from holesim.search import Prepared, Site, costs, prepare
from holesim.shots import Bag, bag
from holesim.threads import share_out
from holesim.units import DEGREE, FOOT, MPH, YARD
from holesim.wind import Flip, Turned, turned_to

Floats = NDArray[np.float64]

SCHEMA: Final = 1
RANDOMISATIONS: Final = 16
FEWEST_DRAWS: Final = 256
MOST_DRAWS: Final = 2**17

# Aims are sought every 1.5° with a quarter of the draws, then every 0.5° about the best with all of them.
_COARSE, _FINE, _BEYOND = radians(1.5), radians(0.5), radians(10.0)
_WINDOW: Final = 5  # fine steps either way
_MOST: Final = 60  # coarse steps
_MOST_TO_CHOOSE: Final = 4096  # drives
_NEAR: Final = 20 * YARD  # of the green, within which a club fits a par 3


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What holds for the round besides course and player; `firmness` by default as the course states it.

    `by_table` has what remains read from the table, by lie and distance, instead of worked back on each hole.
    """

    air: Air
    aerodynamics: Aerodynamics = QUINTAVALLA
    firmness: Firmness | None = None
    unmapped: Literal["rough", "heavy"] | None = None
    out_of_bounds: OutOfBounds = "distance"
    by_table: bool = False


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A plan for a round: a `TeePlan` for every tee asked for, and what each policy costs in all."""

    course: Course
    player: Player
    options: dict[str, Any]
    seed: int
    draws: int
    tees: tuple[TeePlan, ...]
    totals: dict[str, dict[str, float]]

    @property
    def drives(self) -> str:
        """How many drives of each strike were scored, from the fewest to the most on a tee."""
        most = max(tee.draws for tee in self.tees)
        return f"{self.draws:,}" if most == self.draws else f"{self.draws:,} to {most:,}"

    def to_dict(self) -> dict[str, Any]:
        """Return the content of plan.json."""
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": {self.course.file: self.course.sha256, self.player.file: self.player.sha256},
            "options": self.options,
            "assumed": list(self.player.assumed),
            "guesses": [str(guess) for guess in self.course.guesses],
            "course": self.course.name,
            "player": self.player.name,
            "seed": self.seed,
            "draws": self.draws,
            "tees": [_tee_dict(tee) for tee in self.tees],
            "totals": self.totals,
        }

    def to_frame(self) -> pd.DataFrame:
        """Return a row for each strike on each tee, the content of plan.csv."""
        rows: list[dict[str, Any]] = []
        for tee in self.to_dict()["tees"]:
            chosen = (tee["choice"]["club"], tee["choice"]["strike"])
            common = {key: tee[key] for key in ("hole", "par", "tee", "length_yd")}
            rows += [
                common
                | strike
                | {
                    "chosen": (strike["club"], strike["strike"]) == chosen,
                    "close": tee["choice"]["close"],
                }
                for strike in tee["strikes"]
            ]
        return pd.DataFrame(rows).drop(columns=["scores", "next"])


def make_plan(
    course: Course,
    player: Player,
    *,
    holes: Iterable[int] | None = None,
    tees: Iterable[str] | None = None,
    conditions: Conditions | None = None,
    goal: GoalName = "mean",
    draws: int = 4096,
    precision: float | None = None,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Plan:
    """Plan a course for a player.

    Parameters
    ----------
    holes, tees
        Numbers and names to plan; every hole, and the longest tee of each, by default.
    goal
        What strike and aim are chosen for: the fewest strokes on average, or that a par or better, or a
        birdie or better, is likeliest, the strokes that follow being played for the mean.
    draws
        Drives scored for each strike, a power of two of at least 256; half as many more choose the aims.
    precision
        Half-width that the interval of a difference shall have [strokes, or chance]: a tee's drives are
        doubled until it has, or there are `MOST_DRAWS`.
    progress
        Called with the holes and tees done, and those in all.

    Raises
    ------
    InputError
        If a hole or tee is not on the course, or every drive from a tee is out of bounds.
    """
    if not FEWEST_DRAWS <= draws <= MOST_DRAWS or draws & (draws - 1):
        span = f"{FEWEST_DRAWS} to {MOST_DRAWS}"
        raise InputError("--draws", "", f"{draws} is not a power of two from {span}", "give 4096, say")
    if precision is not None and not precision > 0:
        raise InputError("--precision", "", f"{precision:g} is not a positive number", "give 0.01, say")
    conditions = conditions or Conditions(air=make_air())
    wanted = _wanted(course, holes, tees)
    bench = _Bench(course, player, conditions, GOALS[goal], draws, precision, seed)
    played = list({hole.number: hole for hole, _ in wanted}.values())
    tick = _counter(progress, len(played) + len(wanted))

    def know(i: int) -> _Known:
        known = bench.known(played[i])
        tick()
        return known

    # The tees of a hole share what remains on it, and what is found out about its ground.
    numbers = [hole.number for hole in played]
    known = dict(zip(numbers, share_out(know, len(played)), strict=True))

    def plan_tee(i: int) -> TeePlan:
        hole, tee = wanted[i]
        plan = bench.plan_tee(hole, tee, known[hole.number])
        tick()
        return plan

    planned = share_out(plan_tee, len(wanted))
    totals = {}
    for name in dict.fromkeys(plan.tee.name for plan in planned):
        group = [plan for plan in planned if plan.tee.name == name]
        totals[name] = round_totals(group)
        if not player.can_choose:
            single = single_strike(group, player)
            planned = [kept_to(p, single, player) if p.tee.name == name else p for p in planned]
        totals[name]["this plan"] = sum(p.choice.strokes for p in planned if p.tee.name == name)
    return Plan(
        course=course,
        player=player,
        options=_options(conditions, bench.ground.firmness) | {"goal": goal, "precision": precision},
        seed=seed,
        draws=draws,
        tees=tuple(planned),
        totals=totals,
    )


# --- the search -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Law:
    """The assumptions a choice may turn on."""

    name: str
    aerodynamics: Aerodynamics
    speed_exponent: float = SPEED_EXPONENT
    spin_exponent: float = SPIN_EXPONENT


def _other_laws(ours: Aerodynamics) -> tuple[_Law, ...]:
    """Return what else might hold instead of the lift law in use and the usual exponents."""
    return (
        *(_Law(f"the lift law of {law.authors}", law) for law in LIFT_LAWS.values() if law is not ours),
        _Law("a spread that shrinks with spin (b = 0.5)", ours, spin_exponent=0.5),
        _Law("a spread that does not grow with speed (a = 0)", ours, speed_exponent=0.0),
        _Law("a spread that grows in proportion to speed (a = 1)", ours, speed_exponent=1.0),
    )


@dataclass(frozen=True)
class _Known:
    """What is known of a hole for a golfer, whatever the tee: `memory` is filled as drops are found out."""

    remains: Remains
    scores: scores.Scores
    memory: Memory


class _Bench:
    """Everything that is worked out once for a course and a player."""

    def __init__(
        self,
        course: Course,
        player: Player,
        conditions: Conditions,
        goal: Goal,
        draws: int,
        precision: float | None,
        seed: int,
    ) -> None:
        self.course, self.player, self.conditions = course, player, conditions
        self.goal, self.draws, self.precision = goal, draws, precision
        self.ground = map_ground(course, unmapped=conditions.unmapped, firmness=conditions.firmness)
        try:
            who = player.handicap_index, player.club_speed, player.sex
            skill, shots = rating.skill(*who), bag(rating.golfer(*who))
        except ValueError:
            raise InputError(
                player.file,
                "club_speed_mph",
                f"{player.club_speed / MPH:g} mph does not go with a handicap of {player.handicap_index:g}",
                "correct the one or the other",
            ) from None
        self.table, self.outlook = strokes.remaining(skill), strokes.chances(skill)
        choosing, self.scoring = np.random.default_rng(seed).spawn(2)
        self.usual_spin = self._nominal(player.driver(player.usual)).spin[0]
        self.ours = _Law("", conditions.aerodynamics)
        # A half of the draws finds the aim, a part of those where to look for it; an independent set scores.
        chosen = make_draws(min(max(draws // 2, FEWEST_DRAWS), _MOST_TO_CHOOSE), 1, choosing)
        flown, quarter = self._flown(chosen, self.ours), max(chosen.points.shape[1] // 4, FEWEST_DRAWS)
        self.fine = self._prepared(flown)
        self.coarse = self._prepared([flights.some(np.arange(quarter)) for flights in flown])
        part = Draws(chosen.points[:, : max(chosen.points.shape[1] // 2, FEWEST_DRAWS)])
        self.part = self._struck(part, self.ours)
        self.others = {law.name: self._prepared(self._flown(part, law)) for law in self._laws_that_matter()}
        self.breezes = self._breezes()
        self.lock, self.scored = Lock(), {draws: self._launched(draws)}
        self.carry, self.reach = zip(*map(self._errorless, player.strikes), strict=True)
        self.shots = self._with_own_clubs(shots)

    def _nominal(self, strike: Strike) -> Launches:
        return impact(nominal(strike), head(strike.kind, strike.club_speed), side=self.player.side)

    def _struck(self, draws: Draws, law: _Law) -> list[Launches]:
        """Return the launches of each strike."""
        launches = []
        for strike in self.player.strikes:
            deliveries = sample(
                strike,
                draws,
                spin=float(self._nominal(strike).spin[0]),
                usual_spin=float(self.usual_spin),
                speed_exponent=law.speed_exponent,
                spin_exponent=law.spin_exponent,
            )
            launches.append(impact(deliveries, head(strike.kind, strike.club_speed), side=self.player.side))
        return launches

    def _flown(self, draws: Draws, law: _Law) -> list[Flights]:
        air = self.conditions.air
        return [fly_around(struck, air, aerodynamics=law.aerodynamics) for struck in self._struck(draws, law)]

    def _prepared(self, flown: list[Flights]) -> list[Prepared]:
        return [prepare(flights, self.ground.firmness) for flights in flown]

    def _breezes(self) -> list[Breezes]:
        """Return each strike in the winds that may turn a choice, where there is one to turn."""
        if not self._may_turn():
            return []
        air, law = self.conditions.air, self.conditions.aerodynamics
        return [
            fly_in_breezes(struck, air, aerodynamics=law, firmness=self.ground.firmness)
            for struck in self.part
        ]

    def _launched(self, draws: int) -> list[Launches]:
        """Return the launches to score, of each strike; fewer are the first of more."""
        return self._struck(make_draws(draws, RANDOMISATIONS, deepcopy(self.scoring)), self.ours)

    def _to_score(self, draws: int) -> list[Launches]:
        with self.lock:
            if draws not in self.scored:
                self.scored[draws] = self._launched(draws)
            return self.scored[draws]

    def _laws_that_matter(self) -> list[_Law]:
        """Return what else might hold and turn a choice, where there is one to turn."""
        if not self._may_turn():
            return []
        strikes = self.player.strikes
        one_speed = len({v for s in strikes for v in (s.club_speed, s.spread.at_speed)}) == 1
        laws = _other_laws(self.conditions.aerodynamics)
        return [law for law in laws if not one_speed or law.speed_exponent == SPEED_EXPONENT]

    def _may_turn(self) -> bool:
        """Return whether it is asked what turns a choice: one who keeps to a strike chooses over the round.

        It is asked of strokes alone.
        """
        return len(self.player.strikes) > 1 and self.player.can_choose and self.goal is MEAN

    def _errorless(self, strike: Strike) -> tuple[float, float]:
        """Return how far the strike carries, and goes in all on a fairway, without errors or wind [m]."""
        still = replace(self.conditions.air, wind_speed=0.0)
        landings, _ = fly(self._nominal(strike), still, aerodynamics=self.conditions.aerodynamics)
        rests = run(landings, plain(Ground.FAIRWAY, firmness=self.ground.firmness))
        return float(landings.x[0]), hypot(rests.x[0], rests.y[0])

    def _with_own_clubs(self, shots: Bag) -> Bag:
        """Return the shots of one whose longest wood or hybrid, if any is listed, is not the usual wood."""
        reaches = zip(self.player.strikes, self.reach, strict=True)
        own = max((reach for strike, reach in reaches if strike.kind in ("wood", "hybrid")), default=None)
        if own is None:
            return shots
        # Off the tee, as the usual one is: what the model gets wrong of both cancels.
        _, usual = self._errorless(usual_wood(self.player))
        return replace(shots, longest=shots.longest * own / usual)

    def _play(
        self, launches: Launches, tee: Tee, heading: float, site: Site, known: _Known
    ) -> "_Played | None":
        """Return one strike along one aim, all the way to strokes; nothing if every drive is out."""
        air, law = self.conditions.air, self.conditions.aerodynamics
        origin = tee.x, tee.y
        landings, tracks = land(launches, air, self.ground, heading=heading, origin=origin, aerodynamics=law)
        rests = run(landings, self.ground)
        lies = settle(rests, tracks, self.ground, site.target)
        try:
            cost = strokes.score(lies)
        except ZeroDivisionError:
            return None
        shares = np.bincount(lies.finish, weights=1 - lies.lost, minlength=len(Finish)) / len(lies.x)
        shares[Finish.OUT] += lies.lost.mean()
        named = {f.name.lower(): float(shares[f]) for f in Finish}
        within = scores.from_tee(lies, cost, self.ground, known.scores)
        return _Played(landings, rests, lies.finish, cost, named, within)

    def _target(self, hole: Hole, tee: Tee, remains: Remains) -> Target:
        return target(
            tee=(tee.x, tee.y),
            pin=hole.pin,
            green=hole.green,
            remains=remains.nodes,
            lost_in_trees=strokes.LOST_IN_TREES,
            lost_in_heavy_rough=strokes.LOST_IN_HEAVY_ROUGH,
            out_of_bounds=self.conditions.out_of_bounds,
        )

    def _heading(self, index: int, hole: Hole, tee: Tee, site: Site) -> float:
        """Return the heading of the shot frame from which this strike costs least."""
        pin = tee.bearing(*hole.pin)
        reach = self.reach[index]
        turns = [
            float(advice.half_turn(advice.line_bearing(hole, tee, f * reach) - pin)) for f in (0.75, 1.0, 1.1)
        ]

        def look(steps: Iterable[int]) -> dict[int, float]:
            steps = list(steps)
            found = costs(self.coarse[index], pin + _COARSE * np.array(steps, dtype=float), site)
            return dict(zip(steps, found.tolist(), strict=True))

        # Whole steps from the pin, so that a mirrored hole is searched at mirrored aims.
        low = floor((min(0.0, *turns) - _BEYOND) / _COARSE)
        high = ceil((max(0.0, *turns) + _BEYOND) / _COARSE)
        seen = look(range(low, high + 1))
        best = min(seen, key=lambda step: seen[step])
        # A strong cross-wind wants an aim beyond all that: go on while the end is the best.
        while best in (min(seen), max(seen)) and len(seen) < _MOST:
            seen |= look([min(seen) - 1] if best == min(seen) else [max(seen) + 1])
            best = min(seen, key=lambda step: seen[step])
        near = pin + _COARSE * best + _FINE * np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
        return _lowest(near, costs(self.fine[index], near, site))

    def _likeliest(self, index: int, aim: float, hole: Hole, tee: Tee, site: Site, known: _Known) -> float:
        """Return the heading, near that from which a strike costs least, from which the goal is likeliest."""

        def losses(headings: Floats) -> Floats:
            plays = (self._play(self.part[index], tee, heading, site, known) for heading in headings)
            return np.array(
                [
                    np.inf if p is None else self.goal.loss(hole.par, p.cost.cost, p.within).mean()
                    for p in plays
                ]
            )

        steps = np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
        far = aim + _COARSE * steps
        near = far[int(np.argmin(losses(far)))] + _FINE * steps
        return _lowest(near, losses(near))

    def known(self, hole: Hole) -> _Known:
        """Return what remains on a hole by the golfer's own shots, or by the table."""
        ground, rule = self.ground, self.conditions.out_of_bounds
        if self.conditions.by_table:
            remains = by_distance(self.table, hole, ground)
        else:
            remains = worked_back(self.shots, self.table, hole, ground, out_of_bounds=rule)
        chances = scores.worked_out(remains, self.outlook, self.shots, hole, ground, out_of_bounds=rule)
        return _Known(remains, chances, blank_memory(ground))

    def plan_tee(self, hole: Hole, tee: Tee, known: _Known) -> TeePlan:
        site = Site(self.ground, self._target(hole, tee, known.remains), known.memory)
        candidates = self._candidates(hole, tee)
        aims = [(index, self._heading(index, hole, tee, site)) for index in candidates]
        if self.goal is not MEAN:
            aims = [(index, self._likeliest(index, aim, hole, tee, site, known)) for index, aim in aims]
        draws = self.draws
        plans, difference = self._score_tee(hole, tee, aims, draws, site, known)
        while self.precision and half_width(difference) > self.precision and draws < MOST_DRAWS:
            draws *= 2
            plans, difference = self._score_tee(hole, tee, aims, draws, site, known)
        ordered = tuple(plan for *_, plan in plans)
        reach = next(self.reach[index] for index, *_ in plans)
        wind = turned_to(advice.line_bearing(hole, tee, reach), self.conditions.air)
        decided = decide(hole, tee, ordered, ordered, difference, draws, self.player, self.goal)
        fits = hole.par > 3 or _fits(hole, tee, decided.choice)
        decided = replace(decided, wind=wind, fits=fits, remains=known.remains)
        if difference is None or not self._may_turn():
            return decided
        # The choice is tried against the two cheapest of the others.
        tried = sorted(plans, key=lambda p: p[2] is not decided.choice)[:3]
        return replace(
            decided,
            turns_on=self._turns_on(tried, site),
            flips=self._flips(tried, wind, site),
            by_table="" if self.conditions.by_table else self._by_table(tried, hole, tee, known.remains),
        )

    def _score_tee(
        self,
        hole: Hole,
        tee: Tee,
        aims: list[tuple[int, float]],
        draws: int,
        site: Site,
        known: _Known,
    ) -> tuple[list[tuple[int, float, StrikePlan]], Difference | None]:
        """Return index, aim and plan of each strike, the best first, and what that saves."""
        plans = []
        for index, heading in aims:
            played = self._play(self._to_score(draws)[index], tee, heading, site, known)
            if played is not None:
                plans.append((index, heading, self._strike_plan(index, hole, tee, heading, played, known)))
        if not plans:
            raise InputError(
                self.course.file, f"hole {hole.number}, {tee.name} tee", "every drive is out of bounds",
                "check the boundary and the hole's line",
            )  # fmt: skip
        plans.sort(key=lambda p: p[2].loss.mean())
        return plans, difference_between(plans[0][2], plans[1][2]) if len(plans) > 1 else None

    def _candidates(self, hole: Hole, tee: Tee) -> list[int]:
        """Return the strikes to compare: on a par 3 the driver only where no other club carries to it."""
        everything = list(range(len(self.player.strikes)))
        if hole.par > 3:
            return everything
        front = hole.green.distance(Point(tee.x, tee.y))
        others = [i for i in everything if self.player.strikes[i].club != "driver"]
        return others if any(self.carry[i] >= front for i in others) else everything

    def _strike_plan(
        self,
        index: int,
        hole: Hole,
        tee: Tee,
        heading: float,
        played: "_Played",
        known: _Known,
    ) -> StrikePlan:
        strike, cost = self.player.strikes[index], played.cost
        rests, landings = played.rests, played.landings
        means, within = _randomisation_means(cost.cost, cost), played.within.mean(axis=0)
        # The aim is where the ball should start, which a face open or shut on average turns.
        start = heading + float(self._nominal(strike).direction[0])
        dx, dy = rests.x - tee.x, rests.y - tee.y
        side = dx * cos(heading) - dy * sin(heading)
        carry, total = np.hypot(landings.x - tee.x, landings.y - tee.y), float(np.hypot(dx, dy).mean())
        seen = advice.sights(self.course, hole, tee, self.ground, drive=total)
        drives = Drives(rests.x, rests.y, landings.x, landings.y, played.finish, cost.cost)
        return StrikePlan(
            club=strike.club,
            strike=strike.name,
            aim=float(advice.half_turn(start - tee.bearing(*hole.pin))),
            mark=advice.mark(start, seen),
            alignment=-path_shift(strike.attack, self.player.side),
            strokes=cost.expected,
            strokes_se=float(means.std(ddof=1) / sqrt(len(means))),
            shares=played.shares,
            scores=np.append(np.diff(within, prepend=0), 1 - within[-1]),
            carry=float(carry.mean()),
            total=total,
            carry_sd=float(carry.std()),
            side_sd=float(side.std()),
            by_randomisation=means,
            loss=_randomisation_means(self.goal.loss(hole.par, cost.cost, played.within), cost),
            drives=drives,
            then=outlook.next_shot(drives, known.remains),
        )

    def _turns_on(self, tried: list[tuple[int, float, StrikePlan]], site: Site) -> tuple[str, ...]:
        """Return the assumptions under which another strike beats the first by 0.02 or more."""
        found = []
        for name, flights in self.others.items():
            least = [costs(flights[i], aim + _FINE * np.arange(-4.0, 5.0), site).min() for i, aim, _ in tried]
            if least[0] - min(least[1:]) > CLOSE:
                found.append(name)
        return tuple(found)

    def _by_table(
        self, tried: list[tuple[int, float, StrikePlan]], hole: Hole, tee: Tee, remains: Remains
    ) -> str:
        """Return which strike the table would have instead of the first, and what it does not see, if any."""
        table = by_distance(self.table, hole, self.ground)
        site = Site(self.ground, self._target(hole, tee, table), blank_memory(self.ground))
        near = _FINE * np.arange(-4.0, 5.0)
        least = np.array([costs(self.fine[i], aim + near, site).min() for i, aim, _ in tried])
        ours, theirs = tried[0][2], tried[1 + int(np.argmin(least[1:]))][2]
        if least[0] - least[1:].min() <= CLOSE or theirs.strokes <= ours.strokes:
            return ""
        view = outlook.View(self.course, hole, tee, remains, table, float(self.shots.longest[Lie.FAIRWAY]))
        return outlook.unseen(ours, theirs, view)

    def _flips(
        self, tried: list[tuple[int, float, StrikePlan]], wind: Turned | None, site: Site
    ) -> tuple[Flip, ...]:
        """Return the felt winds in which another strike beats the first by 0.02 or more."""
        least = [self.breezes[i].least(aim, drift_of(self.fine[i].flights, aim), site) for i, aim, _ in tried]
        return flips([plan.label for *_, plan in tried], least, wind)


@dataclass(frozen=True)
class _Played:
    """One strike along one aim, all the way to strokes."""

    landings: Landings
    rests: Rests
    finish: NDArray[np.int64]
    cost: strokes.Strokes
    shares: dict[str, float]
    within: Floats


def _counter(progress: Callable[[int, int], None] | None, total: int) -> Callable[[], None]:
    """Return what to call, from any thread, when one more of `total` is done."""
    done, lock = 0, Lock()
    if progress is not None:
        progress(0, total)

    def tick() -> None:
        nonlocal done
        with lock:
            done += 1
            if progress is not None:
                progress(done, total)

    return tick


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


def _randomisation_means(loss: Floats, cost: strokes.Strokes) -> Floats:
    """Return what the tee loses by each randomisation alone.

    To first order E moves by the mean cost's departure over 1 - p, p the share replayed; so the means are
    centred on E, free of the bias that solving each small set for its own E would bring.
    """
    means, centre = loss.reshape(RANDOMISATIONS, -1).mean(axis=1), loss.mean()
    return np.asarray(centre + (means - centre) / (1 - float(cost.replayed.mean())))


# --- odds and ends --------------------------------------------------------------------------------


def _wanted(
    course: Course, holes: Iterable[int] | None, tees: Iterable[str] | None
) -> list[tuple[Hole, Tee]]:
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
            meant = suggest(name, known)
            remedy = f"did you mean {meant}?" if meant else f"its tees are {', '.join(known)}"
            raise InputError(course.file, "", f"has no {name} tee", remedy)
    wanted = []
    for number in numbers:
        hole = by_number[number]
        chosen = [t for t in hole.tees if t.name in names] if names else [hole.tees[0]]
        wanted += [(hole, tee) for tee in chosen]
    if not wanted:
        raise InputError(
            course.file, "", f"has no {' or '.join(names)} tee on these holes", "ask for another"
        )
    return wanted


def _fits(hole: Hole, tee: Tee, choice: StrikePlan) -> bool:
    """Return whether a strike is about as long as a par 3."""
    away = np.hypot(*(shapely.get_coordinates(hole.green) - (tee.x, tee.y)).T)
    return bool(away.min() - _NEAR < choice.total < away.max() + _NEAR)


def _options(conditions: Conditions, firmness: Firmness) -> dict[str, Any]:
    air = conditions.air
    return {
        "air_density_kg_m3": round(air.density, 5),
        "wind_mph": round(air.wind_speed / MPH, 3),
        "wind_from_deg": round(air.wind_from / DEGREE, 3),
        "wind_height_ft": round(air.wind_height / FOOT, 3),
        "lift_law": conditions.aerodynamics.name,
        "ground": firmness,
        "unmapped": conditions.unmapped or "as the course draws it",
        "out_of_bounds": conditions.out_of_bounds,
        "what_remains": "table" if conditions.by_table else "worked back",
    }


def _next_dict(shot: NextShot, hole: Hole) -> dict[str, Any]:
    east, north = shot.target[0] - shot.x, shot.target[1] - shot.y
    return {
        "lie": shot.lie.name.lower(),
        "to_pin_yd": hypot(hole.pin[0] - shot.x, hole.pin[1] - shot.y) / YARD,
        "strokes": shot.strokes,
        "length_yd": hypot(east, north) / YARD,
        "target_text": advice.target_text(shot, hole.pin),
    }


def _tee_dict(plan: TeePlan) -> dict[str, Any]:
    difference = plan.difference
    return {
        "hole": plan.hole.number,
        "par": plan.hole.par,
        "tee": plan.tee.name,
        "length_yd": plan.tee.length / YARD,
        "draws": plan.draws,
        "choice": {"club": plan.choice.club, "strike": plan.choice.strike, "close": plan.close},
        "reason": plan.reason(),
        "turns_on": list(plan.turns_on),
        "by_table": plan.by_table or None,
        "wind": None if plan.wind is None else plan.wind.text(),
        "flips": [
            {"strike": f.strike, "way": f.way, "felt_mph": f.speed / MPH, "drops": f.drops}
            for f in plan.flips
        ],
        "strikes": [
            {
                "club": s.club,
                "strike": s.strike,
                "aim_deg": s.aim / DEGREE,
                "aim_text": s.mark.text(),
                "alignment_deg": s.alignment / DEGREE,
                "strokes": s.strokes,
                "strokes_se": s.strokes_se,
                **s.shares,
                "birdie_chance": s.scored(1, plan.hole.par - 1),
                "par_chance": s.scored(plan.hole.par, plan.hole.par),
                "bogey_chance": s.scored(plan.hole.par + 1, plan.hole.par + 1),
                "worse_chance": s.scored(plan.hole.par + 2),
                "scores": s.scores.tolist(),
                "carry_yd": s.carry / YARD,
                "total_yd": s.total / YARD,
                "carry_sd_yd": s.carry_sd / YARD,
                "side_sd_yd": s.side_sd / YARD,
                "next": None if s.then is None else _next_dict(s.then, plan.hole),
            }
            for s in plan.strikes
        ],
        "difference": None
        if difference is None
        else {
            "first": difference.first,
            "second": difference.second,
            plan.goal.measure: difference.loss,
            "low": difference.low,
            "high": difference.high,
        },
    }
