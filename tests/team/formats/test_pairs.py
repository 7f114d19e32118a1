"""Four-ball, and what all formats of pairs share."""

import pytest

from holesim.course.course import Course
from holesim.errors import InputError
from tests.team.teams import OTHERS, in_a_row, planned, team_of


@pytest.fixture(scope="module")
def two_holes() -> Course:
    return in_a_row((4, 410), (3, 160))


def test_pairs_need_no_more_than_handicap_order(two_holes: Course) -> None:
    plan = planned(two_holes, team_of(*OTHERS), "four-ball")
    assert sorted(name for side in plan.sides for name in side.names) == sorted(p.name for p in OTHERS)
    assert plan.total == pytest.approx(sum(side.strokes for side in plan.sides))
    alone = planned(two_holes, team_of(*OTHERS), "stroke")
    best = {side.names[0]: side.strokes for side in alone.sides}
    for side in plan.sides:
        assert side.strokes < min(best[name] for name in side.names)


def test_three_do_not_make_pairs(two_holes: Course) -> None:
    with pytest.raises(
        InputError, match=r"team\.toml: players: 3 do not make pairs; add one or take one out"
    ):
        planned(two_holes, team_of(*OTHERS[:3]), "four-ball")
