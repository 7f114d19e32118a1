"""Line-ups: which strikes, which pairs and which order serve a team best, and what each choice gains.

A choice is made in some worlds and weighed in others (`prospects`), against the plain alternative: handicap
order, and everyone's own best strike. Where the gain is too small to matter the plain one stays.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import CLOSE, Benefit, gain
from holesim.team.match_up import MatchUp
from holesim.team.pairing import Pair, best_order, best_pairs, handicap_order, handicap_pairs
from holesim.team.round_totals import added_up, best_total, ranked_above
from holesim.team.side_options import Side
from holesim.team.strike_scores import CHOOSING, pooled

Floats = NDArray[np.float64]
Played = tuple[int, tuple[int, ...]]
"""Which way a pair plays, and its option on each hole."""

_WORTH: Final = CLOSE["strokes"]  # of the team's total, that another strike must save on a hole


def best_counting(sides: Sequence[Side], count: int) -> list[tuple[int, ...]]:
    """Return each player's option on each hole, for the fewest strokes by the best `count` in all.

    Notes
    -----
    A player's total counts up to the `count`-th best of the others, beyond which it makes no difference; so
    one who seldom counts may dare more. Players, and their holes, are gone through until none changes.
    """
    chances = [[pooled(of_hole, CHOOSING) for of_hole in side.chances] for side in sides]
    chosen = [[0] * len(side.holes) for side in sides]
    totals = [added_up([of_hole[0] for of_hole in side]) for side in chances]
    changed = True
    while changed:
        changed = False
        for i, side in enumerate(chances):
            above = ranked_above(totals[:i] + totals[i + 1 :], count)
            for h, options in enumerate(side):
                played = [of_hole[k] for of_hole, k in zip(side, chosen[i], strict=True)]
                costs = [
                    float(added_up([*played[:h], option, *played[h + 1 :]]).capped(above))
                    for option in options
                ]
                best = int(np.argmin(costs))
                if costs[chosen[i][h]] - costs[best] > _WORTH:
                    chosen[i][h], changed = best, True
            totals[i] = added_up([of_hole[k] for of_hole, k in zip(side, chosen[i], strict=True)])
    return [tuple(options) for options in chosen]


def stroke_play(sides: Sequence[Side], count: int) -> tuple[list[tuple[int, ...]], list[Benefit]]:
    """Return each player's option on each hole, and what they gain, where the best `count` totals count."""
    plain = [(0,) * len(side.holes) for side in sides]
    if count == len(sides):  # the mean of a sum is the sum of the means
        return plain, []
    best = best_counting(sides, count)
    plainly, daring = (
        best_total([added_up(side.picked(k)) for side, k in zip(sides, options, strict=True)], count)
        for options in (plain, best)
    )
    found = gain("these strikes over everyone's own best", plainly - daring, "strokes")
    return (best if found.matters else plain), [found]


# --- pairs ------------------------------------------------------------------------------------------


def in_pairs(
    sides: Mapping[Pair, Sequence[Side]], indices: Sequence[float]
) -> tuple[dict[Pair, Played], list[Benefit]]:
    """Return the pairs that need the fewest strokes, how each plays, and what it gains.

    Parameters
    ----------
    sides
        The ways in which each pair can play, the plain one first.
    indices
        Handicap indices of the players.
    """
    best: dict[Pair, Played] = {}
    costs: dict[Pair, float] = {}
    for pair, ways in sides.items():
        tried = [way.fewest() for way in ways]
        totals = [
            float(way.strokes(options)[CHOOSING].mean()) for way, options in zip(ways, tried, strict=True)
        ]
        way, costs[pair] = int(np.argmin(totals)), min(totals)
        best[pair] = way, tried[way]

    def as_plain(pair: Pair) -> Played:
        return 0, sides[pair][0].fewest()

    def own_best(pair: Pair) -> Played:
        way, options = best[pair]
        return way, (0,) * len(options)

    def strokes(pairs: Sequence[Pair], pick: Callable[[Pair], Played]) -> Floats:
        played = ((pair, *pick(pair)) for pair in pairs)
        return np.asarray(
            np.sum([sides[pair][way].strokes(options) for pair, way, options in played], axis=0)
        )

    def saved(what: str, one: Floats, other: Floats) -> Benefit:
        found.append(gain(what, one - other, "strokes"))
        return found[-1]

    found: list[Benefit] = []
    chosen = best.__getitem__
    plain, pairs = handicap_pairs(indices), best_pairs(costs)
    what = "these pairs over handicap order, the two lowest together"
    if pairs != plain and not saved(what, strokes(plain, chosen), strokes(pairs, chosen)).matters:
        pairs = plain
    if any(len(ways) > 1 for ways in sides.values()):
        what = "who drives where over the lower handicap at odd holes"
        if not saved(what, strokes(pairs, as_plain), strokes(pairs, chosen)).matters:
            best = {pair: as_plain(pair) for pair in sides}
            chosen = best.__getitem__
    what = "these strikes over everyone's own best"
    if not saved(what, strokes(pairs, own_best), strokes(pairs, chosen)).matters:
        chosen = own_best
    return {pair: chosen(pair) for pair in pairs}, found


# --- matches ----------------------------------------------------------------------------------------


def in_order(
    contests: Sequence[Sequence[MatchUp]], indices: Sequence[float]
) -> tuple[tuple[int, ...], Benefit]:
    """Return which opponent each side should meet, and what that gains over handicap order.

    Parameters
    ----------
    contests
        Of each side, a row, against each opponent, in the order in which they play.
    indices
        Handicap indices of the sides.
    """
    points = np.stack([[contest.best.points for contest in row] for row in contests])
    order = best_order(points[:, :, CHOOSING].mean(axis=2))
    plain = tuple(handicap_order(indices).index(i) for i in range(len(indices)))
    values = [sum(points[i, j] for i, j in enumerate(one)) for one in (order, plain)]
    found = gain("this order over handicap order, the lowest first", values[0] - values[1], "points")
    return (order if found.matters else plain), found


def strikes_gain(contests: Sequence[MatchUp]) -> Benefit:
    """Return what strikes chosen for the match, by its state, gain over everyone's own best."""
    values = np.sum([contest.best.points - contest.plain.points for contest in contests], axis=0)
    return gain("strikes for the match over everyone's own best", values, "points")
