"""The error for inputs that the user can correct, and reading files that the user names."""

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

_read: ContextVar[set[tuple[int, int]] | None] = ContextVar("_read", default=None)
"""The device and number of each file read within `inputs_kept`."""


class InputError(Exception):
    """A fault in a file or an option that the user can correct, as one line.

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

    Examples
    --------
    >>> raise InputError("vale.toml", "hand", "is missing", "add it")
    Traceback (most recent call last):
        ...
    holesim.errors.InputError: vale.toml: hand: is missing; add it
    """

    def __init__(self, file: str, place: str, problem: str, remedy: str) -> None:
        self.file, self.place, self.problem, self.remedy = file, place, problem, remedy
        self.also: tuple[InputError, ...] = ()
        """Further faults of the same table, which most readers leave until the first is corrected."""
        super().__init__(_line(file, place, problem, remedy))

    @property
    def faults(self) -> "tuple[InputError, ...]":
        """The faults to tell, each one line."""
        return (self,)


class FaultsError(InputError):
    """Several faults told at once, each one line."""

    def __init__(self, faults: Sequence[InputError]) -> None:
        first = faults[0]
        super().__init__(first.file, first.place, first.problem, first.remedy)
        self._faults = tuple(faults)

    @property
    def faults(self) -> tuple[InputError, ...]:
        """The faults to tell, each one line."""
        return self._faults

    def __str__(self) -> str:
        return "\n".join(map(str, self._faults))


class Faults:
    """Faults that are gathered, so that all of them are told at once.

    Examples
    --------
    >>> faults = Faults()
    >>> for place in ("hand", "sex"):
    ...     with faults.gather():
    ...         raise InputError("vale.toml", place, "is missing", "add it")
    >>> faults.tell()
    Traceback (most recent call last):
        ...
    holesim.errors.FaultsError: vale.toml: hand: is missing; add it
    vale.toml: sex: is missing; add it
    """

    def __init__(self) -> None:
        self._found: dict[str, InputError] = {}

    @contextmanager
    def gather(self) -> Iterator[None]:
        """Keep the faults that are raised within."""
        try:
            yield
        except InputError as error:
            self.add(*(one for fault in error.faults for one in (fault, *fault.also)))

    def add(self, *faults: InputError) -> None:
        """Keep faults, each once."""
        self._found |= {str(fault): fault for fault in faults}

    def tell(self) -> None:
        """Raise what was gathered, if anything was.

        Raises
        ------
        InputError
            If there are faults; `FaultsError` if there are several.
        """
        found = list(self._found.values())
        if found:
            raise found[0] if len(found) == 1 else FaultsError(found)


@dataclass(frozen=True)
class Guess:
    """A gap or a slip in a file: where, what was taken for it, and what to do about it.

    Attributes
    ----------
    places
        Each place by itself, where `place` names several.
    """

    place: str
    taken: str
    remedy: str
    places: tuple[str, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        return _line("", self.place, self.taken, self.remedy)


def _line(file: str, place: str, what: str, remedy: str) -> str:
    """Return one line that any terminal can show; long parts are cut so that none is lost."""
    where = ": ".join(part for part in (file[:100], place[:150]) if part)
    return printable(f"{where}: {what[:150]}; {remedy}")[:500]


def suggest(word: str, known: Iterable[str]) -> str:
    """Return the known word that `word` was probably meant to be, or an empty string.

    Examples
    --------
    >>> suggest("fareway", ["fairway", "green"])
    'fairway'
    """
    close = get_close_matches(word, list(known), n=1, cutoff=0.6)
    return close[0] if close else ""


def rather(word: str, known: Iterable[str], otherwise: str) -> str:
    """Return the remedy for an unknown word: the word probably meant, or else `otherwise`."""
    meant = suggest(word, known)
    return f"did you mean {meant}?" if meant else otherwise


def printable(text: str) -> str:
    """Return text with spaces for characters that could break a line, the terminal or an encoding."""
    return text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)


def is_there(path: Path) -> bool:
    """Return whether a path leads to something; one that the system does not take, as too long, does not.

    Examples
    --------
    >>> is_there(Path.cwd()), is_there(Path("a" * 1000))
    (True, False)
    """
    try:
        return path.exists()
    except OSError:
        return False


def read_input(path: str | Path, *, largest: int) -> bytes:
    """Return the content of a file that the user named, of at most `largest` bytes.

    Raises
    ------
    InputError
        If it cannot be read, or is larger.
    """
    try:
        with Path(path).open("rb") as file:
            raw = file.read(largest + 1)
            if (read := _read.get()) is not None:
                status = os.fstat(file.fileno())
                read.add((status.st_dev, status.st_ino))
    except (OSError, ValueError) as error:
        problem = getattr(error, "strerror", None) or "cannot be read"
        raise InputError(str(path), "", problem.lower(), "check the path") from None
    if len(raw) > largest:
        raise InputError(
            Path(path).name, "", f"is larger than {largest / 1e6:g} MB", "leave out what is not needed"
        )
    return raw


@contextmanager
def inputs_kept() -> Iterator[None]:
    """Let `check_not_read` know, within, which files `read_input` has read."""
    token = _read.set(set())
    try:
        yield
    finally:
        _read.reset(token)


def check_not_read(*paths: Path) -> None:
    """Check that none of the files that are about to be written is one that this run has read.

    Raises
    ------
    InputError
        If one is, under whatever name.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder, inputs_kept():
    ...     file = Path(folder) / "vale.toml"
    ...     _ = file.write_text("hand")
    ...     check_not_read(file)
    ...     _ = read_input(file, largest=10)
    ...     check_not_read(file)
    Traceback (most recent call last):
        ...
    holesim.errors.InputError: --out: vale.toml is what is read; give another file or folder
    """
    for path in paths:
        with suppress(OSError, ValueError):
            status = path.stat()
            if (status.st_dev, status.st_ino) in (_read.get() or ()):
                raise InputError("--out", "", f"{path.name} is what is read", "give another file or folder")
