"""Threads: pieces of work are independent, so that the number of threads does not change any result."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Lock, local
from typing import Final, TypeVar

from holesim.errors import InputError

Result = TypeVar("Result")

_here: Final = local()
"""Of each thread: `busy` is set where all other threads have work, too."""


def count() -> int:
    """Return how many threads to use: HOLESIM_THREADS, or the processors that this process may use.

    Raises
    ------
    InputError
        If HOLESIM_THREADS is not a positive number.
    """
    wanted = os.environ.get("HOLESIM_THREADS", "")
    if not wanted:
        return _processors()
    if not wanted.isdecimal() or int(wanted) == 0:
        raise InputError("HOLESIM_THREADS", "", f"{wanted!r:.40} is not a number of threads", "give 2, say")
    return int(wanted)


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def share_out(work: Callable[[int], Result], pieces: int) -> list[Result]:
    """Return work(0) to work(pieces - 1), computed on all threads; compiled kernels release Python's lock.

    Work that shares out work of its own does that alone, where there is a piece for every thread already.

    Examples
    --------
    >>> share_out(lambda i: i * i, 4)
    [0, 1, 4, 9]
    """
    threads = count()
    workers = min(threads, pieces)
    if workers <= 1 or getattr(_here, "busy", False):
        return [work(i) for i in range(pieces)]
    with ThreadPoolExecutor(workers, initializer=_settle, initargs=(workers == threads,)) as pool:
        return list(pool.map(work, range(pieces)))


def _settle(busy: bool) -> None:  # noqa: FBT001 - as a pool calls it
    _here.busy = busy


def share_out_by_size(work: Callable[[int], Result], sizes: Sequence[float]) -> list[Result]:
    """Return the work on pieces of these sizes; the largest start first, so that none is left to last."""
    order = sorted(range(len(sizes)), key=lambda i: -sizes[i])
    done = dict(zip(order, share_out(lambda k: work(order[k]), len(order)), strict=True))
    return [done[i] for i in range(len(sizes))]


def counter(progress: Callable[[int, int], None] | None, total: int) -> Callable[[], None]:
    """Return a function for any thread to call when one more of `total` pieces is done."""
    done, lock = 0, Lock()
    if progress is not None:
        progress(0, total)

    def tick() -> None:
        nonlocal done
        with lock:
            done += 1
            if progress is not None:
                progress(done, total)

    return tick
