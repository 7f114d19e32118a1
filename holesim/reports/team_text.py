"""A captain's plan in a terminal."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Final, get_args

from holesim.common.text_format import minus
from holesim.course.holes import Hole, Tee
from holesim.plan import explain
from holesim.player.player import StrikeName
from holesim.team.benefit import CLOSE, Benefit
from holesim.team.match_up import runs
from holesim.team.team_plan import PlannedDrive, SidePlan, TeamPlan
from holesim.units import YARD

_DIGITS: Final = {"strokes": 2, "points": 3}
_WIDTH: Final = 110
_MOST_TOLD: Final = 4  # holes where a strike matters most

LEGEND: Final = (
    "Give or take is a standard deviation: two rounds in three are within it. After a gain its 95 % "
    "interval, and how sure it is that it is one; under 0.02 strokes or 0.005 points it does not matter. "
    "~ a toss-up, or under 0.02 strokes: the usual strike where it is as good."
)
_STRIPS: Final = (
    "By each strike, what the next best would cost the side in strokes on average; ~ a toss-up, or "
    "under 0.02: the usual strike where it is as good."
)
_RECEIVED, _GIVEN = "\N{BULLET}", "\N{WHITE BULLET}"


def team_text(plan: TeamPlan) -> str:
    """Return what a captain needs to know: what it comes to, what choices gain, and each side's tees."""
    lines = [
        f"{plan.course.name}, for {plan.team.name}: {format_text(plan)}",
        conditions_text(plan),
        "",
        total_text(plan),
        *(line for text in findings(plan) for line in _wrapped(text, 2)),
        "",
        *(line for number, side in enumerate(plan.sides, 1) for line in _side(plan, side, number)),
        *_chances(plan),
        *_wrapped(LEGEND, 0),
        *_wrapped(assumed_text(plan), 0),
        f"! {explain.CAUTIONS[0]}",
        f"! {explain.CAUTIONS[2]}",
    ]
    return "\n".join(lines)


def _wrapped(text: str, indent: int) -> list[str]:
    """Return text in lines as wide as a terminal."""
    return wrap(
        text, _WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2 * (indent > 0))
    )


def format_text(plan: TeamPlan) -> str:
    """Return what is played."""
    kind = {"stroke": "stroke play"}.get(plan.format, plan.format)
    count = "" if plan.count is None else f", the best {plan.count} of {len(plan.team.players)} count"
    return f"{kind}, {'net' if plan.net else 'gross'}{count}"


def conditions_text(plan: TeamPlan) -> str:
    """Return what it was worked out in."""
    options = plan.options
    mph = options["wind_mph"]
    wind = f"wind {mph:g} mph from {options['wind_from_deg']:g}°" if mph else "calm"
    return f"{wind}, {options['ground']} ground, {plan.draws:,} drives a strike, seed {plan.seed}"


def total_text(plan: TeamPlan) -> str:
    """Return what the team may expect."""
    if plan.unit == "points":
        return f"{plan.total:.2f} points expected of {len(plan.sides)}, give or take {plan.spread:.2f}"
    return f"{plan.total:.1f} strokes expected, give or take {plan.spread:.1f}"


def findings(plan: TeamPlan) -> list[str]:
    """Return what each choice gains, and what else is to be said."""
    return [*map(_gain_text, plan.gains), *plan.notes]


def _gain_text(gain: Benefit) -> str:
    """Return what a choice gains, or that it does not matter, or that the plainer one is better."""
    digits = _DIGITS[gain.unit]
    between = minus(f"{gain.low:.{digits}f} to {gain.high:.{digits}f}")
    if not gain.matters:
        verdict = "it does not matter" if abs(gain.value) < CLOSE[gain.unit] else "it gains nothing"
        chance = f"{100 * gain.chance:.0f} in 100 that it is a gain"
        return f"{gain.what}: {verdict} ({between} {gain.unit}; {chance})"
    gained = "saved" if gain.unit == "strokes" else "gained"
    return f"{gain.what}: {gain.value:.{digits}f} {gain.unit} {gained} in all ({between}; {gain.sure})"


def side_text(side: SidePlan) -> str:
    """Return who a side is, with strokes received, and whom it meets."""
    if not side.against:
        return _called(side.names, side.received)
    theirs = tuple(map(sum, side.they_receive))
    return f"{_called(side.names, side.received)} against {_called(side.against, theirs)}"


def _called(names: tuple[str, ...], received: tuple[int, ...]) -> str:
    """Return names, each with the strokes that it receives, or the pair with theirs."""
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
    if unit == "strokes" or side.odds is None:
        return f"{side.strokes:.1f} strokes, give or take {side.spread:.1f}"
    won, halved, lost = in_hundred(side.odds)
    return f"{side.points:.2f} points: wins {won}, halves {halved}, loses {lost} in 100"


def in_hundred(chances: Sequence[float]) -> list[int]:
    """Return chances that add to one as whole numbers that add to a hundred, as near as may be."""
    whole = [int(100 * chance) for chance in chances]
    by_rest = sorted(range(len(whole)), key=lambda k: whole[k] - 100 * chances[k])
    for k in by_rest[: 100 - sum(whole)]:
        whole[k] += 1
    return whole


@dataclass(frozen=True)
class TeeLine:
    """What a player needs at one hole: the tee, strokes received, and the drive unless the partner drives."""

    hole: Hole
    tee: Tee
    received: int
    drive: PlannedDrive | None

    @property
    def yards(self) -> str:
        """How long the hole is from there."""
        return f"{self.tee.length / YARD:.0f}"

    @property
    def dots(self) -> str:
        """A dot for each stroke received, an open one for a stroke given back."""
        return abs(self.received) * (_RECEIVED if self.received > 0 else _GIVEN)


@dataclass(frozen=True)
class HandOut:
    """What one player needs: with and against whom, each tee, and what changes a strike."""

    name: str
    place: str
    tees: tuple[TeeLine, ...]
    changes: tuple[str, ...]


def hand_outs(plan: TeamPlan) -> list[HandOut]:
    """Return a line for each player, in the order of the sides."""
    return [
        HandOut(name, _place(side, name), _tees(side, name), tuple(_changes(side, name)))
        for side in plan.sides
        for name in side.names
    ]


def strips_text(strips: Sequence[HandOut]) -> str:
    """Return what the figures and signs on the strips say."""
    dots = {tee.dots[:1] for strip in strips for tee in strip.tees}
    said = [f"{_RECEIVED} a stroke received."] if _RECEIVED in dots else []
    said += [f"{_GIVEN} a stroke given back."] if _GIVEN in dots else []
    return " ".join([_STRIPS, *said])


def worth_text(drive: PlannedDrive) -> str:
    """Return what the next best strike would cost, or that it is a toss-up or matters too little."""
    if drive.worth is None:
        return ""
    return "~" if drive.worth.close else f"{drive.worth.value:.2f}"


def _place(side: SidePlan, name: str) -> str:
    """Return with and against whom one plays, and where strokes fall."""
    with_ = [other for other in side.names if other != name]
    parts = [f"with {' and '.join(with_)}"] if with_ else []
    parts += [f"against {' and '.join(side.against)}"] if side.against else []
    shared = len(side.received) < len(side.names)
    if any(side.received):
        own = side.received[0] if shared else side.received[side.names.index(name)]
        parts += [f"{'the pair ' if shared else ''}{strokes_text(own)}"] if own else []
    numbers = [plan.hole.number for plan in side.holes]
    whose = side.against if len(side.they_receive) == len(side.against) else ("their pair",)
    for who, strokes in zip(whose, side.they_receive, strict=False):
        if any(strokes):
            parts.append(f"{who} {strokes_text(sum(strokes))}, {_where(numbers, strokes)}")
    return "; ".join(parts)


def _where(numbers: Sequence[int], strokes: Sequence[int]) -> str:
    """Return where strokes fall."""
    least, most = min(strokes, key=abs), max(strokes, key=abs)
    said = [f"{abs(least)} at every hole"] if least else []
    if most != least:
        more = "one more at" if least else "at"
        said.append(f"{more} {_numbers([n for n, s in zip(numbers, strokes, strict=True) if s == most])}")
    return " and ".join(said)


def _tees(side: SidePlan, name: str) -> tuple[TeeLine, ...]:
    who = side.names.index(name)
    found = []
    for plan in side.holes:
        drive = next((one for one in plan.drives if one.who == name), None)
        # Of a pair with one ball both have the pair's strokes.
        received = plan.received[min(who, len(plan.received) - 1)] if plan.received else 0
        found.append(TeeLine(plan.hole, plan.tees[who], received, drive))
    return tuple(found)


def _changes(side: SidePlan, name: str) -> Iterator[str]:
    """Yield what changes a player's strikes, and where they should wait for the partner's drive."""
    for plan in side.holes:
        yield from (
            f"hole {plan.hole.number}: {change.strike} {change.when}"
            for change in plan.changes
            if change.who == name
        )
        if plan.first == name and len(plan.drives) == len(side.names) > 1:
            yield f"hole {plan.hole.number}: tee off first"


def _side(plan: TeamPlan, side: SidePlan, number: int) -> Iterator[str]:
    """Yield a side, then the holes by what is hit there, and what changes it."""
    yield from wrap(f"{number}  {side_text(side)}", _WIDTH, subsequent_indent="   ")
    yield f"   {expected_text(side, plan.unit)}"
    yield from (line for text in tees_text(side) for line in _wrapped(text, 3))
    yield ""


def tees_text(side: SidePlan) -> list[str]:
    """Return who hits what at which holes, where the driver's strikes matter most, and what changes them."""
    found = []
    for name in side.names:
        drives = [(tee.hole.number, tee.drive) for tee in _tees(side, name) if tee.drive]
        by_strike: dict[str, list[int]] = {}
        for hole, drive in drives:
            close = drive.worth is not None and drive.worth.close
            by_strike.setdefault(drive.strike + " ~" * close, []).append(hole)
        said = "; ".join(f"{strike} {_numbers(holes)}" for strike, holes in by_strike.items())
        turn = {("even", "odd")[hole % 2] for hole, _ in drives} if side.drive_in_turn else ()
        at = "".join(f", at {holes} holes" for holes in turn)
        whose = f"{name}{at}: " if len(side.names) > 1 else ""
        found.append(whose + said + _matter_most(drives))
        found += (f"{whose}{change}" for change in _changes(side, name))
    return found


def _matter_most(drives: Sequence[tuple[int, PlannedDrive]]) -> str:
    """Return where another strike than the driver's would cost most."""
    worths = [
        (drive.worth.value, hole)
        for hole, drive in drives
        if drive.strike in get_args(StrikeName) and drive.worth and not drive.worth.close
    ]
    told = [f"{worth:.2f} at {hole}" for worth, hole in sorted(worths, reverse=True)[:_MOST_TOLD]]
    return f". Where the driver's strike matters most, in strokes: {', '.join(told)}" if told else ""


def _numbers(holes: Sequence[int]) -> str:
    """Return numbers with runs drawn together."""
    parts = [f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs(holes)]
    return ", ".join(parts)


def _chances(plan: TeamPlan) -> Iterator[str]:
    """Yield the points of each side against each opponent."""
    if not plan.chances:
        return
    yield "expected points against"
    for number, opponents in enumerate(plan.opponents, 1):
        yield f"  {number}  {' and '.join(opponents)}"
    sides = [" and ".join(names) for names in plan.rows]
    wide = max(map(len, sides))
    yield f"{'':<{wide}}" + "".join(f"{number:>7}" for number in range(1, len(plan.opponents) + 1))
    for name, row in zip(sides, plan.chances, strict=True):
        yield f"{name:<{wide}}" + "".join(f"{points:>7.2f}" for points in row)
    yield ""


def assumed_text(plan: TeamPlan) -> str:
    """Return how much of what was assumed there is; nobody reads it to the end, so team.json has it."""
    files = [player for player in plan.team.players if player.sha256 and player.assumed]
    people = [f"{player.name} {len(player.assumed)}" for player in files]
    others = len(plan.assumed) - sum(len(player.assumed) for player in files)
    said = [f"numbers that players' files leave out: {', '.join(people)}"] if people else []
    said += [f"of opponents and tees: {others} things"] if others else []
    return f"Assumed, and listed in team.json: {'; '.join(said)}." if said else ""
