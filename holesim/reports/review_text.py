"""A round against its plan in a terminal, in a coach's words."""

from textwrap import wrap
from typing import Final

from holesim.plan import explain
from holesim.study.review import Count, Review, Score, StrokesGained

_WIDTH: Final = 100
_UNLIKELY: Final = 0.05
_NOTE: Final = (
    "One round tells little: a plan that is right is off by this much one round in twenty. Scores are proper "
    "ones, lower is better; they are held against what the plan would get on average if it were right. "
    "How one golfer differs from all whom the plan allows for is not counted: many drives seem off sooner."
)


def review_text(found: Review) -> str:
    """Return what was played against what was planned."""
    lines = [f"{found.course}, {found.player}: {len(found.drives)} drives against the plan", ""]
    if found.counts:
        lines += [f"{'':<22} {'planned':>8} {'surely':>9} {'played':>7}", *map(_count, found.counts), ""]
    if found.scores:
        lines += [f"{'':<38} {'got':>7} {'if right':>9}", *map(_score, found.scores)]
    for name, words in (("total", "distances"), ("side", "sides")):
        if name in found.even:
            lines.append(f"{words:<38} {_verdict(found.even[name], 'spread as planned')}")
    lines += ["", f"{'what the choices were worth':<58} strokes", *map(_gain, found.gains)]
    if found.times_to_tell is not None and found.times_to_tell > 1:
        lines.append(
            f"For scores to tell the strikes apart takes some {found.times_to_tell:,.0f} times as many."
        )
    lines += ["", *(f"! not counted: {where}" for where in found.unplanned), *wrap(_NOTE, _WIDTH)]
    return "\n".join([*lines, "", f"! {explain.CAUTIONS[0]}"])


def _count(count: Count) -> str:
    numbers = f"{count.expected:>8.1f} {f'{count.low} to {count.high}':>9} {count.observed:>7}"
    return f"{count.name:<22} {numbers}  {_verdict(count.chance, 'as likely as planned')}"


def _score(score: Score) -> str:
    return (
        f"{score.name:<38} {score.got:>7.3f} {score.expected:>9.3f}  {_verdict(score.chance, 'as planned')}"
    )


def _verdict(chance: float, fine: str) -> str:
    if chance >= _UNLIKELY:
        return fine
    return f"off: would happen {max(1000 * chance, 1):.0f} times in 1,000 if the plan were right"


def _gain(gain: StrokesGained) -> str:
    if not gain.holes:
        return f"{gain.name:<58} none"
    holes = f"{gain.holes} hole{'s' if gain.holes > 1 else ''}"
    unclear = ", may be nothing" if gain.low <= 0 <= gain.high else ""
    return f"{gain.name:<58} {gain.strokes:+.2f} ({gain.low:+.2f} to {gain.high:+.2f}) on {holes}{unclear}"
