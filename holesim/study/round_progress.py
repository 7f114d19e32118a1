"""What changed between rounds: review.json files as sessions, by where drives finished."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt
from pathlib import Path
from typing import Annotated, Final

from pydantic import ConfigDict, Field
from scipy.stats import t as student_t

from holesim.common.toml_tables import Table
from holesim.errors import InputError, printable
from holesim.measure.drives_table import Session
from holesim.player.player_file import IsoDate
from holesim.study.found_file import read_found
from holesim.study.progress import NumberChange, Progress, check_golfer, find_change
from holesim.study.session_golfers import Number
from holesim.units import YARD

LARGEST: Final = 50_000_000  # bytes
_TAIL: Final = 0.025  # on either side of the intervals of a review

NUMBERS: Final = (
    Number("direction_yd", YARD, "direction"),
    Number("length_yd", YARD, "length"),
    Number("direction_spread_pct", 0.01, "direction", spread=True),
    Number("length_spread_pct", 0.01, "length", spread=True),
)
"""What is compared: how far right of the plan's drives, or longer, drives finished on average, and how widely
they scattered over how widely the plan's do."""


class _Part(Table):
    """A part of a review file; keys that nobody reads here are passed over."""

    model_config = ConfigDict(extra="ignore", frozen=True, allow_inf_nan=False)


class _Interval(_Part):
    value: float
    low: float
    high: float


class _Bias(_Part):
    drives: Annotated[int, Field(ge=2)]
    yd: _Interval


class _Spread(_Part):
    drives: Annotated[int, Field(ge=2)]
    over_planned: _Interval


class ReviewFile(_Part):
    """The parts of review.json that rounds are compared by."""

    player: str
    day: Annotated[IsoDate | None, Field(alias="date")] = None
    bias: dict[str, _Bias]
    spread: dict[str, _Spread]


@dataclass(frozen=True)
class ReviewedRound:
    """A round as its review has it."""

    session: Session
    review: ReviewFile

    def knows(self, number: Number) -> bool:
        """Return whether the round had enough drives to tell a number."""
        return number.axis in (self.review.spread if number.spread else self.review.bias)

    def value_of(self, number: Number) -> tuple[float, float]:
        """Return a number and its standard error, in SI."""
        if number.spread:
            spread = self.review.spread[number.axis]
            return spread.over_planned.value, spread.over_planned.value / sqrt(2 * (spread.drives - 1))
        bias = self.review.bias[number.axis]
        halves = 2 * float(student_t.ppf(1 - _TAIL, bias.drives - 1))
        return bias.yd.value * YARD, (bias.yd.high - bias.yd.low) / halves * YARD

    def width_of(self, number: Number) -> float:
        """Return how widely the drives scattered, or of a spread the spread itself."""
        value, se = self.value_of(number)
        return value if number.spread else se * sqrt(self.review.bias[number.axis].drives)


def load_round(path: str | Path) -> ReviewedRound:
    """Read a review file (review.json).

    Raises
    ------
    InputError
        If it cannot be read, or says nothing of direction or length.
    """
    found = read_found(
        path, ReviewFile, "review", keys={"bias", "spread"}, largest=LARGEST,
        other=("is no review file (JSON)", "give the review.json of holesim review"),
    )  # fmt: skip
    day = None if found.day is None else date.fromisoformat(found.day)
    return ReviewedRound(Session(found.day or printable(Path(path).name), day), found)


def compare_rounds(rounds: Sequence[ReviewedRound]) -> Progress:
    """Say what changed from the first round to the last, by where drives finished.

    Parameters
    ----------
    rounds
        In their order. A bias is counted from where the plan of its round had the drives.

    Raises
    ------
    InputError
        If there is but one, they are of several golfers, or tell no number in common.
    """
    first, last = rounds[0], rounds[-1]
    if len(rounds) < 2:
        raise InputError(first.session.name, "", "is one round alone", "give the reviews of two")
    check_golfer((one.session.name, one.review.player) for one in rounds)
    told = [number for number in NUMBERS if all(one.knows(number) for one in rounds)]
    if not told:
        problem = f"and {first.session.name} do not both have five drives by direction or length"
        raise InputError(last.session.name, "", problem, "note where drives finished, and review again")
    return Progress(
        golfer=last.review.player,
        strikes=(),
        before=(),
        sessions=tuple(one.session for one in rounds),
        drives=tuple(max(bias.drives for bias in one.review.bias.values()) for one in rounds),
        changes=tuple(_compare(rounds, number) for number in told),
        untold=tuple(number for number in NUMBERS if number not in told),
    )


def _compare(rounds: Sequence[ReviewedRound], number: Number) -> NumberChange:
    values, errors = zip(*(one.value_of(number) for one in rounds), strict=True)
    width = (rounds[0].width_of(number) + rounds[-1].width_of(number)) / 2
    return find_change(number, values, errors, width)
