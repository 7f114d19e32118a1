"""A window on a small course, for all tests that leave its folder as it was, and a browser for each file."""

from collections.abc import Iterator

import pytest
from selenium.webdriver import Chrome

from tests.browser import browser
from tests.window.running import Window, fill, running


@pytest.fixture(scope="session")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    with running(fill(tmp_path_factory.mktemp("folder")), "--demo") as started:
        yield started


@pytest.fixture(scope="module")
def chrome() -> Iterator[Chrome]:
    with browser("performance") as opened:
        yield opened
