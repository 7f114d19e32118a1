"""Search: what a tee costs along each of many aims, from drives flown once."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from holesim import _search_kernel as kernel
from holesim._hop_kernel import HOP_ROWS, Runs, hop_once
from holesim._math_kernel import singles
from holesim._search_kernel import Memory as Memory  # noqa: PLC0414 - an export
from holesim.bounce import Firmness, run, surfaces
from holesim.course import Ground
from holesim.flight import GRAVITY, Flights, Landings
from holesim.ground import GroundMap, plain
from holesim.impact import BALL_RADIUS
from holesim.relief import Target
from holesim.threads import share_out

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]


@dataclass(frozen=True)
class Prepared:
    """A strike's drives as the search takes them: flown, sorted, and bounced once on ground of each kind.

    Attributes
    ----------
    flights
        A multiple of 256 drives.
    ways
        Shape (angles, 4, drives): place and direction of travel where they land, in the shot frame.
    hops
        Shape (angles, grounds, rows, drives): what happens then, in the rows of `_hop_kernel`.
    nudges
        Shape (2, drives): forward and to the right, from -1/2 to 1/2.
    """

    flights: Flights
    ways: Singles
    hops: Singles
    nudges: Singles
    surfaces: Singles
    runs: Runs


def prepare(flights: Flights, firmness: Firmness = "medium") -> Prepared:
    """Bounce drives once on ground of each kind.

    Raises
    ------
    ValueError
        If there is no multiple of 256 drives.
    """
    angles, _, drives = flights.landings.shape
    if drives % kernel.LANES:
        raise ValueError(f"the search takes multiples of {kernel.LANES} drives")
    # Mirrored drives are nudged as mirrors are.
    nudges = _even(drives) * np.stack([np.ones(drives), np.sign(flights.landings[0, 1])])
    order = flights.neighbours()
    flights = flights.some(order)
    ways = np.empty((angles, 4, drives), dtype=np.float32)
    hops = np.empty((angles, len(Ground), HOP_ROWS, drives), dtype=np.float32)
    cos_tilt = np.cos(flights.tilt, dtype=np.float32)
    table, runs = surfaces(firmness).astype(np.float32), _runs(firmness)

    def bounce(i: int) -> None:
        hop_once(flights.landings[i], cos_tilt, table, runs, *singles(BALL_RADIUS, GRAVITY), ways[i], hops[i])

    share_out(bounce, angles)
    return Prepared(flights, ways, hops, nudges[:, order].astype(np.float32), table, runs)


@dataclass(frozen=True)
class Site:
    """A tee and its hole, as the search sees them."""

    ground: GroundMap
    target: Target
    memory: Memory


def blank_memory(ground: GroundMap) -> Memory:
    """Return room for what is found out about one hole for one golfer: threads may share it."""
    rows, columns = ground.grid.coarse.shape
    trees = np.zeros((rows // 2 + 1, columns // 2 + 1), dtype=np.uint8)
    return Memory(trees, *(np.zeros(len(ground.grid.fine), dtype=np.float32) for _ in range(2)))


def costs(drives: Prepared, headings: Floats, site: Site) -> Floats:
    """Return what the tee costs along each of `headings` [rad]; infinite where every drive is out.

    Notes
    -----
    It is what bounce, relief and strokes give, drive by drive, but for economies that together move a cost
    by some thousandths: after its first bounce the run of a ball over ground of one kind is interpolated in
    a table; the ground is seen to half a metre; a ball in water is taken back along a parabola; trees are
    judged from the middle of two metres square, and a drop from the middle of one.
    """
    arguments = kernel_arguments(drives, headings, site)
    kernel.search(*arguments)
    return np.asarray(arguments[-1])


def kernel_arguments(drives: Prepared, headings: Floats, site: Site) -> tuple[Any, ...]:
    """Return what the compiled search takes, the last being what it fills."""
    grid, n, count = site.ground.grid, len(headings), drives.ways.shape[2]
    nodes, weights = drives.flights.weights(headings)
    place, angles = drives.flights.place(headings), len(drives.ways)
    lower = np.floor(place).astype(np.int64)
    upper = (lower + 1) % angles
    share, sine, cosine = (f.astype(np.float32) for f in (place - lower, np.sin(headings), np.cos(headings)))
    return (
        kernel.Flown(drives.ways, drives.hops, drives.nudges * np.float32(0.5 * grid.cell)),
        kernel.Aim(nodes, weights, lower, upper, share, sine, cosine),
        site.target, grid, drives.surfaces, drives.runs, site.memory,
        np.empty(kernel.ROOM, dtype=np.float32), np.empty(kernel.INTEGERS, dtype=np.int32),
        kernel.Bill(
            np.empty(n), np.empty(n), np.empty(n, dtype=np.int64), np.empty((n, 2, count), dtype=np.float32)
        ),
        np.empty(n),
    )  # fmt: skip


def _even(points: int) -> Floats:
    """Return points (2, points) that fill a square, a unit wide, about the origin evenly."""
    # The additive recurrence of the plastic number.
    steps = np.array([[0.7548776662466927], [0.5698402909980532]])
    return np.asarray(steps * np.arange(points) % 1 - 0.5)


@cache
def _runs(firmness: Firmness) -> Runs:
    """Return how far balls still go on level ground of one kind, by how they meet it."""
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
        [run(landings, plain(ground), firmness=firmness).y.reshape(u.shape) for ground in Ground]
    )
    return Runs(table.astype(np.float32).ravel(), u.shape, *singles(*(1 / step for step in steps)))
