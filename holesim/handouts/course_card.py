"""The course card: a page for each set of tees, a line a hole."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from matplotlib.figure import Figure
from matplotlib.transforms import Affine2D

from holesim._version import __version__
from holesim.common.text_format import distance, minus, sentence
from holesim.pictures.hole_picture import styles
from holesim.pictures.typesetting import QUIET, SMALL, Sheet, write_pdf
from holesim.plan import explain
from holesim.plan.plan import Plan
from holesim.plan.tee_plan import TeePlan
from holesim.units import MPH

_PAGE: Final = (595.0, 842.0)  # pt, A4
_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 555.0, 38.0, 812.0
# Where the columns of the card stand [pt]: the left edges of words, the right edges of numbers.
_HIT, _AIM, _STROKES, _NEXT, _SAFE, _TROUBLE = 97.0, 172.0, 402.0, 480.0, 520.0, 555.0
_WHY: Final = 256.0  # pt, across the reasons
_NOTE: Final = (
    "Under what to hit: how sure it is that it is better than what stands under instead, given what is not "
    "known of the golfer. Instead: what that costs more, or brings, and ± holds what is true 19 times in 20; "
    "under {under} is too little to matter."
)


def write_card(plan: Plan, path: Path, *, metric: bool = False) -> None:
    """Write the plan as a PDF, a page for each set of tees; the same plan gives the same bytes."""
    write_pdf(_card_pages(plan, metric=metric), path)


def _card_pages(plan: Plan, *, metric: bool) -> Iterator[Figure]:
    """Yield a page for each set of tees; more where the holes do not fit on one."""
    blank = Sheet(lambda _: None, Affine2D())
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee.name == name]
        head = _card_head(blank, plan, tees, metric=metric)
        foot = _card_foot(blank, 0, plan, tees)
        heights = [_card_row(blank, 0, tee, metric=metric) for tee in tees]
        room = _BOTTOM - foot - head
        for first, last in _fitting([h + 5 for h in heights], room):
            figure = Figure(figsize=(_PAGE[0] / 72, _PAGE[1] / 72))
            flip = Affine2D().scale(1 / 72, -1 / 72).translate(0, _PAGE[1] / 72)
            sheet = Sheet(figure.add_artist, flip + figure.dpi_scale_trans)
            y = _card_head(sheet, plan, tees, metric=metric)
            gap = min((room - sum(heights[first:last])) / (last - first), 11)
            for tee in tees[first:last]:
                y = _card_row(sheet, y + gap / 2, tee, metric=metric) + gap / 2
                sheet.rule(_LEFT, _RIGHT, y)
            _card_foot(sheet, _BOTTOM - foot, plan, tees)
            yield figure


def _fitting(heights: Sequence[float], room: float) -> Iterator[tuple[int, int]]:
    """Yield the spans of rows that fit one page each, a row at the least."""
    first, used = 0, 0.0
    for i, height in enumerate(heights):
        if i > first and used + height > room:
            yield first, i
            first, used = i, 0.0
        used += height
    yield first, len(heights)


def _card_head(sheet: Sheet, plan: Plan, tees: Sequence[TeePlan], *, metric: bool) -> float:
    """Write the title and the names of the columns; return where the rows begin."""
    wide = _RIGHT - _LEFT
    y = sheet.write(_LEFT, _TOP, plan.course.name, size=18, bold=True, width=wide, most=2)
    y = sheet.write(_LEFT, y + 1, f"For {plan.player.name}", size=11, width=wide)
    length = distance(sum(t.tee.length for t in tees), metric=metric)
    place = f"{tees[0].tee.name} tees, {length}, par {sum(t.hole.par for t in tees)}"
    for text in (f"{place}; {_golfer(plan, metric=metric)}", _conditions(plan, metric=metric)):
        y = sheet.write(_LEFT, y + 1, sentence(text), colour=QUIET, width=wide)
    y += 10
    sheet.write(_LEFT, y + 9, "hole", size=SMALL, colour=QUIET)
    sheet.write(_HIT, y + 9, "hit", size=SMALL, colour=QUIET)
    sheet.write(_AIM, y + 9, "aim, and why", size=SMALL, colour=QUIET)
    columns = (
        (_STROKES, tees[0].goal.head),
        (_NEXT, "instead"),
        (_SAFE, "fairway or green"),
        (_TROUBLE, "penalty or out"),
    )
    for x, title in columns:
        lines = 1 if x < _SAFE else 2
        sheet.write(
            x, y + 18 - 9 * lines, title, size=SMALL, colour=QUIET, width=wide / lines / 8, align="right"
        )
    sheet.rule(_LEFT, _RIGHT, y + 22)
    return y + 22


def _card_row(sheet: Sheet, y: float, plan: TeePlan, *, metric: bool) -> float:
    """Write what to do on a tee; return where the row ends."""
    choice = plan.choice
    sheet.write(_LEFT, y - 3, f"{plan.hole.number}", size=13, bold=True)
    sheet.write(_LEFT + 23, y, f"par {plan.hole.par}", size=SMALL, colour=QUIET)
    sheet.write(_LEFT + 23, y + 10, distance(plan.tee.length, metric=metric), size=SMALL, colour=QUIET)
    sheet.mark(_HIT + 3, y + 5.5, styles([choice])[0])
    hit = sheet.write(_HIT + 11, y, choice.label, size=9, bold=True, width=_AIM - _HIT - 14, most=3)
    if sure := explain.sureness_of(plan):
        hit = sheet.write(_HIT, hit, sure, size=SMALL, width=_AIM - _HIT - 2)
    sheet.write(_STROKES, y, plan.goal.text(float(choice.loss.mean())), size=8.5, align="right")
    sheet.write(_SAFE, y, f"{choice.safe:.0%}", size=8.5, align="right")
    sheet.write(_TROUBLE, y, f"{choice.trouble:.1%}", size=8.5, align="right")
    if plan.rival is not None:
        over = plan.rival.over(choice)
        said = plan.goal.over_text(over.mean, over.half)
        sheet.write(_NEXT, y, minus(said), align="right", size=8.5)
        room = _NEXT - _AIM - _WHY - 4
        sheet.write(
            _NEXT, y + 11, plan.rival.label, align="right", size=SMALL, colour=QUIET, width=room, most=1
        )
    y = sheet.write(_AIM, y, choice.mark.text(metric=metric), size=8.5, width=_STROKES - _AIM - 28)
    why = explain.why(plan, metric=metric)
    text = "; ".join(
        filter(None, (explain.warning(plan), why, explain.wind_text(plan, metric=metric, most=1)))
    )
    y = sheet.write(_AIM, y, text, size=SMALL, colour=QUIET, width=_WHY)
    return max(y, hit)


def _card_foot(sheet: Sheet, y: float, plan: Plan, tees: Sequence[TeePlan]) -> float:
    """Write what each policy costs, the notes and the cautions; return where they end."""
    name = tees[0].tee.name
    totals = plan.totals[name]
    of = "the round" if len(tees) == len(plan.course.holes) else "the holes above"
    sheet.write(_LEFT, y + 10, f"Strokes for {of}", bold=True)
    for i, (policy, total) in enumerate(totals.items()):
        x = _AIM + i * 100
        sheet.write(x, y + 10, policy, colour=QUIET)
        over = total.over_plan
        sheet.write(x, y + 20, f"{total.strokes:.2f}", size=10, bold=policy == "this plan")
        if policy != "this plan":
            said = minus(f"{over.mean:+.2f} ±{over.half:.2f}")
            sheet.write(x + 32, y + 21.5, said, size=7.5, colour=QUIET)
    y += 34
    if name in plan.days:
        y = sheet.write(_LEFT, y, sentence(explain.day_text(plan.days[name])), size=8, width=_RIGHT - _LEFT)
    if name in plan.measuring and (said := explain.measuring_text(plan.measuring[name])):
        y = sheet.write(_LEFT, y, sentence(said), size=8, width=_RIGHT - _LEFT)
    y += 6
    sheet.rule(_LEFT, _RIGHT, y)
    y += 4
    for note in (_NOTE.format(under=tees[0].goal.under), *explain.CAUTIONS):
        y = sheet.write(_LEFT, y + 1, note, size=SMALL, colour=QUIET, width=_RIGHT - _LEFT)
    made = f"This is a printed plan, made before the round with holesim {__version__}."
    return sheet.write(_LEFT, y + 2, made, size=7.5, bold=True, width=_RIGHT - _LEFT)


def _golfer(plan: Plan, *, metric: bool) -> str:
    player = plan.player
    speed = f"{player.club_speed:.0f} m/s" if metric else f"{player.club_speed / MPH:.0f} mph"
    usual = f", usually hits {player.usual}" if player.usual else ""
    assumed = "; part of the swing or the bag assumed" if player.assumed else ""
    return f"club speed {speed}, handicap index {player.handicap}{usual}{assumed}"


def _conditions(plan: Plan, *, metric: bool) -> str:
    options = plan.options
    speed = options["wind_mph"]
    told = f"{speed * MPH:.1f} m/s" if metric else f"{speed:g} mph"
    wind = f"wind {told} from {options['wind_from_deg']:g}°" if speed else "calm"
    air = f"air of {options['air_density_kg_m3']:.2f} kg/m³"
    out = "stroke and distance" if options["out_of_bounds"] == "distance" else "a drop for two strokes"
    drives = f"{plan.drives} drives a strike, seed {plan.seed}"
    ground = f"{options['ground']} ground{explain.other_flight(options['ball_flight'])}"
    return f"{wind}, {air}, {ground}; out of bounds: {out}; {drives}"
