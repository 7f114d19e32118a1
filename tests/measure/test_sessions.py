"""Sessions: dates as tables write them, which are asked about, and tables that do not go together."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from holesim.data.examples import PLAYER, find
from holesim.errors import InputError
from holesim.measure.drives_table import DrivesTable, load_drives
from holesim.measure.session_dates import find_date, is_day_first, read_date
from holesim.measure.sessions import join_tables, load_tables
from holesim.player.player_file import read_player
from tests.conftest import Run

HEAD = "club_speed_mph,attack_deg,face_deg"
Table = Callable[..., DrivesTable]


def rows(seed: int, count: int = 6) -> list[str]:
    return [
        f"{100 + (7 * i + seed) % 9}.{seed},{3 + i % 2}.{i},{(i + seed) % 5 - 2}.{seed}" for i in range(count)
    ]


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Write a table of drives, with a date column if dates are given."""

    def written(name: str, seed: int, *dates: str, extra: str = "", head: str = "Date") -> Path:
        lines = rows(seed, len(dates) or 6)
        text = [f"{line},{dates[i]}" if dates else line for i, line in enumerate(lines)]
        text = [f"{line},{extra}" if extra else line for line in text]
        header = HEAD + (f",{head}" if dates else "") + (",player" if extra else "")
        path = tmp_path / name
        path.write_text("\n".join([header, *text]) + "\n", encoding="utf-8")
        return path

    return written


@pytest.fixture
def table(write: Callable[..., Path]) -> Table:
    def read(name: str, seed: int, *dates: str, **more: str) -> DrivesTable:
        return load_drives(write(name, seed, *dates, **more), balls="course")

    return read


def sessions(found: DrivesTable) -> dict[str, int]:
    """Return how many drives each session has."""
    return {s.name: int((found.session_of == k).sum()) for k, s in enumerate(found.sessions)}


# --- dates ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "2026-05-25", "2026-05-25 14:03:11", "2026-05-25T14:03Z", "2026/5/25", "2026.05.25", "20260525",
        "20260525T140311", "25/05/2026", "05/25/2026 2:03 PM", "25.05.26", "25-5-2026", "Mon 25/05/2026",
        "25 May 2026", "25-May-26", "25th May 2026, 14:03", "May 25, 2026", "Mon, May 25 2026 2:03 PM",
    ],
)  # fmt: skip
def test_a_date_that_can_be_but_one_day(text: str) -> None:
    found = read_date(text)
    assert found is not None
    assert {found.day_first, found.month_first} - {None} == {date(2026, 5, 25)}


@pytest.mark.parametrize("text", ["", "31/31/2026", "2026-02-30", "12 iron 45", "1779718800", "44 mm"])
def test_what_is_no_date(text: str) -> None:
    assert read_date(text) is None


def test_a_number_over_twelve_tells_which_is_the_day() -> None:
    def order(*texts: str) -> bool | None:
        return is_day_first([written for text in texts if (written := read_date(text))], "range.csv")

    assert order("12/05/2026", "25/05/2026") is True
    assert order("05/12/2026", "05/25/2026") is False
    assert order("12/05/2026", "06/05/2026") is None
    assert order("12.05.2026") is True
    with pytest.raises(InputError, match="has 25/05/2026 with the day first and 05/25/2026 with the month"):
        order("25/05/2026", "05/25/2026")


def test_a_date_in_the_name_of_a_file() -> None:
    assert find_date("range_2026-05-12.csv") == date(2026, 5, 12)
    assert find_date("2026-05-12 to 2026-06-12.csv") is None
    assert find_date("12026-05-123.csv") is None
    assert find_date("2026-13-12.csv") is None


# --- tables ---------------------------------------------------------------------------------------


def test_tables_stand_in_the_order_of_their_dates(table: Table) -> None:
    june, may = table("june.csv", 1, *["2026-06-14"] * 6), table("range 2026-05-12.csv", 2)
    found = join_tables([june, may])
    assert [session.day for session in found.sessions] == [date(2026, 5, 12), date(2026, 6, 14)]
    assert found.session_of.tolist() == [1] * 6 + [0] * 6
    assert found.file_of.tolist() == [0] * 6 + [1] * 6
    assert found.lines.tolist() == [*range(2, 8)] * 2
    assert found.values["attack"][:6].tolist() == june.values["attack"].tolist()
    assert found.guesses == ()


def test_two_dates_in_one_table_are_two_sessions(table: Table) -> None:
    found = join_tables([table("all.csv", 1, *["2026-06-14 09:10"] * 7, *["2026-05-12 18:00"] * 5, "")])
    assert sessions(found) == {"2026-05-12": 5, "2026-06-14": 7}
    assert [str(guess) for guess in found.guesses] == ["all.csv: drives without a date: 1; left out"]
    # With one date in a table a blank cell leaves nothing open.
    assert sessions(join_tables([table("one.csv", 1, *["2026-05-12"] * 7, "")])) == {"2026-05-12": 8}


def test_two_tables_of_one_day_are_one_session(table: Table) -> None:
    found = join_tables([table("a 2026-05-12.csv", 1), table("b 2026-05-12.csv", 2)])
    assert sessions(found) == {"2026-05-12": 12}


def test_a_column_that_one_table_lacks_is_blank_there(table: Table, tmp_path: Path) -> None:
    path = tmp_path / "spin 2026-06-01.csv"
    path.write_text("spin_rpm,attack_deg\n" + "\n".join(f"25{i}0,3.{i}" for i in range(6)))
    found = join_tables([table("a 2026-05-12.csv", 1), load_drives(path, balls="course")])
    assert found.values["spin"].tolist()[:6] == pytest.approx([float("nan")] * 6, nan_ok=True)
    assert found.values["attack"][6] == pytest.approx(0.05236, rel=1e-3)


def test_without_dates_tables_are_sessions_in_the_order_given(table: Table) -> None:
    found = join_tables([table("b.csv", 1), table("a.csv", 2)])
    assert sessions(found) == {"b.csv": 6, "a.csv": 6}
    assert "no dates, so each table is a session, in the order given" in str(found.guesses[0])
    assert join_tables([table("b.csv", 1)]).guesses == ()


def test_dates_can_be_given(table: Table) -> None:
    tables = [table("b.csv", 1), table("a.csv", 2)]
    found = join_tables(tables, dates=["2026-06-01", "2026-05-01"])
    assert sessions(found) == {"2026-05-01": 6, "2026-06-01": 6}
    assert found.session_of.tolist() == [1] * 6 + [0] * 6
    for dates, message in (
        (["2026-05-01"], "--date: 1 for 2 tables; give one for each table"),
        (["1 May", "2026-06-01"], "--date: '1 May' is not a date; write it as 2026-05-12"),
        (["2026-02-30", "2026-06-01"], "--date: '2026-02-30' is not a date"),
    ):
        with pytest.raises(InputError, match=message):
            join_tables(tables, dates=dates)
    with pytest.raises(InputError, match=r"--date: 2026-06-01 is not what c.csv says: 12 May 2026"):
        join_tables([table("c.csv", 1, *["2026-05-12"] * 6)], dates=["2026-06-01"])


def test_a_date_of_two_meanings_is_asked_about(table: Table) -> None:
    tables = [table("a.csv", 1, *["12/05/2026"] * 6), table("b.csv", 2, *["06/07/2026"] * 6)]
    with pytest.raises(InputError) as error:
        join_tables(tables)
    assert str(error.value) == (
        "a.csv: 12/05/2026: may be 12 May 2026 or 5 December 2026; add --day-first or --month-first"
    )
    assert list(sessions(join_tables(tables, day_first=True))) == ["2026-05-12", "2026-07-06"]
    assert list(sessions(join_tables(tables, day_first=False))) == ["2026-06-07", "2026-12-05"]
    # Another date tells, and that is said.
    told = join_tables([tables[0], table("c.csv", 3, *["25/07/2026"] * 6)])
    assert list(sessions(told)) == ["2026-05-12", "2026-07-25"]
    assert "12/05/2026: is taken as 12 May 2026" in str(told.guesses[0])
    with pytest.raises(InputError, match=r"c.csv: line 2: 25/07/2026 is no date with the month first"):
        join_tables([table("c.csv", 3, *["25/07/2026"] * 6)], day_first=False)
    # Where all drives have it, it makes no difference which day it was.
    alone = join_tables([tables[0]])
    assert sessions(alone) == {"a.csv": 6}
    assert alone.sessions[0].day is None
    assert "may be 12 May 2026 or 5 December 2026" in str(alone.guesses[0])


def test_what_is_no_date_is_said(table: Table) -> None:
    found = join_tables([table("a.csv", 1, *["1779718800"] * 6)])
    assert "'1779718800': is not a date; the column is not used" in str(found.guesses[0])
    with pytest.raises(InputError, match=r"a.csv: line 7: 'soon' is not a date; write it as 2026-05-12"):
        join_tables([table("a.csv", 1, *["2026-05-12"] * 5, "soon")])


def test_tables_that_do_not_go_together(table: Table, tmp_path: Path, write: Callable[..., Path]) -> None:
    dated, undated = table("a.csv", 1, *["2026-05-12"] * 6), table("b.csv", 2)
    with pytest.raises(InputError, match=r"b.csv: has no date, and a.csv has one; add --date for each"):
        join_tables([dated, undated])
    with pytest.raises(InputError, match=r"d.csv: is of Ana Reith, and c.csv of Corin Vale"):
        join_tables([table("c.csv", 1, extra="Corin Vale"), table("d.csv", 2, extra="Ana Reith")])
    path = tmp_path / "named.csv"
    path.write_text("strike,attack_deg\n" + "\n".join(f"up,3.{i}" for i in range(6)))
    with pytest.raises(InputError, match=r"b.csv: does not name the strikes, as named.csv does"):
        join_tables([load_drives(path, balls="course"), undated])
    with pytest.raises(InputError, match=r"e.csv: is given twice; leave one out"):
        load_tables([write("e.csv", 1)] * 2)


def test_drives_that_stand_in_two_tables_count_once(table: Table) -> None:
    """An export of all sessions holds those of the one before."""
    may, both = (
        table("may.csv", 1, *["2026-05-12"] * 6),
        table("all.csv", 1, *["2026-05-12"] * 6, "2026-06-14"),
    )
    found = join_tables([may, both])
    assert sessions(found) == {"2026-05-12": 6, "2026-06-14": 1}
    assert "all.csv: drives that stand in another table, too: 6; counted once" in str(found.guesses[0])


# --- the command ----------------------------------------------------------------------------------


def test_the_player_file_lists_the_sessions(run: Run, write: Callable[..., Path], tmp_path: Path) -> None:
    first, second = write("june.csv", 1, *["14/06/2026"] * 12), write("may.csv", 2, *["12/05/2026"] * 12)
    out = tmp_path / "p.toml"
    words = ("--out", str(out), "--like", str(find(PLAYER)), "--balls", "course")
    code, said, heard = run("measure", str(first), str(second), *words)
    assert code == 0, heard
    assert "12/05/2026: is taken as 12 May 2026" in heard
    assert said.startswith("24 drives in june.csv and may.csv, the player's own balls: 24 up")
    assert "\n2 sessions: 12 May 2026 (12 drives), 14 June 2026 (12 drives)\n" in said
    file, _ = read_player(out)
    assert file.measured is not None
    assert file.measured.sessions == ["2026-05-12", "2026-06-14"]
    out.write_text(out.read_text().replace("2026-06-14", "14 June"))
    with pytest.raises(InputError, match=r"measured.sessions 2: should be a date such as 2026-05-12"):
        read_player(out)


def test_the_date_is_a_column_like_others(run: Run, write: Callable[..., Path], tmp_path: Path) -> None:
    path, columns = write("a.csv", 1, *["2026-05-12"] * 6, head="When"), tmp_path / "columns.toml"
    columns.write_text('[columns]\nattack = "attack_deg"\ndate = "When"\n')
    code, said, _ = run("measure", str(path), "--show-columns", "--columns", str(columns))
    assert code == 0
    line = next(line for line in said.splitlines() if "When" in line)
    assert line.split() == ["#", "When", "2026-05-12", "2026-05-12", "2026-…", "date"]
    assert 'date = { header = "When" }' in said
    found = join_tables(load_tables([path], columns=columns, balls="course"))
    assert sessions(found) == {"2026-05-12": 6}
    code, _, heard = run("measure", str(path), str(find(PLAYER)), "--show-columns")
    assert (code, heard) == (2, "holesim: --show-columns: shows one table, not 2; give one of them\n")
