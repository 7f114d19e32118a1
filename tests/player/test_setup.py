"""Setting up: tee, ball and line against geometry and what coaches hold."""

from dataclasses import replace
from math import asin, cos, sin, tan

import pytest

from holesim.player.player import SWING_PLANE, Player
from holesim.player.setup import set_up, set_ups
from holesim.units import DEGREE, YARD
from tests.conftest import Run


def test_the_alignment_takes_out_what_the_attack_does_to_the_path(amateur: Player) -> None:
    """Attack over the tangent of the plane, right for an upward strike: from geometry."""
    up, down = set_ups(amateur)
    assert up.alignment == pytest.approx(tan(4 * DEGREE) / tan(SWING_PLANE), rel=2e-3)
    assert up.alignment > 0 > down.alignment
    for strike, seen in zip(amateur.strikes, (up, down), strict=False):
        path = seen.alignment + strike.path - strike.swing_line
        assert path == pytest.approx(0, abs=1e-12)
    left = set_up(amateur.driver("up"), -1.0)
    assert left.alignment == -up.alignment


@pytest.mark.parametrize("degrees", [-4.0, -1.0, 2.0, 5.0])
def test_the_ball_lies_where_the_arc_has_that_attack(amateur: Player, degrees: float) -> None:
    """Along a circle in the inclined plane the height's slope along the ground is the attack's tangent."""
    seen = set_up(replace(amateur.driver("up"), attack=degrees * DEGREE), 1.0)
    radius = 1.6
    turn = asin(seen.past_low / radius)
    along, up = cos(turn), sin(turn) * sin(SWING_PLANE)  # of the velocity, towards the target and upwards
    across = sin(turn) * cos(SWING_PLANE)
    assert asin(up / (along**2 + up**2 + across**2) ** 0.5) == pytest.approx(degrees * DEGREE, abs=1e-9)


def test_words_say_which_way(amateur: Player) -> None:
    up, down = set_ups(amateur)
    assert up.text() == (
        "up: tee it 42 mm high, ball opposite the front heel, line up 3.7° right of the aim, face on the aim"
    )
    assert "2.3° left of the aim" in down.text()
    assert "past the lowest point" in up.reasons(250 * YARD)[1]
    assert "swings the path left of the swing line, by 16 yd at 250" in up.reasons(250 * YARD)[2]
    assert "before the lowest point" in down.reasons(250 * YARD)[1]
    level = set_up(replace(amateur.driver("up"), name="level", attack=0.0), 1.0)
    assert "line up on the aim" in level.text()
    assert len(level.reasons(250 * YARD)) == 2


def test_check_says_how_to_set_up_and_the_caution(run: Run, amateur: Player) -> None:
    from holesim.data.examples import PLAYER, find  # noqa: PLC0415

    code, said, _ = run("check", str(find(PLAYER)))
    assert code == 1  # some of it is assumed
    for seen in set_ups(amateur):
        assert seen.text() in said
    assert "qualified coach" in said
