"""Files of what commands found, as JSON, read again by other commands."""

import json
from collections.abc import Set as AbstractSet
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ConfigDict

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan_tables import PlanFile


class FoundTable(Table):
    """A part of such a file; keys that nobody reads are passed over."""

    model_config = ConfigDict(extra="ignore", frozen=True, allow_inf_nan=False, strict=True)


Model = TypeVar("Model", bound=Table)


def read_found(
    path: str | Path,
    model: type[Model],
    kind: str,
    *,
    keys: AbstractSet[str],
    largest: int,
    other: tuple[str, str],
) -> Model:
    """Read what a command found.

    Parameters
    ----------
    model, kind
        What it holds, and what it is called.
    keys
        What tells such a file from any other.
    largest
        Its size at most [bytes].
    other
        What is said of a file without them, and what to do.

    Raises
    ------
    InputError
        If it cannot be read, or is another file.
    """
    file = printable(Path(path).name)
    try:
        content: Any = json.loads(read_input(path, largest=largest).decode("utf-8-sig"))
    except (UnicodeDecodeError, RecursionError, ValueError):
        content = None
    if not isinstance(content, dict) or not keys <= content.keys():
        raise InputError(file, "", *other)
    return checked(content, model, file=file, kind=kind)


def check_inputs(path: str | Path, inputs: dict[str, str], plan: PlanFile, command: str) -> None:
    """Check that what a command found was made from the course and player of a plan.

    Raises
    ------
    InputError
        If it was not.
    """
    if set(inputs.values()) != set(plan.inputs.values()):
        problem = "was made from another course or player than the plan"
        remedy = f"run holesim {command} again with the plan's own"
        raise InputError(printable(Path(path).name), "inputs", problem, remedy)
