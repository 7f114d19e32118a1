"""Player files as written: numbers, names, and what each fault is called."""

import re
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holesim.common.toml_tables import checked
from holesim.errors import InputError
from holesim.player.player_file import PlayerFile
from holesim.shot.club_speeds import load_player
from tests.player.player_texts import BARE, NAME, SOUND, WHOLE_BAG, Write, complaint

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


# --- bounds ---------------------------------------------------------------------------------------

LEAST = {"name": "Wenna Tarrow", "hand": "right", "sex": "woman", "handicap_index": 4, "club_speed_mph": 96}


@pytest.mark.parametrize(
    ("place", "least", "most", "step"),
    [
        ("handicap_index", -10, 54, 0.1),
        ("club_speed_mph", 30, 160, 0.1),
        ("carry_yd", 30, 400, 0.1),
        ("spread.face_deg", 0, 45, 0.1),
        ("spread.speed_pct", 0, 30, 0.1),
        ("spread.toe_mm", 0, 40, 0.1),
        ("spread.face_path_correlation", -0.99, 0.99, 0.01),
        ("spread.miss_rate", 0, 0.5, 0.01),
        ("spread.miss_scale", 1, 10, 0.1),
        ("spread.at_rpm", 300, 12000, 1),
        ("strikes.up.attack_deg", -15, 15, 0.1),
        ("strikes.up.dynamic_loft_deg", 0, 60, 0.1),
        ("strikes.up.swing_line_deg", -89, 89, 0.1),
        ("strikes.up.face_deg", -89, 89, 0.1),
        ("strikes.up.toe_mm", -40, 40, 0.1),
        ("strikes.up.high_mm", -40, 40, 0.1),
        ("strikes.up.tee_height_mm", 0, 101.6, 0.1),
        ("strikes.up.se.attack_deg", 0, 15, None),
        ("ball.drag_slope", 0, 1.2, 0.1),
        ("measured.drives", 1, 9999, None),
    ],
)
def test_a_number_is_taken_within_its_bounds(
    place: str, least: float, most: float, step: float | None
) -> None:
    """Both bounds are, and what is a step beyond is not."""
    values = [(least, True), (most, True), (least - (step or 1), False)]
    for value, sound in (*values, *([] if step is None else [(most + step, False)])):
        content: dict[str, Any] = deepcopy(LEAST)
        if place.startswith("ball"):
            content["ball"] = {"se": {"drag_slope": 0.1}}
        *tables, key = place.split(".")
        inner = content
        for name in tables:
            inner = inner.setdefault(name, {})
        inner[key] = value
        if sound:
            checked(content, PlayerFile, file=NAME, kind="player")
        else:
            with pytest.raises(InputError, match=re.escape(f"{place}: input should be")):
                checked(content, PlayerFile, file=NAME, kind="player")


@pytest.mark.parametrize(("place", "most"), [("name", 80), ("tee", 40), ("clubs", 40)])
def test_a_name_has_a_letter_and_no_more_than_so_many(place: str, most: int) -> None:
    for letters, sound in ((0, False), (1, True), (most, True), (most + 1, False)):
        name = "a" * letters
        content = LEAST | {place: {name: {}} if place == "clubs" else name}
        if sound:
            checked(content, PlayerFile, file=NAME, kind="player")
        else:
            with pytest.raises(InputError, match=f"{NAME}: {place}"):
                checked(content, PlayerFile, file=NAME, kind="player")


def test_a_day_of_measuring_is_a_date() -> None:
    content = LEAST | {"measured": {"drives": 12, "sessions": ["2026-05-12"]}}
    assert checked(content, PlayerFile, file=NAME, kind="player").measured is not None
    content["measured"] = {"drives": 12, "sessions": ["2026-05-12", "12 May"]}
    with pytest.raises(InputError, match="should be a date such as 2026-05-12"):
        checked(content, PlayerFile, file=NAME, kind="player")


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
            "at_mph = 95\nse = { speed_pct = 100 }",
            "spread.se.speed_pct: input should be less than or equal to 15, not 100; correct the value",
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


def test_a_plus_handicap_is_a_negative_number(write: Write) -> None:
    path = write(BARE.replace("handicap_index = 10", "handicap_index = +2"))
    assert complaint(path).endswith("write a handicap of +2 as -2.0")
