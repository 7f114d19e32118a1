"""How often a fit's 90 % intervals hold the truth, by golfers that the tests draw themselves.

It takes two hours of a processor, so `python -m tests.searches.find_coverage` runs it and writes the file.
"""

import pandas as pd
import pytest

from tests.agreement.table import Agreement
from tests.searches.find_coverage import FILE, SETTINGS

SOURCE = "golfers drawn and measured by the tests' own code (tests/searches/find_coverage.py)"
PART = "the job"


@pytest.fixture(scope="module")
def found() -> pd.DataFrame:
    return pd.read_csv(FILE).set_index("setting")


@pytest.mark.parametrize("setting", SETTINGS)
def test_intervals_hold_the_truth_as_often_as_they_say(
    agree: Agreement, found: pd.DataFrame, setting: str
) -> None:
    """Of all numbers together; the worst and the best stand beside it."""
    held = 100 * found.loc[setting].set_index("number")["held"]
    golfers = found.loc[setting]["golfers"].max()
    ends = f"{held.idxmin()} {held.min():.0f} %, {held.idxmax()} {held.max():.0f} %"
    source = f"{golfers} {SOURCE}; the lowest and highest: {ends}"
    what = f"90 % intervals of a player file that hold the truth, {setting}"
    agree.between(PART, what, float(held.mean()), 85, 95, unit=" %", source=source)
