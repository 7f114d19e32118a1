"""Files of a window's folder: whole at any moment, never over what another wrote, never elsewhere."""

import os
import random
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from holesim.errors import InputError
from holesim.window.folder import ChangedError, Folder, MissingError, NameRefusedError, digest
from tests.window.running import sha256


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return Folder(tmp_path)


def leftovers(place: Path) -> list[Path]:
    return list(place.rglob(".*"))


def test_a_file_is_written_and_read_back(folder: Folder) -> None:
    first = folder.write("players/vale.toml", b"one", None)
    assert folder.read("players/vale.toml") == (b"one", first)
    assert first == sha256(b"one")
    folder.write("players/vale.toml", b"two", first)
    assert folder.read("players/vale.toml")[0] == b"two"
    assert not leftovers(folder.root)


def test_another_version_on_disk_is_not_overwritten(folder: Folder) -> None:
    seen = folder.write("vale.toml", b"one", None)
    (folder.root / "vale.toml").write_bytes(b"by another program")
    with pytest.raises(ChangedError, match="changed outside"):
        folder.write("vale.toml", b"two", seen)
    with pytest.raises(ChangedError, match="is there already"):
        folder.write("vale.toml", b"two", None)
    assert (folder.root / "vale.toml").read_bytes() == b"by another program"
    (folder.root / "vale.toml").unlink()
    with pytest.raises(ChangedError, match="was removed"):
        folder.write("vale.toml", b"two", seen)
    assert not (folder.root / "vale.toml").exists()
    assert not leftovers(folder.root)


def test_of_two_windows_that_save_at_once_one_is_told(folder: Folder) -> None:
    seen = folder.write("vale.toml", b"start", None)
    others = [Folder(folder.root) for _ in range(8)]

    def save(i: int) -> bool:
        try:
            others[i].write("vale.toml", b"%d" % i * 100_000, seen)
        except ChangedError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        saved = list(pool.map(save, range(8)))
    assert saved.count(True) == 1
    assert folder.read("vale.toml")[0] == b"%d" % saved.index(True) * 100_000


def test_permissions_are_kept_and_new_files_have_the_usual_ones(folder: Folder) -> None:
    seen = folder.write("vale.toml", b"one", None)
    (folder.root / "usual").write_bytes(b"")
    mode = (folder.root / "vale.toml").stat().st_mode
    assert mode == (folder.root / "usual").stat().st_mode
    (folder.root / "vale.toml").chmod(0o600)
    folder.write("vale.toml", b"two", seen)
    assert (folder.root / "vale.toml").stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "../x.toml", "a/../x.toml", "/x.toml", "a//x.toml", "a\\x.toml", "C:x.toml",
        "x\0.toml", ".x.toml", "a/.b/x.toml", "con.toml", "x.toml ", "x\n.toml",
    ],
)  # fmt: skip
def test_a_name_outside_the_folder_is_refused(folder: Folder, name: str) -> None:
    with pytest.raises(NameRefusedError):
        folder.read(name)
    with pytest.raises(NameRefusedError):
        folder.write(name, b"", None)


def test_no_link_is_followed(folder: Folder, tmp_path_factory: pytest.TempPathFactory) -> None:
    away = tmp_path_factory.mktemp("away")
    (away / "secret.toml").write_text("secret")
    (folder.root / "file.toml").symlink_to(away / "secret.toml")
    (folder.root / "sub").symlink_to(away)
    (folder.root / "nowhere.toml").symlink_to(away / "new.toml")
    for name in ("file.toml", "sub/secret.toml", "sub/new.toml", "nowhere.toml"):
        with pytest.raises(NameRefusedError, match="link"):
            folder.read(name)
        with pytest.raises(NameRefusedError, match="link"):
            folder.write(name, b"x", None)
    assert list(folder.names()) == []
    assert [path.name for path in away.iterdir()] == ["secret.toml"]


def test_the_folder_itself_may_be_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    Folder(tmp_path / "link").write("vale.toml", b"one", None)
    assert (tmp_path / "real" / "vale.toml").read_bytes() == b"one"


def test_what_is_no_file_is_not_read(folder: Folder) -> None:
    (folder.root / "sub.toml").mkdir()
    os.mkfifo(folder.root / "pipe.toml")
    for name in ("sub.toml", "pipe.toml"):
        with pytest.raises(InputError):
            folder.read(name)
    with pytest.raises(MissingError):
        folder.read("none.toml")


def test_a_file_of_the_package_is_read_only(tmp_path: Path) -> None:
    (tmp_path / "real.toml").write_bytes(b"built in")
    folder = Folder(tmp_path, {"demo/vale.toml": tmp_path / "real.toml"})
    assert folder.read("demo/vale.toml") == (b"built in", digest(b"built in"))
    with pytest.raises(NameRefusedError, match="cannot be changed"):
        folder.write("demo/vale.toml", b"x", digest(b"built in"))


SAVERS = """
import os, sys
from pathlib import Path
from holesim.window.folder import Folder, digest
folder, versions = Folder(Path(sys.argv[1])), [b"a" * 300_000, b"b" * 200_000]
for _ in sys.stdin:
    child = os.fork()
    while not child:
        for old, new in (versions, versions[::-1]):
            folder.write("course.geojson", new, digest(old))
    print(child, flush=True)
    print(os.waitpid(child, 0)[1], flush=True)
"""
"""For each line it reads, a process that saves over and over until it is killed."""


def test_a_save_killed_at_any_moment_leaves_one_of_two_whole_versions(folder: Folder) -> None:
    versions = [b"a" * 300_000, b"b" * 200_000]
    path = folder.root / "course.geojson"
    left_something, changed = 0, 0
    chance = random.Random(5)  # noqa: S311 - moments, no secret
    folder.write("course.geojson", versions[0], None)
    with subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", SAVERS, str(folder.root)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as savers:  # fmt: skip
        assert savers.stdin is not None
        assert savers.stdout is not None
        for _ in range(50):
            savers.stdin.write("go\n")
            savers.stdin.flush()
            child = int(savers.stdout.readline())
            time.sleep(chance.uniform(0, 0.03))
            os.kill(child, signal.SIGKILL)
            assert int(savers.stdout.readline()) == signal.SIGKILL
            held = path.read_bytes()
            assert held in versions
            changed += held == versions[1]
            left_something += bool(leftovers(folder.root))
            folder.write("course.geojson", versions[0], digest(held))
            assert path.read_bytes() == versions[0]
            assert not leftovers(folder.root)  # this write has removed them
        savers.stdin.close()
    assert 0 < changed < 50  # the moments were at random
    assert left_something  # and some fell within a save
