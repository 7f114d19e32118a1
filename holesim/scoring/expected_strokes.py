"""What remains: from every place on a hole and every lie there, the mean strokes to hole out."""

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
from holesim.course.ground_map import GroundMap
from holesim.course.holes import Hole
from holesim.scoring import _expected_strokes_kernel as kernel
from holesim.scoring import _next_shot_kernel as shot_kernel
from holesim.scoring.dispersion import LENGTHS, ClubDispersion
from holesim.scoring.strokes_table import GRID, LOST_IN_HEAVY_ROUGH, LOST_IN_TREES
from holesim.shot._relief_kernel import LIES, all_blocked
from holesim.shot._strokes_grid_kernel import StrokesGrid
from holesim.shot.relief import CLIMB, Lie, OutOfBounds, Target, blank_memory, target

Floats = NDArray[np.float64]
Wholes = NDArray[np.int64]

STEP: Final = 5.0  # m between nodes
MARGIN: Final = 150.0  # m of nodes beyond the tees, the hole's line and the green
ASTRAY: Final = 72.0  # m from the line, beyond which what remains goes by distance
BEHIND: Final = 20.0  # m from a tee, where a ball hardly ever is
FREEDOM: Final = 4
"""Degrees of freedom of Student's t, by which shots miss."""
WAYS: Final = 25.0
"""Wood that a ball gets through on average from among trees [m]: found, so that from a few paces inside a
wood the published recoveries come back."""
HOLE: Final = 0.12
"""Area over which a ball that would stop there finds the hole [m²]: its width by a metre; our assumption."""
SETTLED: Final = 2e-3  # strokes
SCOUTS: Final = 3  # nodes, each way, from one that looks around for itself to the next
MOST_SWEEPS: Final = 50
_PER_STEP: Final = 4  # places between nodes where it is looked for lies


@dataclass(frozen=True)
class NextShot:
    """The best shot from a place: its lie, what remains there, and the target, places in metres."""

    lie: Lie
    x: float
    y: float
    strokes: float
    target: tuple[float, float]


@dataclass(frozen=True)
class Setting:
    """A hole as the kernels are given it, to be worked back for one golfer."""

    states: kernel.States
    swings: shot_kernel.Swings
    target: Target

    @property
    def content(self) -> list[object]:
        """All that is in it."""
        return [*self.swings, *self.target[:-1], *self.target.expected, *self.states]


@dataclass(frozen=True, eq=False)
class ExpectedStrokes:
    """What remains on one hole, for one golfer; `grid` is what the kernels read.

    `shots` are the best from each node, where any are known, and `setting` what they were worked out from.
    """

    grid: StrokesGrid
    shots: kernel.Shots | None = None
    setting: Setting | None = None

    @property
    def places(self) -> tuple[Floats, Floats]:
        """Where nodes are [m]: x of the columns, and y of the rows."""
        _, rows, columns = self.grid.values.shape
        x, y = (
            start + np.arange(count) / self.grid.per_metre
            for start, count in ((self.grid.x0, columns), (self.grid.y0, rows))
        )
        return x, y

    def at(self, lie: Lie, x: Floats, y: Floats) -> Floats:
        """Return the strokes that remain off the green, between nodes and beyond the last as there."""
        grid = self.grid
        place = (y - grid.y0) * grid.per_metre, (x - grid.x0) * grid.per_metre
        return np.asarray(map_coordinates(grid.values[lie], place, order=1, mode="nearest", prefilter=False))

    def next_shot(self, lie: Lie, x: float, y: float) -> NextShot | None:
        """Return the best shot from a place, to the target of the nearest node that has one, if any has."""
        if self.shots is None:
            return None
        columns, rows = self.places
        near = [
            (np.hypot(columns[j] - x, rows[i] - y), i, j)
            for i in np.flatnonzero(np.abs(rows - y) < rows[1] - rows[0])
            for j in np.flatnonzero(np.abs(columns - x) < columns[1] - columns[0])
            if self.shots.lengths[lie, i, j] > 0
        ]
        if not near:
            return None
        _, i, j = min(near)
        length, bearing = (float(a[lie, i, j]) for a in (self.shots.lengths, self.shots.bearings))
        target = columns[j] + length * np.sin(bearing), rows[i] + length * np.cos(bearing)
        strokes = float(self.at(lie, np.array([x]), np.array([y]))[0])
        return NextShot(lie, x, y, strokes, (float(target[0]), float(target[1])))


def by_distance(table: Floats, hole: Hole, ground: GroundMap, *, step: float = STEP) -> ExpectedStrokes:
    """Return what remains by lie and distance alone, but for trees close by on the line to the pin.

    Parameters
    ----------
    table
        Mean strokes to hole out, shape (lies, metres), as `strokes.remaining` makes it.
    """
    places = _places(hole, ground, step)
    recovery = np.interp(places.away, GRID, table[Lie.RECOVERY])
    by_lie = [np.where(places.blocked, recovery, np.interp(places.away, GRID, row)) for row in table]
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
    """Return what remains when the best next shot is played from everywhere.

    Once worked out it is kept in `disk_cache.folder`.

    Parameters
    ----------
    table
        Mean strokes to hole out, shape (lies, metres), to begin with and far from the hole.

    Notes
    -----
    It is dynamic programming, by improving a policy: a look for a good shot in each state, nearest the pin
    first, and another for better ones among those around it; after each, sweeps work out what remains by the
    shots as they are. A state is a node and a lie that is met there. Of a shot 64 outcomes are looked at,
    with as many to the left as to the right. From trees and heavy rough a ball may be unplayable (19.2b, c).
    """
    begun = by_distance(table, hole, ground, step=step).grid
    grid = begun._replace(putts=shots.putts.astype(np.float32))
    states = _places(hole, ground, step).states
    set_out = setting(shots, hole, grid, states, out_of_bounds=out_of_bounds)
    name = disk_cache.digest([code(), ground.digest, *set_out.content])
    kept = disk_cache.load(name)
    if kept is not None:
        grid.values[:] = kept["values"]
        return ExpectedStrokes(grid, kernel.Shots(kept["lengths"], kept["bearings"]), set_out)
    best = kernel.Shots(np.zeros_like(grid.values), np.zeros_like(grid.values))
    for look in (kernel.begin, kernel.improve_policy):
        # What a drop costs changes with what remains.
        place = _place(set_out.target, ground)
        look(set_out.states, set_out.swings, place, best)
        outcomes = outcomes_of(set_out.states, set_out.swings, place, best)
        for _ in range(MOST_SWEEPS):
            if kernel.evaluate_policy(set_out.states, outcomes, set_out.target) < SETTLED:
                break
    disk_cache.save(name, {"values": grid.values, "lengths": best.lengths, "bearings": best.bearings})
    return ExpectedStrokes(grid, best, set_out)


def setting(
    shots: ClubDispersion,
    hole: Hole,
    grid: StrokesGrid,
    states: kernel.States,
    *,
    out_of_bounds: OutOfBounds,
) -> Setting:
    """Return what the kernels need besides the ground."""
    seen = target(
        tee=hole.pin, pin=hole.pin, green=hole.green, expected=grid, lost_in_trees=LOST_IN_TREES,
        lost_in_heavy_rough=LOST_IN_HEAVY_ROUGH, out_of_bounds=out_of_bounds,
    )  # fmt: skip
    per_metre, area = singles(1 / LENGTHS[1], HOLE)
    swings = shot_kernel.Swings(
        shots.shots.astype(np.float32), per_metre, shots.longest.astype(np.float32), points(), area
    )
    return Setting(states, swings, seen)


def _place(seen: Target, ground: GroundMap) -> shot_kernel.HoleArrays:
    """Return a hole as one thread plays shots on it."""
    room = np.empty(shot_kernel.ROOM, dtype=np.float32)
    integers = np.empty(shot_kernel.INTEGERS, dtype=np.int32)
    return shot_kernel.HoleArrays(seen, ground.grid, blank_memory(ground), room, integers)


def outcomes_of(
    states: kernel.States, swings: shot_kernel.Swings, place: shot_kernel.HoleArrays, best: kernel.Shots
) -> kernel.Outcomes:
    """Return where the best shot known from each state leads."""
    shape = len(states.lies), shot_kernel.POINTS
    x, y, penalties, lost = np.empty((4, *shape), dtype=np.float32)
    lies, holed = np.empty(shape, dtype=np.int8), np.empty(shape[0], dtype=np.float32)
    outcomes = kernel.Outcomes(lies, x, y, penalties, lost, holed)
    kernel.play(states, swings, place, best, outcomes)
    return outcomes


@dataclass(frozen=True)
class ShotOutcomes:
    """A hole as the kernels are given it, and where the best shots known there lead."""

    setting: Setting
    outcomes: kernel.Outcomes


@lru_cache(maxsize=4)  # asked for the chances of each score, and soon after for one ball in turn
def follow_shots(expected: ExpectedStrokes, ground: GroundMap) -> ShotOutcomes:
    """Return where the best shots known lead, on a hole that was worked back."""
    assert expected.shots is not None  # noqa: S101
    assert expected.setting is not None  # noqa: S101
    place = _place(expected.setting.target, ground)
    outcomes = outcomes_of(expected.setting.states, expected.setting.swings, place, expected.shots)
    return ShotOutcomes(expected.setting, outcomes)


_MODULES: Final = (
    "scoring/expected_strokes",
    "scoring/_expected_strokes_kernel",
    "scoring/_next_shot_kernel",
    "shot/_strokes_grid_kernel",
    "shot/_relief_kernel",
    "course/_ground_map_kernel",
    "common/_simd_kernel",
)
"""What works maps out."""


@cache
def code() -> str:
    """Return a name for the code that works maps out, so that those of another are not taken for its own."""
    package, made = Path(__file__).parents[1], blake2b()
    for name in _MODULES:
        made.update((package / f"{name}.py").read_bytes())
    return made.hexdigest()


def within_reach(hole: Hole, reach: float) -> BaseGeometry:
    """Return what lies within `reach` [m] of a hole's line or green, and a little behind its tees."""
    tees = shapely.points([(tee.x, tee.y) for tee in hole.tees])
    parts = hole.line.buffer(reach, cap_style="flat"), hole.green.buffer(reach), *shapely.buffer(tees, BEHIND)
    return shapely.union_all(parts)


@dataclass(frozen=True)
class _Places:
    """What is the same for every golfer: where nodes are, how far from the pin, and what may be played from.

    `away` [row, column] is in metres; `blocked` says that trees stand close by on the line to the pin.
    """

    grid: StrokesGrid
    away: Floats
    blocked: NDArray[np.bool_]
    states: kernel.States


@lru_cache(maxsize=8)
def _places(hole: Hole, ground: GroundMap, step: float) -> _Places:
    """Return places about a hole; one node is at the pin, so that mirrored holes' are mirrored."""
    corners = shapely.total_bounds([hole.line, hole.green, *(shapely.Point(t.x, t.y) for t in hole.tees)])
    before, after = (
        np.ceil((side * (corners[i : i + 2] - hole.pin) + MARGIN) / step).astype(int)
        for side, i in ((-1, 0), (1, 2))
    )
    columns, rows = before + after + 1
    nothing = np.empty((len(Lie), rows, columns), dtype=np.float32)
    x0, y0, per_metre, pin_x, pin_y = singles(*(hole.pin - step * before), 1 / step, *hole.pin)
    grid = StrokesGrid(x0, y0, per_metre, pin_x, pin_y, nothing, nothing[0, 0])
    x, y = np.meshgrid(*ExpectedStrokes(grid).places)
    blocked = np.empty(x.size, dtype=np.bool_)
    flat = x.ravel().astype(np.float32), y.ravel().astype(np.float32)
    all_blocked(*flat, pin_x, pin_y, CLIMB, ground.grid, blocked)
    away = np.hypot(x - hole.pin[0], y - hole.pin[1])
    return _Places(grid, away, blocked.reshape(x.shape), _states(hole, ground, grid))


def _states(hole: Hole, ground: GroundMap, grid: StrokesGrid) -> kernel.States:
    """Return lie, row and column of what a ball may be played from near the hole, nearest the pin first."""
    x, y = ExpectedStrokes(grid).places
    # What is met between nodes: a node has a part in what is interpolated as far as those around it.
    parts = (np.arange(_PER_STEP) + 0.5) / _PER_STEP * (x[1] - x[0])
    fine = np.meshgrid(*((axis[:-1, None] + parts).ravel() for axis in (x, y)))
    met = LIES[ground.at(*(axis.ravel() for axis in fine))].reshape(
        len(y) - 1, _PER_STEP, len(x) - 1, _PER_STEP
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
    # Scouts are counted from the pin on, so that mirrored holes' are mirrored.
    on, up = np.round((hole.pin - np.array([x[0], y[0]])) / (x[1] - x[0])).astype(int)
    scouts = ((rows - up) % SCOUTS == 0) & ((columns - on) % SCOUTS == 0)
    return kernel.States(lies, rows, columns, scouts)


def points() -> NDArray[np.float32]:
    """Return how shots go wrong: along, across, through how much wood [m], and a chance of being mishit."""
    u = Sobol(4, scramble=False).random(shot_kernel.POINTS // 2).T + 1 / shot_kernel.POINTS
    # Student's t in the plane, of unit variance each way: how far off, and from straight on to straight back;
    # the farthest off is so along as much as across.
    off, turn = np.sqrt((FREEDOM - 2) * (u[0] ** (-2 / FREEDOM) - 1)), np.pi * ((u[1] + 0.25) % 1)
    along, across, ways = off * np.cos(turn), off * np.sin(turn), -WAYS * np.log(u[2])
    # In pairs, so that the first few are as even as all.
    pairs = [np.stack([along, side * across, ways, u[3]]) for side in (1, -1)]
    return np.ascontiguousarray(np.stack(pairs, axis=2).reshape(4, shot_kernel.POINTS), dtype=np.float32)
