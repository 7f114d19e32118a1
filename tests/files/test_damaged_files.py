"""Damaged files: an answer, or one line that says what is wrong and what to do."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from holesim.course.course_file import load_course
from holesim.course.ground_map import map_ground
from holesim.errors import InputError
from holesim.reports.check_text import course_text, player_text
from holesim.shot.club_speeds import load_player
from tests.conftest import Run
from tests.files.command_outcomes import check_line, check_outcome, command_line, whole_files_only
from tests.files.damage import damaged_course, damaged_player
from tests.files.small_course import PLAYER


def read_course(path: Path) -> str:
    return course_text(load_course(path))


def mapped_course(path: Path) -> str:
    map_ground(load_course(path))
    return read_course(path)


def outcome(seed: int, path: Path, raw: bytes, read: Callable[[Path], str]) -> bool:
    """Return whether a file was read; an error is one line with a remedy."""
    path.write_bytes(raw)
    try:
        text = read(path)
    except InputError as error:
        assert str(error).startswith(f"{path.name}: ")  # noqa: PT017
        check_line(str(error))
        return False
    except Exception as bug:
        bug.add_note(f"damage {seed}")
        raise
    assert all(line.isprintable() for line in text.splitlines())
    return True


@pytest.mark.parametrize("first", range(0, 4000, 500))
def test_damaged_courses_are_read_or_refused(tmp_path: Path, first: int) -> None:
    path, answers = tmp_path / "links.geojson", 0
    for seed in range(first, first + 500):
        read = mapped_course if seed % 20 == 1 else read_course
        answers += outcome(seed, path, damaged_course(seed), read)
    assert 50 < answers < 450  # the damage is neither too small to matter nor always the same


@pytest.mark.parametrize("first", range(0, 1000, 500))
def test_damaged_players_are_read_or_refused(tmp_path: Path, first: int) -> None:
    path, answers = tmp_path / "player.toml", 0
    for seed in range(first, first + 500):
        answers += outcome(seed, path, damaged_player(seed), lambda file: player_text(load_player(file)))
    assert 50 < answers < 450


@pytest.mark.parametrize("command", ["check", "plan"])
def test_the_command_on_damaged_files(run: Run, tmp_path: Path, command: str) -> None:
    course, player, out = tmp_path / "links.geojson", tmp_path / "player.toml", tmp_path / "out"
    for seed in range(0, 4000, 50) if command == "check" else range(50, 4000, 200):
        course.write_bytes(damaged_course(seed))
        player.write_bytes(damaged_player(seed) if seed % 150 == 0 else PLAYER.encode())
        words = [
            str(course),
            str(player),
            *(["--draws", "256", "--out", str(out)] if command == "plan" else []),
        ]
        code, said, err = run(command, *words)
        if command == "check" and code == 2:
            said = ""  # the course may be reported before the player is refused
        check_outcome(code, said, err)
        assert out.exists() is (command == "plan" and code == 0)
        if out.exists():
            assert whole_files_only(out)
            for path in out.iterdir():
                path.unlink()
            out.rmdir()


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 6])
def test_the_command_in_a_process_of_its_own(tmp_path: Path, seed: int) -> None:
    course = tmp_path / "links.geojson"
    course.write_bytes(damaged_course(seed))
    done = subprocess.run(command_line("check", str(course)), capture_output=True, text=True, check=False)  # noqa: S603
    check_outcome(done.returncode, done.stdout, done.stderr)
