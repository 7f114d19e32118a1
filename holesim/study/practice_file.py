"""The practice file: what `holesim practice --json` prints, read again for the lesson of the same golfer."""

import json
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import ConfigDict, Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan_tables import PlanFile

LARGEST: Final = 1_000_000  # bytes


class _Part(Table):
    """A part of a practice file; keys that nobody reads here are passed over."""

    model_config = ConfigDict(extra="ignore", frozen=True, allow_inf_nan=False, strict=True)


class ChangeFile(_Part):
    """What a change would save over a round, as `Saving`."""

    name: str
    saved: float
    low: float
    high: float
    penalties: float
    fairways: float
    distance: float


class PracticeFile(_Part):
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
    file = printable(Path(path).name)
    try:
        content: Any = json.loads(read_input(path, largest=LARGEST).decode("utf-8-sig"))
    except (UnicodeDecodeError, RecursionError, ValueError):
        content = None
    if not isinstance(content, dict) or "changes" not in content:
        remedy = "give what holesim practice --json prints"
        raise InputError(file, "", "is not a practice file (JSON)", remedy)
    found = checked(content, PracticeFile, file=file, kind="practice")
    if set(found.inputs.values()) != set(plan.inputs.values()):
        problem = "was made from another course or player than the plan"
        raise InputError(file, "inputs", problem, "run holesim practice again with the plan's own")
    return found
