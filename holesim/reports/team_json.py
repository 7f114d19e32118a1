"""The content of team.json."""

from typing import Any, Final

from holesim._version import __version__
from holesim.reports.benefit_words import benefit_dict
from holesim.reports.selection_words import selection_dict
from holesim.reports.team_words import notes, when_text
from holesim.team.handicap import PlayingHandicap
from holesim.team.team_plan import Change, HolePlan, Meeting, PlannedDrive, SidePlan, TeamPlan

SCHEMA: Final = 3

_RESULTS: Final = ("won", "halved", "lost")


def team_dict(plan: TeamPlan) -> dict[str, Any]:
    """Return the content of team.json."""
    people = (*plan.team.players, *plan.team.opponents)
    files = [(plan.course.file, plan.course.sha256), (plan.team.file, plan.team.sha256)]
    return {
        "schema": SCHEMA,
        "holesim": __version__,
        "inputs": dict([*files, *((player.file, player.sha256) for player in people if player.sha256)]),
        "options": plan.options,
        "assumed": list(plan.assumed),
        "course": plan.course.name,
        "team": plan.team.name,
        "occasion": plan.occasion,
        "format": plan.format,
        "net": plan.net,
        "count": plan.count,
        "seed": plan.seed,
        "draws": plan.draws,
        "total": {plan.unit: plan.total, "spread": plan.sd},
        "selection": selection_dict(plan.selection, plan.squad),
        "gains": [benefit_dict(benefit) for benefit in plan.benefits],
        "handicaps": [_handicap_dict(one) for one in plan.handicaps],
        "notes": notes(plan),
        "sides": [_side_dict(side) for side in plan.sides],
        "chances": [
            {"side": list(names), "points": dict(zip(map(" and ".join, plan.opponents), row, strict=True))}
            for names, row in zip(plan.rows, plan.points, strict=True)
        ],
        "players": plan.players,
    }


def _handicap_dict(one: PlayingHandicap) -> dict[str, Any]:
    return {
        "players": list(one.names),
        "course_handicaps": list(one.course),
        "allowance": list(one.shares),
        "playing_handicap": one.playing,
    }


def _meeting_dict(meeting: Meeting) -> dict[str, Any]:
    return {
        "against": list(meeting.against),
        "received": [list(strokes) for strokes in meeting.received],
        "they_receive": [list(strokes) for strokes in meeting.they_receive],
        "match": dict(zip(_RESULTS, meeting.result, strict=True)),
    }


def _side_dict(side: SidePlan) -> dict[str, Any]:
    return {
        "players": list(side.names),
        "received": list(side.received),
        "against": list(side.against),
        "they_receive": [sum(strokes) for strokes in side.they_receive],
        "strokes": side.strokes,
        "spread": side.sd,
        "match": None if side.result is None else dict(zip(_RESULTS, side.result, strict=True)),
        "match_strikes": None if side.match_strikes is None else benefit_dict(side.match_strikes),
        "meetings": [_meeting_dict(meeting) for meeting in side.meetings],
        "holes": [
            _hole_dict(plan, [strokes[h] for strokes in side.they_receive])
            for h, plan in enumerate(side.holes)
        ],
    }


def _hole_dict(plan: HolePlan, they_receive: list[int]) -> dict[str, Any]:
    return {
        "hole": plan.hole.number,
        "received": list(plan.received),
        "they_receive": they_receive,
        "drives": [_drive_dict(drive) for drive in plan.drives],
        "first": plan.first or None,
        "changes": [_change_dict(change) for change in plan.changes],
        "slight": [_change_dict(change) for change in plan.slight],
    }


def _change_dict(change: Change) -> dict[str, Any]:
    return {"who": change.who, "strike": change.strike, "when": when_text(change.when)}


def _drive_dict(drive: PlannedDrive) -> dict[str, Any]:
    worth = drive.worth
    saved = (
        None
        if worth is None
        else {"strokes": worth.value, "low": worth.low, "high": worth.high, "chance": worth.chance}
    )
    return {"player": drive.who, "strike": drive.strike, "aim": drive.mark.text(), "saves": saved}
