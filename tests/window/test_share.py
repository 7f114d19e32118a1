"""A window that is shared: who comes in by which code, what a device may do, and who is slowed down."""

import json
import socket
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect
from websockets.typing import Origin

from holesim.errors import InputError
from holesim.window.share import network_address
from holesim.window.throttle import Throttle
from tests.browser import console, resize
from tests.conftest import Run
from tests.window.axe import violations
from tests.window.reader import START, Reader
from tests.window.running import Window, fill, running
from tests.window.test_guard import refusal

ROUND = b"hole,tee,club,strike,lie,total_yd,side_yd,score\n1,white,driver,up,fairway,250,-3,4\n"


@pytest.fixture(scope="module")
def address() -> str:
    try:
        return network_address()
    except InputError:
        pytest.skip("this machine is in no network")


@pytest.fixture(scope="module")
def shared(address: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001
    with running(fill(tmp_path_factory.mktemp("folder")), "--share") as started:
        yield started


class Device:
    """A device of the network: it knows the window's address, and the key that it got for a code."""

    def __init__(self, window: Window, address: str, key: str) -> None:
        self.place, self.key = (address, window.port), key
        self.host = f"{address}:{window.port}"

    def ask(self, method: str, path: str, body: bytes = b"", **headers: str | None) -> tuple[int, bytes]:
        own: dict[str, str | None] = {
            "Host": self.host,
            "X-Holesim-Token": self.key,
            "Origin": None if method == "GET" else f"http://{self.host}",
            **{name.replace("_", "-"): value for name, value in headers.items()},
        }
        link = HTTPConnection(*self.place, timeout=30)
        try:
            link.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in own.items():
                if value is not None:
                    link.putheader(name, value)
            link.putheader("Content-Length", str(len(body)))
            link.endheaders(body or None)
            answer = link.getresponse()
            return answer.status, answer.read()
        finally:
            link.close()


def code_of(window: Window) -> str:
    """Return the code that the window's own page shows."""
    status, said = window.ask_json("GET", "/api/share")
    assert status == 200
    assert said["picture"].startswith("data:image/svg+xml")
    origin, _, code = said["link"].partition("/#once=")
    assert origin == said["origin"]
    return str(code)


def entered(window: Window, address: str) -> Device:
    """Return a device that came in by the code that is shown."""
    status, body = Device(window, address, code_of(window)).ask("POST", "/api/enter")
    assert status == 200
    return Device(window, address, json.loads(body)["token"])


@pytest.fixture(scope="module")
def device(shared: Window, address: str) -> Device:
    return entered(shared, address)


def test_nothing_is_shared_unless_asked(window: Window, address: str) -> None:
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((address, window.port), timeout=5)
    assert window.ask_json("GET", "/api/folder")[1]["shared"] is False
    assert window.ask("GET", "/api/share")[0] == 404


def test_another_way_to_share_is_one_line(run: Run, tmp_path: Path) -> None:
    code, out, err = run("open", str(tmp_path), "--no-browser", "--share=some")
    assert (code, out) == (2, "")
    assert err == "holesim: --share: some is no way to share; write --share or --share=all\n"


def test_a_code_lets_one_device_in(shared: Window, address: str) -> None:
    code = code_of(shared)
    comes = Device(shared, address, code)
    assert refusal(*comes.ask("GET", "/api/folder")) == 403
    assert refusal(*comes.ask("POST", "/api/enter", Origin="http://evil.example")) == 403
    assert shared.ask("POST", "/api/enter", X_Holesim_Token=code)[0] == 403  # not on this machine
    status, body = comes.ask("POST", "/api/enter")
    assert status == 200
    key = json.loads(body)["token"]
    assert key not in {code, shared.token}
    assert refusal(*comes.ask("POST", "/api/enter")) == 403
    assert code_of(shared) != code
    assert Device(shared, address, key).ask("GET", "/api/folder")[0] == 200
    assert entered(shared, address).key != key


def test_keys_count_where_they_belong(shared: Window, device: Device, address: str) -> None:
    assert refusal(*Device(shared, address, shared.token).ask("GET", "/api/folder")) == 403
    assert shared.ask("GET", "/api/folder", X_Holesim_Token=device.key)[0] == 403
    assert refusal(*Device(shared, address, "").ask("GET", "/api/folder")) == 403
    for host in (f"127.0.0.1:{shared.port}", f"localhost:{shared.port}", address, "evil.example", ""):
        assert refusal(*device.ask("GET", "/", Host=host)) == 403
    assert shared.ask("GET", "/", Host=device.host)[0] == 403


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:{port}", None])
def test_another_origin_is_refused_by_network_too(shared: Window, device: Device, origin: str | None) -> None:
    stated = None if origin is None else origin.format(port=shared.port)
    path = "/api/files/rounds/origin.csv"
    assert refusal(*device.ask("PUT", path, ROUND, Origin=stated, If_None_Match="*")) == 403
    assert refusal(*device.ask("GET", "/api/folder", Sec_Fetch_Site="cross-site")) == 403
    where = None if stated is None else Origin(stated)
    with pytest.raises(InvalidStatus) as refused:
        connect(f"ws://{device.host}/live", origin=where)
    assert refused.value.response.status_code == 403
    assert not (shared.folder / "rounds").exists()


def test_a_device_reads_and_enters_rounds_alone(shared: Window, device: Device) -> None:
    status, body = device.ask("GET", "/api/folder")
    assert (status, json.loads(body)["may"], json.loads(body)["shared"]) == (200, "rounds", False)
    assert device.ask("GET", "/api/files/vale.toml")[1] == (shared.folder / "vale.toml").read_bytes()
    before = {path.name: path.read_bytes() for path in shared.folder.iterdir()}
    plan = json.dumps({"kind": "plan", "name": "plans/x", "course": "petrel.geojson", "player": "vale.toml"})
    for method, path, content in (
        ("PUT", "/api/files/vale.toml", b"name = 'A'\n"),
        ("PUT", "/api/files/new.csv", ROUND),
        ("PUT", "/api/files/rounds/new.toml", b"name = 'A'\n"),
        ("PUT", "/api/files/rounds/../new.csv", ROUND),
        ("PUT", "/api/files/rounds%2F..%2Fnew.csv", ROUND),
        ("PUT", "/api/files/rounds/deep/new.csv", ROUND),
        ("POST", "/api/jobs", plan.encode()),
        ("POST", "/api/jobs", b"["),
        ("POST", "/api/examples/course", b""),
        ("POST", "/api/drawings", b'{"name": "new.geojson"}'),
        ("DELETE", "/api/jobs/1", b""),
        ("DELETE", "/api/share", b""),
        ("GET", "/api/share", b""),
    ):
        status, said = device.ask(method, path, content, If_None_Match="*")
        assert refusal(status, said) == 403, path
    assert {path.name: path.read_bytes() for path in shared.folder.iterdir()} == before
    assert device.ask("PUT", "/api/files/rounds/may.csv", ROUND, If_None_Match="*")[0] == 200
    assert (shared.folder / "rounds/may.csv").read_bytes() == ROUND
    review = json.dumps({"kind": "review"}).encode()
    assert device.ask("POST", "/api/jobs", review)[0] != 403
    with connect(f"ws://{device.host}/live", origin=Origin(f"http://{device.host}")) as link:
        link.send(json.dumps({"token": device.key}))
        link.send(json.dumps({"n": 1, "ask": "open", "course": "petrel.geojson", "player": "vale.toml"}))
        assert json.loads(link.recv(60))["course"]["name"] == "Petrel Ground"
    with connect(f"ws://{device.host}/live", origin=Origin(f"http://{device.host}")) as link:
        link.send(json.dumps({"token": shared.token}))
        with pytest.raises(ConnectionClosed):
            link.recv(20)


def test_with_all_a_device_changes_files_until_sharing_is_stopped(address: str, tmp_path: Path) -> None:
    with running(fill(tmp_path / "folder"), "--share=all") as window:
        device = entered(window, address)
        assert json.loads(device.ask("GET", "/api/folder")[1])["may"] == "all"
        content = (window.folder / "vale.toml").read_bytes()
        assert device.ask("PUT", "/api/files/other.toml", content, If_None_Match="*")[0] == 200
        assert refusal(*device.ask("DELETE", "/api/share")) == 403
        with connect(f"ws://{device.host}/live", origin=Origin(f"http://{device.host}")) as link:
            link.send(json.dumps({"token": device.key}))
            link.send(json.dumps({"n": 1, "ask": "nonsense"}))
            assert "nonsense" in json.loads(link.recv(20))["error"]
            assert window.ask_json("DELETE", "/api/share") == (200, {"open": False})
            with pytest.raises(ConnectionClosed):
                link.recv(20)
        assert refusal(*device.ask("GET", "/api/folder")) == 403
        assert refusal(*device.ask("GET", "/")) == 403
        assert window.ask_json("GET", "/api/share")[1]["open"] is False
        assert window.ask("GET", "/api/folder")[0] == 200


def test_a_thousand_wrong_keys_are_slowed_down_and_told_once(address: str, tmp_path: Path) -> None:
    """The window's own page is answered meanwhile, and so is a device; who may come was said."""
    with running(fill(tmp_path / "folder"), "--share") as window:
        assert window.process.stdout is not None
        assert window.process.stdout.readline().startswith(f"shared at http://{address}:{window.port}: ")
        device = entered(window, address)
        stranger = Device(window, address, "A" * 43)

        def ask(_: int) -> tuple[int, float]:
            begin = time.monotonic()
            status = refusal(*stranger.ask("GET", "/api/folder"))
            return status, time.monotonic() - begin

        slowest, done = 0.0, threading.Event()

        def own() -> None:
            nonlocal slowest
            while not done.is_set():
                begin = time.monotonic()
                assert window.ask("GET", "/")[0] == window.ask("GET", "/api/share")[0] == 200
                assert device.ask("GET", "/app.css")[0] == device.ask("GET", "/api/files/vale.toml")[0] == 200
                slowest = max(slowest, (time.monotonic() - begin) / 4)
                time.sleep(0.3)

        meanwhile = threading.Thread(target=own)
        meanwhile.start()
        with ThreadPoolExecutor(100) as pool:
            answers = list(pool.map(ask, range(1000)))
        done.set()
        meanwhile.join()
        window.stop()
        assert window.process.stderr is not None
        words = window.process.stderr.read()
    assert "can read all courses, golfers, rounds and plans of the folder, and enter rounds." in words
    assert "not encrypted: share only in a network that you trust" in words
    told = [line for line in words.splitlines() if "wrong keys" in line]
    assert {status for status, _ in answers} == {403}
    late = sorted(seconds for _, seconds in answers)
    assert late[500] >= 1.0
    assert late[-1] < 8.0  # bounded: a second, and the time of a busy machine
    assert 0.0 < slowest < 1.0
    assert told == [f"holesim: {address} asks with wrong keys, again and again: its answers are slowed down"]


def test_a_burst_is_told_anew_after_quiet() -> None:
    told: list[str] = []
    now = [0.0]
    throttle = Throttle(told.append, clock=lambda: now[0])
    first = [throttle.miss("a") for _ in range(40)]
    assert throttle.miss("b") == 0.0
    assert (len(told), first[0], first[-1]) == (1, 0.0, 1.0)
    now[0] = 30.0
    assert [throttle.miss("a") for _ in range(40)] == first
    assert len(told) == 2


def test_the_page_shows_the_code_and_a_device_comes_in_by_it(shared: Window, chrome: Chrome) -> None:
    resize(chrome, 1280)
    (shared.folder / "links.geojson").unlink()
    chrome.get(shared.address)
    page = Reader(chrome, shared.origin)
    page.until_rest(seconds=START)
    page.find("button", "Share").click()
    page.until_text("What is sent is not encrypted")
    picture = chrome.find_element(By.CSS_SELECTOR, "dialog img")
    assert picture.accessible_name == "code to scan"
    assert chrome.execute_script("return arguments[0].naturalWidth", picture) > 100
    assert violations(chrome) == []
    shown = picture.get_attribute("src")
    here = chrome.current_window_handle
    link = chrome.find_element(By.CSS_SELECTOR, "dialog .address").get_attribute("textContent")
    chrome.switch_to.new_window("tab")
    try:
        resize(chrome, 820)
        chrome.get(str(link))
        comes = Reader(chrome, str(link).partition("/#")[0])
        comes.until_rest(seconds=START)
        assert chrome.execute_script("return location.hash") == ""
        shown_buttons = {button.accessible_name for button in comes.controls("button")}
        assert not shown_buttons & {"Draw", "Share", "Save the plan", "Print …"}
        assert "keys" in shown_buttons
        chrome.refresh()
        comes.until_rest()
        assert comes.look().alert == ""
    finally:
        chrome.close()
        chrome.switch_to.window(here)
    page.until(lambda _: picture.get_attribute("src") != shown)
    page.until_text(" come.")
    page.find("button", "Stop sharing").click()
    page.until_text("Sharing has ended")
    page.find("button", "Close").click()
    assert console(chrome) == []
