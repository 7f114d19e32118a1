"""A draw on the captain's table: what the page shows of it, and the plan of one of the captain's own."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from holesim.errors import InputError
from holesim.reports.draw_words import occasion_text, total_of_draw
from holesim.reports.team_json import team_dict
from holesim.reports.team_text import assumed_text, conditions_text, format_text, total_text
from holesim.reports.team_words import findings
from holesim.team.draw_prices import NoSuchDrawError, find_prices, plan_given, save_prices
from holesim.team.team_plan import TeamPlan
from holesim.team.team_session import TabulatedSession


def table_dict(tabulated: TabulatedSession, plan: TeamPlan) -> dict[str, Any]:
    """Return the content of team.json, where the prices of other draws are kept, and what is said."""
    prices = find_prices(tabulated, plan)
    head = f"{plan.course.name}: {format_text(plan)}; {conditions_text(plan)}"
    return {
        "team": team_dict(plan),
        "table": save_prices(prices),
        "squad": list(prices.names),
        "found": [list(group) for group in prices.found],
        "ordered": prices.ordered,
        "pairs": len(prices.found[0]) > 1,
        "opponents": [list(tabulated.format.names(group)) for group in tabulated.format.opponents],
        "counting": plan.count,
        "says": {
            "head": f"{plan.occasion}: {head}" if plan.occasion else head,
            "total": total_text(plan),
            "best": total_of_draw(prices.price(prices.found)),
            "findings": findings(plan),
            "assumed": assumed_text(plan),
        },
    }


def own_plan(tabulated: TabulatedSession, plan: TeamPlan, sides: Sequence[Sequence[int]] | None) -> TeamPlan:
    """Return the plan of a draw of the captain's own; that of the draw found where there is none.

    Raises
    ------
    InputError
        If it cannot be played.
    """
    if sides is None:
        return plan
    try:
        price = find_prices(tabulated, plan).price(sides)
        given = plan_given(tabulated, plan, sides)
    except NoSuchDrawError as error:
        raise InputError("the draw", "", str(error), "change it") from None
    if price.same:
        return plan
    said = occasion_text(price)
    return replace(given, occasion=f"{plan.occasion}: {said}" if plan.occasion else said)
