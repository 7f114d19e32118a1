"""Worker processes: results, workers that die, a parent that dies, and a fault in the work itself."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import NoReturn

import pytest

from holesim.common.processes import Workers

needs_signals = pytest.mark.skipif(sys.platform == "win32", reason="signals of another kind")


def process_and_threads(piece: int) -> tuple[int, int, str]:
    return piece * piece, os.getpid(), os.environ["HOLESIM_THREADS"]


def die_once(mark: Path) -> str:
    """Die the first time, and say so by a file."""
    if not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return mark.name


def die_if_odd(piece: int) -> int:
    if piece % 2:
        os.kill(os.getpid(), signal.SIGKILL)
    return piece


def fail(_: int) -> NoReturn:
    raise ValueError("wrong")


def run_out_of_memory(_: int) -> NoReturn:
    raise MemoryError


def say_and_compute(folder: Path) -> None:
    """Compute for hours without ever letting another thread run."""
    (folder / str(os.getpid())).touch()
    re.match(r"(a+)+$", "a" * 60 + "b")


def alive(process: int) -> bool:
    """Return whether a process runs; one that has ended and was not waited for does not."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    stat = Path(f"/proc/{process}/stat")
    return not stat.exists() or stat.read_text().rpartition(")")[2].split()[0] != "Z"


def wait_until(true: object, seconds: float = 30.0) -> bool:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():  # type: ignore[operator]
            return True
        time.sleep(0.05)
    return False


def test_all_pieces_are_worked_on_by_processes_of_one_thread() -> None:
    with Workers(2) as workers:
        found = dict(workers.share_out(process_and_threads, range(5)))
        again = dict(workers.share_out(process_and_threads, range(2)))
    assert {number: result[0] for number, result in found.items() if result} == {n: n * n for n in range(5)}
    processes = {result[1] for result in found.values() if result}
    assert os.getpid() not in processes
    assert {result[2] for result in found.values() if result} == {"1"}
    # They stay for the next work, and end after it.
    assert {result[1] for result in again.values() if result} <= processes
    assert not any(map(alive, processes))


@needs_signals
def test_a_piece_whose_worker_dies_is_tried_once_more(tmp_path: Path) -> None:
    marks = [tmp_path / name for name in "abc"]
    with Workers(2) as workers:
        assert dict(workers.share_out(die_once, marks)) == {0: "a", 1: "b", 2: "c"}


@needs_signals
def test_a_piece_that_always_kills_its_worker_costs_itself_alone() -> None:
    with Workers(2) as workers:
        found = dict(workers.share_out(die_if_odd, range(6)))
    assert found == {n: None if n % 2 else n for n in range(6)}


def test_a_fault_of_the_work_itself_ends_its_worker() -> None:
    """The work handles its faults; one that it does not handle costs its piece, as if it were killed."""
    with Workers(1) as workers:
        assert dict(workers.share_out(fail, [1])) == {0: None}


def test_a_worker_that_runs_out_of_memory_costs_its_piece(capfd: pytest.CaptureFixture[str]) -> None:
    with Workers(1) as workers:
        assert dict(workers.share_out(run_out_of_memory, [1])) == {0: None}
    assert capfd.readouterr().err == ""


def test_a_worker_that_cannot_be_started_costs_its_piece(monkeypatch: pytest.MonkeyPatch) -> None:
    starts = []

    def start(_: object) -> NoReturn:
        starts.append(1)
        raise OSError("cannot allocate memory")

    monkeypatch.setattr("multiprocessing.context.SpawnProcess.start", start)
    with Workers(1) as workers:
        assert dict(workers.share_out(abs, [1])) == {0: None}
    assert len(starts) == 2


def test_what_cannot_be_sent_to_a_worker_is_the_callers_fault() -> None:
    with Workers(1) as workers, pytest.raises(AttributeError):
        list(workers.share_out(lambda piece: piece, [1]))


@needs_signals
def test_workers_end_with_their_parent_in_the_middle_of_a_computation(tmp_path: Path) -> None:
    folders = [tmp_path / name for name in "ab"]
    for folder in folders:
        folder.mkdir()

    def said() -> list[int]:
        return [int(path.name) for folder in folders for path in folder.iterdir()]

    command = (
        "from pathlib import Path\n"
        "from holesim.common.processes import Workers\n"
        "from tests.common.test_processes import say_and_compute\n"
        f"folders = [Path(name) for name in {[str(folder) for folder in folders]!r}]\n"
        "with Workers(2) as workers:\n"
        "    list(workers.share_out(say_and_compute, folders))\n"
    )
    with subprocess.Popen([sys.executable, "-c", command]) as parent:  # noqa: S603
        assert wait_until(lambda: len(said()) == 2)
        workers = said()
        assert all(map(alive, workers))
        parent.send_signal(signal.SIGKILL)
    try:
        assert wait_until(lambda: not any(map(alive, workers)), seconds=5.0)
    finally:
        for worker in filter(alive, workers):
            os.kill(worker, signal.SIGKILL)


def test_workers_end_when_the_caller_stops() -> None:
    processes: list[int] = []

    def stop_at_first() -> None:
        with Workers(2) as workers:
            _, found = next(workers.share_out(process_and_threads, range(100)))
            processes.extend([found[1]] if found else [])
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stop_at_first()
    assert [alive(process) for process in processes] == [False]
