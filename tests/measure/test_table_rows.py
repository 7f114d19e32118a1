"""Tables corrected by hand: the strike of a drive, and drives taken out."""

from pathlib import Path

import pytest

from holesim.data.examples import find
from holesim.errors import InputError
from holesim.measure.drives_table import load_drives
from holesim.measure.table_rows import correct_table, list_rows


@pytest.mark.parametrize("name", ["range/demo.csv", "range/exported.csv"])
def test_a_table_that_is_not_corrected_is_read_alike(name: str, tmp_path: Path) -> None:
    (tmp_path / "again.csv").write_text(correct_table(find(name), strikes={}, left_out=()), encoding="utf-8")
    first, again = (
        load_drives(find(name), balls="course"),
        load_drives(tmp_path / "again.csv", balls="course"),
    )
    assert first.strikes == again.strikes
    for column, values in first.values.items():
        assert values.tolist() == pytest.approx(again.values[column].tolist(), nan_ok=True)


def test_a_table_without_strikes_gets_a_column_of_them(tmp_path: Path) -> None:
    rows = "".join(f"{k},{100 + k}.5,{'3' if k % 2 else '-3'}\n" for k in range(12))
    table = tmp_path / "plain.csv"
    table.write_text(f"Shot,Club Speed [mph],Attack [deg]\n{rows}", encoding="utf-8")
    found = list_rows(table)
    assert {row.strike for row in found.rows} == {None}
    strikes = {row.line: "up" if row.cells[2] == "3" else "down" for row in found.rows}
    corrected = tmp_path / "corrected.csv"
    text = correct_table(table, strikes=strikes, left_out=[found.rows[0].line])  # type: ignore[arg-type]
    corrected.write_text(text, encoding="utf-8")
    drives = load_drives(corrected, balls="course")
    assert drives.strikes == ("up", "down") * 5 + ("up",)
    assert [row.strike for row in list_rows(corrected).rows] == list(drives.strikes)


def test_a_line_that_is_no_drive_is_refused() -> None:
    with pytest.raises(InputError, match="line 1: is no drive of this table"):
        correct_table(find("range/demo.csv"), strikes={}, left_out=[1])
