"""Batches: which plans are kept, who plays which tees, sheets, and faults of files."""

import json
import shutil
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn

import pandas as pd
import pytest

from holesim.course.course_file import load_course
from holesim.data.examples import COURSE, find
from holesim.errors import InputError
from holesim.handouts import batch
from holesim.handouts.batch import run_batch
from holesim.handouts.batch_jobs import SUMMARY, Job, load_jobs
from holesim.handouts.batch_sheets import Ledger
from holesim.plan.plan import make_plan
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from tests.app.conftest import PLAYERS, plans, written
from tests.conftest import Run
from tests.paper import check_paper


def test_the_summary_has_what_each_policy_costs_and_how_sure_the_plan_is(out: Path) -> None:
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


@pytest.mark.usefixtures("here")
def test_plans_of_other_options_stay_unless_they_may_be_replaced(jobs: Path, out: Path) -> None:
    calm = plans(out)
    blown = load_jobs(written(jobs, wind_mph=12.0, ball_flight="older"))
    with pytest.raises(InputError) as refused:
        run_batch(blown, out)
    assert str(refused.value) == (
        "--out: has template/good_amateur.json and 2 more, made from other files, options or tees, or by "
        "another version; give another folder, or add --replace"
    )
    assert plans(out) == calm
    (out / "template" / "wild_man.json").write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match=r"has template/wild_man\.json, made from other files"):
        run_batch(load_jobs(written(jobs)), out)
    assert run_batch(blown[1:], out, replace=True).made == 2
    found = plans(out)
    assert [name for name in calm if found[name] == calm[name]] == ["good_amateur.json"]
    assert json.loads(found["wild_man.json"])["options"]["wind_mph"] == 12.0
    assert json.loads(found["wild_man.json"])["options"]["ball_flight"] == "older"


OTHER_OPTIONS: dict[str, Any] = {
    "wind_mph": 5.2, "wind_from_deg": 90.0, "wind_height_ft": 20.0, "temperature_f": 75.001,
    "altitude_ft": 1.0, "ground": "firm", "ball_flight": "older", "unmapped": "heavy",
    "out_of_bounds": "drop", "table": True, "goal": "par", "draws": 512, "precision": 0.01, "seed": 2,
}  # fmt: skip


@pytest.fixture
def blown(jobs: Path, out: Path) -> Job:
    """A job in a wind, whose plan is in the folder."""
    job = load_jobs(written(jobs, wind_mph=5.0))[0]
    content = json.loads((out / job.path).read_text(encoding="utf-8")) | job.says
    (out / job.path).write_text(json.dumps(content), encoding="utf-8")
    ledger = Ledger(out)
    ledger.note_plan(job)
    assert ledger.plan_of(job) == content
    return job


@pytest.mark.parametrize("option", RoundOptions.model_fields)
def test_a_plan_of_any_other_option_is_not_kept(jobs: Path, out: Path, blown: Job, option: str) -> None:
    options: dict[str, Any] = {"wind_mph": 5.0, option: OTHER_OPTIONS[option]}
    other = load_jobs(written(jobs, **options))[0]
    assert other.path == blown.path
    assert Ledger(out).plan_of(other) is None


def test_a_plan_of_other_files_or_another_version_is_not_kept(
    jobs: Path, out: Path, blown: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = {"course": find("template.geojson"), "player": find("players/good_amateur.toml")}
    same = jobs.read_text(encoding="utf-8")
    for file in files.values():
        (tmp_path / file.name).write_bytes(file.read_bytes() + b"\n")
        jobs.write_text(same.replace(str(file), file.name), encoding="utf-8")
        other = load_jobs(jobs)[0]
        assert other.path == blown.path
        assert Ledger(out).plan_of(other) is None
    jobs.write_text(same, encoding="utf-8")
    assert Ledger(out).plan_of(load_jobs(jobs)[0]) is not None
    monkeypatch.setattr("holesim.handouts.batch_jobs.__version__", "0.0.0")
    assert Ledger(out).plan_of(load_jobs(jobs)[0]) is None


def test_a_plan_of_which_nothing_is_noted_is_kept_by_what_it_says(out: Path, blown: Job) -> None:
    """A batch may stop between the plan and the note."""
    content = json.loads((out / blown.path).read_text(encoding="utf-8"))
    (out / blown.path).write_text(json.dumps(content, indent=2), encoding="utf-8")
    assert Ledger(out).plan_of(blown) == content


def test_two_workers_of_a_dask_cluster_make_the_same_plans(jobs: Path, planned: Path, tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    there = tmp_path / "there"
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        found = run_batch(load_jobs(jobs)[:2], there, dask=cluster.scheduler_address)
    assert (found.before, found.made, found.failed) == (0, 2, ())
    assert plans(there) == {name: text for name, text in plans(planned).items() if name != "wild_man.json"}


def test_two_batches_do_not_share_a_folder(jobs: Path, out: Path) -> None:
    todo = load_jobs(jobs)

    def meanwhile(_done: int, _all: int) -> None:
        with pytest.raises(InputError, match="another batch writes there"):
            run_batch(todo, out)

    run_batch(todo[:1], out, progress=meanwhile)


def test_a_job_that_fails_is_named_and_the_others_are_done(run: Run, tmp_path: Path) -> None:
    path = written(tmp_path / "jobs.toml", 'tees = { man = "red" }')
    code, said, err = run("batch", str(path), "--out", str(tmp_path / "out"))
    assert code == 2
    assert said == "0 plans were there, 0 made; 3 failed\n"
    fault = "jobs.toml: tees.man: hole 1 of template.geojson has no red tee; its tees are back, front"
    assert f"holesim: club_golfer.toml on template.geojson: {fault}\n" in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("courses = []\nplayers = []", "courses"),
        ('courses = ["no.geojson"]\nplayers = ["{}"]', "no.geojson: no such file or directory"),
        ('courses = ["a.geojson"]\nplayers = ["{}", "{}"]', "players: has two files called good_amateur"),
        ('courses = ["a.geojson"]\nplayers = ["{}"]\n[options]\ndraw = 3', "did you mean draws?"),
        (
            'courses = ["a.geojson"]\nplayers = ["{}"]\n[options]\ntees = ["back"]',
            "jobs.toml: options.tees: is not a key of a round's options",
        ),
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


def test_a_cluster_by_tls_needs_certificates(jobs: Path, tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    with pytest.raises(InputError, match="there are no certificates for tls://"):
        run_batch(load_jobs(jobs), tmp_path / "out", dask="tls://127.0.0.1:9")


# --- tees -----------------------------------------------------------------------------------------


def on_the_demo(path: Path, *lines: str, players: Sequence[Path] = ()) -> Path:
    """Write a jobs file for the course of eighteen holes and three sets of tees."""
    files = players or [find("players/good_amateur.toml"), find("players/club_woman.toml")]
    head = [
        f"courses = {json.dumps([str(find(COURSE))])}",
        f"players = {json.dumps([str(f) for f in files])}",
    ]
    path.write_text("\n".join([*head, *lines, "[options]", "draws = 256"]), encoding="utf-8")
    return path


def tees_of(jobs: Path) -> list[set[str]]:
    return [{tee for _, tee in job.places} for job in load_jobs(jobs)]


def test_each_plays_from_their_own_tees_or_those_of_their_sex(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    text = find("players/club_woman.toml").read_text(encoding="utf-8")
    own.write_text('tee = "forward"\n' + text, encoding="utf-8")
    both = [find("players/good_amateur.toml"), own]
    path = tmp_path / "jobs.toml"
    assert tees_of(on_the_demo(path)) == [{"back"}, {"back"}]
    assert [job.longest for job in load_jobs(path)] == [True, True]
    assert tees_of(on_the_demo(path, players=both)) == [{"back"}, {"forward"}]
    assert [job.longest for job in load_jobs(path)] == [True, False]
    by_sex = '[tees]\nman = "back"\nwoman = "middle"'
    assert tees_of(on_the_demo(path, by_sex)) == [{"back"}, {"middle"}]
    assert not any(job.longest for job in load_jobs(path))
    jobs = on_the_demo(path, by_sex, players=both)
    assert tees_of(jobs) == [{"back"}, {"middle"}]  # the jobs file says otherwise
    assert tees_of(on_the_demo(path, 'tees = { woman = "middle" }')) == [{"back"}, {"middle"}]
    assert [job.longest for job in load_jobs(path)] == [True, False]


def test_tees_named_for_men_and_women_are_theirs(tmp_path: Path) -> None:
    text = find(COURSE).read_text(encoding="utf-8")
    course = tmp_path / "named.geojson"
    course.write_text(text.replace('"back"', '"men"').replace('"middle"', '"women"'), encoding="utf-8")
    jobs = on_the_demo(tmp_path / "jobs.toml")
    jobs.write_text(
        jobs.read_text(encoding="utf-8").replace(str(find(COURSE)), "named.geojson"), encoding="utf-8"
    )
    assert tees_of(jobs) == [{"men"}, {"women"}]


def test_nobody_is_told_of_the_longest_tees_of_a_course_with_one_set(jobs: Path, tmp_path: Path) -> None:
    collection = json.loads(find("template.geojson").read_text(encoding="utf-8"))
    features = [f for f in collection["features"] if f["properties"].get("tee") != "front"]
    (tmp_path / "one.geojson").write_text(json.dumps(collection | {"features": features}), encoding="utf-8")
    jobs.write_text(
        jobs.read_text(encoding="utf-8").replace(str(find("template.geojson")), "one.geojson"),
        encoding="utf-8",
    )
    assert not any(job.longest for job in load_jobs(jobs))


def test_other_tees_make_another_plan(jobs: Path, out: Path) -> None:
    """A plan says from which tees it is, so that it does not stay when those change."""
    job, *_ = load_jobs(jobs)
    assert job.plan(out) is not None
    ((hole, tee),) = job.places
    assert replace(job, places=((hole, "another"),)).plan(out) is None
    with pytest.raises(InputError, match="made from other files, options or tees"):
        run_batch([replace(job, places=((hole, tee), (hole, "another")))], out)


def test_it_is_said_who_plays_from_the_longest_tees(run: Run, jobs: Path, out: Path) -> None:
    _, _, err = run("batch", str(jobs), "--out", str(out))
    assert "no file names the tees of good_amateur.toml and 2 more: they play the longest; write tees" in err


# --- sheets ---------------------------------------------------------------------------------------

SHEETS = 'sheets = ["pocket", "page"]'


@pytest.fixture
def one(tmp_path: Path) -> Path:
    """A player on a course of one hole, with two sheets."""
    return written(tmp_path / "one.toml", SHEETS, players=["wild_man"])


def times(folder: Path) -> dict[str, int]:
    return {path.name: path.stat().st_mtime_ns for path in folder.glob("*/*") if path.is_file()}


@pytest.mark.usefixtures("here")
def test_sheets_lie_beside_plans_and_are_made_once(run: Run, one: Path, tmp_path: Path) -> None:
    out, command = tmp_path / "out", ("batch", str(one), "--out", str(tmp_path / "out"))
    assert run(*command)[:2] == (0, "0 plans were there, 1 made; 0 sheets were there, 2 made; 0 failed\n")
    assert set(times(out)) == {"wild_man.json", "wild_man.pocket.pdf", "wild_man.page.html"}
    again = tmp_path / "pocket.pdf"
    run("card", str(out / "template" / "wild_man.json"), "--style", "pocket", "--out", str(again))
    assert (out / "template" / "wild_man.pocket.pdf").read_bytes() == again.read_bytes()
    made = times(out)
    assert run(*command)[:2] == (0, "1 plans were there, 0 made; 2 sheets were there, 0 made; 0 failed\n")
    assert times(out) == made
    # One that was lost is made again, alone.
    (out / "template" / "wild_man.pocket.pdf").unlink()
    assert run_batch(load_jobs(one), out).sheets_made == 1
    # All are made anew on other paper or in other units, without a new plan.
    assert run(*command, "--paper", "letter")[1].endswith("0 sheets were there, 2 made; 0 failed\n")
    check_paper(out / "template" / "wild_man.pocket.pdf", "letter")
    found = run_batch(load_jobs(written(one, f"metric = true\n{SHEETS}", players=["wild_man"])), out)
    assert (found.made, found.sheets_before, found.sheets_made) == (0, 0, 2)
    # Those of a new plan are made anew.
    one.write_text(one.read_text(encoding="utf-8") + "\nseed = 2", encoding="utf-8")
    found = run_batch(load_jobs(one), out, replace=True)
    assert (found.made, found.sheets_before, found.sheets_made) == (1, 0, 2)


@pytest.mark.usefixtures("here")
def test_sheets_of_an_interrupted_batch_are_made_by_the_next(one: Path, tmp_path: Path) -> None:
    todo, out = load_jobs(one), tmp_path / "out"

    def stop(done: int, _: int) -> None:
        if done == 2:  # a plan and a sheet
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_batch(todo, out, progress=stop)
    found = run_batch(todo, out)
    assert (found.before, found.sheets_before) == (1, 1)
    assert (found.sheets_made, found.failed) == (1, ())


@pytest.mark.usefixtures("here")
def test_a_fault_of_a_sheet_is_told_and_the_others_are_made(one: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "template" / "wild_man.pocket.pdf").mkdir(parents=True)
    found = run_batch(load_jobs(one), out)
    assert (found.made, found.sheets_made) == (1, 1)
    assert len(found.failed) == 1
    assert found.failed[0].startswith("wild_man.pocket.pdf: --out: ")
    assert "is a folder; give a file" in found.failed[0]


@pytest.mark.usefixtures("here")
def test_a_lesson_has_what_practice_pays_and_what_the_coach_adds(
    run: Run, one: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def asked_again(_course: object, player: Player, options: RoundOptions, **_: object) -> NoReturn:
        raise InputError(player.file, "", f"asked again, for seed {options.seed}", "wait")

    (tmp_path / "notes.txt").write_text("Ball forward, head still.", encoding="utf-8")
    lines = 'by = "Tova Lind"\nnotes = "notes.txt"\ndate = "2026-05-12"\n'
    text = one.read_text(encoding="utf-8").replace(SHEETS, f'{lines}sheets = ["lesson"]')
    one.write_text(text, encoding="utf-8")
    out, made = tmp_path / "out", tmp_path / "out" / "template"
    found = run_batch(load_jobs(one), out)
    assert (found.made, found.sheets_made, found.failed) == (1, 1, ())
    assert set(times(out)) == {"wild_man.json", "wild_man.practice.json", "wild_man.lesson.pdf"}
    again = tmp_path / "lesson.pdf"
    code, _, err = run(
        "card", str(made / "wild_man.json"), "--style", "lesson", "--out", str(again), "--by", "Tova Lind",
        "--practice", str(made / "wild_man.practice.json"), "--notes", str(tmp_path / "notes.txt"),
        "--date", "2026-05-12",
    )  # fmt: skip
    assert code == 0, err
    assert (made / "wild_man.lesson.pdf").read_bytes() == again.read_bytes()
    practised = (made / "wild_man.practice.json").stat().st_mtime_ns
    # Other notes make another lesson, from the same plan and practice.
    (tmp_path / "notes.txt").write_text("Ball back.", encoding="utf-8")
    found = run_batch(load_jobs(one), out)
    assert (found.before, found.sheets_before, found.sheets_made) == (1, 0, 1)
    assert (made / "wild_man.lesson.pdf").read_bytes() != again.read_bytes()
    assert (made / "wild_man.practice.json").stat().st_mtime_ns == practised
    # Other options make other practice.
    one.write_text(one.read_text(encoding="utf-8") + "\nseed = 2", encoding="utf-8")
    monkeypatch.setattr(batch, "find_practice_worth", asked_again)
    found = run_batch(load_jobs(one), out, replace=True)
    assert (found.made, found.sheets_made) == (1, 1)
    assert found.failed == (
        "wild_man.toml on template.geojson: wild_man.toml: asked again, for seed 2; wait",
    )
    # The lesson does without what was found for the other options.
    assert set(times(out)) == {"wild_man.json", "wild_man.lesson.pdf"}


@pytest.mark.usefixtures("here")
def test_a_lesson_for_birdies_does_without_practice(one: Path, tmp_path: Path) -> None:
    written(one, 'sheets = ["lesson"]', players=["wild_man"], goal="birdie")
    out = tmp_path / "out"
    assert run_batch(load_jobs(one), out).failed == ()
    assert set(times(out)) == {"wild_man.json", "wild_man.lesson.pdf"}


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ('by = "Tova Lind"', 'one.toml: by: has no place without a lesson or a coach\'s sheet; add "lesson"'),
        ('sheets = ["lesson"]\ndate = "May"', "one.toml: date: 'May' is not a date; write it as 2026-05-12"),
        ('sheets = ["lesson"]\nlogo = "no.png"', "no.png: no such file"),
        ('sheets = ["leson"]', "one.toml: sheets 1: "),
    ],
)
def test_faults_of_what_a_coach_adds(one: Path, lines: str, message: str) -> None:
    one.write_text(one.read_text(encoding="utf-8").replace(SHEETS, lines), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_jobs(one)
    assert message in str(caught.value)


# --- faults ---------------------------------------------------------------------------------------


@pytest.mark.usefixtures("here")
def test_a_players_fault_costs_that_players_jobs_alone(run: Run, tmp_path: Path) -> None:
    jobs = written(tmp_path / "jobs.toml", players=["wild_man"])
    bad = tmp_path / "bad.toml"
    bad.write_text('name = "Nobody"\n', encoding="utf-8")
    text = jobs.read_text(encoding="utf-8").replace("players = [", 'players = ["bad.toml", "gone.toml", ')
    jobs.write_text(text, encoding="utf-8")
    code, said, err = run("batch", str(jobs), "--out", str(tmp_path / "out"))
    assert (code, said) == (2, "0 plans were there, 1 made; 2 failed\n")
    assert "holesim: bad.toml on template.geojson: bad.toml: " in err
    assert "holesim: gone.toml on template.geojson: " in err


@pytest.mark.parametrize("name", ["...geojson", ".hidden.geojson", "batch.csv.geojson"])
def test_a_course_whose_name_names_no_folder_is_refused(tmp_path: Path, name: str) -> None:
    shutil.copy(find("template.geojson"), tmp_path / name)
    jobs = tmp_path / "jobs.toml"
    player = json.dumps(str(find("players/wild_man.toml")))
    jobs.write_text(f'courses = ["{name}"]\nplayers = [{player}]\n', encoding="utf-8")
    with pytest.raises(InputError, match="which is no name for them; rename the file"):
        load_jobs(jobs)


def test_two_files_that_would_be_one_are_refused(tmp_path: Path) -> None:
    for name in ("vale.toml", "Vale.toml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copy(find("players/wild_man.toml"), tmp_path / name)
    jobs = tmp_path / "jobs.toml"
    course = json.dumps(str(find("template.geojson")))
    jobs.write_text(f'courses = [{course}]\nplayers = ["vale.toml", "Vale.toml"]\n', encoding="utf-8")
    with pytest.raises(InputError, match=r"two files would be template/Vale\.json"):
        load_jobs(jobs)
