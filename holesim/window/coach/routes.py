"""What a coach's page asks over HTTP."""

from functools import partial
from typing import Annotated, Any, Final, Literal

from pydantic import Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError
from holesim.plan.round_options import RoundOptions
from holesim.plan.round_tees import find_own_tees
from holesim.plan.session import WINDOW_ROOM, Session
from holesim.reports.practice_text import face_change_text
from holesim.study.face_change import glance_at_change, plan_change
from holesim.window.coach.golfers import list_golfers
from holesim.window.folder import Folder
from holesim.window.inputs import Listing, read_course, read_golfer
from holesim.window.threads import Worker

COACH: Final = "/api/coach"


class FaceTable(Table):
    """How much narrower or wider a golfer's face spread is to be, on a hole or all holes.

    Attributes
    ----------
    percent
        By how many hundredths; negative is narrower.
    level
        Few drives of the driver's strikes while a hand moves, all drives of every club at rest.
    """

    course: str
    layout: str | None = None
    player: str
    hole: int | None = None
    mph: Annotated[float, Field(ge=0, le=80)] = 0.0
    from_deg: Annotated[float, Field(ge=0, le=360)] = 0.0
    percent: Annotated[float, Field(ge=-40, le=40)]
    level: Literal["moving", "rest"] = "moving"


class _Replaced(Exception):  # noqa: N818 - no error
    """Work that gives way to a newer question."""


def coach_routes(folder: Folder, listing: Listing, files: Worker) -> list[Route]:
    """Return the routes of the coach's desk."""
    asked = _Asked(folder, listing, files)
    return [
        Route(f"{COACH}/golfers", asked.list_golfers),
        Route(f"{COACH}/holes", asked.list_holes),
        Route(f"{COACH}/face", asked.change_face),
    ]


class _Asked:
    """Answers to what a coach's page asks."""

    def __init__(self, folder: Folder, listing: Listing, files: Worker) -> None:
        self._folder, self._listing, self._files = folder, listing, files
        self._questions = Worker("coach")
        self._session: tuple[object, Session] | None = None
        self._count = 0

    async def list_golfers(self, _: Request) -> Response:
        golfers = await self._files.run(lambda: list_golfers(self._folder, self._listing))
        return JSONResponse({"golfers": golfers})

    async def list_holes(self, request: Request) -> Response:
        course, layout = request.query_params.get("course", ""), request.query_params.get("layout")
        read = await self._files.run(partial(read_course, self._folder, course, layout))
        return JSONResponse({"holes": [{"hole": hole.number, "par": hole.par} for hole in read.holes]})

    async def change_face(self, request: Request) -> Response:
        words: dict[str, Any] = dict(request.query_params)
        try:
            for key in ("mph", "from_deg", "percent"):
                if key in words:
                    words[key] = float(words[key])
            if "hole" in words:
                words["hole"] = int(words["hole"])
        except ValueError:
            raise InputError("question", "", "is not in numbers", "reload the page") from None
        asked = checked(words, FaceTable, file="question", kind="question")
        self._count += 1
        try:
            return JSONResponse(await self._questions.run(partial(self._change, asked, self._count)))
        except _Replaced:
            return JSONResponse({"replaced": True})

    def _change(self, asked: FaceTable, number: int) -> dict[str, Any]:
        """Return what the change saves; this runs in the thread of its own."""

        def give_way() -> None:
            if self._count != number:
                raise _Replaced

        give_way()
        session = self._session_of(asked)
        holes = None if asked.hole is None else [asked.hole]
        places = find_own_tees(session.course, session.player, holes, None)
        factor = 1 + asked.percent / 100
        if asked.level == "rest":
            found = plan_change(session, factor, places)
        else:
            found = glance_at_change(session, factor, places, give_way)
        low, high = found.saved.interval
        return {
            "saved": found.saved.mean,
            "low": low,
            "high": high,
            "text": face_change_text(found, asked.percent),
            "draws": found.after[0].draws,
            "tees": [
                {
                    "hole": after.hole.number,
                    "before": before.choice.label,
                    "after": after.choice.label,
                    "saved": float((before.choice.loss - after.choice.loss).mean()),
                }
                for before, after in zip(found.before, found.after, strict=True)
            ],
        }

    def _session_of(self, asked: FaceTable) -> Session:
        """Return the session of a course and golfer as their files are now, kept while they stay."""
        names = asked.course, asked.player
        key = (asked.layout, *names, *map(self._folder.stamp, names), asked.mph, asked.from_deg)
        if self._session is None or self._session[0] != key:
            options = RoundOptions(wind_mph=asked.mph, wind_from_deg=asked.from_deg if asked.mph else 0.0)
            course = read_course(self._folder, asked.course, asked.layout)
            session = Session(course, read_golfer(self._folder, asked.player), options, room=WINDOW_ROOM)
            self._session = key, session
        return self._session[1]
