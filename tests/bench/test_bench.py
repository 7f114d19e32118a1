"""The bench at small sizes: every part is there, accuracy is within its limits, pictures are drawn.

No time is checked.
"""

import json
import os
import sys
from math import exp
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure

from holesim.app.cli import main as cli
from holesim.bench import bench, curves, process_rows
from holesim.bench.bench import bench_text, make_bench
from holesim.bench.bench_picture import draw_draws, draw_scaling, write_bench
from holesim.bench.records import AT_MOST, BenchResult, Row, ScalingCurve, Sizes
from holesim.bench.timing import most_memory, on_threads
from holesim.common import parallel

PARTS = [
    "flight", "accuracy", "ground", "bounce", "relief", "expected strokes", "plan", "session", "team",
    "scaling", "draws", "start-up", "same answer",
]  # fmt: skip
SMALL = Sizes(
    repeats=1, drives=512, checked=6, sampled=8, points=2000, holes=1, tees=2, aims=3, scaled_holes=(1, 2),
    scaled_draws=(256, 512), scaled_players=(1, 2), counted=(256, 512, 1024, 2048), independent=16, starts=1,
    members=2, asked=1, first=most_memory, thread_counts=(1, 2),
)  # fmt: skip


@pytest.fixture(scope="module")
def measured() -> BenchResult:
    return make_bench(SMALL)


def rows(result: BenchResult, part: str, what: str = "") -> list[Row]:
    return [row for row in result.rows if row.part == part and what in row.what]


def test_the_table_and_the_json_hold_every_part(measured: BenchResult) -> None:
    text = bench_text(measured)
    assert list(dict.fromkeys(line.split("  ")[0] for line in text.splitlines()[4:])) == PARTS
    for words in (measured.date, measured.processor, *measured.versions.values()):
        assert words in text
    content = json.loads(json.dumps(measured.to_dict(), allow_nan=False))
    assert list(dict.fromkeys(row["part"] for row in content["rows"])) == PARTS
    assert set(content["versions"]) == {"holesim", "python", "numpy", "numba"}
    assert content["threads"] == parallel.count()
    assert len(content["rows"]) == len(text.splitlines()) - 4
    keys = ["part", "what", "value", "unit", "reference", "against", "ratio", "met"]
    assert all(list(row) == keys and isinstance(row["value"], int | float) for row in content["rows"])
    assert {curve["panel"] for curve in content["scaling"]} == {"holes", "draws", "players"}
    assert {curve["name"] for curve in content["draws"]} == set(curves.SCHEMES)


def test_errors_are_within_their_limits(measured: BenchResult) -> None:
    near_scipy = rows(measured, "accuracy", "scipy")
    between = rows(measured, "accuracy", "interpolation")
    assert [row.against for row in near_scipy] == [1, 1, 1, 2]
    assert [row.against for row in between] == [1, 1, 2]
    wrong, search = rows(measured, "ground", "wrong"), rows(measured, "plan", "exact stages")
    same = rows(measured, "same answer")
    assert [row.against for row in (*wrong, *search, *same)] == [0, 0.02, 0, 0]
    for row in (*near_scipy, *between, *wrong, *search, *same):
        assert row.met, row
        assert row.unit == ("cm" if row.part == "accuracy" else "")
    # Single precision and interpolation leave something.
    assert all(row.value > 0 for row in (*near_scipy, *between, *search))


def test_the_whole_plan_is_accounted_for(measured: BenchResult) -> None:
    total, *parts = [row.value for row in rows(measured, "plan") if row.unit == "s"][:6]
    assert sum(parts) == pytest.approx(total)
    (scored,) = rows(measured, "plan", "for each drive flown")
    assert scored.value == 2 * SMALL.holes * SMALL.tees * SMALL.aims * SMALL.drives
    assert scored.against == 2 * 12 * SMALL.drives
    shares = [row.value for row in rows(measured, "plan", "of the search") if row.unit == "%"]
    assert sum(shares) == pytest.approx(100)
    (memory,) = rows(measured, "plan", "memory")
    assert 50 < memory.value < 4000


def test_parts_of_solving_are_compared_with_the_whole(measured: BenchResult) -> None:
    whole, chances, again, states = rows(measured, "expected strokes")
    assert whole.against == 20
    assert chances.against == again.against == whole.value
    assert states.value > 0
    assert states.ratio is not None


def test_fewer_draws_are_needed_when_strikes_share_them(measured: BenchResult) -> None:
    for number, kind in ((13, "open"), (4, "tight")):
        independent, common, share = [row.value for row in rows(measured, "draws", f"hole {number}, {kind}")]
        assert common < 0.6 * independent
        assert share == pytest.approx(curves.DRAWS / independent)


def test_a_scheme_shares_draws_or_not() -> None:
    rng = np.random.default_rng(1)
    shared = {scheme: curves.make_scheme_draws(scheme, 256, rng) for scheme in curves.SCHEMES}
    assert [a is b for a, b in shared.values()] == [False, True, True]
    assert all(a.points.shape == b.points.shape == (1, 256, 8) for a, b in shared.values())


def test_a_power_law_is_found_and_followed() -> None:
    curve = ScalingCurve("draws", "a plan", (256, 1024, 4096), (0.04, 0.02, 0.01))
    exponent, factor = curve.fit()
    assert (exponent, exp(factor)) == pytest.approx((-0.5, 0.64))


def test_a_row_is_compared_with_a_reference_or_a_limit() -> None:
    faster = Row("flight", "drives", 1_234_567.0, "/s", "numpy", 100_000.0)
    within, beyond = (Row("ground", "wrong", value, "cm", AT_MOST, 1) for value in (1.0, 1.5))
    assert faster.ratio == pytest.approx(12.34567)
    assert (within.ratio, faster.met, within.met, beyond.met) == (None, None, True, False)
    text = bench_text(BenchResult("2026-01-01", {}, "", 2, (faster, within, beyond), (), ()))
    assert [line.split() for line in text.splitlines()[4:]] == [
        ["flight", "drives", "1,230,000/s", "numpy", "100,000/s", "12.3"],
        ["ground", "wrong", "1", "cm", "at", "most", "1", "cm", "met"],
        ["ground", "wrong", "1.5", "cm", "at", "most", "1", "cm", "MISSED"],
    ]


def test_an_answer_that_depends_on_the_threads_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    def alone(work: object, _: object, **environment: str) -> dict[str, str]:
        assert work is process_rows.answer_digests
        return {"costs": environment["HOLESIM_THREADS"], "a plan": "the same"}

    monkeypatch.setattr(process_rows, "run_alone", alone)
    costs, plan = process_rows.answer_rows(Sizes(thread_counts=(1, 2, 8)))
    assert (costs.value, costs.met, plan.value, plan.met) == (2, False, 0, True)


def test_the_number_of_threads_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    before = parallel.count()
    with on_threads(before + 1):
        assert parallel.count() == before + 1
    assert parallel.count() == before
    monkeypatch.setenv("HOLESIM_THREADS", "3")
    with on_threads(1):
        assert parallel.count() == 1
    assert os.environ["HOLESIM_THREADS"] == "3"


def test_pictures_are_made(measured: BenchResult, tmp_path: Path) -> None:
    written = write_bench(measured, tmp_path / "new")
    assert [path.name for path in written] == ["bench.json", "draws.png", "scaling.png"]
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in written[1:])
    assert json.loads(written[0].read_text(encoding="utf-8")) == json.loads(json.dumps(measured.to_dict()))
    ax = Figure().add_subplot()
    panel = [curve for curve in measured.scaling if curve.panel == "holes"]
    assert draw_scaling(panel, ax=ax) is ax
    assert len(ax.lines) == 3 * len(panel)
    panel = [curve for curve in measured.draws if curve.panel == "hole 4, tight"]
    points = [line for line in draw_draws(panel).lines if line.get_linestyle() == "None"]
    assert len({line.get_marker() for line in points}) == len({line.get_color() for line in points}) == 3


def test_the_command(
    measured: BenchResult, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def quickly(*, progress: object) -> BenchResult:
        assert callable(progress)
        progress("the flight")
        return measured

    monkeypatch.setattr(bench, "make_bench", quickly)
    for words, said in (
        ((), bench_text(measured)),
        (("--json", "--out", str(tmp_path)), json.dumps(measured.to_dict(), indent=1, ensure_ascii=False)),
    ):
        monkeypatch.setattr(sys, "argv", ["holesim", "bench", *words])
        with pytest.raises(SystemExit, match="0"):
            cli.main()
        out, err = capsys.readouterr()
        assert out == said + "\n"
        assert "measuring the flight" in err
    assert {path.name for path in tmp_path.iterdir()} == {"bench.json", "draws.png", "scaling.png"}
