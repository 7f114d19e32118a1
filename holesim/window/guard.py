"""Who may ask: this page alone, in this browser, with the token that the command printed."""

import asyncio
import hmac
import json
import sys
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, Final

from holesim.window.share import Share
from holesim.window.throttle import Throttle

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_QUESTION: Final = 64_000  # bytes of JSON
PICTURES: Final = (".jpg", ".jpeg", ".png", ".webp")
"""Kinds of pictures that are kept, and may lie under a drawing."""

LARGEST_FILES: Final = {
    ".geojson": 25_000_000,
    ".json": 25_000_000,
    ".toml": 1_000_000,
    ".csv": 5_000_000,
    **dict.fromkeys(PICTURES, 25_000_000),
}
"""Largest file of each kind that is taken in [bytes]."""

ENTER: Final = "/api/enter"
"""Where a page that was opened with a pass for one use gets the token for it."""

DEVICE: Final = "holesim.device"
"""Key of a request's scope: whether it comes from a device that the window is shared with."""

KEY: Final = "holesim.key"
"""Key of the scope of a request for a token: the one that it gets."""

_NOT_SHARED: Final = (
    "this window is shared for reading and for entering rounds; change this on its own machine"
)
_NO_KEY: Final = (
    "this page is not from the window that is running; open the address that holesim open printed"
)
_FILES: Final = "/api/files/"
_DRAWINGS: Final = "/api/drawings/"
_DISCARDED: Final = 100_000_000  # bytes of a body too large that are still read, so that the answer arrives
_RULES: Final = b"content-security-policy"
_OPENER: Final = b"cross-origin-opener-policy"
"""Where what is sent is not encrypted, browsers know none, and complain."""
_OF_THE_PAGE: Final = (_RULES, _OPENER)
"""Headers that a page apart from the window has in its own way; a sandbox bears no opener policy."""

_HEADERS: Final = (
    (
        _RULES,
        (
            b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
            b"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        ),
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (_OPENER, b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


class Guard:
    """Lets through to `app` what this window's own page asks; answers all else with one plain line.

    A page of another site can send requests here, but cannot choose their Host, Origin and Sec-Fetch-Site,
    nor know the token. The token is never in a cookie, which every port of a host would share.

    Parameters
    ----------
    port
        That the server listens on.
    token
        That every question must carry; the WebSocket has it in its first message.
    once
        A pass that gets the token for it, one time: what a browser is started with stands in the list of
        processes, which every user of the machine can read.
    share
        Devices that may ask, too, at this machine's address in the network; they do not know the token.
    """

    def __init__(self, app: App, port: int, token: str, once: str = "", share: Share | None = None) -> None:
        self.app, self.token, self.share, self._once = app, token, share, once
        self._own_hosts = {f"{host}:{port}".encode() for host in ("127.0.0.1", "localhost")}
        self._throttle = Throttle(lambda line: sys.stderr.write(f"holesim: {line}\n"))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or pass it on."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        scope[DEVICE] = self._comes_by_network(scope)
        answer = _with_headers(send, without=_OPENER if scope[DEVICE] else b"")
        refusal = self._refuse(scope)
        if refusal:
            if refusal == _NO_KEY:
                await self.slow(scope)
            await _say(scope, answer, 403, refusal)
        elif scope["type"] == "websocket":
            await self.app(scope, receive, send)
        else:
            body = await _read_body(scope, receive)
            if body is None:
                most = largest_body(scope["path"])
                await _say(scope, answer, 413, f"larger than {most / 1e6:g} MB; leave out what is not needed")
            elif scope["path"].startswith("/api") and not self._may(scope, body):
                await _say(scope, answer, 403, _NOT_SHARED)
            else:
                await self.app(scope, _replay(body, receive), answer)

    def _refuse(self, scope: Scope) -> str:
        """Return why a request is refused; nothing if it is not."""
        hosts, origins = _all(scope, b"host"), _all(scope, b"origin")
        if len(hosts) != 1 or hosts[0] not in self._hosts(scope):
            return "this window answers only at the address that holesim open printed"
        own = [b"http://" + hosts[0]]
        must = scope["type"] == "websocket" or scope["method"] != "GET"
        if (origins or must) and origins != own:
            return "this window answers only its own page"
        if any(site not in {b"same-origin", b"none"} for site in _all(scope, b"sec-fetch-site")):
            return "this window answers only its own page"
        if scope["type"] == "http" and scope["path"].startswith("/api") and not self._admits(scope):
            return _NO_KEY
        return ""

    def _comes_by_network(self, scope: Scope) -> bool:
        """Return whether a request came in at the network's address, whatever Host it states."""
        return self.share is not None and (scope.get("server") or ("",))[0] == self.share.address

    def _hosts(self, scope: Scope) -> set[bytes]:
        if not scope[DEVICE]:
            return self._own_hosts
        return {self.share.host} if self.share is not None and self.share.is_open else set()

    def _may(self, scope: Scope, body: bytes) -> bool:
        if not scope[DEVICE]:
            return True
        return self.share is not None and self.share.may(scope["method"], scope["path"], body)

    def _admits(self, scope: Scope) -> bool:
        tokens = _tokens(scope)
        if len(tokens) != 1:
            return False
        if scope["path"] != ENTER:
            return self.knows(scope, tokens[0])
        scope[KEY] = self._enter(scope, tokens[0])
        return bool(scope[KEY])

    def _enter(self, scope: Scope, code: bytes) -> str:
        """Return the token that a pass for one use, or a code, is good for; nothing if for none."""
        if scope["method"] != "POST":
            return ""
        if scope[DEVICE]:
            return "" if self.share is None else self.share.enter(code)
        if not (self._once and hmac.compare_digest(code, self._once.encode())):
            return ""
        self._once = ""
        return self.token

    def knows(self, scope: Scope, token: bytes) -> bool:
        """Return whether a token is this window's; by network, whether it is that of a device."""
        if scope[DEVICE]:
            return self.share is not None and self.share.knows(token)
        return hmac.compare_digest(token, self.token.encode())

    async def slow(self, scope: Scope) -> None:
        """Let who asks with a wrong token wait; the others are answered meanwhile."""
        await asyncio.sleep(self._throttle.miss(str((scope.get("client") or ("?",))[0])))


def largest_body(path: str) -> int:
    """Return how large the body of a request may be [bytes].

    Examples
    --------
    >>> largest_body("/api/jobs"), largest_body("/api/files/vale.toml")
    (64000, 1000000)
    """
    if path.startswith(_DRAWINGS):
        return LARGEST_FILES[".geojson"]
    if not path.startswith(_FILES):
        return LARGEST_QUESTION
    name = path.lower()
    return next((most for suffix, most in LARGEST_FILES.items() if name.endswith(suffix)), LARGEST_QUESTION)


def _all(scope: Scope, name: bytes) -> list[bytes]:
    return [value for key, value in scope["headers"] if key == name]


def _tokens(scope: Scope) -> list[bytes]:
    return _all(scope, b"x-holesim-token")


async def _read_body(scope: Scope, receive: Receive) -> bytes | None:
    """Return the body of a request; None if it is too large, whatever length it states."""
    most, size, parts = largest_body(scope["path"]), 0, []
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            break
        part = message.get("body", b"")
        size += len(part)
        if size <= most:
            parts.append(part)
        else:
            parts.clear()
        if size > _DISCARDED or not message.get("more_body", False):
            break
    return b"".join(parts) if size <= most else None


def _replay(body: bytes, receive: Receive) -> Receive:
    """Return a function that gives a body that was read already, and then what comes after it."""
    left = [body]

    async def again() -> Message:
        if left:
            return {"type": "http.request", "body": left.pop(), "more_body": False}
        return await receive()

    return again


def _with_headers(send: Send, *, without: bytes) -> Send:
    """Add the headers of all answers, but for one, and for those that a page apart has in its own way."""

    async def sent(message: Message) -> None:
        if message["type"] in {"http.response.start", "websocket.http.response.start"}:
            own = [*message.get("headers", ())]
            apart = any(name == _RULES for name, _ in own)
            more = [
                pair for pair in _HEADERS if pair[0] != without and not (apart and pair[0] in _OF_THE_PAGE)
            ]
            message["headers"] = [*own, *more]
        await send(message)

    return sent


async def _say(scope: Scope, send: Send, status: int, line: str) -> None:
    """Answer with one plain line; a WebSocket is refused at its handshake."""
    before = "" if scope["type"] == "http" else "websocket."
    if before and "websocket.http.response" not in scope.get("extensions", {}):
        await send({"type": "websocket.close", "code": 4403, "reason": line})
        return
    body = json.dumps({"error": line}).encode()
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())]
    await send({"type": f"{before}http.response.start", "status": status, "headers": headers})
    await send({"type": f"{before}http.response.body", "body": body})
