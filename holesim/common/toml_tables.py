"""TOML files of known keys: they are read strictly, and each fault is one line."""

import hashlib
import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, ClassVar, Final, TypeVar, get_args, get_origin

from pydantic import BaseModel, ConfigDict, ValidationError

from holesim.errors import InputError, printable, read_input, suggest

LARGEST: Final = 200_000  # bytes
MOST_DOTS: Final = 500  # in a line: to read a key of 500 parts takes 1 MB, one of 10,000 takes 400 MB


class Table(BaseModel):
    """A table of a file: its fields are the keys that may stand in it."""

    # Strict, so that neither "106" nor true is a number.
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=True)

    SYNONYMS: ClassVar[dict[str, str]] = {}
    """Other words that people may write for a key, and the key."""

    SIGNS: ClassVar[dict[str, str]] = {}
    """Keys of files of other kinds, and the kind."""

    REPLACED: ClassVar[dict[str, str]] = {}
    """Keys of former versions, and what to write instead."""


T = TypeVar("T", bound=Table)


def read_toml(path: str | Path, model: type[T], kind: str) -> tuple[T, str]:
    """Read a file of one `kind`, such as "player"; return its outermost table and its SHA-256.

    Raises
    ------
    InputError
        If the file cannot be read, is not TOML, or has a key or value that makes no sense.
    """
    file = printable(Path(path).name)
    _check_suffix(file, kind)
    return parse_toml(file, read_input(path, largest=LARGEST), model, kind)


def parse_toml(file: str, raw: bytes, model: type[T], kind: str) -> tuple[T, str]:
    """Return the outermost table of a file's content, and its SHA-256; see `read_toml`."""
    _check_suffix(file, kind)
    for number, line in enumerate(raw.splitlines(), 1):
        if re.match(rb"\s*handicap_index\s*=\s*\+", line):
            # TOML drops the sign, and a plus handicap is a negative number.
            problem = "has a handicap with a plus sign, which would be read without it"
            raise InputError(file, f"line {number}", problem, "write a handicap of +2 as -2.0")
        if line.count(b".") > MOST_DOTS:
            problem = f"has too many dots for a {kind} file"
            raise InputError(file, f"line {number}", problem, "correct it there")
    try:
        content = tomllib.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputError(file, "", "is not UTF-8 text", "save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        problem, _, place = str(error).removesuffix(")").partition(" (at ")
        raise InputError(file, place, f"is not TOML ({_lower(problem)})", "correct it there") from None
    except RecursionError:
        raise InputError(file, "", f"is nested too deeply for a {kind} file", "write it again") from None
    except ValueError:
        raise InputError(file, "", "has a number of too many digits", "correct its numbers") from None
    if not content:
        required = [key for key, field in _keys(model).items() if field.is_required()]
        raise InputError(file, "", "is empty", f"give at least {', '.join(required)}")
    return checked(content, model, file=file, kind=kind), hashlib.sha256(raw).hexdigest()


def _check_suffix(file: str, kind: str) -> None:
    if Path(file).suffix.lower() in (".geojson", ".json"):
        remedy = "if it is the course, give it first"
        raise InputError(file, "", f"is not a {kind} file, which is TOML", remedy)


def checked(content: dict[str, Any], model: type[T], *, file: str, kind: str, place: str = "") -> T:
    """Return a table as its model.

    Parameters
    ----------
    place
        Where it stands in its file, for messages.

    Raises
    ------
    InputError
        If it has a key or value that makes no sense.
    """
    try:
        return model.model_validate(content)
    except ValidationError as error:
        raise explain(error, model, file=file, kind=kind, place=place) from None
    except InputError as error:  # of a table that is also made without a file
        where = ", ".join(part for part in (place, error.place) if part)
        raise InputError(file, where, error.problem, error.remedy) from None


def explain(error: ValidationError, model: type[Table], *, file: str, kind: str, place: str) -> InputError:
    """Return the first error as one line, the others beside it; a misspelt key comes first.

    A key that is missing because it is misspelt is not told.
    """
    problems = sorted(error.errors(), key=lambda e: e["type"] != "extra_forbidden")
    other = next((model.SIGNS[key] for e in problems if (key := _dotted(e["loc"])) in model.SIGNS), "")
    if other and any(e["type"] == "missing" for e in problems):
        return InputError(file, place, f"is a {other} file, not a {kind} file", f"give a {kind} file")
    first, *others = (_explain_one(e, model, file=file, kind=kind, place=place) for e in problems)
    misspelt = [fault.remedy for fault in (first, *others) if fault.remedy.startswith(_MEANT)]
    first.also = tuple(
        fault for fault in others if f"{_MEANT}{fault.place.rpartition('.')[2]}?" not in misspelt
    )
    return first


_MEANT: Final = "did you mean "


def _explain_one(first: Any, model: type[Table], *, file: str, kind: str, place: str) -> InputError:  # noqa: ANN401 - pydantic's details of one error
    """Return one error as one line."""
    key = _dotted(first["loc"])
    where = ", ".join(part for part in (place, key) if part)
    if first["type"] == "extra_forbidden":
        *table, word = first["loc"]
        known = _table_at(model, table)
        meant = known.SYNONYMS.get(str(word)) or suggest(str(word), _keys(known))
        remedy = known.REPLACED.get(str(word)) or (f"{_MEANT}{meant}?" if meant else "take it out")
        # A key of the whole file: below the header of a table it belongs to that table.
        if word in _keys(model) and not isinstance(first["input"], dict):
            remedy = "move it above the first table"
        return InputError(file, where, f"is not a key of a {kind} file", remedy)
    if first["type"] == "missing":
        return InputError(file, where, "is missing", "add it")
    if first["type"] in {"model_type", "dict_type"}:
        remedy = f"write {key} = {{ name = value }}"
        return InputError(file, where, f"is not a table but {_shown(first['input'])}", remedy)
    if first["type"] in {"too_short", "too_long"}:
        count, least = first["ctx"]["actual_length"], first["ctx"].get("min_length")
        limit = f"at most {first['ctx']['max_length']}" if least is None else f"at least {least}"
        return InputError(file, where, f"has {count} of {limit} entries", "correct the list")
    options = re.findall(r"'(\w+)'", first.get("ctx", {}).get("expected", ""))
    meant = suggest(str(first["input"]), options) if isinstance(first["input"], str) else ""
    otherwise = _lower(first["msg"]), f"{_MEANT}{meant}?" if meant else "correct the value"
    problem, remedy = _KINDS.get(first["type"], otherwise)
    return InputError(file, where, f"{problem}, not {_shown(first['input'])}", remedy)


_NUMBER: Final = ("should be a number", "write it as 12.5, without quotes")
_WHOLE: Final = ("should be a whole number", "write it as 12, without quotes")
_LIST: Final = ("should be a list", "write it as [one, another]")
_KINDS: Final = {
    "float_type": _NUMBER,
    "int_type": _WHOLE,
    "int_from_float": _WHOLE,
    "bool_type": ("should be true or false", "write the one or the other, without quotes"),
    "string_type": ("should be text", "put it in quotes"),
    "list_type": _LIST,
    "tuple_type": _LIST,
}
"""What a value of another type should be, and how to write it."""


def _keys(model: type[Table]) -> dict[str, Any]:
    """Return a table's fields by their keys in a file."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _table_at(model: type[Table], path: list[int | str]) -> type[Table]:
    """Return the table at a path of keys below another."""
    parts = list(path)
    while parts:
        annotation = _keys(model)[str(parts.pop(0))].annotation
        while get_origin(annotation) in (dict, list) and parts:
            parts.pop(0)  # a name or an index
            annotation = get_args(annotation)[-1]
        model = next(_tables_in(annotation))
    return model


def _tables_in(annotation: Any) -> Iterator[type[Table]]:  # noqa: ANN401 - any annotation
    """Yield the tables in an annotation."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        yield annotation
    for part in get_args(annotation):
        yield from _tables_in(part)


def _dotted(path: tuple[int | str, ...]) -> str:
    """Return a path of keys as text; entries of a list are numbered from one."""
    text = ""
    for part in path:
        text += f" {part + 1}" if isinstance(part, int) else f".{part}"
    return text.removeprefix(".")


def _shown(value: Any) -> str:  # noqa: ANN401
    """Return a value for a message; nested values and huge integers are not written out."""
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > 1e15:
        return "such a huge number"
    return f"{value!r:.60}" if isinstance(value, str) else str(value)


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


# --- writing ---


def to_toml(table: Mapping[str, Any], path: tuple[str, ...] = ()) -> str:
    """Return a table of numbers, texts and tables as TOML; an empty table keeps its header.

    Examples
    --------
    >>> print(to_toml({"name": "Wenna", "strikes": {"up": {"attack_deg": 3.5}}, "clubs": {"3-wood": {}}}))
    name = "Wenna"
    <BLANKLINE>
    [strikes.up]
    attack_deg = 3.5
    <BLANKLINE>
    [clubs.3-wood]
    <BLANKLINE>
    <BLANKLINE>
    """
    values = {key: value for key, value in table.items() if not isinstance(value, dict)}
    header = bool(path) and (bool(values) or not table)
    text = f"[{'.'.join(map(toml_key, path))}]\n" if header else ""
    text += "".join(
        f"{toml_key(key)} = {json.dumps(value, ensure_ascii=False)}\n" for key, value in values.items()
    )
    text += "\n" if values or header else ""
    return text + "".join(
        to_toml(value, (*path, key)) for key, value in table.items() if isinstance(value, dict)
    )


def toml_key(key: str) -> str:
    """Return a key as it is written in a file."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key, ensure_ascii=False)
