"""The captain's plan: who plays with and against whom, each tee's strike, and what the choices gain."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim import __version__, handicap, line_up
from holesim.air import make_air
from holesim.contest import Contest
from holesim.course import Course
from holesim.errors import InputError
from holesim.field import Field, HolePlayed, allowed, course_handicaps, play_holes, tees_of
from holesim.gain import Gain, Unit
from holesim.handicap import Format
from holesim.holes import Hole
from holesim.match import HALF, Match
from holesim.one_ball import OneBallHole, one_ball_hole
from holesim.plan import conditions_dict
from holesim.prospects import WEIGHING, Prospect, pooled
from holesim.rounds import Totals, added_up, best_total, spread_of_best
from holesim.sides import Option, Side, alone, four_ball, shifted
from holesim.team import USUAL, Team
from holesim.threads import share_out
from holesim.workbench import Conditions

Floats = NDArray[np.float64]
Group = tuple[int, ...]

SCHEMA: Final = 1
ONE_BALL: Final = ("foursomes", "greensomes")
PAIRED: Final = ("four-ball", *ONE_BALL)


@dataclass(frozen=True, kw_only=True)
class HolePlan:
    """What a side does on a hole: each one's strike, who should tee off first, and what changes it."""

    hole: Hole
    strikes: tuple[str, ...]
    first: str = ""
    changes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SidePlan:
    """A player or a pair: the strokes received, the holes, the round's total with its spread, and the match.

    `odds` are the chances to win, to halve and to lose it.
    """

    names: tuple[str, ...]
    received: tuple[int, ...]
    holes: tuple[HolePlan, ...]
    strokes: float
    spread: float
    against: tuple[str, ...] = ()
    odds: tuple[float, float, float] | None = None

    @property
    def drive_in_turn(self) -> bool:
        """Whether the two of a pair drive alternate holes."""
        return len(self.holes[0].strikes) < len(self.names)

    @property
    def points(self) -> float:
        """Expected points of the match."""
        return 0.0 if self.odds is None else self.odds[0] + HALF * self.odds[1]


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What a format comes to: the sides, in the order in which they go out, and what choices gain.

    `total` is what the team may expect, in strokes or points, and `spread` its standard deviation; `chances`
    the expected points of each side, in `rows`, against each of the opponents, where there are any.
    """

    sides: tuple[SidePlan, ...]
    gains: tuple[Gain, ...]
    total: float
    spread: float
    unit: Unit
    notes: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    opponents: tuple[tuple[str, ...], ...] = ()
    chances: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True, kw_only=True)
class TeamPlan(Outcome):
    """A captain's plan; `players` has everybody's chance of each score, as `Field.to_dict` has it."""

    team: Team
    course: Course
    format: Format
    net: bool
    count: int | None
    players: list[dict[str, Any]]
    options: dict[str, Any]
    seed: int
    draws: int
    assumed: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return the content of team.json."""
        people = (*self.team.players, *self.team.opponents)
        files = [(self.course.file, self.course.sha256), (self.team.file, self.team.sha256)]
        return {
            "schema": SCHEMA,
            "holesim": __version__,
            "inputs": dict([*files, *((player.file, player.sha256) for player in people if player.sha256)]),
            "options": self.options,
            "assumed": list(self.assumed),
            "course": self.course.name,
            "team": self.team.name,
            "format": self.format,
            "net": self.net,
            "count": self.count,
            "seed": self.seed,
            "draws": self.draws,
            "total": {self.unit: self.total, "spread": self.spread},
            "gains": [
                {"what": g.what, g.unit: g.value, "low": g.low, "high": g.high, "matters": g.matters}
                for g in self.gains
            ],
            "notes": list(self.notes),
            "sides": [_side_dict(side) for side in self.sides],
            "chances": [
                {
                    "side": list(names),
                    "points": dict(zip(map(" and ".join, self.opponents), row, strict=True)),
                }
                for names, row in zip(self.rows, self.chances, strict=True)
            ],
            "players": self.players,
        }


def plan_team(
    course: Course,
    team: Team,
    format_: Format,
    *,
    net: bool = False,
    count: int | None = None,
    conditions: Conditions | None = None,
    draws: int = 1024,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> TeamPlan:
    """Plan a team's round.

    Parameters
    ----------
    net
        Whether handicap strokes count.
    count
        In stroke play, how many of the totals count; all by default.
    draws
        Drives scored for each strike, a power of two of at least 256.
    progress
        Called with the players' holes done, and those in all.

    Raises
    ------
    InputError
        If the team does not fit the format, a tee is not on the course, or a hole cannot be played.
    """
    _check(team, format_, count)
    conditions = conditions or Conditions(air=make_air())
    everyone = (*team.players, *team.opponents)
    tees = tees_of(course, team)
    handicaps, assumed = (
        course_handicaps(course, team, everyone, tees) if net else ((0.0,) * len(everyone), [])
    )

    def of_hole(played: HolePlayed) -> tuple[list[tuple[Prospect, ...]], OneBallHole | None]:
        prospects = [tuple(one.prospect() for one in tried) for tried in played.tried]
        return prospects, one_ball_hole(played) if format_ in ONE_BALL else None

    by_hole = play_holes(
        course, everyone, tees, of_hole, conditions=conditions, draws=draws, seed=seed, progress=progress
    )
    gross = tuple(
        allowed([prospects[i] for prospects, _ in by_hole], player) for i, player in enumerate(everyone)
    )
    field = Field(everyone, course.holes, gross, handicaps)
    ours = tuple(range(len(team.players)))
    theirs = tuple(range(len(ours), len(everyone)))
    one_ball = [one for _, one in by_hole if one is not None]
    made = _Planner(field, one_ball, team, format_, ours, theirs)
    if format_ == "stroke":
        found = made.stroke_play(count or len(ours))
    else:
        found = made.singles() if format_ == "singles" else made.pairs()
    ground = conditions.firmness or course.firmness
    for player in everyone:
        if player.sha256:
            assumed += [f"{player.name}: {what}" for what in player.assumed]
        else:
            assumed.append(f"{player.name}: {USUAL}")
    return TeamPlan(
        team=team,
        course=course,
        format=format_,
        net=net,
        count=count,
        players=field.to_dict(),
        options=conditions_dict(conditions, ground),
        seed=seed,
        draws=draws,
        assumed=tuple(assumed),
        **vars(found),
    )


def _check(team: Team, format_: Format, count: int | None) -> None:
    players, opponents = len(team.players), len(team.opponents)
    if count is not None and format_ != "stroke":
        raise InputError("--count", "", f"does not go with {format_}", "leave it out, or plan stroke play")
    if count is not None and not 1 <= count <= players:
        raise InputError("--count", "", f"{count} is not from 1 to {players}", "give how many scores count")
    if format_ == "singles" and not opponents:
        raise InputError(team.file, "opponents", "are missing, whom singles are played against", "add them")
    if format_ in PAIRED:
        for place, number in (("players", players), ("opponents", opponents)):
            if number % 2:
                problem = f"are {number}, who do not make pairs"
                raise InputError(team.file, place, problem, "add one or take one out")
    if format_ != "stroke" and opponents not in (0, players):
        problem = f"are {opponents} against {players}"
        raise InputError(team.file, "opponents", problem, "name as many as there are players")


@dataclass(frozen=True)
class _Planner:
    """A format, as sides are made for it; players are known by their places in the field."""

    field: Field
    one_ball: Sequence[OneBallHole]
    team: Team
    format: Format
    ours: tuple[int, ...]
    theirs: tuple[int, ...]

    def received(
        self, groups: Sequence[tuple[int, ...]], *, match: bool, allowance: float = 0
    ) -> list[Group]:
        """Return the strokes that each player of each group receives; in a match, off the lowest of all."""
        own = self.field.course_handicaps
        if self.format in ONE_BALL:
            shares, share = handicap.ONE_BALL[self.format], self.team.allowance or 1.0
            found: list[Group] = [(handicap.pair_handicap(own[i], own[j], shares, share),) for i, j in groups]
        else:
            share = self.team.allowance or allowance or handicap.ALLOWANCES[self.format, match]
            found = [tuple(handicap.playing_handicap(own[i], share) for i in group) for group in groups]
        if not match:
            return found
        size, flat = len(found[0]), handicap.off_the_lowest([strokes for group in found for strokes in group])
        return [flat[k : k + size] for k in range(0, len(flat), size)]

    def ways(self, group: Group, received: Sequence[int]) -> tuple[Side, ...]:
        """Return the ways in which a player or a pair can play, the plain one first."""
        names = tuple(self.field.names[i] for i in group)
        if self.format in ONE_BALL:
            strokes = self.field.received(received[0])
            return tuple(shifted(way, strokes) for way in self._with_one_ball[group])
        net = [self.field.net(i, strokes) for i, strokes in zip(group, received, strict=True)]
        if len(group) == 1:
            return (alone(names[0], net[0]),)
        return (four_ball((names[0], names[1]), net[0], net[1]),)

    @cached_property
    def _with_one_ball(self) -> dict[Group, tuple[Side, ...]]:
        """The ways in which each pair of either side can play one ball, gross."""
        groups = [self.ours, *zip(self.theirs[::2], self.theirs[1::2], strict=True)]
        pairs = [pair for group in groups for pair in combinations(group, 2)]
        labels = [[[one.label for one in on_hole] for on_hole in round_] for round_ in self.field.gross]

        def options(h: int) -> list[list[tuple[Option, ...]]]:
            allowed = [of_one[h] for of_one in labels]
            found = [pair for group in groups for pair in self.one_ball[h].pairs(group, allowed)]
            if self.format == "greensomes":
                return [[pair.greensomes()] for pair in found]
            return [
                [pair.foursomes(who, self.field.names[driver]) for who, driver in enumerate(players)]
                for players, pair in zip(pairs, found, strict=True)
            ]

        by_hole = share_out(options, len(self.field.holes))
        return {
            pair: self._ways_of(pair, [on_hole[k] for on_hole in by_hole]) for k, pair in enumerate(pairs)
        }

    def _ways_of(self, pair: Group, by_hole: Sequence[Sequence[tuple[Option, ...]]]) -> tuple[Side, ...]:
        """Return the ways of a pair: in foursomes the lower handicap has the odd holes, or the other."""
        names = tuple(self.field.names[i] for i in pair)
        if self.format == "greensomes":
            return (Side(names, tuple(options[0] for options in by_hole)),)
        lower = int(self.field.indices[pair[1]] < self.field.indices[pair[0]])
        odd = [hole.number % 2 == 1 for hole in self.field.holes]
        return tuple(
            Side(
                names,
                tuple(
                    options[at_odd if is_odd else 1 - at_odd]
                    for options, is_odd in zip(by_hole, odd, strict=True)
                ),
            )
            for at_odd in (lower, 1 - lower)
        )

    # --- stroke play ---

    def stroke_play(self, count: int) -> Outcome:
        """Return what is found for stroke play."""
        groups = [(i,) for i in self.ours]
        best_of_four = handicap.BEST_OF_FOUR[count] if len(groups) == _FOUR else 0.0
        received = self.received(groups, match=False, allowance=best_of_four)
        sides = [self.ways(group, strokes)[0] for group, strokes in zip(groups, received, strict=True)]
        options, gains = line_up.stroke_play(sides, count)
        plans = [self._side_plan(*one) for one in zip(sides, options, received, strict=True)]
        totals = [_total(side, chosen) for side, chosen in zip(sides, options, strict=True)]
        return Outcome(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            gains=tuple(gains),
            total=float(best_total(totals, count)),
            spread=spread_of_best(totals, count, np.random.default_rng(0)),
            unit="strokes",
        )

    # --- pairs and matches ---

    def singles(self) -> Outcome:
        """Return what is found for singles."""
        groups = [(i,) for i in self.ours]
        return self._matches(groups, dict.fromkeys(groups, 0), [])

    def pairs(self) -> Outcome:
        """Return what is found for pairs."""
        pairs = list(combinations(self.ours, 2))
        received = dict(zip(pairs, self.received(pairs, match=False), strict=True))
        sides = {pair: self.ways(pair, received[pair]) for pair in pairs}
        played, gains = line_up.in_pairs(sides, [self.field.indices[i] for i in self.ours])
        if self.theirs:
            # What strikes gain in strokes is not what they gain in a match.
            return self._matches(list(played), {pair: way for pair, (way, _) in played.items()}, gains[:-1])
        plans = [
            self._side_plan(sides[pair][way], options, received[pair])
            for pair, (way, options) in played.items()
        ]
        return Outcome(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            gains=tuple(gains),
            total=sum(plan.strokes for plan in plans),
            spread=float(np.hypot.reduce([plan.spread for plan in plans])),
            unit="strokes",
        )

    def _matches(self, groups: Sequence[Group], ways: Mapping[Group, int], gains: list[Gain]) -> Outcome:
        """Return what is found where each side meets another."""
        size = len(groups[0])
        others = [self.theirs[i : i + size] for i in range(0, len(self.theirs), size)]
        contests = [[self._contest(group, other, ways[group]) for other in others] for group in groups]
        points = np.array([[c.best.points[WEIGHING].mean() for c in row] for row in contests])
        notes = list[str]()
        if self.team.order_known:
            indices = [sum(self.field.indices[i] for i in group) for group in groups]
            order, found = line_up.in_order(contests, indices)
            gains.append(found)
            met = [contests[i][j] for i, j in enumerate(order)]
            gains.append(line_up.strikes_gain(met))
            plans = [self._match_plan(one, by_state=gains[-1].matters) for one in met]
            plans = [plans[i] for i in np.argsort(order)]
        else:
            notes.append(
                "the opponents' order is not known, so the order does not matter: each side meets each of "
                "them with the same chance"
            )
            plans = [self._average_plan(row) for row in contests]
            if not all(plan.received for plan in plans):
                notes.append("the strokes received depend on whom one meets, so they are not shown")
        spreads = [plan.odds[0] + plan.odds[1] / 4 - plan.points**2 for plan in plans if plan.odds]
        return Outcome(
            sides=tuple(plans),
            gains=tuple(gains),
            notes=tuple(notes),
            total=sum(plan.points for plan in plans),
            spread=float(np.sqrt(sum(spreads))),
            unit="points",
            rows=tuple(tuple(self.field.names[i] for i in group) for group in groups),
            opponents=tuple(tuple(self.field.names[i] for i in other) for other in others),
            chances=tuple(tuple(map(float, row)) for row in points),
        )

    def _contest(self, group: Group, other: Group, way: int) -> Contest:
        mine, theirs = self.received([group, other], match=True)
        return Contest(self.ways(group, mine)[way], self.ways(other, theirs)[0], mine)

    # --- what is written down ---

    def _side_plan(self, side: Side, options: Sequence[int], received: Sequence[int]) -> SidePlan:
        total = _total(side, options)
        return SidePlan(
            names=side.names,
            received=tuple(received),
            holes=tuple(
                _hole_plan(hole, of_hole[k])
                for hole, of_hole, k in zip(self.field.holes, side.holes, options, strict=True)
            ),
            strokes=float(total.mean()),
            spread=total.spread(),
        )

    def _match_plan(self, contest: Contest, *, by_state: bool) -> SidePlan:
        options = [contest.option(h, by_state=by_state) for h in range(len(self.field.holes))]
        plan = self._side_plan(contest.mine, options, contest.received)
        holes = [
            replace(hole, changes=(*hole.changes, *contest.changes(h, options[h])))
            for h, hole in enumerate(plan.holes)
        ]
        odds = _odds([contest.best if by_state else contest.plain])
        return replace(plan, holes=tuple(holes), against=contest.theirs.names, odds=odds)

    def _average_plan(self, contests: Sequence[Contest]) -> SidePlan:
        each = {contest.received for contest in contests}
        received = contests[0].received if len(each) == 1 else ()
        plan = self._side_plan(contests[0].mine, (0,) * len(self.field.holes), received)
        return replace(plan, odds=_odds([contest.plain for contest in contests]))


_FOUR: Final = 4


def _total(side: Side, options: Sequence[int]) -> Totals:
    """Return the chance of each total of a round, by an option on each hole."""
    return added_up([pooled(chances, WEIGHING) for chances in side.picked(options)])


def _side_dict(side: SidePlan) -> dict[str, Any]:
    odds = None if side.odds is None else dict(zip(("won", "halved", "lost"), side.odds, strict=True))
    return {
        "players": list(side.names),
        "received": list(side.received),
        "against": list(side.against),
        "strokes": side.strokes,
        "spread": side.spread,
        "match": odds,
        "holes": [
            {
                "hole": plan.hole.number,
                "strikes": list(plan.strikes),
                "first": plan.first or None,
                "changes": list(plan.changes),
            }
            for plan in side.holes
        ],
    }


def _odds(matches: Sequence[Match]) -> tuple[float, float, float]:
    """Return the chances to win, to halve and to lose a match, each of several being as likely."""
    won, halved = (
        float(np.mean([one[WEIGHING].mean() for one in parts]))
        for parts in zip(*((m.won, m.halved) for m in matches), strict=True)
    )
    return won, halved, 1 - won - halved


def _hole_plan(hole: Hole, option: Option) -> HolePlan:
    said = f"after {option.first}, and {option.in_trouble} if {option.first} is in trouble"
    changes = (said,) if option.in_trouble else ()
    return HolePlan(hole=hole, strikes=option.strikes, first=option.first, changes=changes)
