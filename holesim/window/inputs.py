"""Courses, players and tables of the folder, read by the package's own loaders and listed for the page."""

import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final, TypeVar

from holesim.common.csv_tables import parsed
from holesim.course.course import Course
from holesim.course.course_file import course_names, parse_course, parse_courses
from holesim.course.geojson import read_features
from holesim.errors import InputError
from holesim.measure.column_names import read_header
from holesim.measure.table_text import read_text_table
from holesim.player.player import Player
from holesim.player.player_file import PlayerFile, read_player
from holesim.shot.club_speeds import load_player
from holesim.window.folder import Folder
from holesim.window.guard import LARGEST_FILES

T = TypeVar("T")

_PLAYER_KEY: Final = re.compile(rb"^\s*(handicap_index|club_speed_mph|hand)\s*=", re.MULTILINE)
_OTHER_KEY: Final = re.compile(
    rb"^\s*(players|courses|format)\s*=|^\s*\[\[?(players|courses|jobs|hole)", re.MULTILINE
)
_PICTURES: Final = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".webp": b"RIFF",
}
"""Kinds of pictures, and what each begins with; only the browser reads more of them."""

_FEWEST_KNOWN: Final = 2  # columns that make a table one of drives
_MOST_LISTED: Final = 500  # files
_PLAN: Final = "plan.json"


@contextmanager
def on_disk(name: str, content: bytes) -> Iterator[Path]:
    """Give content to a loader as a file with its own name, so that what is loaded is what was read."""
    with TemporaryDirectory(prefix="holesim-") as place:
        path = Path(place) / name.rpartition("/")[2]
        path.write_bytes(content)
        yield path


def _loaded(name: str, content: bytes, load: Callable[[Path], T]) -> T:
    with on_disk(name, content) as path:
        return load(path)


def read_course(folder: Folder, name: str, layout: str | None, content: bytes | None = None) -> Course:
    """Return a course of the folder, or of the content that its file is about to have.

    Raises
    ------
    InputError
        If it cannot be read, or `layout` is not given and it holds several courses.
    """
    if content is None:
        content, _ = folder.read(name)
    file = name.rpartition("/")[2]
    if layout is None and len(courses := course_names(file, content)) > 1:
        held = f"holds {len(courses)} courses ({', '.join(courses)})"
        raise InputError(name, "", held, "choose one of them")
    return parse_course(file, content, name=layout)


def read_golfer(folder: Folder, name: str) -> Player:
    """Return a player of the folder; raise an `InputError` if the file makes no sense."""
    content, _ = folder.read(name)
    return _loaded(name, content, load_player)


def read_golfer_file(folder: Folder, name: str) -> PlayerFile:
    """Return a player's file of the folder as it is written; raise an `InputError` if it makes no sense."""
    content, _ = folder.read(name)
    return _loaded(name, content, read_player)[0]


def check_content(name: str, content: bytes) -> None:
    """Make sure that a file can be loaded, before it is kept.

    Raises
    ------
    InputError
        If it cannot.
    """
    suffix, file = Path(name).suffix.lower(), name.rpartition("/")[2]
    if suffix in _PICTURES:
        if not content.startswith(_PICTURES[suffix]):
            raise InputError(name, "", f"is not a {suffix[1:]} picture", "save it anew in that format")
    elif suffix in (".geojson", ".json"):
        parse_courses(file, content)
    elif suffix == ".csv":
        _check_table(content, file)
    else:
        _loaded(name, content, load_player)


def _check_table(content: bytes, file: str) -> None:
    """Make sure that a file is a table of a round, or of drives as launch monitors export them."""
    try:
        parsed(content, file)
    except InputError as error:
        meant = [read_header(header).name for header in _headers(content, file)]
        if sum(map(bool, meant)) < _FEWEST_KNOWN:
            raise error from None


def _headers(content: bytes, file: str) -> tuple[str, ...]:
    with suppress(InputError):
        return read_text_table(content, file, lambda header: read_header(header).name).headers
    return ()


class Listing:
    """What the folder holds, as the page lists it; a file is read again only when it has changed."""

    def __init__(self, folder: Folder, *, demo: bool) -> None:
        self._folder, self._demo = folder, demo
        self._read: dict[str, tuple[object, dict[str, Any] | None]] = {}

    def to_dict(self) -> dict[str, Any]:
        """Return the courses, players and plans, and the files that cannot be read."""
        found: dict[str, Any] = {
            "folder": self._folder.root.name or str(self._folder.root),
            "demo": self._demo,
            "courses": [],
            "players": [],
            "plans": self._plans(),
            "broken": [],
            "pictures": [],
        }
        plans = tuple(f"{plan['name']}/" if plan["name"] else "" for plan in found["plans"])
        names = [name for name in self._folder.names() if not name.startswith(plans or ("\0",))]
        for name in [*names[:_MOST_LISTED], *self._folder.builtin]:
            row = self._row(name)
            if row is not None:
                kind = row["kind"]
                found[kind].append({key: value for key, value in row.items() if key != "kind"})
        return found

    def _row(self, name: str) -> dict[str, Any] | None:
        """Return a file as it is listed; None if it is no course, player or picture."""
        stamp = self._folder.stamp(name)
        if name not in self._read or self._read[name][0] != stamp:
            try:
                row = self._look(name)
            except InputError as error:
                row = {"kind": "broken", "name": name, "error": str(error), "drawable": self._drawable(name)}
            self._read[name] = stamp, row
        return self._read[name][1]

    def _drawable(self, name: str) -> bool:
        """Return whether a file that cannot be planned on is a map that can be mended."""
        with suppress(InputError):
            read_features(name, self._folder.read(name)[0])
            return Path(name).suffix.lower() in {".geojson", ".json"}
        return False

    def _look(self, name: str) -> dict[str, Any] | None:
        suffix = Path(name).suffix.lower()
        if suffix in _PICTURES:
            return {"kind": "pictures", "name": name}
        if suffix not in {".geojson", ".json", ".toml"}:
            return None
        content, _ = self._folder.read(name)
        if len(content) > LARGEST_FILES[suffix]:
            problem = f"is larger than {LARGEST_FILES[suffix] / 1e6:g} MB"
            raise InputError(name, "", problem, "leave out what is not needed")
        about = {"name": name, "builtin": name in self._folder.builtin}
        if suffix == ".toml":
            if not _is_player(content):
                return None
            title = _loaded(name, content, read_player)[0].name
            return {"kind": "players", "title": title, **about}
        if suffix == ".json" and not _is_map(content):
            return None
        layouts = course_names(name.rpartition("/")[2], content)
        return {"kind": "courses", "title": layouts[0], "layouts": layouts, **about}

    def _plans(self) -> list[dict[str, Any]]:
        """Return the folders that hold a plan, each with its files."""
        names = list(self._folder.names(depth=2))
        places = [name.rpartition("/")[0] for name in names if name.rpartition("/")[2] == _PLAN]
        return [
            {
                "name": place,
                "files": [file for name in names for at, _, file in [name.rpartition("/")] if at == place],
            }
            for place in places
            if place
        ]


def _is_player(content: bytes) -> bool:
    """Return whether a TOML file has a key of a player file and none of other kinds, before it is read."""
    return bool(_PLAYER_KEY.search(content)) and not _OTHER_KEY.search(content)


def _is_map(content: bytes) -> bool:
    """Return whether a JSON file is, or tries to be, GeoJSON."""
    try:
        held = json.loads(content)
    except (ValueError, RecursionError):
        return True
    return isinstance(held, dict) and held.get("type") == "FeatureCollection"
