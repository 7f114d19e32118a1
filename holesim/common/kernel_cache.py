"""Where compiled kernels are kept on disk: one folder for each version of the kernels' sources.

numba itself compiles a kernel again only if the kernel's own file has changed. But kernels are compiled into
one another, and the files that numba keeps name classes of other modules: after a change to another kernel's
file they would be wrong, or could not be read.
"""

import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from hashlib import blake2b
from pathlib import Path
from shutil import rmtree
from tempfile import TemporaryDirectory, gettempdir
from typing import Any, Final

import numba

from holesim.common.disk_cache import folder
from holesim.common.safe_files import remove_leftovers, work_name

_PACKAGE: Final = Path(__file__).parents[1]
_KEPT_DAYS: Final = 30  # after its last use
_temporary: list[TemporaryDirectory[str]] = []


def set_cache_folder() -> str:
    """Let numba keep compiled kernels in a folder of this version, or in NUMBA_CACHE_DIR; return the folder.

    The folder is in the `disk_cache` or, where that cannot be written to, a temporary one of this process and
    those that it starts. Those that killed processes left are removed.
    This must be called before any kernel is decorated.
    """
    config: Any = numba.config
    if not config.CACHE_DIR:
        config.CACHE_DIR = str(_folder())
    return str(config.CACHE_DIR)


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
    try:
        kernels = folder() / "kernels"
        own = kernels / _digest()
        if not own.exists():
            own.mkdir(parents=True)
            _remove_unused(kernels)
        os.utime(own)
    except (OSError, RuntimeError):  # RuntimeError: the user has no home
        with suppress(OSError):  # another user's
            remove_leftovers(Path(gettempdir()))
        _temporary.append(TemporaryDirectory(prefix=work_name(), ignore_cleanup_errors=True))
        os.environ["NUMBA_CACHE_DIR"] = _temporary[-1].name
        return Path(_temporary[-1].name)
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
