"""TOML edits: a file's text with other values, its comments and its order kept as far as possible."""

import json
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from holesim.common.toml_tables import to_toml, toml_key

Path = tuple[str, ...]

_HEADER: Final = re.compile(r"\s*\[[^\[].*\]\s*(#.*)?$")
_LONGEST_VALUE: Final = 100  # lines


@dataclass
class _Piece:
    """Lines of a file that belong together: a header, a key with its value, or what says nothing."""

    lines: list[str]
    table: Path
    header: bool = False
    key: Path | None = None


def edit_toml(text: str, content: Mapping[str, Any]) -> str:
    r"""Return the text of a TOML file changed so that it holds `content`.

    What is alike keeps its lines, with its comments. A file in which a value cannot be told from its
    surroundings, as with several keys in one line, is written anew without comments.

    Examples
    --------
    >>> text = "# mine\nname = 'A' # short\nage = 3\n"
    >>> print(edit_toml(text, {"name": "B", "up": {"deg": 4.0}}), end="")
    # mine
    name = "B" # short
    <BLANKLINE>
    [up]
    deg = 4.0
    """
    try:
        before = tomllib.loads(text)
        if before == content:
            return text
        edited = _edited(_split(text), before, content)
        if tomllib.loads(edited) == content:
            return edited
    except (tomllib.TOMLDecodeError, _CannotError):
        pass
    return to_toml(content)


class _CannotError(Exception):
    """The text is beyond what is edited by the line."""


def _split(text: str) -> list[_Piece]:
    """Return the pieces of a text, in order."""
    pieces: list[_Piece] = []
    table: Path = ()
    lines, place = text.splitlines(), 0
    while place < len(lines):
        line = lines[place]
        place += 1
        if not line.strip() or line.lstrip().startswith("#"):
            pieces.append(_Piece([line], table))
        elif _HEADER.match(line):
            table = _only_path(tomllib.loads(line))
            pieces.append(_Piece([line], table, header=True))
        else:
            held = [line]
            while (parsed := _parsed("\n".join(held))) is None:
                if place == len(lines) or len(held) > _LONGEST_VALUE:
                    raise _CannotError
                held.append(lines[place])
                place += 1
            pieces.append(_Piece(held, table, key=(*table, *_only_path(parsed))))
    return pieces


def _parsed(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _only_path(parsed: Mapping[str, Any]) -> Path:
    """Return the path of what one line holds; it may be a table."""
    if len(parsed) != 1:
        raise _CannotError
    ((key, value),) = parsed.items()
    return (key, *_only_path(value)) if isinstance(value, dict) and value else (key,)


def _leaves(table: Mapping[str, Any], path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Yield the values of a table by their paths; a table that holds nothing is one of them."""
    for key, value in table.items():
        if isinstance(value, dict) and value:
            yield from _leaves(value, (*path, key))
        else:
            yield (*path, key), value


def _edited(pieces: list[_Piece], before: Mapping[str, Any], content: Mapping[str, Any]) -> str:
    old, new = dict(_leaves(before)), dict(_leaves(content))
    keys = {piece.key for piece in pieces if piece.key is not None}
    kept = []
    for piece in pieces:
        if piece.key is None or piece.key in new:
            kept.append(piece)
        if piece.key is not None and piece.key in new and new[piece.key] != old.get(piece.key):
            _set(piece, new[piece.key])
    for path, value in new.items():
        if path not in keys and path not in old:
            _add(kept, path, value)
    _drop_headers(kept, set(new))
    return re.sub(r"\n{3,}", "\n\n", "\n".join(line for piece in kept for line in piece.lines).strip()) + "\n"


def _text_of(value: object) -> str:
    if isinstance(value, dict):
        return "{}"
    return json.dumps(value, ensure_ascii=False)


def _set(piece: _Piece, value: object) -> None:
    """Give a key another value; what stands behind it in its line stays."""
    text = "\n".join(piece.lines)
    ends = [found.start() for found in re.finditer("#", text)]
    end = next((end for end in ends if _parsed(text[:end]) is not None), len(text))
    comment = text[end:] if "\n" not in text[end:] else ""
    start = text.index("=") + 1
    piece.lines = [f"{text[:start]} {_text_of(value)}{f' {comment}' if comment else ''}"]


def _add(pieces: list[_Piece], path: Path, value: object) -> None:
    """Add a key at the end of its table, which is begun if it is not there; or an empty table."""
    if isinstance(value, dict):
        pieces.append(_Piece(["", f"[{_dotted(path)}]"], path, header=True))
        return
    *table, key = path
    last = _last_of(pieces, tuple(table))
    if last is None and table:
        pieces.append(_Piece(["", f"[{_dotted(table)}]"], tuple(table), header=True))
        last = len(pieces) - 1
    place = 0 if last is None else last + 1
    pieces.insert(place, _Piece([f"{toml_key(key)} = {_text_of(value)}"], tuple(table), key=path))


def _last_of(pieces: Sequence[_Piece], table: Path) -> int | None:
    """Return the place of the last header or key of a table."""
    return next(
        (
            place
            for place in reversed(range(len(pieces)))
            if pieces[place].table == table and (pieces[place].header or pieces[place].key is not None)
        ),
        None,
    )


def _drop_headers(pieces: list[_Piece], new: set[Path]) -> None:
    """Take out the headers of tables that are no longer there."""
    tables = {path[:length] for path in new for length in range(1, len(path) + 1)}
    pieces[:] = [piece for piece in pieces if not piece.header or piece.table in tables]


def _dotted(path: Sequence[str]) -> str:
    return ".".join(map(toml_key, path))
