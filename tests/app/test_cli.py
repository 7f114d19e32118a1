"""The command line: what it prints, what it writes, and its messages."""

import json
import subprocess
import sys
from pathlib import Path

import numba
import pytest

from holesim.app.cli.feedback import compiling
from holesim.plan.explain import other_flight
from tests.conftest import DEMO, Run
from tests.files.command_outcomes import command_line
from tests.paper import check_paper

QUICK = ("--hole", "4", "--draws", "256")


def test_shot_from_the_ball(run: Run) -> None:
    # Men's tour average drive (radar, common practice, from memory): 275 yd of carry, 32 of apex, 38°.
    code, out, _ = run("shot", "--ball-speed", "167", "--launch-angle", "10.9", "--spin", "2686", "--json")
    measures = json.loads(out)
    assert code == 0
    assert list(measures) == [
        "carry_yd", "side_yd", "apex_yd", "landing_angle_deg", "flight_time_s", "total_yd", "total_side_yd",
        "ball_speed_mph", "launch_angle_deg", "start_direction_deg", "spin_rpm", "axis_tilt_deg",
    ]  # fmt: skip
    assert measures["carry_yd"] == pytest.approx(275, rel=0.02)
    assert measures["ball_speed_mph"] == pytest.approx(167)


def test_shot_from_the_club_and_the_player(run: Run) -> None:
    words = ("--club-speed", "113", "--attack", "-1.3", "--dynamic-loft", "12.8", "--json")
    assert json.loads(run("shot", *words)[1])["ball_speed_mph"] == pytest.approx(167, rel=0.015)
    up, down = (json.loads(run("shot", DEMO[1], "--strike", s, "--json")[1]) for s in ("up", "down"))
    assert up["carry_yd"] > down["carry_yd"]
    code, out, _ = run("shot", DEMO[1], "--metric")
    assert code == 0
    assert " m, " in out


def test_in_shot_the_wind_is_from_the_aim(run: Run) -> None:
    ball = ("shot", "--ball-speed", "167", "--launch-angle", "10.9", "--spin", "2686", "--json")
    still, head, right = (
        json.loads(run(*ball, *wind)[1]) for wind in ((), ("--wind", "10@0"), ("--wind", "10@90"))
    )
    assert head["carry_yd"] < still["carry_yd"]
    assert right["side_yd"] < -5


def test_another_ball_flight_by_name(run: Run) -> None:
    ball = ("shot", "--ball-speed", "167", "--launch-angle", "10.9", "--spin", "2686", "--json")
    ours, other = (json.loads(run(*ball, *law)[1]) for law in ((), ("--ball-flight", "older")))
    assert other["apex_yd"] > ours["apex_yd"] + 5
    _, out, _ = run("plan", *DEMO, *QUICK, "--ball-flight", "older")
    assert f"{other_flight('older')}, 256 drives" in out
    assert "how the ball flies" not in out
    _, out, _ = run("plan", *DEMO, *QUICK, "--ball-flight", "older", "--json")
    assert json.loads(out)["options"]["ball_flight"] == "older"
    code, out, err = run("shot", "--ball-flight", "other", "--ball-speed", "167")
    assert (code, out) == (2, "")
    assert "modern" in err


def test_plan_writes_everything(run: Run, tmp_path: Path) -> None:
    code, out, err = run("plan", *DEMO, *QUICK, "--out", str(tmp_path / "new" / "folder"))
    assert code == 0
    assert {path.name for path in (tmp_path / "new" / "folder").iterdir()} == {
        "plan.json", "plan.csv", "finishes.geojson", "card.pdf", "hole-04-back.png", "next-04-back.png",
    }  # fmt: skip
    assert "tight" not in out
    assert "4.3a" in out
    assert "wrote 6 files" in err
    content = json.loads((tmp_path / "new" / "folder" / "plan.json").read_text())
    assert content["tees"][0]["hole"] == 4
    assert str(tmp_path) not in json.dumps(content)


def test_json_on_stdout_is_the_file(run: Run, tmp_path: Path) -> None:
    _, out, _ = run("plan", *DEMO, *QUICK, "--json", "--out", str(tmp_path))
    assert out == (tmp_path / "plan.json").read_text()
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    run("plan", *DEMO, *QUICK, "--json", "--out", str(tmp_path))
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    run("plan", *DEMO, *QUICK, "--paper", "letter", "--out", str(tmp_path))
    check_paper(tmp_path / "card.pdf", "letter")


def test_metric_changes_what_is_shown_only(run: Run) -> None:
    table, metric = (run("plan", *DEMO, *QUICK, *more)[1] for more in ((), ("--metric",)))
    assert "425" in table
    assert "389" in metric
    plain, shown = (run("plan", *DEMO, *QUICK, "--json", *more)[1] for more in ((), ("--metric",)))
    assert plain == shown


def test_without_out_nothing_is_written(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("demo", *QUICK)[0] == 0
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plan", "nowhere.geojson", DEMO[1]), "nowhere.geojson: no such file"),
        (("plan", DEMO[0], "nobody.toml"), "nobody.toml: no such file"),
        (("plan", *DEMO, "--hole", "19"), "has no hole 19"),
        (("plan", *DEMO, "--tee", "bakc"), "did you mean back?"),
        (("plan", *DEMO, "--draws", "1000"), "not a power of two"),
        (("plan", *DEMO, "--wind", "strong"), "--wind"),
        (("plan", *DEMO, "--wind", "nan@0"), "--wind"),
        (("plan", *DEMO, "--temperature", "inf"), "--temperature"),
        (("plan", *DEMO, "--ground", "wet"), "--ground"),
        (("plan", *DEMO, "--hoel", "1"), "--hoel"),
        (("plan", *DEMO, "--seed", "-1"), "--seed"),
        (("plan", *DEMO, "--out", __file__), "give a folder"),
        (("plan", DEMO[0]), "PLAYER"),
        (("plna",), "plan"),
        (("shot",), "nothing to fly"),
        (("shot", "--ball-speed", "167"), "--launch-angle: is missing"),
        (("shot", "--ball-speed", "-5", "--launch-angle", "10", "--spin", "2500"), "--ball-speed"),
        (("shot", DEMO[1], "--strike", "dwon"), "did you mean down?"),
        (("shot", "--club-speed", "100", "--dynamic-loft", "12", "--path", "nan"), "--path: nan is not from"),
    ],
)
def test_a_mistake_is_one_line_and_exit_code_two(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*words)
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert said in err
    assert not list(tmp_path.iterdir())


def test_a_broken_course_leaves_nothing_behind(run: Run, tmp_path: Path) -> None:
    broken = tmp_path / "broken.geojson"
    broken.write_bytes(Path(DEMO[0]).read_bytes()[:5000])
    code, out, err = run("plan", str(broken), DEMO[1], "--out", str(tmp_path / "out"))
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert err.startswith("holesim: broken.geojson: line ")
    assert not (tmp_path / "out").exists()


def test_a_crash_of_ours_exits_seventy(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(*_: object, **__: object) -> None:
        raise RuntimeError("boom")

    monkeypatch.setattr("holesim.app.cli.plan.find", crash)
    code, _, err = run("demo", *QUICK)
    assert code == 70
    assert "this is a bug: RuntimeError: boom" in err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is always full")
def test_a_full_device_is_a_line_and_no_crash() -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(command_line("--help"), stdout=full, stderr=subprocess.PIPE, check=False)  # noqa: S603
        mute = subprocess.run(command_line("check", "no.toml"), stderr=full, check=False)  # noqa: S603
    said = "output: cannot be written (no space left on device); make room there, or print elsewhere"
    assert (done.returncode, done.stderr.decode()) == (2, f"holesim: {said}\n")
    assert mute.returncode == 2


def test_help_shows_the_cautions_and_imports_nothing_heavy() -> None:
    code = "import sys, holesim.app.cli.main; print({'numpy', 'numba', 'shapely'} & set(sys.modules))"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)  # noqa: S603
    assert result.stdout.strip() == "set()"
    for words in ([], ["plan"], ["demo"], ["shot"]):
        command = [sys.executable, "-m", "holesim", *words, "--help"]
        shown = subprocess.run(command, capture_output=True, text=True, check=True).stdout  # noqa: S603
        text = " ".join(shown.split())
        assert "4.3a" in text
        assert "qualified coach" in text
        assert "lightning" in text


def test_alone_it_shows_its_help(run: Run) -> None:
    code, out, err = run()
    assert (code, err) == (0, "")
    assert "For a captain" in out


def test_package_names_are_found_when_asked_for() -> None:
    import holesim  # noqa: PLC0415

    for name in holesim.__all__:
        assert getattr(holesim, name) is not None
    with pytest.raises(AttributeError):
        holesim.nothing  # noqa: B018


def test_compilation_is_announced_once_and_only_when_it_happens(capsys: pytest.CaptureFixture[str]) -> None:
    kernels = [numba.njit(lambda x, k=k: x + k) for k in (1.0, 2.0)]
    with compiling():
        assert [kernel(1.0) for kernel in kernels] == [2.0, 3.0]
    assert capsys.readouterr().err.count("compiling, once on this machine") == 1
    with compiling():
        assert kernels[0](2.0) == 3.0
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("threads", ["0", "many", "-2"])
def test_a_wrong_number_of_threads_is_refused(
    run: Run, monkeypatch: pytest.MonkeyPatch, threads: str
) -> None:
    monkeypatch.setenv("HOLESIM_THREADS", threads)
    code, _, err = run("demo", *QUICK)
    assert code == 2
    assert f"HOLESIM_THREADS: '{threads}' is not a number of threads" in err


def test_a_precision_is_kept_or_refused(run: Run) -> None:
    code, out, _ = run("demo", *QUICK, "--precision", "0.01", "--json")
    plan = json.loads(out)
    (tee,) = plan["tees"]
    assert code == 0
    assert plan["options"]["precision"] == 0.01
    assert plan["draws"] == 256 < tee["draws"]
    assert 0 < tee["difference"]["sampling_half_width"] <= 0.01
    code, _, err = run("demo", *QUICK, "--precision", "0")
    assert code == 2
    assert "--precision: 0 is not a positive number" in err
