"""What tests of batches share: a jobs file, plans that are there, and work without processes of its own."""

import json
import shutil
from collections.abc import Callable, Generator, Sequence
from pathlib import Path
from typing import TypeVar

import pytest

from holesim.common.processes import Workers
from holesim.data.examples import find
from holesim.handouts import batch
from holesim.handouts.batch import run_batch
from holesim.handouts.batch_jobs import load_jobs

PLAYERS = ("good_amateur", "club_golfer", "wild_man")

Piece = TypeVar("Piece")
Result = TypeVar("Result")


class WorkersHere(Workers):
    """Workers that are this process: it has imported and compiled all already."""

    def share_out(
        self, work: Callable[[Piece], Result], pieces: Sequence[Piece]
    ) -> Generator[tuple[int, Result | None]]:
        yield from ((number, work(piece)) for number, piece in enumerate(pieces))


def written(path: Path, head: str = "", *, players: Sequence[str] = PLAYERS, **options: object) -> Path:
    """Write a jobs file for players on a course of one hole."""
    files = [str(find(f"players/{name}.toml")) for name in players]
    lines = [
        head,
        f"courses = {json.dumps([str(find('template.geojson'))])}",
        f"players = {json.dumps(files)}",
        "[options]",
        *(f"{key} = {json.dumps(value)}" for key, value in {"draws": 256, **options}.items()),
    ]
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def plans(folder: Path) -> dict[str, bytes]:
    # Not what is being written, in a hidden folder beside it, which a batch that is killed leaves.
    return {path.name: path.read_bytes() for path in sorted(folder.glob("[!.]*/*.json"))}


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """Three players on a course of one hole."""
    return written(tmp_path / "jobs.toml")


@pytest.fixture
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let batches work in this process."""
    monkeypatch.setenv("HOLESIM_THREADS", "1")
    monkeypatch.setattr(batch, "Workers", WorkersHere)


@pytest.fixture(scope="session")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the plans of `jobs`. Once they are there all kernels are compiled."""
    folder = tmp_path_factory.mktemp("planned")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOLESIM_THREADS", "1")
        patch.setattr(batch, "Workers", WorkersHere)
        assert run_batch(load_jobs(written(folder / "jobs.toml")), folder / "out").made == len(PLAYERS)
    return folder / "out"


@pytest.fixture
def out(planned: Path, tmp_path: Path) -> Path:
    """Return a copy of the folder with the plans of `jobs`, in which a batch may write."""
    return shutil.copytree(planned, tmp_path / "out")
