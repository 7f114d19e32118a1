"""Golfers of a window: their files, range tables, and orders that do what the commands do."""

import ast
import json
import re
import shutil
import tomllib
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import pytest

import holesim.measure
from holesim.data.examples import find
from holesim.errors import InputError
from holesim.player.make_player import typical_player
from holesim.units import MPH
from holesim.window.folder import ChangedError, Folder, MissingError, NameRefusedError
from holesim.window.golfers.drives_orders import ChangesOrder, MeasureOrder
from holesim.window.golfers.golfer_files import (
    Golfers,
    copy_golfer,
    read_form,
    restore_golfer,
    write_form,
    write_golfer,
)
from holesim.window.golfers.golfer_form import find_miss, look_at_golfer, with_miss
from holesim.window.golfers.range_tables import keep_corrections, look_at_table
from holesim.window.golfers.window_words import in_window
from holesim.window.inputs import check_content
from holesim.window.orders import read_order
from holesim.window.server import builtin_files
from tests.conftest import Run
from tests.window.running import Window, fill

LEAST: Final[dict[str, Any]] = {
    "name": "Ana Reith", "hand": "right", "sex": "woman", "handicap_index": 9.0, "carry_yd": 200,
}  # fmt: skip
ROWS: Final = [
    (100.4, -2.1, 0.3, -0.8), (101.9, -3.4, 1.2, 0.9), (99.7, -1.6, -1.0, -1.9), (102.2, -2.8, 2.3, 2.4),
    (100.9, -2.4, -0.4, 0.2), (101.1, -3.0, 0.9, -0.3), (98.8, -1.9, -2.2, -2.0), (101.5, -2.6, 1.6, 1.1),
    (100.2, -2.2, 0.1, 0.8), (103.0, -3.2, 0.7, -1.2), (100.6, -2.7, -0.6, 1.5), (99.9, -2.3, 1.9, 0.4),
]  # fmt: skip
"""Club speed, attack, path and face of drives that are quick to fit."""


def table(rows: Sequence[tuple[float, ...]] = ROWS, days: int = 1) -> str:
    lines = ["Shot,Date,Speed,Attack Angle,Club Path,Face"]
    for k, (speed, *angles) in enumerate([*rows] * days):
        turned = [angle + 0.8 * (k // len(rows)) for angle in angles]
        lines.append(
            f"{k + 1},2026-05-{12 + k // len(rows)},{speed},{','.join(f'{one:.1f}' for one in turned)}"
        )
    return "\n".join(lines) + "\n"


COLUMNS: Final = {
    "date": {"header": "Date"},
    "club_speed": {"header": "Speed", "unit": "mph"},
    "attack": {"header": "Attack Angle"},
    "path": {"header": "Club Path"},
    "face": {"header": "Face"},
}


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    place = tmp_path / "folder"
    fill(place)
    (place / "small.csv").write_text(table(), encoding="utf-8")
    shutil.copy(find("range/exported.csv"), place / "exported.csv")
    return Folder(place, builtin_files())


def silent(_done: int, _total: int) -> None:
    pass


# --- files ----------------------------------------------------------------------------------------


def test_golfers_and_tables_of_drives_are_listed(folder: Folder) -> None:
    (folder.root / "round.csv").write_text("hole,strokes\n1,4\n", encoding="utf-8")
    (folder.root / "team.toml").write_text('players = ["vale.toml"]\n', encoding="utf-8")
    listed = Golfers(folder).to_dict()
    assert [row["name"] for row in listed["golfers"] if not row["builtin"]] == ["vale.toml"]
    assert {row["title"] for row in listed["golfers"]} >= {"Cørin Vale", "Hal Marrin", "Una Thessaly"}
    assert listed["tables"] == ["exported.csv", "small.csv"]


def test_a_golfer_of_five_numbers_is_kept_and_checks(folder: Folder, run: Run) -> None:
    write_form(folder, "ana.toml", LEAST, None)
    assert run("check", str(folder.root / "ana.toml"))[0] == 1  # what is left out is guessed
    form = read_form(folder, "ana.toml")
    assert form["content"] == LEAST
    assert form["faults"] == []
    carry, speed = form["usual"]["carry_yd"][0], form["usual"]["club_speed_mph"][0]
    assert carry == 200
    drive = typical_player("Ana", "woman", 9.0, speed * MPH).drivers[0]
    assert form["usual"]["strikes.up.attack_deg"][0] == pytest.approx(drive.attack * 57.29578, abs=0.01)
    assert form["usual"]["strikes.up.attack_deg"][1] > 0.5
    with pytest.raises(ChangedError, match="is there already"):
        write_form(folder, "ana.toml", LEAST, None)


def test_comments_of_a_file_stay_and_what_it_was_is_kept(folder: Folder) -> None:
    text = "# my file\n" + (folder.root / "vale.toml").read_text(encoding="utf-8")
    (folder.root / "vale.toml").write_text(text, encoding="utf-8")
    form = read_form(folder, "vale.toml")
    content = form["content"] | {"handicap_index": 2.0}
    sha256 = write_form(folder, "vale.toml", content, form["sha256"])
    written = (folder.root / "vale.toml").read_text(encoding="utf-8")
    assert written == text.replace("handicap_index = 3.0", "handicap_index = 2.0")
    with pytest.raises(ChangedError):
        write_form(folder, "vale.toml", content, form["sha256"])
    versions = read_form(folder, "vale.toml")["versions"]
    restore_golfer(folder, "vale.toml", versions[-1]["version"], sha256)
    assert (folder.root / "vale.toml").read_text(encoding="utf-8") == text
    assert len(read_form(folder, "vale.toml")["versions"]) > len(versions)


def test_what_comes_with_holesim_is_copied_not_changed(folder: Folder) -> None:
    form = read_form(folder, "demo/club_golfer.toml")
    with pytest.raises(NameRefusedError, match="comes with holesim"):
        write_form(folder, "demo/club_golfer.toml", form["content"], form["sha256"])
    copy_golfer(folder, "demo/club_golfer.toml", "hal.toml")
    assert (folder.root / "hal.toml").read_bytes() == folder.builtin["demo/club_golfer.toml"].read_bytes()


@pytest.mark.parametrize("name", ["../ana.toml", "ana.csv", ".ana.toml", "ana"])
def test_other_names_are_refused(name: str, folder: Folder) -> None:
    with pytest.raises(NameRefusedError):
        write_golfer(
            folder,
            name,
            'name = "A"\nhand = "right"\nsex = "man"\nhandicap_index = 9\ncarry_yd = 200\n',
            None,
        )


@pytest.mark.parametrize(
    ("change", "place", "says"),
    [
        ({"handicap_index": 90}, "handicap_index", "should be at most 54, not 90; correct the value"),
        ({"carry_yd": "far"}, "carry_yd", "should be a number, not 'far'; write it as 12.5"),
        (
            {"strikes": {"up": {"attack_deg": -3.0}}},
            "strikes.up.attack_deg",
            "-3° is not up; up is +2° or more, down -1° or less",
        ),
        ({"usual": "level", "strikes": {"up": {}}}, "usual", "'level' is not among the strikes"),
        ({"club_speed_mph": 90}, "carry_yd", "stands beside club_speed_mph"),
    ],
)
def test_a_fault_stands_beside_its_field(change: dict[str, Any], place: str, says: str) -> None:
    (fault,) = look_at_golfer("ana.toml", LEAST | change)["faults"]
    assert fault["place"] == place
    assert fault["says"].startswith(says)


def test_without_length_the_form_asks_how_far_a_drive_carries() -> None:
    content = {key: value for key, value in LEAST.items() if key != "carry_yd"}
    (fault,) = look_at_golfer("ana.toml", content)["faults"]
    assert fault["says"] == "say how far a drive carries, or how fast the club is"


def test_a_usual_miss_is_a_mean_face_as_unsure_as_golfers_differ() -> None:
    right = with_miss(LEAST, "right")
    assert right["strikes"]["down"] == {"face_deg": 1.2, "se": {"face_deg": 0.9}}
    assert right["can_choose"] is False  # as without strikes
    assert look_at_golfer("ana.toml", right)["miss"] == "right"
    assert find_miss(with_miss(right, "left")) == "left"
    assert find_miss(with_miss(right, "both")) == find_miss(LEAST) == "both"
    assert find_miss({"strikes": {"up": {"face_deg": 2.0}}}) == "other"


# --- tables ---------------------------------------------------------------------------------------


def test_a_table_shows_its_columns_and_what_was_assumed(folder: Folder) -> None:
    seen = look_at_table(folder, "small.csv", columns=None, balls="course", day=None, day_first=None)
    assert [(one["header"], one["name"], one["unit"]) for one in seen["columns"][1:4]] == [
        ("Date", "date", ""), ("Speed", "", ""), ("Attack Angle", "attack", "deg"),
    ]  # fmt: skip
    assert seen["columns"][2]["samples"] == ["100.4", "101.9", "99.7"]
    assert seen["sessions"] == [{"name": "2026-05-12", "day": "2026-05-12", "drives": 12}]
    assert any("Speed" in guess for guess in seen["guesses"])
    assert "--" not in json.dumps(seen)
    assert seen["rows"][0] == {"line": 2, "strike": None, "cells": ["-2.1"]}


def test_what_is_corrected_is_kept_beside_and_no_other_file_is_replaced(folder: Folder) -> None:
    columns = {"club_speed": {"header": "Speed"}, "attack": {"header": "Attack Angle"}}
    asked: dict[str, Any] = {"left_out": [4], "columns": mapped(columns), "balls": "course"}
    kept = keep_corrections(folder, "small.csv", strikes={2: "down"}, seen={}, **asked)
    assert (kept["table"], kept["columns"]) == ("small-corrected.csv", "small-columns.toml")
    lines = (folder.root / "small-corrected.csv").read_text(encoding="utf-8").splitlines()
    assert lines[:3] == [
        "Shot,Date,Speed,Attack Angle,Club Path,Face,strike",
        "1,2026-05-12,100.4,-2.1,0.3,-0.8,down",
        "2,2026-05-12,101.9,-3.4,1.2,0.9,",
    ]
    assert len(lines) == len(ROWS)
    told = tomllib.loads((folder.root / "small-columns.toml").read_text(encoding="utf-8"))
    assert told["columns"]["strike"] == {"header": "strike"}
    assert keep_corrections(folder, "small.csv", strikes={2: "down"}, seen={}, **asked) == kept
    keep_corrections(folder, "small.csv", strikes={2: "up"}, seen=kept["seen"], **asked)
    with pytest.raises(ChangedError, match="is there already"):
        keep_corrections(folder, "small.csv", strikes={2: "level"}, seen={}, **asked)
    with pytest.raises(InputError, match="line 99: is no drive"):
        keep_corrections(folder, "small.csv", strikes={99: "up"}, seen={}, **asked)


def mapped(columns: dict[str, dict[str, str]]) -> Any:  # noqa: ANN401
    from holesim.window.golfers.routes import TableAsked  # noqa: PLC0415

    return TableAsked.model_validate({"columns": columns}).mapped()


def test_an_exported_table_may_be_put_into_the_folder() -> None:
    check_content("exported.csv", find("range/exported.csv").read_bytes())
    with pytest.raises(InputError):
        check_content("words.csv", b"")


def test_no_word_of_the_engine_on_tables_names_an_option_in_the_window() -> None:
    """Every text in `holesim.measure` that names an option of the command is said otherwise here."""
    (place,) = holesim.measure.__path__
    texts = [
        node.value
        for path in sorted(Path(place).glob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    ]
    told = [text for text in texts if re.search(r"(?<![\w-])--[a-z]", text) and "\n" not in text]
    assert len(told) > 10
    assert [said for text in told if re.search("--[a-z]", said := in_window(text))] == []


# --- orders ---------------------------------------------------------------------------------------


WHO: Final = {"golfer": "Ana Reith", "sex": "woman", "handicap": 9.0}
TOLD: Final = ("--name", "Ana Reith", "--sex", "woman", "--handicap", "9.0")


def test_a_corrected_table_gives_the_file_of_the_command_byte_for_byte(folder: Folder, run: Run) -> None:
    kept = keep_corrections(
        folder, "small.csv", strikes={}, left_out=[4], columns=mapped(COLUMNS), balls="range", seen={}
    )
    files = {"tables": [kept["table"]], "columns": kept["columns"]}
    order = read_order({"kind": "measure", **files, "balls": "range", "usual": "down", **WHO})
    assert isinstance(order, MeasureOrder)
    order.check(folder)
    heard: list[tuple[int, int]] = []
    answer = order.answer(folder, lambda done, total: heard.append((done, total)))
    assert heard[0] == (0, 100)
    assert heard[-1] == (100, 100)
    assert answer["strikes"] == ["down"]
    assert answer["sentences"][0].startswith("The face angle varies by")
    code, out, err = run(
        "measure", str(folder.root / kept["table"]), "--columns", str(folder.root / kept["columns"]), *TOLD,
        "--usual", "down", "--out", str(folder.root / "command.toml"),
    )  # fmt: skip
    assert code == 0, err
    assert answer["toml"].encode() == (folder.root / "command.toml").read_bytes()
    assert answer["text"] == out.rstrip("\n")
    write_golfer(folder, "ana.toml", answer["toml"], None)
    assert run("check", str(folder.root / "ana.toml"))[0] in (0, 1)


def test_what_changed_is_what_the_command_says(folder: Folder, run: Run) -> None:
    (folder.root / "days.csv").write_text(
        table(ROWS[:6], 2).replace("Speed", "Club Speed [mph]"), encoding="utf-8"
    )
    order = read_order({"kind": "changes", "tables": ["days.csv"], "balls": "range", **WHO})
    assert isinstance(order, ChangesOrder)
    answer = order.answer(folder, silent)
    code, out, err = run("progress", str(folder.root / "days.csv"), "--balls", "range", *TOLD)
    assert code == 0, err
    assert answer["text"] == out.rstrip("\n")
    assert [session["drives"] for session in answer["sessions"]] == [6, 6]
    assert {len(row["values"]) for row in answer["rows"]} == {2}
    alone = read_order({"kind": "changes", "tables": ["small.csv"], "balls": "range", "like": "vale.toml"})
    with pytest.raises(InputError, match="is one session alone; choose two tables"):
        alone.answer(folder, silent)


def test_an_order_without_a_golfer_or_a_table_cannot_begin(folder: Folder) -> None:
    order = {"kind": "measure", "tables": ["small.csv"], "balls": "course"}
    with pytest.raises(InputError, match="the golfer: man or woman: is missing"):
        read_order(order | {"golfer": "Ana", "handicap": 3.0}).check(folder)
    with pytest.raises(MissingError):
        read_order(order | {"tables": ["none.csv"], "like": "vale.toml"}).check(folder)


# --- over HTTP ------------------------------------------------------------------------------------


@pytest.fixture
def ask(window: Window) -> Iterator[Callable[..., tuple[int, Any]]]:
    yield lambda method, path, content=None: window.ask_json(method, f"/api/golfers{path}", content)
    for name in ("asked.toml", "hal.toml"):
        (window.folder / name).unlink(missing_ok=True)
    shutil.rmtree(window.folder / ".holesim", ignore_errors=True)


def test_a_page_keeps_a_golfer(ask: Callable[..., tuple[int, Any]]) -> None:
    assert ask("POST", "/usual", {"content": LEAST, "miss": "left"})[1]["miss"] == "left"
    status, kept = ask("PUT", "/files/asked.toml", {"content": LEAST, "seen": None})
    assert status == 200
    assert ask("GET", "/files/asked.toml")[1]["sha256"] == kept["sha256"]
    assert ask("PUT", "/files/asked.toml", {"content": LEAST, "seen": None})[0] == 412
    assert ask("PUT", "/files/asked.toml", {"content": {}, "seen": kept["sha256"]})[0] == 422
    assert ask("POST", "/files/demo/club_golfer.toml/copy", {"name": "hal.toml"})[0] == 200
    assert ask("GET", "/files/no.toml")[0] == 404
    assert ask("POST", "/tables/no.csv/look", {})[0] == 404
    assert ask("POST", "/usual", {"contents": {}})[0] == 422
    assert "asked.toml" in [row["name"] for row in ask("GET", "")[1]["golfers"]]
    assert {"carry", "strike"} <= {row["name"] for row in ask("GET", "/meanings")[1]}
