"""A weekend's plan in a terminal."""

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Final

from holesim.common.text_format import sentence
from holesim.plan import explain
from holesim.reports.benefit_words import benefit_text
from holesim.reports.selection_words import selection_texts
from holesim.reports.team_text import (
    WIDTH,
    conditions_text,
    expected_text,
    format_name,
    format_text,
    side_text,
    wrapped,
)
from holesim.team.team_plan import TeamPlan
from holesim.team.weekend import WeekendPlan
from holesim.team.weekend_file import WeekendSession

_LEGEND: Final = (
    "Give or take is one standard deviation: two weekends in three are within it. The brackets after a gain "
    "or cost have its 95 % interval. All sessions are chosen together, for the most points or the fewest "
    "strokes, so one dropout can change other places, too."
)


def weekend_text(plan: WeekendPlan) -> str:
    """Return what a captain needs to know of a weekend: who plays when, with and against whom, and why."""
    lines = [
        f"{plan.weekend.name}, for {plan.weekend.team.name}",
        *(line for text in _standing(plan) for line in wrapped(text, 0)),
        "",
        *_sessions(plan),
        *_table(plan),
        *(
            line
            for text in selection_texts(plan.selection, plan.weekend.team.names)
            for line in wrapped(sentence(text), 0)
        ),
        *(wrapped(_LEGEND, 0) if plan.weekend.left else ()),
        f"! {explain.CAUTIONS[0]}",
        f"! {explain.CAUTIONS[2]}",
    ]
    return "\n".join(lines)


def _standing(plan: WeekendPlan) -> Iterator[str]:
    """Yield what has been won, what may be expected, and how likely that is enough."""
    weekend, points = plan.weekend, plan.unit == "points"
    done = [one for one in weekend.sessions if one.played]
    if done:
        of = f" of {_points(sum(len(one.results) for one in done))} won" if points else " strokes played"
        yield f"{weekend.won:g}{of} so far"
    if weekend.left:
        of = f" of {_points(sum(len(p.sides) for p in plan.plans if p))}" if points else " strokes"
        digits = 2 if points else 1
        rest = "still to come" if done else "expected"
        whole = f"; {weekend.won + plan.total:.{digits}f} of the weekend" if done else ""
        yield f"{plan.total:.{digits}f}{of} {rest}, give or take {plan.sd:.{digits}f}{whole}"
    if plan.enough is not None and weekend.points_needed is not None:
        yield _needed(plan, weekend.points_needed, plan.enough)
    for place, count in sorted(weekend.played_by.items()):
        if count > weekend.most:
            name = weekend.team.names[place]
            yield f"{name} has played {count} sessions, and may play {weekend.most}: check the results"


def _points(count: float) -> str:
    return f"{count:g} point{'s' * (count != 1)}"


def _needed(plan: WeekendPlan, needed: float, enough: float) -> str:
    """Return how likely the points needed are."""
    missing = needed - plan.weekend.won
    if missing <= 0:
        return f"the {_points(needed)} needed {'is' if needed == 1 else 'are'} won"
    if not plan.weekend.left:
        return f"{_points(missing)} short of the {needed:g} needed"
    hundred = round(100 * enough)
    chances = "over 99" if hundred == 100 else "under 1" if hundred == 0 else f"{hundred}"
    more = f", {missing:g} more" if plan.weekend.won else ""
    return f"{_points(needed)} {'is' if needed == 1 else 'are'} needed{more}: {chances} chances in 100"


def _sessions(plan: WeekendPlan) -> Iterator[str]:
    """Yield each session, who plays with and against whom, and who sits out."""
    for number, (one, found) in enumerate(zip(plan.weekend.sessions, plan.plans, strict=True)):
        yield f"Session {number + 1}, {one.name}: {_what(one, found)}"
        yield from _played(plan, one) if found is None else _planned(found)
        out = sits_out(plan, number)
        if out:
            yield from wrapped(f"sits out: {', '.join(out)}", 2)
        yield ""


def _what(one: WeekendSession, found: TeamPlan | None) -> str:
    if found is None:
        return f"{format_name(one.session.format)}, played"
    return f"{format_text(found)}, {found.course.name}"


def _played(plan: WeekendPlan, one: WeekendSession) -> Iterator[str]:
    for result in one.results:
        value = _points(result.value) if plan.unit == "points" else f"{result.value:g} strokes"
        yield f"  {_names(plan, result.players)}: {value}"


def _planned(found: TeamPlan) -> Iterator[str]:
    yield f"  {conditions_text(found)}"
    for place, side in enumerate(found.sides, 1):
        yield from wrap(
            f"  {place}  {side_text(side)}: {expected_text(side, found.unit)}",
            WIDTH,
            subsequent_indent="     ",
        )
    for benefit in found.benefits:
        if benefit.matters:
            yield from wrapped(benefit_text(benefit), 2)


def sits_out(plan: WeekendPlan, number: int) -> list[str]:
    """Return who of the squad does not play in a session, counted from nought."""
    playing = plan.playing[number]
    return [name for i, name in enumerate(plan.weekend.team.names) if i not in playing]


def _table(plan: WeekendPlan) -> Iterator[str]:
    """Yield in how many sessions each player plays."""
    squad, sessions = plan.weekend.team.names, plan.playing
    wide = max(map(len, squad))
    yield f"{'':{wide}}  " + "".join(f"{number:>3}" for number in range(1, len(sessions) + 1)) + "  sessions"
    for i, name in enumerate(squad):
        plays = [i in playing for playing in sessions]
        marks = "".join(f"{'x' if playing else '-':>3}" for playing in plays)
        yield f"{name:{wide}}  {marks}  {sum(plays):>8}"
    yield ""


def _names(plan: WeekendPlan, places: Sequence[int]) -> str:
    return " and ".join(plan.weekend.team.names[i] for i in places)
