"""The content of weekend.json."""

from typing import Any, Final

from holesim._version import __version__
from holesim.reports.selection_words import selection_dict
from holesim.reports.team_json import team_dict
from holesim.reports.weekend_text import sits_out
from holesim.team.weekend import WeekendPlan

SCHEMA: Final = 1


def weekend_dict(plan: WeekendPlan) -> dict[str, Any]:
    """Return the content of weekend.json."""
    weekend = plan.weekend
    return {
        "schema": SCHEMA,
        "holesim": __version__,
        "inputs": {weekend.file: weekend.sha256},
        "weekend": weekend.name,
        "team": weekend.team.name,
        "won": weekend.won,
        "total": {plan.unit: plan.total, "spread": plan.sd},
        "points_needed": weekend.points_needed,
        "chance_of_enough": plan.enough,
        "selection": selection_dict(plan.selection, weekend.team.names),
        "sessions": [_session_dict(plan, number) for number in range(len(weekend.sessions))],
    }


def _session_dict(plan: WeekendPlan, number: int) -> dict[str, Any]:
    one, found, names = plan.weekend.sessions[number], plan.plans[number], plan.weekend.team.names
    results = [
        {"players": [names[i] for i in result.players], plan.unit: result.value} for result in one.results
    ]
    return {
        "name": one.name,
        "played": one.played,
        "results": results,
        "sits_out": sits_out(plan, number),
        "plan": None if found is None else team_dict(found),
    }
