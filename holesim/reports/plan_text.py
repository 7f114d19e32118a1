"""The plan in a terminal, in a golfer's words."""

from collections.abc import Sequence
from textwrap import wrap

from holesim.plan import explain
from holesim.plan.plan import Plan
from holesim.plan.tee_plan import StrikePlan, TeePlan
from holesim.player.player import Player
from holesim.player.setup import set_ups
from holesim.units import MPH, YARD

_AIM = 27
_WIDTH = 110


def plan_text(plan: Plan, *, metric: bool = False) -> str:
    """Return the whole plan as text."""
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    goal = plan.tees[0].goal.head
    lines = [*_heading(plan, metric=metric), ""]
    for name in plan.totals:
        group = [tee for tee in plan.tees if tee.tee.name == name]
        lines.append(f"{name} tees, {sum(t.tee.length for t in group) / scale:,.0f} {unit}")
        lines.append(
            f"{'hole':>4} {'par':>3} {unit:>4}  {'hit':<14} {'aim':<{_AIM}} {goal:>7} safe trouble  instead"
        )
        for tee in group:
            lines += _tee_lines(tee, metric=metric)
        lines += ["", *_totals(plan, name), ""]
    for strike in set_ups(plan.player):
        told = strike.correction(_reach(plan, strike.strike), metric=metric)
        lines += [strike.text(), *(f"{strike.strike}: {text}" for text in told)]
    lines.append("")
    if plan.player.assumed:
        lines += wrap(f"Assumed, not in the player file: {'; '.join(plan.player.assumed)}.", _WIDTH)
    return "\n".join([*lines, "", *(f"! {caution}" for caution in explain.CAUTIONS)])


def winds_text(plans: Sequence[Plan], *, metric: bool = False) -> str:
    """Return plans that differ in their wind, side by side, as text."""
    unit, scale = ("m", 1.0) if metric else ("yd", YARD)
    first, winds = plans[0], [_wind(plan) for plan in plans]
    lines = [_who(first, metric=metric), f"{', '.join(winds)}; {_round(first)}", ""]
    for name in first.totals:
        group = [[tee for tee in plan.tees if tee.tee.name == name] for plan in plans]
        lines.append(f"{name} tees, {sum(t.tee.length for t in group[0]) / scale:,.0f} {unit}")
        lines.append(
            f"{'hole':>4} {'par':>3} {unit:>4}  {'wind':<31} {'hit':<12} {first.tees[0].goal.head:>7}  aim"
        )
        for tees in zip(*group, strict=True):
            one = tees[0]
            where = f"{one.hole.number:>4} {one.hole.par:>3} {one.tee.length / scale:>4.0f}"
            for tee in tees:
                blows = "calm" if tee.wind is None else tee.wind.text(metric=metric)
                other = " *" if tee.choice.label != one.choice.label else ""
                hit = f"{tee.choice.label:.8}{' ~' if tee.close else ''}{other}"
                aim = tee.choice.mark.text(metric=metric)
                lines.append(f"{where:<13}  {blows:<31} {hit:<12} {_worth(tee):>7}  {aim}")
                where = ""
        totals = [
            f"{plan.totals[name]['this plan'].strokes:.2f} {wind}"
            for plan, wind in zip(plans, winds, strict=True)
        ]
        lines += ["", f"{'the round':>13}  {'; '.join(totals)}", ""]
    lines += wrap(f"* another choice than in the first wind. {_marks(first)}", _WIDTH)
    return "\n".join([*lines, "", *(f"! {caution}" for caution in explain.CAUTIONS)])


def _heading(plan: Plan, *, metric: bool) -> list[str]:
    return [_who(plan, metric=metric), f"{_wind(plan)}, {_round(plan)}"]


def _who(plan: Plan, *, metric: bool) -> str:
    return f"{plan.course.name}, for {plan.player.name}: {golfer_text(plan.player, metric=metric)}"


def golfer_text(player: Player, *, metric: bool = False) -> str:
    """Return a golfer's club speed, handicap and habits."""
    speed = f"{player.club_speed:.0f} m/s" if metric else f"{player.club_speed / MPH:.0f} mph"
    usual = f"usually hits {player.usual}" if player.usual else "usual strike not known"
    habit = "chooses by the hole" if player.can_choose else "hits the driver one way all day"
    return f"{speed}, handicap {player.handicap}, {usual}, {habit}"


def _wind(plan: Plan) -> str:
    speed, degrees = plan.options["wind_mph"], plan.options["wind_from_deg"]
    return f"wind {speed:g} mph from {degrees:g}°" if speed else "calm"


def _round(plan: Plan) -> str:
    options, ball = plan.options, explain.other_flight(plan.options["ball_flight"])
    return f"{options['ground']} ground{ball}, {plan.drives} drives a strike, seed {plan.seed}"


def _marks(plan: Plan) -> str:
    goal = plan.tees[0].goal
    kept = (
        f"The usual strike is kept where it costs less than {goal.under} more. " if plan.player.usual else ""
    )
    marks = f"~ marks a toss-up, or a difference under {goal.under}. {kept}"
    return f"{marks}The truth lies within ± 19 times in 20."


def _tee_lines(plan: TeePlan, *, metric: bool) -> list[str]:
    choice, number, par = plan.choice, plan.hole.number, plan.hole.par
    length = plan.tee.length / (1.0 if metric else YARD)
    hit = choice.label + (" ~" if plan.close else "")
    aim = choice.mark.text(metric=metric)
    instead = ", ".join(_loss_over(plan, other) for other in _choose_others(plan))
    worth = f"{_worth(plan):>7} {choice.safe:>4.0%} {choice.trouble:>7.1%}  {instead}"
    lines = [
        f"{number:>4} {par:>3} {length:>4.0f}  {hit:<14.14} {aim:<{_AIM}} {worth}",
        f"{'':>13}  {explain.reason(plan, metric=metric)}",
    ]
    if said := explain.wind_text(plan, metric=metric):
        lines.append(f"{'':>13}  {said}")
    more = explain.doubt_text(plan.doubt), explain.table_text(plan.by_table)
    lines += [f"{'':>13}  {said}" for said in more if said]
    return lines


def _reach(plan: Plan, strike: str) -> float | None:
    """Return the driver's mean total [m] over the tees, hit that way; None where it is not hit."""
    totals = [s.total for tee in plan.tees for s in tee.strikes if (s.club, s.strike) == ("driver", strike)]
    return sum(totals) / len(totals) if totals else None


def _choose_others(plan: TeePlan) -> list[StrikePlan]:
    """Return the other driver strikes and the best other club, the best first."""
    others = [s for s in plan.strikes if s is not plan.choice]
    best_club = next((s for s in others if s.club != "driver"), None)
    return [s for s in others if s.club == "driver" or s is best_club]


def _worth(plan: TeePlan) -> str:
    return plan.goal.text(float(plan.choice.loss.mean()))


def _loss_over(plan: TeePlan, other: StrikePlan) -> str:
    """Return what another strike loses more than the choice, with half the width of its 95 % interval."""
    over = other.over(plan.choice)
    return f"{other.label} {plan.goal.over_text(over.mean, over.half)}"


def _totals(plan: Plan, name: str) -> list[str]:
    lines = [f"{'the round':>13}  strokes  compared with this plan"]
    for policy, total in plan.totals[name].items():
        over = total.over_plan
        said = f"  {over.mean:+.2f} ±{over.half:.2f}" if policy != "this plan" else ""
        lines.append(f"{policy:>13}  {total.strokes:.2f}{said}")
    tees = [tee for tee in plan.tees if tee.tee.name == name]
    if counted := plan.tees[0].goal.count:
        likely = sum(1 - float(tee.choice.loss.mean()) for tee in tees)
        holes = f"{len(tees)} holes" if len(tees) > 1 else "this hole"
        lines.append(f"{'':>13}  {likely:.1f} {counted} on {holes}")
    if name in plan.days:
        lines.append(f"{'':>13}  {explain.day_text(plan.days[name])}")
    if name in plan.measuring and (said := explain.measuring_text(plan.measuring[name])):
        lines.append(f"{'':>13}  {said}")
    lines += wrap(f"{_marks(plan)} Safe: fairway or green. Trouble: a penalty area or out of bounds.", _WIDTH)
    if any(tee.flips for tee in tees):
        lines.append(
            "Felt wind is at head height on the tee: from that speed on (or under it) the other is better."
        )
    return lines
