"""A round compared with its plan, in a terminal and in a coach's words."""

from textwrap import wrap
from typing import Final

from holesim.plan import explain
from holesim.study.forecasts import EventCount, ForecastScore
from holesim.study.review import Review, StrokesDifference

_WIDTH: Final = 100
_UNLIKELY: Final = 0.05
_NOTE: Final = (
    "One round tells little: of rounds with a plan that is right, one in twenty looks this far off. "
    "Scores are proper ones, lower is better; beside each stands what a plan that is right would get on "
    "average. "
    "The plan allows for every golfer who may be you. You are one of them, so over many drives even a right "
    "plan will look somewhat off."
)


def review_text(found: Review) -> str:
    """Return how a round compares with its plan, and what its choices were worth."""
    lines = [f"{found.course}, {found.player}: {len(found.played.drives)} drives compared with the plan", ""]
    if found.counts:
        head = f"{'':<22} {'planned':>8} {'19 in 20':>9} {'played':>7}"
        lines += [head, *map(_count_row, found.counts), ""]
    if found.scores:
        lines += [f"{'':<38} {'score':>7} {'if right':>9}", *map(_score_row, found.scores)]
    for name, words in (("total", "distances"), ("side", "sides")):
        if name in found.evenness:
            lines.append(f"{words:<38} {_verdict(found.evenness[name], 'spread as planned')}")
    lines += ["", f"{'what the choices were worth':<58} strokes", *map(_difference_row, found.differences)]
    if found.times_to_tell is not None and found.times_to_tell > 1:
        times = f"{found.times_to_tell:,.0f}"
        lines.append(f"It would take about {times} times as many holes for scores to tell the strikes apart.")
    lines += ["", *(f"! not counted: {drive}" for drive in found.played.unplanned), *wrap(_NOTE, _WIDTH)]
    return "\n".join([*lines, "", f"! {explain.CAUTIONS[0]}"])


def _count_row(count: EventCount) -> str:
    numbers = f"{count.expected:>8.1f} {f'{count.low} to {count.high}':>9} {count.observed:>7}"
    return f"{count.name:<22} {numbers}  {_verdict(count.chance, 'as planned')}"


def _score_row(score: ForecastScore) -> str:
    numbers = f"{score.got:>7.3f} {score.expected:>9.3f}"
    return f"{score.name:<38} {numbers}  {_verdict(score.chance, 'as planned')}"


def _verdict(chance: float, fine: str) -> str:
    """Return whether something went as planned."""
    if chance >= _UNLIKELY:
        return fine
    return f"off: would happen {max(1000 * chance, 1):.0f} times in 1,000 if the plan were right"


def _difference_row(difference: StrokesDifference) -> str:
    if not difference.holes:
        return f"{difference.name:<58} none"
    holes = f"{difference.holes} hole{'s' if difference.holes > 1 else ''}"
    span = f"{difference.low:+.2f} to {difference.high:+.2f}"
    unclear = ", may be nothing" if difference.low <= 0 <= difference.high else ""
    return f"{difference.name:<58} {difference.strokes:+.2f} ({span}) on {holes}{unclear}"
