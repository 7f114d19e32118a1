"""The one error a user can mend: what is wrong with an input, where, and what to do."""

from collections.abc import Iterable
from difflib import get_close_matches


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
        where = f"{file}: {place}" if place else file
        super().__init__(_one_line(f"{where}: {problem}; {remedy}"))


def suggest(word: str, known: Iterable[str]) -> str:
    """Return the known word that `word` was probably meant to be, or an empty string."""
    close = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return close[0] if close else ""


def _one_line(text: str) -> str:
    """Keep a name taken from a file from breaking the line or the terminal."""
    return "".join(c if c.isprintable() else " " for c in text)[:500]
