"""The plan in a terminal, for someone standing on a practice ground."""

from holesim import advice
from holesim.plan import Plan, StrikePlan, TeePlan
from holesim.units import MPH, YARD

_AIM = 46


def plan_text(plan: Plan, *, metric: bool = False) -> str:
    """Return the whole plan as text."""
    unit = 1.0 if metric else YARD
    lines = [*_heading(plan, metric=metric), ""]
    for name in plan.totals:
        group = [tee for tee in plan.tees if tee.tee.name == name]
        lines.append(f"{name} tees, {sum(t.tee.length for t in group) / unit:,.0f} {'m' if metric else 'yd'}")
        lines.append(
            f"{'hole':>4} {'par':>3} {'m' if metric else 'yd':>4}  {'hit':<10} {'aim':<{_AIM}} "
            f"{'strokes':>7}  {'next best':<22} {'fairway':>7} {'trouble':>7}"
        )
        for tee in group:
            lines += _tee_lines(tee, metric=metric)
        lines += ["", *_totals(plan, name), ""]
    if plan.player.assumed:
        lines += ["Assumed, for want of it in the player file: " + "; ".join(plan.player.assumed) + ".", ""]
    lines += [f"! {caution}" for caution in advice.CAUTIONS]
    return "\n".join(lines)


def _heading(plan: Plan, *, metric: bool) -> list[str]:
    player, options = plan.player, plan.options
    handicap = f"+{-player.handicap_index:g}" if player.handicap_index < 0 else f"{player.handicap_index:g}"
    speed = f"{player.club_speed:.0f} m/s" if metric else f"{player.club_speed / MPH:.0f} mph"
    wind = (
        f"wind {options['wind_mph']:g} mph from {options['wind_from_deg']:g}°"
        if options["wind_mph"]
        else "calm"
    )
    return [
        f"{plan.course.name}, for {player.name}: {speed}, handicap {handicap}, usually hits {player.usual}",
        f"{wind}, {options['ground']} ground, {plan.draws:,} drives a strike, seed {plan.seed}",
    ]


def _tee_lines(plan: TeePlan, *, metric: bool) -> list[str]:
    choice, rival = plan.choice, plan.rival
    length = plan.tee.length / (1.0 if metric else YARD)
    hit = choice.label + (" ~" if plan.close else "")
    aim = choice.mark.text(metric=metric)
    other = "" if rival is None else _cost_against(rival, choice)
    safe = choice.shares["fairway"] + choice.shares["green"]
    trouble = choice.shares["penalty"] + choice.shares["out"]
    what = f"{plan.hole.number:>4} {plan.hole.par:>3} {length:>4.0f}  {hit:<10.10} {aim:<{_AIM}.{_AIM}}"
    worth = f"{choice.strokes:>7.2f}  {other:<22.22} {safe:>7.0%} {trouble:>7.1%}"
    lines = [f"{what} {worth}", f"{'':>13}  {plan.reason(metric=metric)}"]
    if plan.turns_on:
        lines.append(f"{'':>13}  would change under {'; or under '.join(plan.turns_on)}")
    return lines


def _cost_against(rival: StrikePlan, choice: StrikePlan) -> str:
    """Return what the rival costs over the choice, with half the width of its 95 % interval."""
    low, high = rival.interval_over(choice)
    return f"{rival.label} {rival.strokes - choice.strokes:+.2f} ±{(high - low) / 2:.2f}"


def _totals(plan: Plan, name: str) -> list[str]:
    totals = plan.totals[name]
    cheapest = min(totals.values())
    lines = [f"{'the round':>13}  strokes"]
    for policy, strokes in totals.items():
        over = f"  {strokes - cheapest:+.2f}" if strokes > cheapest else ""
        lines.append(f"{policy:>13}  {strokes:.2f}{over}")
    if not plan.player.can_choose:
        used = {t.choice.strike for t in plan.tees if t.tee.name == name and t.choice.club == "driver"}
        lines.append(f"{'':>13}  one strike all day: {', '.join(sorted(used)) or 'no driver'}")
    lines.append(
        "~ too close to call: the usual strike where it is as good. Trouble is penalty areas and out."
    )
    return lines
