"""Writing files: each is written elsewhere and then renamed, so that none is left half-written.

None takes the place of a file that the same run of a command has read.
"""

import json
import os
import re
import shutil
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from holesim.errors import InputError, check_not_read, is_there

_NUMBERS: Final = re.compile(r"\[\n[-+\s\d.eE,]+\]")  # lists of numbers are kept on one line
_UNUSUAL: Final = re.compile(r"[^\n -~]")
_DAY: Final = 86400.0  # s
_STOPS: Final = [
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGQUIT") if hasattr(signal, name)
]
_WORK: Final = ".holesim-"  # how the name of what is being written begins


class UnwritableError(InputError):
    """A folder cannot be written to; `why` is what the system says."""

    def __init__(self, folder: Path, why: str | None, remedy: str) -> None:
        super().__init__("--out", "", f"{folder} cannot be written to ({why})", remedy)
        self.why = why


def json_text(content: Mapping[str, Any]) -> str:
    """Return the text of a JSON file, with escapes for characters that could command a terminal."""
    text = json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False)
    text = _UNUSUAL.sub(
        lambda found: found[0] if found[0].isprintable() else json.dumps(found[0])[1:-1], text
    )
    return _NUMBERS.sub(lambda numbers: " ".join(numbers[0].split()), text) + "\n"


def check_folder(folder: Path) -> None:
    """Check that `folder` can be written to, before any work is done.

    Raises
    ------
    InputError
        If it cannot.
    """
    there = folder
    while not is_there(there) and there != there.parent:
        there = there.parent
    if not there.is_dir():
        raise InputError("--out", "", f"{there} is a file", "give a folder")
    if not os.access(there, os.W_OK | os.X_OK):
        raise InputError("--out", "", f"{there} cannot be written to", "give another folder")


def check_file(path: Path) -> None:
    """Check that a file is no folder and none that this run has read, before any work is done.

    Raises
    ------
    InputError
        If it is.
    """
    if is_there(path) and path.is_dir():
        raise InputError("--out", "", f"{path} is a folder", "give a file")
    check_not_read(path)


def write_found(
    name: str, content: Mapping[str, Any], folder: Path, draw: Callable[[Path], object]
) -> list[Path]:
    """Write `content` as `name`.json, and the files that `draw` puts into a folder; return their paths.

    Raises
    ------
    InputError
        If the folder cannot be written to.
    """

    def write(work: Path) -> None:
        (work / f"{name}.json").write_text(json_text(content), encoding="utf-8")
        draw(work)

    return renamed_into(folder, write)


def write_file(path: Path, draw: Callable[[Path], object]) -> list[Path]:
    """Write the file that `draw` puts into a folder, and others that it puts there; return their paths.

    Raises
    ------
    InputError
        If it cannot be written, or has been read by this run.
    """
    check_file(path)
    return renamed_into(path.parent, draw)


def write_text(path: Path, text: str, draw: Callable[[Path], object] = lambda _: None) -> list[Path]:
    """Write a text file, and the files that `draw` puts beside it; return their paths.

    Raises
    ------
    InputError
        If it cannot be written, or has been read by this run.
    """

    def write(work: Path) -> None:
        (work / path.name).write_text(text, encoding="utf-8")
        draw(work)

    return write_file(path, write)


def _is_left(path: Path) -> bool:
    """Return whether this is what a process that has ended was writing."""
    number = re.fullmatch(rf"{re.escape(_WORK)}(\d{{1,9}})-\w{{8}}", path.name)
    if number is None:
        return False
    if sys.platform == "win32":  # where asking whether a process lives would end it
        return time.time() - path.stat().st_mtime > _DAY
    try:
        os.kill(int(number[1]), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False


def remove_leftovers(folder: Path) -> None:
    """Remove from a folder what processes that were killed left half-written there."""
    for left in filter(_is_left, folder.iterdir()):
        if left.is_dir() and not left.is_symlink():
            shutil.rmtree(left, ignore_errors=True)
        else:
            left.unlink(missing_ok=True)


def work_name() -> str:
    """Return how the name of a file or folder that this process is writing begins."""
    return f"{_WORK}{os.getpid()}-"


@contextmanager
def signals_held() -> Iterator[None]:
    """Within, let no signal that asks this process to stop do so; what came does it at the end.

    Between two files that belong together a stop would leave a new one beside an old one. The main thread
    alone hears signals. What ends a process without asking (SIGKILL, a power cut) cannot be held.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    before = {number: signal.signal(number, lambda number, _: came.append(number)) for number in _STOPS}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        for number in came:
            signal.raise_signal(number)


def renamed_into(folder: Path, write: Callable[[Path], object]) -> list[Path]:
    """Let `write` fill a hidden folder within `folder`, then move its files to `folder`; return their paths.

    Hidden folders left by processes that were killed are removed.

    Raises
    ------
    InputError
        If `folder` cannot be written to, or one of the files would replace one that this run has read.
    """
    check_folder(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        remove_leftovers(folder)
        work = Path(tempfile.mkdtemp(prefix=work_name(), dir=folder))
    except OSError as error:
        raise UnwritableError(folder, error.strerror, "give another") from None
    try:
        write(work)
        done, whole = [], sorted(work.iterdir())
        check_not_read(*(folder / made.name for made in whole))
        with signals_held():
            for made in whole:
                made.replace(folder / made.name)
                done.append(folder / made.name)
    except OSError as error:
        raise UnwritableError(folder, error.strerror, "make room there") from None
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return done
