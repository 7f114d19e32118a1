"""Player files, sound and damaged: what is read, what is assumed, and what each fault is called."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holesim.errors import InputError
from holesim.player.player import SWING_PLANE, Player, Strike, path_shift
from holesim.player.player_defaults import default_spread
from holesim.shot.club_speeds import load_player
from holesim.units import DEGREE, MM, MPH, RPM

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


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Return a function that writes a player file from its text or its bytes."""

    def to_disk(text: str | bytes) -> Path:
        path = tmp_path / NAME
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return to_disk


def complaint(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        load_player(path)
    return str(caught.value)


def club(player: Player, name: str) -> Strike:
    (found,) = [strike for strike in player.strikes if strike.club == name]
    return found


# --- sound files ----------------------------------------------------------------------------------


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
        (
            "hits the driver the same way all day, having a handicap of more than 5; "
            "if not, set can_choose = true"
        ),
    )
    assert player.driver("up").spread == default_spread(10, 90 * MPH)
    assert player.driver("down").attack == pytest.approx(-2.5 * DEGREE)
    hybrid = club(player, "5-hybrid")
    assert hybrid.kind == "hybrid"
    assert hybrid.club_speed == pytest.approx(75.6 * MPH)
    # Which strike is the usual one nobody can know who is not told.
    assert (player.usual, player.can_choose) == (None, False)


@pytest.mark.parametrize(
    ("name", "kind", "share", "loft"),
    [
        ("4-iron", "iron", 0.850, 15.2),
        ("7 Iron", "iron", 0.796, 22.6),
        ("8i", "iron", 0.770, 25.2),
        ("iron", "iron", 0.832, 16.8),
        ("pitching wedge", "iron", 0.735, 34.3),
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


def test_a_putter_is_not_hit_off_a_tee(write: Write) -> None:
    assert complaint(write(BARE + "[clubs.putter]\n")) == (
        f"{NAME}: clubs.putter: is not hit off a tee; take it out"
    )


def test_a_plus_handicap_is_a_negative_number(write: Write) -> None:
    path = write(BARE.replace("handicap_index = 10", "handicap_index = +2"))
    assert complaint(path).endswith("write a handicap of +2 as -2.0")


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


def test_a_wilder_handicap_spreads_wider() -> None:
    tight, wild = default_spread(0, 45), default_spread(25, 45)
    for field in ("face", "path", "attack", "dynamic_loft", "speed", "toe", "high", "miss_rate"):
        assert getattr(wild, field) > getattr(tight, field) > 0


# --- the path and the hand ------------------------------------------------------------------------


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


# --- the bands of a strike ------------------------------------------------------------------------


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


# --- numbers --------------------------------------------------------------------------------------


def test_whole_numbers_are_numbers(write: Write) -> None:
    ints = SOUND.replace("handicap_index = -1.5", "handicap_index = 4")
    floats = ints.replace("= 4\n", "= 4.0\n").replace("= 96\n", "= 96.0\n").replace("= 7\n", "= 7.0\n")
    assert ints != floats
    assert load_player(write(ints)).strikes == load_player(write(floats)).strikes


def test_a_byte_order_mark_and_windows_lines(write: Write) -> None:
    other = b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode()
    assert load_player(write(other)).strikes == load_player(write(SOUND)).strikes


def test_names_cannot_break_a_line(write: Write) -> None:
    text = BARE.replace("Wenna Tarrow", r"Wenna\n\u001b[1mTarrow") + '[clubs."3\\n-wood"]\n'
    player = load_player(write(text))
    assert player.name == "Wenna  [1mTarrow"
    assert [s.club for s in player.strikes if s.club not in WHOLE_BAG] == ["driver", "driver", "3 -wood"]


# --- damaged files --------------------------------------------------------------------------------

BANDS = "input should be less than or equal to"
UNKNOWN = "is not a key of a player file"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        # Numbers that make no sense.
        (
            "club_speed_mph = 96",
            "club_speed_mph = -96",
            "club_speed_mph: input should be greater than or equal to 30, not -96; correct the value",
        ),
        (
            "club_speed_mph = 96",
            "club_speed_mph = 960",
            f"club_speed_mph: {BANDS} 160, not 960; correct the value",
        ),
        (
            "face_deg = 1.5",
            "face_deg = nan",
            "spread.face_deg: input should be a finite number, not nan; correct the value",
        ),
        (
            "path_deg = 1.75",
            "path_deg = -1.75",
            "spread.path_deg: input should be greater than or equal to 0, not -1.75; correct the value",
        ),
        (
            "at_mph = 95",
            "at_mph = inf",
            "spread.at_mph: input should be a finite number, not inf; correct the value",
        ),
        (
            "handicap_index = -1.5",
            "handicap_index = -inf",
            "handicap_index: input should be a finite number, not -inf; correct the value",
        ),
        (
            "face_path_correlation = 0.4",
            "face_path_correlation = 1",
            "spread.face_path_correlation: input should be less than 1, not 1; correct the value",
        ),
        (
            "high_mm = 0",
            "high_mm = 0x" + "F" * 5000,
            (
                "strikes.down.high_mm: should be a number, not such a huge number; "
                "write it as 12.5, without quotes"
            ),
        ),
        # Wrong types.
        (
            "club_speed_mph = 96",
            'club_speed_mph = "96"',
            "club_speed_mph: should be a number, not '96'; write it as 12.5, without quotes",
        ),
        (
            "club_speed_mph = 90",
            "club_speed_mph = true",
            "clubs.4-wood.club_speed_mph: should be a number, not true; write it as 12.5, without quotes",
        ),
        (
            "miss_scale = 2.5",
            "miss_scale = [2.5]",
            "spread.miss_scale: should be a number, not a list; write it as 12.5, without quotes",
        ),
        (
            "miss_scale = 2.5",
            "miss_scale = {a = 1}",
            "spread.miss_scale: should be a number, not a table; write it as 12.5, without quotes",
        ),
        (
            "miss_scale = 2.5",
            "miss_scale = 2024-05-06",
            "spread.miss_scale: should be a number, not 2024-05-06; write it as 12.5, without quotes",
        ),
        (
            "miss_scale = 2.5",
            "miss_scale = " + "[" * 150 + "]" * 150,
            "spread.miss_scale: should be a number, not a list; write it as 12.5, without quotes",
        ),
        (
            "can_choose = true",
            "can_choose = 1",
            "can_choose: should be true or false, not 1; write the one or the other, without quotes",
        ),
        (
            "can_choose = true",
            'can_choose = "yes"',
            "can_choose: should be true or false, not 'yes'; write the one or the other, without quotes",
        ),
        ('"Wenna Tarrow"', "12", "name: should be text, not 12; put it in quotes"),
        ('"Wenna Tarrow"', '""', "name: string should have at least 1 character, not ''; correct the value"),
        (
            "[strikes.up.spread]",
            "[strikes.level]\nspread = 2\n[strikes.up.spread]",
            "strikes.level.spread: is not a table but 2; write strikes.level.spread = { name = value }",
        ),
        (
            "\n[clubs.",
            "\n[clubs]\ndriver = 3\n[clubs.",
            "clubs.driver: is not a table but 3; write clubs.driver = { name = value }",
        ),
        # Words.
        (
            'hand = "right"',
            'hand = "rigth"',
            "hand: input should be 'right' or 'left', not 'rigth'; did you mean right?",
        ),
        ('hand = "right"', "hand = 1", "hand: input should be 'right' or 'left', not 1; correct the value"),
        (
            'sex = "woman"',
            'sex = "women"',
            "sex: input should be 'man' or 'woman', not 'women'; did you mean woman?",
        ),
        (
            'usual = "down"',
            'usual = "dwon"',
            "usual: input should be 'up', 'level' or 'down', not 'dwon'; did you mean down?",
        ),
        (
            'usual = "down"',
            'usual = "sideways"',
            "usual: input should be 'up', 'level' or 'down', not 'sideways'; correct the value",
        ),
        (
            'usual = "down"',
            'usual = "level"',
            "usual: 'level' is not among the strikes; choose one of up, down, or add [strikes.level]",
        ),
        (
            'kind = "wood"',
            'kind = "driver"',
            "clubs.4-wood.kind: input should be 'wood', 'hybrid' or 'iron', not 'driver'; correct the value",
        ),
        # Keys that are missing or misspelt, at every level; the misspelling is the cause, so it comes first.
        ('name = "Wenna Tarrow"\n', "", "name: is missing; add it"),
        ("club_speed_mph = 96\n", "", "club_speed_mph: is missing; add it, or the driver's carry_yd"),
        (
            "club_speed_mph = 96",
            "club_sped_mph = 96",
            f"club_sped_mph: {UNKNOWN}; did you mean club_speed_mph?",
        ),
        ("club_speed_mph = 96", "club_speed = 96", f"club_speed: {UNKNOWN}; did you mean club_speed_mph?"),
        ("handicap_index", "handicap", f"handicap: {UNKNOWN}; did you mean handicap_index?"),
        ("[spread]", "[spraed]", f"spraed: {UNKNOWN}; did you mean spread?"),
        ("[strikes.up]", "[strike.up]", f"strike: {UNKNOWN}; did you mean strikes?"),
        ("[clubs.", "[club.", f"club: {UNKNOWN}; did you mean clubs?"),
        ("miss_rate", "mis_rate", f"spread.mis_rate: {UNKNOWN}; did you mean miss_rate?"),
        ("speed_pct", "club_speed_pct", f"spread.club_speed_pct: {UNKNOWN}; did you mean speed_pct?"),
        ("[strikes.down]", "[strikes.donw]", f"strikes.donw: {UNKNOWN}; did you mean down?"),
        ("swing_line_deg", "swingline", f"strikes.up.swingline: {UNKNOWN}; did you mean swing_line_deg?"),
        ("[strikes.up.spread]", "[strikes.up.spred]", f"strikes.up.spred: {UNKNOWN}; did you mean spread?"),
        ("face_deg = 2\n", "face = 2\n", f"strikes.up.spread.face: {UNKNOWN}; did you mean face_deg?"),
        (
            "club_speed_mph = 90",
            "speed_mph = 90",
            f"clubs.4-wood.speed_mph: {UNKNOWN}; did you mean club_speed_mph?",
        ),
        ("kind = ", "knd = ", f"clubs.4-wood.knd: {UNKNOWN}; did you mean kind?"),
        ("usual =", "colour = 3\nusual =", f"colour: {UNKNOWN}; take it out"),
        # Known, but not where it stands.
        ("at_rpm = 2600", 'hand = "left"', f"spread.hand: {UNKNOWN}; move it above the first table"),
        ("usual =", "miss_rate = 0.1\nusual =", f"miss_rate: {UNKNOWN}; take it out"),
        ("high_mm = 0", "kind = 'wood'", f"strikes.down.kind: {UNKNOWN}; take it out"),
        (
            "[strikes.up.spread]",
            "[strikes.up.spread.spread]",
            f"strikes.up.spread.spread: {UNKNOWN}; take it out",
        ),
        # The driver.
        ("4-wood", "driver", "clubs.driver: is the driver; describe it under [strikes], not [clubs]"),
        ("4-wood", "Driver", "clubs.Driver: is the driver; describe it under [strikes], not [clubs]"),
    ],
)
def test_a_fault_is_named_with_its_place_and_its_remedy(
    write: Write, old: str, new: str, expected: str
) -> None:
    assert old in SOUND
    path = write(SOUND.replace(old, new, 1))
    assert complaint(path) == f"{NAME}: {expected}"


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        (b"", "is empty; give at least name, hand, sex, handicap_index"),
        (b" \n# nothing\n", "is empty; give at least name, hand, sex, handicap_index"),
        (
            b'name = "Wenna"\nhand right\n',
            "line 2, column 6: is not TOML (expected '=' after a key in a key/value pair); correct it there",
        ),
        (b'name = "Wenna', "end of document: is not TOML (unterminated string); correct it there"),
        (b"name = 1\nname = 2", "end of document: is not TOML (cannot overwrite a value); correct it there"),
        (b"name = " + b"[" * 10_000, "is nested too deeply for a player file; write it again"),
        (b"club_speed_mph = " + b"9" * 5000, "has a number of too many digits; correct its numbers"),
        (b"a" + b".a" * 12_000, "line 1: has too many dots for a player file; correct it there"),
        (b"#" * 200_001, "is larger than 0.2 MB; leave out what is not needed"),
        (b'name = "caf\xe9"', "is not UTF-8 text; save it as UTF-8"),
        (b"\xff\xfen\x00", "is not UTF-8 text; save it as UTF-8"),
    ],
    ids=[
        "empty",
        "comment",
        "no sign",
        "cut",
        "twice",
        "brackets",
        "digits",
        "dots",
        "large",
        "latin-1",
        "utf-16",
    ],
)
def test_a_file_that_is_no_toml(write: Write, raw: bytes, expected: str) -> None:
    assert complaint(write(raw)) == f"{NAME}: {expected}"


def test_a_path_that_cannot_be_read(tmp_path: Path) -> None:
    missing = tmp_path / "no.toml"
    assert complaint(missing) == f"{missing}: no such file or directory; check the path"
    assert complaint(tmp_path) == f"{tmp_path}: is a directory; check the path"
    assert complaint(Path("a\0b")) == "a b: cannot be read; check the path"


# --- any damage at all ----------------------------------------------------------------------------

ODD = st.sampled_from(
    ["", "nan", "inf", "-inf", "0", "-1", "1e308", "-1e-308", "true", "false", "'up'", "'level'", "'iron'",
     '"96"', '""', r'"\n"', r'"\u0000"', "[]", "{}", "[[]]", "[1, 2]", "{face_deg = 1}", "{up = {}}",
     "2024-05-06", "07:32:00", "9" * 30, "9" * 5000, "0x" + "F" * 5000, "[" * 150 + "]" * 150, "[" * 2000,
     "\0", "=", '"', "\u2028", "\ufeff"]
)  # fmt: skip


@pytest.fixture(scope="module")
def scratch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("damage") / NAME


def returns_or_complains(path: Path) -> None:
    try:
        load_player(path)
    except InputError as error:
        assert str(error).startswith(f"{NAME}: ")  # noqa: PT017
        assert "\n" not in str(error)  # noqa: PT017


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    changes=st.lists(
        st.tuples(st.integers(0, SOUND.count("\n") - 1), st.sampled_from(["key", "value", "line"]), ODD),
        min_size=1,
        max_size=3,
    )
)
def test_odd_values_never_escape(scratch: Path, changes: list[tuple[int, str, str]]) -> None:
    lines = SOUND.splitlines()
    for index, what, odd in changes:
        key, sign, value = lines[index].partition(" = ")
        lines[index] = {"key": f"{odd}{sign}{value}", "value": f"{key} = {odd}", "line": odd}[what]
    scratch.write_text("\n".join(lines), encoding="utf-8")
    returns_or_complains(scratch)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(cut=st.integers(0, len(SOUND)), byte=st.integers(0, 255), keep=st.booleans())
def test_a_cut_or_a_wrong_byte_never_escapes(scratch: Path, cut: int, byte: int, keep: bool) -> None:  # noqa: FBT001
    raw = SOUND.encode()
    scratch.write_bytes(raw[:cut] + bytes([byte]) + raw[cut + 1 :] if keep else raw[:cut])
    returns_or_complains(scratch)
