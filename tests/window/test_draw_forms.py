"""A course drawn by its numbers over pictures, in a real browser, by mouse and finger."""

import math
import struct
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from holesim.course.course_file import load_course
from holesim.units import YARD
from tests.browser import FingerHand, MouseHand, console, resize
from tests.files.small_course import PLAYER
from tests.window.axe import violations
from tests.window.draw_desk import NAME, NORTH, PIN, TEE, TITLE, Desk, HolePage, nothing
from tests.window.reader import START
from tests.window.running import Window, running

WIDE, NARROW = 1280, 820


@pytest.fixture(scope="module")
def window(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    folder = tmp_path_factory.mktemp("folder")
    (folder / "vale.toml").write_text(PLAYER, encoding="utf-8")
    with running(folder) as started:
        yield started


def check_lay(found: tuple[float, float], page: HolePage, up: float) -> None:
    """Check a picture's scale to 0.5 % and its turn to half a degree."""
    assert found[0] == pytest.approx(page.metre, rel=0.005)
    assert (found[1] - up + 180) % 360 - 180 == pytest.approx(0, abs=0.5)


def test_three_holes_from_nothing_over_pictures(chrome: Chrome, window: Window, tmp_path: Path) -> None:
    resize(chrome, NARROW)
    desk = Desk(chrome, window)
    page = desk.page
    desk.hand = FingerHand(chrome)
    desk.begin()
    assert "lies in the open ocean" in page.text

    # The first hole, by finger; north is up on its page.
    first = HolePage((900, 1400), (450, 1260), (520, 140), 400)
    desk.lay(first.draw(tmp_path / "page1.png"), first, nothing)
    check_lay(desk.lay_of("page1.png"), first, 0)
    desk.hole(400, 7, nothing, lambda: desk.button("Lay it on the two points of page1.png"))
    desk.hazard("creek", "across", [("from", 287), ("to", 293)])
    desk.until_reading("creek 287-293")
    desk.hazard("bunker", "left", [("from", 244), ("to", 260), ("off the line", 20), ("how wide", 9)])
    desk.until_reading("bunker left 244, carries 260", "creek 287-293")

    # The second, by mouse: a dogleg whose page says its bearing.
    resize(chrome, WIDE)
    desk.hand = MouseHand(chrome)
    desk.go(2)
    second = HolePage((1000, 1300), (500, 1180), (430, 110), 371)

    def bearing() -> None:
        desk.choose("north", "by the bearing")
        desk.write("bearing from first to second", "123")

    desk.lay(second.draw(tmp_path / "page2.png"), second, bearing)
    on_page = math.degrees(math.atan2(430 - 500, 1180 - 110))
    check_lay(desk.lay_of("page2.png"), second, 123 - on_page)

    def bend() -> None:
        desk.button("add a bend")
        desk.write("from the back tee", "240")
        desk.choose("turns", "right")
        desk.write("by", "30")

    desk.hole(380, 1, bend, lambda: desk.button("Lay it on the two points of page2.png"))

    # A bunker drawn by hand gets its numbers only after the page has asked.
    desk.button("bunker")
    middle = desk.middle_of_map()
    for right, up in ((-70, 0), (-70, 40), (-100, 20)):
        desk.click((middle[0] + right, middle[1] - up))
    page.press(Keys.ENTER)
    desk.until(lambda: len(desk.reading()) == 1)
    assert desk.reading()[0].startswith("bunker left")
    desk.row("bunker left")
    desk.write("from", "210")
    desk.write("to", "222")
    page.press(Keys.ENTER)
    page.until_text("Draw it anew by its numbers?")
    assert all(one["noted"] is None for one in desk.whole()["features"] if one["hole"] == 2)
    desk.button("draw it anew")
    desk.until_reading("bunker left 210, carries 222")

    # The third: its page has an arrow to the north, and it is drawn by two clicks.
    desk.go(3)
    third = HolePage((900, 1200), (440, 1090), (470, 130), 160, north=(760, 1090))

    def arrow() -> None:
        north = desk.see(NORTH)
        desk.choose("north", "click towards it")
        desk.prompt("Click a place north")
        desk.click(north)
        desk.until(lambda: "north ✓" in page.text)

    desk.lay(third.draw(tmp_path / "page3.png"), third, arrow)
    check_lay(desk.lay_of("page3.png"), third, -90)

    def clicks() -> None:
        tee, pin = desk.see(TEE), desk.see(PIN)
        desk.button("Click the back tee")
        desk.prompt("Click where the back tee")
        desk.click(tee)
        desk.prompt("in the direction of the pin")
        desk.click(pin)

    desk.choose("par", "3")
    desk.hole(160, 15, nothing, clicks)

    # A word that is not known, and one that is mended.
    assert console(chrome) == []
    desk.hazard("pnod", "right", [("from", 100), ("to", 130)])
    page.until_text("did you mean pond?")
    desk.hazard("pond", "right", [])
    desk.until_reading("pond right 100-130")

    # Another number moves what keeps its numbers.
    assert [entry["message"].split()[0].rpartition("/")[2] for entry in console(chrome)] == ["hazards"]
    desk.row("pond right 100")
    desk.write("from", "115")
    page.press(Keys.ENTER)
    desk.until_reading("pond right 115-130")
    noted = next(one["noted"] for one in desk.whole()["features"] if one["noted"] and one["hole"] == 3)
    assert (noted["from_yd"], noted["to_yd"]) == (115, 130)

    # The file has what was typed.
    desk.until(lambda: desk.whole()["saved"])
    desk.until(lambda: Select(page.find("combobox", "course")).first_selected_option.text == TITLE)
    course = load_course(str(window.folder / NAME))
    lengths = [hole.tees[0].length / YARD for hole in course.holes]
    assert lengths == pytest.approx([400, 380, 160], abs=1)
    assert [hole.par for hole in course.holes] == [4, 4, 3]

    # It is planned as it is drawn.
    desk.go(1)
    answer = By.CSS_SELECTOR, '[aria-label="what to hit on this hole as drawn"]'
    desk.until(lambda: chrome.find_element(*answer).text.startswith("Hole 1, par 4"), START)

    # It is moved to where it belongs, with its pictures.
    desk.unfold("Move it to where it belongs")
    desk.choose("known point", "back tee of hole 2")
    desk.write("latitude", "46.5 S, 112.25 W")
    desk.button("Move the course there")
    desk.until(lambda: not desk.whole()["nowhere"])
    desk.until(lambda: "open ocean" not in page.text)
    desk.until(lambda: desk.whole()["saved"])
    moved = load_course(str(window.folder / NAME))
    assert moved.origin == pytest.approx((-112.25, -46.5), abs=0.02)
    check_lay(desk.lay_of("page1.png"), first, 0)

    # An earlier version is brought back, and that is undone.
    desk.unfold("Earlier versions")
    page.until_text("bring back")
    desk.button("bring back")
    desk.until(lambda: desk.lines() == 0)
    desk.button("undo: back to")
    desk.until(lambda: desk.lines() == 3)

    # A reload keeps all.
    desk.until(lambda: desk.whole()["saved"])
    features, pictures = desk.whole()["features"], desk.whole()["pictures"]
    chrome.refresh()
    desk.button("Draw")
    desk.go(1)
    desk.until_reading("bunker left 244, carries 260", "creek 287-293")
    assert desk.see(TEE)[1] > desk.see(PIN)[1] + 200
    assert (desk.whole()["features"], desk.whole()["pictures"]) == (features, pictures)

    # It is placed anew by the back tee and the pin as drawn, moved, hidden, and taken away.
    desk.unfold("Pictures under the drawing")
    before = desk.lay_of("page1.png")
    desk.button("place page1.png anew")
    for colour, words in ((TEE, "the first point"), (PIN, "the second point")):
        desk.prompt(f"Click {words}")
        desk.click(desk.see(colour))
    assert page.find("checkbox", "they are the back tee and the pin of hole 1").is_selected()
    desk.button("Lay the picture so")
    desk.until(lambda: desk.lay_of("page1.png") != before)
    marks = desk.marks("page1.png")
    line = next(one for one in desk.whole()["features"] if one["kind"] == "line" and one["hole"] == 1)
    for mark, end in zip(marks, line["geometry"]["coordinates"], strict=True):
        assert mark == pytest.approx(end, abs=0.1)
    desk.button("move page1.png")
    desk.prompt("Click a point of page1.png")
    desk.click(desk.see(TEE))
    desk.prompt("Click where that point belongs")
    desk.click(desk.see(PIN))
    desk.until(lambda: desk.marks("page1.png") != marks)
    assert desk.marks("page1.png")[0] == pytest.approx(marks[1], abs=2)
    desk.tap(page.find("checkbox", "show page1.png"))
    desk.until(lambda: desk.sees(TEE) is None)
    desk.button("take page3.png away")
    desk.until(lambda: [one["name"] for one in desk.whole()["pictures"]] == ["page1.png", "page2.png"])
    assert violations(chrome) == []
    page.hear()
    assert console(chrome) == []
    assert page.elsewhere() == []


def png_head(width: int, height: int) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I4sIIBBBBB", 13, b"IHDR", width, height, 8, 2, 0, 0, 0)


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("page.png", b"%PDF-1.7 and more", "page.png is no JPEG, PNG or WebP picture"),
        ("map.png", png_head(8000, 5001), "map.png has 40 megapixels, more than 40"),
        ("scan.png", png_head(100, 100) + bytes(25_000_000), "scan.png has 25 MB, more than 25 MB"),
        ("torn.png", png_head(100, 100), "torn.png cannot be shown"),
    ],
    ids=["kind", "pixels", "bytes", "torn"],
)
def test_a_picture_is_refused(
    chrome: Chrome, window: Window, tmp_path: Path, name: str, content: bytes, says: str
) -> None:
    resize(chrome, WIDE)
    desk = Desk(chrome, window)
    desk.button("Draw")
    if not (window.folder / NAME).exists():
        desk.begin()
    (tmp_path / name).write_bytes(content)
    desk.give(tmp_path / name)
    desk.page.until_text(says)
    assert not (window.folder / name).exists()
    assert console(chrome) == []


def test_a_file_dropped_on_the_map_is_looked_at(chrome: Chrome, window: Window) -> None:
    resize(chrome, WIDE)
    desk = Desk(chrome, window)
    desk.button("Draw")
    if not (window.folder / NAME).exists():
        desk.begin()
    desk.until(lambda: list(desk.page.controls("button", "whole course")))
    chrome.execute_script(
        """const dropped = new DataTransfer();
        dropped.items.add(new File(['GIF89a'], 'flag.gif'));
        document.querySelector('[aria-label^="map of the drawing"]').dispatchEvent(
          new DragEvent('drop', {dataTransfer: dropped, bubbles: true, cancelable: true}));"""
    )
    desk.page.until_text("flag.gif is no JPEG, PNG or WebP picture")
