"""Reading player files: carries in place of club speeds, and the usual clubs."""

from collections.abc import Callable
from pathlib import Path

import pytest

from holesim.errors import InputError
from holesim.player.player import Player, Strike
from holesim.shot.air import make_air
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import mean_delivery
from holesim.shot.flight import fly
from holesim.shot.impact import choose_head, impact
from holesim.units import MPH, YARD

HEAD = 'name = "A Golfer"\nhand = "{}"\nsex = "man"\nhandicap_index = 9\n'
USUAL = [
    "3-wood", "5-wood", "4-hybrid", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron", "wedge",
]  # fmt: skip

Read = Callable[..., Player]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Return a function that reads a player from what follows hand and handicap in their file."""

    def call(text: str, hand: str = "right") -> Player:
        path = tmp_path / "player.toml"
        path.write_text(HEAD.format(hand) + text)
        return load_player(path)

    return call


def carry(player: Player, strike: Strike) -> float:
    """Return how far a strike's mean delivery carries [yd] in calm air at 75 °F and sea level."""
    launches = impact(mean_delivery(strike), choose_head(strike.kind, strike.club_speed), side=player.side)
    landings, _ = fly(launches, make_air(temperature_f=75, altitude_ft=0))
    return float(landings.x[0] / YARD)


def struck(player: Player, label: str) -> Strike:
    (found,) = [strike for strike in player.strikes if strike.label == label]
    return found


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("yards", [140, 215, 290])
def test_the_drivers_carry_comes_back(read: Read, yards: float, hand: str) -> None:
    """Of a golfer whose usual strike is not known it is the mean of all, else that of the usual one."""
    player = read(f"carry_yd = {yards}\n", hand)
    mean = sum(carry(player, s) for s in player.drivers) / 2
    assert mean == pytest.approx(yards, abs=0.5)
    assert {s.club_speed for s in player.drivers} == {player.club_speed}
    usual = read(f'carry_yd = {yards}\nusual = "down"\n', hand)
    assert carry(usual, usual.driver("down")) == pytest.approx(yards, abs=0.5)
    assert carry(usual, usual.driver("up")) > yards + 2


def test_a_strikes_and_a_clubs_carry_come_back(read: Read) -> None:
    text = "club_speed_mph = 100\n[strikes.up]\ncarry_yd = 238\n[strikes.down]\n"
    player = read(text + '[clubs."7-iron"]\ncarry_yd = 151\n[clubs.spoon]\ncarry_yd = 215\nhigh_mm = 2\n')
    for label, yards in (("up", 238), ("7-iron", 151), ("spoon", 215)):
        assert carry(player, struck(player, label)) == pytest.approx(yards, abs=0.5)
    # What states no carry is as fast as it was.
    plain = read("club_speed_mph = 100\n[strikes.up]\n[strikes.down]\n")
    assert player.club_speed == pytest.approx(100 * MPH)
    for label in ("down", "5-iron"):
        assert struck(player, label) == struck(plain, label)


def test_all_carries_may_be_stated_and_no_speed(read: Read) -> None:
    player = read("carry_yd = 240\n[strikes.level]\n[strikes.down]\ncarry_yd = 232\n[clubs.wedge]\n")
    down = struck(player, "down")
    assert carry(player, down) == pytest.approx(232, abs=0.5)
    # The driver's own is the mean of strikes, in which a strike with its own counts as stated there.
    assert struck(player, "wedge").club_speed == pytest.approx(0.735 * player.club_speed, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("club_speed_mph = 90\ncarry_yd = 200\n", "carry_yd: stands beside club_speed_mph; take out"),
        (
            "club_speed_mph = 90\n[strikes.up]\nclub_speed_mph = 91\ncarry_yd = 200\n",
            "strikes.up.carry_yd: stands beside club_speed_mph; take out",
        ),
        (
            'club_speed_mph = 90\n[clubs."7-iron"]\nclub_speed_mph = 70\ncarry_yd = 120\n',
            "clubs.7-iron.carry_yd: stands beside club_speed_mph; take out",
        ),
        ("carry_yd = 400\n[strikes.down]\n", "carry_yd: no club speed carries 400 yd; correct it"),
        (
            "club_speed_mph = 90\n[clubs.wedge]\ncarry_yd = 390\n",
            "clubs.wedge.carry_yd: no club speed carries 390 yd; correct it",
        ),
        ("carry_yd = 1000\n", "carry_yd: input should be less than or equal to 400"),
        ("[strikes.up]\ncarry_yd = 200\n", "club_speed_mph: is missing; add it, or the driver's carry_yd"),
    ],
)
def test_an_impossible_carry_is_one_clear_line(read: Read, text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert str(caught.value).startswith(f"player.toml: {said}")
    assert "\n" not in str(caught.value)


# --- the bag --------------------------------------------------------------------------------------


def clubs(player: Player) -> list[str]:
    return [s.club for s in player.strikes if s.club != "driver"]


def test_a_bare_file_has_the_usual_bag(read: Read) -> None:
    player = read("club_speed_mph = 100\n")
    assert clubs(player) == USUAL
    assert [s.name for s in player.drivers] == ["up", "down"]
    assert (player.usual, player.can_choose) == (None, False)
    speeds = [struck(player, club).club_speed for club in ("3-wood", "5-wood", "4-hybrid", "5-iron")]
    assert speeds == sorted(speeds, reverse=True)


@pytest.mark.parametrize(
    ("listed", "gone"),
    [
        (["5-hybrid"], {"5-iron"}),
        (["3-wood"], {"3-wood"}),
        (["3w"], {"3-wood"}),
        (["7i"], {"7-iron"}),
        (["4-iron"], set()),  # the usual bag has a 4-hybrid, which it does not stand for
        (["3-hybrid"], set()),
        (["4-hybrid", "5-hybrid", "6-hybrid"], {"4-hybrid", "5-iron", "6-iron"}),
        (["pitching wedge"], {"wedge"}),
        (["spoon"], set()),
    ],
)
def test_a_club_listed_stands_for_the_usual_one_of_its_number(
    read: Read, listed: list[str], gone: set[str]
) -> None:
    player = read("club_speed_mph = 100\n" + "".join(f'[clubs."{club}"]\n' for club in listed))
    assert clubs(player) == listed + [club for club in USUAL if club not in gone]
    said = "has the usual " + ", ".join(club for club in USUAL if club not in gone) + " for that club speed"
    assert said in player.assumed
