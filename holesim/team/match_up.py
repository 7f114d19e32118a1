"""One side's match against another, and what to do in it when."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team.match import HALF, Match, find_policy, hole_chances, play_match, play_options
from holesim.team.side_options import Side, SideOption
from holesim.team.strike_scores import SELECTION_SETS, mean_chances

Floats = NDArray[np.float64]

_WORTH: Final = 0.001  # points of the match that another strike must gain on a hole
_WORTH_HOLE: Final = 0.01  # points of the hole that another must gain once their drive is in trouble
_SELDOM: Final = 0.005  # share of drives in trouble, below which nothing is said of them


@dataclass(frozen=True)
class MatchUp:
    """A side against another that keeps to one option on each hole; both net of the strokes they receive."""

    mine: Side
    theirs: Side

    @cached_property
    def by_state(self) -> Match:
        """The match with strikes chosen by its state; on each hole those chosen while even, if as good."""
        mine, theirs = (
            [mean_chances(chances, SELECTION_SETS) for chances in side]
            for side in (self._my_chances, self._their_chances)
        )
        policy = find_policy(mine, theirs, self.mine.own_best, worth=_WORTH)
        even = policy[:, len(mine)].tolist()
        return self._play(find_policy(mine, theirs, even, worth=_WORTH))

    @cached_property
    def own_best(self) -> Match:
        """The match with everyone's own best strikes."""
        return self.by(self.mine.own_best)

    def by(self, options: Sequence[int]) -> Match:
        """Return the match with one option on each hole, whatever its state."""
        return play_options(options, self.mine.chances_by(options), self._their_chances)

    def _play(self, policy: NDArray[np.int64]) -> Match:
        return play_match(policy, self._my_chances, self._their_chances)

    @property
    def _my_chances(self) -> list[Floats]:
        return self.mine.chances

    @property
    def _their_chances(self) -> Floats:
        return self.theirs.by_own_best

    def other_options(self, hole: int, usual: int) -> Iterator[tuple[SideOption, tuple[int, ...]]]:
        """Yield what to do on a hole, counted from nought, instead of a usual option, and how many up."""
        by_option: dict[int, list[int]] = {}
        reached = self.reached(hole)
        for up in range(-reached, reached + 1):
            by_option.setdefault(self.by_state.option(hole, up), []).append(up)
        for option, ups in by_option.items():
            if option != usual:
                yield self.mine.holes[hole][option], tuple(ups)

    def reached(self, hole: int) -> int:
        """Return how many holes up a side may be on a hole, counted from nought, of an undecided match."""
        return min(hole, len(self.mine.holes) - hole)

    def option_after_trouble(self, hole: int, usual: int) -> SideOption:
        """Return what to do on a hole, counted from nought, once their drive is in trouble."""
        options, in_trouble = self.mine.holes[hole], self.theirs.holes[hole][0].in_trouble
        theirs = np.zeros(0) if in_trouble is None else mean_chances(in_trouble, SELECTION_SETS)
        if theirs.sum() < _SELDOM:
            return options[usual]
        mine = np.stack([mean_chances(option.chances, SELECTION_SETS) for option in options])
        won, halved, _ = hole_chances(mine, theirs / theirs.sum())
        points = won + HALF * halved
        best = int(points.argmax())
        return options[best if points[best] - points[usual] >= _WORTH_HOLE else usual]
