"""The orders of a captain's plan, for the table and for print, as `holesim team` makes them."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final

from pydantic import Field

from holesim.common.toml_tables import Table
from holesim.errors import InputError
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
        """Return the content of team.json, where the prices of other draws are kept, and what is said."""
        from holesim.reports.draw_words import total_of_draw  # noqa: PLC0415
        from holesim.reports.team_json import team_dict  # noqa: PLC0415
        from holesim.reports.team_text import (  # noqa: PLC0415
            assumed_text,
            conditions_text,
            format_text,
            total_text,
        )
        from holesim.reports.team_words import findings  # noqa: PLC0415
        from holesim.team.draw_prices import find_prices, save_prices  # noqa: PLC0415
        from holesim.team.planner import plan_tabulated  # noqa: PLC0415

        tabulated = self.tabulate(folder, progress)
        plan = plan_tabulated(tabulated)
        prices = find_prices(tabulated, plan)
        return {
            "team": team_dict(plan),
            "table": save_prices(prices),
            "squad": list(prices.names),
            "found": [list(group) for group in prices.found],
            "ordered": prices.ordered,
            "pairs": len(prices.found[0]) > 1,
            "opponents": [list(tabulated.format.names(group)) for group in tabulated.format.opponents],
            "counting": self.count,
            "says": {
                "head": f"{plan.course.name}: {format_text(plan)}; {conditions_text(plan)}",
                "total": total_text(plan),
                "best": total_of_draw(prices.price(prices.found)),
                "findings": findings(plan),
                "assumed": assumed_text(plan),
            },
        }


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
        from dataclasses import replace  # noqa: PLC0415

        from holesim.handouts.captain_page import write_captain_folder  # noqa: PLC0415 - as matplotlib does
        from holesim.reports.draw_words import occasion_text  # noqa: PLC0415
        from holesim.team.draw_prices import NoSuchDrawError, find_prices, plan_given  # noqa: PLC0415
        from holesim.team.planner import plan_tabulated  # noqa: PLC0415

        tabulated = self.tabulate(folder, progress)
        plan = plan_tabulated(tabulated)
        if self.sides is not None:
            try:
                price = find_prices(tabulated, plan).price(self.sides)
                given = plan_given(tabulated, plan, self.sides)
            except NoSuchDrawError as error:
                raise InputError("the draw", "", str(error), "change it") from None
            plan = plan if price.same else replace(given, occasion=occasion_text(price))
        write_captain_folder(plan, made)
