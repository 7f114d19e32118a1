"""Hit up or down on the driver, and where to aim: a golfer's own drives flown over the real hole.

The names below are imported when first used, so that ``import holesim`` is quick.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holesim.air import Air as Air
    from holesim.air import make_air as make_air
    from holesim.card import write_card as write_card
    from holesim.course import Course as Course
    from holesim.course import load_course as load_course
    from holesim.draw import draw_course as draw_course
    from holesim.errors import InputError as InputError
    from holesim.geojson import to_geojson as to_geojson
    from holesim.notes import load_notes as load_notes
    from holesim.picture import draw_hole as draw_hole
    from holesim.plan import Plan as Plan
    from holesim.plan import make_plan as make_plan
    from holesim.player import Player as Player
    from holesim.players import load_player as load_player
    from holesim.rating import skill as skill
    from holesim.relief import Lie as Lie
    from holesim.strokes import distribution as distribution
    from holesim.workbench import Conditions as Conditions

__version__ = "0.1.0"

_HOME = {
    "Air": "air",
    "Conditions": "workbench",
    "Course": "course",
    "InputError": "errors",
    "Lie": "relief",
    "Plan": "plan",
    "Player": "player",
    "distribution": "strokes",
    "draw_course": "draw",
    "draw_hole": "picture",
    "load_course": "course",
    "load_notes": "notes",
    "load_player": "players",
    "make_air": "air",
    "make_plan": "plan",
    "skill": "rating",
    "to_geojson": "geojson",
    "write_card": "card",
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
