"""Contests: one side's match against another, and what to do in it when."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team import match
from holesim.team.side_options import Option, Side
from holesim.team.strike_scores import CHOOSING, pooled

Floats = NDArray[np.float64]

_WORTH: Final = 0.001  # points of the match that another strike must gain on a hole to be written down
_WORTH_HOLE: Final = 0.01  # points of a hole that another must gain where their drive is in trouble
_SELDOM: Final = 0.005  # share of drives in trouble, below which nothing is said of them


@dataclass(frozen=True)
class MatchUp:
    """A side against another, which plays everyone's own best, and the strokes that either receives."""

    mine: Side
    theirs: Side
    received: tuple[int, ...]
    theirs_receive: tuple[int, ...]

    @cached_property
    def best(self) -> match.Match:
        """The match by the policy that is worth most; what is best while even stays unless it matters."""
        mine, theirs = ([pooled(c, CHOOSING) for c in side] for side in (self.mine.chances, self._theirs))
        own, holes = [0] * len(mine), range(len(mine))
        policy = match.best_policy(mine, theirs, own, worth=_WORTH)
        even = [int(policy[hole, len(mine)]) for hole in holes]
        return self._played(match.best_policy(mine, theirs, even, worth=_WORTH))

    @cached_property
    def plain(self) -> match.Match:
        """The match by everyone's own best."""
        return self._played(np.zeros_like(self.best.policy))

    def _played(self, policy: NDArray[np.int64]) -> match.Match:
        return match.play(policy, self.mine.chances, self._theirs)

    @property
    def _theirs(self) -> list[Floats]:
        """The chance of each score on each hole by their own best."""
        return self.theirs.picked([0] * len(self.theirs.holes))

    def option(self, hole: int, *, by_state: bool) -> int:
        """Return the option on a hole, counted from nought, while the match is even."""
        return self.best.option(hole, 0) if by_state else 0

    def by_state(self, hole: int, usual: int) -> Iterator[tuple[Option, str]]:
        """Yield what to do on a hole, counted from nought, instead of a usual option, and when."""
        options, holes = self.mine.holes[hole], len(self.mine.holes)
        reached = min(hole, holes - hole)
        by_option: dict[int, list[int]] = {}
        for up in range(-reached, reached + 1):
            by_option.setdefault(self.best.option(hole, up), []).append(up)
        for option, ups in by_option.items():
            if option != usual:
                yield options[option], _standing(ups, reached)

    def in_trouble(self, hole: int, usual: int) -> Option:
        """Return what to do on a hole, counted from nought, once their drive is in trouble."""
        options, trouble = self.mine.holes[hole], self.theirs.holes[hole][0].trouble
        theirs = np.zeros(0) if trouble is None else pooled(trouble, CHOOSING)
        if theirs.sum() < _SELDOM:
            return options[usual]
        mine = np.stack([pooled(option.chances, CHOOSING) for option in options])
        won, halved, _ = match.hole_odds(mine, theirs / theirs.sum())
        points = won + match.HALF * halved
        best = int(points.argmax())
        return options[best if points[best] - points[usual] >= _WORTH_HOLE else usual]


def _standing(ups: Sequence[int], reached: int) -> str:
    """Return at which standings of a match, of those that can be reached, in words."""
    if len(ups) == 2 * reached + 1:
        return "whatever the standing"
    return f"when {' or '.join(_run_text(run, reached) for run in runs(ups))}"


def runs(numbers: Sequence[int]) -> list[list[int]]:
    """Return rising numbers as runs of those that follow one another."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return found


def _run_text(run: Sequence[int], reached: int) -> str:
    low, high = run[0], run[-1]
    if low == high:
        return _up(low)
    if low == -reached and high < 0:
        return f"{_up(high)} or worse"
    if high == reached and low > 0:
        return f"{_up(low)} or better"
    if high < 0:
        return f"{-high} to {_up(low)}"
    return f"{low} to {_up(high)}" if low > 0 else f"{_up(low)} to {_up(high)}"


def _up(up: int) -> str:
    return "even" if up == 0 else f"{up} up" if up > 0 else f"{-up} down"
