"""Worker processes: results, workers that die, a parent that dies, and a fault in the work itself."""

import os
import signal
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path
from typing import NoReturn

import pytest

from holesim.common.processes import share_out_to_processes

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


def say_and_wait(folder: Path) -> None:
    (folder / str(os.getpid())).touch()
    time.sleep(600)


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
    found = dict(share_out_to_processes(process_and_threads, range(5), 2))
    assert {number: square for number, (square, _, _) in found.items()} == {n: n * n for n in range(5)}  # type: ignore[misc]
    processes = {process for _, process, _ in found.values()}  # type: ignore[misc]
    assert os.getpid() not in processes
    assert {threads for _, _, threads in found.values()} == {"1"}  # type: ignore[misc]
    assert wait_until(lambda: not any(map(alive, processes)))


@needs_signals
def test_a_piece_whose_worker_dies_is_tried_once_more(tmp_path: Path) -> None:
    marks = [tmp_path / name for name in "abc"]
    found = dict(share_out_to_processes(die_once, marks, 2))
    assert found == {0: "a", 1: "b", 2: "c"}


@needs_signals
def test_a_piece_that_always_kills_its_worker_costs_itself_alone() -> None:
    found = dict(share_out_to_processes(die_if_odd, range(6), 2))
    assert found == {n: None if n % 2 else n for n in range(6)}


def test_a_fault_of_the_work_itself_is_not_hidden() -> None:
    """The work handles its faults; one that it does not handle ends the worker, as if it were killed."""
    assert dict(share_out_to_processes(fail, [1], 1)) == {0: None}


@needs_signals
def test_workers_end_when_nobody_waits_for_them_any_more(tmp_path: Path) -> None:
    folders = [tmp_path / name for name in "ab"]
    for folder in folders:
        folder.mkdir()

    def said() -> list[int]:
        return [int(path.name) for folder in folders for path in folder.iterdir()]

    command = (
        "from pathlib import Path\n"
        "from holesim.common.processes import share_out_to_processes\n"
        "from tests.common.test_processes import say_and_wait\n"
        f"folders = [Path(name) for name in {[str(folder) for folder in folders]!r}]\n"
        "list(share_out_to_processes(say_and_wait, folders, 2))\n"
    )
    with subprocess.Popen([sys.executable, "-c", command]) as parent:  # noqa: S603
        assert wait_until(lambda: len(said()) == 2)
        workers = said()
        assert all(map(alive, workers))
        parent.send_signal(signal.SIGKILL)
    assert wait_until(lambda: not any(map(alive, workers)))


def test_workers_end_when_the_caller_stops() -> None:
    with closing(share_out_to_processes(process_and_threads, range(100), 2)) as results:
        _, found = next(results)
    assert found is not None
    assert wait_until(lambda: not alive(found[1]))
