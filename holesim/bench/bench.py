"""Bench: how fast and how true the kernels are, against general-purpose references, all in one run."""

import json
import os
import platform
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, astuple, dataclass, replace
from datetime import UTC, datetime
from functools import cache, partial
from hashlib import sha256
from math import exp, nan, pi
from pathlib import Path
from time import perf_counter
from typing import Any, Final

import numba
import numpy as np
import shapely
from numpy.typing import NDArray

from holesim._version import __version__
from holesim.bench import reference
from holesim.bench._timed_search_kernel import search_up_to
from holesim.common import parallel
from holesim.course.course import Course, Firmness, load_course
from holesim.course.ground_map import GroundMap, map_ground
from holesim.course.holes import Hole, Tee
from holesim.data.examples import COURSE, PLAYER, find
from holesim.plan import sights
from holesim.plan.aim_search import SearchDrives, Site, costs, kernel_arguments, prepare
from holesim.plan.evaluator import Conditions
from holesim.plan.plan import make_plan
from holesim.player.player import Player, StrikeName, stranger
from holesim.scoring import score_chances, strokes_table
from holesim.scoring.dispersion import ClubDispersion, club_dispersion
from holesim.scoring.expected_strokes import ExpectedStrokes, make_misses, solve_hole, strokes_by_distance
from holesim.scoring.skill import find_dispersion_skill, find_skill
from holesim.shot.air import Air, make_air
from holesim.shot.bounce import run, surfaces
from holesim.shot.club_speeds import load_player
from holesim.shot.deliveries import Draws, make_draws, sample
from holesim.shot.flight import Flights, Landings, Tracks, fly, fly_around, to_hole_frame, wind_angle_count
from holesim.shot.impact import Launches, choose_head, impact
from holesim.shot.landing import land
from holesim.shot.relief import HoleConstants, Lie, blank_drop_cache, hole_constants, take_relief
from holesim.team.handicap import Format
from holesim.team.planner import plan_team
from holesim.team.team_file import Team
from holesim.units import DEGREE, MPH, RPM

Floats = NDArray[np.float64]

STRIKES: Final[tuple[StrikeName, ...]] = ("up", "down")
FORMATS: Final[tuple[Format, ...]] = ("greensomes", "foursomes", "four-ball", "stroke")  # the slowest first
SCHEMES: Final = ("independent", "common", "quasi-random")
OPEN: Final = 13
TIGHT: Final = 4
HOLES: Final = {OPEN: ("open", 1 / 10), TIGHT: ("tight", 1 / 4)}
"""Where draws are counted: by number what the hole is like, and the most draws that quasi-random ones should
need, as a share of independent ones."""

DRAWS: Final = 4096  # that a plan scores by default
AT_MOST: Final = "at most"  # what a measure is held against where that is a limit
_REACH: Final = 220.0  # m from the tee, where the line of the hole is aimed at


@dataclass(frozen=True, kw_only=True)
class Sizes:
    """How much is measured. `first` is what a process does whose compilation is timed."""

    repeats: int = 3
    drives: int = 8192
    checked: int = 24
    sampled: int = 64
    points: int = 20_000
    holes: int = 18
    tees: int = 3
    aims: int = 41
    scaled_holes: tuple[int, ...] = (3, 6, 12, 18)
    scaled_draws: tuple[int, ...] = (1024, 2048, 4096, 8192)
    scaled_players: tuple[int, ...] = (1, 2, 4)
    counted: tuple[int, ...] = (256, 512, 1024, 2048, 4096, 8192, 16384)
    independent: int = 64
    starts: int = 7
    members: int = 12
    first: str = "plan_hole"
    thread_counts: tuple[int, ...] = (1, 2, 8)


@dataclass(frozen=True)
class Row:
    """A row of the table: a measure, and what it is held against, a reference's or a limit, in one unit."""

    part: str
    what: str
    value: float
    unit: str = ""
    reference: str = ""
    against: float = nan

    @property
    def ratio(self) -> float | None:
        """The measure over the reference's."""
        return None if np.isnan(self.against) or self.reference == AT_MOST else self.value / self.against

    @property
    def met(self) -> bool | None:
        """Whether a limit is met; nothing where the row has none."""
        return self.value <= self.against if self.reference == AT_MOST else None

    def to_dict(self) -> dict[str, Any]:
        """Return the row as bench.json has it."""
        against = None if np.isnan(self.against) else self.against
        return asdict(self) | {"against": against, "ratio": self.ratio, "met": self.met}


@dataclass(frozen=True)
class ScalingCurve:
    """Something measured at several sizes, for a panel of a picture."""

    panel: str
    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]

    def fit(self) -> tuple[float, float]:
        """Return exponent and logarithm of the factor of the power law through the points."""
        exponent, factor = np.polyfit(np.log(self.x), np.log(self.y), 1)
        return float(exponent), float(factor)


@dataclass(frozen=True)
class Result:
    """What a run of the bench found, and on what."""

    date: str
    versions: dict[str, str]
    processor: str
    threads: int
    rows: tuple[Row, ...]
    scaling: tuple[ScalingCurve, ...]
    draws: tuple[ScalingCurve, ...]

    def to_dict(self) -> dict[str, Any]:
        """Return the content of bench.json."""
        return asdict(self) | {"rows": [row.to_dict() for row in self.rows]}


def make_bench(sizes: Sizes | None = None, *, progress: Callable[[str], None] | None = None) -> Result:
    """Measure everything.

    Parameters
    ----------
    progress
        Called with the name of each part before it is measured.
    """
    sizes, tell, rows = sizes or Sizes(), progress or (lambda _: None), []
    for name, part in (
        ("the flight", flight_rows),
        ("accuracy", accuracy_rows),
        ("the ground", ground_rows),
        ("bounce and relief", run_rows),
        ("what remains", remains_rows),
        ("a whole plan", plan_rows),
        ("a team", team_rows),
    ):
        tell(name)
        rows += part(sizes)
    tell("scaling")
    scaling = scaling_curves(sizes)
    rows += [Row("scaling", f"seconds of {c.name}, as a power of {c.panel}", c.fit()[0]) for c in scaling]
    tell("the draws that count")
    draws = draws_curves(sizes)
    rows += draws_rows(draws)
    tell("start-up, and a first compilation")
    rows += start_rows(sizes)
    tell("the same answer on any number of threads")
    rows += answer_rows(sizes)
    return Result(
        date=datetime.now(UTC).date().isoformat(),
        versions={
            "holesim": __version__,
            "python": platform.python_version(),
            "numpy": np.__version__,
            "numba": numba.__version__,
        },
        processor=_processor(),
        threads=parallel.count(),
        rows=tuple(rows),
        scaling=tuple(scaling),
        draws=tuple(draws),
    )


# --- kernels against references -------------------------------------------------------------------


def flight_rows(sizes: Sizes) -> list[Row]:
    """Return how many drives fly in a second, in a wind of 15 mph, on all threads and on one.

    There are as many as numpy is fastest with, `reference.BLOCK`.
    """
    air, drives = make_air(wind_mph=15, wind_from_deg=50), _drives(4 * sizes.drives)
    seconds = partial(_seconds, sizes.repeats)
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
        with _on_threads(count):
            flown = 4 * sizes.drives * wind_angle_count(air)
            rate = flown / seconds(lambda: fly_around(drives, air))
        what = f"drives flown a second on {_threads(count)}"
        rows += [Row("flight", what, rate, "/s", name, other) for name, other in others.items()]
    return rows


def accuracy_rows(sizes: Sizes) -> list[Row]:
    """Return the largest errors of landings: against a tight tolerance, and between angles of the wind."""
    ours, rng, n = _drives(sizes.drives), np.random.default_rng(1), sizes.checked
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
        what = f"landing off scipy's at rtol 1e-10, {mph} mph of wind"
        rows.append(Row("accuracy", what, 100 * float(off), "cm", AT_MOST, limit))
    for mph, limit in ((15, 1.0), (30, 1.0), (40, 2.0)):
        air = make_air(wind_mph=mph, wind_from_deg=50)
        off = _between_angles(fly_around(ours, air), ours, air)
        what = f"landing interpolated between wind angles, {mph} mph"
        rows.append(Row("accuracy", what, 100 * off, "cm", AT_MOST, limit))
    return rows


def _between_angles(flights: Flights, launches: Launches, air: Air) -> float:
    """Return how far [m] the worst landing lies from where it is when flown along its own heading."""
    worst = 0.0
    for heading in np.random.default_rng(2).uniform(0, 2 * pi, 12):
        found = flights.landings_along(heading, (0.0, 0.0))
        direct, _ = to_hole_frame(*fly(launches, air, heading=heading), heading=heading, origin=(0.0, 0.0))
        worst = max(worst, float(np.hypot(found.x - direct.x, found.y - direct.y).max()))
    return worst


def ground_rows(sizes: Sizes) -> list[Row]:
    """Return how many points are looked up in a second, and how many near an edge are not as outlined."""
    course, rng = _course(), np.random.default_rng(1)
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
    ground, plain, points = _ground(), reference.PlainGround.of(course), places.tolist()
    x, y = np.tile(places.T, 50)
    seconds = partial(_seconds, sizes.repeats)
    some = points[: 16 * sizes.sampled]
    rate = len(x) / seconds(lambda: ground.at(x, y))
    other = len(some) / seconds(lambda: [plain.at(*point) for point in some])
    wrong = int((ground.at(*places.T) != [plain.at(*point) for point in points]).sum())
    what = f"of {len(points):,} points from 5 to 50 cm off an edge, looked up wrong"
    return [
        Row("ground", "points looked up a second on 1 thread", rate, "/s", "shapely's outlines", other),
        Row("ground", what, wrong, "", AT_MOST, 0),
    ]


def run_rows(sizes: Sizes) -> list[Row]:
    """Return how many balls run out, and are judged by the Rules, in a second, on the tight hole."""
    hole, ground = _hole(TIGHT), _ground()
    tee, expected = hole.tees[0], _remains(_skill(_player()), hole, ground)
    seen, plain = _target(hole, tee, expected), _plain_hole(hole, tee, expected)
    landings, tracks = _from_tee(_drives(sizes.drives), tee, float(_aims(hole, tee, 1)[0]))
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
    what, plainly, seconds = "a second on 1 thread", "plain Python, shapely", partial(_seconds, sizes.repeats)
    runs = sizes.drives / seconds(lambda: run(landings, ground))
    settles = sizes.drives / seconds(lambda: take_relief(finishes, tracks, ground, seen))
    others = [
        len(some) / seconds(work)
        for work in (run_some, lambda: [reference.settle_one(rest, path, plain) for rest, path in stopped])
    ]
    return [
        Row("bounce", f"balls run out {what}", runs, "/s", plainly, others[0]),
        Row("relief", f"balls judged by the Rules {what}", settles, "/s", plainly, others[1]),
    ]


# --- what remains ---------------------------------------------------------------------------------


def remains_rows(sizes: Sizes) -> list[Row]:
    """Return what working back the demo's holes takes, and how many places of the open one in a second."""
    with tempfile.TemporaryDirectory() as empty:
        found = _alone("work_back", {"holes": sizes.holes}, HOLESIM_CACHE=empty)
    with tempfile.TemporaryDirectory() as empty:
        alone = _alone("work_back", {"first": OPEN - 1}, HOLESIM_CACHE=empty, HOLESIM_THREADS="1")
    whole = found["maps"] + found["chances"]
    what = f"{sizes.holes} holes and their scores, worked back on {_threads(parallel.count())}"
    each = f"places and lies of hole {OPEN} worked back a second on 1 thread"
    plainly = "9 targets, plain Python, shapely"
    return [
        Row("remains", what, whole, "s", AT_MOST, 20),
        Row("remains", "of it the scores", found["chances"], "s", "the whole", whole),
        Row("remains", "read back from disk instead", found["again"], "s", "worked back", whole),
        Row("remains", each, alone["places"] / alone["maps"], "/s", plainly, 1 / _best_shot_seconds()),
    ]


def work_back(*, holes: int = 1, first: int = 0) -> dict[str, float]:
    """Return the seconds that holes of the demo take to be worked back, and to be read back, and places.

    Another hole goes first, so that everything is compiled.
    """
    ground, chances_by_mean = _ground(), strokes_table.make_score_chances(_skill(_player()))

    def maps(played: Sequence[Hole]) -> list[ExpectedStrokes]:
        return parallel.share_out(lambda i: _worked_back(played[i], ground), len(played))

    def chances(played: Sequence[Hole], known: Sequence[ExpectedStrokes]) -> None:
        def work(i: int) -> None:
            score_chances.solve_scores(known[i], chances_by_mean, ground)

        parallel.share_out(work, len(played))

    played, other = _course().holes[first : first + holes], [_hole(3)]
    chances(other, maps(other))
    start = perf_counter()
    known = maps(played)
    worked = perf_counter()
    chances(played, known)
    done = perf_counter()
    chances(played, maps(played))
    places = sum(
        int((expected.policy.lengths != 0).sum()) for expected in known if expected.policy is not None
    )
    return {
        "maps": worked - start, "chances": done - worked, "again": perf_counter() - done, "places": places,
    }  # fmt: skip


def _best_shot_seconds() -> float:
    """Return what the reference takes to look at 9 targets from one place, each by all outcomes."""
    hole = _hole(OPEN)
    plain = _plain_hole(hole, hole.tees[0], _worked_back(hole, _ground()))
    (place,) = shapely.get_coordinates(hole.line.interpolate(hole.line.length - _REACH / 2)).tolist()
    east, north = np.meshgrid((-4.0, 0.0, 4.0), (-4.0, 0.0, 4.0))
    targets = list(zip((hole.pin[0] + east).flat, (hole.pin[1] + north).flat, strict=True))
    misses, golfer = make_misses()[:2].astype(float), _bag(_player())
    return _seconds(1, lambda: reference.best_shot(place, Lie.FAIRWAY, golfer, misses, targets, plain))


# --- a whole plan ---------------------------------------------------------------------------------


def plan_rows(sizes: Sizes) -> list[Row]:
    """Return what scoring every aim on every tee of the demo takes, and how true it is."""
    size = {"holes": sizes.holes, "tees": sizes.tees, "aims": sizes.aims, "draws": sizes.drives}
    tries = [_alone("whole_plan", size) for _ in range(sizes.repeats)]
    seconds = min((found["seconds"] for found in tries), key=lambda parts: sum(parts.values()))
    total, plain = sum(seconds.values()), _cost_one_seconds(sizes)
    flown = len(STRIKES) * wind_angle_count(_breeze()) * sizes.drives
    scored = len(STRIKES) * sizes.holes * sizes.tees * sizes.aims * sizes.drives
    size_text = ", ".join(f"{number:,} {name}" for name, number in size.items())
    plainly = "scipy, shapely, one by one"
    return [
        Row("plan", f"{size_text}, 2 strikes: on {_threads(parallel.count())}", total, "s"),
        *(Row("plan", f"of it {part}", value, "s", "the whole", total) for part, value in seconds.items()),
        *stage_rows(sizes),
        Row("plan", "drives scored, so often each one flown", scored, "", "drives flown", flown),
        Row("plan", "drives scored a second", scored / total, "/s", plainly, 1 / plain),
        Row("plan", "by the reference on one thread, extrapolated", scored * plain, "s", "ours", total),
        Row("plan", "most memory of the process", max(found["memory"] for found in tries), "MB"),
        Row("plan", "cost of an aim off that by the exact stages", search_error(sizes), "", AT_MOST, 0.02),
    ]


def whole_plan(*, holes: int, tees: int, aims: int, draws: int) -> dict[str, Any]:
    """Return the seconds of each part of a plan and the most memory [MB]; for a process of its own.

    Other ground goes first, so that everything is compiled and nothing else is remembered.
    """
    plan_once(holes=1, tees=1, aims=1, draws=256, firmness="soft")
    seconds = plan_once(holes=holes, tees=tees, aims=aims, draws=draws)
    return {"seconds": seconds, "memory": _most_memory()}


def plan_once(
    *, holes: int, tees: int, aims: int, draws: int, players: int = 1, firmness: Firmness = "medium"
) -> dict[str, float]:
    """Score every aim on every tee, for one player after another, and return the seconds of each part."""
    parts = ("the ground map", "the player's skill", "draws and impact", "flights", "the search")
    seconds = dict.fromkeys(parts, 0.0)
    air = _breeze()

    @contextmanager
    def clocked(part: str) -> Iterator[None]:
        start = perf_counter()
        yield
        seconds[part] += perf_counter() - start

    with clocked("the ground map"):
        ground = map_ground(_course())
    for _ in range(players):
        find_skill.cache_clear()
        with clocked("the player's skill"):
            player = load_player(find(PLAYER))
            skill = _skill(player)
        with clocked("draws and impact"):
            points = make_draws(draws, 1, np.random.default_rng(1))
            launches = [_launches(player, strike, points) for strike in STRIKES]
        with clocked("flights"):
            drives = [prepare(fly_around(struck, air), firmness) for struck in launches]
        with clocked("the search"):
            sites = _sites(ground, skill, holes, tees)
            parallel.share_out(partial(_search, sites, drives, aims), len(sites))
    return seconds


def _sites(
    ground: GroundMap, skill: strokes_table.Skill, holes: int, tees: int
) -> list[tuple[Hole, Tee, Site]]:
    """Return the first tees of the first holes; those of a hole share what is found out about it."""
    found = []
    for hole in _course().holes[:holes]:
        expected, memory = _remains(skill, hole, ground), blank_drop_cache(ground)
        for tee in hole.tees[:tees]:
            site = Site(ground, _target(hole, tee, expected), memory)
            found.append((hole, tee, site))
    return found


def _search(
    sites: Sequence[tuple[Hole, Tee, Site]], drives: Sequence[SearchDrives], aims: int, place: int
) -> list[Floats]:
    """Return the costs of every aim of one of the tees, for each strike."""
    hole, tee, site = sites[place]
    return [costs(struck, _aims(hole, tee, aims), site) for struck in drives]


def team_rows(sizes: Sizes) -> list[Row]:
    """Return what a captain's plan takes the first time, and with what remains kept from before."""
    size = {"members": sizes.members, "holes": sizes.holes}
    team = f"{sizes.members} players, {sizes.holes} holes, on {_threads(parallel.count())}"
    rows = []
    with tempfile.TemporaryDirectory() as empty:
        first = _alone("plan_teams", size | {"formats": 1}, HOLESIM_CACHE=empty)
        again = _alone("plan_teams", size | {"formats": len(FORMATS)}, HOLESIM_CACHE=empty)
    for found, when in ((first, "the first time"), (again, "with what remains kept")):
        for format_, seconds in found.items():
            rows.append(Row("team", f"{team}: {format_}, {when}", seconds, "s", AT_MOST, 30))
    return rows


def plan_teams(*, members: int, holes: int, formats: int) -> dict[str, float]:
    """Return the seconds that a captain's plan takes by so many formats; for a process of its own.

    Other ground goes first, so that everything is compiled and nothing else is remembered.
    """
    course, found = _course(), dict[str, float]()
    soft = Conditions(air=make_air(), firmness="soft")
    for format_ in FORMATS[:formats]:
        plan_team(replace(course, holes=course.holes[:1]), _team(2), format_, conditions=soft)
        played = replace(course, holes=course.holes[:holes])
        found[format_] = _seconds(1, partial(plan_team, played, _team(members), format_))
    return found


def _team(members: int) -> Team:
    """Return players of handicaps from -2 to 20, the better the faster."""
    players = tuple(
        stranger(f"Player {k}", "man", -2 + 22 * t, (118 - 30 * t) * MPH)
        for k, t in enumerate(np.linspace(0, 1, members))
    )
    return Team(
        name="Vantle Skerry", players=players, opponents=(), order_known=False, allowance=None, tees={},
        ratings={}, file="team.toml", sha256="",
    )  # fmt: skip


def stage_rows(sizes: Sizes) -> list[Row]:
    """Return what share of the search on the tight hole each of its stages takes, on one thread."""
    hole = _hole(TIGHT)
    tee = hole.tees[0]
    site = _site(hole, tee)
    drives, headings = prepare(fly_around(_drives(sizes.drives), _breeze())), _aims(hole, tee, sizes.aims)
    seconds = []
    for stages in (1, 2, 3):
        some = partial(search_up_to, stages, *kernel_arguments(drives, headings, site))
        some()
        seconds.append(_seconds(sizes.repeats, some))
    names = ("turning, interpolating and trees", "bounce and run", "relief and strokes")
    shares = np.diff(seconds, prepend=0) / seconds[-1]
    return [
        Row("plan", f"of the search {name}", 100 * float(share), "%")
        for name, share in zip(names, shares, strict=True)
    ]


def search_error(sizes: Sizes) -> float:
    """Return how far costs are from those of the exact stages, three aims on six tees for each strike."""
    ground, worst = _ground(), 0.0
    launches = [_drives(sizes.drives, strike) for strike in STRIKES]
    for hole in _course().holes[::3]:
        tee = hole.tees[0]
        site = _site(hole, tee)
        headings = _aims(hole, tee, 3, apart=4 * DEGREE)
        for struck in launches:
            found = costs(prepare(fly_around(struck, _breeze())), headings, site)
            for heading, cost in zip(headings, found, strict=True):
                landings, tracks = _from_tee(struck, tee, float(heading))
                lies = take_relief(run(landings, ground), tracks, ground, site.constants)
                worst = max(worst, abs(float(cost) - strokes_table.score_drives(lies).expected))
    return worst


def _cost_one_seconds(sizes: Sizes) -> float:
    """Return the mean time of the reference for a drive, taken of drives spread over holes and strikes."""
    launches = [_drives(sizes.drives, strike) for strike in STRIKES]
    work = []
    for i in range(sizes.sampled):
        round_, number = divmod(i, sizes.holes)
        hole = _course().holes[number]
        tee = hole.tees[i % len(hole.tees)]
        heading = float(_aims(hole, tee, 1)[0])
        plain = _plain_hole(hole, tee, _remains(_skill(_player()), hole, _ground()))
        work.append((launches[round_ % 2], i, plain, heading))
    air = _breeze()
    return _seconds(1, lambda: [reference.cost_one(*w[:3], air, heading=w[3]) for w in work]) / len(work)


def _most_memory() -> float:
    """Return the most memory that this process has taken [MB]."""
    status = Path("/proc/self/status")
    if status.exists():
        # The system call's number starts from that of the process that started this one; this does not.
        lines = status.read_text(encoding="ascii").splitlines()
        return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) * 1024 / 1e6
    if sys.platform == "win32":
        return nan
    from resource import RUSAGE_SELF, getrusage  # noqa: PLC0415 - not on every system

    return getrusage(RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024) / 1e6


# --- scaling, and the draws that count ------------------------------------------------------------


def scaling_curves(sizes: Sizes) -> list[ScalingCurve]:
    """Return the seconds of a plan from one tee of each hole, and of its search, by holes, draws, players."""
    usual = {"holes": sizes.holes, "draws": sizes.drives, "players": 1}
    counts = {"holes": sizes.scaled_holes, "draws": sizes.scaled_draws, "players": sizes.scaled_players}
    tries: dict[tuple[int, ...], list[dict[str, float]]] = {
        tuple((usual | {panel: n}).values()): [] for panel, numbers in counts.items() for n in numbers
    }
    # Round after round, so that what else the machine does for a while falls on all sizes.
    for _ in range(sizes.repeats):
        for (holes, draws, players), found in tries.items():
            found.append(plan_once(holes=holes, tees=1, aims=sizes.aims, draws=draws, players=players))
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
    """Return the standard error of up minus down by the number of draws, for each scheme and hole, calm."""
    air = make_air()
    usual = [prepare(fly_around(_drives(sizes.drives, strike), air)) for strike in STRIKES]
    places = []
    for hole in map(_hole, HOLES):
        site, headings = _site(hole, hole.tees[0]), _aims(hole, hole.tees[0], 41)
        best = [headings[[np.argmin(costs(drives, headings, site))]] for drives in usual]
        places.append((site, best))

    def up_over_down(scheme: str, draws: int, repeat: int) -> list[float]:
        points = _scheme_draws(scheme, draws, np.random.default_rng([draws, repeat]))
        struck = (_launches(_player(), *pair) for pair in zip(STRIKES, points, strict=True))
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


def _scheme_draws(scheme: str, draws: int, rng: np.random.Generator) -> tuple[Draws, Draws]:
    """Return the draws of one strike and of the other."""
    if scheme == "quasi-random":
        both = make_draws(draws, 1, rng)
        return both, both
    first, second = (Draws(rng.uniform(1e-12, 1 - 1e-12, (1, draws, 8))) for _ in STRIKES)
    return first, first if scheme == "common" else second


def panels_of(curves: Sequence[ScalingCurve]) -> list[list[ScalingCurve]]:
    """Return the curves of each panel."""
    return [[c for c in curves if c.panel == name] for name in dict.fromkeys(c.panel for c in curves)]


def draws_rows(curves: Sequence[ScalingCurve]) -> list[Row]:
    """Return how many draws of each scheme are as sure as the usual number of quasi-random ones.

    The standard error of plain draws falls with the root of their number, so all sizes tell of it.
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


# --- start-up and threads -------------------------------------------------------------------------


def start_rows(sizes: Sizes) -> list[Row]:
    """Return what starting takes, and what compiling adds to the first plan on a machine."""
    bare, helped = (
        statistics.median(_seconds(1, partial(_python, *words)) for _ in range(sizes.starts))
        for words in (("-c", "pass"), ("-m", "holesim", "--help"))
    )
    with tempfile.TemporaryDirectory() as folder:
        first = partial(_alone, sizes.first, {}, NUMBA_CACHE_DIR=folder)
        cold, warm = (_seconds(1, first) for _ in range(2))
    limit = 4 * bare + 0.2
    return [
        Row("start-up", "holesim --help", helped, "s", "python -c pass", bare),
        Row("start-up", "holesim --help, against four times that and 0.2 s", helped, "s", AT_MOST, limit),
        Row("start-up", "compilation in the first plan on a machine", cold - warm, "s"),
    ]


def answer_rows(sizes: Sizes) -> list[Row]:
    """Return how many answers on other numbers of threads differ from the first."""
    numbers = sizes.thread_counts
    processes = [partial(_alone, "answers", {}, HOLESIM_THREADS=str(n)) for n in numbers]
    first, *others = parallel.share_out(lambda i: processes[i](), len(numbers))
    counts = ", ".join(map(str, numbers))
    return [
        Row("same answer", f"{what} on {counts} threads: answers unlike the first",
            sum(other[what] != first[what] for other in others), "", AT_MOST, 0)
        for what in first
    ]  # fmt: skip


def answers() -> dict[str, str]:
    """Return hashes of the costs of some holes and of a hole's plan; for a process of its own."""
    drives = [prepare(fly_around(_drives(8192, strike), _breeze())) for strike in STRIKES]
    sites = _sites(_ground(), _skill(_player()), 6, 3)
    found = np.array(parallel.share_out(partial(_search, sites, drives, 5), len(sites))).tobytes()
    return {"costs": sha256(found).hexdigest(), "a plan": sha256(plan_hole().encode()).hexdigest()}


def plan_hole() -> str:
    """Return the plan of one hole of the demo, as plan.json has it."""
    return make_plan(_course(), _player(), holes=[TIGHT], draws=256).to_json()


# --- the table and the pictures -------------------------------------------------------------------


def bench_text(result: Result) -> str:
    """Return the result as a table."""
    versions = ", ".join(f"{name} {version}" for name, version in result.versions.items())
    heading = f"holesim bench, {result.date}: {result.processor}, {_threads(result.threads)}"
    cells = [("part", "what", "measured", "against", "ratio"), *map(_cells, result.rows)]
    a, b, c, d, e = (max(map(len, column)) for column in zip(*cells, strict=True))
    lines = [f"{p:<{a}}  {w:<{b}}  {m:>{c}}  {o:<{d}}  {r:>{e}}".rstrip() for p, w, m, o, r in cells]
    return "\n".join([heading, versions, "", *lines])


def _cells(row: Row) -> tuple[str, str, str, str, str]:
    other = "" if np.isnan(row.against) else f"{row.reference} {_number(row.against, row.unit)}"
    verdict = {None: "", True: "met", False: "MISSED"}[row.met]
    ratio = verdict if row.ratio is None else _number(row.ratio)
    return row.part, row.what, _number(row.value, row.unit), other, ratio


def _number(value: float, unit: str = "") -> str:
    """Return three figures of a number, with its unit."""
    short = float(f"{value:.3g}")
    text = f"{short:,.0f}" if abs(short) >= 100 else f"{short:g}"
    return f"{text}{'' if unit in ('', '/s') else ' '}{unit}"


def _threads(number: int) -> str:
    return f"{number} thread{'' if number == 1 else 's'}"


# --- the demo, and odds and ends ------------------------------------------------------------------


@cache
def _course() -> Course:
    return load_course(find(COURSE))


@cache
def _player() -> Player:
    return load_player(find(PLAYER))


@cache
def _ground() -> GroundMap:
    return map_ground(_course())


def _hole(number: int) -> Hole:
    return next(hole for hole in _course().holes if hole.number == number)


def _breeze() -> Air:
    return make_air(wind_mph=12, wind_from_deg=250)


def _skill(player: Player) -> strokes_table.Skill:
    return find_skill(player.handicap_index, player.club_speed, player.sex)


def _bag(player: Player) -> ClubDispersion:
    return club_dispersion(find_dispersion_skill(player.handicap_index, player.club_speed, player.sex))


def _worked_back(hole: Hole, ground: GroundMap) -> ExpectedStrokes:
    return solve_hole(_bag(_player()), strokes_table.make_strokes_table(_skill(_player())), hole, ground)


def _remains(skill: strokes_table.Skill, hole: Hole, ground: GroundMap) -> ExpectedStrokes:
    return strokes_by_distance(strokes_table.make_strokes_table(skill), hole, ground)


def _drives(draws: int, strike: StrikeName = "up") -> Launches:
    """Return drives of the demo player."""
    return _launches(_player(), strike, make_draws(draws, 1, np.random.default_rng(1)))


def _launches(player: Player, name: StrikeName, draws: Draws) -> Launches:
    """Return the drives of one strike of the golfer as the file has them."""
    strike = player.driver(name)
    deliveries = sample(strike, draws, spin=1.0, mean_spin=1.0)
    return impact(deliveries, choose_head(strike.kind, strike.club_speed), side=player.side)


def _from_tee(launches: Launches, tee: Tee, heading: float) -> tuple[Landings, Tracks]:
    return land(launches, _breeze(), _ground(), heading=heading, origin=(tee.x, tee.y))


def _aims(hole: Hole, tee: Tee, aims: int, *, apart: float = 0.5 * DEGREE) -> Floats:
    """Return so many headings about the way to the middle of the hole."""
    middle = sights.line_bearing(hole, tee, _REACH)
    return np.asarray(middle + apart * (np.arange(aims) - aims // 2), dtype=np.float64)


def _target(hole: Hole, tee: Tee, expected: ExpectedStrokes) -> HoleConstants:
    return hole_constants(
        tee=(tee.x, tee.y), pin=hole.pin, green=hole.green, expected=expected.grid,
        lost_in_trees=strokes_table.LOST_IN_TREES, lost_in_heavy_rough=strokes_table.LOST_IN_HEAVY_ROUGH,
    )  # fmt: skip


def _site(hole: Hole, tee: Tee) -> Site:
    """Return a tee of the demo for its player."""
    expected = _remains(_skill(_player()), hole, _ground())
    return Site(_ground(), _target(hole, tee, expected), blank_drop_cache(_ground()))


def _plain_hole(hole: Hole, tee: Tee, expected: ExpectedStrokes) -> reference.PlainHole:
    """Return the hole as the reference needs it."""
    return reference.PlainHole(
        ground=reference.PlainGround.of(_course()), tee=(tee.x, tee.y), pin=hole.pin, green=hole.green,
        surfaces=surfaces("medium"), expected=expected,
    )  # fmt: skip


def _seconds(repeats: int, work: Callable[[], object]) -> float:
    """Return the least time that `work` takes of so many tries."""
    tries = []
    for _ in range(repeats):
        start = perf_counter()
        work()
        tries.append(perf_counter() - start)
    return min(tries)


@contextmanager
def _on_threads(number: int) -> Iterator[None]:
    """Let everything run on so many threads."""
    before = os.environ.get("HOLESIM_THREADS", "")
    os.environ["HOLESIM_THREADS"] = str(number)
    try:
        yield
    finally:
        os.environ["HOLESIM_THREADS"] = before


def _alone(name: str, arguments: dict[str, int], **environment: str) -> Any:  # noqa: ANN401 - as JSON has it
    """Return what a function of this module returns in a process of its own."""
    call = f"import json; from holesim import bench; print(json.dumps(bench.{name}(**{arguments})))"
    return json.loads(_python("-c", call, **environment))


def _python(*words: str, **environment: str) -> str:
    """Return what another Python prints."""
    command, variables = [sys.executable, *words], os.environ | environment
    return subprocess.check_output(command, env=variables, text=True)  # noqa: S603 - a command of our own


def _processor() -> str:
    """Return the model of the processor."""
    table = Path("/proc/cpuinfo")
    lines = table.read_text(encoding="utf-8").splitlines() if table.exists() else []
    models = (line.partition(":")[2].strip() for line in lines if line.startswith("model name"))
    return next(models, platform.processor() or platform.machine())
