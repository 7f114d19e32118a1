"""Questions of a page, each a table of what it may say."""

from collections.abc import Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError
from holesim.plan.session import Wind

Level = Literal["moving", "rest"]

_MOST_DIRECTIONS: Final = 72
_Strikes = Annotated[list[str], Field(min_length=1)]


class WindAsked(Table):
    """A wind: its speed, and where it comes from."""

    mph: Annotated[float, Field(ge=0, le=80)]
    from_deg: Annotated[float, Field(ge=-360, le=720)]

    @property
    def wind(self) -> Wind:
        """The wind, from 0 up to 360°; still air has no direction."""
        return Wind(self.mph, self.from_deg % 360) if self.mph else Wind(0.0, 0.0)


class Asked(Table):
    """A question: its number and its kind."""

    n: int
    ask: str


class OpenAsked(Asked):
    """A course and a player to open, with the options of the round but its wind."""

    course: str
    layout: str | None = None
    player: str
    options: dict[str, Any] = Field(default_factory=dict)


class AskedOfHole(Asked):
    """A question about a hole from one of its tees."""

    hole: int
    tee: str


class HoleAsked(AskedOfHole):
    """What to hit on a hole in a wind."""

    wind: WindAsked
    level: Level = "moving"


class TeeAsked(HoleAsked):
    """What to hit, of some strikes."""

    strikes: _Strikes | None = None


class AimAsked(HoleAsked):
    """The strikes of a tee, one of them held along a heading."""

    label: str
    heading_deg: float
    strikes: _Strikes | None = None


class RingAsked(AskedOfHole):
    """Which of some strikes is the better, by where a wind comes from."""

    mph: Annotated[float, Field(ge=0, le=80)]
    strikes: _Strikes | None = None
    from_deg: Annotated[list[float], Field(max_length=_MOST_DIRECTIONS)]


class RoundAsked(Asked):
    """What the holes answered so far add up to."""

    tee: str
    wind: WindAsked
    level: Level = "moving"


_QUESTIONS: Final[Mapping[str, type[Asked]]] = {
    "open": OpenAsked,
    "tee": TeeAsked,
    "aim": AimAsked,
    "ring": RingAsked,
    "hole": HoleAsked,
    "round": RoundAsked,
}


def read_question(content: object) -> Asked:
    """Return a question of a page; raise an `InputError` if it makes no sense."""
    if not isinstance(content, dict):
        raise InputError("question", "", "is not a table", "reload the page")
    kind = _QUESTIONS.get(content["ask"]) if isinstance(content.get("ask"), str) else None
    if kind is None:
        asks = ", ".join(_QUESTIONS)
        raise InputError("question", "", f"{content.get('ask')!s:.40} is not asked here", f"ask {asks}")
    return checked(content, kind, file="question", kind="question")
