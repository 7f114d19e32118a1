"""A window on a small course, for the tests of one file."""

from collections.abc import Iterator

import pytest

from tests.window.running import Window, fill, running


@pytest.fixture(scope="module")
def window(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Window]:
    with running(fill(tmp_path_factory.mktemp("folder")), "--demo") as started:
        yield started
