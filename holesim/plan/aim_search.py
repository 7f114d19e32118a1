"""Search: what a tee costs along each of many aims, from drives flown once."""

from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from holesim.common._simd_kernel import singles
from holesim.common.parallel import share_out
from holesim.course.course import Firmness, Ground
from holesim.course.ground_map import FIRMNESS, GroundMap, plain
from holesim.plan import _aim_search_kernel as kernel
from holesim.plan._first_bounce_kernel import HOP_ROWS, Runs, hop_once
from holesim.shot.bounce import run, surfaces
from holesim.shot.flight import GRAVITY, Flights, Landings
from holesim.shot.impact import BALL_RADIUS
from holesim.shot.relief import DropCache, HoleConstants

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]


_BEARING: Final = kernel.BEARINGS / (2 * np.pi)  # bearings of the kernel to a radian


@dataclass(frozen=True)
class SearchDrives:
    """A strike's drives as the search takes them: flown, sorted, and bounced once on each kind of ground.

    Attributes
    ----------
    flights
        The angles of the wind that they were flown at; the drives themselves are in the arrays below. Their
        number is a multiple of 256.
    middles
        Shape (angles, 2): where they land on average, in the shot frame [m].
    ways
        Shape (angles, 4, drives): place and direction of travel where they land, in the shot frame.
    arcs
        Shape (angles, rows, drives): how they rise and fall, in the rows of `_aim_search_kernel`.
    hops
        Shape (angles, kinds, rows, drives): their first bounce, in the rows of `_first_bounce_kernel`.
    kinds
        Numbers, by ground, the kinds of ground on which balls bounce alike.
    nudges
        Shape (2, drives): shifts forward and to the right, from -1/2 to 1/2 of half a cell.
    surfaces, runs
        How balls bounce and roll on each kind of ground, and how far they run.
    ease
        The run on a fairway of each firmness over the run on this one.
    """

    flights: Flights
    middles: Floats
    ways: Singles
    arcs: Singles
    hops: Singles
    kinds: NDArray[np.uint8]
    nudges: Singles
    surfaces: Singles
    runs: Runs
    ease: Singles

    @property
    def nbytes(self) -> int:
        """Bytes that these drives take."""
        return sum(rows.nbytes for rows in (self.ways, self.arcs, self.hops))

    def in_wind_from(self, wind_from: float) -> "SearchDrives":
        """Return the same drives in a wind of another direction [rad]."""
        if wind_from == self.flights.wind_from:
            return self
        return replace(self, flights=replace(self.flights, wind_from=wind_from))

    def drift(self, heading: float) -> float:
        """Return how far right of an aim along `heading` they land on average [rad]."""
        angles, weights = self.flights.weights(np.array([heading]))
        along, right = weights[0].astype(float) @ self.middles[angles[0]]
        return float(np.arctan2(right, along))


def prepare(flights: Flights, firmness: Firmness = "medium") -> SearchDrives:
    """Bounce drives once on each kind of ground.

    Raises
    ------
    ValueError
        If the number of drives is not a multiple of 256.
    """
    angles, _, drives = flights.landings.shape
    if drives % kernel.LANES:
        raise ValueError(f"the search takes multiples of {kernel.LANES} drives")
    # Mirrored drives get mirrored nudges.
    nudges = _even(drives) * np.stack([np.ones(drives), np.sign(flights.landings[0, 1])])
    order = flights.neighbour_order()
    flights = flights.subset(order)
    ways = np.empty((angles, 4, drives), dtype=np.float32)
    kinds = _kinds(firmness)
    hops = np.empty((angles, kinds.max() + 1, HOP_ROWS, drives), dtype=np.float32)
    cos_tilt = np.cos(flights.tilt, dtype=np.float32)
    table, runs = surfaces(firmness).astype(np.float32), _runs(firmness)

    def bounce(i: int) -> None:
        landing, to_fill = flights.landings[i], (ways[i], hops[i])
        hop_once(landing, cos_tilt, kinds, table, runs, *singles(BALL_RADIUS, GRAVITY), *to_fill)

    share_out(bounce, angles)
    nudges = nudges[:, order].astype(np.float32)
    arcs = _arcs(flights)
    middles = flights.landings[:, :2].mean(axis=2, dtype=np.float64)
    return SearchDrives(
        flights.without_drives(), middles, ways, arcs, hops, kinds, nudges, table, runs, _ease(firmness)
    )


def _arcs(flights: Flights) -> Singles:
    """Return how drives rise and fall, in the kernel's rows."""
    x, y, height = flights.points.transpose(2, 1, 0, 3)
    landed_x, landed_y, vx, vy, vz = flights.landings[:, :5].swapaxes(0, 1)
    towards = np.arctan2(y[0], x[0]) * _BEARING
    # Some drives never leave the ground.
    near, far = np.maximum(np.hypot(x[:2], y[:2]), [[[1.0]], [[2.0]]])
    sag = (height[0] / near - height[1] / far) / (far - near)
    level = np.maximum(np.hypot(vx, vy), 0.1)
    time = np.maximum(np.hypot(landed_x - x[2], landed_y - y[2]) / level, 0.01)
    bending = np.maximum(2 * (-vz - height[2] / time) / time, 1.0)
    return np.stack(
        [towards, height[0] / near + sag * near, sag, level, -vz, bending], axis=1, dtype=np.float32
    )


@dataclass(frozen=True)
class Site:
    """A tee and its hole, as the search sees them."""

    ground: GroundMap
    constants: HoleConstants
    drop_cache: DropCache

    @property
    def around(self) -> kernel.Around:
        """The height of the tee, and the trees around it by bearing."""
        return _around(self.ground, self.constants.tee_x, self.constants.tee_y)


@lru_cache(maxsize=8)  # the golfers of a team play a hole one after another
def _around(ground: GroundMap, x: np.float32, y: np.float32) -> kernel.Around:
    blank = (np.empty(kernel.BEARINGS, dtype=np.float32) for _ in range(4))
    around = kernel.Around(np.float32(ground.elevation(float(x), float(y))), *blank)
    kernel.look_around(x, y, ground.grid, around)
    return around


def costs(drives: SearchDrives, headings: Floats, site: Site) -> Floats:
    """Return the tee's expected strokes along each of `headings` [rad]; infinite where every drive is out.

    Notes
    -----
    They agree with bounce, relief and strokes computed drive by drive to some thousandths. These short cuts
    are taken: after its first bounce a ball's run over ground of one kind is interpolated in a table, then
    stretched and turned by the slope where it begins; edges on the ground are found to half a metre; a ball
    comes down along a parabola, and is taken back out of water along one; a drop is chosen from the middle of
    a metre square. On hilly ground the costs are some hundredths off, much the same along every aim.
    """
    arguments = kernel_arguments(drives, headings, site)
    kernel.search(*arguments)
    return np.asarray(arguments[-1])


def kernel_arguments(drives: SearchDrives, headings: Floats, site: Site) -> tuple[Any, ...]:
    """Return the arguments of the compiled search, which fills the last."""
    grid, n, count = site.ground.grid, len(headings), drives.ways.shape[2]
    aims = _turn_to(headings, drives.flights)
    return (
        kernel.Flown(
            drives.ways, drives.arcs, drives.hops, drives.kinds, drives.nudges * np.float32(0.5 * grid.cell),
            drives.ease,
        ),
        aims,
        site.around, site.constants, grid, drives.surfaces, drives.runs, site.drop_cache,
        np.empty(kernel.ROOM, dtype=np.float32), np.empty(kernel.INTEGERS, dtype=np.int32),
        kernel.Bill(
            np.empty(n), np.empty(n), np.empty(n, dtype=np.int64), np.empty((n, 2, count), dtype=np.float32)
        ),
        np.empty(n),
    )  # fmt: skip


def _turn_to(headings: Floats, flights: Flights) -> kernel.Headings:
    """Return aims and how drives along them are interpolated between angles of the wind."""
    n, taps = len(headings), len(flights.to_weights)
    by_tap = np.empty((n, taps), dtype=np.int64), np.empty((n, taps), dtype=np.float32)
    aims = kernel.Headings(*by_tap, *np.empty((2, n), dtype=np.int64), *np.empty((4, n), dtype=np.float32))
    kernel.turn(headings, flights.wind_from, flights.to_weights, len(flights.landings), aims)
    return aims


def _even(points: int) -> Floats:
    """Return points, shape (2, points), spread evenly over a square a unit wide about the origin."""
    # The additive recurrence of the plastic number.
    steps = np.array([[0.7548776662466927], [0.5698402909980532]])
    return np.asarray(steps * np.arange(points) % 1 - 0.5)


@cache
def _kinds(firmness: Firmness) -> NDArray[np.uint8]:
    """Return the number of each ground's kind: balls bounce alike on ground of one kind, or stop dead."""
    seen: dict[tuple[float, ...], int] = {}
    for surface in surfaces(firmness):
        seen.setdefault(tuple(surface), len(seen))
    return np.array([seen[tuple(surface)] for surface in surfaces(firmness)], dtype=np.uint8)


@cache
def _ease(firmness: Firmness) -> Singles:
    """Return the run of a ball after its hop on a fairway of each firmness, over the run on this one."""
    one, nothing = np.ones(1), np.zeros(1)
    hopped = Landings(
        nothing, nothing, nothing, 15 * one, -4 * one, -15 / BALL_RADIUS * one, nothing, nothing, nothing
    )
    runs = [run(hopped, plain(Ground.FAIRWAY, firmness=kind)).y for kind in (*FIRMNESS, firmness)]
    return (np.concatenate(runs[:-1]) / runs[-1]).astype(np.float32)


@cache
def _runs(firmness: Firmness) -> Runs:
    """Return how far balls run on level ground of each kind, by speed, descent and spin."""
    steps = (1.0, 0.75, 0.4)
    u, w, k = np.meshgrid(
        *(step * np.arange(count) for step, count in zip(steps, (61, 17, 10), strict=True)), indexing="ij"
    )
    nothing = np.zeros(u.size)
    landings = Landings(
        nothing, nothing, nothing, u.ravel(), -w.ravel(), -(k * u).ravel() / BALL_RADIUS,
        nothing, nothing, nothing,
    )  # fmt: skip
    table = np.stack(
        [run(landings, plain(ground, firmness=firmness)).y.reshape(u.shape) for ground in Ground]
    )
    return Runs(table.astype(np.float32).ravel(), u.shape, *singles(*(1 / step for step in steps)))
