"""Speed and accuracy of the stages of a shot: flight, ground look-up, bounce and relief."""

from dataclasses import astuple
from functools import partial
from math import pi
from typing import Any

import numpy as np
import shapely

from holesim.bench import reference
from holesim.bench.demo_setup import (
    TIGHT,
    aim_headings,
    constants_of,
    demo_course,
    demo_drives,
    demo_ground,
    demo_hole,
    demo_player,
    land_drives,
    plain_hole,
    skill_of,
    strokes_from_table,
)
from holesim.bench.records import AT_MOST, Row, Sizes
from holesim.bench.timing import least_seconds, on_threads, threads_text
from holesim.common import parallel
from holesim.shot.air import Air, make_air
from holesim.shot.bounce import run
from holesim.shot.flight import Flights, fly, fly_around, to_hole_frame, wind_angle_count
from holesim.shot.impact import Launches
from holesim.shot.relief import take_relief
from holesim.units import DEGREE, RPM


def flight_rows(sizes: Sizes) -> list[Row]:
    """Return the drives flown in a second, in a wind of 15 mph, on all threads and on one.

    Their number is the one with which numpy is fastest, `reference.BLOCK`.
    """
    air, drives = make_air(wind_mph=15, wind_from_deg=50), demo_drives(4 * sizes.drives)
    seconds = partial(least_seconds, sizes.repeats)
    one_by_one = seconds(lambda: [reference.fly_one(drives, i, air) for i in range(sizes.sampled)])
    single = seconds(lambda: reference.fly_together(drives, air, dtype=np.float32))
    double = seconds(lambda: reference.fly_together(drives, air))
    others = {
        "scipy's solve_ivp, one by one": sizes.sampled / one_by_one,
        "numpy on one thread, float32": 4 * sizes.drives / single,
        "numpy on one thread, float64": 4 * sizes.drives / double,
    }
    rows = []
    for count in (parallel.count(), 1):
        with on_threads(count):
            flown = 4 * sizes.drives * wind_angle_count(air)
            rate = flown / seconds(lambda: fly_around(drives, air))
        what = f"drives flown a second on {threads_text(count)}"
        rows += [Row("flight", what, rate, "/s", name, other) for name, other in others.items()]
    return rows


def accuracy_rows(sizes: Sizes) -> list[Row]:
    """Return the largest errors of landings: of the integration, and of interpolation between wind angles."""
    ours, rng, n = demo_drives(sizes.drives), np.random.default_rng(1), sizes.checked
    assorted = (
        rng.uniform(35, 84, n),
        rng.uniform(3, 22, n) * DEGREE,
        rng.normal(0, 3, n) * DEGREE,
        rng.uniform(900, 6000, n) * RPM,
        rng.normal(0, 12, n) * DEGREE,
    )
    checked = Launches(*(np.append(a[:n], b) for a, b in zip(astuple(ours), assorted, strict=True)))
    rows = []
    for mph, limit in ((0, 1.0), (15, 1.0), (30, 1.0), (40, 2.0)):
        air = make_air(wind_mph=mph, wind_from_deg=50)
        exact = np.array([reference.fly_one(checked, i, air, rtol=1e-10)[0] for i in range(2 * n)])
        found, _ = fly(checked, air)
        off = np.hypot(found.x - exact[:, 0], found.y - exact[:, 1]).max()
        what = f"landing: error compared with scipy at rtol 1e-10, {mph} mph of wind"
        rows.append(Row("accuracy", what, 100 * float(off), "cm", AT_MOST, limit))
    for mph, limit in ((15, 1.0), (30, 1.0), (40, 2.0)):
        air = make_air(wind_mph=mph, wind_from_deg=50)
        off = _between_angles(fly_around(ours, air), ours, air)
        what = f"landing: error of interpolation between wind angles, {mph} mph"
        rows.append(Row("accuracy", what, 100 * off, "cm", AT_MOST, limit))
    return rows


def _between_angles(flights: Flights, launches: Launches, air: Air) -> float:
    """Return the largest distance [m] of an interpolated landing from the one flown along its heading."""
    worst = 0.0
    for heading in np.random.default_rng(2).uniform(0, 2 * pi, 12):
        found = flights.landings_along(heading, (0.0, 0.0))
        direct, _ = to_hole_frame(*fly(launches, air, heading=heading), heading=heading, origin=(0.0, 0.0))
        worst = max(worst, float(np.hypot(found.x - direct.x, found.y - direct.y).max()))
    return worst


def ground_rows(sizes: Sizes) -> list[Row]:
    """Return the points looked up in a second, and the number near an edge that are wrong."""
    course, rng = demo_course(), np.random.default_rng(1)
    outlines = [area.outline for area in course.areas] + ([course.boundary] if course.boundary else [])
    edges = shapely.get_parts(shapely.boundary(np.array(outlines)))
    lengths = shapely.length(edges)
    on = edges[rng.choice(len(edges), 2 * sizes.points, p=lengths / lengths.sum())]
    places = shapely.get_coordinates(shapely.line_interpolate_point(on, rng.random(len(on)), normalized=True))
    turn, out = rng.uniform(0, 2 * pi, len(on)), rng.uniform(0.05, 0.5, len(on))
    places += np.column_stack([out * np.cos(turn), out * np.sin(turn)])
    everything = shapely.multilinestrings(edges)
    shapely.prepare(everything)
    places = places[~shapely.dwithin(everything, shapely.points(places), 0.05)][: sizes.points]
    ground, plain, points = demo_ground(), reference.PlainGround.of(course), places.tolist()
    x, y = np.tile(places.T, 50)
    seconds = partial(least_seconds, sizes.repeats)
    some = points[: 16 * sizes.sampled]
    rate = len(x) / seconds(lambda: ground.at(x, y))
    other = len(some) / seconds(lambda: [plain.at(*point) for point in some])
    wrong = int((ground.at(*places.T) != [plain.at(*point) for point in points]).sum())
    what = f"of {len(points):,} points from 5 to 50 cm off an edge: wrong"
    return [
        Row("ground", "points looked up a second on 1 thread", rate, "/s", "shapely's outlines", other),
        Row("ground", what, wrong, "", AT_MOST, 0),
    ]


def run_rows(sizes: Sizes) -> list[Row]:
    """Return the balls that bounce and run, and that get relief, in a second on the tight hole."""
    hole, ground = demo_hole(TIGHT), demo_ground()
    tee, expected = hole.tees[0], strokes_from_table(skill_of(demo_player()), hole, ground)
    constants, plain = constants_of(hole, tee, expected), plain_hole(hole, tee, expected)
    landings, tracks = land_drives(demo_drives(sizes.drives), tee, float(aim_headings(hole, tee, 1)[0]))
    finishes = run(landings, ground)
    some = np.linspace(0, sizes.drives - 1, 4 * sizes.sampled).astype(int)
    names = ("x", "y", "vx", "vy", "vz", "spin", "time")
    landed = np.column_stack([getattr(landings, name)[some] for name in names])
    paths = [np.vstack([[tee.x, tee.y, 0.0], tracks.points[:, :, i]]) for i in some]

    def run_some() -> list[tuple[float, float, Any]]:
        tilts = landings.tilt[some].tolist()
        balls = zip(landed, tilts, strict=True)
        return [reference.run_one(ball, tilt, plain.ground, plain.surfaces) for ball, tilt in balls]

    stopped = list(zip(run_some(), paths, strict=True))
    what, plainly, seconds = (
        "a second on 1 thread",
        "plain Python, shapely",
        partial(least_seconds, sizes.repeats),
    )
    runs = sizes.drives / seconds(lambda: run(landings, ground))
    reliefs = sizes.drives / seconds(lambda: take_relief(finishes, tracks, ground, constants))
    others = [
        len(some) / seconds(work)
        for work in (run_some, lambda: [reference.apply_rules(stop, path, plain) for stop, path in stopped])
    ]
    return [
        Row("bounce", f"balls bounced and run {what}", runs, "/s", plainly, others[0]),
        Row("relief", f"balls with the Rules applied {what}", reliefs, "/s", plainly, others[1]),
    ]
