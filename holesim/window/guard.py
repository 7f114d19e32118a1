"""Who may ask: this page alone, in this browser, with the token that the command printed."""

import hmac
import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, Final

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

_FILES: Final = "/api/files/"
_DRAWINGS: Final = "/api/drawings/"
_DISCARDED: Final = 100_000_000  # bytes of a body too large that are still read, so that the answer arrives
_RULES: Final = b"content-security-policy"
_OF_THE_PAGE: Final = (_RULES, b"cross-origin-opener-policy")
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
    (b"cross-origin-opener-policy", b"same-origin"),
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
    """

    def __init__(self, app: App, port: int, token: str, once: str = "") -> None:
        self.app, self.token, self._once = app, token, once
        self.hosts = {f"{host}:{port}".encode() for host in ("127.0.0.1", "localhost")}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or pass it on."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        answer = _with_headers(send)
        refusal = self._refuse(scope)
        if refusal:
            await _say(scope, answer, 403, refusal)
        elif scope["type"] == "websocket":
            await self.app(scope, receive, send)
        else:
            body = await _read_body(scope, receive)
            if body is None:
                most = largest_body(scope["path"])
                await _say(scope, answer, 413, f"larger than {most / 1e6:g} MB; leave out what is not needed")
            else:
                await self.app(scope, _replay(body, receive), answer)

    def _refuse(self, scope: Scope) -> str:
        """Return why a request is refused; nothing if it is not."""
        hosts, origins = _all(scope, b"host"), _all(scope, b"origin")
        if len(hosts) != 1 or hosts[0] not in self.hosts:
            return "this window answers only at the address that holesim open printed"
        own = [b"http://" + hosts[0]]
        must = scope["type"] == "websocket" or scope["method"] != "GET"
        if (origins or must) and origins != own:
            return "this window answers only its own page"
        if any(site not in {b"same-origin", b"none"} for site in _all(scope, b"sec-fetch-site")):
            return "this window answers only its own page"
        if scope["type"] == "http" and scope["path"].startswith("/api") and not self._admits(scope):
            return (
                "this page is not from the window that is running; open the address that holesim open printed"
            )
        return ""

    def _admits(self, scope: Scope) -> bool:
        if scope["path"] != ENTER:
            return self.knows(*_tokens(scope))
        tokens = _tokens(scope)
        if not (self._once and len(tokens) == 1 and hmac.compare_digest(tokens[0], self._once.encode())):
            return False
        self._once = ""
        return True

    def knows(self, *tokens: bytes) -> bool:
        """Return whether there is one token, and it is this window's."""
        return len(tokens) == 1 and hmac.compare_digest(tokens[0], self.token.encode())


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


def _with_headers(send: Send) -> Send:
    """Add the headers of all answers, but for the rules of a page that has its own and runs apart."""

    async def sent(message: Message) -> None:
        if message["type"] in {"http.response.start", "websocket.http.response.start"}:
            own = [*message.get("headers", ())]
            apart = any(name == _RULES for name, _ in own)
            more = [pair for pair in _HEADERS if not (apart and pair[0] in _OF_THE_PAGE)]
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
