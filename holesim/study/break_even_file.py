"""The break-even file: tipping.json read again, for the sheet and the page of the same plan."""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import Field

from holesim.plan.plan_tables import PlanFile
from holesim.study.found_file import FoundTable, check_inputs, read_found

LARGEST: Final = 5_000_000  # bytes


class _Curve(FoundTable):
    wind: str
    said: str


class BreakEvenFile(FoundTable):
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
    found = read_found(
        path, BreakEvenFile, "tipping", keys={"curves"}, largest=LARGEST,
        other=("is no tipping file (JSON)", "give the tipping.json of holesim tipping"),
    )  # fmt: skip
    check_inputs(path, found.inputs, plan, "tipping")
    return found
