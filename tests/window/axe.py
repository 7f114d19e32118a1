"""What axe-core, a checker of web pages, finds wrong in a page as it is shown.

axe-core 4.10.3 lies in tests/vendored under its own licence.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from selenium.webdriver import Chrome

_AXE: Final = (Path(__file__).parents[1] / "vendored/axe.min.js").read_text(encoding="utf-8")
_RUN: Final = """
const done = arguments[0];
const told = ({id, nodes}) => `${id}: ${nodes.map(({html}) => html).join(" | ")}`;
axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]})
  .then(({violations}) => done(violations.map(told)));"""
_UNFOLD: Final = """
const folded = 'main:not([hidden]) details, dialog[open] details';
for (const one of document.querySelectorAll(folded)) one.open = true;"""


def violations(chrome: Chrome) -> list[str]:
    """Return what is wrong with what is shown, in its own colours, which are light, and in forced ones.

    What is folded up there is unfolded.
    """
    chrome.execute_script(_UNFOLD)
    own = _violations(chrome)
    with forced_colours(chrome):
        return own + [f"in forced colours {line}" for line in _violations(chrome)]


def _violations(chrome: Chrome) -> list[str]:
    if not chrome.execute_script("return 'axe' in window"):
        chrome.execute_cdp_cmd("Runtime.evaluate", {"expression": _AXE})
    found: list[str] = chrome.execute_async_script(_RUN)
    return found


@contextmanager
def forced_colours(chrome: Chrome) -> Iterator[None]:
    """Show pages in few colours of the user's own."""
    _emulate(chrome, "active")
    try:
        yield
    finally:
        _emulate(chrome, "none")


def _emulate(chrome: Chrome, colours: str) -> None:
    feature: dict[str, Any] = {"features": [{"name": "forced-colors", "value": colours}]}
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", feature)
