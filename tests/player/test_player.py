"""The laws of a swing: the path, the hand, and what a strike is called."""

import math

import pytest

from holesim.player.player import SWING_PLANE, path_shift
from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE
from tests.player.player_texts import BARE, NAME, SOUND, Write, club, complaint


def test_hitting_up_swings_the_path_left_of_the_line() -> None:
    assert path_shift(4 * DEGREE, 1) == pytest.approx(
        -math.atan(math.tan(4 * DEGREE) / math.tan(SWING_PLANE))
    )
    assert path_shift(4 * DEGREE, 1) / DEGREE == pytest.approx(-3.67, abs=0.01)
    assert path_shift(-4 * DEGREE, 1) == -path_shift(4 * DEGREE, 1)
    assert path_shift(4 * DEGREE, -1) == -path_shift(4 * DEGREE, 1)


def test_a_left_hander_mirrors_the_path_and_nothing_else(write: Write) -> None:
    right = load_player(write(SOUND))
    left = load_player(write(SOUND.replace('"right"', '"left"')))
    assert (right.side, left.side) == (1, -1)
    for name in ("up", "down"):
        shifts = [p.driver(name).path - p.driver(name).swing_line for p in (right, left)]
        assert shifts[0] == pytest.approx(-shifts[1])
        assert shifts[0] == pytest.approx(path_shift(right.driver(name).attack, 1))
    # A stated swing line and face are the world's; an unstated line puts the path on the aim.
    assert left.driver("up").swing_line == right.driver("up").swing_line
    assert (left.driver("up").face, left.driver("up").toe) == (
        right.driver("up").face,
        right.driver("up").toe,
    )
    for player in (right, left):
        assert player.driver("down").path == pytest.approx(0, abs=1e-12)
        assert player.driver("down").swing_line == pytest.approx(player.side * -1.83 * DEGREE, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "attack"),
    [("up", 2), ("up", 15), ("level", 1.99), ("level", -0.99), ("down", -1), ("down", -15)],
)
def test_an_attack_within_its_band(write: Write, name: str, attack: float) -> None:
    player = load_player(write(f"{BARE}[strikes.{name}]\nattack_deg = {attack}\n"))
    assert [s.name for s in player.drivers] == [name]
    assert player.strikes[0].attack == pytest.approx(attack * DEGREE)


@pytest.mark.parametrize(
    ("name", "attack"),
    [("up", 1.99), ("up", -3), ("level", 2), ("level", -1), ("level", 5), ("down", -0.99), ("down", 3)],
)
def test_an_attack_outside_its_band(write: Write, name: str, attack: float) -> None:
    path = write(f"{BARE}[strikes.{name}]\nattack_deg = {attack}\n")
    assert complaint(path) == (
        f"{NAME}: strikes.{name}.attack_deg: {attack:g}° is not {name}; "
        "up is +2° or more, down -1° or less, level between"
    )


@pytest.mark.parametrize(("attack", "name"), [(2, "up"), (1.9, "level"), (-0.9, "level"), (-1, "down")])
def test_another_clubs_attack_names_its_strike(write: Write, attack: float, name: str) -> None:
    player = load_player(write(f'{BARE}[clubs."3-wood"]\nattack_deg = {attack}\n'))
    assert club(player, "3-wood").name == name
