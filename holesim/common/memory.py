"""Memory: a process that lives for hours gives back what it no longer needs."""

import ctypes
import sys
from contextlib import suppress
from typing import Final

_TRIM_THRESHOLD: Final = -1  # M_TRIM_THRESHOLD of glibc's mallopt(3)
_KEPT: Final = 200_000  # bytes


def give_back_freed() -> None:
    """Have freed memory given back to the system at once, where the C library is glibc.

    Otherwise it keeps holes between arrays that come and go, some 80 MB after an hour of plans.
    """
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):  # another C library
            ctypes.CDLL(None).mallopt(_TRIM_THRESHOLD, _KEPT)
