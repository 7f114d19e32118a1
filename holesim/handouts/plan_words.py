"""Words of a plan file that several handouts share: holes, choices, strikes and the round."""

from collections.abc import Iterator, Sequence
from math import radians, tan
from typing import Final

from holesim.common.text_format import distance, minus
from holesim.plan import explain
from holesim.plan.doubt import Measuring
from holesim.plan.estimate import sure_text
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import speed_text
from holesim.plan.plan_tables import PlanFile, StrikeFile, TeeFile
from holesim.player.setup import SwingLine, correction_text
from holesim.units import MPH, YARD

FINISHES: Final = {
    "fairway": "fairway", "green": "green", "rough": "rough", "heavy_rough": "heavy rough", "sand": "sand",
    "trees": "among trees", "penalty": "penalty area", "out": "out or lost",
}  # fmt: skip
_LEAST_SHARE: Final = 0.0005  # of drives, a smaller one is not told

OUTLINES_NOTE: Final = (
    "Half of the drives finish inside the solid outline, nine in ten inside the dashed one."
)
PLUS_MINUS_NOTE: Final = (
    "Carry and side: ± is one standard deviation. "
    "Strokes and chances: 19 times in 20 the true value is within ±."
)


def hole_text(plan: PlanFile, tee: TeeFile, *, metric: bool) -> str:
    """Return a hole's par, its length from a tee, and its stroke index if it has one."""
    index = plan.hole(tee.hole).stroke_index
    text = f"par {tee.par}, {distance(tee.length_yd * YARD, metric=metric)}"
    return text if index is None else f"{text}, index {index}"


def golfer_text(plan: PlanFile, *, metric: bool) -> str:
    """Return who is planned for: hand, handicap, club speed, habits, and how well they are known."""
    golfer = plan.golfer
    handicap = golfer.handicap_index
    index = f"+{-handicap:g}" if handicap < 0 else f"{handicap:g}"
    known = f"known by {golfer.measured} measured drives" if golfer.measured else "not measured"
    chooses = "chooses by the hole" if golfer.can_choose else "keeps to one strike all day"
    speed = speed_text(golfer.club_speed_mph * MPH, metric=metric)
    usual = f", usually hits {golfer.usual}" if golfer.usual else ""
    return f"{golfer.hand}-handed, handicap index {index}, club speed {speed}{usual}, {chooses}; {known}"


def picture_text(tee: TeeFile, strike: StrikeFile, *, metric: bool) -> str:
    """Return what the picture of a strike on a hole shows."""
    aim, away = strike.sight.text(metric=metric), distance(strike.total_yd * YARD, metric=metric)
    return f"Hole {tee.hole}, {strike.label}: aimed {aim}; drives finish {away} away."


def compared_strikes(tee: TeeFile) -> list[StrikeFile]:
    """Return the choice, and the strike that it is compared with, if any."""
    rival = tee.choice_rival()
    return [tee.chosen()] if rival is None else [tee.chosen(), rival]


def reason_text(tee: TeeFile, *, metric: bool) -> str:
    """Return how sure a choice is, and what speaks for it."""
    choice, rival = tee.chosen(), tee.choice_rival()
    if rival is None:
        return f"{choice.label}: no other strike to compare it with"
    shares = [{name: getattr(strike, name) for name in FINISHES} for strike in (choice, rival)]
    longer = (choice.total_yd - rival.total_yd) * YARD
    why = explain.compare_strikes(
        rival.label, longer=longer, shares=shares[0], other_shares=shares[1], metric=metric
    )
    return "; ".join(filter(None, (tee.verdict, f"{choice.label}: {why}")))


def tee_notes(tee: TeeFile, *, metric: bool) -> list[str]:
    """Return what would change a choice: wind, what is not known of the golfer, another table of strokes."""
    notes = [explain.felt_wind_text(tee.felt(), metric=metric)] if tee.flips else []
    notes += [tee.doubt] if tee.doubt else []
    return notes + ([tee.by_table] if tee.by_table else [])


def sureness_text(tee: TeeFile) -> str:
    """Return how sure a choice is, short enough for a card; nothing where it was not compared freely."""
    if tee.rival is None or (tee.warning and not tee.beyond):
        return ""
    return sure_text(tee.choice.chance).removeprefix("a ").replace(",", "").removesuffix(" in 100")


def round_rows(plan: PlanFile, tee: str) -> list[tuple[str, str, str]]:
    """Return for each policy its name, its strokes from a set of tees, and how many more than this plan's."""
    over = {policy: found.text() for policy, found in plan.over_plan[tee].items()}
    return [
        (policy, f"{strokes:.2f}", "" if policy == "this plan" else over[policy])
        for policy, strokes in plan.totals[tee].items()
    ]


def round_notes(plan: PlanFile, tee: str) -> list[str]:
    """Return which driver strike to hit all day, and what measuring the golfer would save."""
    notes = [plan.day[tee].text] if tee in plan.day else []
    if tee in plan.measuring:
        found = plan.measuring[tee]
        worth = Measuring(given_away=found.given_away, saved={s.drives: s.strokes for s in found.saved})
        notes.append(explain.measuring_text(worth))
    return [minus(text) for text in notes if text]


def strike_rows(strike: StrikeFile, plan: PlanFile, *, metric: bool) -> list[tuple[str, str]]:
    """Return the table of a strike: names of quantities and their values."""
    goal = GOALS[plan.options.goal]
    scale, unit = (YARD, "m") if metric else (1.0, "yd")
    rows = [] if plan.options.goal == "mean" else [(goal.head, goal.text(strike.loss))]
    rows.append(("strokes", f"{strike.strokes:.2f}"))
    if strike.over_choice is not None:
        rows.append((f"{goal.head} more", strike.over_choice.text(goal)))
    rows += [
        ("carry", f"{strike.carry_yd * scale:.0f} ±{strike.carry_sd_yd * scale:.0f} {unit}"),
        ("total", f"{strike.total_yd * scale:.0f} {unit}"),
        ("to the side", f"±{strike.side_sd_yd * scale:.0f} {unit}"),
    ]
    shares = ((words, float(getattr(strike, name))) for name, words in FINISHES.items())
    rows += [(words, f"{share:.1%}") for words, share in shares if share >= _LEAST_SHARE]
    return [
        *rows,
        ("birdie or better", f"{strike.birdie_chance:.0%}"),
        ("double bogey or worse", f"{strike.worse_chance:.0%}"),
    ]


def tee_and_ball_texts(plan: PlanFile) -> list[str]:
    """Return how high to tee the ball for each driver strike, and where it lies against the feet."""
    return [f"{up.strike}: tee it {up.tee_height_mm:.0f} mm high, ball {up.ball}" for up in plan.set_up]


def setup_texts(plan: PlanFile, *, metric: bool) -> Iterator[str]:
    """Yield how to set up to each driver strike, the line also by how far it is off at a drive's distance."""
    for up, tee in zip(plan.set_up, tee_and_ball_texts(plan), strict=True):
        yield f"{tee}, {_line_text(plan, up.strike, up.alignment_deg, metric=metric)}, face on the aim"
        if up.swing_line_deg is not None:
            now = SwingLine(**{edge: radians(value) for edge, value in dict(up.swing_line_deg).items()})
            drives = _driver_totals(plan, up.strike)
            reach = round(sum(drives) / len(drives), -1) * YARD if drives else None
            yield f"{up.strike}: {correction_text(now, radians(up.alignment_deg), reach, metric=metric)}"


def _driver_totals(plan: PlanFile, strike: str) -> list[float]:
    """Return how far the driver goes, hit that way, from each tee [yd]."""
    return [s.total_yd for tee in plan.tees for s in tee.strikes if (s.club, s.strike) == ("driver", strike)]


def _line_text(plan: PlanFile, strike: str, right: float, *, metric: bool) -> str:
    degrees = round(abs(right), 1)
    if not degrees:
        return "line up on the aim"
    drives = _driver_totals(plan, strike)
    off = ""
    if drives:
        scale, unit = (YARD, "m") if metric else (1.0, "yd")
        away = round(scale * sum(drives) / len(drives), -1)
        off = f" ({away * tan(radians(degrees)):.0f} {unit} at {away:.0f} {unit})"
    return f"line up {degrees:g}°{off} {'right' if right > 0 else 'left'} of the aim"


def plan_title(what: str, plans: Sequence[PlanFile]) -> str:
    """Return the title of a handout of a plan, or of its plans in several winds."""
    return f"{what} for {plans[0].player} on {plans[0].course}"
