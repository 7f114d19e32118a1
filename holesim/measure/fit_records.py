"""Records of a fit that its kernels take: what was measured, what drives tell, and golfers who may be true.

A cell is a strike in a session. The axes of arrays are golfers, cells, drives, kinds of drives, columns and
the seven numbers of a delivery, in that order.
"""

from math import sqrt
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import njit

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

AXES: Final = 7
TERMS: Final = 1 + AXES  # of a delivery: 1, and how far it is off an anchor along each axis
COLUMNS: Final = 14  # as `fit.NOISE` has them: those axes, five of the launch, offline, carry
OFFLINE, CARRY = 12, 13
FACE, PATH = 3, 2
SOUND, WILD = 0, 1
BESIDE: Final = sqrt(3.0)  # of points beside, in standard deviations

# Loops are written out, as numba takes a minute to compile expressions over arrays.
_INNER: Final[dict[str, Any]] = {
    "error_model": "numpy", "no_cfunc_wrapper": True, "no_cpython_wrapper": True, "fastmath": {"contract"},
}  # fmt: skip
compiled = njit(**_INNER)
"""Compiles a function that the kernels of a fit call."""
merged = njit(inline="always", **_INNER)
"""Compiles a large function as a part of the one kernel that calls it, or it would be made fast twice."""


class Measures(NamedTuple):
    """What was measured of drives. A group has one cell and the same columns, those of weights above 0."""

    values: Floats  # (drives, columns)
    group_of: Integers  # (drives,)
    cell_of: Integers  # (groups,)
    weights: Floats  # (groups, columns)
    tells: NDArray[np.bool_]  # (groups,), whether that is enough to tell one delivery from another
    likely: Floats  # (groups,), log density of the noise at its middle
    mishits: Floats  # (groups,), log density of what was measured of a mishit
    flown: bool
    club: tuple[float, ...]  # but for its grip
    side: float
    miss_scale: float
    mishit_share: float
    laws: NDArray[np.float32]  # (balls, numbers of a law)


class Told(NamedTuple):
    """What is measured of drives as a function of the second order of the delivery, near the likeliest.

    A kind is sound or wild. Of groups that do not tell a delivery nothing stands here. With the terms x of a
    delivery, a column measures x·T·x / 2, and T·x behind its first number are its slopes; T is symmetric.
    """

    anchors: Floats  # (drives, kinds, axes), the deliveries about which it is
    launches: Floats  # (drives, kinds, 5, terms, terms), of the ball off the face
    landings: Floats  # (balls, drives, kinds, 2, terms, terms), offline and carry


class Golfers(NamedTuple):
    """Golfers who may have hit the drives, in the order of `ball`; SI units and radians."""

    means: Floats  # (golfers, cells, axes)
    spread: Floats  # (golfers, cells, axes), the path's own beside its link with the face
    grip: Floats  # (golfers, cells), of the club for the speed of the cell
    link: Floats  # (golfers,), slope of path on face
    miss_rate: Floats  # (golfers,)
    ball: Integers  # (golfers,)
    stretch: Floats  # (golfers,), of all carries as they are measured
