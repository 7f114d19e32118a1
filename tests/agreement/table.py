"""What the checks against the world outside expected and found, kept as one table.

A test states each through the `agree` fixture. A whole run compares the table with the one that is committed,
in `notebooks/agreement.csv` and `notebooks/agreement.md`; `pytest --write-agreement` writes both anew.
"""

import csv
from dataclasses import astuple, dataclass, fields
from pathlib import Path

ROOT = Path(__file__).parents[2]
TABLE = ROOT / "notebooks" / "agreement.csv"
PAGE = ROOT / "notebooks" / "agreement.md"
BEGIN, END = "<!-- agreement -->\n", "<!-- end of agreement -->\n"


@dataclass(frozen=True)
class Row:
    """One check, as the table shows it."""

    part: str
    what: str
    source: str
    expected: str
    found: str
    tolerance: str


class Agreement:
    """Collects rows; every method also asserts."""

    def __init__(self) -> None:
        self.rows: list[Row] = []

    def near(
        self,
        part: str,
        what: str,
        found: float,
        expected: float,
        within: float,
        *,
        unit: str = "",
        source: str,
    ) -> None:
        """Assert that `found` lies within `within` of `expected`."""
        self._within(part, what, found, expected, within, f"±{within:g}{unit}", unit, source)

    def percent(
        self,
        part: str,
        what: str,
        found: float,
        expected: float,
        within: float,
        *,
        unit: str = "",
        source: str,
    ) -> None:
        """Assert that `found` lies within `within` per cent of `expected`."""
        scale = within / 100 * abs(expected)
        self._within(part, what, found, expected, scale, f"±{within:g} %", unit, source)

    def between(
        self, part: str, what: str, found: float, low: float, high: float, *, unit: str = "", source: str
    ) -> None:
        """Assert that `found` lies from `low` to `high`."""
        self._add(
            part, what, source, f"{low:,g} to {high:,g}{unit}", _text(found, (high - low) / 2, unit), "inside"
        )
        assert low <= found <= high, f"{what}: found {found}, expected {low} to {high}"

    def below(self, part: str, what: str, found: float, limit: float, *, unit: str = "", source: str) -> None:
        """Assert that `found`, the largest there is, is no more than `limit`."""
        self._add(part, what, source, f"at most {limit:,g}{unit}", _text(found, limit / 20, unit), "")
        assert found <= limit, f"{what}: found {found}, at most {limit}"

    def _within(
        self,
        part: str,
        what: str,
        found: float,
        expected: float,
        scale: float,
        tolerance: str,
        unit: str,
        source: str,
    ) -> None:
        self._add(part, what, source, _text(expected, scale, unit), _text(found, scale, unit), tolerance)
        assert abs(found - expected) <= scale, f"{what}: found {found}, expected {expected} {tolerance}"

    def _add(self, *cells: str) -> None:
        row = Row(*cells)
        assert all(other.what != row.what for other in self.rows), f"two checks are called {row.what!r}"
        self.rows.append(row)


def _text(value: float, scale: float, unit: str) -> str:
    """Return a value with as many digits as the tolerance makes meaningful: a tenth of it."""
    digits = 0
    while scale / 10 < 0.9 * 10**-digits and digits < 4:
        digits += 1
    return f"{value:,.{digits}f}{unit}"


def read() -> list[Row]:
    """Return the committed table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        lines = csv.reader(file)
        next(lines)
        return [Row(*line) for line in lines]


def write(rows: list[Row]) -> None:
    """Write the table to its file and into the page."""
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file, lineterminator="\n")
        lines.writerow(field.name for field in fields(Row))
        lines.writerows(astuple(row) for row in rows)
    text = PAGE.read_text(encoding="utf-8")
    head, _, rest = text.partition(BEGIN)
    _, _, tail = rest.partition(END)
    PAGE.write_text(head + BEGIN + markdown(rows) + END + tail, encoding="utf-8")


def markdown(rows: list[Row]) -> str:
    """Return the table as the page shows it."""
    lines = ["", "| part | what | expected | found | tolerance | source |", "|---|---|---|---|---|---|"]
    lines += [
        f"| {r.part} | {r.what} | {r.expected} | {r.found} | {r.tolerance} | {r.source} |" for r in rows
    ]
    return "\n".join([*lines, "", ""])


def in_order(rows: list[Row]) -> list[Row]:
    """Return rows by part, in the order in which a shot goes, and as they came within a part."""
    parts = ["air", "impact", "flight", "run", "spread", "strokes", "the job", "a team"]
    return sorted(rows, key=lambda row: parts.index(row.part))
