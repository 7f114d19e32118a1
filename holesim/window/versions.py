"""Versions: what files of the folder were before the window changed them, in the folder's hidden part."""

from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from holesim.errors import InputError
from holesim.window.folder import Folder, MissingError, digest

_MOST: Final = 10
_STAMP: Final = "%Y-%m-%dT%H-%M-%S"
_LONGEST_FLAT: Final = 100  # letters, beyond which a digest stands for a name


def flat_name(name: str) -> str:
    """Return a name in the folder as that of one file in its hidden part."""
    flat = name.replace("/", "%2F")
    return digest(name.encode("utf-8")) if len(flat) > _LONGEST_FLAT else flat


class Versions:
    """The ten last versions of one file.

    Parameters
    ----------
    name
        Of the file.
    between
        How far apart two versions are at least [s].
    """

    def __init__(self, folder: Folder, name: str, *, between: float = 0.0) -> None:
        self._folder, self._name, self._between = folder, name, between
        self._suffix = Path(name).suffix
        self._place = folder.beside("versions", flat_name(name))

    def to_list(self) -> list[dict[str, Any]]:
        """Return when each was kept, and its size, the newest first."""
        return [{"version": path.stem, "bytes": path.stat().st_size} for path in reversed(self._kept())]

    def _kept(self) -> list[Path]:
        with suppress(OSError):
            return sorted(path for path in self._place.iterdir() if path.suffix == self._suffix)
        return []

    def read(self, stamp: str) -> bytes:
        """Return a version; raise an `InputError` if it is not kept."""
        path = next((path for path in self._kept() if path.stem == stamp), None)
        if path is None:
            raise MissingError(self._name, f"version {stamp:.30}", "is not kept", "choose another")
        return path.read_bytes()

    def replace(self, content: bytes, seen: str | None) -> str:
        """Keep the file that is on disk, and write another in its place; return its SHA-256.

        Raises as `Folder.write` does.
        """
        if seen is not None and self._name not in self._folder.builtin:
            self.keep()
        return self._folder.write(self._name, content, seen)

    def keep(self) -> None:
        """Keep the file that is on disk, unless one was kept a short while ago."""
        now = datetime.now()  # noqa: DTZ005 - as the clock on the wall
        kept = self._kept()
        with suppress(OSError, ValueError, InputError):
            last = datetime.strptime(kept[-1].stem, _STAMP) if kept else datetime.min  # noqa: DTZ007, DTZ901
            if self._between and (now - last).total_seconds() < self._between:
                return
            if kept and now.strftime(_STAMP) <= kept[-1].stem:
                now = last + timedelta(seconds=1)
            raw, _ = self._folder.read(self._name)
            self._place.mkdir(parents=True, exist_ok=True)
            (self._place / f"{now.strftime(_STAMP)}{self._suffix}").write_bytes(raw)
            for path in kept[: max(len(kept) + 1 - _MOST, 0)]:
                path.unlink(missing_ok=True)
