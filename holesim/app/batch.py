"""Batches: a plan for each of many players on each of many courses.

A plan is done when its file says that it is of the same inputs and options, so a batch that was stopped goes
on where it stopped. Jobs carry the content of their files, so that workers on other machines need no files.
"""

import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any, Final

import pandas as pd
from filelock import FileLock, Timeout
from joblib import Parallel, delayed, parallel_config
from pydantic import Field

from holesim._version import __version__
from holesim.common import parallel
from holesim.common.safe_files import check_folder, write_text
from holesim.common.toml_tables import LARGEST as LARGEST_PLAYER
from holesim.common.toml_tables import Table, read_toml
from holesim.course.course_file import load_course
from holesim.course.geojson import LARGEST as LARGEST_COURSE
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan import make_plan
from holesim.plan.plan_tables import VERSION
from holesim.plan.round_options import RoundOptions
from holesim.shot.club_speeds import load_player

SUMMARY: Final = "batch.csv"
PATIENCE: Final = "10s"  # for a cluster to answer
_LOCK: Final = ".batch-lock"


class BatchOptions(RoundOptions):
    """The options of every round of a batch, and the names of the tees to play; none for the longest."""

    tees: list[str] = Field(default_factory=list)


class JobsFile(Table):
    """A batch as written: courses and players, with a plan for every player on every course."""

    courses: Annotated[list[str], Field(min_length=1)]
    players: Annotated[list[str], Field(min_length=1)]
    options: BatchOptions = BatchOptions()


@dataclass(frozen=True)
class Job:
    """One player on one course: names and content of the files, and what their plan must say of itself."""

    course: str
    player: str
    course_content: bytes
    player_content: bytes
    options: BatchOptions
    says: Mapping[str, Any]

    @property
    def path(self) -> Path:
        """Where the plan is written, in the folder of the batch."""
        return Path(Path(self.course).stem) / f"{Path(self.player).stem}.json"

    def plan(self, folder: Path) -> dict[str, Any] | None:
        """Return the plan that is there, if it is of the same inputs and options."""
        try:
            content = json.loads((folder / self.path).read_text(encoding="utf-8"))
            return content if all(content.get(key) == value for key, value in self.says.items()) else None
        except (OSError, ValueError, AttributeError):
            return None


@dataclass(frozen=True)
class Batch:
    """What a batch did: how many plans were there before, how many it made, and what went wrong."""

    before: int
    made: int
    failed: tuple[str, ...]


def load_jobs(path: str | Path) -> list[Job]:
    """Read a jobs file and the files that it names, relative to its folder.

    Raises
    ------
    InputError
        If a file cannot be read or makes no sense, or two plans would go to the same place.
    """
    model, _ = read_toml(path, JobsFile, "jobs")
    file, folder = printable(Path(path).name), Path(path).parent
    for place, names in (("courses", model.courses), ("players", model.players)):
        stems = [Path(name).stem for name in names]
        twice = next((stem for stem in stems if stems.count(stem) > 1), None)
        if twice is not None:
            raise InputError(file, place, f"has two files called {twice}", "rename one, or take it out")
    players = [
        (Path(name).name, load_player(folder / name), read_input(folder / name, largest=LARGEST_PLAYER))
        for name in model.players
    ]
    jobs = []
    for course_name in model.courses:
        course = load_course(folder / course_name)
        content = read_input(folder / course_name, largest=LARGEST_COURSE)
        options = model.options.as_used(model.options.ground or course.firmness)
        for player_name, player, own in players:
            says = {
                "schema": VERSION,
                "holesim": __version__,
                "inputs": {course.file: course.sha256, player.file: player.sha256},
                "options": options,
                "seed": model.options.seed,
                "draws": model.options.draws,
            }
            jobs.append(Job(Path(course_name).name, player_name, content, own, model.options, says))
    return jobs


def run_batch(
    jobs: Sequence[Job],
    folder: Path,
    *,
    dask: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Batch:
    """Make the plans that are not there yet, and a summary of all.

    Parameters
    ----------
    dask
        Address of a Dask cluster to work on; by default the processors of this machine.
    progress
        Called with the number of plans that are done, and of all.

    Raises
    ------
    InputError
        If the folder cannot be written to, another batch writes there, or the cluster does not answer.
    """
    check_folder(folder)
    folder.mkdir(parents=True, exist_ok=True)
    with _alone_in(folder), _workers(dask):
        todo = [job for job in jobs if job.plan(folder) is None]
        before, failed = len(jobs) - len(todo), list[str]()
        if progress is not None:
            progress(before, len(jobs))
        work = Parallel(n_jobs=parallel.count(), return_as="generator_unordered")
        planned = work(delayed(_plan)(index, job) for index, job in enumerate(todo))
        for made, (index, text, fault) in enumerate(planned, 1):
            if fault:
                failed.append(fault)
            else:
                write_text(folder / todo[index].path, text)
            if progress is not None:
                progress(before + made, len(jobs))
        write_text(folder / SUMMARY, _summary(jobs, folder))
    return Batch(before, len(todo) - len(failed), tuple(sorted(failed)))


def _plan(index: int, job: Job) -> tuple[int, str, str]:
    """Return a job's number and the text of its plan, or what is wrong; this runs in its own process."""
    os.environ["HOLESIM_THREADS"] = "1"  # the processes share the processors
    with TemporaryDirectory() as place:
        course, player = Path(place, job.course), Path(place, job.player)
        course.write_bytes(job.course_content)
        player.write_bytes(job.player_content)
        try:
            plan = make_plan(
                load_course(course), load_player(player), job.options, tees=job.options.tees or None
            )
        except InputError as error:
            return index, "", f"{job.player} on {job.course}: {error}"
        return index, plan.to_json(), ""


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Let no other batch write to a folder; the lock ends with the process, however that ends."""
    lock = FileLock(folder / _LOCK)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise InputError("--out", "", "another batch writes there", "wait for it to end") from None
    try:
        yield
    finally:
        lock.release()


@contextmanager
def _workers(dask: str | None) -> Iterator[None]:
    """Let joblib work on a cluster, if one is named."""
    if dask is None:
        yield
        return
    try:
        from distributed import Client  # noqa: PLC0415 - an extra
    except ImportError:
        problem = "needs the library distributed"
        raise InputError("--dask", "", problem, "pip install 'holesim[dask]'") from None
    try:
        client = Client(dask, timeout=PATIENCE)  # type: ignore[no-untyped-call]
    except (OSError, ValueError):
        raise InputError("--dask", "", f"no cluster answers at {dask:.60}", "check the address") from None
    with client, parallel_config(backend="dask"):
        yield


def _summary(jobs: Sequence[Job], folder: Path) -> str:
    """Return the strokes of each policy and how sure the plan is, a row for each player, course and tees."""
    rows = [
        {
            "course": plan["course"],
            "player": plan["player"],
            "tee": tee,
            "chance": round_chance(plan, tee),
            **totals,
        }
        for plan in (job.plan(folder) for job in jobs)
        if plan is not None
        for tee, totals in plan["totals"].items()
    ]
    return pd.DataFrame(rows).to_csv(index=False, lineterminator="\n")


def round_chance(plan: Mapping[str, Any], tee: str) -> float | None:
    """Return the chance that a plan costs less than the best other way to hit the driver all day."""
    if tee in plan["day"]:
        return float(plan["day"][tee]["chance"])
    policies = plan["over_plan"][tee].items()
    always = [over for policy, over in policies if policy.startswith("always")]
    others = [over for over in always if over["high"] > over["low"]]
    if not others:
        return None
    return float(min(others, key=lambda over: float(over["strokes"]))["chance"])
