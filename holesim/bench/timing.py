"""Timing work, in this process or in one of its own, on any number of threads."""

import json
import os
import platform
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from math import nan
from pathlib import Path
from time import perf_counter
from typing import Any

from holesim.common.kernel_cache import set_cache_folder


def least_seconds(repeats: int, work: Callable[[], object]) -> float:
    """Return the shortest time [s] that `work` takes in `repeats` tries."""
    tries = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        tries.append(perf_counter() - start)
    return min(tries)


@contextmanager
def on_threads(number: int) -> Iterator[None]:
    """Run everything inside the block on this number of threads."""
    before = os.environ.get("HOLESIM_THREADS", "")
    os.environ["HOLESIM_THREADS"] = str(number)
    try:
        yield
    finally:
        os.environ["HOLESIM_THREADS"] = before


def run_alone(work: Callable[..., object], arguments: dict[str, int], **environment: str) -> Any:  # noqa: ANN401
    """Return what a function of a module returns in a process of its own; it must be what JSON can hold.

    The process uses the kernels that are compiled already, unless the environment names another folder.
    """
    module, name, kernels = work.__module__, work.__name__, set_cache_folder()
    call = f"import json; from {module} import {name}; print(json.dumps({name}(**{arguments})))"
    compiled = {} if kernels is None else {"NUMBA_CACHE_DIR": kernels}
    return json.loads(run_python("-c", call, **(compiled | environment)))


def run_python(*words: str, **environment: str) -> str:
    """Return what Python prints when started with these words."""
    command, variables = [sys.executable, *words], os.environ | environment
    return subprocess.check_output(command, env=variables, text=True)  # noqa: S603 - a command of our own


def processor() -> str:
    """Return the model of the processor."""
    table = Path("/proc/cpuinfo")
    lines = table.read_text(encoding="utf-8").splitlines() if table.exists() else []
    models = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(models, platform.processor() or platform.machine())


def most_memory() -> float:
    """Return the most memory [MB] that this process has taken."""
    status = Path("/proc/self/status")
    if status.exists():
        # The system call below counts the memory of the process that started this one; this does not.
        lines = status.read_text(encoding="ascii").splitlines()
        return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) * 1024 / 1e6
    if sys.platform == "win32":
        return nan
    from resource import RUSAGE_SELF, getrusage  # noqa: PLC0415 - not on every system

    return getrusage(RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024) / 1e6


def threads_text(number: int) -> str:
    """Return a number of threads in words."""
    return f"{number} thread{'' if number == 1 else 's'}"
