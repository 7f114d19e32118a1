"""Compiled looks from a tee: for fairway at one distance, and for the trees that frame it.

Knows only floats and arrays; `holesim.plan.sights` says what they are.
"""

from math import cos, sin

from holesim.common._simd_kernel import entry, inline, part, single
from holesim.course._ground_map_kernel import look_up
from holesim.shot._relief_kernel import FAIRWAY, TREES


@inline
def _is_fairway(x, y, bearing, distance, grid):  # type: ignore[no-untyped-def]
    east, north = x + distance * sin(bearing), y + distance * cos(bearing)
    return look_up(single(east), single(north), grid) == FAIRWAY


@part
def _fairway(x, y, middle, apart, most, distance, grid):  # type: ignore[no-untyped-def]
    """Return the first and the last bearing of the stretch of fairway that is nearest the middle.

    Bearings are numbered from the middle one, negative to the left; the last is before the first if there is
    no fairway.
    """
    nearest = 0
    while nearest <= most:
        if _is_fairway(x, y, middle - nearest * apart, distance, grid):
            nearest = -nearest
            break
        if _is_fairway(x, y, middle + nearest * apart, distance, grid):
            break
        nearest += 1
    if nearest > most:
        return 0, -1
    first, last = nearest, nearest
    while first > -most and _is_fairway(x, y, middle + (first - 1) * apart, distance, grid):
        first -= 1
    while last < most and _is_fairway(x, y, middle + (last + 1) * apart, distance, grid):
        last += 1
    return first, last


@part
def _trees(x, y, middle, apart, most, distances, grid):  # type: ignore[no-untyped-def]
    """Return how far from the middle trees begin, and the number of their distance; -1 if none do."""
    for i in range(most + 1):
        east, north = sin(middle + i * apart), cos(middle + i * apart)
        for k in range(len(distances)):
            px, py = x + distances[k] * east, y + distances[k] * north
            if look_up(single(px), single(py), grid) == TREES:
                return i * apart, k
    return 0.0, -1


@entry
def look(x, y, middle, apart, most, distance, distances, grid):  # type: ignore[no-untyped-def]
    """Return what is seen about a bearing: fairway at one distance, and trees left and right at several.

    Bearings lie `apart` [rad], `most` of them to either side; for trees they lie twice as far apart.

    Returns whether there is fairway, and the bearing of its middle, or else the one given; then how far left
    of that bearing trees begin [rad, negative] and the number of their distance, -1 if there are none; and
    the same to the right.
    """
    first, last = _fairway(x, y, middle, apart, most, distance, grid)
    found = first <= last
    if found:
        middle += (first + last) / 2 * apart
    left, left_at = _trees(x, y, middle, -2 * apart, most // 2, distances, grid)
    right, right_at = _trees(x, y, middle, 2 * apart, most // 2, distances, grid)
    return found, middle, left, left_at, right, right_at
