"""The sentences of a captain's plan, wherever it is read."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from holesim.course.stroke_indices import GROUPS
from holesim.plan.estimate import sure_text
from holesim.reports.benefit_words import CHOICES, amount_text, benefit_text, interval_text
from holesim.reports.selection_words import selection_texts
from holesim.team.benefit import CLOSE
from holesim.team.handicap import RULED_TEAM
from holesim.team.roster_checks import (
    DayStrikePlayer,
    HandicapMisfit,
    PlayerSuspect,
    RatingSuspect,
    SpeedSuspect,
    TeeSuspect,
)
from holesim.team.team_plan import Change, DriveInTrouble, Meeting, SidePlan, Standings, TeamPlan
from holesim.units import MPH


def findings(plan: TeamPlan) -> list[str]:
    """Return what each choice gains, and what else a captain should know."""
    return [
        *selection_texts(plan.selection, plan.squad),
        *map(benefit_text, plan.benefits),
        *_match_strikes(plan),
        *notes(plan),
    ]


def _match_strikes(plan: TeamPlan) -> Iterator[str]:
    """Yield what strikes chosen for the match gain, match by match."""
    gains = [(number, side.match_strikes) for number, side in enumerate(plan.sides, 1) if side.match_strikes]
    told = [
        f"{amount_text(gain)} in match {number} ({interval_text(gain)}; {gain.sure})"
        for number, gain in gains
        if gain.matters
    ]
    words, close = CHOICES["match strikes"], f"less than {CLOSE['points']:g} points"
    if told:
        others = f"; in the other matches they would gain {close}" if len(told) < len(gains) else ""
        yield f"{words.chosen} gain {', '.join(told)}{others}"
    elif gains:
        yield f"{words.stays}: {words.others} would gain {close} in every match"


# --- handicaps ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class HandicapRow:
    """A player's handicap, or that of a pair with one ball, in words."""

    who: str
    course: str
    share: str
    playing: str


def handicap_rows(plan: TeamPlan) -> list[HandicapRow]:
    """Return each player's or pair's course handicap, the share of it that counts, and playing handicap."""
    return [
        HandicapRow(
            who=" and ".join(one.names),
            course=" and ".join(_handicap(course, 1) for course in one.course),
            share=_shares(one.shares),
            playing=_handicap(one.playing, 0),
        )
        for one in plan.handicaps
    ]


def allowance_text(plan: TeamPlan) -> str:
    """Return what share of a course handicap counts, and who says so; an empty text without handicaps."""
    if not plan.handicaps:
        return ""
    whose = "the usual one of the Rules of Handicapping"
    if plan.format in plan.team.allowances:
        whose = "stated by the committee"
    elif plan.count is not None and len(plan.team.players) != RULED_TEAM:
        whose = "our assumption: the Rules of Handicapping state it for teams of four only"
    one = plan.handicaps[0]
    lower_first = sorted(range(len(one.course)), key=lambda k: one.course[k])
    return f"{share_text([one.shares[k] for k in lower_first])}, {whose}"


def share_text(shares: Sequence[float]) -> str:
    """Return what share of a course handicap counts, or of the lower and the higher of a pair.

    Examples
    --------
    >>> share_text([0.9])
    '90 % of the course handicap'
    >>> share_text([0.6, 0.4])
    '60 % of the lower course handicap and 40 % of the higher'
    """
    told = [_percent(share) for share in shares]
    if len(told) == 1:
        return f"{told[0]} of the course handicap"
    if told[0] == told[1]:
        return f"{told[0]} of both course handicaps"
    return f"{told[0]} of the lower course handicap and {told[1]} of the higher"


def _percent(share: float) -> str:
    return f"{100 * share:g} %"


def _handicap(value: float, digits: int) -> str:
    """Return a handicap as golfers write it: better than scratch is a plus."""
    text = f"{abs(value):.{digits}f}"
    return f"+{text}" if value < 0 and float(text) else text


def _shares(shares: Sequence[float]) -> str:
    told = list(map(_percent, shares))
    return told[0] + " of each" * (len(told) > 1) if len(set(told)) == 1 else " and ".join(told)


def meeting_text(side: SidePlan, meeting: Meeting) -> str:
    """Return what a side may expect against one of the opponents that it may meet, and who receives what."""
    said = [f"against {' and '.join(meeting.against)}: {meeting.points:.2f} points"]
    said += _receive(side.names, [sum(strokes) for strokes in meeting.received], "the pair")
    said += _receive(meeting.against, [sum(strokes) for strokes in meeting.they_receive], "their pair")
    return "; ".join(said)


def _receive(names: Sequence[str], received: Sequence[int], pair: str) -> list[str]:
    """Return who receives how many strokes in a match; a pair with one ball has one number."""
    whose = names if len(received) == len(names) else (pair,)
    return [f"{who} receives {strokes}" for who, strokes in zip(whose, received, strict=True) if strokes]


# --- what else a captain should know ----------------------------------------------------------------------


def notes(plan: TeamPlan) -> list[str]:
    """Return what a captain should know besides what choices gain."""
    found = []
    if plan.format == "stroke" and not plan.benefits:
        found.append("every score counts, so everyone hits their own best strikes")
    if plan.opponents and not plan.team.order_known:
        found.append(
            "the opponents' order is not known: points and what each strike costs are averages over all "
            "opponents, each as likely"
        )
    for why, words in _DAY_STRIKES.items():
        if told := [_day_strike_text(one) for one in plan.one_strike if _why_one_strike(one) == why]:
            found.append(f"{words}: {', '.join(told)}")
    return [*found, *misfit_texts(plan.misfits)]


_BEST_ALL_DAY: Final = "the best over the round is"
_DAY_STRIKES: Final = {
    "file": f"by their own files these players hit one driver strike all day; {_BEST_ALL_DAY}",
    "assumed": (
        "these players are taken to hit one driver strike all day, as no player file says otherwise; "
        f"{_BEST_ALL_DAY}"
    ),
    "only": "these players have one driver strike only",
}
"""Why players hit the driver one way all day."""


def _why_one_strike(one: DayStrikePlayer) -> str:
    return "only" if len(one.player.drivers) == 1 else "assumed" if one.assumed else "file"


def _day_strike_text(one: DayStrikePlayer) -> str:
    """Return which strike a player hits all day, and what it saves where it is not the usual one."""
    if one.choice is None:
        return one.player.name
    hits, over = f"{one.player.name} {one.choice.label}", one.choice.over_usual
    if over is None:
        return hits
    strokes = f"{-over.mean:.1f}" if -over.mean >= 0.1 else f"{-over.mean:.2f}"
    saved = f"{strokes} strokes better than the usual {one.player.usual}"
    return f"{hits} ({saved}; {sure_text(over.chance_below)})"


def misfit_texts(misfits: Sequence[HandicapMisfit]) -> list[str]:
    """Return whose scores do not fit their handicaps, and what to check: an entry for each suspect."""
    told: dict[tuple[object, str], list[HandicapMisfit]] = {}
    for one in misfits:
        shared = isinstance(one.suspect, RatingSuspect | TeeSuspect)
        told.setdefault((one.suspect, one.player.sex if shared else one.player.name), []).append(one)
    found = []
    for first, *others in told.values():
        player, suspect = first.player, first.suspect
        who, index = GROUPS[player.sex], _index_text(first.index)
        scores = f"{player.name}'s scores are those of a handicap of about {index}, not {player.handicap}"
        for one in others:
            scores += f"; {one.player.name}'s of {_index_text(one.index)}, not {one.player.handicap}"
        match suspect:
            case RatingSuspect():
                stated, bare, possible = suspect.stated, suspect.by_length, suspect.possible
                said = (
                    f"The rating of the {suspect.tee} tees for {who} does not fit their length: it is "
                    f"{stated.course:.1f} with a slope of {stated.slope:.0f}. By length alone it would be "
                    f"{bare.scratch:.1f} with {bare.slope:.0f}, with obstacles "
                    f"{possible.course[0]:.1f} to {possible.course[1]:.1f} with "
                    f"{possible.slope[0]:.0f} to {possible.slope[1]:.0f}. Check the rating"
                )
            case TeeSuspect():
                said = (
                    f"Most {who} who play from the {suspect.tee} tees are off the same way, so the tees "
                    "do not suit them or are rated wrongly. Check the rating, or choose other tees"
                )
            case SpeedSuspect():
                speed, usual = (f"{v / MPH:.0f} mph" for v in (player.club_speed, suspect.usual_speed))
                said = (
                    f"A club speed of {speed} is low for that handicap, where {usual} is usual, and the "
                    "model may err for so slow a golfer. Check the club speed, or expect better scores"
                )
            case PlayerSuspect():
                said = f"Check the handicap and the {'player file' if player.sha256 else 'club speed'}"
        found.append(f"{scores}. {said}")
    return found


def _index_text(index: float) -> str:
    return f"{index:.0f}" if round(index) >= 0 else f"+{-index:.0f}"


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
