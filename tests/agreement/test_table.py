"""The committed table of agreement is the one this run found. `conftest` sees that this runs last."""

import re
from pathlib import Path

import pytest

from tests.agreement.table import BEGIN, END, PAGE, Agreement, in_order, markdown, read, write


def test_the_committed_table_is_what_this_run_found(agree: Agreement, request: pytest.FixtureRequest) -> None:
    config = request.config
    rows = in_order(agree.rows)
    if config.getoption("--write-agreement"):
        write(rows)
    committed = {row.what: row for row in read()}
    whole = [Path(arg).name for arg in config.args] == config.getini("testpaths")
    if whole and not config.getoption("keyword"):
        assert [row.what for row in rows] == list(committed)
    for row in rows:
        known = committed[row.what]
        assert (row.part, row.source, row.expected, row.tolerance) == (
            known.part, known.source, known.expected, known.tolerance,
        )  # fmt: skip
        # The last digit may differ from machine to machine.
        value, last = _number(known.found)
        assert _number(row.found)[0] == pytest.approx(value, abs=1.1 * last)


def _number(text: str) -> tuple[float, float]:
    """Return the number a cell begins with, and the worth of its last digit."""
    match = re.match(r"-?[\d,]+(\.\d+)?", text)
    assert match, text
    return float(match[0].replace(",", "")), 10.0 ** -max(len(match[1] or "") - 1, 0)


def test_the_page_shows_the_table() -> None:
    text = PAGE.read_text(encoding="utf-8")
    assert text.partition(BEGIN)[2].partition(END)[0] == markdown(read())
