"""Reads plan files, so that a card or a review does not plan again."""

import hashlib
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from holesim.common.toml_tables import checked
from holesim.errors import InputError, printable, read_input
from holesim.plan.plan_tables import VERSION, PlanFile

LARGEST: Final = 50_000_000  # bytes


def load_plan(path: str | Path) -> PlanFile:
    """Read a plan file for one wind.

    Raises
    ------
    InputError
        If it cannot be read, or is not a plan for one wind.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.plan.plan import make_plan
    >>> from holesim.plan.round_options import RoundOptions
    >>> from holesim.shot.club_speeds import load_player
    >>> course, player = load_course(find("template.geojson")), load_player(find(PLAYER))
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder, "plan.json")
    ...     _ = path.write_text(make_plan(course, player, RoundOptions(draws=256)).to_json())
    ...     plan = load_plan(path)
    >>> plan.tees[0].chosen().label
    'up'
    """
    plans, _ = load_plans(path)
    return only_plan(plans, path)


def only_plan(plans: Sequence[PlanFile], path: str | Path) -> PlanFile:
    """Return the plan of a file that should hold one.

    Raises
    ------
    InputError
        If it holds several.
    """
    if len(plans) > 1:
        file = printable(Path(path).name)
        raise InputError(file, "", "holds plans for several winds", "plan the wind that blew, with --out")
    return plans[0]


def load_plans(path: str | Path) -> tuple[list[PlanFile], str]:
    """Read a plan file with a plan for each of one or more winds; return the plans and its SHA-256.

    Raises
    ------
    InputError
        If it cannot be read, or is not a plan file.
    """
    file = printable(Path(path).name)
    raw = read_input(path, largest=LARGEST)
    try:
        content: Any = json.loads(raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, RecursionError, ValueError) as error:
        place = f"line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise InputError(file, place, "is not a plan file (JSON)", "give the plan.json of a plan") from None
    several = content if isinstance(content, list) and content else [content]
    return [_plan(one, file) for one in several], hashlib.sha256(raw).hexdigest()


def gather_plans(paths: Sequence[str | Path]) -> list[PlanFile]:
    """Read plan files of one course and player, say in several winds; return all their plans.

    Raises
    ------
    InputError
        If one cannot be read, or is of another course, player or tees than the first.
    """
    plans: list[PlanFile] = []
    for path in paths:
        read, _ = load_plans(path)
        for plan in read:
            first = (plans or read)[0]
            if plan.inputs != first.inputs:
                problem = f"is of {plan.course} for {plan.player}, planned from other files than the first"
            elif [(tee.hole, tee.tee) for tee in plan.tees] != [(t.hole, t.tee) for t in first.tees]:
                problem = "is of other holes or tees than the first"
            else:
                continue
            raise InputError(printable(Path(path).name), "", problem, "give plans that differ in the wind")
        plans += read
    return plans


def _plan(content: Any, file: str) -> PlanFile:  # noqa: ANN401 - whatever JSON holds
    if not isinstance(content, dict) or not isinstance(content.get("schema"), int):
        raise InputError(file, "schema", "is not that of a plan file", "give the plan.json of a plan")
    if content["schema"] != VERSION:
        problem = f"is {content['schema']!r:.20}, not {VERSION}: another version of holesim wrote it"
        raise InputError(file, "schema", problem, "plan it anew")
    plan = checked(content, PlanFile, file=file, kind="plan")
    drawn = {hole.hole for hole in plan.holes}
    for driving in plan.driving:
        place = f"driving, {driving.strike}"
        _check_quantiles(plan, file, place, driving.side_quantiles_yd, driving.along_quantiles_yd)
    for tee in plan.tees:
        if tee.hole not in drawn:
            raise InputError(file, f"hole {tee.hole}", "is not among the holes", "plan it anew")
        for strike in tee.strikes:
            place = f"hole {tee.hole}, {strike.label}"
            _check_quantiles(plan, file, place, strike.total_quantiles_yd, strike.side_quantiles_yd)
    return plan


def _check_quantiles(plan: PlanFile, file: str, place: str, *quantiles: list[float] | None) -> None:
    if any(some is not None and len(some) != len(plan.probabilities) for some in quantiles):
        raise InputError(file, place, "has too few or too many quantiles", "plan it anew")
