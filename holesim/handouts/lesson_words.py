"""Words and numbers of a lesson: what a golfer does, what it costs on their course, what to do first."""

import re
from collections.abc import Iterator, Mapping, Sequence
from statistics import fmean
from typing import Final, NamedTuple

from holesim.common.text_format import distance, minus
from holesim.handouts.plan_words import FINISHES
from holesim.plan import explain
from holesim.plan.hole_wind import speed_text
from holesim.plan.plan_tables import DrivingFile, DrivingNumber, NumberFile, PlanFile, StrikeFile, TeeFile
from holesim.study.practice_file import ChangeFile, PracticeFile
from holesim.units import MPH, YARD

RULE_OF_THUMB_MPH: Final = 100.0
"""Club speed under which the rule of thumb is to hit up, and above it to choose by the hole, down on tight
holes (common practice, no source)."""
NO_PRACTICE: Final = "What practice would pay has not been worked out."
OFF: Final = "●"
"""Marks a number that is surely not what is wanted."""
NUMBERS_NOTE: Final = (
    "Your average swing, and the ball it hits in calm air; 9 times in 10 the true value lies between the "
    "two. Wanted is our assumption: your speed and attack as they are, the ball struck straight and at the "
    "usual point, but for too little to matter, and any loft that by this model carries within 1% of the "
    "farthest. "
    f"{OFF} surely not what is wanted; all else is fine as far as measured. "
    "No range: a number taken as known."
)
_KEY_HINT: Final = "; if not, set "  # begins what to write in a player file, which is no matter of a lesson


class NumberRow(NamedTuple):
    """A row of the table of numbers, for one strike: the golfer's, its interval, what is wanted."""

    mean: str
    interval: str
    wanted: str
    off: bool


class Measure(NamedTuple):
    """How a number is written: its name, decimals, unit, and words for more and less than nought."""

    words: str
    decimals: int
    unit: str = ""
    more: str = ""
    less: str = ""


MEASURES: Final[Mapping[DrivingNumber, Measure]] = {
    "club_speed_mph": Measure("club speed", 0, " mph"),
    "attack_deg": Measure("attack", 1, "°", "up", "down"),
    "path_deg": Measure("path to the aim", 1, "°", "right", "left"),
    "face_deg": Measure("face to the aim", 1, "°", "right", "left"),
    "face_to_path_deg": Measure("face to the path", 1, "°", "right", "left"),
    "dynamic_loft_deg": Measure("dynamic loft", 1, "°"),
    "toe_mm": Measure("struck to heel or toe", 0, " mm", "toe", "heel"),
    "high_mm": Measure("struck high or low", 0, " mm", "above", "below"),
    "ball_speed_mph": Measure("ball speed", 0, " mph"),
    "launch_angle_deg": Measure("launch angle", 1, "°"),
    "spin_rpm": Measure("spin", -1, " rpm"),
    "carry_yd": Measure("carry", 0, " yd"),
}
"""The numbers of a driver strike, in the order of the table."""
_METRIC: Final = {" mph": (MPH, " m/s", 1), " yd": (YARD, " m", 0)}


# --- numbers ----------------------------------------------------------------------------------------


def row_name(key: DrivingNumber, *, metric: bool) -> str:
    """Return what a row of the table is called, with its unit unless that is a degree."""
    unit = _unit(key, metric=metric).strip()
    return MEASURES[key].words if unit in ("", "°") else f"{MEASURES[key].words}, {unit}"


def number_row(key: DrivingNumber, number: NumberFile, *, metric: bool) -> NumberRow:
    """Return a number of a strike as a golfer reads it, beside what is wanted."""
    degree = MEASURES[key].unit if MEASURES[key].unit == "°" else ""
    return NumberRow(
        mean=_value(key, number.mean, degree, metric=metric),
        interval=_range(key, number.low, number.high, metric=metric),
        wanted=_wanted(key, number, degree, metric=metric),
        off=is_off(number),
    )


def is_off(number: NumberFile) -> bool:
    """Return whether a number is surely not what is wanted: its 90 % interval leaves that out."""
    if number.wanted_low is None:
        return False
    hair = 1e-9
    return number.high < number.wanted_low - hair or (
        number.wanted_high is not None and number.low > number.wanted_high + hair
    )


def _unit(key: DrivingNumber, *, metric: bool) -> str:
    unit = MEASURES[key].unit
    return _METRIC[unit][1] if metric and unit in _METRIC else unit


def _value(key: DrivingNumber, value: float, unit: str, *, metric: bool) -> str:
    """Return a value with a unit, and the side that it lies on."""
    measure = MEASURES[key]
    scale, _, decimals = _METRIC.get(measure.unit if metric else "", (1.0, "", measure.decimals))
    shown = round(value * scale, decimals)
    digits = max(decimals, 0) if shown else 0
    text = f"{abs(shown) if measure.more else shown:,.{digits}f}{unit}"
    side = "" if not measure.more or not shown else measure.more if shown > 0 else measure.less
    return minus(f"{text} {side}".strip())


def _with_unit(key: DrivingNumber, value: float, *, metric: bool) -> str:
    return _value(key, value, _unit(key, metric=metric), metric=metric)


def _range(key: DrivingNumber, low: float, high: float, *, metric: bool) -> str:
    """Return an interval, by the size of its ends where both lie on one side."""
    ends = sorted((low, high), key=abs) if low * high > 0 else (low, high)
    first, last = (_value(key, end, "", metric=metric) for end in ends)
    if first == last:
        return "no range"
    first_side, last_side = (text.partition(" ")[2] for text in (first, last))
    if first_side == last_side:
        first = first.partition(" ")[0]
    return f"{first} to {last}"


def _wanted(key: DrivingNumber, number: NumberFile, degree: str, *, metric: bool) -> str:
    low, high = number.wanted_low, number.wanted_high
    if low is None:
        return "as it is"
    least = _value(key, low, degree, metric=metric)
    if high is None:
        return f"from {least}"
    if low == -high:
        return f"within {high:g}{degree}"
    return least if low == high else _range(key, low, high, metric=metric)


_SHORT: Final = {"right": "R", "left": "L", "toe": "T", "heel": "H", "above": "A", "below": "B"}
SIDES_NOTE: Final = f"{', '.join(f'{short} {word}' for word, short in _SHORT.items())}."


def shorten_number(text: str) -> str:
    """Return a number or an interval with a letter for each side, for a narrow column.

    Examples
    --------
    >>> shorten_number("0.8 left to 1.0 right"), shorten_number("13.5 to 17.2")
    ('0.8 L to 1.0 R', '13.5\N{EN DASH}17.2')
    """
    text = " ".join(_SHORT.get(word, word) for word in text.split(" "))
    return re.sub(r"(?<=\d) to (?=\d)", "\N{EN DASH}", text)


# --- three sentences --------------------------------------------------------------------------------


def three_sentences(plan: PlanFile, practice: PracticeFile | None, *, metric: bool) -> list[str]:
    """Return what the golfer does, what it costs on their course, and what to do first."""
    return [
        minus(text)
        for text in (
            _what_you_do(plan, metric=metric),
            _what_it_costs(plan),
            _what_first(plan, practice, metric=metric),
        )
    ]


def main_strike(plan: PlanFile) -> DrivingFile:
    """Return the strike that a lesson speaks of first: the day's, the usual one, or the one chosen most."""
    chosen = [tee.chosen().strike for tee in driven_tees(plan) if tee.chosen().club == "driver"]
    day = plan.day.get(first_tee(plan))
    most = max(chosen, key=chosen.count) if chosen else plan.driving[0].strike
    name = day.strike if day is not None else plan.golfer.usual or most
    return next((s for s in plan.driving if s.strike == name), plan.driving[0])


def first_tee(plan: PlanFile) -> str:
    """Return the set of tees that a lesson speaks of: the first planned."""
    return plan.tees[0].tee


def driven_tees(plan: PlanFile) -> list[TeeFile]:
    """Return the par 4s and 5s, or all holes where there are none, from the first set of tees."""
    tees = [tee for tee in plan.tees if tee.tee == first_tee(plan)]
    return [tee for tee in tees if tee.par > 3] or tees


def landings_text(plan: PlanFile, *, metric: bool) -> str:
    """Return what the range picture shows: where nine in ten drives of each strike land, along and aside."""
    edges = [plan.probabilities.index(p) for p in (0.05, 0.95)]

    def said(strike: DrivingFile) -> str:
        near, far = (distance(strike.along_quantiles_yd[edge] * YARD, metric=metric) for edge in edges)
        left, right = (_side_text(strike.side_quantiles_yd[edge] * YARD, metric=metric) for edge in edges)
        return f"{strike.strike}, {near} to {far} away, and {left} to {right} of the aim"

    return f"Where drives land, nine in ten each way: {'; '.join(map(said, plan.driving))}."


def _side_text(right: float, *, metric: bool) -> str:
    return f"{distance(abs(right), metric=metric)} {'left' if right < 0 else 'right'}"


def _what_you_do(plan: PlanFile, *, metric: bool) -> str:
    strike = main_strike(plan)

    def said(key: DrivingNumber) -> str:
        return _with_unit(key, strike.numbers[key].mean, metric=metric)

    def to_the_aim(key: DrivingNumber) -> str:
        text = said(key)
        return f"{text} of the aim" if " " in text else "on the aim"

    line = f"with the face {to_the_aim('face_deg')} and the path {to_the_aim('path_deg')}"
    left, right = (strike.side_quantiles_yd[plan.probabilities.index(p)] * YARD for p in (0.05, 0.95))
    wide = f"nine drives in ten land in a strip {distance(right - left, metric=metric)} wide"
    swing, meet = ("swing", "meet") if plan.golfer.measured else ("are taken to swing", "to meet")
    return (
        f"What you do: you {swing} at {said('club_speed_mph')} and {meet} the ball {said('attack_deg')}, "
        f"{line}; that swing carries {said('carry_yd')}, and {wide}."
    )


def _what_it_costs(plan: PlanFile) -> str:
    name, tees = first_tee(plan), driven_tees(plan)
    chosen = [tee.chosen() for tee in tees]
    fairways, trouble = sum(s.safe for s in chosen), sum(s.trouble for s in chosen)
    holes = sum(tee.tee == name for tee in plan.tees)
    played = "1 hole" if holes == 1 else f"{holes} holes"
    where = " on par 4s and 5s" if tees[0].par > 3 else ""
    shots = "1 tee shot" if len(tees) == 1 else f"{len(tees)} tee shots"
    return (
        f"What it costs: {plan.totals[name]['this plan']:.1f} strokes on average over {played} by this plan; "
        f"of {shots}{where} {fairways:.1f} finish on the fairway or green, {trouble:.1f} in a "
        f"penalty area or out of bounds ({plan.course}, {name} tees)."
    )


def _what_first(plan: PlanFile, practice: PracticeFile | None, *, metric: bool) -> str:
    head = "What to do first"
    if practice is not None:
        best = practice.best_first()[0]
        if best.low > 0:
            return f"{head}: {best.name}, which saves {_saving(best)}, mostly by {_mostly(best)}."
        return f"{head}: play by this plan; no change of the swing that was weighed surely pays."
    numbers = main_strike(plan).numbers
    off = [
        f"{measure.words} ({_with_unit(key, numbers[key].mean, metric=metric)})"
        for key, measure in MEASURES.items()
        if is_off(numbers[key])
    ]
    swing = f", and mend what is marked below: {', '.join(off[:3])}" if off else ""
    return f"{head}: {_play_text(plan)}{swing}."


def _play_text(plan: PlanFile) -> str:
    """Return what to hit, as something to do."""
    day = plan.day.get(first_tee(plan))
    names = {tee.chosen().strike for tee in driven_tees(plan) if tee.chosen().club == "driver"}
    if day is not None or len(names) == 1:
        return f"hit {day.strike if day is not None else names.pop()} whenever you hit the driver"
    return "hit up or down by the hole, as below"


def _saving(change: ChangeFile) -> str:
    return f"{change.saved:.2f} strokes a round ({change.low:.2f} to {change.high:.2f}, 19 times in 20)"


def _mostly(change: ChangeFile) -> str:
    parts = {
        "fewer penalties": change.penalties,
        "more fairways": change.fairways,
        "a shorter next shot": change.distance,
    }
    return max(parts, key=lambda name: parts[name])


# --- the day's strike, and the rule of thumb --------------------------------------------------------


def day_texts(plan: PlanFile, *, metric: bool) -> Iterator[str]:
    """Yield which strike to hit when, and why that overrules the rule of thumb where it does."""
    tees, day = driven_tees(plan), plan.day.get(first_tee(plan))
    if day is not None:
        yield day.text
        if len(plan.driving) > 1:
            yield f"you keep to one strike; choosing by the hole would save {_by_hole_text(plan)}"
    elif len(plan.driving) > 1:
        yield "; ".join(_hit_on(tees))
    if len(plan.driving) < 2:
        yield f"{plan.driving[0].strike} is the only strike known of you, so there is none to choose"
        return
    yield from _rule_texts(plan, tees, metric=metric)


def _by_hole_text(plan: PlanFile) -> str:
    """Return what choosing the strike by the hole would save one who keeps to one strike."""
    best = plan.over_plan[first_tee(plan)]["best by hole"]
    saved = round(-best.strokes, 2)
    return f"{saved:.2f} strokes a round ({-best.high:.2f} to {-best.low:.2f})" if saved else "nothing here"


def _hit_on(tees: Sequence[TeeFile]) -> Iterator[str]:
    """Yield for each club or strike on which par 4s and 5s to hit it."""
    labels = [tee.chosen().label for tee in tees]
    for label in sorted(set(labels), key=lambda label: -labels.count(label)):
        on = [str(tee.hole) for tee in tees if tee.chosen().label == label]
        if len(on) == len(tees):
            yield f"{label} on every par 4 and 5"
        else:
            yield f"{label} on {'hole' if len(on) == 1 else 'holes'} {', '.join(on)}"


def _rule_texts(plan: PlanFile, tees: Sequence[TeeFile], *, metric: bool) -> Iterator[str]:
    """Yield the rule of thumb for the golfer's speed, and what speaks against it where the plan does."""
    mph = plan.golfer.club_speed_mph
    limit = speed_text(RULE_OF_THUMB_MPH * MPH, metric=metric)
    by_strike: dict[str, list[TeeFile]] = {}
    for tee in tees:
        if tee.chosen().club == "driver":
            by_strike.setdefault(tee.chosen().strike, []).append(tee)
    source = "a rule of thumb, common practice, no source"
    if mph < RULE_OF_THUMB_MPH:
        against = [tee for name, on in by_strike.items() if name != "up" for tee in on]
        rule = f"under about {limit} of club speed hit up ({source})"
        other, own = "up", f"this plan hits {' or '.join(n for n in by_strike if n != 'up')}"
    else:
        against = by_strike.get("up", []) if set(by_strike) == {"up"} else []
        rule = f"above about {limit} of club speed choose by the hole, down on tight holes ({source})"
        other, own = "down", "this plan hits up on them all"
    if not against:
        yield f"{rule}: this plan agrees"
        return
    where = "" if len(against) == len(tees) else f" on {', '.join(str(tee.hole) for tee in against)}"
    yield f"{rule}; but {own}{where}, because {_why_text(against, other, metric=metric)}"


def _why_text(tees: Sequence[TeeFile], other: str, *, metric: bool) -> str:
    """Return what speaks for the choice on some tees against another driver strike, on average."""
    pairs = [(tee.chosen(), _driver(tee, other)) for tee in tees]
    known = [(own, rival) for own, rival in pairs if rival is not None]
    if not known:
        return f"{other} was not among the strikes compared"
    shares, others = (
        {name: fmean(getattr(pair[k], name) for pair in known) for name in FINISHES} for k in (0, 1)
    )
    longer = fmean(own.total_yd - rival.total_yd for own, rival in known) * YARD
    why = explain.compare_strikes(other, longer=longer, shares=shares, other_shares=others, metric=metric)
    more = sum(rival.strokes - own.strokes for own, rival in known)
    return f"there {known[0][0].label} is {why}, which saves {more:.2f} strokes a round"


def _driver(tee: TeeFile, name: str) -> StrikeFile | None:
    return next((s for s in tee.strikes if (s.club, s.strike) == ("driver", name)), None)


# --- the round, practice, what is assumed -----------------------------------------------------------


class PolicyRow(NamedTuple):
    """A way to play a round: its strokes, how many more than this plan's, and what it is."""

    strokes: str
    over: str
    words: str


def policy_rows(plan: PlanFile, tee: str) -> list[PolicyRow]:
    """Return the ways to play a round from some tees, the fewest strokes first; equal ones are one row."""
    totals, over, day = plan.totals[tee], plan.over_plan[tee], plan.day.get(tee)
    rows = []
    for policy in sorted(totals, key=lambda name: (round(totals[name], 2), name != "this plan")):
        kept = policy == "this plan"
        rows.append(
            PolicyRow(
                f"{totals[policy]:.2f}", "" if kept else over[policy].text(), _policy_words(policy, plan)
            )
        )
    if day is None and len(rows) > 1:
        best = next((row for row in rows if row.words.startswith("the best")), None)
        mine = next(row for row in rows if row.words.startswith("this plan"))
        if best is not None and best.strokes == mine.strokes:
            rows.remove(best)
    return rows


def _policy_words(policy: str, plan: PlanFile) -> str:
    day = plan.day.get(first_tee(plan))
    if policy == "best by hole":
        return "the best strike or club on each hole"
    if policy != "this plan":
        return f"{policy}, on par 4s and 5s"
    if day is not None:
        return f"this plan, with your habit: {day.strike} all day, another club where that is better"
    return "this plan: by the hole, your usual strike where it costs next to nothing"


class ChangeRow(NamedTuple):
    """A change of the driving: what it saves a round with its 95 % interval, and how sure that is."""

    name: str
    saved: str
    sure: str


def practice_rows(practice: PracticeFile) -> list[ChangeRow]:
    """Return a row for each change, those that surely pay first."""
    return [
        ChangeRow(
            change.name,
            minus(f"{change.saved:+.2f} ({change.low:.2f} to {change.high:.2f})"),
            "surely pays" if change.low > 0 else "surely costs" if change.high < 0 else "not sure",
        )
        for change in practice.best_first()
    ]


def assumed_text(plan: PlanFile) -> str:
    """Return what is assumed of the golfer, without what is to be written in a file."""
    return minus("; ".join(text.partition(_KEY_HINT)[0] for text in plan.assumed))
