"""Tables as they are exported: read right with what was assumed said, or refused in one line."""

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from holesim.data.examples import PLAYER, find
from holesim.errors import InputError
from holesim.measure.column_names import QUANTITIES, UNITS, read_header
from holesim.measure.drives_table import DrivesTable, load_drives, look_at_columns
from holesim.units import DEGREE, MPH, RPM, YARD
from tests.conftest import Run

Floats = NDArray[np.float64]
Write = Callable[..., Path]

DEMO = find("range/demo.csv")
KMH = 1 / 3.6


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def make(text: str | bytes, name: str = "range.csv") -> Path:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return make


def drives(count: int = 12) -> dict[str, Floats]:
    """Return drives of a golfer, in mph, degrees, yards and rpm."""
    rng = np.random.default_rng(7)
    attack = np.where(np.arange(count) < count // 2, 4.0, -3.0) + rng.normal(0, 0.8, count)
    return {
        "club": rng.normal(105, 1.5, count), "attack": attack, "path": rng.normal(0, 2, count),
        "face": rng.normal(0, 1.8, count), "ball": rng.normal(152, 2, count),
        "launch": 13 + 0.5 * attack + rng.normal(0, 1, count), "start": rng.normal(0, 1.6, count),
        "spin": rng.normal(2500, 250, count), "carry": rng.normal(250, 8, count),
        "side": rng.normal(0, 15, count),
    }  # fmt: skip


D = drives()


def column(name: str, size: float = 1.0, decimals: int = 1) -> list[str]:
    return [f"{value * size:.{decimals}f}" for value in D[name]]


def lettered(name: str, size: float = 1.0, space: str = " ") -> list[str]:
    return [f"{abs(value * size):.1f}{space}{'L' if value < 0 else 'R'}" for value in D[name]]


def commas(cells: Sequence[str]) -> list[str]:
    return [cell.replace(".", ",") for cell in cells]


def text(columns: Mapping[str, Sequence[str]], separator: str = ",") -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    writer.writerows([list(columns), *zip(*columns.values(), strict=True)])
    return out.getvalue()


def said(table: DrivesTable) -> str:
    return "\n".join(map(str, table.guesses))


def refused(path: Path, columns: Path | None = None) -> str:
    with pytest.raises(InputError) as caught:
        load_drives(path, columns=columns, balls="course")
    assert "\n" not in str(caught.value)
    return str(caught.value)


def check(table: DrivesTable, name: str, told: str, size: float, within: float = 0.06) -> None:
    """Check that a column holds drives as they were, to rounding."""
    assert table.values[name] / size == pytest.approx(D[told], abs=within)


# --- units ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "meant"),
    [
        ("Carry [m]", ("carry", "m", "")),
        ("Carry (m)", ("carry", "m", "")),
        ("carry distance, yds", ("carry", "yd", "")),
        ("Ball Speed (km/h)", ("ball_speed", "km/h", "")),
        ("BALL SPEED MPH", ("ball_speed", "mph", "")),
        ("BallSpeed", ("ball_speed", "", "")),
        ("ball_speed_mph", ("ball_speed", "mph", "")),
        ("Side L/R", ("side", "", "")),
        ("Offline (yd, L-/R+)", ("side", "yd", "right")),
        ("Offline (left positive)", ("side", "", "left")),
        ("Spin rate rpm", ("spin", "rpm", "")),
        ("Total Spin", ("spin", "", "")),
        ("Face to Path (deg)", ("face_to_path", "deg", "")),
        ("Face Angle (to path)", ("face_to_path", "", "")),
        ("Attack Angle °", ("attack", "deg", "")),
        ("Angle of Attack [°]", ("attack", "deg", "")),
        ("AoA", ("attack", "", "")),
        ("Club-Head Speed", ("club_speed", "", "")),
        ("Launch Direction", ("start_direction", "", "")),
        ("Launch Angle", ("launch_angle", "", "")),
        ("Spin Axis (°)", ("axis_tilt", "deg", "")),
        ("Dynamic Loft", ("dynamic_loft", "", "")),
        ("Impact Height (mm)", ("high", "mm", "")),
        ("Heel/Toe (in)", ("toe", "in", "")),
        ("Smash Factor", ("", "", "")),
        ("Total (yd)", ("", "yd", "")),
        ("Total Side (yd)", ("", "yd", "")),
        ("Spin Loft", ("", "", "")),
        ("Height", ("", "", "")),
        ("Swing Plane", ("", "", "")),
        ("Low Point", ("", "", "")),
        ("Landing Angle", ("", "", "")),
        ("", ("", "", "")),
    ],
)  # fmt: skip
def test_headers_say_what_they_are(header: str, meant: tuple[str, str, str]) -> None:
    found = read_header(header)
    assert (found.name, found.unit, found.positive) == meant


def test_our_own_headers_are_known() -> None:
    for name, quantity in QUANTITIES.items():
        found = read_header(f"{name}_{quantity.unit}")
        assert (found.name, found.unit) == (name, quantity.unit)


def test_a_carry_in_metres_is_in_metres(write: Write) -> None:
    table = load_drives(
        write(text({"Club Speed (mph)": column("club"), "Carry (m)": column("carry", 0.9144)})),
        balls="course",
    )
    check(table, "carry", "carry", YARD)
    assert said(table) == ""


def test_a_ball_speed_in_metres_a_second_is_told_by_its_size(write: Write) -> None:
    columns = {"Attack (deg)": column("attack"), "Ball Speed": column("ball", MPH)}
    table = load_drives(write(text(columns)), balls="course")
    check(table, "ball_speed", "ball", MPH, 0.12)
    assert said(table) == (
        "Ball Speed: no unit stated, taken as m/s, as 68.2 mph is not a golfer's;"
        " if it is not, write Ball Speed [mph]"
    )


def test_the_usual_unit_is_taken_where_another_is_possible_and_that_is_said(write: Write) -> None:
    columns = {"Club Speed": column("club"), "Ball Speed": column("ball"), "Carry": column("carry")}
    table = load_drives(write(text(columns)), balls="course")
    check(table, "club_speed", "club", MPH)
    check(table, "carry", "carry", YARD)
    assert said(table).splitlines() == [
        (
            "Club Speed, Ball Speed: no unit stated, taken as mph, as is usual; 104 km/h is possible, too;"
            " if it is not, write Club Speed [km/h]"
        ),
        (
            "Carry: no unit stated, taken as yd, as is usual; 246 m is possible, too;"
            " if it is not, write Carry [m]"
        ),
    ]


def test_columns_that_state_a_unit_settle_the_others(write: Write) -> None:
    columns = {
        "Club Speed (km/h)": column("club", MPH / KMH), "Ball Speed": column("ball", MPH / KMH),
        "Carry": column("carry", 0.9144), "Side": lettered("side", 0.9144),
    }  # fmt: skip
    table = load_drives(write(text(columns)), balls="course")
    check(table, "ball_speed", "ball", MPH)
    check(table, "carry", "carry", YARD)
    assert "Carry, Side: no unit stated, taken as m, as other columns are" in said(table)


def test_a_slow_golfers_speeds_in_kilometres_an_hour_are_told_by_the_carry(write: Write) -> None:
    """Each could be in miles an hour; the three of them could not."""
    columns = {
        "Club Speed": [f"{118 + k % 3}" for k in range(10)],
        "Ball Speed": [f"{165 + k % 4}" for k in range(10)],
        "Carry (m)": [f"{135 + k % 5}" for k in range(10)],
    }  # fmt: skip
    table = load_drives(write(text(columns)), balls="course")
    assert np.median(table.values["club_speed"]) == pytest.approx(119 * KMH)
    assert np.median(table.values["ball_speed"]) == pytest.approx(166.5 * KMH, abs=0.3)
    assert (
        "Club Speed, Ball Speed: no unit stated, taken as km/h, which agrees with the other columns"
        in said(table)
    )


def test_radians_are_told_by_their_size(write: Write) -> None:
    columns = {
        "Launch Angle": column("launch", DEGREE, 4), "Attack": column("attack", DEGREE, 4),
        "Spin": column("spin"),
    }  # fmt: skip
    table = load_drives(write(text(columns)), balls="course")
    check(table, "attack", "attack", DEGREE, 0.01)
    assert "taken as rad, as 0.2" in said(table)


def test_a_column_of_zeros_is_in_no_wrong_unit(write: Write) -> None:
    columns = {"Attack": ["0.0"] * 12, "Club Speed (mph)": column("club")}
    assert load_drives(write(text(columns)), balls="course").values["attack"].tolist() == [0] * 12


def test_a_spin_rate_with_a_point_between_thousands_is_said(write: Write) -> None:
    columns = {"Spin Rate": [f"{value / 1000:.3f}" for value in D["spin"]], "Carry (m)": ["230"] * 12}
    table = load_drives(write(text(columns)), balls="course")
    check(table, "spin", "spin", RPM, 0.6)
    assert "is taken as thousands, for a spin rate" in said(table)


def test_a_unit_of_the_wrong_kind_is_refused(write: Write) -> None:
    columns = {"Club Speed (yd)": column("club"), "Carry (yd)": column("carry")}
    assert refused(write(text(columns))) == (
        "range.csv: Club Speed (yd): yd is not a unit of club speed;"
        " it can be mph, m/s, km/h: correct the header"
    )
    columns = {"Club Speed": column("club"), "Carry": [f"{cell} rpm" for cell in column("carry")]}
    assert "line 2, Carry: '239.7 rpm' is in rpm; its unit can be yd, m, ft" in refused(write(text(columns)))


def test_a_stated_unit_that_cannot_be_is_refused_with_the_one_that_fits(write: Write) -> None:
    columns = {"Club Speed (mph)": column("club"), "Ball Speed (mph)": column("ball", MPH)}
    assert refused(write(text(columns))) == (
        "range.csv: Ball Speed (mph): cannot be in mph while Club Speed (mph) is in mph:"
        " Ball Speed (mph) in m/s would fit; correct the unit of one, in its header or with --columns"
    )


def test_a_size_that_no_unit_explains_is_refused(write: Write) -> None:
    columns = {"Attack": column("attack"), "Ball Speed": column("ball", 10)}
    assert refused(write(text(columns))) == (
        "range.csv: Ball Speed: 1,526 is not a golfer's in mph, m/s, km/h; km/h comes closest;"
        " correct the column, or leave it out with --columns"
    )


def test_a_header_and_cells_that_disagree_are_refused(write: Write) -> None:
    columns = {"Club Speed": column("club"), "Carry (m)": [f"{cell} yd" for cell in column("carry")]}
    assert "Carry (m): is stated to be in m, and 12 of its numbers in yd" in refused(write(text(columns)))


def test_cells_say_units_and_sides(write: Write) -> None:
    columns = {
        "Ball Speed": [f"{cell} mph" for cell in column("ball")],
        "Carry": [f"{cell} m" for cell in column("carry", 0.9144)],
        "Side": lettered("side", 0.9144, space=""),
        "Start Direction": [f"{cell}°" for cell in column("start")],
        "Spin": [f"{value:,.0f}" for value in D["spin"]],
    }
    table = load_drives(write(text(columns)), balls="course")
    check(table, "carry", "carry", YARD)
    check(table, "spin", "spin", RPM, 0.6)
    check(table, "start_direction", "start", DEGREE)
    offline = np.arcsin(D["side"] / D["carry"])
    assert table.values["offline"] == pytest.approx(offline, abs=0.001)
    assert "Start Direction: right is taken as positive" in said(table)


# --- forms ------------------------------------------------------------------------------------------


def test_an_export_with_all_of_it_reads_as_the_demo() -> None:
    """Titles, a row of units, semicolons, decimal commas, letters for sides, averages."""
    table, demo = (load_drives(find(f"range/{name}.csv"), balls="course") for name in ("exported", "demo"))
    assert table.strikes == demo.strikes
    for name, size, within in (
        ("club_speed", MPH, 0.04), ("attack", DEGREE, 0.06), ("face", DEGREE, 0.11),
        ("ball_speed", MPH, 0.04), ("spin", RPM, 0.6), ("carry", YARD, 0.06), ("offline", DEGREE, 0.05),
    ):  # fmt: skip
        assert table.values[name] / size == pytest.approx(demo.values[name] / size, abs=within), name
    assert "lines 46, 47: averages, deviations and the like are not drives; left out" in said(table)


PLAIN = {"Club Speed (mph)": column("club"), "Attack (°)": column("attack"), "Carry (yd)": column("carry")}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "latin-1", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_encodings_and_separators(write: Write, encoding: str, separator: str) -> None:
    table = load_drives(write(text(PLAIN, separator).encode(encoding)), balls="course")
    check(table, "attack", "attack", DEGREE)
    check(table, "carry", "carry", YARD)
    assert said(table) == ""


def test_decimal_commas(write: Write) -> None:
    columns = {name: commas(cells) for name, cells in PLAIN.items()}
    columns["Spin Rate"] = [f"{value:,.0f}".replace(",", ".") for value in D["spin"]]
    for separator in (";", "\t", ","):
        table = load_drives(write(text(columns, separator)), balls="course")
        check(table, "carry", "carry", YARD)
        check(table, "spin", "spin", RPM, 0.6)


def test_decimal_commas_without_quotes_are_refused(write: Write) -> None:
    path = write("Club Speed (mph),Carry (m)\n" + "105,3,230,1\n" * 6)
    assert refused(path) == (
        "range.csv: line 2: is not a table's row: 4 cells, the header has 2;"
        " correct it there; numbers with decimal commas need ; between cells"
    )


def test_two_header_rows(write: Write) -> None:
    columns = {"Speed": column("club"), "Attack": column("attack"), "Speed ": column("ball")}
    body = text(columns | {"Spin": column("spin")}).partition("\n")[2]
    for above in ("Club,Club,Ball,Ball", "Club,,Ball,"):
        path = write(f"{above}\nSpeed,Attack,Speed,Spin\nmph,deg,mph,rpm\n{body}")
        table = load_drives(path, balls="course")
        check(table, "club_speed", "club", MPH)
        check(table, "ball_speed", "ball", MPH)
        check(table, "attack", "attack", DEGREE)
        assert table.lines[0] == 4
        assert said(table) == ""


def test_an_average_without_a_word_is_known_by_its_numbers(write: Write) -> None:
    means = [f"{np.mean([float(c) for c in cells]):.1f}" for cells in PLAIN.values()]
    table = load_drives(write(text(PLAIN) + ",".join(means) + "\n"), balls="course")
    assert len(table.lines) == 12
    assert said(table) == "line 14: the average of the rows above; 1 row left out"
    # Drives are never that by chance, nor where a column has no decimals.
    assert len(load_drives(write(text(PLAIN)), balls="course").lines) == 12


def test_averages_at_the_foot_are_known_by_their_words(write: Write) -> None:
    columns = {"Note": ["", "below average"] + [""] * 10} | PLAIN
    foot = "Average (12 drives),104,1,250\nDriver: Std. Dev.,2,3,8\n"
    table = load_drives(write(text(columns) + foot), balls="course")
    assert len(table.lines) == 12
    assert said(table) == "lines 14, 15: averages, deviations and the like are not drives; left out"


def test_other_clubs_are_left_out_and_said(write: Write) -> None:
    clubs = ["Driver"] * 8 + ["7 Iron"] * 3 + ["PW"]
    table = load_drives(write(text({"Club": clubs} | PLAIN)), balls="course")
    assert len(table.lines) == 8
    assert said(table) == "lines 10, 11, 12, 13: of other clubs (7 Iron, PW); 4 rows left out"
    clubs[2] = ""
    assert "of other clubs (7 Iron, PW, and none named); 5 rows left out" in said(
        load_drives(write(text({"Club": clubs} | PLAIN)), balls="course")
    )
    message = refused(write(text({"Club": ["7 Iron"] * 12} | PLAIN)))
    assert (
        "holds no drives: its club column says 7 Iron; keep the drives, and call the club driver" in message
    )


def test_drives_of_two_golfers_are_refused(write: Write) -> None:
    message = refused(write(text({"Player": ["Ana"] * 6 + ["Bea"] * 6} | PLAIN)))
    assert message == "range.csv: holds drives of 2 golfers (Ana, Bea); keep one of them"


def test_blank_rows_and_repeated_headers_are_no_drives(write: Write) -> None:
    head, *rows = text(PLAIN).splitlines()
    path = write("\n\n".join(["My session", head, *rows[:6], "", ",,", head, *rows[6:]]))
    table = load_drives(path, balls="course")
    check(table, "carry", "carry", YARD)
    assert said(table) == ""


def test_a_row_of_nothing_measured_is_left_out_and_said(write: Write) -> None:
    columns = {"Shot": [str(k) for k in range(12)]} | {name: list(cells) for name, cells in PLAIN.items()}
    for cells in list(columns.values())[1:]:
        cells[4] = "--"
    columns["Carry (yd)"][7] = ""
    table = load_drives(write(text(columns)), balls="course")
    assert said(table).splitlines() == [
        "Shot: not used; if one matters, name it with --columns",
        "line 6: nothing was measured; 1 row left out",
    ]
    # A drive without a carry still counts for what was measured of it.
    assert len(table.lines) == 11
    assert np.flatnonzero(np.isnan(table.values["carry"])).tolist() == [6]


def test_a_drive_without_its_strike_is_left_out_and_said(write: Write) -> None:
    strikes = ["Up"] * 5 + [""] + ["d"] * 6
    table = load_drives(write(text({"Strike": strikes} | PLAIN)), balls="course")
    assert table.strikes == ("up",) * 5 + ("down",) * 6
    assert said(table) == "line 7: the strike column does not say which strike it was; 1 row left out"


def test_of_two_columns_of_the_same_one_is_used_and_the_other_said(write: Write) -> None:
    columns = {
        "Carry": column("carry", 0.9144),
        "Carry (yd)": column("carry"),
        "Club Speed (mph)": column("club"),
    }
    table = load_drives(write(text(columns)), balls="course")
    check(table, "carry", "carry", YARD)
    assert said(table) == "Carry: holds the same as 'Carry (yd)'; not used"


def test_spin_and_face_are_worked_out_from_what_there_is(write: Write) -> None:
    columns = {
        "Back Spin": column("spin"), "Side Spin (L+)": column("side", -10), "Club Path (deg)": column("path"),
        "Face to Path (deg)": [f"{f - p:.1f}" for f, p in zip(D["face"], D["path"], strict=True)],
    }  # fmt: skip
    table = load_drives(write(text(columns)), balls="course")
    check(table, "face", "face", DEGREE, 0.11)
    assert table.values["spin"] / RPM == pytest.approx(np.hypot(D["spin"], 10 * D["side"]), abs=0.1)
    assert np.tan(table.values["axis_tilt"]) == pytest.approx(10 * D["side"] / D["spin"], abs=0.001)


def test_directions_that_go_opposite_ways_are_said(write: Write) -> None:
    columns = {"Face (deg)": column("face"), "Start Direction (deg)": column("face", -0.8)}
    table = load_drives(write(text(columns)), balls="course")
    assert "Face (deg), Start Direction (deg): go opposite ways; if left is positive in one" in said(table)


def test_a_side_without_a_carry_is_said(write: Write) -> None:
    table = load_drives(
        write(text({"Side (yd)": lettered("side"), "Face (deg)": lettered("face")})), balls="course"
    )
    assert list(table.values) == ["face"]
    assert said(table) == "side: says no direction without a carry; not used; add carry"


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"PK\x03\x04 and more", "is a spreadsheet's own file; save it as CSV there, and give that"),
        (bytes(range(256)) * 4, "is not a table of text; export it as CSV"),
        (b"", "is empty; export it again"),
        (b"\n\n", "is empty; export it again"),
        (b"Club Speed (mph),Carry (yd)\n", "has 0 drives; hit at least 5"),
        (b"only words\nand more words\n", "has no column of measured numbers that is known"),
    ],
)
def test_what_is_no_table(write: Write, content: bytes, message: str) -> None:
    assert message in refused(write(content))


# --- the column file --------------------------------------------------------------------------------


def test_the_columns_shown_can_be_corrected_and_given_back(write: Write, run: Run, tmp_path: Path) -> None:
    columns = {
        "Ball Speed": column("ball"),
        "Carry": column("carry"),
        "Side": column("side"),
        "Smash": ["1.45"] * 12,
    }
    path, mapping = write(text(columns)), tmp_path / "range.columns.toml"
    words = ("--show-columns", "--columns", str(mapping))
    code, shown, heard = run("measure", str(path), *words, "--balls", "course")
    assert (code, mapping.read_text(encoding="utf-8")) == (0, shown), heard
    assert "#   Carry       239.7  252.8  236.5  carry, yd\n" in shown
    assert "#   Smash       1.45  1.45  1.45     not used\n" in shown
    assert "# ! Side: right is taken as positive; if it is not, use --columns\n" in shown
    assert 'side = { header = "Side", unit = "yd", positive = "right" }\n' in shown
    # As it is, it says what was assumed, so nothing is left to say.
    same, first = (load_drives(path, columns=given, balls="course") for given in (mapping, None))
    assert same.guesses == ()
    assert {name: values.tolist() for name, values in same.values.items()} == {
        name: values.tolist() for name, values in first.values.items()
    }
    mapping.write_text(
        shown.replace('"yd", positive = "right"', '"m", positive = "left"').replace("ball_speed =", "#")
    )
    other = load_drives(path, columns=mapping, balls="course")
    assert np.sin(other.values["offline"]) == pytest.approx(-np.sin(first.values["offline"]) / 0.9144)
    assert "ball_speed" not in other.values
    # It is not overwritten.
    again = run("measure", str(path), *words)[1]
    assert 'balls = "course"\n' in again
    assert "#   Side        " in again
    assert "m, left positive" in again
    assert mapping.read_text() != again


def test_a_fault_is_shown_among_the_columns(write: Write) -> None:
    found = look_at_columns(write(text({"Ball Speed": column("ball", 10), "Carry (yd)": column("carry")})))
    faults = [column.fault for column in found.columns]
    assert "1,526 is not a golfer's" in str(faults[0])
    assert faults[1] is None


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ('[headers]\ncarry = "Carry"',
         "headers: is not known here; did you mean [columns]? Below it stands carry ="),
        ("", "columns: lists no column; write [columns], and below it carry ="),
        ('columns = "Carry"', "columns: is 'Carry'; write [columns]"),
        ('[columns]\ncarry = { header = "" }',
         "columns.carry.header: is empty; write the header that stands in"),
        ('[columns]\n"" = "Carry"', 'columns."": is none of the columns that are used'),
        ('[columns]\ncarry = { unit = "m" }', "columns.carry.header: is missing"),
        ('[columns]\ncarry = { header = "Carry", units = "m" }',
         "columns.carry.units: is not known here; did you mean unit?"),
        ('[columns]\ncarry = { header = "Cary" }',
         "range.csv has no column 'Cary'; did you mean 'Carry (yd)'?"),
        ('[columns]\ncarry = { header = "Carry (yd)", unit = "mph" }',
         "'mph' is not one of yd, m, ft; write yd or m or ft"),
        ('[columns]\nattack_deg = "Attack (°)"',
         "columns.attack_deg: is none of the columns that are used; did you mean attack?"),
        ('[columns]\ncary = "Carry (yd)"', "did you mean carry?"),
        ('[columns]\nattack = { header = "Attack (°)", positive = "right" }',
         "'right' is not one of up, down; write up or down"),
        ('[columns]\ncarry = { header = "Carry (yd)", positive = "up" }',
         "columns.carry.positive: has no meaning for this column"),
        ("[columns]\ncarry = 3", "columns.carry: is 3; write carry = { header ="),
        ("[columns]\ncarry = { header = 3 }", "columns.carry.header: is 3; put it in quotes"),
        ('[columns]\ncarry = "Carry (yd)"\nside = "Carry (yd)"',
         "columns.side: is 'Carry (yd)', as columns.carry is"),
        ('positive = "up"', "positive: says not of which column; write it inside one: carry = {"),
        ('carry = "Carry (yd)"', "carry: stands outside [columns]; move it below a line [columns]"),
        ('balls = "mine"', "balls: is 'mine'; write \"range\" or \"course\""),
        ("[columns\n", "line 1, column 9: is not TOML (expected ']'"),
        ("x = " + "[" * 3000, "is not TOML"),
    ],
)  # fmt: skip
def test_faults_of_a_column_file_are_one_line(write: Write, content: str, message: str) -> None:
    told = refused(write(text(PLAIN)), write(content, "columns.toml"))
    assert told.startswith("columns.toml: ")
    assert message in told


def test_neither_the_table_nor_the_column_file_is_overwritten(write: Write, run: Run) -> None:
    path = write(text(PLAIN))
    columns = write('[columns]\ncarry = "Carry (yd)"\nattack = "Attack (°)"\n', "columns.toml")
    for out in (path, columns):
        before = out.read_bytes()
        words = (
            "--out",
            str(out),
            "--columns",
            str(columns),
            "--like",
            str(find(PLAYER)),
            "--balls",
            "course",
        )
        code, _, heard = run("measure", str(path), *words)
        assert (code, heard.count("\n")) == (2, 1)
        assert "is what is read; give another file or folder" in heard
        assert out.read_bytes() == before


# --- any unit and sign ------------------------------------------------------------------------------

_HEADERS = {
    "club_speed": "Club Speed", "attack": "Attack Angle", "path": "Club Path", "face": "Face Angle",
    "ball_speed": "Ball Speed", "launch_angle": "Launch Angle", "start_direction": "Launch Direction",
    "spin": "Spin Rate", "carry": "Carry", "side": "Offline",
}  # fmt: skip
_TOLD = {"club_speed": "club", "ball_speed": "ball", "launch_angle": "launch", "start_direction": "start"}
_CHOICES = st.fixed_dictionaries(
    {
        name: st.tuples(st.sampled_from(sorted(UNITS[QUANTITIES[name].kind])), st.booleans())
        for name in _HEADERS
    }
)


@given(
    choices=_CHOICES, brackets=st.sampled_from(["[]", "()"]), comma=st.booleans(), below=st.booleans(),
    separator=st.sampled_from([";", "\t", ","]),
)  # fmt: skip
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_unit_and_sign_that_headers_say_gives_the_same_drives(
    tmp_path: Path,
    choices: dict[str, tuple[str, bool]],
    brackets: str,
    comma: bool,  # noqa: FBT001 - drawn by hypothesis
    below: bool,  # noqa: FBT001
    separator: str,
) -> None:
    columns, units = {}, []
    for name, (unit, turned) in choices.items():
        quantity = QUANTITIES[name]
        known = UNITS[quantity.kind]
        size = known[quantity.unit] / known[unit]
        ends = quantity.ends
        inside = [] if below else [unit]
        if ends:
            inside.append(f"+ = {ends[1] if turned else ends[0]}")
        header = _HEADERS[name] + (f" {brackets[0]}{', '.join(inside)}{brackets[1]}" if inside else "")
        cells = column(_TOLD.get(name, name), -size if turned and ends else size, 5)
        columns[header] = commas(cells) if comma else cells
        units.append(unit)
    head, _, body = text(columns, separator).partition("\n")
    path = tmp_path / "any.csv"
    path.write_text(
        f"{head}\n{separator.join(units)}\n{body}" if below else f"{head}\n{body}", encoding="utf-8"
    )
    table = load_drives(path, balls="course")
    assert said(table) == ""
    for name in _HEADERS:
        if name != "side":
            quantity = QUANTITIES[name]
            check(table, name, _TOLD.get(name, name), UNITS[quantity.kind][quantity.unit], 0.001)
    assert np.sin(table.values["offline"]) == pytest.approx(D["side"] / D["carry"], abs=1e-5)
