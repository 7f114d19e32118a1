"""The order of sheets for several golfers: made as `holesim batch` makes them, into a folder."""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any, ClassVar

from pydantic import Field

from holesim.common.toml_tables import to_toml
from holesim.errors import InputError
from holesim.handouts.styles import HandoutStyle
from holesim.plan.round_options import RoundOptions
from holesim.window.folder import Folder
from holesim.window.orders import KeptOrder, Progress

_LOCK = ".batch-lock"


class SheetsOrder(KeptOrder):
    """Plans and sheets for golfers on a course, in a folder of that name."""

    whole: ClassVar[str] = "batch.csv"

    course: str
    players: Annotated[list[str], Field(min_length=1, max_length=200)]
    sheets: Annotated[list[HandoutStyle], Field(min_length=1)]
    options: dict[str, Any] = Field(default_factory=dict)
    by: Annotated[str, Field(max_length=80)] = ""
    metric: bool = False

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        for name in (self.course, *self.players):
            folder.check_there(name)
        RoundOptions(**self.options)

    def jobs_text(self, folder: Folder) -> str:
        """Return the jobs file that `holesim batch` would make the same of."""
        content: dict[str, Any] = {
            "courses": [str(folder.path(self.course))],
            "players": [str(folder.path(name)) for name in self.players],
            "sheets": list(dict.fromkeys(self.sheets)),
            "metric": self.metric,
            "options": self.options,
        }
        return to_toml(content | ({"by": self.by} if self.by else {}))

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Make plans and sheets into a folder; all or none."""
        from holesim.handouts.batch import run_batch  # noqa: PLC0415 - matplotlib takes a second
        from holesim.handouts.batch_jobs import load_jobs  # noqa: PLC0415

        with TemporaryDirectory(prefix="holesim-") as place:
            path = Path(place) / "jobs.toml"
            path.write_text(self.jobs_text(folder), encoding="utf-8")
            jobs = load_jobs(path)
        found = run_batch(jobs, made, paper=self.paper, progress=progress)
        if found.failed:
            more = f" ({len(found.failed) - 1} more failed)" if len(found.failed) > 1 else ""
            raise InputError(self.name, "", f"was not made: {found.failed[0]}{more}", "leave that golfer out")
        (made / _LOCK).unlink(missing_ok=True)
