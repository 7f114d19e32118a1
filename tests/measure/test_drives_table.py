"""The drives table: tables as they come, what is made of them, and what each fault is called."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from holesim.data.examples import PLAYER, find
from holesim.errors import InputError
from holesim.measure.drives_table import load_drives
from holesim.units import DEGREE, MPH, YARD
from tests.conftest import Run

HEAD = "club_speed_mph,attack_deg,start_direction_deg,carry_yd,side_yd"
ROWS = tuple(f"{104 + i % 3},{3.5 + i % 2},{i % 4 - 1.5},{250 + i},{i - 5}" for i in range(10))


@pytest.fixture
def table(tmp_path: Path) -> Callable[..., Path]:
    def write(*lines: str, head: str = HEAD, name: str = "range.csv") -> Path:
        path = tmp_path / name
        path.write_text("\n".join((head, *lines)) + "\n", encoding="utf-8")
        return path

    return write


@pytest.fixture
def columns(tmp_path: Path) -> Callable[[str], Path]:
    def write(text: str) -> Path:
        path = tmp_path / "columns.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_columns_are_read_in_si(table: Callable[..., Path]) -> None:
    drives = load_drives(table(*ROWS), balls="course")
    assert drives.lines.tolist() == list(range(2, 12))
    assert drives.values["club_speed"][:2] == pytest.approx([104 * MPH, 105 * MPH])
    assert drives.values["attack"][0] == pytest.approx(3.5 * DEGREE)
    assert drives.values["carry"][3] == pytest.approx(253 * YARD)
    assert np.sin(drives.values["offline"]) == pytest.approx([(i - 5) / (250 + i) for i in range(10)])
    assert drives.strikes == ()


def test_of_range_balls_direction_alone_is_taken(table: Callable[..., Path]) -> None:
    drives = load_drives(table(*ROWS), balls="range")
    assert set(drives.values) == {"club_speed", "attack", "start_direction", "offline"}


def test_other_headers_units_and_sides(table: Callable[..., Path], columns: Callable[[str], Path]) -> None:
    told = columns(
        'balls = "course"\n[columns]\nattack = "Attack"\nspin = "spin_rpm"\n'
        'club_speed = { header = "Speed", unit = "km/h" }\n'
        'side = { header = "Off Line", unit = "m", positive = "left" }\n'
        'carry = { header = "Carry", unit = "m" }\n'
    )
    rows = [f'160,{2 + i},"1,2{i:02}",{100 + i}.5,{i} L' for i in range(6)]
    path = table("km/h,deg,rpm,m,m", *rows, "", head="Speed;Attack;spin_rpm;Carry;Off Line".replace(";", ","))
    drives = load_drives(path, columns=told)
    assert drives.lines.tolist() == list(range(3, 9))
    assert drives.values["club_speed"][0] == pytest.approx(160 / 3.6)
    assert drives.values["spin"][5] == pytest.approx(1205 * np.pi / 30)
    assert drives.values["carry"][2] == pytest.approx(102.5)
    # Left is left, whichever side is positive.
    assert np.sin(drives.values["offline"][4]) == pytest.approx(-4 / 104.5)


@pytest.mark.parametrize(
    ("lines", "head", "message"),
    [
        ((*ROWS, "106,abc,0,250,0"), HEAD, "line 12, attack_deg: 'abc' is not a number"),
        (ROWS, HEAD.replace("club_speed_mph", "spin_rpm"), "spin_rpm: 10 of 10 numbers are not within 200"),
        (ROWS[:3], HEAD, "has 3 drives; hit at least 5"),
        (ROWS, "a,b,c,d,e", "has no column of measured numbers"),
        (("1,2", "1,2,3"), "attack_deg,face_deg", "line 3: is not a table's row: 3 cells, the header has 2"),
        (("1,upp",) * 6, "attack_deg,strike", "line 2, strike: 'upp' is not a strike; did you mean up?"),
    ],
)  # fmt: skip
def test_faults_of_a_table(
    table: Callable[..., Path], lines: tuple[str, ...], head: str, message: str
) -> None:
    with pytest.raises(InputError) as caught:
        load_drives(table(*lines, head=head), balls="course")
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            '[columns]\nattak_deg = "A"',
            "columns.attak_deg: is none of the columns that are used; did you mean attack?",
        ),
        ('[columns]\nattack = "Attak"', "has no column 'Attak'; did you mean 'attack_deg'?"),
        (
            '[columns]\nattack = { header = "A", unit = "mph" }',
            "columns.attack.unit: 'mph' is not one of deg, rad; write deg or rad",
        ),
        ('ball = "range"', "ball: is not known here; did you mean balls?"),
    ],
)
def test_faults_of_a_column_file(
    table: Callable[..., Path], columns: Callable[[str], Path], text: str, message: str
) -> None:
    with pytest.raises(InputError) as caught:
        load_drives(table(*ROWS), columns=columns(text), balls="course")
    assert message in str(caught.value)


def test_a_table_must_say_whose_balls_they_were(table: Callable[..., Path]) -> None:
    with pytest.raises(InputError, match="whether these were range balls"):
        load_drives(table(*ROWS))


def test_a_wild_number_is_left_out_and_told(table: Callable[..., Path]) -> None:
    rows = [f"{104 + i % 3},{i % 4 - 1.5}" for i in range(10)]
    rows[5] = "105,60"
    drives = load_drives(table(*rows, head="club_speed_mph,face_deg"), balls="course")
    assert [str(guess) for guess in drives.guesses] == [
        "line 7: face_deg 60 is beyond what a launch monitor gives; left out"
    ]
    assert np.flatnonzero(np.isnan(drives.values["face"])).tolist() == [5]
    # The rest of the drive is kept, and so are the others.
    assert len(drives.lines) == 10
    assert drives.values["club_speed"][5] == pytest.approx(105 * MPH)
    assert drives.values["face"][6] == pytest.approx(0.5 * DEGREE)


def test_a_wild_number_is_told_by_the_table_s_own_header(
    table: Callable[..., Path], columns: Callable[[str], Path]
) -> None:
    told = columns('balls = "course"\n[columns]\nclub_speed = { header = "Speed", unit = "km/h" }\n')
    rows = [f"{160 + i % 3}" for i in range(10)]
    drives = load_drives(table(*rows, '"1,060"', head="Speed"), columns=told)
    (guess,) = drives.guesses
    assert str(guess) == "line 12: Speed 1,060 is beyond what a launch monitor gives; left out"


@pytest.mark.parametrize("wild", [1, 2])
def test_up_to_a_quarter_of_a_column_may_be_misread(wild: int, table: Callable[..., Path]) -> None:
    rows = [f"{104 + i % 3},{70 if i < wild else 1}" for i in range(10)]
    drives = load_drives(table(*rows, head="club_speed_mph,face_deg"), balls="course")
    assert len(drives.guesses) == wild


@pytest.mark.parametrize("wild", [3, 10])
def test_a_column_of_which_more_is_wild_is_refused(wild: int, table: Callable[..., Path]) -> None:
    """Its unit may be another."""
    rows = [f"{104 + i % 3},{70 if i < wild else 1}" for i in range(10)]
    with pytest.raises(InputError) as caught:
        load_drives(table(*rows, head="club_speed_mph,face_deg"), balls="course")
    assert f"face_deg: {wild} of 10 numbers are not within -30 to 30 deg: 70 in line 2" in str(caught.value)
    assert "correct the column or its unit" in str(caught.value)


def test_the_command_tells_what_is_left_out(table: Callable[..., Path], tmp_path: Path, run: Run) -> None:
    rows = [f"{104 + i % 3},{i % 4 - 1.5}" for i in range(12)]
    rows[5] = "105,60"
    path, out = table(*rows, head="club_speed_mph,face_deg"), tmp_path / "player.toml"
    words = ("--out", str(out), "--like", str(find(PLAYER)), "--balls", "course")
    code, said, heard = run("measure", str(path), *words)
    assert code == 0, heard
    assert "holesim: warning: range.csv: line 7: face_deg 60 is beyond what a launch monitor gives" in heard
    assert said.startswith("12 drives in range.csv")
