"""The jobs of a batch: a file that names courses and players, and each player on each course."""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Final

from pydantic import Field

from holesim._version import __version__
from holesim.common.toml_tables import LARGEST as LARGEST_PLAYER
from holesim.common.toml_tables import Table, read_toml
from holesim.course.course import Course
from holesim.course.course_file import parse_course
from holesim.course.geojson import LARGEST as LARGEST_COURSE
from holesim.errors import InputError, printable, read_input
from holesim.handouts.lesson_head import LessonHead, read_lesson_head
from holesim.handouts.styles import SUFFIXES, HandoutStyle
from holesim.plan.plan_tables import VERSION
from holesim.plan.round_options import BELOW_OPTIONS, RoundOptions
from holesim.plan.round_tees import find_own_tees, named_tee, tee_names, tees_meant_for
from holesim.player.player import Player
from holesim.shot.club_speeds import parse_player

SUMMARY: Final = "batch.csv"

PRACTICE_SUFFIX: Final = ".practice.json"


class TeesBySex(Table):
    """The tees that men and women play."""

    man: str | None = None
    woman: str | None = None


class JobsFile(Table):
    """A batch as written: courses and players, with a plan for every player on every course."""

    courses: Annotated[list[str], Field(min_length=1)]
    players: Annotated[list[str], Field(min_length=1)]
    sheets: list[HandoutStyle] = Field(default_factory=list)
    metric: bool = False
    by: str = ""
    logo: str | None = None
    notes: str | None = None
    date: str = ""
    tees: TeesBySex = TeesBySex()
    options: Annotated[RoundOptions, BELOW_OPTIONS] = RoundOptions()


@dataclass(frozen=True, kw_only=True)
class Job:
    """One player on one course.

    Attributes
    ----------
    course, player
        Names of their files.
    course_content, player_content
        Content of the files, so that workers on other machines need no files.
    tee
        Name of the tees to play; None for those that the player's file names, or else the longest.
    longest
        Whether the longest of several tees are played because nothing says which the golfer plays.
    says
        What the plan must say of itself.
    places
        The numbers of its holes, each with the name of a tee.
    head
        What the coach adds to lessons and coach's sheets.
    fault
        Why the player cannot be planned; empty where that can be tried.
    """

    course: str
    player: str
    course_content: bytes
    player_content: bytes
    options: RoundOptions
    tee: str | None
    longest: bool
    says: Mapping[str, Any]
    places: tuple[tuple[int, str], ...]
    sheets: tuple[HandoutStyle, ...]
    metric: bool
    head: LessonHead
    fault: str

    @property
    def path(self) -> Path:
        """Where the plan is written, in the folder of the batch."""
        return Path(Path(self.course).stem) / f"{Path(self.player).stem}.json"

    def sheet_path(self, style: HandoutStyle) -> Path:
        """Return where a sheet is written, beside the plan."""
        return self.path.with_name(f"{Path(self.player).stem}.{style}{SUFFIXES[style]}")

    @property
    def practice_path(self) -> Path | None:
        """Where it is written what practice would pay; None where nothing asks for that.

        It can be found for the goal of the fewest strokes alone; a lesson for another says so.
        """
        asked = "lesson" in self.sheets and self.options.goal == "mean" and self.options.precision is None
        return self.path.with_suffix(PRACTICE_SUFFIX) if asked else None

    @property
    def paths(self) -> list[Path]:
        """Where its files are written, the plan first."""
        found = [self.path, *map(self.sheet_path, self.sheets)]
        return found if self.practice_path is None else [*found, self.practice_path]

    def plan(self, folder: Path) -> dict[str, Any] | None:
        """Return the plan that is there, if it says that it is of the same inputs, options and tees."""
        try:
            content = json.loads((folder / self.path).read_text(encoding="utf-8"))
            same = all(content.get(key) == value for key, value in self.says.items())
            places = tuple((tee["hole"], tee["tee"]) for tee in content["tees"])
        except (OSError, ValueError, AttributeError, KeyError, TypeError):
            return None
        return content if same and places == self.places and not self.fault else None


def load_jobs(path: str | Path) -> list[Job]:
    """Read a jobs file and the files that it names, relative to its folder.

    A player's file that makes no sense, or tees that are not there, cost the jobs of that player alone.

    Raises
    ------
    InputError
        If the file or a course cannot be read or makes no sense, or two files would go to the same place.
    """
    model, _ = read_toml(path, JobsFile, "jobs")
    file, folder = printable(Path(path).name), Path(path).parent
    _check_names(file, model)
    head = _read_head(file, folder, model)
    players = [_Golfer.read(folder / name) for name in model.players]
    jobs = [
        job
        for name in model.courses
        for job in _jobs_on(model, file, head, _read_course(folder / name), players)
    ]
    taken = set[str]()
    for place in (place for job in jobs for place in job.paths):
        if str(place).casefold() in taken:
            raise InputError(file, "players", f"two files would be {place}", "rename a player's file")
        taken.add(str(place).casefold())
    return jobs


@dataclass(frozen=True)
class _Golfer:
    """A player's file: its name, its content, and the player or why there is none."""

    file: str
    content: bytes
    player: Player | None
    fault: str

    @classmethod
    def read(cls, path: Path) -> "_Golfer":
        file, content = printable(path.name), b""
        try:
            content = read_input(path, largest=LARGEST_PLAYER)
            return cls(file, content, parse_player(file, content), "")
        except InputError as error:
            return cls(file, content, None, str(error))


def _check_names(file: str, model: JobsFile) -> None:
    for place, names in (("courses", model.courses), ("players", model.players)):
        stems = [Path(name).stem for name in names]
        for name, stem in zip(names, stems, strict=True):
            if stem.startswith(".") or stem in ("", SUMMARY):
                problem = f"{name!r:.60} would have plans in {stem!r:.60}, which is no name for them"
                raise InputError(file, place, problem, "rename the file")
            if stems.count(stem) > 1:
                raise InputError(file, place, f"has two files called {stem}", "rename one, or take it out")


def _read_course(path: Path) -> tuple[str, bytes, Course]:
    raw = read_input(path, largest=LARGEST_COURSE)
    return path.name, raw, parse_course(path.name, raw)


def _read_head(file: str, folder: Path, model: JobsFile) -> LessonHead:
    """Return what the coach adds to lessons."""
    given = [key for key in ("by", "logo", "notes", "date") if getattr(model, key)]
    if given and not {"lesson", "coach"} & set(model.sheets):
        problem = "has no place without a lesson or a coach's sheet"
        raise InputError(file, given[0], problem, 'add "lesson" to sheets')
    try:
        return read_lesson_head(
            by=model.by,
            logo=None if model.logo is None else folder / model.logo,
            notes=None if model.notes is None else folder / model.notes,
            day=model.date,
        )
    except InputError as error:
        if not error.file.startswith("--"):
            raise
        raise InputError(file, error.file.removeprefix("--"), error.problem, error.remedy) from None


def _jobs_on(
    model: JobsFile,
    file: str,
    head: LessonHead,
    played: tuple[str, bytes, Course],
    golfers: list[_Golfer],
) -> Iterator[Job]:
    """Yield a job for each golfer on a course."""
    name, content, course = played
    options = model.options
    says = {
        "schema": VERSION,
        "holesim": __version__,
        "options": options.as_used(options.ground or course.firmness),
        "seed": options.seed,
        "draws": options.draws,
    }
    sheets = tuple(dict.fromkeys(model.sheets))
    for golfer in golfers:
        player, fault = golfer.player, golfer.fault
        tee: str | None = None
        longest = False
        places: tuple[tuple[int, str], ...] = ()
        if player is not None:
            says = says | {"inputs": {course.file: course.sha256, player.file: player.sha256}}
            try:
                tee = _choose_tee(model, file, course, player)
                found = find_own_tees(course, player, None, None if tee is None else [tee])
                places = tuple((hole.number, played.name) for hole, played in found)
                longest = tee is None and player.tee is None and len(tee_names(course)) > 1
            except InputError as error:
                fault = str(error)
        yield Job(
            course=name,
            player=golfer.file,
            course_content=content,
            player_content=golfer.content,
            options=options,
            tee=tee,
            longest=longest,
            says=says,
            places=places,
            sheets=sheets,
            metric=model.metric,
            head=head,
            fault=fault,
        )


def _choose_tee(model: JobsFile, file: str, course: Course, player: Player) -> str | None:
    """Return the name of the tees that a player plays; None for their own, or else the longest.

    Raises
    ------
    InputError
        If the tees of their sex are not on every hole.
    """
    by_sex: str | None = getattr(model.tees, player.sex)
    if by_sex is not None:
        for hole in course.holes:
            named_tee(course, hole, by_sex, file=file, place=f"tees.{player.sex}")
        return by_sex
    return None if player.tee is not None else tees_meant_for(course, player.sex)
