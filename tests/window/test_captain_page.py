"""The captain's table in a real browser, by mouse, finger and keyboard."""

import json
import time
import tomllib
from collections.abc import Callable, Iterator

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from tests.browser import FingerHand, Hand, MouseHand, Place, console, resize
from tests.conftest import Run
from tests.window.axe import violations
from tests.window.reader import Reader
from tests.window.running import Window, fill, running
from tests.window.test_captain import TEAM, WEEKEND, files_of, person
from tests.window.test_page import SMALL

WIDE, NARROW = 1280, 820
HANDS = pytest.mark.parametrize("hand", [MouseHand, FingerHand], ids=["mouse", "finger"])
BOTH = pytest.mark.parametrize("wide", [WIDE, NARROW])
FIVE = TEAM | {"players": [*TEAM["players"], person("Ember", 11.0, 96)], "places": 4}

_ROWS = """return [...document.querySelectorAll('#captain .line-up tbody tr')].map(
  row => [...row.querySelectorAll('[data-place]:not([data-place^=side]) span')].map(one => one.innerText))"""


def until(true: Callable[[], object], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


class TablePage:
    """The captain's table on a page."""

    def __init__(self, chrome: Chrome, window: Window) -> None:
        self.chrome, self.window, self.reader = chrome, window, Reader(chrome, window.origin)

    @property
    def rows(self) -> list[list[str]]:
        """The names of each side, then of those who sit out."""
        found: list[list[str]] = self.chrome.execute_script(_ROWS)
        return found

    def said(self, of: str) -> str:
        found: str | None = self.chrome.execute_script(
            "return document.querySelector(arguments[0])?.textContent", of
        )
        return (found or "").strip()

    @property
    def status(self) -> str:
        return self.said("#captain-said")

    @property
    def price(self) -> str:
        return self.said("#captain .price")

    def middles(self, *buttons: str) -> list[Place]:
        """Return the middles of buttons, all in view."""
        found = [self.reader.find("button", name) for name in buttons]
        places: list[Place] = self.chrome.execute_script(
            """const table = document.querySelector('#captain .line-up');
            table.scrollIntoView({block: 'center', behavior: 'instant'});
            return arguments[0].map(one => {
              const {left, top, width, height} = one.getBoundingClientRect();
              return [left + width / 2, top + height / 2];
            })""",
            found,
        )
        return [(x, y) for x, y in places]

    def choose(self, name: str, option: str) -> None:
        """Choose an option whose text begins so, once it is there."""

        def chosen() -> bool:
            for one in self.reader.controls("combobox", name):
                box = Select(one)
                found = [text for choice in box.options if (text := choice.text).startswith(option)]
                if found:
                    box.select_by_visible_text(found[0])
                    return True
            return False

        until(chosen)

    def press(self, button: str) -> None:
        self.reader.find("button", button).click()

    def begin_and_cancel(self, work: str, once: str = "") -> None:
        """Begin a piece of work, and cancel it once the page says something."""
        self.press(work)
        until(lambda: next(self.reader.controls("button", "Cancel"), None) and once in self.reader.text)
        self.press("Cancel")
        until(lambda: self.status == "Cancelled; nothing was changed.")

    def open(self) -> None:
        self.chrome.get("about:blank")
        self.chrome.get(self.window.address)
        until(lambda: next(self.reader.controls("button", "Captain"), None))
        self.press("Captain")
        until(lambda: "Petrel six" in self.reader.text)

    def best(self) -> None:
        if self.reader.find("button", "Back to the best").is_enabled():
            self.press("Back to the best")
            until(lambda: self.price.startswith("This is the best draw found"))


@pytest.fixture(scope="module")
def table(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TablePage]:
    """Yield a table of four out of five players, planned; at the end the console is empty."""
    folder = fill(tmp_path_factory.mktemp("club"))
    with running(folder) as window:
        resize(chrome, WIDE)
        written = window.ask_json("PUT", "/api/captain/teams/five.toml", {"content": FIVE})
        assert written[0] == 200, written
        page = TablePage(chrome, window)
        page.open()
        Select(page.reader.find("combobox", "course")).select_by_value('["links.geojson",null]')
        chrome.find_element(By.CSS_SELECTOR, "#captain-setup summary").click()
        page.choose("drives a strike", "256")
        page.press("Plan the team")
        until(lambda: list(page.reader.controls("progressbar", "planning")) or page.rows)
        until(lambda: page.price.startswith("This is the best draw found"), 240)
        yield page
        page.reader.hear()
        assert console(chrome) == []
        assert page.reader.elsewhere() == []


def made(hand: type[MouseHand] | type[FingerHand], table: TablePage) -> Hand:
    return hand(table.chrome)


@HANDS
@BOTH
def test_two_players_change_places_as_one_is_dragged_onto_the_other(
    table: TablePage, wide: int, hand: type[MouseHand] | type[FingerHand]
) -> None:
    resize(table.chrome, wide)
    table.best()
    before, fingers = table.rows, made(hand, table)
    (one, _), (_, other), _ = before
    start, end = table.middles(f"{one}, in pair", f"{other}, in pair")
    fingers.press(start)
    fingers.move((start[0] + 12, start[1] + 8))
    until(lambda: ", in pair 2; " in table.reader.find("button", f"{other}, in pair").accessible_name)
    fingers.move(end)
    until(lambda: table.status.startswith(f"With {other}: "))
    assert table.said("#captain .line").startswith("So changed: ")
    assert table.rows == before
    fingers.lift()
    until(lambda: table.rows != before)
    assert table.rows == [[other, before[0][1]], [before[1][0], one], before[2]]
    until(lambda: "change places" in table.status)
    assert "the best found" in table.price
    table.best()
    assert table.rows == before
    wider, room = table.chrome.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
    assert wider <= room
    least = 44 if hand is FingerHand else 24
    assert table.chrome.execute_script(SMALL, least) == []


def test_whole_sides_and_who_sits_out_change_by_two_taps(table: TablePage) -> None:
    resize(table.chrome, NARROW)
    FingerHand(table.chrome)
    table.best()
    before = table.rows
    for tapped in (" and ".join(before[0]), " and ".join(before[1])):
        table.press(f"{tapped}, side")
    until(lambda: table.rows[:2] == [before[1], before[0]])
    (out,) = before[2]
    table.press(f"{out}, sits out")
    until(lambda: table.status.startswith(f"{out}: choose"))
    assert violations(table.chrome) == []
    table.press(f"{before[0][0]}, in pair 2")
    until(lambda: table.rows == [before[1], [out, before[0][1]], [before[0][0]]])
    table.best()


def test_the_keyboard_picks_up_moves_and_drops(table: TablePage) -> None:
    resize(table.chrome, WIDE)
    MouseHand(table.chrome)
    table.best()
    before = table.rows
    table.chrome.execute_script(
        "arguments[0].focus()", table.reader.find("button", f"{before[0][0]}, in pair 1")
    )
    table.reader.press(Keys.ENTER)
    until(lambda: table.status.startswith(f"{before[0][0]}: choose"))
    table.reader.press(Keys.ARROW_RIGHT)
    until(lambda: table.status == "they play together already")
    table.reader.press(Keys.ARROW_DOWN)
    until(lambda: table.status.startswith(f"With {before[1][1]}: "))
    table.reader.press(Keys.ESCAPE)
    until(lambda: table.status == f"{before[0][0]}: put back.")
    assert table.rows == before
    table.reader.press(Keys.SPACE)
    table.reader.press(Keys.ARROW_UP)
    table.reader.press(Keys.ARROW_LEFT)
    table.reader.press(Keys.SPACE)
    until(lambda: table.rows != before)
    assert table.rows == [[before[1][1], before[0][1]], [before[1][0], before[0][0]], before[2]]


def test_a_cancelled_plan_leaves_the_table_as_it_is(table: TablePage) -> None:
    resize(table.chrome, WIDE)
    MouseHand(table.chrome)
    table.best()
    before, files = table.rows, files_of(table.window.folder)
    table.choose("drives a strike", "4,096")
    table.begin_and_cancel("Plan the team", " steps")
    table.begin_and_cancel("Plan the team")
    assert (table.rows, files_of(table.window.folder)) == (before, files)
    table.choose("drives a strike", "256")


def test_the_draw_on_the_table_is_that_of_its_sheets_and_a_reload_keeps_it(table: TablePage) -> None:
    assert len(table.rows) == 3
    before = table.rows
    table.open()
    until(lambda: table.rows == before)
    table.begin_and_cancel("Save the sheets")
    assert list(table.window.folder.glob("captain/*")) == []
    table.press("Save the sheets")
    until(lambda: "captain.pdf" in table.reader.text)
    (found,) = table.window.folder.glob("captain/*/team.json")
    content = json.loads(found.read_text())
    assert [sorted(side["players"]) for side in content["sides"]] == [sorted(side) for side in before[:2]]


def test_a_team_is_put_together_by_ticks_and_by_handicaps(table: TablePage) -> None:
    resize(table.chrome, WIDE)
    table.press("Put a team together")
    until(lambda: next(table.reader.controls("textbox", "name of the team"), None))
    table.reader.find("textbox", "name of the team").send_keys("Two of us")
    table.reader.find("checkbox", "C\u00f8rin Vale").click()
    table.press("Add a player by handicap")
    until(lambda: next(table.reader.controls("textbox", "handicap"), None))
    for field, text in (("name", "Ash"), ("handicap", "+1.5"), ("club speed", "108")):
        fields = [
            one
            for one in table.reader.controls("textbox", field)
            if one.accessible_name != "name of the team"
        ]
        fields[0].send_keys(text)
    assert violations(table.chrome) == []
    table.press("Save the team")
    until(lambda: "Saved as two-of-us.toml" in table.status)
    written = tomllib.loads((table.window.folder / "two-of-us.toml").read_text("utf-8"))
    assert written["players"] == [
        "vale.toml", {"name": "Ash", "handicap_index": -1.5, "club_speed_mph": 108.0},
    ]  # fmt: skip
    until(lambda: "2 players; no opponents" in table.reader.text)
    assert table.chrome.execute_script("return location.hash") == "#/captain/two-of-us.toml"
    table.chrome.back()
    until(lambda: "5 players, of whom 4 play" in table.reader.text)


def test_results_typed_at_lunch_are_written_as_by_hand_and_planned_on(table: TablePage, run: Run) -> None:
    resize(table.chrome, WIDE)
    weekend = table.window.folder / "spring.toml"
    weekend.write_text(WEEKEND, encoding="utf-8")
    assert table.window.ask_json("PUT", "/api/captain/teams/six.toml", {"content": TEAM})[0] == 200
    table.open()
    table.choose("weekend", "Two days")
    until(lambda: "0 won so far of the 3 points needed" in table.reader.text)
    table.chrome.find_element(By.XPATH, "//summary[.='Saturday: four-ball']").click()

    def boxes() -> list[Select]:
        return [
            Select(one)
            for one in table.chrome.find_elements(By.CSS_SELECTOR, "#captain-weekend [open] select")
        ]

    for box, words in zip(boxes(), ("Ash", "Dell", "won, 1 point", "Brome", "Dell"), strict=False):
        box.select_by_visible_text(words)
    table.press("Write these results")
    until(lambda: table.said("#captain-mistake").startswith("Saturday: give every side its result."))
    boxes()[5].select_by_visible_text("halved, \u00bd")
    table.press("Write these results")
    until(lambda: "Dell" in table.said("#captain-mistake"))
    assert weekend.read_bytes() == WEEKEND.encode()
    assert ["422" in line["message"] for line in console(table.chrome)] == [True]
    # What was typed is still there: one name is mended.
    boxes()[4].select_by_visible_text("Carrow")
    table.press("Write these results")
    until(lambda: table.status == "Results written into spring.toml.")
    head = 'format = "four-ball"\n'
    rows = (
        "results = [\n"
        '    { players = ["Ash", "Dell"], points = 1 },\n'
        '    { players = ["Brome", "Carrow"], points = 0.5 },\n'
        "]\n"
    )
    assert weekend.read_bytes() == WEEKEND.replace(head, head + rows).encode()
    until(lambda: "1.5 won so far of the 3 points needed" in table.reader.text)
    table.press("Plan what is left")
    until(lambda: table.status == "What is left is planned.", 240)
    assert table.said("pre.weekend") == run("weekend", str(weekend))[1].strip()
    assert violations(table.chrome) == []


def test_a_session_of_a_weekend_goes_onto_the_table_and_its_own_draw_onto_its_sheets(
    table: TablePage,
) -> None:
    """After the results of Saturday, above: Sunday is left."""
    resize(table.chrome, NARROW)
    FingerHand(table.chrome)
    assert [one.text for one in table.reader.controls("button", "Saturday: change")] == []
    table.press("Sunday: change its draw")
    until(lambda: table.price.startswith("This is the best draw found") and len(table.rows) == 4)
    assert table.said("#captain-table .quiet").startswith("Sunday: links: singles, gross; ")
    assert "A price is that of this session alone" in table.reader.text
    assert "What is asked for has changed" not in table.reader.text
    before = table.rows
    for place in (0, 1):
        table.press(f"{before[place][0]}, place {place + 1}")
    until(lambda: table.rows == [before[1], before[0], *before[2:]])
    until(lambda: "the best found" in table.price or "best draw" in table.price)
    wider, room = table.chrome.execute_script(
        "const view = document.querySelector('#captain'); return [view.scrollWidth, view.clientWidth]"
    )
    assert wider <= room
    assert violations(table.chrome) == []
    table.press("Save the sheets")
    until(lambda: "sunday-own-draw" in table.reader.text and "captain.pdf" in table.reader.text, 240)
    (found,) = table.window.folder.glob("captain/*sunday-own-draw/team.json")
    content = json.loads(found.read_text())
    assert [side["players"] for side in content["sides"]] == table.rows
    assert content["occasion"].startswith("Sunday: the captain's own draw, ")
