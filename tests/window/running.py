"""A window that runs in a process of its own, asked over real sockets."""

import hashlib
import http.client
import json
import os
import shutil
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from websockets.sync.client import ClientConnection, connect
from websockets.typing import Origin

from tests.conftest import DEMO
from tests.files.command_outcomes import command_line
from tests.files.drawn_courses import sound
from tests.files.small_course import COURSE, PLAYER

PATIENCE: Final = 240.0  # s: the first answer may have to wait for kernels to be compiled

Said = dict[str, Any]


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


class Window:
    """A running window: its process, its folder, its port and its token."""

    def __init__(self, process: "subprocess.Popen[str]", folder: Path) -> None:
        assert process.stdout is not None
        self.process, self.folder = process, folder
        self.address = process.stdout.readline().strip()
        self.origin, _, self.token = self.address.partition("/#")
        self.port = int(self.origin.rpartition(":")[2])

    def ask(
        self, method: str, path: str, body: bytes = b"", **headers: str | None
    ) -> tuple[int, dict[str, str], bytes]:
        """Return status, headers and body of an answer; headers that are None are not sent."""
        own: dict[str, str | None] = {
            "Host": self.origin.removeprefix("http://"),
            "X-Holesim-Token": self.token,
            "Origin": None if method == "GET" else self.origin,
            **{name.replace("_", "-"): value for name, value in headers.items()},
        }
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            link.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in own.items():
                if value is not None:
                    link.putheader(name, value)
            if body:
                link.putheader("Content-Length", str(len(body)))
            link.endheaders(body or None)
            answer = link.getresponse()
            return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
        finally:
            link.close()

    def ask_json(
        self, method: str, path: str, content: object = None, **headers: str | None
    ) -> tuple[int, Any]:
        body = b"" if content is None else json.dumps(content).encode()
        status, _, answer = self.ask(method, path, body, **headers)
        return status, json.loads(answer)

    def raw(self, request: bytes) -> bytes:
        """Return all that is answered to bytes sent as they are."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=30) as link:
            link.sendall(request)
            parts = []
            while part := link.recv(65536):
                parts.append(part)
        return b"".join(parts)

    def connect(self, origin: str | None) -> ClientConnection:
        """Return a WebSocket that says it comes from a page of `origin`."""
        where = None if origin is None else Origin(origin)
        return connect(f"ws://127.0.0.1:{self.port}/live", origin=where, max_size=None)

    @contextmanager
    def page(self) -> Iterator["Page"]:
        """Yield a page's WebSocket, after its first message."""
        with self.connect(self.origin) as link:
            link.send(json.dumps({"token": self.token}))
            yield Page(link)

    def stop(self, how: signal.Signals = signal.SIGINT) -> tuple[int, float]:
        """Stop the window; return its exit code and how long that took [s]."""
        start = time.monotonic()
        self.process.send_signal(how)
        return self.process.wait(30), time.monotonic() - start


class Page:
    """The page's end of a WebSocket."""

    def __init__(self, link: ClientConnection) -> None:
        self.link, self.number, self.pushed = link, 0, list[Said]()

    def send(self, ask: str, **fields: object) -> int:
        self.number += 1
        self.link.send(json.dumps({"n": self.number, "ask": ask, **fields}))
        return self.number

    def next(self, timeout: float = PATIENCE) -> Said:
        said: Said = json.loads(self.link.recv(timeout))
        return said

    def ask(self, ask: str, **fields: object) -> Said:
        """Return the answer to a question; what is pushed before it is kept."""
        number = self.send(ask, **fields)
        while (said := self.next()).get("n") != number:
            self.pushed.append(said)
        return said

    def ask_until_ready(self, ask: str, **fields: object) -> Said:
        while (said := self.ask(ask, **fields)).get("waiting"):
            time.sleep(0.05)
        return said

    def wait_for(self, key: str, timeout: float = PATIENCE) -> Said:
        """Return the first push that has a key."""
        end = time.monotonic() + timeout
        for said in self.pushed:
            if key in said:
                self.pushed.remove(said)
                return said
        while True:
            said = self.next(end - time.monotonic())
            if key in said and "n" not in said:
                return said
            self.pushed.append(said)


def fill(folder: Path) -> Path:
    """Write a small course, a smaller one and a player to a folder; return it."""
    folder.mkdir(exist_ok=True)
    (folder / "links.geojson").write_text(json.dumps(sound()), encoding="utf-8")
    (folder / "petrel.geojson").write_text(COURSE, encoding="utf-8")
    (folder / "vale.toml").write_text(PLAYER, encoding="utf-8")
    return folder


def fill_with_holes(folder: Path, *holes: int) -> Path:
    """Write the demo course with some of its holes alone, and its golfer, to a folder; return it.

    A window plans the whole round behind the hole that it shows, so few holes take little time.
    """
    folder.mkdir(exist_ok=True)
    course = json.loads(Path(DEMO[0]).read_text(encoding="utf-8"))
    course["features"] = [
        feature
        for feature in course["features"]
        if feature["properties"].get("golf") not in ("hole", "tee")
        or int(feature["properties"]["ref"]) in holes
    ]
    (folder / "demo.geojson").write_text(json.dumps(course), encoding="utf-8")
    shutil.copy(DEMO[1], folder)
    return folder


@contextmanager
def running(folder: Path, *words: str) -> Iterator[Window]:
    """Yield a window on a folder, and stop it."""
    command = command_line("open", str(folder), "--no-browser", *words)
    with subprocess.Popen(  # noqa: S603
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=os.environ.copy()
    ) as process:
        try:
            yield Window(process, folder)
        finally:
            if process.poll() is None:
                process.kill()
