"""Weekends of the folder: what the page shows of one, and what has been played written into its file."""

import json
import re
import tomllib
from typing import Annotated, Any, Final

from pydantic import Field

from holesim.common.safe_files import work_name
from holesim.common.toml_tables import Table, parse_toml
from holesim.errors import InputError
from holesim.team.team_file import MOST
from holesim.team.weekend_file import ResultFile, Weekend, WeekendFile, WeekendSession, load_weekend
from holesim.window.captain.squads import read_weekend
from holesim.window.folder import Folder
from holesim.window.orders import unwritable

_HEAD: Final = re.compile(r"^\s*\[\[\s*sessions\s*\]\]\s*(#.*)?$")
_RESULTS: Final = re.compile(r"^\s*\[\[\s*sessions\s*\.\s*results\s*\]\]\s*(#.*)?$")
_TABLE: Final = re.compile(r"^\s*\[")
_KEY: Final = re.compile(r"^\s*results\s*=")


class PlayedTable(Table):
    """What was played in one session of a weekend; nothing where it is still to be played."""

    sha256: str
    session: Annotated[int, Field(ge=0)]
    results: Annotated[list[ResultFile], Field(max_length=MOST)]


def weekend_dict(folder: Folder, name: str) -> dict[str, Any]:
    """Return what the page shows of a weekend; raise an `InputError` if it cannot be read."""
    weekend = read_weekend(folder, name)
    return {
        "name": name,
        "title": weekend.name,
        "builtin": name in folder.builtin,
        "sha256": weekend.sha256,
        "squad": list(weekend.team.names),
        "needed": weekend.points_needed,
        "won": weekend.won,
        "sessions": [_session(one, weekend) for one in weekend.sessions],
    }


def _session(one: WeekendSession, weekend: Weekend) -> dict[str, Any]:
    session, names = one.session, weekend.team.names
    return {
        "name": one.name,
        "format": session.format,
        "size": session.size,
        "sides": session.playing // session.size,
        "unit": session.unit,
        "opponents": [player.name for player in session.team.opponents],
        "results": [
            {"players": [names[i] for i in side.players], session.unit: side.value} for side in one.results
        ],
    }


def write_results(folder: Folder, name: str, played: PlayedTable) -> str:
    """Write what was played in a session into the weekend's file, all else as it is; return its SHA-256.

    Raises
    ------
    ChangedError
        If the file is not the one that the page saw.
    InputError
        If the results make no sense, or the file is written in a way that they cannot be put into.
    """
    content, _ = folder.read(name)
    text = with_results(name, content.decode("utf-8"), played)
    parse_toml(name.rpartition("/")[2], text.encode("utf-8"), WeekendFile, "weekend")
    if name not in folder.builtin:
        _check(folder, name, text)
    return folder.write(name, text.encode("utf-8"), played.sha256)


def _check(folder: Folder, name: str, text: str) -> None:
    """Make sure that results fit their session, in a file beside that finds all others alike."""
    beside = folder.path(name).with_name(work_name())
    try:
        beside.write_text(text, encoding="utf-8", newline="")
        load_weekend(beside)
    except InputError as error:
        raise InputError(name, error.place, error.problem, error.remedy) from None
    except OSError as error:
        raise unwritable(name, error.strerror or "no room") from None
    finally:
        beside.unlink(missing_ok=True)


def with_results(name: str, text: str, played: PlayedTable) -> str:
    """Return a weekend's text with the results of one session.

    Raises
    ------
    InputError
        If the file is written in a way that they cannot be put into.
    """
    lines = text.splitlines(keepends=True)
    heads = [number for number, line in enumerate(lines) if _HEAD.match(line)]
    wanted = tomllib.loads(text)
    sessions = wanted.get("sessions", [])
    if played.session >= len(sessions):
        raise InputError(name, "sessions", "has no such session", "open the weekend anew")
    rows = [one.model_dump(exclude_none=True) for one in played.results]
    sessions[played.session].pop("results", None)
    if rows:
        sessions[played.session]["results"] = rows
    if played.session < len(heads):
        end = next((n for n in heads if n > heads[played.session]), len(lines))
        body = _without_results(lines[heads[played.session] : end])
        at = next((n for n in range(1, len(body)) if _TABLE.match(body[n])), len(body))
        while at > 1 and not body[at - 1].strip():
            at -= 1
        if rows and not body[at - 1].endswith("\n"):
            body[at - 1] += "\n"
        new = [*body[:at], *_written(rows), *body[at:]]
        found = "".join([*lines[: heads[played.session]], *new, *lines[end:]])
        try:
            if tomllib.loads(found) == wanted:
                return found
        except tomllib.TOMLDecodeError:
            pass
    problem = "is written in a way that results cannot be put into"
    raise InputError(
        name, "sessions", problem, "write them there by hand, or each session below [[sessions]]"
    )


def _without_results(lines: list[str]) -> list[str]:
    """Return the lines of a session without its results."""
    kept: list[str] = []
    depth, inside = 0, False
    for line in lines:
        if depth > 0:
            depth += _opened(line)
        elif _RESULTS.match(line):
            inside = True
        elif _KEY.match(line):
            depth, inside = _opened(line), False
        elif not inside or _TABLE.match(line):
            inside = False
            kept.append(line)
    return kept


def _opened(line: str) -> int:
    """Return how many more brackets a line opens than it closes; the text is checked as a whole later."""
    return line.count("[") - line.count("]")


def _written(rows: list[dict[str, Any]]) -> list[str]:
    if not rows:
        return []
    told = []
    for row in rows:
        names = ", ".join(json.dumps(who, ensure_ascii=False) for who in row["players"])
        values = "".join(f", {key} = {value:g}" for key, value in row.items() if key != "players")
        told.append(f"    {{ players = [{names}]{values} }},\n")
    return ["results = [\n", *told, "]\n"]
