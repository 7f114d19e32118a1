"""Threads of a window: work in turn, errors where it was asked for, and the page shown last valued first."""

import asyncio
import threading
from collections.abc import Iterator

import pytest

from holesim.window.threads import Valuer, Wanted, Worker


class Slow:
    """Values holes when it is let, and keeps in which order."""

    def __init__(self) -> None:
        self.go, self.begun, self.order = threading.Event(), threading.Event(), list[int]()

    def value(self, hole: int) -> None:
        self.begun.set()
        self.go.wait(10)
        if hole == 13:
            raise ValueError("unlucky")
        self.order.append(hole)


def test_work_is_done_in_turn_and_its_errors_come_back() -> None:
    async def asked() -> list[object]:
        worker, order = Worker("test"), list[int]()
        pieces = [worker.run(lambda i=i: order.append(i)) for i in range(5)]  # type: ignore[misc]
        await asyncio.gather(*pieces)
        found: list[object] = [order, await worker.run(threading.get_ident) != threading.get_ident()]
        for wrong in (ValueError("wrong"), StopIteration()):

            def fail(error: Exception = wrong) -> None:
                raise error

            with pytest.raises((ValueError, RuntimeError)):
                await worker.run(fail)
        return found

    assert asyncio.run(asked()) == [[0, 1, 2, 3, 4], True]


@pytest.fixture
def slow() -> Iterator[Slow]:
    made = Slow()
    yield made
    made.go.set()


def test_the_hole_shown_last_is_valued_first(slow: Slow) -> None:
    valuer, told, done = Valuer(), list[tuple[int, str]](), threading.Event()

    def hear(hole: int, failure: Exception | None) -> None:
        told.append((hole, str(failure or "")))
        if len(told) == 5:
            done.set()

    wanted = Wanted(slow, [1, 2, 13, 4, 5], hear)
    valuer.want(wanted)
    assert slow.begun.wait(10)
    valuer.show(wanted, 4)
    valuer.show(wanted, 5)
    valuer.show(wanted, 99)
    slow.go.set()
    assert done.wait(10)
    assert told == [(1, ""), (5, ""), (4, ""), (2, ""), (13, "unlucky")]
    assert slow.order == [1, 5, 4, 2]


def test_a_page_that_left_is_not_worked_for(slow: Slow) -> None:
    valuer, other, done = Valuer(), Slow(), threading.Event()
    other.go.set()
    left = Wanted(slow, [1, 2, 3], lambda *_: None)
    valuer.want(left)
    assert slow.begun.wait(10)
    valuer.drop(left)
    valuer.want(Wanted(other, [7], lambda *_: done.set()))
    slow.go.set()
    assert done.wait(10)
    assert (slow.order, other.order) == ([1], [7])
