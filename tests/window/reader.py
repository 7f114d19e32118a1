"""The window's page as it is read and used: by roles, names and words, and by what it tells its server."""

import json
import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import urlsplit

from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import Chrome
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement

from tests.browser import Place
from tests.window.running import Said

PATIENCE: Final = 60.0  # s
START: Final = 240.0  # s: kernels may have to be compiled first
ALL_DRIVES: Final = "4,096 drives"

_ROLES: Final = {
    "button": "button",
    "checkbox": "input[type=checkbox]",
    "combobox": "select, input[list]",
    "progressbar": "progress",
    "radio": "input[type=radio]",
    "slider": "input[type=range]",
    "spinbutton": "input[type=number]",
    "textbox": "input[type=text]",
}
"""What to look for, before its role and its name are asked of the browser."""

_NAMED: Final = """
return [...document.querySelectorAll(arguments[0])].filter(({ariaLabel, labels, textContent}) =>
  [ariaLabel, textContent, ...[...labels ?? []].map(label => label.textContent)]
    .some(words => words?.trim().startsWith(arguments[1])))"""
_FOLDED: Final = "return arguments[0].matches('details:not([open]) > summary')"
_LOOK: Final = r"""
const done = arguments[0];
const all = selector => [...document.querySelectorAll(selector)];
const said = selector => all(selector).map(element => element.innerText.trim()).join(' ').trim();
const words = cell => cell.innerText.trim().replace(/\s+/g, ' ');
const cells = table => [...table.rows].map(row => [...row.cells].map(words));
const hits = () => all('button').map(({ariaLabel}) => /^hole (\d+)(?:, (.*))?$/.exec(ariaLabel));
const look = () => ({
  headline: said('[aria-label="what to hit"]'),
  alert: said('[role=alert]'),
  handles: Object.fromEntries(all('[aria-valuetext]').map(one => [one.ariaLabel, one.ariaValueText])),
  tables: Object.fromEntries(all('table').map(table => [table.caption.innerText, cells(table)])),
  holes: Object.fromEntries(hits().filter(found => found).map(([, hole, hit]) => [hole, hit ?? ''])),
});
requestAnimationFrame(() => done(look()));"""
"""Looks at a frame, where all parts are drawn alike: between two frames the dial may be ahead of the rest."""


@dataclass(frozen=True)
class Look:
    """What the page says in one moment.

    Attributes
    ----------
    headline
        The hole, the choice and the aims.
    alert
        What is told at once, such as that the server does not answer.
    handles
        What each handle stands at, in words, by its name.
    tables
        Rows of cells, by caption.
    holes
        What to hit on each hole, as far as it is known.
    """

    headline: str
    alert: str
    handles: dict[str, str]
    tables: dict[str, list[list[str]]]
    holes: dict[str, str]

    @property
    def wind(self) -> str:
        return self.handles["wind"]

    @property
    def at_rest(self) -> bool:
        """Whether the answer is that of all drives, in this wind."""
        return ALL_DRIVES in self.headline and "about:" not in self.headline

    def table(self, caption: str) -> dict[str, list[str]]:
        """Return the cells of each row of the table whose caption begins so, by the row's first cell."""
        found = next((rows for name, rows in self.tables.items() if name.startswith(caption)), [])
        return {row[0]: row[1:] for row in found if row}

    @property
    def scores(self) -> dict[str, list[str]]:
        return self.table("Scores")

    @property
    def totals(self) -> dict[str, list[str]]:
        """The total of each policy."""
        return next((rows for name in self.tables if "this plan" in (rows := self.table(name))), {})


@dataclass
class Heard:
    """What the page asked of servers, and what it was told.

    Attributes
    ----------
    addresses
        Of all requests.
    asked
        Messages to the server over the WebSocket, in order.
    answered
        Questions and their answers, in the order of the answers.
    """

    addresses: list[str] = field(default_factory=list)
    asked: list[Said] = field(default_factory=list)
    answered: list[tuple[Said, Said]] = field(default_factory=list)

    def answers(self, ask: str) -> list[tuple[Said, Said]]:
        """Return questions of a kind and their answers."""
        return [pair for pair in self.answered if pair[0]["ask"] == ask and not pair[1].get("replaced")]


class Reader:
    """A page of a window in a browser."""

    def __init__(self, chrome: Chrome, origin: str) -> None:
        self.chrome, self.origin = chrome, origin
        self._addresses: list[str] = []
        self._questions: dict[int, Said] = {}

    # --- what it says ---

    def look(self) -> Look:
        return Look(**self.chrome.execute_async_script(_LOOK))

    def until(self, true: Callable[[Look], object], seconds: float = PATIENCE) -> Look:
        """Return the first look at which something is true."""
        end = time.monotonic() + seconds
        while not true(look := self.look()):
            assert time.monotonic() < end, look
            time.sleep(0.06)
        return look

    def until_rest(self, wind: str = "", hole: int | None = None, seconds: float = PATIENCE) -> Look:
        """Return the look at which all drives are answered, in a wind that begins so, on a hole."""
        place = "" if hole is None else f"Hole {hole} "

        def rests(look: Look) -> bool:
            return look.at_rest and look.wind.startswith(wind) and look.headline.startswith(place)

        return self.until(rests, seconds)

    def until_so(self, true: Callable[[], object], seconds: float = PATIENCE) -> None:
        """Wait until something is true that need not stand on the page."""
        end = time.monotonic() + seconds
        while not true():
            assert time.monotonic() < end, self.text
            time.sleep(0.05)

    def until_pdf(self) -> None:
        """Wait until the tab shows a PDF."""
        end = time.monotonic() + 10
        while self.chrome.execute_script("return document.contentType") != "application/pdf":
            assert time.monotonic() < end, self.chrome.current_url
            time.sleep(0.05)

    @property
    def text(self) -> str:
        return self.chrome.find_element(By.TAG_NAME, "body").text

    def until_text(self, text: str, seconds: float = PATIENCE) -> None:
        end = time.monotonic() + seconds
        while text not in (found := self.text):
            assert time.monotonic() < end, found
            time.sleep(0.05)

    # --- what it tells its server ---

    def hear(self) -> Heard:
        """Return what was asked and told since this was last called."""
        heard = Heard()
        for entry in self.chrome.get_log("performance"):  # type: ignore[no-untyped-call]
            message = json.loads(entry["message"])["message"]
            what = message["params"]
            match message["method"]:
                case "Network.requestWillBeSent":
                    heard.addresses.append(what["request"]["url"])
                case "Network.webSocketCreated":
                    heard.addresses.append(what["url"])
                case "Network.webSocketFrameSent":
                    heard.asked.append(question := json.loads(what["response"]["payloadData"]))
                    self._questions[question.get("n", 0)] = question
                case "Network.webSocketFrameReceived":
                    said = json.loads(what["response"]["payloadData"])
                    if said.get("n") in self._questions:
                        heard.answered.append((self._questions.pop(said["n"]), said))
        self._addresses += heard.addresses
        return heard

    def elsewhere(self) -> list[str]:
        """Return the addresses heard of that lie outside the window's own origin."""
        own = urlsplit(self.origin).netloc
        kept = {f"http://{own}", f"ws://{own}", f"blob:http://{own}"}
        return [
            address
            for address in self._addresses
            if not address.startswith(("data:", "about:"))
            and (re.match(r"(?:blob:)?\w+://[^/]*", address) or [""])[0] not in kept
        ]

    # --- its controls ---

    def controls(self, role: str, name: str = "") -> Iterator[WebElement]:
        """Return the controls of a role that are shown and whose name begins so."""
        for element in self.chrome.execute_script(_NAMED, _ROLES[role], name):
            shown = False
            with suppress(StaleElementReferenceException):  # of one that was drawn anew meanwhile
                named = element.aria_role == role and element.accessible_name.startswith(name)
                shown = named and element.is_displayed()
            if shown:
                yield element

    def find(self, role: str, name: str) -> WebElement:
        """Return the first control of a role whose name begins so, once there is one."""
        end = time.monotonic() + PATIENCE
        while (found := next(self.controls(role, name), None)) is None:
            assert time.monotonic() < end, f"no {role} is named {name}"
            time.sleep(0.05)
        return found

    def middle(self, element: WebElement) -> Place:
        """Return the middle of a control, in view."""
        x, y = self.chrome.execute_script(
            """arguments[0].scrollIntoView({block: 'center', behavior: 'instant'});
            const {left, top, width, height} = arguments[0].getBoundingClientRect();
            return [left + width / 2, top + height / 2];""",
            element,
        )
        return x, y

    def focused(self) -> WebElement:
        return self.chrome.switch_to.active_element

    def press(self, *keys: str) -> None:
        """Press keys, wherever the focus is."""
        self.focused().send_keys(*keys)

    def tab_to(self, role: str, name: str) -> None:
        """Go to a control by keys alone, unfolding what is folded up on the way."""
        for _ in range(120):
            ActionChains(self.chrome).send_keys(Keys.TAB).perform()  # also past a choice of files
            focused = self.focused()
            if focused.aria_role == role and focused.accessible_name.startswith(name):
                return
            if self.chrome.execute_script(
                "return arguments[0].matches('details:not([open]) > summary')", focused
            ):
                self.press(Keys.ENTER)
        raise AssertionError(f"the Tab key does not come to {role} {name}")

    def type_wind(self, text: str) -> None:
        field = self.find("textbox", "wind")
        field.clear()
        field.send_keys(text, Keys.ENTER)

    def go(self, hole: int, wind: str, says: str) -> Look:
        """Show a hole in a wind, of which the page says what begins so; return the look at rest."""
        self.find("button", f"hole {hole}").click()
        self.type_wind(wind)
        return self.until_rest(says, hole)

    @contextmanager
    def new_tab(self) -> Iterator[None]:
        """Look at the tab that was just opened; close it at the end."""
        here = self.chrome.current_window_handle
        end = time.monotonic() + 10
        while not (others := [tab for tab in self.chrome.window_handles if tab != here]):
            assert time.monotonic() < end, "no tab was opened"
            time.sleep(0.05)
        self.chrome.switch_to.window(others[0])
        try:
            yield
        finally:
            self.chrome.close()
            self.chrome.switch_to.window(here)
