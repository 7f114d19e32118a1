"""From a player file to a player: what is read, and what is assumed and reported."""

import pytest

from holesim.player.player import POSTERIOR_DRAWS, DragSlope
from holesim.player.player_defaults import default_spread
from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE, MM, MPH, RPM
from tests.player.player_texts import BARE, NAME, SOUND, USUAL_BAG, WHOLE_BAG, Write, club, complaint


def test_a_sound_file_reads(write: Write) -> None:
    player = load_player(write(SOUND))
    assert (player.name, player.hand, player.sex, player.file) == ("Wenna Tarrow", "right", "woman", NAME)
    assert (player.handicap_index, player.usual, player.can_choose) == (-1.5, "down", True)
    assert player.club_speed == pytest.approx(96 * MPH)
    assert [(s.club, s.kind, s.name) for s in player.strikes] == [
        ("driver", "driver", "up"),
        ("driver", "driver", "down"),
        ("4-wood", "wood", "down"),
        *USUAL_BAG,
    ]
    up = player.driver("up")
    assert (up.club_speed, up.attack, up.dynamic_loft) == pytest.approx((96 * MPH, 4 * DEGREE, 16 * DEGREE))
    assert (up.face, up.swing_line) == pytest.approx((0.5 * DEGREE, 3 * DEGREE))
    assert (up.toe, up.high, up.tee_height) == pytest.approx((-2 * MM, 4 * MM, 60 * MM))
    wood = club(player, "4-wood")
    assert (wood.club_speed, wood.attack, wood.dynamic_loft) == pytest.approx(
        (90 * MPH, -3 * DEGREE, 13 * DEGREE)
    )
    assert (wood.high, wood.tee_height) == (1 * MM, 0)  # off the turf, which is not the same as unstated
    assert player.assumed == (f"has the usual {WHOLE_BAG} for that club speed",)


def test_a_strikes_own_spread_overrides_the_players(write: Write) -> None:
    player = load_player(write(SOUND))
    down = player.driver("down").spread
    assert (down.face, down.path, down.attack) == pytest.approx((1.5 * DEGREE, 1.75 * DEGREE, 1 * DEGREE))
    assert (down.dynamic_loft, down.speed, down.toe, down.high) == pytest.approx(
        (1.25 * DEGREE, 0.015, 7 * MM, 5 * MM)
    )
    assert (down.face_path_correlation, down.miss_rate, down.miss_scale) == (0.4, 0.03, 2.5)
    assert (down.at_speed, down.at_spin) == pytest.approx((95 * MPH, 2600 * RPM))
    up = player.driver("up").spread
    assert up.face == pytest.approx(2 * DEGREE)
    assert up.path == down.path
    assert club(player, "4-wood").spread == down


def test_what_carries_told_of_the_ball_comes_with_its_error(write: Write) -> None:
    ball = "[ball]\ndrag_slope = 0.4\n[ball.se]\ndrag_slope = 0.1\n"
    assert load_player(write(BARE + ball)).drag_slope == DragSlope(value=0.4, se=0.1)
    assert load_player(write(BARE)).drag_slope is None


def test_draws_are_of_numbers_whose_errors_the_file_states(write: Write) -> None:
    """Of two numbers of one table, too, of which one has no error."""
    draws = f"= {[0.5] * POSTERIOR_DRAWS}\n"
    stated = "[strikes.up.se]\nattack_deg = 0.6\n[likely]\n"
    player = load_player(write(f'{SOUND}{stated}"strikes.up.attack_deg" {draws}'))
    assert player.likely == {"strikes.up.attack_deg": [0.5] * POSTERIOR_DRAWS}
    assert "likely.strikes.up.face_deg: has no standard error" in complaint(
        write(f'{SOUND}{stated}"strikes.up.face_deg" {draws}')
    )


def test_what_is_missing_is_filled_and_listed(write: Write) -> None:
    player = load_player(write(BARE + '[clubs."5-hybrid"]\n[clubs.spoon]\nclub_speed_mph = 70\n'))
    # Beside it how far golfers differ from it (`population`): an attack called up, 1.2° to either side, say.
    assert player.assumed == (
        (
            "the face varies by 2.36°, the path by 2.36°, the attack by 1.3°, the dynamic loft by 1.6°, "
            "the club speed by 2.3 %, the strike by 9 mm towards heel or toe, "
            "the strike by 6.5 mm up or down the face, "
            "face and path vary together by a correlation of 0.5, one swing in 20 is a bad miss, "
            "a bad miss is 2.5 times as wild; each size is uncertain by a quarter"
        ),
        "hits the driver up and down, each in the usual way",
        (
            "up: attack 3.5° ±1.2°, dynamic loft 17.8° ±2.2°, height on the face 4 mm ±4.2 mm, "
            "tee height 40.7 mm"
        ),
        (
            "down: attack -2.5° ±1.2°, dynamic loft 13.9° ±2.2°, height on the face 0 mm ±4.2 mm, "
            "tee height 30 mm"
        ),
        (
            "5-hybrid: club speed 75.6 mph, attack -3.6°, dynamic loft 17°, height on the face 0 mm, "
            "tee height 10 mm"
        ),
        "spoon: a wood",
        "spoon: attack -2.9°, dynamic loft 11.9°, height on the face 0 mm, tee height 10 mm",
        "has the usual 3-wood, 5-wood, 4-hybrid, 6-iron, 7-iron, 8-iron, 9-iron, wedge for that club speed",
        ("hits the driver one way all day, having a handicap of more than 5; if not, set can_choose = true"),
    )
    assert player.driver("up").spread == default_spread(10, 90 * MPH)
    assert player.driver("down").attack == pytest.approx(-2.5 * DEGREE)
    hybrid = club(player, "5-hybrid")
    assert hybrid.kind == "hybrid"
    assert hybrid.club_speed == pytest.approx(75.6 * MPH)
    # Which strike is the usual one nobody can know who is not told.
    assert (player.usual, player.can_choose) == (None, False)


def test_only_the_gaps_are_listed(write: Write) -> None:
    unstated = SOUND.replace("at_mph = 95\n", "").replace('usual = "down"\n', "")
    player = load_player(write(unstated.replace("face_path_correlation = 0.4\n", "")))
    # At which speed a spread holds is that of the golfer's swing, and which strike is usual decides nothing.
    assert player.assumed == (
        "face and path vary together by a correlation of 0.5; each size is uncertain by a quarter",
        f"has the usual {WHOLE_BAG} for that club speed",
    )
    assert player.driver("down").spread.at_speed == pytest.approx(96 * MPH)
    assert player.usual is None


@pytest.mark.parametrize(("handicap", "can"), [("5", True), ("5.1", False)])
def test_who_can_choose(write: Write, handicap: str, can: bool) -> None:  # noqa: FBT001
    text = BARE.replace("handicap_index = 10", f"handicap_index = {handicap}")
    assert load_player(write(text)).can_choose is can


@pytest.mark.parametrize(("strikes", "can"), [(("up",), False), (("up", "down"), True)])
def test_who_describes_more_than_one_strike_can_choose(
    write: Write,
    strikes: tuple[str, ...],
    can: bool,  # noqa: FBT001
) -> None:
    player = load_player(write(BARE + "".join(f"[strikes.{name}]\n" for name in strikes)))
    assert player.can_choose is can
    said = (
        "chooses the driver strike hole by hole, having more than one strike; if not, set can_choose = false"
    )
    assert any(line.startswith(said) for line in player.assumed) is can


def test_the_file_may_name_the_tees(write: Write) -> None:
    assert load_player(write(BARE)).tee is None
    assert load_player(write('tee = "white"\n' + BARE)).tee == "white"
    assert "tee: should be text" in complaint(write("tee = 3\n" + BARE))


def test_a_putter_is_not_hit_off_a_tee(write: Write) -> None:
    assert complaint(write(BARE + "[clubs.putter]\n")) == (
        f"{NAME}: clubs.putter: is not hit off a tee; take it out"
    )
