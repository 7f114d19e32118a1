"""Stroke play and singles."""

from dataclasses import replace

import numpy as np
import pytest

from holesim.errors import InputError
from holesim.team.formats.individual import StrokePlay
from holesim.team.roster_scores import RosterScores
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


def test_each_opponent_in_unknown_order_counts_alike() -> None:
    """Against each opponent as against that one alone; what a strike costs is the mean over both."""
    rivals = [replace(one, name=f"Rival {k}") for k, one in enumerate(OTHERS[::3])]  # scratch, and nine
    pair = OTHERS[2:]
    plan = planned(TWO_HOLES, team_of(*pair, opponents=rivals, order_known=False), "singles", net=True)
    (side, _) = plan.sides
    assert side.received == ()
    assert [meeting.against for meeting in side.meetings] == [("Rival 0",), ("Rival 1",)]
    # Handicaps of 6 and 9 receive strokes of a scratch player; one of 9 receives them of a 6.
    totals = [(sum(one.received[0]), sum(one.they_receive[0])) for one in side.meetings]
    by_name = {one.names[0]: one.playing for one in plan.handicaps}
    mine = by_name["Player 2"]
    assert totals == [(mine - by_name["Rival 0"], 0), (0, by_name["Rival 1"] - mine)]
    points = [meeting.points for meeting in side.meetings]
    assert side.points == pytest.approx(np.mean(points))
    assert points == pytest.approx(plan.points[0])
    gross = planned(TWO_HOLES, team_of(pair[0]), "stroke").sides[0]
    assert side.strokes == pytest.approx(
        gross.strokes - mine / 2, abs=1e-6
    )  # net of the mean of what it receives
    for hole, alone in zip(side.holes, gross.holes, strict=True):
        assert hole.drives[0].worth is not None
        assert alone.drives[0].worth is not None
        assert hole.drives[0].worth.value == pytest.approx(alone.drives[0].worth.value)


@pytest.mark.parametrize(
    ("count", "players", "allowance"),
    [(None, 4, 0.95), (None, 3, 0.95), (4, 4, 1.0), (2, 4, 0.85), (1, 4, 0.75), (2, 3, 0.95)],
)
def test_individual_and_team_stroke_play_have_their_own_allowances(
    count: int | None, players: int, allowance: float
) -> None:
    team = team_of(*(replace(one, handicap_index=20.0) for one in OTHERS[:players]))
    kind = StrokePlay(RosterScores(team.players, (), (), (), (20.0,) * players), team, None, count)
    assert kind.handicaps((0,))[0].shares == (allowance,)
    stated = replace(team, allowances={"stroke": 0.8})
    assert StrokePlay(kind.roster, stated, None, count).handicaps((0,))[0].playing == 16


def test_teams_that_do_not_fit() -> None:
    with pytest.raises(InputError, match="opponents: are missing"):
        planned(TWO_HOLES, team_of(*OTHERS), "singles")
    with pytest.raises(InputError, match="count: 5 is not from 1 to 4"):
        planned(TWO_HOLES, team_of(*OTHERS), "stroke", count=5)
