"""Printing what is shown: the files of the commands, byte for byte, and tabs that show them."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.keys import Keys

from holesim.app.cli.card import card
from holesim.handouts.styles import SUFFIXES
from tests.browser import console, resize
from tests.conftest import Run
from tests.paper import check_paper
from tests.window.reader import START, Reader
from tests.window.running import Window, fill, running
from tests.window.test_jobs import end_of, start

PETREL = {"course": "petrel.geojson", "tees": ["white"]}
OPTIONS = {"draws": 256, "wind_mph": 14.0, "wind_from_deg": 225.0}


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    with running(fill(tmp_path_factory.mktemp("folder"))) as started:
        yield started


def test_prints_are_those_of_the_commands_byte_for_byte(own: Window, run: Run, tmp_path: Path) -> None:
    order = {"kind": "print", "name": "prints/monday", "styles": list(SUFFIXES), "options": OPTIONS} | PETREL
    with own.page() as page:
        end, progress = end_of(page, start(own, **order))
    done, total = progress[-1]
    assert done == total
    assert [step for step, _ in progress] == sorted({step for step, _ in progress})
    names = {"plan.json", *(f"{style}{suffix}" for style, suffix in SUFFIXES.items())}
    assert {name.removeprefix("prints/monday/") for name in end["files"]} == names

    files = [str(own.folder / name) for name in ("petrel.geojson", "vale.toml")]
    words = ("--tee", "white", "--wind", "14@225", "--draws", "256", "--out", str(tmp_path / "plan"))
    code, _, err = run("plan", *files, *words)
    assert code == 0, err
    for style, suffix in SUFFIXES.items():
        path = tmp_path / f"{style}{suffix}"
        card([tmp_path / "plan/plan.json"], style=style, out=path)
        assert (own.folder / "prints/monday" / path.name).read_bytes() == path.read_bytes()

    status, said = own.ask_json("POST", "/api/jobs", {"player": "vale.toml"} | order)
    assert status == 412
    assert said["error"].startswith("prints/monday: is there already")


def test_a_print_is_on_the_paper_that_is_asked_for(own: Window, tmp_path: Path) -> None:
    order = {"kind": "print", "styles": ["pocket"], "options": OPTIONS, "player": "vale.toml"} | PETREL
    with own.page() as page:
        end_of(page, start(own, **order, name="prints/letter", paper="letter"))
    made = own.folder / "prints/letter"
    card([made / "plan.json"], style="pocket", out=tmp_path / "pocket.pdf", paper="letter")
    assert (made / "pocket.pdf").read_bytes() == (tmp_path / "pocket.pdf").read_bytes()
    check_paper(made / "pocket.pdf", "letter")
    status, said = own.ask_json("POST", "/api/jobs", order | {"name": "prints/a5", "paper": "a5"})
    assert status == 422
    assert "paper" in said["error"]


@pytest.mark.parametrize("styles", [[], ["poster"], "pocket", None])
def test_what_is_no_handout_is_refused(own: Window, styles: object) -> None:
    order = {"kind": "print", "name": "prints/none", "player": "vale.toml", "styles": styles} | PETREL
    status, said = own.ask_json("POST", "/api/jobs", {"player": "vale.toml"} | order)
    assert status == 422
    assert "styles" in said["error"]
    assert not (own.folder / "prints/none").exists()


def test_a_page_is_shown_once_at_an_address_of_its_own(own: Window) -> None:
    (own.folder / "page.html").write_text("<p>a page</p>", encoding="utf-8")
    status, said = own.ask_json("POST", "/api/shown", {"name": "page.html"})
    assert status == 200
    shown = own.ask("GET", said["address"], X_Holesim_Token=None)
    assert (shown[0], shown[2]) == (200, b"<p>a page</p>")
    policy = shown[1]["content-security-policy"]
    assert "sandbox" in policy
    assert "allow-same-origin" not in policy
    assert shown[1]["cache-control"] == "no-store"
    assert own.ask("GET", said["address"])[0] == 404
    for name, expected in (("none.html", 404), ("vale.toml", 422), ("../page.html", 400), (None, 422)):
        assert own.ask_json("POST", "/api/shown", {"name": name})[0] == expected
    assert own.ask("POST", "/api/shown", b"{", X_Holesim_Token=None)[0] == 403


def test_what_is_shown_is_printed_in_the_page(own: Window, chrome: Chrome) -> None:
    """By keys alone: the pocket card opens in a tab, and the page runs there apart from the window."""
    resize(chrome, 1280)
    (own.folder / "links.geojson").unlink(missing_ok=True)
    chrome.get(own.address)
    page = Reader(chrome, own.origin)
    page.until_rest(seconds=START)
    page.go(1, "SW 14", "14 mph")
    page.tab_to("button", "Print")
    page.press("\n")
    assert page.focused().accessible_name == "pocket card"
    page.tab_to("checkbox", "page")
    page.press(" ")
    page.tab_to("textbox", "name")
    page.press(Keys.CONTROL + "a" + Keys.NULL, "Card for Monday")
    page.tab_to("combobox", "paper")
    page.press("l")
    page.press(Keys.ENTER)
    page.tab_to("button", "Print")
    page.press("\n")
    page.until_text("Printed to prints/card-for-monday.")
    check_paper(own.folder / "prints/card-for-monday/pocket.pdf", "letter")
    page.find("button", "open pocket.pdf").click()
    with page.new_tab():
        page.until_pdf()
    page.find("button", "open page.html").click()
    with page.new_tab():
        page.until_text("Petrel Ground")
        assert re.fullmatch(rf"{own.origin}/shown/[\w-]{{43}}", chrome.current_url)
        assert chrome.execute_script("return [origin, document.scripts.length > 0]") == ["null", True]
    assert console(chrome) == []
