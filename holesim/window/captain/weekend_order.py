"""The orders of what is left of a weekend, for the page and for print, as `holesim weekend` makes them."""

from pathlib import Path
from typing import Any, ClassVar

from holesim.common.toml_tables import Table
from holesim.window.folder import Folder
from holesim.window.orders import KeptOrder, Order, Progress


class _WeekendAsked(Table):
    weekend: str

    def check(self, folder: Folder) -> None:
        """Raise an InputError if the file is missing."""
        folder.check_there(self.weekend)


class WeekendOrder(_WeekendAsked, Order):
    """What is left of a weekend."""

    @property
    def title(self) -> str:
        """What a message calls the work."""
        return self.weekend

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return the content of weekend.json, and what is said of it."""
        from holesim.reports.weekend_json import weekend_dict  # noqa: PLC0415 - takes a second to import
        from holesim.reports.weekend_text import weekend_text  # noqa: PLC0415
        from holesim.team.weekend import plan_weekend  # noqa: PLC0415
        from holesim.window.captain.squads import read_weekend  # noqa: PLC0415

        found = plan_weekend(read_weekend(folder, self.weekend), progress)
        return {"weekend": weekend_dict(found), "text": weekend_text(found)}


class WeekendSheetsOrder(_WeekendAsked, KeptOrder):
    """The captain's folder of each session that is left."""

    whole: ClassVar[str] = "weekend.json"
    stale: ClassVar[str] = "session-*"

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Write the folder as `holesim weekend --out` does."""
        from holesim.handouts.captain_page import write_weekend_folder  # noqa: PLC0415 - as matplotlib does
        from holesim.team.weekend import plan_weekend  # noqa: PLC0415
        from holesim.window.captain.squads import read_weekend  # noqa: PLC0415

        write_weekend_folder(plan_weekend(read_weekend(folder, self.weekend), progress), made)
