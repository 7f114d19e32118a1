"""The captain's sheet: the draw and what choices gain, then matches hole by hole, and strips to cut."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from holesim._version import __version__
from holesim.common.text_format import sentence
from holesim.handouts.captain_parts import (
    DrawRow,
    draw_rows,
    gain_texts,
    handicap_tables,
    headline,
    match_sheets,
)
from holesim.handouts.captain_sheet_blocks import (
    BODY_BOTTOM,
    BODY_TOP,
    MOST_LINES,
    WIDE,
    match_blocks,
    pack,
    strip_blocks,
    text_height,
)
from holesim.pictures.paper import LEFT, RIGHT, TOP, Paper
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, Page, write_pdf
from holesim.plan import explain
from holesim.reports.team_text import (
    LEGEND,
    assumed_text,
    conditions_text,
    player_strips,
    strip_legend,
    total_text,
)
from holesim.reports.team_words import HandicapRow, allowance_text, notes
from holesim.team.team_plan import TeamPlan

_NAMES_WIDE: Final = 110.0  # of the table of points
_HANDICAP_NAMES_WIDE: Final = 92.0
_HANDICAP_COLUMNS: Final = (156.0, 222.0, 254.0)  # their right ends, from the table's left
_NUMBER: Final = 18.0
_SIDE_WIDE: Final = (WIDE - _NUMBER - 60) / 2


def write_captain_sheet(plan: TeamPlan, path: Path, *, paper: Paper = "a4") -> None:
    """Write the captain's sheet as a PDF; the same plan gives the same bytes."""
    title = f"A captain's plan for {plan.team.name} on {plan.course.name}"
    write_pdf(captain_pages(plan), path, title, paper=paper)


def captain_pages(plan: TeamPlan) -> Iterator[Page]:
    """Yield the captain's own page, and pages of matches and of strips, which begin where it ends."""
    made = f"A printed plan, made before the round with holesim {__version__}."
    text = " ".join((made, *explain.CAUTIONS))
    for page in _pages(plan):
        foot = page.canvas_at(0.0, 0.0)
        foot.write(LEFT, BODY_BOTTOM + 4, text, size=SMALL, colour=QUIET, width=WIDE, max_lines=3)
        yield page


def _pages(plan: TeamPlan) -> Iterator[Page]:
    """Yield the pages without their feet."""
    strips, front = player_strips(plan), _Front(plan)
    yield from front.write()
    blocks = [*strip_blocks(strips), *match_blocks(match_sheets(plan))]
    legend = strip_legend(strips)
    below = BODY_TOP + text_height(legend, WIDE, SMALL, 3) + 8
    groups = pack([block.height for block in blocks], BODY_BOTTOM - front.y, BODY_BOTTOM - below)
    page, sheet, y = front.page, front.sheet, front.y
    for number, group in enumerate(groups):
        if number:
            page, sheet = _page(plan, "; ".join(blocks[block].title for block in group))
            sheet.write(LEFT, BODY_TOP, legend, size=SMALL, colour=QUIET, width=WIDE, max_lines=3)
            y = below
        for block in group:
            blocks[block].write(sheet, y)
            y += blocks[block].height
        yield page


def _page(plan: TeamPlan, what: str) -> tuple[Page, Canvas]:
    """Return a page with a head that says what is on it."""
    page = Page()
    sheet = page.canvas_at(0.0, 0.0)
    sheet.write(LEFT, TOP, f"{plan.team.name}: {what}", size=9, bold=True, width=WIDE, max_lines=2, tag="H1")
    sheet.write(LEFT, TOP + 24, sentence(headline(plan)), size=SMALL, colour=QUIET, width=WIDE, max_lines=1)
    return page, sheet


class _Front:
    """The captain's own page as it is being written; more pages where a large team's does not fit on one."""

    def __init__(self, plan: TeamPlan) -> None:
        self.plan = plan
        self.page, self.sheet = _page(plan, "draw")
        self.y = BODY_TOP

    def write(self) -> Iterator[Page]:
        """Write it; yield pages that are full. The last is left for what follows."""
        plan = self.plan
        yield from self._draw()
        y = self.sheet.write(LEFT, self.y + 3, sentence(total_text(plan)), size=10, bold=True, width=WIDE)
        self.y = y + 6
        yield from self._texts("What choices gain", gain_texts(plan))
        if plan.points:
            tall = 40 + sum(_points_row_height(names) for names in plan.rows)
            yield from self._make_room(tall + text_height(_numbered(plan), WIDE, SMALL, 9))
            self.y = _write_points(self.sheet, self.y, plan)
        tables = handicap_tables(plan)
        if tables:
            tall = 30 + max(sum(map(_handicap_height, rows)) for _, rows in tables)
            yield from self._make_room(tall)
            self.y = _write_handicaps(self.sheet, self.y, plan) + 6
        yield from self._texts("Notes", notes(plan))
        small = (LEGEND, strip_legend(player_strips(plan)), assumed_text(plan))
        for text in (*small, sentence(conditions_text(plan))):
            if text:
                yield from self._make_room(text_height(text, WIDE, SMALL))
                self.y = self.sheet.write(
                    LEFT, self.y, text, size=SMALL, colour=QUIET, width=WIDE, max_lines=MOST_LINES
                )
        self.y += 12

    def _make_room(self, tall: float) -> Iterator[Page]:
        """Begin a page where what follows would not fit; yield the full one."""
        if self.y + tall > BODY_BOTTOM:
            yield self.page
            self.page, self.sheet = _page(self.plan, "draw, continued")
            self.y = BODY_TOP

    def _draw(self) -> Iterator[Page]:
        rows = draw_rows(self.plan)
        heads = (("ours", _NUMBER), *((("theirs", _NUMBER + _SIDE_WIDE),) if rows[0].theirs else ()))
        with self.sheet.within("TR"):
            self.sheet.write(LEFT, self.y, "", tag="TH")
            for head, x in heads:
                self.sheet.write(LEFT + x, self.y, head, size=8, colour=QUIET, tag="TH")
            self.sheet.write_right(RIGHT, self.y, self.plan.unit, size=8, colour=QUIET, tag="TH")
        self.y += 12
        for number, row in enumerate(rows, 1):
            yield from self._make_room(_draw_height(row))
            self.sheet.draw_rule(LEFT, RIGHT, self.y)
            with self.sheet.within("TR"):
                self.sheet.write(LEFT, self.y + 1, f"{number}", size=9, bold=True)
                for (_, x), side in zip(heads, (row.ours, row.theirs), strict=False):
                    self._write_side(LEFT + x, side)
                expected = f"{row.expected} {row.spread}".strip()
                self.sheet.write_right(RIGHT, self.y + 1, expected, size=9, bold=True)
            self.y += _draw_height(row)
        self.sheet.draw_rule(LEFT, RIGHT, self.y)

    def _write_side(self, x: float, side: Iterable[tuple[str, str]]) -> None:
        y = self.y + 1
        with self.sheet.within("TD"):
            for text in map(_noted, side):
                y = self.sheet.write(x, y, text, size=9, width=_SIDE_WIDE - 8, max_lines=MOST_LINES)

    def _texts(self, head: str, texts: list[str]) -> Iterator[Page]:
        if not texts:
            return
        sentences = [sentence(text) for text in texts]
        yield from self._make_room(14 + text_height(sentences[0], WIDE, 9))
        self.y = self.sheet.write(LEFT, self.y, head, size=10, bold=True, width=WIDE, tag="H2")
        for text in sentences:
            yield from self._make_room(text_height(text, WIDE, 9))
            self.y = self.sheet.write(LEFT, self.y, text, size=9, width=WIDE, max_lines=MOST_LINES) + 1
        self.y += 5


def _noted(named: tuple[str, str]) -> str:
    name, said = named
    return f"{name} ({said})" if said else name


def _draw_height(row: DrawRow) -> float:
    sides = (
        sum(text_height(_noted(one), _SIDE_WIDE - 8, 9) for one in side) for side in (row.ours, row.theirs)
    )
    return max(sides) + 2


def _handicap_height(row: HandicapRow) -> float:
    return 0.5 + text_height(row.who, _HANDICAP_NAMES_WIDE, SMALL)


def _write_handicaps(sheet: Canvas, y: float, plan: TeamPlan) -> float:
    """Write the handicaps of our players or pairs, and beside them the opponents'."""
    head = sentence(f"Handicaps: the allowance is {allowance_text(plan)}")
    top = sheet.write(LEFT, y, head, size=9, bold=True, width=WIDE, max_lines=2, tag="H2")
    below = top
    for k, (whose, rows) in enumerate(handicap_tables(plan)):
        left = LEFT + k * (WIDE / 2 + 7)
        with sheet.within("TR"):
            y = sheet.write(left, top, whose, size=SMALL, colour=QUIET, tag="TH")
            for x, word in zip(_HANDICAP_COLUMNS, ("course", "allowance", "playing"), strict=True):
                sheet.write_right(left + x, top, word, size=SMALL, colour=QUIET, tag="TH")
        for row in rows:
            with sheet.within("TR"):
                sheet.write(left, y, row.who, size=SMALL, width=_HANDICAP_NAMES_WIDE, max_lines=MOST_LINES)
                for x, cell in zip(_HANDICAP_COLUMNS, (row.course, row.share, row.playing), strict=True):
                    sheet.write_right(left + x, y, cell, size=SMALL)
            y += _handicap_height(row)
        below = max(below, y)
    return below


def _numbered(plan: TeamPlan) -> str:
    return "; ".join(f"{number} {' and '.join(names)}" for number, names in enumerate(plan.opponents, 1))


def _points_row_height(names: tuple[str, ...]) -> float:
    return 1 + text_height(" and ".join(names), _NAMES_WIDE, SMALL)


def _write_points(sheet: Canvas, y: float, plan: TeamPlan) -> float:
    """Write the points that each side may expect against each opponent, those of the draw in bold."""
    head = "Expected points against each, those of the draw in bold"
    y = sheet.write(LEFT, y, head, size=10, bold=True, width=WIDE, tag="H2")
    y = sheet.write(LEFT, y, _numbered(plan), size=SMALL, colour=QUIET, width=WIDE, max_lines=9) + 1
    first = LEFT + _NAMES_WIDE
    across = min((RIGHT - first) / len(plan.opponents), 46.0)
    with sheet.within("TR"):
        sheet.write(LEFT, y, "", tag="TH")
        for column in range(1, len(plan.opponents) + 1):
            sheet.write_right(first + column * across, y, f"{column}", size=SMALL, colour=QUIET, tag="TH")
    y += 1.3 * SMALL
    drawn = {(side.names, side.against) for side in plan.sides}
    for names, row in zip(plan.rows, plan.points, strict=True):
        with sheet.within("TR"):
            sheet.write(LEFT, y, " and ".join(names), size=SMALL, width=_NAMES_WIDE, max_lines=MOST_LINES)
            for column, (opponents, points) in enumerate(zip(plan.opponents, row, strict=True), 1):
                bold = (names, opponents) in drawn
                sheet.write_right(first + column * across, y, f"{points:.2f}", size=SMALL, bold=bold)
        y += _points_row_height(names)
    return y + 8
