"""The command that opens a window: its address, its end, and what can be wrong with it."""

import json
import socket
import sys
import time
from pathlib import Path
from threading import Thread
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest
import uvicorn

from holesim.window.folder import Folder
from holesim.window.server import WindowApp, configure, listen
from tests.conftest import Run
from tests.window.running import PATIENCE, Window, fill, running


def test_it_listens_on_this_machine_alone(window: Window) -> None:
    assert window.address.startswith("http://127.0.0.1:")
    assert len(window.token) >= 40
    local = Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()[1:]
    listening = {row.split()[1] for row in local if row.split()[3] == "0A"}
    assert f"0100007F:{window.port:04X}" in listening
    assert f"00000000:{window.port:04X}" not in listening


def test_what_cannot_be_opened_is_one_line(run: Run, tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        code, out, err = run("open", str(tmp_path), "--no-browser", "--port", port)
    assert (code, out) == (2, "")
    assert err.startswith(f"holesim: --port: {port} cannot be used")
    code, _, err = run("open", str(tmp_path / "none"), "--no-browser")
    assert (code, err.count("\n")) == (2, 1)
    assert "does not exist" in err
    (tmp_path / "file").touch()
    assert run("open", str(tmp_path / "file"), "--no-browser")[0] == 2


def test_the_page_needs_no_token(tmp_path: Path) -> None:
    assets = tmp_path / "assets"
    assets.mkdir()
    for name in ("index.html", "app.js", "app.css"):
        (assets / name).write_text(f"this is {name}")
    bound = listen(0)
    port = bound.getsockname()[1]
    server = uvicorn.Server(configure(WindowApp(Folder(tmp_path), port, "x", demo=False, assets=assets)))
    thread = Thread(target=server.run, args=([bound],))
    thread.start()
    try:
        for path, name, kind in (
            ("/", "index.html", "html"),
            ("/app.js", "app.js", "javascript"),
            ("/app.css", "app.css", "css"),
        ):
            with urlopen(f"http://127.0.0.1:{port}{path}", timeout=20) as answer:
                assert answer.read() == f"this is {name}".encode()
                assert answer.headers["content-type"].startswith(f"text/{kind}")
                assert "script-src 'self';" in answer.headers["content-security-policy"]
        with pytest.raises(HTTPError, match="404") as missing:
            urlopen(f"http://127.0.0.1:{port}/licences.txt", timeout=20)
        missing.value.close()
        with pytest.raises(HTTPError, match="404") as outside:
            urlopen(f"http://127.0.0.1:{port}/assets/index.html", timeout=20)
        outside.value.close()
    finally:
        server.should_exit = True
        thread.join(20)
        bound.close()
    assert not thread.is_alive()


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script stands in for the browser")
def test_the_browser_is_started_with_a_pass_for_one_use(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every user of a machine can read the command line of a browser: the token must not stand in it."""
    shown, browser = tmp_path / "shown", tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf %s "$1" > {shown}.part && mv {shown}.part {shown}\n')
    browser.chmod(0o755)
    monkeypatch.setenv("BROWSER", f"{browser} %s")
    with running(fill(tmp_path / "folder"), "--browser") as window:
        end = time.monotonic() + PATIENCE
        while not shown.exists() and time.monotonic() < end:
            time.sleep(0.05)
        address = shown.read_text()
        assert window.token not in address
        origin, _, once = address.partition("/#once=")
        assert origin == window.origin
        assert window.ask("POST", "/api/enter", X_Holesim_Token=window.token)[0] == 403
        status, _, body = window.ask("POST", "/api/enter", X_Holesim_Token=once)
        assert (status, json.loads(body)) == (200, {"token": window.token})
        assert window.ask("POST", "/api/enter", X_Holesim_Token=once)[0] == 403
