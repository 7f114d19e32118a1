"""Which strikes, which pairs and which order serve a team best, and what each choice gains.

A choice is made with the selection sets and its gain estimated with the holdout sets (`strike_scores`),
compared with a plain alternative: handicap order, or everyone's own best strikes. Where the gain is too small
to matter the plain alternative stays.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.team.benefit import CLOSE, Benefit, Choice, estimate_benefit
from holesim.team.match_up import MatchUp
from holesim.team.pairing import Pair, best_order, best_pairs, handicap_order, handicap_pairs
from holesim.team.round_totals import add_holes, chance_rank_above, mean_of_best
from holesim.team.side_options import Side
from holesim.team.strike_scores import SELECTION_SETS, mean_chances

Floats = NDArray[np.float64]

_WORTH: Final = CLOSE["strokes"]  # of the team's total, that another strike must save on a hole


class PairPlay(NamedTuple):
    """How a pair plays: which of its sides, each with other drivers, and the option on each hole."""

    side: int
    options: tuple[int, ...]


def choose_counting_strikes(sides: Sequence[Side], count: int) -> list[tuple[int, ...]]:
    """Return each player's option on each hole, for the fewest strokes of the best `count` totals.

    Notes
    -----
    A player's total counts up to the `count`-th best of the others, beyond which it makes no difference; so
    a player who seldom counts may dare more. Coordinate descent: each player's option on each hole in turn,
    until none changes.
    """
    chances = [[mean_chances(of_hole, SELECTION_SETS) for of_hole in side.chances] for side in sides]
    chosen = [[0] * len(side.holes) for side in sides]
    totals = [add_holes([of_hole[0] for of_hole in side]) for side in chances]
    changed = True
    while changed:
        changed = False
        for i, side in enumerate(chances):
            above = chance_rank_above(totals[:i] + totals[i + 1 :], count)
            for h, options in enumerate(side):
                played = [of_hole[k] for of_hole, k in zip(side, chosen[i], strict=True)]
                costs = [
                    float(add_holes([*played[:h], option, *played[h + 1 :]]).mean_of_lower(above))
                    for option in options
                ]
                best = int(np.argmin(costs))
                if costs[chosen[i][h]] - costs[best] > _WORTH:
                    chosen[i][h], changed = best, True
            totals[i] = add_holes([of_hole[k] for of_hole, k in zip(side, chosen[i], strict=True)])
    return [tuple(options) for options in chosen]


def choose_strikes(sides: Sequence[Side], count: int) -> tuple[list[tuple[int, ...]], list[Benefit]]:
    """Return each player's option on each hole, and its benefit, where the best `count` totals count."""
    plain = [side.own_best for side in sides]
    if count == len(sides):  # the mean of a sum is the sum of the means
        return plain, []
    best = choose_counting_strikes(sides, count)
    plain_total, best_total = (
        mean_of_best([add_holes(side.chances_by(k)) for side, k in zip(sides, options, strict=True)], count)
        for options in (plain, best)
    )
    found = estimate_benefit("strikes", plain_total - best_total, "strokes")
    return (best if found.matters else plain), [found]


# --- pairs ------------------------------------------------------------------------------------------


def choose_pairs(
    sides: Mapping[Pair, Sequence[Side]], indices: Sequence[float]
) -> tuple[dict[Pair, PairPlay], list[Benefit]]:
    """Return the pairs that need the fewest strokes, how each plays, and the benefits, of strikes last.

    Parameters
    ----------
    sides
        The sides that each pair can make, by who drives where, the plain one first.
    indices
        Handicap indices of the players.
    """
    best: dict[Pair, PairPlay] = {}
    costs: dict[Pair, float] = {}
    for pair, of_pair in sides.items():
        tried = [side.choose_options() for side in of_pair]
        totals = [
            float(side.strokes_by(options)[SELECTION_SETS].mean())
            for side, options in zip(of_pair, tried, strict=True)
        ]
        k, costs[pair] = int(np.argmin(totals)), min(totals)
        best[pair] = PairPlay(k, tried[k])

    def with_plain_drivers(pair: Pair) -> PairPlay:
        return PairPlay(0, sides[pair][0].choose_options())

    def with_own_best(pair: Pair) -> PairPlay:
        return PairPlay(best[pair].side, sides[pair][0].own_best)

    def strokes(pairs: Sequence[Pair], choose: Callable[[Pair], PairPlay]) -> Floats:
        plays = ((pair, choose(pair)) for pair in pairs)
        return np.asarray(
            np.sum([sides[pair][play.side].strokes_by(play.options) for pair, play in plays], axis=0)
        )

    def saves(choice: Choice, plain: Floats, other: Floats) -> bool:
        found.append(estimate_benefit(choice, plain - other, "strokes"))
        return found[-1].matters

    found: list[Benefit] = []
    chosen = best.__getitem__
    plain, pairs = handicap_pairs(indices), best_pairs(costs)
    if pairs != plain and not saves("pairs", strokes(plain, chosen), strokes(pairs, chosen)):
        pairs = plain
    if any(len(of_pair) > 1 for of_pair in sides.values()) and not saves(
        "drivers", strokes(pairs, with_plain_drivers), strokes(pairs, chosen)
    ):
        best = {pair: with_plain_drivers(pair) for pair in sides}
        chosen = best.__getitem__
    if not saves("strikes", strokes(pairs, with_own_best), strokes(pairs, chosen)):
        chosen = with_own_best
    return {pair: chosen(pair) for pair in pairs}, found


# --- matches ----------------------------------------------------------------------------------------


def choose_order(
    match_ups: Sequence[Sequence[MatchUp]], indices: Sequence[float]
) -> tuple[tuple[int, ...], Benefit]:
    """Return which opponent each side should meet, and the benefit.

    Parameters
    ----------
    match_ups
        Of each side, a row, against each opponent, in the order in which they play.
    indices
        Handicap indices of the sides.
    """
    points = np.stack([[match_up.by_state.points for match_up in row] for row in match_ups])
    order = best_order(points[:, :, SELECTION_SETS].mean(axis=2))
    plain = tuple(handicap_order(indices).index(i) for i in range(len(indices)))
    best_points, plain_points = (sum(points[i, j] for i, j in enumerate(one)) for one in (order, plain))
    found = estimate_benefit("order", best_points - plain_points, "points")
    return (order if found.matters else plain), found


def match_strikes_benefit(match_ups: Sequence[MatchUp]) -> Benefit:
    """Return the benefit of strikes chosen by the state of each match."""
    values = np.sum([one.by_state.points - one.own_best.points for one in match_ups], axis=0)
    return estimate_benefit("match strikes", values, "points")
