"""A captain's plan in a terminal, and the parts of it that handouts show too."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Final, get_args

from holesim.course.holes import Hole, Tee
from holesim.plan import explain
from holesim.player.player import StrikeName
from holesim.reports.team_words import (
    HandicapRow,
    allowance_text,
    change_text,
    findings,
    handicap_rows,
    meeting_text,
    numbers_text,
)
from holesim.team.handicap import Format
from holesim.team.team_plan import PlannedDrive, SidePlan, TeamPlan
from holesim.units import YARD

WIDTH: Final = 110
_MOST_TOLD: Final = 4  # holes where a strike matters most

LEGEND: Final = (
    "Give or take is one standard deviation: two rounds in three are within it. The brackets after a saving "
    "or gain have its 95 % interval and how sure it is. Under 0.02 strokes, or 0.005 points of a match, it "
    "does not matter. ~ marks a toss-up, or a difference under 0.02 strokes: there the usual strike is kept "
    "if it is as good."
)
_STRIPS: Final = (
    "The number beside a strike is what the next best would cost the side, in strokes on average; ~ marks a "
    "toss-up, or less than 0.02: there the usual strike is kept if it is as good."
)
_RECEIVED, _GIVEN = "\N{BULLET}", "\N{WHITE BULLET}"


def team_text(plan: TeamPlan) -> str:
    """Return what a captain needs to know: what to expect, what choices gain, and each side's tees."""
    occasion = f"{plan.occasion}; " if plan.occasion else ""
    lines = [
        f"{plan.course.name}, for {plan.team.name}: {occasion}{format_text(plan)}",
        conditions_text(plan),
        "",
        total_text(plan),
        *(line for text in findings(plan) for line in wrapped(text, 2)),
        "",
        *(line for number, side in enumerate(plan.sides, 1) for line in _side(plan, side, number)),
        *_points_table(plan),
        *_handicaps(plan),
        *wrapped(LEGEND, 0),
        *wrapped(assumed_text(plan), 0),
        f"! {explain.CAUTIONS[0]}",
        f"! {explain.CAUTIONS[2]}",
    ]
    return "\n".join(lines)


def wrapped(text: str, indent: int) -> list[str]:
    """Return text in lines as wide as a terminal."""
    return wrap(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2 * (indent > 0)))


def format_name(format_: Format) -> str:
    """Return the name of a format."""
    return "stroke play" if format_ == "stroke" else format_


def format_text(plan: TeamPlan) -> str:
    """Return the format in words."""
    kind = format_name(plan.format)
    count = "" if plan.count is None else f", the best {plan.count} of {len(plan.team.players)} scores count"
    return f"{kind}, {'net' if plan.net else 'gross'}{count}"


def day_text(plan: TeamPlan) -> str:
    """Return the wind and the ground of the day."""
    options = plan.options
    mph = options["wind_mph"]
    wind = f"wind {mph:g} mph from {options['wind_from_deg']:g}°" if mph else "calm"
    return f"{wind}, {options['ground']} ground"


def conditions_text(plan: TeamPlan) -> str:
    """Return the conditions and the drives of a plan."""
    return f"{day_text(plan)}, {plan.draws:,} drives a strike, seed {plan.seed}"


def total_text(plan: TeamPlan) -> str:
    """Return what the team may expect."""
    if plan.unit == "points":
        return f"{plan.total:.2f} of {len(plan.sides)} points expected, give or take {plan.sd:.2f}"
    return f"{plan.total:.1f} strokes expected, give or take {plan.sd:.1f}"


def side_text(side: SidePlan) -> str:
    """Return a side's names with strokes received, and whom it meets."""
    if not side.against:
        return _called(side.names, side.received)
    theirs = tuple(map(sum, side.they_receive))
    return f"{_called(side.names, side.received)} against {_called(side.against, theirs)}"


def _called(names: tuple[str, ...], received: tuple[int, ...]) -> str:
    """Return names with the strokes that each, or the pair, receives."""
    if len(received) < len(names):
        pair = f" (the pair {strokes_text(received[0])})" if any(received) else ""
        return " and ".join(names) + pair
    return " and ".join(
        f"{name} ({strokes_text(strokes)})" if strokes else name
        for name, strokes in zip(names, received, strict=True)
    )


def strokes_text(received: int) -> str:
    """Return so many strokes received, or given back, in words."""
    return f"{'gives' if received < 0 else 'receives'} {abs(received)}"


def expected_text(side: SidePlan, unit: str) -> str:
    """Return what a side may expect."""
    if unit == "strokes" or side.result is None:
        return f"{side.strokes:.1f} strokes, give or take {side.sd:.1f}"
    won, halved, lost = in_hundred(side.result)
    return f"{side.points:.2f} points: wins {won}, halves {halved}, loses {lost} in 100"


def in_hundred(chances: Sequence[float]) -> list[int]:
    """Return chances that add to one as the nearest whole numbers that add to a hundred.

    Examples
    --------
    >>> in_hundred((0.335, 0.335, 0.33))
    [34, 33, 33]
    """
    whole = [int(100 * chance) for chance in chances]
    by_remainder = sorted(range(len(whole)), key=lambda k: whole[k] - 100 * chances[k])
    for k in by_remainder[: 100 - sum(whole)]:
        whole[k] += 1
    return whole


@dataclass(frozen=True)
class TeeLine:
    """One hole on a player's strip: the player's tee and par, strokes received, and the drive.

    `drive` is none where the partner drives.
    """

    hole: Hole
    tee: Tee
    par: int
    received: int
    drive: PlannedDrive | None

    @property
    def yards(self) -> str:
        """The length of the hole [yd]."""
        return f"{self.tee.length / YARD:.0f}"

    @property
    def dots(self) -> str:
        """A full dot for each stroke received, an open dot for each given back."""
        return received_dots(self.received)


@dataclass(frozen=True)
class PlayerStrip:
    """What one player needs: with and against whom, each tee, and what changes a strike.

    `meetings` says where strokes fall against each opponent, where that is not known yet.
    """

    name: str
    company: str
    tees: tuple[TeeLine, ...]
    changes: tuple[str, ...]
    meetings: tuple[str, ...] = ()


def player_strips(plan: TeamPlan) -> list[PlayerStrip]:
    """Return a strip for each player, in the order of the sides."""
    return [
        PlayerStrip(
            name,
            _company(side, name),
            _tees(side, name),
            tuple(_changes(side, name)),
            tuple(_meetings(side, name)),
        )
        for side in plan.sides
        for name in side.names
    ]


def strip_legend(strips: Sequence[PlayerStrip]) -> str:
    """Return what the numbers and signs on the strips mean."""
    return f"{_STRIPS} {dots_text(tee.dots for strip in strips for tee in strip.tees)}".strip()


def received_dots(received: int) -> str:
    """Return a full dot for each stroke received, an open dot for each given back."""
    return abs(received) * (_RECEIVED if received > 0 else _GIVEN)


def dots_text(dots: Iterable[str]) -> str:
    """Return what the dots among these mean."""
    signs = {one[:1] for one in dots}
    said = [f"{_RECEIVED} a stroke received."] if _RECEIVED in signs else []
    said += [f"{_GIVEN} a stroke given back."] if _GIVEN in signs else []
    return " ".join(said)


def worth_text(drive: PlannedDrive) -> str:
    """Return what the next best strike would cost, or that it is a toss-up or matters too little."""
    if drive.worth is None:
        return ""
    return "~" if drive.worth.close else f"{drive.worth.value:.2f}"


def _company(side: SidePlan, name: str) -> str:
    """Return with and against whom a player plays, and where strokes fall."""
    with_ = [other for other in side.names if other != name]
    parts = [f"with {' and '.join(with_)}"] if with_ else []
    parts += [f"against {' and '.join(side.against)}"] if side.against else []
    shared = len(side.received) < len(side.names)
    if any(side.received):
        own = side.received[0] if shared else side.received[side.names.index(name)]
        parts += [f"{'the pair ' if shared else ''}{strokes_text(own)}"] if own else []
    return "; ".join([*parts, *_they_receive(side, side.against, side.they_receive)])


def _meetings(side: SidePlan, name: str) -> Iterator[str]:
    """Yield on which holes a player and the opponent receive strokes, for each who may be met."""
    numbers = [plan.hole.number for plan in side.holes]
    for meeting in side.meetings:
        shared = len(meeting.received) < len(side.names)
        own = meeting.received[0 if shared else side.names.index(name)]
        said = list(_they_receive(side, meeting.against, meeting.they_receive))
        if any(own):
            who = "the pair " if shared else ""
            said = [f"{who}{strokes_text(sum(own))} ({_where(numbers, own)})", *said]
        if said:
            yield f"against {' and '.join(meeting.against)}: {'; '.join(said)}"


def _they_receive(side: SidePlan, against: Sequence[str], received: Sequence[Sequence[int]]) -> Iterator[str]:
    """Yield how many strokes each opponent receives, and where."""
    numbers = [plan.hole.number for plan in side.holes]
    whose = against if len(received) == len(against) else ("their pair",)
    for who, strokes in zip(whose, received, strict=False):
        if any(strokes):
            yield f"{who} {strokes_text(sum(strokes))} ({_where(numbers, strokes)})"


_COUNTS: Final = ("none", "one", "two", "three", "four", "five")
"""Strokes on a hole in words: no hole has more (`MOST_RECEIVED`)."""


def _where(numbers: Sequence[int], strokes: Sequence[int]) -> str:
    """Return on which holes strokes fall."""
    least, most = min(strokes, key=abs), max(strokes, key=abs)
    said = [f"{_COUNTS[abs(least)]} on every hole"] if least else []
    if most != least:
        where = [n for n, s in zip(numbers, strokes, strict=True) if s == most]
        said.append(f"{'one more ' if least else ''}on hole{'s' * (len(where) > 1)} {numbers_text(where)}")
    return " and ".join(said)


def _tees(side: SidePlan, name: str) -> tuple[TeeLine, ...]:
    who = side.names.index(name)
    found = []
    for plan in side.holes:
        drive = next((one for one in plan.drives if one.who == name), None)
        # Of a pair with one ball both have the pair's strokes.
        received = plan.received[min(who, len(plan.received) - 1)] if plan.received else 0
        found.append(TeeLine(plan.hole, plan.tees[who], plan.pars[who], received, drive))
    return tuple(found)


def _changes(side: SidePlan, name: str) -> Iterator[str]:
    """Yield what changes a player's strikes, and where to tee off before the partner."""
    for plan in side.holes:
        changes = [change_text(change) for change in plan.changes if change.who == name]
        if plan.first == name and len(plan.drives) == len(side.names) > 1:
            changes.append("tee off first")
        yield from (f"hole {plan.hole.number}: {text}" for text in changes)


def _side(plan: TeamPlan, side: SidePlan, number: int) -> Iterator[str]:
    """Yield a side, what it may expect, and its strikes."""
    yield from wrap(f"{number}  {side_text(side)}", WIDTH, subsequent_indent="   ")
    yield f"   {expected_text(side, plan.unit)}"
    yield from (line for meeting in side.meetings for line in wrapped(meeting_text(side, meeting), 3))
    yield from (line for text in tees_text(side) for line in wrapped(text, 3))
    yield ""


def tees_text(side: SidePlan) -> list[str]:
    """Return each player's strikes by hole, where the driver strike matters most, and what changes them."""
    found = []
    for name in side.names:
        drives = [(tee.hole.number, tee.drive) for tee in _tees(side, name) if tee.drive]
        by_strike: dict[str, list[int]] = {}
        for hole, drive in drives:
            close = drive.worth is not None and drive.worth.close
            by_strike.setdefault(drive.strike + " ~" * close, []).append(hole)
        said = "; ".join(f"{strike} at {numbers_text(holes)}" for strike, holes in by_strike.items())
        turn = {("even", "odd")[hole % 2] for hole, _ in drives} if side.drive_in_turn else ()
        at = "".join(f", at {holes} holes" for holes in turn)
        alone = len(side.names) == 1
        found.append(("" if alone else f"{name}{at}: ") + said + _matter_most(drives))
        found += (("" if alone else f"{name}, ") + change for change in _changes(side, name))
    return found


def _matter_most(drives: Sequence[tuple[int, PlannedDrive]]) -> str:
    """Return where another strike than the chosen driver strike would cost most."""
    worths = [
        (drive.worth.value, hole)
        for hole, drive in drives
        if drive.strike in get_args(StrikeName) and drive.worth and not drive.worth.close
    ]
    most = sorted(worths, reverse=True)[:_MOST_TOLD]
    told = [f"{hole} ({worth:.2f}{'' if k else ' strokes'})" for k, (worth, hole) in enumerate(most)]
    return (
        f". The driver strike matters most at hole{'s' * (len(told) > 1)} {', '.join(told)}" if told else ""
    )


def _points_table(plan: TeamPlan) -> Iterator[str]:
    """Yield the expected points of each side against each opponent."""
    if not plan.points:
        return
    yield "expected points against"
    for number, opponents in enumerate(plan.opponents, 1):
        yield f"  {number}  {' and '.join(opponents)}"
    sides = [" and ".join(names) for names in plan.rows]
    wide = max(map(len, sides))
    yield f"{'':<{wide}}" + "".join(f"{number:>7}" for number in range(1, len(plan.opponents) + 1))
    for name, row in zip(sides, plan.points, strict=True):
        yield f"{name:<{wide}}" + "".join(f"{points:>7.2f}" for points in row)
    yield ""


def _handicaps(plan: TeamPlan) -> Iterator[str]:
    """Yield each player's or pair's course handicap, allowance and playing handicap."""
    rows = handicap_rows(plan)
    if not rows:
        return
    yield f"handicaps: the allowance is {allowance_text(plan)}"
    heads = HandicapRow("", "course handicap", "allowance", "playing handicap")
    table = [(row.who, row.course, row.share, row.playing) for row in (heads, *rows)]
    wide = [max(map(len, column)) for column in zip(*table, strict=True)]
    for who, *numbers in table:
        yield f"{who:<{wide[0]}}" + "".join(
            f"  {text:>{width}}" for text, width in zip(numbers, wide[1:], strict=True)
        )
    yield ""


def assumed_text(plan: TeamPlan) -> str:
    """Return how many numbers were assumed, by player; team.json lists them all."""
    files = [player for player in plan.team.players if player.sha256 and player.assumed]
    people = [f"{player.name} {len(player.assumed)}" for player in files]
    others = len(plan.assumed) - sum(len(player.assumed) for player in files)
    said = [f"numbers missing from players' files ({', '.join(people)})"] if people else []
    said += [f"{others} things about opponents, tees and players without a file"] if others else []
    return f"Assumed, and listed in team.json: {'; '.join(said)}." if said else ""
