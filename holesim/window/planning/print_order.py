"""The order of a print: the plan that is shown, and handouts of it as `holesim card` makes them."""

from pathlib import Path
from typing import Annotated, ClassVar

from pydantic import Field

from holesim.handouts.styles import SUFFIXES, HandoutStyle
from holesim.plan.round_options import RoundOptions
from holesim.window.folder import ChangedError, Folder
from holesim.window.orders import Progress
from holesim.window.planning.plan_order import PlanOrder


class PrintOrder(PlanOrder):
    """A plan to make, and its handouts of some styles, in a folder of that name."""

    whole: ClassVar[str] = "plan.json"

    styles: Annotated[list[HandoutStyle], Field(min_length=1, max_length=4)]

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing, an option makes no sense, or the folder is there."""
        super().check(folder)
        if folder.path(self.name).exists():  # an earlier plan's handouts would lie beside this one's
            raise ChangedError(self.name, "", "is there already", "give another name")

    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Make the plan and its handouts into a folder."""
        from holesim.handouts.handout import write_handout  # noqa: PLC0415 - matplotlib: a second
        from holesim.plan.plan import make_plan  # noqa: PLC0415
        from holesim.plan.plan_file import gather_plans  # noqa: PLC0415
        from holesim.window.inputs import read_course, read_golfer  # noqa: PLC0415

        course, player = read_course(folder, self.course, self.layout), read_golfer(folder, self.player)
        styles, steps = list(dict.fromkeys(self.styles)), 0

        def tell(done: int, total: int) -> None:
            nonlocal steps
            steps = total
            progress(done, total + len(styles))

        plan = make_plan(course, player, RoundOptions(**self.options), tees=self.tees, progress=tell)
        made.mkdir()
        file = made / self.whole
        file.write_text(plan.to_json(), encoding="utf-8")
        plans = gather_plans([file])
        for count, style in enumerate(styles, 1):
            file = made / f"{style}{SUFFIXES[style]}"
            write_handout(style, plans, file, metric=self.metric, paper=self.paper)
            progress(steps + count, steps + len(styles))
