"""Sides: what a player, or a pair, may do on each hole, and the chance of each score by it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import CLOSE
from holesim.team.strike_scores import CHOOSING, SCORES, StrikeScores, mean, pooled

Floats = NDArray[np.float64]

_WORTH: Final = CLOSE["strokes"]  # that another option must save on a hole to be written down for it
_EQUAL: Final = 1e-9


@dataclass(frozen=True)
class Option:
    """What a side may do on a hole: each player's strike, and the chance of each score in each world.

    `trouble` is the part of the chances that goes with a drive in trouble, where one player has the drive.
    `first` says who tees off first, or drives, by name, where that matters; `in_trouble` is what the other
    one hits when the first is in trouble, nothing where it is the same.
    """

    strikes: tuple[str, ...]
    chances: Floats
    trouble: Floats | None = None
    first: str = ""
    in_trouble: str = ""


@dataclass(frozen=True)
class Side:
    """A player or a pair, by names, and the options on each hole, everyone's own best first."""

    names: tuple[str, ...]
    holes: tuple[tuple[Option, ...], ...]

    @property
    def chances(self) -> list[Floats]:
        """The chance of each score on each hole, shape (options, worlds, scores)."""
        return [np.stack([option.chances for option in options]) for options in self.holes]

    def fewest(self) -> tuple[int, ...]:
        """Return the option of fewest strokes on each hole, the first where no other is worth it."""
        return tuple(least(mean(chances, CHOOSING), worth=_WORTH) for chances in self.chances)

    def picked(self, options: Sequence[int]) -> list[Floats]:
        """Return the chance of each score on each hole in each world, by an option on each."""
        return [of_hole[i].chances for of_hole, i in zip(self.holes, options, strict=True)]

    def strokes(self, options: Sequence[int]) -> Floats:
        """Return the strokes of the round in each world, by an option on each hole."""
        return np.asarray(np.sum(self.picked(options), axis=0) @ SCORES)


def alone(name: str, prospects: Sequence[Sequence[StrikeScores]]) -> Side:
    """Return the side of one player, by what may come of each strike on each hole, the best first."""
    return Side(
        (name,),
        tuple(tuple(Option((p.label,), p.chances, p.trouble) for p in on_hole) for on_hole in prospects),
    )


def four_ball(
    names: tuple[str, str], first: Sequence[Sequence[StrikeScores]], second: Sequence[Sequence[StrikeScores]]
) -> Side:
    """Return the side of two players, the better of whose balls counts."""
    pairs = zip(first, second, strict=True)
    return Side(names, tuple(tuple(_four_ball_options(names, *both)) for both in pairs))


def _four_ball_options(
    names: tuple[str, str], one: Sequence[StrikeScores], other: Sequence[StrikeScores]
) -> Iterator[Option]:
    """Yield everyone's own best, and for each strike of who tees off first the other's best replies.

    The second sees whether the first is in trouble, and may play accordingly.
    """
    yield Option((one[0].label, other[0].label), better_ball(one[0].chances, other[0].chances))
    for first, (mine, theirs) in enumerate(((one, other), (other, one))):
        replies = np.stack([_above(reply.chances) for reply in theirs])
        safe, saving = (
            [least(costs) for costs in _above(np.stack(parts)) @ replies.T]
            for parts in zip(*((strike.clear, strike.trouble) for strike in mine), strict=True)
        )
        for strike, reply, in_trouble in zip(mine, safe, saving, strict=True):
            strikes = strike.label, theirs[reply].label
            clear = better_ball(strike.clear, theirs[reply].chances)
            trouble = better_ball(strike.trouble, theirs[in_trouble].chances)
            differs = in_trouble != reply
            yield Option(
                strikes[:: -1 if first else 1],
                clear + trouble,
                first=names[first] if differs else "",
                in_trouble=theirs[in_trouble].label if differs else "",
            )


def _above(chances: Floats) -> Floats:
    """Return the chance of more than each score, in the worlds that choose.

    The product of two balls', summed over the scores, is the mean of the better ball, but for a constant.
    """
    return _left(pooled(chances, CHOOSING))


def shifted(side: Side, received: Sequence[int]) -> Side:
    """Return a side with one ball, after strokes received on each hole."""
    return Side(
        side.names,
        tuple(
            tuple(replace(option, chances=np.roll(option.chances, -strokes, axis=1)) for option in options)
            if strokes
            else options
            for options, strokes in zip(side.holes, received, strict=True)
        ),
    )


def better_ball(one: Floats, other: Floats) -> Floats:
    """Return the chance of each score by the better of two balls that know nothing of each other.

    Chances that add to less than one, as of a ball in trouble, give chances that add to as much.
    """
    # What is left above each score; both balls must be there.
    both = _left(one) * _left(other)
    whole = one.sum(axis=-1, keepdims=True) * other.sum(axis=-1, keepdims=True)
    return np.asarray(-np.diff(both, axis=-1, prepend=whole))


def _left(chances: Floats) -> Floats:
    """Return what of the chances lies above each score."""
    return np.asarray(chances.sum(axis=-1, keepdims=True) - np.cumsum(chances, axis=-1))


def least(costs: Floats, *, worth: float = _EQUAL) -> int:
    """Return which costs least; the first, unless another saves as much as is worth it."""
    best = int(costs.argmin())
    return best if costs[0] - costs[best] >= worth else 0
