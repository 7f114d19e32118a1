"""The server of a window: what is asked over HTTP, and the WebSocket of each page."""

import asyncio
import json
import re
import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any, Final

import uvicorn
from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket

from holesim.common.kernel_cache import on_compiling
from holesim.common.memory import give_back_freed
from holesim.data.examples import COURSE, PLAYER, TEAM, WEEKEND, find
from holesim.errors import InputError
from holesim.window.captain.routes import captain_routes
from holesim.window.coach.routes import coach_routes
from holesim.window.drawing.drawing import StaleError
from holesim.window.drawing.drawings import Drawings
from holesim.window.drawing.routes import draw_routes
from holesim.window.faults import said
from holesim.window.folder import ChangedError, Folder, MissingError, NameRefusedError
from holesim.window.golfers.routes import golfer_routes
from holesim.window.guard import DEVICE, ENTER, KEY, LARGEST_FILES, LARGEST_QUESTION, Guard
from holesim.window.inputs import Listing, check_content
from holesim.window.jobs import BusyError, Jobs, NoJobError
from holesim.window.orders import read_order
from holesim.window.planning.live import Live
from holesim.window.rounds.routes import round_routes
from holesim.window.share import Share, Sharing, network_address
from holesim.window.shown_pages import ShownPages
from holesim.window.threads import Threads

ASSETS: Final = Path(__file__).parent / "assets"
_PAGE: Final = {
    "/": ("index.html", "text/html"),
    "/app.js": ("app.js", "text/javascript"),
    "/app.css": ("app.css", "text/css"),
    "/licences.txt": ("licences.txt", "text/plain"),
}
_KINDS: Final = {
    ".geojson": "application/geo+json",
    ".json": "application/json",
    ".toml": "application/toml",
    ".csv": "text/csv",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
}
"""Files that the page may read, and their types."""

_EXAMPLES: Final = {"course": COURSE, "player": PLAYER}
"""What a page can have copied into a folder that lacks it."""

_STATUS: Final[dict[type[InputError], int]] = {
    NameRefusedError: 400,
    MissingError: 404,
    NoJobError: 404,
    BusyError: 409,
    ChangedError: 412,
    StaleError: 412,
}
_TRIES: Final = 20  # to find a port that is free in a network, too
_SOON: Final = 1  # s that a page has to say goodbye when the window closes


class WindowApp:
    """What a window answers, behind the guard.

    Parameters
    ----------
    once
        A pass that gets a page the token, one time.
    share
        Devices of the network that may ask, too.
    assets
        Folder of the page's files.
    """

    def __init__(
        self,
        folder: Folder,
        port: int,
        token: str,
        *,
        demo: bool,
        once: str = "",
        share: Share | None = None,
        assets: Path = ASSETS,
    ) -> None:
        self._folder, self._assets = folder, assets
        self._listing = Listing(folder, demo=demo)
        self._threads = Threads()
        self._jobs = Jobs(folder, self._threads.files, self._tell)
        self._drawings = Drawings(folder, self._tell)
        self._pages: set[Live] = set()
        self._compiling = False
        self._share, self._of_devices = share, set[int]()
        routes = [
            *(Route(path, self._page) for path in _PAGE),
            Route(ENTER, self._enter, methods=["POST"]),
            Route("/api/folder", self._list),
            Route("/api/share", self._sharing),
            Route("/api/share", self._stop_sharing, methods=["DELETE"]),
            Route("/api/files/{name:path}", self._read),
            Route("/api/files/{name:path}", self._write, methods=["PUT"]),
            Route("/api/examples/{kind}", self._copy_example, methods=["POST"]),
            Route("/api/jobs", self._start, methods=["POST"]),
            Route("/api/jobs/{number:int}", self._cancel, methods=["DELETE"]),
            *ShownPages(folder, self._threads.files).routes(),
            *draw_routes(self._drawings),
            *golfer_routes(folder),
            *round_routes(folder, self._listing, self._threads.files),
            *coach_routes(folder, self._listing, self._threads.files),
            *captain_routes(folder, self._threads.files),
            WebSocketRoute("/live", self._live),
        ]
        self.starlette = Starlette(
            routes=routes,
            exception_handlers={
                InputError: _refused,
                HTTPException: _not_here,
                Exception: _bug,
            },
            lifespan=self._closing,
        )
        self.guarded = Guard(self.starlette, port, token, once, share)

    @asynccontextmanager
    async def _closing(self, _: Starlette) -> AsyncIterator[None]:
        loop = asyncio.get_running_loop()
        with on_compiling(lambda: loop.call_soon_threadsafe(self._tell_compiling)):
            yield
        await self._drawings.close()
        await self._jobs.close()

    def _tell_compiling(self) -> None:
        """Tell the pages, once, that the first answers on this machine take longer."""
        if not self._compiling:
            self._compiling = True
            self._tell({"compiling": True})

    def _tell(self, message: dict[str, Any]) -> None:
        for page in self._pages:
            page.tell(message)

    async def _page(self, request: Request) -> Response:
        name, kind = _PAGE[request.url.path]
        try:
            content = (self._assets / name).read_bytes()
        except OSError:
            return _line(404, f"{name} is missing from this installation; install holesim anew")
        return Response(content, media_type=kind)

    async def _enter(self, request: Request) -> Response:
        if request.scope[DEVICE] and self._share is not None:
            self._tell({"devices": self._share.devices})
        return JSONResponse({"token": request.scope[KEY]})

    async def _list(self, request: Request) -> Response:
        listed = await self._threads.files.run(self._listing.to_dict)
        share = self._share
        all_allowed = share is None or share.everything or not request.scope[DEVICE]
        shared = share is not None and not request.scope[DEVICE]
        return JSONResponse(listed | {"may": "all" if all_allowed else "rounds", "shared": shared})

    async def _sharing(self, _: Request) -> Response:
        """Tell the window's own page how a device comes in."""
        share = self._share
        if share is None:
            return _line(404, "this window is not shared; start it with: holesim open --share")
        told = {
            "open": share.is_open,
            "devices": share.devices,
            "origin": f"http://{share.host.decode()}",
            "words": share.words,
        }
        return JSONResponse(
            told | ({"link": share.link, "picture": share.picture()} if share.is_open else {})
        )

    async def _stop_sharing(self, _: Request) -> Response:
        if self._share is not None:
            self._share.stop()
            for page in [page for page in self._pages if page.is_device]:
                await page.send_away()
        return JSONResponse({"open": False})

    async def _read(self, request: Request) -> Response:
        name = request.path_params["name"]
        kind = _KINDS.get(Path(name).suffix.lower())
        if kind is None:
            self._folder.path(name)
            return _line(415, f"{name}: files of this kind are not opened here")
        content, digest = await self._threads.files.run(lambda: self._folder.read(name))
        return Response(content, media_type=kind, headers={"ETag": f'"{digest}"'})

    async def _write(self, request: Request) -> Response:
        name, content = request.path_params["name"], await request.body()
        self._folder.path(name)
        if Path(name).suffix.lower() not in LARGEST_FILES:
            return _line(415, f"{name}: only {', '.join(LARGEST_FILES)} files are kept here")
        create, known = request.headers.get("if-none-match"), request.headers.get("if-match")
        match = re.fullmatch('"([0-9a-f]{64})"', known or "")
        if (create == "*") == bool(match) or (known is not None and match is None):
            return _line(428, f"{name}: say which version is replaced; reload the page")

        def keep() -> str:
            check_content(name, content)
            return self._folder.write(name, content, match[1] if match else None)

        digest = await self._threads.files.run(keep)
        return JSONResponse({"name": name, "sha256": digest}, headers={"ETag": f'"{digest}"'})

    async def _copy_example(self, request: Request) -> Response:
        """Copy the course or the golfer of the demo into the folder, to begin with."""
        found = _EXAMPLES.get(request.path_params["kind"])
        if found is None:
            return _line(404, "holesim comes with a course and a player")
        path = find(found)
        digest = await self._threads.files.run(
            lambda: self._folder.write(path.name, path.read_bytes(), seen=None)
        )
        return JSONResponse({"name": path.name, "sha256": digest})

    async def _start(self, request: Request) -> Response:
        try:
            content = json.loads(await request.body())
        except (ValueError, RecursionError):
            return _line(400, "the question is not JSON; reload the page")
        if not isinstance(content, dict):
            return _line(400, "the question is not a table; reload the page")
        number = await self._jobs.start(read_order(content))
        if request.scope[DEVICE]:
            self._of_devices.add(number)
        return JSONResponse({"job": number})

    async def _cancel(self, request: Request) -> Response:
        number = request.path_params["number"]
        if request.scope[DEVICE] and number not in self._of_devices:
            return _line(403, "this work was not started by a device; stop it on the window's own machine")
        return JSONResponse({"job": number, "cancelled": await self._jobs.cancel(number)})

    async def _live(self, socket: WebSocket) -> None:
        page = Live(socket, self._folder, self._threads, self.guarded, self._drawings)
        self._pages.add(page)
        try:
            await page.talk()
        finally:
            self._pages.discard(page)


def _line(status: int, text: str) -> Response:
    return JSONResponse({"error": text}, status)


async def _refused(_: Request, error: Exception) -> Response:
    return _line(next((code for kind, code in _STATUS.items() if isinstance(error, kind)), 422), str(error))


async def _not_here(_: Request, error: Exception) -> Response:
    code = error.status_code if isinstance(error, HTTPException) else 500
    return _line(
        code, "this window has nothing there" if code == 404 else "this window does not do that there"
    )


async def _bug(_: Request, error: Exception) -> Response:
    return _line(500, said(error))


def builtin_files() -> dict[str, Path]:
    """Return the course, players, team and weekend that come with the package, by their names here."""
    course = find(COURSE)
    first = find(PLAYER)  # whom `holesim demo` plans for
    others = sorted(path for path in first.parent.glob("*.toml") if path != first)
    found = {f"demo/{path.name}": path for path in (course, first, *others)}
    return found | {f"demo/{name}": find(name) for name in (TEAM, WEEKEND)}


def listen(port: int, address: str = "127.0.0.1") -> socket.socket:
    """Return a socket that listens on this machine alone, on a free port if `port` is 0.

    Parameters
    ----------
    address
        Of this machine in a network, to listen there.

    Raises
    ------
    InputError
        If the port is taken.
    """
    bound = socket.socket()
    if sys.platform != "win32":  # where it would let two programs share a port
        bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        bound.bind((address, port))
        bound.listen(64)
    except OSError as error:
        bound.close()
        problem = f"{port} cannot be used ({error.strerror})"
        raise InputError("--port", "", problem, "leave it out for a free one") from None
    return bound


def _listen_twice(port: int, address: str) -> tuple[socket.socket, socket.socket]:
    """Return sockets that listen on this machine alone and in a network, at one port."""
    for attempt in range(_TRIES):
        own = listen(port)
        try:
            return own, listen(own.getsockname()[1], address)
        except InputError:
            own.close()
            if port or attempt == _TRIES - 1:
                raise
    raise AssertionError


def configure(app: WindowApp) -> uvicorn.Config:
    """Return how the server is run."""
    return uvicorn.Config(
        app.guarded,
        http="h11",
        ws="websockets-sansio",
        ws_max_size=LARGEST_QUESTION,
        log_config=None,
        access_log=False,
        proxy_headers=False,
        server_header=False,
        lifespan="on",
        timeout_graceful_shutdown=_SOON,
    )


def serve(
    folder: Path,
    *,
    demo: bool = False,
    port: int = 0,
    open_browser: bool = True,
    share: Sharing | None = None,
    say: Callable[[str, Share | None], object] = lambda address, _: sys.stdout.write(f"{address}\n"),
) -> None:
    """Serve a folder to a browser on this machine, until it is stopped.

    Parameters
    ----------
    demo
        Also offer the course and the players that come with the package.
    port
        On which to listen; 0 for a free one.
    share
        Also serve devices of the network that the default route leads to.
    say
        Prints the address, and how the window is shared.

    Raises
    ------
    InputError
        If `folder` is not a folder, the port is taken, or there is no network to share it in.
    """
    give_back_freed()
    place = Folder(folder, builtin_files() if demo else None)
    address = None if share is None else network_address()
    bound = [listen(port)] if address is None else [*_listen_twice(port, address)]
    number, (token, once) = bound[0].getsockname()[1], (secrets.token_urlsafe(32) for _ in range(2))
    shared = None if address is None else Share(address, number, everything=share == "all")
    app = WindowApp(place, number, token, demo=demo, once=once if open_browser else "", share=shared)
    origin = f"http://127.0.0.1:{number}"
    say(f"{origin}/#{token}", shared)
    if open_browser:
        threading.Thread(target=webbrowser.open, args=(f"{origin}/#once={once}",), daemon=True).start()
    uvicorn.Server(configure(app)).run(sockets=bound)
