"""The one error a user can mend: what is wrong with an input, where, and what to do; and reading inputs."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path


class InputError(Exception):
    """Something in a file or an option that the user can put right.

    Parameters
    ----------
    file
        Name of the file or option, as the user gave it.
    place
        Feature, ring, table or key within it; may be empty.
    problem
        What is wrong.
    remedy
        What to do about it.
    """

    def __init__(self, file: str, place: str, problem: str, remedy: str) -> None:
        self.file, self.place, self.problem, self.remedy = file, place, problem, remedy
        super().__init__(_line(file, place, problem, remedy))


@dataclass(frozen=True)
class Guess:
    """What a file did not say, or not soundly: where, what was taken for it, and what to do about it."""

    place: str
    taken: str
    remedy: str

    def __str__(self) -> str:
        return _line("", self.place, self.taken, self.remedy)


def _line(file: str, place: str, what: str, remedy: str) -> str:
    """Return one line that any terminal shows, no part of it crowding out the others."""
    where = ": ".join(part for part in (file[:100], place[:150]) if part)
    return printable(f"{where}: {what[:150]}; {remedy}")[:500]


def suggest(word: str, known: Iterable[str]) -> str:
    """Return the known word that `word` was probably meant to be, or an empty string."""
    close = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return close[0] if close else ""


def rather(word: str, known: Iterable[str], otherwise: str) -> str:
    """Return what to do about a word that is not known: the one probably meant, or else `otherwise`."""
    meant = suggest(word, known)
    return f"did you mean {meant}?" if meant else otherwise


def printable(text: str) -> str:
    """Keep a name taken from a file from breaking a line, the terminal or an encoding."""
    return text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)


def read_input(path: str | Path, *, largest: int) -> bytes:
    """Return what is in a file the user named, of at most so many bytes.

    Raises
    ------
    InputError
        If it cannot be read, or is larger.
    """
    try:
        with Path(path).open("rb") as file:
            raw = file.read(largest + 1)
    except (OSError, ValueError) as error:
        problem = getattr(error, "strerror", None) or "cannot be read"
        raise InputError(str(path), "", problem.lower(), "check the path") from None
    if len(raw) > largest:
        raise InputError(
            Path(path).name, "", f"is larger than {largest / 1e6:g} MB", "leave out what is not needed"
        )
    return raw
