"""What a player or a pair may do on each hole, and the chance of each score by it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.team._better_ball_kernel import BallAbove, fill_better_ball
from holesim.team.benefit import CLOSE
from holesim.team.strike_scores import SCORES, SELECTION_SETS, StrikeScores, mean_chances, mean_score, net_of

Floats = NDArray[np.float64]
Group = tuple[int, ...]
"""The players of a side, by their places in the roster."""

_WORTH: Final = CLOSE["strokes"]  # strokes that another option must save on a hole to be chosen
_EQUAL: Final = 1e-9


@dataclass(frozen=True)
class SideOption:
    """What a side may do on a hole.

    Attributes
    ----------
    strikes
        Of each player who drives.
    chances
        The chance of each score, shape (`DRAW_SETS`, scores).
    in_trouble
        The part of the chances with the drive in trouble, for a side of one player.
    first
        Who tees off first, or drives, by name, where that matters.
    reply
        What the second player hits once the first is in trouble, where that is another strike.
    """

    strikes: tuple[str, ...]
    chances: Floats
    in_trouble: Floats | None = None
    first: str = ""
    reply: str = ""


@dataclass(frozen=True)
class Side:
    """A player or a pair, and the options on each hole, everyone's own best strikes first.

    `received` are the handicap strokes of each player, or of a pair with one ball, off which the chances are.
    """

    players: Group
    names: tuple[str, ...]
    holes: tuple[tuple[SideOption, ...], ...]
    received: tuple[int, ...] = ()

    @cached_property
    def _every_option(self) -> Floats:
        """The chance of each score by each option on one hole after another, shape as in `chances`."""
        return np.stack([option.chances for options in self.holes for option in options])

    def by_hole(self, values: Floats) -> list[Floats]:
        """Return values of the options of one hole after another, by hole."""
        ends = np.cumsum([len(options) for options in self.holes]).tolist()
        return [values[end - len(options) : end] for end, options in zip(ends, self.holes, strict=True)]

    @property
    def chances(self) -> list[Floats]:
        """The chance of each score on each hole, shape (options, draw sets, scores)."""
        return self.by_hole(self._every_option)

    @property
    def own_best(self) -> tuple[int, ...]:
        """The option of everyone's own best strikes on each hole."""
        return (0,) * len(self.holes)

    @cached_property
    def by_own_best(self) -> Floats:
        """The chance of each score on each hole by those strikes, shape (holes, draw sets, scores)."""
        return np.stack(self.chances_by(self.own_best))

    def keeping(self, options: Sequence[int]) -> "Side":
        """Return the side with one option on each hole and no others."""
        holes = tuple((of_hole[i],) for of_hole, i in zip(self.holes, options, strict=True))
        return replace(self, holes=holes)

    @cached_property
    def costs(self) -> Floats:
        """The mean score by each option of one hole after another, in the selection sets."""
        return mean_score(self._every_option, SELECTION_SETS)

    def choose_options(self) -> tuple[int, ...]:
        """Return the option of fewest strokes on each hole; own best strikes where no other is worth it."""
        return choose_fewest([self])

    def chances_by(self, options: Sequence[int]) -> list[Floats]:
        """Return the chances on each hole, shape (draw sets, scores), by an option on each."""
        return [of_hole[i].chances for of_hole, i in zip(self.holes, options, strict=True)]

    def strokes_by(self, options: Sequence[int]) -> Floats:
        """Return the mean strokes of the round, shape (draw sets,), by an option on each hole."""
        return np.asarray(np.sum(self.chances_by(options), axis=0) @ SCORES)

    def drivers(self, option: SideOption) -> tuple[str, ...]:
        """Return who drives by an option, in the order of its strikes."""
        return self.names if len(option.strikes) == len(self.names) else (option.first,)


def choose_fewest(sides: Sequence[Side]) -> tuple[int, ...]:
    """Return the option on each hole of fewest strokes by the mean of several sides of the same options.

    Own best strikes are kept where no other option is worth it.
    """
    costs = sides[0].by_hole(np.mean([side.costs for side in sides], axis=0))
    return tuple(choose_least(of_hole, worth=_WORTH) for of_hole in costs)


def make_single_side(
    player: int, name: str, round_: Sequence[Sequence[StrikeScores]], received: tuple[int, ...] = ()
) -> Side:
    """Return the side of one player, by the strikes on each hole, own best first."""
    holes = tuple(
        tuple(SideOption((strike.label,), strike.chances, strike.in_trouble) for strike in strikes)
        for strikes in round_
    )
    return Side((player,), (name,), holes, received)


class Received(NamedTuple):
    """Handicap strokes of each of several players: of the round, and on each hole."""

    strokes: tuple[int, ...]
    by_hole: tuple[Sequence[int], ...]


def make_four_ball_sides(
    players: Group,
    names: tuple[str, str],
    balls: tuple["RoundBalls", "RoundBalls"],
    rounds: Sequence[Received],
) -> tuple[Side, ...]:
    """Return the side of two players, the better of whose balls counts, by the strokes they receive.

    All sides have the same options, those worth trying in any of the rounds.

    Parameters
    ----------
    balls
        Those of both.
    rounds
        The strokes that they receive.
    """
    found: list[list[tuple[SideOption, ...]]] = [[] for _ in rounds]
    one, other = balls
    for h in range(one.holes):
        received = [(first[h], second[h]) for _, (first, second) in rounds]
        net = {(a, b): (one.net(h, a), other.net(h, b)) for a, b in dict.fromkeys(received)}
        choices = list(dict.fromkeys(choice for both in net.values() for choice in _four_ball_choices(*both)))
        options = {strokes: _four_ball_options(names, both, choices) for strokes, both in net.items()}
        for holes, strokes in zip(found, received, strict=True):
            holes.append(options[strokes])
    return tuple(
        Side(players, names, tuple(holes), one.strokes) for holes, one in zip(found, rounds, strict=True)
    )


class _FourBallChoice(NamedTuple):
    """The places of both strikes, of who waits for the other's drive, and of the strike after trouble."""

    strikes: tuple[int, int]
    waits: int | None = None
    after_trouble: int = 0

    @property
    def in_turn(self) -> tuple[int, int, int, int]:
        """Who drives second, the strike of the first, the second's reply to it in play, and in trouble."""
        second = 1 if self.waits is None else self.waits  # where nobody waits it does not matter
        reply = self.strikes[second]
        return second, self.strikes[1 - second], reply, reply if self.waits is None else self.after_trouble


@dataclass(frozen=True)
class _Balls:
    """The strikes of one player on a hole: the part of their chances above each score.

    The product of two balls' is that of the better of them.
    """

    labels: tuple[str, ...]
    above: BallAbove

    @classmethod
    def net(cls, strikes: Sequence[StrikeScores], received: int) -> "_Balls":
        """Return strikes net of strokes received on the hole."""
        in_play, in_trouble = (
            _above(net_of(np.stack(part), received))
            for part in zip(*((strike.in_play, strike.in_trouble) for strike in strikes), strict=True)
        )
        above = BallAbove(in_play, in_trouble, in_play + in_trouble)
        return cls(tuple(strike.label for strike in strikes), above)

    @cached_property
    def selected(self) -> BallAbove:
        """Means over the selection sets, shape (strikes, scores)."""
        return BallAbove(*(mean_chances(part, SELECTION_SETS) for part in self.above))


class RoundBalls:
    """The balls of one player, by the strikes on each hole, own best first: the same with any partner."""

    def __init__(self, round_: Sequence[Sequence[StrikeScores]]) -> None:
        self._round = round_
        self._net: dict[tuple[int, int], _Balls] = {}

    @property
    def holes(self) -> int:
        """How many holes the player plays."""
        return len(self._round)

    def net(self, hole: int, received: int) -> _Balls:
        """Return the balls on a hole, counted from nought, net of strokes received there."""
        if (hole, received) not in self._net:
            self._net[hole, received] = _Balls.net(self._round[hole], received)
        return self._net[hole, received]


def _four_ball_choices(one: _Balls, other: _Balls) -> Iterator[_FourBallChoice]:
    """Yield everyone's own best, and for each strike of who tees off first the other's best replies.

    The second sees whether the first is in trouble, and may play accordingly.
    """
    yield _FourBallChoice((0, 0))
    for first, (mine, theirs) in enumerate(((one, other), (other, one))):
        replies, parts = theirs.selected.anywhere, (mine.selected.in_play, mine.selected.in_trouble)
        # The sum over the scores is the mean of the better ball, but for a constant.
        safe, saving = ([choose_least(costs) for costs in part @ replies.T] for part in parts)
        for k, (reply, after_trouble) in enumerate(zip(safe, saving, strict=True)):
            strikes = (reply, k) if first else (k, reply)
            if reply == after_trouble:
                yield _FourBallChoice(strikes)
            else:
                yield _FourBallChoice(strikes, 1 - first, after_trouble)


def _four_ball_options(
    names: tuple[str, str], both: tuple[_Balls, _Balls], choices: Sequence[_FourBallChoice]
) -> tuple[SideOption, ...]:
    one, other = both
    chances = np.empty((len(choices), *one.above.anywhere.shape[1:]))
    fill_better_ball(np.array([choice.in_turn for choice in choices]), one.above, other.above, chances)
    found = []
    for choice, better in zip(choices, chances, strict=True):
        labels = one.labels[choice.strikes[0]], other.labels[choice.strikes[1]]
        if choice.waits is None:
            found.append(SideOption(labels, better))
        else:
            reply = both[choice.waits].labels[choice.after_trouble]
            found.append(SideOption(labels, better, first=names[1 - choice.waits], reply=reply))
    return tuple(found)


def mean_side(sides: Sequence[Side]) -> Side:
    """Return the side with the mean of the chances of several, each of the same options."""
    if len(sides) == 1:
        return sides[0]
    holes = tuple(
        tuple(
            replace(options[0], chances=np.mean([one.chances for one in options], axis=0))
            for options in zip(*of_hole, strict=True)
        )
        for of_hole in zip(*(side.holes for side in sides), strict=True)
    )
    received = {side.received for side in sides}
    return replace(sides[0], holes=holes, received=received.pop() if len(received) == 1 else ())


def apply_strokes(side: Side, received: int, by_hole: Sequence[int]) -> Side:
    """Return a side with one ball net of the strokes it receives, so many on each hole."""
    holes = tuple(
        tuple(replace(option, chances=net_of(option.chances, strokes)) for option in options)
        if strokes
        else options
        for options, strokes in zip(side.holes, by_hole, strict=True)
    )
    return replace(side, holes=holes, received=(received,))


def _above(chances: Floats) -> Floats:
    """Return the part of the chances above each score."""
    return np.asarray(chances.sum(axis=-1, keepdims=True) - np.cumsum(chances, axis=-1))


def choose_least(costs: Floats, *, worth: float = _EQUAL) -> int:
    """Return the place of the least cost, but the first unless another saves at least `worth`."""
    best = int(costs.argmin())
    return best if costs[0] - costs[best] >= worth else 0
