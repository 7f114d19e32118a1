"""What a page asks about golfers and measured drives over HTTP."""

from collections.abc import Callable
from typing import Annotated, Any, Final, Literal

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.common.toml_tables import Table
from holesim.errors import InputError
from holesim.measure.column_file import MappedColumn
from holesim.player.player import StrikeName
from holesim.window.asked import read_asked
from holesim.window.folder import Folder
from holesim.window.golfers.golfer_files import (
    Golfers,
    copy_golfer,
    read_form,
    restore_golfer,
    write_form,
    write_golfer,
)
from holesim.window.golfers.golfer_form import look_at_golfer, with_miss
from holesim.window.golfers.range_tables import Mapped, keep_corrections, list_meanings, look_at_table
from holesim.window.threads import Worker

GOLFERS: Final = "/api/golfers"
_MOST_LINES: Final = 5_000


class ContentAsked(Table):
    """What a form holds, and the usual miss to put into it."""

    name: str = "golfer.toml"
    content: dict[str, Any]
    miss: Literal["both", "left", "right"] | None = None


class SavedForm(Table):
    """A form to save over the file that was seen, or as a new one."""

    content: dict[str, Any]
    seen: str | None = None


class SavedFit(Table):
    """The file of a golfer who was fitted."""

    toml: str
    seen: str | None = None


class CopyAsked(Table):
    """A name for a copy."""

    name: str


class RestoreAsked(Table):
    """An earlier version, over the file that was seen."""

    version: str
    seen: str


class ColumnTable(Table):
    """What a column holds."""

    header: str
    unit: str = ""
    positive: str = ""


class TableAsked(Table):
    """How a table of drives is to be read."""

    columns: dict[str, ColumnTable] | None = None
    balls: Literal["course", "range"] = "course"
    day: str | None = None
    day_first: bool | None = None

    def mapped(self) -> Mapped | None:
        """Return what is said of the columns."""
        if self.columns is None:
            return None
        return {name: MappedColumn(one.header, one.unit, one.positive) for name, one in self.columns.items()}


class CorrectionsAsked(TableAsked):
    """What is corrected of a table, by lines of its file, and which files may be replaced."""

    strikes: Annotated[dict[str, StrikeName], Field(max_length=_MOST_LINES)] = Field(default_factory=dict)
    left_out: Annotated[list[int], Field(max_length=_MOST_LINES)] = Field(default_factory=list)
    seen: dict[str, str] = Field(default_factory=dict)


def golfer_routes(folder: Folder) -> list[Route]:
    """Return the routes of golfers."""
    asked = _Asked(folder)
    file, table = f"{GOLFERS}/files/{{name:path}}", f"{GOLFERS}/tables/{{name:path}}"
    return [
        Route(GOLFERS, asked.list),
        Route(f"{GOLFERS}/meanings", asked.meanings),
        Route(f"{GOLFERS}/usual", asked.usual, methods=["POST"]),
        Route(f"{file}/copy", asked.copy, methods=["POST"]),
        Route(f"{file}/restore", asked.restore, methods=["POST"]),
        Route(f"{file}/fitted", asked.keep_fit, methods=["PUT"]),
        Route(file, asked.show),
        Route(file, asked.save, methods=["PUT"]),
        Route(f"{table}/look", asked.look, methods=["POST"]),
        Route(f"{table}/keep", asked.keep, methods=["POST"]),
    ]


class _Asked:
    """Answers to what is asked of golfers."""

    def __init__(self, folder: Folder) -> None:
        self._folder, self._golfers, self._worker = folder, Golfers(folder), Worker("golfers")

    async def _run(self, work: Callable[[], Any]) -> Response:
        return JSONResponse(await self._worker.run(work))

    async def list(self, _: Request) -> Response:
        return await self._run(self._golfers.to_dict)

    async def meanings(self, _: Request) -> Response:
        return JSONResponse(list_meanings())

    async def usual(self, request: Request) -> Response:
        asked = await read_asked(request, ContentAsked)
        content = asked.content if asked.miss is None else with_miss(asked.content, asked.miss)
        return await self._run(lambda: {"content": content, **look_at_golfer(asked.name, content)})

    async def show(self, request: Request) -> Response:
        return await self._run(lambda: read_form(self._folder, _name(request)))

    async def save(self, request: Request) -> Response:
        asked = await read_asked(request, SavedForm)
        return await self._saved(
            _name(request), lambda name: write_form(self._folder, name, asked.content, asked.seen)
        )

    async def keep_fit(self, request: Request) -> Response:
        asked = await read_asked(request, SavedFit)
        return await self._saved(
            _name(request), lambda name: write_golfer(self._folder, name, asked.toml, asked.seen)
        )

    async def copy(self, request: Request) -> Response:
        asked = await read_asked(request, CopyAsked)
        return await self._saved(asked.name, lambda name: copy_golfer(self._folder, _name(request), name))

    async def restore(self, request: Request) -> Response:
        asked = await read_asked(request, RestoreAsked)
        return await self._saved(
            _name(request), lambda name: restore_golfer(self._folder, name, asked.version, asked.seen)
        )

    async def _saved(self, name: str, write: Callable[[str], str]) -> Response:
        return await self._run(lambda: {"name": name, "sha256": write(name)})

    async def look(self, request: Request) -> Response:
        asked, name = await read_asked(request, TableAsked), _name(request)
        return await self._run(
            lambda: look_at_table(
                self._folder,
                name,
                columns=asked.mapped(),
                balls=asked.balls,
                day=asked.day,
                day_first=asked.day_first,
            )
        )

    async def keep(self, request: Request) -> Response:
        asked, name = await read_asked(request, CorrectionsAsked), _name(request)
        return await self._run(
            lambda: keep_corrections(
                self._folder,
                name,
                strikes={_line(line): strike for line, strike in asked.strikes.items()},
                left_out=asked.left_out,
                columns=asked.mapped(),
                balls=asked.balls,
                seen=asked.seen,
            )
        )


def _line(text: str) -> int:
    if not text.isdecimal():
        raise InputError("question", text[:20], "is no line", "reload the page")
    return int(text)


def _name(request: Request) -> str:
    name: str = request.path_params["name"]
    return name
