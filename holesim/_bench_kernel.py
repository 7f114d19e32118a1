"""Compiled search that can leave off after its first stage or its second: to time the stages apart."""

from holesim._bounce_kernel import LANES
from holesim._math_kernel import entry
from holesim._search_kernel import aim_block, rooms, run_block, settle_block


@entry
def search_up_to(  # type: ignore[no-untyped-def]
    stages, flown, aims, target, grid, surfaces, runs, memory, radius, gravity, numbers, lanes, total, counts,
    special, expected,
):  # fmt: skip
    """Do what `_search_kernel.search` does with every drive along every aim, but only the first `stages`."""
    total[:], counts[:] = 0.0, 0
    b, room, rest = rooms(numbers)
    order, ground = lanes[:LANES], lanes[LANES:]
    for at in range(0, flown.landings.shape[2], LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, target, room)
            if stages > 1:
                run_block(b, order, LANES, grid, surfaces, runs, radius, gravity, rest, ground)
            if stages > 2:
                settle_block(rest, ground, at, flown, aims, a, target, grid, memory, total, counts, special)
            expected[a] = b[0] + rest[0] + total[a]
