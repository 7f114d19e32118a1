"""Defaults for the driver: how widely a golfer scatters, and how high the ball is teed."""

import pytest

from holesim.player.player_defaults import default_spread, usual_tee_height
from holesim.units import DEGREE, MM


def test_a_wilder_handicap_spreads_wider() -> None:
    tight, wild = default_spread(0, 45), default_spread(25, 45)
    for field in ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high", "miss_rate"):
        assert getattr(wild, field) > getattr(tight, field) > 0


def test_higher_to_hit_up_and_lower_to_hit_down() -> None:
    """Common practice, no source: half of the ball above the crown to hit up, less to hit down."""
    up, down = (usual_tee_height(attack * DEGREE, high * MM) for attack, high in ((3.5, 4), (-2.5, 0)))
    crown, ball = 62 * MM, 42.67 * MM
    assert (up + ball - crown) / ball == pytest.approx(0.5, abs=0.01)
    assert (down + ball - crown) / ball == pytest.approx(0.25, abs=0.01)
    assert usual_tee_height(3.5 * DEGREE, 9 * MM) - up == pytest.approx(5 * MM)  # wanted higher, teed higher
    heights = [usual_tee_height(a * DEGREE, 2 * MM) for a in (-8, -3, 0, 3, 8)]
    assert 0 <= min(heights) < max(heights) <= 101.6 * MM
