"""The usual bag: clubs by their names."""

import pytest

from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE, MPH
from tests.player.player_texts import BARE, Write, club


@pytest.mark.parametrize(
    ("name", "kind", "share", "loft"),
    [
        ("4-iron", "iron", 0.850, 15.2),
        ("7 Iron", "iron", 0.796, 22.6),
        ("8i", "iron", 0.770, 25.2),
        ("iron", "iron", 0.832, 16.8),
        ("pitching wedge", "iron", 0.735, 34.3),
        ("SW", "iron", 0.735, 34.3),
        ("56°", "iron", 0.735, 34.3),
        ("4 rescue", "hybrid", 0.860, 15.2),
        ("2-iron", "iron", 0.867, 14.3),
        ("5-wood", "wood", 0.912, 12.2),
        ("3w", "wood", 0.947, 11.9),
        ("3h", "hybrid", 0.885, 13.7),
        ("4h", "hybrid", 0.860, 15.2),
        ("5 hybrid", "hybrid", 0.840, 17.0),
    ],
)
def test_a_club_is_what_its_name_says(write: Write, name: str, kind: str, share: float, loft: float) -> None:
    found = club(load_player(write(BARE + f'[clubs."{name}"]\n')), name)
    assert found.kind == kind
    assert found.club_speed == pytest.approx(share * 90 * MPH, abs=0.05 * MPH)
    assert found.dynamic_loft == pytest.approx(loft * DEGREE)
