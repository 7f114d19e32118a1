"""Worker processes: pieces of work that take much memory, shared out so that a killed worker costs little."""

import multiprocessing
import os
import signal
from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection
from queue import SimpleQueue
from threading import Lock, Thread
from typing import TYPE_CHECKING, Final, Generic, TypeVar

if TYPE_CHECKING:
    from multiprocessing.process import BaseProcess

Piece = TypeVar("Piece")
Result = TypeVar("Result")

_TRIES: Final = 2  # of a piece whose worker dies


def share_out_to_processes(
    work: Callable[[Piece], Result], pieces: Sequence[Piece], workers: int
) -> Generator[tuple[int, Result | None]]:
    """Yield the number and the result of each piece as it is done, each worker a process of its own.

    A piece whose worker dies is tried once more; the result of one whose worker dies again is None. Workers
    end with their parent, however that ends. Each uses one thread.

    Parameters
    ----------
    work
        A function of a module; what it takes and returns can be pickled.

    Examples
    --------
    >>> sorted(share_out_to_processes(abs, [-3, 4], workers=1))
    [(0, 3), (1, 4)]
    """
    queue = _Queue(pieces)
    done: SimpleQueue[tuple[int, Result | None] | BaseException] = SimpleQueue()
    staff = [_Worker(work, queue, done) for _ in range(min(workers, len(pieces)))]
    try:
        for worker in staff:
            worker.start()
        for _ in pieces:
            found = done.get()
            if isinstance(found, BaseException):
                raise found
            yield found
    finally:
        queue.close()
        for worker in staff:
            worker.stop()


class _Queue(Generic[Piece]):
    """The pieces that nobody has begun."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self._pieces, self._lock = list(enumerate(pieces)), Lock()

    def take(self) -> tuple[int, Piece] | None:
        with self._lock:
            return self._pieces.pop(0) if self._pieces else None

    def close(self) -> None:
        with self._lock:
            self._pieces.clear()


class _Worker(Thread, Generic[Piece, Result]):
    """A thread that hands pieces to a process, and starts another process where that one dies."""

    def __init__(
        self,
        work: Callable[[Piece], Result],
        queue: _Queue[Piece],
        done: "SimpleQueue[tuple[int, Result | None] | BaseException]",
    ) -> None:
        super().__init__(daemon=True)
        self._work, self._queue, self._done = work, queue, done
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._stopped, self._lock = False, Lock()

    def run(self) -> None:
        """Work on pieces until there are no more."""
        try:
            while (taken := self._queue.take()) is not None:
                number, piece = taken
                self._done.put((number, self._try(piece)))
        except BaseException as error:  # noqa: BLE001 - the caller's thread raises it
            self._done.put(error)
        finally:
            self._end()

    def stop(self) -> None:
        """End the process, whatever it does."""
        with self._lock:
            self._stopped = True
        self._end()
        self.join()

    def _try(self, piece: Piece) -> Result | None:
        for _ in range(_TRIES):
            pipe = self._start()
            if pipe is None:
                return None
            try:
                pipe.send(piece)
                found: Result = pipe.recv()
            except (EOFError, OSError):
                self._end()
            else:
                return found
        return None

    def _start(self) -> Connection | None:
        """Return the pipe to the process, which is started if there is none; None if all work is stopped."""
        with self._lock:
            if self._stopped:
                return None
            if self._pipe is None:
                spawn = multiprocessing.get_context("spawn")
                self._pipe, theirs = spawn.Pipe()
                self._process = spawn.Process(target=_serve, args=(theirs, self._work), daemon=True)
                self._process.start()
                theirs.close()
            return self._pipe

    def _end(self) -> None:
        with self._lock:
            process, pipe, self._process, self._pipe = self._process, self._pipe, None, None
        if process is not None:
            process.kill()
            process.join()
        if pipe is not None:
            pipe.close()


def _serve(pipe: Connection, work: Callable[[Piece], Result]) -> None:
    """Work on what comes through a pipe, in a worker's process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends its workers
    os.environ["HOLESIM_THREADS"] = "1"  # the processes share the processors
    Thread(target=_end_with_parent, daemon=True).start()
    with suppress(EOFError, OSError):
        while True:
            pipe.send(work(pipe.recv()))


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
    os._exit(1)
