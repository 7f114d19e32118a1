"""Losses of strikes along a scale, made by hand, and what is found from them."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from holesim.course.course import Course
from holesim.plan.evaluator import REPLICATES
from holesim.plan.round_options import RoundOptions
from holesim.player.player import POSTERIOR_DRAWS, Player
from holesim.study.break_even import BreakEven, BreakEvenCurve, find_bands
from holesim.study.scales import Case

Floats = NDArray[np.float64]

SPEEDS = np.linspace(80.0, 125.0, 10)


def scattered(means: Floats, between: float) -> Floats:
    """Return losses of those means; the golfers of the k-th strike are off by k times `between`."""
    off = np.random.default_rng(1).standard_normal(POSTERIOR_DRAWS)
    off = between * (off - off.mean()) / off.std(ddof=1)
    shift = np.arange(means.shape[1])[None, :, None, None] * off[None, None, :, None]
    return np.asarray(
        means[:, :, None, None] + np.broadcast_to(shift, (*means.shape, POSTERIOR_DRAWS, REPLICATES))
    )


def by_club_speed(
    saved: Floats, course: Course, player: Player, *, between: float = 0.0, winds: Sequence[str] = ("calm",)
) -> BreakEven:
    """Return what is found where down saves so many strokes over up at each club speed."""
    loss = scattered(np.stack([0 * saved, -saved]).T, between)
    names = ("up", "down")
    bands = tuple(find_bands(SPEEDS, names, loss))
    beyond = np.zeros(loss.shape[:2], bool)
    hole = course.holes[3]
    return BreakEven(
        case=Case(
            course=course, player=player, conditions=RoundOptions().conditions, hole=(hole, hole.tees[0])
        ),
        over="club-speed",
        values=tuple(SPEEDS.tolist()),
        strikes=names,
        curves=tuple(BreakEvenCurve(wind=wind, loss=loss, beyond=beyond, bands=bands) for wind in winds),
        holes=1,
        draws=256,
        seed=1,
    )
