"""How a choice is told: what is chosen, what it is compared with, and what it gains."""

from dataclasses import dataclass, replace
from typing import Any, Final

from holesim.common.text_format import minus
from holesim.team.benefit import CLOSE, Benefit, Choice

_DIGITS: Final = {"strokes": 2, "points": 3}
_GAINS: Final = {"strokes": "save", "points": "gain"}


@dataclass(frozen=True)
class _ChoiceWords:
    """How a choice is told: what is chosen, what it is compared with, and that this stays."""

    chosen: str
    plain: str
    stays: str
    others: str


CHOICES: Final[dict[Choice, _ChoiceWords]] = {
    "players": _ChoiceWords(
        "these players",
        "the lowest handicaps",
        "the lowest handicaps play",
        "the best other players",
    ),
    "pairs": _ChoiceWords(
        "these pairs",
        "pairs in handicap order, the two lowest together",
        "the pairs are in handicap order, the two lowest together",
        "the best other pairs",
    ),
    "drivers": _ChoiceWords(
        "these drivers at odd and even holes",
        "the lower handicap of each pair at odd holes",
        "the lower handicap of each pair drives at odd holes",
        "the best other choice of drivers",
    ),
    "strikes": _ChoiceWords(
        "these strikes",
        "everyone's own best strikes",
        "everyone hits their own best strikes",
        "the best other strikes",
    ),
    "order": _ChoiceWords(
        "sides in this order",
        "handicap order, the lowest first",
        "the sides are in handicap order, the lowest first",
        "the best other order",
    ),
    "match strikes": _ChoiceWords(
        "strikes chosen for the match",
        "everyone's own best strikes",
        "everyone hits their own best strikes",
        "strikes chosen for the match",
    ),
    "points": _ChoiceWords(
        "these pairs",
        "the pairs of fewest strokes",
        "these pairs need the fewest strokes, too",
        "pairs of fewest strokes",
    ),
}


def benefit_text(benefit: Benefit) -> str:
    """Return what a choice gains, or that the plain alternative stays."""
    words, gain = CHOICES[benefit.choice], f"{_GAINS[benefit.unit]} {amount_text(benefit)}"
    if _changes_nothing(benefit):
        return words.stays
    interval = f"({interval_text(benefit)}; {benefit.sure})"
    if benefit.choice == "points":
        if benefit.value < 0:
            other = replace(benefit, low=-benefit.high, high=-benefit.low, chance=1 - benefit.chance)
            amount = amount_text(replace(benefit, value=-benefit.value))
            return f"{words.others} would win {amount} more ({interval_text(other)}; {other.sure})"
        return f"{words.others} would win {amount_text(benefit)} less {interval}"
    if benefit.matters:
        return f"{words.chosen} {gain} compared with {words.plain} {interval}"
    least = f"less than the {CLOSE[benefit.unit]:g} that matter"
    return f"{words.stays}: {words.others} would {gain} ({interval_text(benefit)}), {least}"


def amount_text(benefit: Benefit) -> str:
    """Return what a choice gains, with its unit."""
    return minus(f"{benefit.value:.{_DIGITS[benefit.unit]}f} {benefit.unit}")


def _bounds(benefit: Benefit) -> tuple[float, float]:
    # Adding nought drops the sign of a rounded minus nought.
    digits = _DIGITS[benefit.unit]
    return round(benefit.low, digits) + 0.0, round(benefit.high, digits) + 0.0


def interval_text(benefit: Benefit) -> str:
    """Return the 95 % interval of what a choice gains."""
    low, high = _bounds(benefit)
    digits = _DIGITS[benefit.unit]
    return minus(f"{low:.{digits}f} to {high:.{digits}f}")


def _changes_nothing(benefit: Benefit) -> bool:
    return _bounds(benefit) == (0, 0)


def comparison_text(choice: Choice) -> str:
    """Return what a choice is, and what it is compared with."""
    words = CHOICES[choice]
    return f"{words.chosen} compared with {words.plain}"


def benefit_dict(benefit: Benefit) -> dict[str, Any]:
    """Return what a choice gains, for a JSON file."""
    return {
        "what": comparison_text(benefit.choice),
        benefit.unit: benefit.value,
        "low": benefit.low,
        "high": benefit.high,
        "chance": benefit.chance,
        "matters": benefit.matters,
    }
