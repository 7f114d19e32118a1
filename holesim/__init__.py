"""Hit up or down on the driver, and where to aim: a golfer's own drives flown over the real hole.

The names below are imported when first used, so that ``import holesim`` is quick.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from holesim._version import __version__ as __version__

if TYPE_CHECKING:
    from holesim.course.course import Course as Course
    from holesim.course.course import load_course as load_course
    from holesim.course.draw_from_notes import draw_course as draw_course
    from holesim.course.geojson import to_geojson as to_geojson
    from holesim.course.yardage_notes import load_notes as load_notes
    from holesim.errors import InputError as InputError
    from holesim.handouts.course_card import write_card as write_card
    from holesim.pictures.hole_picture import draw_hole as draw_hole
    from holesim.plan.evaluator import Conditions as Conditions
    from holesim.plan.plan import Plan as Plan
    from holesim.plan.plan import make_plan as make_plan
    from holesim.player.player import Player as Player
    from holesim.scoring.skill import find_skill as find_skill
    from holesim.scoring.strokes_table import score_distribution as score_distribution
    from holesim.shot.air import Air as Air
    from holesim.shot.air import make_air as make_air
    from holesim.shot.club_speeds import load_player as load_player
    from holesim.shot.relief import Lie as Lie


_HOME = {
    "Air": "shot.air",
    "Conditions": "plan.evaluator",
    "Course": "course.course",
    "InputError": "errors",
    "Lie": "shot.relief",
    "Plan": "plan.plan",
    "Player": "player.player",
    "score_distribution": "scoring.strokes_table",
    "draw_course": "course.draw_from_notes",
    "draw_hole": "pictures.hole_picture",
    "load_course": "course.course",
    "load_notes": "course.yardage_notes",
    "load_player": "shot.club_speeds",
    "make_air": "shot.air",
    "make_plan": "plan.plan",
    "find_skill": "scoring.skill",
    "to_geojson": "course.geojson",
    "write_card": "handouts.course_card",
}

__all__ = [  # noqa: PLE0604 - the names are strings in _HOME
    "__version__",
    *_HOME,
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'holesim' has no attribute {name!r}")
    return getattr(import_module(f"holesim.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
