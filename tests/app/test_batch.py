"""Batches: a killed one goes on where it stopped, and a Dask cluster makes the same plans."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import pytest

from holesim.app import batch
from holesim.app.batch import SUMMARY, load_jobs, run_batch
from holesim.course.course_file import load_course
from holesim.data.examples import COURSE, find
from holesim.errors import InputError
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from tests.conftest import Run

PLAYERS = ("good_amateur", "club_golfer", "wild_man")


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """Three players on a course of one hole."""
    return written(tmp_path / "jobs.toml")


def written(path: Path, *options: str) -> Path:
    players = [str(find(f"players/{name}.toml")) for name in PLAYERS]
    lines = [
        f"courses = {json.dumps([str(find('template.geojson'))])}",
        f"players = {json.dumps(players)}",
        "[options]",
        "draws = 256",
        *options,
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def plans(folder: Path) -> dict[str, bytes]:
    # Not what is being written, in a hidden folder beside them.
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*/*.json"))}


def test_a_killed_batch_goes_on_where_it_stopped(jobs: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    command = [sys.executable, "-m", "holesim", "batch", str(jobs), "--out", str(out)]
    environment = os.environ | {"HOLESIM_THREADS": "1"}
    with subprocess.Popen(command, env=environment, stderr=subprocess.DEVNULL) as first:  # noqa: S603
        end = time.monotonic() + 120
        while not plans(out) and time.monotonic() < end:
            time.sleep(0.01)
        first.kill()
    begun = {path: path.stat().st_mtime_ns for path in out.glob("*/*.json")}
    assert 1 <= len(begun) < len(PLAYERS)
    again = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)  # noqa: S603
    made = len(PLAYERS) - len(begun)
    assert again.stdout == f"{len(begun)} plans were there, {made} made, 0 failed\n"
    assert {path: path.stat().st_mtime_ns for path in begun} == begun
    assert len(plans(out)) == len(PLAYERS)
    assert len((out / SUMMARY).read_text(encoding="utf-8").splitlines()) == 1 + len(PLAYERS)
    # Nothing half-written is left, and a third run has nothing to do.
    assert {path.suffix for path in out.rglob("*") if path.is_file()} <= {".json", ".csv", ""}
    found = run_batch(load_jobs(jobs), out)
    assert (found.before, found.made) == (len(PLAYERS), 0)


def test_the_summary_has_what_each_policy_costs_and_how_sure_the_plan_is(jobs: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    run_batch(load_jobs(jobs), out)
    table = pd.read_csv(out / SUMMARY)
    assert len(table) == len(PLAYERS)
    for row in table.to_dict("records"):
        (plan,) = (p for p in map(json.loads, plans(out).values()) if p["player"] == row["player"])
        totals = plan["totals"][row["tee"]]
        assert {policy: row[policy] for policy in totals} == pytest.approx(totals)
        if plan["day"]:
            assert row["chance"] == pytest.approx(plan["day"][row["tee"]]["chance"])
        assert 0 <= row["chance"] <= 1
    assert any(json.loads(text)["day"] for text in plans(out).values())


def test_for_a_golfer_who_chooses_the_chance_is_that_of_beating_one_strike_all_day(amateur: Player) -> None:
    """On one hole that is the chance of the choice, if its rival is the driver's other strike."""
    content = make_plan(load_course(find(COURSE)), amateur, RoundOptions(draws=256), holes=[4]).to_dict()
    (tee,) = content["tees"]
    assert not content["day"]
    assert tee["rival"]["club"] == "driver"
    assert batch.round_chance(content, tee["tee"]) == pytest.approx(tee["choice"]["chance"])


def test_an_older_ball_is_an_option_of_a_batch(jobs: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    run_batch(load_jobs(written(jobs, 'ball_flight = "older"'))[:1], out)
    (content,) = map(json.loads, plans(out).values())
    assert content["options"]["ball_flight"] == "older"


def test_other_options_are_planned_anew(jobs: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run_batch(load_jobs(jobs), out).made == len(PLAYERS)
    calm = plans(out)
    assert run_batch(load_jobs(written(jobs, "wind_mph = 12.0")), out).made == len(PLAYERS)
    assert all(plans(out)[name] != content for name, content in calm.items())
    (out / "template" / "wild_man.json").write_text("half", encoding="utf-8")
    assert run_batch(load_jobs(jobs), out).made == 1


def test_two_workers_of_a_dask_cluster_make_the_same_plans(jobs: Path, tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    here, there = tmp_path / "here", tmp_path / "there"
    assert run_batch(load_jobs(jobs), here).made == len(PLAYERS)
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        found = run_batch(load_jobs(jobs), there, dask=cluster.scheduler_address)
    assert (found.before, found.made, found.failed) == (0, len(PLAYERS), ())
    assert plans(there) == plans(here)


def test_two_batches_do_not_share_a_folder(jobs: Path, tmp_path: Path) -> None:
    todo, out = load_jobs(jobs), tmp_path / "out"

    def meanwhile(_done: int, _all: int) -> None:
        with pytest.raises(InputError, match="another batch writes there"):
            run_batch(todo, out)

    run_batch(todo[:1], out, progress=meanwhile)


def test_a_job_that_fails_is_named_and_the_others_are_done(run: Run, tmp_path: Path) -> None:
    path = written(tmp_path / "jobs.toml", 'tees = ["red"]')
    code, said, err = run("batch", str(path), "--out", str(tmp_path / "out"))
    assert code == 2
    assert said == "0 plans were there, 0 made, 3 failed\n"
    assert "holesim: club_golfer.toml on template.geojson: template.geojson: has no red tee; " in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("courses = []\nplayers = []", "courses"),
        ('courses = ["no.geojson"]\nplayers = ["{}"]', "no.geojson: no such file or directory"),
        ('courses = ["a.geojson"]\nplayers = ["{}", "{}"]', "players: has two files called good_amateur"),
        ('courses = ["a.geojson"]\nplayers = ["{}"]\n[options]\ndraw = 3', "did you mean draws?"),
    ],
)
def test_faults_of_a_jobs_file(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "jobs.toml"
    path.write_text(text.format(*[find("players/good_amateur.toml")] * 2), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_jobs(path)
    assert message in str(caught.value)


def test_a_cluster_that_is_not_there(jobs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch, "PATIENCE", "1s")
    with pytest.raises(InputError, match="no cluster answers at"):
        run_batch(load_jobs(jobs), tmp_path / "out", dask="nowhere:1")
