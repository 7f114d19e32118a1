"""Time and accuracy of a whole plan."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from time import perf_counter
from typing import Any

import numpy as np

from holesim.bench import reference
from holesim.bench._timed_search_kernel import search_up_to
from holesim.bench.demo_setup import (
    STRIKES,
    TIGHT,
    aim_headings,
    breeze,
    demo_course,
    demo_drives,
    demo_ground,
    demo_hole,
    demo_player,
    land_drives,
    make_launches,
    make_site,
    make_sites,
    plain_hole,
    search_tee,
    skill_of,
    strokes_from_table,
)
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import least_seconds, most_memory, run_alone, threads_text
from holesim.common import parallel
from holesim.course.course import Firmness
from holesim.course.ground_map import map_ground
from holesim.data.examples import PLAYER, find
from holesim.plan.aim_search import costs, kernel_arguments, prepare
from holesim.scoring import strokes_table
from holesim.scoring.skill import find_skill
from holesim.shot.bounce import run
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import make_draws
from holesim.shot.flight import fly_around, wind_angle_count
from holesim.shot.relief import take_relief
from holesim.units import DEGREE


def plan_rows(sizes: Sizes) -> list[Row]:
    """Return the time and accuracy of scoring every aim on every tee of the demo."""
    size = {"holes": sizes.holes, "tees": sizes.tees, "aims": sizes.aims, "draws": sizes.drives}
    tries = [run_alone(time_plan, size) for _ in range(sizes.repeats)]
    seconds = min((found["seconds"] for found in tries), key=lambda parts: sum(parts.values()))
    total, plain = sum(seconds.values()), _reference_seconds(sizes)
    flown = len(STRIKES) * wind_angle_count(breeze()) * sizes.drives
    scored = len(STRIKES) * sizes.holes * sizes.tees * sizes.aims * sizes.drives
    size_text = ", ".join(f"{number:,} {name}" for name, number in size.items())
    plainly = "scipy, shapely, one by one"
    return [
        Row("plan", f"{size_text}, 2 strikes: on {threads_text(parallel.count())}", total, "s"),
        *(Row("plan", f"of it {part}", value, "s", "the whole", total) for part, value in seconds.items()),
        *stage_rows(sizes),
        Row("plan", "drives scored, for each drive flown", scored, "", "drives flown", flown),
        Row("plan", "drives scored a second", scored / total, "/s", plainly, 1 / plain),
        Row("plan", "by the reference on one thread, extrapolated", scored * plain, "s", "ours", total),
        Row("plan", "most memory of the process", max(found["memory"] for found in tries), "MB"),
        Row(
            "plan",
            "cost of an aim: error compared with the exact stages",
            search_error(sizes),
            "",
            AT_MOST,
            0.02,
        ),
    ]


def time_plan(*, holes: int, tees: int, aims: int, draws: int) -> dict[str, Any]:
    """Return the seconds of each part of a plan, and the most memory [MB].

    It is for a process of its own. Other ground is planned first, so that everything is compiled and nothing
    else is stored.
    """
    plan_seconds(holes=1, tees=1, aims=1, draws=256, firmness="soft")
    seconds = plan_seconds(holes=holes, tees=tees, aims=aims, draws=draws)
    return {"seconds": seconds, "memory": most_memory()}


def plan_seconds(
    *, holes: int, tees: int, aims: int, draws: int, players: int = 1, firmness: Firmness = "medium"
) -> dict[str, float]:
    """Score every aim on every tee, for one player after another, and return the seconds of each part."""
    parts = ("the ground map", "the player's skill", "draws and impact", "flights", "the search")
    seconds = dict.fromkeys(parts, 0.0)
    air = breeze()

    @contextmanager
    def clocked(part: str) -> Iterator[None]:
        start = perf_counter()
        yield
        seconds[part] += perf_counter() - start

    with clocked("the ground map"):
        ground = map_ground(demo_course())
    for _ in range(players):
        find_skill.cache_clear()
        with clocked("the player's skill"):
            player = load_player(find(PLAYER))
            skill = skill_of(player)
        with clocked("draws and impact"):
            points = make_draws(draws, 1, np.random.default_rng(1))
            launches = [make_launches(player, strike, points) for strike in STRIKES]
        with clocked("flights"):
            drives = [prepare(fly_around(struck, air), firmness) for struck in launches]
        with clocked("the search"):
            sites = make_sites(ground, skill, holes, tees)
            parallel.share_out(partial(search_tee, sites, drives, aims), len(sites))
    return seconds


def stage_rows(sizes: Sizes) -> list[Row]:
    """Return the share of each stage in the time of the search on the tight hole, on one thread."""
    hole = demo_hole(TIGHT)
    tee = hole.tees[0]
    site = make_site(hole, tee)
    drives, headings = (
        prepare(fly_around(demo_drives(sizes.drives), breeze())),
        aim_headings(hole, tee, sizes.aims),
    )
    seconds = []
    for stages in (1, 2, 3):
        some = partial(search_up_to, stages, *kernel_arguments(drives, headings, site))
        some()
        seconds.append(least_seconds(sizes.repeats, some))
    names = ("turning, interpolating and trees", "bounce and run", "relief and strokes")
    shares = np.diff(seconds, prepend=0) / seconds[-1]
    return [
        Row("plan", f"of the search {name}", 100 * float(share), "%")
        for name, share in zip(names, shares, strict=True)
    ]


def search_error(sizes: Sizes) -> float:
    """Return the largest error of costs, compared with the exact stages, on six tees with three aims each."""
    ground, worst = demo_ground(), 0.0
    launches = [demo_drives(sizes.drives, strike) for strike in STRIKES]
    for hole in demo_course().holes[::3]:
        tee = hole.tees[0]
        site = make_site(hole, tee)
        headings = aim_headings(hole, tee, 3, apart=4 * DEGREE)
        for struck in launches:
            found = costs(prepare(fly_around(struck, breeze())), headings, site)
            for heading, cost in zip(headings, found, strict=True):
                landings, tracks = land_drives(struck, tee, float(heading))
                lies = take_relief(run(landings, ground), tracks, ground, site.constants)
                worst = max(worst, abs(float(cost) - strokes_table.score_drives(lies).expected))
    return worst


def _reference_seconds(sizes: Sizes) -> float:
    """Return the mean time of the reference for a drive, over drives of several holes and both strikes."""
    launches = [demo_drives(sizes.drives, strike) for strike in STRIKES]
    work = []
    for i in range(sizes.sampled):
        round_, number = divmod(i, sizes.holes)
        hole = demo_course().holes[number]
        tee = hole.tees[i % len(hole.tees)]
        heading = float(aim_headings(hole, tee, 1)[0])
        plain = plain_hole(hole, tee, strokes_from_table(skill_of(demo_player()), hole, demo_ground()))
        work.append((launches[round_ % 2], i, plain, heading))
    air = breeze()
    return least_seconds(1, lambda: [reference.cost_one(*w[:3], air, heading=w[3]) for w in work]) / len(work)
