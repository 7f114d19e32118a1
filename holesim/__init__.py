"""Hit up or down on the driver, and where to aim: a golfer's own drives over the real hole.

The names below are imported when first used, so that ``import holesim`` is quick.

Examples
--------
>>> import holesim
>>> from holesim.data.examples import COURSE, PLAYER, find
>>> course, player = holesim.load_course(find(COURSE)), holesim.load_player(find(PLAYER))
>>> course.name, player.name
('Vantle Skerry', 'Corin Vale')
"""

from importlib import import_module
from typing import TYPE_CHECKING

from holesim._version import __version__ as __version__

if TYPE_CHECKING:
    from holesim.course.course_file import load_course as load_course
    from holesim.errors import InputError as InputError
    from holesim.plan.plan import make_plan as make_plan
    from holesim.plan.plan_file import load_plan as load_plan
    from holesim.plan.round_options import RoundOptions as RoundOptions
    from holesim.plan.session import Session as Session
    from holesim.shot.air import make_air as make_air
    from holesim.shot.club_speeds import load_player as load_player
    from holesim.team.planner import plan_team as plan_team
    from holesim.team.team_file import load_team as load_team

_HOME = {
    "InputError": "errors",
    "RoundOptions": "plan.round_options",
    "Session": "plan.session",
    "load_course": "course.course_file",
    "load_plan": "plan.plan_file",
    "load_player": "shot.club_speeds",
    "load_team": "team.team_file",
    "make_air": "shot.air",
    "make_plan": "plan.plan",
    "plan_team": "team.planner",
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
