"""The sentences of who of a squad plays: what the choice gains, who would come in for whom, and reserves."""

from collections.abc import Iterator, Sequence
from typing import Any

from holesim.reports.benefit_words import amount_text, benefit_dict, benefit_text, interval_text
from holesim.team.benefit import Benefit
from holesim.team.selection import Selection, Substitute
from holesim.team.side_options import Group


def selection_texts(chosen: Selection | None, squad: Sequence[str]) -> list[str]:
    """Return what the choice of players gains, who comes in where another cannot play, and the reserves.

    Parameters
    ----------
    squad
        The names of all who could play, by their places.
    """
    return [] if chosen is None else list(_texts(chosen, squad))


def _texts(chosen: Selection, squad: Sequence[str]) -> Iterator[str]:
    if chosen.gain is not None:
        yield benefit_text(chosen.gain)
    for one in chosen.substitutes:
        if one.cost is None or one.cost.matters:
            yield f"without {squad[one.out]} {_without(one, squad, sessions=len(chosen.playing))}"
    for number, reserve in enumerate(chosen.reserves, 1):
        who = f"reserve {number} is {squad[reserve.player]}, for {_names(reserve.replaces, squad)}"
        yield f"{who}, which would cost {_cost(reserve.cost)}"


def _without(one: Substitute, squad: Sequence[str], *, sessions: int) -> str:
    """Return who comes in for a player, and what that costs."""
    if one.cost is None:
        return "the places cannot be filled"
    come = "come" if len(one.comes_in) > 1 else "comes"
    verb = f"{come} in" if sessions == 1 else ("play more often" if come == "come" else "plays more often")
    return f"{_names(one.comes_in, squad)} {verb}, which costs {_cost(one.cost)}"


def _names(places: Group, squad: Sequence[str]) -> str:
    *others, last = (squad[i] for i in places)
    return f"{', '.join(others)} and {last}" if others else last


def _cost(cost: Benefit) -> str:
    return f"{amount_text(cost)} ({interval_text(cost)})"


def selection_dict(chosen: Selection | None, squad: Sequence[str]) -> dict[str, Any] | None:
    """Return the same for a JSON file."""
    if chosen is None:
        return None

    def names(places: Group) -> list[str]:
        return [squad[i] for i in places]

    return {
        "gain": None if chosen.gain is None else benefit_dict(chosen.gain),
        "substitutes": [
            {
                "out": squad[one.out],
                "comes_in": names(one.comes_in),
                "cost": None if one.cost is None else benefit_dict(one.cost),
            }
            for one in chosen.substitutes
        ],
        "reserves": [
            {"player": squad[one.player], "replaces": names(one.replaces), "cost": benefit_dict(one.cost)}
            for one in chosen.reserves
        ],
    }
