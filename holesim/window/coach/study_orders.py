"""Orders of what a coach asks of golfers: what practice would pay, and where the better strike changes."""

from typing import Annotated, Any, Literal

from pydantic import Field

from holesim.plan.round_options import RoundOptions
from holesim.window.folder import Folder
from holesim.window.inputs import read_course, read_golfer
from holesim.window.orders import Order, Progress, encode_pictures


class _CourseOrder(Order):
    """Work on a course."""

    course: str
    layout: str | None = None
    options: dict[str, Any] = Field(default_factory=dict)

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        folder.check_there(self.course)
        RoundOptions(**self.options)


class PracticeOrder(_CourseOrder):
    """What practice would save each of some golfers, as `holesim practice` finds it."""

    players: Annotated[list[str], Field(min_length=1, max_length=200)]

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        super().check(folder)
        for name in self.players:
            folder.check_there(name)

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return for each golfer what each change would save, the most first."""
        from holesim.common.safe_files import json_text  # noqa: PLC0415
        from holesim.reports.practice_text import practice_text  # noqa: PLC0415 - scipy takes a second
        from holesim.study.practice import find_practice_worth  # noqa: PLC0415

        course, found = read_course(folder, self.course, self.layout), {}
        for number, name in enumerate(self.players):

            def told(done: int, total: int, before: int = number) -> None:
                progress(before * total + done, len(self.players) * total)

            worth = find_practice_worth(
                course, read_golfer(folder, name), RoundOptions(**self.options), progress=told
            )
            found[name] = {
                "best": vars(worth.savings[0]),
                "text": practice_text(worth),
                "json": json_text(worth.to_dict()),
            }
        return {"course": course.name, "players": found}


class BreakEvenOrder(_CourseOrder):
    """Where the better strike changes for a golfer, as `holesim tipping` finds it."""

    player: str
    over: Literal["club-speed", "face", "spin-exponent", "wind", "fairway-width", "firmness"] = "club-speed"
    hole: int | None = None

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing or an option makes no sense."""
        super().check(folder)
        folder.check_there(self.player)

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return the sentences and the picture of the break-even."""
        from holesim.common.safe_files import json_text  # noqa: PLC0415
        from holesim.pictures.break_even_picture import save_break_even  # noqa: PLC0415
        from holesim.reports import break_even_text as words  # noqa: PLC0415
        from holesim.study.break_even import find_break_even  # noqa: PLC0415

        course, player = read_course(folder, self.course, self.layout), read_golfer(folder, self.player)
        options = RoundOptions(**self.options)
        found = find_break_even(course, player, self.over, options, hole=self.hole, progress=progress)
        return {
            "text": words.break_even_text(found),
            "json": json_text(words.break_even_dict(found)),
            "sentences": [words.break_even_sentence(found, curve) for curve in found.curves],
            "winds": [curve.wind for curve in found.curves],
            "pictures": encode_pictures(lambda place: save_break_even(found, place)),
        }
