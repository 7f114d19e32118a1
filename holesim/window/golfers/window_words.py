"""Window words: what the command line calls its options, as the page calls the same things."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from holesim.errors import InputError

_WORDS: Final = (
    (", or see holesim measure --show-columns", ", or say so among the columns"),
    ("give --like, a player file that says how fast the club is", "choose a golfer with a club speed"),
    (" in its header or with --columns", " in its header or among the columns"),
    ("with --show-columns", "among the columns"),
    ("with --columns", "among the columns"),
    ("use --columns", "say so among the columns"),
    ("add --balls range or --balls course", "say which balls they were"),
    ("add --day-first or --month-first", "say which number is the day"),
    ("add --date 2026-05-12 for each table", "give each table its date"),
    ("add --date for each table", "give each table its date"),
    ("--name, --handicap", "the golfer"),
    ("--usual", "the usual strike"),
    ("--like", "the golfer's file"),
    ("--date", "the date"),
)
_HABIT: Final = re.compile(r"; if not, set can_choose = (true|false)$")


def in_window(line: str) -> str:
    """Return a line of the engine in which nothing is an option of the command line.

    Examples
    --------
    >>> in_window("Carry: right is taken as positive; if it is not, use --columns")
    'Carry: right is taken as positive; if it is not, say so among the columns'
    """
    for option, words in _WORDS:
        line = line.replace(option, words)
    return _HABIT.sub("", line)


@contextmanager
def window_faults() -> Iterator[None]:
    """Raise faults that come from within in the words of the page."""
    try:
        yield
    except InputError as error:
        if type(error) is not InputError:  # of the folder, which speaks of no options
            raise
        parts = (error.file, error.place, error.problem, error.remedy)
        raise InputError(*map(in_window, parts)) from None
