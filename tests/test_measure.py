"""Measured drives: tables as they come, what is made of them, and what each fault is called."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from holesim.demo import PLAYER, find
from holesim.errors import InputError
from holesim.measure import measure, player_toml, tell_apart
from holesim.measured import Measured, load_measured
from holesim.player import load_player, read_player
from holesim.units import DEGREE, MPH, YARD

from .conftest import Run
from .test_fit import measures, strikes, units

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
def options(tmp_path: Path) -> Callable[[str], Path]:
    def write(text: str) -> Path:
        path = tmp_path / "options.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_columns_are_read_in_si(table: Callable[..., Path]) -> None:
    measured = load_measured(table(*ROWS), balls="course")
    assert measured.lines.tolist() == list(range(2, 12))
    assert measured.values["club_speed"][:2] == pytest.approx([104 * MPH, 105 * MPH])
    assert measured.values["attack"][0] == pytest.approx(3.5 * DEGREE)
    assert measured.values["carry"][3] == pytest.approx(253 * YARD)
    assert np.sin(measured.values["offline"]) == pytest.approx([(i - 5) / (250 + i) for i in range(10)])
    assert measured.strikes == ()


def test_of_range_balls_direction_alone_is_taken(table: Callable[..., Path]) -> None:
    measured = load_measured(table(*ROWS), balls="range")
    assert set(measured.values) == {"club_speed", "attack", "start_direction", "offline"}


def test_other_headers_units_and_sides(table: Callable[..., Path], options: Callable[[str], Path]) -> None:
    told = options(
        'balls = "course"\n[columns]\nattack_deg = "Attack"\n'
        'club_speed_mph = { header = "Speed", unit = "km/h" }\n'
        'side_yd = { header = "Off Line", unit = "m", positive = "left" }\n'
        'carry_yd = { header = "Carry", unit = "m" }\n'
    )
    rows = [f'160,{2 + i},"1,2{i:02}",{100 + i}.5,{i} L' for i in range(6)]
    path = table("km/h,deg,rpm,m,m", *rows, "", head="Speed;Attack;spin_rpm;Carry;Off Line".replace(";", ","))
    measured = load_measured(path, options=told)
    assert measured.lines.tolist() == list(range(3, 9))
    assert measured.values["club_speed"][0] == pytest.approx(160 / 3.6)
    assert measured.values["spin"][5] == pytest.approx(1205 * np.pi / 30)
    assert measured.values["carry"][2] == pytest.approx(102.5)
    # Left is left, whichever side is positive.
    assert np.sin(measured.values["offline"][4]) == pytest.approx(-4 / 104.5)


@pytest.mark.parametrize(
    ("lines", "head", "message"),
    [
        ((*ROWS, "106,abc,0,250,0"), HEAD, "line 12, attack_deg: 'abc' is not a number"),
        ((*ROWS, "1060,3,0,250,0"), HEAD, "line 12, club_speed_mph: 1060 mph is not from 30 to 160"),
        (ROWS[:3], HEAD, "has 3 drives; hit 5 at the least"),
        (ROWS, "a,b,c,d,e", "has none of the columns"),
        (("1,2", "1,2,3"), "attack_deg,face_deg", "line 3: is not a table"),
        (ROWS, HEAD.replace("carry_yd", "total"), "side_yd: is no use without carry_yd"),
        (("1,upp",) * 6, "attack_deg,strike", "line 2, strike: 'upp' is no strike; did you mean up?"),
    ],
)  # fmt: skip
def test_faults_of_a_table(
    table: Callable[..., Path], lines: tuple[str, ...], head: str, message: str
) -> None:
    with pytest.raises(InputError) as caught:
        load_measured(table(*lines, head=head), balls="course")
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            '[columns]\nattak_deg = "A"',
            "columns.attak_deg: is not one of our columns; did you mean attack_deg?",
        ),
        ('[columns]\nattack_deg = "Attak"', "has no column 'Attak'; it has 'club_speed_mph'"),
        ('[columns]\nattack_deg = { header = "A", unit = "mph" }', "'mph' is no unit of it; give deg, rad"),
        ('ball = "range"', "ball: is not a key of a options file; did you mean balls?"),
    ],
)
def test_faults_of_options(
    table: Callable[..., Path], options: Callable[[str], Path], text: str, message: str
) -> None:
    with pytest.raises(InputError) as caught:
        load_measured(table(*ROWS), options=options(text), balls="course")
    assert message in str(caught.value)


def test_it_is_asked_whose_balls_they_were(table: Callable[..., Path]) -> None:
    with pytest.raises(InputError, match="range balls or the golfer's own"):
        load_measured(table(*ROWS))


def drives(attacks: NDArray[np.float64]) -> Measured:
    lines = np.arange(2, len(attacks) + 2)
    return Measured({"attack": attacks * DEGREE}, (), lines, "course", "range.csv")


def test_strikes_are_told_apart_where_they_clearly_are_two() -> None:
    rng = np.random.default_rng(1)
    one = rng.normal(1.0, 1.2, 60)
    two = np.concatenate([rng.normal(4.0, 0.8, 30), rng.normal(-2.5, 0.8, 20)])
    assert tell_apart(drives(one), None)[0] == ("level",)
    names, strike_of = tell_apart(drives(two), None)
    assert names == ("up", "down")
    assert strike_of.tolist() == [0] * 30 + [1] * 20


def test_a_measured_player_comes_back(tmp_path: Path, run: Run) -> None:
    rng, known = np.random.default_rng(3), strikes()
    centres, unit = units(known)
    columns = ("club_speed", "attack", "path", "face", "launch_angle", "start_direction", "spin", "axis_tilt")
    keys = ("club_speed_mph", "attack_deg", "path_deg", "face_deg", "launch_angle_deg", "start_direction_deg",
            "spin_rpm", "axis_tilt_deg")  # fmt: skip
    sizes = (MPH, DEGREE, DEGREE, DEGREE, DEGREE, DEGREE, 2 * np.pi / 60, DEGREE)
    rows = []
    for centre in centres:
        given = measures(centre + unit * rng.standard_normal((40, len(unit))), columns, rng)
        rows += np.array([given[name] / size for name, size in zip(columns, sizes, strict=True)]).T.tolist()
    path = tmp_path / "range.csv"
    path.write_text("\n".join([",".join(keys), *(",".join(f"{v:.2f}" for v in row) for row in rows)]))
    out = tmp_path / "player.toml"
    words = ("measure", str(path), "--out", str(out), "--like", str(find(PLAYER)), "--balls", "course")
    code, said, err = run(*words)
    assert code == 0, err
    assert "80 drives of range.csv, the player's own balls:" in said
    assert "by their attack" in said
    player = load_player(out)
    assert player.measured == 80
    assert {strike.club for strike in player.strikes} == {s.club for s in load_player(find(PLAYER)).strikes}
    for strike in known:
        found = player.driver(strike.name)
        assert abs(found.attack - strike.attack) < 3 * found.se["attack"]
        assert abs(found.club_speed - strike.club_speed) < 3 * found.se["club_speed"]
        assert abs(found.spread.face - strike.spread.face) < 3 * found.spread.se["face"]
        assert 0.03 < found.spread.se["face"] / found.spread.face < 0.25
    # The same seed, the same file.
    golfer, _ = read_player(find(PLAYER))
    assert player_toml(measure(load_measured(path, balls="course"), golfer), golfer) == out.read_text()
