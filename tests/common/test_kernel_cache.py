"""Compiled kernels on disk: kept apart by version, read again by the same one, never in the package."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

import holesim
from holesim.common import kernel_cache

PACKAGE = Path(holesim.__path__[0])

# A kernel, and in another module the class of what it is given.
POINT = """
from typing import NamedTuple

class Point(NamedTuple):
    x: float
    y: float
"""
SUM = """
from holesim.common._simd_kernel import entry

@entry
def total(point):
    return point.x + point.y
"""
FULL_DISK = """
from numba.core.caching import IndexDataCacheFile
def full(*_):
    raise OSError(28, "No space left on device")
IndexDataCacheFile._save_data = full
"""
FOR_THIS_RUN = "compiled kernels are kept for this run alone: "
NOT_KEPT = "compiled kernels are not kept, so each run compiles them again:"
CALL = "from holesim.shot._total_kernel import total; from holesim.shot._point_kernel import {0}; "
CALL += "print(total({0}(1.0, 2.0)), len(total.stats.cache_hits))"


@pytest.fixture
def package(tmp_path: Path) -> Path:
    """Return a copy of the package with no kernels but two small ones."""
    copy = tmp_path / "site" / "holesim"
    for file in ("__init__.py", "_version.py", "errors.py", "common/__init__.py", "common/_simd_kernel.py",
                 "common/kernel_cache.py", "common/disk_cache.py", "common/safe_files.py",
                 "shot/__init__.py"):  # fmt: skip
        (copy / file).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(PACKAGE / file, copy / file)
    (copy / "shot" / "_point_kernel.py").write_text(POINT)
    (copy / "shot" / "_total_kernel.py").write_text(SUM)
    return copy


def called(package: Path, kind: str = "Point", said: str = "", before: str = "", **variables: str) -> str:
    """Return what the kernel says in a process of its own: the total, and how often the cache had it.

    `said` is what it says besides, in one line, and `before` is what that process does first.
    """
    rest = {name: value for name, value in os.environ.items() if name != "NUMBA_CACHE_DIR"}
    cache = {"HOLESIM_CACHE": str(package.parent / "cache")}
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-B", "-c", before + CALL.format(kind)],
        cwd=package.parent,
        env=rest | cache | variables,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr.startswith(f"holesim: {said}" if said else "")
    assert done.stderr.count("\n") == bool(said)
    return done.stdout.strip()


def test_a_kernel_is_compiled_once(package: Path) -> None:
    assert called(package) == "3.0 0"
    assert called(package) == "3.0 1"
    (version,) = (package.parent / "cache" / "kernels").iterdir()
    assert [*version.rglob("*.nbc")]
    assert [*package.rglob("*.nb[ci]")] == []  # so that the package may be read-only


def test_after_a_class_of_another_module_is_renamed_the_kernel_is_compiled_again(package: Path) -> None:
    assert called(package) == "3.0 0"
    (package / "shot" / "_point_kernel.py").write_text(POINT.replace("Point", "Place"))
    assert called(package, "Place") == "3.0 0"
    assert len([*(package.parent / "cache" / "kernels").iterdir()]) == 2


def test_where_nothing_can_be_written_it_is_compiled_for_the_process(package: Path, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "temporary").mkdir()
    variables = {"HOLESIM_CACHE": str(tmp_path / "file" / "below"), "TMPDIR": str(tmp_path / "temporary")}
    assert called(package, said=FOR_THIS_RUN, **variables) == "3.0 0"
    assert [*package.rglob("*.nb[ci]")] == [*(tmp_path / "temporary").iterdir()] == []


def test_where_not_even_a_temporary_folder_can_be_made_nothing_is_kept(package: Path, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    # The folder for temporary files would else be sought elsewhere, in the end in the working folder.
    before = f"import tempfile; tempfile.tempdir = {str(tmp_path / 'none')!r}; "
    for variable in ("HOLESIM_CACHE", "NUMBA_CACHE_DIR"):
        variables = {variable: str(tmp_path / "file" / "below")}
        assert called(package, said=NOT_KEPT, before=before, **variables) == "3.0 0"
    assert [*tmp_path.rglob("*.nb[ci]")] == []


def test_a_full_disk_costs_no_answer(package: Path) -> None:
    assert called(package, said=f"{NOT_KEPT} No space left on device", before=FULL_DISK) == "3.0 0"
    assert called(package) == "3.0 0"
    assert called(package) == "3.0 1"


@pytest.mark.parametrize("ending", ["nbi", "nbc"])
@pytest.mark.parametrize("left", [0, 100])
def test_a_truncated_kernel_is_compiled_again(package: Path, ending: str, left: int) -> None:
    assert called(package) == "3.0 0"
    (kept,) = (package.parent / "cache").rglob(f"*.{ending}")
    kept.write_bytes(kept.read_bytes()[:left])
    assert called(package, said="a compiled kernel that was kept is damaged") == "3.0 0"
    assert called(package) == "3.0 1"


def test_processes_share_such_a_folder_and_that_of_a_killed_one_is_removed(
    package: Path, tmp_path: Path
) -> None:
    """A batch's workers would each compile for half a minute, and be killed with their folders left."""
    (tmp_path / "file").touch()
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    ask = "import subprocess, sys; from holesim.common.kernel_cache import set_cache_folder; "
    own = "import os; print(set_cache_folder(), flush=True); os.kill(os.getpid(), 9)"
    more = f"print(set_cache_folder(), flush=True); subprocess.run([sys.executable, '-c', {ask + own!r}])"
    cut_off = f"{more}; import os; os.kill(os.getpid(), 9)"
    rest = {name: value for name, value in os.environ.items() if name != "NUMBA_CACHE_DIR"}
    variables = {"HOLESIM_CACHE": str(tmp_path / "file" / "below"), "TMPDIR": str(temporary)}
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-B", "-c", ask + cut_off],
        cwd=package.parent,
        env=rest | variables,
        capture_output=True,
        text=True,
        check=False,
    )
    folder, of_its_child = done.stdout.split()
    assert [*temporary.iterdir()] == [Path(folder)] == [Path(of_its_child)]
    assert called(package, said=FOR_THIS_RUN, **variables) == "3.0 0"
    assert [*temporary.iterdir()] == []


def test_a_folder_that_the_user_names_is_used(package: Path, tmp_path: Path) -> None:
    assert called(package, NUMBA_CACHE_DIR=str(tmp_path / "own")) == "3.0 0"
    assert [*(tmp_path / "own").rglob("*.nbc")]
    assert not (package.parent / "cache").exists()


def test_a_version_long_unused_is_removed(package: Path) -> None:
    kernels = package.parent / "cache" / "kernels"
    for name, days in (("old", 31), ("new", 29)):
        (kernels / name / "shot").mkdir(parents=True)
        os.utime(kernels / name, (time.time() - days * 86_400,) * 2)
    called(package)
    assert not (kernels / "old").exists()
    assert (kernels / "new").exists()


def test_every_kernel_takes_its_compiler_from_where_the_folder_is_set() -> None:
    kernels = [*PACKAGE.glob("*/_*_kernel.py")]
    assert len(kernels) > 10
    for path in kernels:
        if path.name != "_simd_kernel.py":
            source = path.read_text(encoding="utf-8")
            assert "from numba import" not in source, path.name
            assert "cache=True" not in source, path.name  # numba's own, which ends a call where it fails
    assert kernel_cache.__name__ in (PACKAGE / "common" / "_simd_kernel.py").read_text(encoding="utf-8")
