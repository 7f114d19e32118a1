"""Find the spread of the tour's shots with which expected strokes on a plain hole are the published table.

    python -m tests.searches.find_shot_spread [ROUNDS]

Rewrites `holesim/data/shot_spread.csv`, starting from its content. A wider spread costs more strokes. So in
each round the spread of each length is changed by what shots of that length cost too much or too little.
"""

import sys
from typing import Final

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from holesim.scoring import shot_dispersion, strokes_table
from holesim.scoring.shot_dispersion import LONGEST, SHARE_IN_REACH
from holesim.shot.relief import Lie
from holesim.units import YARD
from tests.conftest import straight_course
from tests.scoring.test_expected_strokes import PIN, at, small_bunkers, solve

Floats = NDArray[np.float64]

GAIN: Final = 1.5  # change of the logarithm of a spread for each stroke too few
ASIDE: Final = {Lie.FAIRWAY: 0.0, Lie.ROUGH: 18 * YARD, Lie.SAND: 18 * YARD}
STEADY: Final = 0.5  # weight of the neighbours, which keeps the curves smooth


def missing(lengths: Floats, lie: Lie) -> Floats:
    """Return by how many strokes the solution is too low at each length."""
    expected = solve(straight_course(areas=small_bunkers() if lie == Lie.SAND else ()))
    x, y = np.full(len(lengths), ASIDE[lie]), PIN - lengths
    table = strokes_table.make_strokes_table(strokes_table.Skill(1.0, 1.0))[lie]
    return np.asarray(
        np.interp(np.hypot(x, PIN - y), strokes_table.DISTANCES, table) - at(expected, lie, x, y)
    )


def main(rounds: int) -> None:
    file = shot_dispersion.SPREAD_FILE
    header = "".join(line for line in file.read_text().splitlines(keepends=True) if line.startswith("#"))
    found = pd.read_csv(file, comment="#").set_index("length_yd")
    for number in range(rounds):
        worst = {}
        for lie in ASIDE:
            name, lengths = lie.name.lower(), found.index.to_numpy(dtype=float)
            reached = (lengths >= 20) & (lengths * YARD <= LONGEST * SHARE_IN_REACH[lie])
            few = missing(lengths[reached] * YARD, lie)
            worst[name] = round(float(np.abs(few).max()), 3)
            padded = np.pad(few, 1, mode="edge")
            few = (1 - STEADY) * few + STEADY * (padded[:-2] + padded[2:]) / 2
            spread = found[name].to_numpy(copy=True)
            last = spread[reached][-1]
            spread[reached] *= np.exp(GAIN * few)
            spread[lengths < 20] *= spread[lengths == 20] / found[name].to_numpy()[lengths == 20]
            beyond = lengths > lengths[reached][-1]
            spread[beyond] *= spread[reached][-1] / last
            found[name] = spread
        sys.stdout.write(f"{number}: {worst}\n")
        file.write_text(header + found.round(2).to_csv())
        shot_dispersion.tour_spread.cache_clear()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 12)
