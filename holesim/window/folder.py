"""The folder that a window works in: names inside it, and files read and written whole."""

import hashlib
import os
import re
import stat
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext, suppress
from pathlib import Path
from typing import Final

from filelock import FileLock

from holesim.common import disk_cache
from holesim.common.safe_files import remove_leftovers, work_name
from holesim.errors import InputError

LARGEST_READ: Final = 64_000_000  # bytes
_LONGEST_NAME: Final = 120  # letters of a file or folder
_PATIENCE: Final = 10.0  # s, until another window has saved
_DEEPEST: Final = 4  # names from the folder to a file
_MOST_ENTRIES: Final = 5_000  # of one folder that are looked at
_REFUSED: Final = re.compile(r'[<>:"|?*\\]')
_RESERVED: Final = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", re.IGNORECASE)


class NameRefusedError(InputError):
    """A name that no file of the folder can have."""


class MissingError(InputError):
    """There is no such file."""


class ChangedError(InputError):
    """The file is not the one that the writer last saw."""


def digest(content: bytes) -> str:
    """Return the SHA-256 of a file's content."""
    return hashlib.sha256(content).hexdigest()


def check_name(name: str) -> tuple[str, ...]:
    """Return the parts of a relative name with forward slashes.

    Raises
    ------
    NameRefusedError
        If it could lie outside the folder, is hidden, or is no name on some systems.

    Examples
    --------
    >>> check_name("plans/skerry/card.pdf")
    ('plans', 'skerry', 'card.pdf')
    >>> check_name("../secret.toml")
    Traceback (most recent call last):
    holesim.window.folder.NameRefusedError: ../secret.toml: is not a name in this folder; give another name
    """
    parts = tuple(name.split("/"))
    sound = all(
        part
        and part[0] not in ". "
        and part[-1] not in ". "
        and len(part) <= _LONGEST_NAME
        and part.isprintable()
        and not _REFUSED.search(part)
        and not _RESERVED.match(part)
        for part in parts
    )
    if not sound or len(parts) > _DEEPEST:
        raise NameRefusedError(name, "", "is not a name in this folder", "give another name")
    return parts


class Folder:
    """A folder, and the files that come with the package and can only be read.

    Parameters
    ----------
    root
        The folder.
    builtin
        Files that come with the package, by the names that they have in the window.

    Raises
    ------
    InputError
        If `root` is not a folder.
    """

    def __init__(self, root: Path, builtin: Mapping[str, Path] | None = None) -> None:
        try:
            self.root = root.resolve(strict=True)
        except OSError:
            raise InputError(str(root), "", "does not exist", "give a folder") from None
        if not self.root.is_dir():
            raise InputError(str(root), "", "is not a folder", "give a folder")
        self.builtin = dict(builtin or {})

    def path(self, name: str) -> Path:
        """Return the path of a name, whether or not there is a file.

        Raises
        ------
        NameRefusedError
            If it is not a name inside the folder, or a link stands on the way to it.
        """
        if name in self.builtin:
            return self.builtin[name]
        path = self.root
        for part in check_name(name):
            path /= part
            if _is_link(path):
                raise NameRefusedError(
                    name, "", "is a link, which is not followed", "put the file itself here"
                )
        return path

    def read(self, name: str) -> tuple[bytes, str]:
        """Return a file's content and its SHA-256.

        Raises
        ------
        InputError
            If the name is refused, there is no such file, or it is too large.
        """
        path = self.path(name)
        links = os.O_RDONLY if name in self.builtin else os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0)
        try:
            number = os.open(path, links | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
            with open(number, "rb") as file:  # noqa: PTH123 - an open descriptor
                if not stat.S_ISREG(os.fstat(number).st_mode):
                    raise InputError(name, "", "is not a file", "give a file")
                content = file.read(LARGEST_READ + 1)
        except FileNotFoundError:
            raise _missing(name) from None
        except OSError as error:
            problem = f"cannot be read ({error.strerror})"
            raise InputError(name, "", problem, "check who may read it") from None
        if len(content) > LARGEST_READ:
            raise InputError(
                name, "", f"is larger than {LARGEST_READ / 1e6:g} MB", "leave out what is not needed"
            )
        return content, digest(content)

    def check_there(self, name: str) -> None:
        """Make sure that there is such a file; raise an `InputError` if not."""
        if not self.path(name).is_file():
            raise _missing(name)

    def beside(self, *parts: str) -> Path:
        """Return a path in the folder's hidden part, which no page can name."""
        path = self.root
        for part in (".holesim", *parts):
            path /= part
            if _is_link(path):
                raise NameRefusedError(part, "", "is a link, which is not followed", "take it away")
        return path

    def stamp(self, name: str) -> tuple[int, int, int] | None:
        """Return what changes when a file is written, quick to look up; None if there is no file."""
        try:
            found = self.path(name).lstat()
        except (OSError, InputError):
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    def write(self, name: str, content: bytes, seen: str | None) -> str:
        """Write a file beside and rename it into place; return its SHA-256.

        Parameters
        ----------
        seen
            SHA-256 of the file that the writer last saw; None if there was none.

        Raises
        ------
        ChangedError
            If the disk holds another file.
        InputError
            If the name is refused, or nothing can be written there.
        """
        if name in self.builtin:
            raise NameRefusedError(
                name, "", "comes with holesim and cannot be changed", "save it under another name"
            )
        path = self.path(name)
        try:
            with self.locked():
                path.parent.mkdir(parents=True, exist_ok=True)
                self.path(name)  # still no link on the way
                remove_leftovers(path.parent)
                self._expect(name, seen)
                _replace(path, content)
        except OSError as error:
            problem = f"cannot be written ({error.strerror or 'another window is saving'})"
            raise InputError(name, "", problem, "make room, or check who may write there") from None
        return digest(content)

    def _expect(self, name: str, seen: str | None) -> None:
        """Make sure that the disk holds the file that the writer last saw."""
        try:
            _, held = self.read(name)
        except MissingError:
            held = ""
        if held != (seen or ""):
            problem, remedy = "was changed outside this window", "open it anew, or save under another name"
            if seen is None:
                problem = "is there already"
            elif not held:
                problem = "was removed outside this window"
            raise ChangedError(name, "", problem, remedy)

    def locked(self) -> AbstractContextManager[object]:
        """Return a lock that no two windows hold at once; it lies in the cache, not in the folder."""
        place = disk_cache.folder() / "locks"
        try:
            place.mkdir(parents=True, exist_ok=True)
        except (OSError, RuntimeError):
            return nullcontext()
        return FileLock(place / f"{digest(os.fsencode(self.root))[:32]}.lock", timeout=_PATIENCE)

    def names(self, depth: int = 1) -> Iterator[str]:
        """Yield the names of the files in the folder and in its sub-folders down to a depth, in order."""
        yield from _names(self.root, "", depth)


def _missing(name: str) -> MissingError:
    return MissingError(name, "", "is not in this folder", "look whether it was moved")


def _is_link(path: Path) -> bool:
    return path.is_symlink() or bool(getattr(path, "is_junction", bool)())


def _names(place: Path, before: str, depth: int) -> Iterator[str]:
    folders = []
    with suppress(OSError), os.scandir(place) as entries:
        found = sorted(
            (entry for entry, _ in zip(entries, range(_MOST_ENTRIES), strict=False)), key=lambda e: e.name
        )
        for entry in found:
            name = before + entry.name
            with suppress(InputError):
                check_name(name)
                if entry.is_dir(follow_symlinks=False):
                    folders.append(name)
                elif entry.is_file(follow_symlinks=False):
                    yield name
    if depth:
        for name in folders:
            if not _is_link(place / name.rpartition("/")[2]):
                yield from _names(place / name.rpartition("/")[2], f"{name}/", depth - 1)


def _replace(path: Path, content: bytes) -> None:
    """Write a file beside another and rename it over that, safe against a loss of power."""
    number, beside = tempfile.mkstemp(prefix=work_name(), dir=path.parent)
    try:
        with open(number, "wb") as file:  # noqa: PTH123 - an open descriptor
            file.write(content)
            file.flush()
            os.fsync(number)
        Path(beside).chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_mask())
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
    with suppress(OSError):  # not every system lets a folder be opened
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _mask() -> int:
    """Return which permissions new files lack."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
