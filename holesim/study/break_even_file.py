"""The break-even file: tipping.json read again, for the sheet and the page of the same plan."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import ConfigDict, Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan_tables import PlanFile

LARGEST: Final = 5_000_000  # bytes


class _Part(Table):
    """A part of a break-even file; keys that nobody reads here are passed over."""

    model_config = ConfigDict(extra="ignore", frozen=True, allow_inf_nan=False, strict=True)


class _Curve(_Part):
    wind: str
    said: str


class BreakEvenFile(_Part):
    """Where a choice changes, in the words of tipping.json."""

    version: Annotated[Literal[2], Field(alias="schema")]
    inputs: dict[str, str]
    words: str
    hole: int | None
    tee: str | None
    curves: Annotated[list[_Curve], Field(min_length=1)]

    def texts(self) -> Iterator[str]:
        """Yield a sentence for each wind."""
        where = "one driver strike all day" if self.hole is None else f"hole {self.hole}, {self.tee} tee"
        for curve in self.curves:
            yield f"{where}, {self.words}, {curve.wind}: {curve.said}"


def load_break_even(path: str | Path, plan: PlanFile) -> BreakEvenFile:
    """Read a break-even file (tipping.json) that belongs to a plan.

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
    if not isinstance(content, dict) or "curves" not in content:
        raise InputError(file, "", "is no tipping file (JSON)", "give the tipping.json of holesim tipping")
    found = checked(content, BreakEvenFile, file=file, kind="tipping")
    if set(found.inputs.values()) != set(plan.inputs.values()):
        problem = "was made from another course or player than the plan"
        raise InputError(file, "inputs", problem, "run holesim tipping again with the plan's own")
    return found
