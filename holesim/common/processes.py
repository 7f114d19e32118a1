"""Worker processes: pieces of work that take much memory, shared out so that a killed worker costs little."""

import ctypes
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from queue import Empty, SimpleQueue
from threading import Lock, Thread
from types import TracebackType
from typing import TYPE_CHECKING, Any, Final, Self, TypeVar

if TYPE_CHECKING:
    from multiprocessing.process import BaseProcess

Piece = TypeVar("Piece")
Result = TypeVar("Result")

_TRIES: Final = 2  # of a piece whose worker dies
_PATIENCE: Final = 5.0  # s, for a worker without work to clear up and end
_PR_SET_PDEATHSIG: Final = 1  # of prctl(2)


class Workers:
    """Worker processes of one thread each, started as there is work for them; they end with their parent.

    They stay until the end of the `with` statement: a process takes seconds to import what it works with.

    Parameters
    ----------
    most
        How many processes may work at a time.

    Examples
    --------
    >>> with Workers(1) as workers:
    ...     sorted(workers.share_out(abs, [-3, 4]))
    [(0, 3), (1, 4)]
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._tasks: SimpleQueue[_Task | None] = SimpleQueue()
        self._staff: list[_Worker] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._drop_tasks()
        for _ in self._staff:
            self._tasks.put(None)
        for worker in self._staff:
            worker.stop(at_once=kind is not None)

    def share_out(
        self, work: Callable[[Piece], Result], pieces: Sequence[Piece]
    ) -> Generator[tuple[int, Result | None]]:
        """Yield the number and the result of each piece as it is done.

        A piece whose worker dies or runs out of memory is tried once more, by another; the result of one
        whose worker dies again is None.

        Parameters
        ----------
        work
            A function of a module; what it takes and returns can be pickled.
        """
        done: SimpleQueue[tuple[int, Result | None] | Exception] = SimpleQueue()
        for number, piece in enumerate(pieces):
            self._tasks.put(_Task(work, piece, number, done))
        while len(self._staff) < min(self._most, len(pieces)):
            self._staff.append(_Worker(self._tasks))
            self._staff[-1].start()
        try:
            for _ in pieces:
                found = done.get()
                if isinstance(found, Exception):
                    raise found
                yield found
        finally:
            self._drop_tasks()

    def _drop_tasks(self) -> None:
        with suppress(Empty):
            while True:
                self._tasks.get_nowait()


@dataclass(frozen=True)
class _Task:
    """A piece of work, and where its number and result go."""

    work: Callable[[Any], Any]
    piece: Any
    number: int
    done: "SimpleQueue[Any]"


class _Worker(Thread):
    """A thread that hands tasks to a process, and starts another process where that one dies.

    It lives as long as its processes: on Linux they would end with the thread that started them.
    """

    def __init__(self, tasks: "SimpleQueue[_Task | None]") -> None:
        super().__init__(daemon=True)
        self._tasks = tasks
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._stopped, self._lock = False, Lock()

    def run(self) -> None:
        """Work on tasks until there are no more."""
        while (task := self._tasks.get()) is not None:
            try:
                task.done.put((task.number, self._try(task)))
            except Exception as error:  # noqa: BLE001 - the caller's thread raises it
                task.done.put(error)
        self._end(_PATIENCE)

    def stop(self, *, at_once: bool) -> None:
        """End the process, at once or when it has cleared up."""
        with self._lock:
            self._stopped = True
        if at_once:
            self._end(0.0)
        self.join()

    def _try(self, task: _Task) -> Any:  # noqa: ANN401 - whatever the work returns
        for _ in range(_TRIES):
            try:
                pipe = self._start()
                if pipe is None:
                    return None
                pipe.send((task.work, task.piece))
                return pipe.recv()
            except (EOFError, OSError):  # it died, or could not be started
                self._end(0.0)
        return None

    def _start(self) -> Connection | None:
        """Return the pipe to the process, which is started if there is none; None if all work is stopped."""
        with self._lock:
            if self._stopped:
                return None
            if self._pipe is None:
                spawn = multiprocessing.get_context("spawn")
                ours, theirs = spawn.Pipe()
                with theirs:
                    process = spawn.Process(target=_serve, args=(theirs,), daemon=True)
                    process.start()
                self._process, self._pipe = process, ours
            return self._pipe

    def _end(self, patience: float) -> None:
        with self._lock:
            process, pipe, self._process, self._pipe = self._process, self._pipe, None, None
        if process is None or pipe is None:
            return
        if patience:
            pipe.close()  # which ends it
            process.join(patience)
        process.kill()
        process.join()
        pipe.close()


def _serve(pipe: Connection) -> None:
    """Work on what comes through a pipe, in a worker's process."""
    _end_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends its workers
    os.environ["HOLESIM_THREADS"] = "1"  # the processes share the processors
    with suppress(EOFError, OSError):
        while True:
            work, piece = pipe.recv()
            try:
                found = work(piece)
            except MemoryError:
                os._exit(1)  # a new process has more
            pipe.send(found)


def _end_with_parent() -> None:
    """See to it that this process ends with its parent, whatever it computes then."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return
    if sys.platform == "linux" and ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL, 0, 0, 0) == 0:
        if os.getppid() != parent.pid:  # it died before
            os._exit(1)
        return

    def wait() -> None:
        parent.join()
        os._exit(1)

    Thread(target=wait, daemon=True).start()
