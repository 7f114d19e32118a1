"""The captain's plan: who plays with and against whom, each tee's strike, and what the choices gain."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.common.parallel import share_out_by_size
from holesim.course.course import Course
from holesim.course.holes import Hole, Tee
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.team import handicap, line_up
from holesim.team.benefit import Benefit, gain
from holesim.team.handicap import Format
from holesim.team.match import Match
from holesim.team.match_up import MatchUp
from holesim.team.roster_checks import check_roster
from holesim.team.roster_scores import (
    HoleScores,
    RosterScores,
    allowed,
    course_handicaps,
    play_holes,
    tees_of,
)
from holesim.team.round_totals import Totals, added_up, best_total, spread_of_best
from holesim.team.shared_ball import Partner, in_pairs, partner
from holesim.team.side_options import Option, Side, alone, four_ball, shifted
from holesim.team.strike_scores import CHOOSING, SCORES, StrikeScores, mean, pooled
from holesim.team.team_file import USUAL, Team
from holesim.team.team_plan import Change, FormatPlan, HolePlan, PlannedDrive, SidePlan, TeamPlan

Floats = NDArray[np.float64]
Group = tuple[int, ...]

ONE_BALL: Final = ("foursomes", "greensomes")
USUAL_TEAM: Final = RoundOptions(draws=1024)
"""A calm day, 1,024 drives of each strike of each player."""
PAIRED: Final = ("four-ball", *ONE_BALL)


def plan_team(
    course: Course,
    team: Team,
    format_: Format,
    options: RoundOptions = USUAL_TEAM,
    *,
    net: bool = False,
    count: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> TeamPlan:
    """Plan a team's round.

    Parameters
    ----------
    net
        Whether handicap strokes count.
    count
        In stroke play, how many of the totals count; all by default.
    options
        Of the round; what every strike is chosen for is the fewest strokes, or the match.
    progress
        Called with the players' holes done, and those in all.

    Raises
    ------
    InputError
        If the team does not fit the format, a tee is not on the course, or a hole cannot be played.
    """
    options.expect_mean("a team's plan")
    _check(team, format_, count)
    everyone = (*team.players, *(team.opponents if format_ != "stroke" else ()))
    tees = tees_of(course, team)
    handicaps, assumed = (
        course_handicaps(course, team, everyone, tees) if net else ((0.0,) * len(everyone), [])
    )

    def of_player(played: HoleScores) -> tuple[tuple[StrikeScores, ...], Partner | None]:
        strikes = tuple(one.prospect() for one in played.tried)
        return strikes, partner(played) if format_ in ONE_BALL else None

    by_hole = play_holes(course, everyone, tees, of_player, options, progress=progress)
    prospects = [[on_hole[i][0] for on_hole in by_hole] for i in range(len(everyone))]
    gross = tuple(allowed(*both, course.holes) for both in zip(prospects, everyone, strict=True))
    field = RosterScores(everyone, course.holes, gross, handicaps)
    ours = tuple(range(len(team.players)))
    theirs = tuple(range(len(ours), len(everyone)))
    partners = [[one for _, one in on_hole if one is not None] for on_hole in by_hole]
    made = _Planner(field, partners, team, tees, format_, ours, theirs)
    if format_ == "stroke":
        found = made.stroke_play(count or len(ours))
    else:
        found = made.singles() if format_ == "singles" else made.pairs()
    for player in everyone:
        if player.sha256:
            assumed += [f"{player.name}: {what}" for what in player.assumed]
        else:
            assumed.append(f"{player.name}: {USUAL}")
    notes = (*found.notes, *check_roster(field, team, tees, prospects))
    return TeamPlan(
        team=team,
        course=course,
        format=format_,
        net=net,
        count=count,
        players=field.to_dict(),
        options=options.as_used(options.ground or course.firmness),
        seed=options.seed,
        draws=options.draws,
        assumed=tuple(assumed),
        **vars(replace(found, notes=notes)),
    )


def _check(team: Team, format_: Format, count: int | None) -> None:
    players, opponents = len(team.players), len(team.opponents)
    if count is not None and format_ != "stroke":
        raise InputError("", "count", f"does not go with {format_}", "leave it out, or plan stroke play")
    if count is not None and not 1 <= count <= players:
        raise InputError("", "count", f"{count} is not from 1 to {players}", "give how many scores count")
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

    field: RosterScores
    partners: Sequence[Sequence[Partner]]
    team: Team
    tees: Callable[[Hole, Player], Tee]
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

        def options(h: int) -> list[list[tuple[Option, ...]]]:
            found = [pair for group in groups for pair in in_pairs(self.partners[h], group, self._labels[h])]
            if self.format == "greensomes":
                return [[pair.greensomes()] for pair in found]
            return [
                [pair.foursomes(who, self.field.names[driver]) for who, driver in enumerate(players)]
                for players, pair in zip(pairs, found, strict=True)
            ]

        by_hole = share_out_by_size(options, [hole.tees[0].length for hole in self.field.holes])
        return {
            pair: self._ways_of(pair, [on_hole[k] for on_hole in by_hole]) for k, pair in enumerate(pairs)
        }

    @cached_property
    def _labels(self) -> list[list[list[str]]]:
        """The strikes that each player may hit on each hole."""
        return [
            [[one.label for one in round_[h]] for round_ in self.field.gross]
            for h in range(len(self.field.holes))
        ]

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

    def stroke_play(self, count: int) -> FormatPlan:
        """Return what is found for stroke play."""
        groups = [(i,) for i in self.ours]
        best_of_four = handicap.BEST_OF_FOUR[count] if len(groups) == _FOUR else 0.0
        received = self.received(groups, match=False, allowance=best_of_four)
        sides = [self.ways(group, strokes)[0] for group, strokes in zip(groups, received, strict=True)]
        options, gains = line_up.stroke_play(sides, count)
        every = "every score counts, so everyone's own best strikes are the team's"
        plans = [self._side_plan(*one) for one in zip(groups, sides, options, received, strict=True)]
        totals = [_total(side, chosen) for side, chosen in zip(sides, options, strict=True)]
        return FormatPlan(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            gains=tuple(gains),
            total=float(best_total(totals, count)),
            spread=spread_of_best(totals, count, np.random.default_rng(0)),
            unit="strokes",
            notes=() if gains else (every,),
        )

    # --- pairs and matches ---

    def singles(self) -> FormatPlan:
        """Return what is found for singles."""
        groups = [(i,) for i in self.ours]
        return self._matches(groups, dict.fromkeys(groups, 0), [])

    def pairs(self) -> FormatPlan:
        """Return what is found for pairs."""
        pairs = list(combinations(self.ours, 2))
        received = dict(zip(pairs, self.received(pairs, match=False), strict=True))
        sides = {pair: self.ways(pair, received[pair]) for pair in pairs}
        played, gains = line_up.in_pairs(sides, [self.field.indices[i] for i in self.ours])
        if self.theirs:
            # What strikes gain in strokes is not what they gain in a match.
            return self._matches(list(played), {pair: way for pair, (way, _) in played.items()}, gains[:-1])
        plans = [
            self._side_plan(pair, sides[pair][way], options, received[pair])
            for pair, (way, options) in played.items()
        ]
        return FormatPlan(
            sides=tuple(sorted(plans, key=lambda plan: plan.strokes)),
            gains=tuple(gains),
            total=sum(plan.strokes for plan in plans),
            spread=float(np.hypot.reduce([plan.spread for plan in plans])),
            unit="strokes",
        )

    def _matches(
        self, groups: Sequence[Group], ways: Mapping[Group, int], gains: list[Benefit]
    ) -> FormatPlan:
        """Return what is found where each side meets another."""
        size = len(groups[0])
        others = [self.theirs[i : i + size] for i in range(0, len(self.theirs), size)]
        contests = [[self._contest(group, other, ways[group]) for other in others] for group in groups]
        notes, by_state = list[str](), False
        if self.team.order_known:
            indices = [sum(self.field.indices[i] for i in group) for group in groups]
            order, found = line_up.in_order(contests, indices)
            gains.append(found)
            met = [contests[i][j] for i, j in enumerate(order)]
            gains.append(line_up.strikes_gain(met))
            by_state = gains[-1].matters
            plans = [
                self._match_plan(group, others[j], contests[i][j], by_state=by_state)
                for i, (group, j) in enumerate(zip(groups, order, strict=True))
            ]
            plans = [plans[i] for i in np.argsort(order)]
        else:
            notes.append(
                "the opponents' order is not known, so the order does not matter: each side meets each of "
                "them with the same chance"
            )
            plans = [self._average_plan(*one) for one in zip(groups, contests, strict=True)]
            if not all(plan.received for plan in plans):
                notes.append("the strokes received depend on whom one meets, so they are not shown")
        matches = [[c.best if by_state else c.plain for c in row] for row in contests]
        spreads = [plan.odds[0] + plan.odds[1] / 4 - plan.points**2 for plan in plans if plan.odds]
        return FormatPlan(
            sides=tuple(plans),
            gains=tuple(gains),
            notes=tuple(notes),
            total=sum(plan.points for plan in plans),
            spread=float(np.sqrt(sum(spreads))),
            unit="points",
            rows=tuple(tuple(self.field.names[i] for i in group) for group in groups),
            opponents=tuple(tuple(self.field.names[i] for i in other) for other in others),
            chances=tuple(tuple(float(m.points.mean()) for m in row) for row in matches),
        )

    def _contest(self, group: Group, other: Group, way: int) -> MatchUp:
        mine, theirs = self.received([group, other], match=True)
        return MatchUp(self.ways(group, mine)[way], self.ways(other, theirs)[0], mine, theirs)

    # --- what is written down ---

    def _side_plan(
        self, group: Group, side: Side, options: Sequence[int], received: Sequence[int]
    ) -> SidePlan:
        total = _total(side, options)
        strokes = self._by_hole(received)
        return SidePlan(
            names=side.names,
            received=tuple(received),
            holes=tuple(
                HolePlan(
                    hole=hole,
                    tees=tuple(self.tees(hole, self.field.players[i]) for i in group),
                    drives=self._drives(h, group, side.holes[h], k),
                    received=tuple(one[h] for one in strokes),
                    first=side.holes[h][k].first,
                    changes=tuple(_once_in_trouble(side.names, side.holes[h][k])),
                )
                for h, (hole, k) in enumerate(zip(self.field.holes, options, strict=True))
            ),
            strokes=float(total.mean()),
            spread=total.spread(),
        )

    def _drives(self, h: int, group: Group, options: Sequence[Option], k: int) -> tuple[PlannedDrive, ...]:
        names = self.field.names
        found = []
        for place, name in enumerate(_drivers(tuple(names[i] for i in group), options[k])):
            (player,) = (i for i in group if names[i] == name)
            strike = options[k].strikes[place]
            mark = next(one.mark for one in self.field.gross[player][h] if one.label == strike)
            others = [one for one in options if one.strikes[place] != strike]
            if self.format == "greensomes":  # where the partner drives too, and alike
                others = [one for one in others if one.strikes[1 - place] == options[k].strikes[1 - place]]
            worth = _worth(options[k], others)
            found.append(PlannedDrive(who=name, strike=strike, mark=mark, worth=worth))
        return tuple(found)

    def _by_hole(self, received: Sequence[int]) -> tuple[tuple[int, ...], ...]:
        return tuple(tuple(self.field.received(strokes)) for strokes in received)

    def _match_plan(self, group: Group, other: Group, contest: MatchUp, *, by_state: bool) -> SidePlan:
        options = [contest.option(h, by_state=by_state) for h in range(len(self.field.holes))]
        plan = self._side_plan(group, contest.mine, options, contest.received)
        holes = []
        for h, (hole, k) in enumerate(zip(plan.holes, options, strict=True)):
            usual = contest.mine.holes[h][k]
            standing = [
                change
                for option, when in contest.by_state(h, k)
                for change in _changes(plan.names, usual, option, when)
            ]
            trouble = _changes(plan.names, usual, contest.in_trouble(h, k), "when their drive is in trouble")
            holes.append(
                replace(
                    hole,
                    changes=(*hole.changes, *(standing if by_state else ()), *trouble),
                    slight=() if by_state else tuple(standing),
                )
            )
        return replace(
            plan,
            holes=tuple(holes),
            against=tuple(self.field.names[i] for i in other),
            they_receive=self._by_hole(contest.theirs_receive),
            odds=_odds([contest.best if by_state else contest.plain]),
        )

    def _average_plan(self, group: Group, contests: Sequence[MatchUp]) -> SidePlan:
        each = {contest.received for contest in contests}
        received = contests[0].received if len(each) == 1 else ()
        plan = self._side_plan(group, contests[0].mine, (0,) * len(self.field.holes), received)
        return replace(plan, odds=_odds([contest.plain for contest in contests]))


_FOUR: Final = 4


def _total(side: Side, options: Sequence[int]) -> Totals:
    """Return the chance of each total of a round, by an option on each hole."""
    return added_up([pooled(chances) for chances in side.picked(options)])


def _odds(matches: Sequence[Match]) -> tuple[float, float, float]:
    """Return the chances to win, to halve and to lose a match, each of several being as likely."""
    won, halved = (
        float(np.mean([one.mean() for one in parts]))
        for parts in zip(*((m.won, m.halved) for m in matches), strict=True)
    )
    return won, halved, 1 - won - halved


def _drivers(names: tuple[str, ...], option: Option) -> tuple[str, ...]:
    """Return who drives by an option, in the order of its strikes."""
    return names if len(option.strikes) == len(names) else (option.first,)


def _worth(option: Option, others: Sequence[Option]) -> Benefit | None:
    """Return what an option saves a side over the best of others, if there are any."""
    if not others:
        return None
    best = min(others, key=lambda one: float(mean(one.chances, CHOOSING)))
    return gain("over the next best", (best.chances - option.chances) @ SCORES, "strokes")


def _changes(names: tuple[str, ...], usual: Option, option: Option, when: str) -> Iterator[Change]:
    """Yield who hits something else by an option than usual."""
    for who, before, strike in zip(_drivers(names, usual), usual.strikes, option.strikes, strict=True):
        if strike != before:
            yield Change(who=who, strike=strike, when=when)


def _once_in_trouble(names: tuple[str, ...], option: Option) -> Iterator[Change]:
    """Yield what the second of a pair hits once the first is in trouble."""
    if option.in_trouble:
        (second,) = (name for name in names if name != option.first)
        yield Change(who=second, strike=option.in_trouble, when=f"once {option.first} is in trouble")
