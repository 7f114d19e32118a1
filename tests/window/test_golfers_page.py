"""Golfers in the window's page, in a real browser: a new one, and one from a table that is dropped."""

import base64
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select

from holesim.data.examples import find
from tests.browser import FingerHand, Hand, MouseHand, console, resize
from tests.conftest import Run
from tests.window.axe import violations
from tests.window.reader import Reader
from tests.window.running import Window, fill, running

WIDE, NARROW = 1280, 820
_DROP: Final = """
const [name, content] = arguments;
const bytes = Uint8Array.from(atob(content), letter => letter.charCodeAt(0));
const held = new DataTransfer();
held.items.add(new File([bytes], name, {type: 'text/csv'}));
const place = document.querySelector('main:not([hidden])');
for (const kind of ['dragover', 'drop']) {
  place.dispatchEvent(new DragEvent(kind, {dataTransfer: held, bubbles: true, cancelable: true}));
}"""


@pytest.fixture(scope="module")
def window(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:  # noqa: ARG001 - or skip
    with running(fill(tmp_path_factory.mktemp("folder")), "--demo") as started:
        yield started


class Desk:
    """The golfers' page, and a hand on it."""

    def __init__(self, chrome: Chrome, window: Window, hand: Callable[[Chrome], Hand], wide: int) -> None:
        resize(chrome, wide)
        self.page, self.hand, self.window = Reader(chrome, window.origin), hand(chrome), window
        chrome.get("about:blank")
        chrome.get(window.address)
        self.tap(self.button("Golfers"))
        self.page.until_text("Measured drives")

    def tap(self, element: WebElement) -> None:
        self.hand.press(self.page.middle(element))
        self.hand.lift()

    def button(self, name: str) -> WebElement:
        return self.page.find("button", name)

    def chip(self, group: str, words: str) -> WebElement:
        """Return a choice of a group that is shown."""
        path = f"//fieldset[legend[normalize-space()='{group}']]//label[normalize-space()='{words}']"
        return next(one for one in self.page.chrome.find_elements(By.XPATH, path) if one.is_displayed())

    def until(self, true: Callable[[], object], seconds: float = 60) -> None:
        self.page.until_so(true, seconds)

    def fold(self, title: str) -> None:
        path = f"//summary[starts-with(normalize-space(), '{title}')]"
        self.tap(self.page.chrome.find_element(By.XPATH, path))

    def drop(self, name: str, content: bytes) -> None:
        self.page.chrome.execute_script(_DROP, name, base64.b64encode(content).decode())


@pytest.mark.parametrize(
    ("hand", "wide", "golfer"), [(MouseHand, WIDE, "Ana Reith"), (FingerHand, NARROW, "Bo Lund")]
)
def test_a_new_golfer_takes_five_answers(
    chrome: Chrome, window: Window, run: Run, hand: Callable[[Chrome], Hand], wide: int, golfer: str
) -> None:
    desk = Desk(chrome, window, hand, wide)
    desk.tap(desk.button("A new golfer"))
    desk.page.until_text("Still to say")
    desk.tap(desk.page.find("textbox", "name"))
    desk.page.press(golfer)
    desk.tap(desk.chip("plays as", "woman"))
    desk.page.find("textbox", "handicap index").send_keys("60", Keys.TAB)
    desk.page.until_text("should be at most 54, not 60")
    field = desk.page.find("textbox", "handicap index")
    field.send_keys(Keys.BACKSPACE, Keys.BACKSPACE, "14.2", Keys.TAB)
    desk.page.find("textbox", "a drive carries").send_keys("185", Keys.TAB)
    desk.tap(desk.chip("usual miss", "right"))
    desk.page.until_text("The face is taken to point 1.2° ±0.9° right")
    desk.fold("Strikes")
    loft = desk.page.find("textbox", "dynamic loft")
    desk.until(lambda: "±" in (loft.get_attribute("placeholder") or ""))
    assert violations(chrome) == []
    desk.tap(desk.button("Save the golfer"))
    name = f"{golfer.lower().replace(' ', '-')}.toml"
    desk.page.until_text(f"Saved as {name}")
    assert chrome.current_url.endswith(f"#/golfers/{name}")
    text = (window.folder / name).read_text(encoding="utf-8")
    assert "handicap_index = 14.2" in text
    assert "face_deg = 1.2" in text
    assert run("check", str(window.folder / name))[0] == 1
    # What is saved is shown by its address, and Back goes to the list.
    chrome.back()
    desk.until(lambda: not chrome.current_url.endswith(name))
    assert [
        entry for entry in console(chrome) if entry["level"] == "SEVERE" and "422" not in entry["message"]
    ] == []


def test_a_dropped_table_gives_the_very_file_of_the_command(
    chrome: Chrome, window: Window, run: Run, tmp_path: Path
) -> None:
    content = find("range/demo.csv").read_bytes()
    desk = Desk(chrome, window, MouseHand, WIDE)
    desk.drop("demo.csv", content)
    desk.page.until_text("Columns of demo.csv")
    assert (window.folder / "demo.csv").read_bytes() == content
    assert Select(desk.page.find("combobox", "unit of club_speed_mph")).first_selected_option.text == "mph"
    Select(desk.page.find("combobox", "golfer")).select_by_value("vale.toml")
    desk.tap(desk.chip("balls", "range balls: direction only"))
    desk.tap(desk.chip("usual strike", "up"))
    desk.tap(desk.button("Fit the golfer to the drives"))
    desk.until(lambda: list(desk.page.controls("progressbar", "how far the work is")))
    desk.page.until_text("The face angle varies by", 240)
    picture = chrome.find_element(By.CSS_SELECTOR, "#range-found img")
    assert int(str(picture.get_property("naturalWidth"))) > 500
    assert violations(chrome) == []
    field = desk.page.find("textbox", "file")
    field.clear()
    field.send_keys("fitted.toml")
    desk.tap(desk.button("Save the golfer"))
    desk.page.until_text("Saved as fitted.toml")
    out = tmp_path / "command.toml"
    code, _, said = run(
        "measure", str(find("range/demo.csv")), "--like", str(window.folder / "vale.toml"),
        "--balls", "range", "--usual", "up", "--out", str(out),
    )  # fmt: skip
    assert code == 0, said
    assert (window.folder / "fitted.toml").read_bytes() == out.read_bytes()


def test_drives_are_marked_by_a_tap_and_work_is_stopped(chrome: Chrome, window: Window) -> None:
    desk = Desk(chrome, window, FingerHand, NARROW)
    desk.drop("exported.csv", find("range/exported.csv").read_bytes())
    desk.page.until_text("Columns of exported.csv")
    Select(desk.page.find("combobox", "what Side L/R is")).select_by_visible_text("not used")
    desk.page.until_text("10 of 12 are used")
    desk.fold("The drives, one by one")
    desk.tap(desk.chip("a tap says", "level"))
    desk.tap(desk.chip("of", "a block: its first, then its last"))
    desk.tap(desk.button("drive in line 7: up"))
    desk.page.until_text("From line 7 to")
    desk.tap(desk.button("drive in line 9: up"))
    desk.until(lambda: list(desk.page.controls("button", "drive in line 8: level")))
    desk.tap(desk.chip("a tap says", "a mishit: out"))
    desk.tap(desk.chip("of", "one drive"))
    desk.tap(desk.button("drive in line 10: up"))
    desk.page.until_text("1 out.")
    assert violations(chrome) == []
    Select(desk.page.find("combobox", "golfer")).select_by_value("vale.toml")
    desk.tap(desk.button("Fit the golfer to the drives"))
    desk.until(lambda: any(stop.is_enabled() for stop in desk.page.controls("button", "Stop")))
    desk.until((window.folder / "exported-columns.toml").exists)
    desk.tap(desk.button("Stop"))
    desk.page.until_text("Cancelled.")
    kept = (window.folder / "exported-corrected.csv").read_text(encoding="utf-8").splitlines()
    assert len(kept) == 2 + 39
    assert [line.split(",")[2] for line in kept[2:7]] == ["Up", "level", "level", "level", "Up"]
    columns = (window.folder / "exported-columns.toml").read_text(encoding="utf-8")
    assert 'carry = { header = "Carry", unit = "m" }' in columns
    assert "\nside" not in columns


def test_all_is_reached_by_keys(chrome: Chrome, window: Window) -> None:
    desk = Desk(chrome, window, MouseHand, WIDE)
    keys: Callable[..., None] = lambda *words: ActionChains(chrome).send_keys(*words).perform()  # noqa: E731
    desk.page.tab_to("button", "A new golfer")
    keys(Keys.ENTER)
    desk.page.until_text("Still to say")
    desk.until(lambda: desk.page.focused().accessible_name.startswith("name"))
    keys("Cato Ness", Keys.TAB, Keys.SPACE, Keys.TAB, Keys.TAB, "+1.5", Keys.TAB, "270", Keys.TAB)
    desk.until(lambda: desk.button("Save the golfer").is_enabled())
    keys(Keys.ENTER)
    desk.page.until_text("Saved as cato-ness.toml")
    text = (window.folder / "cato-ness.toml").read_text(encoding="utf-8")
    assert 'sex = "man"' in text
    assert "handicap_index = -1.5" in text
