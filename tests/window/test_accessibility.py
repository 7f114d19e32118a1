"""What the plan's structure tells assistive technology, by axe-core's rules; contrast; forced colours.

Tests of the other views look at those by the same rules, where they have them open.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver import Chrome

from tests.browser import resize
from tests.window.axe import forced_colours, violations
from tests.window.reader import START, Reader
from tests.window.running import fill, running


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


@pytest.mark.parametrize("wide", [1280, 820])
def test_the_plan_view_breaks_no_rule(page: Reader, wide: int) -> None:
    resize(page.chrome, wide)
    page.find("button", "Print").click()
    assert violations(page.chrome) == []
    page.find("button", "Do not print").click()
    page.find("button", "keys").click()
    assert violations(page.chrome) == []
    page.find("button", "Close").click()


@pytest.mark.parametrize(
    ("view", "says"),
    [
        ("Draw", "Nothing is selected"),
        ("Golfers", "Measured drives"),
        ("Coach", "Golfers of the folder"),
        ("Captain", "Put a team together"),
        ("After the round", "Which plan was played?"),
    ],
)
def test_a_view_that_is_entered_says_which_it_is_and_breaks_no_rule(
    page: Reader, view: str, says: str
) -> None:
    resize(page.chrome, 820)
    page.find("button", view).click()
    page.until_text(says)
    assert page.chrome.title == view
    assert violations(page.chrome) == []
    page.find("button", "Plan").click()
    page.until_rest()


def test_the_hole_that_is_shown_is_told_in_forced_colours(page: Reader) -> None:
    with forced_colours(page.chrome):
        edges = page.chrome.execute_script(
            "return [...document.querySelectorAll('.holes button')]"
            ".map(one => [one.ariaCurrent === 'true', getComputedStyle(one).borderTopWidth])"
        )
    assert [wide for here, wide in edges if here] == ["3px"]
    assert all(wide == "1px" for here, wide in edges if not here)


def test_an_empty_folder_breaks_no_rule(chrome: Chrome, tmp_path: Path) -> None:
    with running(tmp_path) as window:
        chrome.get("about:blank")
        chrome.get(window.address)
        Reader(chrome, window.origin).until_text("A plan needs a course")
        assert violations(chrome) == []
