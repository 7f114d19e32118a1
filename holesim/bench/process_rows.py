"""Start-up, compilation, and the same answer on any number of threads."""

import statistics
import tempfile
from functools import partial
from hashlib import sha256

import numpy as np

from holesim.bench.demo_setup import (
    STRIKES,
    breeze,
    demo_drives,
    demo_ground,
    demo_player,
    make_sites,
    plan_hole,
    search_tee,
    skill_of,
)
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import least_seconds, run_alone, run_python
from holesim.common import parallel
from holesim.plan.aim_search import prepare
from holesim.shot.flight import fly_around


def start_rows(sizes: Sizes) -> list[Row]:
    """Return the time of starting, and of the compilation in the first plan on a machine."""
    bare, helped = (
        statistics.median(least_seconds(1, partial(run_python, *words)) for _ in range(sizes.starts))
        for words in (("-c", "pass"), ("-m", "holesim", "--help"))
    )
    with tempfile.TemporaryDirectory() as folder:
        first = partial(run_alone, sizes.first, {}, NUMBA_CACHE_DIR=folder)
        cold, warm = (least_seconds(1, first) for _ in range(2))
    limit = 4 * bare + 0.2
    return [
        Row("start-up", "holesim --help", helped, "s", "python -c pass", bare),
        Row(
            "start-up", "holesim --help, compared with four times that and 0.2 s", helped, "s", AT_MOST, limit
        ),
        Row("start-up", "compilation in the first plan on a machine", cold - warm, "s"),
    ]


def answer_rows(sizes: Sizes) -> list[Row]:
    """Return how many of the answers on several numbers of threads differ from the first."""
    numbers = sizes.thread_counts
    processes = [partial(run_alone, answer_digests, {}, HOLESIM_THREADS=str(n)) for n in numbers]
    first, *others = parallel.share_out(lambda i: processes[i](), len(numbers))
    counts = ", ".join(map(str, numbers))
    return [
        Row("same answer", f"{what} on {counts} threads: answers that differ from the first",
            sum(other[what] != first[what] for other in others), "", AT_MOST, 0)
        for what in first
    ]  # fmt: skip


def answer_digests() -> dict[str, str]:
    """Return digests of the costs of aims on some holes and of a hole's plan; for a process of its own."""
    drives = [prepare(fly_around(demo_drives(8192, strike), breeze())) for strike in STRIKES]
    sites = make_sites(demo_ground(), skill_of(demo_player()), 6, 3)
    found = np.array(parallel.share_out(partial(search_tee, sites, drives, 5), len(sites))).tobytes()
    return {"costs": sha256(found).hexdigest(), "a plan": sha256(plan_hole().encode()).hexdigest()}
