"""Bench: speed and accuracy of the kernels, compared with general-purpose code, in one run."""

import platform
from collections.abc import Callable
from datetime import UTC, datetime

import numba
import numpy as np

from holesim._version import __version__
from holesim.bench.curves import draws_curves, draws_rows, scaling_curves
from holesim.bench.expected_strokes_rows import expected_strokes_rows
from holesim.bench.plan_rows import plan_rows
from holesim.bench.process_rows import answer_rows, start_rows
from holesim.bench.records import BenchResult, Row, Sizes
from holesim.bench.session_rows import session_rows
from holesim.bench.shot_rows import accuracy_rows, flight_rows, ground_rows, run_rows
from holesim.bench.team_rows import team_rows
from holesim.bench.timing import processor, threads_text
from holesim.common import parallel


def make_bench(sizes: Sizes | None = None, *, progress: Callable[[str], None] | None = None) -> BenchResult:
    """Measure every part.

    Parameters
    ----------
    progress
        Called with the name of each part before it is measured.
    """
    sizes, tell, rows = sizes or Sizes(), progress or (lambda _: None), []
    for name, part in (
        ("the flight", flight_rows),
        ("accuracy", accuracy_rows),
        ("the ground", ground_rows),
        ("bounce and relief", run_rows),
        ("expected strokes", expected_strokes_rows),
        ("a whole plan", plan_rows),
        ("a session", session_rows),
        ("a team", team_rows),
    ):
        tell(name)
        rows += part(sizes)
    tell("scaling")
    scaling = scaling_curves(sizes)
    rows += [Row("scaling", f"seconds of {c.name}, as a power of {c.panel}", c.fit()[0]) for c in scaling]
    tell("the number of draws")
    draws = draws_curves(sizes)
    rows += draws_rows(draws)
    tell("start-up and first compilation")
    rows += start_rows(sizes)
    tell("the same answer on any number of threads")
    rows += answer_rows(sizes)
    return BenchResult(
        date=datetime.now(UTC).date().isoformat(),
        versions={
            "holesim": __version__,
            "python": platform.python_version(),
            "numpy": np.__version__,
            "numba": numba.__version__,
        },
        processor=processor(),
        threads=parallel.count(),
        rows=tuple(rows),
        scaling=tuple(scaling),
        draws=tuple(draws),
    )


def bench_text(result: BenchResult) -> str:
    """Return the result as a table in text."""
    versions = ", ".join(f"{name} {version}" for name, version in result.versions.items())
    heading = f"holesim bench, {result.date}: {result.processor}, {threads_text(result.threads)}"
    cells = [("part", "what", "measured", "compared with", "ratio"), *map(_cells, result.rows)]
    a, b, c, d, e = (max(map(len, column)) for column in zip(*cells, strict=True))
    lines = [f"{p:<{a}}  {w:<{b}}  {m:>{c}}  {o:<{d}}  {r:>{e}}".rstrip() for p, w, m, o, r in cells]
    return "\n".join([heading, versions, "", *lines])


def _cells(row: Row) -> tuple[str, str, str, str, str]:
    other = "" if np.isnan(row.against) else f"{row.reference} {_number(row.against, row.unit)}"
    verdict = {None: "", True: "met", False: "MISSED"}[row.met]
    ratio = verdict if row.ratio is None else _number(row.ratio)
    return row.part, row.what, _number(row.value, row.unit), other, ratio


def _number(value: float, unit: str = "") -> str:
    """Return a number to three figures, with its unit."""
    short = float(f"{value:.3g}")
    text = f"{short:,.0f}" if abs(short) >= 100 else f"{short:g}"
    return f"{text}{'' if unit in ('', '/s') else ' '}{unit}"
