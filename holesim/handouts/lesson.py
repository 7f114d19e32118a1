"""The lesson: one page about a golfer's driver, to be handed to them."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Final

import numpy as np
from PIL import Image

from holesim._version import __version__
from holesim.common.text_format import minus, sentence
from holesim.handouts.lesson_head import LessonHead
from holesim.handouts.lesson_words import (
    MEASURES,
    NO_PRACTICE,
    NUMBERS_NOTE,
    OFF,
    SIDES_NOTE,
    assumed_text,
    day_texts,
    first_tee,
    landings_text,
    number_row,
    policy_rows,
    practice_rows,
    row_name,
    shorten_number,
    three_sentences,
)
from holesim.handouts.plan_words import golfer_text, plan_title, setup_texts
from holesim.handouts.range_picture import draw_range
from holesim.handouts.setup_picture import draw_set_up
from holesim.pictures.hole_picture import DRIVER_STYLES
from holesim.pictures.paper import BOTTOM, LEFT, RIGHT, TOP, Paper
from holesim.pictures.typesetting import QUIET, SMALL, Canvas, Page, printed_width, scratch_canvas, write_pdf
from holesim.plan import explain
from holesim.plan.plan_tables import PlanFile
from holesim.study.practice_file import PracticeFile

_WIDE: Final = RIGHT - LEFT
_LOGO: Final = (120.0, 40.0)  # pt, at most
_NAMES: Final = (17.0, 14.0, 11.0, 9.0)  # pt, the largest at which the name fits
_RANGE: Final = 235.0  # pt, across the range picture
_MOST_RANGE: Final = 300.0  # pt, its height
_COLUMN: Final = 14.0  # pt, between columns of text
_GAPS: Final = 4  # between the parts of the page
_LEAST_GAP, _MOST_GAP = 5.0, 16.0  # pt
_RANGE_NOTE: Final = (
    "On level ground in calm air: half of the drives land inside the solid outline, nine in ten inside the "
    "dashed one."
)


@dataclass(frozen=True)
class _Detail:
    """How much of each part a page says, in lines, and the least height of the range picture [pt]."""

    notes: int = 24
    practice: int = 9
    assumed: int = 12
    texts: int = 9
    policies: int = 6
    least: float = 140.0


_DETAILS: Final = (
    _Detail(),
    _Detail(least=105.0),
    _Detail(practice=5, least=105.0),
    _Detail(practice=5, assumed=4, least=105.0),
    _Detail(practice=4, assumed=3, notes=12, texts=5, policies=4, least=105.0),
    _Detail(practice=3, assumed=2, notes=7, texts=3, policies=3, least=105.0),
    _Detail(practice=2, assumed=1, notes=3, texts=2, policies=2, least=90.0),
    _Detail(practice=2, assumed=1, notes=1, texts=2, policies=2, least=90.0),
)


def write_lesson(
    plans: Sequence[PlanFile],
    path: Path,
    *,
    practice: PracticeFile | None = None,
    head: LessonHead | None = None,
    metric: bool = False,
    paper: Paper = "a4",
) -> None:
    """Write the lesson of each wind as a PDF of one page each; the same input gives the same bytes.

    Parameters
    ----------
    practice
        What practice would pay.
    head
        Who gives the lesson, and when.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from holesim.course.course_file import load_course
    >>> from holesim.data.examples import PLAYER, find
    >>> from holesim.plan.plan import make_plan
    >>> from holesim.plan.plan_file import load_plan
    >>> from holesim.plan.round_options import RoundOptions
    >>> from holesim.shot.club_speeds import load_player
    >>> course, player = load_course(find("template.geojson")), load_player(find(PLAYER))
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "plan.json")
    ...     _ = file.write_text(make_plan(course, player, RoundOptions(draws=256)).to_json())
    ...     write_lesson([load_plan(file)], Path(folder, "lesson.pdf"), head=LessonHead(by="Tova Lind"))
    ...     Path(folder, "lesson.pdf").read_bytes().count(b"/Type /Page ")
    1
    """
    given = head or LessonHead()
    pages = (lesson_page(plan, practice, given, metric=metric) for plan in plans)
    write_pdf(pages, path, plan_title("A lesson on the driver", plans), paper=paper)


def lesson_page(plan: PlanFile, practice: PracticeFile | None, head: LessonHead, *, metric: bool) -> Page:
    """Return the lesson as a page: as much of each part as fits, and the room left shared among them."""
    page = Page()
    parts = _Parts(plan, practice, head, metric=metric)
    for detail in _DETAILS:
        needed = parts.write(scratch_canvas(), detail, detail.least, _LEAST_GAP)
        if needed <= BOTTOM:
            break
    room = max(BOTTOM - needed, 0.0)
    tall = min(detail.least + 0.6 * room, _MOST_RANGE)
    room -= parts.write(scratch_canvas(), detail, tall, _LEAST_GAP) - needed
    gap = min(_LEAST_GAP + max(room, 0.0) / _GAPS, _MOST_GAP)
    if head.logo is not None:
        _draw_logo(page, head.logo, f"The mark of {head.by or 'the coach'}.")
    parts.write(page.canvas_at(0.0, 0.0), detail, tall, gap)
    return page


@dataclass(frozen=True)
class _Parts:
    """The parts of a lesson, each written below a y; all return where they end."""

    plan: PlanFile
    practice: PracticeFile | None
    head: LessonHead
    metric: bool

    def write(self, canvas: Canvas, detail: _Detail, tall: float, gap: float) -> float:
        """Write the page; `tall` is the height of the range picture, `gap` what lies between parts."""
        y = self._write_head(canvas)
        for said in three_sentences(self.plan, self.practice, metric=self.metric):
            y = _write_led(canvas, y + 2, said)
        y = self._write_numbers(canvas, y + gap)
        left = self._draw_range(canvas, y + gap, tall)
        right = self._write_day(canvas, y + gap, detail)
        y = self._write_set_up(canvas, max(left, right) + gap)
        y = self._write_practice(canvas, y + gap, detail)
        return self._write_foot(canvas, y + 3, detail)

    def _write_head(self, canvas: Canvas) -> float:
        wide = _WIDE if self.head.logo is None else _WIDE - _LOGO[0] - _COLUMN
        said = self.head.text()
        name = self.plan.player
        size = next((s for s in _NAMES if printed_width(name, s, bold=True) <= wide), _NAMES[-1])
        y = canvas.write(LEFT, TOP, name, size=size, bold=True, width=wide, max_lines=1, tag="H1")
        about = f"A lesson on the driver{f' {said}' if said else ''}"
        y = canvas.write(LEFT, y, about, size=10, width=wide, max_lines=1)
        who = f"{golfer_text(self.plan, metric=self.metric)}; planned on {self.plan.course}"
        y = canvas.write(LEFT, y + 1, sentence(who), size=8, colour=QUIET, width=wide, max_lines=2)
        if self.head.logo is not None:
            y = max(y, TOP + _LOGO[1] + 2)
        return canvas.draw_rule(LEFT, RIGHT, y + 3) + 3

    def _write_numbers(self, canvas: Canvas, y: float) -> float:
        strikes = self.plan.driving
        narrow = len(strikes) > 2
        first = 100.0 if narrow else 110.0
        each = min((_WIDE - first) / len(strikes), 214.0)
        columns = (0.0, 0.285 * each, 0.655 * each) if narrow else (0.0, 0.25 * each, 0.66 * each)
        canvas.draw_rule(LEFT, RIGHT, y)
        with canvas.within("TR"):
            canvas.write(LEFT, y, "", tag="TH")
            for number, strike in enumerate(strikes):
                x = LEFT + first + number * each
                style = DRIVER_STYLES[strike.strike]
                canvas.draw_marker(x + 4, y + 8.5, style)
                canvas.write(x + 11, y + 2, strike.strike, size=9, bold=True, colour=style.colour, tag="TH")
                between = "9 in 10" if narrow else "9 in 10 between"
                for at, words in zip(columns[1:], (between, "wanted"), strict=True):
                    canvas.write(x + at, y + 4, words, size=SMALL, colour=QUIET, tag="TH")
        y += 15
        for key in MEASURES:
            if key == "ball_speed_mph":
                canvas.draw_rule(LEFT, RIGHT, y + 1)
                y += 2
            with canvas.within("TR"):
                name = row_name(key, metric=self.metric)
                bottom = canvas.write(LEFT, y, name, size=7.5, colour=QUIET, width=first - 4)
                for number, strike in enumerate(strikes):
                    x = LEFT + first + number * each
                    row = number_row(key, strike.numbers[key], metric=self.metric)
                    texts = [row.mean, row.interval, row.wanted]
                    if narrow:
                        texts = [shorten_number(text) for text in texts]
                    for at, end, text in zip(columns, (*columns[1:], each), texts, strict=True):
                        with canvas.within("TD"):
                            if row.off and not at:
                                canvas.write(x - 8, y, OFF, size=7.5)
                            bold, wide = row.off and text != texts[1], end - at - 3
                            below = canvas.write(x + at, y, text, size=7.5, bold=bold, width=wide)
                        bottom = max(bottom, below)
            y = bottom
        note = f"{NUMBERS_NOTE} {SIDES_NOTE}" if narrow else NUMBERS_NOTE
        return canvas.write(LEFT, y + 2, note, size=SMALL, colour=QUIET, width=_WIDE)

    def _draw_range(self, canvas: Canvas, y: float, tall: float) -> float:
        y = canvas.write(LEFT, y, "Where your drives land", size=10, bold=True, tag="H2")
        with canvas.within("Figure", landings_text(self.plan, metric=self.metric)):
            draw_range(canvas, (LEFT, y + 2, _RANGE, tall), self.plan.driving, metric=self.metric)
        return canvas.write(LEFT, y + tall + 4, _RANGE_NOTE, size=SMALL, colour=QUIET, width=_RANGE)

    def _write_day(self, canvas: Canvas, y: float, detail: _Detail) -> float:
        x, tee = LEFT + _RANGE + _COLUMN, first_tee(self.plan)
        wide = RIGHT - x
        head = "Your strike for the day" if tee in self.plan.day else "Which strike, and where"
        y = canvas.write(x, y, head, size=10, bold=True, tag="H2") + 1
        for text in day_texts(self.plan, metric=self.metric):
            y = canvas.write(x, y + 1, sentence(minus(text)), width=wide, max_lines=detail.texts)
        head = f"The round from the {tee} tees"
        y = canvas.write(x, y + 6, head, size=10, bold=True, width=wide, max_lines=1, tag="H2") + 1
        for row in policy_rows(self.plan, tee)[: detail.policies]:
            room = wide - 92
            with canvas.within("TR"):
                below = canvas.write(
                    x + 92, y + 1, row.words, size=7.5, colour=QUIET, width=room, max_lines=3
                )
                canvas.write_right(x + 30, y + 1, row.strokes, bold=row.words.startswith("this plan"))
                canvas.write(x + 36, y + 1, row.over)
            y = below
        others = [name for name in self.plan.totals if name != tee]
        if others:
            said = ", ".join(f"{name} {self.plan.totals[name]['this plan']:.2f}" for name in others)
            text = f"This plan from other tees: {said}."
            y = canvas.write(x, y + 2, text, size=7.5, colour=QUIET, width=wide, max_lines=2)
        note = "Strokes, and how many more than this plan; 19 times in 20 the true value is within ±."
        return canvas.write(x, y + 1, note, size=SMALL, colour=QUIET, width=wide)

    def _write_set_up(self, canvas: Canvas, y: float) -> float:
        y = canvas.write(LEFT, y, "Setting up", size=10, bold=True, tag="H2") + 2
        left = self.plan.golfer.hand == "left"
        y = draw_set_up(canvas, LEFT, y, _WIDE, self.plan.set_up, left_handed=left)
        for text in setup_texts(self.plan, metric=self.metric):
            y = canvas.write(LEFT, y + 2, sentence(text), width=_WIDE, max_lines=3)
        return y

    def _write_practice(self, canvas: Canvas, y: float, detail: _Detail) -> float:
        """Write what practice pays, and beside it the coach's notes and what is assumed."""
        wide = (_WIDE - _COLUMN) / 2
        x = LEFT + wide + _COLUMN
        below = self._write_changes(canvas, y, wide, detail)
        beside = self._write_notes(canvas, x, y, detail) if self.head.notes else y
        return max(below, self._write_assumed(canvas, x, beside + 5 * (beside > y), detail))

    def _write_changes(self, canvas: Canvas, y: float, wide: float, detail: _Detail) -> float:
        y = canvas.write(LEFT, y, "Practice, by what it pays", size=10, bold=True, tag="H2") + 1
        if self.practice is None:
            return canvas.write(LEFT, y + 1, NO_PRACTICE, width=wide)
        rows = practice_rows(self.practice)
        for row in rows[: detail.practice]:
            with canvas.within("TR"):
                below = canvas.write(LEFT, y + 1, row.name, size=7.5, width=wide - 143, max_lines=2)
                canvas.write_right(LEFT + wide - 49, y + 1, row.saved, size=7.5)
                canvas.write_right(LEFT + wide, y + 1, row.sure, size=SMALL, colour=QUIET)
            y = below
        more = " Others pay less." * (len(rows) > detail.practice)
        holes = "1 hole" if self.practice.holes == 1 else f"{self.practice.holes} holes"
        held = "19 times in 20 the true value lies between those in brackets"
        note = f"Strokes saved over {holes}; {held}.{more}"
        return canvas.write(LEFT, y + 1, note, size=SMALL, colour=QUIET, width=wide)

    def _write_notes(self, canvas: Canvas, x: float, y: float, detail: _Detail) -> float:
        y, left = canvas.write(x, y, "Notes", size=10, bold=True, tag="H2") + 1, detail.notes
        for line in filter(str.strip, self.head.notes.splitlines()):
            if left <= 0:
                return canvas.write(x, y, "…")
            before, y = y, canvas.write(x, y + 1, line, width=RIGHT - x, max_lines=left)
            left -= round((y - before - 1) / 10.4)
        return y

    def _write_assumed(self, canvas: Canvas, x: float, y: float, detail: _Detail) -> float:
        text = assumed_text(self.plan)
        if not text:
            return y
        head = "Assumed of you, as it was not measured"
        y = canvas.write(x, y, head, size=10, bold=True, tag="H2") + 1
        wide = RIGHT - x
        return canvas.write(x, y + 1, sentence(text), size=7.5, width=wide, max_lines=detail.assumed)

    def _write_foot(self, canvas: Canvas, y: float, detail: _Detail) -> float:
        canvas.draw_rule(LEFT, RIGHT, y)
        left_out = ", ".join(self._find_left_out(detail))
        if left_out:
            left_out = f"Left out so that this stays one page: {left_out}."
        made = f"Made with holesim {__version__}."
        round_text = sentence(self.plan.round_text(metric=self.metric))
        text = " ".join(filter(None, (round_text, made, left_out, *explain.CAUTIONS)))
        return canvas.write(LEFT, y + 2, text, size=SMALL, colour=QUIET, width=_WIDE, max_lines=6)

    def _find_left_out(self, detail: _Detail) -> Iterator[str]:
        """Yield which parts are shorter than they would be with room."""
        wide, x = (_WIDE - _COLUMN) / 2, LEFT + (_WIDE + _COLUMN) / 2
        parts: dict[str, Callable[[Canvas, _Detail], float]] = {
            "the end of the notes": lambda canvas, much: self._write_notes(canvas, x, 0, much),
            "changes that pay least": lambda canvas, much: self._write_changes(canvas, 0, wide, much),
            "the end of what is assumed": lambda canvas, much: self._write_assumed(canvas, x, 0, much),
            "some reasons and totals": lambda canvas, much: self._write_day(canvas, 0, much),
        }
        for words, write in parts.items():
            if write(scratch_canvas(), detail) < write(scratch_canvas(), _Detail()):
                yield words


def _write_led(canvas: Canvas, y: float, text: str) -> float:
    """Write a sentence whose first words, up to a colon, stand bold on a line of their own column."""
    lead, _, rest = text.partition(": ")
    with canvas.within("P"):
        canvas.write(LEFT, y, lead, size=9, bold=True)
        return canvas.write(LEFT + 90, y, rest[:1].upper() + rest[1:], size=9, width=_WIDE - 90, max_lines=3)


def _draw_logo(page: Page, logo: bytes, said: str) -> None:
    """Draw a mark at the top right, within its bounds."""
    with Image.open(BytesIO(logo), formats=("PNG", "JPEG")) as image:
        image.thumbnail((960, 320))
        pixels = np.asarray(image.convert("RGBA"))
    tall, wide = pixels.shape[:2]
    scale = min(_LOGO[0] / wide, _LOGO[1] / tall)
    width, height = wide * scale, tall * scale
    axes = page.add_picture((RIGHT - width, TOP, width, height), said)
    axes.imshow(pixels, aspect="auto")
    axes.axis("off")
