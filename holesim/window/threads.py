"""Threads of the window: one that reads files, one that answers, one that values holes in the background.

All are daemons: the command ends at once, whatever they are doing.
"""

import asyncio
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from queue import SimpleQueue
from threading import Condition, Thread
from typing import Any, Protocol, TypeVar

T = TypeVar("T")

_Piece = tuple[Callable[[], Any], asyncio.AbstractEventLoop, "asyncio.Future[Any]"]


class Worker:
    """A thread that does pieces of work one after another."""

    def __init__(self, name: str) -> None:
        self._pieces: SimpleQueue[_Piece] = SimpleQueue()
        Thread(target=self._work, name=f"holesim {name}", daemon=True).start()

    async def run(self, work: Callable[[], T]) -> T:
        """Return the result of `work`, done in the thread; its exception is raised here."""
        loop = asyncio.get_running_loop()
        future: asyncio.Future[T] = loop.create_future()
        self._pieces.put((work, loop, future))
        return await future

    def _work(self) -> None:
        while True:
            work, loop, future = self._pieces.get()
            if future.cancelled():
                continue
            try:
                result = work()
            except Exception as error:  # noqa: BLE001 - raised where the work was asked for
                _hand_over(loop, future, error=error)
            else:
                _hand_over(loop, future, result=result)


def _hand_over(
    loop: asyncio.AbstractEventLoop,
    future: "asyncio.Future[Any]",
    *,
    result: object = None,
    error: Exception | None = None,
) -> None:
    def give() -> None:
        if future.done():  # who asked has gone
            return
        if error is None:
            future.set_result(result)
        elif isinstance(error, StopIteration):  # which a future does not take
            future.set_exception(RuntimeError("an iterator ended early"))
        else:
            future.set_exception(error)

    with suppress(RuntimeError):  # the loop is closed
        loop.call_soon_threadsafe(give)


class CanValue(Protocol):
    """What finds the expected strokes of a hole."""

    def value(self, hole: int) -> None:
        """Find the expected strokes of a hole."""


@dataclass(eq=False)
class Wanted:
    """Holes whose expected strokes a page wants, in this order; `told` hears of each, or of its failure."""

    session: CanValue
    holes: list[int]
    told: Callable[[int, Exception | None], None]


class Valuer:
    """A thread that finds the expected strokes of holes; the page asked last comes first."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._wanted: list[Wanted] = []
        Thread(target=self._work, name="holesim valuing", daemon=True).start()

    def want(self, wanted: Wanted) -> None:
        """Add the holes of a page."""
        with self._changed:
            self._wanted.insert(0, wanted)
            self._changed.notify()

    def show(self, wanted: Wanted, hole: int) -> None:
        """Put a page and one of its holes first, if that is not valued yet."""
        with self._changed:
            if wanted in self._wanted and hole in wanted.holes:
                wanted.holes.remove(hole)
                wanted.holes.insert(0, hole)
                self._wanted.remove(wanted)
                self._wanted.insert(0, wanted)

    def drop(self, wanted: Wanted) -> None:
        """Forget a page's holes."""
        with self._changed:
            if wanted in self._wanted:
                self._wanted.remove(wanted)

    def _next(self) -> tuple[Wanted, int]:
        with self._changed:
            while True:
                for wanted in self._wanted:
                    if wanted.holes:
                        return wanted, wanted.holes.pop(0)
                self._changed.wait()

    def _work(self) -> None:
        while True:
            wanted, hole = self._next()
            failure: Exception | None = None
            try:
                wanted.session.value(hole)
            except Exception as error:  # noqa: BLE001 - the page is told, and the next hole is tried
                failure = error
            with suppress(RuntimeError):  # the loop is closed
                wanted.told(hole, failure)


class Threads:
    """The threads that all pages of a window share."""

    def __init__(self) -> None:
        self.files = Worker("files")
        self.questions = Worker("questions")
        self.valuer = Valuer()
