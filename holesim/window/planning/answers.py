"""Answers for the page as JSON, from the engine's records; numbers and words are the engine's."""

from collections.abc import Iterable, Mapping, Sequence
from math import cos, sin
from typing import Any, Final

import numpy as np
import shapely

from holesim.course.course import Course, bare_ground, grounds
from holesim.course.holes import Hole
from holesim.plan import explain
from holesim.plan.decision import DayStrike, Total
from holesim.plan.estimate import estimate, sureness
from holesim.plan.goal import Goal
from holesim.plan.map_outlines import drives_dict, polygon_rings
from holesim.plan.plan_json import finishes
from holesim.plan.plan_json import tee_dict as plan_file_tee
from holesim.plan.round_options import RoundOptions
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player
from holesim.reports.check_text import find_gaps
from holesim.reports.plan_text import golfer_text
from holesim.units import DEGREE, YARD

_QUANTILES: Final = (0.05, 0.25, 0.5, 0.75, 0.95)
_MARGIN: Final = 250.0  # m of ground drawn about the holes


# --- what is opened -------------------------------------------------------------------------------


def course_dict(course: Course, name: str, unmapped: str | None) -> dict[str, Any]:
    """Return a course as the page draws it, its areas in the order to paint them."""
    lines = [hole.line for hole in course.holes]
    window = shapely.union_all(lines).envelope.buffer(_MARGIN, join_style="mitre")
    ground = grounds(course, window)
    return {
        "name": course.name,
        "file": name,
        "bare": bare_ground(course, unmapped).name.lower(),
        # Where outlines overlap the first kind of ground holds, so that it is painted last.
        "areas": [
            {"ground": kind.name.lower(), "polygons": polygon_rings(shape.intersection(window))}
            for kind, shape in reversed(ground.items())
        ],
        "boundary": None if course.boundary is None else polygon_rings(course.boundary),
        "holes": [_hole_dict(hole) for hole in course.holes],
        "guesses": [str(guess) for guess in (*course.guesses, *find_gaps(course))],
        "firmness": course.firmness,
    }


def _hole_dict(hole: Hole) -> dict[str, Any]:
    return {
        "hole": hole.number,
        "par": hole.par,
        "stroke_index": hole.stroke_index,
        "pin": _place(*hole.pin),
        "line": [_place(x, y) for x, y in shapely.get_coordinates(hole.line).tolist()],
        "tees": [
            {"name": tee.name, "at": _place(tee.x, tee.y), "length_yd": tee.length / YARD}
            for tee in hole.tees
        ],
    }


def _place(x: float, y: float) -> list[float]:
    return [round(x, 2), round(y, 2)]


def player_dict(player: Player, name: str) -> dict[str, Any]:
    """Return a player as the page shows them."""
    return {
        "name": player.name,
        "file": name,
        "hand": player.hand,
        "usual": player.usual,
        "can_choose": player.can_choose,
        "about": golfer_text(player),
        "assumed": list(player.assumed),
        "strikes": [{"label": s.label, "club": s.club, "strike": s.name} for s in player.strikes],
    }


def options_dict(options: RoundOptions) -> dict[str, Any]:
    """Return the options of a round without its wind, which every question states."""
    return {key: value for key, value in dict(options).items() if key not in {"wind_mph", "wind_from_deg"}}


# --- a tee ----------------------------------------------------------------------------------------


def tee_dict(plan: TeePlan) -> dict[str, Any]:
    """Return the choice on a tee and its strikes, the best first."""
    over, scale = plan.over_rival, abs(plan.goal.scale)
    low, high = (None, None) if over is None else over.interval
    return {
        "hole": plan.hole.number,
        "tee": plan.tee.name,
        "draws": plan.draws,
        "wind_text": None if plan.wind is None else plan.wind.text(),
        "choice": plan.choice.label,
        "rival": None if plan.rival is None else plan.rival.label,
        "saves": None if over is None else -scale * over.mean,
        "low": None if high is None else -scale * high,
        "high": None if low is None else -scale * low,
        "chance": plan.chance,
        "sure": sureness(plan.chance),
        "close": plan.close,
        "line": choice_line(plan),
        "goal": _goal_name(plan.goal),
        "unit": unit(plan.goal),
        "strikes": [strike_dict(strike, plan) for strike in plan.strikes],
        "doubt": explain.doubt_text(plan.doubt) or None,
        "why": explain.why(plan),
        "notes": [note for note in (explain.warning(plan), explain.table_text(plan.by_table)) if note],
    }


def rest_dict(plan: TeePlan, course: Course) -> dict[str, Any]:
    """Return what a plan of all drives adds: the tee as plan.json has it, and the winds that change it."""
    flips = explain.felt_wind_text(plan.flips) if plan.flips else None
    return {"plan": plan_file_tee(plan, course), "flips_text": flips}


def unit(goal: Goal) -> str:
    """Return what the differences between strikes are counted in."""
    return {None: "strokes", 0: "pars in 100", -1: "birdies in 100"}[goal.over]


def _goal_name(goal: Goal) -> str:
    return {None: "mean", 0: "par", -1: "birdie"}[goal.over]


def choice_line(plan: TeePlan) -> str:
    """Return what the choice saves over its rival and how sure that is, as one line."""
    choice, rival, over = plan.choice.label, plan.rival, plan.over_rival
    if rival is None or over is None:
        return f"{choice}, kept for the day" if plan.kept else f"{choice}: the only strike"
    saves = round(-abs(plan.goal.scale) * over.mean, plan.goal.digits)
    if saves > 0:
        return f"{choice} {_gain('saves', 'makes', saves, plan.goal)}: {explain.verdict(plan)}"
    kept = "kept for the day" if plan.kept else "your usual strike"
    if saves < 0:
        little = ", too little to matter" * (abs(over.mean) < plan.goal.close)
        gain = _gain("would save", "would make", -saves, plan.goal)
        line = f"{choice}, {kept}: {rival.label} {gain}{little}"
    elif over.mean > 0:
        line = f"{choice} or {rival.label}: nothing between them, so {choice}, {kept}"
    else:
        chance = explain.sureness_of(plan).rpartition(", ")[2]
        line = f"{choice} or {rival.label}: nothing between them" + f" ({choice} {chance})" * bool(chance)
    return "; ".join(filter(None, (line, explain.warning(plan))))


def _gain(saves: str, makes: str, gain: float, goal: Goal) -> str:
    """Return strokes saved, or pars or birdies made, as a golfer reads them."""
    return f"{saves} {gain:.2f} strokes" if goal.over is None else f"{makes} {gain:.1f} more {unit(goal)}"


def strike_dict(strike: StrikePlan, plan: TeePlan) -> dict[str, Any]:
    """Return a strike on a tee: its aim, strokes, finishes and scores."""
    tee, par = plan.tee, plan.hole.par
    ends = finishes(strike)
    line = tee.bearing(*plan.hole.pin)
    east, north = ends[:, 0] - tee.x, ends[:, 1] - tee.y
    along, across = east * sin(line) + north * cos(line), east * cos(line) - north * sin(line)
    over = strike.over(plan.choice)
    return {
        "label": strike.label,
        "club": strike.club,
        "strike": strike.strike,
        "heading_deg": heading(strike, plan) / DEGREE % 360,
        "aim_deg": strike.aim / DEGREE,
        "aim_text": strike.mark.text(),
        "strokes": strike.strokes,
        "half": estimate(strike.strokes_by_draw).half,
        "over_choice": abs(plan.goal.scale) * over.mean,
        "over_choice_half": abs(plan.goal.scale) * over.half,
        "carry_yd": strike.carry / YARD,
        "total_yd": strike.total / YARD,
        "shares": strike.shares,
        "scores": [
            {"name": name, "share": strike.scored(least, most)} for name, least, most in _score_names(par)
        ],
        "outlines": drives_dict(ends)["outlines"],
        "middle": _place(*ends.mean(axis=0).tolist()),
        "along_yd": (np.quantile(along, _QUANTILES) / YARD).tolist(),
        "across_yd": (np.quantile(across, _QUANTILES) / YARD).tolist(),
    }


def heading(strike: StrikePlan, plan: TeePlan) -> float:
    """Return the direction in which the ball should start [rad from north], as plan.json has it."""
    return plan.tee.bearing(*plan.hole.pin) + strike.aim


def _score_names(par: int) -> list[tuple[str, int, int | None]]:
    """Return each score by its name, from how many strokes to how many."""
    return [
        ("eagle or better", 1, par - 2),
        ("birdie", par - 1, par - 1),
        ("par", par, par),
        ("bogey", par + 1, par + 1),
        ("double or worse", par + 2, None),
    ]


# --- the round ------------------------------------------------------------------------------------


def row_dict(plan: TeePlan) -> dict[str, Any]:
    """Return a hole as a row of the round."""
    over = plan.over_rival
    return {
        "hole": plan.hole.number,
        "par": plan.hole.par,
        "tee": plan.tee.name,
        "length_yd": plan.tee.length / YARD,
        "choice": plan.choice.label,
        "close": plan.close,
        "chance": plan.chance,
        "sure": sureness(plan.chance),
        "saves": None if over is None else -abs(plan.goal.scale) * over.mean,
        "strokes": plan.choice.strokes,
        "rival": None if plan.rival is None else plan.rival.label,
    }


def round_dict(
    plans: Sequence[TeePlan], totals: Mapping[str, Total], day: DayStrike | None, missing: Iterable[int]
) -> dict[str, Any]:
    """Return the round: a row for each hole answered, and the total of each policy."""
    return {
        "rows": [row_dict(plan) for plan in plans],
        "totals": [
            {
                "policy": policy,
                "strokes": total.strokes,
                "over": total.over_plan.mean,
                "half": total.over_plan.half,
            }
            for policy, total in totals.items()
        ],
        "day": None if day is None else explain.day_text(day),
        "missing": list(missing),
    }
