"""How often the 95 % interval of up minus down covers the answer of 2¹⁷ draws, over many seeds.

    python -m tests.searches.interval_coverage [SEEDS [DRAWS]]

Runs on one open and one tight hole of the demo course, for the demo player's two driver strikes as the
file has them: what is told is how honest the part of the interval is that drives sampled leave open.
"""

import sys
from dataclasses import replace
from functools import cache

import numpy as np

from holesim.course.course import Course
from holesim.course.course_file import load_course
from holesim.data.examples import COURSE, PLAYER, find
from holesim.plan.estimate import Estimate
from holesim.plan.plan import make_plan
from holesim.plan.posterior_draws import known_for_sure
from holesim.plan.round_options import RoundOptions
from holesim.player.player import Player
from holesim.shot.club_speeds import load_player

OPEN, TIGHT = 13, 4


@cache
def _inputs() -> tuple[Course, Player]:
    player = load_player(find(PLAYER))
    return load_course(find(COURSE)), known_for_sure(replace(player, strikes=player.drivers))


def difference(hole: int, seed: int, draws: int) -> Estimate:
    """Return up minus down on a hole."""
    plan = make_plan(*_inputs(), options=RoundOptions(draws=draws, seed=seed), holes=[hole])
    up, down = (next(s for s in plan.tees[0].strikes if s.strike == name) for name in ("up", "down"))
    return up.over(down)


def coverage(hole: int, seeds: int, draws: int, truth: float) -> tuple[float, float]:
    """Return the share of seeds whose interval covers `truth`, and the mean half-width of the intervals."""
    found = [difference(hole, seed, draws) for seed in range(seeds)]
    halves = np.array([over.sampling_half for over in found])
    covered = np.abs(np.array([over.mean for over in found]) - truth) <= halves
    return float(covered.mean()), float(halves.mean())


def main(seeds: int = 200, draws: int = 4096) -> None:
    for name, hole in (("open", OPEN), ("tight", TIGHT)):
        truth = difference(hole, 10**6, 2**17)
        share, half = coverage(hole, seeds, draws, truth.mean)
        print(  # noqa: T201 - a script's result
            f"{name} hole {hole}: up - down {truth.mean:+.4f} ±{truth.sampling_half:.4f} by 2^17 draws; "
            f"the interval of {draws} draws, half-width {half:.4f}, covers it in {share:.1%} of {seeds}"
        )


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
