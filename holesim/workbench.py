"""The workbench: what is worked out once for a course and a golfer, and with it any tee.

Aims are sought on one set of drives and scored on another, independent one, so that the least of what was
found is not the luckiest.
"""

from collections.abc import Iterable, Sequence
from copy import deepcopy
from dataclasses import dataclass, fields, replace
from functools import cached_property
from math import ceil, cos, floor, hypot, radians, sin, sqrt
from threading import Lock
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.polynomial import Polynomial
from numpy.typing import NDArray
from shapely import Point

from holesim import advice, outlook, rating, scores, strokes
from holesim.air import Air
from holesim.bounce import Rests, run
from holesim.course import Course, Firmness, Ground
from holesim.decision import NOBODY, Drives, StrikePlan
from holesim.errors import InputError, rather
from holesim.flight import QUINTAVALLA, Aerodynamics, Flights, Landings, fly, fly_around
from holesim.goal import MEAN, Goal
from holesim.ground import GroundMap, map_ground, plain
from holesim.holes import Hole, Tee
from holesim.impact import Launches, head, impact
from holesim.landing import land
from holesim.likely import likely_players
from holesim.player import LIKELY, Player, Strike, path_shift, usual_wood
from holesim.relief import Finish, Lies, Memory, OutOfBounds, blank_memory, settle, target
from holesim.remains import STEP, Remains, by_distance, worked_back
from holesim.sampler import SPEED_EXPONENT, SPIN_EXPONENT, Draws, make_draws, nominal, sample
from holesim.search import Prepared, Site, costs, prepare
from holesim.shots import Bag, bag
from holesim.units import MPH

Floats = NDArray[np.float64]

RANDOMISATIONS: Final = 16
FEWEST_DRAWS: Final = 256
MOST_DRAWS: Final = 2**17

# Aims are sought every 1.5° with a quarter of the draws, then every 0.5° about the best with all of them.
_COARSE, FINE_STEP, _BEYOND = radians(1.5), radians(0.5), radians(10.0)
_WINDOW: Final = 5  # fine steps either way
_HOPELESS: Final = 0.5  # strokes
_MOST: Final = 60  # coarse steps
_MOST_TO_CHOOSE: Final = 4096  # drives
_FOR_EACH: Final = 512  # drives of each player who may be the true one


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What holds for the round besides course and player; `firmness` by default as the course states it.

    `by_table` has what remains read from the table, by lie and distance, instead of worked back on each hole;
    the exponents are those of the spread law.
    """

    air: Air
    aerodynamics: Aerodynamics = QUINTAVALLA
    firmness: Firmness | None = None
    unmapped: Literal["rough", "heavy"] | None = None
    out_of_bounds: OutOfBounds = "distance"
    by_table: bool = False
    speed_exponent: float = SPEED_EXPONENT
    spin_exponent: float = SPIN_EXPONENT


@dataclass(frozen=True)
class Known:
    """What is known of a hole for a golfer, whatever the tee: `memory` is filled as drops are found out."""

    remains: Remains
    scores: scores.Scores
    memory: Memory


class Aimed(NamedTuple):
    """A strike, by its place among the player's, where it is aimed [rad from north], and what comes of it."""

    strike: int
    heading: float
    plan: StrikePlan


class Workbench:
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
        self.course, self.player, self.conditions = course, player, conditions
        self.goal, self.draws = goal, draws
        self.ground = ground or mapped(course, conditions)
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
        choosing, self.scoring, drawing = np.random.default_rng(seed).spawn(3)
        # A half of the draws finds the aim, a part of those where to look for it; an independent set scores.
        self.choosing = make_draws(min(max(draws // 2, FEWEST_DRAWS), _MOST_TO_CHOOSE), 1, choosing)
        flown = self.flown(self.choosing, conditions)
        quarter = max(self.choosing.points.shape[1] // 4, FEWEST_DRAWS)
        self.fine = self.prepared(flown)
        self.coarse = self.prepared([flights.some(np.arange(quarter)) for flights in flown])
        self.lock = Lock()
        self.scored: dict[int, list[Launches]] = {}
        self.likely = self._as_likely_players(likely_players(player, drawing))
        self.carry, self.reach = zip(*map(self._errorless, player.strikes), strict=True)
        self.shots = self._with_own_clubs(shots)

    # --- drives ---

    @property
    def part(self) -> Draws:
        """A half of the draws that choose."""
        points = self.choosing.points
        return Draws(points[:, : max(points.shape[1] // 2, FEWEST_DRAWS)])

    @cached_property
    def part_struck(self) -> list[Launches]:
        """The launches of each strike by a half of the draws that choose."""
        return self._struck(self.player, self.part, self.conditions)

    def flown(self, draws: Draws, conditions: Conditions) -> list[Flights]:
        """Return the flights of each strike, whichever way it is aimed."""
        struck = self._struck(self.player, draws, conditions)
        return [fly_around(s, conditions.air, aerodynamics=conditions.aerodynamics) for s in struck]

    def prepared(self, flown: list[Flights]) -> list[Prepared]:
        """Return flights as the search takes them."""
        return [prepare(flights, self.ground.firmness) for flights in flown]

    def _nominal(self, strike: Strike) -> Launches:
        return impact(nominal(strike), head(strike.kind, strike.club_speed), side=self.player.side)

    def _struck(self, player: Player, draws: Draws, conditions: Conditions) -> list[Launches]:
        """Return the launches of each strike."""
        usual_spin = float(self._nominal(player.driver(player.usual)).spin[0])
        launches = []
        for strike in player.strikes:
            deliveries = sample(
                strike,
                draws,
                spin=float(self._nominal(strike).spin[0]),
                usual_spin=usual_spin,
                speed_exponent=conditions.speed_exponent,
                spin_exponent=conditions.spin_exponent,
            )
            launches.append(impact(deliveries, head(strike.kind, strike.club_speed), side=player.side))
        return launches

    def _as_likely_players(self, likely: tuple[Player, ...]) -> list[Launches]:
        """Return the launches of each strike by all who may be the true player, one after another.

        An aim is where the ball should start, so each of them starts it there.
        """
        few = Draws(self.choosing.points[:, :_FOR_EACH])
        struck = [self._struck(player, few, self.conditions) for player in likely]
        found = []
        for i, strike in enumerate(self.player.strikes if likely else ()):
            start = self._nominal(strike).direction
            turns = [start - self._nominal(player.strikes[i]).direction for player in likely]
            mine = [
                replace(s[i], direction=s[i].direction + turn) for s, turn in zip(struck, turns, strict=True)
            ]
            found.append(
                Launches(*(np.concatenate([getattr(s, f.name) for s in mine]) for f in fields(Launches)))
            )
        return found

    def launched(self, draws: int) -> list[Launches]:
        """Return the launches to score, of each strike, in `RANDOMISATIONS`; fewer are the first of more."""
        with self.lock:
            if draws not in self.scored:
                points = make_draws(draws, RANDOMISATIONS, deepcopy(self.scoring))
                self.scored[draws] = self._struck(self.player, points, self.conditions)
            return self.scored[draws]

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

    # --- a hole ---

    def known(self, hole: Hole, *, step: float = STEP) -> Known:
        """Return what remains on a hole by own shots or the table, at nodes `step` [m] apart."""
        ground, rule = self.ground, self.conditions.out_of_bounds
        if self.conditions.by_table:
            remains = by_distance(self.table, hole, ground, step=step)
        else:
            remains = worked_back(self.shots, self.table, hole, ground, out_of_bounds=rule, step=step)
        return Known(remains, scores.worked_out(remains, self.outlook, ground), blank_memory(ground))

    def site(self, hole: Hole, tee: Tee, remains: Remains, memory: Memory) -> Site:
        """Return a tee and its hole as the search sees them."""
        seen = target(
            tee=(tee.x, tee.y),
            pin=hole.pin,
            green=hole.green,
            remains=remains.nodes,
            lost_in_trees=strokes.LOST_IN_TREES,
            lost_in_heavy_rough=strokes.LOST_IN_HEAVY_ROUGH,
            out_of_bounds=self.conditions.out_of_bounds,
        )
        return Site(self.ground, seen, memory)

    # --- a tee ---

    def aims(
        self, strikes: Iterable[int], hole: Hole, tee: Tee, site: Site, known: Known
    ) -> list[tuple[int, float]]:
        """Return strikes, by their places among the player's, with the headings that serve the goal best."""
        aims = [(index, self._heading(index, hole, tee, site)) for index in strikes]
        if self.goal is MEAN:
            return aims
        return [(index, self._likeliest(index, aim, hole, tee, site, known)) for index, aim in aims]

    def hopeful(self, aims: Sequence[tuple[int, float]], site: Site) -> list[tuple[int, float]]:
        """Return the driver's strikes, and of other clubs the two best and those hardly worse than the best.

        What costs half a stroke more by the drives that aims are found with is not hit in any match.
        """
        found = np.array([costs(self.fine[index], np.array([heading]), site)[0] for index, heading in aims])
        driver = np.array([self.player.strikes[index].club == "driver" for index, _ in aims])
        least = np.sort(found[~driver])[:2]
        kept = driver | (found <= max([found.min() + _HOPELESS, *least]))
        return [aim for aim, keep in zip(aims, kept, strict=True) if keep]

    def score(
        self, hole: Hole, tee: Tee, aims: list[tuple[int, float]], draws: int, site: Site, known: Known
    ) -> list[Aimed]:
        """Return what comes of each strike, the best first.

        Raises
        ------
        InputError
            If every drive from the tee is out of bounds.
        """
        found = []
        for index, heading in aims:
            played = self.play(self.launched(draws)[index], tee, heading, site, known)
            if played is None:
                continue
            plan = self._strike_plan(index, hole, tee, heading, played, known)
            if self.likely:
                likely = self.play(self.likely[index], tee, heading, site, known)
                if likely is None:
                    continue
                plan = replace(plan, by_player=self._losses(hole, likely, LIKELY))
            found.append(Aimed(index, heading, plan))
        if not found:
            raise InputError(
                self.course.file, f"hole {hole.number}, {tee.name} tee", "every drive is out of bounds",
                "check the boundary and the hole's line",
            )  # fmt: skip
        return sorted(found, key=lambda aimed: float(aimed.plan.loss.mean()))

    def costs(self, aimed: Aimed, draws: Draws, hole: Hole, tee: Tee, known: Known) -> Floats:
        """Return what each of other drives costs, hit and aimed alike; nan where all of them are out."""
        site = self.site(hole, tee, known.remains, known.memory)
        struck = self._struck(self.player, draws, self.conditions)[aimed.strike]
        played = self.play(struck, tee, aimed.heading, site, known)
        return np.full(len(struck.speed), np.nan) if played is None else played.cost.cost

    def candidates(self, hole: Hole, tee: Tee) -> list[int]:
        """Return the strikes to compare: on a par 3 the driver only where no other club carries to it."""
        everything = list(range(len(self.player.strikes)))
        if hole.par > 3:
            return everything
        front = hole.green.distance(Point(tee.x, tee.y))
        others = [i for i in everything if self.player.strikes[i].club != "driver"]
        return others if any(self.carry[i] >= front for i in others) else everything

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
        near = pin + _COARSE * best + FINE_STEP * np.arange(-_WINDOW, _WINDOW + 1, dtype=np.float64)
        return _lowest(near, costs(self.fine[index], near, site))

    def _likeliest(self, index: int, aim: float, hole: Hole, tee: Tee, site: Site, known: Known) -> float:
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

    def play(self, launches: Launches, tee: Tee, heading: float, site: Site, known: Known) -> "Played | None":
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
        within = scores.from_tee(lies, cost, self.ground, known.scores)
        return Played(landings, rests, lies, cost, within)

    def mark(self, index: int, hole: Hole, tee: Tee, heading: float, played: "Played") -> advice.Mark:
        """Return where to aim one strike, by something that can be seen."""
        total = float(np.hypot(played.rests.x - tee.x, played.rests.y - tee.y).mean())
        seen = advice.sights(self.course, hole, tee, self.ground, drive=total)
        return advice.mark(self._start(index, heading), seen)

    def _start(self, index: int, heading: float) -> float:
        """Return where the ball should start, which a face open or shut on average turns."""
        return heading + float(self._nominal(self.player.strikes[index]).direction[0])

    def _strike_plan(
        self,
        index: int,
        hole: Hole,
        tee: Tee,
        heading: float,
        played: "Played",
        known: Known,
    ) -> StrikePlan:
        strike, cost = self.player.strikes[index], played.cost
        rests, landings = played.rests, played.landings
        means, within = _group_means(cost.cost, cost, RANDOMISATIONS), played.within.mean(axis=0)
        dx, dy = rests.x - tee.x, rests.y - tee.y
        side = dx * cos(heading) - dy * sin(heading)
        carry, total = np.hypot(landings.x - tee.x, landings.y - tee.y), float(np.hypot(dx, dy).mean())
        drives = Drives(rests.x, rests.y, landings.x, landings.y, played.lies.finish, cost.cost)
        return StrikePlan(
            club=strike.club,
            strike=strike.name,
            aim=float(advice.half_turn(self._start(index, heading) - tee.bearing(*hole.pin))),
            mark=self.mark(index, hole, tee, heading, played),
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
            loss=self._losses(hole, played, RANDOMISATIONS),
            by_player=NOBODY,
            drives=drives,
            then=outlook.next_shot(drives, known.remains),
        )

    def _losses(self, hole: Hole, played: "Played", groups: int) -> Floats:
        """Return what is lost by each group of drives, the first ones being the first group's."""
        return _group_means(self.goal.loss(hole.par, played.cost.cost, played.within), played.cost, groups)


@dataclass(frozen=True)
class Played:
    """One strike along one aim, all the way to strokes.

    `within` is the chance of 1, 2, … strokes or fewer on the hole, shape (drives, strokes).
    """

    landings: Landings
    rests: Rests
    lies: Lies
    cost: strokes.Strokes
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


def _group_means(loss: Floats, cost: strokes.Strokes, groups: int) -> Floats:
    """Return what the tee loses by each group of drives alone.

    To first order E moves by the mean cost's departure over 1 - p, p the share replayed; so the means are
    centred on E, free of the bias that solving each small set for its own E would bring.
    """
    means, centre = loss.reshape(groups, -1).mean(axis=1), loss.mean()
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
