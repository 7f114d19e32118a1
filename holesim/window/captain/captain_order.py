"""The orders of a captain's plan, for the table and for print, as `holesim team` makes them."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final

from pydantic import Field

from holesim.common.toml_tables import Table
from holesim.plan.round_options import RoundOptions
from holesim.team.handicap import Format
from holesim.team.team_file import MOST
from holesim.window.folder import Folder
from holesim.window.orders import KeptOrder, Order, Progress

if TYPE_CHECKING:
    from holesim.team.team_session import TabulatedSession

_DRAWS: Final = 1024
"""Drives a strike, as `holesim team` has them."""

Sides = Annotated[
    list[Annotated[list[Annotated[int, Field(ge=0, lt=MOST)]], Field(max_length=MOST)]],
    Field(max_length=MOST),
]
"""The players of each side, by their places in the squad."""


class TeamAsked(Table):
    """What is played, where and by whom."""

    course: str
    layout: str | None = None
    team: str
    format: Format
    net: bool = False
    count: int | None = None
    options: dict[str, Any] = Field(default_factory=dict)

    def check_round(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        for name in (self.course, self.team):
            folder.check_there(name)
        self.round_options.expect_mean("a team's plan")

    @property
    def round_options(self) -> RoundOptions:
        """The options of the round, those of `holesim team` by default."""
        return RoundOptions(**{"draws": _DRAWS, **self.options})

    def tabulate(self, folder: Folder, progress: Progress) -> "TabulatedSession":
        """Return what every side that the team can make could score."""
        from holesim.team.planner import tabulate_team  # noqa: PLC0415 - takes a second to import
        from holesim.window.captain.squads import read_team  # noqa: PLC0415
        from holesim.window.inputs import read_course  # noqa: PLC0415

        course = read_course(folder, self.course, self.layout)
        team = read_team(folder, self.team, course)
        return tabulate_team(
            course, team, self.format, self.round_options, net=self.net, count=self.count, progress=progress
        )


class CaptainOrder(TeamAsked, Order):
    """A captain's plan for the table."""

    @property
    def title(self) -> str:
        """What a message calls the work."""
        return self.team

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        self.check_round(folder)

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return what the table shows of the plan."""
        from holesim.team.planner import plan_tabulated  # noqa: PLC0415 - takes a second to import
        from holesim.window.captain.draw_table import table_dict  # noqa: PLC0415

        tabulated = self.tabulate(folder, progress)
        return table_dict(tabulated, plan_tabulated(tabulated))


class SheetsOrder(TeamAsked, KeptOrder):
    """The captain's folder, of the draw found or of one of the captain's own."""

    whole: ClassVar[str] = "team.json"
    stale: ClassVar[str] = "strip-*.html"

    sides: Sides | None = None

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        self.check_round(folder)

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Write the folder as `holesim team --out` does."""
        from holesim.handouts.captain_page import write_captain_folder  # noqa: PLC0415 - as matplotlib does
        from holesim.team.planner import plan_tabulated  # noqa: PLC0415
        from holesim.window.captain.draw_table import own_plan  # noqa: PLC0415

        tabulated = self.tabulate(folder, progress)
        plan = own_plan(tabulated, plan_tabulated(tabulated), self.sides)
        write_captain_folder(plan, made, paper=self.paper)
