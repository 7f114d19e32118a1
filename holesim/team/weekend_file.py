"""A weekend as a captain writes it: its sessions, the team, the points needed, and what has been played."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, ClassVar, Final

from pydantic import Field

from holesim.common.toml_tables import Table, read_toml
from holesim.course.course import Course, Firmness
from holesim.course.course_file import load_course
from holesim.errors import Faults, InputError, is_there, printable, rather
from holesim.plan.round_options import BELOW_OPTIONS, RoundOptions
from holesim.player.player_file import Name
from holesim.team.handicap import Format
from holesim.team.match import HALF
from holesim.team.pairing import Limits
from holesim.team.team_file import MOST as PLAYERS
from holesim.team.team_file import Team, course_faults, load_team
from holesim.team.team_session import TeamSession
from holesim.team.tees_and_handicaps import add_cards

MOST: Final = 12  # sessions


class WeekendOptions(RoundOptions):
    """The options of every session that does not state its own."""

    draws: int = 1024


_IN_TEAM: Final = dict.fromkeys(
    ("together", "apart", "players", "tees", "ratings", "allowances"), "it belongs in the team file"
)
_IN_OPTIONS: Final = "put it below [options] of the weekend"
_OPTIONS: Final = set(RoundOptions.model_fields) - {"wind_mph", "wind_from_deg", "ground"}


class ResultFile(Table):
    """What one side has won in a match, or needed in stroke play."""

    players: Annotated[list[Name], Field(min_length=1, max_length=2)]
    points: float | None = None
    strokes: Annotated[int, Field(ge=1, le=400)] | None = None


class SessionFile(Table):
    """A session as written; what it leaves out is as the weekend has it."""

    REPLACED: ClassVar[dict[str, str]] = _IN_TEAM | dict.fromkeys(_OPTIONS, _IN_OPTIONS)

    name: Name
    format: Format
    course: str | None = None
    layout: str | None = None
    net: bool | None = None
    count: Annotated[int, Field(ge=1, le=PLAYERS)] | None = None
    places: Annotated[int, Field(ge=1, le=PLAYERS)] | None = None
    opponents: list[Name] | None = None
    order_known: bool | None = None
    wind_mph: Annotated[float, Field(ge=0, le=80)] | None = None
    wind_from_deg: Annotated[float, Field(ge=0, le=360)] | None = None
    ground: Firmness | None = None
    results: list[ResultFile] = Field(default_factory=list)


class WeekendFile(Table):
    """A captain's weekend as written."""

    SIGNS: ClassVar[dict[str, str]] = {"players": "team", "handicap_index": "player", "courses": "jobs"}
    REPLACED: ClassVar[dict[str, str]] = _IN_TEAM | dict.fromkeys(RoundOptions.model_fields, _IN_OPTIONS)

    name: Name
    team: str
    course: str | None = None
    layout: str | None = None
    net: bool = False
    points_needed: Annotated[float, Field(gt=0)] | None = None
    least_sessions: Annotated[int, Field(ge=0, le=MOST)] = 0
    most_sessions: Annotated[int, Field(ge=1, le=MOST)] | None = None
    options: Annotated[WeekendOptions, BELOW_OPTIONS] = WeekendOptions()
    sessions: Annotated[list[SessionFile], Field(min_length=1, max_length=MOST)]


@dataclass(frozen=True)
class SideResult:
    """What one side of a session that has been played won, or the strokes that it needed."""

    players: tuple[int, ...]
    value: float


@dataclass(frozen=True, kw_only=True)
class WeekendSession:
    """A session of a weekend; `results` are empty until it has been played."""

    name: str
    session: TeamSession
    results: tuple[SideResult, ...]

    @property
    def played(self) -> bool:
        """Whether it has been played."""
        return bool(self.results)

    @property
    def won(self) -> float:
        """The points won, or the strokes of the totals that count."""
        values = sorted(one.value for one in self.results)
        return sum(values if self.session.unit == "points" else values[: self.session.count])


@dataclass(frozen=True, kw_only=True)
class Weekend:
    """A weekend: its sessions in their order, and in how many of them a player plays.

    Attributes
    ----------
    least, most
        Sessions that each player plays.
    points_needed
        Of all sessions; none where the file does not say.
    """

    name: str
    team: Team
    sessions: tuple[WeekendSession, ...]
    least: int
    most: int
    points_needed: float | None
    file: str
    sha256: str

    @property
    def left(self) -> tuple[WeekendSession, ...]:
        """The sessions that have not been played."""
        return tuple(one for one in self.sessions if not one.played)

    @property
    def won(self) -> float:
        """What the sessions that have been played brought."""
        return sum(one.won for one in self.sessions)

    @property
    def played_by(self) -> Mapping[int, int]:
        """How many sessions each player has played, by their place in the squad."""
        return Counter(i for one in self.sessions for side in one.results for i in side.players)

    @property
    def limits(self) -> Limits:
        """In how many of the sessions left each player plays."""
        played, squad = self.played_by, range(len(self.team.players))
        return Limits(
            least={i: max(self.least - played[i], 0) for i in squad},
            most={i: max(self.most - played[i], 0) for i in squad},
        )


def load_weekend(path: str | Path) -> Weekend:
    """Read a weekend file and the files that it names, relative to its own folder.

    Raises
    ------
    InputError
        If one of the files cannot be read or makes no sense. All faults of the weekend are told at once.

    Examples
    --------
    >>> from holesim.data.examples import find
    >>> weekend = load_weekend(find("weekends/skerry.toml"))
    >>> weekend.name, [one.name for one in weekend.sessions][:2]
    ('Vantle Skerry weekend', ['Saturday morning', 'Saturday afternoon'])
    """
    model, sha256 = read_toml(path, WeekendFile, "weekend")
    return _Reader(printable(Path(path).name), Path(path).parent, model, sha256).read()


@dataclass(frozen=True)
class _Reader:
    file: str
    folder: Path
    model: WeekendFile
    sha256: str

    def read(self) -> Weekend:
        self._check_there(self.model.team, "team")
        team = load_team(self.folder / self.model.team)
        courses: dict[tuple[str, str | None], Course] = {}
        faults, sessions = Faults(), list[WeekendSession]()
        for number, given in enumerate(self.model.sessions, 1):
            with faults.gather():
                sessions.append(self._session(given, f"sessions {number}", team, courses))
        names = Counter(one.name for one in self.model.sessions)
        for name in (name for name, count in names.items() if count > 1):
            faults.add(InputError(self.file, "sessions", f"two are called {name}", "rename one of them"))
        faults.tell()
        self._check_units(sessions)
        most = self.model.most_sessions or len(sessions)
        self._check_limits(sessions, len(team.players), most)
        return Weekend(
            name=self.model.name,
            team=team,
            sessions=tuple(sessions),
            least=self.model.least_sessions,
            most=most,
            points_needed=self.model.points_needed,
            file=self.file,
            sha256=self.sha256,
        )

    def _session(
        self, given: SessionFile, place: str, team: Team, courses: dict[tuple[str, str | None], Course]
    ) -> WeekendSession:
        name = given.course or self.model.course
        if name is None:
            raise InputError(self.file, f"{place}.course", "is missing", "name a course file")
        key = name, given.layout or self.model.layout
        if key not in courses:
            self._check_there(name, f"{place}.course" if given.course else "course")
            found = load_course(self.folder / name, name=key[1])
            faults = Faults()
            faults.add(*course_faults(found, team.tees, team.ratings, team.file))
            faults.tell()
            courses[key] = add_cards(found, team)
        own = given.model_dump(include={"wind_mph", "wind_from_deg", "ground"}, exclude_none=True)
        if ("wind_mph" in own) != ("wind_from_deg" in own):
            missing = "wind_mph" if "wind_from_deg" in own else "wind_from_deg"
            raise InputError(
                self.file, f"{place}.{missing}", "is missing", "give the wind's speed and direction"
            )
        session = TeamSession(
            course=courses[key],
            team=self._team(given, place, team),
            format=given.format,
            options=RoundOptions(**{**self.model.options.model_dump(), **own}),
            net=self.model.net if given.net is None else given.net,
            count=given.count,
            name=given.name,
        )
        try:
            session.check()
        except InputError as error:
            key_of = {"players": "places"}.get(error.place, error.place)
            raise InputError(self.file, f"{place}.{key_of}", error.problem, error.remedy) from None
        return WeekendSession(
            name=given.name, session=session, results=tuple(self._results(given, place, session))
        )

    def _check_there(self, name: str, place: str) -> None:
        path = self.folder / name
        if not (is_there(path) and path.is_file()):
            problem = f"names the file {printable(name)}, which is not there"
            remedy = "correct the path, which starts from this file's folder"
            raise InputError(self.file, place, problem, remedy)

    def _team(self, given: SessionFile, place: str, team: Team) -> Team:
        """Return the team with the opponents whom it meets in a session."""
        known = {player.name: player for player in team.opponents}
        names = list(known) if given.opponents is None else given.opponents
        self._check_names(names, list(known), f"{place}.opponents", "an opponent")
        return replace(
            team,
            opponents=tuple(known[name] for name in names),
            order_known=team.order_known if given.order_known is None else given.order_known,
            places=given.places or team.places,
        )

    def _check_names(self, names: Sequence[str], known: Sequence[str], place: str, kind: str) -> None:
        for name, count in Counter(names).items():
            if name not in known:
                remedy = rather(name, known, "see the team file")
                raise InputError(self.file, place, f"{name!r:.60} is not {kind}", remedy)
            if count > 1:
                raise InputError(self.file, place, f"names {name} twice", "take one out")

    def _results(self, given: SessionFile, place: str, session: TeamSession) -> Iterator[SideResult]:
        """Yield what was played, once all of it has been."""
        if not given.results:
            return
        squad = session.team.names
        place = f"{place}.results"
        self._check_names([n for one in given.results for n in one.players], squad, place, "a player")
        sides = session.playing // session.size
        if len(given.results) != sides:
            problem = f"gives {len(given.results)} result{'s' * (len(given.results) != 1)} of {sides}"
            raise InputError(self.file, place, problem, "give all, or none until the session is over")
        strokes = session.unit == "strokes"
        for number, one in enumerate(given.results, 1):
            here = f"{place} {number}"
            if len(one.players) != session.size:
                problem = f"has {len(one.players)} of {session.size} players"
                raise InputError(self.file, here, problem, "name all who played together")
            value, other = (one.strokes, one.points) if strokes else (one.points, one.strokes)
            unit = "strokes" if strokes else "points"
            if other is not None:
                other_unit = "points" if strokes else "strokes"
                problem = f"has {other_unit}, and this session counts {unit}"
                raise InputError(self.file, here, problem, f"give players and {unit}")
            if value is None:
                raise InputError(self.file, here, f"has no {unit}", f"give players and {unit}")
            if not strokes and value not in (0.0, HALF, 1.0):
                problem = f"{value:g} is not the result of a match"
                raise InputError(self.file, f"{here}.points", problem, "give 1, 0.5 or 0")
            yield SideResult(tuple(squad.index(name) for name in one.players), value)

    def _check_units(self, sessions: Sequence[WeekendSession]) -> None:
        """Make sure that all sessions count the same."""
        strokes = [number for number, one in enumerate(sessions, 1) if one.session.unit == "strokes"]
        if not strokes:
            return
        first = sessions[strokes[0] - 1].session
        why = "is stroke play" if first.format == "stroke" else "has no opponents, so it counts strokes"
        place = f"sessions {strokes[0]}"
        if len(strokes) < len(sessions):
            problem = f"{why}, and others count points"
            raise InputError(self.file, place, problem, "name opponents, or plan the two apart")
        if self.model.points_needed is not None:
            raise InputError(
                self.file, place, f"{why}, not points", "name opponents, or take out points_needed"
            )

    def _check_limits(self, sessions: Sequence[WeekendSession], squad: int, most: int) -> None:
        """Make sure that the places can be filled, by counting them."""
        places, least = sum(one.session.playing for one in sessions), self.model.least_sessions
        if least > most:
            problem = f"{least} is more than {most}, the most that anyone plays"
            raise InputError(self.file, "least_sessions", problem, "correct it")
        if least * squad > places:
            problem = (
                f"{squad} players in {least} sessions each are {least * squad} places, and there are {places}"
            )
            raise InputError(self.file, "least_sessions", problem, "lower it")
        if most * squad < places:
            problem = f"{squad} players in {most} sessions each fill {most * squad} of {places} places"
            raise InputError(self.file, "most_sessions", problem, "raise it, or name fewer places")
        points = sum(one.session.playing // one.session.size for one in sessions)
        needed = self.model.points_needed
        if needed is not None and needed > points:
            problem = f"{needed:g} is more than the {points} points that there are"
            raise InputError(self.file, "points_needed", problem, "correct it")
