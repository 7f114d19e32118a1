"""Tables in small: numbers, sides, units and blanks as exported; names that look like formulas."""

import math
import re
from pathlib import Path

import pandas as pd
import pytest

import holesim
from holesim.common.csv_tables import guarded, number, parsed, rows_text, table_text, unguarded
from holesim.errors import InputError
from holesim.measure.table_text import read_text_table

NAMES = ["=1+1", "+cmd|' /C calc'!A0", "-A1", "@SUM(A1)", "'=1", "'tis", "Vale", "-", "=", "+1+1", "\t=1"]


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("12", 12), ("-12.5", -12.5), ("+3", 3), (".5", 0.5), ("-.5", -0.5), ("1,234", 1234),
        ("1,234.5", 1234.5), ("3.2 L", -3.2), ("3.2R", 3.2), ("L 3.2", -3.2), ("r3.2", 3.2),
        ("-3.2 L", -3.2), ("-3.2 R", 3.2),
        ("far", None), ("L 3 R", None), ("3 yd", None), ("1.2.3", None), ("3 L R", None), ("--3", None),
    ],
)  # fmt: skip
def test_the_number_in_a_cell(cell: str, value: float | None) -> None:
    assert number(cell, 1.0) == value


def test_a_number_without_a_letter_has_the_sign_that_is_given() -> None:
    assert (number("3.2", -1.0), number("-3.2", -1.0), number("3.2 L", -1.0)) == (-3.2, 3.2, -3.2)


@pytest.mark.parametrize("cell", ["", "-", "--", "n/a", "N/A", "nan", "NaN"])
def test_a_cell_that_says_nothing(cell: str) -> None:
    assert math.isnan(number(cell, 1.0) or 0.0)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_rows_keep_their_lines_and_blank_ones_and_units_are_left_out(separator: str) -> None:
    rows = [("hole", "lie"), ("no.", ""), ("4", " rough "), ("", "-"), ("\N{MINUS SIGN}5", "trees")]
    table = parsed("\n".join(map(separator.join, rows)).encode("utf-8-sig"), "round.csv")
    assert list(table.columns) == ["hole", "lie"]
    assert table.index.tolist() == [3, 5]
    assert table.to_numpy().tolist() == [["4", "rough"], ["-5", "trees"]]


def test_a_first_row_with_a_number_is_no_row_of_units() -> None:
    assert parsed(b"hole,lie\n4,rough\n", "round.csv").index.tolist() == [2]
    # Only the first row may be units.
    assert len(parsed(b"hole,lie\n4,rough\nfour,rough\n", "round.csv")) == 2


def test_a_column_named_twice_but_for_spaces_counts_once() -> None:
    assert parsed(b"hole, hole\n4,5\n", "round.csv").to_numpy().tolist() == [["4"]]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"hole\n\xff\xfe\n", "round.csv: is not UTF-8 text; save it as CSV in UTF-8"),
        (b"", "round.csv: is not a table of comma-separated values; correct it there"),
        (b"a,b\n1,2\n1,2,3,4\n",
         "round.csv: line 3: is not a table of comma-separated values; correct it there"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_told_with_its_line(raw: bytes, said: str) -> None:
    with pytest.raises(InputError) as caught:
        parsed(raw, "round.csv")
    assert str(caught.value) == said


@pytest.mark.parametrize("name", NAMES)
def test_no_name_is_a_formula_and_each_is_read_as_it_was(name: str) -> None:
    assert unguarded(guarded(name)) == name
    assert name == "-" or guarded(name)[0] not in "=+-@\t"


@pytest.mark.parametrize("number", ["-3.2", "+4", "-12 L", "-1.5°", "-4 mph", "-1,234.5", "-2e-05", "--"])
def test_a_number_stays_as_it_is(number: str) -> None:
    assert guarded(number) == number


def test_tables_are_written_and_read_with_such_names() -> None:
    table = pd.DataFrame({"club": ["=1+1", "driver"], "@side": [-3.5, 2.0], "close": [True, False]})
    text = table_text(table)
    assert text == "club,'@side,close\n'=1+1,-3.5,True\ndriver,2.0,False\n"
    assert table["club"].tolist() == ["=1+1", "driver"]
    assert rows_text([["club", "@side"], ["=1+1", "-3.5"]]) == "club,'@side\n'=1+1,-3.5\n"
    assert parsed(text.encode(), "x.csv")[["club", "@side"]].to_numpy().tolist() == [
        ["=1+1", "-3.5"],
        ["driver", "2.0"],
    ]
    assert read_text_table(text.encode(), "x.csv", str).headers == ("club", "@side", "close")


def test_no_other_module_writes_tables() -> None:
    package = Path(holesim.__path__[0])
    writing = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if re.search(r"\.to_csv\(|csv\.writer|DictWriter", path.read_text(encoding="utf-8"))
    }
    assert writing == {"common/csv_tables.py"}
