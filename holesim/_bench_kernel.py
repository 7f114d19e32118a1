"""Compiled parts of the search, to the first stage and to the second, by which its stages are timed apart.

They take what `_search_kernel.search` takes, and fill `expected` with what keeps them from being left out.
"""

from holesim._bounce_kernel import LANES
from holesim._math_kernel import entry
from holesim._search_kernel import aim_block, rooms, run_block


@entry
def aims_alone(  # type: ignore[no-untyped-def]
    flown, aims, target, grid, surfaces, runs, memory, radius, gravity, numbers, lanes, total, counts,
    special, expected,
):  # fmt: skip
    """Land every drive along every aim."""
    b, room, _ = rooms(numbers)
    for at in range(0, flown.landings.shape[2], LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, target, room)
            expected[a] = b[0]


@entry
def aims_and_runs(  # type: ignore[no-untyped-def]
    flown, aims, target, grid, surfaces, runs, memory, radius, gravity, numbers, lanes, total, counts,
    special, expected,
):  # fmt: skip
    """Land every drive along every aim and let it run."""
    b, room, rest = rooms(numbers)
    order, ground = lanes[:LANES], lanes[LANES:]
    for at in range(0, flown.landings.shape[2], LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, target, room)
            run_block(b, order, LANES, grid, surfaces, runs, radius, gravity, rest, ground)
            expected[a] = rest[0]
