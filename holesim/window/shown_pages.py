"""Pages of the folder in tabs of their own: the rules of the window would not let their scripts run."""

import json
import secrets
import time
from typing import Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from holesim.errors import InputError
from holesim.window.folder import Folder
from holesim.window.threads import Worker

SHOWN: Final = "/shown/"
_LASTS: Final = 60.0  # s, from the asking of an address to its use
_MOST: Final = 50  # addresses that wait to be used
_RULES: Final = (
    "sandbox allow-scripts allow-modals allow-popups allow-downloads; default-src 'none'; "
    "script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""Such a page runs its scripts apart from the window: it has another origin, and asks nobody for anything."""


class ShownPages:
    """Addresses for one use, of pages that a new tab is to show: a tab sends no token."""

    def __init__(self, folder: Folder, files: Worker) -> None:
        self._folder, self._files = folder, files
        self._waiting: dict[str, tuple[str, float]] = {}

    def routes(self) -> list[Route]:
        """Return what is answered."""
        return [
            Route("/api/shown", self._ask, methods=["POST"]),
            Route(f"{SHOWN}{{key}}", self._show),
        ]

    async def _ask(self, request: Request) -> Response:
        try:
            name = json.loads(await request.body())["name"]
        except (ValueError, KeyError, TypeError, RecursionError):
            name = None
        if not isinstance(name, str) or not name.lower().endswith(".html"):
            raise InputError("this window", "", "shows pages that end in .html", "reload the page")
        self._folder.check_there(name)
        now = time.monotonic()
        self._waiting = {key: one for key, one in self._waiting.items() if now - one[1] < _LASTS}
        while len(self._waiting) >= _MOST:
            del self._waiting[next(iter(self._waiting))]
        key = secrets.token_urlsafe(32)
        self._waiting[key] = name, now
        return JSONResponse({"address": f"{SHOWN}{key}"})

    async def _show(self, request: Request) -> Response:
        name, since = self._waiting.pop(request.path_params["key"], ("", 0.0))
        if not name or time.monotonic() - since > _LASTS:
            return Response("this page was shown already; open it anew from the window\n", 404)
        content, _ = await self._files.run(lambda: self._folder.read(name))
        return Response(content, media_type="text/html", headers={"Content-Security-Policy": _RULES})
