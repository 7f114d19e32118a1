"""Session dates: dates as tables, names of files and people write them, and which number is the day."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from holesim.errors import InputError

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip

_NAMED: Final = r"(?P<month>[a-z]{3,9})"
_DAY: Final = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?"
_SURE: Final = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        r"^(?P<year>\d{4})(?P<mark>[-/.])(?P<month>\d{1,2})(?P=mark)(?P<day>\d{1,2})(?!\d)",
        r"^(?P<year>\d{4})(?P<month>\d\d)(?P<day>\d\d)(?:[T ]?\d{4,6})?(?!\d)",
        rf"\b{_DAY}[ .-]*{_NAMED}[ .,-]*(?P<year>\d{{4}}|\d\d)(?![\d:])",
        rf"\b{_NAMED}[ .-]*{_DAY}[ ,-]+(?P<year>\d{{4}})\b",
    )
)
_UNSURE: Final = re.compile(r"^(?:[A-Za-z]+,? )?(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d\d)(?!\d)")
_IN_NAME: Final = re.compile(r"(?<!\d)\d{4}-\d\d-\d\d(?!\d)")
_LONGEST: Final = 60  # letters of a date with a time


@dataclass(frozen=True)
class WrittenDate:
    """A date as it is written, and the day that it is if the day stands first, or the month.

    Attributes
    ----------
    text
        As written.
    day_first, month_first
        The same day where there is no doubt; None where there is no such day.
    """

    text: str
    day_first: date | None
    month_first: date | None


def read_date(text: str) -> WrittenDate | None:
    """Return a date, with or without a time of day; None if it is no date.

    Examples
    --------
    >>> read_date("2026-05-12T09:30:00Z").day_first
    datetime.date(2026, 5, 12)
    >>> read_date("May 12, 2026 2:03 PM").month_first
    datetime.date(2026, 5, 12)
    >>> found = read_date("12/05/2026")
    >>> found.day_first, found.month_first
    (datetime.date(2026, 5, 12), datetime.date(2026, 12, 5))
    >>> read_date("40 drives") is None
    True
    """
    if len(text) > _LONGEST:
        return None
    if found := _UNSURE.search(text):
        first, _, second, year = found.groups()
        written = WrittenDate(text, _day(year, second, first), _day(year, first, second))
        return written if written.day_first or written.month_first else None
    for pattern in _SURE:
        if found := pattern.search(text):
            day = _day(found["year"], _month(found["month"]), found["day"])
            return None if day is None else WrittenDate(text, day, day)
    return None


def _day(year: str, month: str, day: str) -> date | None:
    """Return a day; None if there is no such day."""
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
    except ValueError:
        return None


def _month(word: str) -> str:
    """Return the number of a month, given by its number or the first letters of its name; 0 if it is none."""
    if word.isdigit():
        return word
    known = (k for k, name in enumerate(MONTHS, 1) if name.lower().startswith(word.lower()))
    return "9" if word.lower() == "sept" else str(next(known, 0))


def find_date(name: str) -> date | None:
    """Return the ISO date in the name of a file, if there is just one.

    Examples
    --------
    >>> find_date("range 2026-05-12.csv")
    datetime.date(2026, 5, 12)
    """
    days = {day for text in _IN_NAME.findall(name) if (day := _day(*text.split("-"))) is not None}
    return days.pop() if len(days) == 1 else None


def read_iso_date(text: str, option: str) -> date:
    """Return a date that was given as an option.

    Raises
    ------
    InputError
        If it is not an ISO date.
    """
    day = _day(*text.split("-")) if _IN_NAME.fullmatch(text) else None
    if day is None:
        raise InputError(option, "", f"{text!r:.40} is not a date", "write it as 2026-05-12")
    return day


def is_day_first(dates: Iterable[WrittenDate], file: str) -> bool | None:
    """Return whether dates have the day before the month; None if nothing tells.

    A date with a number over 12 tells it for all. Dates with points have the day first (common practice, no
    source).

    Raises
    ------
    InputError
        If two dates say the opposite.

    Examples
    --------
    >>> is_day_first([read_date("12/05/2026"), read_date("25/05/2026")], "range.csv")
    True
    >>> is_day_first([read_date("12/05/2026")], "range.csv") is None
    True
    """
    open_to_doubt = [written for written in dates if written.day_first != written.month_first]
    day = next((w.text for w in open_to_doubt if w.month_first is None), "")
    month = next((w.text for w in open_to_doubt if w.day_first is None), "")
    if day and month:
        problem = f"has {day:.30} with the day first and {month:.30} with the month first"
        raise InputError(file, "", problem, "write dates as 2026-05-12")
    if day or month:
        return bool(day)
    return True if all("." in written.text for written in open_to_doubt) else None


def say_date(day: date, *, year: bool = True) -> str:
    """Return a date in words.

    Examples
    --------
    >>> say_date(date(2026, 5, 12)), say_date(date(2026, 5, 12), year=False)
    ('12 May 2026', '12 May')
    """
    return f"{day.day} {MONTHS[day.month - 1]}" + (f" {day.year}" if year else "")
