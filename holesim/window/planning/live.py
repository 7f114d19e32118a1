"""Live questions over one WebSocket: one is answered at a time, and of those waiting the newest wins."""

import asyncio
import json
from contextlib import suppress
from functools import partial
from typing import Any, Final

from starlette.websockets import WebSocket, WebSocketDisconnect

from holesim.errors import InputError
from holesim.window.drawing.drawings import Drawings
from holesim.window.faults import said
from holesim.window.folder import Folder
from holesim.window.guard import DEVICE, Guard
from holesim.window.planning.asks import Opened, open_files
from holesim.window.planning.questions import OpenAsked, read_question
from holesim.window.threads import Threads, Wanted

_FORBIDDEN: Final = 4403  # closes a socket without the token
_FIRST_WITHIN: Final = 5.0  # s
_LOOKED_EVERY: Final = 1.0  # s, at the files that are open


class _GivenUp(Exception):  # noqa: N818 - no error
    """Work that gives way to a newer question."""


Question = tuple[int | None, Any]
"""Its number, and what it asks once it is read."""


class Live:
    """The conversation with one page.

    Parameters
    ----------
    guard
        Knows this window's token.
    drawings
        Courses that are being drawn, and are planned for as they are drawn.
    """

    def __init__(
        self, socket: WebSocket, folder: Folder, threads: Threads, guard: Guard, drawings: Drawings
    ) -> None:
        self._drawings = drawings
        self._socket, self._folder, self._threads, self._guard = socket, folder, threads, guard
        self._loop = asyncio.get_running_loop()
        self._out: asyncio.Queue[dict[str, Any]] = asyncio.Queue()
        self._asked = asyncio.Event()
        self._opening: Question | None = None
        self._waiting: Question | None = None
        self._opened: Opened | None = None
        self._wanted: Wanted | None = None
        self._told: dict[str, object] = {}

    async def talk(self) -> None:
        """Talk until the page leaves; without the token in its first message it is sent away."""
        await self._socket.accept()
        if not await self._admitted():
            await self._guard.slow(self._socket.scope)
            with suppress(RuntimeError, WebSocketDisconnect):
                await self._socket.close(_FORBIDDEN, "the first message must be this window's token")
            return
        tasks = [asyncio.create_task(work()) for work in (self._send, self._answer, self._look)]
        try:
            while True:
                self._take(await self._socket.receive_text())
        except (WebSocketDisconnect, RuntimeError, KeyError):  # gone, or a message that is not text
            pass
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            if self._wanted is not None:
                self._threads.valuer.drop(self._wanted)

    @property
    def is_device(self) -> bool:
        """Whether it is the page of a device that the window is shared with."""
        return bool(self._socket.scope[DEVICE])

    async def send_away(self) -> None:
        """Close the conversation, as with a page that has no token."""
        with suppress(RuntimeError, WebSocketDisconnect):
            await self._socket.close(_FORBIDDEN, "this window is not shared any more")

    def tell(self, message: dict[str, Any]) -> None:
        """Send the page something it did not ask for."""
        self._out.put_nowait(message)

    async def _admitted(self) -> bool:
        try:
            first = json.loads(await asyncio.wait_for(self._socket.receive_text(), _FIRST_WITHIN))
        except (TimeoutError, ValueError, KeyError, RecursionError, WebSocketDisconnect):
            return False
        token = first.get("token") if isinstance(first, dict) and first.keys() == {"token"} else None
        return isinstance(token, str) and self._guard.knows(self._socket.scope, token.encode())

    async def _send(self) -> None:
        with suppress(RuntimeError, WebSocketDisconnect):
            while True:
                message = await self._out.get()
                await self._socket.send_text(_written(message))

    # --- questions ---

    def _take(self, text: str) -> None:
        """Keep a question until it is its turn; a newer one replaces it, but not what is to be opened."""
        number = None
        try:
            content = json.loads(text)
            if isinstance(content, dict) and type(content.get("n")) is int:
                number = content["n"]
            asked = read_question(content)
        except InputError as error:
            self._reply(number, {"error": str(error)})
            return
        except (ValueError, RecursionError):
            self._reply(None, {"error": "question: is not JSON; reload the page"})
            return
        if self._waiting is not None:
            self._reply(self._waiting[0], {"replaced": True})
            self._waiting = None
        if isinstance(asked, OpenAsked):
            if self._opening is not None:
                self._reply(self._opening[0], {"replaced": True})
            self._opening = number, asked
        else:
            self._waiting = number, asked
        self._asked.set()

    def _reply(self, number: int | None, answer: dict[str, Any]) -> None:
        self.tell(({} if number is None else {"n": number}) | answer)

    async def _answer(self) -> None:
        while True:
            await self._asked.wait()
            if self._opening is not None:
                (number, asked), self._opening = self._opening, None
                answer = self._open(asked)
            elif self._waiting is not None:
                (number, asked), self._waiting = self._waiting, None
                answer = self._ask(asked)
            else:
                self._asked.clear()
                continue
            try:
                self._reply(number, await answer)
            except Exception as error:  # noqa: BLE001 - told; the socket stays open
                self._reply(number, {"error": said(error)})

    async def _ask(self, asked: Any) -> dict[str, Any]:  # noqa: ANN401 - any question
        opened = self._opened
        if opened is None:
            raise InputError("question", "", "comes before a course is open", "open a course and a player")
        if self._wanted is not None and hasattr(asked, "hole"):
            self._threads.valuer.show(self._wanted, asked.hole)
        try:
            return await self._threads.questions.run(lambda: opened.answer(asked, self._give_way))
        except _GivenUp:
            return {"replaced": True}

    def _give_way(self) -> None:
        """End work at rest, in the thread that does it, for a question that has come since."""
        if self._waiting is not None or self._opening is not None:
            raise _GivenUp

    async def _open(self, asked: OpenAsked) -> dict[str, Any]:
        """Open a course and a player, and have the expected strokes of its holes found."""
        before = self._opened

        def prepare() -> tuple[Opened, dict[str, Any]]:
            opened = open_files(self._folder, asked, before, self._drawings)
            return opened, opened.to_dict()

        opened, answer = await self._threads.files.run(prepare)
        if self._wanted is not None:
            self._threads.valuer.drop(self._wanted)
        self._opened, self._told = opened, dict(opened.digests)
        holes = [hole.number for hole in opened.session.course.holes]
        self._wanted = Wanted(opened.session, holes, self._hear)
        self._threads.valuer.want(self._wanted)
        return answer

    def _hear(self, hole: int, failure: Exception | None) -> None:
        """Tell the page, from another thread, that a hole is ready, or why it never will be."""
        message = {"ready": [hole]} if failure is None else {"hole": hole, "error": said(failure)}
        self._loop.call_soon_threadsafe(self.tell, message)

    # --- files ---

    async def _look(self) -> None:
        """Tell the page when a file that it has open is changed on disk."""
        while True:
            await asyncio.sleep(_LOOKED_EVERY)
            opened = self._opened
            if opened is None:
                continue
            for name, digest in await self._threads.files.run(partial(_on_disk, self._folder, opened)):
                if opened is self._opened and self._told.get(name) != digest:
                    self._told[name] = digest
                    self.tell({"changed": name, "sha256": digest})


def _written(message: dict[str, Any]) -> str:
    """Return a message as JSON, or that it has none."""
    try:
        return json.dumps(message, allow_nan=False, separators=(",", ":"))
    except ValueError as error:  # a number that is not finite
        number = {"n": message["n"]} if "n" in message else {}
        return json.dumps(number | {"error": said(error)})


def _on_disk(folder: Folder, opened: Opened) -> list[tuple[str, str | None]]:
    """Return the digest on disk of each file that is open; None of one that is gone."""
    found: list[tuple[str, str | None]] = []
    for name, stamp in opened.stamps.items():
        if folder.stamp(name) == stamp:
            digest: str | None = opened.digests[name]
        else:
            try:
                _, digest = folder.read(name)
            except InputError:
                digest = None
        found.append((name, digest))
    return found
