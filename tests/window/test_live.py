"""Live questions: answered in turn, the newest first, by the numbers of the engine."""

import json
import math
import time
from typing import Any

import pytest

from holesim.plan.explain import CAUTIONS
from tests.conftest import Run
from tests.files.small_course import COURSE, PLAYER
from tests.window.running import Page, Window, fill, running, sha256

WIND = {"mph": 14.0, "from_deg": 225.0}
OPTIONS: dict[str, Any] = {"draws": 256, "seed": 3, "goal": "mean"}


def open_files(page: Page, **changed: object) -> dict[str, Any]:
    asked = {"course": "petrel.geojson", "layout": None, "player": "vale.toml", "options": OPTIONS}
    return page.ask("open", **asked | changed)


def finite(value: Any) -> bool:  # noqa: ANN401 - any JSON
    if isinstance(value, dict | list):
        return all(map(finite, value.values() if isinstance(value, dict) else value))
    return not isinstance(value, float) or math.isfinite(value)


def test_a_course_and_a_player_are_opened(window: Window) -> None:
    with window.page() as page:
        said = open_files(page)
        course, player = said["course"], said["player"]
        assert course["name"] == "Petrel Ground"
        assert course["file"] == "petrel.geojson"
        assert course["firmness"] == "firm"
        assert [hole["hole"] for hole in course["holes"]] == [1, 2]
        assert {area["ground"] for area in course["areas"]} >= {"green", "fairway", "bunker", "red", "trees"}
        assert course["areas"][-1]["ground"] in {"out", "red"}
        assert course["boundary"]
        assert player["name"] == "C\u00f8rin Vale"
        assert player["strikes"][0] == {"label": "up", "club": "driver", "strike": "up"}
        assert "handicap 3" in player["about"]
        assert said["options"]["draws"] == 256
        assert "wind_mph" not in said["options"]
        assert said["cautions"] == list(CAUTIONS)
        assert finite(said)
        ready = {hole for _ in range(2) for hole in page.wait_for("ready")["ready"]}
        assert ready == {1, 2}


def test_a_tee_is_answered_when_its_hole_is_ready(window: Window) -> None:
    with window.page() as page:
        open_files(page)
        said = page.ask_until_ready(
            "tee", hole=1, tee="back", wind=WIND, level="moving", strikes=["up", "down"]
        )
        assert said["level"] == "moving"
        assert said["wind"]["text"].startswith("14 mph, ")
        assert {strike["label"] for strike in said["strikes"]} == {"up", "down"}
        best = min(said["strikes"], key=lambda strike: strike["strokes"])
        assert best is said["strikes"][0]
        assert said["low"] < said["saves"] < said["high"]
        assert said["choice"] in said["line"]
        for strike in said["strikes"]:
            assert sum(score["share"] for score in strike["scores"]) == pytest.approx(1)
            assert sum(strike["shares"].values()) == pytest.approx(1)
            assert strike["along_yd"] == sorted(strike["along_yd"])
            assert strike["along_yd"][0] < strike["total_yd"] < strike["along_yd"][-1]
            assert [outline["share"] for outline in strike["outlines"]] == [0.5, 0.9]
        chosen = next(strike for strike in said["strikes"] if strike["label"] == said["choice"])
        other = next(strike for strike in said["strikes"] if strike["label"] == said["rival"])
        assert chosen["over_choice"] == 0
        assert other["over_choice"] == pytest.approx(said["saves"])
        assert other["strokes"] - chosen["strokes"] == pytest.approx(said["saves"], abs=0.01)
        assert finite(said)


def test_at_rest_the_numbers_are_those_of_the_plan_command(window: Window, run: Run) -> None:
    with window.page() as page:
        open_files(page)
        said = page.ask_until_ready("tee", hole=2, tee="back", wind=WIND, level="rest", strikes=None)
    files = [str(window.folder / name) for name in ("petrel.geojson", "vale.toml")]
    words = ("--hole", "2", "--tee", "back", "--wind", "14@225", "--draws", "256", "--seed", "3", "--json")
    code, out, _ = run("plan", *files, *words)
    assert code == 0
    planned = json.loads(out)["tees"][0]
    assert said["plan"] == planned
    assert said["chance"] == planned["choice"]["chance"]
    assert [strike["strokes"] for strike in said["strikes"]] == [s["strokes"] for s in planned["strikes"]]


def test_a_golfer_of_one_strike_is_told_that_of_the_day(window: Window, run: Run) -> None:
    one_way = window.folder / "one_way.toml"
    one_way.write_text(PLAYER.replace("can_choose = true", "can_choose = false"), encoding="utf-8")
    asked = {"tee": "back", "wind": WIND, "level": "rest"}
    try:
        with window.page() as page:
            open_files(page, player="one_way.toml")
            alone = page.ask_until_ready("tee", hole=1, **asked)
            page.ask_until_ready("hole", hole=2, **asked)
            whole = page.ask("tee", hole=1, **asked)
            row = page.ask("hole", hole=1, **asked)["row"]
            played = page.ask("round", **asked)
        words = ("--tee", "back", "--wind", "14@225", "--draws", "256", "--seed", "3", "--json")
        _, out, _ = run("plan", str(window.folder / "petrel.geojson"), str(one_way), *words)
    finally:
        one_way.unlink()
    planned = json.loads(out)
    assert any("strike for the day" in note for note in alone["notes"])
    assert not any("strike for the day" in note for note in whole["notes"])
    assert whole["plan"] == planned["tees"][0]
    assert played["rows"][0] == row
    assert played["day"] == planned["day"]["back"]["text"]
    assert {total["policy"]: total["strokes"] for total in played["totals"]} == planned["totals"]["back"]


def test_a_held_aim_costs_more_than_the_best(window: Window) -> None:
    asked = {"hole": 4, "tee": "back", "wind": WIND, "level": "moving"}
    with window.page() as page:
        open_files(page, course="demo/demo.geojson")
        before = page.ask_until_ready("tee", strikes=["up", "down"], **asked)
        up = next(strike for strike in before["strikes"] if strike["label"] == "up")
        down = next(strike for strike in before["strikes"] if strike["label"] == "down")
        same = page.ask("aim", label="up", heading_deg=up["heading_deg"], **asked)
        off = page.ask("aim", label="up", heading_deg=up["heading_deg"] - 12, **asked)
    held = next(strike for strike in same["strikes"] if strike["label"] == "up")
    assert held["over_best"] == pytest.approx(0, abs=1e-9)
    assert held["heading_deg"] == pytest.approx(up["heading_deg"])
    assert held["strokes"] == pytest.approx(up["strokes"])
    missed = next(strike for strike in off["strikes"] if strike["label"] == "up")
    assert missed["over_best"] > 0.05
    assert missed["heading_deg"] == pytest.approx((up["heading_deg"] - 12) % 360)
    assert missed["best_heading_deg"] == pytest.approx(up["heading_deg"])
    kept = next(strike for strike in off["strikes"] if strike["label"] == "down")
    assert kept["strokes"] == down["strokes"]
    assert missed["strokes"] - up["strokes"] == pytest.approx(missed["over_best"], abs=0.01)
    assert off["strikes"] == sorted(off["strikes"], key=lambda strike: strike["strokes"])


def test_the_ring_agrees_with_the_tee(window: Window) -> None:
    with window.page() as page:
        open_files(page)
        tee = page.ask_until_ready(
            "tee", hole=1, tee="back", wind=WIND, level="moving", strikes=["up", "down"]
        )
        asked = {"hole": 1, "tee": "back", "mph": 14.0, "strikes": ["up", "down"]}
        ring = page.ask("ring", from_deg=[225.0, 45.0], **asked)
    assert [point["from_deg"] for point in ring["points"]] == [225, 45]
    first = ring["points"][0]
    assert first["saves"] == pytest.approx(abs(tee["saves"]), abs=0.02)
    assert first["better"] == (None if first["saves"] < 0.02 else tee["strikes"][0]["label"])


def test_the_round_adds_up_the_holes_answered(window: Window) -> None:
    with window.page() as page:
        open_files(page)
        assert page.ask("round", tee="back", wind=WIND, level="moving")["missing"] == [1, 2]
        first = page.ask_until_ready("hole", hole=1, tee="back", wind=WIND, level="moving")["row"]
        assert page.ask("round", tee="back", wind=WIND, level="moving")["missing"] == [2]
        second = page.ask_until_ready("hole", hole=2, tee="back", wind=WIND, level="moving")["row"]
        said = page.ask("round", tee="back", wind=WIND, level="moving")
        assert said["rows"] == [first, second]
        assert said["missing"] == []
        total = {row["policy"]: row for row in said["totals"]}
        assert total["this plan"]["strokes"] == pytest.approx(first["strokes"] + second["strokes"])
        assert total["this plan"]["over"] == 0
        assert page.ask("round", tee="back", wind={"mph": 3, "from_deg": 0}, level="moving")["missing"] == [
            1,
            2,
        ]


def test_what_is_wrong_is_said_and_the_socket_stays_open(window: Window) -> None:
    tee = {"tee": "back", "wind": WIND, "level": "moving", "strikes": None}
    with window.page() as page:
        assert "is not in this folder" in open_files(page, course="none.geojson")["error"]
        assert "../x" in open_files(page, player="../x")["error"]
        assert "256" in open_files(page, options={"draws": 1000})["error"]
        assert "gravity" in open_files(page, options={"gravity": 1})["error"]
        open_files(page)
        assert "no hole 7" in page.ask("tee", hole=7, **tee)["error"]
        assert "no gold tee" in page.ask("tee", hole=1, **tee | {"tee": "gold"})["error"]
        assert "no strike putter" in page.ask("tee", hole=1, **tee | {"strikes": ["putter"]})["error"]
        assert "mph" in page.ask("tee", hole=1, **tee | {"wind": {"mph": 500, "from_deg": 0}})["error"]
        assert "choice" in page.ask_until_ready("tee", hole=1, **tee)


def test_of_questions_that_wait_the_newest_wins(window: Window) -> None:
    with window.page() as page:
        open_files(page)
        page.ask_until_ready("tee", hole=1, tee="back", wind=WIND, level="moving", strikes=["up", "down"])
        numbers = [
            page.send(
                "tee", hole=1, tee="back", wind={"mph": 14, "from_deg": degrees}, strikes=["up", "down"]
            )
            for degrees in range(30)
        ]
        answers: dict[int, dict[str, Any]] = {}
        while len(answers) < len(numbers):
            said = page.next()
            if "n" in said:
                answers[said["n"]] = said
    assert answers.keys() == set(numbers)
    replaced = [number for number in numbers if answers[number].get("replaced")]
    answered = [number for number in numbers if "choice" in answers[number]]
    assert len(replaced) >= 20
    assert answered[-1] == numbers[-1]
    assert len(replaced) + len(answered) == len(numbers)


def test_what_is_to_be_opened_is_not_replaced_by_a_question(window: Window) -> None:
    with window.page() as page:
        opening = page.send("open", course="petrel.geojson", player="vale.toml", options=OPTIONS)
        asked = page.send("hole", hole=1, tee="back", wind=WIND)
        answers: dict[int, dict[str, Any]] = {}
        while len(answers) < 2:
            said = page.next()
            if "n" in said:
                answers[said["n"]] = said
    assert "course" in answers[opening]
    assert answers[asked].keys() & {"waiting", "row"}


def test_two_pages_have_sessions_of_their_own(window: Window) -> None:
    with window.page() as one, window.page() as other:
        assert open_files(one)["options"]["goal"] == "mean"
        assert open_files(other, options=OPTIONS | {"goal": "par"})["options"]["goal"] == "par"
        asked = {"hole": 1, "tee": "back", "wind": WIND, "level": "moving", "strikes": ["up", "down"]}
        assert one.ask_until_ready("tee", **asked)["unit"] == "strokes"
        assert other.ask_until_ready("tee", **asked)["unit"] == "pars in 100"
        assert one.ask("tee", **asked)["goal"] == "mean"


def test_a_file_changed_on_disk_is_told_once(window: Window) -> None:
    path = window.folder / "vale.toml"
    with window.page() as page, window.page() as other:
        open_files(page)
        open_files(other, player="demo/good_amateur.toml")
        changed = PLAYER.replace("handicap_index = 3", "handicap_index = 4")
        assert changed != PLAYER
        path.write_text(changed, encoding="utf-8")
        try:
            told = page.wait_for("changed", 10)
            assert told == {"changed": "vale.toml", "sha256": sha256(changed.encode())}
            assert "handicap 4" in open_files(page)["player"]["about"]
            with pytest.raises(TimeoutError):
                page.wait_for("changed", 2.5)
            with pytest.raises(TimeoutError):
                other.wait_for("changed", 0.5)
        finally:
            path.write_text(PLAYER, encoding="utf-8")


def test_files_are_listed_saved_and_refused(window: Window) -> None:
    files = window.ask_json("GET", "/api/folder")[1]
    assert {course["name"] for course in files["courses"]} == {
        "demo/demo.geojson",
        "links.geojson",
        "petrel.geojson",
    }
    assert {"name": "vale.toml", "title": "C\u00f8rin Vale", "builtin": False} in files["players"]
    status, headers, held = window.ask("GET", "/api/files/vale.toml")
    assert (status, headers["etag"]) == (200, f'"{sha256(held)}"')
    new = held.replace(b"handicap_index = 3", b"handicap_index = 5")
    status, headers, _ = window.ask("PUT", "/api/files/sub/five.toml", new, If_None_Match="*")
    assert (status, headers["etag"]) == (200, f'"{sha256(new)}"')
    status, _, _ = window.ask("PUT", "/api/files/sub/five.toml", held, If_None_Match="*")
    assert status == 412
    status, _, _ = window.ask("PUT", "/api/files/sub/five.toml", held, If_Match=f'"{sha256(held)}"')
    assert status == 412
    status, _, _ = window.ask("PUT", "/api/files/sub/five.toml", held, If_Match=f'"{sha256(new)}"')
    assert status == 200
    for more in ({}, {"If_Match": "*"}, {"If_Match": '"x"', "If_None_Match": "*"}):
        assert window.ask("PUT", "/api/files/sub/five.toml", held, **more)[0] == 428
    status, answer = window.ask_json("PUT", "/api/files/wrong.toml", {"a": 1}, If_None_Match="*")
    assert status == 422
    assert answer["error"].startswith("wrong.toml: ")
    status, answer = window.ask_json("PUT", "/api/files/wrong.geojson", {"a": 1}, If_None_Match="*")
    assert status == 422
    assert window.ask("PUT", "/api/files/run.py", b"x", If_None_Match="*")[0] == 415
    assert window.ask("PUT", "/api/files/demo/demo.geojson", COURSE.encode(), If_None_Match="*")[0] == 400
    assert not list(window.folder.glob("wrong.*"))
    (window.folder / "broken.toml").write_text('name = "A"\nhandicap_index = \n')
    files = window.ask_json("GET", "/api/folder")[1]
    assert [row["name"] for row in files["broken"]] == ["broken.toml"]
    assert "sub/five.toml" in {player["name"] for player in files["players"]}
    (window.folder / "broken.toml").unlink()
    (window.folder / "sub/five.toml").unlink()
    (window.folder / "sub").rmdir()


def test_of_two_windows_that_save_one_file_the_second_is_told(window: Window) -> None:
    """Two servers on one folder, as well as two pages of one."""
    with running(window.folder) as other:
        _, headers, held = window.ask("GET", "/api/files/vale.toml")
        seen, new = headers["etag"], held + b"# one\n"
        assert window.ask("PUT", "/api/files/vale.toml", new, If_Match=seen)[0] == 200
        status, _, body = other.ask("PUT", "/api/files/vale.toml", held + b"# two\n", If_Match=seen)
        assert status == 412
        assert "changed outside this window" in json.loads(body)["error"]
        assert (window.folder / "vale.toml").read_bytes() == new
    fill(window.folder)


def test_work_at_rest_gives_way_to_a_hand_that_moves(window: Window) -> None:
    asked = {"hole": 4, "tee": "back", "strikes": ["up", "down"]}
    with window.page() as page:
        open_files(page, course="demo/demo.geojson", options=OPTIONS | {"draws": 65536})
        page.ask_until_ready("tee", wind=WIND, level="moving", **asked)
        rest = page.send("tee", wind={"mph": 29, "from_deg": 10}, level="rest", **asked)
        time.sleep(0.1)  # so that it is no longer waiting, but being worked on
        moved = page.send("tee", wind=WIND, level="moving", **asked)
        answers: dict[int, dict[str, Any]] = {}
        while len(answers) < 2:
            said = page.next()
            if "n" in said:
                answers[said["n"]] = said
    assert answers[rest] == {"n": rest, "replaced": True}
    assert list(answers) == [rest, moved]
    assert "choice" in answers[moved]
