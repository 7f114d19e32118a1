"""Compiled search that can leave off after its first stage or its second: to time the stages apart."""

from holesim.common._simd_kernel import entry
from holesim.plan._aim_search_kernel import LANES, aim_block, meet_block, run_block, score_block


@entry
def search_up_to(  # type: ignore[no-untyped-def]
    stages, flown, aims, around, constants, grid, surfaces, runs, drop_cache, b, lanes, bill, expected
):  # fmt: skip
    """Do the first `stages` of what `_aim_search_kernel.search` does with every drive along every aim."""
    bill.known[:], bill.replayed[:], bill.counts[:] = 0.0, 0.0, 0
    landed, ground, listed = lanes[:LANES], lanes[LANES : 2 * LANES], lanes[2 * LANES :]
    for at in range(0, flown.ways.shape[2], LANES):
        for a in range(len(expected)):
            aim_block(b, at, flown, aims, a, constants)
            meet_block(b, at, flown, aims, a, around, listed, constants, grid)
            if stages > 1:
                run_block(b, at, flown, aims, a, landed, listed, ground, grid, surfaces, runs)
            if stages > 2:
                score_block(b, listed, ground, a, constants, grid, drop_cache, bill)
            expected[a] = b[0] + bill.known[a]
