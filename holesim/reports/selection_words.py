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
    needed = tuple(one.out for one in chosen.substitutes if one.cost is None)
    if needed:
        who = f"{'any of ' * (len(needed) > 1)}{_names(needed, squad)}"
        yield f"if {who} cannot play, too few are left, as the others play as often as they may"
    for one in chosen.substitutes:
        if one.cost is not None and one.cost.matters:
            instead = _instead(one, squad, sessions=len(chosen.playing))
            yield f"if {squad[one.out]} cannot play, {instead}; that costs {_cost(one.cost)}"
    for number, reserve in enumerate(chosen.reserves, 1):
        beside = f", with {_names(reserve.comes_in, squad)}" if reserve.comes_in else ""
        instead = f"in place of {_names(reserve.replaces, squad)}; that costs {_cost(reserve.cost)}"
        yield f"reserve {number}: {squad[reserve.player]}{beside}, {instead}"


def _instead(one: Substitute, squad: Sequence[str], *, sessions: int) -> str:
    """Return who comes in for a player, and who else sits out then."""
    more, less = ("come in", "sit out") if sessions == 1 else ("play more often", "play less often")
    told = [f"{_names(one.comes_in, squad)} {_verb(more, one.comes_in)}"]
    if one.goes_out:
        told.append(f"{_names(one.goes_out, squad)} {_verb(less, one.goes_out)}")
    return " and ".join(told)


def _verb(plural: str, group: Group) -> str:
    """Return a verb as it goes with one player, or with several."""
    verb, rest = plural.split(" ", 1)
    return plural if len(group) > 1 else f"{verb}s {rest}"


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
                "goes_out": names(one.goes_out),
                "cost": None if one.cost is None else benefit_dict(one.cost),
            }
            for one in chosen.substitutes
        ],
        "reserves": [
            {
                "player": squad[one.player],
                "replaces": names(one.replaces),
                "comes_in": names(one.comes_in),
                "cost": benefit_dict(one.cost),
            }
            for one in chosen.reserves
        ],
    }
