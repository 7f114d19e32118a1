"""What a page asks of a drawing over HTTP."""

from collections.abc import Callable
from functools import partial
from typing import Annotated, Any, Final, Literal

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.common.toml_tables import Table
from holesim.errors import InputError
from holesim.window.asked import read_asked
from holesim.window.drawing.by_numbers import HoleTable, NotedTable, drawn_hazard, new_hole, redrawn
from holesim.window.drawing.drawing import Drawing
from holesim.window.drawing.drawings import Drawings
from holesim.window.drawing.files import PictureTable
from holesim.window.drawing.kinds import TAGS, tags_of

DRAWINGS: Final = "/api/drawings"
_NOTHING_SAID: Final = "drawn"

_Place = Annotated[list[float], Field(min_length=2, max_length=2)]


class NewTable(Table):
    """A course file to begin."""

    name: str
    title: str = ""


class AddedTable(Table):
    """A feature to add, its geometry on the drawing's plane."""

    kind: str
    geometry: dict[str, Any]
    tags: dict[str, str] = Field(default_factory=dict)


class ChangeTable(Table):
    """A change of a feature, or one to add."""

    id: int | None = None
    geometry: dict[str, Any] | None = None
    tags: dict[str, str | None] | None = None
    remove: Literal[True] | None = None
    certain: Literal[True] | None = None
    add: AddedTable | None = None


class RevisionTable(Table):
    """Which revision of the drawing a page has seen."""

    revision: int


class StepsTable(RevisionTable):
    """What one gesture changes."""

    says: Annotated[str, Field(max_length=80)] = _NOTHING_SAID
    changes: Annotated[list[ChangeTable], Field(min_length=1)]


class HoleAsked(RevisionTable):
    """A hole by its numbers, where its back tee is and in which direction its pin [m]."""

    hole: HoleTable
    tee: _Place
    towards: _Place


class HazardAsked(RevisionTable):
    """A hazard by its numbers: one to draw anew, or a new one."""

    id: int | None = None
    word: Annotated[str, Field(max_length=60)] = ""
    noted: NotedTable


class PlaceTable(RevisionTable):
    """Where a point of the drawing belongs [°], and how far all turns clockwise about it [°]."""

    point: _Place = Field(alias="from")
    at: _Place
    turn_deg: Annotated[float, Field(ge=-360, le=360)] = 0.0


class RestoreTable(RevisionTable):
    """An earlier version."""

    version: str


class PicturesTable(Table):
    """The pictures under a drawing."""

    pictures: Annotated[list[PictureTable], Field(max_length=100)]


class CopyTable(Table):
    """Another name for the drawing."""

    name: str


def draw_routes(drawings: Drawings) -> list[Route]:
    """Return the routes of drawings."""
    asked = _Asked(drawings)
    one = DRAWINGS + "/{name:path}"
    return [
        Route(DRAWINGS, asked.create, methods=["POST"]),
        Route(f"{one}/steps", asked.change, methods=["POST"]),
        Route(f"{one}/holes", asked.add_hole, methods=["POST"]),
        Route(f"{one}/hazards", asked.draw_hazard, methods=["POST"]),
        Route(f"{one}/undo", asked.undo, methods=["POST"]),
        Route(f"{one}/redo", asked.redo, methods=["POST"]),
        Route(f"{one}/place", asked.move, methods=["POST"]),
        Route(f"{one}/restore", asked.restore, methods=["POST"]),
        Route(f"{one}/pictures", asked.place_pictures, methods=["PUT"]),
        Route(f"{one}/copy", asked.copy, methods=["POST"]),
        Route(f"{one}/forget", asked.forget, methods=["POST"]),
        Route(one, asked.show),
    ]


class _Asked:
    """Answers to what is asked of drawings."""

    def __init__(self, drawings: Drawings) -> None:
        self._drawings = drawings

    async def create(self, request: Request) -> Response:
        asked = await read_asked(request, NewTable)
        await self._drawings.create(asked.name, asked.title)
        return JSONResponse({"name": asked.name}, 201)

    async def show(self, request: Request) -> Response:
        return JSONResponse(await self._drawings.show(_name(request)))

    async def change(self, request: Request) -> Response:
        asked = await read_asked(request, StepsTable)
        answer = await self._drawings.change(
            _name(request), asked.revision, lambda drawing: _step(drawing, asked)
        )
        return JSONResponse(answer)

    async def add_hole(self, request: Request) -> Response:
        asked = await read_asked(request, HoleAsked)
        work = partial(_new_hole, asked=asked)
        return JSONResponse(await self._drawings.change(_name(request), asked.revision, work))

    async def draw_hazard(self, request: Request) -> Response:
        asked = await read_asked(request, HazardAsked)
        work = partial(_hazard, asked=asked)
        return JSONResponse(await self._drawings.change(_name(request), asked.revision, work))

    async def undo(self, request: Request) -> Response:
        asked = await read_asked(request, RevisionTable)
        return JSONResponse(await self._drawings.undo(_name(request), asked.revision))

    async def redo(self, request: Request) -> Response:
        asked = await read_asked(request, RevisionTable)
        return JSONResponse(await self._drawings.redo(_name(request), asked.revision))

    async def move(self, request: Request) -> Response:
        asked = await read_asked(request, PlaceTable)
        (x, y), (longitude, latitude) = asked.point, asked.at
        if abs(longitude) > 180 or abs(latitude) > 85:
            problem = f"{latitude:g}, {longitude:g} is not a place for a course"
            raise InputError(_name(request), "place", problem, "give latitude and longitude in degrees")
        answer = await self._drawings.move(
            _name(request),
            asked.revision,
            lambda drawing: drawing.moved((x, y), (longitude, latitude), asked.turn_deg),
        )
        return JSONResponse(answer)

    async def restore(self, request: Request) -> Response:
        asked = await read_asked(request, RestoreTable)
        return JSONResponse(await self._drawings.restore(_name(request), asked.revision, asked.version))

    async def place_pictures(self, request: Request) -> Response:
        asked = await read_asked(request, PicturesTable)
        return JSONResponse({"pictures": await self._drawings.place_pictures(_name(request), asked.pictures)})

    async def copy(self, request: Request) -> Response:
        asked = await read_asked(request, CopyTable)
        await self._drawings.copy(_name(request), asked.name)
        return JSONResponse({"name": asked.name}, 201)

    async def forget(self, request: Request) -> Response:
        return JSONResponse(await self._drawings.forget(_name(request)))


def _name(request: Request) -> str:
    name: str = request.path_params["name"]
    return name


def _step(drawing: Drawing, asked: StepsTable) -> dict[str, Any]:
    """Change a drawing as a page asks, all as one step."""
    texts: dict[int, str | None] = {}
    added: list[str] = []
    for change in asked.changes:
        if change.add is not None:
            if change.add.kind not in TAGS:
                raise InputError(drawing.name, "", f"{change.add.kind:.30} is not drawn", "reload the page")
            added.append(_or_refused(drawing, _new_text, drawing, change.add))
        elif change.id is not None:
            if change.id in texts:
                raise InputError(drawing.name, "", "is changed twice in one step", "reload the page")
            texts[change.id] = _or_refused(drawing, _changed_text, drawing, change)
    before = {feature.number: feature for feature in drawing.features}
    return drawing.change(asked.says, texts, added, lambda drawn: redrawn(drawn, before))


def _new_hole(drawing: Drawing, asked: HoleAsked) -> dict[str, Any]:
    texts = new_hole(drawing, asked.hole, asked.tee, asked.towards)
    return drawing.change(f"hole {asked.hole.number} drawn", {}, texts)


def _hazard(drawing: Drawing, asked: HazardAsked) -> dict[str, Any]:
    """Draw a hazard by its numbers, or draw one anew."""
    if asked.id is None:
        kind, geometry, note = drawn_hazard(drawing, asked.noted, asked.word)
        text = drawing.new_text(kind, geometry, {"noted": note})
        return drawing.change(f"{asked.word or kind} drawn", {}, [text])
    feature, noted, word = drawing.find(asked.id), asked.noted, asked.word
    if feature.noted is not None and word == feature.noted.get("word"):  # it stays what it has become since
        noted, word = noted.model_copy(update={"kind": feature.kind, "word": word}), ""
    kind, geometry, note = drawn_hazard(drawing, noted, word)
    properties: dict[str, Any] = {"noted": note}
    if feature.kind != kind:
        properties |= {**dict.fromkeys(tags_of(feature.kind, feature.geometry)), **tags_of(kind, geometry)}
    earth = drawing.plane.to_earth(geometry, feature.geometry)
    return drawing.change(
        f"{asked.word or kind} moved",
        {feature.number: feature.changed(geometry=earth, properties=properties)},
    )


def _or_refused(drawing: Drawing, make: Callable[..., Any], *values: object) -> Any:  # noqa: ANN401
    try:
        return make(*values)
    except (ValueError, KeyError, TypeError):
        raise InputError(drawing.name, "", "this shape has no positions of use", "draw it again") from None


def _new_text(drawing: Drawing, added: AddedTable) -> str:
    return drawing.new_text(added.kind, added.geometry, added.tags)


def _changed_text(drawing: Drawing, change: ChangeTable) -> str | None:
    """Return a feature's new text, None if it is taken out; what is drawn by hand is no guess or note."""
    feature = drawing.find(change.id or 0)
    if change.remove:
        return None
    properties: dict[str, Any] = dict(change.tags or {})
    geometry = None
    if change.geometry is not None:
        geometry = drawing.plane.to_earth(change.geometry, feature.geometry)
    if change.geometry is not None or change.certain:
        properties |= {key: None for key in ("guessed", "noted") if key in feature.properties}
    return feature.changed(geometry=geometry, properties=properties)
