"""Compiled expected strokes from a tee, some of whose drives are replayed.

Knows only floats and arrays; `holesim.scoring.strokes_table.score_drives` says what they are.
"""

import numpy as np

from holesim.common._simd_kernel import entry

_MOST_ROUNDS = 60  # of iteration
_CONVERGED = 1e-12  # strokes


@entry
def solve(cost, may_replay, lost, lost_cost, found, replayed):  # type: ignore[no-untyped-def]
    """Fill in what each drive costs as `found`, and the share of it that is `replayed`.

    Return the expected strokes; infinity if every drive is out.
    """
    expected = 4.0
    for _ in range(_MOST_ROUNDS):
        again, total, share = 2.0 + expected, 0.0, 0.0
        for i in range(len(cost)):
            kept = 1.0 - lost[i]
            back, lost_again = may_replay[i] and cost[i] > again, lost_cost[i] > again
            found[i] = kept * (again if back else cost[i])
            if lost[i] > 0.0:
                found[i] += lost[i] * (again if lost_again else lost_cost[i])
            replayed[i] = (kept if back else 0.0) + (lost[i] if lost_again else 0.0)
            total += found[i]
            share += replayed[i]
        left = 1.0 - share / len(cost)
        if left <= 0.0:
            return np.inf
        step = (total / len(cost) - expected) / left
        expected += step
        if abs(step) < _CONVERGED:
            break
    return expected
