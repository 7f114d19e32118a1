"""Long work of a window: its progress, that it ends when told to, and the same bytes as the command's."""

import os
import shutil
import signal
import time
from pathlib import Path
from typing import Any

import pytest

from holesim.common.safe_files import UnwritableError
from holesim.errors import InputError
from holesim.window import jobs
from holesim.window.planning.plan_order import PlanOrder
from tests.conftest import Run
from tests.files.command_outcomes import whole_files_only
from tests.window.running import Page, Window, fill, running

ORDER: dict[str, Any] = {
    "kind": "plan",
    "name": "plans/links-vale",
    "course": "links.geojson",
    "layout": None,
    "player": "vale.toml",
    "options": {"draws": 256, "wind_mph": 12.0, "wind_from_deg": 250.0},
    "tees": ["back"],
}
SLOW = ORDER | {
    "name": "plans/slow",
    "course": "demo/demo.geojson",
    "options": {"draws": 256},
    "tees": ["back", "middle", "forward"],
}


def start(window: Window, **changed: object) -> int:
    status, answer = window.ask_json("POST", "/api/jobs", ORDER | changed)
    assert status == 200, answer
    return int(answer["job"])


def end_of(page: Page, job: int) -> tuple[dict[str, Any], list[tuple[int, int]]]:
    """Return the last word about a job, and its progress before."""
    progress: list[tuple[int, int]] = []
    while True:
        said = page.wait_for("job")
        assert said["job"] == job
        if "done" not in said:
            return said, progress
        progress.append((said["done"], said["total"]))


def children(process: int) -> list[int]:
    """Return the processes that a process has started and that still run."""
    found = []
    for task in Path(f"/proc/{process}/task").iterdir():
        found += [int(number) for number in (task / "children").read_text().split()]
    return found


def until(true: Any, seconds: float = 30) -> float:  # noqa: ANN401 - a function
    begin = time.monotonic()
    while not true():
        assert time.monotonic() - begin < seconds
        time.sleep(0.02)
    return time.monotonic() - begin


@pytest.fixture(scope="module")
def saved(window: Window) -> tuple[dict[str, Any], list[tuple[int, int]], dict[str, bytes]]:
    """The last word about a plan that was saved, its progress, and its files."""
    with window.page() as page:
        job = start(window)
        assert window.ask_json("POST", "/api/jobs", ORDER)[0] == 409
        end, progress = end_of(page, job)
    assert not list(window.folder.rglob(".*"))
    files = {path.name: path.read_bytes() for path in (window.folder / "plans/links-vale").iterdir()}
    return end, progress, files


def test_a_saved_plan_is_that_of_the_command_byte_for_byte(
    window: Window,
    saved: tuple[dict[str, Any], list[tuple[int, int]], dict[str, bytes]],
    run: Run,
    tmp_path: Path,
) -> None:
    end, progress, made = saved
    assert progress == [(done, 2) for done in range(3)]
    assert end["files"] == sorted(f"plans/links-vale/{name}" for name in made)
    assert whole_files_only(window.folder / "plans/links-vale")
    files = [str(window.folder / name) for name in ("links.geojson", "vale.toml")]
    words = ("--tee", "back", "--wind", "12@250", "--draws", "256", "--out", str(tmp_path / "out"))
    assert run("plan", *files, *words)[0] == 0
    assert {path.name for path in (tmp_path / "out").iterdir()} == made.keys()
    for name in ("plan.json", "plan.csv", "finishes.geojson"):
        assert made[name] == (tmp_path / "out" / name).read_bytes()
    listed = window.ask_json("GET", "/api/folder")[1]["plans"]
    assert [plan["name"] for plan in listed] == ["plans/links-vale"]
    status, headers, card = window.ask("GET", "/api/files/plans/links-vale/card.pdf")
    assert (status, headers["content-type"]) == (200, "application/pdf")
    assert card.startswith(b"%PDF")


def test_a_plan_of_its_own_is_replaced_but_not_another(
    window: Window, saved: tuple[dict[str, Any], list[tuple[int, int]], dict[str, bytes]]
) -> None:
    kept = window.folder / "plans/links-vale/plan.json"
    with window.page() as page:
        end, _ = end_of(page, start(window, options={"draws": 256, "seed": 2}))
    assert "files" in end
    second = kept.read_bytes()
    assert second != saved[2]["plan.json"]
    kept.write_bytes(second + b"\n")
    status, answer = window.ask_json("POST", "/api/jobs", ORDER)
    assert status == 412
    assert "is there already" in answer["error"]
    assert kept.read_bytes() == second + b"\n"
    (window.folder / "other").mkdir()
    (window.folder / "other/plan.json").write_text("{}")
    assert window.ask_json("POST", "/api/jobs", ORDER | {"name": "other"})[0] == 412
    shutil.rmtree(window.folder / "other")
    for name in ("vale.toml", "vale.toml/x"):
        assert window.ask_json("POST", "/api/jobs", ORDER | {"name": name})[0] == 412


def test_an_order_that_makes_no_sense_is_one_line(window: Window) -> None:
    wrong = ORDER | {"name": "plans/wrong"}
    status, answer = window.ask_json("POST", "/api/jobs", wrong | {"course": "none.geojson"})
    assert status == 404
    assert "is not in this folder" in answer["error"]
    status, answer = window.ask_json("POST", "/api/jobs", wrong | {"options": {"draws": 1000}})
    assert status == 422
    assert "not a power of two" in answer["error"]
    with window.page() as page:
        end, _ = end_of(page, start(window, **wrong | {"tees": ["gold"]}))
    assert "has no gold tee" in end["error"]
    assert end["error"].isprintable()
    assert not (window.folder / "plans/wrong").exists()
    assert not list(window.folder.rglob(".*"))


def test_a_folder_that_cannot_be_written_is_told_by_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def make(*_: object) -> None:
        raise UnwritableError(tmp_path / ".work/made", "No space left on device", "make room there")

    monkeypatch.setattr(PlanOrder, "make", make)
    request = {"order": ORDER, "root": str(fill(tmp_path / "folder")), "builtin": {}, "made": str(tmp_path)}
    with pytest.raises(InputError) as told:
        jobs.make(request, lambda *_: None)
    assert str(told.value).startswith("plans/links-vale: cannot be written (No space left on device); ")


def test_an_order_with_a_refused_name_is_refused(window: Window) -> None:
    for name in ("../plans", "/tmp/plans", ".plans", "a\\b", ""):  # noqa: S108 - refused
        status, answer = window.ask_json("POST", "/api/jobs", ORDER | {"name": name})
        assert status in {400, 422}, answer
    status, answer = window.ask_json("POST", "/api/jobs", ORDER | {"kind": "run"})
    assert status == 422
    assert window.ask_json("POST", "/api/jobs", ORDER | {"name": "new", "course": "../x"})[0] == 400


def test_work_is_cancelled_soon_and_leaves_nothing(window: Window) -> None:
    before = sorted(window.folder.rglob("*"))
    with window.page() as page:
        job = start(window, **SLOW)
        page.wait_for("done")
        worker = children(window.process.pid)[0]
        assert os.getpriority(os.PRIO_PROCESS, worker) >= 10
        begin = time.monotonic()
        assert window.ask_json("DELETE", f"/api/jobs/{job}") == (200, {"job": job, "cancelled": True})
        assert time.monotonic() - begin < 10
        assert end_of(page, job)[0] == {"job": job, "cancelled": True}
        assert not children(window.process.pid)
        assert not Path(f"/proc/{worker}").exists()
        assert sorted(window.folder.rglob("*")) == before
        assert window.ask("DELETE", f"/api/jobs/{job}")[0] == 404
        job = start(window, **SLOW)  # cancelled before its process is up
        assert window.ask_json("DELETE", f"/api/jobs/{job}")[0] == 200
        assert not children(window.process.pid)
        assert sorted(window.folder.rglob("*")) == before


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL], ids=lambda how: how.name)
def test_a_window_that_ends_leaves_no_worker(tmp_path: Path, how: signal.Signals) -> None:
    """Soon, also while a plan is made, holes are valued and a question is answered."""
    killed = how is signal.SIGKILL
    with running(fill(tmp_path / "folder"), "--demo") as window, window.page() as page:
        asked = {"course": "petrel.geojson", "player": "vale.toml", "options": {"draws": 256}}
        assert "course" in page.ask("open", **asked)
        start(window, **SLOW)
        page.wait_for("done")
        page.send("tee", hole=1, tee="back", wind={"mph": 9, "from_deg": 10}, level="rest")
        worker = children(window.process.pid)[0]
        code, took = window.stop(how)
        assert code == (-how if killed else 128 + how)
        assert took < 10
        until(lambda: not Path(f"/proc/{worker}").exists(), 30)
        assert window.process.stderr is not None
        assert window.process.stderr.read().splitlines()[-1] == "this window is open until Ctrl-C"
    assert bool(list(window.folder.glob(".*"))) is killed
    if killed:  # what it left is removed by the next plan
        with running(window.folder) as after, after.page() as page:
            end_of(page, start(after, tees=["gold"]))
        assert not list(after.folder.glob(".*"))
    assert sorted(path.name for path in window.folder.iterdir()) == [
        "links.geojson",
        "petrel.geojson",
        "vale.toml",
    ]
