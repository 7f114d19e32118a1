"""Sharing a window with devices of the same network: their keys, and what they may do."""

import hmac
import json
import re
import secrets
import socket
from typing import Final, Literal

from holesim.errors import InputError

Sharing = Literal["read", "all"]
"""Devices read and enter rounds, or do all that the page does."""

_ROUND: Final = re.compile(r"/api/files/rounds/[^/]+\.csv")
_AFTER_ROUND: Final = frozenset({"review"})
"""Kinds of long work by which a round is looked at."""

_ELSEWHERE: Final = ("198.51.100.1", 9)  # of those kept for documents (RFC 5737): no packet is sent there


class Share:
    """Who may ask besides the window's own page: devices that came by a code, each with a key of its own.

    A code lets one device in, and the next one takes its place.

    Parameters
    ----------
    address
        Of this machine in the network.
    everything
        Whether devices may do all that the page does, or read and enter rounds.

    Examples
    --------
    >>> share = Share("192.0.2.7", 8123, everything=False)
    >>> first = share.code
    >>> key = share.enter(first.encode())
    >>> share.knows(key.encode()), share.enter(first.encode())
    (True, '')
    >>> share.may("PUT", "/api/files/vale.toml", b""), share.may("PUT", "/api/files/rounds/may.csv", b"")
    (False, True)
    """

    def __init__(self, address: str, port: int, *, everything: bool) -> None:
        self.address, self.port, self.everything = address, port, everything
        self.code = secrets.token_urlsafe(32)
        self._keys: list[bytes] = []

    @property
    def is_open(self) -> bool:
        """Whether devices are let in, and answered."""
        return bool(self.code)

    @property
    def devices(self) -> int:
        """How many devices have come."""
        return len(self._keys)

    @property
    def host(self) -> bytes:
        """What devices call this window."""
        return f"{self.address}:{self.port}".encode()

    @property
    def words(self) -> tuple[str, ...]:
        """What sharing means, in plain words."""
        who = "Whoever has a code from this window can"
        what = (
            f"{who} read and change all courses, golfers, rounds and plans of the folder."
            if self.everything
            else f"{who} read all courses, golfers, rounds and plans of the folder, and enter rounds."
        )
        return (
            what,
            "What is sent is not encrypted: share only in a network that you trust.",
            "Each code lets one device in, until the window is closed.",
        )

    def enter(self, code: bytes) -> str:
        """Return a key for a device that has the code; nothing for another."""
        if not (self.code and hmac.compare_digest(code, self.code.encode())):
            return ""
        key = secrets.token_urlsafe(32)
        self._keys.append(key.encode())
        self.code = secrets.token_urlsafe(32)
        return key

    def knows(self, key: bytes) -> bool:
        """Return whether a key is that of a device."""
        return any(hmac.compare_digest(key, known) for known in self._keys)

    def may(self, method: str, path: str, body: bytes) -> bool:
        """Return whether a device may ask for something."""
        if path.startswith("/api/share"):
            return False
        if self.everything or method == "GET" or path in {"/api/enter", "/api/shown"}:
            return True
        if method == "PUT":
            return bool(_ROUND.fullmatch(path))
        if method == "POST" and path == "/api/jobs":
            return _kind(body) in _AFTER_ROUND
        return method == "DELETE" and path.startswith("/api/jobs/")  # its own, as the server sees to

    def stop(self) -> None:
        """Let no device in, and forget those that came."""
        self.code = ""
        self._keys.clear()

    def picture(self) -> str:
        """Return the address with the code in it as a picture to scan, an SVG in a data address."""
        import segno  # noqa: PLC0415 - only a window that is shared needs it

        return str(segno.make(self.link, error="m", micro=False).svg_data_uri(scale=8, border=4))

    @property
    def link(self) -> str:
        """The address with the code in it."""
        return f"http://{self.address}:{self.port}/#once={self.code}"


def network_address() -> str:
    """Return this machine's address in the network that its default route leads to.

    Raises
    ------
    InputError
        If it is in none.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_ELSEWHERE)
            address = str(probe.getsockname()[0])
        except OSError:
            address = ""
    if not address or address.startswith(("127.", "0.")):
        raise InputError("--share", "", "finds no network", "connect this machine to one, or leave it out")
    return address


def _kind(body: bytes) -> str:
    try:
        content = json.loads(body)
    except (ValueError, RecursionError):
        return ""
    return str(content.get("kind")) if isinstance(content, dict) else ""
