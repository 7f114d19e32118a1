"""Matches of each side against another: who meets whom, and strikes by the state of the match."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from holesim.team.benefit import Benefit
from holesim.team.formats.round_format import RoundFormat
from holesim.team.line_up import choose_order, match_strikes_benefit
from holesim.team.match import Match
from holesim.team.match_up import MatchUp
from holesim.team.side_options import Group, Side, SideOption
from holesim.team.team_plan import Change, DriveInTrouble, FormatPlan, HolePlan, SidePlan, Standings


def plan_matches(
    format_: RoundFormat, groups: Mapping[Group, int], benefits: Sequence[Benefit] = ()
) -> FormatPlan:
    """Return the plan where each side meets another.

    Parameters
    ----------
    groups
        The groups that play together, and which of its sides each makes.
    benefits
        Of the choice of these.
    """
    size = len(next(iter(groups)))
    others = [format_.theirs[i : i + size] for i in range(0, len(format_.theirs), size)]
    match_ups = [[_match_up(format_, group, other, k) for other in others] for group, k in groups.items()]
    if format_.team.order_known:
        indices = [sum(format_.roster.handicap_indices[i] for i in group) for group in groups]
        order, by_order = choose_order(match_ups, indices)
        met = [match_ups[i][j] for i, j in enumerate(order)]
        by_strikes = match_strikes_benefit(met)
        matches = [[_match(match_up, by_strikes) for match_up in row] for row in match_ups]
        plans = [_plan_match(format_, met[i], matches[i][j]) for i, j in enumerate(order)]
        plans = [plans[i] for i in np.argsort(order)]
        benefits = (*benefits, by_order, by_strikes)
    else:
        matches = [[match_up.own_best for match_up in row] for row in match_ups]
        plans = [_plan_any_match(format_, row) for row in match_ups]
    variances = [plan.result[0] + plan.result[1] / 4 - plan.points**2 for plan in plans if plan.result]
    return FormatPlan(
        sides=tuple(plans),
        benefits=tuple(benefits),
        total=sum(plan.points for plan in plans),
        sd=float(np.sqrt(sum(variances))),
        unit="points",
        rows=tuple(map(format_.names, groups)),
        opponents=tuple(map(format_.names, others)),
        points=tuple(tuple(float(match.points.mean()) for match in row) for row in matches),
    )


def _match_up(format_: RoundFormat, group: Group, other: Group, k: int) -> MatchUp:
    mine, theirs = format_.match_strokes(group, other)
    return MatchUp(format_.sides(group, mine)[k], format_.sides(other, theirs)[0])


def _match(match_up: MatchUp, by_strikes: Benefit) -> Match:
    """Return the match as it is played: by its state where that gains anything."""
    return match_up.by_state if by_strikes.matters else match_up.own_best


def _plan_match(format_: RoundFormat, match_up: MatchUp, match: Match) -> SidePlan:
    """Return the plan of a side that meets a known opponent."""
    options = [match.option(h, 0) for h in range(len(match_up.mine.holes))]
    plan = format_.plan_side(match_up.mine, options)
    return replace(
        plan,
        holes=tuple(
            _with_changes(hole, h, k, match_up, match)
            for h, (hole, k) in enumerate(zip(plan.holes, options, strict=True))
        ),
        against=match_up.theirs.names,
        they_receive=format_.strokes_by_hole(match_up.theirs.received),
        result=_result([match]),
    )


def _with_changes(plan: HolePlan, h: int, k: int, match_up: MatchUp, match: Match) -> HolePlan:
    """Return a hole's plan with what changes a side's option `k`."""
    side, reached = match_up.mine, match_up.reached(h)
    usual = side.holes[h][k]
    standing = tuple(
        Change(who=who, strike=strike, when=Standings(ups, reached))
        for option, ups in match_up.other_options(h, k)
        for who, strike in _differences(side, usual, option)
    )
    trouble = tuple(
        Change(who=who, strike=strike, when=DriveInTrouble(None))
        for who, strike in _differences(side, usual, match_up.option_after_trouble(h, k))
    )
    if match is match_up.by_state:
        return replace(plan, changes=(*plan.changes, *standing, *trouble))
    return replace(plan, changes=(*plan.changes, *trouble), slight=standing)


def _differences(side: Side, usual: SideOption, option: SideOption) -> Iterator[tuple[str, str]]:
    """Yield who hits another strike by an option than usual, and which."""
    for who, before, strike in zip(side.drivers(usual), usual.strikes, option.strikes, strict=True):
        if strike != before:
            yield who, strike


def _plan_any_match(format_: RoundFormat, match_ups: Sequence[MatchUp]) -> SidePlan:
    """Return the plan of a side that meets each opponent with the same chance."""
    side = match_ups[0].mine
    if len({match_up.mine.received for match_up in match_ups}) > 1:
        side = replace(side, received=())
    plan = format_.plan_side(side, side.own_best)
    return replace(plan, result=_result([match_up.own_best for match_up in match_ups]))


def _result(matches: Sequence[Match]) -> tuple[float, float, float]:
    """Return the chances to win, to halve and to lose a match, each of several being as likely."""
    won, halved = (
        float(np.mean([one.mean() for one in parts]))
        for parts in zip(*((m.won, m.halved) for m in matches), strict=True)
    )
    return won, halved, 1 - won - halved
