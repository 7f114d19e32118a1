"""Batches: a plan, and the sheets that are asked for, for each of many players on each of many courses.

A plan is kept if it was made from the same inputs, options and tees, so a batch that was stopped goes on
where it stopped.
"""

import os
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

import pandas as pd
from filelock import FileLock, Timeout

from holesim.common import parallel
from holesim.common.csv_tables import table_text
from holesim.common.processes import Workers
from holesim.common.safe_files import check_folder, json_text, write_text
from holesim.course.course_file import parse_course
from holesim.errors import InputError, check_not_read
from holesim.handouts.batch_jobs import SUMMARY, Job
from holesim.handouts.batch_sheets import Ledger, SheetWork, inputs_digest, make_sheet, sheets_of
from holesim.pictures.paper import Paper
from holesim.plan.plan import make_plan
from holesim.shot.club_speeds import parse_player
from holesim.study.practice import find_practice_worth

PATIENCE: Final = "10s"  # for a cluster to answer
_LOCK: Final = ".batch-lock"
_DIED: Final = (
    "its worker process was killed twice, perhaps because memory ran out; run the batch again, with "
    "HOLESIM_THREADS=1 to use less memory"
)


@dataclass(frozen=True)
class Batch:
    """What a batch did.

    Attributes
    ----------
    before, made
        How many plans were there before, and how many it made.
    sheets_before, sheets_made
        The same of sheets.
    failed
        What went wrong, a line for each job or sheet.
    """

    before: int
    made: int
    sheets_before: int
    sheets_made: int
    failed: tuple[str, ...]


def run_batch(
    jobs: Sequence[Job],
    folder: Path,
    *,
    dask: str | None = None,
    replace: bool = False,
    paper: Paper = "a4",
    progress: Callable[[int, int], None] | None = None,
) -> Batch:
    """Make the plans and sheets that are not there yet, and a summary of all.

    Parameters
    ----------
    dask
        Address of a Dask cluster that makes the plans; by default the processors of this machine. The cluster
        and this process unpickle what the other sends, that is, run it: over tcp:// whoever reaches either
        may run code as its user. A tls:// address takes the certificates of Dask's configuration.
    replace
        Whether plans of other inputs, options or tees may be replaced; the sheets made from them go.
    paper
        What sheets are printed on; those made for another are made again.
    progress
        Called with the number of plans and sheets that are done, and of all.

    Raises
    ------
    InputError
        If the folder cannot be written to or holds plans of other inputs, a file of the jobs would be
        replaced, another batch writes there, or the cluster does not answer.
    """
    for place in dict.fromkeys((folder, *(folder / job.path.parent for job in jobs))):
        check_folder(place)
    check_not_read(folder / SUMMARY, *(folder / path for job in jobs for path in job.paths))
    folder.mkdir(parents=True, exist_ok=True)
    with _alone_in(folder), Workers(parallel.count()) as workers, _planner(dask, workers) as share_out:
        ledger = Ledger(folder)
        todo = [job for job in jobs if ledger.plan_of(job) is None]
        if not replace:
            _keep_others(todo, folder)
        asked = len(jobs) + sum(len(job.sheets) + (job.practice_path is not None) for job in jobs)
        steps = _Steps(parallel.counter(progress, asked))
        failed = [f"{job.player} on {job.course}: {job.fault}" for job in todo if job.fault]
        due = [_Piece(job) for job in todo if not job.fault]
        steps.skip(len(jobs) - len(due))
        if due and (folder / SUMMARY).is_file():
            (folder / SUMMARY).unlink()
        for piece, text in _worked(share_out, due, failed, steps):
            ledger.remove_made_from_plan(piece.job)
            write_text(folder / piece.path, text)
            ledger.note_plan(piece.job)
        made, there = len(todo) - len(failed), [job for job in jobs if ledger.plan_of(job) is not None]
        practices = [_Piece(job, practice=True) for job in there if job.practice_path is not None]
        due = [piece for piece in practices if not ledger.has(piece.path, inputs_digest(piece.job))]
        steps.skip(len(practices) - len(due))
        for piece, text in _worked(share_out, due, failed, steps):
            write_text(folder / piece.path, text)
            ledger.note(piece.path, inputs_digest(piece.job))
        sheets = [work for job in there for work in sheets_of(job, folder, ledger, paper=paper)]
        todo_sheets = [work for work in sheets if not ledger.has(work.path, work.digest)]
        steps.skip(len(sheets) - len(todo_sheets))
        faults = _make_sheets(workers, todo_sheets, ledger, steps)
        write_text(folder / SUMMARY, _summary(jobs, ledger))
    return Batch(
        before=len(jobs) - len(todo),
        made=made,
        sheets_before=len(sheets) - len(todo_sheets),
        sheets_made=len(todo_sheets) - len(faults),
        failed=(*sorted(failed), *sorted(faults)),
    )


@dataclass(frozen=True)
class _Steps:
    """The steps of a batch as they are done."""

    tick: Callable[[], None]

    def skip(self, steps: int) -> None:
        """Count steps that need not be done."""
        for _ in range(steps):
            self.tick()


def _keep_others(todo: Sequence[Job], folder: Path) -> None:
    """Make sure that no plan of other inputs, options or tees is where a job's plan would be written."""
    others = [str(job.path) for job in todo if not job.fault and (folder / job.path).exists()]
    if others:
        more = f" and {len(others) - 1} more" if len(others) > 1 else ""
        problem = f"has {others[0]:.60}{more}, made from other files, options or tees, or by another version"
        raise InputError("--out", "", problem, "give another folder, or add --replace")


# --- plans ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Piece:
    """A piece of work: the plan of a job, or what practice would pay there."""

    job: Job
    practice: bool = False

    @property
    def path(self) -> Path:
        """Where it is written."""
        return self.job.practice_path or self.job.path if self.practice else self.job.path


_Found = Generator[tuple[int, tuple[str, str] | None]]
_ShareOut = Callable[[Sequence[_Piece]], _Found]


def _work(piece: _Piece) -> tuple[str, str]:
    """Return the text of a plan or of what practice pays, or what is wrong; this runs in its own process."""
    os.environ["HOLESIM_THREADS"] = "1"  # the processes share the processors
    job = piece.job
    try:
        course = parse_course(job.course, job.course_content)
        player = parse_player(job.player, job.player_content)
        if not piece.practice:
            tees = None if job.tee is None else [job.tee]
            return make_plan(course, player, job.options, tees=tees).to_json(), ""
        return json_text(find_practice_worth(course, player, job.options, tee=job.tee).to_dict()), ""
    except InputError as error:
        return "", str(error)
    except MemoryError:
        raise
    except Exception as error:  # noqa: BLE001 - our bug, which costs this job alone
        return "", f"this is a bug: {type(error).__name__}: {error}"


def _worked(
    share_out: _ShareOut, pieces: Sequence[_Piece], failed: list[str], steps: "_Steps"
) -> Iterator[tuple[_Piece, str]]:
    """Yield each piece that is done and its text, and add to `failed` what went wrong."""
    with closing(share_out(pieces)) as results:
        for number, found in results:
            piece = pieces[number]
            text, fault = found or ("", _DIED)
            if fault:
                failed.append(f"{piece.job.player} on {piece.job.course}: {fault}")
            else:
                yield piece, text
            steps.tick()


@contextmanager
def _planner(dask: str | None, workers: Workers) -> Iterator[_ShareOut]:
    """Give a function that yields each piece's number and what `_work` returns of it; None if it died."""
    if dask is None:
        yield partial(workers.share_out, _work)
        return
    try:
        from distributed import Client, KilledWorker, as_completed  # noqa: PLC0415 - an extra
    except ImportError:
        problem = "needs the library distributed"
        raise InputError("--dask", "", problem, "pip install 'holesim[dask]'") from None
    try:
        client = Client(dask, timeout=PATIENCE)  # type: ignore[no-untyped-call]
    except (OSError, ValueError):
        raise InputError("--dask", "", f"no cluster answers at {dask:.60}", "check the address") from None
    except TypeError:  # as distributed says that it was told of none
        remedy = "name them in Dask's configuration, under distributed.comm.tls"
        raise InputError("--dask", "", f"there are no certificates for {dask:.60}", remedy) from None

    def work_there(pieces: Sequence[_Piece]) -> _Found:
        number_of = {client.submit(_work, piece, pure=False): number for number, piece in enumerate(pieces)}
        for future in as_completed(list(number_of)):  # type: ignore[no-untyped-call]
            try:
                yield number_of[future], future.result()
            except (KilledWorker, MemoryError):
                yield number_of[future], None

    with client:
        yield work_there


# --- sheets ---------------------------------------------------------------------------------------


def _make_sheets(workers: Workers, due: Sequence[SheetWork], ledger: Ledger, steps: "_Steps") -> list[str]:
    """Make sheets, each noted as it is done; return what went wrong."""
    faults = []
    with closing(workers.share_out(make_sheet, due)) as results:
        for number, fault in results:
            work = due[number]
            if fault is None or fault:
                faults.append(f"{work.path.name}: {fault or _DIED}")
            else:
                ledger.note(work.path, work.digest)
            steps.tick()
    return faults


# --- the folder -----------------------------------------------------------------------------------


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


def _summary(jobs: Sequence[Job], ledger: Ledger) -> str:
    """Return the strokes of each policy and how sure the plan is, a row for each player, course and tees."""
    rows = [
        {
            "course": plan["course"],
            "player": plan["player"],
            "tee": tee,
            "chance": round_chance(plan, tee),
            **totals,
        }
        for plan in map(ledger.plan_of, jobs)
        if plan is not None
        for tee, totals in plan["totals"].items()
    ]
    return table_text(pd.DataFrame(rows))


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
