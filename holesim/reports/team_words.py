"""The sentences of a captain's plan, wherever it is read."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.common.text_format import minus
from holesim.plan.estimate import sure_text
from holesim.team.benefit import Benefit, Choice
from holesim.team.roster_checks import DayStrikePlayer, HandicapMisfit
from holesim.team.team_plan import Change, DriveInTrouble, Standings, TeamPlan

_DIGITS: Final = {"strokes": 2, "points": 3}


@dataclass(frozen=True)
class _ChoiceWords:
    """How a choice is told: what is chosen and its verb, the plain alternative, and that this stays."""

    chosen: str
    verb: str
    plain: str
    stays: str
    others: str


_CHOICES: Final[dict[Choice, _ChoiceWords]] = {
    "pairs": _ChoiceWords(
        "these pairs",
        "save",
        "handicap order, the two lowest together",
        "the pairs are in handicap order, the two lowest together",
        "others save",
    ),
    "drivers": _ChoiceWords(
        "these drivers at odd and even holes",
        "save",
        "the lower handicap at odd holes",
        "the lower handicap of each pair drives the odd holes",
        "another choice saves",
    ),
    "strikes": _ChoiceWords(
        "these strikes",
        "save",
        "everyone's own best",
        "everyone hits their own best strikes",
        "others save",
    ),
    "order": _ChoiceWords(
        "this order",
        "gains",
        "handicap order, the lowest first",
        "the order is that of handicaps, the lowest first",
        "another gains",
    ),
    "match strikes": _ChoiceWords(
        "strikes by the state of the match",
        "gain",
        "everyone's own best",
        "strikes do not depend on the state of the match",
        "choosing them by it gains",
    ),
}


def findings(plan: TeamPlan) -> list[str]:
    """Return what each choice gains, and what else a captain should know."""
    return [*map(_benefit_text, plan.benefits), *notes(plan)]


def _benefit_text(benefit: Benefit) -> str:
    """Return what a choice gains, or that the plain alternative stays."""
    words, digits = _CHOICES[benefit.choice], _DIGITS[benefit.unit]
    # Adding nought drops the sign of a rounded minus nought.
    low, high = (round(bound, digits) + 0.0 for bound in (benefit.low, benefit.high))
    interval = minus(f"{low:.{digits}f} to {high:.{digits}f}")
    if benefit.matters:
        gain = f"{words.chosen} {words.verb} {benefit.value:.{digits}f} {benefit.unit}"
        return f"{gain} compared with {words.plain} ({interval}; {benefit.sure})"
    if low == high == 0:
        return words.stays
    chance = f"{100 * benefit.chance:.0f} in 100 that it is a gain"
    return f"{words.stays}: {words.others} nothing that matters ({interval} {benefit.unit}; {chance})"


def comparison_text(choice: Choice) -> str:
    """Return what a choice is, and what it is compared with."""
    words = _CHOICES[choice]
    return f"{words.chosen} compared with {words.plain}"


def notes(plan: TeamPlan) -> list[str]:
    """Return what a captain should know besides what choices gain."""
    found = []
    if plan.format == "stroke" and not plan.benefits:
        found.append("every score counts, so everyone hits their own best strikes")
    if plan.opponents and not plan.team.order_known:
        found.append(
            "the opponents' order is not known: each side is as likely to meet any of them, so that its own "
            "order does not matter"
        )
    if not all(side.received for side in plan.sides):
        found.append("the strokes that a side receives depend on whom it meets, so they are not shown")
    for why, assumed in (("as their files say", False), ("assumed where a file does not say", True)):
        if told := [_day_strike_text(one) for one in plan.one_strike if one.assumed is assumed]:
            found.append(f"one driver strike all day, {why}: {', '.join(told)}")
    return [*found, *map(_misfit_text, plan.misfits)]


def _day_strike_text(one: DayStrikePlayer) -> str:
    """Return which strike a player hits all day, and what it saves where it is not the usual one."""
    if one.choice is None:
        return one.player.name
    hits, over = f"{one.player.name} {one.choice.label}", one.choice.over_usual
    if over is None:
        return hits
    saved = f"{-over.mean:.1f} strokes better than the usual {one.player.usual}"
    return f"{hits} ({saved}; {sure_text(over.chance_below)})"


def _misfit_text(misfit: HandicapMisfit) -> str:
    """Return that a player's scores do not fit the handicap."""
    player = misfit.player
    source = "file" if player.sha256 else "club speed"
    return (
        f"{player.name}'s {source} gives the scores of a handicap of about {misfit.index:.0f}, not "
        f"{player.handicap}: correct one of the two, or the plan misleads"
    )


def change_text(change: Change) -> str:
    """Return what a player hits instead, and when."""
    return f"hit {change.strike} {when_text(change.when)}"


def when_text(when: Standings | DriveInTrouble) -> str:
    """Return when a strike changes."""
    if isinstance(when, DriveInTrouble):
        whose = "the other side's drive" if when.partner is None else when.partner
        return f"once {whose} is in trouble"
    if len(when.ups) == 2 * when.most + 1:
        return "whatever the standing"
    return f"when {' or '.join(_run_text(run, when.most) for run in _runs(when.ups))}"


def _run_text(run: Sequence[int], most: int) -> str:
    """Return standings that follow one another."""
    low, high = run[0], run[-1]
    if low == high:
        return _up_text(low)
    if low == -most and high < 0:
        return f"{_up_text(high)} or worse"
    if high == most and low > 0:
        return f"{_up_text(low)} or better"
    if high < 0:
        return f"{-high} to {_up_text(low)}"
    return f"{low} to {_up_text(high)}" if low > 0 else f"{_up_text(low)} to {_up_text(high)}"


def _up_text(up: int) -> str:
    return "even" if up == 0 else f"{up} up" if up > 0 else f"{-up} down"


def numbers_text(numbers: Sequence[int]) -> str:
    """Return rising numbers, three or more consecutive ones as a range."""
    parts = [f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in _runs(numbers)]
    return ", ".join(parts)


def _runs(numbers: Iterable[int]) -> list[list[int]]:
    """Return rising numbers as runs of consecutive ones."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return found
