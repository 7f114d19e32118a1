"""Someone who draws a course by its numbers over pictures, in a real browser; and their pages."""

import io
import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from PIL import Image, ImageDraw
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select

from holesim.units import YARD
from tests.browser import Hand, MouseHand, Place
from tests.window.reader import START, Reader
from tests.window.running import Window

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
        """Press a control where it is, once it stays there: an answer that arrives may move it."""
        at, before = self.page.middle(element), None
        while at != before:
            time.sleep(0.05)
            at, before = self.page.middle(element), at
        self.hand.press(at)
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
        self.page.until_so(true, seconds)

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
