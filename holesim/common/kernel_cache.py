"""Where compiled kernels are kept on disk: one folder for each version of the kernels' sources.

numba itself compiles a kernel again only if the kernel's own file has changed. But kernels are compiled into
one another, and the files that numba keeps name classes of other modules: after a change to another kernel's
file they would be wrong, or could not be read.
"""

import multiprocessing
import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path
from shutil import rmtree
from tempfile import TemporaryDirectory, TemporaryFile, gettempdir
from typing import Any, Final

import numba
from numba.core.caching import FunctionCache

from holesim.common.disk_cache import folder
from holesim.common.safe_files import remove_leftovers, work_name

_PACKAGE: Final = Path(__file__).parents[1]
_KEPT_DAYS: Final = 30  # after its last use
_temporary: list[TemporaryDirectory[str]] = []
_said: set[str] = set()


def kept(**options: Any) -> Callable[[Callable[..., Any]], Any]:  # noqa: ANN401 - numba's own
    """Return a decorator that compiles a kernel as `numba.njit` does, and keeps on disk what is compiled.

    Where nothing can be written nothing is kept. What cannot be read is compiled again. Either is said once.
    """
    compiled = numba.njit(**options)

    def decorate(function: Callable[..., Any]) -> Any:  # noqa: ANN401 - numba's dispatcher
        kernel = compiled(function)
        if set_cache_folder() is not None:
            # numba's own cache lets a full disk, or a part of a file, end the call.
            kernel._cache = _KernelCache(function)  # noqa: SLF001
        return kernel

    return decorate


class _KernelCache(FunctionCache):
    """What numba keeps of a kernel; to fail at it costs time alone."""

    def load_overload(self, sig: Any, target_context: Any) -> Any:  # noqa: ANN401 - numba's own
        """Return what was compiled for a signature, None if it is not there or is damaged."""
        try:
            return super().load_overload(sig, target_context)
        except Exception:  # noqa: BLE001 - a part of a pickle may raise anything
            _say("a compiled kernel that was kept is damaged: it is compiled again")
            with suppress(OSError):
                self.flush()
            return None

    def save_overload(self, sig: Any, data: Any) -> None:  # noqa: ANN401 - numba's own
        """Keep what was compiled for a signature."""
        try:
            super().save_overload(sig, data)
        except OSError as error:
            _say(f"compiled kernels are not kept, so each run compiles them again: {error.strerror}")
            self.disable()


@cache
def set_cache_folder() -> str | None:
    """Let numba keep compiled kernels in a folder of this version, or in NUMBA_CACHE_DIR; return the folder.

    The folder is in the `disk_cache` or, where that cannot be written to, a temporary one of this process and
    those that it starts. Those that killed processes left are removed. None: no folder can be written to.
    """
    config: Any = numba.config
    try:
        chosen = Path(config.CACHE_DIR) if config.CACHE_DIR else _folder()
        chosen.mkdir(parents=True, exist_ok=True)
        with TemporaryFile(dir=chosen) as trial:
            trial.write(b"trial")
    except (OSError, RuntimeError) as error:  # RuntimeError: the user has no home
        why = getattr(error, "strerror", None) or error
        with suppress(OSError):  # another user's
            remove_leftovers(Path(gettempdir()))
        try:
            _temporary.append(TemporaryDirectory(prefix=work_name(), ignore_cleanup_errors=True))
        except OSError:
            _say(f"compiled kernels are not kept, so each run compiles them again: {why}")
            return None
        _say(f"compiled kernels are kept for this run alone: {why}; HOLESIM_CACHE names another folder")
        chosen = Path(_temporary[-1].name)
        os.environ["NUMBA_CACHE_DIR"] = str(chosen)
    config.CACHE_DIR = str(chosen)
    return str(chosen)


def _say(what: str) -> None:
    """Say something on standard error, once; processes that this one started leave it to this one."""
    if what not in _said and multiprocessing.parent_process() is None:
        print(f"holesim: {what}", file=sys.stderr)  # noqa: T201
    _said.add(what)


@contextmanager
def on_compiling(tell: Callable[[], object]) -> Iterator[None]:
    """Call `tell`, from whatever thread, whenever a kernel is compiled that was not kept on disk."""
    from numba.core import event  # noqa: PLC0415

    class Listener(event.Listener):
        def on_start(self, _: event.Event) -> None:
            tell()

        def on_end(self, _: event.Event) -> None:
            pass

    with event.install_listener("numba:compile", Listener()):
        yield


def _folder() -> Path:
    """Return the folder of this version in the `disk_cache`, and remove those that nobody uses."""
    kernels = folder() / "kernels"
    own = kernels / _digest()
    if not own.exists():
        own.mkdir(parents=True)
        _remove_unused(kernels)
    os.utime(own)
    return own


def _digest() -> str:
    """Return a name for the version of all kernels and of numba."""
    made = blake2b(numba.__version__.encode(), digest_size=10)
    for source in sorted(_PACKAGE.glob("*/_*_kernel.py")):
        made.update(source.name.encode() + source.read_bytes())
    return made.hexdigest()


def _remove_unused(kernels: Path) -> None:
    """Remove the folders of versions that have not been used for `_KEPT_DAYS`."""
    for version in kernels.iterdir():
        with suppress(OSError):
            if version.stat().st_mtime < time.time() - _KEPT_DAYS * 86_400:
                rmtree(version, ignore_errors=True)
