"""Tipping files: what `holesim tipping` found, read again for those who hold the plan."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import ConfigDict, Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan_file import PlanFile

LARGEST: Final = 5_000_000  # bytes


class _Part(Table):
    """A part of a tipping file, which holds more than is needed here."""

    model_config = ConfigDict(extra="ignore", frozen=True, allow_inf_nan=False, strict=True)


class _Curve(_Part):
    wind: str
    said: str


class TippingFile(_Part):
    """Where a choice flips, in words."""

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


def load_tipping(path: str | Path, plan: PlanFile) -> TippingFile:
    """Read a tipping file for the course and the player of a plan.

    Raises
    ------
    InputError
        If it cannot be read, or was made from others.
    """
    file = printable(Path(path).name)
    try:
        content: Any = json.loads(read_input(path, largest=LARGEST).decode("utf-8-sig"))
    except (UnicodeDecodeError, RecursionError, ValueError):
        content = None
    if not isinstance(content, dict) or "curves" not in content:
        raise InputError(file, "", "is no tipping file (JSON)", "give the tipping.json of holesim tipping")
    found = checked(content, TippingFile, file=file, kind="tipping")
    if set(found.inputs.values()) != set(plan.inputs.values()):
        problem = "is of another course or player than the plan"
        raise InputError(file, "inputs", problem, "find it anew with those")
    return found
