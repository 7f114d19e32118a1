"""The handouts of a plan by their styles: what each may tell, and the function that makes it."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from holesim.handouts.coach_sheet import write_coach
from holesim.handouts.lesson import write_lesson
from holesim.handouts.lesson_head import LessonHead
from holesim.handouts.pocket_card import write_pocket
from holesim.handouts.styles import HandoutStyle
from holesim.handouts.web_page import write_page
from holesim.pictures.paper import Paper
from holesim.plan.plan_tables import PlanFile
from holesim.study.break_even_file import BreakEvenFile
from holesim.study.practice_file import PracticeFile


@dataclass(frozen=True, kw_only=True)
class Extras:
    """What some handouts tell besides the plan.

    Attributes
    ----------
    break_evens
        Where choices change, for the coach's sheet and the page.
    practice, head
        What practice pays, and what the coach adds, for the lesson and the coach's sheet.
    """

    break_evens: Sequence[BreakEvenFile] = ()
    practice: PracticeFile | None = None
    head: LessonHead | None = None


def write_handout(
    style: HandoutStyle,
    plans: Sequence[PlanFile],
    path: Path,
    extras: Extras | None = None,
    *,
    metric: bool,
    paper: Paper = "a4",
) -> None:
    """Write one handout of a plan, or of its plans in several winds; the same input gives the same bytes."""
    extras = extras or Extras()
    if style == "pocket":
        write_pocket(plans, path, metric=metric, paper=paper)
    elif style == "lesson":
        write_lesson(plans, path, practice=extras.practice, head=extras.head, metric=metric, paper=paper)
    elif style == "coach":
        write_coach(
            plans,
            path,
            break_evens=extras.break_evens,
            practice=extras.practice,
            head=extras.head,
            metric=metric,
            paper=paper,
        )
    else:
        write_page(plans, path, break_evens=extras.break_evens, metric=metric)
