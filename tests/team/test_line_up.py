"""Which strikes serve a team best whose best totals count."""

from itertools import product

import numpy as np
import pytest

from holesim.team.line_up import choose_counting_strikes, choose_strikes
from holesim.team.round_totals import add_holes, mean_of_best
from holesim.team.side_options import Side, SideOption
from tests.team.teams import chances, drawn


def test_strikes_of_a_counting_team_against_brute_force() -> None:
    """Of two players on three holes the better total counts: a daring strike pays who is behind."""
    rng = np.random.default_rng(5)
    for _ in range(5):
        sides = [
            Side(
                (k,),
                (name,),
                tuple(
                    (SideOption(("a",), drawn(rng, 6)), SideOption(("b",), drawn(rng, 6))) for _ in range(3)
                ),
            )
            for k, name in enumerate(("one", "other"))
        ]

        def cost(chosen: tuple[tuple[int, ...], ...], sides: list[Side] = sides) -> float:
            totals = [
                add_holes([hole[k].chances[0] for hole, k in zip(side.holes, options, strict=True)])
                for side, options in zip(sides, chosen, strict=True)
            ]
            return float(mean_of_best(totals, 1))

        everything = [tuple(options) for options in product((0, 1), repeat=3)]
        least = min(cost(chosen) for chosen in product(everything, repeat=2))
        assert cost(tuple(choose_counting_strikes(sides, 1))) == pytest.approx(least, abs=0.002)


def test_where_all_count_everyones_own_best_stays() -> None:
    side = Side(
        (0,),
        ("one",),
        ((SideOption(("a",), chances(0, 0, 1)), SideOption(("b",), chances(0, 0.6, 0, 0, 0.4))),),
    )
    assert choose_strikes([side, side], 2) == ([(0,), (0,)], [])
    options, (found,) = choose_strikes([side, side], 1)
    assert (1,) in options  # one of them may dare
    assert found.matters
