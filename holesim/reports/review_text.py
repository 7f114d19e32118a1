"""A round compared with its plan, in a terminal and in a coach's words."""

from collections.abc import Mapping
from textwrap import wrap
from typing import Final, NamedTuple

from holesim.common.text_format import minus, sentence
from holesim.plan import explain
from holesim.study.forecasts import EventCount
from holesim.study.lesson import NAMES, Interval, Lesson, Measure
from holesim.study.review import Review
from holesim.study.round_strokes import SAVED, SCORED, STRAYED, Luck, StrokesDifference
from holesim.units import YARD

_WIDTH: Final = 100
_UNLIKELY: Final = 0.05
_FEW: Final = 3.0  # yd: a bias is practised that is surely more, our assumption
NOTE: Final = (
    "The truth lies between the numbers in brackets 19 times in 20, by this round alone. Even if the plan is "
    "right, one row in twenty looks off. Right and left count from where the plan had the drives, with wind "
    "and curve."
)

NOT_LEARNT: Final = "too few drives with the driver have a side"
"""Why a golfer's file does not learn from a round."""


class _Words(NamedTuple):
    """What a bias and a spread are called: beyond zero, below it, and as planned, more and less than that."""

    beyond: str
    below: str
    of_plan: str
    planned: str
    more: str
    less: str


_WORDS: Final[dict[Measure, _Words]] = {
    "side": _Words(
        beyond="right",
        below="left",
        of_plan="of where you aimed",
        planned="as wide as planned",
        more="wider than planned",
        less="narrower than planned",
    ),
    "total": _Words(
        beyond="longer",
        below="shorter",
        of_plan="than planned",
        planned="as even as planned",
        more="less even than planned",
        less="more even than planned",
    ),
}


def review_text(found: Review, *, metric: bool = False) -> str:
    """Return what a round teaches, whether it was lucky, and what its choices were worth."""
    lines = [review_title(found), ""]
    for text in review_sentences(found, metric=metric):
        lines += wrap(text, _WIDTH, subsequent_indent="  ")
    if found.counts:
        head = f"{'where drives finished':<22} {'planned':>8} {'19 in 20':>9} {'played':>7}"
        lines += ["", head, *map(_count_row, found.counts)]
    lines += ["", *(f"! not counted: {drive}" for drive in found.played.unplanned), *wrap(NOTE, _WIDTH)]
    return "\n".join([*lines, "", f"! {explain.CAUTIONS[0]}"])


def review_sentences(found: Review, *, metric: bool = False) -> list[str]:
    """Return what a round teaches, whether it was lucky, and what its choices were worth, each by itself."""
    return [
        *(lesson_text(found.lessons, measure, metric=metric) for measure in NAMES),
        practice_text(found.lessons, metric=metric),
        *([] if found.luck is None else [luck_text(found.luck)]),
        choice_text(found),
    ]


def review_title(found: Review) -> str:
    """Return who played what, and when."""
    day = "" if found.played.played_on is None else f", {found.played.played_on.isoformat()}"
    drives = len(found.played.drives)
    return f"{found.course}, {found.player}{day}: {drives} drive{'s' * (drives > 1)} compared with the plan"


# --- the lesson -----------------------------------------------------------------------------------


def lesson_text(lessons: Mapping[Measure, Lesson | None], measure: Measure, *, metric: bool = False) -> str:
    """Return bias and spread by direction or length as a sentence."""
    lesson, label = lessons[measure], NAMES[measure].capitalize()
    if lesson is None:
        return f"{label}: too few drives with the driver to tell."
    bias, spread = bias_text(lesson.bias, measure, metric=metric), spread_text(lesson.spread, measure)
    return f"{label} ({lesson.drives} drives with the driver): {bias}; {spread}."


def bias_text(bias: Interval, measure: Measure, *, metric: bool = False) -> str:
    """Return a bias with its interval in words."""
    words, scale = _WORDS[measure], YARD if metric else 1.0
    value, low, high = (round(x * scale) for x in (bias.value, bias.low, bias.high))

    def way(number: int) -> str:
        return words.beyond if number > 0 else words.below

    said = f"{_far(value, metric=metric)} {way(value)} {words.of_plan} on average"
    if 0 in bias:
        return f"{said} ({abs(low)} {words.below} to {abs(high)} {words.beyond}), which may be nothing"
    least, most = sorted((abs(low), abs(high)))
    return f"{said} ({least} to {most})"


def _far(value: int, *, metric: bool) -> str:
    return f"{abs(value)} {'metre' if metric else 'yard'}{'' if abs(value) == 1 else 's'}"


def spread_text(spread: Interval, measure: Measure) -> str:
    """Return a spread with its interval in words."""
    words, span = _WORDS[measure], f"{spread.low:.1f} to {spread.high:.1f} times"
    if 1 in spread:
        return f"{words.planned} ({span})"
    return f"{words.more if spread.value > 1 else words.less}: {spread.value:.1f} times the spread ({span})"


def practice_text(lessons: Mapping[Measure, Lesson | None], *, metric: bool = False) -> str:
    """Return what to practise first: direction where the bias is surely some yards, else the spread."""
    side, total, first = lessons["side"], lessons["total"], "What to practise first: "
    if side is not None and min(abs(side.bias.low), abs(side.bias.high)) > _FEW and 0 not in side.bias:
        far = _far(round(side.bias.value * (YARD if metric else 1.0)), metric=metric)
        way = "left" if side.bias.value > 0 else "right"
        return f"{first}direction. Bring the middle of the drives {far} {way}."
    if side is not None and side.spread.low > 1:
        return f"{first}a face and path that vary less. The middle of the drives is not surely off."
    if total is not None and total.spread.low > 1:
        return f"{first}an even strike. Direction is as planned, length varies more."
    if side is None:
        return f"{first}too few drives to tell."
    return f"{first}nothing that these drives show."


# --- strokes --------------------------------------------------------------------------------------


def luck_text(luck: Luck) -> str:
    """Return whether a score was lucky, given where the drives finished."""
    holes = f"{luck.holes} hole{'s' if luck.holes > 1 else ''}"
    verdict = "neither lucky nor unlucky"
    if luck.score < luck.low:
        verdict = "lucky, or better than planned after the drive"
    elif luck.score > luck.high:
        verdict = "unlucky, or worse than planned after the drive"
    drives = luck.expected - luck.planned
    worth = f"{'cost' if drives >= 0 else 'saved'} {abs(drives):.1f} strokes"
    return (
        f"Lucky or not: {verdict}. You took {luck.score:.0f} strokes on {holes}; {luck.expected:.1f} were "
        f"expected from where the drives finished ({luck.low:.0f} to {luck.high:.0f}). The drives {worth} "
        "compared with planned ones."
    )


def choice_text(found: Review) -> str:
    """Return how many strikes were those planned, what others cost, and what the plan's save."""
    drives = found.played.drives
    planned = sum(drive.strike is drive.tee.chosen() for drive in drives)
    said = [f"Right choice or not: {planned} of {len(drives)} strikes were those planned."]
    names = {
        STRAYED: "The others were expected to cost",
        SAVED: "The planned strikes were expected to save, compared with the next best,",
    }
    for difference in found.differences:
        if difference.holes and not difference.name.startswith(SCORED):
            words = names.get(difference.name, f"{sentence(difference.name).removesuffix('.')}")
            said.append(f"{words} {_strokes_text(difference)}.")
    if found.times_to_tell is not None and found.times_to_tell > 1:
        times = f"{found.times_to_tell:,.0f}"
        said.append(f"It would take about {times} times as many holes for scores to tell the strikes apart.")
    return " ".join(said)


def _strokes_text(difference: StrokesDifference) -> str:
    holes = f"{difference.holes} hole{'s' if difference.holes > 1 else ''}"
    span = minus(f"{difference.low:.2f} to {difference.high:.2f}")
    unclear = ", which may be nothing" if difference.low <= 0 <= difference.high else ""
    return f"{minus(f'{difference.strokes:.2f}')} strokes ({span}) on {holes}{unclear}"


# --- tables ---------------------------------------------------------------------------------------


def _count_row(count: EventCount) -> str:
    numbers = f"{count.expected:>8.1f} {f'{count.low} to {count.high}':>9} {count.observed:>7}"
    return f"{count.name:<22} {numbers}  {verdict(count.chance)}"


def verdict(chance: float) -> str:
    """Return whether something went as planned."""
    if chance >= _UNLIKELY:
        return "as planned"
    return f"off: would happen {max(1000 * chance, 1):.0f} times in 1,000 if the plan were right"
