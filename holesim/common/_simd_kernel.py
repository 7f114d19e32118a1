"""Compiled mathematics in single precision, without branches or calls, so that loops over it vectorise.

Every step is cast to 32 bits: numba would widen integers to 64, for which processors lack vector shifts.
"""

from typing import Any

import numpy as np
from numba import njit as njit  # noqa: PLC0414 - kernels import both from here

from holesim.common.kernel_cache import kept as kept  # noqa: PLC0414

single = np.float32
whole = np.int64  # for an argument: a literal integer would have the kernel compiled once more
_integer = np.int32

# Kernels allocate nothing, so that numba need not count references in their loops; callers pass arrays to
# fill. No kernel is called from C, and those called by kernels alone need no entry from Python either, which
# would take as long to compile as the kernel itself.
_BARE: dict[str, Any] = {"error_model": "numpy", "_nrt": False, "no_cfunc_wrapper": True}
_INNER = _BARE | {"no_cpython_wrapper": True}
# Liberties that keep the order of sums: fused multiply-adds, reciprocals, and no negative zero.
_FAST = {"contract", "arcp", "nsz"}

entry = kept(nogil=True, fastmath=_FAST, **_BARE)
"""Compiles a kernel that Python calls; what is compiled is kept on disk."""

part = njit(fastmath=_FAST, **_INNER)
"""Compiles a function that kernels call."""

inline = njit(fastmath=_FAST, forceinline=True, **_INNER)
"""Compiles a function into each kernel that calls it."""


def singles(*values: float) -> tuple[np.float32, ...]:
    """Return values in single precision, as kernels take them."""
    return tuple(np.float32(value) for value in values)


_ONE, _TWO = single(1), single(2)
_EXPONENT = _integer(23)  # bits of mantissa below it
_ROOT_HALF = _integer(0x3F3504F3)  # the bits of √½
_ROUND = single(1.5 * 2**23)  # added and subtracted again, it rounds to a whole number


@inline
def log2(x):  # type: ignore[no-untyped-def]
    """Return the binary logarithm of a positive number, within 2e-7 of itself or absolutely."""
    bits = single(x).view(np.int32)
    exponent = _integer(_integer(bits - _ROOT_HALF) >> _EXPONENT)
    m = _integer(bits - _integer(exponent << _EXPONENT)).view(np.float32) - _ONE  # √½ - 1 to √2 - 1
    s = m / (m + _TWO)
    q = s * s
    # 2·atanh(s)/ln 2, fitted over the interval.
    p = (single(0.59405104) * q + single(0.96162865)) * q + single(2.88539032)
    return single(exponent) + s * p


@inline
def exp2(x):  # type: ignore[no-untyped-def]
    """Return two to a power from -125 to 125, within 2e-7 of itself."""
    x = max(x, single(-125))
    n = x + _ROUND
    r = x - (n - _ROUND)
    p = (single(1.33953e-3) * r + single(9.67077e-3)) * r + single(5.550341e-2)
    p = ((p * r + single(0.24022212)) * r + single(0.6931472)) * r + single(1.00000005)
    power = _integer(single(n).view(np.int32) << _EXPONENT)
    return _integer(single(p).view(np.int32) + power).view(np.float32)
