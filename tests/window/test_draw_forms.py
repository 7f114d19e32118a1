"""A course drawn by its numbers over pictures, in a real browser, by mouse and finger."""

import io
import math
import struct
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest
from PIL import Image, ImageDraw
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select

from holesim.course.course_file import load_course
from holesim.units import YARD
from tests.browser import FingerHand, Hand, MouseHand, Place, console, resize
from tests.files.small_course import PLAYER
from tests.window.reader import START, Reader
from tests.window.running import Window, running

WIDE, NARROW = 1280, 820
NAME: Final = "oxlip-warren.geojson"
TITLE: Final = "Oxlip Warren"
TEE, PIN, NORTH = "#ff00ff", "#00ffff", "#ff3c00"
"""Colours of the points of a page."""

_SEEN: Final = {
    TEE: lambda r, g, b: (r > 190) & (g < 150) & (b > 180),
    PIN: lambda r, g, b: (r < 130) & (g > 200) & (b > 180),
    NORTH: lambda r, g, b: (r > 200) & (g < 140) & (b < 90),
}
"""What each looks like in a picture that the ground shines through."""


@dataclass(frozen=True)
class HolePage:
    """A page of an invented yardage book, its points in pixels from its upper left corner."""

    size: tuple[int, int]
    tee: Place
    pin: Place
    yards: float
    north: Place | None = None

    @property
    def metre(self) -> float:
        """Metres of a pixel."""
        return self.yards * YARD / math.dist(self.tee, self.pin)

    def draw(self, path: Path) -> Path:
        image = Image.new("RGB", self.size, "#f3efe2")
        pen = ImageDraw.Draw(image)
        pen.line([self.tee, self.pin], fill="#cfe3b4", width=self.size[0] // 7)
        for place, colour in ((self.tee, TEE), (self.pin, PIN), (self.north, NORTH)):
            if place is not None:
                pen.ellipse([*(value - 22 for value in place), *(value + 22 for value in place)], fill=colour)
        pen.text((20, 20), f"{self.yards:g} yd", fill="black")
        image.save(path)
        return path


@pytest.fixture(scope="module")
def window(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    folder = tmp_path_factory.mktemp("folder")
    (folder / "vale.toml").write_text(PLAYER, encoding="utf-8")
    with running(folder) as started:
        yield started


class Desk:
    """Someone who draws: hands, and what they see."""

    def __init__(self, chrome: Chrome, window: Window) -> None:
        self.chrome, self.window = chrome, window
        self.page = Reader(chrome, window.origin)
        self.hand: Hand = MouseHand(chrome)
        self.page.hear()
        chrome.get("about:blank")
        chrome.get(window.address)
        self.page.until_text("The folder")

    # --- hands ---

    def tap(self, element: WebElement) -> None:
        """Press a control where it is."""
        self.hand.press(self.page.middle(element))
        self.hand.lift()

    def button(self, name: str) -> None:
        self.until(lambda: list(self.page.controls("button", name)))
        self.tap(self.page.find("button", name))

    def write(self, name: str, text: str, role: str = "textbox") -> None:
        field = self.page.find(role, name)
        self.tap(field)
        self.until(lambda: self.page.focused() == field)  # a finger's tap takes its time
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(text)

    def go(self, hole: int) -> None:
        """Show a hole."""
        self.button(f"hole {hole}")
        self.until(lambda: self.page.find("button", f"hole {hole}").get_attribute("aria-pressed") == "true")

    def choose(self, name: str, words: str) -> None:
        Select(self.page.find("combobox", name)).select_by_visible_text(words)

    def unfold(self, title: str) -> None:
        """Unfold a part of the panel, if it is not."""
        summary = By.XPATH, f"//summary[starts-with(normalize-space(), '{title}')]"
        self.until(lambda: self.chrome.find_elements(*summary))
        if not self.chrome.execute_script(
            "return arguments[0].parentElement.open", self.chrome.find_element(*summary)
        ):
            self.tap(self.chrome.find_element(*summary))

    def click(self, place: Place) -> None:
        """Click on the map, at a place in view."""
        self.hand.press(place)
        self.hand.lift()
        time.sleep(0.3)  # two clicks in quick succession are a double click

    def until(self, true: Callable[[], object], seconds: float = 30) -> None:
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, self.page.text
            time.sleep(0.05)

    def give(self, path: Path) -> None:
        """Add a picture."""
        self.unfold("Pictures under the drawing")
        self.chrome.find_element(By.CSS_SELECTOR, "input[type=file][accept*=webp]").send_keys(str(path))

    # --- eyes ---

    def sees(self, colour: str) -> Place | None:
        """Return the middle of what has a colour in view, None if nothing has it."""
        shot = Image.open(io.BytesIO(self.chrome.get_screenshot_as_png())).convert("RGB")
        seen = _SEEN[colour](*np.moveaxis(np.asarray(shot, dtype=int), 2, 0))
        if np.count_nonzero(seen) <= 20:
            return None
        y, x = np.nonzero(seen)
        return float(x.mean()) + 0.5, float(y.mean()) + 0.5

    def see(self, colour: str) -> Place:
        """Return the middle of what has a colour, as soon as something has it."""
        self.until(lambda: self.sees(colour))
        found = self.sees(colour)
        assert found is not None, f"nothing is {colour}"
        return found

    def prompt(self, words: str) -> None:
        """Wait until the page asks for a click."""
        self.page.until_text(words, START)

    def reading(self) -> list[str]:
        """Return the hazards of the hole in view, as the page reads them, with plain hyphens."""
        rows = self.chrome.find_elements(By.CSS_SELECTOR, '[aria-label^="hazards from"] > li > form')
        return [row.accessible_name.replace("\u2013", "-") for row in rows]

    def until_reading(self, *hazards: str) -> None:
        self.until(lambda: self.reading() == [*hazards])

    def middle_of_map(self) -> Place:
        """Return the middle of the map in view."""
        map_ = self.chrome.find_element(By.CSS_SELECTOR, '[aria-label^="map of the drawing"]')
        return self.page.middle(map_)

    def row(self, hazard: str) -> None:
        """Choose a hazard in the list, unless it is chosen."""
        if self.page.find("button", hazard).get_attribute("aria-pressed") != "true":
            self.button(hazard)
        self.until(lambda: list(self.page.controls("button", "move it to these numbers")))

    # --- the server's side ---

    def whole(self) -> dict[str, Any]:
        status, whole = self.window.ask_json("GET", f"/api/drawings/{NAME}")
        assert status == 200
        return dict(whole)

    def lines(self) -> int:
        return sum(one["kind"] == "line" for one in self.whole()["features"])

    def marks(self, name: str) -> list[Place]:
        """Return where the two points of a picture lie [m]."""
        pictures = {one["name"]: one["marks"] for one in self.whole()["pictures"]}
        return [(mark["at"][0], mark["at"][1]) for mark in pictures[name]]

    def lay_of(self, name: str) -> tuple[float, float]:
        """Return metres of a pixel of a picture and the bearing of its top [°]."""
        marks = next(one["marks"] for one in self.whole()["pictures"] if one["name"] == name)
        (p, q), (a, b) = ([mark[key] for mark in marks] for key in ("pixel", "at"))
        on_page = math.degrees(math.atan2(q[0] - p[0], p[1] - q[1]))
        on_ground = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1]))
        return math.dist(a, b) / math.dist(p, q), (on_ground - on_page) % 360

    # --- what takes several steps ---

    def begin(self) -> None:
        self.button("Draw")
        self.until(lambda: list(self.page.controls("textbox", "name of the new course")))
        self.write("name of the new course", TITLE)
        self.button("Begin")
        self.until(lambda: list(self.page.controls("button", "whole course")))

    def lay(self, path: Path, page: HolePage, tell_north: Callable[[], None]) -> None:
        """Add a page and place it by its tee, its pin and its length."""
        self.give(path)
        self.prompt("Click the first point")
        tee, pin = self.see(TEE), self.see(PIN)
        self.click(tee)
        self.prompt("Click the second point")
        self.click(pin)
        self.write("between them", f"{page.yards:g}")
        tell_north()
        self.button("Lay the picture so")
        self.page.until_text("Pictures under the drawing (")
        self.until(lambda: path.name in [one["name"] for one in self.whole()["pictures"]])

    def hole(self, length: float, index: int, more: Callable[[], None], where: Callable[[], None]) -> None:
        """Draw the next hole by its numbers."""
        before = self.lines()
        self.unfold("A hole by its numbers")
        self.write("length", f"{length:g}")
        self.write("stroke index", str(index))
        more()
        where()
        self.until(lambda: self.lines() == before + 1)

    def hazard(self, word: str, side: str, numbers: Sequence[tuple[str, float]]) -> None:
        self.unfold("A hazard by its numbers")
        self.write("what", word, "combobox")
        self.choose("side", side)
        for name, value in numbers:
            self.write(name, f"{value:g}")
        self.button("Draw it")


def nothing() -> None:
    """Do nothing."""


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
