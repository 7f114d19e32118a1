"""Wording: what every page says of a tee and its strikes, from a plan file."""

from typing import Final

from holesim.common.text_format import minus
from holesim.plan import explain
from holesim.plan.doubt import Measuring
from holesim.plan.estimate import sure_text
from holesim.plan.goal import GOALS
from holesim.plan.hole_wind import flips_text
from holesim.plan.plan_file import PlanFile, StrikeFile, TeeFile
from holesim.units import YARD

_FINISHES: Final = {
    "fairway": "fairway", "green": "green", "rough": "rough", "heavy_rough": "heavy rough", "sand": "sand",
    "trees": "among trees", "penalty": "penalty area", "out": "out or lost",
}  # fmt: skip
_LEAST: Final = 0.0005  # share of drives that is told


def side_by_side(tee: TeeFile) -> list[StrikeFile]:
    """Return the choice and what it is held against, if anything."""
    rival = tee.held_against()
    return [tee.chosen()] if rival is None else [tee.chosen(), rival]


def reason(tee: TeeFile, *, metric: bool) -> str:
    """Return why the choice is what it is, in a sentence."""
    choice, rival = tee.chosen(), tee.held_against()
    if rival is None:
        return f"{choice.label}: nothing to hold it against"
    shares = [{name: getattr(strike, name) for name in _FINISHES} for strike in (choice, rival)]
    longer = (choice.total_yd - rival.total_yd) * YARD
    why = explain.compare_strikes(
        rival.label, longer=longer, shares=shares[0], other_shares=shares[1], metric=metric
    )
    return "; ".join(filter(None, (tee.verdict, f"{choice.label}: {why}")))


def notes_on(tee: TeeFile, *, metric: bool) -> list[str]:
    """Return what would turn the choice: felt winds, what it hangs on, and a table of strokes."""
    notes = [f"felt wind that would change it: {flips_text(tee.felt(), metric=metric)}"] if tee.flips else []
    notes += [tee.doubt] if tee.doubt else []
    return notes + ([tee.by_table] if tee.by_table else [])


def mark_of(tee: TeeFile) -> str:
    """Return how sure the choice is, as short as a card needs it; nothing where it is no free one."""
    if tee.rival is None or (tee.warning and not tee.beyond):
        return ""
    return sure_text(tee.choice.chance).removeprefix("a ").replace(",", "").removesuffix(" in 100")


def rounds_of(plan: PlanFile, tee: str) -> list[tuple[str, str, str]]:
    """Return by policy the strokes of the round from a set of tees, and what they are over this plan's."""
    over = {policy: found.text() for policy, found in plan.over_plan[tee].items()}
    return [
        (policy, f"{strokes:.2f}", "" if policy == "this plan" else over[policy])
        for policy, strokes in plan.totals[tee].items()
    ]


def notes_on_round(plan: PlanFile, tee: str) -> list[str]:
    """Return the driver's strike for the day, and what it is worth to know the golfer better."""
    said = [plan.day[tee].text] if tee in plan.day else []
    if tee in plan.measuring:
        found = plan.measuring[tee]
        worth = Measuring(given_away=found.given_away, saved={s.drives: s.strokes for s in found.saved})
        said.append(explain.measuring_text(worth))
    return [minus(text) for text in said if text]


def rows_of(strike: StrikeFile, plan: PlanFile, *, metric: bool) -> list[tuple[str, str]]:
    """Return what a strike does, as a table of words and numbers."""
    goal = GOALS[plan.options.goal]
    scale, unit = (YARD, "m") if metric else (1.0, "yd")
    rows = [] if plan.options.goal == "mean" else [(goal.head, goal.text(strike.loss))]
    rows.append(("strokes", f"{strike.strokes:.2f}"))
    if strike.over_choice is not None:
        rows.append(("costs more", strike.over_choice.text(goal)))
    rows += [
        ("carry", f"{strike.carry_yd * scale:.0f} ±{strike.carry_sd_yd * scale:.0f} {unit}"),
        ("total", f"{strike.total_yd * scale:.0f} {unit}"),
        ("to the side", f"±{strike.side_sd_yd * scale:.0f} {unit}"),
    ]
    shares = ((words, float(getattr(strike, name))) for name, words in _FINISHES.items())
    rows += [(words, f"{share:.1%}") for words, share in shares if share >= _LEAST]
    return [
        *rows,
        ("birdie or better", f"{strike.birdie_chance:.0%}"),
        ("double bogey or worse", f"{strike.worse_chance:.0%}"),
    ]
