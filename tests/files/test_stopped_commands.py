"""Commands killed or stopped while they write: nothing half-written, and what is left is cleaned up."""

import os
import random
import signal
import subprocess
import sys
import time
from contextlib import nullcontext
from pathlib import Path

import pytest

from holesim.common.safe_files import renamed_into
from holesim.player.player import Player
from holesim.shot.club_speeds import load_player
from tests.conftest import DEMO, Run
from tests.files.command_outcomes import command_line, whole_files_only
from tests.files.kills import faults, kill


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL], ids=lambda how: how.name)
def test_a_command_killed_leaves_nothing_half_written(tmp_path: Path, how: signal.Signals) -> None:
    out = tmp_path / "out"
    words = ("plan", *DEMO, *(word for hole in "123456" for word in ("--hole", hole)))
    command = command_line(*words, "--draws", "256", "--out", str(out))
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:  # noqa: S603
        while process.poll() is None and not any(out.glob(".*")):
            time.sleep(0.01)
        time.sleep(random.uniform(0, 0.5))  # noqa: S311 - the pictures take longer
        process.send_signal(how)
        _, err = process.communicate(timeout=60)
    assert process.returncode == (-how if how is signal.SIGKILL else 128 + how)
    assert b"Traceback" not in err
    assert whole_files_only(out)
    assert any(out.glob(".*")) is (how is signal.SIGKILL)


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT], ids=lambda how: how.name)
@pytest.mark.parametrize("swallowed", [True, False])
def test_a_stop_is_not_lost_where_compiled_code_loses_it(
    run: Run, monkeypatch: pytest.MonkeyPatch, how: signal.Signals, *, swallowed: bool
) -> None:
    player = load_player(DEMO[1])

    def compiled(_: object) -> Player:
        try:
            signal.raise_signal(how)
        except SystemExit:
            if not swallowed:
                raise ValueError("invalid bounding box") from None
        return player

    monkeypatch.setattr("holesim.shot.club_speeds.load_player", compiled)
    monkeypatch.setattr("holesim.reports.check_text.player_text", str)
    before = signal.getsignal(how)
    code, _, err = run("check", DEMO[1])
    assert code == 128 + how
    assert "bug" not in err
    assert signal.getsignal(how) is before


@pytest.mark.parametrize("moved", range(5))
def test_a_command_stopped_between_two_files_leaves_them_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moved: int
) -> None:
    def write(folder: Path) -> None:
        for name in ("plan.json", "plan.csv", "card.pdf", "hole-04-back.png"):
            (folder / name).write_text("whole")

    left = [None] * moved
    replace = Path.replace

    def stopped(path: Path, target: Path) -> Path:
        if not left:
            raise KeyboardInterrupt
        left.pop()
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", stopped)
    with nullcontext() if moved == 4 else pytest.raises(KeyboardInterrupt):
        renamed_into(tmp_path, write)
    assert [path.read_text() for path in tmp_path.iterdir()] == ["whole"] * moved


@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_stop_between_two_files_waits_for_the_last(tmp_path: Path, how: str) -> None:
    """A new plan would lie beside the old one's pictures."""
    names = ("plan.json", "plan.csv", "card.pdf", "hole-04-back.png", "finishes.geojson")
    stopping = f"""
import signal, sys
from pathlib import Path
from holesim.common.safe_files import renamed_into

def write(folder):
    for name in {names}:
        (folder / name).write_text(sys.argv[1])

def replace(path, target, replace=Path.replace):
    if sys.argv[1] == "new" and path.name == "hole-04-back.png":
        signal.raise_signal(signal.{how})
    return replace(path, target)

signal.signal(signal.{how}, signal.default_int_handler if "{how}" == "SIGINT" else signal.SIG_DFL)
Path.replace = replace
renamed_into(Path({str(tmp_path)!r}), write)
print("went on")
"""
    for text in ("old", "new"):
        command = [sys.executable, "-c", stopping, text]
        done = subprocess.run(command, capture_output=True, check=False, timeout=60)  # noqa: S603
        assert (done.returncode == 0) is (done.stdout == b"went on\n") is (text == "old")
        assert {
            path.name: path.read_text() for path in tmp_path.iterdir() if path.is_file()
        } == dict.fromkeys(names, text)


def test_a_save_killed_at_any_moment_is_the_old_or_the_new() -> None:
    counted = kill(3, names=["save"])
    assert sum(times for (_, how, _), times in counted.items() if how.startswith("SIG")) == 3
    assert faults(counted) == []


def test_what_a_killed_run_left_is_cleaned_by_the_next(run: Run, tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as gone:
        gone.wait()
    left = tmp_path / f".holesim-{gone.pid}-abcd_123" / "hole-04-back.png"
    # A run that goes on, and what is none of ours, are let be.
    others = [tmp_path / f".holesim-{os.getpid()}-abcd_123", tmp_path / ".holesim-cache", tmp_path / ".mine"]
    for path in (left, *(other / "file" for other in others)):
        path.parent.mkdir()
        path.write_bytes(b"half")
    assert run("plan", *DEMO, "--hole", "4", "--draws", "256", "--out", str(tmp_path))[0] == 0
    assert sorted(path for path in tmp_path.iterdir() if path.name.startswith(".")) == sorted(others)
    assert whole_files_only(tmp_path)
