"""The team: a captain's file names the players, the opponents as far as known, and the tees."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, ClassVar, Final, Literal

from pydantic import BeforeValidator, Field

from holesim.common.toml_tables import Table, read_toml
from holesim.errors import InputError, printable
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.player.player_file import ClubSpeed, HandicapIndex, Name
from holesim.shot.club_speeds import load_player
from holesim.team.handicap import NEUTRAL_SLOPE
from holesim.units import MPH

Sex = Literal["man", "woman"]

MOST: Final = 24  # players or opponents
USUAL: Final = "a usual golfer of that handicap and club speed"
"""What an opponent without a player file is assumed to be."""


class OpponentFile(Table):
    """An opponent as written: a player file, or what the captain knows."""

    file: str | None = None
    name: Name | None = None
    handicap_index: HandicapIndex | None = None
    club_speed_mph: ClubSpeed | None = None
    sex: Sex = "man"


class RatingFile(Table):
    """The difficulty of a set of tees."""

    course: Annotated[float, Field(ge=20, le=90)]
    slope: Annotated[float, Field(ge=55, le=155)] = NEUTRAL_SLOPE


class _TeesTable(Table):
    man: str | None = None
    woman: str | None = None


def _as_file(value: Any) -> Any:  # noqa: ANN401 - whatever TOML holds
    return {"file": value} if isinstance(value, str) else value


class TeamFile(Table):
    """A captain's file as written."""

    SIGNS: ClassVar[dict[str, str]] = {"handicap_index": "player", "courses": "jobs"}

    name: Name
    players: Annotated[list[str], Field(min_length=1, max_length=MOST)]
    opponents: Annotated[
        list[Annotated[OpponentFile, BeforeValidator(_as_file)]],
        Field(max_length=MOST, default_factory=list),
    ]
    order_known: bool = False
    allowance: Annotated[float, Field(gt=0, le=1.5)] | None = None
    tees: _TeesTable = _TeesTable()
    ratings: dict[str, RatingFile] = Field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Team:
    """A team: its players, whom they meet, and from which tees.

    Attributes
    ----------
    order_known
        Whether the opponents play in the order given.
    allowance
        The committee's share of a handicap that counts; none where it is the usual one.
    tees
        Names of tees by sex.
    ratings
        By name of the tee.
    """

    name: str
    players: tuple[Player, ...]
    opponents: tuple[Player, ...]
    order_known: bool
    allowance: float | None
    tees: Mapping[str, str]
    ratings: Mapping[str, RatingFile]
    file: str
    sha256: str


def load_team(path: str | Path) -> Team:
    """Read a captain's file and the players' files that it names, relative to its own folder.

    Raises
    ------
    InputError
        If one of the files cannot be read or makes no sense, or two players have the same name.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> team = load_team(find("teams/skerry.toml"))
    >>> team.name, len(team.players), team.opponents[0].name
    ('Vantle Skerry mixed six', 6, 'Perrin Ash')
    """
    model, sha256 = read_toml(path, TeamFile, "team")
    file, folder = printable(Path(path).name), Path(path).parent
    players = tuple(load_player(folder / name) for name in model.players)
    opponents = tuple(
        _opponent(given, folder, file, number) for number, given in enumerate(model.opponents, 1)
    )
    for place, people in (("players", players), ("opponents", opponents)):
        name, count = Counter(player.name for player in people).most_common(1)[0] if people else ("", 0)
        if count > 1:
            problem = f"{count} are called {name}"
            raise InputError(file, place, problem, "give each a name of their own, or take one out")
    return Team(
        name=model.name,
        players=players,
        opponents=opponents,
        order_known=model.order_known,
        allowance=model.allowance,
        tees=model.tees.model_dump(exclude_none=True),
        ratings=model.ratings,
        file=file,
        sha256=sha256,
    )


def _opponent(given: OpponentFile, folder: Path, file: str, number: int) -> Player:
    if given.file is not None:
        return load_player(folder / given.file)
    place = f"opponents {number}"
    if given.handicap_index is None or given.club_speed_mph is None:
        missing = "handicap_index" if given.handicap_index is None else "club_speed_mph"
        raise InputError(file, f"{place}.{missing}", "is missing", "add it, or name a player file")
    name = given.name or f"opponent {number}"
    return typical_player(name, given.sex, given.handicap_index, given.club_speed_mph * MPH)
