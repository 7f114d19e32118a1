"""What a command has read it never replaces, whatever it is told to write."""

from pathlib import Path

import pytest

from holesim.common.safe_files import renamed_into
from holesim.errors import InputError, inputs_kept, read_input
from tests.conftest import Run
from tests.files.small_course import COURSE, PLAYER

ONE_HOLE = ("--hole", "1", "--draws", "256")


@pytest.fixture
def inputs(tmp_path: Path) -> Path:
    """Return a folder with a course, under two names that commands write, too, and a player."""
    (tmp_path / "vale").mkdir()
    for name in ("finishes.geojson", "vale/vale.json"):
        (tmp_path / name).write_text(COURSE, encoding="utf-8")
    (tmp_path / "vale.toml").write_text(PLAYER, encoding="utf-8")
    jobs = 'courses = ["vale/vale.json"]\nplayers = ["vale.toml"]\noptions = { draws = 256 }\n'
    (tmp_path / "jobs.toml").write_text(jobs)
    return tmp_path


def check_refused(run: Run, folder: Path, *words: str) -> None:
    """Check that a command in a folder is refused in one line, and that each file there is as before."""
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert err.splitlines()[-1].endswith(" is what is read; give another file or folder")
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_plan_s_folder_may_hold_its_course(run: Run, inputs: Path) -> None:
    course, player = str(inputs / "finishes.geojson"), str(inputs / "vale.toml")
    check_refused(run, inputs, "plan", course, player, *ONE_HOLE, "--out", str(inputs))
    assert run("plan", course, player, *ONE_HOLE, "--out", str(inputs / "out"))[0] == 0
    plan = str(inputs / "out" / "plan.json")
    check_refused(run, inputs, "card", plan, "--style", "page", "--out", plan)
    link = inputs / "link.html"
    link.symlink_to(plan)
    check_refused(run, inputs, "card", plan, "--style", "page", "--out", str(link))
    assert link.is_symlink()


def test_a_batch_s_folder_may_hold_its_course(run: Run, inputs: Path) -> None:
    check_refused(run, inputs, "batch", str(inputs / "jobs.toml"), "--out", str(inputs), "--replace")


def test_one_input_among_several_files_keeps_all_as_they_are(tmp_path: Path) -> None:
    for name in ("a", "b", "c"):
        (tmp_path / name).write_text("before")

    def write(folder: Path) -> None:
        for name in ("a", "b", "c"):
            (folder / name).write_text("after")

    with inputs_kept():
        read_input(tmp_path / "b", largest=10)
        with pytest.raises(InputError, match="b is what is read"):
            renamed_into(tmp_path, write)
    assert [path.read_text() for path in sorted(tmp_path.iterdir())] == ["before"] * 3
    renamed_into(tmp_path, write)  # another run may replace it
    assert [path.read_text() for path in sorted(tmp_path.iterdir())] == ["after"] * 3
