"""Orders: long work that a page may ask for, each a table of what it may say."""

from abc import abstractmethod
from base64 import b64encode
from collections.abc import Callable, Mapping
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated, Any, ClassVar, Final

from pydantic import Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError
from holesim.pictures.paper import Paper
from holesim.window.folder import Folder

Progress = Callable[[int, int], None]

KINDS: Final[Mapping[str, str]] = {
    "plan": "holesim.window.planning.plan_order:PlanOrder",
    "measure": "holesim.window.golfers.drives_orders:MeasureOrder",
    "changes": "holesim.window.golfers.drives_orders:ChangesOrder",
    "review": "holesim.window.rounds.review_order:ReviewOrder",
    "practice": "holesim.window.coach.study_orders:PracticeOrder",
    "tipping": "holesim.window.coach.study_orders:BreakEvenOrder",
    "sheets": "holesim.window.coach.sheets_order:SheetsOrder",
    "print": "holesim.window.planning.print_order:PrintOrder",
    "captain": "holesim.window.captain.captain_order:CaptainOrder",
    "captain sheets": "holesim.window.captain.captain_order:SheetsOrder",
    "weekend": "holesim.window.captain.weekend_order:WeekendOrder",
    "weekend sheets": "holesim.window.captain.weekend_order:WeekendSheetsOrder",
    "session sheets": "holesim.window.captain.weekend_order:SessionSheetsOrder",
}
"""Where the order of each kind is, by the name that a page gives it."""


class Order(Table):
    """Work whose outcome the page is told."""

    kind: str

    @property
    def title(self) -> str:
        """What a message calls the work."""
        return self.kind

    @abstractmethod
    def check(self, folder: Folder) -> None:
        """Raise an InputError if the work cannot begin; quick."""

    @abstractmethod
    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Do the work, in a process of its own; return what the page is told, as JSON."""


class KeptOrder(Order):
    """Work that fills a folder of that name.

    Attributes
    ----------
    whole
        The file that is written last: it tells that all are there.
    stale
        Which names of an earlier piece of work in that folder go, unless they are made anew.
    paper
        What sheets in it are for.
    """

    whole: ClassVar[str]
    stale: ClassVar[str] = ""

    name: Annotated[str, Field(min_length=1)]
    paper: Paper = "a4"

    @property
    def title(self) -> str:
        """What a message calls the work."""
        return self.name

    @abstractmethod
    def make(self, folder: Folder, made: Path, progress: Progress) -> None:
        """Do the work, in a process of its own, into a folder `made` that is not there yet."""

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Not asked of work that is kept."""
        raise NotImplementedError


def read_order(content: dict[str, Any]) -> Order:
    """Return the order that a page sent.

    Raises
    ------
    InputError
        If it is of no such kind, or says what it may not.
    """
    where = KINDS.get(str(content.get("kind")))
    if where is None:
        raise InputError("order", "kind", f"is none of {', '.join(KINDS)}", "reload the page")
    module, _, name = where.partition(":")
    kind: type[Order] = getattr(import_module(module), name)
    return checked(content, kind, file="order", kind="order")


def encode_pictures(save: Callable[[Path], object]) -> list[str]:
    """Return the pictures that `save` puts into a folder, by their names, as base 64 for the page."""
    with TemporaryDirectory(prefix="holesim-") as place:
        save(Path(place))
        return [b64encode(path.read_bytes()).decode("ascii") for path in sorted(Path(place).glob("*.png"))]


def unwritable(name: str, why: str) -> InputError:
    """Return what is said of a file or folder that cannot be written."""
    return InputError(name, "", f"cannot be written ({why})", "make room, or check who may write there")
