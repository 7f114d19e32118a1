"""The orders of what is left of a weekend, for the page and for print, as `holesim weekend` makes them."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar

from pydantic import Field

from holesim.common.toml_tables import Table
from holesim.errors import InputError
from holesim.window.captain.captain_order import Sides
from holesim.window.folder import Folder
from holesim.window.orders import KeptOrder, Order, Progress

if TYPE_CHECKING:
    from holesim.team.weekend import WeekendPlan


class _WeekendAsked(Table):
    weekend: str

    def check(self, folder: Folder) -> None:
        """Raise an InputError if the file is missing."""
        folder.check_there(self.weekend)

    def plan(self, folder: Folder, progress: Progress) -> "WeekendPlan":
        """Return the plan of what is left."""
        from holesim.team.weekend import plan_weekend  # noqa: PLC0415 - takes a second to import
        from holesim.window.captain.squads import read_weekend  # noqa: PLC0415

        return plan_weekend(read_weekend(folder, self.weekend), progress)


class WeekendOrder(_WeekendAsked, Order):
    """What is left of a weekend."""

    @property
    def title(self) -> str:
        """What a message calls the work."""
        return self.weekend

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return the content of weekend.json, what is said of it, and each session's table if it is left."""
        from holesim.reports.weekend_json import weekend_dict  # noqa: PLC0415 - takes a second to import
        from holesim.reports.weekend_text import weekend_text  # noqa: PLC0415
        from holesim.window.captain.draw_table import table_dict  # noqa: PLC0415

        found = self.plan(folder, progress)
        sessions = [None if one is None else table_dict(*one) for one in found.tables]
        return {"weekend": weekend_dict(found), "text": weekend_text(found), "sessions": sessions}


class WeekendSheetsOrder(_WeekendAsked, KeptOrder):
    """The captain's folder of each session that is left."""

    whole: ClassVar[str] = "weekend.json"
    stale: ClassVar[str] = "session-*"

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Write the folder as `holesim weekend --out` does."""
        from holesim.handouts.captain_page import write_weekend_folder  # noqa: PLC0415 - as matplotlib does

        write_weekend_folder(self.plan(folder, progress), made, paper=self.paper)


class SessionSheetsOrder(_WeekendAsked, KeptOrder):
    """The captain's folder of one session that is left, of the draw found or of one of the captain's own."""

    whole: ClassVar[str] = "team.json"
    stale: ClassVar[str] = "strip-*.html"

    session: Annotated[int, Field(ge=0)]
    sides: Sides | None = None

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Write the folder as `holesim weekend --out` does for the session."""
        from holesim.handouts.captain_page import write_captain_folder  # noqa: PLC0415 - as matplotlib does
        from holesim.window.captain.draw_table import own_plan  # noqa: PLC0415

        tables = self.plan(folder, progress).tables
        found = tables[self.session] if self.session < len(tables) else None
        if found is None:
            raise InputError(self.weekend, "sessions", "has no such session left", "plan what is left anew")
        write_captain_folder(own_plan(*found, self.sides), made, paper=self.paper)
