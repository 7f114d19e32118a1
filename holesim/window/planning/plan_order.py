"""The order of a plan: made as `holesim plan --out` makes it, into a folder."""

from pathlib import Path
from typing import Any, ClassVar

from pydantic import Field

from holesim.plan.round_options import RoundOptions
from holesim.window.folder import Folder
from holesim.window.orders import KeptOrder, Progress


class PlanOrder(KeptOrder):
    """A plan to make and to save in a folder of that name."""

    whole: ClassVar[str] = "plan.json"

    course: str
    layout: str | None = None
    player: str
    options: dict[str, Any] = Field(default_factory=dict)
    tees: list[str] | None = None
    metric: bool = False

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        for name in (self.course, self.player):
            folder.check_there(name)
        RoundOptions(**self.options)

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Make the plan into a folder."""
        from holesim.handouts.plan_folder import write_plan  # noqa: PLC0415 - matplotlib takes a second
        from holesim.plan.plan import make_plan  # noqa: PLC0415
        from holesim.window.inputs import read_course, read_golfer  # noqa: PLC0415

        course, player = read_course(folder, self.course, self.layout), read_golfer(folder, self.player)
        plan = make_plan(course, player, RoundOptions(**self.options), tees=self.tees, progress=progress)
        write_plan(plan, made, metric=self.metric, paper=self.paper)
