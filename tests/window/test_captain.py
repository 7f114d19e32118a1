"""The captain's table over HTTP: plans, folders and weekends as by the commands, and prices of draws."""

import json
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from holesim.common.safe_files import json_text
from holesim.errors import InputError
from holesim.team.team_file import load_team
from holesim.window.captain.squads import list_squads, read_team, read_weekend, write_team
from holesim.window.captain.weekends import PlayedTable, with_results
from holesim.window.folder import ChangedError, Folder
from holesim.window.jobs import remove_stale
from holesim.window.orders import KeptOrder, read_order
from tests.conftest import Run
from tests.window.running import Window, fill, running
from tests.window.test_jobs import end_of

PEOPLE = [("Ash", 2.0, 110), ("Brome", 9.0, 98), ("Carrow", 14.0, 92), ("Dell", 21.0, 86)]
THEIRS = [("Fenn", 1.0, 112), ("Gale", 8.0, 100), ("Hallow", 15.0, 90), ("Ivers", 24.0, 84)]
ORDER: dict[str, Any] = {
    "kind": "captain",
    "course": "links.geojson",
    "team": "six.toml",
    "format": "four-ball",
    "options": {"draws": 256, "wind_mph": 12.0, "wind_from_deg": 250.0},
}
WORDS = ("--format", "four-ball", "--draws", "256", "--wind", "12@250")
WEEKEND = """# Two days in spring
name = "Two days"
team = "six.toml"
course = "links.geojson"
points_needed = 3

[options]
draws = 256

[[sessions]]
name = "Saturday"  # before lunch
format = "four-ball"

[[sessions]]
name = "Sunday"
format = "singles"
"""


def person(name: str, handicap: float, speed: float) -> dict[str, Any]:
    return {"name": name, "handicap_index": handicap, "club_speed_mph": speed}


TEAM: dict[str, Any] = {
    "name": "Petrel six",
    "players": [person(*one) for one in PEOPLE],
    "opponents": [person(*one) for one in THEIRS],
    "order_known": True,
}


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    with running(fill(tmp_path_factory.mktemp("club"))) as started:
        status, answer = started.ask_json("PUT", "/api/captain/teams/six.toml", {"content": TEAM})
        assert status == 200, answer
        (started.folder / "spring.toml").write_text(WEEKEND)
        yield started


def done(window: Window, order: dict[str, Any]) -> dict[str, Any]:
    """Return the last word about a piece of work."""
    with window.page() as page:
        status, answer = window.ask_json("POST", "/api/jobs", order)
        assert status == 200, answer
        return end_of(page, answer["job"])[0]


@pytest.fixture(scope="module")
def planned(club: Window) -> dict[str, Any]:
    answer: dict[str, Any] = done(club, ORDER)["answer"]
    return answer


def files_of(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- the plan and its sheets ------------------------------------------------------------------------


def test_the_plan_is_that_of_the_command_byte_for_byte(
    club: Window, planned: dict[str, Any], run: Run
) -> None:
    files = [str(club.folder / name) for name in ("links.geojson", "six.toml")]
    code, out, _ = run("team", *files, *WORDS, "--json")
    assert code == 0
    assert json_text(planned["team"]) == out
    sides = [tuple(planned["squad"][i] for i in side) for side in planned["found"]]
    assert sides == [tuple(side["players"]) for side in planned["team"]["sides"]]
    assert [tuple(names) for names in planned["opponents"]] == [("Fenn", "Gale"), ("Hallow", "Ivers")]


def made(window: Window, order: dict[str, Any], place: Path) -> Path:
    """Return the folder that an order fills, made in this process."""
    kept = read_order(order)
    assert isinstance(kept, KeptOrder)
    folder = Folder(window.folder)
    kept.check(folder)
    kept.make(folder, place, lambda *_: None)
    return place


def test_the_sheets_are_those_of_the_command_byte_for_byte(club: Window, run: Run, tmp_path: Path) -> None:
    sheets = made(club, ORDER | {"kind": "captain sheets", "name": "captain/six"}, tmp_path / "made")
    files = [str(club.folder / name) for name in ("links.geojson", "six.toml")]
    assert run("team", *files, *WORDS, "--out", str(tmp_path / "out"))[0] == 0
    assert files_of(sheets).keys() > {"team.json", "captain.pdf", "captain.html", "strip-ash.html"}
    assert files_of(sheets) == files_of(tmp_path / "out")


def test_sheets_of_a_draw_by_the_captain_have_its_pairs_in_its_order_and_say_so(
    club: Window, planned: dict[str, Any], tmp_path: Path
) -> None:
    own = [list(side) for side in reversed(planned["found"])]
    order = ORDER | {"kind": "captain sheets", "name": "captain/own", "sides": own}
    sheets = made(club, order, tmp_path / "own")
    found = json.loads((sheets / "team.json").read_text())
    assert [side["players"] for side in found["sides"]] == [[planned["squad"][i] for i in one] for one in own]
    assert found["occasion"].startswith("the captain's own draw, ")
    assert "own draw" in (sheets / "captain.html").read_text()


def test_sheets_that_no_longer_belong_to_a_folder_go(tmp_path: Path) -> None:
    order = read_order(ORDER | {"kind": "captain sheets", "name": "six"})
    assert isinstance(order, KeptOrder)
    for name in ("strip-ash.html", "strip-gone.html", "mine.txt"):
        (tmp_path / name).touch()
    remove_stale(tmp_path, order, ["strip-ash.html", "team.json"])
    assert {path.name for path in tmp_path.iterdir()} == {"strip-ash.html", "mine.txt"}
    weekend = read_order({"kind": "weekend sheets", "name": "spring", "weekend": "spring.toml"})
    assert isinstance(weekend, KeptOrder)
    (tmp_path / "session-1").mkdir()
    (tmp_path / "session-1/team.json").touch()
    remove_stale(tmp_path, weekend, ["session-1", "weekend.json"])
    assert not (tmp_path / "session-1").exists()


# --- prices ---------------------------------------------------------------------------------------------


def test_draws_are_priced_by_the_table_of_the_plan(club: Window, planned: dict[str, Any]) -> None:
    found = planned["found"]
    draws = [found, [found[1], found[0]], [[0], [1]], [[0, 1], [1, 2]], [[0, 1]]]
    status, answer = club.ask_json("POST", "/api/captain/prices", {"table": planned["table"], "draws": draws})
    assert status == 200, answer
    best, turned, *refused = answer["prices"]
    assert (best["same"], best["short"], best["gain"]) == (True, "the best", 0.0)
    assert best["total"] == f"{planned['team']['total']['points']:.2f} of 2 points"
    row = {tuple(one["side"]): list(one["points"].values()) for one in planned["team"]["chances"]}
    shown = [row[tuple(side["players"])][k] for k, side in enumerate(planned["team"]["sides"])]
    assert best["sides"] == [f"{points:.2f}" for points in shown]
    crossed = [row[tuple(planned["squad"][i] for i in side)][k] for k, side in enumerate(reversed(found))]
    assert turned["sides"] == [f"{points:.2f}" for points in crossed]
    assert [list(one) for one in refused] == [["refused"]] * 3
    assert "two players, not 1 (Ash)" in refused[0]["refused"]


def test_a_question_about_a_plan_that_is_gone_is_one_line(club: Window) -> None:
    asked = {"table": "0" * 40, "draws": [[[0, 1], [2, 3]]]}
    assert club.ask_json("POST", "/api/captain/prices", asked) == (
        422, {"error": "the plan: is no longer kept here; plan again"},
    )  # fmt: skip
    for wrong in ({"table": "../../x"}, {"table": "0" * 40, "draws": [[["a"]]]}, {}):
        assert club.ask_json("POST", "/api/captain/prices", wrong)[0] == 422


# --- teams ----------------------------------------------------------------------------------------------


def test_a_team_put_together_is_one_that_the_command_reads(club: Window) -> None:
    team = load_team(club.folder / "six.toml")
    assert [player.name for player in team.players] == [name for name, *_ in PEOPLE]
    listed = club.ask_json("GET", "/api/captain")[1]
    assert listed["teams"] == [{"name": "six.toml", "title": "Petrel six", "builtin": False}]
    assert [one["name"] for one in listed["weekends"]] == ["spring.toml"]
    shown = club.ask_json("GET", "/api/captain/teams/six.toml")[1]
    assert [one["name"] for one in shown["opponents"]] == [name for name, *_ in THEIRS]
    again = {"content": shown["content"], "seen": shown["sha256"]}
    assert club.ask_json("PUT", "/api/captain/teams/six.toml", again)[1]["sha256"] == shown["sha256"]


def test_no_team_replaces_one_that_was_not_seen(tmp_path: Path) -> None:
    folder = Folder(fill(tmp_path / "club"))
    golfer = {"name": "Vale's", "players": [{"file": "vale.toml"}]}
    seen = write_team(folder, "one.toml", golfer, None)
    with pytest.raises(ChangedError, match="is there already"):
        write_team(folder, "one.toml", TEAM, None)
    write_team(folder, "one.toml", TEAM, seen)
    with pytest.raises(ChangedError, match="was changed outside"):
        write_team(folder, "one.toml", golfer, seen)
    (folder.root / "one.toml").write_text('# by hand\nname = "A"\nplayers = ["vale.toml"]\n')
    with pytest.raises(InputError, match="has comments, which would be lost"):
        write_team(folder, "one.toml", TEAM, folder.read("one.toml")[1])


@pytest.mark.parametrize(
    ("content", "why"),
    [
        ({"name": "A", "players": [{"file": "../secret.toml"}]}, "lies outside this folder"),
        ({"name": "A", "players": [{"file": "none.toml"}]}, "is not in this folder"),
        ({"name": "A", "players": []}, "players"),
        ({"name": "A", "players": [{"file": "vale.toml"}], "secret": 1}, "secret"),
    ],
)
def test_a_team_that_makes_no_sense_is_not_written(content: dict[str, Any], why: str, tmp_path: Path) -> None:
    folder = Folder(fill(tmp_path / "club"))
    with pytest.raises(InputError, match=why):
        write_team(folder, "one.toml", content, None)
    assert not (folder.root / "one.toml").exists()


def test_no_file_outside_the_folder_is_read(tmp_path: Path) -> None:
    folder = Folder(fill(tmp_path / "club"))
    shutil.copy(folder.root / "vale.toml", tmp_path / "vale.toml")
    shutil.copy(folder.root / "links.geojson", tmp_path / "links.geojson")
    (folder.root / "out.toml").write_text('name = "A"\nplayers = ["../vale.toml"]\n')
    (folder.root / "in.toml").write_text('name = "A"\nplayers = ["vale.toml"]\n')
    assert load_team(folder.root / "out.toml").names == read_team(folder, "in.toml").names
    with pytest.raises(InputError, match="lies outside this folder"):
        read_team(folder, "out.toml")
    session = '[[sessions]]\nname = "S"\nformat = "stroke"\n'
    for team, course in (("out.toml", "links.geojson"), ("in.toml", "../links.geojson")):
        (folder.root / "w.toml").write_text(f'name = "W"\nteam = "{team}"\ncourse = "{course}"\n{session}')
        with pytest.raises(InputError, match="lies outside this folder"):
            read_weekend(folder, "w.toml")
    (folder.root / "bad.toml").write_text('name = "A"\nplayers = []\n')
    assert [one["name"] for one in list_squads(folder)["broken"]] == ["bad.toml"]


# --- weekends -------------------------------------------------------------------------------------------

WON: list[dict[str, Any]] = [
    {"players": ["Ash", "Dell"], "points": 1.0}, {"players": ["Brome", "Carrow"], "points": 0.5},
]  # fmt: skip


def played(session: int, results: list[dict[str, Any]], sha256: str = "") -> PlayedTable:
    return PlayedTable.model_validate({"sha256": sha256, "session": session, "results": results})


def test_results_go_into_their_session_and_all_else_stays() -> None:
    text = with_results("spring.toml", WEEKEND, played(0, WON))
    assert tomllib.loads(text)["sessions"][0]["results"] == WON
    kept = [line for line in text.splitlines() if line in WEEKEND.splitlines()]
    assert kept == WEEKEND.splitlines()
    both = with_results("spring.toml", text, played(1, [{"players": ["Ash"], "points": 0.0}]))
    assert with_results("spring.toml", both, played(1, [])) == text
    assert with_results("spring.toml", text, played(0, [])) == WEEKEND


@pytest.mark.parametrize(
    "form",
    [
        '[[sessions.results]]\nplayers = ["Ash", "Dell"]\npoints = 1\n',
        'results = [{ players = ["Ash", "Dell"], points = 1 }]\n',
        'results = [\n  { players = ["Ash", "Dell"], points = 1 },\n]\n',
    ],
)
def test_results_written_in_any_form_are_replaced(form: str) -> None:
    text = WEEKEND.replace('\n[[sessions]]\nname = "Sunday"', f'{form}\n[[sessions]]\nname = "Sunday"')
    assert tomllib.loads(text)["sessions"][0]["results"]
    assert tomllib.loads(with_results("w.toml", text, played(0, WON)))["sessions"][0]["results"] == WON
    assert tomllib.loads(with_results("w.toml", text, played(0, []))) == tomllib.loads(WEEKEND)


def test_a_file_that_results_cannot_be_put_into_is_refused() -> None:
    inline = 'name = "W"\nteam = "t.toml"\nsessions = [{ name = "S", format = "singles" }]\n'
    with pytest.raises(InputError, match="written in a way that results cannot be put into"):
        with_results("w.toml", inline, played(0, WON))
    with pytest.raises(InputError, match="has no such session"):
        with_results("w.toml", WEEKEND, played(2, WON))


def test_results_typed_at_lunch_are_planned_on_as_by_the_command(club: Window, run: Run) -> None:
    name = "/api/captain/weekends/spring.toml"
    shown = club.ask_json("GET", name)[1]
    assert [(one["sides"], one["size"], one["results"]) for one in shown["sessions"]] == [
        (2, 2, []),
        (4, 1, []),
    ]
    wrong = {"sha256": shown["sha256"], "session": 0, "results": [WON[0]]}
    status, answer = club.ask_json("PUT", name, wrong)
    assert status == 422, answer
    assert answer["error"].startswith("spring.toml: sessions 1")
    assert club.ask_json("PUT", name, wrong | {"results": WON, "sha256": "0" * 64})[0] == 412
    assert (club.folder / "spring.toml").read_text() == WEEKEND
    status, after = club.ask_json("PUT", name, wrong | {"results": WON})
    assert status == 200, after
    assert (after["won"], after["sessions"][0]["results"]) == (1.5, WON)
    order = read_order({"kind": "weekend", "weekend": "spring.toml"})
    answer = order.answer(Folder(club.folder), lambda *_: None)
    code, out, _ = run("weekend", str(club.folder / "spring.toml"), "--json")
    assert code == 0
    assert json_text(answer["weekend"]) == out
    assert answer["text"].rstrip("\n") == run("weekend", str(club.folder / "spring.toml"))[1].rstrip("\n")
    assert not list(club.folder.glob(".*"))


def test_the_sheets_of_a_weekend_are_those_of_the_command(club: Window, run: Run, tmp_path: Path) -> None:
    order = {"kind": "weekend sheets", "weekend": "spring.toml", "name": "captain/spring"}
    sheets = made(club, order, tmp_path / "made")
    assert run("weekend", str(club.folder / "spring.toml"), "--out", str(tmp_path / "out"))[0] == 0
    assert files_of(sheets).keys() > {"weekend.json", "session-2/team.json", "session-2/captain.pdf"}
    assert files_of(sheets) == files_of(tmp_path / "out")


def test_each_session_left_has_a_table_whose_draw_is_that_of_its_sheets(
    club: Window, run: Run, tmp_path: Path
) -> None:
    """At lunch on Saturday the first session has been played."""
    name = "spring.toml"
    order = read_order({"kind": "weekend", "weekend": name})
    answer = order.answer(Folder(club.folder), lambda *_: None)
    played, table = answer["sessions"]
    assert played is None
    assert table["says"]["head"].startswith("Sunday: ")
    assert table["team"] == answer["weekend"]["sessions"][1]["plan"]
    sheets = {"kind": "session sheets", "weekend": name, "name": "captain/sunday", "session": 1}
    assert run("weekend", str(club.folder / name), "--out", str(tmp_path / "out"))[0] == 0
    found = made(club, sheets | {"sides": table["found"]}, tmp_path / "found")
    assert files_of(found) == files_of(tmp_path / "out" / "session-2")
    turned = [*table["found"][1:], table["found"][0]]
    own = json.loads((made(club, sheets | {"sides": turned}, tmp_path / "own") / "team.json").read_text())
    assert [side["players"] for side in own["sides"]] == [[table["squad"][i] for i in one] for one in turned]
    assert own["occasion"].startswith("Sunday: the captain's own draw, ")
    asked = {"table": table["table"], "draws": [turned]}
    status, answer = club.ask_json("POST", "/api/captain/prices", asked)
    assert status == 200
    (price,) = answer["prices"]
    assert price["short"] in own["occasion"]
    for session, sides, why in (
        (0, None, "has no such session left"),
        (1, [[0], [0], [1], [2]], "would play twice"),
    ):
        with pytest.raises(InputError, match=why):
            made(club, sheets | {"session": session, "sides": sides}, tmp_path / "none")
