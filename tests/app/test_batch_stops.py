"""Batches that are stopped, or whose workers are killed: what is left is whole, and the next goes on."""

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from threading import Thread

import pytest

from holesim.common.safe_files import write_text
from holesim.handouts import batch
from holesim.handouts.batch import run_batch
from holesim.handouts.batch_jobs import SUMMARY, load_jobs
from holesim.handouts.batch_sheets import SheetWork
from tests.app.conftest import PLAYERS, plans, written
from tests.common.test_processes import alive
from tests.conftest import Run

pytestmark = pytest.mark.usefixtures("planned")  # which compiles the kernels


linux = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads /proc")


def workers_of(process: int) -> list[int]:
    """Return the worker processes of a batch that runs, without those that have ended."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, parent = stat.read_text().rpartition(")")[2].split()[:2]
            command = (stat.parent / "cmdline").read_bytes()
        except OSError:
            continue
        if int(parent) == process and state != "Z" and b"spawn_main" in command:
            found.append(int(stat.parent.name))
    return found


def wait_for(find_them: Callable[[], list[int]], count: int, seconds: float = 60.0) -> list[int]:
    end = time.monotonic() + seconds
    while len(found := find_them()) != count:
        assert time.monotonic() < end, found
        time.sleep(0.02)
    return found


@linux
def test_a_killed_batch_leaves_no_worker_and_the_next_goes_on(
    jobs: Path, planned: Path, tmp_path: Path
) -> None:
    out, temporary = tmp_path / "out", tmp_path / "temporary"
    temporary.mkdir()
    command = [sys.executable, "-m", "holesim", "batch", str(jobs), "--out", str(out)]
    environment = os.environ | {"HOLESIM_THREADS": "2", "TMPDIR": str(temporary)}
    with subprocess.Popen(command, env=environment, stderr=subprocess.DEVNULL) as first:  # noqa: S603
        workers = wait_for(lambda: workers_of(first.pid), 2)
        end = time.monotonic() + 120
        while not plans(out) and time.monotonic() < end:
            time.sleep(0.01)
        first.kill()
    wait_for(lambda: [worker for worker in workers if alive(worker)], 0, seconds=5.0)
    assert not [*temporary.iterdir()]
    begun = {path: path.stat().st_mtime_ns for path in out.glob("[!.]*/*.json")}
    assert 1 <= len(begun) < len(PLAYERS)
    environment["HOLESIM_THREADS"] = "1"
    again = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)  # noqa: S603
    made = len(PLAYERS) - len(begun)
    assert again.stdout == f"{len(begun)} plans were there, {made} made; 0 failed\n"
    assert {path: path.stat().st_mtime_ns for path in begun} == begun
    assert plans(out) == plans(planned)
    assert (out / SUMMARY).read_bytes() == (planned / SUMMARY).read_bytes()
    # Nothing half-written is left, and a third run has nothing to do.
    assert {path.suffix for path in out.rglob("*") if path.is_file()} <= {".json", ".csv", ""}
    found = run_batch(load_jobs(jobs), out)
    assert (found.before, found.made) == (len(PLAYERS), 0)


class Stopped(BaseException):
    """A batch ends here."""


def stop_at(change: int, patch: pytest.MonkeyPatch) -> None:
    """End before so many changes to files: renaming what was written, or removing what is no longer true."""
    left = change

    def counted(done: Callable[..., object]) -> Callable[..., object]:
        def do(path: Path, *given: object, **more: object) -> object:
            nonlocal left
            left -= 1
            if left < 0:
                raise Stopped
            return done(path, *given, **more)

        return do

    patch.setattr(Path, "replace", counted(Path.replace))
    patch.setattr(Path, "unlink", counted(Path.unlink))


def made_from(plan: Path) -> str:
    return hashlib.sha256(plan.read_bytes()).hexdigest()


@pytest.mark.usefixtures("here")
def test_wherever_a_batch_is_stopped_no_sheet_lies_beside_another_plan(
    planned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    players = PLAYERS[:2]
    text = {name: (planned / "template" / f"{name}.json").read_text(encoding="utf-8") for name in players}

    def plan(piece: batch._Piece) -> tuple[str, str]:
        content = json.loads(text[piece.job.path.stem]) | piece.job.says
        content["totals"]["back"]["always up"] = float(piece.job.options.seed)
        return json.dumps(content), ""

    def sheet(work: SheetWork) -> str:
        write_text(work.folder / work.path, made_from(work.folder / work.plan))
        return ""

    monkeypatch.setattr(batch, "_work", plan)
    monkeypatch.setattr(batch, "make_sheet", sheet)
    sheets = 'sheets = ["pocket", "page"]'
    old = load_jobs(written(tmp_path / "old.toml", sheets, players=players))
    new = load_jobs(written(tmp_path / "new.toml", sheets, players=players, seed=2))
    for name, todo in (("old", old), ("new", new)):
        found = run_batch(todo, tmp_path / name)
        assert (found.made, found.sheets_made, found.failed) == (2, 4, ())
    whole = {name: files(tmp_path / name) for name in ("old", "new")}
    for change in range(1000):
        out = shutil.copytree(tmp_path / "old", tmp_path / f"stopped_{change}")
        with monkeypatch.context() as patch:
            stop_at(change, patch)
            try:
                run_batch(new, out, replace=True)
            except Stopped:
                pass
            else:
                break
        for path, content in files(out).items():
            assert content in (whole["old"][path], whole["new"][path])
            if path.suffix in (".pdf", ".html"):
                assert content.decode() == made_from(out / path.parent / f"{path.name.split('.')[0]}.json")
        if (out / SUMMARY).exists():
            same = [name for name, of in whole.items() if of[Path(SUMMARY)] == (out / SUMMARY).read_bytes()]
            assert {path: of for path, of in files(out).items() if path.suffix == ".json"}.items() <= whole[
                same[0]
            ].items()
        run_batch(new, out, replace=True)
        assert files(out) == whole["new"]
    assert change > 10
    assert files(out) == whole["new"]


def files(folder: Path) -> dict[Path, bytes]:
    """Return the files of a batch, without hidden ones."""
    found = (path for path in folder.rglob("*") if path.is_file() and not path.name.startswith("."))
    return {path.relative_to(folder): path.read_bytes() for path in found}


@linux
def test_the_job_of_a_killed_worker_is_tried_once_more(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three workers are killed: the first job's both times, and the second job's first time."""
    monkeypatch.setenv("HOLESIM_THREADS", "1")
    jobs, out = written(tmp_path / "jobs.toml", players=PLAYERS[:2]), tmp_path / "out"
    killed: list[int] = []

    def kill() -> None:
        for _ in range(3):
            killed.extend(wait_for(lambda: [w for w in workers_of(os.getpid()) if w not in killed], 1))
            os.kill(killed[-1], signal.SIGKILL)

    killer = Thread(target=kill, daemon=True)
    killer.start()
    code, said, err = run("batch", str(jobs), "--out", str(out))
    killer.join()
    assert len(killed) == 3
    assert (code, said) == (2, "0 plans were there, 1 made; 1 failed\n")
    fault = "good_amateur.toml on template.geojson: its worker process was killed twice, perhaps because"
    assert [line for line in err.splitlines() if fault in line]
    assert "bug" not in err
    assert [*plans(out)] == ["club_golfer.json"]
