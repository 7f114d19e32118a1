"""What a page asks over HTTP, as a table."""

import json
from typing import TypeVar

from starlette.requests import Request

from holesim.common.toml_tables import Table, checked
from holesim.errors import InputError

T = TypeVar("T", bound=Table)


async def read_asked(request: Request, kind: type[T]) -> T:
    """Return what a page asks; raise an `InputError` if it makes no sense."""
    try:
        content = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise InputError("question", "", "is not JSON", "reload the page") from None
    if not isinstance(content, dict):
        raise InputError("question", "", "is not a table", "reload the page")
    return checked(content, kind, file="question", kind="question")
