"""Which strikes serve a team best, and what they gain.

A choice is made with the selection sets and its gain estimated with the holdout sets (`strike_scores`),
compared with everyone's own best strikes. Where the gain is too small to matter these stay.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from holesim.team.benefit import CLOSE, Benefit, estimate_benefit
from holesim.team.round_totals import add_holes, chance_rank_above, mean_of_best
from holesim.team.side_options import Side
from holesim.team.strike_scores import SELECTION_SETS, mean_chances

_WORTH: Final = CLOSE["strokes"]  # of the team's total, that another strike must save on a hole


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
