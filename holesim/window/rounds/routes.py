"""What a page asks after a round, over HTTP."""

from typing import Annotated, Any, Final

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError
from holesim.plan.round_tees import tee_names
from holesim.window.asked import read_asked
from holesim.window.folder import Folder, NameRefusedError
from holesim.window.inputs import Listing, check_content, read_course
from holesim.window.rounds.played import (
    Plans,
    find_tee,
    list_rounds,
    note_learnt,
    place_dict,
    plan_dict,
    round_dict,
    typed_dict,
)
from holesim.window.threads import Worker
from holesim.window.versions import Versions

ROUNDS: Final = "/api/rounds"
_FARTHEST: Final = 20_000.0  # m
_Metres = Annotated[float, Field(ge=-_FARTHEST, le=_FARTHEST)]


class FinishTable(Table):
    """Where a drive finished: a place [m], or how far and how far right of the aim [yd]."""

    plan: str
    hole: int
    tee: str
    label: str = ""
    at: Annotated[list[_Metres], Field(max_length=2)] | None = None
    total_yd: Annotated[float, Field(ge=0, le=450)] | None = None
    side_yd: Annotated[float, Field(ge=-200, le=200)] | None = None


class LearntTable(Table):
    """A golfer's file that has learnt from a round.

    Attributes
    ----------
    player
        Where it goes.
    seen
        SHA-256 of the file that it replaces; None if there is none.
    """

    player: str
    seen: str | None
    played: str
    text: str


def round_routes(folder: Folder, listing: Listing, files: Worker) -> list[Route]:
    """Return the routes of rounds."""
    asked = _Asked(folder, listing, files)
    return [
        Route(ROUNDS, asked.list_rounds),
        Route(f"{ROUNDS}/plan/{{name:path}}", asked.show_plan),
        Route(f"{ROUNDS}/tees", asked.list_tees),
        Route(f"{ROUNDS}/finish", asked.find_finish),
        Route(f"{ROUNDS}/learn", asked.learn, methods=["POST"]),
        Route(f"{ROUNDS}/played/{{name:path}}", asked.show_round),
    ]


class _Asked:
    """Answers to what is asked after a round."""

    def __init__(self, folder: Folder, listing: Listing, files: Worker) -> None:
        self._folder, self._listing, self._files = folder, listing, files
        self._plans = Plans(folder)

    async def list_rounds(self, _: Request) -> Response:
        rounds = await self._files.run(lambda: list_rounds(self._folder))
        return JSONResponse({"rounds": rounds})

    async def show_plan(self, request: Request) -> Response:
        name = request.path_params["name"]

        def show() -> dict[str, Any]:
            plan = self._plans.read(name)
            players = [row["name"] for row in self._listing.to_dict()["players"]]
            return plan_dict(plan, {player: self._folder.read(player)[1] for player in players})

        return JSONResponse(await self._files.run(show))

    async def list_tees(self, request: Request) -> Response:
        course, layout = request.query_params.get("course", ""), request.query_params.get("layout")
        tees = await self._files.run(lambda: tee_names(read_course(self._folder, course, layout)))
        return JSONResponse({"tees": list(tees)})

    async def find_finish(self, request: Request) -> Response:
        asked = _finish(request)

        def find() -> dict[str, Any]:
            plan = self._plans.read(asked.plan)
            tee = find_tee(plan, asked.hole, asked.tee)
            if asked.at is not None and len(asked.at) == 2:
                return place_dict(plan, tee, asked.label, *asked.at)
            if asked.total_yd is None or asked.side_yd is None:
                raise InputError("finish", "", "has no place", "say how far, and how far to the side")
            return typed_dict(plan, tee, asked.label, asked.total_yd, asked.side_yd)

        return JSONResponse(await self._files.run(find))

    async def show_round(self, request: Request) -> Response:
        name, plan = request.path_params["name"], request.query_params.get("plan", "")
        show = lambda: round_dict(self._folder, name, self._plans.read(plan))  # noqa: E731
        return JSONResponse(await self._files.run(show))

    async def learn(self, request: Request) -> Response:
        asked = await read_asked(request, LearntTable)
        if not asked.player.endswith(".toml"):
            raise NameRefusedError(asked.player, "", "is not the file of a golfer", "choose another")
        raw = asked.text.encode("utf-8")

        def keep() -> str:
            check_content(asked.player, raw)
            self._folder.path(asked.played)
            sha256 = Versions(self._folder, asked.player).replace(raw, asked.seen)
            note_learnt(self._folder, asked.played, asked.player)
            return sha256

        return JSONResponse({"name": asked.player, "sha256": await self._files.run(keep)})


def _finish(request: Request) -> FinishTable:
    """Return the finish that a page asks about, from the address of its question."""
    words = dict(request.query_params)
    numbers: dict[str, Any] = {}
    try:
        if "at" in words:
            numbers["at"] = [float(word) for word in words.pop("at").split(",")]
        for key in ("total_yd", "side_yd"):
            if key in words:
                numbers[key] = float(words.pop(key))
        numbers["hole"] = int(words.pop("hole", ""))
    except ValueError:
        raise InputError("finish", "", "is not in numbers", "correct it") from None
    return checked(words | numbers, FinishTable, file="finish", kind="question")
