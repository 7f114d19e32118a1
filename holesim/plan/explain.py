"""What a plan's numbers say, in golfers' words."""

from collections.abc import Mapping, Sequence
from math import atan2, cos, hypot, sin
from typing import Final

from holesim.plan.decision import DayStrike
from holesim.plan.doubt import WORTH_SAYING, Measuring
from holesim.plan.estimate import sure_text
from holesim.plan.hole_wind import Flip, flips_text
from holesim.plan.tee_plan import Doubt, TableComparison, TeePlan
from holesim.scoring.expected_strokes import NextShot
from holesim.units import YARD

CAUTIONS: Final = (
    "Change a swing only with a qualified coach, and warm up first.",
    "Hit only when the landing area is clear. Leave the course for lightning.",
    "Plan before the round: Rule 4.3a bars a device that recommends a line of play or a club during it.",
    "The committee's local rules prevail.",
)

_NEAR_PIN: Final = 40 * YARD  # beyond which a shot is laid up


# --- a choice -------------------------------------------------------------------------------------


def reason(plan: TeePlan, *, metric: bool = False) -> str:
    """Return a sentence for the choice over its rival."""
    return "; ".join(filter(None, (verdict(plan), f"{plan.choice.label}: {why(plan, metric=metric)}")))


def verdict(plan: TeePlan) -> str:
    """Return how sure the choice is, and what is wrong with it, if anything."""
    over, sure = plan.over_rival, sureness_of(plan)
    little = sure and over is not None and abs(over.mean) < plan.goal.close
    return "; ".join(filter(None, (sure + ", and too little to matter" * bool(little), warning(plan))))


def sureness_of(plan: TeePlan) -> str:
    """Return how sure the choice is, in words and a number; nothing where there was no choice to make."""
    return "" if plan.rival is None or not plan.fits else sure_text(plan.chance)


def warning(plan: TeePlan) -> str:
    """Return what is wrong with even the best choice, if anything."""
    if not plan.fits:
        return "no club fits this hole"
    if plan.rival is not None and plan.choice.beyond:
        return "it would take an aim off the hole, so a shorter club is the answer"
    return ""


def why(plan: TeePlan, *, metric: bool = False) -> str:
    """Return what speaks for the choice against its rival."""
    if plan.rival is None:
        return "the only strike"
    return compare_strikes(
        plan.rival.label,
        longer=plan.choice.total - plan.rival.total,
        shares=plan.choice.shares,
        other_shares=plan.rival.shares,
        metric=metric,
    )


def wind_text(plan: TeePlan, *, metric: bool = False, most: int | None = None) -> str:
    """Return the wind, and the felt winds that flip the choice; nothing if there is neither.

    Parameters
    ----------
    most
        How many of those felt winds to name, the lightest first; all by default.
    """
    parts = [] if plan.wind is None else [f"wind {plan.wind.text(metric=metric)}"]
    if plan.flips:
        least = sorted(plan.flips, key=lambda flip: flip.speed)[:most]
        parts.append(felt_wind_text(least, metric=metric))
    return "; ".join(parts)


def felt_wind_text(flips: Sequence[Flip], *, metric: bool = False) -> str:
    """Return the felt winds that would change a choice."""
    return f"felt wind that would change it: {flips_text(flips, metric=metric)}"


_REMEDIES: Final = {"how the ball flies": "measured carries of both, with your own ball,"}
_REMEDY: Final = "20 measured drives of each"


def doubt_text(doubt: Doubt | None) -> str:
    """Return what a choice hangs on most, and what would tell; nothing if the choice is sure."""
    if doubt is None:
        return ""
    if not doubt.cause:
        return "least certain: the drives sampled (--precision adds some)"
    return f"least certain: {doubt.cause} ({_REMEDIES.get(doubt.cause, _REMEDY)} would tell)"


def table_text(comparison: TableComparison | None) -> str:
    """Return which strike a table by lie and distance would choose, and why the plan has another."""
    if comparison is None:
        return ""
    head = f"a table by lie and distance would choose {comparison.other}"
    if -comparison.more_after_choice > comparison.more_after_other:
        easier = f"the hole plays {-comparison.more_after_choice:.2f} strokes easier than the table says"
        return f"{head}, but from where {comparison.choice} finishes {easier}"
    left, after = (
        f"it leaves {comparison.away / YARD:.0f} yd",
        f"after {comparison.choice} {comparison.more_after_choice:+.2f}",
    )
    side = {"left": "from the left ", "right": "from the right ", "": ""}[comparison.side]
    return (
        f"{head}: {left}, but {side}{_CAUSES[comparison.cause]} ({comparison.more_after_other:+.2f}; {after})"
    )


_CAUSES: Final = {
    "trees": "trees stand before the green",
    "water": "a penalty area lies before the green",
    "reach": "the green is out of reach",
    "": "the next shot is harder than the table says",
}


# --- the round ------------------------------------------------------------------------------------


def day_text(day: DayStrike) -> str:
    """Return the strike of a golfer who hits the driver one way all day, and how sure that is."""
    if day.over is None:
        return f"{day.strike} all day, the only strike"
    low, high = day.over.interval
    worth = f"{-day.over.mean:.2f} strokes a round better than {day.rival} ({-high:.2f} to {-low:.2f})"
    return f"{day.strike} all day: {sure_text(day.over.chance_below)}, {worth}"


def measuring_text(measuring: Measuring) -> str:
    """Return what it is worth to measure a golfer; nothing if that is too little to say."""
    if measuring.given_away < WORTH_SAYING:
        return ""
    saved = ", ".join(f"{drives} drives {value:.2f}" for drives, value in measuring.saved.items())
    costs = f"not knowing this golfer better costs {measuring.given_away:.2f} strokes a round"
    return f"{costs}; measuring each strike would save: {saved}"


# --- strikes compared, and the next shot ----------------------------------------------------------


# Rough costs of a finish, in strokes over the fairway: only to rank what a sentence should name.
_WEIGHTS: Final = {
    "out": 2.0,
    "penalty": 1.2,
    "trees": 0.8,
    "sand": 0.4,
    "heavy_rough": 0.5,
    "fairway": -0.25,
    "green": -0.8,
}
_NOUNS: Final = {
    "out": "out of bounds",
    "penalty": "in a penalty area",
    "trees": "blocked by trees",
    "sand": "in sand",
    "heavy_rough": "in heavy rough",
    "fairway": "on the fairway",
    "green": "on the green",
}


def compare_strikes(
    other: str,
    *,
    longer: float,
    shares: Mapping[str, float],
    other_shares: Mapping[str, float],
    metric: bool = False,
) -> str:
    """Return what speaks for the chosen strike against another.

    Parameters
    ----------
    longer
        Total of the chosen strike less that of the other [m].
    shares, other_shares
        Shares of finishes of the chosen strike and of the other.
    """
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    changes = {key: shares[key] - other_shares[key] for key in _WEIGHTS}
    gains = {key: -_WEIGHTS[key] * change for key, change in changes.items()}
    best, worst = (f(gains, key=lambda key: gains[key]) for f in (max, min))
    ahead = round(longer / scale)
    sentence = f"{abs(ahead)} {unit} {'longer' if ahead > 0 else 'shorter'} than {other}"
    if not ahead:
        sentence = f"as long as {other}"
    if ahead > 0 and -gains[worst] > gains[best] and round(100 * changes[worst]):
        sentence += f", but {_in_hundred(worst, changes[worst])}"
    elif round(100 * changes[best]):
        sentence += f", {'and' if ahead >= 0 else 'but'} {_in_hundred(best, changes[best])}"
    return sentence


def target_text(shot: NextShot, pin: tuple[float, float], *, metric: bool = False) -> str:
    """Return where a shot is aimed, as seen from where it is played."""
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    bearing = atan2(pin[0] - shot.x, pin[1] - shot.y)
    east, north = shot.target[0] - pin[0], shot.target[1] - pin[1]
    right, beyond = east * cos(bearing) - north * sin(bearing), east * sin(bearing) + north * cos(bearing)
    if hypot(east, north) > _NEAR_PIN:
        return f"short, leaving {hypot(east, north) / scale:.0f} {unit}"
    parts = [
        f"{abs(off) / scale:.0f} {unit} {words[off > 0]}"
        for off, words in ((right, ("left", "right")), (beyond, ("short", "long")))
        if round(abs(off) / scale)
    ]
    return f"{', '.join(parts)} of the flag" if parts else "at the flag"


def other_flight(name: str) -> str:
    """Return what to add to a round's conditions where the drives flew by the older ball-flight formula."""
    return "" if name == "modern" else ", an older ball's flight"


def _in_hundred(key: str, change: float) -> str:
    return f"{abs(change) * 100:.0f} in 100 {'more' if change > 0 else 'fewer'} {_NOUNS[key]}"
