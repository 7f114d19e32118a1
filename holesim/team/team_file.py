"""The team: a captain's file names the players, the opponents as far as known, and the tees."""

import tomllib
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, ClassVar, Final, get_args

from pydantic import BeforeValidator, Field, PlainValidator
from pydantic_core import PydanticCustomError

from holesim.common.toml_tables import Table, read_toml
from holesim.course.course import Course
from holesim.course.holes import PARS, STROKE_INDICES, Sex
from holesim.course.stroke_indices import GROUPS
from holesim.errors import Faults, InputError, printable, rather, suggest
from holesim.plan.round_tees import own_tee
from holesim.player.make_player import typical_player
from holesim.player.player import Player
from holesim.player.player_file import ClubSpeed, HandicapIndex, Name
from holesim.shot.club_speeds import load_player
from holesim.team.handicap import NEUTRAL_SLOPE, Allowance, Format
from holesim.units import MPH

MOST: Final = 24  # players or opponents
USUAL: Final = "a usual golfer of that handicap and club speed"
"""What an opponent without a player file is assumed to be."""


class PersonFile(Table):
    """A player or an opponent as written: a player file, or what the captain knows."""

    file: str | None = None
    name: Name | None = None
    handicap_index: HandicapIndex | None = None
    club_speed_mph: ClubSpeed | None = None
    sex: Sex = "man"


_LARGEST_SHARE: Final = 1.5


def _share_or_two(value: Any) -> Allowance:  # noqa: ANN401 - whatever TOML holds
    shares = value if isinstance(value, list) else [value]
    numbers = [float(one) for one in shares if isinstance(one, int | float) and not isinstance(one, bool)]
    if len(numbers) == len(shares) and all(0 < one <= _LARGEST_SHARE for one in numbers):
        if len(shares) == 2:
            return numbers[0], numbers[1]
        if not isinstance(value, list):
            return numbers[0]
    raise PydanticCustomError("share", "should be a share such as 0.5, or two such as [0.6, 0.4]")


_Share = Annotated[float, Field(gt=0, le=_LARGEST_SHARE)]
_PairShares = Annotated[Allowance, PlainValidator(_share_or_two)]


class AllowancesTable(Table):
    """The committee's allowance for each format."""

    stroke: _Share | None = None
    singles: _Share | None = None
    four_ball: Annotated[_Share | None, Field(alias="four-ball")] = None
    foursomes: _PairShares | None = None
    greensomes: _PairShares | None = None

    def stated(self) -> dict[Format, Allowance]:
        """Return the allowances that the file states."""
        found: dict[Format, Allowance] = {}
        for format_ in get_args(Format):
            value = getattr(self, format_.replace("-", "_"))
            if value is not None:
                found[format_] = value
        return found


class RatingFile(Table):
    """The difficulty of a set of tees."""

    course: Annotated[float, Field(ge=20, le=90)]
    slope: Annotated[float, Field(ge=55, le=155)] = NEUTRAL_SLOPE


_Par = Annotated[int, Field(ge=PARS[0], le=PARS[1])]
_StrokeIndex = Annotated[int, Field(ge=STROKE_INDICES[0], le=STROKE_INDICES[1])]


class CardFile(Table):
    """The card of one sex: par and stroke index in the order of the holes, and ratings of tees by name."""

    par: list[_Par] = Field(default_factory=list)
    stroke_index: list[_StrokeIndex] = Field(default_factory=list)
    ratings: dict[str, RatingFile] = Field(default_factory=dict)


class _TeesTable(Table):
    man: str | None = None
    woman: str | None = None

    def stated(self) -> dict[str, str]:
        """Return the tees that the file names, by sex."""
        return self.model_dump(exclude_none=True)


def _as_file(value: Any) -> Any:  # noqa: ANN401 - whatever TOML holds
    return {"file": value} if isinstance(value, str) else value


_Person = Annotated[PersonFile, BeforeValidator(_as_file)]


_TwoNames = Annotated[list[Name], Field(min_length=2, max_length=2)]


class TeamFile(Table):
    """A captain's file as written."""

    SIGNS: ClassVar[dict[str, str]] = {"handicap_index": "player", "courses": "jobs", "sessions": "weekend"}
    REPLACED: ClassVar[dict[str, str]] = {
        "allowance": "write [allowances] below the other keys, and a line for each format: foursomes = 0.5"
    }

    name: Name
    players: Annotated[list[_Person], Field(min_length=1, max_length=MOST)]
    opponents: Annotated[list[_Person], Field(max_length=MOST, default_factory=list)]
    order_known: bool = False
    places: Annotated[int, Field(ge=1, le=MOST)] | None = None
    together: list[_TwoNames] = Field(default_factory=list)
    apart: list[_TwoNames] = Field(default_factory=list)
    allowances: AllowancesTable = AllowancesTable()
    tees: _TeesTable = _TeesTable()
    ratings: dict[str, RatingFile] = Field(default_factory=dict)
    men: CardFile = CardFile()
    women: CardFile = CardFile()


@dataclass(frozen=True, kw_only=True)
class Team:
    """A team: its players, whom they meet, and from which tees.

    Attributes
    ----------
    order_known
        Whether the opponents play in the order given.
    places
        How many of the players play; none where as many as there are opponents, or else all.
    together, apart
        Names of two who play with nobody else, and of two who do not play together, in formats of pairs.
    allowances
        The committee's allowances, by format; those that it does not state are the usual ones.
    tees
        Names of tees by sex.
    ratings
        By name of the tee, for whom `cards` has no other.
    cards
        By sex, what the file states for it alone.
    """

    name: str
    players: tuple[Player, ...]
    opponents: tuple[Player, ...]
    order_known: bool
    places: int | None = None
    together: tuple[tuple[str, ...], ...] = ()
    apart: tuple[tuple[str, ...], ...] = ()
    allowances: Mapping[Format, Allowance]
    tees: Mapping[str, str]
    ratings: Mapping[str, RatingFile]
    file: str
    sha256: str
    cards: Mapping[Sex, CardFile] = field(default_factory=dict)

    def card(self, sex: Sex) -> CardFile:
        """Return what the file states for one sex alone."""
        return self.cards.get(sex, _NO_CARD)

    def rating(self, tee: str, sex: Sex) -> RatingFile | None:
        """Return the rating of tees for one sex, if the file states it."""
        return self.card(sex).ratings.get(tee) or self.ratings.get(tee)

    @property
    def names(self) -> tuple[str, ...]:
        """The players' names."""
        return tuple(player.name for player in self.players)

    @property
    def handicap_indices(self) -> dict[int, float]:
        """The handicap index of each player, by their place."""
        return {place: player.handicap_index for place, player in enumerate(self.players)}

    def allows(self, names: Collection[str]) -> bool:
        """Return whether players may make a side."""
        if len(names) < 2:
            return True
        return all(len({*two} & {*names}) != 1 for two in self.together) and not any(
            {*two} <= {*names} for two in self.apart
        )


_NO_CARD: Final = CardFile()


def load_team(path: str | Path, course: Course | None = None) -> Team:
    """Read a captain's file and the players' files that it names, relative to its own folder.

    Parameters
    ----------
    course
        The course to be played, if it is known: tees that are not on it are told with all other faults.

    Raises
    ------
    InputError
        If one of the files cannot be read or makes no sense, two players have the same name, or two holes
        the same stroke index. All faults of all files are told at once.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> team = load_team(find("teams/skerry.toml"))
    >>> team.name, len(team.players), team.opponents[0].name
    ('Vantle Skerry mixed six', 6, 'Perrin Ash')
    """
    file, folder, faults = printable(Path(path).name), Path(path).parent, Faults()
    model, sha256 = None, ""
    with faults.gather():
        model, sha256 = read_toml(path, TeamFile, "team")
    if model is None:
        for name in _named_files(path):
            with faults.gather():
                load_player(folder / name)
        faults.tell()
    assert model is not None  # noqa: S101 - else its faults have been told
    people: dict[str, list[Player]] = {"players": [], "opponents": []}
    for place, given in (("players", model.players), ("opponents", model.opponents)):
        for number, one in enumerate(given, 1):
            with faults.gather():
                people[place].append(_person(one, folder, file, place, number))
        faults.add(*_namesakes(people[place], file, place))
    cards: dict[Sex, CardFile] = {"man": model.men, "woman": model.women}
    for sex, card in cards.items():
        with faults.gather():
            _check_all_different(card.stroke_index, file, f"{GROUPS[sex]}.stroke_index")
    for place in ("together", "apart"):
        faults.add(*_strangers(getattr(model, place), people["players"], file, place))
    faults.add(*_contradictions(model.together, model.apart, file))
    if course is not None:
        faults.add(*course_faults(course, model.tees.stated(), model.ratings, file))
        for player in (*people["players"], *people["opponents"]):
            if player.sex not in model.tees.stated():
                with faults.gather():
                    own_tee(course, course.holes[0], player)
    faults.tell()
    return Team(
        name=model.name,
        players=tuple(people["players"]),
        opponents=tuple(people["opponents"]),
        order_known=model.order_known,
        places=model.places,
        together=tuple(map(tuple, model.together)),
        apart=tuple(map(tuple, model.apart)),
        allowances=model.allowances.stated(),
        tees=model.tees.stated(),
        ratings=model.ratings,
        file=file,
        sha256=sha256,
        cards=cards,
    )


def course_faults(
    course: Course, tees: Mapping[str, str], ratings: Collection[str], file: str
) -> Iterator[InputError]:
    """Yield the tees of a team that are not on every hole of a course, and ratings of misspelt tees.

    Parameters
    ----------
    tees
        Names of tees by sex.
    ratings
        Names of tees. One that the course does not have may be another course's, unless it is nearly the name
        of one.
    file
        Name of the team file.
    """
    for sex, name in tees.items():
        for hole in course.holes:
            known = [tee.name for tee in hole.tees]
            if name not in known:
                remedy = rather(name, known, f"its tees are {', '.join(known)}")
                yield InputError(file, f"tees.{sex}", f"hole {hole.number} has no tee {name}", remedy)
                break
    known = list(dict.fromkeys(tee.name for hole in course.holes for tee in hole.tees))
    for name in ratings:
        if name not in known and (meant := suggest(name, known)) and meant not in ratings:
            yield InputError(file, f"ratings.{name}", "is not a tee of the course", f"did you mean {meant}?")


def _namesakes(people: Sequence[Player], file: str, place: str) -> Iterator[InputError]:
    for name, count in Counter(player.name for player in people).items():
        if count > 1:
            problem = f"{count} are called {name}"
            yield InputError(file, place, problem, "give each a name of their own, or take one out")


def _strangers(
    twos: Sequence[Sequence[str]], players: Sequence[Player], file: str, place: str
) -> Iterator[InputError]:
    """Yield names that are no player's, and players who are named with themselves."""
    known = [player.name for player in players]
    for number, two in enumerate(twos, 1):
        for name in two:
            if name not in known:
                remedy = rather(name, known, "give the names of two players")
                yield InputError(file, f"{place} {number}", f"{name!r:.60} is not a player", remedy)
        if two[0] == two[1]:
            yield InputError(file, f"{place} {number}", "names one player twice", "name two players")


def _contradictions(
    together: Sequence[Sequence[str]], apart: Sequence[Sequence[str]], file: str
) -> Iterator[InputError]:
    """Yield players who could be in no pair at all."""
    for name, count in Counter(name for two in together for name in {*two}).items():
        if count > 1:
            yield InputError(file, "together", f"{name} is in two pairs", "take one of them out")
    for two in together:
        if any({*two} == {*other} for other in apart):
            problem = f"{' and '.join(two)} are in apart, too"
            yield InputError(file, "together", problem, "take the pair out of one of them")


def _named_files(path: str | Path) -> list[str]:
    """Return the player files that a team file names, though it has faults."""
    try:
        content = tomllib.loads(Path(path).read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return []
    listed = [content.get(place) for place in ("players", "opponents")]
    people = [one for given in listed if isinstance(given, list) for one in given[:MOST]]
    return [one for one in people if isinstance(one, str)]


def _check_all_different(indices: Sequence[int], file: str, place: str) -> None:
    """Make sure that no stroke index stands twice."""
    index, count = Counter(indices).most_common(1)[0] if indices else (0, 0)
    if count > 1:
        raise InputError(file, place, f"has stroke index {index} {count} times", "give each hole its own")


def _person(given: PersonFile, folder: Path, file: str, place: str, number: int) -> Player:
    if given.file is not None:
        return load_player(folder / given.file)
    needed: dict[str, object] = {
        "handicap_index": given.handicap_index,
        "club_speed_mph": given.club_speed_mph,
    }
    if place == "players":
        needed["name"] = given.name  # an opponent may have none
    faults = Faults()
    for key in (key for key, value in needed.items() if value is None):
        faults.add(InputError(file, f"{place} {number}.{key}", "is missing", "add it, or name a player file"))
    faults.tell()
    assert given.handicap_index is not None  # noqa: S101 - else it has been told
    assert given.club_speed_mph is not None  # noqa: S101 - likewise
    name = given.name or f"opponent {number}"
    return typical_player(name, given.sex, given.handicap_index, given.club_speed_mph * MPH)
