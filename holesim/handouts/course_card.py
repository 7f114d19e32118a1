"""The course card: a page for each set of tees, a row for each hole."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from holesim._version import __version__
from holesim.common.text_format import distance, minus, sentence
from holesim.pictures.hole_picture import strike_style
from holesim.pictures.paper import BOTTOM, LEFT, RIGHT, TOP, Paper
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, Page, scratch_canvas, signed, write_pdf
from holesim.plan import explain
from holesim.plan.hole_wind import speed_text
from holesim.plan.plan import Plan
from holesim.plan.tee_plan import TeePlan
from holesim.units import MPH

# Columns [pt]: the left edges of words, the right edges of numbers.
_HIT, _AIM, _STROKES, _NEXT, _SAFE, _TROUBLE = 87.0, 194.0, 422.0, 497.0, 533.0, RIGHT
_WHY: Final = 252.0  # pt, across the reasons
_LEAST_GAP: Final = 3.0  # pt, between rows
_NOTE: Final = (
    "Hit: the strike, and how sure it is that it is better than the strike under instead, given all that is "
    "not known of the golfer. Instead: the difference if you hit that strike; 19 times in 20 the true one is "
    "within ±. Less than {under} is too little to matter."
)


@dataclass(frozen=True)
class _Detail:
    """How much the rows of a card say: felt winds, and in how many lines why; and in words what they lack."""

    winds: bool
    lines: int
    left_out: str


_DETAILS: Final = (
    _Detail(winds=True, lines=9, left_out=""),
    _Detail(winds=False, lines=9, left_out="felt winds that change a choice"),
    _Detail(winds=False, lines=2, left_out="felt winds that change a choice, and the end of long reasons"),
    _Detail(winds=False, lines=1, left_out="felt winds that change a choice, and the end of reasons"),
)


def write_card(plan: Plan, path: Path, *, metric: bool = False, paper: Paper = "a4") -> None:
    """Write the plan as a PDF, a page for each set of tees; the same plan gives the same bytes.

    Eighteen holes stay on one page: where they would not, rows say less, and the page says so.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> from holesim import load_course, load_player, make_plan
    >>> from holesim.data.examples import COURSE, PLAYER, find
    >>> from holesim.plan.round_options import RoundOptions
    >>> course, quick = load_course(find(COURSE)), RoundOptions(draws=256, table=True)
    >>> plan = make_plan(course, load_player(find(PLAYER)), quick, holes=[4])
    >>> with TemporaryDirectory() as folder:
    ...     write_card(plan, Path(folder) / "card.pdf")
    ...     (Path(folder) / "card.pdf").read_bytes()[:5]
    b'%PDF-'
    """
    title = f"A plan for {plan.player.name} on {plan.course.name}"
    write_pdf(card_pages(plan, metric=metric), path, title, paper=paper)


def card_pages(plan: Plan, *, metric: bool) -> Iterator[Page]:
    """Yield a page for each set of tees; more where the holes do not fit on one."""
    scratch = scratch_canvas()
    for name in plan.totals:
        tees = [tee for tee in plan.tees if tee.tee.name == name]
        head = _write_head(scratch, plan, tees, metric=metric)
        for detail in _DETAILS:
            foot = _write_foot(scratch, 0, plan, tees, detail)
            heights = [_write_row(scratch, 0, tee, detail, metric=metric) for tee in tees]
            room = BOTTOM - foot - head
            if sum(heights) + _LEAST_GAP * len(heights) <= room:
                break
        for first, last in _spans([height + _LEAST_GAP for height in heights], room):
            page = Page()
            canvas = page.canvas_at(0.0, 0.0)
            y = _write_head(canvas, plan, tees, metric=metric)
            gap = min((room - sum(heights[first:last])) / (last - first), 11)
            for tee in tees[first:last]:
                y = _write_row(canvas, y + gap / 2, tee, detail, metric=metric) + gap / 2
                canvas.draw_rule(LEFT, RIGHT, y)
            _write_foot(canvas, BOTTOM - foot, plan, tees, detail)
            yield page


def _spans(heights: Sequence[float], room: float) -> Iterator[tuple[int, int]]:
    """Yield the first row of each page and the row after its last; a page has at least one."""
    first, used = 0, 0.0
    for i, height in enumerate(heights):
        if i > first and used + height > room:
            yield first, i
            first, used = i, 0.0
        used += height
    yield first, len(heights)


def _write_head(canvas: Canvas, plan: Plan, tees: Sequence[TeePlan], *, metric: bool) -> float:
    """Write the title and the names of the columns; return where the rows begin."""
    wide = RIGHT - LEFT
    y = canvas.write(LEFT, TOP, plan.course.name, size=18, bold=True, width=wide, max_lines=2, tag="H1")
    y = canvas.write(LEFT, y + 1, f"For {plan.player.name}", size=11, width=wide, max_lines=2)
    length = distance(sum(t.tee.length for t in tees), metric=metric)
    place = f"{tees[0].tee.name} tees, {length}, par {sum(t.hole.par for t in tees)}"
    for text in (f"{place}; {_golfer_text(plan, metric=metric)}", _conditions_text(plan, metric=metric)):
        y = canvas.write(LEFT, y + 1, sentence(text), colour=QUIET, width=wide)
    y += 10
    words = ((LEFT, "hole"), (_HIT, "hit"), (_AIM, "aim, and why"))
    columns = (
        (_STROKES, tees[0].goal.head),
        (_NEXT, "instead"),
        (_SAFE, "fairway or green"),
        (_TROUBLE, "penalty or out"),
    )
    with canvas.within("TR"):
        for x, title in words:
            canvas.write(x, y + 9, title, size=SMALL, colour=QUIET, tag="TH")
        for x, title in columns:
            lines = 1 if x < _SAFE else 2
            room = wide / lines / 8
            canvas.write_right(x, y + 18 - 9 * lines, title, size=SMALL, colour=QUIET, width=room, tag="TH")
    canvas.draw_rule(LEFT, RIGHT, y + 22)
    return y + 22


def _write_row(canvas: Canvas, y: float, plan: TeePlan, detail: _Detail, *, metric: bool) -> float:
    """Write what to do on a tee; return where the row ends."""
    choice = plan.choice
    with canvas.within("TR"):
        with canvas.within("TD"):
            canvas.write(LEFT, y - 3, f"{plan.hole.number}", size=13, bold=True)
            canvas.write(LEFT + 23, y, f"par {plan.hole.par}", size=SMALL, colour=QUIET)
            length = distance(plan.tee.length, metric=metric)
            canvas.write(LEFT + 23, y + 10, length, size=SMALL, colour=QUIET)
        canvas.draw_marker(_HIT + 3, y + 5.5, strike_style(choice))
        with canvas.within("TD"):
            room = _AIM - _HIT - 14
            hit = canvas.write(_HIT + 11, y, choice.label, size=9, bold=True, width=room, max_lines=3)
            if explain.sureness_of(plan):
                hit = canvas.write(_HIT, hit, explain.sureness_of(plan), size=SMALL, width=_AIM - _HIT - 2)
        with canvas.within("TD"):
            aim = choice.mark.text(metric=metric)
            below = canvas.write(_AIM, y, aim, size=8.5, width=_STROKES - _AIM - 28)
            wind = explain.wind_text(plan, metric=metric, most=1) if detail.winds else ""
            text = "; ".join(filter(None, (explain.warning(plan), explain.why(plan, metric=metric), wind)))
            below = canvas.write(
                _AIM, below, text, size=SMALL, colour=QUIET, width=_WHY, max_lines=detail.lines
            )
        canvas.write_right(_STROKES, y, plan.goal.text(float(choice.loss.mean())), size=8.5)
        with canvas.within("TD"):
            if plan.rival is not None:
                over, rival = plan.rival.over(choice), plan.rival.label
                canvas.write_right(_NEXT, y, signed(plan.goal.over_text(over.mean, over.half)), size=8.5)
                room = _NEXT - _AIM - _WHY - 4
                canvas.write_right(_NEXT, y + 11, rival, size=SMALL, colour=QUIET, width=room, max_lines=1)
        canvas.write_right(_SAFE, y, f"{choice.safe:.0%}", size=8.5)
        canvas.write_right(_TROUBLE, y, f"{choice.trouble:.1%}", size=8.5)
    return max(below, hit)


def _write_foot(canvas: Canvas, y: float, plan: Plan, tees: Sequence[TeePlan], detail: _Detail) -> float:
    """Write the strokes of each policy, the notes and the cautions; return where they end."""
    name = tees[0].tee.name
    totals = plan.totals[name]
    of = "the round" if len(tees) == len(plan.course.holes) else "the holes above"
    canvas.write(LEFT, y + 10, f"Strokes for {of}", bold=True, tag="H2")
    for i, (policy, total) in enumerate(totals.items()):
        x, over = _AIM + i * 100, total.over_plan
        with canvas.within("P"):
            canvas.write(x, y + 10, policy, colour=QUIET)
            canvas.write(x, y + 20, f"{total.strokes:.2f}", size=10, bold=policy == "this plan")
            if policy != "this plan":
                said = signed(f"{over.mean:+.2f} ±{over.half:.2f}")
                canvas.write(x + 40, y + 21.5, said, size=7.5, colour=QUIET)
    y += 34
    if name in plan.days:
        y = canvas.write(
            LEFT, y, sentence(minus(explain.day_text(plan.days[name]))), size=8, width=RIGHT - LEFT
        )
    if name in plan.measuring and (said := explain.measuring_text(plan.measuring[name])):
        y = canvas.write(LEFT, y, sentence(said), size=8, width=RIGHT - LEFT)
    y += 6
    canvas.draw_rule(LEFT, RIGHT, y)
    y += 4
    left_out = f"Left out so that this stays one page: {detail.left_out}." if detail.left_out else ""
    for note in filter(None, (_NOTE.format(under=tees[0].goal.under), left_out, " ".join(explain.CAUTIONS))):
        y = canvas.write(LEFT, y + 1, note, size=SMALL, colour=QUIET, width=RIGHT - LEFT)
    made = f"This is a printed plan, made before the round with holesim {__version__}."
    return canvas.write(LEFT, y + 2, made, size=7.5, bold=True, width=RIGHT - LEFT)


def _golfer_text(plan: Plan, *, metric: bool) -> str:
    player = plan.player
    speed = speed_text(player.club_speed, metric=metric)
    usual = f", usually hits {player.usual}" if player.usual else ""
    assumed = "; part of the swing or the clubs assumed" if player.assumed else ""
    return f"club speed {speed}, handicap index {player.handicap}{usual}{assumed}"


def _conditions_text(plan: Plan, *, metric: bool) -> str:
    options = plan.options
    speed = options["wind_mph"]
    stated = f"{speed * MPH:.1f} m/s" if metric else f"{speed:g} mph"
    wind = f"wind {stated} from {options['wind_from_deg']:g}°" if speed else "calm"
    air = f"air density {options['air_density_kg_m3']:.2f} kg/m³"
    out = "stroke and distance" if options["out_of_bounds"] == "distance" else "a drop for two strokes"
    drives = f"{plan.drives} drives per strike, seed {plan.seed}"
    ground = f"{options['ground']} ground{explain.other_flight(options['ball_flight'])}"
    return f"{wind}, {air}, {ground}; out of bounds: {out}; {drives}"
