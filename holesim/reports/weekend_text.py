"""A weekend's plan in a terminal."""

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Final

from holesim.common.text_format import sentence
from holesim.plan import explain
from holesim.reports.benefit_words import benefit_text
from holesim.reports.selection_words import selection_texts
from holesim.reports.team_text import conditions_text, expected_text, format_text, side_text
from holesim.team.team_plan import TeamPlan
from holesim.team.weekend import WeekendPlan
from holesim.team.weekend_file import WeekendSession

_WIDTH: Final = 110
_LEGEND: Final = (
    "Give or take is one standard deviation: two weekends in three are within it. After each gain or cost "
    "stand its 95 % interval and how sure it is. Everyone is chosen for all sessions at once. If a player "
    "drops out the others may change places, too."
)


def weekend_text(plan: WeekendPlan) -> str:
    """Return what a captain needs to know of a weekend: who plays when, with and against whom, and why."""
    lines = [
        f"{plan.weekend.name}, for {plan.weekend.team.name}",
        *(_wrapped(text, 0) for text in _standing(plan)),
        "",
        *_sessions(plan),
        *_table(plan),
        *(_wrapped(sentence(text), 0) for text in selection_texts(plan.selection, _squad(plan))),
        _wrapped(_LEGEND, 0),
        f"! {explain.CAUTIONS[0]}",
        f"! {explain.CAUTIONS[2]}",
    ]
    return "\n".join(lines)


def _wrapped(text: str, indent: int) -> str:
    return "\n".join(
        wrap(text, _WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2 * (indent > 0)))
    )


def _standing(plan: WeekendPlan) -> Iterator[str]:
    """Yield what has been won, what may be expected, and how likely that is enough."""
    weekend, points = plan.weekend, plan.unit == "points"
    done = [one for one in weekend.sessions if one.played]
    if done:
        of = f" of {sum(len(one.results) for one in done)} points won" if points else " strokes played"
        yield f"{weekend.won:g}{of} so far"
    if weekend.left:
        of = f" of {sum(len(p.sides) for p in plan.plans if p)} points" if points else " strokes"
        digits = 2 if points else 1
        rest = "still to come" if done else "expected"
        yield f"{plan.total:.{digits}f}{of} {rest}, give or take {plan.sd:.{digits}f}"
    if plan.enough is not None and weekend.points_needed is not None:
        one = weekend.points_needed <= 1
        needed = f"{weekend.points_needed:g} {'point is' if one else 'points are'} needed"
        missing = weekend.points_needed - weekend.won
        if missing <= 0:
            yield f"{needed}, and won"
        elif done:
            yield f"{needed}, {missing:g} more: {100 * plan.enough:.0f} chances in 100"
        else:
            yield f"{needed}: {100 * plan.enough:.0f} chances in 100"


def _sessions(plan: WeekendPlan) -> Iterator[str]:
    """Yield each session, who plays with and against whom, and who sits out."""
    for one, found in zip(plan.weekend.sessions, plan.plans, strict=True):
        if found is None:
            yield from _played(plan, one)
        else:
            yield from _planned(plan, one, found)
        yield ""


def _played(plan: WeekendPlan, one: WeekendSession) -> Iterator[str]:
    yield f"{one.name}: {one.session.format}, played"
    for result in one.results:
        yield f"  {_names(plan, result.players)}: {result.value:g} {plan.unit}"


def _planned(plan: WeekendPlan, one: WeekendSession, found: TeamPlan) -> Iterator[str]:
    yield f"{one.name}: {format_text(found)}, {found.course.name}"
    yield f"  {conditions_text(found)}"
    for number, side in enumerate(found.sides, 1):
        yield from wrap(
            f"  {number}  {side_text(side)}: {expected_text(side, found.unit)}",
            _WIDTH,
            subsequent_indent="     ",
        )
    for benefit in found.benefits:
        if benefit.matters:
            yield _wrapped(benefit_text(benefit), 2)
    out = sits_out(plan, found)
    if out:
        yield _wrapped(f"sits out: {', '.join(out)}", 2)


def sits_out(plan: WeekendPlan, found: TeamPlan) -> list[str]:
    """Return who of the squad does not play in a session."""
    playing = {player.name for player in found.team.players}
    return [player.name for player in plan.weekend.team.players if player.name not in playing]


def _table(plan: WeekendPlan) -> Iterator[str]:
    """Yield in how many sessions each player plays."""
    squad = _squad(plan)
    wide, sessions = max(map(len, squad)), list(zip(plan.weekend.sessions, plan.plans, strict=True))
    yield f"{'':{wide}}  " + "".join(f"{number:>3}" for number in range(1, len(sessions) + 1)) + "  sessions"
    for i, name in enumerate(squad):
        plays = [
            any(i in result.players for result in one.results)
            if found is None
            else any(player.name == name for player in found.team.players)
            for one, found in sessions
        ]
        marks = "".join(f"{'x' if playing else '-':>3}" for playing in plays)
        yield f"{name:{wide}}  {marks}  {sum(plays):>8}"
    yield ""


def _squad(plan: WeekendPlan) -> list[str]:
    return [player.name for player in plan.weekend.team.players]


def _names(plan: WeekendPlan, places: Sequence[int]) -> str:
    return " and ".join(plan.weekend.team.players[i].name for i in places)
