"""A real browser without a screen, and hands that press, move and lift in it."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Protocol

import pytest
from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service

Place = tuple[float, float]
"""Right and down from the corner of what is in view [px]."""


@contextmanager
def browser(*logs: str) -> Iterator[Chrome]:
    """Yield Chromium, or skip the test where it is not installed.

    Parameters
    ----------
    logs
        What it logs besides the console.
    """
    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if program is None or driver is None:
        if os.environ.get("HOLESIM_BROWSER") == "required":
            pytest.fail("no chromium and chromedriver: install Debian's chromium and chromium-driver")
        pytest.skip("no chromium and chromedriver")
    options = ChromeOptions()
    options.binary_location = program
    for switch in (
        "headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run", "disable-component-update",
        "disable-background-networking", "disable-sync", "disable-dev-shm-usage",
    ):  # fmt: skip
        options.add_argument(f"--{switch}")
    options.set_capability("goog:loggingPrefs", dict.fromkeys(("browser", *logs), "ALL"))
    with Chrome(options=options, service=Service(driver)) as opened:
        yield opened


def resize(chrome: Chrome, wide: int) -> None:
    """Show pages as on a screen so wide [px]; under 500 px, as on a phone."""
    how = {"width": wide, "height": 900, "deviceScaleFactor": 1, "mobile": wide < 500}
    chrome.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", how)


def console(chrome: Chrome) -> list[Any]:
    """Return what the console says since it was last asked."""
    return list(chrome.get_log("browser"))  # type: ignore[no-untyped-call]


class Hand(Protocol):
    """What presses on a page."""

    def press(self, at: Place) -> None:
        """Press."""

    def move(self, to: Place) -> None:
        """Move while pressed."""

    def lift(self) -> None:
        """Let go where it is, if it presses."""


class MouseHand:
    """A hand with a mouse."""

    def __init__(self, chrome: Chrome) -> None:
        self._chrome, self._at, self._down = chrome, (0.0, 0.0), False
        chrome.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": False})

    def _send(self, kind: str, buttons: int, count: int = 0) -> None:
        x, y = self._at
        event = {"type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": count}
        self._chrome.execute_cdp_cmd("Input.dispatchMouseEvent", event)

    def press(self, at: Place) -> None:
        self._at = at
        self._send("mouseMoved", 0)
        self._send("mousePressed", 1, 1)
        self._down = True

    def move(self, to: Place) -> None:
        self._at = to
        self._send("mouseMoved", 1)

    def lift(self) -> None:
        if self._down:
            self._send("mouseReleased", 0, 1)
        self._down = False


class FingerHand:
    """A finger on the glass."""

    def __init__(self, chrome: Chrome) -> None:
        self._chrome, self._down = chrome, False
        touch = {"enabled": True, "maxTouchPoints": 5}
        chrome.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", touch)

    def _send(self, kind: str, *points: Place) -> None:
        event = {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in points]}
        self._chrome.execute_cdp_cmd("Input.dispatchTouchEvent", event)

    def press(self, at: Place) -> None:
        self._send("touchStart", at)
        self._down = True

    def move(self, to: Place) -> None:
        self._send("touchMove", to)

    def lift(self) -> None:
        if self._down:
            self._send("touchEnd")
        self._down = False
