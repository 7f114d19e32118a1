"""One sitting: from an empty folder to a pocket card, a new golfer on a course drawn over a picture."""

import time
from pathlib import Path

from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement

from tests.browser import Place, console, resize
from tests.window.draw_desk import Desk, HolePage, nothing
from tests.window.reader import START
from tests.window.running import running


class CountedDesk(Desk):
    """One who counts clicks, and what is typed."""

    clicks = 0
    typed = 0

    def tap(self, element: WebElement) -> None:
        self.clicks += 1
        super().tap(element)

    def click(self, place: Place) -> None:
        self.clicks += 1
        super().click(place)

    def write(self, name: str, text: str, role: str = "textbox") -> None:
        self.typed += 1
        super().write(name, text, role)

    def choose(self, name: str, words: str) -> None:
        self.clicks += 2  # on the list, and on what is in it
        super().choose(name, words)

    def chip(self, group: str, words: str) -> None:
        """Choose one of a group."""
        path = f"//fieldset[legend[normalize-space()='{group}']]//label[normalize-space()='{words}']"
        self.until(lambda: any(one.is_displayed() for one in self.chrome.find_elements(By.XPATH, path)))
        self.tap(next(one for one in self.chrome.find_elements(By.XPATH, path) if one.is_displayed()))


def test_from_an_empty_folder_to_a_pocket_card(chrome: Chrome, tmp_path: Path) -> None:
    """An empty folder leads to the course, the golfer and the wind; then the card is printed."""
    resize(chrome, 1280)
    folder = tmp_path / "folder"
    folder.mkdir()
    with running(folder) as window:
        started = time.monotonic()
        desk = CountedDesk(chrome, window)
        page = desk.page

        # A hole of 400 yd, a creek and a bunker, over a page of a yardage book.
        desk.begin()
        book = HolePage((900, 1400), (450, 1260), (520, 140), 400)
        desk.lay(book.draw(tmp_path / "page1.png"), book, nothing)
        desk.hole(400, 7, nothing, lambda: desk.button("Lay it on the two points of page1.png"))
        desk.hazard("creek", "across", [("from", 287), ("to", 293)])
        desk.hazard("bunker", "left", [("from", 244), ("to", 260)])
        desk.until(lambda: len(desk.reading()) == 2)
        desk.until(lambda: desk.whole()["saved"])

        # A golfer, by five answers.
        desk.button("Golfers")
        desk.button("A new golfer")
        page.until_text("Still to say")
        desk.write("name", "Ana Reith")
        desk.chip("plays as", "woman")
        desk.write("handicap index", "14.2")
        desk.write("a drive carries", "185")
        page.press(Keys.TAB)
        desk.until(lambda: page.find("button", "Save the golfer").is_enabled())
        desk.button("Save the golfer")
        page.until_text("Saved as ana-reith.toml")

        # The wind, and the card.
        desk.button("Plan")
        page.until(lambda look: look.at_rest and look.headline.startswith("Hole 1"), START)
        page.type_wind("SW 14")
        page.until_rest("14 mph from 225")
        desk.typed += 1
        desk.button("Print")
        page.until_text("print the plan that is shown, as")
        desk.tap(chrome.find_element(By.CSS_SELECTOR, "form[aria-label=print] [type=submit]"))
        page.until_text("Printed to prints/", START)
        (card,) = folder.glob("prints/*/pocket.pdf")
        assert card.read_bytes().startswith(b"%PDF")
        assert desk.clicks <= 40
        assert desk.typed <= 16
        assert time.monotonic() - started < 180
        assert console(chrome) == []
        assert page.elsewhere() == []
