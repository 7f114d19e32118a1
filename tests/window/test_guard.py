"""Who may ask a window: its own page alone, and every refusal is one plain line."""

import json
from pathlib import Path

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus

from tests.window.running import Window


def refusal(status: int, body: bytes | bytearray) -> int:
    """Return the status of a refusal, which must be one plain line."""
    said = json.loads(body)
    assert said.keys() == {"error"}
    assert said["error"].isprintable()
    assert 10 < len(said["error"]) <= 500
    return status


def test_the_page_itself_may_ask(window: Window) -> None:
    status, headers, body = window.ask("GET", "/api/folder")
    assert status == 200
    assert json.loads(body)["demo"]
    assert headers["cache-control"] == "no-store"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert headers["cross-origin-opener-policy"] == headers["cross-origin-resource-policy"] == "same-origin"
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "server" not in headers
    assert "set-cookie" not in headers
    assert window.ask("GET", "/api/folder", Host=f"localhost:{window.port}")[0] == 200
    assert window.ask("GET", "/api/folder", Sec_Fetch_Site="same-origin")[0] == 200
    assert window.ask("GET", "/api/folder", Sec_Fetch_Site="none")[0] == 200


@pytest.mark.parametrize("token", [None, "", "x" * 43, "\u00e9"])
def test_without_the_token_nothing_is_told(window: Window, token: str | None) -> None:
    for method, path in (
        ("GET", "/api/folder"),
        ("GET", "/api/files/vale.toml"),
        ("POST", "/api/jobs"),
        ("GET", "/api"),
    ):
        status, _, body = window.ask(method, path, X_Holesim_Token=token)
        assert refusal(status, body) == 403


def test_the_token_does_not_count_in_a_cookie_or_a_query(window: Window) -> None:
    status, _, body = window.ask(
        "GET", f"/api/folder?token={window.token}", X_Holesim_Token=None, Cookie=f"token={window.token}"
    )
    assert refusal(status, body) == 403


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1",
        "localhost",
        "127.0.0.1:1",
        "localhost.evil.example:{port}",
        "[::1]:{port}",
        "",
    ],
)
def test_another_host_is_refused(window: Window, host: str) -> None:
    for path in ("/", "/app.js", "/api/folder"):
        status, _, body = window.ask("GET", path, Host=host.format(port=window.port))
        assert refusal(status, body) == 403


def test_two_hosts_are_refused(window: Window) -> None:
    own = f"Host: 127.0.0.1:{window.port}\r\n".encode()
    said = window.raw(b"GET / HTTP/1.1\r\n" + own + b"Host: evil.example\r\nConnection: close\r\n\r\n")
    assert said.split()[1] in {b"400", b"403"}


@pytest.mark.parametrize(
    "origin",
    [
        "http://evil.example",
        "null",
        "http://localhost:1",
        "https://127.0.0.1:{port}",
        "http://localhost:{port}",
    ],
)
def test_another_origin_is_refused(window: Window, origin: str) -> None:
    stated = origin.format(port=window.port)  # the last is ours, but not that of the Host asked
    for method, path in (
        ("GET", "/api/folder"),
        ("POST", "/api/jobs"),
        ("PUT", "/api/files/vale.toml"),
        ("DELETE", "/api/jobs/1"),
    ):
        status, _, body = window.ask(method, path, Origin=stated)
        assert refusal(status, body) == 403
    with pytest.raises(InvalidStatus) as refused:
        window.connect(stated)
    assert refused.value.response.status_code == 403
    refusal(403, refused.value.response.body)


def test_a_change_without_an_origin_is_refused(window: Window) -> None:
    for method in ("POST", "PUT", "DELETE", "OPTIONS", "HEAD"):
        assert window.ask(method, "/api/jobs", Origin=None)[0] == 403
    with pytest.raises(InvalidStatus) as refused:
        window.connect(None)
    assert refused.value.response.status_code == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "SAME-ORIGIN"])
def test_another_site_is_refused(window: Window, site: str) -> None:
    for path in ("/", "/api/folder"):
        status, _, body = window.ask("GET", path, Sec_Fetch_Site=site)
        assert refusal(status, body) == 403


@pytest.mark.parametrize(
    "name",
    [
        "../secret.toml", "x/../../secret.toml", "%2e%2e/secret.toml", "..%2fsecret.toml", "%2fetc%2fpasswd",
        "/etc/passwd",
        "..%5csecret.toml", "C:%5csecret.toml", "c:secret.toml", "vale.toml%00.geojson", ".hidden.toml",
        ".git/config.toml", "x//y.toml", "nul.toml", "vale.toml.", "a/b/c/d/e.toml", "x" * 130 + ".toml",
    ],
)  # fmt: skip
def test_a_name_outside_the_folder_is_refused(window: Window, name: str) -> None:
    (window.folder.parent / "secret.toml").write_text("not told")
    hidden = window.folder / ".hidden.toml"
    hidden.write_text("not told")
    for method in ("GET", "PUT"):
        more = {} if method == "GET" else {"If_None_Match": "*"}
        status, _, body = window.ask(method, f"/api/files/{name}", b"" if method == "GET" else b"x", **more)
        assert refusal(status, body) in {400, 404}
        assert b"not told" not in body
    assert (window.folder.parent / "secret.toml").read_text() == "not told"
    hidden.unlink()


def test_links_are_not_followed(window: Window, tmp_path: Path) -> None:
    (tmp_path / "secret.toml").write_text("secret")
    (window.folder / "link.toml").symlink_to(tmp_path / "secret.toml")
    (window.folder / "linked").symlink_to(tmp_path)
    try:
        for name in ("link.toml", "linked/secret.toml", "linked/new.toml"):
            status, _, body = window.ask("GET", f"/api/files/{name}")
            assert refusal(status, body) == 400
            status, _, body = window.ask("PUT", f"/api/files/{name}", b"x", If_None_Match="*")
            assert refusal(status, body) == 400
        listed = window.ask("GET", "/api/folder")[2]
        assert b"link.toml" not in listed
        assert b"linked" not in listed
        assert sorted(path.name for path in tmp_path.iterdir()) == ["secret.toml"]
    finally:
        (window.folder / "link.toml").unlink()
        (window.folder / "linked").unlink()


@pytest.mark.parametrize(
    ("method", "path", "size"),
    [
        ("POST", "/api/jobs", 64_001),
        ("PUT", "/api/files/big.toml", 1_000_001),
        ("PUT", "/api/files/big.csv", 5_000_001),
    ],
)
def test_a_large_body_is_refused_whatever_length_it_states(
    window: Window, method: str, path: str, size: int
) -> None:
    status, _, body = window.ask(method, path, b"x" * size, If_None_Match="*")
    assert refusal(status, body) == 413
    head = (
        f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{window.port}\r\nOrigin: {window.origin}\r\n"
        f"X-Holesim-Token: {window.token}\r\nIf-None-Match: *\r\n"
        "Connection: close\r\nTransfer-Encoding: chunked\r\n\r\n"
    )
    said = window.raw(head.encode() + f"{size:x}\r\n".encode() + b"x" * size + b"\r\n0\r\n\r\n")
    assert said.split()[1] == b"413"
    refusal(413, said.partition(b"\r\n\r\n")[2])
    assert not list(window.folder.glob("big.*"))


def test_what_is_not_there_is_said_so(window: Window) -> None:
    for method, path, expected in (
        ("GET", "/nothing", 404),
        ("PUT", "/", 405),
        ("GET", "/api/nothing", 404),
        ("DELETE", "/api/jobs/7", 404),
    ):
        status, _, body = window.ask(method, path)
        assert refusal(status, body) == expected
    status, _, body = window.ask("POST", "/api/jobs", b"{")
    assert refusal(status, body) == 400


@pytest.mark.parametrize(
    "first",
    ["", "[]", '{"token": ""}', '{"token": 5}', '{"n": 1, "ask": "open"}', '{"token": "é"}', "[" * 5000],
)
def test_a_socket_without_the_token_is_closed(window: Window, first: str) -> None:
    with window.connect(window.origin) as link:
        link.send(first)
        with pytest.raises(ConnectionClosed) as closed:
            link.recv(20)
    assert closed.value.rcvd is not None
    assert closed.value.rcvd.code == 4403


def test_a_silent_socket_is_closed(window: Window) -> None:
    with window.connect(window.origin) as link, pytest.raises(ConnectionClosed) as closed:
        link.recv(20)
    assert closed.value.rcvd is not None
    assert closed.value.rcvd.code == 4403


def test_a_bad_question_is_answered_and_the_socket_stays_open(window: Window) -> None:
    with window.page() as page:
        for text in (
            "{",
            "[]",
            "7",
            '{"n": 1}',
            '{"n": 1, "ask": ["tee"]}',
            '{"n": 1, "ask": "tee", "hole": "4"}',
            '{"ask": "tee"}',
            "[" * 5000,
        ):
            page.link.send(text)
            said = page.next()
            assert said["error"].isprintable()
        page.number = 10
        assert "nonsense" in page.ask("nonsense")["error"]
        assert "open a course" in page.ask("round", tee="back", wind={"mph": 0, "from_deg": 0})["error"]
        page.link.send("x" * 64_001)
        with pytest.raises(ConnectionClosed) as closed:
            page.link.recv(20)
    assert closed.value.rcvd is not None
    assert closed.value.rcvd.code == 1009
