"""Who gives a lesson, and when: the coach's name, mark and notes, and the date."""

from dataclasses import dataclass
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Final

from PIL import Image

from holesim.errors import InputError, printable, read_input

_LARGEST_LOGO: Final = 5_000_000  # bytes
_MOST_PIXELS: Final = 16_000_000
_LARGEST_NOTES: Final = 10_000  # bytes
_LONGEST_NAME: Final = 200  # characters
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class LessonHead:
    """What a coach adds to a lesson.

    Attributes
    ----------
    by
        The coach's name.
    logo
        The coach's mark: the bytes of a PNG or a JPEG.
    notes
        What the coach writes to the pupil.
    day
        The day of the lesson.
    """

    by: str = ""
    logo: bytes | None = None
    notes: str = ""
    day: date | None = None

    def text(self) -> str:
        """Return who gives the lesson, and when.

        Examples
        --------
        >>> LessonHead(by="Tova Lind", day=date(2026, 5, 12)).text()
        'with Tova Lind, 12 May 2026'
        """
        when = "" if self.day is None else f"{self.day.day} {_MONTHS[self.day.month - 1]} {self.day.year}"
        return ", ".join(filter(None, (f"with {self.by}" if self.by else "", when)))


def read_lesson_head(
    *, by: str = "", logo: Path | None = None, notes: Path | None = None, day: str = ""
) -> LessonHead:
    """Return what a coach adds to a lesson.

    Parameters
    ----------
    logo
        A PNG or a JPEG.
    notes
        A file of plain text.
    day
        As 2026-05-12.

    Raises
    ------
    InputError
        If a file cannot be read, is too large or is not what it should be, or the day is none.
    """
    if len(by) > _LONGEST_NAME:
        raise InputError("--by", "", f"is longer than {_LONGEST_NAME} letters", "give a name")
    return LessonHead(
        by=by.strip(),
        logo=None if logo is None else _read_logo(logo),
        notes="" if notes is None else _read_notes(notes),
        day=_read_day(day) if day else None,
    )


def _read_logo(path: Path) -> bytes:
    raw, file, remedy = read_input(path, largest=_LARGEST_LOGO), printable(path.name), "give a smaller one"
    try:
        with Image.open(BytesIO(raw), formats=("PNG", "JPEG")) as image:
            wide, tall = image.size
            if wide * tall <= _MOST_PIXELS:
                image.load()
    except Image.DecompressionBombError:
        wide, tall = _MOST_PIXELS, 2
    except (OSError, SyntaxError, ValueError):
        problem = "is not a picture that can be read"
        raise InputError(file, "", problem, "give a PNG or a JPEG") from None
    if wide * tall > _MOST_PIXELS:
        raise InputError(file, "", f"has more than {_MOST_PIXELS / 1e6:g} million pixels", remedy)
    return raw


def _read_notes(path: Path) -> str:
    raw, file = read_input(path, largest=_LARGEST_NOTES), printable(path.name)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(file, "", "is not UTF-8 text", "save it as UTF-8") from None
    if "\0" in text:
        raise InputError(file, "", "is not plain text", "save it as plain text")
    return text.strip()


def _read_day(day: str) -> date:
    try:
        return date.fromisoformat(day)
    except ValueError:
        raise InputError("--date", "", f"{day!r:.30} is not a date", "write it as 2026-05-12") from None
