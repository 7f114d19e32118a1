"""Matches of each side against another: who meets whom, and strikes by the state of the match."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from holesim.team.benefit import Benefit, estimate_benefit
from holesim.team.draw import Draw
from holesim.team.formats.round_format import RoundFormat
from holesim.team.formats.tabulate import (
    Meetings,
    choose_sides,
    find_meetings,
    find_pairs,
)
from holesim.team.match import Match
from holesim.team.match_up import MatchUp
from holesim.team.side_options import Side, SideOption
from holesim.team.side_table import SideTable, Way
from holesim.team.team_plan import (
    Change,
    DriveInTrouble,
    FormatPlan,
    HolePlan,
    Meeting,
    SidePlan,
    Standings,
)


def plan_matches(format_: RoundFormat, table: SideTable) -> FormatPlan:
    """Return the plan where each side meets another: the draw of most points, and strikes for the matches."""
    return plan_drawn_matches(format_, table, choose_sides(format_, table))


def plan_drawn_matches(format_: RoundFormat, table: SideTable, draw: Draw) -> FormatPlan:
    """Return the plan of the matches of a draw; where the opponents' order is known its ways stand in it."""
    find_pairs(format_, draw)
    plan = _plan_known if format_.team.order_known else _plan_unknown
    sides, benefits = plan(format_, draw.ways)
    results = [side.result for side in sides if side.result]
    variances = [won + halved / 4 - (won + halved / 2) ** 2 for won, halved, _ in results]
    everyone = (*(way.group for way in draw.ways), *format_.opponents)
    return FormatPlan(
        sides=sides,
        benefits=(*draw.benefits, *benefits),
        total=sum(side.points for side in sides),
        sd=float(np.sqrt(sum(variances))),
        unit="points",
        rows=tuple(format_.names(way.group) for way in draw.ways),
        opponents=tuple(map(format_.names, format_.opponents)),
        points=_points(table, draw.ways),
        handicaps=tuple(one for group in everyone for one in format_.handicaps(group)),
    )


def _points(table: SideTable, ways: Sequence[Way]) -> tuple[tuple[float, ...], ...]:
    """Return the expected points of each way against each opponent."""
    rows = table.points[[table.ways.index(way) for way in ways]].mean(axis=-1)
    return tuple(tuple(row) for row in rows.tolist())


# --- opponents in known order ---------------------------------------------------------------------------


def _plan_known(
    format_: RoundFormat, ways: Sequence[Way]
) -> tuple[tuple[SidePlan, ...], tuple[Benefit, ...]]:
    """Return the plans where the first side meets the first opponent, and so on."""
    match_ups = [find_meetings(format_, group)[k].match_ups[at] for at, (group, k) in enumerate(ways)]
    return tuple(_plan_match(format_, one) for one in match_ups), ()


def _plan_match(format_: RoundFormat, match_up: MatchUp) -> SidePlan:
    """Return the plan of a side that meets a known opponent, with strikes for the match if they gain."""
    gained = match_up.by_state.points - match_up.own_best.points
    gain = estimate_benefit("match strikes", gained, "points")
    match = match_up.by_state if gain.matters else match_up.own_best
    options = [match.option(h, 0) for h in range(len(match_up.mine.holes))]
    plan = format_.plan_side(match_up.mine, options)
    return replace(
        plan,
        holes=tuple(
            _with_changes(hole, k, match_up, match)
            for hole, k in zip(enumerate(plan.holes), options, strict=True)
        ),
        against=match_up.theirs.names,
        they_receive=format_.strokes_by_hole(match_up.theirs),
        result=_result([match]),
        match_strikes=gain,
    )


def _with_changes(numbered: tuple[int, HolePlan], k: int, match_up: MatchUp, match: Match) -> HolePlan:
    """Return a hole's plan with what changes a side's option `k`."""
    h, plan = numbered
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


# --- opponents in unknown order -------------------------------------------------------------------------


def _plan_unknown(
    format_: RoundFormat, ways: Sequence[Way]
) -> tuple[tuple[SidePlan, ...], tuple[Benefit, ...]]:
    """Return the plans where each side is as likely to meet any opponent, and what their strikes gain."""
    meetings = [find_meetings(format_, group)[k] for group, k in ways]
    gain = [
        one.points.mean(axis=0) - np.mean([match.points for match in one.by(one.side.own_best)], axis=0)
        for one in meetings
    ]
    strikes = estimate_benefit("strikes", np.sum(gain, axis=0), "points")
    differ = any(one.fewest != one.side.own_best for one in meetings)
    plans = (
        _plan_meetings(format_, one, one.fewest if strikes.matters else one.side.own_best) for one in meetings
    )
    return tuple(plans), (strikes,) * differ


def _plan_meetings(format_: RoundFormat, meetings: Meetings, options: Sequence[int]) -> SidePlan:
    """Return the plan of a side that meets each opponent with the same chance."""
    matches, totals = meetings.by(options), meetings.totals(options)
    return replace(
        format_.plan_side(meetings.side, options),
        strokes=float(totals.mean()),
        sd=totals.sd(),
        result=_result(matches),
        meetings=tuple(
            Meeting(
                against=match_up.theirs.names,
                received=format_.strokes_by_hole(match_up.mine),
                they_receive=format_.strokes_by_hole(match_up.theirs),
                result=_result([match]),
            )
            for match_up, match in zip(meetings.match_ups, matches, strict=True)
        ),
    )


def _result(matches: Sequence[Match]) -> tuple[float, float, float]:
    """Return the chances to win, to halve and to lose a match, each of several being as likely."""
    won, halved = (
        float(np.mean([one.mean() for one in parts]))
        for parts in zip(*((m.won, m.halved) for m in matches), strict=True)
    )
    return won, halved, 1 - won - halved
