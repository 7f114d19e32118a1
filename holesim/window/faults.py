"""Faults as one line for the page."""

import sys
import traceback

from holesim.errors import InputError


def said(error: Exception) -> str:
    """Return an error as one line; one that is not the user's fault is also told on standard error."""
    if isinstance(error, InputError):
        return str(error)
    traceback.print_exception(error, file=sys.stderr)
    return f"this is a bug: {type(error).__name__}: {' '.join(str(error).split())}"[:500]
