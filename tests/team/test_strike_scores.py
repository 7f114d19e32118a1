"""Scores of a strike, net of handicap strokes."""

import pytest

from holesim.team.strike_scores import SCORES
from tests.team.teams import chances, strike_scores


def test_net_of_strokes_received() -> None:
    one = strike_scores("up", chances(0, 0, 0, 0.75, 0.25))
    for received in (-1, 0, 1, 5):
        assert one.net(received).chances[0] @ SCORES == pytest.approx(4.25 - received)
