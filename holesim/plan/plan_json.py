"""The content of a plan file: tees, strikes and golfers in golfers' units."""

from collections.abc import Mapping
from math import cos, hypot, sin
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim.course.course import Course
from holesim.course.holes import Hole
from holesim.plan import explain
from holesim.plan.decision import DayStrike, Total
from holesim.plan.driving import DrivenStrike
from holesim.plan.estimate import Estimate, sureness
from holesim.plan.hazards_in_play import find_hazards
from holesim.plan.map_outlines import drives_dict, outlines_list
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player, Spread, Strike
from holesim.player.player_file import SPREAD_UNITS, STRIKE_UNITS
from holesim.scoring.expected_strokes import NextShot
from holesim.shot.relief import Finish
from holesim.units import DEGREE, MM, MPH, YARD

Floats = NDArray[np.float64]

PROBABILITIES: Final = (0.025, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.975)
"""The probabilities of the quantiles in a plan file."""


def tee_dict(plan: TeePlan, course: Course) -> dict[str, Any]:
    """Return what is planned for a tee."""
    difference = plan.difference
    return {
        "hole": plan.hole.number,
        "par": plan.hole.par,
        "tee": plan.tee.name,
        "length_yd": plan.tee.length / YARD,
        "middle": [round(plan.tee.x, 1), round(plan.tee.y, 1)],
        "draws": plan.draws,
        "choice": {
            "club": plan.choice.club,
            "strike": plan.choice.strike,
            "close": plan.close,
            "chance": plan.chance,
            "sure": sureness(plan.chance),
        },
        "rival": None if plan.rival is None else {"club": plan.rival.club, "strike": plan.rival.strike},
        "verdict": explain.verdict(plan),
        "warning": explain.warning(plan) or None,
        "reason": explain.reason(plan),
        "doubt": explain.doubt_text(plan.doubt) or None,
        "beyond": plan.choice.beyond,
        "by_table": explain.table_text(plan.by_table) or None,
        "wind": None if plan.wind is None else plan.wind.text(),
        "wind_angle_deg": None if plan.wind is None else plan.wind.angle / DEGREE,
        "flips": [
            {"strike": f.strike, "way": f.way, "felt_mph": f.speed / MPH, "drops": f.drops}
            for f in plan.flips
        ],
        "strikes": [_strike_dict(strike, plan, course) for strike in plan.strikes],
        "difference": None
        if difference is None
        else {
            "first": difference.first,
            "second": difference.second,
            plan.goal.measure: difference.loss.mean,
            "low": difference.loss.interval[0],
            "high": difference.loss.interval[1],
            "sampling_half_width": difference.loss.sampling_half,
        },
    }


def day_dict(day: DayStrike) -> dict[str, Any]:
    """Return the driver's strike of a golfer who hits it one way all day."""
    return {
        "strike": day.strike,
        "over": day.rival,
        "strokes": None if day.over is None else estimate_dict(day.over),
        "chance": 1.0 if day.over is None else day.over.chance_below,
        "text": explain.day_text(day),
    }


def total_dict(total: Total) -> dict[str, float]:
    """Return how many strokes more than the plan a policy costs, and the chance that it costs more."""
    return estimate_dict(total.over_plan) | {"chance": 1 - total.over_plan.chance_below}


def estimate_dict(difference: Estimate) -> dict[str, float]:
    """Return a difference in strokes, with its 95 % interval."""
    low, high = difference.interval
    return {"strokes": difference.mean, "low": low, "high": high}


def strike_numbers(s: StrikePlan, plan: TeePlan) -> dict[str, Any]:
    """Return the numbers of a strike's plan that stand alone, and its aim in words."""
    return {
        "club": s.club,
        "strike": s.strike,
        "aim_deg": s.aim / DEGREE,
        "aim_text": s.mark.text(),
        "alignment_deg": s.alignment / DEGREE,
        "strokes": s.strokes,
        "strokes_se": s.strokes_se,
        **s.shares,
        "birdie_chance": s.scored(1, plan.hole.par - 1),
        "par_chance": s.scored(plan.hole.par, plan.hole.par),
        "bogey_chance": s.scored(plan.hole.par + 1, plan.hole.par + 1),
        "worse_chance": s.scored(plan.hole.par + 2),
        "carry_yd": s.carry / YARD,
        "total_yd": s.total / YARD,
        "carry_sd_yd": s.carry_sd / YARD,
        "side_sd_yd": s.side_sd / YARD,
    }


def _strike_dict(s: StrikePlan, plan: TeePlan, course: Course) -> dict[str, Any]:
    heading = plan.tee.bearing(*plan.hole.pin) + s.aim
    ends = plan.tee.bearing(*np.median(finishes(s), axis=0))  # the wind, too, takes drives off the aim
    hazards = find_hazards(
        course,
        plan.hole,
        plan.tee,
        ends,
        carry=s.carry,
        total=s.total,
        carry_sd=s.carry_sd,
        side_sd=s.side_sd,
    )
    sight = s.mark.sight
    return strike_numbers(s, plan) | {
        "loss": float(s.loss.mean()),
        "over_choice": None if s is plan.choice else _over(s, plan.choice),
        "heading_deg": heading / DEGREE % 360,
        "sight": {
            "label": sight.label,
            "distance_yd": sight.distance / YARD,
            "aim_right_yd": s.mark.offset / YARD,
        },
        "in_the_way": [
            {"way": r.way, "what": r.what, "side": r.side, "near_yd": r.near / YARD, "far_yd": r.far / YARD}
            for r in hazards
        ],
        "scores": s.scores.tolist(),
        **_quantiles(s, plan),
        "next": None if s.then is None else _next_dict(s.then, plan.hole),
        **drives_dict(finishes(s)),
    }


def _over(strike: StrikePlan, choice: StrikePlan) -> dict[str, float]:
    """Return the loss of a strike minus that of the choice, with its interval."""
    over = strike.over(choice)
    low, high = over.interval
    return {"loss": over.mean, "low": low, "high": high}


def finishes(strike: StrikePlan) -> Floats:
    """Return where a strike's drives finish [m], shape (drives, 2)."""
    return np.column_stack([strike.drives.x, strike.drives.y])


def golfer_dict(player: Player) -> dict[str, Any]:
    """Return a golfer and their strikes, in golfers' units."""
    return {
        "hand": player.hand,
        "sex": player.sex,
        "handicap_index": player.handicap_index,
        "club_speed_mph": player.club_speed / MPH,
        "usual": player.usual,
        "can_choose": player.can_choose,
        "measured": player.measured,
        "strikes": [
            {"club": strike.club, "strike": strike.name}
            | _in_units(strike, STRIKE_UNITS)
            | {"tee_height_mm": strike.tee_height / MM, "spread": _in_units(strike.spread, SPREAD_UNITS)}
            for strike in player.strikes
        ],
    }


def _in_units(record: Strike | Spread, units: Mapping[str, tuple[str, float]]) -> dict[str, float | None]:
    values = {key: (getattr(record, name), unit) for key, (name, unit) in units.items()}
    return {key: None if value is None else value / unit for key, (value, unit) in values.items()}


def driving_dict(strike: DrivenStrike) -> dict[str, Any]:
    """Return the numbers of a driver strike, and the outlines of where its drives land."""
    return {
        "strike": strike.strike,
        "numbers": {key: vars(number) for key, number in strike.numbers.items()},
        "side_quantiles_yd": _quantiles_yd(strike.landings[:, 0]),
        "along_quantiles_yd": _quantiles_yd(strike.landings[:, 1]),
        "outlines": outlines_list(strike.landings),
    }


def _next_dict(shot: NextShot, hole: Hole) -> dict[str, Any]:
    east, north = shot.target[0] - shot.x, shot.target[1] - shot.y
    return {
        "lie": shot.lie.name.lower(),
        "to_pin_yd": hypot(hole.pin[0] - shot.x, hole.pin[1] - shot.y) / YARD,
        "strokes": shot.strokes,
        "length_yd": hypot(east, north) / YARD,
        "target_text": explain.target_text(shot, hole.pin),
    }


def _quantiles(strike: StrikePlan, plan: TeePlan) -> dict[str, list[float] | None]:
    """Return quantiles of how far drives in play go, and how far right of the aim they finish."""
    drives, tee = strike.drives, plan.tee
    played = drives.finish != Finish.OUT
    if not played.any():
        return {"total_quantiles_yd": None, "side_quantiles_yd": None}
    aim = tee.bearing(*plan.hole.pin) + strike.aim
    east, north = drives.x[played] - tee.x, drives.y[played] - tee.y
    side = east * cos(aim) - north * sin(aim)
    return {
        "total_quantiles_yd": _quantiles_yd(np.hypot(east, north)),
        "side_quantiles_yd": _quantiles_yd(side),
    }


def _quantiles_yd(values: Floats) -> list[float]:
    """Return the quantiles of lengths [m] in yards, to the tenth."""
    return [float(yards) for yards in (np.quantile(values, PROBABILITIES) / YARD).round(1)]
