"""The cache on disk: what is read is what was kept, under its own name, or nothing."""

import os
from pathlib import Path

import numpy as np
import pytest

from holesim.common import disk_cache


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOLESIM_CACHE", str(tmp_path))
    disk_cache.save("own", {"values": np.arange(3)})
    return tmp_path


def test_what_was_kept_is_read(folder: Path) -> None:
    kept = disk_cache.load("own")
    assert kept is not None
    assert kept["values"].tolist() == [0, 1, 2]
    assert [path.name for path in folder.iterdir()] == ["own"]


def test_what_was_kept_under_another_name_counts_as_missing(folder: Path) -> None:
    (folder / "own").rename(folder / "other")
    assert disk_cache.load("other") is None


@pytest.mark.parametrize("left", [0, 10, 100])
def test_a_truncated_file_counts_as_missing(folder: Path, left: int) -> None:
    (folder / "own").write_bytes((folder / "own").read_bytes()[:left])
    assert disk_cache.load("own") is None


def test_a_full_disk_leaves_nothing_half_written(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write = Path.write_bytes

    def fill(path: Path, content: bytes) -> int:
        write(path, content[:10])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", fill)
    disk_cache.save("other", {"values": np.arange(3)})
    assert [path.name for path in folder.iterdir()] == ["own"]


def test_the_oldest_files_make_room_for_new_ones(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk_cache, "_MOST", 20)
    monkeypatch.setattr(disk_cache, "_SPARE", 5)
    names = [disk_cache.digest([number]) for number in range(300)]
    for number, name in enumerate(names):
        disk_cache.save(name, {"values": np.arange(3)})
        os.utime(folder / name, (number, number))
    assert len(list(folder.iterdir())) < 100
    assert all(disk_cache.load(name) is not None for name in names[-20:])
    assert disk_cache.load(names[0]) is None
