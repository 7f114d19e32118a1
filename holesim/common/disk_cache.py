"""A cache on disk of arrays that take long to compute, by the content of all that they are computed from.

It lies in the folder that HOLESIM_CACHE names, or else in the user's cache folder. A damaged file counts as
missing, as does one that was kept under another name; where nothing can be written nothing is kept.
"""

import io
import os
from collections.abc import Iterable
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

import numpy as np
from numpy.typing import NDArray

_MOST: Final = 1500  # files; the oldest are removed
_SPARE: Final = 100  # files more before any is removed
_LOOKS: Final = "0"  # first digit of the names at which files are counted: one in sixteen
_DIGEST: Final = 20  # bytes


def folder() -> Path:
    """Return the folder of the cache."""
    own = os.environ.get("HOLESIM_CACHE")
    if own:
        return Path(own)
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "holesim"


def digest(inputs: Iterable[Any]) -> str:
    """Return a name for the content of arrays, numbers and strings."""
    made = blake2b(digest_size=_DIGEST)
    for given in inputs:
        array = np.ascontiguousarray(given)
        made.update(f"{array.dtype.str}{array.shape};".encode())
        made.update(array.data if array.dtype.kind != "U" else str(given).encode())
    return made.hexdigest()


def load(name: str) -> dict[str, NDArray[Any]] | None:
    """Return the arrays kept under a name, None if they are missing or damaged."""
    try:
        content = (folder() / name).read_bytes()
        if _seal(name, content[_DIGEST:]) != content[:_DIGEST]:
            return None
        with np.load(io.BytesIO(content[_DIGEST:]), allow_pickle=False) as arrays:
            return dict(arrays)
    except (OSError, RuntimeError):  # the user has no home
        return None


def save(name: str, arrays: dict[str, NDArray[Any]]) -> None:
    """Keep arrays under a name, if the folder can be written to."""
    whole = io.BytesIO()
    np.savez(whole, **arrays)  # type: ignore[arg-type]
    content = whole.getvalue()
    with suppress(OSError, RuntimeError):
        place = folder()
        place.mkdir(parents=True, exist_ok=True)
        beside = place / f"{name}.{uuid4().hex}"
        try:
            beside.write_bytes(_seal(name, content) + content)
            beside.replace(place / name)
        finally:
            beside.unlink(missing_ok=True)  # a full disk takes a part of it
        if name.startswith(_LOOKS):  # to list all files takes longer than to write one
            _make_room(place)


def _seal(name: str, content: bytes) -> bytes:
    """Return the digest that stands before content which is kept under a name."""
    return blake2b(name.encode() + b"\0" + content, digest_size=_DIGEST).digest()


def _make_room(place: Path) -> None:
    # Reading the age of every file at each call, or its kind, would take longer than to write one.
    with os.scandir(place) as entries:
        found = list(entries)
    if len(found) > _MOST + _SPARE:
        kept = [entry for entry in found if entry.is_file()]
        for file in sorted(kept, key=lambda file: file.stat().st_mtime)[:-_MOST]:
            Path(file).unlink(missing_ok=True)
