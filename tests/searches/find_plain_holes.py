"""Find expected strokes on a plain hole for golfers longer and shorter, straighter and wilder than the tour.

    python -m tests.searches.find_plain_holes

Rewrites `holesim/data/plain_holes.csv` (some minutes). Run it after `find_shot_spread`.
"""

import numpy as np
import pandas as pd

from holesim.common.parallel import share_out
from holesim.course.ground_map import map_ground
from holesim.scoring import strokes_table
from holesim.scoring.expected_strokes import solve_hole
from holesim.scoring.shot_dispersion import PLAIN_FILE, DispersionSkill, club_dispersion
from holesim.scoring.skill import FAIRWAY_WIDTH
from holesim.shot.relief import Lie
from holesim.units import YARD
from tests.conftest import straight_course
from tests.scoring.test_expected_strokes import at

LENGTH = 760  # yd
LENGTH_RATIOS = (0.85, 0.92, 1.0, 1.1, 1.2, 1.32, 1.45, 1.6, 1.75, 1.92, 2.1)
DISPERSION_RATIOS = (0.4, 0.6, 0.8, 1.0, 1.3, 1.7, 1.95, 2.2, 2.55, 3.0, 3.6, 4.2, 5.0, 6.0)
DISTANCES = (*range(10, 60, 10), *range(60, 640, 20))  # yd
SHORT_GAME_BY_DISPERSION = 0.33  # rise of the short-game factor with the dispersion ratio, as in `skill`
ASIDE = {Lie.FAIRWAY: 0.0, Lie.ROUGH: FAIRWAY_WIDTH / 2 + 3}

HEADER = """\
# Expected strokes on a plain hole from so many yards, in the middle of the fairway or in the rough beside it,
# by length_ratio (tour's length over the golfer's) and dispersion_ratio (golfer's misses over the tour's).
# Found by tests.searches.find_plain_holes with holesim.scoring; not measured.
"""


def main() -> None:
    course = straight_course(LENGTH, fairway=FAIRWAY_WIDTH / YARD)
    ground, away = map_ground(course), np.array(DISTANCES) * YARD
    wanted = [
        DispersionSkill(length_ratio, dispersion_ratio)
        for length_ratio in LENGTH_RATIOS
        for dispersion_ratio in DISPERSION_RATIOS
    ]

    def rows(i: int) -> list[dict[str, object]]:
        who = wanted[i]
        table = strokes_table.make_strokes_table(
            strokes_table.Skill(who.length_ratio, 1 + SHORT_GAME_BY_DISPERSION * (who.dispersion_ratio - 1))
        )
        expected = solve_hole(club_dispersion(who), table, course.holes[0], ground)
        found = []
        for lie, aside in ASIDE.items():
            values = at(expected, lie, np.full(len(away), aside), LENGTH * YARD - away)
            by_distance = {str(d): round(float(v), 3) for d, v in zip(DISTANCES, values, strict=True)}
            found.append(
                {
                    "length_ratio": who.length_ratio,
                    "dispersion_ratio": who.dispersion_ratio,
                    "lie": lie.name.lower(),
                }
                | by_distance
            )
        return found

    every = [row for rows_of_one in share_out(rows, len(wanted)) for row in rows_of_one]
    PLAIN_FILE.write_text(HEADER + pd.DataFrame(every).to_csv(index=False))


if __name__ == "__main__":
    main()
