"""The practice file: what `holesim practice --json` prints, read again for the lesson of the same golfer."""

from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import Field

from holesim.plan.plan_tables import PlanFile
from holesim.study.found_file import FoundTable, check_inputs, read_found

LARGEST: Final = 1_000_000  # bytes


class ChangeFile(FoundTable):
    """What a change would save over a round, as `Saving`."""

    name: str
    saved: float
    low: float
    high: float
    penalties: float
    fairways: float
    distance: float


class PracticeFile(FoundTable):
    """What practice would save a golfer on a course."""

    version: Annotated[Literal[2], Field(alias="schema")]
    inputs: dict[str, str]
    holes: Annotated[int, Field(ge=1)]
    changes: Annotated[list[ChangeFile], Field(min_length=1)]

    def best_first(self) -> list[ChangeFile]:
        """Return the changes that surely pay, the most first, then the others likewise."""
        return sorted(self.changes, key=lambda change: (change.low <= 0, -change.saved))


def load_practice(path: str | Path, plan: PlanFile) -> PracticeFile:
    """Read a practice file that belongs to a plan.

    Raises
    ------
    InputError
        If it cannot be read, or was made from another course or player than the plan.
    """
    found = read_found(
        path, PracticeFile, "practice", keys={"changes"}, largest=LARGEST,
        other=("is not a practice file (JSON)", "give what holesim practice --json prints"),
    )  # fmt: skip
    check_inputs(path, found.inputs, plan, "practice")
    return found
