"""Expected strokes to hole out from every place on a hole and every lie there."""

from dataclasses import dataclass
from functools import cache, lru_cache
from hashlib import blake2b
from pathlib import Path
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates
from scipy.stats.qmc import Sobol
from shapely.geometry.base import BaseGeometry

from holesim.common import disk_cache
from holesim.common._simd_kernel import singles
from holesim.course.course import Ground
from holesim.course.ground_map import Bounds, GroundMap
from holesim.course.holes import Hole
from holesim.scoring import _expected_strokes_kernel as kernel
from holesim.scoring import _next_shot_kernel as shot_kernel
from holesim.scoring.shot_dispersion import LENGTHS, ClubDispersion
from holesim.scoring.strokes_table import DISTANCES, LOST_IN_HEAVY_ROUGH, LOST_IN_TREES
from holesim.shot.relief import (
    CLIMB,
    LIE_BY_GROUND,
    HoleConstants,
    Lie,
    OutOfBounds,
    StrokesGrid,
    all_blocked,
    blank_drop_cache,
    hole_constants,
)

Floats = NDArray[np.float64]

STEP: Final = 5.0  # m between grid points
MARGIN: Final = 150.0  # m that the grid extends beyond the tees, the hole's line and the green
ASTRAY: Final = 72.0  # m from the line, beyond which expected strokes depend on distance alone
BEHIND: Final = 20.0  # m from a tee, where a ball hardly ever is
FREEDOM: Final = 4
"""Degrees of freedom of Student's t, the distribution of misses: our assumption."""
WAYS: Final = 25.0
"""Mean length of wood that a ball struck from among trees gets through [m]: fitted, so that shots from a few
paces inside a wood give the published recoveries."""
HOLE: Final = 0.12
"""Area in which a ball that would stop there finds the hole [m²]: its width by a metre; our assumption."""
TOLERANCE: Final = 2e-3  # strokes
SCOUTS: Final = 3  # grid points, each way, from one that searches for a shot of its own to the next
SCOUTS_IN_TREES: Final = 2  # likewise among trees, where gaps differ from place to place
MOST_SWEEPS: Final = 50
_BETWEEN: Final = 1.25  # m at most between places, among grid points, at which lies are looked up


@dataclass(frozen=True)
class NextShot:
    """The best shot from a place [m, hole frame] and lie: its target, and the expected strokes there."""

    lie: Lie
    x: float
    y: float
    strokes: float
    target: tuple[float, float]


@dataclass(frozen=True)
class HoleProblem:
    """One hole for one golfer, as the kernels that solve it need it.

    `ground` is the whole course, of which only the surroundings of the hole count; `ground_digest` is theirs.
    """

    states: kernel.States
    shot_model: shot_kernel.ShotModel
    constants: HoleConstants
    ground: GroundMap
    ground_digest: str

    @property
    def surroundings(self) -> GroundMap:
        """The ground on which the hole is solved; no more than a few holes' are kept, as they are large."""
        return surroundings(self.constants.expected, self.ground)

    @property
    def content(self) -> list[object]:
        """All that decides the solution, from which the name of the stored solution is made."""
        arrays = *self.shot_model, *self.constants[:-1], *self.constants.expected, *self.states
        return [self.ground_digest, *arrays]


@dataclass(frozen=True, eq=False)
class ExpectedStrokes:
    """Expected strokes on one hole for one golfer.

    Attributes
    ----------
    grid
        Expected strokes by lie and place, as the kernels read them.
    policy
        The best shot from each grid point and lie; None where none was looked for.
    problem
        What the solution was found from; None where there is no policy.
    """

    grid: StrokesGrid
    policy: kernel.Policy | None = None
    problem: HoleProblem | None = None

    @property
    def axes(self) -> tuple[Floats, Floats]:
        """Places of the grid [m]: x of its columns, and y of its rows."""
        _, rows, columns = self.grid.values.shape
        x, y = (
            start + np.arange(count) / self.grid.per_metre
            for start, count in ((self.grid.x0, columns), (self.grid.y0, rows))
        )
        return x, y

    def at(self, lie: Lie, x: Floats, y: Floats) -> Floats:
        """Return the expected strokes off the green, interpolated; beyond the grid as at its edge."""
        grid = self.grid
        place = (y - grid.y0) * grid.per_metre, (x - grid.x0) * grid.per_metre
        return np.asarray(map_coordinates(grid.values[lie], place, order=1, mode="nearest", prefilter=False))

    def next_shot(self, lie: Lie, x: float, y: float) -> NextShot | None:
        """Return the best shot from a place: at the target of the nearest grid point that has one."""
        if self.policy is None:
            return None
        columns, rows = self.axes
        near = [
            (np.hypot(columns[j] - x, rows[i] - y), i, j)
            for i in np.flatnonzero(np.abs(rows - y) < rows[1] - rows[0])
            for j in np.flatnonzero(np.abs(columns - x) < columns[1] - columns[0])
            if self.policy.lengths[lie, i, j] > 0
        ]
        if not near:
            return None
        _, i, j = min(near)
        length, bearing = (float(a[lie, i, j]) for a in (self.policy.lengths, self.policy.bearings))
        target = columns[j] + length * np.sin(bearing), rows[i] + length * np.cos(bearing)
        strokes = float(self.at(lie, np.array([x]), np.array([y]))[0])
        return NextShot(lie, x, y, strokes, (float(target[0]), float(target[1])))


def strokes_by_distance(
    table: Floats, hole: Hole, ground: GroundMap, *, step: float = STEP
) -> ExpectedStrokes:
    """Return expected strokes by lie and distance alone; trees close by on the line make a lie a recovery.

    Parameters
    ----------
    table
        As `make_strokes_table` makes it, shape (lies, distances).
    step
        Distance between grid points [m].
    """
    places = _hole_grid(hole, ground, step)
    recovery = np.interp(places.away, DISTANCES, table[Lie.RECOVERY])
    by_lie = [np.where(places.blocked, recovery, np.interp(places.away, DISTANCES, row)) for row in table]
    values, putts = np.array(by_lie, dtype=np.float32), table[Lie.GREEN].astype(np.float32)
    return ExpectedStrokes(places.grid._replace(values=values, putts=putts))


def solve_hole(
    shots: ClubDispersion,
    table: Floats,
    hole: Hole,
    ground: GroundMap,
    *,
    out_of_bounds: OutOfBounds = "distance",
    step: float = STEP,
) -> ExpectedStrokes:
    """Return the expected strokes when the best shot is played from everywhere.

    The solution is stored in `disk_cache.folder` and read back from there, whatever else of the course has
    changed since than the surroundings of the hole.

    Parameters
    ----------
    shots
        The golfer's shots off the ground.
    table
        Expected strokes by lie and distance, shape (lies, distances): the first guess, and the values far
        from the hole.
    out_of_bounds
        "distance" for stroke and distance (18.2), "drop" for Model Local Rule E-5.
    step
        Distance between grid points [m].

    Notes
    -----
    This is dynamic programming by policy iteration. A state is a grid point and a lie that occurs there. The
    first policy is found state by state, nearest the pin first. It is evaluated by sweeps over all states
    until expected strokes change by less than `TOLERANCE`. Then each state takes the best of its own shot,
    its neighbours' shots and shots close by, and the policy is evaluated again. Each shot has 64 outcomes,
    as many to the left as to the right. From trees and heavy rough a ball may be declared unplayable (19.2b,
    c).
    """
    first = strokes_by_distance(table, hole, ground, step=step).grid
    grid = first._replace(putts=shots.putts.astype(np.float32))
    places = _hole_grid(hole, ground, step)
    problem = _make_problem(shots, hole, places, grid, out_of_bounds=out_of_bounds)
    name = disk_cache.digest([code_digest(), *problem.content])
    kept = disk_cache.load(name)
    if kept is not None:
        grid.values[:] = kept["values"]
        return ExpectedStrokes(grid, kernel.Policy(kept["lengths"], kept["bearings"]), problem)
    policy = kernel.Policy(np.zeros_like(grid.values), np.zeros_like(grid.values))
    around = problem.surroundings
    for step_policy in (kernel.begin_policy, kernel.improve_policy):
        # The cost of a drop changes with the expected strokes, so its store starts empty.
        place = _hole_arrays(problem.constants, around)
        step_policy(problem.states, problem.shot_model, place, policy)
        outcomes = play_policy(problem.states, problem.shot_model, place, policy)
        for _ in range(MOST_SWEEPS):
            if kernel.evaluate_policy(problem.states, outcomes, problem.constants) < TOLERANCE:
                break
    disk_cache.save(name, {"values": grid.values, "lengths": policy.lengths, "bearings": policy.bearings})
    return ExpectedStrokes(grid, policy, problem)


def _make_problem(
    shots: ClubDispersion,
    hole: Hole,
    places: "_HoleGrid",
    grid: StrokesGrid,
    *,
    out_of_bounds: OutOfBounds,
) -> HoleProblem:
    """Return what the kernels need of hole and golfer."""
    constants = hole_constants(
        tee=hole.pin, pin=hole.pin, green=hole.green, expected=grid, lost_in_trees=LOST_IN_TREES,
        lost_in_heavy_rough=LOST_IN_HEAVY_ROUGH, out_of_bounds=out_of_bounds,
    )  # fmt: skip
    per_metre, area = singles(1 / LENGTHS[1], HOLE)
    shot_model = shot_kernel.ShotModel(
        shots.shots.astype(np.float32), per_metre, shots.longest.astype(np.float32), make_misses(), area
    )
    return HoleProblem(places.states, shot_model, constants, places.ground, places.ground_digest)


def _hole_arrays(constants: HoleConstants, ground: GroundMap) -> shot_kernel.HoleArrays:
    """Return a hole with the working memory of one thread."""
    room = np.empty(shot_kernel.ROOM, dtype=np.float32)
    integers = np.empty(shot_kernel.INTEGERS, dtype=np.int32)
    return shot_kernel.HoleArrays(constants, ground.grid, blank_drop_cache(ground), room, integers)


def play_policy(
    states: kernel.States,
    shot_model: shot_kernel.ShotModel,
    place: shot_kernel.HoleArrays,
    policy: kernel.Policy,
) -> kernel.Outcomes:
    """Return where the shot of each state leads."""
    shape = len(states.lies), shot_kernel.MISSES
    x, y, penalties, lost = np.empty((4, *shape), dtype=np.float32)
    lies, holed = np.empty(shape, dtype=np.int8), np.empty(shape[0], dtype=np.float32)
    outcomes = kernel.Outcomes(lies, x, y, penalties, lost, holed)
    kernel.play_policy(states, shot_model, place, policy, outcomes)
    return outcomes


def follow_policy(expected: ExpectedStrokes) -> kernel.Outcomes:
    """Return where the shots of the policy lead, on a hole that `solve_hole` solved."""
    policy, problem = expected.policy, expected.problem
    assert policy is not None  # noqa: S101
    assert problem is not None  # noqa: S101
    place = _hole_arrays(problem.constants, problem.surroundings)
    return play_policy(problem.states, problem.shot_model, place, policy)


MODULES: Final = (
    "scoring/expected_strokes",
    "scoring/_expected_strokes_kernel",
    "scoring/_next_shot_kernel",
    "shot/_strokes_grid_kernel",
    "shot/_relief_kernel",
    "course/_ground_map_kernel",
    "common/_simd_kernel",
)
"""Modules whose code decides the solution."""


@cache
def code_digest(modules: tuple[str, ...] = MODULES) -> str:
    """Return a digest of the code that solves holes: solutions of other code are not read back."""
    package, made = Path(__file__).parents[1], blake2b()
    for name in modules:
        made.update((package / f"{name}.py").read_bytes())
    return made.hexdigest()


def within_reach(hole: Hole, distance: float) -> BaseGeometry:
    """Return the area within a distance [m] of a hole's line or green, and a little behind its tees."""
    tees = shapely.points([(tee.x, tee.y) for tee in hole.tees])
    parts = (
        hole.line.buffer(distance, cap_style="flat"),
        hole.green.buffer(distance),
        *shapely.buffer(tees, BEHIND),
    )
    return shapely.union_all(parts)


@dataclass(frozen=True)
class _HoleGrid:
    """What is the same for every golfer on one hole.

    `away` [row, column] is the distance to the pin [m]. `blocked` tells where trees stand close by on the
    line to the pin. `states` are the grid points and lies that a ball may be played from. `ground` is the
    whole course, `ground_digest` a digest of the hole's surroundings.
    """

    grid: StrokesGrid
    away: Floats
    blocked: NDArray[np.bool_]
    states: kernel.States
    ground: GroundMap
    ground_digest: str


@lru_cache(maxsize=18)  # a round
def _hole_grid(hole: Hole, ground: GroundMap, step: float) -> _HoleGrid:
    """Return the grid of a hole. A grid point is at the pin, so that a mirrored hole has a mirrored grid."""
    corners = shapely.total_bounds([hole.line, hole.green, *(shapely.Point(t.x, t.y) for t in hole.tees)])
    before, after = (
        np.ceil((side * (corners[i : i + 2] - hole.pin) + MARGIN) / step).astype(int)
        for side, i in ((-1, 0), (1, 2))
    )
    columns, rows = before + after + 1
    nothing = np.empty((len(Lie), rows, columns), dtype=np.float32)
    x0, y0, per_metre, pin_x, pin_y = singles(*(hole.pin - step * before), 1 / step, *hole.pin)
    grid = StrokesGrid(x0, y0, per_metre, pin_x, pin_y, nothing, nothing[0, 0])
    x, y = np.meshgrid(*ExpectedStrokes(grid).axes)
    blocked = np.empty(x.size, dtype=np.bool_)
    flat = x.ravel().astype(np.float32), y.ravel().astype(np.float32)
    around = surroundings(grid, ground)
    all_blocked(*flat, pin_x, pin_y, CLIMB, around.grid, blocked)
    away = np.hypot(x - hole.pin[0], y - hole.pin[1])
    states = _states(hole, around, grid)
    return _HoleGrid(grid, away, blocked.reshape(x.shape), states, ground, around.digest)


def surroundings(grid: StrokesGrid, ground: GroundMap) -> GroundMap:
    """Return the part of a course's map that lies under the grid of a hole.

    Beyond it the ground is heavy rough: our assumption. A ball out there costs what it costs at the edge of
    the grid, which would make a drop far back, on another hole's fairway, too cheap.
    """
    x, y = ExpectedStrokes(grid).axes
    return _cut((x[0], y[0], x[-1], y[-1]), ground)


@lru_cache(maxsize=4)  # the golfers of a team play a hole one after another
def _cut(bounds: Bounds, ground: GroundMap) -> GroundMap:
    return ground.part(bounds, Ground.HEAVY_ROUGH)


def _states(hole: Hole, ground: GroundMap, grid: StrokesGrid) -> kernel.States:
    """Return the lie, row and column of every state near the hole, nearest the pin first."""
    x, y = ExpectedStrokes(grid).axes
    # Lies between grid points count too: values are interpolated there.
    per_step = int(np.ceil((x[1] - x[0]) / _BETWEEN))
    parts = (np.arange(per_step) + 0.5) / per_step * (x[1] - x[0])
    fine = np.meshgrid(*((axis[:-1, None] + parts).ravel() for axis in (x, y)))
    met = LIE_BY_GROUND[ground.at(*(axis.ravel() for axis in fine))].reshape(
        len(y) - 1, per_step, len(x) - 1, per_step
    )
    east, north = np.meshgrid(x, y)
    near = shapely.contains_xy(within_reach(hole, ASTRAY), east, north)
    found = []
    for lie in list(Lie)[1:]:
        cells = np.pad((met == lie).any(axis=(1, 3)), 1)
        around = cells[1:, 1:] | cells[1:, :-1] | cells[:-1, 1:] | cells[:-1, :-1]
        rows, columns = np.nonzero(around & near)
        found.append(np.stack([np.full(len(rows), int(lie)), rows, columns]))
    lies, rows, columns = np.concatenate(found, axis=1)
    away = np.hypot(x[columns] - hole.pin[0], y[rows] - hole.pin[1])
    order = np.argsort(away, kind="stable")
    lies, rows, columns = lies[order], rows[order], columns[order]
    # Scouts are counted from the pin, so that a mirrored hole has mirrored scouts.
    on, up = np.round((hole.pin - np.array([x[0], y[0]])) / (x[1] - x[0])).astype(int)
    every = np.where(lies == Lie.RECOVERY, SCOUTS_IN_TREES, SCOUTS)
    scouts = ((rows - up) % every == 0) & ((columns - on) % every == 0)
    return kernel.States(lies, rows, columns, scouts)


def make_misses() -> NDArray[np.float32]:
    """Return the misses of a shot, in the order of `ShotModel.misses`."""
    u = Sobol(4, scramble=False).random(shot_kernel.MISSES // 2).T + 1 / shot_kernel.MISSES
    # Student's t in the plane, with unit variance each way, as a distance and a direction. The largest
    # distance lies as much along as across.
    off, turn = np.sqrt((FREEDOM - 2) * (u[0] ** (-2 / FREEDOM) - 1)), np.pi * ((u[1] + 0.25) % 1)
    along, across, ways = off * np.cos(turn), off * np.sin(turn), -WAYS * np.log(u[2])
    # In mirrored pairs, so that the first few are as even as all.
    pairs = [np.stack([along, side * across, ways, u[3]]) for side in (1, -1)]
    return np.ascontiguousarray(np.stack(pairs, axis=2).reshape(4, shot_kernel.MISSES), dtype=np.float32)
