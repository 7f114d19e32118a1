"""The sheets of a batch: made from a plan that is there, and made anew where that has changed."""

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from holesim._version import __version__
from holesim.common.safe_files import json_text, write_file, write_text
from holesim.errors import InputError
from holesim.handouts.batch_jobs import PRACTICE_SUFFIX, Job
from holesim.handouts.lesson_head import LessonHead
from holesim.handouts.styles import SUFFIXES, HandoutStyle
from holesim.pictures.paper import Paper
from holesim.plan.plan_file import load_plan

_LEDGER: Final = ".made_from.json"
_OF_A_COACH: Final = ("lesson", "coach")
"""Sheets that have what practice pays, and what the coach adds."""


class Ledger:
    """What each file in a folder was made from, as a digest: sheets do not say it, plans not all of it."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._path = folder, folder / _LEDGER
        try:
            found: Any = json.loads(self._path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            found = {}
        self._digests = {k: str(v) for k, v in found.items()} if isinstance(found, dict) else {}

    def has(self, path: Path, digest: str) -> bool:
        """Return whether a file is there and was made from the same."""
        return (self._folder / path).is_file() and self._digests.get(path.as_posix()) == digest

    def note(self, path: Path, digest: str) -> None:
        """Note that a file has been made."""
        self._digests[path.as_posix()] = digest
        self._write()

    def plan_of(self, job: Job) -> dict[str, Any] | None:
        """Return a job's plan if it is there and was made from the same inputs, options and tees."""
        plan = job.plan(self._folder)
        if plan is None:
            return None
        inputs, _, content = self._digests.get(job.path.as_posix(), "").partition(" ")
        noted = content == _file_digest(self._folder / job.path)  # a batch may stop before it notes a plan
        return None if noted and inputs != inputs_digest(job) else plan

    def note_plan(self, job: Job) -> None:
        """Note from what a job's plan has been made."""
        self.note(job.path, f"{inputs_digest(job)} {_file_digest(self._folder / job.path)}")

    def remove_made_from_plan(self, job: Job) -> None:
        """Remove what was made from an earlier plan of a job: it would disagree with the plan beside it."""
        made = [*map(job.sheet_path, SUFFIXES), job.path.with_suffix(PRACTICE_SUFFIX)]
        known = [path for path in made if path.as_posix() in self._digests]
        for path in known:
            with suppress(OSError):
                (self._folder / path).unlink()
            del self._digests[path.as_posix()]
        if known:
            self._write()

    def _write(self) -> None:
        write_text(self._path, json_text(dict(sorted(self._digests.items()))))


def inputs_digest(job: Job) -> str:
    """Return a digest of all that decides a job's plan, and what practice would pay.

    A plan says its air to five digits; two forecasts may agree in them.
    """
    return _digest(json.dumps(job.says, sort_keys=True), str(job.places), repr(job.options.conditions.air))


@dataclass(frozen=True, kw_only=True)
class SheetWork:
    """A sheet to make in a folder.

    Attributes
    ----------
    plan, practice, path
        The files of the plan and of what practice would pay, and where the sheet goes, in the folder.
    digest
        Of all that the sheet is made from.
    """

    folder: Path
    style: HandoutStyle
    plan: Path
    practice: Path | None
    path: Path
    metric: bool
    paper: Paper
    head: LessonHead
    digest: str


def sheets_of(job: Job, folder: Path, ledger: Ledger, *, paper: Paper) -> Iterator[SheetWork]:
    """Yield the sheets of a job whose plan is there."""
    practice = job.practice_path
    if practice is not None and not ledger.has(practice, inputs_digest(job)):
        practice = None
    for style in job.sheets:
        more = (practice, job.head) if style in _OF_A_COACH else (None, LessonHead())
        contents = [_file_digest(folder / path) for path in (job.path, more[0]) if path]
        yield SheetWork(
            folder=folder,
            style=style,
            plan=job.path,
            practice=more[0],
            path=job.sheet_path(style),
            metric=job.metric,
            paper=paper,
            head=more[1],
            digest=_digest(__version__, style, str(job.metric), paper, repr(more[1]), *contents),
        )


def make_sheet(work: SheetWork) -> str:
    """Make a sheet; return what is wrong, or nothing. This runs in its own process."""
    from holesim.handouts.handout import Extras, write_handout  # noqa: PLC0415 - workers need it, their parent not
    from holesim.study.practice_file import load_practice  # noqa: PLC0415

    try:
        plan = load_plan(work.folder / work.plan)
        worth = None if work.practice is None else load_practice(work.folder / work.practice, plan)
        extras, path = Extras(practice=worth, head=work.head), work.folder / work.path
        write_file(
            path,
            lambda folder: write_handout(
                work.style, [plan], folder / path.name, extras, metric=work.metric, paper=work.paper
            ),
        )
    except InputError as error:
        return str(error)
    except MemoryError:
        raise
    except Exception as error:  # noqa: BLE001 - our bug, which costs this sheet alone
        return f"this is a bug: {type(error).__name__}: {error}"
    return ""


def _digest(*parts: str) -> str:
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _file_digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
