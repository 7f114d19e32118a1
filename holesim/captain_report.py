"""A captain's plan in a terminal."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from holesim import advice
from holesim.captain import SidePlan, TeamPlan
from holesim.contest import runs
from holesim.gain import Gain
from holesim.words import minus

_DIGITS: Final = {"strokes": 2, "points": 3}


def team_text(plan: TeamPlan) -> str:
    """Return what a captain needs to know: what it comes to, what choices gain, and each side's tees."""
    lines = [
        f"{plan.course.name}, for {plan.team.name}: {format_text(plan)}",
        conditions_text(plan),
        "",
        total_text(plan),
        *(f"  {text}" for text in findings(plan)),
        "",
        *(line for number, side in enumerate(plan.sides, 1) for line in _side(plan, side, number)),
        *_chances(plan),
        *_assumed(plan),
        f"! {advice.CAUTIONS[0]}",
        f"! {advice.CAUTIONS[2]}",
    ]
    return "\n".join(lines)


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
        return f"{plan.total:.2f} ±{plan.spread:.2f} points expected of {len(plan.sides)}"
    return f"{plan.total:.1f} ±{plan.spread:.1f} strokes expected"


def findings(plan: TeamPlan) -> list[str]:
    """Return what each choice gains, and what else is to be said."""
    return [*map(_gain_text, plan.gains), *plan.notes]


def _gain_text(gain: Gain) -> str:
    """Return what a choice gains, or that it does not matter."""
    digits = _DIGITS[gain.unit]
    half = (gain.high - gain.low) / 2
    found = minus(f"{gain.value:+.{digits}f} ±{half:.{digits}f} {gain.unit}")
    return f"{gain.what}: {found}{'' if gain.matters else '; it does not matter'}"


def side_text(side: SidePlan, unit: str) -> str:
    """Return who a side is, whom it meets, and what it may expect."""
    who = " and ".join(side.names)
    against = f" against {' and '.join(side.against)}" if side.against else ""
    received = f" (+{', +'.join(map(str, side.received))})" if any(side.received) else ""
    if unit == "points" and side.odds is not None:
        won, halved, lost = (100 * chance for chance in side.odds)
        expected = f"{side.points:.2f} points: wins {won:.0f}, halves {halved:.0f}, loses {lost:.0f} in 100"
    else:
        expected = f"{side.strokes:.1f} ±{side.spread:.1f} strokes"
    return f"{who}{received}{against}: {expected}"


def driving_text(side: SidePlan) -> str:
    """Return who of a pair in foursomes drives at odd holes, and who at even ones; of others nothing."""
    if not side.drive_in_turn:
        return ""
    drivers = {("even", "odd")[plan.hole.number % 2]: plan.first for plan in side.holes}
    return ", ".join(
        f"{drivers[holes]} drives at {holes} holes" for holes in ("odd", "even") if holes in drivers
    )


@dataclass(frozen=True)
class HandOut:
    """What one player needs: with and against whom, the strike at each hole, and what changes it.

    A hole whose drive is the partner's has no strike.
    """

    name: str
    place: str
    strikes: tuple[tuple[int, str], ...]
    changes: tuple[str, ...]


def hand_outs(plan: TeamPlan) -> list[HandOut]:
    """Return a line for each player, in the order of the sides."""
    return [
        HandOut(name, _place(side, name), _strikes_of(side, who), tuple(_changes_of(side, who)))
        for side in plan.sides
        for who, name in enumerate(side.names)
    ]


def _place(side: SidePlan, name: str) -> str:
    with_ = [other for other in side.names if other != name]
    parts = [f"with {' and '.join(with_)}"] if with_ else []
    parts += [f"against {' and '.join(side.against)}"] if side.against else []
    shared = len(side.received) < len(side.names)
    strokes = max(side.received, default=0) if shared else side.received[side.names.index(name)]
    whose = "the pair receives" if shared else "receives"
    parts += [f"{whose} {strokes} stroke{'' if strokes == 1 else 's'}"] if strokes else []
    return ", ".join(parts)


def _strikes_of(side: SidePlan, who: int) -> tuple[tuple[int, str], ...]:
    if not side.drive_in_turn:
        return tuple((plan.hole.number, plan.strikes[who]) for plan in side.holes)
    name = side.names[who]
    return tuple((plan.hole.number, plan.strikes[0] if plan.first == name else "") for plan in side.holes)


def _changes_of(side: SidePlan, who: int) -> Iterator[str]:
    """Yield what changes a player's strikes; with one ball, where they drive."""
    for plan, (hole, strike) in zip(side.holes, _strikes_of(side, who), strict=True):
        yield from (f"hole {hole}: {change}" for change in plan.changes if strike)


def _side(plan: TeamPlan, side: SidePlan, number: int) -> Iterator[str]:
    """Yield a side, then the holes by what is hit there, and what changes it."""
    yield f"{number}  {side_text(side, plan.unit)}"
    yield from (f"   {line}" for line in tees_text(side))
    yield ""


def tees_text(side: SidePlan) -> list[str]:
    """Return which holes have which strikes, by player, and what changes them."""
    found = []
    for who, name in enumerate(side.names):
        by_strike: dict[str, list[int]] = {}
        for hole, strike in _strikes_of(side, who):
            by_strike.setdefault(strike, []).append(hole)
        drives = " drives" if by_strike.pop("", []) else ""
        said = "; ".join(f"{strike} {_numbers(holes)}" for strike, holes in by_strike.items())
        found.append(f"{name}{drives}: {said}" if len(side.names) > 1 else said)
    return [*found, *dict.fromkeys(line for who in range(len(side.names)) for line in _changes_of(side, who))]


def _numbers(holes: list[int]) -> str:
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


def _assumed(plan: TeamPlan) -> Iterator[str]:
    if plan.assumed:
        yield f"assumed: {len(plan.assumed)} things, listed in team.json; the first: {plan.assumed[0]}"
