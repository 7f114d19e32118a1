"""How time grows with holes, draws and players, and how the standard error falls with draws."""

from collections.abc import Sequence
from functools import partial
from math import exp, nan
from typing import Final

import numpy as np

from holesim.bench.demo_setup import (
    OPEN,
    STRIKES,
    TIGHT,
    aim_headings,
    demo_drives,
    demo_hole,
    demo_player,
    make_launches,
    make_site,
)
from holesim.bench.plan_rows import plan_seconds
from holesim.bench.records import AT_MOST, Row, ScalingCurve, Sizes, panels_of
from holesim.common import parallel
from holesim.plan.aim_search import costs, prepare
from holesim.shot.air import make_air
from holesim.shot.deliveries import Draws, make_draws
from holesim.shot.flight import fly_around

SCHEMES: Final = ("independent", "common", "quasi-random")

HOLES: Final = {OPEN: ("open", 1 / 10), TIGHT: ("tight", 1 / 4)}
"""Holes on which draws are counted: what each is like, and the upper limit of the quasi-random draws needed
over the independent draws needed."""

DRAWS: Final = 4096  # that a plan scores by default


def scaling_curves(sizes: Sizes) -> list[ScalingCurve]:
    """Return the time of a plan from one tee of each hole, and of its search, by holes, draws and players."""
    usual = {"holes": sizes.holes, "draws": sizes.drives, "players": 1}
    counts = {"holes": sizes.scaled_holes, "draws": sizes.scaled_draws, "players": sizes.scaled_players}
    tries: dict[tuple[int, ...], list[dict[str, float]]] = {
        tuple((usual | {panel: n}).values()): [] for panel, numbers in counts.items() for n in numbers
    }
    # Round after round, so that other work of the machine slows all sizes alike.
    for _ in range(sizes.repeats):
        for (holes, draws, players), found in tries.items():
            found.append(plan_seconds(holes=holes, tees=1, aims=sizes.aims, draws=draws, players=players))
    curves = []
    for panel, numbers in counts.items():
        of_panel = [tries[tuple((usual | {panel: n}).values())] for n in numbers]
        whole = tuple(min(sum(parts.values()) for parts in found) for found in of_panel)
        search = tuple(min(parts["the search"] for parts in found) for found in of_panel)
        curves += [
            ScalingCurve(panel, "a plan", numbers, whole),
            ScalingCurve(panel, "its search", numbers, search),
        ]
    return curves


def draws_curves(sizes: Sizes) -> list[ScalingCurve]:
    """Return the standard error of up minus down by number of draws, for each scheme and hole, calm."""
    air = make_air()
    usual = [prepare(fly_around(demo_drives(sizes.drives, strike), air)) for strike in STRIKES]
    places = []
    for hole in map(demo_hole, HOLES):
        site, headings = make_site(hole, hole.tees[0]), aim_headings(hole, hole.tees[0], 41)
        best = [headings[[np.argmin(costs(drives, headings, site))]] for drives in usual]
        places.append((site, best))

    def up_over_down(scheme: str, draws: int, repeat: int) -> list[float]:
        points = make_scheme_draws(scheme, draws, np.random.default_rng([draws, repeat]))
        struck = (make_launches(demo_player(), *pair) for pair in zip(STRIKES, points, strict=True))
        up, down = (prepare(fly_around(launches, air)) for launches in struck)
        return [float(costs(up, aims[0], site)[0] - costs(down, aims[1], site)[0]) for site, aims in places]

    curves = []
    for scheme in SCHEMES:
        found = [
            np.std(
                parallel.share_out(partial(up_over_down, scheme, draws), sizes.independent), axis=0, ddof=1
            )
            for draws in sizes.counted
        ]
        for (number, (kind, _)), errors in zip(HOLES.items(), np.transpose(found), strict=True):
            curves.append(
                ScalingCurve(f"hole {number}, {kind}", scheme, sizes.counted, tuple(errors.tolist()))
            )
    return curves


def make_scheme_draws(scheme: str, draws: int, rng: np.random.Generator) -> tuple[Draws, Draws]:
    """Return the draws of the two strikes in a scheme."""
    if scheme == "quasi-random":
        both = make_draws(draws, 1, rng)
        return both, both
    first, second = (Draws(rng.uniform(1e-12, 1 - 1e-12, (1, draws, 8))) for _ in STRIKES)
    return first, first if scheme == "common" else second


def draws_rows(curves: Sequence[ScalingCurve]) -> list[Row]:
    """Return how many draws of each scheme give the standard error of the usual number of quasi-random draws.

    The standard error of random draws falls with the square root of their number, so all sizes are pooled.
    """
    rows = []
    for (_, limit), panel in zip(HOLES.values(), panels_of(curves), strict=True):
        *plain, quasi = panel
        exponent, factor = quasi.fit()
        error = exp(factor) * DRAWS**exponent
        for curve in plain:
            needed = float(np.mean(np.square(curve.y) * curve.x)) / error**2
            what = f"draws as sure as {DRAWS:,} quasi-random ones ({error:.5f}), {quasi.panel}: {curve.name}"
            rows.append(Row("draws", what, needed, "", "quasi-random", DRAWS))
        what = f"quasi-random draws needed over independent ones, {quasi.panel}"
        rows.append(Row("draws", what, 1 / (rows[-2].ratio or nan), "", AT_MOST, limit))
    return rows
