"""Four-ball, and what all formats of pairs share."""

import pytest

from holesim.errors import InputError
from tests.team.teams import OTHERS, TWO_HOLES, planned, team_of


def test_pairs_need_no_more_than_handicap_order() -> None:
    plan = planned(TWO_HOLES, team_of(*OTHERS), "four-ball")
    assert sorted(name for side in plan.sides for name in side.names) == sorted(p.name for p in OTHERS)
    assert plan.total == pytest.approx(sum(side.strokes for side in plan.sides))
    alone = planned(TWO_HOLES, team_of(*OTHERS), "stroke")
    best = {side.names[0]: side.strokes for side in alone.sides}
    for side in plan.sides:
        assert side.strokes < min(best[name] for name in side.names)


def test_three_do_not_make_pairs() -> None:
    with pytest.raises(
        InputError, match=r"team\.toml: players: 3 do not make pairs; add one or take one out"
    ):
        planned(TWO_HOLES, team_of(*OTHERS[:3]), "four-ball")
