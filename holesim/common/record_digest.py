"""A digest of all that records hold: the name under which what follows from them is kept on disk."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import singledispatch
from hashlib import blake2b
from typing import Any

import numpy as np
import shapely
from pydantic import BaseModel
from shapely.geometry.base import BaseGeometry


def record_digest(*records: object) -> str:
    """Return a digest of the content of records, the same in every process.

    Parameters
    ----------
    records
        Dataclasses, tables, mappings, sequences, sets, enumerations, geometries, arrays, numbers, strings.

    Raises
    ------
    TypeError
        If a record holds anything else.

    Examples
    --------
    >>> record_digest((1, "a")) == record_digest((1, "a"))
    True
    >>> record_digest((1, "a")) == record_digest((1.0, "a"))
    False
    """
    made = blake2b(digest_size=20)
    for record in records:
        for part in _parts(record):
            made.update(part)
    return made.hexdigest()


@singledispatch
def _parts(value: Any) -> Iterator[bytes]:  # noqa: ANN401 - of any kind
    """Yield a value's content; no two values have the same."""
    if not is_dataclass(value):
        raise TypeError(f"no digest of {type(value).__name__}")
    yield f"{type(value).__name__}(".encode()
    for field in fields(value):
        yield f"{field.name}=".encode()
        yield from _parts(getattr(value, field.name))
    yield b");"


@_parts.register
def _(value: int | str | Enum | None) -> Iterator[bytes]:
    yield f"{value!r};".encode()


@_parts.register
def _(value: float) -> Iterator[bytes]:
    yield f"{float(value)!r};".encode()


@_parts.register
def _(value: np.generic) -> Iterator[bytes]:
    yield from _parts(value.item())


@_parts.register
def _(value: np.ndarray) -> Iterator[bytes]:
    yield f"{value.dtype.str}{value.shape};".encode()
    yield value.tobytes()


@_parts.register
def _(value: BaseGeometry) -> Iterator[bytes]:
    shape = shapely.to_wkb(value)
    yield f"{len(shape)};".encode()
    yield shape


@_parts.register
def _(value: BaseModel) -> Iterator[bytes]:
    yield from _parts(value.model_dump())


@_parts.register
def _(value: Mapping) -> Iterator[bytes]:  # type: ignore[type-arg]
    yield f"{len(value)}:".encode()
    for item in value.items():
        yield from _parts(item)


@_parts.register
def _(value: set | frozenset) -> Iterator[bytes]:  # type: ignore[type-arg]
    yield f"{len(value)}{{".encode()
    yield from sorted(b"".join(_parts(one)) for one in value)


@_parts.register
def _(value: tuple | list) -> Iterator[bytes]:  # type: ignore[type-arg]
    yield f"{len(value)}[".encode()
    for one in value:
        yield from _parts(one)
