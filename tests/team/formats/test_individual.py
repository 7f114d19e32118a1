"""Stroke play and singles."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.errors import InputError
from tests.team.teams import LONG, OTHERS, TWO_HOLES, planned, team_of


def test_net_strokes_are_taken_off() -> None:
    gross, net = (planned(TWO_HOLES, team_of(*OTHERS), "stroke", net=net) for net in (False, True))
    strokes = [{side.names[0]: side for side in plan.sides} for plan in (gross, net)]
    for name, side in strokes[1].items():
        assert side.strokes == pytest.approx(strokes[0][name].strokes - side.received[0], abs=1e-6)
    assert any("a slope of 113" in what for what in net.assumed)


def test_singles_against_oneself_are_even() -> None:
    plan = planned(TWO_HOLES, team_of(LONG, opponents=[replace(LONG, name="the same")]), "singles")
    assert plan.total == pytest.approx(0.5, abs=0.01)
    assert plan.sides[0].result is not None
    assert sum(plan.sides[0].result) == pytest.approx(1)


def test_the_order_matters_where_it_is_known_only() -> None:
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[:3])]
    known, unknown = (
        planned(TWO_HOLES, team_of(*OTHERS[:3], opponents=rivals, order_known=order), "singles")
        for order in (True, False)
    )
    assert [side.against for side in known.sides] == [(rival.name,) for rival in rivals]
    points = np.array(known.points)
    order = [known.rows.index(side.names) for side in known.sides]
    assert points[order, range(3)].sum() == pytest.approx(known.total, abs=0.02)
    assert unknown.benefits == ()
    assert unknown.total == pytest.approx(points.mean() * 3, abs=0.02)


def test_strokes_that_depend_on_the_opponent_are_left_out() -> None:
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[::3])]  # scratch, and nine
    team = team_of(*OTHERS[2:], opponents=rivals, order_known=False)
    plan = planned(TWO_HOLES, team, "singles", net=True)
    assert [side.received for side in plan.sides] == [(), ()]


def test_teams_that_do_not_fit() -> None:
    with pytest.raises(InputError, match="opponents: are missing"):
        planned(TWO_HOLES, team_of(*OTHERS), "singles")
    with pytest.raises(InputError, match="count: 5 is not from 1 to 4"):
        planned(TWO_HOLES, team_of(*OTHERS), "stroke", count=5)
