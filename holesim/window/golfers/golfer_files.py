"""Golfers' files: listed, read, written with what was there before kept, copied and brought back."""

import tomllib
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any, Final, TypeVar

from holesim.common.toml_edits import edit_toml
from holesim.common.toml_tables import parse_toml, to_toml
from holesim.errors import InputError
from holesim.measure.column_names import QUANTITIES
from holesim.measure.drives_table import look_at_columns
from holesim.player.player_file import PlayerFile
from holesim.shot.club_speeds import parse_player
from holesim.units import MPH
from holesim.window.folder import Folder, NameRefusedError
from holesim.window.golfers.golfer_form import Content, look_at_golfer
from holesim.window.inputs import Listing, read_golfer
from holesim.window.versions import Versions

T = TypeVar("T")

_FEWEST_COLUMNS: Final = 2  # that make a table one of drives
_MOST_TABLES: Final = 100


class Golfers:
    """The golfers of a folder, and its tables of drives; what has not changed is not read again."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._listing = Listing(folder, demo=False)
        self._known: dict[str, tuple[object, Any]] = {}

    def to_dict(self) -> dict[str, Any]:
        """Return the golfers, and the names of the tables of drives."""
        players = self._listing.to_dict()["players"]
        names = [name for name in self._folder.names() if name.lower().endswith(".csv")][:_MOST_TABLES]
        return {
            "golfers": [self._golfer(row["name"], builtin=row["builtin"]) for row in players],
            "tables": [name for name in names if self._once(name, partial(self._is_drives, name))],
        }

    def _once(self, name: str, look: Callable[[], T]) -> T:
        stamp = self._folder.stamp(name)
        if name not in self._known or self._known[name][0] != stamp:
            self._known[name] = (stamp, look())
        found: T = self._known[name][1]
        return found

    def _golfer(self, name: str, *, builtin: bool) -> dict[str, Any]:
        return {"name": name, "builtin": builtin, **self._once(name, lambda: self._look(name))}

    def _look(self, name: str) -> dict[str, Any]:
        try:
            player = read_golfer(self._folder, name)
        except InputError as error:
            return {"title": name, "error": str(error)}
        return {
            "title": player.name,
            "handicap": player.handicap,
            "mph": round(player.club_speed / MPH),
            "hand": player.hand,
            "sex": player.sex,
            "measured": player.measured,
        }

    def _is_drives(self, name: str) -> bool:
        with suppress(InputError):
            found = look_at_columns(self._folder.path(name)).columns
            return sum(column.name in QUANTITIES for column in found) >= _FEWEST_COLUMNS
        return False


def read_form(folder: Folder, name: str) -> dict[str, Any]:
    """Return a golfer's file as a form has it; raise an `InputError` if it makes no sense."""
    raw, sha256 = folder.read(name)
    parse_toml(name, raw, PlayerFile, "player")
    content = tomllib.loads(raw.decode("utf-8-sig"))
    builtin = name in folder.builtin
    return {
        "name": name,
        "builtin": builtin,
        "sha256": sha256,
        "content": content,
        "versions": [] if builtin else Versions(folder, name).to_list(),
        **look_at_golfer(name, content),
    }


def write_form(folder: Folder, name: str, content: Content, seen: str | None) -> str:
    """Write a golfer's file from a form, its comments kept; return its SHA-256.

    Raises
    ------
    ChangedError
        If the file is not the one that was seen.
    InputError
        If the content makes no sense, or it cannot be written.
    """
    ordered = {key: content[key] for key in (*PlayerFile.model_fields, *content) if key in content}
    text = to_toml(ordered)
    if seen is not None:
        with suppress(UnicodeDecodeError):
            text = edit_toml(folder.read(name)[0].decode("utf-8-sig"), ordered)
    return write_golfer(folder, name, text, seen)


def write_golfer(folder: Folder, name: str, text: str, seen: str | None) -> str:
    """Write a golfer's file, and keep what it was before; return its SHA-256. Raises as `write_form` does."""
    if Path(name).suffix.lower() != ".toml":
        raise NameRefusedError(name, "", "is no name for a golfer's file", "end it with .toml")
    raw = text.encode("utf-8")
    parse_player(name, raw)
    return Versions(folder, name).replace(raw, seen)


def copy_golfer(folder: Folder, name: str, to: str) -> str:
    """Write a golfer's file under a name that is free, byte for byte; return its SHA-256."""
    raw, _ = folder.read(name)
    parse_player(name, raw)
    return folder.write(to, raw, None)


def restore_golfer(folder: Folder, name: str, version: str, seen: str) -> str:
    """Write an earlier version of a golfer's file over it, which is kept; return its SHA-256."""
    versions = Versions(folder, name)
    return versions.replace(versions.read(version), seen)
