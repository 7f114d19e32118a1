"""A weekend as a captain writes it: its sessions, the team, the points needed, and what has been played."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Final

from pydantic import Field

from holesim.common.toml_tables import Table, read_toml
from holesim.course.course import Course, Firmness
from holesim.course.course_file import load_course
from holesim.errors import Faults, InputError, printable, rather
from holesim.plan.round_options import RoundOptions
from holesim.player.player_file import Name
from holesim.team.handicap import Format
from holesim.team.match import HALF
from holesim.team.pairing import Limits
from holesim.team.team_file import Team, course_faults, load_team
from holesim.team.team_session import TeamSession
from holesim.team.tees_and_handicaps import add_cards

MOST: Final = 12  # sessions


class WeekendOptions(RoundOptions):
    """The options of every session that does not state its own."""

    draws: int = 1024


class ResultFile(Table):
    """What one side has won in a match, or needed in stroke play."""

    players: Annotated[list[Name], Field(min_length=1, max_length=2)]
    points: Annotated[float, Field(ge=0, le=1)] | None = None
    strokes: Annotated[float, Field(gt=0, le=400)] | None = None


class SessionFile(Table):
    """A session as written; what it leaves out is as the weekend has it."""

    name: Name
    format: Format
    course: str | None = None
    layout: str | None = None
    net: bool | None = None
    count: Annotated[int, Field(ge=1)] | None = None
    places: Annotated[int, Field(ge=1)] | None = None
    opponents: list[Name] | None = None
    order_known: bool | None = None
    wind_mph: Annotated[float, Field(ge=0, le=80)] | None = None
    wind_from_deg: Annotated[float, Field(ge=0, le=360)] | None = None
    ground: Firmness | None = None
    results: list[ResultFile] = Field(default_factory=list)


class WeekendFile(Table):
    """A captain's weekend as written."""

    name: Name
    team: str
    course: str | None = None
    layout: str | None = None
    net: bool = False
    points_needed: Annotated[float, Field(gt=0)] | None = None
    least_sessions: Annotated[int, Field(ge=0, le=MOST)] = 0
    most_sessions: Annotated[int, Field(ge=1, le=MOST)] | None = None
    options: WeekendOptions = WeekendOptions()
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
        """The points won, or the strokes needed."""
        return sum(one.value for one in self.results)


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
    def limits(self) -> Limits:
        """In how many of the sessions left each player plays."""
        played = Counter(i for one in self.sessions for side in one.results for i in side.players)
        squad = range(len(self.team.players))
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
    >>> weekend = load_weekend(find("teams/weekend.toml"))
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
        team = load_team(self.folder / self.model.team)
        courses: dict[tuple[str, str | None], Course] = {}
        faults, sessions = Faults(), list[WeekendSession]()
        for number, given in enumerate(self.model.sessions, 1):
            with faults.gather():
                sessions.append(self._session(given, f"sessions {number}", team, courses))
        with faults.gather():
            self._check_units(sessions)
        faults.tell()
        most = self.model.most_sessions or len(sessions)
        if self.model.least_sessions > most:
            problem = f"{self.model.least_sessions} is more than {most}, the most that anyone plays"
            raise InputError(self.file, "least_sessions", problem, "correct it")
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
            found = load_course(self.folder / name, name=key[1])
            faults = Faults()
            faults.add(*course_faults(found, team.tees, team.ratings, team.file))
            faults.tell()
            courses[key] = add_cards(found, team)
        own = given.model_dump(include={"wind_mph", "wind_from_deg", "ground"}, exclude_none=True)
        session = TeamSession(
            course=courses[key],
            team=self._team(given, place, team),
            format=given.format,
            options=RoundOptions(**{**self.model.options.model_dump(), **own}),
            net=self.model.net if given.net is None else given.net,
            count=given.count,
        )
        try:
            session.check()
        except InputError as error:
            key_of = {"players": "places"}.get(error.place, error.place)
            raise InputError(self.file, f"{place}.{key_of}", error.problem, error.remedy) from None
        return WeekendSession(
            name=given.name, session=session, results=tuple(self._results(given, place, session))
        )

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
        squad = [player.name for player in session.team.players]
        place = f"{place}.results"
        self._check_names([n for one in given.results for n in one.players], squad, place, "a player")
        sides = session.playing // session.size
        if len(given.results) != sides:
            problem = f"are {len(given.results)} of {sides}"
            raise InputError(self.file, place, problem, "give all of the session's, or none yet")
        strokes = session.unit == "strokes"
        for number, one in enumerate(given.results, 1):
            here = f"{place} {number}"
            if len(one.players) != session.size:
                problem = f"has {len(one.players)} of {session.size} players"
                raise InputError(self.file, here, problem, "name all who played together")
            value, other = (one.strokes, one.points) if strokes else (one.points, one.strokes)
            unit = "strokes" if strokes else "points"
            if value is None or other is not None:
                raise InputError(self.file, here, f"has no {unit}", f"give players and {unit}")
            if not strokes and value not in (0.0, HALF, 1.0):
                raise InputError(self.file, f"{here}.points", f"{value:g} is none", "give 1, 0.5 or 0")
            yield SideResult(tuple(squad.index(name) for name in one.players), value)

    def _check_units(self, sessions: Sequence[WeekendSession]) -> None:
        """Make sure that all sessions count the same."""
        units = {one.session.unit for one in sessions}
        if len(units) > 1:
            problem = "count points in some and strokes in others"
            raise InputError(self.file, "sessions", problem, "plan the two apart")
        if self.model.points_needed is not None and units == {"strokes"}:
            raise InputError(self.file, "points_needed", "does not go with stroke play", "take it out")
