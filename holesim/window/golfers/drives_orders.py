"""Orders of measured drives: a golfer fitted to them, and what changed between their sessions."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field

from holesim.errors import InputError
from holesim.player.player import StrikeName
from holesim.window.folder import Folder
from holesim.window.golfers.window_words import in_window, window_faults
from holesim.window.orders import Order, Progress, encode_pictures

if TYPE_CHECKING:
    from holesim.measure.drives_table import DrivesTable
    from holesim.player.player_file import PlayerFile


class DrivesOrder(Order):
    """Tables of one golfer's drives, and what is known of the golfer without them.

    Attributes
    ----------
    columns
        A column file for all tables.
    dates
        The ISO date of each table; none where the tables say.
    like
        A golfer's file; without it `golfer` says who it is.
    """

    tables: Annotated[list[str], Field(min_length=1, max_length=20)]
    columns: str | None = None
    balls: Literal["course", "range"]
    dates: list[str] = Field(default_factory=list)
    day_first: bool | None = None
    like: str | None = None
    golfer: str | None = None
    hand: Literal["right", "left"] = "right"
    sex: Literal["man", "woman"] | None = None
    handicap: float | None = None
    seed: int = 1

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing, or nothing says who it is."""
        for name in (*self.tables, self.columns, self.like):
            if name is not None:
                folder.check_there(name)
        if self.like is None:
            told = {"name": self.golfer, "man or woman": self.sex, "handicap index": self.handicap}
            for words, value in told.items():
                if value is None:
                    raise InputError("the golfer", words, "is missing", "say it, or choose a golfer")

    def _read(self, folder: Folder) -> "tuple[DrivesTable, PlayerFile, list[str]]":
        """Return the drives, who hit them, and what had to be assumed of the tables."""
        from holesim.measure.measure import describe_player  # noqa: PLC0415
        from holesim.measure.sessions import join_tables, load_tables  # noqa: PLC0415
        from holesim.shot.club_speeds import load_player_file  # noqa: PLC0415

        columns = None if self.columns is None else folder.path(self.columns)
        tables = load_tables([folder.path(name) for name in self.tables], columns=columns, balls=self.balls)
        drives = join_tables(tables, dates=self.dates, day_first=self.day_first)
        said = [*(guess for table in tables for guess in table.guesses), *drives.guesses]
        if self.like is not None:
            golfer = load_player_file(folder.path(self.like))[0]
        else:
            assert self.golfer is not None  # noqa: S101 - for the type checker: `check` sees to it
            assert self.sex is not None  # noqa: S101
            assert self.handicap is not None  # noqa: S101
            golfer = describe_player(drives, self.golfer, self.hand, self.sex, self.handicap)
        return drives, golfer, [in_window(str(guess)) for guess in said]


def _in_hundred(progress: Progress) -> Callable[[float], None]:
    """Return what hears of a share done, and tells it in hundredths."""
    return lambda share: progress(round(100 * share), 100)


class MeasureOrder(DrivesOrder):
    """A golfer to be fitted to measured drives, as `holesim measure` does it."""

    usual: StrikeName | None = None

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return the golfer's file, what the fit says, and its picture."""
        from holesim.measure.measure import (  # noqa: PLC0415
            fit_player,
            format_player_file,
            parse_player,
        )
        from holesim.pictures.measure_picture import save_measured_drives  # noqa: PLC0415
        from holesim.reports.measure_text import (  # noqa: PLC0415
            measure_sentences,
            measure_text,
            measure_warnings,
        )

        progress(0, 100)
        with window_faults():
            drives, golfer, guesses = self._read(folder)
            found = fit_player(
                drives, golfer, usual=self.usual, seed=self.seed, progress=_in_hundred(progress)
            )
            text = format_player_file(found, golfer)
            fitted = parse_player(found, text)
        (picture,) = encode_pictures(lambda place: save_measured_drives(found, fitted, place / "drives.png"))
        return {
            "name": golfer.name,
            "toml": text,
            "sentences": measure_sentences(found),
            "warnings": measure_warnings(found),
            "guesses": guesses,
            "strikes": list(found.names),
            "usual": found.usual,
            "text": measure_text(found),
            "picture": picture,
        }


class ChangesOrder(DrivesOrder):
    """Sessions to be compared, as `holesim progress` does it."""

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return what changed, in sentences and by the number."""
        from holesim.reports.progress_text import (  # noqa: PLC0415
            change_rows,
            progress_sentences,
            progress_text,
        )
        from holesim.study.progress import compare_sessions  # noqa: PLC0415
        from holesim.study.session_golfers import measure_sessions  # noqa: PLC0415

        progress(0, 100)
        with window_faults():
            drives, golfer, guesses = self._read(folder)
            if len(drives.sessions) < 2:
                problem, remedy = "is one session alone", "choose two tables, or one with two dates"
                raise InputError(drives.file, "", problem, remedy)
            sessions = measure_sessions(drives, golfer, seed=self.seed, progress=_in_hundred(progress))
            found = compare_sessions(sessions)
        counts = zip(found.sessions, found.drives, strict=True)
        return {
            "sentences": progress_sentences(found),
            "rows": [row._asdict() for row in change_rows(found)],
            "sessions": [{"name": session.name, "drives": count} for session, count in counts],
            "guesses": guesses,
            "text": progress_text(found),
        }
