"""What the page's structure tells assistive technology, by axe-core's rules; contrast; forced colours.

axe-core 4.10.3 lies in tests/vendored under its own licence.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from tests.browser import resize
from tests.window.reader import START, Reader
from tests.window.running import fill, running

AXE: Final = (Path(__file__).parents[1] / "vendored/axe.min.js").read_text(encoding="utf-8")
_RUN: Final = """
const done = arguments[0];
const told = ({id, nodes}) => `${id}: ${nodes.map(({html}) => html).join(" | ")}`;
axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
  .then(({violations}) => done(violations.map(told)));"""


@pytest.fixture(scope="module")
def page(chrome: Chrome, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reader]:
    folder = fill(tmp_path_factory.mktemp("folder"))
    (folder / "links.geojson").unlink()
    with running(folder) as window:
        chrome.get(window.address)
        reader = Reader(chrome, window.origin)
        reader.until_rest(seconds=START)
        reader.until(lambda look: look.totals)
        yield reader


def violations(chrome: Chrome) -> list[str]:
    """Return what is wrong with what is shown."""
    if not chrome.execute_script("return 'axe' in window"):
        chrome.execute_cdp_cmd("Runtime.evaluate", {"expression": AXE})
    found: list[str] = chrome.execute_async_script(_RUN)
    return found


def emulate(chrome: Chrome, colours: str) -> None:
    feature: dict[str, Any] = {"features": [{"name": "forced-colors", "value": colours}]}
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", feature)


@pytest.mark.parametrize(("wide", "colours"), [(1280, "none"), (820, "active")])
def test_the_plan_view_breaks_no_rule(page: Reader, wide: int, colours: str) -> None:
    resize(page.chrome, wide)
    emulate(page.chrome, colours)
    try:
        for summary in page.chrome.find_elements(By.CSS_SELECTOR, "#plan details:not([open]) > summary"):
            page.chrome.execute_script("arguments[0].parentElement.open = true", summary)
        page.find("button", "Print").click()
        assert violations(page.chrome) == []
        page.find("button", "Do not print").click()
        page.find("button", "keys").click()
        assert violations(page.chrome) == []
        page.find("button", "Close").click()
    finally:
        emulate(page.chrome, "none")


def test_the_hole_that_is_shown_is_told_in_forced_colours(page: Reader) -> None:
    emulate(page.chrome, "active")
    try:
        edges = page.chrome.execute_script(
            "return [...document.querySelectorAll('.holes button')]"
            ".map(one => [one.ariaCurrent === 'true', getComputedStyle(one).borderTopWidth])"
        )
    finally:
        emulate(page.chrome, "none")
    assert [wide for here, wide in edges if here] == ["3px"]
    assert all(wide == "1px" for here, wide in edges if not here)


def test_an_empty_folder_breaks_no_rule(chrome: Chrome, tmp_path: Path) -> None:
    with running(tmp_path) as window:
        chrome.get("about:blank")
        chrome.get(window.address)
        Reader(chrome, window.origin).until_text("A plan needs a course")
        assert violations(chrome) == []
