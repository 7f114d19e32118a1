"""Team files and weekend files of the folder: listed, read and written."""

import json
import re
from collections.abc import Mapping
from typing import Any, Final

from holesim.common.toml_tables import checked, parse_toml
from holesim.course.course import Course
from holesim.errors import InputError
from holesim.player.player import Player
from holesim.team.team_file import PersonFile, Team, TeamFile, load_team
from holesim.team.weekend_file import Weekend, WeekendFile, load_weekend
from holesim.window.folder import Folder

_TEAM: Final = re.compile(rb"^\s*(players|opponents|order_known)\s*=|^\s*\[\[\s*players", re.MULTILINE)
_WEEKEND: Final = re.compile(rb"^\s*\[\[\s*sessions|^\s*sessions\s*=", re.MULTILINE)
_PLAYER: Final = re.compile(rb"^\s*(handicap_index|club_speed_mph)\s*=", re.MULTILINE)
_DEEP: Final = 2  # folders below the window's in which teams are looked for
_MOST: Final = 200  # files that are listed
_COMMENT: Final = re.compile(rb"^\s*#", re.MULTILINE)


def list_squads(folder: Folder) -> dict[str, Any]:
    """Return the teams and weekends of the folder, and files of theirs that cannot be read."""
    found: dict[str, Any] = {"teams": [], "weekends": [], "broken": []}
    names = [name for name in folder.names(depth=_DEEP) if name.lower().endswith(".toml")]
    for name in [*names[:_MOST], *(one for one in folder.builtin if one.endswith(".toml"))]:
        try:
            content, _ = folder.read(name)
            kind = _kind(content)
            if kind == "team":
                team = _team_file(name, content)
                found["teams"].append({"name": name, "title": team.name, "builtin": name in folder.builtin})
            elif kind == "weekend":
                model, _ = parse_toml(_last(name), content, WeekendFile, "weekend")
                about = {"name": name, "title": model.name, "builtin": name in folder.builtin}
                found["weekends"].append(about)
        except InputError as error:
            found["broken"].append({"name": name, "error": str(error)})
    return found


def _kind(content: bytes) -> str:
    """Return what a TOML file is, before it is read."""
    if _WEEKEND.search(content):
        return "weekend"
    return "team" if _TEAM.search(content) and not _PLAYER.search(content) else ""


def _last(name: str) -> str:
    return name.rpartition("/")[2]


def _team_file(name: str, content: bytes) -> TeamFile:
    model, _ = parse_toml(_last(name), content, TeamFile, "team")
    return model


def read_team(folder: Folder, name: str, course: Course | None = None) -> Team:
    """Return a team of the folder, as `load_team` reads it.

    Raises
    ------
    InputError
        If it cannot be read, or names a file that lies outside the folder.
    """
    content, _ = folder.read(name)
    _check_inside(folder, name, [one.file for one in _people(name, content)])
    return load_team(folder.path(name), course)


def _people(name: str, content: bytes) -> list[PersonFile]:
    model = _team_file(name, content)
    return [*model.players, *model.opponents]


def read_weekend(folder: Folder, name: str) -> Weekend:
    """Return a weekend of the folder, as `load_weekend` reads it.

    Raises
    ------
    InputError
        If it cannot be read, or names a file that lies outside the folder.
    """
    content, _ = folder.read(name)
    if name not in folder.builtin:
        model, _ = parse_toml(_last(name), content, WeekendFile, "weekend")
        courses = [model.course, *(session.course for session in model.sessions)]
        _check_inside(folder, name, [model.team, *courses])
        team = _named(folder, name, model.team)
        folder.check_there(team)
        _check_inside(folder, team, [one.file for one in _people(team, folder.read(team)[0])])
    return load_weekend(folder.path(name))


def _check_inside(folder: Folder, name: str, files: "list[str | None]") -> None:
    if name not in folder.builtin:
        for file in files:
            if file is not None:
                folder.path(_named(folder, name, file))


def _named(folder: Folder, name: str, file: str) -> str:
    """Return the name in the folder of a file that another file names, relative to its own place."""
    parts = list(folder.path(name).relative_to(folder.root).parts[:-1])
    for part in file.replace("\\", "/").split("/"):
        if part == ".." and parts:
            parts.pop()
        elif part in {"..", ""}:
            problem = f"{file:.120} lies outside this folder"
            raise InputError(_last(name), "", problem, "copy it into this folder, and name it there")
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


def team_dict(folder: Folder, name: str) -> dict[str, Any]:
    """Return what the page shows of a team, and the file as it may be changed.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    content, sha256 = folder.read(name)
    team, model = read_team(folder, name), _team_file(name, content)
    return {
        "name": name,
        "title": team.name,
        "builtin": name in folder.builtin,
        "sha256": sha256,
        "comments": bool(_COMMENT.search(content)),
        "players": [_person(player) for player in team.players],
        "opponents": [_person(player) for player in team.opponents],
        "order_known": team.order_known,
        "places": team.places,
        "tees": dict(team.tees),
        "content": model.model_dump(mode="json", by_alias=True, exclude_defaults=True),
    }


def _person(player: Player) -> dict[str, Any]:
    return {"name": player.name, "handicap_index": player.handicap_index, "sex": player.sex}


# --- written --------------------------------------------------------------------------------------------


def write_team(folder: Folder, name: str, content: dict[str, Any], seen: str | None) -> str:
    """Write a team file; return its SHA-256.

    Parameters
    ----------
    content
        As a team file says it; players' files by their names in the folder.
    seen
        As in `Folder.write`.

    Raises
    ------
    InputError
        If it makes no sense, a player's file is not in the folder, or nothing can be written.
    ChangedError
        If the disk holds another file.
    """
    if not name.lower().endswith(".toml"):
        raise InputError(name, "", "is no name for a team file", "let it end in .toml")
    folder.path(name)
    model = checked(content, TeamFile, file=_last(name), kind="team")
    for person in (*model.players, *model.opponents):
        if person.file is not None:
            if _named(folder, name, person.file) in folder.builtin:
                raise InputError(
                    person.file, "", "comes with holesim", "give handicap and club speed instead"
                )
            folder.check_there(_named(folder, name, person.file))
    if seen is not None and _COMMENT.search(folder.read(name)[0]):
        problem, remedy = "has comments, which would be lost", "save the team under another name"
        raise InputError(name, "", problem, remedy)
    text = team_text(model)
    parse_toml(_last(name), text.encode("utf-8"), TeamFile, "team")
    return folder.write(name, text.encode("utf-8"), seen)


def team_text(model: TeamFile) -> str:
    """Return a team file as TOML.

    Examples
    --------
    >>> team = TeamFile(name="Skerry", players=[{"file": "vale.toml"}], tees={"man": "back"})
    >>> print(team_text(team), end="")
    name = "Skerry"
    players = [
        "vale.toml",
    ]
    <BLANKLINE>
    [tees]
    man = "back"
    """
    content = model.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    tables = {key: value for key, value in content.items() if isinstance(value, dict)}
    lines = [f"{key} = {_value(value)}" for key, value in content.items() if key not in tables]
    for key, table in tables.items():
        lines += _table(key, table)
    return "\n".join(lines) + "\n"


def _table(name: str, table: Mapping[str, Any]) -> list[str]:
    """Return the lines of a table, then those of the tables in it."""
    inner = {key: value for key, value in table.items() if isinstance(value, dict)}
    own = [f"{_key(key)} = {_value(value)}" for key, value in table.items() if key not in inner]
    lines = ["", f"[{name}]", *own] if own else []
    for key, value in inner.items():
        lines += _table(f"{name}.{_key(key)}", value)
    return lines


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key, ensure_ascii=False)


def _value(value: Any) -> str:  # noqa: ANN401 - whatever a team file holds
    if isinstance(value, dict):
        if set(value) == {"file"}:
            return json.dumps(value["file"], ensure_ascii=False)
        return "{ " + ", ".join(f"{_key(key)} = {_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n" + "".join(f"    {_value(one)},\n" for one in value) + "]"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
