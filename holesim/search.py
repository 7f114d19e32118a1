"""Search: what a tee costs along each of many aims, from drives flown once."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from holesim import _search_kernel as kernel
from holesim._bounce_kernel import LANES
from holesim._search_kernel import Memory as Memory  # noqa: PLC0414 - an export
from holesim.bounce import Firmness, run, surfaces
from holesim.course import Ground
from holesim.flight import GRAVITY, Flights, Landings, singles
from holesim.ground import GroundMap, plain
from holesim.impact import BALL_RADIUS
from holesim.relief import Target

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Site:
    """A tee and its hole, as the search sees them."""

    ground: GroundMap
    firmness: Firmness
    target: Target
    memory: Memory


def blank_memory(ground: GroundMap) -> Memory:
    """Return room for what is found out about one hole for one golfer: threads may share it."""
    halves = (len(ground.grid.fine), 2, 2)
    return Memory(
        np.zeros(ground.grid.coarse.shape, dtype=np.uint8),
        np.zeros(halves, dtype=np.float32),
        np.zeros(halves, dtype=np.float32),
    )


def costs(flights: Flights, headings: Floats, site: Site) -> Floats:
    """Return what the tee costs along each of `headings` [rad]; infinite where every drive is out.

    Parameters
    ----------
    flights
        A multiple of 256 drives.

    Raises
    ------
    ValueError
        If there are not so many.

    Notes
    -----
    It is what bounce, relief and strokes give, drive by drive, but for three economies that together move a
    cost by some thousandths: the run over ground of one kind is interpolated in a table, trees are judged
    from the middle of a metre, and a drop from the middle of a half metre.
    """
    arguments = kernel_arguments(flights, headings, site)
    kernel.search(*arguments)
    return np.asarray(arguments[-1])


def kernel_arguments(flights: Flights, headings: Floats, site: Site) -> tuple[Any, ...]:
    """Return what the compiled search takes, the last being what it fills."""
    if flights.landings.shape[2] % LANES:
        raise ValueError(f"the search takes multiples of {LANES} drives")
    nodes, weights = flights.weights(headings)
    aims = kernel.Aim(
        nodes, weights, np.sin(headings).astype(np.float32), np.cos(headings).astype(np.float32)
    )
    flown = kernel.Flown(flights.landings, flights.tracks, np.cos(flights.tilt).astype(np.float32))
    n = len(headings)
    return (
        flown, aims, site.target, site.ground.grid, surfaces(site.firmness).astype(np.float32),
        _runs(site.firmness), site.memory, *singles(BALL_RADIUS, GRAVITY),
        np.zeros(kernel.ROOM, dtype=np.float32), np.zeros(kernel.INTEGERS, dtype=np.int32),
        np.zeros(n), np.zeros(n, dtype=np.int64),
        np.empty((n, 4, flights.landings.shape[2]), dtype=np.float32), np.empty(n),
    )  # fmt: skip


@cache
def _runs(firmness: Firmness) -> kernel.Runs:
    """Return how far balls still go on level ground of one kind, by how they meet it."""
    steps = (0.5, 0.75, 0.4)
    u, w, k = np.meshgrid(
        *(step * np.arange(count) for step, count in zip(steps, (41, 17, 10), strict=True)), indexing="ij"
    )
    nothing = np.zeros(u.size)
    landings = Landings(
        nothing, nothing, nothing, u.ravel(), -w.ravel(), -(k * u).ravel() / BALL_RADIUS,
        nothing, nothing, nothing,
    )  # fmt: skip
    table = np.stack(
        [run(landings, plain(ground), firmness=firmness).y.reshape(u.shape) for ground in Ground]
    )
    return kernel.Runs(
        table.astype(np.float32).ravel(), u.shape, *singles(*(1 / step for step in steps), u.max())
    )
