"""Player files for tests: one that states everything, one that states the least."""

from collections.abc import Callable
from pathlib import Path

import pytest

from holesim.errors import InputError
from holesim.player.player import Player, Strike
from holesim.shot.club_speeds import load_player

NAME = "golfer.toml"
SOUND = """\
name = "Wenna Tarrow"
hand = "right"
sex = "woman"
handicap_index = -1.5
club_speed_mph = 96
usual = "down"
can_choose = true

[spread]
face_deg = 1.5
path_deg = 1.75
attack_deg = 1
dynamic_loft_deg = 1.25
speed_pct = 1.5
toe_mm = 7
high_mm = 5
face_path_correlation = 0.4
miss_rate = 0.03
miss_scale = 2.5
at_mph = 95
at_rpm = 2600

[strikes.up]
attack_deg = 4
dynamic_loft_deg = 16
face_deg = 0.5
swing_line_deg = 3
toe_mm = -2
high_mm = 4
tee_height_mm = 60

[strikes.up.spread]
face_deg = 2

[strikes.down]
attack_deg = -2
dynamic_loft_deg = 12.5
high_mm = 0
tee_height_mm = 38

[clubs."4-wood"]
kind = "wood"
club_speed_mph = 90
attack_deg = -3
dynamic_loft_deg = 13
high_mm = 1
tee_height_mm = 0
"""
USUAL_BAG = [
    ("3-wood", "wood", "down"),
    ("5-wood", "wood", "down"),
    ("4-hybrid", "hybrid", "down"),
    *((f"{number}-iron", "iron", "down") for number in range(5, 10)),
    ("wedge", "iron", "down"),
]
WHOLE_BAG = "3-wood, 5-wood, 4-hybrid, 5-iron, 6-iron, 7-iron, 8-iron, 9-iron, wedge"
BARE = """\
name = "Wenna Tarrow"
hand = "right"
sex = "woman"
handicap_index = 10
club_speed_mph = 90
"""

Write = Callable[[str | bytes], Path]


def complaint(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        load_player(path)
    return str(caught.value)


def club(player: Player, name: str) -> Strike:
    (found,) = [strike for strike in player.strikes if strike.club == name]
    return found
